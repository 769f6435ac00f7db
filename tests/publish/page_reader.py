"""Reads a page as a reader's program does: elements in order, headings, ids, links, faults of nesting.

In: HTML text. Out: a `Page`. It knows only what these tests ask about; the pages are ours, so an element that
is opened and not closed is a fault, although HTML would forgive some.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from itertools import pairwise

VOID = {"meta", "link", "br", "col", "path", "circle"}


@dataclass
class Element:
    """One element: its name, attributes, and the text inside it."""

    name: str
    attributes: dict[str, str]
    texts: list[str] = field(default_factory=list)
    parents: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """The text inside, as a reader sees it: plain spaces, one between words."""
        return " ".join("".join(self.texts).split())

    def is_a(self, class_: str) -> bool:
        """Whether the element has a class."""
        return class_ in self.attributes.get("class", "").split()


class Page(HTMLParser):
    """A page taken apart."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[Element] = []
        self.faults: list[str] = []
        self._open: list[Element] = []
        self.feed(html)
        self.close()
        self.faults += [f"{element.name} is not closed" for element in self._open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        self.faults += [f"{tag} has {name} twice" for name in set(names) if names.count(name) > 1]
        parents = tuple(element.name for element in self._open)
        element = Element(tag, {name: value or "" for name, value in attrs}, parents=parents)
        self.elements.append(element)
        if tag not in VOID:
            self._open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if self._open and self._open[-1].name == tag:
            self._open.pop()
        else:
            self.faults.append(f"{tag} is closed inside {self._open[-1].name if self._open else 'nothing'}")

    def handle_data(self, data: str) -> None:
        for element in self._open:
            element.texts.append(data)

    def all(self, *names: str) -> list[Element]:
        """The elements of some names, in order."""
        return [element for element in self.elements if element.name in names]

    @property
    def ids(self) -> list[str]:
        """Every id, in order."""
        return [element.attributes["id"] for element in self.elements if "id" in element.attributes]

    @property
    def heading_levels(self) -> list[int]:
        """The level of each heading, in order."""
        return [int(element.name[1]) for element in self.all("h1", "h2", "h3", "h4", "h5", "h6")]

    @property
    def addresses(self) -> list[str]:
        """Everything the page leads to or loads."""
        return [
            element.attributes[key]
            for element in self.elements
            for key in ("href", "src", "srcset", "action", "data", "poster")
            if key in element.attributes
        ]

    def rows(self) -> list[list[str]]:
        """The text of each table row's cells."""
        rows: list[list[str]] = []
        for element in self.all("tr", "td", "th"):
            if element.name == "tr":
                rows.append([])
            else:
                rows[-1].append(element.text)
        return rows


def headings_in_order(levels: list[int]) -> bool:
    """One first heading, and no level left out on the way down."""
    down = all(after <= before + 1 for before, after in pairwise(levels))
    return levels.count(1) == 1 and levels[0] == 1 and down
