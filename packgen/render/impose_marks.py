"""The marks on a sheet of card faces: where to cut, where to fold, where to punch.

In: a `Layout`. Out: content of a PDF page, in points from the sheet's left bottom corner.
Vocabulary: a *crop mark* is a short stroke on the line of a cut; a *fold mark* is the same, dashed, on a
leaflet's spine; a *punch mark* is the outline of a ring hole with a cross at its centre; a *line* of a sheet
runs from edge to edge, and only its marks are drawn.
Governing text: ISO 838 (holes of 6 mm); ISO 32000-1 for the PDF; otherwise common practice, no source.

Marks stand outside the bleed in the sheet's margin, and in the gutters: never on a face. Where a margin has
no room for that, the mark is 1 to 5 mm from the sheet's edge, on the cut line itself, and, since a printer
may leave that strip blank, again where a shared cut line crosses: there a face has no words, 5 mm round. An
edge of a face within 1 mm of the sheet's own is not cut.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from packgen.render.impose_layout import BLEED, MARK_ROOM, NOT_CUT, TIGHT, UNPRINTED, Layout
from packgen.sheets.media import HOLE_AT, HOLE_RADIUS

POINTS = 72 / 25.4  # points in a millimetre
MARK_WIDTH = 0.5  # points: above the 0.25 pt that every printer still draws
LONGEST_MARK = 5.0  # mm
EDGE_FROM, EDGE_TO = 1.0, 5.0  # mm from the sheet's edge, where nothing else is possible
GUTTER_INSET = 1.5  # mm from a gutter's sides
CROSS_ARM = 2.0  # mm
DASHES = "[2.8346 1.4173] 0 d"  # 1 mm, 0.5 mm free

PUNCH_CROSS = 1.0  # mm
PUNCH_BOX = HOLE_RADIUS + 0.5  # mm: half the box of the mark
_ROUND = 4 * (math.sqrt(2) - 1) / 3  # how far a quarter circle's handles reach, of its radius

Segment = tuple[float, float, float, float]  # x, y, x, y in mm from the sheet's left top corner


@dataclass(frozen=True)
class _Line:
    """A cut or a fold along one side of the sheet: where it is, and whether it is a spine."""

    at: float
    is_fold: bool = False


@dataclass(frozen=True)
class _Side:
    """One direction of a sheet: its length, the faces along it, and the lines that part them."""

    length: float
    edges: tuple[tuple[float, float], ...]
    lines: tuple[_Line, ...]

    @property
    def margin(self) -> float:
        """From the sheet's edge to the first face, mm."""
        return self.edges[0][0]

    @property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Between a face and the next; of no width where they share a cut line."""
        return tuple((one[1], other[0]) for one, other in itertools.pairwise(self.edges))

    def marked(self) -> tuple[tuple[float, float], ...]:
        """From where to where the lines that cross this side at a right angle are drawn."""
        far = self.length
        start, end = _at_the_edge(self.margin)
        found = [(start, end), (far - end, far - start)]
        for low, high in self.gaps:
            if high - low > TIGHT:
                found.append((low + GUTTER_INSET, high - GUTTER_INSET))
            elif self.margin < MARK_ROOM:
                found.append((low - CROSS_ARM, low + CROSS_ARM))
        return tuple(sorted(found))


def sheet_marks(layout: Layout) -> list[str]:
    """The crop and fold marks of a sheet, as content of its page."""
    found = list(segments(layout))
    dashed = [_stroke(segment, layout.height) for segment, is_fold in found if is_fold]
    plain = [_stroke(segment, layout.height) for segment, is_fold in found if not is_fold]
    drawn = [f"q 0 G {MARK_WIDTH} w", *plain, "Q"] if plain else []
    return [*drawn, f"q 0 G {MARK_WIDTH} w {DASHES}", *dashed, "Q"] if dashed else drawn


def segments(layout: Layout) -> Iterator[tuple[Segment, bool]]:
    """Each mark as it lies on the sheet, and whether it is a fold's; the same on front and back."""
    across = _side(layout.width, layout.lefts, layout.face_width, is_folded=layout.finish == "fold")
    down = _side(layout.height, layout.tops, layout.face_height)
    for line in across.lines:
        for start, end in down.marked():
            yield (line.at, start, line.at, end), line.is_fold
    for line in down.lines:
        for start, end in across.marked():
            yield (start, line.at, end, line.at), line.is_fold


def punch_mark() -> str:
    """A ring hole's outline and centre, as content of a form whose origin is the hole's centre."""
    r, k = HOLE_RADIUS * POINTS, HOLE_RADIUS * POINTS * _ROUND
    curves = (
        (r, k, k, r, 0.0, r), (-k, r, -r, k, -r, 0.0),
        (-r, -k, -k, -r, 0.0, -r), (k, -r, r, -k, r, 0.0),
    )  # fmt: skip
    round_it = "\n".join(" ".join(f"{number:.4f}" for number in curve) + " c" for curve in curves)
    arm = f"{PUNCH_CROSS * POINTS:.4f}"
    cross = f"-{arm} 0 m {arm} 0 l 0 -{arm} m 0 {arm} l S"
    return f"0 G {MARK_WIDTH} w\n{r:.4f} 0 m\n{round_it}\ns\n{cross}"


def hole_centre(
    left: float, top: float, width: float, height: float, *, is_back: bool, is_turned: bool
) -> tuple[float, float]:
    """Where the ring hole of a face lies, mm from the sheet's left top corner.

    On a front it is `HOLE_AT` from the left and from the top, on a back from the right and from the
    top: the same hole, seen from behind. `is_turned` says that the face stands on its head.
    """
    x = width - HOLE_AT if is_back else HOLE_AT
    y = HOLE_AT
    return (left + width - x, top + height - y) if is_turned else (left + x, top + y)


def _side(length: float, starts: tuple[float, ...], face: float, *, is_folded: bool = False) -> _Side:
    edges = tuple((start, start + face) for start in starts)
    lines: list[_Line] = []
    for index, (low, high) in enumerate(edges):
        touches = index > 0 and low - edges[index - 1][1] < TIGHT
        if not touches and low > NOT_CUT:
            lines.append(_Line(low))
        shares = index + 1 < len(edges) and edges[index + 1][0] - high < TIGHT
        if shares or high < length - NOT_CUT:
            lines.append(_Line(high, is_fold=shares and is_folded and index % 2 == 0))
    return _Side(length, edges, tuple(lines))


def _at_the_edge(margin: float) -> tuple[float, float]:
    """From where to where a mark stands in a margin, mm from the sheet's edge."""
    if margin >= MARK_ROOM:
        end = margin - BLEED
        return max(UNPRINTED, end - LONGEST_MARK), end
    # In a margin that is wide enough for a short mark, it need not touch the face.
    return EDGE_FROM, min(EDGE_TO, margin) if margin >= EDGE_FROM + 2.0 else EDGE_TO


def _stroke(segment: Segment, height: float) -> str:
    """A mark in a PDF's own measure, which counts up from the sheet's left bottom corner."""
    x0, y0, x1, y1 = segment
    start = f"{x0 * POINTS:.4f} {(height - y0) * POINTS:.4f} m"
    return f"{start} {x1 * POINTS:.4f} {(height - y1) * POINTS:.4f} l S"
