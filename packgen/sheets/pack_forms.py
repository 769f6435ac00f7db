"""The forms of a pack: sign-on list, non-conformance, failed joint.

In: the views of a job's joints, the medium, the forms of the content. Out: a sheet for each form. Vocabulary:
as in `form_records`; a *stop* is a row of the table of what is stopped, redone or rejected, here with a
number. What a form draws on is taken from the pack as it prints it, so that form and sheet say the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.model.form_records import FormPart, FormTable, PackForm
from packgen.model.prose import Bullets, Procedure, ProseTable
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Drawing,
    Points,
    Section,
    Sheet,
    Span,
    Spans,
    Table,
    Tag,
    Why,
    spans,
    words_of,
)
from packgen.sheets.figure_unrolled import unrolled_coupling, unrolled_saddle
from packgen.sheets.media import Medium
from packgen.sheets.standing import applicable
from packgen.sheets.view import View

_ABREAST = 3  # questions of the talk to a row


def form_sheets(views: Sequence[View], medium: Medium, tag: Tag, behind: str | None) -> Iterator[Sheet]:
    """The forms that stand behind a procedure, or with `behind` None those that end the job's forms."""
    forms = views[0].catalog.pack_forms
    for form in forms.forms if forms else ():
        if form.follows == behind:
            yield _sheet(form, views, medium, tag)


def _sheet(form: PackForm, views: Sequence[View], medium: Medium, tag: Tag) -> Sheet:
    """One form, with the parts that some joint of the job calls for."""
    blocks: list[Block] = [Why(spans(form.words))]
    for part in form.parts:
        if any(part.when.met(view.request.facts) for view in views):
            inner = list(_part(part, views, medium))
            blocks += [Section(part.title), *inner] if inner else []
    return Sheet(form.id, form.title, tag, tuple(blocks))


def _part(part: FormPart, views: Sequence[View], medium: Medium) -> Iterator[Block]:
    """What stands under one heading."""
    if part.words or part.rule:
        rule = (*spans(" " if part.words else ""), *views[0].rule(part.rule)) if part.rule else ()
        yield Why((*spans(part.words), *rule, *spans("." if part.rule else "")))
    if part.draws_on:
        yield from _drawn_on(part.draws_on, views, medium)
    if part.ticks:
        yield Boxes(tuple(Box(label, fill="tick") for label in part.ticks))
    if part.boxes:
        yield Boxes(tuple(Box(box.label, box.wanted, box.fill) for box in part.boxes))
    if part.things:
        yield Points(tuple(spans(thing) for thing in part.things), boxed=True)
    if part.table:
        yield _table(part.table)


def _table(table: FormTable) -> Table:
    """A table to write in: the rows that are named, then numbered lines."""
    names = (*table.rows, *(str(number + 1) for number in range(table.lines)))
    empty: tuple[Spans, ...] = ((),) * (len(table.heads) - 1)
    head = tuple(spans(text) for text in table.heads)
    rows = tuple((spans(name), *empty) for name in names)
    return Table(head, rows, tuple(share / 100 for share in table.shares), write=True)


def _drawn_on(name: str, views: Sequence[View], medium: Medium) -> Iterator[Block]:
    """What the pack says elsewhere, as a form needs it."""
    width, sketch = medium.widest, views[0].words.group("unrolled")
    if name == "stops":
        yield from _stops_table(views)
    elif name == "questions":
        yield from _questions_table(views)
    else:
        draw = unrolled_saddle if name == "unrolled saddle" else unrolled_coupling
        yield Drawing(draw(sketch, width))


def _standing(views: Sequence[View], procedure_id: str) -> Iterator[tuple[View, Procedure]]:
    """A procedure wherever it stands in a job, with the view that fills it."""
    for view in views:
        for procedure in applicable(view):
            if procedure.head.id == procedure_id:
                yield view.filling(procedure_id), procedure


def stops_of(views: Sequence[View]) -> tuple[tuple[Spans, Spans], ...]:
    """What is stopped, redone or rejected in a job, with its outcome: the rows of its tables, each once.

    Where each joint has a table of its own, a row that not every one of them holds names its joint: a limit
    of one joint is none of another's.
    """
    forms = views[0].catalog.pack_forms
    standing = _standing(views, forms.stops) if forms else ()
    tables = [(view, list(_stops(view, procedure))) for view, procedure in standing]
    found: dict[tuple[Spans, Spans], None] = {}
    for view, rows in tables:
        joint = view.request.joint
        for seen, outcome in rows:
            everywhere = all((seen, outcome) in others for _, others in tables)
            named = () if everywhere or joint is None else (Span(f"{joint.id}: ", "strong"),)
            found[(*named, *seen), outcome] = None
    return tuple(found)


def _stops(view: View, procedure: Procedure) -> Iterator[tuple[Spans, Spans]]:
    """The rows of one sheet of stops: what is seen, the outcome; one whose value is absent is left out."""
    tables = (block for block in procedure.blocks if isinstance(block, ProseTable))
    for row in (row for table in tables for row in table.rows):
        kept = [cell for cell in map(view.fill, row) if cell is not None]
        if len(kept) == len(row):
            yield kept[0], kept[-1]


def _stops_table(views: Sequence[View]) -> Iterator[Table]:
    """The stops, numbered, two to a row."""
    words, stops = views[0].words, stops_of(views)
    cells = [
        (spans(str(at + 1), "strong"), seen, spans(words_of(outcome), "strong"))
        for at, (seen, outcome) in enumerate(stops)
    ]
    blank: tuple[Spans, ...] = ((), (), ())
    pairs = [(cells[at], cells[at + 1] if at + 1 < len(cells) else blank) for at in range(0, len(cells), 2)]
    head = tuple(spans(words(f"forms.{key}")) for key in ("number", "seen", "outcome"))
    if pairs:
        rows = tuple((*left, *right) for left, right in pairs)
        yield Table((*head, *head), rows, (0.05, 0.33, 0.12) * 2, small=True)


def questions_of(views: Sequence[View]) -> tuple[str, ...]:
    """What the talk asks about: the words before the colon of each of its bullets."""
    forms = views[0].catalog.pack_forms
    found: dict[str, None] = {}
    for view, procedure in _standing(views, forms.talk) if forms else ():
        for bullets in (block for block in procedure.blocks if isinstance(block, Bullets)):
            for item in bullets.items:
                line = view.fill(item)
                if line is not None:
                    found[words_of(line).partition(":")[0]] = None
    return tuple(found)


def _questions_table(views: Sequence[View]) -> Iterator[Table]:
    """What was asked, three to a row, each with a space for who answered."""
    words, asked = views[0].words, questions_of(views)
    head = (spans(words("forms.question")), spans(words("forms.answered")))
    rows = [asked[at : at + _ABREAST] for at in range(0, len(asked), _ABREAST)]
    if rows:
        filled = ((*row, *("",) * (_ABREAST - len(row))) for row in rows)
        cells = tuple(tuple(cell for about in row for cell in (spans(about), ())) for row in filled)
        yield Table(head * _ABREAST, cells, (0.14, 0.19) * _ABREAST, write=True)
