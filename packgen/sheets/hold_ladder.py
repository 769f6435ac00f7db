"""Where the work stops: every hold and witness point of a job in the order of the work, to be signed.

In: the views of a job's joints, the book of its pages. Out: a sheet. Vocabulary: as in `gates_seen`; hold
points stand in bold type, so that a glance finds where the work stops.
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.sheets.blocks import Block, Sheet, Span, Spans, Table, Tag, Why, spans
from packgen.sheets.contents import Book
from packgen.sheets.gates_seen import StandingStep, standing_of_job
from packgen.sheets.view import View

_SHARES = (0.07, 0.12, 0.33, 0.22, 0.11, 0.15)


def hold_ladder(views: Sequence[View], tag: Tag, book: Book) -> Sheet:
    """Every gate with its step, what must be true, its sheet and page, who signs, and a space to sign in."""
    words = views[0].words
    keys = ("step", "point", "must", "sheet", "signs", "signed")
    head = tuple(spans(words(f"holds.{key}")) for key in keys)
    rows = tuple(_row(found, book) for found in standing_of_job(views) if found.step.gate)
    blocks: list[Block] = [Why(spans(words("holds.intro"))), Why(spans(words("holds.who")))]
    blocks.append(Table(head, rows, _SHARES, write=True))
    return Sheet("holds", words("sheets.holds"), tag, tuple(blocks))


def _row(found: StandingStep, book: Book) -> tuple[Spans, ...]:
    """One gate; the last cell is left to write in."""
    words, step = found.view.words, found.step
    line = found.line
    if step.gate == "hold":
        line = tuple(Span(span.text, "strong") if span.kind == "plain" else span for span in line)
    where = words("holds.sheet_page", sheet=found.title, page=book.step_page(found.number))
    gate = spans(words(f"gate.{step.gate}"), "strong" if step.gate == "hold" else "plain")
    signs = spans(words(f"holds.{found.signer}"))
    return (spans(str(found.number), "strong"), gate, line, spans(where), signs, ())
