"""Torque guidance and limit: what their workings say, and every rule they are worked from is cited."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from packgen.calc import torque
from packgen.calc.ledger import Value
from packgen.model.load import load
from packgen.publish.selection import one

CATALOG = load(Path(__file__).parents[2] / "content", prose=False)
FACTORS = ("nut-factor", "nut-factor-least", "nut-factor-greatest")


def value(name: str) -> Value:
    """A value of the demo's 2 in on 6 in."""
    return one(CATALOG, "6 in IPS DR 11 PE4710", "2 in IPS", "demo-saddle-screw", None).values[name]


@pytest.mark.parametrize(("name", "rules"), [
    ("clamp.torque_guidance", ("seating-pressure", *FACTORS)),
    ("clamp.torque_limit", ("screw-proof-share", "nut-factor-least")),
])  # fmt: skip
def test_every_rule_it_is_worked_from_is_an_input_and_cited(name: str, rules: tuple[str, ...]) -> None:
    found = value(name)
    assert found.working is not None
    for rule in rules:
        assert CATALOG.cite_rule(rule) in found.sources
        labels = [each[0] for each in found.working.inputs if isinstance(each, tuple)]
        assert f"work rule {rule}" in labels
    others = set(FACTORS) - set(rules)
    assert not {CATALOG.cite_rule(rule) for rule in others} & set(found.sources)


def test_the_spread_is_told_no_narrower_than_it_is() -> None:
    """Worked from the guidance itself: torque goes with the nut factor."""
    found = value("clamp.torque_guidance")
    assert found.working is not None and found.number is not None
    usual, low, high = (CATALOG.rule_quantity(rule, "percent") for rule in FACTORS)
    told = re.search(r"nut factor it is ([\d.]+) to ([\d.]+) N·m$", found.working.words)
    assert told is not None
    least, most = float(told[1]), float(told[2])
    assert 0.0 <= found.number * low / usual - least < 0.1
    assert 0.0 <= most - found.number * high / usual < 0.1


def test_the_force_is_told_in_whole_newtons() -> None:
    found = value("clamp.torque_guidance")
    assert found.working is not None and found.number is not None
    told = re.search(r"([\d,]+) N each", found.working.words)
    assert told is not None
    usual = CATALOG.rule_quantity("nut-factor", "percent") / 100.0
    diameter = CATALOG.threads[found_screws()].diameter.to("mm")
    force = float(told[1].replace(",", ""))
    assert torque.torque(usual, force, diameter) == pytest.approx(found.number, rel=1e-3)


def found_screws() -> str:
    """The thread of the demo's screws."""
    words = value("clamp.screws").words
    assert words is not None
    return words.rpartition(" × ")[2]
