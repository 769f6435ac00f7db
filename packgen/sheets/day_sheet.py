"""The day plan of a job: what is done when, with whom and what, and whether it fits.

In: the views of a job's joints and the job. Out: a sheet, or none where a joint's times are not all known.
Vocabulary: as in `packgen.calc.day_values`; times are hours and minutes from the start of work at the joints,
each up to the minute, and a row under them takes the clock times.
Sources: as `packgen.calc.day_values`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.calc.day_plan import JointPlan
from packgen.calc.day_values import Day, planned_day
from packgen.model.job import Job
from packgen.rounding import hours, plain
from packgen.sheets.blocks import Block, Drawing, Section, Sheet, Span, Spans, Table, Tag, Why, spans
from packgen.sheets.figure_day import day_chart
from packgen.sheets.measure import NBSP
from packgen.sheets.media import Medium
from packgen.sheets.view import View
from packgen.units import Quantity

_COLUMNS = ("prepare", "fusion", "fusion_end", "clamps_off", "waits_over", "finish", "done")


def day_sheets(views: Sequence[View], job: Job, medium: Medium, tag: Tag) -> tuple[Sheet, ...]:
    """The day plan with its bars, its times and what they are held against."""
    day = planned_day(job, views[0].catalog)
    if day is None:
        return ()
    words = views[0].words
    blocks: list[Block] = [Why(spans(words("day.intro")))]
    chart = day_chart(day.joints, day.plan, words.group("figures"), medium.widest)
    blocks += [Drawing(chart), Section(words("day.title_times")), _times(views[0], day)]
    blocks += [Section(words("day.title_fit")), _fit(views[0], job, day)]
    blocks += [Why(spans(words("day.note")), small=True)]
    return (Sheet("day", words("sheets.day"), tag, tuple(blocks)),)


def _times(view: View, day: Day) -> Table:
    """For each joint the planned times with who and what, and a row for the clock."""
    words = view.words
    head = (spans(words("day.joint")), *(spans(words(f"day.{key}")) for key in _COLUMNS))
    rows: list[tuple[Spans, ...]] = []
    handed_over = {times.after for times in day.times}
    for place, (name, row) in enumerate(zip(day.joints, day.plan.joints, strict=True)):
        rows.append((spans(name, "strong"), *_cells(view, row, place in handed_over)))
        rows.append((spans(words("day.clock")), *((),) * len(_COLUMNS)))
    share = 0.86 / len(_COLUMNS)
    return Table(head, tuple(rows), (0.14, *(share for _ in _COLUMNS)), small=True, write=True)


def _cells(view: View, row: JointPlan, handed_over: bool) -> Iterator[Spans]:
    """A joint's planned times; of a branch whose lateral a coupling joins after it, the saddle is done."""
    uses = (
        (row.prepare_start, "person", row.fuser), (row.fusion_start, "unit", row.control_unit),
        (row.fusion_end, "", 0), (row.clamps_off, "clamps", row.clamp_set), (row.wait_end, "", 0),
        (row.finish_start, "person", row.finisher), (row.finish_end, "saddle" if handed_over else "", 0),
    )  # fmt: skip
    for time, key, number in uses:
        used = view.words(f"day.{key}", number=str(number)).replace(" ", NBSP) if key else ""
        yield (Span(hours(time), "strong"), *spans(f" {used}" if used else ""))


def _fit(view: View, job: Job, day: Day) -> Table:
    """The plan beside the time at hand and the outage: what holds it up, and how many joints more fit."""
    words = view.words
    head = (spans(words("day.what")), spans(words("day.this_job")))
    rows = [(words(f"day.{key}"), text) for key, text in _facts(view, job, day)]
    return Table(head, tuple((spans(key), spans(text, "strong")) for key, text in rows), (0.4, 0.6))


def _facts(view: View, job: Job, day: Day) -> Iterator[tuple[str, str]]:
    """What the plan is made with, what it comes to, and each limit of the job."""
    words, means = view.words, day.means
    numbers = {"people": means.people, "units": means.control_units, "clamps": means.clamp_sets}
    yield "with", words("day.means", **{key: str(number) for key, number in numbers.items()})
    yield "work", hours(day.plan.makespan)
    if day.around:
        yield "around", hours(day.around)
        yield "total", hours(day.total)
    outage = job.isolation.outage if job.isolation else None
    for key, limit in (("time", job.means.time), ("outage", outage)):
        if limit is not None:
            yield key, _held_against(view, day, limit)
    yield "bottleneck", words(f"day.more_{(day.bottleneck or 'nothing').replace(' ', '_')}")
    limits = [limit.to("s") for limit in (job.means.time, outage) if limit is not None]
    if limits:
        yield "room", words("day.room_for", count=str(day.room(min(limits))), joint=day.joints[day.longest])


def _held_against(view: View, day: Day, limit: Quantity) -> str:
    """A limit of the job, and whether the plan is within it."""
    fits = day.fits(limit.to("s"))
    verdict = "open" if fits and day.open else "fits" if fits else "too_short"
    return view.words(f"day.{verdict}", limit=plain(limit, view.units, "down"))
