"""Shapes on a printed page: where their ink is, and how much of a rectangle it hides.

In: path objects of a page as PDFium gives them. Out: `Shape`, and the plane geometry the guard needs.
Vocabulary: a *rectangle* is left, bottom, right, top in points; a *frame* is a rectangle with a rectangular
hole, as the borders of boxes are drawn; an *outline* is a list of points; *bounds* are the rectangle round a
shape, *ink* is what a clipping path leaves of it.
Governing text: ISO 32000-1 (PDF), 8.5.3 filling (nonzero winding and even-odd rule): from memory.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import pypdfium2.raw as pdfium

# Left, bottom, right, top in points, from the page's left bottom corner.
Rectangle = tuple[float, float, float, float]
Matrix = tuple[float, float, float, float, float, float]
Point = tuple[float, float]
Colour = tuple[int, int, int]

BLACK: Colour = (0, 0, 0)
WHITE: Colour = (255, 255, 255)
NOT_MOVED: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
NOWHERE = float("inf")
NOT_CLIPPED: Rectangle = (-NOWHERE, -NOWHERE, NOWHERE, NOWHERE)
LEVEL = 0.01  # points: an edge that leaves its axis by less is taken to lie along it
CURVE_PARTS = 4  # a curve is taken as so many straight lines
SAMPLES_UP, MOST_ACROSS = 4, 24  # points of a rectangle that are looked at under a shape of any form


@dataclass(eq=False)
class Shape:
    """A path that is filled, stroked or both; `order` counts what is painted on the page.

    `solid` tells that nothing shows through it, `picture` that it is no path and its colours are not known;
    `width` is that of its stroke in points.
    """

    drawn: Any
    space: Matrix
    bounds: Rectangle
    clip: Rectangle
    order: int
    even_odd: bool
    fill: Colour | None = None
    stroke: Colour | None = None
    width: float = 0.0
    solid: bool = True
    picture: bool = False

    @cached_property
    def ink(self) -> Rectangle:
        """The rectangle round what is seen of it."""
        return overlap(self.bounds, self.clip)

    @property
    def colour(self) -> Colour:
        """The colour of its fill; of what is not filled, white."""
        return WHITE if self.fill is None else self.fill

    @property
    def seen(self) -> bool:
        """Whether anything of it is on the page, and not white."""
        left, bottom, right, top = self.ink
        inked = self.picture or self.fill not in (None, WHITE) or self.stroke not in (None, WHITE)
        return inked and left <= right and bottom <= top

    @cached_property
    def outlines(self) -> list[list[Point]]:
        """Its outlines on the page; a picture has the one round it."""
        if self.picture:
            left, bottom, right, top = self.bounds
            return [[(left, bottom), (right, bottom), (right, top), (left, top)]]
        return list(_outlines(self.drawn, self.space))

    @cached_property
    def parts(self) -> list[Rectangle] | None:
        """The rectangles that its fill is made of, before clipping; None where it has another form."""
        rectangles = [_as_rectangle(outline) for outline in self.outlines if len(outline) > 1]
        whole = [rectangle for rectangle in rectangles if rectangle is not None]
        if len(whole) < len(rectangles):
            return None
        if self.even_odd and len(whole) == 2:
            inner, outer = sorted(whole, key=area)
            return _frame(outer, inner) if contains(outer, inner) else None
        return whole if len(whole) == 1 or not self.even_odd else None

    def share(self, of: Rectangle) -> float:
        """How much of a rectangle the fill covers, from 0 to 1."""
        left, bottom, right, top = self.ink
        if of[0] >= right or of[2] <= left or of[1] >= top or of[3] <= bottom or not area(of):
            return 0.0
        if self.parts is not None:
            seen = overlap(of, self.clip)
            return min(1.0, sum(area(overlap(seen, part)) for part in self.parts) / area(of))
        points = list(_spread(of))
        return sum(self.covers(point) for point in points) / len(points)

    def hides(self, of: Rectangle) -> float:
        """How much of a rectangle its fill or its stroke covers, in square points."""
        within = overlap(of, self.ink)
        if not area(within):
            return 0.0
        if self.stroke is None:
            return self.share(within) * area(within)
        points = list(_spread(within))
        return sum(map(self._inks, points)) / len(points) * area(within)

    def _inks(self, point: Point) -> bool:
        """Whether a point lies in the fill or on the stroke."""
        return self.distance(*point) == 0.0

    def covers(self, point: Point) -> bool:
        """Whether a point lies in the fill and is not clipped."""
        x, y = point
        left, bottom, right, top = self.ink
        if not (left <= x <= right and bottom <= y <= top):
            return False
        turns = [turn for outline in self.outlines for turn in _turns(outline, x, y)]
        return len(turns) % 2 == 1 if self.even_odd else sum(turns) != 0

    def distance(self, x: float, y: float) -> float:
        """From a point to the nearest ink, in points; 0 inside it."""
        if self.parts is not None and self.stroke is None:
            return min((apart(overlap(part, self.clip), x, y) for part in self.parts), default=NOWHERE)
        if self.fill is not None and self.covers((x, y)):
            return 0.0
        edges = (edge for outline in self.outlines for edge in pairwise(outline))
        nearest = min((_to_edge(a, b, x, y) for a, b in edges), default=NOWHERE)
        return max(0.0, nearest - self.width / 2)


def combined(own: Any, outer: Matrix) -> Matrix:
    """From an object's own space to the page's: PDFium's matrix `own`, then `outer`."""
    a, b, c, d, e, f = outer
    return (
        own.a * a + own.b * c,
        own.a * b + own.b * d,
        own.c * a + own.d * c,
        own.c * b + own.d * d,
        own.e * a + own.f * c + e,
        own.e * b + own.f * d + f,
    )


def moved(rectangle: Rectangle, matrix: Matrix) -> Rectangle:
    """The upright rectangle round `rectangle` after `matrix`."""
    if matrix == NOT_MOVED:
        return rectangle
    left, bottom, right, top = rectangle
    corners = [_at(matrix, x, y) for x in (left, right) for y in (bottom, top)]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def overlap(one: Rectangle, other: Rectangle) -> Rectangle:
    """What two rectangles share; turned inside out where they share nothing."""
    return max(one[0], other[0]), max(one[1], other[1]), min(one[2], other[2]), min(one[3], other[3])


def contains(outer: Rectangle, inner: Rectangle, slack: float = LEVEL) -> bool:
    """Whether a rectangle lies in another, or not further out than `slack`."""
    return (
        inner[0] >= outer[0] - slack
        and inner[1] >= outer[1] - slack
        and inner[2] <= outer[2] + slack
        and inner[3] <= outer[3] + slack
    )


def area(rectangle: Rectangle) -> float:
    """The area of a rectangle; 0 for one turned inside out."""
    left, bottom, right, top = rectangle
    return (right - left) * (top - bottom) if right > left and top > bottom else 0.0


def apart(rectangle: Rectangle, x: float, y: float) -> float:
    """From a point to a rectangle; infinite where the rectangle is turned inside out."""
    left, bottom, right, top = rectangle
    if left > right or bottom > top:
        return NOWHERE
    return float((max(left - x, 0.0, x - right) ** 2 + max(bottom - y, 0.0, y - top) ** 2) ** 0.5)


def _at(matrix: Matrix, x: float, y: float) -> Point:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f


def _outlines(drawn: Any, space: Matrix) -> Iterator[list[Point]]:
    """Each closed or open outline of a path; curves as short straight lines."""
    x, y = ctypes.c_float(), ctypes.c_float()
    outline: list[Point] = []
    bends: list[Point] = []
    for index in range(max(pdfium.FPDFPath_CountSegments(drawn), 0)):
        segment = pdfium.FPDFPath_GetPathSegment(drawn, index)
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        point = _at(space, x.value, y.value)
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            bends.append(point)
            if len(bends) == 3:
                outline += _curve(outline[-1], *bends)
                bends = []
        elif kind == pdfium.FPDF_SEGMENT_MOVETO:
            if outline:
                yield outline
            outline = [point]
        else:
            outline.append(point)
            if pdfium.FPDFPathSegment_GetClose(segment) and outline[0] != point:
                outline.append(outline[0])
    if outline:
        yield outline


def _curve(start: Point, one: Point, two: Point, end: Point) -> Iterator[Point]:
    """Points of a cubic Bézier curve after its start."""
    for step in range(1, CURVE_PARTS + 1):
        t = step / CURVE_PARTS
        s = 1 - t
        weights = s**3, 3 * s * s * t, 3 * s * t * t, t**3
        points = start, one, two, end
        yield (
            sum(weight * x for weight, (x, _) in zip(weights, points, strict=True)),
            sum(weight * y for weight, (_, y) in zip(weights, points, strict=True)),
        )


def _as_rectangle(outline: list[Point]) -> Rectangle | None:
    """An outline of four corners with upright edges; None for any other."""
    corners = outline[:-1] if len(outline) == 5 and outline[0] == outline[-1] else outline
    if len(corners) != 4:
        return None
    edges = pairwise([*corners, corners[0]])
    upright = all(abs(ax - bx) < LEVEL or abs(ay - by) < LEVEL for (ax, ay), (bx, by) in edges)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return (min(xs), min(ys), max(xs), max(ys)) if upright else None


def _frame(outer: Rectangle, inner: Rectangle) -> list[Rectangle]:
    """The four sides of a frame, without those of no width."""
    left, bottom, right, top = outer
    sides = [
        (left, bottom, right, inner[1]),
        (left, inner[3], right, top),
        (left, inner[1], inner[0], inner[3]),
        (inner[2], inner[1], right, inner[3]),
    ]
    return [side for side in sides if min(side[2] - side[0], side[3] - side[1]) > LEVEL]


def _spread(of: Rectangle) -> Iterator[Point]:
    """Points spread evenly over a rectangle."""
    left, bottom, right, top = of
    across = max(1, min(MOST_ACROSS, round(SAMPLES_UP * (right - left) / (top - bottom))))
    for row in range(SAMPLES_UP):
        y = bottom + (top - bottom) * (row + 0.5) / SAMPLES_UP
        yield from ((left + (right - left) * (column + 0.5) / across, y) for column in range(across))


def _turns(outline: list[Point], x: float, y: float) -> Iterator[int]:
    """For each edge that crosses the ray from a point to the right: 1 where it goes up, -1 where down."""
    ax, ay = outline[-1]
    for bx, by in outline:
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            yield 1 if by > ay else -1
        ax, ay = bx, by


def _to_edge(a: Point, b: Point, x: float, y: float) -> float:
    """From a point to a straight edge."""
    (ax, ay), (bx, by) = a, b
    long = (bx - ax) ** 2 + (by - ay) ** 2
    along = 0.0 if long == 0 else max(0.0, min(1.0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long))
    return float(((ax + along * (bx - ax) - x) ** 2 + (ay + along * (by - ay) - y) ** 2) ** 0.5)
