"""Can so many joints be done with this crew and these tools, and what would help?

In: the planned times of each joint and how many people, control units and clamp sets there are (s, each).
Out: a `Plan`: when each stage of each joint begins and ends, by whom and with what, s from the start of work.
Vocabulary: a joint is *prepared* (first peel until clamped), *fused*, *waits* by itself, and is *finished*
(test, cut, join). One person is at a joint while it is prepared, fused and finished, and nobody while it
waits. A joint may come *after* another, or *within* it: a lateral that is joined between a saddle's waits and
its test. A prepared joint is fused at once, so that nothing dirties it. A *clamp set* is in use from the
beginning of preparation until clamps off, a *control unit* from fusion start until fusion end. Taking a clamp
off costs nobody's time here. A crew whose rule asks for two people at every joint counts as half as many.
*Makespan* is the end of the last joint.
Source: arithmetic. The joint that can begin soonest begins next, in the order given (list scheduling).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from packgen.calc._guard import FLOAT_NOISE, refuse, require_order, require_zero_or_more
from packgen.errors import require_positive

RESOURCES = ("people", "control units", "clamp sets")


@dataclass(frozen=True)
class JointTimes:
    """Planned times of one joint, s; `wait` is the longest from fusion end.

    `after` is the place in the list of a joint that has to be finished before this one begins; `within` that
    of one whose waits have to be over before, and that is finished only when this one is.
    """

    prepare: float
    fusion: float
    clamp_time: float
    wait: float
    finish: float
    after: int | None = None
    within: int | None = None


@dataclass(frozen=True)
class Means:
    """What the crew has: people, control units, clamp sets."""

    people: int
    control_units: int
    clamp_sets: int


@dataclass(frozen=True)
class JointPlan:
    """One row of the bar chart: when each stage begins or ends, s, and who and what is used, from 1."""

    prepare_start: float
    fusion_start: float
    fusion_end: float
    clamps_off: float
    wait_end: float
    finish_start: float
    finish_end: float
    fuser: int
    finisher: int
    control_unit: int
    clamp_set: int


@dataclass(frozen=True)
class Plan:
    """A row for each joint, in the order given, and the end of the last, s."""

    joints: tuple[JointPlan, ...]
    makespan: float


def day_plan(joints: Sequence[JointTimes], means: Means) -> Plan:
    """Answer: when is each stage of each joint done, and when is all of it over?

    What can be done with less can be done with more: of the plans for the given means and for any fewer of
    them the shortest is taken, so that one more person or tool never makes the day longer.

    Parameters
    ----------
    joints
        planned times of each joint, in the order the crew would take them, s
    means
        people, control units and clamp sets at hand, each

    Returns
    -------
    Plan
        times from the start of work, s

    Raises
    ------
    OutOfRange
        a fusion time is not above zero, another time is below zero, a wait is shorter than its clamp time, a
        joint comes after or within one that does not stand before it, or both, or there is none of some means

    Source
    ------
    Arithmetic: list scheduling.

    Example
    -------
    Two joints of 45 min, 90 s, a wait of 30 min and 40 min, one of everything: the second is prepared while
    the first waits.

    >>> joint = JointTimes(2700.0, 90.0, 900.0, 1800.0, 2400.0)
    >>> plan = day_plan([joint, joint], Means(1, 1, 1))
    >>> [round(row.prepare_start / 60.0, 1) for row in plan.joints], round(plan.makespan / 60.0, 1)
    ([0.0, 61.5], 188.0)
    """
    _check(joints, means)
    if not joints:
        return Plan((), 0.0)
    useful = [min(number, len(joints)) for number in _numbers(means)]
    bound, best = _shortest_possible(joints, means), _in_order(joints, Means(*useful))
    # From the full means down, the first of the shortest: with all of it at hand, all of it is used.
    for numbers in itertools.product(*(range(number, 0, -1) for number in useful)):
        if best.makespan <= bound + FLOAT_NOISE:
            break
        plan = _in_order(joints, Means(*numbers))
        best = plan if plan.makespan < best.makespan - FLOAT_NOISE else best
    return best


def bottleneck(joints: Sequence[JointTimes], means: Means) -> str | None:
    """Answer: of what would one more shorten the day the most?

    Parameters
    ----------
    joints
        planned times of each joint, in the order the crew would take them, s
    means
        people, control units and clamp sets at hand, each

    Returns
    -------
    str | None
        "people", "control units" or "clamp sets" (no unit); None where one more of no single one helps

    Raises
    ------
    OutOfRange
        as for `day_plan`

    Source
    ------
    Arithmetic: the plan with one more of each is compared.

    Example
    -------
    One person with two control units and four clamp sets.

    >>> joint = JointTimes(2700.0, 90.0, 900.0, 1800.0, 2400.0)
    >>> bottleneck([joint] * 4, Means(1, 2, 4))
    'people'
    """
    now = day_plan(joints, means).makespan
    more = (
        replace(means, people=means.people + 1),
        replace(means, control_units=means.control_units + 1),
        replace(means, clamp_sets=means.clamp_sets + 1),
    )
    saved = [now - day_plan(joints, each).makespan for each in more]
    most = max(saved)
    return RESOURCES[saved.index(most)] if most > FLOAT_NOISE else None


def capacity(joint: JointTimes, means: Means, day: float, planned: Sequence[JointTimes] = ()) -> int:
    """Answer: how many joints alike can be done in a day, or in an outage, beside those that are planned?

    Parameters
    ----------
    joint
        planned times of one joint, s
    means
        people, control units and clamp sets at hand, each
    day
        time from the start of work until all joints have to be done, s
    planned
        planned times of the joints that are done as well, s

    Returns
    -------
    int
        number of joints, each

    Raises
    ------
    OutOfRange
        as for `day_plan`, the day is below zero, or the joint comes after or within another

    Source
    ------
    Arithmetic: one joint more is planned until the day is too short.

    Example
    -------
    Eight hours for one person, 45 min, 90 s, 30 min of wait, 40 min a joint.

    >>> capacity(JointTimes(2700.0, 90.0, 900.0, 1800.0, 2400.0), Means(1, 1, 1), 28_800.0)
    5
    """
    require_zero_or_more(day=day)
    if joint.after is not None or joint.within is not None:
        refuse("joint", "joints alike cannot come after one another", "a joint that may begin at any time")
    number = 0
    while day_plan([*planned, *[joint] * (number + 1)], means).makespan <= day + FLOAT_NOISE:
        number += 1
    return number


def _check(joints: Sequence[JointTimes], means: Means) -> None:
    require_positive(**dict(zip(("people", "control_units", "clamp_sets"), _numbers(means), strict=True)))
    for place, joint in enumerate(joints):
        require_positive(fusion=joint.fusion)
        require_zero_or_more(prepare=joint.prepare, clamp_time=joint.clamp_time, finish=joint.finish)
        require_zero_or_more(wait=joint.wait)
        require_order(clamp_time=joint.clamp_time, wait=joint.wait)
        if joint.after is not None and joint.within is not None:
            refuse("within", f"joint {place + 1} comes both after a joint and within one", "one of them")
        for key in ("after", "within"):
            other = getattr(joint, key)
            if other is not None and not 0 <= other < place:
                refuse(key, f"joint {place + 1} comes {key} one that does not stand before it")


def _numbers(means: Means) -> tuple[int, int, int]:
    return means.people, means.control_units, means.clamp_sets


def _shortest_possible(joints: Sequence[JointTimes], means: Means) -> float:
    """No plan is shorter: the longest chain, or the work of one means shared out evenly."""
    ends = (_soonest_end(joints, place) for place in range(len(joints)))
    people = sum(joint.prepare + joint.fusion + joint.finish for joint in joints) / means.people
    units = sum(joint.fusion for joint in joints) / means.control_units
    clamps = sum(joint.prepare + joint.fusion + joint.clamp_time for joint in joints) / means.clamp_sets
    return max(max(ends), people, units, clamps)


def _soonest_end(joints: Sequence[JointTimes], place: int) -> float:
    """When a joint can be finished at the soonest, with means without end."""
    inner = (_soonest_end(joints, each) for each in _inside(joints, place))
    return max([_soonest_wait_end(joints, place), *inner]) + joints[place].finish


def _soonest_wait_end(joints: Sequence[JointTimes], place: int) -> float:
    """When a joint's waits can be over at the soonest, with means without end."""
    joint = joints[place]
    begin = 0.0
    if joint.after is not None:
        begin = _soonest_end(joints, joint.after)
    elif joint.within is not None:
        begin = _soonest_wait_end(joints, joint.within)
    return begin + joint.prepare + joint.fusion + joint.wait


def _inside(joints: Sequence[JointTimes], place: int) -> list[int]:
    """The joints that are made within one."""
    return [each for each, joint in enumerate(joints) if joint.within == place]


@dataclass
class _Site:
    """When each person, control unit and clamp set is free, and the joints as far as they are planned."""

    people: list[float]
    units: list[float]
    clamps: list[float]
    begun: dict[int, JointPlan] = field(default_factory=dict)
    finished: set[int] = field(default_factory=set)


def _in_order(joints: Sequence[JointTimes], means: Means) -> Plan:
    """The list schedule: of what can be done next, what can begin soonest; a new joint first where equal."""
    people, units, clamps = ([0.0] * number for number in _numbers(means))
    site = _Site(people, units, clamps)
    while len(site.finished) < len(joints):
        new = [place for place in range(len(joints)) if place not in site.begun]
        choices = [(_begin_at(site, joints[place]), 0, place) for place in new if _free(site, joints[place])]
        choices += [
            (_finish_at(site, joints, place), 1, place)
            for place in site.begun
            if place not in site.finished and site.finished.issuperset(_inside(joints, place))
        ]
        start, stage, place = min(choices)
        if stage == 0:
            site.begun[place] = _begin(site, joints[place], start)
        else:
            site.begun[place] = _finish(site, joints[place], site.begun[place], start)
            site.finished.add(place)
    rows = tuple(site.begun[place] for place in range(len(joints)))
    return Plan(rows, max(row.finish_end for row in rows))


def _free(site: _Site, joint: JointTimes) -> bool:
    """Whether the joint that has to be done before is planned to its end, or that round it is begun."""
    after = joint.after is None or joint.after in site.finished
    return after and (joint.within is None or joint.within in site.begun)


def _begin_at(site: _Site, joint: JointTimes) -> float:
    """The soonest start at which person and clamp set are there and a control unit is when it is needed."""
    after = 0.0 if joint.after is None else site.begun[joint.after].finish_end
    within = 0.0 if joint.within is None else site.begun[joint.within].wait_end
    return max(min(site.people), min(site.clamps), min(site.units) - joint.prepare, after, within)


def _finish_at(site: _Site, joints: Sequence[JointTimes], place: int) -> float:
    """The soonest finish: a person is there, the waits are over, and what is made within it is finished."""
    inner = (site.begun[each].finish_end for each in _inside(joints, place))
    return max(min(site.people), site.begun[place].wait_end, *inner)


def _begin(site: _Site, joint: JointTimes, start: float) -> JointPlan:
    fusion_start = start + joint.prepare
    fusion_end = fusion_start + joint.fusion
    clamps_off, wait_end = fusion_end + joint.clamp_time, fusion_end + joint.wait
    return JointPlan(
        prepare_start=start,
        fusion_start=fusion_start,
        fusion_end=fusion_end,
        clamps_off=clamps_off,
        wait_end=wait_end,
        finish_start=math.nan,
        finish_end=math.nan,
        fuser=_take(site.people, fusion_end),
        finisher=0,
        control_unit=_take(site.units, fusion_end),
        clamp_set=_take(site.clamps, clamps_off),
    )


def _finish(site: _Site, joint: JointTimes, row: JointPlan, start: float) -> JointPlan:
    end = start + joint.finish
    return replace(row, finish_start=start, finish_end=end, finisher=_take(site.people, end))


def _take(free_at: list[float], until: float) -> int:
    """Take the one that is free first, the lowest number where equal; it is numbered from 1."""
    place = free_at.index(min(free_at))
    free_at[place] = until
    return place + 1
