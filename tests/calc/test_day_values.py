"""The planned day of the demo jobs, and the two rows of the fit check that stand on it.

In: demo jobs, some with other means, limits or weather. Out: a failure that names the joint or the row.
Times are added up by hand: 45 min to prepare, the label's fusion time, its waits, 45 min to finish.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.day_plan import JointPlan
from packgen.calc.day_values import Day, planned_day
from packgen.calc.fit_outage import outage_checks
from packgen.calc.request import Check, request_of
from packgen.model.job import Job, Means
from packgen.model.job_load import load_job
from packgen.units import quantity
from tests.calc.demo import CONTENT, catalog


def job_of(name: str, **changes: Any) -> Job:
    """A demo job with keys changed; `outage` and `ambient` are those of its isolation and its site."""
    job = load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())[0]
    if "outage" in changes:
        assert job.isolation is not None
        outage = quantity(changes.pop("outage"))
        changes["isolation"] = job.isolation.model_copy(update={"outage": outage})
    if "ambient" in changes:
        changes["site"] = job.site.model_copy(update={"ambient": quantity(changes.pop("ambient"))})
    return job.model_copy(update=changes)


def day_of(name: str, **changes: Any) -> Day:
    """The planned day of a demo job."""
    day = planned_day(job_of(name, **changes), catalog())
    assert day is not None
    return day


def checks_of(name: str, **changes: Any) -> dict[str, Check]:
    """The rows about time of a demo job's first joint."""
    job = job_of(name, **changes)
    return {each.key: each for each in outage_checks(request_of(job, job.joints[0], catalog()))}


def means(people: int, units: int, clamps: int, time: str = "10 h") -> Means:
    """What a job is planned with."""
    return Means(people=people, control_units=units, clamp_sets=clamps, time=quantity(time))


def seconds(row: JointPlan) -> list[float]:
    """A joint's stages, s from the start of work."""
    return [
        row.prepare_start, row.fusion_start, row.fusion_end, row.clamps_off, row.wait_end, row.finish_start,
        row.finish_end,
    ]  # fmt: skip


def clock(*times: str) -> list[float]:
    """Times written as minutes and seconds, s."""
    split = (time.split(":") for time in times)
    return [60.0 * int(minutes) + int(rest) for minutes, rest in split]


def test_two_people_with_one_control_unit_follow_one_another_through_the_fusion() -> None:
    """J1 fuses 88 s, J2 at most 80 s; J2's preparation begins so late that the unit is free when it ends."""
    day = day_of("valve-isolation")
    first, second = day.plan.joints
    assert seconds(first) == clock("0:00", "45:00", "46:28", "61:28", "76:28", "76:28", "121:28")
    assert seconds(second) == clock("1:28", "46:28", "47:48", "59:48", "71:48", "71:48", "116:48")
    assert (first.control_unit, second.control_unit) == (1, 1)
    assert {first.fuser, second.fuser} == {first.finisher, second.finisher} == {1, 2}
    assert {first.clamp_set, second.clamp_set} == {1, 2}
    assert (day.around, day.total) == (3600.0, clock("181:28")[0])
    assert day.bottleneck is None


def test_one_person_is_what_holds_two_joints_up() -> None:
    """J2 begins as the clamp of J1 comes off; J1 is finished when J2 is fused, at 107:48, and then J2."""
    day = day_of("valve-isolation", means=means(1, 1, 1))
    assert [seconds(row)[0] for row in day.plan.joints] == clock("0:00", "61:28")
    assert [seconds(row)[-1] for row in day.plan.joints] == clock("152:48", "197:48")
    assert day.bottleneck == "people"


def test_a_dry_or_live_main_takes_no_time_around() -> None:
    for name in ("first-lateral", "live-tap", "service-tap"):
        day = day_of(name)
        assert day.around == 0.0
        assert day.total == day.plan.makespan


def test_a_coupling_follows_the_cut_through_a_valve() -> None:
    """The main is cut, the valve shut, then the lateral is joined: J2 begins when J1 is done."""
    branch, coupling = day_of("live-tap", means=means(4, 4, 4)).plan.joints
    assert seconds(branch)[-1] == seconds(coupling)[0] == clock("121:25")[0]


def test_a_coupling_on_a_tapping_saddle_comes_before_its_cut() -> None:
    """Saddle 45 min, 58 s, 20 min of waits; the whole coupling, 45 min, 40 s, 12, 45; then the saddle."""
    branch, coupling = day_of("service-tap", means=means(4, 4, 4)).plan.joints
    assert seconds(branch) == clock("0:00", "45:00", "45:58", "55:58", "65:58", "168:38", "213:38")
    assert seconds(coupling) == clock("65:58", "110:58", "111:38", "119:38", "123:38", "123:38", "168:38")


def test_a_coupling_that_carries_nothing_waits_for_nobody() -> None:
    job = job_of("live-tap")
    apart = job.joints[1].model_copy(update={"carries": None})
    day = day_of("live-tap", joints=(job.joints[0], apart), means=means(2, 2, 2))
    assert [row.prepare_start for row in day.plan.joints] == [0.0, 0.0]


def test_in_heat_the_plan_waits_as_long_as_the_joint() -> None:
    """At 35 °C the extra wait of the label's drawing data stands in the plan."""
    cool, hot = day_of("first-lateral"), day_of("first-lateral", ambient="35 degC")
    assert hot.times[0].wait > cool.times[0].wait == 1800.0
    assert hot.times[0].clamp_time - cool.times[0].clamp_time == pytest.approx(
        hot.times[0].wait - cool.times[0].wait
    )
    assert (cool.open, hot.open) == (False, False)


def test_a_wait_that_the_owner_adds_in_heat_leaves_the_plan_open() -> None:
    """J2 of the job has the plain label: what it waits longer nobody can say."""
    hot = day_of("valve-isolation", ambient="35 degC")
    assert hot.open
    assert hot.times[1].wait == 24 * 60.0
    assert not day_of("valve-isolation").open


def test_a_job_whose_label_states_no_wait_has_no_plan() -> None:
    family = catalog().families["demo-saddle-bolt"]
    pairs = tuple(
        pair.model_copy(update={"cool": pair.cool.model_copy(update={"tap_wait": None})})
        for pair in family.pairs
    )
    common = family.every_pair
    common = common.model_copy(update={"cool": common.cool.model_copy(update={"tap_wait": None})})
    bare = family.model_copy(update={"pairs": pairs, "every_pair": common})
    shelf = {**catalog().families, family.id: bare}
    changed = replace(catalog(), families=shelf)
    job = job_of("valve-isolation")
    assert planned_day(job, changed) is None
    rows = list(outage_checks(request_of(job, job.joints[0], changed)))
    assert [(row.key, row.found, row.passed) for row in rows] == [("outage", "", None), ("day", "", None)]


@pytest.mark.parametrize(("limit", "room"), [
    ("60 min", 0), ("182 min", 0), ("241 min", 0), ("242 min", 1), ("257 min", 1), ("258 min", 2),
])  # fmt: skip
def test_the_further_joints_that_fit(limit: str, room: int) -> None:
    """With an hour around, a third joint is done at 181:16 and a fourth at 197:56, bar by bar on paper.

    J3 has J2's clamps at 59:48 and is finished after its wait, from 136:16. J4 has J1's clamps at 61:28, and
    is finished when J1 is, at 152:56.
    """
    day = day_of("valve-isolation")
    assert day.longest == 0
    assert day.room(quantity(limit).to("s")) == room


def test_the_rows_of_the_fit_check_hold_the_plan_against_both_limits() -> None:
    """181:28 is printed as 182 min."""
    rows = checks_of("valve-isolation")
    assert (rows["outage"].found, rows["outage"].limit, rows["outage"].passed) == ("182 min", "≤ 6 h", True)
    assert (rows["day"].found, rows["day"].limit, rows["day"].passed) == ("182 min", "≤ 10 h", True)
    assert set(checks_of("repair-tie-in")) == {"day"}
    assert checks_of("first-lateral") == {}


@pytest.mark.parametrize(("limit", "passed"), [("10888 s", True), ("10887 s", False)])
def test_a_limit_is_met_to_the_second(limit: str, passed: bool) -> None:
    """181 min 28 s are 10,888 s."""
    rows = checks_of("valve-isolation", outage=limit, means=means(2, 1, 2, limit))
    assert [rows[key].passed for key in ("outage", "day")] == [passed, passed]


def test_a_plan_that_is_too_long_names_the_bottleneck_and_its_cure() -> None:
    rows = checks_of("valve-isolation", outage="4 h", means=means(1, 1, 2, "4 h"))
    for key, what in (("outage", "stated outage"), ("day", "time at hand")):
        reason = rows[key].reason
        assert rows[key].passed is False and reason is not None
        assert reason.what.endswith(f"the {what} is 4 h")
        assert reason.cure.startswith("bring one more person who fuses, or do fewer joints in it, or ")
    many = checks_of("valve-isolation", means=means(9, 9, 9, "2 h"))["day"].reason
    assert many is not None and many.cure == "do fewer joints in it, or take a longer day, or two"


def test_in_heat_a_plan_that_would_fit_is_for_the_crew_and_one_that_does_not_is_refused() -> None:
    hot = checks_of("valve-isolation", ambient="35 degC")
    assert [hot[key].passed for key in ("outage", "day")] == [None, None]
    assert checks_of("valve-isolation", ambient="35 degC", outage="3 h")["outage"].passed is False
