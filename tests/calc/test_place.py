"""The place of a joint: the outlet's direction, its neighbours, the room that the work needs.

In: the demo jobs, with one thing about joint, contents, distances or work rules changed at a time.
Out: a failure that names the row or the value that is wrong.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.fit_place import place_checks
from packgen.calc.ledger import Ledger
from packgen.calc.place_values import place_values, room_values
from packgen.calc.request import Check, Reason, Request, request_of
from packgen.calc.room import room_above, room_along
from packgen.calc.stated_values import label_values, spacing_values
from packgen.errors import OutOfRange
from packgen.model.catalog import Catalog
from packgen.model.job import Distances
from packgen.units import quantity
from tests.calc.demo import catalog, demo_job

INCH = 25.4


def asked(name: str = "first-lateral", facts: Catalog | None = None, /, **changes: Any) -> Request:
    """A demo job's first joint; changes named as fields of a joint change it, the others the job."""
    job = demo_job(name)
    of_joint = {key: value for key, value in changes.items() if key in type(job.joints[0]).model_fields}
    of_job = {key: value for key, value in changes.items() if key not in of_joint}
    joint = job.joints[0].model_copy(update=of_joint)
    return request_of(job.model_copy(update={"joints": (joint,), **of_job}), joint, facts or catalog())


def with_rule(rule: str, value: str) -> Catalog:
    """The content with another value of one work rule."""
    rules = {**catalog().rules, rule: catalog().rules[rule].model_copy(update={"value": value})}
    return replace(catalog(), rules=rules)


def rows(request: Request) -> dict[str, Check]:
    """The rows about the place, by key."""
    ledger = Ledger()
    spacing_values(ledger, request)
    found = list(place_checks(ledger, request))
    assert len({row.key for row in found}) == len(found)
    return {row.key: row for row in found}


def values(request: Request, zone: str | None = "185.4 mm") -> Ledger:
    """The values about the place; the peel zone's length as given."""
    ledger = Ledger()
    label_values(ledger, request)
    ledger.stated("peel.zone_length", quantity(zone) if zone else None, "test")
    place_values(ledger, request)
    room_values(ledger, request)
    return ledger


@pytest.mark.parametrize("contents", ["water", "gas"])
@pytest.mark.parametrize(("outlet", "passes"), [
    ("12 o'clock", True), ("3 o'clock", True), ("9 o'clock", True), ("3:01 o'clock", False),
    ("8:59 o'clock", False), ("6 o'clock", False),
])  # fmt: skip
def test_no_outlet_points_below_level(outlet: str, passes: bool, contents: str) -> None:
    """A quarter turn either way is level and passes; one minute of the clock more does not."""
    found = rows(asked(outlet=outlet, contents=contents, top_not_practical="a duct bank lies over the main"))
    assert found["outlet_lowest"].passed is passes
    if not passes:
        what = f"the outlet at {outlet} points more than 90° from the top of the main"
        cure = "turn the outlet: laterals leave the main level or upward"
        assert found["outlet_lowest"].reason == Reason(what, cure)
        assert "outlet_gas" not in found  # one reason is enough


def test_the_lowest_outlet_is_the_work_rules() -> None:
    """An owner who wants laterals to rise narrows the rule: 2 o'clock is 60°, 2:02 is 61°."""
    facts = with_rule("outlet-lowest", "60 degree")
    assert rows(asked("first-lateral", facts, outlet="2 o'clock"))["outlet_lowest"].passed is True
    assert rows(asked("first-lateral", facts, outlet="2:02 o'clock"))["outlet_lowest"].passed is False


@pytest.mark.parametrize(("outlet", "reason", "passes"), [
    ("12 o'clock", None, True), ("12:01 o'clock", None, False), ("3 o'clock", None, False),
    ("3 o'clock", "a duct bank lies over the main", True),
    ("9 o'clock", "a duct bank lies over the main", True),
])  # fmt: skip
def test_a_gas_outlet_is_at_the_top_or_at_the_side_for_a_reason(
    outlet: str, reason: str | None, passes: bool
) -> None:
    """49 CFR 192.367(a), read: the top of the main or, if that is not practical, its side."""
    found = rows(asked(outlet=outlet, contents="gas", top_not_practical=reason))["outlet_gas"]
    assert found.passed is passes
    if passes:
        assert found.found == (f"{outlet}: {reason}" if reason else outlet)
    else:
        what = f"a gas outlet at {outlet}, and nothing says why the top of the main is not practical"
        cure = "set it at 12 o'clock, or give the reason as top_not_practical"
        assert found.reason == Reason(what, cure)


def test_an_owner_may_want_gas_outlets_at_the_top_only() -> None:
    """A reason then no longer helps; the top still passes."""
    facts, why = with_rule("outlet-gas", "at the top only"), "a duct bank lies over the main"
    side = rows(asked("first-lateral", facts, outlet="3 o'clock", contents="gas", top_not_practical=why))
    assert side["outlet_gas"].reason == Reason(
        "a gas outlet at 3 o'clock, where the work rule wants the top", "set it at 12 o'clock"
    )
    top = rows(asked("first-lateral", facts, outlet="12 o'clock", contents="gas"))
    assert top["outlet_gas"].passed is True


def test_water_needs_no_reason_for_a_side_outlet() -> None:
    """The top-or-side rule is the gas regulation's."""
    assert "outlet_gas" not in rows(asked(outlet="3 o'clock", contents="water"))


@pytest.mark.parametrize("key", ["saddle", "fitting", "pipe_end"])
def test_a_distance_passes_at_its_least_and_not_below(key: str) -> None:
    """500 mm by the work rule; not measured, it is the crew's."""
    found = {
        written: rows(asked(distances=Distances.model_validate({key: written})))[f"distance_{key}"].passed
        for written in ("500 mm", "499 mm")
    }
    assert found == {"500 mm": True, "499 mm": False}
    assert rows(asked())[f"distance_{key}"].passed is None


def test_free_main_is_the_peel_zone_and_room_at_both_ends() -> None:
    """185.4 mm and twice the rule's 12 in."""
    assert values(asked()).get("place.room_along") == pytest.approx(185.4 + 24 * INCH)
    assert values(asked("first-lateral", with_rule("room-along", "10 in"))).get(
        "place.room_along"
    ) == pytest.approx(185.4 + 20 * INCH)
    assert room_along(185.4, 12 * INCH) == pytest.approx(795.0)


def test_room_round_is_carried_from_the_rule_and_room_along_needs_the_zone() -> None:
    """From a label without a base length the room round the main still stands."""
    ledger = values(asked(), zone=None)
    assert "place.room_along" not in ledger.values
    assert ledger.values["place.room_around"].kind == "stated"
    assert ledger.get("place.room_around") == pytest.approx(12 * INCH)


def test_room_beyond_the_outlet_follows_the_method() -> None:
    """80 mm and 18 in for a drill; through a valve 80 mm, valve 9 in, machine 32 in, and 12 in to lift."""
    assert values(asked()).get("place.room_above") == pytest.approx(80 + 18 * INCH)
    tools = {"valve": "demo-valve-2in", "drilling_machine": "demo-machine-2in"}
    through = values(asked(method="through a valve", **tools))
    assert through.get("place.room_above") == pytest.approx(80 + (9 + 32 + 12) * INCH)
    assert "place.room_above" not in values(asked(method="through a valve", valve="demo-valve-2in")).values
    assert room_above(80.0, 9 * INCH, 32 * INCH, 12 * INCH) == pytest.approx(1426.2)


def test_lengths_that_no_tool_has_are_refused() -> None:
    """Nothing and less than nothing is no room."""
    for wrong in (0.0, -1.0, float("nan")):
        with pytest.raises(OutOfRange):
            room_along(wrong, 300.0)
        with pytest.raises(OutOfRange):
            room_along(185.4, wrong)
        with pytest.raises(OutOfRange):
            room_above(80.0, wrong)


def test_measured_distances_are_carried_from_the_job() -> None:
    """As written, rounded down in the other system; one not measured is absent."""
    ledger = values(asked(distances=Distances.model_validate({"saddle": "6 ft", "squeeze": "4 ft"})))
    assert ledger.values["spacing.measured_saddle"].text() == "6 ft [1,828 mm]"
    assert ledger.get("spacing.measured_squeeze") == pytest.approx(48 * INCH)
    assert "spacing.measured_fitting" not in ledger.values
    assert not [name for name in values(asked()).values if "measured" in name]
