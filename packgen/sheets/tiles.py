"""A full-size drawing that is larger than a page: which part of it stands on which page, and how they join.

In: a `Drawing` at 1 : 1 and the room of a page, in paper mm. Out: windows, and the drawing of each part.
Vocabulary: a *part* is what one page shows; two neighbours share an *overlap*, in whose middle the *join*
runs: a dashed line to cut along, with crosses on it. Each cross has a letter of its own and stands on both
parts, so that they can be laid together. Source: arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from packgen.sheets.drawing import DASHED, MIDDLE, THIN, Drawing, Label
from packgen.sheets.drawing_marks import within
from packgen.sheets.strokes import Box, Point

OVERLAP = 12.0  # mm that two neighbours share
_ASIDE, _CLEAR = 16.0, 10.0  # mm that a join is moved off the middle, and the least that will do
_ARM = 4.0  # mm, half a cross
_PLACES = (0.25, 0.75)  # of a join's length, where its crosses are wanted
_STEP, _TRIES = 3.0, 12  # mm, and how often a cross is moved along its join to find a free place
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def count(length: float, room: float) -> int:
    """How many parts a length takes.

    >>> count(180.0, 180.0), count(181.0, 180.0), count(320.0, 180.0), count(340.0, 180.0)
    (1, 2, 2, 3)
    """
    return len(_runs(0.0, length, room))


def windows(box: Box, wide: float, tall: float) -> tuple[Box, ...]:
    """The parts of a box, row by row, none wider or taller than the room of a page."""
    columns = _runs(box[0], box[2], wide)
    return tuple((x1, y1, x2, y2) for y1, y2 in _runs(box[1], box[3], tall) for x1, x2 in columns)


def _runs(start: float, end: float, room: float) -> list[tuple[float, float]]:
    """A length in runs that overlap, of equal size as far as no join has to lie on the middle."""
    length = end - start
    if length <= room:
        return [(start, end)]
    parts = math.ceil((length - OVERLAP) / (room - OVERLAP))
    aside = 0.0
    if parts % 2 == 0:  # a join would lie on the middle, where a centre line runs
        aside = min(_ASIDE, room - (length + (parts - 1) * OVERLAP) / parts)
        if aside < _CLEAR:
            parts, aside = parts + 1, 0.0
    size = (length + (parts - 1) * OVERLAP) / parts
    cuts = [start + number * (size - OVERLAP) + aside for number in range(1, parts)]
    return list(zip([start, *cuts], [*(cut + OVERLAP for cut in cuts), end], strict=True))


def join(drawing: Drawing, box: Box, wide: float, tall: float) -> None:
    """Draw the joins into the whole drawing, with their lettered crosses clear of all that is drawn."""
    columns, rows = _runs(box[0], box[2], wide), _runs(box[1], box[3], tall)
    upright = [(_middle(a, b), run) for a, b in pairwise(columns) for run in rows]
    level = [(_middle(a, b), run) for a, b in pairwise(rows) for run in columns]
    crosses = [_cross(drawing, [(x, y) for y in _along(run, share)])
               for x, run in upright for share in _PLACES]  # fmt: skip
    crosses += [_cross(drawing, [(x, y) for x in _along(run, share)])
                for y, run in level for share in _PLACES]  # fmt: skip
    for place, (x, y) in enumerate(crosses):  # the letter stands above the right arm
        drawing.add(Label((x + 1.0, y - 1.0), name(place), drawing.letter, "start", True))
    for x, y in crosses:
        drawing.line((x - _ARM, y), (x + _ARM, y), width=MIDDLE)
        drawing.line((x, y - _ARM), (x, y + _ARM), width=MIDDLE)
    for x in sorted({x for x, _ in upright}):
        drawing.line((x, box[1]), (x, box[3]), width=THIN, dash=DASHED)
    for y in sorted({y for y, _ in level}):
        drawing.line((box[0], y), (box[2], y), width=THIN, dash=DASHED)


def name(place: int) -> str:
    """The letter of a cross; after the last letter they are doubled.

    >>> name(0), name(25), name(26)
    ('A', 'Z', 'AA')
    """
    return _LETTERS[place % len(_LETTERS)] * (1 + place // len(_LETTERS))


def part(drawing: Drawing, window: Box) -> Drawing:
    """What one page shows: all lines as far as they lie in the window, the labels that lie in it whole."""
    shown = Drawing(drawing.letter)
    shown.add(*(run for stroke in drawing.strokes for run in within(stroke, window)))
    shown.add(*(label for label in drawing.labels if _inside(label.box, window)))
    return shown


def own(box: Box, window: Box) -> Box:
    """The part of a window on its own side of its joins: what is beyond them may be cut away.

    >>> own((0.0, 0.0, 300.0, 90.0), (144.0, 0.0, 300.0, 90.0))
    (150.0, 0.0, 300.0, 90.0)
    """
    left, top = (window[axis] + (OVERLAP / 2 if window[axis] > box[axis] else 0.0) for axis in (0, 1))
    right, low = (window[axis] - (OVERLAP / 2 if window[axis] < box[axis] else 0.0) for axis in (2, 3))
    return (left, top, right, low)


def _middle(before: tuple[float, float], after: tuple[float, float]) -> float:
    """Where the join of two runs stands: in the middle of what they share."""
    return (before[1] + after[0]) / 2


def _along(run: tuple[float, float], share: float) -> list[float]:
    """Places along a join for one cross, the wanted one first, those beside it after it."""
    start, end = run[0] + OVERLAP, run[1] - OVERLAP
    wanted = start + share * (end - start)
    moves = [0.0, *(sign * step * _STEP for step in range(1, _TRIES) for sign in (1, -1))]
    return [wanted + move for move in moves if start <= wanted + move <= end] or [wanted]


def _cross(drawing: Drawing, places: Sequence[Point]) -> Point:
    """The first place at which a cross and its letter meet nothing; the one wanted where there is none."""
    for x, y in places:
        if drawing.free((x - _ARM - 0.5, y - _ARM - 0.5, x + _ARM + 2.0, y + _ARM + 0.5)):
            return (x, y)
    return places[0]


def _inside(box: Box, window: Box) -> bool:
    """Whether a box lies in a window whole."""
    return box[0] >= window[0] and box[1] >= window[1] and box[2] <= window[2] and box[3] <= window[3]
