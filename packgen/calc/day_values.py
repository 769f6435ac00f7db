"""The day of a job: when each stage of each joint is done, with the people and tools at hand.

In: a `Job` and the `Catalog` it is made from. Out: a `Day`, s from the start of work at the joints.
Vocabulary: as in `day_plan`; *around* is the time to isolate the main and to restore it, and *open* says that
the owner adds a wait in heat that nobody has stated here. A coupling that carries a lateral on comes after
its branch, whose main is cut first; a tapping saddle is cut last, so that its coupling comes within it. What
is joined by a written procedure of its own is not in the plan.
Sources: the labels of the joints, the work rules `time-prepare`, `time-finish`, `time-around`, the job file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from packgen.calc import day_plan
from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.clock_values import planned_times
from packgen.calc.cool_values import cool_values, warmest
from packgen.calc.day_plan import JointTimes, Means, Plan
from packgen.calc.ledger import Ledger
from packgen.calc.pipe_values import both_pipes
from packgen.calc.request import Request, request_of
from packgen.calc.stated_values import label_values
from packgen.calc.weather_values import weather_values
from packgen.calc.worked_values import fuse_values
from packgen.errors import OutOfRange
from packgen.model.catalog import Catalog
from packgen.model.job import Job


@dataclass(frozen=True)
class Day:
    """The planned day: joints by id in the job's order, their times, the means, s."""

    joints: tuple[str, ...]
    times: tuple[JointTimes, ...]
    means: Means
    around: float
    open: bool

    @cached_property
    def plan(self) -> Plan:
        """When each stage of each joint begins and ends."""
        return day_plan.day_plan(self.times, self.means)

    @property
    def total(self) -> float:
        """From the start of isolating until the main is restored; the work at the joints where it is dry."""
        return self.plan.makespan + self.around

    def fits(self, limit: float) -> bool:
        """Whether all of it is done within a limit, s."""
        return self.total <= limit + FLOAT_NOISE

    @cached_property
    def bottleneck(self) -> str | None:
        """Of what one more would shorten the work the most; None where one more of no single one does."""
        return day_plan.bottleneck(self.times, self.means)

    @property
    def longest(self) -> int:
        """The place of the joint that takes longest by itself."""
        whole = [each.prepare + each.fusion + each.wait + each.finish for each in self.times]
        return whole.index(max(whole))

    def room(self, limit: float) -> int:
        """How many joints more, like the longest, can be done as well within a limit, s."""
        more = replace(self.times[self.longest], after=None, within=None)
        return day_plan.capacity(more, self.means, max(0.0, limit - self.around), self.times)


def planned_day(job: Job, catalog: Catalog) -> Day | None:
    """The day of a job; None where a joint's label does not state its times, or states none that can be."""
    requests = [request_of(job, joint, catalog) for joint in job.joints]
    try:
        times = [_times(request, requests) for request in requests]
    except OutOfRange:  # told with the joint that cannot be made
        return None
    known = tuple(each for each in times if each is not None)
    if len(known) < len(times):
        return None
    around = catalog.rule_quantity("time-around", "s") if job.state == "isolated" else 0.0
    means = Means(job.means.people, job.means.control_units, job.means.clamp_sets)
    names = tuple(joint.id for joint in job.joints)
    return Day(names, known, means, around, any(map(_adds_a_wait, requests)))


def _times(request: Request, requests: Sequence[Request]) -> JointTimes | None:
    """One joint's planned times, and the joint it comes after or within."""
    ledger = Ledger()
    both_pipes(ledger, request)
    for question in (label_values, weather_values, fuse_values, cool_values):
        question(ledger, request)
    times, rule = planned_times(ledger, request), request.catalog.rule_quantity
    if times is None:
        return None
    prepare, finish = rule("time-prepare", "s"), rule("time-finish", "s")
    order = _order(request, requests)
    return JointTimes(prepare, times.fusion, times.clamp_time, times.wait, finish, **order)


def _order(request: Request, requests: Sequence[Request]) -> dict[str, int]:
    """Where a coupling that carries a lateral on comes; nothing for any other joint.

    A built-in cutter cuts last: the lateral is joined and tested first, while the main is whole. Of every
    other way the main is cut before the lateral is joined.
    """
    carried = request.joint.carries if request.joint else None
    for place, branch in enumerate(requests):
        if branch.joint is not None and branch.joint.id == carried:
            return {"within" if branch.method == "built-in cutter" else "after": place}
    return {}


def _adds_a_wait(request: Request) -> bool:
    """Whether it is, or may be, hotter than a joint's waits are stated for, and no wait in heat is worked."""
    reference = request.label.cool.reference_temperature if request.label else None
    air = warmest(request)
    hot = air is not None and (reference is None or air.to("degC") > reference.to("degC") + FLOAT_NOISE)
    return hot and request.facts["heat"] != "worked"
