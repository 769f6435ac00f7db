"""Ladders, day plans and kit lists worked by hand.

In: times in minutes. Out: a failure that shows the time expected and the time planned.
Source: arithmetic on paper; every bar drawn out and added up.
"""

from __future__ import annotations

import pytest

from packgen.calc import clock, kit, ladder
from packgen.calc.day_plan import JointPlan, JointTimes, Means, bottleneck, capacity, day_plan

MINUTE = 60.0


def joint(
    prepare: float, fusion: float, clamp: float, wait: float, finish: float,
    after: int | None = None, within: int | None = None,
) -> JointTimes:  # fmt: skip
    """A joint whose times are given in minutes."""
    return JointTimes(*(time * MINUTE for time in (prepare, fusion, clamp, wait, finish)), after, within)


# Prepared in 40, fused in 2, clamped for 15, ready after 30, finished in 28 minutes: 100 in all.
PLAIN = joint(40, 2, 15, 30, 28)


def begins_and_ends(rows: tuple[JointPlan, ...]) -> list[tuple[float, float, float]]:
    """Preparation start, finish start, finish end of each joint, min."""
    return [(row.prepare_start / MINUTE, row.finish_start / MINUTE, row.finish_end / MINUTE) for row in rows]


def test_one_joint_takes_what_the_clock_says() -> None:
    """With nobody to wait for, a plan of one is the joint's own total."""
    assert day_plan([PLAIN], Means(1, 1, 1)).makespan == clock.joint_total(
        PLAIN.prepare, PLAIN.fusion, PLAIN.wait, PLAIN.finish
    )
    assert day_plan([PLAIN], Means(9, 9, 9)).makespan == 100.0 * MINUTE


def test_one_person_prepares_the_second_joint_while_the_first_waits() -> None:
    """0–42 first, 42–84 second, 84–112 first finished, 114–142 second finished after its wait."""
    plan = day_plan([PLAIN, PLAIN], Means(1, 1, 2))
    assert begins_and_ends(plan.joints) == [(0.0, 84.0, 112.0), (42.0, 114.0, 142.0)]
    assert plan.makespan == 142.0 * MINUTE
    assert [row.clamp_set for row in plan.joints] == [1, 2]


def test_one_clamp_set_holds_the_second_joint_back() -> None:
    """The clamp comes off at 57; the second is prepared until 99, the first finished from 99."""
    plan = day_plan([PLAIN, PLAIN], Means(1, 1, 1))
    assert begins_and_ends(plan.joints) == [(0.0, 99.0, 127.0), (57.0, 129.0, 157.0)]
    assert bottleneck([PLAIN, PLAIN], Means(1, 1, 1)) == "clamp sets"
    assert bottleneck([PLAIN, PLAIN], Means(1, 1, 2)) == "people"


def test_a_control_unit_is_free_at_fusion_end() -> None:
    """Long fusions of 20 min, two people: the second joint's preparation begins so late that it ends with the
    first's fusion, and no prepared joint lies open."""
    slow = joint(10, 20, 30, 40, 10)
    first, second = day_plan([slow, slow], Means(2, 1, 2)).joints
    assert second.fusion_start == first.fusion_end == 30.0 * MINUTE
    assert second.prepare_start == 20.0 * MINUTE
    assert bottleneck([slow, slow], Means(2, 1, 2)) == "control units"


def test_enough_of_everything_does_all_joints_at_once() -> None:
    """Four at once take as long as one, and nothing more helps."""
    plan = day_plan([PLAIN] * 4, Means(4, 4, 4))
    assert plan.makespan == 100.0 * MINUTE
    assert bottleneck([PLAIN] * 4, Means(4, 4, 4)) is None


def test_a_coupling_begins_when_its_branch_is_finished() -> None:
    """A chain is as long as its joints together, however many people stand by."""
    plan = day_plan([PLAIN, joint(20, 1, 10, 20, 9, after=0)], Means(3, 3, 3))
    assert plan.joints[1].prepare_start == plan.joints[0].finish_end
    assert plan.makespan == (100.0 + 50.0) * MINUTE


def test_a_coupling_is_made_between_the_waits_of_a_tapping_saddle_and_its_cut() -> None:
    """Saddle 0–42, its waits until 72; coupling 72–93, its waits until 113, done at 122; the saddle at 150.

    With a second person nothing is sooner.
    """
    joints = [PLAIN, joint(20, 1, 10, 20, 9, within=0)]
    for people in (1, 2):
        plan = day_plan(joints, Means(people, 1, 1))
        assert begins_and_ends(plan.joints) == [(0.0, 122.0, 150.0), (72.0, 113.0, 122.0)]
        assert plan.makespan == 150.0 * MINUTE
    assert bottleneck(joints, Means(1, 1, 1)) is None


def test_what_is_planned_already_takes_its_share_of_the_day() -> None:
    """One person: 142 min for two, 210 for three; beside a short joint a day of 99 min has no room."""
    assert capacity(PLAIN, Means(1, 1, 9), 210.0 * MINUTE, [PLAIN]) == 2
    assert capacity(PLAIN, Means(1, 1, 9), 209.0 * MINUTE, [PLAIN]) == 1
    assert capacity(PLAIN, Means(1, 1, 9), 142.0 * MINUTE, [PLAIN]) == 1
    assert capacity(PLAIN, Means(1, 1, 9), 99.0 * MINUTE, [joint(20, 1, 10, 20, 9)]) == 0


@pytest.mark.parametrize(
    ("hours", "number"), [(0.0, 0), (1.66, 0), (100.0 / 60.0, 1), (142.0 / 60.0, 2), (3.49, 2), (3.5, 3)]
)
def test_the_joints_that_fit_a_day(hours: float, number: int) -> None:
    """One person, clamp sets enough: 100, 142, then 70 minutes of work for each further joint."""
    assert capacity(PLAIN, Means(1, 1, 9), hours * 3600.0) == number


def test_the_ladder_of_a_saddle_with_a_joint_on_its_outlet() -> None:
    """15/20/30 min on the label, an outlet joint ready at 45, a hold of 10, a cut of 15, a lateral at 110."""
    minutes = (15.0, 20.0, 30.0, 45.0, 10.0)
    clamp, pressure, tap_wait, outlet, hold = (time * MINUTE for time in minutes)
    off = ladder.clamps_off(clamp)
    start = ladder.leak_test_start(pressure, outlet)
    end = ladder.leak_test_end(start, hold)
    cut = ladder.tap(tap_wait, pressure, end)
    working = ladder.working_pressure(pressure, cut + 15.0 * MINUTE, 110.0 * MINUTE)
    covered = ladder.backfill(off, working, 10.0 * MINUTE)
    found = [time / MINUTE for time in (off, start, end, cut, working, covered)]
    assert found == [15.0, 45.0, 55.0, 55.0, 110.0, 120.0]


@pytest.mark.parametrize(
    ("tap_wait", "pressure_wait", "test_end", "printed"),
    [(30, 20, 0, 30), (30, 45, 0, 45), (30, 20, 50, 50), (30, 20, 29, 30)],
)
def test_the_latest_of_the_three_decides_the_cut(
    tap_wait: float, pressure_wait: float, test_end: float, printed: float
) -> None:
    """Each of tap wait, pressure wait and test end in its turn."""
    times = (time * MINUTE for time in (tap_wait, pressure_wait, test_end))
    assert ladder.tap(*times) == printed * MINUTE


@pytest.mark.parametrize(
    ("pressure_wait", "before", "lateral", "printed"),
    [(20, 0, 0, 20), (20, 45, 0, 45), (20, 45, 80, 80), (90, 45, 80, 90)],
)
def test_the_latest_of_the_three_decides_the_working_pressure(
    pressure_wait: float, before: float, lateral: float, printed: float
) -> None:
    """Each of pressure wait, work before and the lateral's joint in its turn."""
    times = (time * MINUTE for time in (pressure_wait, before, lateral))
    assert ladder.working_pressure(*times) == printed * MINUTE


def test_the_kit_of_three_joints_by_hand() -> None:
    """Two 2 on 6 saddles and a 4 on 8: zones of 26,820 and 68,000 mm², each with its underside."""
    areas = [26_820.0] * 4 + [68_000.0] * 2
    assert kit.solvent(areas, 2.0, 50.0) == pytest.approx(0.72984)
    assert kit.wipes(6, 3, 50.0) == 27
    assert kit.wipes(5, 3, 50.0) == 23
    assert [kit.blades(peels, 2, 1) for peels in (0, 1, 2, 3)] == [1, 2, 2, 3]
    assert kit.fittings(["2 on 6", "4 on 8", "2 on 6"], 1) == {"2 on 6": 3, "4 on 8": 2}
    assert kit.hole_saws(["1-3/4 in", "3-3/8 in", "1-3/4 in"], 1) == {"1-3/4 in": 2, "3-3/8 in": 1}
    assert kit.hole_saws(["1-3/4 in", "3-3/8 in", "1-3/4 in"], 10) == {"1-3/4 in": 1, "3-3/8 in": 1}
