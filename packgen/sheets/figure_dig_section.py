"""The section of the dig sketch: the main, its outlet turned as the job says, and the free ground round both.

In: values of the main, of room and place, and of the outlet where the label or a drawing states them.
Out: a `Drawing` at a scale of its own, which it names, with its words in one column or two.
Vocabulary: the *turn* is the outlet's angle from the top in radians, clockwise as seen by somebody who faces
the way the stations count up.
Governing text: ISO 128 for lines (edition from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from packgen.sheets.drawing import DASHED, MIDDLE, SCALES, THICK, THIN, Drawing, Line, TooLarge
from packgen.sheets.figure_base import BORE, HEIGHT, MAIN, SADDLE, WALL, Task
from packgen.sheets.strokes import Box, Point, arc

AROUND, ABOVE = "place.room_around", "place.room_above"
ANGLE, ARC = "place.clock_angle", "place.arc_from_top"
SHOWN = {
    "dig.room_above": ABOVE, "dig.room_around": AROUND, "dig.clock_angle": ANGLE, "dig.arc_from_top": ARC,
}  # fmt: skip
Named = tuple[tuple[Line, ...], Point | None]  # words, and what a line leads from them to
_APART = 1.6  # paper mm between two blocks of words
_SMALLEST, _LARGEST = 16.0, 45.0  # paper mm: free ground less tall cannot be read, and taller tells no more


@dataclass(frozen=True)
class Setting:
    """How the section is set: its letter height, its words in one column or two, and lines to add to them."""

    letter: float
    columns: int
    notes: tuple[Line, ...]


def turn_of(task: Task) -> float:
    """The outlet's angle from the top in radians, clockwise, −π to π; the top where no job says."""
    degrees = task.values[ANGLE] if task.has(ANGLE) else 0.0
    return math.radians(degrees - 360.0 if degrees > 180.0 else degrees)


def outlet_of(task: Task) -> tuple[float, float]:
    """Half the outlet's width and its height over the main; sketches where no value tells them."""
    wall = task.mm(SADDLE[2]) if task.has(SADDLE[2]) else 0.06 * task.mm(MAIN)
    wide = (task.mm(BORE) / 2 if task.has(BORE) else 0.15 * task.mm(MAIN)) + wall
    return wide, task.mm(HEIGHT) if task.has(HEIGHT) else 0.5 * task.mm(MAIN)


def reach_of(task: Task) -> float:
    """From the main's centre to the end of the free ground where the outlet points."""
    return task.mm(MAIN) / 2 + (task.mm(ABOVE) if task.has(ABOVE) else task.mm(AROUND))


def clear_of(task: Task) -> float:
    """From the main's centre to the edge of the clear ground round it."""
    return task.mm(MAIN) / 2 + task.mm(AROUND)


def ground_of(task: Task) -> Box:
    """Left, top, right and bottom of the free ground, all round the main and where the outlet points."""
    clear, reach, turn = clear_of(task), reach_of(task), turn_of(task)
    tips = [_turned(across, reach, turn) for across in (-_beside(task), _beside(task))]
    xs, ys = [x for x, _ in tips], [y for _, y in tips]
    return min(-clear, *xs), min(-clear, *ys), max(clear, *xs), max(clear, *ys)


def _beside(task: Task) -> float:
    """Half the width kept free round the outlet's axis: a sketch, at least as wide as the main."""
    return max(task.mm(MAIN) / 2, outlet_of(task)[0] + 1.8)


def section(task: Task, setting: Setting, width: float, height: float) -> Drawing:
    """The section at the largest scale that fits a box; where none does, the smallest that can be read."""
    tasks = [Task(task.values, task.text, task.words, 1 / scale) for scale in SCALES]
    readable = [near for near in tasks if _SMALLEST <= _tall(near) <= _LARGEST] or tasks[-1:]
    for near in readable:
        with suppress(TooLarge):
            drawing = _drawn_section(near, Drawing(setting.letter, (width, height)), setting)
            if not drawing.clashes():
                return drawing
    return _drawn_section(readable[-1], Drawing(setting.letter), setting)


def _tall(task: Task) -> float:
    """The height of the free ground on paper."""
    _, top, _, low = ground_of(task)
    return low - top


def fits(drawing: Drawing, width: float, height: float) -> bool:
    """Whether a drawing is no larger than a box."""
    left, top, right, bottom = drawing.box
    return right - left <= width and bottom - top <= height


def _drawn_section(task: Task, drawing: Drawing, setting: Setting) -> Drawing:
    """The main in section with its outlet, the free ground dashed round it, and what is what beside it."""
    radius, turn, clear = task.mm(MAIN) / 2, turn_of(task), clear_of(task)
    left, top, right, low = ground_of(task)
    drawing.shape(((left, top), (right, top), (right, low), (left, low)), MIDDLE, dash=DASHED)
    _tube(drawing, task, turn)
    drawing.circle((0.0, 0.0), radius, THICK, "#fff")
    if task.has(WALL) and task.mm(WALL) > 1.0:
        drawing.circle((0.0, 0.0), radius - task.mm(WALL), MIDDLE)
    drawing.dimension_upright(0.0, radius, clear, 0.0, 0.0)
    targets: dict[str, Point] = {AROUND: (0.0, (radius + clear) / 2)}
    targets[MAIN] = (_free_side(turn) * radius * math.cos(0.3), radius * math.sin(0.3))
    if task.has(ABOVE):
        targets[ABOVE] = _above_line(drawing, task, turn)
    if task.has(ARC) and turn:
        _arc_line(drawing, radius, turn)
    _section_words(drawing, task, targets, setting)
    return drawing


def _tube(drawing: Drawing, task: Task, turn: float) -> None:
    """The outlet, from the main's centre outwards; the main is drawn over its foot."""
    wide, height = outlet_of(task)
    rim = task.mm(MAIN) / 2 + height
    corners = ((-wide, 0.0), (-wide, rim), (wide, rim), (wide, 0.0))
    drawing.shape((_turned(across, along, turn) for across, along in corners), THICK, "#fff")


def _turned(across: float, along: float, turn: float) -> Point:
    """A point beside the outlet's axis: so far across it, clockwise, and so far along it."""
    return (
        across * math.cos(turn) + along * math.sin(turn),
        across * math.sin(turn) - along * math.cos(turn),
    )


def _above_line(drawing: Drawing, task: Task, turn: float) -> Point:
    """The dimension from the main's surface to the end of the free ground; returns its middle."""
    radius, reach = task.mm(MAIN) / 2, reach_of(task)
    beside = (outlet_of(task)[0] + 1.8) * _free_side(turn)
    foot, head = _turned(beside, radius, turn), _turned(beside, reach, turn)
    drawing.line(_turned(0.0, radius, turn), _turned(1.2 * beside, radius, turn), width=THIN)
    drawing.line(foot, head, width=THIN)
    way = (math.sin(turn), -math.cos(turn))
    drawing.arrowhead(foot, (-way[0], -way[1]))
    drawing.arrowhead(head, way)
    return ((foot[0] + head[0]) / 2, (foot[1] + head[1]) / 2)


def _free_side(turn: float) -> int:
    """The side on which words stand: right (1), or left (−1) where the outlet points to the right."""
    return -1 if turn > 0 else 1


def _arc_line(drawing: Drawing, radius: float, turn: float) -> None:
    """The way round the main from its top to the outlet's middle."""
    beyond = radius + 1.5
    drawing.line((0.0, -radius), (0.0, -beyond - 1.5), width=THIN)
    run = arc((0.0, 0.0), beyond, 0.0, math.degrees(turn))
    drawing.line(*run, width=THIN)
    sign = math.copysign(1.0, turn)
    drawing.arrowhead(run[-1], (sign * math.cos(turn), sign * math.sin(turn)))


def _section_words(drawing: Drawing, task: Task, targets: Mapping[str, Point], setting: Setting) -> None:
    """What the section shows: its title and the outlet's angle, then the lengths with a line to each."""
    words, (left, top, right, low) = task.words, ground_of(task)
    title = (
        Line(f"{words['dig.section']} {words['scale']} 1 : {1 / task.unit:g}", True),
        Line(words["dig.facing"]),
    )
    angle: tuple[Line, ...] = (Line(words["dig.open_angle"]),)
    if task.has(ANGLE, ARC):
        angle = task.row("dig.clock_angle", ANGLE)
        angle += task.lines("dig.arc_from_top", ARC) if task.values[ARC] else ()
    keys = {ABOVE: "dig.room_above", MAIN: "dig.outside_diameter", AROUND: "dig.room_around"}
    named: list[Named] = [
        (task.lines(key, name), targets[name]) for name, key in keys.items() if name in targets
    ]
    plain: list[Named] = [((*title, *angle, *setting.notes), None)]
    side, middle = _free_side(turn_of(task)), (top + low) / 2
    edges = {1: right + 4.0, -1: left - 4.0}
    if setting.columns == 1:
        _column(drawing, [*plain, *named], edges[side], middle, side)
    else:
        _column(drawing, plain, edges[-side], middle, -side)
        _column(drawing, named, edges[side], middle, side)


def _column(drawing: Drawing, blocks: Sequence[Named], x: float, middle: float, side: int) -> None:
    """Blocks of words one below the other about a height, each with a line to what it names."""
    heights = [drawing.block_height(lines) for lines, _ in blocks]
    y = middle - (sum(heights) + _APART * (len(heights) - 1)) / 2
    for (lines, target), tall in zip(blocks, heights, strict=True):
        drawing.block((x, y), lines, "start" if side > 0 else "end", "below")
        if target:
            drawing.leader((x - side * 0.6, y + tall / 2), target)
        y += tall + _APART
