"""What stands on a face: blocks of filled words, before any layout.

In: nothing. Out: frozen block records that the planner measures and the templates draw. Vocabulary: a
*face* is one side of a card or one page of a pack; *spans* are words of one kind on a line; `strings()`
gives every authored string of a block, which the print guard finds again in the PDF; `said()` gives each
with its *role*, which sets the least size of its type.
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


Role = Literal["title", "tag", "heading", "step", "running", "signal", "safety", "cell", "value", "label"]


@dataclass(frozen=True)
class Said:
    """An authored string and what it is on its face: its role; `blanks` are words in it that name a box."""

    text: str
    role: Role
    blanks: tuple[str, ...] = ()


def all_said(role: Role, *texts: str) -> tuple[Said, ...]:
    """Strings of one role; an empty one is not said."""
    return tuple(Said(text, role) for text in texts if text)


def said_of(line: Spans, role: Role) -> Said:
    """A line of spans as one string."""
    return Said(words_of(line), role, tuple(span.text for span in line if span.kind == "blank"))


class Speaking:
    """A block that says words: whoever knows their roles knows the words."""

    def said(self) -> tuple[Said, ...]:
        """Every authored string with its role, in the order it is read."""
        raise NotImplementedError

    def strings(self) -> tuple[str, ...]:
        """Every authored string, in the order it is read."""
        return tuple(said.text for said in self.said())


@dataclass(frozen=True)
class Section(Speaking):
    """The heading of a part of a sheet."""

    text: str
    kind: str = "section"

    def said(self) -> tuple[Said, ...]:
        """The heading."""
        return all_said("heading", self.text)


@dataclass(frozen=True)
class Why(Speaking):
    """A paragraph: why, or what a sheet is for. `small` sets it in label size."""

    line: Spans
    small: bool = False
    kind: str = "why"

    def said(self) -> tuple[Said, ...]:
        """The paragraph's words."""
        return (said_of(self.line, "label" if self.small else "running"),)


@dataclass(frozen=True)
class Points(Speaking):
    """A list without order; `boxed` gives each item a box to tick."""

    items: tuple[Spans, ...]
    boxed: bool = False
    kind: str = "points"

    def said(self) -> tuple[Said, ...]:
        """Each item's words."""
        return tuple(said_of(item, "running") for item in self.items)


@dataclass(frozen=True)
class Step(Speaking):
    """One numbered action with its tick box; a gate is drawn as a bar, `write` labels a box to write in."""

    number: int
    id: str
    line: Spans
    gate: Literal["", "hold", "witness"] = ""
    gate_word: str = ""
    write: str = ""
    kind: str = "step"

    def said(self) -> tuple[Said, ...]:
        """The words, the gate's word and the write-in label."""
        return (said_of(self.line, "step"), *all_said("label", self.gate_word, self.write))


@dataclass(frozen=True)
class Safety(Speaking):
    """A safety message in four parts; `acts` are the ids of the steps that do what it asks for."""

    id: str
    signal: str
    word: str
    hazard: str
    consequence: str
    avoid: str
    acts: tuple[str, ...] = ()
    kind: str = "safety"

    def said(self) -> tuple[Said, ...]:
        """The four parts."""
        parts = all_said("safety", self.hazard, self.consequence, self.avoid)
        return (*all_said("signal", self.word), *parts)


@dataclass(frozen=True)
class Table(Speaking):
    """A table; `shares` are column widths with the sum 1, `marked` is this job's row, `small` small type.

    `write` makes each row with an empty cell as tall as a box to write in. `field` begins the names of the
    fields that empty cells carry in a record to be filled on a screen.
    """

    head: tuple[Spans, ...]
    rows: tuple[tuple[Spans, ...], ...]
    shares: tuple[float, ...]
    marked: int | None = None
    small: bool = False
    write: bool = False
    field: str = ""
    first_row: int = 1
    kind: str = "table"

    def said(self) -> tuple[Said, ...]:
        """Every cell with words."""
        cells = (*self.head, *(cell for row in self.rows for cell in row))
        return tuple(said_of(cell, "label" if self.small else "cell") for cell in cells if words_of(cell))

    def field_name(self, row: int, column: int) -> str:
        """The field of an empty cell, both counted from 0 in this part of the table; "" where it has none.

        >>> Table((), (((), ()),), (0.5, 0.5), field="J1.talk", first_row=4).field_name(0, 1)
        'J1.talk.4.2'
        """
        if not self.field or self.rows[row][column]:
            return ""
        return f"{self.field}.{self.first_row + row}.{column + 1}"

    def field_title(self, row: int, column: int) -> str:
        """What the field of an empty cell is for: its row and its column."""
        named = (words_of(self.rows[row][0]), words_of(self.head[column]))
        return ", ".join(words for words in named if words) or self.field

    def field_names(self) -> list[str]:
        """The fields of every empty cell, row by row."""
        cells = [(row, column) for row, cells in enumerate(self.rows) for column in range(len(cells))]
        return [name for cell in cells if (name := self.field_name(*cell))]


@dataclass(frozen=True)
class Cell:
    """One value block: a small label over a large value; a blank is a heavy box with ENTER."""

    label: str
    value: str
    second: str = ""
    blank: bool = False

    def said(self, enter: str) -> tuple[Said, ...]:
        """Label, value or the word `enter` of a blank, second line."""
        value = all_said("value", self.value) or all_said("label", enter)
        return (*all_said("label", self.label), *value, *all_said("label", self.second))


@dataclass(frozen=True)
class Cells(Speaking):
    """Value blocks, `across` of them abreast."""

    cells: tuple[Cell, ...]
    enter: str
    across: int = 3
    kind: str = "cells"

    def said(self) -> tuple[Said, ...]:
        """Labels and values."""
        return tuple(said for cell in self.cells for said in cell.said(self.enter))


@dataclass(frozen=True)
class Drawing(Speaking):
    """A figure to scale."""

    figure: Figure
    kind: str = "drawing"

    def said(self) -> tuple[Said, ...]:
        """The title and the texts drawn."""
        return all_said("label", self.figure.title, *self.figure.strings)


@dataclass(frozen=True)
class Box:
    """One box to fill in: label, what is wanted beside it, how it is filled.

    `name` is that of its field in a record to be filled on a screen; a box without one is for paper only.
    """

    label: str
    wanted: str = ""
    fill: Literal["words", "number", "time", "tick"] = "words"
    name: str = ""


@dataclass(frozen=True)
class Boxes(Speaking):
    """Boxes to fill in, two across; `heavy` draws the frame of the emergency box."""

    boxes: tuple[Box, ...]
    heavy: bool = False
    kind: str = "boxes"

    def said(self) -> tuple[Said, ...]:
        """Labels and what is wanted."""
        return all_said("label", *(text for box in self.boxes for text in (box.label, box.wanted)))


@dataclass(frozen=True)
class Code(Speaking):
    """The code as a square of modules, with the printed code under it."""

    svg: str
    text: str
    size: float
    alt: str
    kind: str = "code"

    def said(self) -> tuple[Said, ...]:
        """The printed code."""
        return all_said("label", self.text)


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
class Face(Speaking):
    """One face: part of a sheet, with its number of the whole."""

    sheet: str
    title: str
    tag: Tag
    blocks: tuple[Block, ...]
    number: int = 0
    total: int = 0
    fill: float = field(default=0.0, compare=False)

    def said(self) -> tuple[Said, ...]:
        """Title, size tag and every authored string of the blocks."""
        inner = (said for block in self.blocks for said in block.said())
        return (*all_said("title", self.title), *all_said("tag", self.tag.large, self.tag.small), *inner)
