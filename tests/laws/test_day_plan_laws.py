"""Laws of ladders, day plans and kit lists: nothing is used twice at once, and more never takes longer."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import clock, kit, ladder
from packgen.calc.day_plan import (
    RESOURCES,
    JointPlan,
    JointTimes,
    Means,
    Plan,
    bottleneck,
    capacity,
    day_plan,
)

quick = settings(max_examples=60, deadline=None, derandomize=True, database=None)
whole_minutes = st.integers(0, 90).map(lambda minutes: 60.0 * minutes)
waits = st.floats(1.0, 1e4)
times = st.floats(0.0, 1e4)
numbers = st.integers(1, 4)
means = st.builds(Means, numbers, numbers, numbers)


@st.composite
def joint_times(draw: st.DrawFn) -> JointTimes:
    """A joint of any times in whole minutes."""
    prepare, clamp, longer, finish = (draw(whole_minutes) for _ in range(4))
    fusion = 60.0 * draw(st.integers(1, 20))
    return JointTimes(prepare, fusion, clamp, clamp + longer, finish)


@st.composite
def jobs(draw: st.DrawFn) -> list[JointTimes]:
    """Up to five joints, some of which come after an earlier one or within it."""
    joints: list[JointTimes] = []
    for place, joint in enumerate(draw(st.lists(joint_times(), min_size=1, max_size=5))):
        order = draw(st.sampled_from(["", "after", "within"])) if place else ""
        earlier = {order: draw(st.integers(0, place - 1))} if order else {}
        joints.append(replace(joint, **earlier))
    return joints


def work(row: JointPlan) -> list[tuple[int, float, float]]:
    """Who is at the joint, from when until when."""
    return [(row.fuser, row.prepare_start, row.fusion_end), (row.finisher, row.finish_start, row.finish_end)]


def no_overlap(uses: Iterable[tuple[int, float, float]], number: int) -> bool:
    """Whether each of the numbered things does one piece of work at a time."""
    by_thing: dict[int, list[tuple[float, float]]] = {}
    for thing, start, end in uses:
        by_thing.setdefault(thing, []).append((start, end))
    assert set(by_thing) <= set(range(1, number + 1))
    return all(
        earlier[1] <= later[0] + 1e-6
        for spans in by_thing.values()
        for earlier, later in itertools.pairwise(sorted(spans))
    )


def least(joints: list[JointTimes], with_what: Means) -> float:
    """Bounds no plan beats, each worked apart: a chain's length, each means' work shared out."""
    chain = 0.0
    for joint in joints:
        total, at = clock.joint_total(joint.prepare, joint.fusion, joint.wait, joint.finish), joint
        inside = True  # made within the other, the joint is followed by the other's finish
        while at.after is not None or at.within is not None:
            inside = inside and at.after is None
            whole = inside or at.after is not None
            at = joints[at.after if at.after is not None else at.within or 0]
            total += clock.joint_total(at.prepare, at.fusion, at.wait, at.finish if whole else 0.0)
        chain = max(chain, total)
    hands = sum(joint.prepare + joint.fusion + joint.finish for joint in joints) / with_what.people
    units = sum(joint.fusion for joint in joints) / with_what.control_units
    clamps = sum(joint.prepare + joint.fusion + joint.clamp_time for joint in joints) / with_what.clamp_sets
    return max(chain, hands, units, clamps)


def judge_stages(joint: JointTimes, row: JointPlan, plan: Plan) -> None:
    """The stages of one joint follow one another by its own times."""
    assert row.prepare_start >= 0.0
    assert row.fusion_start == pytest.approx(row.prepare_start + joint.prepare)
    assert row.fusion_end == pytest.approx(row.fusion_start + joint.fusion)
    assert row.clamps_off == pytest.approx(row.fusion_end + joint.clamp_time)
    assert row.wait_end == pytest.approx(row.fusion_end + joint.wait)
    assert row.wait_end <= row.finish_start
    assert row.finish_end == pytest.approx(row.finish_start + joint.finish)
    if joint.after is not None:
        assert row.prepare_start >= plan.joints[joint.after].finish_end
    if joint.within is not None:
        outer = plan.joints[joint.within]
        assert outer.wait_end <= row.prepare_start
        assert row.finish_end <= outer.finish_start


@quick
@given(jobs(), means)
def test_every_plan_can_be_carried_out(joints: list[JointTimes], with_what: Means) -> None:
    """Each joint keeps its times, and no person, control unit or clamp set is in two places."""
    plan = day_plan(joints, with_what)
    assert len(plan.joints) == len(joints)
    for joint, row in zip(joints, plan.joints, strict=True):
        judge_stages(joint, row, plan)
    rows = plan.joints
    assert no_overlap(itertools.chain.from_iterable(map(work, rows)), with_what.people)
    units = [(row.control_unit, row.fusion_start, row.fusion_end) for row in rows]
    assert no_overlap(units, with_what.control_units)
    clamps = [(row.clamp_set, row.prepare_start, row.clamps_off) for row in rows]
    assert no_overlap(clamps, with_what.clamp_sets)
    assert plan.makespan == max(row.finish_end for row in rows)


@quick
@given(jobs(), means)
def test_no_plan_is_shorter_than_can_be(joints: list[JointTimes], with_what: Means) -> None:
    """Never below the bounds, never above all joints done one after the other."""
    makespan = day_plan(joints, with_what).makespan
    one_by_one = sum(clock.joint_total(j.prepare, j.fusion, j.wait, j.finish) for j in joints)
    assert least(joints, with_what) - 1e-6 <= makespan <= one_by_one + 1e-6


@quick
@given(jobs(), means, st.sampled_from(["people", "control_units", "clamp_sets"]))
def test_more_of_anything_never_takes_longer(joints: list[JointTimes], with_what: Means, which: str) -> None:
    """For joints alike and unlike, chained or not."""
    numbers_now = {name: getattr(with_what, name) for name in ("people", "control_units", "clamp_sets")}
    more = Means(**{**numbers_now, which: numbers_now[which] + 1})
    assert day_plan(joints, more).makespan <= day_plan(joints, with_what).makespan + 1e-6


@pytest.mark.parametrize("number", [1, 2, 3, 5])
def test_for_joints_alike_every_step_over_a_grid_helps_or_does_nothing(number: int) -> None:
    """Saddles of the demo's times: all means from one to five of each."""
    joints = [JointTimes(2700.0, 85.0, 900.0, 1800.0, 2700.0)] * number
    spans = {
        each: day_plan(joints, Means(*each)).makespan for each in itertools.product(range(1, 6), repeat=3)
    }
    for each, span in spans.items():
        for place in range(3):
            more = tuple(count + (place == index) for index, count in enumerate(each))
            assert spans.get(more, 0.0) <= span + 1e-6
    assert spans[5, 5, 5] == pytest.approx(2700.0 + 85.0 + 1800.0 + 2700.0)


@quick
@given(jobs(), means)
def test_the_same_question_has_the_same_answer(joints: list[JointTimes], with_what: Means) -> None:
    """Nothing is drawn by lot, and means beyond a joint each change nothing."""
    plan = day_plan(joints, with_what)
    assert day_plan(list(joints), with_what) == plan
    enough = Means(*(max(count, len(joints)) for count in (9, 9, 9)))
    assert day_plan(joints, enough) == day_plan(joints, Means(*([len(joints)] * 3)))


@quick
@given(jobs(), means)
def test_the_bottleneck_is_what_one_more_of_would_help_most(
    joints: list[JointTimes], with_what: Means
) -> None:
    """Named where one more helps, none where no single one does."""
    now = day_plan(joints, with_what).makespan
    spans = [
        day_plan(joints, Means(*more)).makespan
        for more in (
            (with_what.people + 1, with_what.control_units, with_what.clamp_sets),
            (with_what.people, with_what.control_units + 1, with_what.clamp_sets),
            (with_what.people, with_what.control_units, with_what.clamp_sets + 1),
        )
    ]
    found = bottleneck(joints, with_what)
    if found is None:
        assert min(spans) >= now - 1e-6
    else:
        assert spans[RESOURCES.index(found)] == min(spans) < now


@quick
@given(joint_times(), means, st.floats(0.0, 30_000.0))
def test_the_capacity_fits_and_one_more_does_not(joint: JointTimes, with_what: Means, day: float) -> None:
    """Both sides of the day's end, and a longer day or more of everything never holds fewer."""
    joint = replace(joint, prepare=joint.prepare + 1800.0)
    found = capacity(joint, with_what, day)
    assert found == 0 or day_plan([joint] * found, with_what).makespan <= day + 1e-6
    assert day_plan([joint] * (found + 1), with_what).makespan > day
    assert capacity(joint, with_what, 1.1 * day) >= found
    if found:
        assert capacity(joint, with_what, day, [joint]) == found - 1
    more = Means(with_what.people + 1, with_what.control_units + 1, with_what.clamp_sets + 1)
    assert capacity(joint, more, day) >= found


@quick
@given(st.lists(joint_times(), min_size=1, max_size=6))
def test_one_person_with_clamp_sets_enough_keeps_within_the_outage_that_is_reckoned(
    joints: list[JointTimes],
) -> None:
    """The plan is never longer than all work added up, with the longest wait behind it."""
    hands = sum(joint.prepare + joint.fusion + joint.finish for joint in joints)
    reckoned = hands + max(joint.wait for joint in joints)
    assert day_plan(joints, Means(1, 1, len(joints))).makespan <= reckoned + 1e-6


@quick
@given(waits, waits, waits, times, times, times, times)
def test_the_ladder_s_rungs_never_fall(
    clamp: float, pressure: float, tap_wait: float, outlet: float, hold: float, cut: float, lateral: float
) -> None:
    """No rung is before a wait that guards it, and each wait made longer moves no rung forward."""
    start = ladder.leak_test_start(pressure, outlet)
    end = ladder.leak_test_end(start, hold + 1.0)
    tap = ladder.tap(tap_wait, pressure, end)
    working = ladder.working_pressure(pressure, tap + cut, lateral)
    covered = ladder.backfill(ladder.clamps_off(clamp), working, hold)
    assert pressure <= start < end <= tap <= working <= covered
    assert tap >= tap_wait
    assert covered >= clamp
    assert working >= lateral
    assert ladder.tap(tap_wait, pressure) <= tap
    assert ladder.tap(tap_wait + 1.0, pressure + 1.0, end) >= tap
    assert ladder.leak_test_start(pressure + 1.0, outlet + 1.0) > start


@quick
@given(st.lists(st.floats(100.0, 1e5), max_size=6), st.floats(0.1, 10.0), st.floats(0.0, 100.0))
def test_solvent_adds_up_over_surfaces(areas: list[float], rate: float, spare: float) -> None:
    """The whole is the sum of its surfaces; without surfaces nothing is brought."""
    whole = kit.solvent(areas, rate, spare)
    assert whole == pytest.approx(sum(kit.solvent([area], rate, spare) for area in areas))
    assert kit.solvent([], rate, spare) == 0.0


@quick
@given(st.integers(0, 200), st.integers(1, 20), st.integers(0, 5))
def test_the_blades_suffice_and_one_less_would_not(peels: int, each: int, spare: int) -> None:
    """Rounded up, never by a whole blade."""
    enough = kit.blades(peels, each, spare) - spare
    assert enough * each >= peels
    assert (enough - 1) * each < peels or enough == 0
    assert kit.wipes(peels, each, 0.0) == peels * each


@quick
@given(st.lists(st.sampled_from(["2 on 4", "2 on 6", "4 on 8"]), max_size=9), st.integers(1, 4))
def test_every_joint_has_its_fitting_and_every_cut_its_saw(kinds: list[str], life: int) -> None:
    """Kinds as the joints name them, in number; saws in number enough for the cuts."""
    counted = kit.fittings(kinds, 0)
    assert sum(counted.values()) == len(kinds)
    assert list(counted) == list(dict.fromkeys(kinds))
    assert {kind: number - life for kind, number in kit.fittings(kinds, life).items()} == counted
    for size, saws in kit.hole_saws(kinds, life).items():
        assert (saws - 1) * life < kinds.count(size) <= saws * life
