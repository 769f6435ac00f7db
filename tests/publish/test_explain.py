"""`packgen values --explain NAME`: all there is to say of one value, as lines and as data."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from packgen.register import REGISTER

pytestmark = pytest.mark.usefixtures("one_catalog")
Packgen = Callable[..., Any]
PAIR = ("values", "6 in IPS DR 11 PE4710", "2 in IPS", "--family", "demo-saddle-screw", "--explain")


def test_a_worked_value_tells_method_formula_symbols_result_and_sources(packgen: Packgen) -> None:
    """0.012 in off 0.602 in is 1.99336 %, printed upwards."""
    ran = packgen(*PAIR, "peel.wall_loss_percent")
    assert ran.code == 0
    assert ran.out.splitlines() == [
        "peel.wall_loss_percent: 2.0 % (worked)",
        "  what: greatest peel depth over minimum wall",
        "  method: greatest peel depth over minimum wall",
        "  formula: w = h/t",
        "  with: h = 0.012 in [0.30 mm] (peel.depth_max)",
        "  with: t = 0.602 in [15.30 mm] (pipe.main.wall_min)",
        "  result: 1.99336 %, rounded up",
        "  source: arithmetic",
    ]


def test_both_systems_are_told_whatever_is_asked_for(packgen: Packgen) -> None:
    """1-3/4 in as the list has it; 17.5 mm worked."""
    for units in ("us", "si", "both"):
        ran = packgen(*PAIR, "tap.travel_to_breakthrough", "--units", units)
        assert "  printed: us 0.83 in; si 21.0 mm\n" in ran.out
        assert "  result: 20.9186 mm, rounded up\n" in ran.out


def test_an_input_beside_the_formula_stands_without_a_symbol(packgen: Packgen) -> None:
    """The rule's choice chose the formula."""
    told = packgen(*PAIR, "peel.diameter_after_one_pass").out
    assert "  formula: d = D − h\n" in told
    assert "  with: work rule peeled-zone footprint\n" in told


def test_a_stated_value_tells_who_states_it(packgen: Packgen) -> None:
    ran = packgen(*PAIR, "fuse.time")
    assert ran.out.splitlines()[:2] == ["fuse.time: 85 s (stated)", "  what: fusion time"]
    assert ran.out.splitlines()[2].startswith("  stated by: label of demo-saddle-screw revision 1 (")
    assert len(ran.out.splitlines()) == 3


def test_a_blank_tells_why(packgen: Packgen) -> None:
    assert packgen(*PAIR, "clamp.torque").out.splitlines() == [
        "clamp.torque: ENTER (blank)",
        "  what: tightening torque the label states",
        "  why: the label states no torque: enter one only where the fitting's maker gives it, or write none",
    ]


@pytest.mark.parametrize(
    ("name", "why"),
    [("place.clock_angle", "it needs a job"), ("tap.stroke_min", "it does not apply to this combination")],
)
def test_an_absent_value_tells_why(packgen: Packgen, name: str, why: str) -> None:
    """The register knows which values wait for a job."""
    ran = packgen(*PAIR, name)
    assert ran.code == 0
    head, what, told = ran.out.splitlines()
    assert (head, what) == (f"{name}: absent", f"  what: {REGISTER[name].definition}")
    assert told.startswith(f"  why: {why}")


def test_the_same_as_data(packgen: Packgen) -> None:
    """Symbols in the formula's order, with the number behind each text; a value's number is unrounded."""
    ran = packgen(*PAIR, "tap.travel_set", "--format", "json")
    data = json.loads(ran.out)
    assert data["formula"] == "x = D/2 − √((D/2 − t)² − ((d + o)/2)²) + v"
    assert data["value"] == pytest.approx(24.207, abs=5e-4)
    assert (data["kind"], data["unit"], data["direction"]) == ("worked", "mm", "up")
    assert (data["text"], data["us"], data["si"]) == ("0.96 in [24.3 mm]", "0.96 in", "24.3 mm")
    assert [each["symbol"] for each in data["symbols"]] == ["D", "t", "d", "o", "v"]
    wall = data["symbols"][1]
    assert (wall["is"], wall["unit"], wall["text"]) == ("pipe.main.wall_max", "mm", "0.674 in [17.12 mm]")
    assert wall["value"] == pytest.approx(1.12 * 0.602 * 25.4)
    assert data["symbols"][4] == {"symbol": "v", "is": "work rule overtravel", "text": "1/8 in [3.2 mm]"}
    assert data["sources"][0].startswith("work rule overtravel revision 1")


def test_every_value_of_the_register_can_be_asked_for(packgen: Packgen) -> None:
    """One of each kind under every part of the register, as data; none ends in a traceback."""
    kinds = set()
    for name in [*REGISTER][::17]:
        ran = packgen(*PAIR, name, "--format", "json", "--ambient", "35 degC")
        assert ran.code == 0, ran.err
        data = json.loads(ran.out)
        assert (data["name"], data["definition"]) == (name, REGISTER[name].definition)
        kinds.add(data["kind"])
    assert {"stated", "worked", "absent"} <= kinds


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("tap.holesaw",), "did you mean 'tap.hole_saw'?"),
        (("weather.dewpoint",), "did you mean 'weather.dew_point'?"),
        (("tap.hole_saw", "--format", "csv"), "expected table or json"),
    ],
)
def test_wrong_use_is_told_with_the_right_word(
    packgen: Packgen, arguments: tuple[str, ...], words: str
) -> None:
    ran = packgen(*PAIR, *arguments)
    assert ran.code == 2
    assert words in ran.err
    assert ran.out == ""


def test_a_refused_pair_still_explains(packgen: Packgen) -> None:
    """Reasons and exit code stand as without --explain."""
    ran = packgen("values", "2 in IPS DR 11", "2 in IPS", *PAIR[3:], "pipe.main.girth")
    assert ran.code == 1
    assert ran.out.startswith("pipe.main.girth: 7.46 in [190 mm] (worked)\n")
    assert ran.err.startswith("refused:\n")
