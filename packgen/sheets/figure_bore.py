"""The saw in the outlet: looked at from the outlet's rim down onto the main, and the hole in the main.

In: the hole saw, its clearance and the least bore it passes; the main's mean bore, and walls where stated.
Out: a `Figure`, or None where one of the first three is missing.
Vocabulary: the *path* is all that the saw passes on its way, outlet, valve and machine; its *least bore* is
the outlet's own where nothing narrower stands on it. The *coupon* is what the saw takes out. The thickness of
the saw's wall is a sketch, and so is that of the bore's where nobody stated it.
Governing text: ISO 128 for lines and cut faces (edition from memory).
"""

from __future__ import annotations

import math
from contextlib import suppress

from packgen.sheets.drawing import (
    DASHED,
    MIDDLE,
    SCALES,
    THICK,
    THIN,
    Drawing,
    Line,
    TooLarge,
    arrow_tail,
    block_width,
)
from packgen.sheets.figure_base import BORE, GAP, MAIN, SADDLE, Figure, Task, Values, Words, make
from packgen.sheets.strokes import ring

_SAW, _CLEARANCE, _LEAST = "tap.hole_saw", "tap.clearance", "tap.least_bore"
_INSIDE = "pipe.main.inside_diameter_mean"
_SHOWN = {
    "saw.least_bore": _LEAST, "saw.outlet_bore": BORE, "saw.hole_saw": _SAW, "saw.clearance": _CLEARANCE,
    "saw.main_bore": _INSIDE,
}  # fmt: skip
_LARGE, _SMALL = 17.0, 12.0  # paper mm: the main's diameter in the small view, beside the other and below it
_APART = 2.2  # paper mm between two blocks of words
_Parts = tuple[tuple[Line, ...], tuple[Line, ...], tuple[Line, ...]]  # clearance, bore, notes


def saw_bore(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """The saw in the least bore of its path; None where saw, clearance or bore is missing.

    Parameters and errors as for `tap_section`.
    """
    task = Task(values, text, words, 1.0)
    if not task.has(_SAW, _CLEARANCE) or _bore(task) is None:
        return None
    return make("saw-bore", _drawing, _SHOWN, values, text, words, width, height)


def _bore(task: Task) -> str | None:
    """The name of the least bore of the path; None where nobody stated one."""
    return next((name for name in (_LEAST, BORE) if task.has(name)), None)


def _drawing(task: Task, letter: float) -> Drawing:
    """The view down the outlet; words and the small view in a column beside it, else in rows below it."""
    with suppress(TooLarge):
        beside = _laid_out(task, letter, below=False)
        if not beside.clashes():
            return beside
    return _laid_out(task, letter, below=True)


def _laid_out(task: Task, letter: float, below: bool) -> Drawing:
    """The whole figure, laid out one way."""
    drawing, name = Drawing(letter, task.within), _bore(task) or BORE
    bore, wall = task.mm(name) / 2, _wall(task, name)
    _from_above(drawing, task, bore, wall)
    _saw_words(drawing, task, bore + wall)
    room = task.row if below else task.lines
    clearance = (*room("saw.clearance", _CLEARANCE), Line(task.words["saw.runout"]))
    least = task.lines("saw.least_bore" if name == _LEAST else "saw.outlet_bore", name)
    parts = (clearance, least, _notes(task))
    if below:
        _words_below(drawing, parts, _plan(task, letter, _SMALL), bore, wall)
    else:
        _words_beside(drawing, parts, _plan(task, letter, _LARGE), bore, wall)
    return drawing


def _wall(task: Task, name: str) -> float:
    """The thickness of what stands round the bore: the saddle's stated wall round its own, else a sketch."""
    return task.mm(SADDLE[2]) if _wall_known(task, name) else 0.12 * task.mm(name)


def _wall_known(task: Task, name: str) -> bool:
    """Whether the wall is drawn as the saddle's: round the outlet's own bore, where it is stated."""
    return name == BORE and task.has(SADDLE[2])


def _notes(task: Task) -> tuple[Line, ...]:
    """The view with its scale, and what is a sketch in it."""
    key = "saw.sketch" if _wall_known(task, _bore(task) or BORE) else "saw.both_sketch"
    return (
        Line(f"{task.words['saw.view']} {task.words['scale']} 1 : {1 / task.unit:g}"),
        Line(task.words[key]),
    )


def _from_above(drawing: Drawing, task: Task, bore: float, wall: float) -> None:
    """The cut wall of the bore, the saw in its middle, the saw's diameter, and the room on one side."""
    centre, saw = (0.0, 0.0), task.mm(_SAW) / 2
    drawing.cut(ring(centre, bore + wall, bore))
    drawing.circle(centre, bore + wall, MIDDLE)
    drawing.circle(centre, bore, MIDDLE)
    drawing.shape(ring(centre, saw, saw - min(0.8, 0.1 * task.mm(_SAW))), 0.0, "#000")
    drawing.dimension_level(0.0, -saw, saw, 0.0, 0.0)
    drawing.dimension_upright(0.0, -bore, -saw, 0.0, 0.0)


def _saw_words(drawing: Drawing, task: Task, outside: float) -> None:
    """The saw's size on both sides of its diameter, over that the coupon; outside where there is no room."""
    name, *size = lines = task.lines("saw.hole_saw", _SAW, True)
    saw, tall = task.mm(_SAW) / 2, drawing.block_height((name,))
    corner = math.hypot(block_width(lines, drawing.letter) / 2, GAP / 2 + drawing.block_height(size))
    inside = corner < saw - 1.2
    if inside:
        drawing.block((0.0, -GAP), (name,), "middle", "above")
        drawing.block((0.0, GAP / 2), size, "middle", "below")
    else:
        drawing.line((-outside - GAP / 2, 0.0), (-saw, 0.0), width=THIN)
        drawing.block((-outside - GAP, 0.0), lines, "end")
    coupon = (Line(task.words["saw.coupon"]),)
    high, low = arrow_tail(0.0) - saw, -2 * GAP - (tall if inside else 0.0)  # below the clearance's line
    if low - high > tall + GAP:
        drawing.block((0.0, (high + low) / 2), coupon, "middle")
        return
    spot = -0.75 * outside - GAP
    drawing.block((spot, spot), coupon, "end")
    drawing.leader((spot + GAP / 2, spot), (-0.55 * saw, -0.55 * saw))


def _words_beside(drawing: Drawing, parts: _Parts, plan: Drawing | None, bore: float, wall: float) -> None:
    """A column right of the view: clearance, bore, the hole in the main, notes."""
    clearance, least, notes = parts
    x, top = bore + wall + 2.5 * GAP, -bore - wall - 1.5
    room = [drawing.block_height(lines) for lines in parts]
    drawing.line((0.0, -bore), (0.0, top), (x - GAP / 2, top), width=THIN)
    y = top - drawing.block_height(clearance[:1]) / 2
    drawing.block((x, y), clearance, "start", "below")
    y += room[0] + _APART
    drawing.block((x, y), least, "start", "below")
    drawing.leader((x - GAP / 2, y + room[1] / 2), (0.94 * bore, -0.34 * bore))
    y += room[1] + 1.5 * _APART
    if plan is not None:
        drawing.take(plan, (x - plan.box[0] - 1.2, y - plan.box[1]))
        y += plan.box[3] - plan.box[1] + 1.5 * _APART
    drawing.block((x, max(y, bore + wall - room[2])), notes, "start", "below")


def _words_below(drawing: Drawing, parts: _Parts, plan: Drawing | None, bore: float, wall: float) -> None:
    """Clearance over the view; under it bore and notes on the left, the hole in the main on the right."""
    clearance, least, notes = parts
    top, low = -bore - wall - 1.5, bore + wall + _APART
    drawing.line((0.0, -bore), (0.0, top - 1.0), width=THIN)
    drawing.block((0.0, top - 1.0 - GAP / 2), clearance, "middle", "above")
    wide = max(block_width(lines, drawing.letter) for lines in (least, notes))
    left = -wide if plan is not None else -wide / 2
    drawing.block((left, low), least, "start", "below")
    drawing.leader((left + 4.0, low - 0.4), (-0.6 * bore, 0.8 * bore))
    low += drawing.block_height(least) + _APART
    drawing.block((left, low), notes, "start", "below")
    if plan is not None:
        drawing.take(plan, (2 * GAP - plan.box[0], bore + wall + _APART - plan.box[1]))


def _plan(task: Task, letter: float, largest: float) -> Drawing | None:
    """The hole in the main from above, the main's bore dashed, at a scale of its own; None without that."""
    if not task.has(MAIN, _INSIDE):
        return None
    scale = next((scale for scale in SCALES if task.values[MAIN] / scale <= largest), SCALES[-1])
    near, drawing = Task(task.values, task.text, task.words, 1 / scale), Drawing(letter)
    radius, inside, hole = near.mm(MAIN) / 2, near.mm(_INSIDE) / 2, near.mm(_SAW) / 2
    half = max(1.3 * radius, hole + 7.0)
    for y in (-radius, radius):
        drawing.line((-half, y), (half, y), width=THICK)
    for y in (-inside, inside):
        drawing.line((-half, y), (half, y), dash=DASHED)
    for x in (-half, half):
        drawing.broken((x, radius), (x, -radius))
    drawing.centre_line((-half - 1.2, 0.0), (half + 1.2, 0.0))
    drawing.circle((0.0, 0.0), hole, MIDDLE, "#fff")
    column = -(hole + half) / 2
    drawing.dimension_upright(column, -inside, inside, column, column)
    drawing.line((column, inside), (column, radius + 1.6), width=THIN)
    lines = (
        *near.lines("saw.main_bore", _INSIDE),
        Line(f"{task.words['saw.plan']} {task.words['scale']} 1 : {scale:g}"),
    )
    drawing.block((-half, radius + 2.0), lines, "start", "below")
    return drawing
