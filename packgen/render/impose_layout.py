"""How card faces stand on a sheet: as many as fit, and where a back lies so that it comes behind its front.

In: the size of a sheet and of a face, the edge the printer flips on, cut or fold; all in mm.
Out: a `Layout`: the sheet as it is printed (portrait or landscape), the left edges of its columns and the top
edges of its rows.
Vocabulary: a *face* is one side of a card; a *piece* is what is left after cutting: a card of two faces, or,
where sheets are folded, a leaflet of four; a *place* is where a piece stands, counted from left to right,
then down; a *gutter* is the strip between two pieces that is cut away; *bleed* is the strip outside a face's
edge that ink would run over before cutting; a *spine* is the line a leaflet is folded on.
Governing text: none. Bleed 3 mm, gutters of twice that and crop marks outside it are common practice, no
source; so are the 4 mm at a sheet's edge that many printers leave blank.

No ink of a face touches its edge, so the bleed is white paper and two faces may share one cut line. Gutters
are there only where they cost no face and leave room for crop marks on the printed part of the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from packgen.errors import PackgenError, Place, Problem, require_positive

Flip = Literal["long", "short"]
Finish = Literal["cut", "fold"]
Size = tuple[float, float]

BLEED = 3.0  # mm
GUTTER = 2 * BLEED
UNPRINTED = 4.0  # mm: the edge of a sheet that many printers leave blank
SHORTEST_MARK = 2.0  # mm
MARK_ROOM = BLEED + SHORTEST_MARK + UNPRINTED  # mm a margin needs for a mark outside the bleed
NOT_CUT = 1.0  # mm: an edge of a face this near the sheet's own is left as it is
TIGHT = 1e-6  # mm: two halves of a sheet fill it, whatever the last digit of a float says


@dataclass(frozen=True)
class Layout:
    """A sheet as it is printed and the faces on its front, mm from its left top corner."""

    width: float
    height: float
    face_width: float
    face_height: float
    lefts: tuple[float, ...]
    tops: tuple[float, ...]
    flip: Flip = "long"
    finish: Finish = "cut"

    @property
    def is_landscape(self) -> bool:
        """The sheet is wider than high."""
        return self.width > self.height

    @property
    def turns_on_upright_edge(self) -> bool:
        """The printer turns the sheet about an edge that is upright on the printed page."""
        return (self.flip == "long") != self.is_landscape

    @property
    def slots(self) -> tuple[tuple[float, float], ...]:
        """Left and top of each face on the front, left to right, then down."""
        return tuple((left, top) for top in self.tops for left in self.lefts)

    @property
    def places(self) -> int:
        """Pieces on a sheet: cards, or leaflets of two faces side by side."""
        return len(self.slots) // (2 if self.finish == "fold" else 1)

    @property
    def is_cut(self) -> bool:
        """Whether anything is cut: not where one piece takes the whole sheet."""
        width = self.face_width * (2 if self.finish == "fold" else 1)
        left_over = max(self.width - width, self.height - self.face_height)
        return self.places > 1 or left_over >= 2 * NOT_CUT

    @property
    def faces_a_piece(self) -> int:
        """Two on a card, four on a leaflet."""
        return 4 if self.finish == "fold" else 2

    def behind(self, left: float, top: float) -> tuple[float, float]:
        """Left and top, on the page of the back, of the face behind the one at `left` and `top`.

        The printer turns the sheet about one edge. About an upright edge left and right change sides: what
        lies x from the left of the front lies x from the right of the back, and up stays up. About a level
        edge top and bottom change sides: what lies y from the top of the front lies y from the bottom of the
        back, and up is down. A card is turned like the page of a book, about an upright edge, and must then
        show its back upright: in the first case as it is, in the second only where it is printed turned by
        180 degrees, its head to the foot of the page.
        """
        if self.turns_on_upright_edge:
            return self.width - left - self.face_width, top
        return left, self.height - top - self.face_height

    def sheets(self, faces: int) -> int:
        """How many sheets `faces` take."""
        pieces = -(-faces // self.faces_a_piece)
        return -(-pieces // self.places)

    def pairs(self, place: int, piece: int) -> Iterator[tuple[int, int, int]]:
        """For each slot of a place, the faces of `piece` on its front and its back, counted from 0.

        A leaflet lies with its pages 4 and 1 outside and 2 and 3 inside: 4 is behind 3, 1 is before 2.
        """
        first = piece * self.faces_a_piece
        if self.finish == "fold":
            yield 2 * place, first + 3, first + 2
            yield 2 * place + 1, first, first + 1
        else:
            yield place, first, first + 1


def layout(sheet: Size, face: Size, *, flip: Flip = "long", finish: Finish = "cut") -> Layout:
    """The sheet, portrait or landscape, that takes most faces; all sizes are width and height in mm.

    Where both take the same number, the one with more room for its crop marks stands, then the one with more
    gutters, then portrait. Raises `PackgenError` where no face fits, or, for `fold`, no two side by side.

    >>> made = layout((210.0, 297.0), (105.0, 148.0))
    >>> made.lefts, made.tops, made.is_landscape
    ((0.0, 105.0), (0.5, 148.5), False)
    """
    require_positive(sheet_width=sheet[0], sheet_height=sheet[1], face_width=face[0], face_height=face[1])
    short, long = sorted(sheet)
    tried = [_filled(size, face, flip, finish) for size in ((short, long), (long, short))]
    found = [made for made in tried if made.slots]
    if not found:
        raise PackgenError([_does_not_fit(sheet, face, finish)])
    return max(found, key=_merit)


def _filled(sheet: Size, face: Size, flip: Flip, finish: Finish) -> Layout:
    """The sheet as it lies, filled with faces."""
    lefts = _starts(sheet[0], face[0], 2 if finish == "fold" else 1)
    return Layout(*sheet, *face, lefts, _starts(sheet[1], face[1], 1), flip, finish)


def _starts(length: float, face: float, faces_a_piece: int) -> tuple[float, ...]:
    """Where the faces along one side of a sheet begin: centred, and nothing between those of one piece."""
    piece = face * faces_a_piece
    count = int((length + TIGHT) / piece)
    left_over = length - count * piece
    gutter = GUTTER if count > 1 and left_over - (count - 1) * GUTTER >= 2 * MARK_ROOM else 0.0
    margin = max((left_over - (count - 1) * gutter) / 2, 0.0)
    return tuple(
        margin + number * (piece + gutter) + inner * face
        for number in range(count)
        for inner in range(faces_a_piece)
    )


def _merit(made: Layout) -> tuple[int, int, int]:
    """What makes one way of filling a sheet better than another, the weightiest first."""
    margins = (made.lefts[0], made.tops[0])
    gutters = sum(
        starts[-1] - starts[0] > (len(starts) - 1) * face + TIGHT
        for starts, face in ((made.lefts, made.face_width), (made.tops, made.face_height))
    )
    return len(made.slots), sum(margin >= MARK_ROOM for margin in margins), gutters


def _does_not_fit(sheet: Size, face: Size, finish: Finish) -> Problem:
    """Why nothing can be imposed, and what to do."""
    faces, sheets = (f"{width:g} × {height:g} mm" for width, height in (face, sheet))
    if finish == "fold":
        what = f"two faces of {faces} do not lie side by side on a sheet of {sheets}, so that nothing folds"
        return Problem(Place(key="--finish"), what, cure="choose a smaller form, larger paper, or finish cut")
    what = f"a face of {faces} does not fit on a sheet of {sheets}"
    return Problem(Place(key="--form"), what, cure="choose a smaller form, or larger paper")
