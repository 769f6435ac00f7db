"""Where the outlet stands: the main in section as a clock face, with the marks that the crew puts on it.

In: the main's diameter, the outlet's clock angle and its way round from the top; wall and outlet where
stated.
Out: a `Figure`, or None where one of those three is missing.
Vocabulary: the *turn* is the outlet's angle from the top in degrees, clockwise as seen by somebody who faces
the way the stations count up, −180 to 180; a *mark* is a line on the main's surface, at its top and where the
outlet's middle goes. The outlet is dashed, since it is not there yet when the marks are made.
Governing text: ISO 128 for lines and cut faces (edition from memory).
"""

from __future__ import annotations

import math
from contextlib import suppress

from packgen.sheets.drawing import DASHED, MIDDLE, THICK, THIN, Drawing, Line, TooLarge
from packgen.sheets.figure_base import GAP, MAIN, WALL, Figure, Task, Values, Words, make
from packgen.sheets.figure_dig_section import ANGLE, ARC, outlet_of, turn_of
from packgen.sheets.strokes import Point, arc, ring

_SHOWN = {"outlet.main": MAIN, "outlet.turn": ANGLE, "outlet.arc_from_top": ARC}
_MARK = 2.2  # paper mm: a mark on the surface
_ROUND = 3.4  # paper mm from the surface to the dimension line round the main
_TICK = 1.2  # paper mm: an hour on the clock face
_UPRIGHT = 0.5  # degrees: within this the outlet is called vertical or level
_CLOCK = (0.0, 90.0, 180.0, 270.0)  # degrees of the four hours that are written out


def outlet_orientation(
    values: Values, text: Words, words: Words, width: float, height: float
) -> Figure | None:
    """The outlet's angle and its way round the main; None where main, angle or way is missing.

    Parameters and errors as for `tap_section`.
    """
    if not Task(values, text, words, 1.0).has(MAIN, ANGLE, ARC):
        return None
    return make("outlet-orientation", _drawing, _SHOWN, values, text, words, width, height)


def _drawing(task: Task, letter: float) -> Drawing:
    """The section at one scale, its words laid out the first way that fits; the narrowest where none does."""
    for split, beside in ((False, False), (False, True)):
        with suppress(TooLarge):
            drawing = _section(task, letter, split, beside)
            if not drawing.clashes():
                return drawing
    return _section(task, letter, split=True, beside=False)


def _section(task: Task, letter: float, split: bool, beside: bool) -> Drawing:
    """Outlet, wall, clock face, marks, and then what is what; the caption below or `beside` the main."""
    drawing, turn = Drawing(letter, task.within), math.degrees(turn_of(task))
    inside = _wall(drawing, task)
    corners = _outlet(drawing, task, turn)
    _clock_face(drawing, task, inside, turn)
    _marks(drawing, task, turn)
    _outlet_words(drawing, task, turn, corners)
    _top_words(drawing, task, turn, corners, split)
    _caption(drawing, task, turn, beside)
    return drawing


def _at(angle: float, radius: float) -> Point:
    """A point so far from the main's centre, at an angle from the top, clockwise."""
    a = math.radians(angle)
    return radius * math.sin(a), -radius * math.cos(a)


def _free_side(turn: float) -> int:
    """The side of the top's words: left (−1), or right (1) where the outlet points to the left."""
    return 1 if turn < 0 else -1


def _wall(drawing: Drawing, task: Task) -> float:
    """The main's wall, cut where its thickness is known; returns the radius of what the clock stands in."""
    radius = task.mm(MAIN) / 2
    inside = radius - task.mm(WALL) if task.has(WALL) else radius
    if inside < radius:
        drawing.cut(ring((0.0, 0.0), radius, inside))
        drawing.circle((0.0, 0.0), inside, MIDDLE)
    drawing.circle((0.0, 0.0), radius, THICK)
    return inside


def _stub(task: Task) -> float:
    """How much of the outlet is drawn: all of it, or the foot of a tall one."""
    return min(outlet_of(task)[1], 0.25 * task.mm(MAIN))


def _outlet(drawing: Drawing, task: Task, turn: float) -> tuple[Point, ...]:
    """The place of the outlet, dashed from the main's surface outwards; returns its corners."""
    radius, wide = task.mm(MAIN) / 2, min(outlet_of(task)[0], 0.45 * task.mm(MAIN))
    foot, end, spread = math.sqrt(radius**2 - wide**2), radius + _stub(task), math.radians(turn)
    rise, side = math.cos(spread), math.sin(spread)
    corners = tuple(
        (across * rise + along * side, across * side - along * rise)
        for across, along in ((-wide, foot), (-wide, end), (wide, end), (wide, foot))
    )
    drawing.line(*corners, width=MIDDLE, dash=DASHED)
    return corners


def _clock_face(drawing: Drawing, task: Task, inside: float, turn: float) -> None:
    """Hours inside the main, hands from its centre to the top and to the outlet, the angle between them."""
    for hour in range(12):
        long = _TICK * (1.6 if hour % 3 == 0 else 1.0)
        drawing.line(_at(30.0 * hour, inside), _at(30.0 * hour, inside - long), width=MIDDLE)
    written = inside - 2 * _TICK - 0.7 * drawing.letter
    for angle, hour_words in zip(_CLOCK, task.words["outlet.hours"].split(), strict=True):
        drawing.block(_at(angle, written), (Line(hour_words, True),), "middle")
    hand, swept = max(1.0, written - 0.8 * drawing.letter), task.values[ANGLE]
    for angle in {0.0, turn}:
        drawing.centre_line((0.0, 0.0), _at(angle, hand))
    if turn:
        drawing.line(*arc((0.0, 0.0), 0.6 * hand, 0.0, swept), width=THIN)
        along = math.radians(swept)
        drawing.arrowhead(_at(swept, 0.6 * hand), (math.cos(along), math.sin(along)))


def _marks(drawing: Drawing, task: Task, turn: float) -> None:
    """The marks on the surface, at the top and at the outlet's middle, and the way round between them."""
    radius = task.mm(MAIN) / 2
    for angle in sorted({0.0, turn}):
        drawing.line(_at(angle, radius), _at(angle, radius + _MARK), width=THICK)
        drawing.line(_at(angle, radius + _MARK), _at(angle, radius + _ROUND + 0.9), width=THIN)
    if turn:
        drawing.dimension_arc((0.0, 0.0), radius + _ROUND, 0.0, turn)


def _outlet_words(drawing: Drawing, task: Task, turn: float, corners: tuple[Point, ...]) -> None:
    """Beyond the outlet: its angle, and whether that is vertical, level or to be read on an angle gauge."""
    level, upright = abs(abs(turn) - 90.0), min(abs(turn), 180.0 - abs(turn))
    key = "outlet.vertical" if upright < _UPRIGHT else "outlet.level" if level < _UPRIGHT else "outlet.gauge"
    way = (Line(task.words["outlet.clockwise"]),) if turn else ()
    lines = (*task.row("outlet.turn", ANGLE), *way, Line(task.words[key], True))
    x, y = _at(turn, task.mm(MAIN) / 2 + _stub(task) + GAP)
    side, rise = math.sin(math.radians(turn)), math.cos(math.radians(turn))
    anchor = "start" if side > 0.35 else "end" if side < -0.35 else "middle"
    stand = "above" if rise > 0.35 else "below" if rise < -0.35 else "middle"
    if anchor == "middle":  # clear of the end's higher, or lower, corner
        ends = [corner[1] for corner in corners]
        y = min(ends) - GAP if stand == "above" else max(ends) + GAP
    drawing.block((x, y), lines, anchor, stand)


def _top_words(drawing: Drawing, task: Task, turn: float, corners: tuple[Point, ...], split: bool) -> None:
    """Above the main, clear of the outlet: the top's mark, and the way round from it."""
    side, radius = _free_side(turn), task.mm(MAIN) / 2
    anchor, level = "start" if side > 0 else "end", -radius - _ROUND
    start = max(4.0, *(side * x + 1.5 for x, _ in corners))
    drawing.block((side * start, level), (Line(task.words["outlet.top"]),), anchor)
    drawing.leader((side * (start - 0.6), level), (side * 0.1, level))
    if turn:
        lines = task.lines("outlet.arc_from_top", ARC, split)
        foot = level - 0.6 * drawing.letter - 0.8
        drawing.block((side * start, foot), lines, anchor, "above")
        tip = _at(math.copysign(min(abs(turn) / 2, 12.0), turn), radius + _ROUND)
        drawing.leader((side * (start - 0.6), foot - 0.5 * drawing.letter), tip)


def _caption(drawing: Drawing, task: Task, turn: float, beside: bool) -> None:
    """The view with its scale, which way it faces, what is dashed, and the main's size."""
    words, low = task.words, drawing.box[3]
    lines = (
        Line(f"{words['dig.section']} {words['scale']} 1 : {1 / task.unit:g}", True),
        Line(f"{words['dig.facing']}; {words['outlet.dashed']}"),
        *task.row("outlet.main", MAIN),
    )
    if beside:
        side, radius = _free_side(turn), task.mm(MAIN) / 2
        drawing.block((side * (radius + 2 * GAP), radius), lines, "start" if side > 0 else "end", "above")
    else:
        drawing.block((0.0, low + 1.6), lines, "middle", "below")
