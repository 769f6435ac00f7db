"""The structure tree of a PDF and the marks of its pages, read into plain records.

In: a PDF as pikepdf opens it. Out: its `Element` tree, and for each page the words of every mark.
Vocabulary: an *element* is a heading, a table, a figure of the tree; a *mark* is a piece of a page's content
with a number (MCID) by which an element holds it; an *artifact* is content for the eye alone: rules, grounds,
the foot; *loose* content is painted in neither.
Governing text: ISO 32000-1, 14.6 marked content, 14.7 logical structure, 14.8.5 attributes: from memory.

Text is taken to be written as hexadecimal strings, two bytes a code, in fonts that say their signs one by
one: WeasyPrint always writes it so. What is written otherwise has no words here, and so is missed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf

from packgen.render.embedded import UNICODE_OF_CODE

NO_PAGE = -1
DESCRIBED = {"L", "TH", "TD"}  # the kinds whose attributes are read
ARTIFACT, NEITHER = -1, -2  # what content may be besides a mark with its number

TOKEN = re.compile(
    rb"<<(?P<list>[^>]*)>>"  # the property list of a mark
    rb"|<(?P<text>[0-9A-Fa-f\s]+)>"
    rb"|\((?:[^\\()]|\\.)*\)"
    rb"|/(?P<name>[^\s/<>\[\]()]+)"
    rb"|(?<!\S)(?P<operator>BDC|BMC|EMC|Tf|TJ|Tj|Do|sh|[fFBbSs]\*?)(?!\S)",
    re.DOTALL,
)
NUMBER = re.compile(rb"/MCID\s+(\d+)")


@dataclass(frozen=True)
class Mark:
    """A piece of content that an element holds: its page from 0, its number there."""

    page: int
    number: int


@dataclass(frozen=True)
class Linked:
    """An annotation that an element holds: its object's number and generation."""

    objgen: tuple[int, int]


@dataclass
class Element:
    """An element of the tree: its kind ("H1"), the words of a drawing, attributes, what it holds."""

    kind: str
    alternative: str = ""
    attributes: dict[str, str] = field(default_factory=dict)
    kids: list[Element | Mark | Linked] = field(default_factory=list)
    _every: list[Element] | None = field(default=None, repr=False)

    def elements(self) -> list[Element]:
        """The elements that it holds itself."""
        return [kid for kid in self.kids if isinstance(kid, Element)]

    def all(self, *kinds: str) -> list[Element]:
        """Every element in it of these kinds, of all where none is given, in reading order; itself too."""
        if self._every is None:
            self._every = [self, *(inner for kid in self.elements() for inner in kid.all())]
        return [each for each in self._every if each.kind in kinds] if kinds else self._every

    def marks(self, but: str = "") -> Iterator[Mark]:
        """Every mark in it, in reading order; what elements of the kind `but` hold is left out."""
        for kid in self.kids:
            if isinstance(kid, Mark):
                yield kid
            elif isinstance(kid, Element) and kid.kind != but:
                yield from kid.marks(but)


@dataclass
class Page:
    """What is painted on a page: the words of each mark; how much is loose, or nested as it may not be."""

    words: dict[int, str] = field(default_factory=dict)
    loose: int = 0
    nested: int = 0
    doubled: set[int] = field(default_factory=set)


def read_tree(pdf: pikepdf.Pdf) -> Element | None:
    """The tree from its top, the document; None where the PDF has none."""
    root = pdf.Root.get("/StructTreeRoot")
    if root is None or "/K" not in root:
        return None
    pages = {page.obj.objgen: index for index, page in enumerate(pdf.pages)}
    tops = [_element(top, pages, NO_PAGE) for top in _list(root.K)]
    return tops[0] if len(tops) == 1 else Element("Document", kids=list(tops))


def _list(held: pikepdf.Object) -> list[pikepdf.Object]:
    return list(held.as_list()) if isinstance(held, pikepdf.Array) else [held]


def _element(made: pikepdf.Object, pages: dict[tuple[int, int], int], page: int) -> Element:
    own = made.get("/Pg")
    page = page if own is None else pages.get(own.objgen, NO_PAGE)
    element = Element(str(made.get("/S", "/"))[1:])
    if element.kind == "Figure":
        element.alternative = str(made.get("/Alt", ""))
    elif element.kind in DESCRIBED:
        element.attributes = _attributes(made)
    for kid in _list(made.get("/K", pikepdf.Array())):
        if not isinstance(kid, pikepdf.Dictionary):
            element.kids.append(Mark(page, int(kid)))
        elif "/MCID" in kid:
            there = kid.get("/Pg")
            on = page if there is None else pages.get(there.objgen, NO_PAGE)
            element.kids.append(Mark(on, int(kid.MCID)))
        elif "/Obj" in kid:
            element.kids.append(Linked(kid.Obj.objgen))
        else:
            element.kids.append(_element(kid, pages, page))
    return element


def _attributes(made: pikepdf.Object) -> dict[str, str]:
    """Every attribute of one word or number, whoever owns it."""
    found = made.get("/A")
    if found is None:
        return {}
    owned = [item for item in _list(found) if isinstance(item, pikepdf.Dictionary)]
    return {
        str(name)[1:]: str(value).removeprefix("/")
        for item in owned
        for name, value in item.items()
        if not isinstance(value, (pikepdf.Array, pikepdf.Dictionary))
    }


class PageReader:
    """Reads the marks of a PDF's pages; a font that many pages share is read once."""

    def __init__(self) -> None:
        self._signs: dict[tuple[int, int], dict[bytes, str]] = {}

    def read(self, page: pikepdf.Page) -> Page:
        """The marks of `page`."""
        found = Page()
        held: list[int] = []  # what is open, the innermost last; a mark that says nothing counts as the outer
        streams = _list(page.obj.get("/Contents", pikepdf.Array()))
        content = b"\n".join(stream.read_bytes() for stream in streams)
        for operator, said, name, properties in self._painted(content, page.resources):
            inner = held[-1] if held else NEITHER
            if operator in (b"BDC", b"BMC"):
                opened = _opened(name, properties, inner, found)
                held.append(inner if opened == NEITHER else opened)
            elif operator == b"EMC":
                held = held[:-1]
            elif inner == NEITHER:
                found.loose += 1
            elif inner != ARTIFACT:
                found.words[inner] += said
        return found

    def _painted(self, content: bytes, resources: pikepdf.Object) -> Iterator[tuple[bytes, str, str, bytes]]:
        """Each mark and each act of painting: the operator, words shown, name and property list before it."""
        name, properties, shown = "", b"", []
        signs: dict[bytes, str] = {}
        for token in TOKEN.finditer(content):
            kind, value = token.lastgroup, token[0]
            if kind == "name":
                name = value[1:].decode("latin-1")
            elif kind == "list":
                properties = value
            elif kind == "text":
                shown.append(value)
            elif value == b"Tf":
                signs, shown = self._font(resources, name), []
            elif kind == "operator":
                said = _said(shown, signs) if shown else ""
                if value == b"Do":
                    said = self._form_words(resources, name)
                yield value, said, name, properties
                properties, shown = b"", []

    def _font(self, resources: pikepdf.Object, name: str) -> dict[bytes, str]:
        """The sign for each code of a font, by the code's four digits."""
        font = resources.get("/Font", pikepdf.Dictionary()).get(f"/{name}")
        if font is None:
            return {}
        if font.objgen not in self._signs:
            table = font.get("/ToUnicode")
            pairs = UNICODE_OF_CODE.findall(table.read_bytes()) if isinstance(table, pikepdf.Stream) else []
            self._signs[font.objgen] = {code.lower(): _sign(digits) for code, digits in pairs}
        return self._signs[font.objgen]

    def _form_words(self, resources: pikepdf.Object, name: str) -> str:
        """The words of a form that is drawn; none for a picture."""
        form = resources.get("/XObject", pikepdf.Dictionary()).get(f"/{name}")
        if not isinstance(form, pikepdf.Stream) or form.get("/Subtype") != pikepdf.Name.Form:
            return ""
        inner = self._painted(form.read_bytes(), form.get("/Resources", resources))
        return "".join(said for _, said, _, _ in inner)


def _opened(name: str, properties: bytes, inner: int, found: Page) -> int:
    """What opens inside `inner`: the number of a mark, `ARTIFACT`, or `NEITHER`."""
    if name == "Artifact":
        found.nested += inner >= 0
        return ARTIFACT
    number = NUMBER.search(properties)
    if number is None:
        return NEITHER
    mark = int(number[1])
    found.nested += inner != NEITHER
    if mark in found.words:
        found.doubled.add(mark)
    found.words.setdefault(mark, "")
    return mark


def _sign(digits: bytes) -> str:
    return bytes.fromhex(digits.decode("ascii")).decode("utf-16-be", "replace")


def _said(shown: list[bytes], signs: dict[bytes, str]) -> str:
    """Hexadecimal strings as words."""
    digits = b"".join(text[1:-1] for text in shown).lower()
    return "".join(signs.get(digits[place : place + 4], "") for place in range(0, len(digits), 4))
