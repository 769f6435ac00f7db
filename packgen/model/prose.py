"""A procedure as frozen blocks: headings, paragraphs, steps, bullets, tables and slots.

In: what `prose_reader` made of a Markdown file. Out: records whose text is held as runs of plain words, so
that nothing an author or a job writes can become markup. Vocabulary: a *slot* is a place that is filled later
as text; a *gate* is a step at which the work holds or a witness stands by; a *fact* is what a job or
combination is, by the keys of `When` (state, method, contents …).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal, get_args

from packgen.errors import Place
from packgen.model.family_records import Clamping, FittingType
from packgen.model.fields import Name, Words
from packgen.model.records import Contents, Method, Record

Facts = Mapping[str, str | None]
SlotForm = Literal["value", "rule", "job", "owner", "safety", "table", "figure"]


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


class When(Record):
    """The jobs a procedure or a section is for; an absent key is no condition."""

    state: tuple[Literal["dry", "isolated", "live"], ...] | None = None
    isolation: tuple[Literal["squeeze-off", "valves"], ...] | None = None
    method: tuple[Method, ...] | None = None
    contents: tuple[Contents, ...] | None = None
    fitting: tuple[FittingType, ...] | None = None
    clamping: tuple[Clamping, ...] | None = None
    outlet: tuple[Literal["vertical", "level", "between"], ...] | None = None
    times: tuple[Literal["one", "by temperature"], ...] | None = None
    laid: tuple[Literal["in a trench", "drilled in", "unknown"], ...] | None = None
    saw: tuple[Literal["worked", "entered"], ...] | None = None
    torque: tuple[Literal["stated", "blank", "none"], ...] | None = None
    work: tuple[Literal["new", "repair"], ...] | None = None
    heat: tuple[Literal["worked", "entered"], ...] | None = None

    def met(self, facts: Facts) -> bool:
        """Whether every condition holds; a fact that is not known meets none."""
        return all(wanted is None or facts.get(key) in wanted for key, wanted in self)

    def excludes(self, other: When) -> bool:
        """Whether no job can meet both."""
        pairs = ((mine, getattr(other, key)) for key, mine in self)
        known = (pair for pair in pairs if None not in pair)
        return any(not set(mine) & set(theirs) for mine, theirs in known)

    def joined(self, other: When) -> When:
        """Both conditions at once."""
        both: dict[str, Any] = {}
        for key, mine in self:
            theirs = getattr(other, key)
            kept = mine if theirs is None else theirs if mine is None else [x for x in mine if x in theirs]
            both[key] = tuple(kept) if kept is not None else None
        return When.model_construct(**both)


ALWAYS = When()
# What each condition may name: the key, and its words.
CONDITIONS: dict[str, tuple[str, ...]] = {
    key: get_args(get_args(get_args(field.annotation)[0])[0]) for key, field in When.model_fields.items()
}


@dataclass(frozen=True)
class Heading:
    """The title of a section of a sheet, and the jobs the section is for."""

    text: str
    when: When = ALWAYS
    place: Place = Place()


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

    @cached_property
    def sections(self) -> tuple[tuple[When, tuple[Block, ...]], ...]:
        """The blocks from one heading to the next, each with its whole condition; the first may have none."""
        parts: list[tuple[When, list[Block]]] = [(self.head.when, [])]
        for block in self.blocks:
            if isinstance(block, Heading):
                parts.append((self.head.when.joined(block.when), []))
            parts[-1][1].append(block)
        return tuple((when, tuple(blocks)) for when, blocks in parts if blocks)

    def narrowed(self, facts: Facts) -> Procedure | None:
        """The procedure with the sections that a job's facts call for; None where there is none."""
        blocks = tuple(block for when, part in self.sections if when.met(facts) for block in part)
        return replace(self, blocks=blocks) if blocks else None

    @property
    def steps(self) -> tuple[StepText, ...]:
        """The steps in order."""
        return tuple(block for block in self.blocks if isinstance(block, StepText))

    def conditioned_steps(self) -> Iterator[tuple[When, StepText]]:
        """Each step with the whole condition under which it stands."""
        for when, blocks in self.sections:
            yield from ((when, block) for block in blocks if isinstance(block, StepText))

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
