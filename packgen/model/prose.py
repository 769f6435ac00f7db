"""Markdown procedures to frozen blocks: headings, paragraphs, steps, bullets, tables and slots.

In: a Markdown file with YAML front matter. Out: a `Procedure` whose text is held as runs of plain words, so that nothing an author
or a job writes can become markup: the reader knows the few elements below and refuses every other one, raw HTML included.
Vocabulary: a *slot* `{{ tap.hole_saw }}` is filled later as text; `{{ rule: ID }}`, `{{ job: KEY }}`, `{{ safety: ID }}`, `{{ figure: ID }}` and
`{{ table: NAME, … }}` are its other forms. Slots become plain tokens before Markdown and are counted again after it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal
from xml.etree import ElementTree

from packgen.errors import ContentError, Place, Problems
from packgen.model.fields import Name, Words
from packgen.model.records import Contents, Method, Record
from packgen.model.validate import validate
from packgen.model.yaml_reader import parse_yaml

SlotForm = Literal["value", "rule", "job", "safety", "table", "figure"]
_SLOT = re.compile(r"\{\{(.*?)\}\}", re.DOTALL)
_FORM = re.compile(r"(?:(?P<form>rule|job|safety|table|figure)\s*:\s*)?(?P<names>[A-Za-z0-9_.-]+(?:\s*,\s*[A-Za-z0-9_.-]+)*)", re.ASCII)
_TOKEN = re.compile(r"qslot(\d+)q")
_TAGS = {"h2", "p", "ol", "ul", "table"}


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
    """The YAML head of a procedure; `once` puts it with the first or the last joint of a job only."""

    id: Name
    title: Words
    order: int
    on: tuple[Literal["pack", "cards", "site"], ...]
    when: When = When()
    once: Literal["first", "last"] | None = None


@dataclass(frozen=True)
class Procedure:
    """One procedure: where it belongs, and its blocks."""

    head: FrontMatter
    blocks: tuple[Block, ...]
    file: str
    text: str

    @property
    def steps(self) -> tuple[StepText, ...]:
        """The steps in order."""
        return tuple(block for block in self.blocks if isinstance(block, StepText))

    def slots(self) -> Iterator[Slot]:
        """Every slot, in order."""
        for block in self.blocks:
            if isinstance(block, SlotBlock):
                yield block.slot
            for runs in _runs_of(block):
                yield from (run.slot for run in runs if run.slot)


def _runs_of(block: Block) -> tuple[Runs, ...]:
    """All run lists of a block."""
    if isinstance(block, Paragraph | StepText):
        return (block.runs,)
    if isinstance(block, Bullets):
        return block.items
    if isinstance(block, ProseTable):
        return (*block.head, *(cell for row in block.rows for cell in row))
    return ()


def read_procedure(text: str, file: str, problems: Problems) -> Procedure | None:
    """Read one procedure; its mistakes go to `problems` and None is returned where it cannot be used."""
    found = re.match(r"---\n(.*?)\n---\n", text, re.DOTALL)
    if found is None:
        problems.add(Place(file, 1), "the front matter is missing", expected="a block between two lines '---' at the top")
        return None
    try:
        document = parse_yaml(found[1], file, first_line=2)
    except ContentError as error:
        problems.extend(error.problems)
        return None
    head = validate(document, FrontMatter, problems)
    body = _Body(text[found.end() :], file, text[: found.end()].count("\n"), problems)
    blocks = body.read()
    if head is None or blocks is None:
        return None
    return Procedure(head, blocks, file, text)


class _Body:
    """Reads the Markdown below the front matter."""

    def __init__(self, text: str, file: str, offset: int, problems: Problems) -> None:
        self.text, self.file, self.offset, self.problems = text, file, offset, problems
        self.slots: list[Slot] = []

    def read(self) -> tuple[Block, ...] | None:
        """The blocks, or None where there were problems."""
        import markdown

        before = len(self.problems)
        source = _SLOT.sub(self._token, self.text)
        if "{{" in source or "}}" in source:
            self._add("{{", "a slot is not closed", "{{ NAME }} on one line")
        html = markdown.markdown(source, extensions=["attr_list", "tables"], output_format="xhtml")
        try:
            root = ElementTree.fromstring(f"<root>{html}</root>")
        except ElementTree.ParseError:
            self._add("<", "raw HTML stands in the text", "Markdown without HTML; write < as a word")
            return None
        blocks = tuple(block for element in root for block in self._blocks(element))
        kept = len(_TOKEN.findall("".join(root.itertext())))
        if kept != len(self.slots):
            self.problems.add(Place(self.file), f"{len(self.slots) - kept} slots were lost in Markdown", cure="move them out of attributes and code")
        return None if len(self.problems) > before else blocks

    def _line(self, words: str) -> int:
        """The line of the file on which some words stand."""
        spot = self.text.find(words)
        return self.offset + 1 + (self.text.count("\n", 0, spot) if spot >= 0 else 0)

    def _add(self, words: str, what: str, expected: str = "", cure: str = "") -> None:
        self.problems.add(Place(self.file, self._line(words)), what, expected=expected, cure=cure)

    def _token(self, found: re.Match[str]) -> str:
        """A slot's token; a slot of no known form is a problem."""
        place = Place(self.file, self.offset + 1 + self.text.count("\n", 0, found.start()), 0, "{{" + found[1] + "}}")
        form = _FORM.fullmatch(found[1].strip())
        if form is None:
            expected = "{{ tap.hole_saw }}, {{ rule: ID }}, {{ safety: ID }} or {{ table: NAME, NAME }}"
            self.problems.add(place, "the slot has no form packgen knows", expected=expected)
            return ""
        names = tuple(name.strip() for name in form["names"].split(","))
        kind: SlotForm = form["form"] or "value"  # type: ignore[assignment]
        if len(names) > 1 and kind != "table":
            self.problems.add(place, "the slot names several values", expected="one value a slot, or {{ table: … }}")
        self.slots.append(Slot(kind, names, place))
        return f"qslot{len(self.slots) - 1}q"

    def _blocks(self, element: ElementTree.Element) -> Iterator[Block]:
        """The blocks one element makes."""
        if element.tag not in _TAGS:
            name = "a heading of another level" if element.tag in {"h1", "h3", "h4"} else f"<{element.tag}>"
            self._add(f"<{element.tag}", f"{name} has no place here", "## headings, paragraphs, lists and tables")
        elif element.tag == "h2":
            yield Heading("".join(element.itertext()))
        elif element.tag == "p":
            yield from self._paragraph(element)
        elif element.tag == "ul":
            yield Bullets(tuple(self._runs(item) for item in element))
        elif element.tag == "table":
            head, *rows = [tuple(self._runs(cell) for cell in row) for row in element.iter("tr")]
            yield ProseTable(head, tuple(rows))
        else:
            yield from (self._step(item) for item in element)

    def _paragraph(self, element: ElementTree.Element) -> Iterator[Block]:
        """A paragraph, or the safety or table slot that stands alone in it."""
        runs = self._runs(element, blocks_allowed=True)
        lone = [run.slot for run in runs if run.slot and run.slot.form in {"safety", "table", "figure"}]
        if lone and (len(runs) > 1 or lone[0] is None):
            self.problems.add(lone[0].place if lone[0] else Place(self.file), "the slot does not stand alone in its paragraph", cure="put blank lines round it")
        elif lone and lone[0]:
            yield SlotBlock(lone[0])
        else:
            yield Paragraph(runs)

    def _step(self, item: ElementTree.Element) -> StepText:
        """A numbered item: a step with its id and gate."""
        holder = item if item.get("id") else next((child for child in item if child.get("id")), item)
        words = " ".join("".join(item.itertext()).split())
        if not holder.get("id"):
            self._add(_TOKEN.split(words)[0].strip()[:40], f"the step {words[:50]!r} has no id", "{: #stable-id } on a line of its own below it")
        known = {"hold", "witness"}
        classes = set((holder.get("class") or "").split())
        if classes - known or len(classes) > 1:
            self._add("#" + (holder.get("id") or ""), f"the step's marks are {sorted(classes)}", ".hold or .witness or none")
        gate: Literal["", "hold", "witness"] = "hold" if "hold" in classes else "witness" if "witness" in classes else ""
        spot = Place(self.file, self._line("#" + (holder.get("id") or "")), 0, holder.get("id") or "")
        inner = next((child for child in item if child.tag == "p"), item)
        return StepText(holder.get("id") or "", self._runs(inner), gate, holder.get("write") or "", spot)

    def _runs(self, element: ElementTree.Element, blocks_allowed: bool = False) -> Runs:
        """The words of an element as runs; only bold is known."""
        runs: list[Run] = [*self._words(element.text, False, blocks_allowed)]
        for child in element:
            if child.tag == "strong" and not len(child):
                runs += self._words(child.text, True, blocks_allowed)
            elif child.tag != "p":
                self._add(f"<{child.tag}", f"<{child.tag}> has no place here", "plain words and **bold**")
            runs += self._words(child.tail, False, blocks_allowed)
        return tuple(runs)

    def _words(self, text: str | None, strong: bool, blocks_allowed: bool) -> Iterator[Run]:
        """Plain words split at slot tokens."""
        for index, part in enumerate(_TOKEN.split(text or "")):
            if index % 2:
                slot = self.slots[int(part)]
                if slot.form in {"safety", "table", "figure"} and not blocks_allowed:
                    self.problems.add(slot.place, f"a {slot.form} slot stands inside a line", cure="put it in a paragraph of its own")
                yield Run(slot=slot, strong=strong)
            elif part.strip() or part == " ":
                yield Run(re.sub(r"\s+", " ", part), strong)
