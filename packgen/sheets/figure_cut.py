"""The cut in section: main, saddle and hole saw at the moment the saw breaks through.

In: values of pipe and saw, and of the fitting where its label or drawing states them.
Out: a `Figure`, or None where a value of the pipe or the saw is missing.
Vocabulary: the *crown* is the top of the main and the datum of the drawing; the *rim* is the upper end of
the outlet; the *shoulder* is the saddle's outside. The saw's cup and shank are a plain sketch, because no
value tells their size, and the figure says so; the outlet's wall is drawn as thick as the saddle's.
Governing text: ISO 128 for lines, cut faces and broken edges (edition from memory); the geometry is that of
the calculation: the saw has broken through when the edge of the hole meets the main's inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from packgen.sheets.drawing import (
    DASHED,
    MIDDLE,
    THICK,
    THIN,
    Drawing,
    Line,
    arrow_tail,
    block_width,
    text_width,
)
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

_SAW, _THROUGH, _SET = "tap.hole_saw", "tap.travel_to_breakthrough", "tap.travel_set"
_MARK, _CLEARANCE = "tap.depth_mark", "tap.clearance"
_TAP_SHOWN = {
    "tap.outside_diameter": MAIN, "tap.wall_max": WALL, "tap.hole_saw": _SAW, "tap.breakthrough": _THROUGH,
    "tap.set": _SET, "tap.depth_mark": _MARK, "tap.outlet_bore": BORE, "tap.outlet_height": HEIGHT,
    "tap.clearance": _CLEARANCE,
}  # fmt: skip


def tap_section(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """Main, saddle and saw in section at break-through; None where a pipe or tap value is missing.

    Parameters: `values` register values in mm and degrees, `text` their printed texts, `words` labels by key,
    `width` and `height` the box in mm. Raises ContentError where the texts do not fit the box at any scale.
    """
    if not Task(values, text, words, 1.0).has(MAIN, WALL, _SAW, _THROUGH, _SET):
        return None
    if values[_SAW] >= values[MAIN] - 2 * values[WALL]:
        return None  # a saw as wide as the main's bore never breaks through: the calculation refuses it
    return make("tap-section", _tap_drawing, _TAP_SHOWN, values, text, words, width, height)


@dataclass(frozen=True)
class _Ends:
    """Where the main is broken off: angles of its outside and inside, lowest depth, half-width."""

    outside: float
    inside: float
    depth: float
    half: float


@dataclass(frozen=True)
class _Frame:
    """Where the parts of one drawing end, in paper mm from the axis or below the crown."""

    saw: float  # half the saw's diameter
    teeth: float  # depth of the teeth at break-through
    deepest: float  # depth to set
    cup: float  # height of the cup's inside end above the crown
    ends: _Ends  # where the main is broken off
    outlet: float  # half-width of the outlet
    side: float  # where the space beside the saddle and the main begins


def _tap_drawing(task: Task, letter: float) -> Drawing:
    """The section at one scale: bodies first, then dimensions, then names."""
    drawing, ends = Drawing(letter, task.within), _ends(task)
    _main_cut(drawing, task, ends)
    outlet = _saddle_cut(drawing, task)
    top = _saw(drawing, task)
    side = max(_saddle_half(task), ends.half) + 2.5
    cup = _CUP * task.mm(_SAW)
    frame = _Frame(task.mm(_SAW) / 2, task.mm(_THROUGH), task.mm(_SET), cup, ends, outlet, side)
    foot = _hole_saw_dimension(drawing, task, frame, top)
    _coupon_name(drawing, task, frame)
    _travel_dimensions(drawing, task, frame)
    _main_name_and_scale(drawing, task, frame, foot)
    _right_of_outlet(drawing, task, frame, _saddle_name(drawing, task, frame))
    return drawing


def _half_chord(radius: float, depth: float) -> float:
    """Half the width of a circle at a depth below its top."""
    return math.sqrt(max(0.0, radius**2 - (radius - depth) ** 2))


def _mirror(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """The same points on the other side of the axis."""
    return tuple((-x, y) for x, y in points)


def _ends(task: Task) -> _Ends:
    """Break the main off level below teeth and saddle; a wide main upright, just beyond the saddle."""
    radius, inside = task.mm(MAIN) / 2, task.mm(MAIN) / 2 - task.mm(WALL)
    depth = task.mm(_SET)
    if _saddle_shown(task):
        depth = max(depth, task.mm(SADDLE[0]) * (1 - math.cos(math.radians(task.values[SADDLE[1]]))))
    depth = min(depth + 3.2, radius)
    half = max(_saddle_half(task), task.mm(_SAW)) + 3.0
    if half >= min(inside, _half_chord(radius, depth)):
        rise = radius - depth
        return _Ends(
            math.acos(rise / radius), math.acos(min(1.0, rise / inside)), depth, _half_chord(radius, depth)
        )
    under = radius - math.sqrt(inside**2 - half**2)
    return _Ends(math.asin(half / radius), math.asin(half / inside), under, half)


def _saddle_shown(task: Task) -> bool:
    """Whether the saddle's body can be drawn: all its values are there, and it reaches beyond its outlet."""
    if not task.has(BORE, *SADDLE):
        return False
    radius, angle, wall = (task.values[name] for name in SADDLE)
    return task.values[BORE] / 2 + wall < radius * math.sin(math.radians(angle))


def _saddle_half(task: Task) -> float:
    """Half the saddle's width in the section; 0 where it is not drawn."""
    if not _saddle_shown(task):
        return 0.0
    return (task.mm(SADDLE[0]) + task.mm(SADDLE[2])) * math.sin(math.radians(task.values[SADDLE[1]]))


def _main_cut(drawing: Drawing, task: Task, ends: _Ends) -> None:
    """The main's wall on both sides of the saw, broken off below, and the coupon in the saw."""
    radius, saw = task.mm(MAIN) / 2, task.mm(_SAW) / 2
    inside, centre = radius - task.mm(WALL), (0.0, radius)

    def run(r: float, start: float, end: float) -> tuple[Point, ...]:
        return arc(centre, r, math.degrees(start), math.degrees(end))

    over = run(radius, math.asin(saw / radius), ends.outside)
    under = run(inside, math.asin(saw / inside), ends.inside)
    for turn in (lambda points: points, _mirror):
        a, b = turn(over), turn(under)
        drawing.cut((*a, *reversed(b)))
        drawing.line(*a, width=THICK)
        drawing.line(*b, width=THICK)
        drawing.broken(b[-1], a[-1])
    core = saw - _blade(task)
    top = run(radius, -math.asin(core / radius), math.asin(core / radius))
    foot = run(inside, math.asin(core / inside), -math.asin(core / inside))
    drawing.cut((*top, *foot))
    drawing.shape((*top, *foot), MIDDLE)


def _saddle_cut(drawing: Drawing, task: Task) -> float:
    """The saddle and its outlet; returns the half-width of what stands above the main."""
    saw = task.mm(_SAW) / 2
    if not task.has(BORE):
        return saw
    bore = task.mm(BORE) / 2
    if _saddle_shown(task):
        return _saddle_body(drawing, task, bore)
    top = _outlet_top(task)
    for x in (-bore, bore):
        drawing.line((x, top), (x, 0.0), width=THICK)
    return bore


def _outlet_top(task: Task) -> float:
    """The rim, or where the outlet is broken off because nobody stated its height."""
    return -task.mm(HEIGHT) if task.has(HEIGHT) else -_CUP * task.mm(_SAW) - 9.0


def _saddle_body(drawing: Drawing, task: Task, bore: float) -> float:
    """Both halves of the cut saddle; the outlet's wall is taken as thick as the saddle's."""
    radius, angle, wall = task.mm(SADDLE[0]), task.values[SADDLE[1]], task.mm(SADDLE[2])
    centre, outside, outlet = (0.0, radius), radius + wall, bore + wall
    under = arc(centre, radius, math.degrees(math.asin(bore / radius)), angle)
    over = arc(centre, outside, angle, math.degrees(math.asin(outlet / outside)))
    top = _outlet_top(task)
    half = (*under, *over, (outlet, top), (bore, top))
    for points in (half, _mirror(half)):
        drawing.cut(points, -1)
        if task.has(HEIGHT):
            drawing.shape(points, THICK)
        else:
            drawing.line(points[-1], *points[:-1], width=THICK)
            drawing.broken(points[-2], points[-1])
    return outlet


_CUP = 0.35  # of the saw: how far its cup reaches above the crown; a sketch, clear of the coupon


def _saw(drawing: Drawing, task: Task) -> float:
    """The saw at break-through: walls and back solid, shank in view, depth mark; returns the shank's top."""
    saw, teeth, back, blade = task.mm(_SAW) / 2, task.mm(_THROUGH), 1.2, _blade(task)
    cup = -_CUP * task.mm(_SAW)
    for side in (1, -1):
        wall = ((saw, cup), (saw, teeth), (saw - blade, teeth - 1.2), (saw - blade, cup))
        drawing.shape(tuple((side * x, y) for x, y in wall), 0.0, "#000")
    drawing.shape(((-saw, cup - back), (saw, cup - back), (saw, cup), (-saw, cup)), 0.0, "#000")
    shank = _shank(task)
    mark = teeth - task.mm(_MARK) if task.has(_MARK) else None
    rim = _outlet_top(task)
    top = min(rim, rim if mark is None else mark) - 2.5
    body = ((-shank, top), (-shank, cup - back), (shank, cup - back), (shank, top))
    drawing.shape(body, 0.0, "#fff")
    drawing.line(*body, width=MIDDLE)
    drawing.line((-shank, top), (-shank / 3, top - 0.5), (shank / 3, top + 0.5), (shank, top), width=THIN)
    if mark is not None:
        drawing.line((-shank - 0.6, mark), (shank + 0.6, mark), width=THICK)
    return top


def _blade(task: Task) -> float:
    """The thickness of the saw's wall on paper: a thin cut part, drawn solid; a sketch."""
    return min(0.8, 0.1 * task.mm(_SAW))


def _shank(task: Task) -> float:
    """Half the width of the saw's shank: a sketch."""
    return max(0.9, 0.11 * task.mm(_SAW))


def _hole_saw_dimension(drawing: Drawing, task: Task, frame: _Frame, top: float) -> float:
    """The saw's diameter below its teeth, the depth to set dashed, the axis; returns the text's top."""
    lines, inside = task.lines("tap.hole_saw", _SAW), task.mm(MAIN) / 2 - task.mm(WALL)
    level = frame.deepest + 3.4
    # Room for the text between the main's walls, or else below the edge where they are broken off.
    if _half_chord(inside, level + GAP - task.mm(WALL)) < block_width(lines, drawing.letter) / 2 + 1.0:
        level = max(level, frame.ends.depth + 0.8)
    drawing.line((-frame.saw, frame.deepest), (frame.saw, frame.deepest), width=MIDDLE, dash=DASHED)
    drawing.centre_line((0.0, top - 1.2), (0.0, -frame.cup))
    drawing.centre_line((0.0, task.mm(WALL) - 1.0), (0.0, level + 1.0))
    drawing.dimension_level(level, -frame.saw, frame.saw, frame.teeth + 0.4, frame.teeth + 0.4)
    drawing.block((0.0, level + GAP), lines, "middle", "below")
    return level + GAP


def _coupon_name(drawing: Drawing, task: Task, frame: _Frame) -> None:
    """The coupon's name, in the saw; left out where the saw is drawn too small to hold it."""
    name = (Line(task.words["tap.coupon"]),)
    wide, tall = block_width(name, drawing.letter) + 1.0, drawing.block_height(name) + 1.6
    if wide < 2 * (frame.saw - _blade(task)) and tall < frame.cup:
        drawing.block((0.0, 0.8 - frame.cup), name, "middle", "below")
        drawing.leader((0.0, 0.8 - frame.cup + drawing.letter), (0.0, task.mm(WALL) / 3))


def _travel_dimensions(drawing: Drawing, task: Task, frame: _Frame) -> None:
    """Left of the main, from the crown to break-through and to the depth to set; the outlet's height."""
    inner, outer = -frame.side, -frame.side - 4.5
    tail, end = arrow_tail(frame.teeth), -frame.saw - 0.4
    drawing.dimension_upright(outer, 0.0, frame.deepest, -0.3, end)
    drawing.dimension_upright(inner, 0.0, frame.teeth, inner, end)
    lines, foot = task.lines("tap.breakthrough", _THROUGH, True), -max(GAP, tail) - 0.6
    half = block_width(lines, drawing.letter) / 2
    centre = min(inner, -_clear_of_saddle(task, frame, foot) - half)
    drawing.line((inner, 0.0), (inner, foot + 0.4), (min(inner, centre + half), foot + 0.4), width=THIN)
    drawing.block((centre, foot), lines, "middle", "above")
    low = frame.deepest + max(GAP, tail)
    drawing.line((outer, frame.deepest), (outer, low), width=THIN)
    drawing.block((inner + 1.0, low + 0.6), task.lines("tap.set", _SET, True), "end", "below")
    if task.has(HEIGHT):
        _outlet_height(drawing, task, frame.outlet, foot - drawing.block_height(lines))


def _clear_of_saddle(task: Task, frame: _Frame, height: float) -> float:
    """How far from the axis a text at this height must stay: beyond the outlet's dimension and the saddle."""
    beside = frame.outlet + (3.0 + 2 * GAP if task.has(HEIGHT) else GAP)
    if not _saddle_shown(task):
        return beside
    radius = task.mm(SADDLE[0])
    outside = radius + task.mm(SADDLE[2])
    return max(beside, math.sqrt(max(0.0, outside**2 - (radius - height) ** 2)) + 1.0)


def _outlet_height(drawing: Drawing, task: Task, outlet: float, below: float) -> None:
    """The outlet's height from the crown, its text clear of the one `below` it."""
    rim, x, lines = -task.mm(HEIGHT), -outlet - 3.0, task.lines("tap.outlet_height", HEIGHT, True)
    drawing.dimension_upright(x, rim, 0.0, -outlet - 0.6, x)
    highest = below - 1.0 - drawing.block_height(lines) / 2
    drawing.block((x - GAP, min(0.66 * rim, highest)), lines, "end")


def _main_name_and_scale(drawing: Drawing, task: Task, frame: _Frame, foot: float) -> None:
    """Right of the main its name, and below that the scale."""
    radius, wall, ends = task.mm(MAIN) / 2, task.mm(WALL), frame.ends
    level = max(ends.depth - 1.5, frame.teeth + 0.6 * drawing.letter)
    angle = 0.93 * math.degrees(ends.outside + ends.inside) / 2
    drawing.leader((frame.side + 2.0, level), arc((0.0, radius), radius - wall / 2, 0.0, angle)[-1])
    drawing.block((frame.side + 2.5, level), (Line(task.words["tap.main"]),))
    widest = block_width(task.lines("tap.hole_saw", _SAW), drawing.letter)
    low = max(foot, ends.depth + 2.0, level + 0.6 * drawing.letter)
    drawing.block((widest / 2 + 2.5, low), scale_lines(task, "tap.sketch"), "start", "below")


def _saddle_name(drawing: Drawing, task: Task, frame: _Frame) -> float:
    """The saddle's name, above the level of the teeth; returns the height it leaves free above itself."""
    if not _saddle_shown(task):
        return 0.0
    room = 0.6 * drawing.letter
    level = min(0.5 * frame.teeth, frame.teeth - room)
    radius, angle, wall = task.mm(SADDLE[0]), 0.85 * task.values[SADDLE[1]], task.mm(SADDLE[2])
    tip = arc((0.0, radius), radius + wall, 0.0, angle)[-1]
    drawing.leader((frame.side + 2.0, level), tip)
    drawing.block((frame.side + 2.5, level), (Line(task.words["tap.saddle"]),))
    return min(0.0, level - room)


_RIGHT = {_CLEARANCE: "tap.clearance", BORE: "tap.outlet_bore", _MARK: "tap.depth_mark"}


def _right_of_outlet(drawing: Drawing, task: Task, frame: _Frame, free: float) -> None:
    """Right of the outlet, upwards from the height left `free`: clearance, bore, depth mark."""
    blocks = {name: task.lines(key, name) for name, key in _RIGHT.items() if task.has(name)}
    start = frame.outlet + 2.5
    tall = drawing.block_height((Line(""), Line(""))) + 1.0
    level = _past_mark(task, frame, min(free, _shoulder(task, start)) - 0.5 * tall - 0.5, tall)
    if task.has(BORE, _CLEARANCE):
        drawing.leader((start - GAP / 2, level), (frame.saw, -0.5 * frame.cup))
        drawing.block((start, level), blocks[_CLEARANCE])
        level -= tall
    if task.has(BORE):
        bore, level = task.mm(BORE) / 2, _past_mark(task, frame, min(level, -frame.cup - 1.0 - tall), tall)
        row = max(level, _outlet_top(task) + 2.0)
        drawing.dimension_level(row, -bore, bore, row, row)
        drawing.line((bore, row), (frame.outlet, row), (start - GAP / 2, level), width=THIN)
        drawing.block((start, level), blocks[BORE])
        level -= tall
    if task.has(_MARK):
        column = start + max(block_width(lines, drawing.letter) for lines in blocks.values())
        _depth_mark(drawing, task, frame, column, level)


def _past_mark(task: Task, frame: _Frame, level: float, tall: float) -> float:
    """The level of a text, or the next one above the depth mark's line where that would run through it."""
    mark = frame.teeth - task.mm(_MARK) if task.has(_MARK) else math.inf
    return mark - tall / 2 if abs(level - mark) < tall / 2 else level


def _depth_mark(drawing: Drawing, task: Task, frame: _Frame, column: float, free: float) -> None:
    """From the teeth up to the mark on the shank, at the right of all; its text below the mark where free."""
    mark, lines = frame.teeth - task.mm(_MARK), task.lines("tap.depth_mark", _MARK)
    saddle = frame.side + 2.5 + text_width(task.words["tap.saddle"], drawing.letter)
    far = max(column + GAP, saddle) + GAP
    drawing.dimension_upright(far, mark, frame.teeth, _shank(task) + 0.6, frame.saw + 0.4)
    half = 0.5 + drawing.block_height(lines) / 2
    level = mark + 0.5 + half
    if level > free:
        level = min(mark - 0.5 - half, free)
        drawing.line((far, mark), (far, level), width=THIN)
    drawing.block((far - GAP, level), lines, "end")


def _shoulder(task: Task, x: float) -> float:
    """The height of the saddle's outside at a distance from the axis; the crown's without a saddle."""
    if not _saddle_shown(task):
        return 0.0
    radius, wall = task.mm(SADDLE[0]), task.mm(SADDLE[2])
    return radius - math.sqrt(max(0.0, (radius + wall) ** 2 - x**2))
