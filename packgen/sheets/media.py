"""What sheets are printed on: sheets of paper, card forms, margins, type sizes.

In: the name of a paper or a form. Out: a `Medium`. Vocabulary: a *form* is the finished size of a card, a
*sheet* the paper that goes through the printer; a *poster* is a form to be read from two metres; a *narrow*
form is too narrow for three value blocks across and for figures; the *measure* is the longest line of running
words; the *laminating margin* is the film that stands beyond the paper of a finished card on every side.
Sources: ISO/IEC 7810 (ID-1), ISO 216 (A3 to A7), ANSI/ASME Y14.1 (letter, 11 x 17), ISO 838 (a punched hole
is 6 mm wide). Our own: text stays 5 mm inside the trim; type at least 10 pt on cards, headings 12, labels 8;
at most 60 characters a line; a face at most 85 % full; nothing within 4 mm of a punched hole. A poster's
words have capitals 6 mm high: from 2 m that is an angle of 10 minutes, twice what good sight tells apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from packgen.sheets.measure import MM, width_of

Paper = Literal["letter", "a4"]

# A line of running words in em, such that no line of a pack or card holds more than 60 characters.
MEASURE = 24.0
# White words on black are at least this large, pt.
WHITE = 12.0
# Room in em for a face's number of the whole, of three digits, behind the last words of its foot.
NUMBERED = 8.1
# Room in mm that a line of the foot leaves, since words may be set a little wider than they are counted.
FOOT_SPARE = 2.0
# How full a narrow face may be of what may not be parted.
WHOLE = 0.97
# What a punched hole keeps free, mm: its centre from the top and the side, and from there to the nearest ink.
HOLE_AT, HOLE_RADIUS, HOLE_AIR = 8.0, 3.0, 4.0
# Figures, mm: the widest small face, a figure's part of its room, the least height that all of them fit.
# Last, the type of a poster, pt.
SMALL_FIGURE, FIGURE_PART, LEAST_FIGURE, POSTER = 100.0, 0.814, 73.0, 20.0
HOLE_FREE = HOLE_AT + HOLE_RADIUS + HOLE_AIR


@dataclass(frozen=True)
class Form:
    """A card's finished size and its type: mm and pt.

    `steps` is the most on one face: on the smallest forms fewer than would fit, since the eye loses its
    place; from half a letter up, in larger type, at most what two A6 faces hold.
    """

    width: float
    height: float
    steps: int
    corner: float = 0.0
    side: float = 6.0
    foot: float = 13.5
    title: float = 14.0
    body: float = 10.0
    label: float = 8.0
    value: float = 14.0
    write: float = 6.4
    across: int = 3


_SMALL = {"side": 5.2, "foot": 16.0, "title": 12.0, "value": 12.0, "write": 4.4, "across": 2}
_PAGE = {
    "side": 15.0, "foot": 21.0, "title": 22.0, "body": 16.0, "label": 11.0, "value": 22.0, "write": 10.0
}  # fmt: skip
_POSTER = {
    "side": 20.0, "foot": 32.0, "title": 36.0, "body": 24.0, "label": 16.0, "value": 36.0, "write": 14.0
}  # fmt: skip
FORMS: dict[str, Form] = {
    "id-1": Form(
        85.60, 53.98, 5, corner=3.18, side=5.2, foot=12.6, title=12.0, value=12.0, write=6.4, across=3
    ),
    "a7": Form(74.0, 105.0, 6, **_SMALL),  # type: ignore[arg-type]
    "3x5": Form(76.2, 127.0, 6, **_SMALL),  # type: ignore[arg-type]
    "a6": Form(105.0, 148.0, 9),
    "quarter-letter": Form(107.95, 139.7, 9),
    "half-letter": Form(
        139.7, 215.9, 12, side=9.0, foot=17.0, title=17.0, body=12.0, label=9.0, value=17.0, write=7.4
    ),
    "letter": Form(215.9, 279.4, 16, **_PAGE),  # type: ignore[arg-type]
    "a4": Form(210.0, 297.0, 16, **_PAGE),  # type: ignore[arg-type]
    "a3": Form(297.0, 420.0, 16, **_POSTER),  # type: ignore[arg-type]
    "11x17": Form(279.4, 431.8, 16, **_POSTER),  # type: ignore[arg-type]
}
SHEETS: dict[str, tuple[float, float]] = {
    "letter": (215.9, 279.4),
    "a4": (210.0, 297.0),
    "a3": (297.0, 420.0),
    "11x17": (279.4, 431.8),
}


@dataclass(frozen=True)
class Medium:
    """A page and its type, in mm and pt; `room` is the height for blocks on a face as full as it may be.

    `margin` is that of left and right, `top` that of the top; `beside` sets boxes to write in to the right of
    their steps; `hole` keeps the upper corners free for a ring; `across` value blocks stand abreast.
    """

    name: str
    form: str
    width: float
    height: float
    margin: float
    top: float
    foot: float
    title: float
    body: float
    label: float
    value: float
    steps: int
    write: float
    across: int = 3
    beside: bool = False
    hole: bool = False
    full: float = 0.85
    leading: float = 1.25

    @property
    def inner(self) -> float:
        """Width for blocks, mm."""
        return self.width - 2 * self.margin

    @property
    def measure(self) -> float:
        """The longest line of running words, mm."""
        return min(self.inner, MEASURE * self.body * MM)

    @property
    def line(self) -> float:
        """Width of a line in a safety message, mm: within its frame."""
        return min(self.inner - (3.6 if self.narrow else 5.2), self.measure)

    @property
    def narrow(self) -> bool:
        """Whether a face is too narrow for figures."""
        return self.name == "card" and self.inner < 85.0

    @property
    def figures(self) -> bool:
        """Whether a figure is legible here: not on a narrow or a low face, nor from two metres."""
        return not self.narrow and self.body < POSTER and self.tallest >= LEAST_FIGURE

    @property
    def widest(self) -> float:
        """Width of a figure at most, mm."""
        return min(self.inner, 178.0)

    @property
    def tallest(self) -> float:
        """Height of a figure at most, mm: on a small face with its heading and its caption."""
        if self.name == "card" and self.inner < SMALL_FIGURE:
            return min(78.0, FIGURE_PART * self.room)
        return 92.0

    @property
    def small_measure(self) -> float:
        """The longest line of words in label size, mm."""
        return min(self.inner, 1.3 * self.measure)

    @property
    def number(self) -> float:
        """Width of the column of step numbers, mm."""
        return 7.5 if self.narrow else max(9.0, 0.9 * self.body)

    @property
    def gap(self) -> float:
        """Between a step's words and its box to tick, mm."""
        return 2.0 if self.narrow else 4.0

    @property
    def tick(self) -> float:
        """Edge of a step's box to tick, mm."""
        return 6.0 if self.beside else max(4.4, 0.44 * self.body)

    @property
    def spare(self) -> float:
        """Width left over to the right of a step's words, mm."""
        return max(0.0, self.inner - self.number - self.tick - self.gap - self.measure)

    @property
    def step_line(self) -> float:
        """Width of a line in a step, mm, with a little to spare for how words are set."""
        return self.inner - self.number - self.tick - self.gap - 0.6 - self.spare

    @property
    def table(self) -> float:
        """Type of a table that a crew reads, pt."""
        return self.body if self.name == "card" else max(10.0, self.body - 1)

    @property
    def white(self) -> float:
        """Type of white words on black, pt."""
        return max(WHITE, self.body)

    @property
    def tag(self) -> float:
        """Type of the size tag, pt."""
        return max(WHITE, self.body + 2)

    @property
    def signal(self) -> float:
        """Type of a signal word, pt."""
        return self.body + (2 if self.narrow else 3)

    @property
    def aside(self) -> float:
        """Width kept free in the head at left and right for a ring hole, mm."""
        return max(0.0, HOLE_FREE + 0.2 - self.margin) if self.hole else 0.0

    @property
    def head(self) -> float:
        """Height of title, size tag and rule, mm; with a ring hole the rule runs below it."""
        plain = (self.tag + self.label) * 1.15 * MM + 3.6
        return max(plain, HOLE_FREE + 2.2 - self.top) if self.hole else plain

    def foot_text(self, left: str) -> str:
        """The foot's words with line breaks between their parts, since a code must not break at its hyphens.

        Parameters: `left`, lines of parts with a middle dot between them; on a face that is not narrow lines
        that fit stay as they are.
        """
        given, room = left.split("\n"), (self.inner - FOOT_SPARE) / MM / self.label
        widths = [width_of(line, True) for line in given]
        widths[-1] += NUMBERED  # the face's number stands behind the last line
        if not self.narrow and max(widths) <= room:
            return left
        first, *parts = left.replace("\n", " · ").replace(" · ", "\n· ").split("\n")
        lines = [first]
        for index, part in enumerate(parts, start=1):
            longer = f"{lines[-1]} {part}"
            fits = width_of(longer, True) + (NUMBERED if index == len(parts) else 0.0) <= room
            lines[-1:] = [longer] if fits else [lines[-1], part]
        return "\n".join(lines)

    def footed(self, said: Sequence[str]) -> Medium:
        """The medium with a foot as high as its words need; only on a narrow face it may become lower.

        Parameters: `said`, the lines of a stamp.
        """
        lines = self.foot_text("\n".join(said)).count("\n") + 1
        needed = 5.8 + lines * self.label * 1.2 * MM
        return replace(self, foot=needed if self.narrow else max(self.foot, needed))

    @property
    def room(self) -> float:
        """Height for blocks on a face, mm."""
        return (self.height - self.top - self.foot - self.head) * self.full

    @property
    def most(self) -> float:
        """Height for what may not be parted, mm: on a narrow face more than `room`, for a safety message that
        stands on another face than its step is worse than a full face."""
        return self.room * (WHOLE / self.full if self.narrow else 1.0)


def pack_medium(paper: str) -> Medium:
    """The page of a crew pack: 20 mm at the sides, so that punched holes stay clear of the words.

    Parameters: `paper`, a name of `SHEETS`.
    """
    width, height = SHEETS[paper]
    return Medium(
        "pack", paper, width, height, 20.0, 16.0, 17.0, 18.0, 11.0, 9.0, 16.0, 99, 12.0, beside=True
    )  # fmt: skip


def card_medium(form: str, *, ring_hole: bool = False, laminating_margin: float = 0.0) -> Medium:
    """One card face.

    Parameters: `form`, a name of `FORMS`; `ring_hole`, whether the upper corners stay free for a ring of
    6 mm; `laminating_margin`, mm: the film beyond the paper, by which the paper is smaller on every side.
    """
    of = FORMS[form]
    film = 2 * laminating_margin
    return Medium(
        "card", form, of.width - film, of.height - film, of.side, of.side, of.foot, of.title, of.body,
        of.label, of.value, of.steps, of.write, of.across, hole=ring_hole,
    )  # fmt: skip


def default_form(paper: str) -> str:
    """The card form that fills a paper four to a sheet: A6, or a quarter of a letter sheet.

    Parameters: `paper`, a name of `SHEETS`.
    """
    return "a6" if paper in {"a4", "a3"} else "quarter-letter"


def sheet_for(form: str, paper: str) -> str:
    """The sheet that a form is printed on: the paper chosen where the form lies on it, else the form's own.

    Parameters: `form`, a name of `FORMS`; `paper`, a name of `SHEETS`. Returns a name of `SHEETS`.
    """
    size = sorted((FORMS[form].width, FORMS[form].height))
    fits = all(edge <= room for edge, room in zip(size, sorted(SHEETS[paper]), strict=True))
    return paper if fits else form

