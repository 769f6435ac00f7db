"""Is a bar that a crew lays its ruler on 100 mm long on the printed page?

In: a page as the guard has read it, how many bars were planned on it. Out: one `Problem` for each bar that
is missing, too many or of another length, with the length found. Vocabulary: a *bar* is a level stroke with
marks that stand on it at every tenth of its length (`sheets/scale_bar.py`); so it is known at any scale.
Source: our own tolerance, 0.2 mm in 100 mm.

The length is that of the stroke in the page's own coordinates, after every matrix that moves it and every
rectangle that cuts it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.errors import Problem
from packgen.render.preflight_read import Seen
from packgen.render.preflight_shape import Point, Rectangle

POINTS = 72 / 25.4  # points in a millimetre
LENGTH, TOLERANCE = 100.0, 0.2  # mm
MARKS = 11
TOUCHES = 0.3 * POINTS  # how far a mark may stand from its place and still be one of the bar's
SHORTEST = 20.0 * POINTS  # a bar shorter than this is no bar gone wrong

CURE = "print the figure at its own size"

Piece = tuple[Point, Point]


def bar_problems(seen: Seen, wanted: int) -> Iterator[Problem]:
    """The bars of a page, as many as `wanted` and each 100 mm long within 0.2 mm.

    Parameters: `seen`, a page that was read; `wanted`, the bars planned on it. Returns a problem for each bar
    of another length, and one where there are more or fewer.
    """
    lengths = [(b[0] - a[0]) / POINTS for a, b in _bars(_pieces(seen))]
    for length in lengths:
        if abs(length - LENGTH) > TOLERANCE:
            what = f"the bar to check the print with is {length:.2f} mm long"
            yield Problem(seen.place, what, f"{LENGTH:g} mm within {TOLERANCE:g} mm", cure=CURE)
    if len(lengths) != wanted:
        what = f"bars of {LENGTH:g} mm on the page: {len(lengths)}"
        yield Problem(seen.place, what, f"{wanted}, as planned", cure=CURE)


def _pieces(seen: Seen) -> list[Piece]:
    """Every straight piece that is stroked on the page, from left to right or from below."""
    return [
        (_kept(min(outline), shape.clip), _kept(max(outline), shape.clip))
        for shape in seen.shapes
        if shape.stroke is not None and shape.seen
        for outline in shape.outlines
        if len(outline) == 2
    ]


def _kept(point: Point, clip: Rectangle) -> Point:
    """A point, or the nearest one in the rectangle that is seen."""
    (x, y), (left, bottom, right, top) = point, clip
    return min(max(x, left), right), min(max(y, bottom), top)


def _bars(pieces: Sequence[Piece]) -> Iterator[Piece]:
    """The level pieces that carry a mark at each tenth."""
    upright = [piece for piece in pieces if abs(piece[0][0] - piece[1][0]) < TOUCHES / 10]
    for left, right in pieces:
        long = right[0] - left[0]
        if long < SHORTEST or abs(left[1] - right[1]) > TOUCHES / 10:
            continue
        standing = [piece[0][0] for piece in upright if _touches(piece, left[1])]
        places = [left[0] + long * tenth / (MARKS - 1) for tenth in range(MARKS)]
        if all(any(abs(mark - place) < TOUCHES for mark in standing) for place in places):
            yield left, right


def _touches(piece: Piece, level: float) -> bool:
    """Whether an upright piece has an end on a level."""
    return min(abs(piece[0][1] - level), abs(piece[1][1] - level)) < TOUCHES
