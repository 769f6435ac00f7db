"""Markdown procedures to frozen blocks, with every word accounted for.

In: a Markdown file with YAML front matter. Out: a `Procedure`, or problems with file and line. The reader
knows a few elements and refuses every other one, raw HTML included; at the end the words of the blocks are
compared with the words that Markdown gave, so that none is lost. Vocabulary: a *slot* `{{ tap.hole_saw }}` is
filled later as text; `{{ rule: ID }}`, `{{ job: KEY }}`, `{{ safety: ID }}`, `{{ figure: ID }}` and `{{
table: NAME, … }}` are its other forms. Slots become plain *tokens* before Markdown.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, Literal
from xml.etree import ElementTree

from packgen.errors import ContentError, Place, Problem, Problems, nearest
from packgen.model.prose import (
    CONDITIONS,
    Block,
    Bullets,
    FrontMatter,
    Heading,
    Paragraph,
    Procedure,
    ProseTable,
    Run,
    Runs,
    Slot,
    SlotBlock,
    SlotForm,
    StepText,
    When,
    runs_of,
)  # fmt: skip
from packgen.model.validate import validate
from packgen.model.yaml_reader import HIDDEN, parse_yaml
from packgen.model.yaml_scan import MOST

LARGEST = 60_000
_MOST_BRACKETS = 200  # Markdown looks for a link's end from each of them: thousands would take minutes
_FRONT = re.compile(r"---[ \t]*\n(.*?)^---[ \t]*(?:\n|\Z)", re.DOTALL | re.MULTILINE)
_SLOT = re.compile(r"\{\{([^{}\n]*)\}\}")
_FORMS: tuple[SlotForm, ...] = ("rule", "job", "owner", "safety", "table", "figure")
_ALONE = {"safety", "table", "figure"}
_SHAPE = re.compile(
    r"(?:(?P<form>[a-z]+)\s*:\s*)?(?P<names>[A-Za-z0-9_.-]+(?:\s*,\s*[A-Za-z0-9_.-]+)*)", re.ASCII
)
_CLEAR = "use plain paragraphs, lists and tables only"
_KNOWN = (
    "{{ tap.hole_saw }}, or {{ rule: … }}, {{ job: … }}, {{ owner: … }}, {{ safety: … }}, {{ figure: … }}, "
    "{{ table: … }}"
)
_TOKEN = re.compile(r"qslot(\d+)q")
_STEP_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,63}", re.ASCII)
# Words of the text that Markdown would turn into something else than words, and how each is mended.
_MARKUP = (
    (re.compile(r"<[A-Za-z/!?]"), "raw HTML stands in the text", "write Markdown, and 'less than' for <"),
    (re.compile(r"&(?:[A-Za-z]+[0-9]*|#[0-9xX]+);"), "an HTML code stands in the text", "type its sign"),
    (re.compile(r"qslot\d+q"), "the text holds a word that packgen keeps for itself", "spell it otherwise"),
    (HIDDEN, "the text holds a hidden character", "delete it"),
)  # fmt: skip
_NAMES = {
    "em": "italic type", "a": "a link", "img": "an image", "code": "a code span", "pre": "a block of code",
    "blockquote": "a quotation", "hr": "a rule", "br": "a line break forced by two spaces",
    "ol": "a list inside a list", "ul": "a list inside a list", "p": "a second paragraph",
    "strong": "bold type inside bold type",
    **dict.fromkeys(("h1", "h3", "h4", "h5", "h6"), "a heading of another level"),
}  # fmt: skip


def read_procedure(text: str, file: str, problems: Problems) -> Procedure | None:
    """Read one procedure; its mistakes go to `problems` and None is returned where it cannot be used."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    found = _FRONT.match(text)
    if found is None:
        what = "the front matter is not closed" if text.startswith("---") else "the front matter is missing"
        problems.add(Place(file, 1), what, expected="keys between two lines '---' at the top of the file")
        return None
    before = len(problems)
    try:
        document = parse_yaml(found[1], file, first_line=2, problems=problems)
    except ContentError as error:
        problems.extend(error.problems)
        return None
    head = validate(document, FrontMatter, problems)
    blocks = _Body(text[found.end() :], file, text[: found.end()].count("\n"), problems).read()
    if head is None or blocks is None or len(problems) > before:
        return None
    return Procedure(head, blocks, file, text, document.place(("id",)))


class _Body:
    """Reads the Markdown below the front matter."""

    def __init__(self, text: str, file: str, offset: int, problems: Problems) -> None:
        self.text, self.file, self.offset, self.problems = text, file, offset, problems
        self.slots: list[Slot] = []
        self.source = ""
        self.reached = 0
        self.told = 0

    def read(self) -> tuple[Block, ...] | None:
        """The blocks, or None where there were problems."""
        if len(self.text) > LARGEST:
            self._add(1, "the procedure is too long", f"at most {LARGEST:,} characters", cure="split it")
            return None
        if self.text.count("[") > _MOST_BRACKETS:
            self._add(
                1, "the procedure holds too many brackets", f"at most {_MOST_BRACKETS}", cure="split it"
            )
            return None
        self._refuse_markup()
        self.source = _SLOT.sub(self._token, self.text)
        for found in re.finditer(r"\{\{|\}\}", self.source):
            self._add(
                self._line_at(self.source, found.start()), "a slot is not closed", "{{ NAME }} on one line"
            )
        if self.told:
            return None
        root = self._elements()
        if root is None:
            return None
        blocks = tuple(block for element in root for block in self._blocks(element))
        if not self.told:
            self._account(_letters(root.itertext()), blocks)
        return None if self.told else blocks

    def _refuse_markup(self) -> None:
        """Tell what Markdown would not leave as words, while the lines are still the author's own."""
        for pattern, what, cure in _MARKUP:
            for found in pattern.finditer(self.text):
                self._add(self._line_at(self.text, found.start()), what, cure=cure)

    def _elements(self) -> ElementTree.Element | None:
        """What Markdown makes of the text."""
        import markdown

        try:
            html = markdown.markdown(self.source, extensions=["attr_list", "tables"], output_format="xhtml")
            return ElementTree.fromstring(f"<root>{html}</root>")
        except (ElementTree.ParseError, RecursionError):
            self._add(1, "Markdown makes no clear text of this", cure=_CLEAR)
            return None

    def _account(self, given: str, blocks: Iterable[Block]) -> None:
        """Tell a slot that did not come through Markdown, and words that did not come into the blocks."""
        numbers = {int(number) for number in _TOKEN.findall(given)}
        for number, slot in enumerate(self.slots):
            if number not in numbers:
                cure = "take it out of the step's marks"
                self._add(
                    slot.place.line, "the slot stands where no words are", cure=cure, key=slot.place.key
                )
        if not self.told and given != _letters(self._words_of(blocks)):
            self._add(1, "some words were lost in Markdown", cure=_CLEAR)

    def _words_of(self, blocks: Iterable[Block]) -> Iterator[str]:
        """All words of some blocks, slots as their tokens."""
        tokens = {id(slot): f"qslot{number}q" for number, slot in enumerate(self.slots)}
        for block in blocks:
            if isinstance(block, Heading):
                yield block.text
            elif isinstance(block, SlotBlock):
                yield tokens[id(block.slot)]
            for runs in runs_of(block):
                yield from (tokens[id(run.slot)] if run.slot else run.text for run in runs)

    def _line_at(self, text: str, spot: int) -> int:
        """The line of the file on which a spot of the body lies."""
        return self.offset + 1 + text.count("\n", 0, spot)

    def _line_of(self, element: ElementTree.Element) -> int:
        """The line of the file on which an element's first words stand, as far as they are found."""
        words = [*_TOKEN.sub("\n", "".join(element.itertext())).splitlines(), element.get("alt", "")]
        first = next((each.strip() for each in words if each.strip()), "")
        spot = self.source.find(first[:40], self.reached) if first else -1
        return self._line_at(self.source, max(spot, self.reached))

    def _reach(self, element: ElementTree.Element) -> None:
        """Go on to an element, so that words which stand twice are found in the right one."""
        words = _TOKEN.split("".join(element.itertext()))[0].strip().splitlines()
        if words:
            self.reached = max(self.source.find(words[0][:40], self.reached), self.reached)

    def _add(
        self, line: int, what: str, expected: str = "", near: str = "", cure: str = "", key: str = ""
    ) -> None:
        self.told += 1
        if self.told <= MOST:
            self.problems.extend([Problem(Place(self.file, line, 0, key), what, expected, near, cure)])

    def _token(self, found: re.Match[str]) -> str:
        """A slot's token; a slot of no known form is a problem."""
        written = found[0]
        line = self._line_at(self.text, found.start())
        shape = _SHAPE.fullmatch(found[1].strip())
        if shape is None:
            self._add(line, "the slot has no form packgen knows", _KNOWN, key=written)
            return ""
        form: SlotForm | None = "value"
        if shape["form"]:
            form = next((known for known in _FORMS if known == shape["form"]), None)
        names = tuple(name.strip() for name in shape["names"].split(","))
        if form is None:
            near = nearest(shape["form"], _FORMS)
            self._add(line, f"the slot's form {shape['form']!r} is not known", _KNOWN, near, key=written)
            return ""
        if len(names) > 1 and form != "table":
            self._add(
                line, "the slot names several values", "one value a slot, or {{ table: … }}", key=written
            )
        self.slots.append(Slot(form, names, Place(self.file, line, 0, written)))
        return f"qslot{len(self.slots) - 1}q"

    def _blocks(self, element: ElementTree.Element) -> Iterator[Block]:
        """The blocks one element makes."""
        self._reach(element)
        known = {"ol": {"start"}, "h2": set(CONDITIONS)}.get(element.tag, set())
        self._attributes(element, known)
        if element.tag == "h2":
            yield self._heading(element)
        elif element.tag == "p":
            yield from self._paragraph(element)
        elif element.tag == "ul":
            yield Bullets(tuple(self._item(item, set()) for item in element))
        elif element.tag == "ol":
            yield from (self._step(item) for item in element)
        elif element.tag == "table":
            head, *rows = [tuple(self._cell(cell) for cell in row) for row in element.iter("tr")]
            yield ProseTable(head, tuple(rows))
        else:
            self._foreign(element, "## headings, paragraphs, lists and tables")

    def _attributes(self, element: ElementTree.Element, known: set[str]) -> None:
        """Tell attributes that would be dropped without a word."""
        for name in sorted(set(element.keys()) - known):
            expected = "{: … } below a step, or behind a section's heading"
            if "id" in known:
                expected = '#id, .hold or .witness, and write="…"'
            elif known:
                expected = ", ".join(sorted(known))
            near = nearest(name, known)
            self._add(self._line_of(element), f"the attribute {name!r} has no place here", expected, near)

    def _foreign(self, element: ElementTree.Element, expected: str) -> None:
        """Tell an element the reader does not know."""
        name = _NAMES.get(element.tag, f"<{element.tag}>")
        self._add(self._line_of(element), f"{name} has no place here", expected)

    def _heading(self, element: ElementTree.Element) -> Heading:
        """A section's title: plain words."""
        text = " ".join("".join(element.itertext()).split())
        if len(element) or _TOKEN.search(text) or not text:
            self._add(
                self._line_of(element), "a heading holds something else than words", "plain words, no slot"
            )
        line = self._line_of(element)
        when: dict[str, Any] = {key: self._condition(key, text, line) for key, text in element.items()}
        return Heading(text, When.model_construct(**when), Place(self.file, line))

    def _condition(self, key: str, written: str, line: int) -> tuple[str, ...]:
        """The words of a section's condition, parted by commas."""
        words = tuple(word.strip() for word in written.split(","))
        for word in words:
            if key in CONDITIONS and word not in CONDITIONS[key]:
                what, near = f"{word!r} is no {key} packgen knows", nearest(word, CONDITIONS[key])
                self._add(line, what, "one of " + ", ".join(CONDITIONS[key]), near, key=key)
        return words

    def _paragraph(self, element: ElementTree.Element) -> Iterator[Block]:
        """A paragraph, or the safety, table or figure slot that stands alone in it."""
        runs = self._runs(element, alone_allowed=True)
        lone = next((run.slot for run in runs if run.slot and run.slot.form in _ALONE), None)
        if lone is None:
            yield Paragraph(runs)
        elif len(runs) == 1:
            yield SlotBlock(lone)
        else:
            what = f"the {lone.form} slot does not stand alone in its paragraph"
            self._add(lone.place.line, what, cure="put blank lines round it", key=lone.place.key)

    def _step(self, item: ElementTree.Element) -> StepText:
        """A numbered item: a step with its id and gate."""
        self._reach(item)
        known = {"id", "class", "write"}
        holder = item if item.get("id") else next((child for child in item if child.get("id")), item)
        runs, line, step_id = self._item(item, known), self._line_of(item), holder.get("id") or ""
        mark = re.search(rf"#{re.escape(step_id)}(?![\w-])", self.source)
        line = self._line_at(self.source, mark.start()) if step_id and mark else line
        words = " ".join(_TOKEN.sub("…", "".join(item.itertext())).split())[:50]
        if not runs:
            self._add(line, "a step has no words", "one action")
        elif not step_id:
            self._add(line, f"the step {words!r} has no id", "{: #stable-id } on a line of its own below it")
        elif not _STEP_ID.fullmatch(step_id):
            expected = "small letters, digits and hyphens, beginning with a letter or digit"
            self._add(line, f"{step_id!r} cannot be the id of a step", expected)
        classes = (holder.get("class") or "").split()
        wrong = [each for each in classes if each not in {"hold", "witness"}]
        if wrong or len(classes) > 1:
            shown = " and ".join(f".{each}" for each in classes)
            near = nearest(wrong[0], ["hold", "witness"]) if wrong else ""
            self._add(
                line,
                f"the step is marked {shown}",
                ".hold or .witness or neither",
                near and f".{near}",
                key=step_id,
            )
        gate: Literal["", "hold", "witness"]
        gate = "hold" if "hold" in classes else "witness" if "witness" in classes else ""
        return StepText(step_id, runs, gate, holder.get("write") or "", Place(self.file, line, 0, step_id))

    def _item(self, item: ElementTree.Element, known: set[str]) -> Runs:
        """The words of a list item: its own, or those of its one paragraph."""
        self._attributes(item, known)
        paragraphs = [child for child in item if child.tag == "p"]
        if not paragraphs:
            return self._runs(item)
        for child in item:
            if child is not paragraphs[0]:
                self._foreign(
                    child, "one paragraph in an item; blank lines and a new number begin the next step"
                )
        self._attributes(paragraphs[0], known)
        return self._runs(paragraphs[0])

    def _cell(self, cell: ElementTree.Element) -> Runs:
        """The words of a table's cell."""
        self._attributes(cell, {"style"})  # how the column is aligned
        return self._runs(cell)

    def _runs(self, element: ElementTree.Element, alone_allowed: bool = False) -> Runs:
        """The words of an element as runs; only bold is known."""
        runs: list[Run] = [*self._words(element.text, False, alone_allowed)]
        for child in element:
            self._attributes(child, set())
            if child.tag == "strong" and not len(child):
                runs += self._words(child.text, True, alone_allowed)
            else:
                self._foreign(child, "plain words and **bold**")
            runs += self._words(child.tail, False, alone_allowed)
        return _trimmed(runs)

    def _words(self, text: str | None, strong: bool, alone_allowed: bool) -> Iterator[Run]:
        """Plain words split at slot tokens."""
        for index, part in enumerate(_TOKEN.split(text or "")):
            if index % 2:
                slot = self.slots[int(part)]
                if slot.form in _ALONE and not alone_allowed:
                    what, cure = (
                        f"a {slot.form} slot stands inside a line",
                        "put it in a paragraph of its own",
                    )
                    self._add(slot.place.line, what, cure=cure, key=slot.place.key)
                yield Run(slot=slot, strong=strong)
            elif part:
                if "{:" in part:
                    line = self._line_at(self.source, max(self.source.find(part.strip()[:40]), 0))
                    cure = "close it with }, and put it on the line below the step, indented as its words are"
                    self._add(line, "'{:' stands where no step ends", cure=cure)
                yield Run(re.sub(r"\s+", " ", part), strong)


def _trimmed(runs: list[Run]) -> Runs:
    """Runs without blanks at their two ends, and without empty ones."""
    kept = list(runs)
    while kept and kept[0].slot is None and not kept[0].text.strip():
        kept.pop(0)
    while kept and kept[-1].slot is None and not kept[-1].text.strip():
        kept.pop()
    if kept and kept[0].slot is None:
        kept[0] = Run(kept[0].text.lstrip(), kept[0].strong)
    if kept and kept[-1].slot is None:
        kept[-1] = Run(kept[-1].text.rstrip(), kept[-1].strong)
    return tuple(kept)


def _letters(parts: Iterable[str]) -> str:
    """All signs of some words but the white space."""
    return "".join("".join(parts).split())
