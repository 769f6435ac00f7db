"""What stands on the main for a tap through a valve: saddle, valve and drilling machine, and the saw's way.

In: values of pipe, fitting and saw, and the valve's and the machine's own facts (`stack_facts`).
Out: a `Figure`, or None where one of them is missing.
Vocabulary: the *crown* is the top of the main and the datum of the drawing; the *rim* is the upper end of the
outlet and the *flange* that of the valve, where the machine stands; *rest* is the level of the teeth with the
saw drawn back. Levels and bores are to scale; how thick the bodies are, and how tall the saw, is a sketch,
and the figure says so. The machine is broken off above the saw.
Governing text: ISO 128 for lines, cut faces and broken edges (edition from memory); the levels are those of
`packgen.calc.valve_path`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from packgen.calc.request import Request
from packgen.rounding import Units, plain
from packgen.sheets.drawing import DASHED, MIDDLE, THICK, THIN, Drawing, Line, arrow_tail, block_width
from packgen.sheets.drawing_marks import spread
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

_SAW, _SET, _STROKE, _LEAST = "tap.hole_saw", "tap.travel_set", "tap.stroke_min", "tap.least_bore"
# The facts of valve and machine, which the register does not hold.
_VALVE, _VALVE_BORE, _REACH, _MACHINE_BORE = "valve.length", "valve.bore", "machine.reach", "machine.bore"
_SHOWN = {
    "stack.outlet_height": HEIGHT, "stack.valve_length": _VALVE, "stack.reach": _REACH, "stack.set": _SET,
    "stack.stroke": _STROKE, "stack.least_bore": _LEAST, "stack.saw": _SAW,
}  # fmt: skip
_BODY = 0.16  # of a bore: how thick the wall of valve, machine or unknown outlet is drawn; a sketch
_CUP = 0.5  # of the saw: how tall its cup is drawn; a sketch
_BLADE = 0.5  # mm on paper: the saw's wall, a thin cut part, drawn solid


def stack_facts(request: Request, units: Units) -> tuple[dict[str, float], dict[str, str]]:
    """The facts of a joint's valve and machine that the figure needs: numbers in mm, and texts.

    Parameters: `request` of the joint, `units` to print in. Returns nothing where it has no valve or machine.
    """
    valve, machine = request.valve, request.machine
    if valve is None or machine is None:
        return {}, {}
    facts = {
        _VALVE: valve.length, _VALVE_BORE: valve.bore, _REACH: machine.reach, _MACHINE_BORE: machine.bore,
    }  # fmt: skip
    numbers = {name: fact.to("mm") for name, fact in facts.items()}
    return numbers, {name: plain(fact, units) for name, fact in facts.items()}


def stack(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """Main, saddle, valve and machine one on the other; None where a value of one of them is missing.

    Parameters: `values` register values and `stack_facts` in mm and degrees, `text` their printed texts,
    `words` labels by key, `width` and `height` the box in mm. Raises ContentError where the texts do not fit
    the box at any scale.
    """
    needed = (MAIN, WALL, BORE, HEIGHT, _SAW, _SET, _STROKE, _LEAST)
    if not Task(values, text, words, 1.0).has(*needed, _VALVE, _VALVE_BORE, _REACH, _MACHINE_BORE):
        return None
    return make("stack-section", _draw, _SHOWN, values, text, words, width, height)


@dataclass(frozen=True)
class _Frame:
    """Levels below the crown (negative above it) and widths from the axis, in paper mm."""

    rim: float
    flange: float
    rest: float
    top: float  # where the machine is broken off
    deep: float  # the depth to set
    side: float  # beyond every body
    low: float  # where the main is broken off


def _draw(task: Task, letter: float) -> Drawing:
    """The stack at one scale: bodies from below, then the saw, dimensions on the left, names on the right."""
    drawing, frame = Drawing(letter, task.within), _frame(task)
    _main(drawing, task)
    _outlet(drawing, task, frame)
    _tube(drawing, task.mm(_VALVE_BORE) / 2, frame.flange, frame.rim, 1)
    _tube(drawing, task.mm(_MACHINE_BORE) / 2, frame.top, frame.flange, -1)
    _saw(drawing, task, frame)
    drawing.centre_line((0.0, frame.top - 2.0), (0.0, frame.low + 1.0))
    _dimensions(drawing, task, frame)
    _names(drawing, task, frame)
    return drawing


def _frame(task: Task) -> _Frame:
    """The levels of the stack, and the room its bodies take."""
    rim = -task.mm(HEIGHT)
    flange = rim - task.mm(_VALVE)
    rest = flange - task.mm(_REACH)
    top = rest - _CUP * task.mm(_SAW) - 3.0
    bodies = max(_outer(task.mm(name) / 2) for name in (_VALVE_BORE, _MACHINE_BORE))
    side = max(bodies, _main_half(task), _outlet_half(task))
    low = max(task.mm(_SET), _under(task.mm(MAIN) / 2 - task.mm(WALL), _main_half(task)) + task.mm(WALL))
    return _Frame(rim, flange, rest, top, task.mm(_SET), side, low)


def _outer(bore: float) -> float:
    """Half the width of a body round half a bore; a sketch."""
    return bore + max(1.2, 2 * _BODY * bore)


def _has_saddle(task: Task) -> bool:
    """Whether the saddle can be drawn: its values are there, and it reaches beyond its outlet."""
    if not task.has(*SADDLE):
        return False
    radius, angle, wall = (task.values[name] for name in SADDLE)
    return task.values[BORE] / 2 + wall < radius * math.sin(math.radians(angle))


def _outlet_half(task: Task) -> float:
    """Half the outlet's width: its wall is taken as thick as the saddle's, else a sketch."""
    bore = task.mm(BORE) / 2
    return bore + task.mm(SADDLE[2]) if task.has(SADDLE[2]) else _outer(bore)


def _main_half(task: Task) -> float:
    """Half the width to which the main is shown: a little beyond the saddle, but within its own bore."""
    wide = 2 * task.mm(_SAW)
    if _has_saddle(task):
        radius, angle, wall = task.mm(SADDLE[0]), task.values[SADDLE[1]], task.mm(SADDLE[2])
        wide = (radius + wall) * math.sin(math.radians(angle)) + 1.5
    return min(wide, 0.96 * (task.mm(MAIN) / 2 - task.mm(WALL)))


def _under(radius: float, half: float) -> float:
    """How far a circle has fallen below its top at a distance from the axis."""
    return radius - math.sqrt(max(0.0, radius**2 - half**2))


def _mirror(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """The same points on the other side of the axis."""
    return tuple((-x, y) for x, y in points)


def _main(drawing: Drawing, task: Task) -> None:
    """The main's wall under the saddle, not yet cut, broken off on both sides."""
    radius, wall, half = task.mm(MAIN) / 2, task.mm(WALL), _main_half(task)
    outer, inner = (math.degrees(math.asin(half / each)) for each in (radius, radius - wall))
    over = arc((0.0, radius), radius, -outer, outer)
    below = arc((0.0, radius), radius - wall, -inner, inner)
    drawing.cut((*over, *reversed(below)))
    drawing.line(*over, width=THICK)
    drawing.line(*below, width=THICK)
    drawing.broken(over[0], below[0])
    drawing.broken(below[-1], over[-1])


def _outlet(drawing: Drawing, task: Task, frame: _Frame) -> None:
    """Both halves of the saddle with its outlet, or the outlet alone where the saddle is not known."""
    bore, outside = task.mm(BORE) / 2, _outlet_half(task)
    half: tuple[Point, ...] = ((bore, frame.rim), (bore, 0.0), (outside, 0.0), (outside, frame.rim))
    if _has_saddle(task):
        radius, angle, wall = task.mm(SADDLE[0]), task.values[SADDLE[1]], task.mm(SADDLE[2])
        centre = (0.0, radius)
        under = arc(centre, radius, math.degrees(math.asin(bore / radius)), angle)
        over = arc(centre, radius + wall, angle, math.degrees(math.asin(outside / (radius + wall))))
        half = (*under, *over, (outside, frame.rim), (bore, frame.rim))
    for points in (half, _mirror(half)):
        drawing.cut(points, -1)
        drawing.shape(points, MIDDLE)


def _tube(drawing: Drawing, bore: float, top: float, foot: float, slope: int) -> None:
    """Both walls of valve or machine round half a bore; the machine, hatched the other way, is broken off."""
    outside = _outer(bore)
    half = ((bore, top), (bore, foot), (outside, foot), (outside, top))
    for points in (half, _mirror(half)):
        drawing.cut(points, slope)
        if slope > 0:
            drawing.shape(points, MIDDLE)
        else:
            drawing.line(*points, width=MIDDLE)
    if slope < 0:
        drawing.broken((-outside, top), (outside, top))


def _saw(drawing: Drawing, task: Task, frame: _Frame) -> None:
    """The saw at rest, solid, and dashed where its teeth stand at contact and at the depth to set."""
    half, cup = task.mm(_SAW) / 2, _CUP * task.mm(_SAW)
    back = frame.rest - cup
    for side in (1, -1):
        drawing.shape(_box(side * half, side * (half - _BLADE), back, frame.rest), 0.0, "#000")
    drawing.shape(_box(-half, half, back, back + _BLADE), 0.0, "#000")
    shank = max(0.6, 0.1 * task.mm(_SAW))
    for x in (-shank, shank):
        drawing.line((x, frame.top), (x, back))
    for x in (-half, half):
        drawing.line((x, -cup), (x, frame.deep), dash=DASHED)
    drawing.line((-half, -cup), (half, -cup), dash=DASHED)
    drawing.line((-half, frame.deep), (half, frame.deep), width=MIDDLE)


def _box(x1: float, x2: float, y1: float, y2: float) -> tuple[Point, ...]:
    """The corners of a rectangle."""
    return ((x1, y1), (x2, y1), (x2, y2), (x1, y2))


def _dimensions(drawing: Drawing, task: Task, frame: _Frame) -> None:
    """Left of the stack a chain of the lengths, and left of their texts the stroke they add up to."""
    chain, half = -frame.side - 2.5, task.mm(_SAW) / 2
    stops = ((frame.rest, -half), (frame.flange, chain), (frame.rim, chain), (0.0, chain))
    for (start, from1), (end, from2) in pairwise(stops):
        drawing.dimension_upright(chain, start, end, from1, from2)
    drawing.dimension_upright(chain, 0.0, frame.deep, chain, -half)
    for level in (frame.flange, frame.rim, 0.0):
        drawing.line((chain - 0.9, level), (_edge(task, level, frame), level), width=THIN)
    named = (("stack.reach", _REACH, frame.rest, frame.flange), ("stack.valve_length", _VALVE, frame.flange,
             frame.rim), ("stack.outlet_height", HEIGHT, frame.rim, 0.0))  # fmt: skip
    blocks = [task.lines(key, name) for key, name, _, _ in named]
    wanted = [(start + end) / 2 for _, _, start, end in named]
    tall = drawing.block_height(blocks[0])
    column = chain - 2.5 - GAP
    levels = spread(wanted, [tall] * len(blocks), 1.0, frame.rest + 0.6, -0.6)
    for lines, level, middle in zip(blocks, levels, wanted, strict=True):
        drawing.block((column, level), lines, "end")
        drawing.line((column + GAP / 2, level), (chain, middle), width=THIN)
    total = column - max(block_width(lines, drawing.letter) for lines in blocks) - 1.5 * GAP
    drawing.dimension_upright(total, frame.rest, frame.deep, chain, chain)
    drawing.block((total - GAP, frame.rest - 1.5), task.lines("stack.stroke", _STROKE), "start", "above")
    foot = frame.deep + max(arrow_tail(frame.deep), GAP) + 0.8
    drawing.block((chain + 0.8, foot), task.lines("stack.set", _SET), "end", "below")


def _edge(task: Task, level: float, frame: _Frame) -> float:
    """Where an extension line of the chain meets its body, on the left."""
    if level == 0.0:
        return -task.mm(BORE) / 2
    if level == frame.rim:
        return -max(_outlet_half(task), _outer(task.mm(_VALVE_BORE) / 2))
    return -max(_outer(task.mm(_VALVE_BORE) / 2), _outer(task.mm(_MACHINE_BORE) / 2))


def _names(drawing: Drawing, task: Task, frame: _Frame) -> None:
    """Right of the stack the parts, the stops of the saw and the least bore, each with its leader."""
    saw, main = task.mm(_SAW) / 2, task.mm(MAIN) / 2
    bore, at = _narrowest(task, frame)
    drawing.dimension_level(at, -bore, bore, at, at)
    valve, machine = (_outer(task.mm(name) / 2) for name in (_VALVE_BORE, _MACHINE_BORE))
    angle = 0.8 * math.degrees(math.asin(_main_half(task) / main))
    named: list[tuple[tuple[Line, ...], Point]] = [
        ((_word(task, "stack.machine"),), (machine, frame.top + 1.5)),
        ((_word(task, "stack.rest"),), (saw, frame.rest)),
        ((_word(task, "stack.valve"),), (valve, frame.flange + 0.3 * (frame.rim - frame.flange))),
        (task.lines("stack.least_bore", _LEAST), (bore, at)),
        ((_word(task, "stack.saddle"),), (_outlet_half(task), 0.4 * frame.rim)),
        ((_word(task, "stack.contact"),), (saw, 0.0)),
        ((_word(task, "stack.deep"),), (saw, frame.deep)),
        ((_word(task, "stack.main"),), arc((0.0, main), main - task.mm(WALL) / 2, 0.0, angle)[-1]),
    ]
    named.sort(key=lambda each: each[1][1])
    heights = [drawing.block_height(lines) for lines, _ in named]
    column, lowest = frame.side + 5.0, frame.low + 3.0 * drawing.letter
    levels = spread([tip[1] for _, tip in named], heights, 0.8, frame.top - 4.0, lowest)
    for (lines, tip), level in zip(named, levels, strict=True):
        drawing.block((column, level), lines)
        drawing.leader((column - GAP / 2, level), tip)
    foot = max(levels[-1] + heights[-1] / 2 + 1.0, frame.low + 1.5)
    drawing.block((column, foot), scale_lines(task, "stack.sketch"), "start", "below")


def _word(task: Task, key: str) -> Line:
    """A name."""
    return Line(task.words[key])


def _narrowest(task: Task, frame: _Frame) -> tuple[float, float]:
    """Half the least bore of the way, and a level inside the part that has it."""
    parts = (
        (task.mm(BORE) / 2, 0.65 * frame.rim),
        (task.mm(_VALVE_BORE) / 2, frame.flange + 0.6 * (frame.rim - frame.flange)),
        (task.mm(_MACHINE_BORE) / 2, (frame.flange + frame.rest) / 2),
    )
    return min(parts, key=lambda part: part[0])
