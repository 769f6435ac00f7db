"""The clamp closed and the gap proved: the section, the saddle's edge enlarged, where the feeler is tried.

In: the main's diameter and the feeler; the saddle, the clamp's screws or its stop mark, and the free gap
where they are stated or worked.
Out: a `Figure`, or None where main or feeler is missing.
Vocabulary: the *edge* is where the saddle's bore ends on the main; a *detail* is a place of the section
enlarged, A clamped with the feeler against the edge, B before clamping with the widest free gap. What tells a
clamp with screws or bolts is their count, and a strap its stop mark. The clamp is a sketch always, the saddle
where nobody stated it.
Governing text: ISO 128 for lines, cut faces and broken edges (edition from memory).
"""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import dataclass

from packgen.calc.gap import free_gap
from packgen.sheets.drawing import MIDDLE, SCALES, THICK, Drawing, Line, TooLarge
from packgen.sheets.figure_base import BORE, HEIGHT, MAIN, SADDLE, WALL, Figure, Task, Values, Words, make
from packgen.sheets.strokes import Point, arc, ring

_FEELER, _FREE, _SCREWS, _STOP = "gap.feeler", "gap.free_gap_max", "clamp.screws", "clamp.stop_mark"
_BASE = "fitting.base_length"
_BANDS = (
    "pipe.main.outside_diameter_min", "pipe.main.outside_diameter_max", "peel.depth_min", "peel.depth_max",
)  # fmt: skip
_ENLARGED = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0)
_TALLEST = 6.0  # paper mm: feeler and free gap stand no taller in a card's detail
_PIECE, _BLADE, _SADDLE, _PIPE = 12.0, 13.0, 8.0, 3.5  # paper mm: the parts of a detail of a card
_LARGER = 1.6  # details and plan beside the section, against those of a card
_STRAP_NEAR, _STRAP_FAR = 0.3, 1.5  # paper mm: a strap's inside and outside, off what it lies on
_BETWEEN = 3.0  # paper mm between two parts of the figure


def clamp_gap(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """The clamped saddle and its gap; None where main or feeler is missing.

    Parameters and errors as for `tap_section`.
    """
    task = Task(values, text, words, 1.0)
    if not task.has(MAIN, _FEELER):
        return None
    shown = {"clamp.main": MAIN, "clamp.feeler": _FEELER}
    if _free_key(task):
        shown[_free_key(task)] = _FREE
    return make("clamp-gap", _drawing, shown, values, text, words, width, height)


@dataclass(frozen=True)
class _Saddle:
    """The saddle on paper: radius it sits on, wall, half-angle in radians, whether that is stated."""

    radius: float
    wall: float
    spread: float
    known: bool

    @property
    def edge(self) -> Point:
        """Where its bore ends on the main, on the right."""
        return self.radius * math.sin(self.spread), -self.radius * math.cos(self.spread)


def _saddle_of(task: Task) -> _Saddle:
    """The saddle, clamped: it sits on the main's surface."""
    radius = task.mm(MAIN) / 2
    if task.has(*SADDLE):
        return _Saddle(radius, task.mm(SADDLE[2]), math.radians(task.values[SADDLE[1]]), True)
    return _Saddle(radius, 0.2 * radius, math.radians(50.0), False)


def _free_key(task: Task) -> str:
    """The words for the place of the widest free gap, at the edge or beside the outlet; empty without one."""
    if not task.has(_FREE, *SADDLE[:2], *_BANDS):
        return ""
    least, greatest, shallow, deep = (task.values[name] for name in _BANDS)
    bore, angle = task.values[SADDLE[0]], task.values[SADDLE[1]]
    small, large = least / 2 - deep, greatest / 2 - shallow
    worst = max((small, large), key=lambda radius: free_gap(bore, angle, radius))
    return "clamp.gap_edge" if worst < bore else "clamp.gap_crown"


def _drawing(task: Task, letter: float) -> Drawing:
    """The figure at one scale: all parts beside each other where the box is wide enough for that."""
    section = _section(task, letter)
    with suppress(TooLarge):
        return _laid_out(task, section, wide=True)
    return _laid_out(task, section, wide=False)


def _laid_out(task: Task, section: Drawing, wide: bool) -> Drawing:
    """The section with larger details and plan beside it, or with the plan beside and the details below."""
    letter, drawing = section.letter, Drawing(section.letter, task.within)
    drawing.take(section, (0.0, 0.0))
    plan = _plan(task, letter, 22.0 if wide else 13.0)
    grow = _LARGER if wide else 1.0
    near = _enlarged(task, grow)
    details = _row([_clamped(near, letter, grow), *_unclamped(near, letter, grow)], letter)
    notes, (left, top, right, low) = _notes(task, near), drawing.box
    if wide:
        drawing.block(((left + right) / 2, low + 1.4), notes, "middle", "below")
        x = right + 3 * _BETWEEN
        drawing.take(details, (x - details.box[0], top - details.box[1]))
        below = top + details.box[3] - details.box[1] + 2 * _BETWEEN
        drawing.take(plan, (x - plan.box[0], below - plan.box[1]))
        return drawing
    plan.block(((plan.box[0] + plan.box[2]) / 2, plan.box[3] + 1.4), notes, "middle", "below")
    drawing.take(plan, (right + _BETWEEN - plan.box[0], top - plan.box[1]))
    left, _, right, low = drawing.box
    middle = (left + right - details.box[0] - details.box[2]) / 2
    drawing.take(details, (middle, low + _BETWEEN - details.box[1]))
    return drawing


def _row(parts: list[Drawing], letter: float) -> Drawing:
    """Parts side by side, their tops on one level."""
    row, x = Drawing(letter), 0.0
    for part in parts:
        row.take(part, (x - part.box[0], -part.box[1]))
        x += part.box[2] - part.box[0] + _BETWEEN
    return row


def _section(task: Task, letter: float) -> Drawing:
    """Main, saddle, outlet and clamp across the main, and the details' letters in it."""
    drawing, saddle = Drawing(letter, task.within), _saddle_of(task)
    radius = saddle.radius
    inside = radius - task.mm(WALL) if task.has(WALL) else radius
    if inside < radius:
        drawing.cut(ring((0.0, 0.0), radius, inside))
        drawing.circle((0.0, 0.0), inside, MIDDLE)
    drawing.circle((0.0, 0.0), radius, THICK)
    bolted = _SCREWS in task.text
    lug = _lug(saddle) if bolted else 0.0
    _saddle_body(drawing, task, saddle, lug)
    if bolted:
        _under_clamp(drawing, saddle, lug)
    elif _STOP in task.text:
        _strap(drawing, saddle)
    _letters(drawing, task, saddle, inside)
    return drawing


def _screw(saddle: _Saddle) -> float:
    """Half the thickness of a clamp screw: a sketch."""
    return max(0.5, 0.04 * saddle.radius)


def _lug(saddle: _Saddle) -> float:
    """How far from the axis a lug of the clamp reaches: a sketch, beyond the main."""
    return max(saddle.radius + saddle.wall, saddle.radius + 2.0) + 5.0 * _screw(saddle)


def _saddle_body(drawing: Drawing, task: Task, saddle: _Saddle, lug: float) -> None:
    """The saddle cut, with its outlet, and a lug on each side where screws or bolts draw it down."""
    radius, wall, outer = saddle.radius, saddle.wall, saddle.radius + saddle.wall
    degrees, y = math.degrees(saddle.spread), saddle.edge[1]
    bore = task.mm(BORE) / 2 if task.has(BORE) else 0.0
    cut = bool(bore) and bore + wall < 0.95 * outer * math.sin(saddle.spread)
    inner = (bore, bore + wall) if cut else (0.0, 0.0)
    start, over = (math.degrees(math.asin(part / r)) for part, r in zip(inner, (radius, outer), strict=True))
    edge: tuple[Point, ...] = ((lug, y), (lug, y - wall)) if lug else ()
    # A lug meets the saddle's outside where that has risen to the lug's top.
    meets = math.degrees(math.acos(min(1.0, (wall - y) / outer))) if lug else degrees
    top = _rim(task, saddle)
    neck: tuple[Point, ...] = ((inner[1], top), (inner[0], top)) if cut else ()
    under = arc((0.0, 0.0), radius, start, degrees)
    half = (*under, *edge, *arc((0.0, 0.0), outer, max(meets, over), over), *neck)
    for side in (1, -1):
        points = tuple((side * u, v) for u, v in half)
        drawing.cut(points, -1)
        if cut:
            drawing.line(points[-1], *points[:-1], width=MIDDLE)
            _end(drawing, task, saddle, points[-2], points[-1])
        else:
            drawing.line(*points, width=MIDDLE)
    if not cut:
        _tube(drawing, task, saddle, top)


def _rim(task: Task, saddle: _Saddle) -> float:
    """The height at which the drawn outlet ends: its rim, or lower where a tall one is broken off."""
    shown = saddle.wall + 3.0
    return -saddle.radius - (min(task.mm(HEIGHT), shown) if task.has(HEIGHT) else shown)


def _end(drawing: Drawing, task: Task, saddle: _Saddle, a: Point, b: Point) -> None:
    """The end of the outlet between two points: its rim, or a broken edge."""
    whole = task.has(HEIGHT) and -saddle.radius - task.mm(HEIGHT) >= a[1] - 1e-6
    if whole:
        drawing.line(a, b, width=MIDDLE)
    else:
        drawing.broken(a, b)


def _tube(drawing: Drawing, task: Task, saddle: _Saddle, top: float) -> None:
    """An outlet or tower whose bore nobody stated, from the side: its width is a sketch."""
    half = 0.3 * saddle.radius
    foot = -math.sqrt((saddle.radius + saddle.wall) ** 2 - half**2)
    drawing.shape(((-half, foot), (-half, top), (half, top), (half, foot)), 0.0, "#fff")
    for x in (-half, half):
        drawing.line((x, foot), (x, top), width=MIDDLE)
    _end(drawing, task, saddle, (-half, top), (half, top))


def _under_clamp(drawing: Drawing, saddle: _Saddle, lug: float) -> None:
    """The other half of the clamp below the main, cut, and a screw or bolt on each side in view."""
    radius, wall, size = saddle.radius, saddle.wall, _screw(saddle)
    angle = max(math.degrees(saddle.spread) + 20.0, 100.0)
    high = -radius * math.cos(math.radians(angle))
    x, outer = lug - 2.5 * size, radius + wall
    meets = 180.0 - math.degrees(math.acos(min(1.0, (high + wall) / outer)))
    for side in (1, -1):
        run = (*arc((0.0, 0.0), radius, 180.0, angle), (lug, high), (lug, high + wall),
               *arc((0.0, 0.0), outer, max(meets, angle), 180.0))  # fmt: skip
        points = tuple((side * u, v) for u, v in run)
        drawing.cut(points, -1)
        drawing.line(*points, width=MIDDLE)
        low, head = saddle.edge[1] - wall, 1.5 * size
        for half, a, b in ((size, low, high + wall + 2 * head), (2 * size, low - head, low),
                           (2 * size, high + wall, high + wall + head)):  # fmt: skip
            corners = ((x - half, a), (x + half, a), (x + half, b), (x - half, b))
            drawing.shape(tuple((side * u, v) for u, v in corners), MIDDLE, "#fff")
        drawing.centre_line((side * x, low - head - 1.2), (side * x, high + wall + 2 * head + 1.2))


def _strap(drawing: Drawing, saddle: _Saddle) -> None:
    """A strap from one side of the saddle round the main to the other: a thin cut part, drawn solid."""
    degrees, main, on_saddle = math.degrees(saddle.spread), saddle.radius, saddle.radius + saddle.wall

    def run(off: float) -> tuple[Point, ...]:
        over = arc((0.0, 0.0), on_saddle + off, 0.72 * degrees, degrees + math.degrees(off / on_saddle))
        return (*over, *arc((0.0, 0.0), main + off, degrees + math.degrees(off / main), 180.0))

    band = (*run(_STRAP_NEAR), *reversed(run(_STRAP_FAR)))
    for side in (1, -1):
        drawing.shape(((side * x, y) for x, y in band), 0.0, "#000")


def _letters(drawing: Drawing, task: Task, saddle: _Saddle, inside: float) -> None:
    """In the main: the letter of each detail with a line to its place, and the main's name."""
    x, y = saddle.edge
    near = 0.45 * inside
    marks = [(1, "clamp.mark_a", saddle.edge)]
    key = _free_key(task)
    if key:
        bore = task.mm(BORE) / 2 if task.has(BORE) else 0.0
        crown = min(bore, 0.7 * x)
        at = (-x, y) if key == "clamp.gap_edge" else (-crown, -math.sqrt(saddle.radius**2 - crown**2))
        marks.append((-1, "clamp.mark_b", at))
    for side, mark, at in marks:
        spot = (side * near * 0.8, -0.3 * inside)
        drawing.block(spot, (Line(task.words[mark], True),), "middle")
        length = math.hypot(at[0] - spot[0], at[1] - spot[1])
        clear = 0.75 * drawing.letter / length
        drawing.leader((spot[0] + clear * (at[0] - spot[0]), spot[1] + clear * (at[1] - spot[1])), at)
    drawing.block((0.0, 0.3 * inside), (Line(task.words["clamp.main"]),), "middle")


def _notes(task: Task, near: Task) -> tuple[Line, ...]:
    """What closes the clamp, the scales of section and details, and what is a sketch."""
    words = task.words
    if _SCREWS in task.text:
        clamp, sketch = f"{words['clamp.clamp']} {task.text[_SCREWS]}", "clamp.sketch"
    elif _STOP in task.text:
        clamp, sketch = words["clamp.strap"], "clamp.sketch"
    else:
        clamp, sketch = words["clamp.not_drawn"], ""
    if not task.has(*SADDLE):
        sketch = "clamp.both_sketch" if sketch else "clamp.saddle_sketch"
    details = words["clamp.details" if _free_key(task) else "clamp.detail"]
    lines = [
        Line(clamp, True),
        Line(f"{words['clamp.section']} {words['scale']} 1 : {1 / task.unit:g}"),
        Line(f"{details} {words['scale']} {near.unit:g} : 1"),
    ]
    return (*lines, Line(words[sketch])) if sketch else tuple(lines)


def _enlarged(task: Task, grow: float) -> Task:
    """The same values as large as the feeler and the free gap can stand in a detail."""
    tallest = max(task.values[_FEELER], task.values[_FREE] if _free_key(task) else 0.0)
    fitting = (scale for scale in _ENLARGED if tallest * scale <= _TALLEST * grow)
    return Task(task.values, task.text, task.words, next(fitting, _ENLARGED[-1]))


def _pieces(drawing: Drawing, grow: float, foot: float) -> None:
    """A piece of the main's cut wall, its surface on the datum, and of the saddle's with its bore at `foot`.

    Both are broken off; the saddle's edge stands over the datum's point.
    """
    start, end, deep = -_PIECE * grow, _BLADE * grow + 1.0, _PIPE * grow
    top = min(-_SADDLE * grow, foot - 3.0)
    drawing.cut(((start, 0.0), (end, 0.0), (end, deep), (start, deep)))
    drawing.line((start, 0.0), (end, 0.0), width=MIDDLE)  # thick lines would hide a narrow gap
    drawing.broken((start, deep), (end, deep))
    drawing.cut(((start, foot), (0.0, foot), (0.0, top), (start, top)), -1)
    drawing.line((start, foot), (0.0, foot), (0.0, top), width=MIDDLE)
    drawing.broken((start, top), (0.0, top))


def _clamped(near: Task, letter: float, grow: float) -> Drawing:
    """Detail A: the edge on the main, the feeler against it, its thickness, and that it does not enter."""
    drawing, thick, end = Drawing(letter), near.mm(_FEELER), _BLADE * grow
    _pieces(drawing, grow, 0.0)
    foot, tip = -MIDDLE / 2, MIDDLE
    drawing.shape(((tip, foot), (end, foot), (end, foot - thick), (tip, foot - thick)), MIDDLE, "#fff")
    drawing.leader((end - 2.0, foot - thick / 2), (tip + 1.5, foot - thick / 2))
    drawing.dimension_upright(end + 3.0, foot - thick, foot, end, end + 1.0)
    lines = (
        Line(near.words["clamp.detail_a"], True),
        *near.lines("clamp.feeler", _FEELER),
        Line(near.words["clamp.stays_out"], True),
    )
    drawing.block((-_PIECE * grow, drawing.box[3] + 1.0), lines, "start", "below")
    return drawing


def _unclamped(near: Task, letter: float, grow: float) -> tuple[Drawing, ...]:
    """Detail B: the widest free gap, which the clamp closes; none where it is not worked."""
    key = _free_key(near)
    if not key:
        return ()
    drawing, gap = Drawing(letter), near.mm(_FREE)
    _pieces(drawing, grow, -gap)
    drawing.dimension_upright(3.0, -gap, 0.0, 0.4, 3.0)
    lines = (
        Line(near.words["clamp.detail_b"], True),
        *near.lines(key, _FREE),
        Line(near.words["clamp.closes"]),
    )
    drawing.block((-_PIECE * grow, drawing.box[3] + 1.0), lines, "start", "below")
    return (drawing,)


def _plan(task: Task, letter: float, largest: float) -> Drawing:
    """The saddle's base from above with the four sides where the feeler is tried, at a scale of its own."""
    long = task.values[_BASE] if task.has(_BASE) else task.values[MAIN]
    tallest = max(long, task.values[MAIN])
    scale = next((scale for scale in SCALES if tallest / scale <= largest), SCALES[-1])
    near, drawing = Task(task.values, task.text, task.words, 1 / scale), Drawing(letter)
    saddle = _saddle_of(near)
    radius, half, side = saddle.radius, long / scale / 2, saddle.edge[0]
    out = half + 6.5
    for y in (-radius, radius):
        drawing.line((-out, y), (out, y), width=MIDDLE)
    for x in (-out, out):
        drawing.broken((x, radius), (x, -radius))
    drawing.shape(((-half, -side), (half, -side), (half, side), (-half, side)), THICK, "#fff")
    drawing.circle((0.0, 0.0), near.mm(BORE) / 2 if near.has(BORE) else 0.3 * radius)
    for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        tip = (x * half, y * side)
        drawing.leader((tip[0] + 5.5 * x, tip[1] + 5.5 * y), tip)
    words = near.words
    lines = (
        Line(words["clamp.round"], True),
        Line(f"{words['clamp.plan']} {words['scale']} 1 : {scale:g}"),
    )
    drawing.block((0.0, drawing.box[3] + 1.2), lines, "middle", "below")
    return drawing
