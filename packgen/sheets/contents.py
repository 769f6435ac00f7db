"""The contents of a pack: every sheet with its steps and its page, and sheets that name pages of others.

In: what makes a pack's sheets from the pages of its sheets, a medium. Out: sheets whose pages are right.
Vocabulary: a *part* is a run of sheets under one heading of the contents (before the work, the work, after
it); a *book* is on which page each sheet begins, and how many pages there are. The contents stand in the book
they tell of, so the sheets are made and counted again until every page named is the page it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from packgen.errors import ContentError
from packgen.sheets.blocks import Block, Sheet, Spans, Step, Table, Tag, Why, spans
from packgen.sheets.media import Medium
from packgen.sheets.plan import lay_out
from packgen.sheets.words import Words

_ROUNDS = 8  # two are enough but where a line breaks because a page has one digit more
_NONE = "–"
_Laid = list[list[int]]  # the numbers of the steps on each face of a sheet


@dataclass(frozen=True)
class Part:
    """Sheets that stand under one heading of the contents."""

    title: str
    sheets: tuple[Sheet, ...]


@dataclass(frozen=True)
class Book:
    """The page on which each sheet begins, by id and title; that of each step; the number of pages."""

    first: Mapping[tuple[str, str], int] = field(default_factory=dict)
    steps: Mapping[int, int] = field(default_factory=dict)
    pages: int = 0

    def page(self, sheet_id: str, title: str) -> str:
        """The page of a sheet as printed; a dash while it is not known."""
        return str(self.first.get((sheet_id, title), _NONE))

    def step_page(self, number: int) -> str:
        """The page of a step as printed; a dash while it is not known."""
        return str(self.steps.get(number, _NONE))


def settled(make: Callable[[Book], Sequence[Sheet]], medium: Medium) -> tuple[Sheet, ...]:
    """A pack whose sheets name the pages that they stand on.

    Parameters: `make`, which makes the sheets from a book; `medium`. Returns the sheets. Raises
    `ContentError` where the pages do not settle, or words do not fit a page.
    """
    book, laid = Book(), dict[Sheet, _Laid]()
    for _ in range(_ROUNDS):
        sheets = tuple(make(book))
        found = _book(sheets, medium, laid)
        if found == book:
            return sheets
        book = found
    raise ContentError("the pages of the contents do not settle")


def _book(sheets: Sequence[Sheet], medium: Medium, laid: dict[Sheet, _Laid]) -> Book:
    """The pages of some sheets; a sheet that was laid out before is not laid out again."""
    first: dict[tuple[str, str], int] = {}
    steps: dict[int, int] = {}
    page = 1
    for sheet in sheets:
        first[sheet.id, sheet.title] = page
        if sheet not in laid:
            laid[sheet] = [_numbers(face.blocks) for face in lay_out((sheet,), medium)]
        for numbers in laid[sheet]:
            steps.update(dict.fromkeys(numbers, page))
            page += 1
    return Book(first, steps, page - 1)


def _numbers(blocks: Sequence[Block]) -> list[int]:
    """The numbers of the steps among some blocks."""
    return [block.number for block in blocks if isinstance(block, Step)]


def contents_sheet(words: Words, tag: Tag, parts: Sequence[Part], book: Book) -> Sheet:
    """Every sheet behind the cover, part by part, with its steps and its page."""
    head = tuple(spans(words(f"contents.{key}")) for key in ("sheet", "steps", "page"))
    rows: list[tuple[Spans, ...]] = []
    for part in parts:
        rows += [(spans(part.title, "strong"), (), ()), *(_row(words, sheet, book) for sheet in part.sheets)]
    intro = Why(spans(words("contents.intro", pages=str(book.pages))))
    table = Table(head, tuple(rows), (0.68, 0.18, 0.14))
    return Sheet("contents", words("sheets.contents"), tag, (intro, table))


def _row(words: Words, sheet: Sheet, book: Book) -> tuple[Spans, ...]:
    """A sheet: its title, the numbers of its steps, its page."""
    page = book.page(sheet.id, sheet.title)
    return (spans(sheet.title), spans(_steps(words, sheet)), spans(page, "strong"))


def _steps(words: Words, sheet: Sheet) -> str:
    """The first and the last number of a sheet's steps; a dash where it has none."""
    numbers = _numbers(sheet.blocks)
    if not numbers:
        return _NONE
    first, last = str(min(numbers)), str(max(numbers))
    return first if first == last else words("contents.steps_from", first=first, last=last)


def in_parts(titled: Sequence[tuple[str, Sheet]]) -> Iterator[Part]:
    """Sheets with the heading of each, as parts: those of one heading that follow each other."""
    held: list[Sheet] = []
    for at, (title, sheet) in enumerate(titled):
        held.append(sheet)
        if at + 1 == len(titled) or titled[at + 1][0] != title:
            yield Part(title, tuple(held))
            held = []
