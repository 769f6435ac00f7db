"""The zone to peel, laid flat, and where to squeeze, seen from the side.

In: values of pipe, peel and squeeze, and of the fitting where its label or drawing states them.
Out: a `Figure`, or None where a value the figure is about is missing.
Vocabulary: *laid flat* means that the distance round the main is drawn as a straight height; the *detail*
is one squeeze enlarged.
Bars and the height of the saddle are plain sketches where no value tells them, and the figure says so.
Governing text: ISO 128 for lines, cut faces and broken edges (edition from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable

from packgen.sheets.drawing import DASHED, MIDDLE, SCALES, THICK, THIN, Drawing, Line, block_width
from packgen.sheets.figure_base import (
    BORE,
    GAP,
    HEIGHT,
    MAIN,
    SADDLE,
    WALL,
    Figure,
    Task,
    Values,
    Words,
    make,
    scale_lines,
)
from packgen.sheets.strokes import Point, arc

_LENGTH, _ARC, _BASE, _FROM_TOP = (
    "peel.zone_length",
    "peel.zone_arc",
    "fitting.base_length",
    "place.arc_from_top",
)
_PEEL_SHOWN = {
    "peel.zone_length": _LENGTH, "peel.zone_arc": _ARC, "peel.base_length": _BASE,
    "peel.arc_from_top": _FROM_TOP,
}  # fmt: skip


def peel_zone(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """The main's surface laid flat with the zone to peel; None where a pipe or peel value is missing.

    Parameters and errors as for `tap_section`.
    """
    if not Task(values, text, words, 1.0).has(MAIN, _LENGTH, _ARC):
        return None
    return make("peel-zone", _peel_drawing, _PEEL_SHOWN, values, text, words, width, height)


def _peel_drawing(task: Task, letter: float) -> Drawing:
    """The zone with the saddle base in it, the main's surface broken off round it, the dimensions outside."""
    drawing = Drawing(letter, task.within)
    half, deep, rim = task.mm(_LENGTH) / 2, task.mm(_ARC) / 2, 3.0
    from_top = task.mm(_FROM_TOP) if task.has(_FROM_TOP) else 0.0
    top = -max(deep, from_top) - rim
    right, low = half + rim, deep + rim
    for start, end in (((-right, low), (-right, top)), ((right, top), (right, low))):
        drawing.broken(start, end)
    for y in (top, low):
        drawing.broken((-right, y), (right, y))
    drawing.shape(_rectangle(half, deep), THICK)
    drawing.centre_line((-right - 2.0, 0.0), (right + 2.0, 0.0))
    drawing.centre_line((0.0, -deep - 1.5), (0.0, deep + 1.5))
    _base(drawing, task)
    _peel_dimensions(drawing, task, top, right, low)
    return drawing


def _base(drawing: Drawing, task: Task) -> None:
    """The saddle's base dashed, or its ends alone where the rest is not known; the outlet."""
    drawing.circle((0.0, 0.0), task.mm(BORE) / 2 if task.has(BORE) else 1.5)
    if not task.has(_BASE):
        return
    half, edge = task.mm(_BASE) / 2, _base_edge(task)
    if edge is not None:
        drawing.shape(_rectangle(half, edge), MIDDLE, dash=DASHED)
        return
    for x in (-half, half):
        drawing.line((x, -task.mm(_ARC) / 2), (x, task.mm(_ARC) / 2), dash=DASHED)


def _base_edge(task: Task) -> float | None:
    """Half the saddle's extent round the main, along its bore."""
    if not task.has(*SADDLE[:2]):
        return None
    return task.mm(SADDLE[0]) * math.radians(task.values[SADDLE[1]])


def _peel_dimensions(drawing: Drawing, task: Task, top: float, right: float, low: float) -> None:
    """Length below, base above, distance round the main on the right, what lies where on the left."""
    half, deep, column = task.mm(_LENGTH) / 2, task.mm(_ARC) / 2, right + 4.0 + GAP
    drawing.dimension_level(low + 3.5, -half, half, deep, deep)
    drawing.block((0.0, low + 3.5 + GAP), task.row("peel.zone_length", _LENGTH), "middle", "below")
    drawing.dimension_upright(right + 3.5, -deep, deep, half, half)
    lines, scale = task.lines("peel.zone_arc", _ARC, True), scale_lines(task)
    drawing.block((column, max(deep / 2, 0.5 + drawing.block_height(lines) / 2)), lines)
    drawing.block((column, -max(deep / 2, 0.5 + drawing.block_height(scale) / 2)), scale)
    if task.has(_BASE):
        base, edge = task.mm(_BASE) / 2, _base_edge(task)
        start = -deep if edge is None else -edge
        drawing.dimension_level(top - 3.0, -base, base, start, start)
        drawing.block((0.0, top - 3.0 - GAP), task.row("peel.base_length", _BASE), "middle", "above")
    _left_names(drawing, task, right)


def _left_names(drawing: Drawing, task: Task, right: float) -> None:
    """The line along the top of the main, the distance from it to the outlet, and the outlet's centre."""
    x, letter, lowest = -right - 4.0, drawing.letter, 0.0
    if task.has(_FROM_TOP):
        far = task.mm(_FROM_TOP)
        drawing.block((x - 2 * GAP, -far), (Line(task.words["peel.top"]),), "end")
        lowest = 0.6 * letter - far
        if far:
            drawing.centre_line((-right - 2.0, -far), (right + 2.0, -far))
            drawing.dimension_upright(x, -far, 0.0, -right - 2.0, -right - 2.0)
            lines = task.lines("peel.arc_from_top", _FROM_TOP, True)
            tall = drawing.block_height(lines) + 0.6
            middle = max(-0.45 * far, lowest + tall / 2)
            drawing.block((x - GAP, middle), lines, "end")
            lowest = middle + tall / 2
    spot = (x - 2 * GAP, max(0.3 * task.mm(_ARC), lowest + 0.6 * letter))
    drawing.block(spot, (Line(task.words["peel.outlet"]),), "end")
    drawing.leader((spot[0] + 0.5, spot[1]), (0.0, 0.0))


def _rectangle(half: float, deep: float) -> tuple[Point, ...]:
    """A rectangle about the datum."""
    return ((-half, -deep), (half, -deep), (half, deep), (-half, deep))


_DISTANCE, _STOP = "squeeze.distance_min", "squeeze.gap_stop"
_SQUEEZE_SHOWN = {"squeeze.distance_min": _DISTANCE, "squeeze.base_length": _BASE, "squeeze.gap_stop": _STOP}


def squeeze_positions(
    values: Values, text: Words, words: Words, width: float, height: float
) -> Figure | None:
    """The main from the side, squeezed on both sides of the saddle; None where values are missing.

    Parameters and errors as for `tap_section`. The distance runs from the saddle's edge to the nearer edge of
    the bars.
    """
    if not Task(values, text, words, 1.0).has(MAIN, _DISTANCE):
        return None
    return make("squeeze-positions", _squeeze_drawing, _SQUEEZE_SHOWN, values, text, words, width, height)


def _squeeze_drawing(task: Task, letter: float) -> Drawing:
    """The main from the side, pinched twice, the saddle between, distances below, one squeeze enlarged."""
    drawing = Drawing(letter, task.within)
    bar, half = _bar(task), _base_half(task)
    edge = half + task.mm(_DISTANCE)
    centre = edge + bar
    ends = centre + 2.2 * bar
    run = tuple(x * ends / 200 for x in range(-200, 201))
    tall = _pinched(task)
    top = tuple((x, -tall(min(abs(x - centre), abs(x + centre)))) for x in run)
    for side in (1, -1):
        drawing.line(*((x, side * y) for x, y in top), width=THICK)
        drawing.broken((side * ends, top[0][1]), (side * ends, -top[0][1]))
        for level in (-1, 1):
            drawing.circle((side * centre, level * (_stop(task) + bar)), bar, MIDDLE, "#fff")
    drawing.centre_line((-ends - 1.2, 0.0), (ends + 1.2, 0.0))
    rise = _saddle_side(drawing, task, half)
    _squeeze_dimensions(drawing, task, half, edge)
    _squeeze_names(drawing, task, half, centre, rise)
    foot = drawing.box[3] + 2.5
    right, free = -ends, foot
    if task.has(_STOP):
        _mark(drawing, task, centre)
        right, free = _detail(drawing, task, (-ends, foot))
    known = task.has(_BASE, BORE, HEIGHT, *SADDLE)
    keys = ("squeeze.sketch",) if known else ("squeeze.sketch", "squeeze.saddle_sketch")
    lines = (Line(task.words["squeeze.view"], True), *scale_lines(task, *keys))
    lowest = max(drawing.box[3], free + drawing.block_height(lines))
    drawing.block((max(ends, right), lowest), lines, "end", "above")
    return drawing


def _bar(task: Task) -> float:
    """The radius of a squeeze bar: a sketch, an eighth of the main's diameter."""
    return task.mm(MAIN) / 8


def _base_half(task: Task) -> float:
    """Half the saddle's length along the main; as long as the main is wide where nobody stated it."""
    return (task.mm(_BASE) if task.has(_BASE) else task.mm(MAIN)) / 2


def _stop(task: Task) -> float:
    """Half the gap between the bars; a sketch where no gap is stated."""
    return (task.mm(_STOP) if task.has(_STOP) else 0.12 * task.mm(MAIN)) / 2


def _pinched(task: Task) -> Callable[[float], float]:
    """Half the height of the main by the distance along it from the middle of a squeeze: a smooth sketch."""
    radius, stop = task.mm(MAIN) / 2, _stop(task)

    def tall(away: float) -> float:
        share = min(1.0, away / (1.6 * radius))
        return radius - (radius - stop) * 0.5 * (1 + math.cos(math.pi * share))

    return tall


def _saddle_side(drawing: Drawing, task: Task, half: float) -> float:
    """The saddle from the side with its outlet upwards; returns the height of its rim above the main."""
    radius = task.mm(MAIN) / 2
    cover = 1 - math.cos(math.radians(task.values[SADDLE[1]])) if task.has(SADDLE[1]) else 0.5
    wall = task.mm(SADDLE[2]) if task.has(SADDLE[2]) else 0.12 * radius
    outlet = (task.mm(BORE) / 2 if task.has(BORE) else 0.25 * task.mm(MAIN)) + wall
    rise = task.mm(HEIGHT) if task.has(HEIGHT) else 1.6 * radius
    low, top = -radius + cover * radius, -radius - wall
    drawing.shape(((-half, low), (-half, top), (half, top), (half, low)), THICK, "#fff")
    drawing.shape(
        ((-outlet, top), (-outlet, -radius - rise), (outlet, -radius - rise), (outlet, top)), THICK, "#fff"
    )
    drawing.centre_line((0.0, -radius - rise - 1.5), (0.0, low + 1.5))
    return rise


def _squeeze_dimensions(drawing: Drawing, task: Task, half: float, edge: float) -> None:
    """Both distances, below the main, from the saddle's edge to the bars."""
    level = task.mm(MAIN) / 2 + 3.5
    lines = task.lines("squeeze.distance_min", _DISTANCE)
    least = block_width(lines, drawing.letter) / 2 + GAP
    for side in (-1, 1):
        near, far = side * half, side * edge
        drawing.dimension_level(level, near, far, 0.6, _stop(task) + _bar(task))
        spot = side * max(
            (half + edge) / 2, least
        )  # on a small drawing the two texts keep clear of each other
        drawing.block((spot, level + GAP), lines, "middle", "below")


def _squeeze_names(drawing: Drawing, task: Task, half: float, centre: float, rise: float) -> None:
    """The names above the main: bars on the left, the saddle in the middle."""
    radius, bar, stop = task.mm(MAIN) / 2, _bar(task), _stop(task)
    words, row = task.words, -radius - max(3.5, 0.5 * rise)
    drawing.block((-centre + 3.0, row), (Line(words["squeeze.bars"]),))
    drawing.leader((-centre + 2.5, row), (-centre, -stop - 2 * bar))
    wall = task.mm(SADDLE[2]) if task.has(SADDLE[2]) else 0.12 * radius
    drawing.block((half + 5.0, row), (Line(words["squeeze.saddle"]),))
    drawing.leader((half + 4.5, row), (half, -radius - wall / 2))


def _mark(drawing: Drawing, task: Task, centre: float) -> None:
    """A thin circle round the squeeze that is drawn enlarged, with its letter."""
    radius = _stop(task) + 2 * _bar(task) + 1.0
    drawing.circle((-centre, 0.0), radius, THIN)
    drawing.block(
        (-centre + radius, radius + 0.6), (Line(task.words["squeeze.mark"], True),), "start", "below"
    )


def _detail(drawing: Drawing, task: Task, corner: Point) -> Point:
    """One squeeze enlarged: bars, pressed walls, gap; returns the lower right corner of its text."""
    near = _enlarged(task, drawing.letter)
    bar, stop, span = _bar(near), _stop(near), 2.6 * _bar(near)
    title = (Line(near.words["squeeze.detail"], True), *scale_lines(near))
    x = corner[0] + block_width(title, drawing.letter) + 3.0 + span
    y = corner[1] + 2 * bar + stop
    for way in (-1, 1):
        _pressed_wall(drawing, near, (x, y), way)
        circle = arc((x, y + way * (stop + bar)), bar, 0.0, 360.0)[:-1]
        drawing.cut(circle, -1)
        drawing.shape(circle, THICK)
    drawing.dimension_upright(x + span + 4.0, y - stop, y + stop, x, x)
    column, lines = x + span + 4.0 + 2 * GAP, near.lines("squeeze.gap_stop", _STOP)
    drawing.block((column, y), lines)
    drawing.block((corner[0], y), title)
    return column + block_width(lines, drawing.letter), y + drawing.block_height(lines) / 2 + 0.8


def _enlarged(task: Task, letter: float) -> Task:
    """The same values at the largest scale at which bars and gap stand no taller than eight letters."""
    tall = 2 * (_stop(task) + 2 * _bar(task)) / task.unit
    scale = next((scale for scale in SCALES if tall / scale <= 8 * letter), SCALES[-1])
    return Task(task.values, task.text, task.words, 1 / scale)


def _pressed_wall(drawing: Drawing, near: Task, middle: Point, way: int) -> None:
    """One wall of the main between the bars: cut and hatched where the wall's thickness is known."""
    x, y = middle
    run = [2.6 * _bar(near) * step / 40 for step in range(-40, 41)]
    tall = _pinched(near)
    outside = [(x + u, y + way * tall(abs(u))) for u in run]
    if near.has(WALL):
        inside = [(x + u, y + way * max(0.0, tall(abs(u)) - near.mm(WALL))) for u in run]
        drawing.cut((*outside, *reversed(inside)))
        drawing.line(*inside, width=THICK)
        for end in (0, -1):
            drawing.broken(inside[end], outside[end])
    drawing.line(*outside, width=THICK)
