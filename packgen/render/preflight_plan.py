"""What a page must be: the plan that the guard holds against the printed page.

In: nothing. Out: frozen records, in mm from the page's left top corner and points of type.
Vocabulary: *words* are one authored string with the least type it may be printed in; *running* words are
those read line by line, whose lines may not be too long; words *together* may not be parted, nor their
order changed; a *hole* is punched after printing. A limit that is None is not judged.
Source: our own rules; ISO 838 for punched holes.
"""

from __future__ import annotations

from dataclasses import dataclass

HOLE = 6.0  # mm across
HOLES_APART, HOLE_FROM_EDGE = 80.0, 12.0  # mm, between centres and from the edge to a centre


@dataclass(frozen=True)
class Box:
    """A rectangle in mm from the page's left top corner."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Hole:
    """A punched hole: its centre in mm from the page's left top corner, and how wide it is."""

    left: float
    top: float
    width: float = HOLE


@dataclass(frozen=True)
class Frame:
    """A drawn box: its least width and height in mm, the least width of its line in points."""

    width: float
    height: float
    line: float


@dataclass(frozen=True)
class Empty:
    """Cells of a table to write in, one under the other: `count` of them, between two edges in mm.

    `height` of each at least, mm; `words` to tell them by.
    """

    words: str
    left: float
    right: float
    height: float
    count: int


@dataclass(frozen=True)
class Path:
    """One path of a figure: how many points, its edges (left, top, right, bottom) in the figure's mm.

    `line` is the width of its line in mm, 0 for none; `filled` tells whether its inside is painted.
    """

    points: int
    edges: tuple[float, float, float, float]
    line: float
    filled: bool


@dataclass(frozen=True)
class Sketch:
    """A figure: its title and its paths in the order they are painted."""

    title: str
    paths: tuple[Path, ...]


@dataclass(frozen=True)
class Words:
    """One authored string: the least type it is printed in, pt; what it is; whether it is read in lines.

    `white` tells whether it is white on black or black on white. `blanks` are parts of it that name a box to
    fill in: they may be as small as `smallest` of the page. `inside` is the box to fill in that it stands in,
    `tick` the edge of its box to tick, mm; 0 for none.
    """

    text: str
    least: float = 0.0
    part: str = "text"
    running: bool = False
    blanks: tuple[str, ...] = ()
    white: bool | None = None
    inside: Frame | None = None
    tick: float = 0.0


@dataclass(frozen=True)
class PlannedPage:
    """What a page must be.

    Its name, its size in mm, the strings on it and the boxes that all its text keeps inside. Then, where it
    is known: `words`, strings with what they must be set in; `smallest`, the least type of anything on the
    page, pt; `white`, that of white words on black, pt; `together`, strings that follow each other unparted;
    `head` and `foot`, the strings above and below all blocks; `holes`. Its limits: `steps` of `most_steps`;
    `line`, characters a line of running words; `full`, how much of the room between head and foot the blocks
    may fill. What is measured on it: `codes`, what its squares say; `bars` of 100 mm. Last `numbers`, what is
    printed besides, where nothing else may be; whether all of it stands `upright`; `stacks`, strings that
    stand under each other at one left edge; `rows`, strings side by side on one line; `empty` cells to write
    in; the paths of its `figures`.
    """

    name: str
    width: float
    height: float
    strings: tuple[str, ...]
    boxes: tuple[Box, ...]
    words: tuple[Words, ...] = ()
    smallest: float = 0.0
    white: float = 0.0
    together: tuple[tuple[str, ...], ...] = ()
    head: tuple[str, ...] = ()
    foot: tuple[str, ...] = ()
    holes: tuple[Hole, ...] = ()
    steps: int = 0
    most_steps: int | None = None
    line: int | None = None
    full: float | None = None
    codes: tuple[str, ...] | None = None
    bars: int | None = None
    numbers: tuple[str, ...] | None = None
    upright: bool = False
    stacks: tuple[tuple[str, ...], ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    empty: tuple[Empty, ...] = ()
    figures: tuple[Sketch, ...] = ()

    @property
    def all_strings(self) -> tuple[str, ...]:
        """Every string that must be on the page."""
        return (*self.strings, *(words.text for words in self.words))


def punched(width: float, height: float) -> tuple[Hole, ...]:
    """The holes of a filed page, on both of its long edges, since either side of a leaf may be printed.

    Parameters: the page's `width` and `height`, mm. Returns two holes an edge, at half the height (ISO 838).
    """
    return tuple(
        Hole(left, height / 2 + way * HOLES_APART / 2)
        for left in (HOLE_FROM_EDGE, width - HOLE_FROM_EDGE)
        for way in (-1, 1)
    )
