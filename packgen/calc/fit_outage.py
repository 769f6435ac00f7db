"""The fit check's row about time: does the planned work fit the outage that customers were told?

In: a `Request` of a job. Out: a `Check` row, where the job states an outage. Vocabulary: as in `clock`.
Sources: the labels of all joints of the job, the work rules `time-prepare`, `time-finish`, `time-around`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from packgen.calc import clock
from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.clock_values import label_times
from packgen.calc.request import Check, Request, judged, request_of


def outage_checks(request: Request) -> Iterator[Check]:
    """The planned time of all joints is within the stated outage."""
    job = request.job
    stated = job.isolation.outage if job and job.isolation else None
    if job is None or stated is None:
        return
    joints = [request_of(job, joint, request.catalog) for joint in job.joints]
    needed, limit = _needed(joints, request), request.plain(stated, "down")
    hot = any(_is_hot(each) for each in joints)
    if needed is None:
        yield Check("outage", "", f"≤ {limit}", None)
        return
    found = f"{math.ceil(needed / 60.0)} min"
    if needed <= stated.to("s") + FLOAT_NOISE and hot:  # in heat the owner's extra wait comes on top
        yield Check("outage", found, f"≤ {limit}", None)
        return
    what = f"the planned work takes {found}, the stated outage is {limit}"
    cure = "state a longer outage, do fewer joints in it, or bring a second crew and have it planned"
    yield judged("outage", found, f"≤ {limit}", needed <= stated.to("s") + FLOAT_NOISE, what, cure)


def _is_hot(request: Request) -> bool:
    """Whether the air is above what a joint's waits are stated for, or may be."""
    reference = request.label.cool.reference_temperature if request.label else None
    air = request.ambient
    return air is not None and (reference is None or air.to("degC") > reference.to("degC") + FLOAT_NOISE)


def _needed(joints: Sequence[Request], request: Request) -> float | None:
    """The planned outage, s; None where a joint's label does not state its times."""
    rule = request.catalog.rule_quantity
    waits: dict[str, float] = {}
    work = []
    for each in joints:
        times = label_times(each)
        if times is None or each.joint is None:
            return None
        fusion, wait = times
        work.append(rule("time-prepare", "s") + fusion + rule("time-finish", "s"))
        chain = each.joint.carries or each.joint.id
        waits[chain] = waits.get(chain, 0.0) + wait
    return clock.outage_needed(work, list(waits.values()), rule("time-around", "s"))
