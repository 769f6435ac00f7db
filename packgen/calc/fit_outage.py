"""The fit check's rows about time: does the planned work fit the day, and the outage customers were told?

In: a `Request` of a job. Out: a `Check` row for each limit the job states. Vocabulary: as in `day_values`; an
isolated main takes its time to isolate and to restore as well.
Sources: the labels of all joints of the job, the work rules `time-prepare`, `time-finish`, `time-around`.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc.day_values import Day, planned_day
from packgen.calc.request import Check, Request, judged
from packgen.rounding import decimal_text
from packgen.units import Quantity

_ONE_MORE = {
    "people": "bring one more person who fuses",
    "control units": "bring one more control unit",
    "clamp sets": "bring one more clamp set",
}


def outage_checks(request: Request) -> Iterator[Check]:
    """The planned time of all joints is within the stated outage, and within the time at hand."""
    job = request.job
    if job is None:
        return
    outage = job.isolation.outage if job.isolation else None
    if outage is None and job.means.time is None:
        return
    day = planned_day(job, request.catalog)
    if outage is not None:
        yield _row(request, day, "outage", outage, "stated outage", "state a longer outage")
    if job.means.time is not None:
        yield _row(request, day, "day", job.means.time, "time at hand", "take a longer day, or two")


def _row(request: Request, day: Day | None, key: str, limit: Quantity, name: str, cure: str) -> Check:
    """The row of one limit; left to the crew where a time is not known, or a wait in heat is added yet."""
    most = request.plain(limit, "down")
    if day is None:
        return Check(key, "", f"≤ {most}", None)
    found = f"{decimal_text(day.total / 60.0, 0, 'up')} min"
    fits = day.fits(limit.to("s"))
    if fits and day.open:
        return Check(key, found, f"≤ {most}", None)
    what = f"the planned work takes {found}, the {name} is {most}"
    more = [_ONE_MORE[day.bottleneck]] if day.bottleneck else []
    return judged(key, found, f"≤ {most}", fits, what, ", or ".join([*more, "do fewer joints in it", cure]))
