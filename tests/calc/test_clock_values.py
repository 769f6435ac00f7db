"""The ladder of earliest times and the planned time of a joint, as the ledger holds them.

In: joints of demo jobs, some with one fact changed. Out: a failure that names the rung.
The times expected are those of the labels, typed in here, and sums on paper.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.request import Combination, request_of
from packgen.calc.work_out import work_out
from packgen.formulas import filled
from packgen.model.job import LeakTest
from packgen.model.job_load import load_job
from packgen.publish.selection import one
from packgen.units import quantity
from tests.calc.demo import CONTENT, catalog

MINUTE = 60.0
RUNGS = ("clamps_off", "test", "tap", "working_pressure", "backfill")


def joint_of(name: str, place: int = 0, **changes: Any) -> Combination:
    """A joint of a demo job, with keys of the job changed."""
    job = load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())[0].model_copy(update=changes)
    return work_out(request_of(job, job.joints[place], catalog()))


UNTESTED: dict[str, Any] = {"leak_test": None}


def at(name: str, degrees: str, place: int = 0, **changes: Any) -> Combination:
    """A joint of a demo job on a day of another temperature."""
    site = load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())[0].site
    return joint_of(name, place, site=site.model_copy(update={"ambient": quantity(degrees)}), **changes)


def minutes(found: Combination) -> list[float | None]:
    """The rungs in their order, min."""
    numbers = (found.number(f"clock.{rung}") for rung in RUNGS)
    return [None if number is None else number / MINUTE for number in numbers]


@pytest.mark.parametrize(("name", "place", "expected"), [
    ("first-lateral", 0, [15, 20, 30, 30, 40]),
    ("repair-tie-in", 0, [20, 30, 40, 40, 50]),
    ("live-tap", 0, [15, 20, 30, 30, 40]),
    ("service-tap", 0, [10, 15, 20, 20, 30]),
    ("live-tap", 1, [12, 20, None, 20, 30]),  # a coupling: nothing is cut
    ("service-tap", 1, [8, 12, None, 12, 22]),
])  # fmt: skip
def test_the_ladder_stands_on_the_label_s_waits(name: str, place: int, expected: list[float | None]) -> None:
    """Clamp time, pressure wait, the later of tap and pressure wait, then ten minutes of looking at it."""
    assert minutes(joint_of(name, place, **UNTESTED)) == expected


def test_without_a_job_the_ladder_stands_too_and_no_planned_time() -> None:
    """The card of a size holds it."""
    found = one(catalog(), "6 in IPS DR 11 PE4710", "2 in IPS", "demo-saddle-screw", None, "both")
    assert minutes(found) == [15, 20, 30, 30, 40]
    assert "clock.joint_total" not in found.values


def test_a_stated_hold_moves_the_cut_behind_the_test() -> None:
    """A pressure wait of 20 min and a hold of 15: the cut at 35 instead of 30, all after it as much later."""
    hold = LeakTest(pressure=quantity("100 psi"), hold=quantity("15 min"))
    found = joint_of("live-tap", leak_test=hold)
    assert minutes(found) == [15, 20, 35, 35, 45]
    working = found.values["clock.tap"].working
    assert working is not None and "test.hold" in working.inputs
    short = LeakTest(pressure=quantity("100 psi"), hold=quantity("5 min"))
    assert minutes(joint_of("live-tap", leak_test=short)) == [15, 20, 30, 30, 40]


def test_without_a_stated_hold_the_working_says_that_it_comes_on_top() -> None:
    working = joint_of("live-tap", **UNTESTED).values["clock.tap"].working
    assert working is not None
    assert "its hold comes on top" in working.words
    assert "test.hold" not in working.inputs


def test_in_heat_each_rung_waits_as_much_longer_as_the_joint() -> None:
    """At 35 °C every wait has the same extra; the ladder and the planned time have it too."""
    cool, hot = at("first-lateral", "20 degC"), at("first-lateral", "35 degC")
    extra = hot.number("cool.extra")
    assert extra is not None and extra > MINUTE
    for before, after in zip(minutes(cool), minutes(hot), strict=True):
        assert before is not None and after is not None
        assert after - before == pytest.approx(extra / MINUTE)
    totals = [found.number("clock.joint_total") for found in (cool, hot)]
    assert totals[0] == pytest.approx((45 + 30 + 45) * MINUTE + 85)
    assert totals[1] == pytest.approx((45 + 30 + 45) * MINUTE + 85 + extra)


def test_a_label_without_drawing_data_keeps_its_stated_waits_in_heat() -> None:
    """What the owner adds is written on the day: nothing is made up."""
    assert minutes(at("valve-isolation", "35 degC", 1)) == [12, 16, 24, 24, 34]


@pytest.mark.parametrize("wait", ["clamp_time", "pressure_wait", "tap_wait"])
def test_a_wait_that_nobody_stated_takes_its_rungs_with_it(wait: str) -> None:
    """No clamp time: no clamp off, no backfill. No pressure wait: nothing after it. No tap wait: neither cut
    nor what comes after it.
    """
    family = catalog().families["demo-saddle-screw"]
    bare = family.every_pair
    assert bare is not None
    found = joint_of("first-lateral")
    request = found.request
    assert request.pair is not None and request.label is not None
    cool = request.label.cool.model_copy(update={wait: None})
    pair = request.pair.model_copy(update={"cool": cool})
    common = bare.model_copy(update={"cool": bare.cool.model_copy(update={wait: None})})
    changed = family.model_copy(update={"pairs": (pair,), "every_pair": common})
    left = work_out(replace(request, family=changed))
    gone = {
        "clamp_time": {"clamps_off", "backfill"},
        "pressure_wait": {"test", "tap", "working_pressure", "backfill"},
        "tap_wait": {"tap", "working_pressure", "backfill"},
    }[wait]
    assert {rung for rung in RUNGS if f"clock.{rung}" not in left.values} == gone
    assert "clock.joint_total" not in left.values


@pytest.mark.parametrize("degrees", ["20 degC", "35 degC"])
@pytest.mark.parametrize(("name", "place"), [("first-lateral", 0), ("live-tap", 1), ("valve-isolation", 1)])
def test_every_rung_and_the_planned_time_have_one_formula(name: str, place: int, degrees: str) -> None:
    """The symbols are those of the inputs, in heat as well."""
    values = at(name, degrees, place).values
    clocks = [value for key, value in values.items() if key.startswith("clock.")]
    assert len(clocks) >= 5
    for value in clocks:
        assert value.working is not None
        assert filled(value.name, value.working.inputs) is not None, value.name
