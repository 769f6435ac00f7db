"""Less than the work rule's share of saddle beside the hole refuses, on both sides of the limit.

The hole is the 1-3/4 in saw with its oversize of 0.020 in: 44.45 + 0.508 = 44.958 mm.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.fit_saddle import SADDLE_ROWS
from packgen.calc.request import Check, Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.units import quantity
from tests.calc.demo import catalog


def worked(family: str, main: str, lateral: str, facts: Catalog | None = None, **fitting: str) -> Combination:
    """A combination with drawing data of every pair changed; "" takes a figure out."""
    facts, of = facts or catalog(), catalog().families[family]
    changes: dict[str, Any] = {key: quantity(text) if text else None for key, text in fitting.items()}
    pairs = tuple(
        pair.model_copy(update={"fitting": pair.fitting.model_copy(update=changes)}) for pair in of.pairs
    )
    pipes = [facts.pipe(read_designation(f"{size} DR 11 PE4710")) for size in (main, lateral)]
    return work_out(Request(facts, pipes[0], pipes[1], of.model_copy(update={"pairs": pairs})))


def rows(found: Combination) -> dict[str, Check]:
    """The rows about the saddle, by key."""
    return {check.key: check for check in found.checks if check.key in SADDLE_ROWS}


def test_the_saddle_left_along_the_main_is_judged_at_its_limit() -> None:
    """104.958 / 2 − 44.958 / 2 = 30 mm is enough; 0.2 mm less of base is not."""
    enough = worked("demo-saddle-screw", "6 in IPS", "2 in IPS", base_length="104.958 mm")
    assert (enough.verdict, rows(enough)["saddle_along"].found) == ("permitted", "30.0 mm [1.18 in]")
    short = worked("demo-saddle-screw", "6 in IPS", "2 in IPS", base_length="104.758 mm")
    (reason,) = short.reasons
    assert reason.what == (
        "only 29.9 mm [1.17 in] of saddle is left beside the hole along the main, "
        "the work rule asks for 30 mm [1.19 in]"
    )
    assert reason.cure.endswith("such a main needs a tee")


def test_the_saddle_left_round_the_main_is_judged_at_its_limit() -> None:
    """84.0 × π × 35.8 / 180 − 22.479 = 30.007 mm; at 35.7 degrees 29.860 mm."""
    enough = worked("demo-saddle-screw", "6 in IPS", "2 in IPS", base_angle="35.8 degree")
    assert enough.verdict == "permitted"
    narrow = worked("demo-saddle-screw", "6 in IPS", "2 in IPS", base_angle="35.7 degree")
    (reason,) = narrow.reasons
    assert "only 29.8 mm [1.17 in] of saddle is left beside the hole round the main" in reason.what


def test_a_hole_wider_than_the_base_leaves_none() -> None:
    found = worked("demo-saddle-screw", "6 in IPS", "2 in IPS", base_length="40 mm")
    assert rows(found)["saddle_along"].found == "0 mm"
    assert found.verdict == "refused"


def test_the_owner_s_rule_decides() -> None:
    """2 in on 3 in DR 11 takes the 1-11/16 in saw: 44.3 × 1.2217 − 43.371 / 2 = 32.4 mm are left."""
    for least, verdict in (("32.4 mm", "permitted"), ("32.5 mm", "refused")):
        rule = catalog().rules["saddle-beside-hole"].model_copy(update={"value": least})
        facts = replace(catalog(), rules={**catalog().rules, rule.id: rule})
        assert worked("demo-saddle-screw", "3 in IPS", "2 in IPS", facts).verdict == verdict


def test_a_built_in_cutter_is_the_hole_of_a_tapping_saddle() -> None:
    """1 in CTS on 2 in: 30.0 × 80 degrees − 20 / 2 = 31.9 mm."""
    found = worked("demo-tapping-saddle", "2 in IPS", "1 in CTS")
    assert rows(found)["saddle_around"].found == "31.8 mm [1.25 in]"
    narrow = worked("demo-tapping-saddle", "2 in IPS", "1 in CTS", base_angle="76 degree")
    assert [check.key for check in narrow.checks if check.passed is False] == ["saddle_around"]


@pytest.mark.parametrize(
    ("taken_out", "left"),
    [
        ("base_length", {"saddle_around"}),
        ("bore_radius", {"saddle_along"}),
        ("base_angle", {"saddle_along"}),
        ("outlet_bore", set()),
    ],
)
def test_what_the_label_does_not_state_is_not_judged(taken_out: str, left: set[str]) -> None:
    """Without an outlet bore there is no saw, and so no hole."""
    found = worked("demo-saddle-screw", "6 in IPS", "2 in IPS", None, **{taken_out: ""})
    assert set(rows(found)) == left
    assert found.verdict == "permitted"


def test_a_coupling_has_no_saddle() -> None:
    assert rows(worked("demo-coupling", "2 in IPS", "2 in IPS", base_length="10 mm")) == {}
