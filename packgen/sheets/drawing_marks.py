"""What a drawing needs beside lines and labels: texts kept apart, a free spot for one, a part cut out of it.

In: levels and heights, a drawing, a window, in paper mm. Out: levels, points and runs of points.
Vocabulary: a *window* is the part of a drawing that one page shows; a text's *level* is the height of its
middle. Sources: arithmetic; Liang and Barsky's clipping; runs of equal slack pooled (isotonic regression).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from packgen.sheets.drawing import Drawing, Line, block_width
from packgen.sheets.strokes import Box, Point, Stroke

_STEP = 2.0  # mm from one spot that is tried to the next


def spread(
    wanted: Sequence[float], heights: Sequence[float], gap: float, low: float, high: float
) -> tuple[float, ...]:
    """Levels of texts one below the other, each as near to the level wanted as the others let it.

    Parameters: levels `wanted`, downwards; `heights` of the texts; the least `gap` between two; `low` and
    `high`, the levels that no text passes. Where all together are taller than that, they pass `high`.

    >>> spread([0.0, 1.0, 20.0], [4.0, 4.0, 4.0], 1.0, -9.0, 30.0)
    (-2.0, 3.0, 20.0)
    """
    if not wanted:
        return ()
    offsets = [0.0]
    for above, below in pairwise(heights):
        offsets.append(offsets[-1] + (above + below) / 2 + gap)
    pools: list[tuple[float, int]] = []  # the mean slack of a run of texts, and how many they are
    for level, offset in zip(wanted, offsets, strict=True):
        mean, count = level - offset, 1
        while pools and pools[-1][0] > mean:
            earlier, many = pools.pop()
            mean, count = (mean * count + earlier * many) / (count + many), count + many
        pools.append((mean, count))
    first, last = low + heights[0] / 2, high - heights[-1] / 2 - offsets[-1]
    slacks = [max(first, min(last, mean)) for mean, count in pools for _ in range(count)]
    return tuple(slack + offset for slack, offset in zip(slacks, offsets, strict=True))


def free_spot(drawing: Drawing, lines: Sequence[Line], area: Box, air: float) -> Point | None:
    """The first spot, from the top and then from the left, where a block of lines meets nothing in an area.

    Parameters: `drawing`; `lines`; `area` left, top, right, bottom; `air` kept round the block. Returns the
    upper left corner of the block, or None where the area holds no such spot.
    """
    return free_corner(drawing, block_width(lines, drawing.letter), drawing.block_height(lines), area, air)


def free_corner(drawing: Drawing, wide: float, tall: float, area: Box, air: float) -> Point | None:
    """As `free_spot`, for anything that is `wide` and `tall`, mm."""
    wide, tall = wide + 2 * air, tall + 2 * air
    top = area[1]
    while top + tall <= area[3]:
        left = area[0]
        while left + wide <= area[2]:
            if drawing.free((left, top, left + wide, top + tall)):
                return (left + air, top + air)
            left += _STEP
        top += _STEP
    return None


def within(stroke: Stroke, window: Box) -> Iterator[Stroke]:
    """The runs of a stroke that lie in a window, each as an open line.

    >>> [run.points for run in within(Stroke(((0.0, 0.0), (9.0, 0.0)), 0.35), (2.0, -1.0, 5.0, 1.0))]
    [((2.0, 0.0), (5.0, 0.0))]
    """
    run: list[Point] = []
    for a, b in stroke.pieces:
        part = _part(a, b, window)
        if run and (part is None or part[0] != run[-1]):
            yield Stroke(tuple(run), stroke.width, dash=stroke.dash)
            run = []
        if part is not None:
            run += [part[1]] if run else part
    if run:
        yield Stroke(tuple(run), stroke.width, dash=stroke.dash)


def _part(a: Point, b: Point, window: Box) -> tuple[Point, Point] | None:
    """The part of a straight piece that lies in a window, its ends unchanged where they do."""
    start, end = 0.0, 1.0
    for axis in (0, 1):
        step, low, high = b[axis] - a[axis], window[axis] - a[axis], window[axis + 2] - a[axis]
        if step == 0.0:
            if low > 0.0 or high < 0.0:
                return None
            continue
        start = max(start, min(low / step, high / step))
        end = min(end, max(low / step, high / step))
    if start >= end:
        return None

    def at(share: float) -> Point:
        return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))

    return (a if start == 0.0 else at(start), b if end == 1.0 else at(end))
