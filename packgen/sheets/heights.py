"""How high each block comes out on a medium, before anything is drawn.

In: a block and a `Medium`. Out: millimetres. Vocabulary: as in `packgen.sheets.blocks`. The numbers below are
those of `templates/print.css`: change both together; a test holds them against the renderer's own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

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

GATE_ROOM = "MM "  # the frame of a gate's word
CELL_PAD = 2.4  # mm of a table's column that hold no words


def under(sheet: Sheet | Face, medium: Medium) -> Medium:
    """The medium as it is left where a title takes more than one line beside its size tag.

    Parameters: `sheet`, or a face of it; `medium`.
    """
    large, small = width_of(sheet.tag.large, True), width_of(sheet.tag.small, True)
    tag = max(large * medium.tag * MM + 4.0, small * medium.label * MM) + 2.5
    lines = line_count(spans(sheet.title, "strong"), medium.title, medium.inner - 2 * medium.aside - tag)
    head = lines * medium.title * 1.1 * MM + 2.9
    return replace(medium, height=medium.height - max(0.0, head - medium.head))


def height_of_all(blocks: Sequence[Block], medium: Medium) -> float:
    """The height of several blocks, mm."""
    return sum(height_of(block, medium) for block in blocks)


def height_of(block: Block, medium: Medium) -> float:
    """The height a block takes with the space after it, mm."""
    return _HEIGHTS[block.kind](block, medium)


def _lines(line: Spans, size: float, width: float, medium: Medium) -> float:
    """The height of a paragraph, mm."""
    return line_count(line, size, width) * size * medium.leading * MM


def _section(block: Section, medium: Medium) -> float:
    air = 1.4 if medium.narrow else 3.2
    return _lines(spans(block.text, "strong"), medium.body + 2, medium.inner, medium) + air


def _why(block: Why, medium: Medium) -> float:
    size, width = (medium.label, medium.small_measure) if block.small else (medium.body, medium.measure)
    return _lines(block.line, size, width, medium) + 1.8


def _points(block: Points, medium: Medium) -> float:
    width = min(medium.inner - 6.5, medium.measure)
    return sum(_lines(item, medium.body, width, medium) + 1.2 for item in block.items) + 0.2


def _step(block: Step, medium: Medium) -> float:
    if block.gate and medium.narrow:
        return _narrow_gate(block, medium)
    line, size = block.line, medium.white if block.gate == "hold" else medium.body
    if block.gate:
        word = Span(block.gate_word + GATE_ROOM, "strong")
        line = (word, *(replace(span, kind="strong") for span in line))
    words = _lines(line, size, medium.step_line - (2.5 if block.gate else 0.0), medium)
    beside = _write(block, medium) - 2.6 if medium.beside else 0.0
    below = 0.0 if medium.beside else _write(block, medium)
    return max(words + 2.4, max(medium.tick, beside) + 2.2) + (2.6 if block.gate else 0.2) + below


def _write(block: Step, medium: Medium) -> float:
    """The height of a step's box to write in, as high as its label asks."""
    if not block.write:
        return 0.0
    width = medium.spare - 6.6 if medium.beside else medium.inner - medium.number - 3.2
    label = line_count(spans(block.write), medium.label, width) * medium.label * 1.1 * MM
    return max(medium.write, label) + 3.0


def _narrow_gate(block: Step, medium: Medium) -> float:
    """A gate on a narrow face: a bar with number, word and box to tick, the words under it."""
    bold = tuple(replace(span, kind="strong") for span in block.line)
    words = _lines(bold, medium.body, medium.inner - 4.0, medium)
    bar = medium.white * medium.leading * MM + 1.2
    return bar + words + 3.2 + _write(block, medium)


def _safety(block: Safety, medium: Medium) -> float:
    text = (Span(block.hazard + " ", "strong"), Span(f"{block.consequence} {block.avoid}"))
    frame = 4.8 if medium.narrow else 7.2
    return _lines(text, medium.body, medium.line, medium) + medium.signal * 1.2 * MM + frame


def _table(block: Table, medium: Medium) -> float:
    size = medium.label if block.small else medium.table
    widths = [share * medium.inner - CELL_PAD for share in block.shares]

    def row(cells: tuple[Spans, ...], extra: float) -> float:
        lines = max(line_count(cell, size, width) for cell, width in zip(cells, widths, strict=True))
        return lines * size * medium.leading * MM + extra

    def body(cells: tuple[Spans, ...]) -> float:
        tall = block.write and not all(cells)
        return max(row(cells, 1.7), medium.write if tall else 0.0)

    return row(block.head, 2.0) + sum(map(body, block.rows)) + 2.4


def _cells(block: Cells, medium: Medium) -> float:
    width = medium.inner / block.across - 3.4
    rows = [block.cells[at : at + block.across] for at in range(0, len(block.cells), block.across)]
    return sum(max(_cell(cell, width, medium) for cell in row) + 1.6 for row in rows) + 1.0


def _cell(cell: Cell, width: float, medium: Medium) -> float:
    label = _lines(spans(cell.label), medium.label, width, medium)
    value = _lines(spans(cell.value, "strong"), medium.value, width, medium)
    if cell.blank:
        value = max(value, medium.label * medium.leading * MM + 4.2)
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
