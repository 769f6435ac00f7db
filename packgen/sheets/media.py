"""What sheets are printed on: page sizes, margins, type sizes.

In: a paper name. Out: a `Medium`. Vocabulary: *card* is one card face: A6 where the paper is A4; a
quarter of a letter sheet where it is letter, because four A6 faces are longer than a letter sheet.
Source: ISO 216 (A4, A6), ANSI/ASME Y14.1 (letter); text stays 5 mm inside a card's trim; type at least 10
pt on cards, one step larger in packs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Paper = Literal["letter", "a4"]


@dataclass(frozen=True)
class Medium:
    """A page and its type, in mm and pt; `room` is the height for blocks on a face as full as it may be."""

    name: str
    paper: Paper
    width: float
    height: float
    margin: float
    foot: float
    title: float
    body: float
    label: float
    value: float
    full: float
    steps: int
    write: float
    leading: float = 1.25

    @property
    def inner(self) -> float:
        """Width for text, mm."""
        return self.width - 2 * self.margin

    @property
    def line(self) -> float:
        """Width of a line in a safety message, mm: within its frame, and about 60 characters on a card."""
        inside = self.inner - 5.2
        return min(inside, 83.0) if self.name == "card" else inside

    @property
    def head(self) -> float:
        """Height of title, size tag and rule, mm."""
        return (self.body + 2 + self.label) * 1.15 * 0.3528 + 4.0

    @property
    def room(self) -> float:
        """Height for blocks on a face, mm."""
        return (self.height - self.margin - self.foot - self.head) * self.full


_SHEETS: dict[Paper, tuple[float, float]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
_CARDS: dict[Paper, tuple[float, float]] = {"letter": (107.95, 139.7), "a4": (105.0, 148.0)}


def pack_medium(paper: Paper) -> Medium:
    """The page of a crew pack."""
    width, height = _SHEETS[paper]
    return Medium("pack", paper, width, height, 16.0, 17.0, 18.0, 11.0, 9.0, 16.0, 0.92, 99, 8.0)


def card_medium(paper: Paper) -> Medium:
    """One card face."""
    width, height = _CARDS[paper]
    return Medium("card", paper, width, height, 6.0, 13.5, 14.0, 10.0, 8.0, 14.0, 0.90, 9, 6.4)


def sheet_size(paper: Paper) -> tuple[float, float]:
    """Width and height of a sheet, mm."""
    return _SHEETS[paper]
