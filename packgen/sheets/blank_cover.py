"""The cover of a pack that was made without a job.

In: a `View` without a job, the code, the content folders, a date. Out: a `Sheet`. Vocabulary: a *box* stands
where a job has words; beside it stands the limit that a job would have been judged by, so that the person
who fills it in sees at once whether the work may go on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.model.catalog import Folder
from packgen.sheets.blocks import Block, Box, Boxes, Code, Section, Sheet, Table, Why, spans
from packgen.sheets.front import cover_end
from packgen.sheets.view import View

# Each distance to measure, with the least one.
_DISTANCES = {
    "fit.distance_saddle": "spacing.saddle_to_saddle",
    "fit.distance_fitting": "spacing.saddle_to_fitting",
    "fit.distance_pipe_end": "spacing.saddle_to_pipe_end",
    "fit.distance_squeeze": "squeeze.distance_min",
}


def blank_cover(view: View, code: Code, folders: Sequence[Folder], date: str) -> Sheet:
    """The cover: what the pack is for, the job's boxes, and what every cover ends with."""
    words = view.words
    blocks: list[Block] = [Section(words("blank_cover.for")), _scope(view, date)]
    blocks += [Why(spans(words("blank_cover.no_job"), "strong"))]
    blocks += [Section(words("blank_cover.job")), Boxes((*_job(view), *_limits(view)), heavy=True)]
    blocks += [Section(words("blank_cover.people")), Boxes(tuple(_people(view)), heavy=True)]
    blocks += cover_end([view], code, folders)
    return Sheet("cover", words("blank_cover.title"), view.tag, tuple(blocks))


def _scope(view: View, date: str) -> Table:
    """What the pack is for, in rows; without a job the main is dry."""
    words, request = view.words, view.request
    revision = f"{words('cover.revision')} {request.family.revision}"
    rows = [
        ("cover.main", str(request.main.designation)),
        ("blank_cover.lateral", str(request.lateral.designation)),
        ("blank_cover.family", f"{request.family.title} ({request.family.id}, {revision})"),
        ("cover.contents", request.contents),
        ("cover.state", words(f"state.{view.request.state}")),
        ("values.tap.method", request.way),
        ("blank_cover.pack_date", date),
    ]
    body = tuple((spans(words(key)), spans(text, "strong")) for key, text in rows)
    return Table((spans(words("cover.what")), spans(words("blank_cover.this_pack"))), body, (0.32, 0.68))


def _job(view: View) -> Iterator[Box]:
    """Which job it is: what only the person who hands out the pack knows."""
    words = view.words
    for key in ("blank_cover.id", "blank_cover.date", "blank_cover.place", "blank_cover.permit"):
        yield Box(words(key))
    if not view.request.is_coupling:
        yield Box(words("blank_cover.outlet"), words("blank_cover.outlet_why"))


def _limits(view: View) -> Iterator[Box]:
    """What a job's fit check judges beside the size: each box with its limit, where one is stated."""
    words = view.words
    request = view.request
    state = words("blank_cover.seen", contents=request.contents, state=words(f"state.{request.state}"))
    yield Box(words("blank_cover.seen_by"), state)
    most = view.text("joint.pressure_max")
    yield Box(words("cover.pressure"), words("blank_cover.at_most", value=most) if most else "")
    low, high = view.text("weather.ambient_min"), view.text("weather.ambient_max")
    yield Box(words("fit.weather"), words("blank_cover.between", low=low, high=high) if low and high else "")
    above = view.text("cool.reference_temperature")
    if above:
        yield Box(words("cover.extra_wait", temperature=above), words("blank_cover.extra_wait_why"))
    for key, name in _DISTANCES.items():
        if name in view.values:
            least = view.text(name)
            yield Box(words(key), words("blank_cover.at_least", value=least) if least else "")
    yield Box(words("fit.calibration"), words("blank_cover.still_valid"))
    yield Box(words("blank_cover.power"), words("blank_cover.power_why"))


def _people(view: View) -> Iterator[Box]:
    """Who joins, who checks, who answers."""
    words = view.words
    yield Box(words("blank_cover.fuser"), words("blank_cover.still_valid"))
    yield Box(words("cover.checker"), words("blank_cover.second_person"))
    yield Box(words("cover.prepared"), words("blank_cover.role"))
    yield Box(words("cover.approved"), words("blank_cover.approved_why"))
