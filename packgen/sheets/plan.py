"""Sheets onto faces: what stands on which, before anything is drawn, so that the page count is known.

In: sheets and a `Medium`. Out: faces with their numbers. Vocabulary: a *bundle* is what must stay
together: a heading with what follows, a safety message with the step it guards, one step, one row group
of a table. Where a sheet needs more than one face it is parted after a hold or witness point, or before a
heading; type never shrinks. The print guard proves the plan on the PDF.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from packgen.errors import ContentError, Place, Problem
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Cell,
    Cells,
    Code,
    Drawing,
    Face,
    Points,
    Safety,
    Section,
    Sheet,
    Span,
    Spans,
    Step,
    Table,
    Why,
    spans,
)  # fmt: skip
from packgen.sheets.measure import MM, line_count, width_of
from packgen.sheets.media import Medium

GATE_ROOM = "M "  # the frame of a gate's word, which is set smaller than it is counted here
# How much of its room a sheet's last face may take rather than leave one step alone on another.
SQUEEZE = 1.06


@dataclass(frozen=True)
class Bundle:
    """Blocks that stay together, their height in mm, their steps, and whether a face may end after them."""

    blocks: tuple[Block, ...]
    height: float
    steps: int
    pause: bool
    heading: bool


def lay_out(sheets: Sequence[Sheet], medium: Medium) -> tuple[Face, ...]:
    """Every sheet on as many faces as it needs.

    Parameters: `sheets` in order; `medium`. Returns the faces numbered through. Raises `ContentError`
    where one bundle is higher than a face: its words do not fit.
    """
    faces = [face for sheet in sheets for face in _sheet_faces(sheet, medium)]
    total = len(faces)
    return tuple(replace(face, number=index + 1, total=total) for index, face in enumerate(faces))


def _sheet_faces(sheet: Sheet, medium: Medium) -> Iterator[Face]:
    """The faces of one sheet."""
    medium = _under(sheet, medium)
    bundles = list(_bundles(sheet, medium))
    while bundles:
        taken = _fitting(bundles, sheet, medium)
        blocks = tuple(block for bundle in bundles[:taken] for block in bundle.blocks)
        height = sum(bundle.height for bundle in bundles[:taken])
        yield Face(sheet.id, sheet.title, sheet.tag, blocks, fill=height / medium.room)
        bundles = bundles[taken:]


def _under(sheet: Sheet, medium: Medium) -> Medium:
    """The medium as it is left where a title takes more than one line beside its size tag."""
    large, small = width_of(sheet.tag.large, True), width_of(sheet.tag.small, True)
    tag = max(large * (medium.body + 2), small * medium.label) * MM + 4.0
    lines = line_count(spans(sheet.title, "strong"), medium.title, medium.inner - tag)
    head = lines * medium.title * 1.1 * MM + 2.9
    return replace(medium, height=medium.height - max(0.0, head - medium.head))


def _fitting(bundles: list[Bundle], sheet: Sheet, medium: Medium) -> int:
    """How many bundles go on the next face; a sheet's last few may use a little of the air at its foot."""
    if (
        sum(bundle.height for bundle in bundles) <= medium.room * SQUEEZE
        and sum(bundle.steps for bundle in bundles) <= medium.steps
    ):
        return len(bundles)
    height, steps, fits = 0.0, 0, 0
    for bundle in bundles:
        height, steps = height + bundle.height, steps + bundle.steps
        if height > medium.room or steps > medium.steps:
            break
        fits += 1
    if fits == len(bundles):
        return fits
    if not fits:
        highest = max(bundles[0].blocks, key=lambda block: height_of(block, medium))
        words = " ".join(highest.strings())[:60]
        what = f"on the sheet {sheet.title!r} the words {words!r} do not fit one {medium.name} face"
        raise ContentError([Problem(Place(), what, cure="shorten them, or part them into two steps")])
    return _best_break(bundles, fits, medium)


def _best_break(bundles: list[Bundle], fits: int, medium: Medium) -> int:
    """The best place to end a face: a pause point or heading on its second half, else the last that fits."""
    heights = [sum(bundle.height for bundle in bundles[: index + 1]) for index in range(fits)]
    good = [
        index + 1
        for index in range(fits)
        if (bundles[index].pause or bundles[index + 1].heading) and heights[index] >= 0.6 * medium.room
    ]
    return good[-1] if good else fits


def _bundles(sheet: Sheet, medium: Medium) -> Iterator[Bundle]:
    """A sheet's blocks as bundles; long tables, lists and forms are parted into several."""
    held: list[Block] = []
    for index, block in enumerate(sheet.blocks):
        last = index + 1 == len(sheet.blocks)
        for part in _parted(block, medium, height_of_all(held, medium)):
            held.append(part)
            if _leads(part, held, medium) and not last:
                continue
            yield _bundle(held, medium)
            held = []


def _leads(block: Block, held: Sequence[Block], medium: Medium) -> bool:
    """Whether what follows must stay with a block; a long run of words may end a face, a heading never."""
    if isinstance(block, Why):
        return not block.small and height_of_all(held, medium) < 0.6 * medium.room
    return isinstance(block, Section | Safety)


def _bundle(blocks: list[Block], medium: Medium) -> Bundle:
    """A bundle with its height."""
    steps = sum(isinstance(block, Step) for block in blocks)
    last = blocks[-1]
    pause = isinstance(last, Step) and bool(last.gate)
    heading = any(isinstance(block, Section) for block in blocks[:2])
    return Bundle(tuple(blocks), height_of_all(blocks, medium), steps, pause, heading)


def _parted(block: Block, medium: Medium, above: float) -> Iterator[Block]:
    """A long table, list or form in parts for several faces; `above` is the height of what it must follow."""
    limit = 0.95 * medium.room
    if isinstance(block, Table) and height_of(block, medium) > min(limit / 2, limit - above):
        yield from _parted_table(block, medium, limit, above)
    elif isinstance(block, Points) and height_of(block, medium) > limit / 3:
        yield from (replace(block, items=block.items[at : at + 4]) for at in range(0, len(block.items), 4))
    elif isinstance(block, Cells):
        yield from (replace(block, cells=block.cells[at : at + 3]) for at in range(0, len(block.cells), 3))
    elif isinstance(block, Boxes) and not block.heavy:
        yield from (replace(block, boxes=block.boxes[at : at + 2]) for at in range(0, len(block.boxes), 2))
    else:
        yield block


def _parted_table(table: Table, medium: Medium, limit: float, above: float) -> Iterator[Table]:
    """A table in runs of rows that each fit; the head is repeated."""
    rows: list[tuple[Spans, ...]] = []
    start = 0
    for index, row in enumerate(table.rows):
        trial = replace(table, rows=(*rows, row))
        if rows and height_of(trial, medium) > limit - (0.0 if start else above):
            yield _rows_of(table, rows, start)
            rows, start = [], index
        rows.append(row)
    yield _rows_of(table, rows, start)


def _rows_of(table: Table, rows: list[tuple[Spans, ...]], start: int) -> Table:
    """Part of a table; the mark moves with its row."""
    inside = table.marked is not None and start <= table.marked < start + len(rows)
    return replace(
        table, rows=tuple(rows), marked=table.marked - start if inside and table.marked is not None else None
    )


def height_of_all(blocks: Sequence[Block], medium: Medium) -> float:
    """The height of several blocks, mm."""
    return sum(height_of(block, medium) for block in blocks)


def height_of(block: Block, medium: Medium) -> float:
    """The height a block takes, mm; the numbers below are those of `templates/print.css`."""
    return _HEIGHTS[block.kind](block, medium)


def _lines(line: Spans, size: float, width: float, medium: Medium) -> float:
    """The height of a paragraph, mm."""
    return line_count(line, size, width) * size * medium.leading * MM


def _section(block: Section, medium: Medium) -> float:
    return _lines(spans(block.text, "strong"), medium.body + 2, medium.inner, medium) + 3.2


def _why(block: Why, medium: Medium) -> float:
    return _lines(block.line, medium.label if block.small else medium.body, medium.inner, medium) + 1.8


def _points(block: Points, medium: Medium) -> float:
    return sum(_lines(item, medium.body, medium.inner - 6.5, medium) + 1.0 for item in block.items) + 1.2


def _step(block: Step, medium: Medium) -> float:
    line = block.line
    if block.gate:
        line = (
            Span(block.gate_word + GATE_ROOM, "strong"),
            *(replace(span, kind="strong") for span in line),
        )
    words = _lines(line, medium.body, medium.inner - (20.5 if block.gate else 18.0), medium)
    frame = 2.6 if block.gate else 0.2
    return max(words + 2.4, 6.6) + frame + (medium.write + 3.0 if block.write else 0.0)


def _safety(block: Safety, medium: Medium) -> float:
    text = (Span(block.hazard + " ", "strong"), Span(f"{block.consequence} {block.avoid}"))
    return _lines(text, medium.body, medium.line, medium) + (medium.body + 3) * 1.2 * MM + 7.2


def _table(block: Table, medium: Medium) -> float:
    size = medium.label if block.small else medium.body - 1
    widths = [share * medium.inner - 2.4 for share in block.shares]

    def row(cells: tuple[Spans, ...], extra: float) -> float:
        return (
            max(line_count(cell, size, width) for cell, width in zip(cells, widths, strict=True))
            * size
            * medium.leading
            * MM
            + extra
        )

    def body(cells: tuple[Spans, ...]) -> float:
        tall = block.write and not all(cells)
        return max(row(cells, 1.7), medium.write if tall else 0.0)

    return row(block.head, 2.0) + sum(map(body, block.rows)) + 2.4


def _cells(block: Cells, medium: Medium) -> float:
    width = medium.inner / 3 - 3.4
    rows = [block.cells[at : at + 3] for at in range(0, len(block.cells), 3)]
    return sum(max(_cell(cell, width, medium) for cell in row) + 1.6 for row in rows) + 1.0


def _cell(cell: Cell, width: float, medium: Medium) -> float:
    label = _lines(spans(cell.label), medium.label, width, medium)
    value = _lines(spans(cell.value or "ENTER", "strong"), medium.value, width, medium)
    second = _lines(spans(cell.second), medium.label + 1, width, medium) if cell.second else 0.0
    return label + value + second + 3.0


def _drawing(block: Drawing, medium: Medium) -> float:
    return block.figure.height + medium.label * medium.leading * MM + 3.0


def _boxes(block: Boxes, medium: Medium) -> float:
    rows = [block.boxes[at : at + 2] for at in range(0, len(block.boxes), 2)]
    width = medium.inner / 2 - (9.5 if block.heavy else 2.9)
    return sum(max(12.0, *(_fill(box, width, medium) for box in row)) + 1.3 for row in rows) + (
        3.8 if block.heavy else 0.4
    )


def _fill(box: Box, width: float, medium: Medium) -> float:
    """The height of the words in a box to fill in."""
    room = width - (6.5 if box.fill == "tick" else 0.0)
    lines = line_count(spans(box.label), medium.label, room)
    lines += line_count(spans(box.wanted, "strong"), medium.label, room) if box.wanted else 0
    return lines * medium.label * 1.2 * MM


def _code(block: Code, _medium: Medium) -> float:
    return block.size + 7.0


_HEIGHTS: dict[str, Callable[..., float]] = {
    "section": _section, "why": _why, "points": _points, "step": _step, "safety": _safety, "table": _table,
    "cells": _cells, "drawing": _drawing, "boxes": _boxes, "code": _code,
}  # fmt: skip
