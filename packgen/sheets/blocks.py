"""What stands on a face: blocks of filled words, before any layout.

In: nothing. Out: frozen block records that the planner measures and the templates draw. Vocabulary: a
*face* is one side of a card or one page of a pack; *spans* are words of one kind on a line; `strings()`
gives every authored string of a block, which the print guard finds again in the PDF.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from packgen.sheets.figures import Figure


@dataclass(frozen=True)
class Span:
    """Words of one kind: plain, strong, a value (never broken over a line) or a blank to fill in."""

    text: str
    kind: Literal["plain", "strong", "value", "blank"] = "plain"


Spans = tuple[Span, ...]


def spans(text: str, kind: Literal["plain", "strong", "value", "blank"] = "plain") -> Spans:
    """One span of words."""
    return (Span(text, kind),) if text else ()


def words_of(line: Spans) -> str:
    """The bare words of a line."""
    return "".join(span.text for span in line)


@dataclass(frozen=True)
class Section:
    """The heading of a part of a sheet."""

    text: str
    kind: str = "section"

    def strings(self) -> tuple[str, ...]:
        """The heading."""
        return (self.text,)


@dataclass(frozen=True)
class Why:
    """A paragraph: why, or what a sheet is for. `small` sets it in label size."""

    line: Spans
    small: bool = False
    kind: str = "why"

    def strings(self) -> tuple[str, ...]:
        """The paragraph's words."""
        return (words_of(self.line),)


@dataclass(frozen=True)
class Points:
    """A list without order; `boxed` gives each item a box to tick."""

    items: tuple[Spans, ...]
    boxed: bool = False
    kind: str = "points"

    def strings(self) -> tuple[str, ...]:
        """Each item's words."""
        return tuple(words_of(item) for item in self.items)


@dataclass(frozen=True)
class Step:
    """One numbered action with its tick box; a gate is drawn as a bar, `write` labels a box to write in."""

    number: int
    id: str
    line: Spans
    gate: Literal["", "hold", "witness"] = ""
    gate_word: str = ""
    write: str = ""
    kind: str = "step"

    def strings(self) -> tuple[str, ...]:
        """The words, the gate's word and the write-in label."""
        return tuple(text for text in (words_of(self.line), self.gate_word, self.write) if text)


@dataclass(frozen=True)
class Safety:
    """A safety message in four parts."""

    id: str
    signal: str
    word: str
    hazard: str
    consequence: str
    avoid: str
    kind: str = "safety"

    def strings(self) -> tuple[str, ...]:
        """The four parts."""
        return (self.word, self.hazard, self.consequence, self.avoid)


@dataclass(frozen=True)
class Table:
    """A table; `shares` are column widths with the sum 1, `marked` is this job's row, `small` small type.

    `write` makes each row with an empty cell as tall as a box to write in.
    """

    head: tuple[Spans, ...]
    rows: tuple[tuple[Spans, ...], ...]
    shares: tuple[float, ...]
    marked: int | None = None
    small: bool = False
    write: bool = False
    kind: str = "table"

    def strings(self) -> tuple[str, ...]:
        """Every cell with words."""
        cells = (*self.head, *(cell for row in self.rows for cell in row))
        return tuple(words_of(cell) for cell in cells if words_of(cell))


@dataclass(frozen=True)
class Cell:
    """One value block: a small label over a large value; a blank is a heavy box with ENTER."""

    label: str
    value: str
    second: str = ""
    blank: bool = False


@dataclass(frozen=True)
class Cells:
    """Value blocks, three across."""

    cells: tuple[Cell, ...]
    enter: str
    kind: str = "cells"

    def strings(self) -> tuple[str, ...]:
        """Labels and values."""
        found = [(cell.label, cell.value or self.enter, cell.second) for cell in self.cells]
        return tuple(text for texts in found for text in texts if text)


@dataclass(frozen=True)
class Drawing:
    """A figure to scale."""

    figure: Figure
    kind: str = "drawing"

    def strings(self) -> tuple[str, ...]:
        """The title and the texts drawn."""
        return (self.figure.title, *self.figure.strings)


@dataclass(frozen=True)
class Box:
    """One box to fill in: label, what is wanted beside it, how it is filled."""

    label: str
    wanted: str = ""
    fill: Literal["words", "number", "time", "tick"] = "words"


@dataclass(frozen=True)
class Boxes:
    """Boxes to fill in, two across; `heavy` draws the frame of the emergency box."""

    boxes: tuple[Box, ...]
    heavy: bool = False
    kind: str = "boxes"

    def strings(self) -> tuple[str, ...]:
        """Labels and what is wanted."""
        return tuple(text for box in self.boxes for text in (box.label, box.wanted) if text)


@dataclass(frozen=True)
class Code:
    """The code as a square of modules, with the printed code under it."""

    svg: str
    text: str
    size: float
    alt: str
    kind: str = "code"

    def strings(self) -> tuple[str, ...]:
        """The printed code."""
        return (self.text,)


Block = Section | Why | Points | Step | Safety | Table | Cells | Drawing | Boxes | Code


@dataclass(frozen=True)
class Tag:
    """The size tag: the same place on every face."""

    large: str
    small: str


@dataclass(frozen=True)
class Sheet:
    """One sheet: a title, a size tag and its blocks, before it is laid on faces."""

    id: str
    title: str
    tag: Tag
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Face:
    """One face: part of a sheet, with its number of the whole."""

    sheet: str
    title: str
    tag: Tag
    blocks: tuple[Block, ...]
    number: int = 0
    total: int = 0
    fill: float = field(default=0.0, compare=False)

    def strings(self) -> tuple[str, ...]:
        """Every authored string of the face."""
        inner = tuple(text for block in self.blocks for text in block.strings())
        return (self.title, self.tag.large, self.tag.small, *inner)
