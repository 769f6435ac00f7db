"""The formulas: every row whole, every symbol used, each way chosen by its inputs and never guessed."""

from __future__ import annotations

import re

import pytest

from packgen.formulas import FORMULAS, Formula, filled
from packgen.register import REGISTER
from packgen.sheets.measure import missing_signs

ROWS = [(name, way) for name, ways in FORMULAS.items() for way in ways]
# What stands in a formula and is no symbol of it: functions, lists, units, and the words of a choice.
WORDS = {
    *("min", "max", "whole", "up", "sin", "cos", "ln", "ft", "in", "to", "C", "K", "π", "Σ"),
    *("largest", "smallest", "listed", "not", "permitted", "outside", "dy", "from", "none", "at", "of", "a"),
    *("time", "fusion", "end", "air", "greatest", "depth", "the", "fitting", "pipe", "that", "reaches"),
    *("melting", "breaker", "behind", "outlet", "joints", "kind", "cuts", "size"),
}
SIGN = re.compile(r"[^\W\d_²][^\W_²]*′?")


def signs_in(text: str) -> set[str]:
    """Every sign and word of a formula."""
    return set(SIGN.findall(text.replace("…", "")))


@pytest.mark.parametrize(("name", "way"), ROWS, ids=lambda part: part if isinstance(part, str) else "")
def test_a_formula_uses_all_its_symbols_and_no_others(name: str, way: Formula) -> None:
    """What it works out stands on the left; every sign on the right is a symbol or said by an equation."""
    equations = way.text.split("; ")
    made = {equation.partition(" = ")[0] for equation in equations if " = " in equation}
    own = {sign for left in made for sign in signs_in(left)}
    own |= {"y"} if " dy" in way.text else set()  # what an integral runs over
    given = {sign for symbol in way.symbols for sign in signs_in(symbol.sign)} - {"at"}
    used = {sign for equation in equations for sign in signs_in(equation.partition(" = ")[2] or equation)}
    assert used - own - WORDS <= given, name
    solved = name.startswith("cool.") and not name.endswith("_at")
    if not (solved or way.text.startswith("not permitted: outside") or name == "test.makeup_volume"):
        assert given - own - used == set(), name


@pytest.mark.parametrize(("name", "way"), ROWS, ids=lambda part: part if isinstance(part, str) else "")
def test_a_formula_names_values_of_the_register_and_signs_of_the_face(name: str, way: Formula) -> None:
    """An input written like a register name is one; nothing is set that the face has no glyph for."""
    assert name in REGISTER
    assert missing_signs(way.text) == ""
    assert all(missing_signs(symbol.sign) == "" for symbol in way.symbols)
    for symbol in way.symbols:
        for pattern in symbol.inputs:
            if re.match(r"[a-z]+\\\.", pattern.pattern):
                assert any(pattern.fullmatch(each) for each in REGISTER), pattern.pattern
    assert way.text.count("(") == way.text.count(")") and way.text.count("{") == way.text.count("}")


ZONE = "work rule peeled-zone"
PEELED = ["pipe.main.outside_diameter", "peel.depth_max"]
PASSES: list[str | tuple[str, str]] = [
    ("work rule peel-passes", "1"), ("work rule surface-loss", "10 %"), "peel.depth_max",
    "pipe.main.wall_min", "pipe.main.outside_diameter", "fitting.main_diameter_min",
]  # fmt: skip
COIL: list[str | tuple[str, str]] = [
    "fuse.voltage", "fitting.coil_resistance", "fitting.coil_tolerance",
    ("work rule control-unit-efficiency", "70 %"), ("work rule generator-margin", "25 %"),
]  # fmt: skip
HIGH = [("altitude", "1500 m"), ("work rule generator-derating-altitude", "3.5 %")]
HOT = [
    ("air", "40 °C"), ("work rule generator-derating-heat", "1 %"),
    ("work rule generator-derating-reference", "25 °C"),
]  # fmt: skip
SCREW: list[str | tuple[str, str]] = [
    ("thread", "8 mm"), ("pitch", "1.25 mm"), ("proof stress", "450 MPa"),
    ("work rule screw-proof-share", "75 %"), ("work rule nut-factor-least", "15 %"),
]  # fmt: skip
GAS = [("minimum required strength", "10 MPa"), ("gas coefficient", "2"), ("cap", "10 bar")]
TESTED: list[str | tuple[str, str]] = ["joint.pressure_max", ("work rule leak-test-water-share", "150 %")]
BLADES = [
    ("peels of 2 in IPS", "2"), ("peels of 63 mm ISO", "2"), ("work rule kit-peels-a-blade", "1"),
    ("work rule kit-spare-blades", "1"),
]  # fmt: skip
WAIT: list[str | tuple[str, str]] = ["cool.tap_wait", "cool.extra"]
OWNER = [("work rule heat-wait-addition", "0 min"), ("work rule heat-wait-multiple", "100 %")]


@pytest.mark.parametrize(
    ("name", "inputs", "text"),
    [
        ("peel.diameter_after_one_pass", [*PEELED, (ZONE, "footprint")], "d = D − h"),
        ("peel.diameter_after_one_pass", [*PEELED, (ZONE, "whole circumference")], "d = D − 2·h"),
        ("peel.diameter_after_one_pass", PEELED, "d = D − 2·h"),
        ("peel.passes_max", PASSES[:4], "n = min{r, whole(a·t/h)}"),
        ("peel.passes_max", PASSES, "n = max{0, min{r, whole(a·t/h), whole((D − d)/(2·h))}}"),
        ("pipe.lateral.pressure_rating", [*GAS, ("dimension ratio", "11")], "p = min{2·S/(C·(n − 1)), q}"),
        (
            "power.generator_rating",
            [*COIL, *HOT],
            "P = U²/(R·(1 − r)·η)·(1 + m)/(1 − z); z = b·(T − T₀)/10 K",
        ),
        (
            "power.generator_rating",
            [*COIL, *HIGH, *HOT],
            "P = U²/(R·(1 − r)·η)·(1 + m)/(1 − z); z = a·H/1000 ft + b·(T − T₀)/10 K",
        ),
        ("clamp.torque_limit", SCREW, "T = K·F·d; F = a·S·A; A = π/4·(d − 0.9382·P)²"),
        (
            "clamp.torque_limit",
            [*SCREW, ("lug, from the label", "9 kN")],
            "T = K·F·d; F = min{a·S·A, Q}; A = π/4·(d − 0.9382·P)²",
        ),
        ("cool.tap_wait_at", WAIT, "W = w + e"),
        ("cool.tap_wait_at", [*WAIT, *OWNER], "W = max{w + e, w + a, k·w}"),
        ("squeeze.gap_stop", ["pipe.main.wall_max", *(
            ("work rule squeeze-wall", "thickest permitted wall"), ("work rule squeeze-compression", "30 %"),
        )], "g = 2·t·(1 − c)"),
        ("tap.cutter_travel", ["tap.cutter_turns", ("pitch of the cutter's thread", "2.5 mm")], "y = n·P"),
        ("test.pressure_max", TESTED, "p = k·P"),
        ("test.pressure_max", [*TESTED, ("a plug, from its plate", "300 psi")], "p = min{k·P, q}"),
        ("kit.blades", BLADES, "n = Σ{up(p₁/b) + s, up(p₂/b) + s}"),
    ],
)  # fmt: skip
def test_the_inputs_choose_the_way(name: str, inputs: list[str | tuple[str, str]], text: str) -> None:
    """Also the ways that no demo job takes; the order of the inputs does not count."""
    for order in (inputs, inputs[::-1]):
        found = filled(name, order)
        assert found is not None
        assert found.text == text
        assert sorted(map(str, inputs)) == sorted(str(each.input) for each in found.given)


@pytest.mark.parametrize(
    ("name", "inputs"),
    [
        ("peel.diameter_after_one_pass", [*PEELED, (ZONE, "half")]),  # a word no way is for
        ("peel.diameter_after_one_pass", PEELED[:1]),  # an input is missing
        ("peel.diameter_after_one_pass", [*PEELED, "peel.depth_min"]),  # one too many
        ("peel.diameter_after_one_pass", [*PEELED, PEELED[0]]),  # one twice
        ("tap.least_bore", []),
        ("fuse.time", ["fuse.voltage"]),  # never worked
    ],
)
def test_inputs_of_no_way_get_no_formula(name: str, inputs: list[str | tuple[str, str]]) -> None:
    """It is never guessed."""
    assert filled(name, inputs) is None


def test_no_inputs_belong_to_two_ways() -> None:
    """Two ways of a value differ in what they need, or in what one of their inputs must say."""
    for name, ways in FORMULAS.items():
        needs = [
            sorted((*(each.pattern for each in symbol.inputs), symbol.text, str(symbol.many))
                   for symbol in way.symbols)
            for way in ways
        ]  # fmt: skip
        assert all(needs.count(each) == 1 for each in needs), name
