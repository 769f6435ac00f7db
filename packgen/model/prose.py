"""A procedure as frozen blocks: headings, paragraphs, steps, bullets, tables and slots.

In: what `prose_reader` made of a Markdown file. Out: records whose text is held as runs of plain words, so
that nothing an author or a job writes can become markup. Vocabulary: a *slot* is a place that is filled later
as text; a *gate* is a step at which the work holds or a witness stands by.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from packgen.errors import Place
from packgen.model.fields import Name, Words
from packgen.model.records import Contents, Method, Record

SlotForm = Literal["value", "rule", "job", "safety", "table", "figure"]


@dataclass(frozen=True)
class Slot:
    """A place for a value in prose."""

    form: SlotForm
    names: tuple[str, ...]
    place: Place


@dataclass(frozen=True)
class Run:
    """Words of one kind, or a slot."""

    text: str = ""
    strong: bool = False
    slot: Slot | None = None


Runs = tuple[Run, ...]


@dataclass(frozen=True)
class Heading:
    """The title of a section of a sheet."""

    text: str


@dataclass(frozen=True)
class Paragraph:
    """A paragraph that tells why."""

    runs: Runs


@dataclass(frozen=True)
class Bullets:
    """A list without order."""

    items: tuple[Runs, ...]


@dataclass(frozen=True)
class StepText:
    """One action, with a stable id; its number is packgen's own."""

    id: str
    runs: Runs
    gate: Literal["", "hold", "witness"]
    write: str
    place: Place


@dataclass(frozen=True)
class ProseTable:
    """A table written in Markdown."""

    head: tuple[Runs, ...]
    rows: tuple[tuple[Runs, ...], ...]


@dataclass(frozen=True)
class SlotBlock:
    """A safety or table slot that stands alone."""

    slot: Slot


Block = Heading | Paragraph | Bullets | StepText | ProseTable | SlotBlock


class When(Record):
    """The jobs a procedure is for; an absent key is no condition."""

    state: tuple[Literal["dry", "isolated", "live"], ...] | None = None
    isolation: tuple[Literal["squeeze-off", "valves"], ...] | None = None
    method: tuple[Method, ...] | None = None
    contents: tuple[Contents, ...] | None = None


class FrontMatter(Record):
    """The YAML head of a procedure; `once` puts it with the first or the last joint of a job only,
    `boxes` gives each bullet a box to tick.
    """

    id: Name
    title: Words
    order: int
    on: tuple[Literal["pack", "cards", "site"], ...]
    when: When = When()
    once: Literal["first", "last"] | None = None
    boxes: bool = False


@dataclass(frozen=True)
class Procedure:
    """One procedure: where it belongs, and its blocks."""

    head: FrontMatter
    blocks: tuple[Block, ...]
    file: str
    text: str
    place: Place = Place()

    @property
    def steps(self) -> tuple[StepText, ...]:
        """The steps in order."""
        return tuple(block for block in self.blocks if isinstance(block, StepText))

    def slots(self) -> Iterator[Slot]:
        """Every slot, in order."""
        for block in self.blocks:
            if isinstance(block, SlotBlock):
                yield block.slot
            for runs in runs_of(block):
                yield from (run.slot for run in runs if run.slot)


def runs_of(block: Block) -> tuple[Runs, ...]:
    """All run lists of a block."""
    if isinstance(block, Paragraph | StepText):
        return (block.runs,)
    if isinstance(block, Bullets):
        return block.items
    if isinstance(block, ProseTable):
        return (*block.head, *(cell for row in block.rows for cell in row))
    return ()
