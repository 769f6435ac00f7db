"""What a drawing is made of: runs of points, the arcs and rings among them, and the hatching of a cut face.

In: points in paper millimetres, x to the right and y down. Out: strokes that know their extent and pieces.
Vocabulary: a *stroke* is a run of points, drawn as a line or a closed shape (arcs are runs of points too).
Governing text: section lines at 45° follow ISO 128 (edition from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

Point = tuple[float, float]
Box = tuple[float, float, float, float]

_HATCH_STEP = 1.3


@dataclass(frozen=True)
class Stroke:
    """A run of points: its line width in mm (0 for none), whether it closes, its fill, its dashes."""

    points: tuple[Point, ...]
    width: float
    closed: bool = False
    fill: str = "none"
    dash: str = ""

    @cached_property
    def extent(self) -> Box:
        """Left, top, right and bottom of the points."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return (min(xs), min(ys), max(xs), max(ys))

    @cached_property
    def box(self) -> Box:
        """Left, top, right and bottom of the stroke, its line width included."""
        half, (left, top, right, bottom) = self.width / 2, self.extent
        return (left - half, top - half, right + half, bottom + half)

    @property
    def pieces(self) -> tuple[tuple[Point, Point], ...]:
        """The straight pieces the stroke is made of, the closing one included."""
        ends = (*self.points[1:], self.points[0]) if self.closed else self.points[1:]
        return tuple(zip(self.points, ends, strict=False))

    @property
    def runs(self) -> tuple[tuple[Point, ...], ...]:
        """The runs of points that are drawn."""
        return (self.points,)

    def moved(self, dx: float, dy: float) -> Stroke:
        """The same stroke elsewhere; its extent moves with it: most of a figure is moved more than once."""
        there = replace(self, points=tuple([(x + dx, y + dy) for x, y in self.points]))
        left, top, right, bottom = self.extent
        there.__dict__["extent"] = (left + dx, top + dy, right + dx, bottom + dy)
        return there


@dataclass(frozen=True)
class Hatch(Stroke):
    """The section lines of a cut face; its points are the face's outline, `by` how far it was moved.

    The lines are found when they are asked for, since most trials of a scale never come to draw them.
    """

    slope: int = 1
    by: Point = (0.0, 0.0)

    @property
    def box(self) -> Box:
        """That of the face: no line ends outside it."""
        return self.extent

    @cached_property
    def runs(self) -> tuple[tuple[Point, ...], ...]:
        """The lines, which stand where they stood before the face was moved."""
        dx, dy = self.by
        lines = hatch_lines([(x - dx, y - dy) for x, y in self.points], self.slope)
        return tuple(((a + dx, b + dy), (c + dx, d + dy)) for (a, b), (c, d) in lines)

    @property
    def pieces(self) -> tuple[tuple[Point, Point], ...]:
        """The same lines."""
        return tuple((start, end) for start, end in self.runs)

    def moved(self, dx: float, dy: float) -> Stroke:
        """The same face elsewhere, with the same lines in it."""
        points = tuple([(x + dx, y + dy) for x, y in self.points])
        return replace(self, points=points, by=(self.by[0] + dx, self.by[1] + dy))


def arc(centre: Point, radius: float, start: float, end: float) -> tuple[Point, ...]:
    """Points along a circle from angle `start` to `end`, in degrees from the top, clockwise.

    The points stand so close that the chord leaves the circle by no more than 0.005 mm.

    >>> [(round(x, 6), round(y, 6)) for x, y in arc((0.0, 10.0), 10.0, 0.0, 90.0)][::100]
    [(0.0, 0.0)]
    """
    step = math.degrees(2 * math.acos(max(0.0, 1 - 0.005 / radius)))
    count = max(2, math.ceil(abs(end - start) / step))
    angles = (math.radians(start + (end - start) * i / count) for i in range(count + 1))
    return tuple((centre[0] + radius * math.sin(a), centre[1] - radius * math.cos(a)) for a in angles)


def ring(centre: Point, outside: float, inside: float) -> tuple[Point, ...]:
    """The outline of a ring, to cut or to fill: once round its outside, back round its inside.

    >>> len(ring((0.0, 0.0), 10.0, 10.0)) == 2 * len(arc((0.0, 0.0), 10.0, 0.0, 360.0))
    True
    """
    return (*arc(centre, outside, 0.0, 360.0), *arc(centre, inside, 360.0, 0.0))


def hatch_lines(
    outline: Sequence[Point], slope: int = 1, step: float = _HATCH_STEP
) -> tuple[tuple[Point, Point], ...]:
    """The 45° lines that fill a closed outline, clipped to it; `slope` 1 rises to the right, −1 falls.

    Lines stand at whole multiples of `step` from the datum, so that the parts of one body match.

    >>> len(hatch_lines([(0, 0), (10, 0), (10, 10), (0, 10)], 1, 2.0))
    7
    """
    turned = [((x - slope * y) / math.sqrt(2), (x + slope * y) / math.sqrt(2)) for x, y in outline]
    edges = list(zip(turned, [*turned[1:], turned[0]], strict=True))
    lines: list[tuple[Point, Point]] = []
    along = [v for _, v in turned]
    for row in range(math.floor(min(along) / step) + 1, math.floor(max(along) / step) + 1):
        level = row * step + 1e-7  # a hair off, so that a corner on the line counts once
        hits = sorted(
            a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            for a, b in edges if (a[1] > level) != (b[1] > level)
        )  # fmt: skip
        for u, w in zip(hits[::2], hits[1::2], strict=True):
            lines.append((_back(u, level, slope), _back(w, level, slope)))
    return tuple(lines)


def _back(u: float, v: float, slope: int) -> Point:
    """From the turned frame of `hatch_lines` to the paper."""
    return ((u + v) / math.sqrt(2), slope * (v - u) / math.sqrt(2))
