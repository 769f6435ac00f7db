"""The dig sketch: the main from above with its neighbours, and in section with the room the work needs.

In: values of the main, of spacing, room and place, and of the fitting where its label or drawing states them.
Out: a `Figure`, or None where the main or the room round it is missing.
Vocabulary: a *neighbour* is the nearest saddle, other fitting, pipe end or squeeze; it is drawn at its
measured distance, else at the least one with the sign ≥; *free* is what the dig must lay open. Stations
count up to the right, so three o'clock lies below the main's centre line in the view from above.
Governing text: ISO 128 for lines and broken edges (edition from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby

from packgen.errors import ContentError
from packgen.sheets.drawing import DASHED, MIDDLE, THICK, THIN, Drawing, Line, block_width
from packgen.sheets.figure_base import GAP, MAIN, SADDLE, Figure, Task, Values, Words, make
from packgen.sheets.figure_dig_section import (
    AROUND,
    SHOWN,
    Setting,
    fits,
    ground_of,
    outlet_of,
    section,
    turn_of,
)

_BASE, _ZONE, _ALONG = "fitting.base_length", "peel.zone_length", "place.room_along"
# What: side of the saddle (−1 left), word, word before a least distance, least distance.
_NEAR = {
    "squeeze": (-1, "dig.squeeze", "dig.squeeze_least", "squeeze.distance_min"),
    "saddle": (-1, "dig.saddle", "dig.saddle_least", "spacing.saddle_to_saddle"),
    "fitting": (1, "dig.fitting", "dig.fitting_least", "spacing.saddle_to_fitting"),
    "pipe_end": (1, "dig.pipe_end", "dig.pipe_end_least", "spacing.saddle_to_pipe_end"),
}
# Real mm: a neighbour farther off is drawn here, behind a break in the main; the first that fits is taken.
_FARTHEST = (2500.0, 1500.0, 1000.0, 600.0, 300.0)
_LEVEL = 3.5  # paper mm from one thing to the next dimension line
_BETWEEN = 4.0  # paper mm between plan and section


@dataclass(frozen=True)
class Neighbour:
    """One neighbour: what it is, its side (−1 left), its word, its value, how far off it is drawn."""

    what: str
    side: int
    key: str
    name: str
    drawn: float
    broken: bool


def dig_sketch(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """Plan and section of the place to dig; None where the main or the room round it is missing.

    Parameters and errors as for `tap_section`. Distances run from the edge of the saddle's base.
    """
    task = Task(values, text, words, 1.0)
    if not task.has(MAIN, AROUND):
        return None
    for farthest in _FARTHEST:
        neighbours = _neighbours(task, farthest)
        shown = {"dig.outside_diameter": MAIN, "dig.room_along": _ALONG}
        shown |= {near.key: near.name for near in neighbours} | SHOWN
        draw = partial(_draw, neighbours=neighbours)
        try:
            return make("dig-sketch", draw, shown, values, text, words, width, height)
        except ContentError:
            if farthest == _FARTHEST[-1]:
                raise
    return None


def _neighbours(task: Task, farthest: float) -> tuple[Neighbour, ...]:
    """The neighbours that have a distance, each side's nearer one first.

    What lies beyond the pipe's end is drawn on the other side: there is no main for it on this one. A fitting
    so moved changes places with the squeeze, where that is nearer than the pipe's end.
    """
    found = []
    for what, (side, word, least_word, least) in _NEAR.items():
        measured = f"spacing.measured_{what}"
        key, name = (word, measured) if task.has(measured) else (least_word, least)
        if task.has(name):
            away = task.values[name]
            found.append(Neighbour(what, side, key, name, min(away, farthest), away > farthest))
    end = min((task.values[near.name] for near in found if near.what == "pipe_end"), default=math.inf)
    within = {near.what for near in found if task.values[near.name] <= end}
    turned = {near.what: -1 for near in found if near.what not in within and near.what != "pipe_end"}
    if "fitting" in turned and "squeeze" in within:
        turned["squeeze"] = 1
    found = [replace(near, side=turned.get(near.what, near.side)) for near in found]
    return tuple(sorted(found, key=lambda near: (near.side, task.values[near.name])))


def _draw(task: Task, letter: float, neighbours: tuple[Neighbour, ...]) -> Drawing:
    """The view from above; the section beside it where there is room, else below it."""
    (width, height), notes = task.within, _notes(task, neighbours)
    drawing = Drawing(letter, task.within)
    _plan(drawing, task, neighbours)
    left, top, right, bottom = drawing.box
    room = width - (right - left) - _BETWEEN
    beside = section(task, Setting(letter, 1, notes), room, height)
    if fits(beside, room, height):
        at = (right + _BETWEEN - beside.box[0], (top + bottom - beside.box[1] - beside.box[3]) / 2)
        drawing.take(beside, at)
        return drawing
    # Where it fits below neither, the drawing is too tall for this scale, and the caller sees it.
    below = section(task, Setting(letter, 2, notes), width, height - (bottom - top) - _BETWEEN)
    at = ((left + right - below.box[0] - below.box[2]) / 2, bottom + _BETWEEN - below.box[1])
    drawing.take(below, at)
    return drawing


def _half_base(task: Task) -> float:
    """Half the saddle's length along the main; as long as the main is wide where nobody stated it."""
    return (task.mm(_BASE) if task.has(_BASE) else task.mm(MAIN)) / 2


def _away(task: Task, near: Neighbour) -> float:
    """A neighbour's near edge on paper, from the middle of the saddle."""
    return _half_base(task) + near.drawn * task.unit


def _plan(drawing: Drawing, task: Task, neighbours: tuple[Neighbour, ...]) -> None:
    """The main from above: free ground, saddle, neighbours, distances, and the words below them."""
    radius = task.mm(MAIN) / 2
    ends = {side: _end(task, neighbours, side) for side in (-1, 1)}
    for y in (-radius, radius):
        drawing.line((-ends[-1], y), (ends[1], y), width=THICK)
    drawing.centre_line((-ends[-1] - 1.5, 0.0), (ends[1] + 1.5, 0.0))
    for side, end in ends.items():
        if not any(near.what == "pipe_end" and near.side == side for near in neighbours):
            drawing.broken((side * end, radius), (side * end, -radius))
    for near in reversed(neighbours):
        _body(drawing, task, near)
    top, low = _ground(drawing, task, ends)
    _own_saddle(drawing, task)
    if task.has(_ALONG):
        half = task.mm(_ALONG) / 2
        drawing.dimension_level(top - _LEVEL, -half, half, top, top)
        drawing.block((0.0, top - _LEVEL - GAP), task.row("dig.room_along", _ALONG), "middle", "above")
    for side in (-1, 1):
        _distances(drawing, task, [near for near in neighbours if near.side == side], low)
    _caption(drawing, task)


def _end(task: Task, neighbours: tuple[Neighbour, ...], side: int) -> float:
    """How far the main is drawn to one side: to its end, or a little beyond all that is shown."""
    here = [near for near in neighbours if near.side == side]
    end = next((_away(task, near) for near in here if near.what == "pipe_end"), None)
    if end is not None:
        return end
    shown = [_away(task, near) + _long(task, near) for near in here]
    return max([*shown, (task.mm(_ALONG) if task.has(_ALONG) else 0.0) / 2, _half_base(task)]) + 4.0


def _long(task: Task, near: Neighbour) -> float:
    """How long a neighbour is drawn: a saddle like ours, a fitting as long as the main is wide."""
    lengths = {"saddle": 2 * _half_base(task), "fitting": task.mm(MAIN), "squeeze": task.mm(MAIN) / 4}
    return lengths.get(near.what, 0.0)


def _body(drawing: Drawing, task: Task, near: Neighbour) -> None:
    """A neighbour on the main, and the break before one that is too far off to draw."""
    radius, start = task.mm(MAIN) / 2, near.side * _away(task, near)
    end = start + near.side * _long(task, near)
    if near.what == "pipe_end":
        drawing.line((start, -radius), (start, radius), width=THICK)
    else:
        tall = radius * {"saddle": 0.8, "fitting": 1.25, "squeeze": 1.6}[near.what]
        drawing.shape(((start, -tall), (end, -tall), (end, tall), (start, tall)), MIDDLE, "#fff")
    if near.what == "saddle":
        drawing.circle(((start + end) / 2, 0.0), min(outlet_of(task)[0], 0.6 * radius))
    if near.broken:
        _break(drawing, start - near.side * 4.0, radius)


def _break(drawing: Drawing, x: float, radius: float) -> None:
    """A gap in the main between two slanting lines: some of its length is left out."""
    over = radius + 0.8
    gap = ((x - 1.4, over), (x - 0.2, -over), (x + 1.4, -over), (x + 0.2, over))
    drawing.shape(gap, 0.0, "#fff")
    for edge in (x - 0.8, x + 0.8):
        drawing.line((edge - 0.6, over), (edge + 0.6, -over), width=THIN)


def _ground(drawing: Drawing, task: Task, ends: Mapping[int, float]) -> tuple[float, float]:
    """The edge of the free ground, dashed; open at its ends where the free length is not known."""
    left, _, right, _ = ground_of(task)
    top, low = left, right  # from above: what the section shows on its right lies below
    if task.has(_ALONG):
        half = task.mm(_ALONG) / 2
        drawing.shape(((-half, top), (half, top), (half, low), (-half, low)), MIDDLE, dash=DASHED)
    else:
        for y in (top, low):
            drawing.line((-ends[-1], y), (ends[1], y), dash=DASHED)
    return top, low


def _own_saddle(drawing: Drawing, task: Task) -> None:
    """The zone to peel, this joint's saddle on it, and its outlet, turned as the job says."""
    radius, half, turn = task.mm(MAIN) / 2, _half_base(task), turn_of(task)
    spread = math.radians(task.values[SADDLE[1]]) if task.has(SADDLE[1]) else math.radians(60.0)
    far, near = (
        radius * math.sin(max(-math.pi / 2, min(math.pi / 2, turn + way * spread))) for way in (-1, 1)
    )
    if task.has(_ZONE):
        for x in (-task.mm(_ZONE) / 2, task.mm(_ZONE) / 2):
            drawing.line((x, -radius), (x, radius), width=THIN)
    drawing.shape(((-half, far), (half, far), (half, near), (-half, near)), THICK, "#fff")
    wide, height = outlet_of(task)
    start, rim = radius * math.sin(turn), (radius + height) * math.sin(turn)
    if abs(rim - start) < wide:
        drawing.circle((0.0, start), wide, THICK, "#fff")
    else:
        drawing.shape(((-wide, start), (wide, start), (wide, rim), (-wide, rim)), THICK, "#fff")


def _distances(drawing: Drawing, task: Task, neighbours: list[Neighbour], low: float) -> None:
    """One side's distances, the nearest first, on levels below the free ground; equal ones share a line."""
    level = low + _LEVEL
    for away, equal in groupby(neighbours, partial(_away, task)):
        same = list(equal)
        farther = [_away(task, near) for near in neighbours if _away(task, near) > away]
        level = _level(drawing, task, same, farther, level) + _LEVEL


def _level(drawing: Drawing, task: Task, same: list[Neighbour], farther: list[float], level: float) -> float:
    """One dimension line and its words, as few lines of them as the room gives; returns where they end."""
    side, away, edge, radius = same[0].side, _away(task, same[0]), _half_base(task), task.mm(MAIN) / 2
    rows = [line for near in same for line in task.row(near.key, near.name)]
    whole = [line for near in same for line in task.lines(near.key, near.name)]
    split = [line for near in same for line in task.lines(near.key, near.name, True)]
    room = min(farther, default=math.inf) - edge - 2 * GAP
    lines = next(
        (lines for lines in (rows, whole, split) if block_width(lines, drawing.letter) <= room), None
    )
    start, end = sorted((side * away, side * edge))
    drawing.dimension_level(level, start, end, radius, radius)
    anchor = "end" if side < 0 else "start"
    if lines is not None:
        drawing.block((side * (edge + GAP), level + GAP), lines, anchor, "below")
        return level + GAP + drawing.block_height(lines)
    # No room below the line: beyond everything, at the end of a thin line.
    beyond = max(farther) + 4.0
    drawing.line((side * away, level), (side * beyond, level), width=THIN)
    drawing.block((side * (beyond + GAP), level), split, anchor)
    return level + drawing.block_height(split) / 2


def _caption(drawing: Drawing, task: Task) -> None:
    """Below all: the view with its scale, and which way the stations count."""
    left, _, right, low = drawing.box
    view = (Line(f"{task.words['dig.view']} {task.words['scale']} 1 : {1 / task.unit:g}", True),)
    up, top = (Line(task.words["dig.up"]),), low + 1.5
    drawing.block((left, top), view, "start", "below")
    widths = block_width(view, drawing.letter) + block_width(up, drawing.letter)
    tip = max(right, left + widths + 12.0)
    drawing.block((tip - 7.0, top), up, "end", "below")
    middle = top + drawing.block_height(up) / 2
    drawing.leader((tip - 6.0, middle), (tip, middle))


def _notes(task: Task, neighbours: tuple[Neighbour, ...]) -> tuple[Line, ...]:
    """What the view from above cannot show as it is."""
    notes = [Line(task.words["dig.either"])] if neighbours else []
    notes += [Line(task.words["dig.broken"])] if any(near.broken for near in neighbours) else []
    return tuple(notes)
