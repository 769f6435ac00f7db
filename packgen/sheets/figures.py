"""The three figures to scale: the cut in section, the zone to peel laid flat, and where to squeeze.

In: register values by name, as numbers in mm and degrees, and as the texts printed on the sheets; words by key; the box in mm.
Out: a `Figure`: SVG at the largest scale of the series that fits its box, the sentence read in its place, every text drawn.
Vocabulary: *crown* is the top of the main, the datum of the section; *rim* is the upper end of the outlet. A figure prints the
texts it is given and never makes one from a number, its scale excepted. What no value tells (the saw's body, the bars'
diameter) is drawn as a plain sketch, and the figure says so.
Governing text: ISO 128 for lines, cut faces and broken edges (edition from memory); the geometry is that of the calculation.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from packgen.sheets.drawing import DASHED, MIDDLE, THICK, THIN, Drawing, Line, Point, arc, largest, text_width

_SMALL, _LARGE = 2.83, 3.2  # letter height in mm: 8 pt on a card, 9 pt on a page
_CARD_WIDTH = 120.0  # a box narrower than this is a card's
_GAP = 1.2  # paper mm between a text and the line it belongs to

Values = Mapping[str, float]
Words = Mapping[str, str]


@dataclass(frozen=True)
class Figure:
    """A figure ready to be set: its SVG, the sentence that stands for it, its scale and every text drawn in it."""

    id: str
    title: str
    svg: str
    alt: str
    scale: str
    strings: tuple[str, ...]


@dataclass(frozen=True)
class _Task:
    """What a figure is drawn from: register values, their texts, the words, and the paper length of a real millimetre."""

    values: Values
    text: Words
    words: Words
    unit: float

    def has(self, *names: str) -> bool:
        """Whether each of these values is there, as a number and as a text."""
        return all(name in self.values and name in self.text for name in names)

    def mm(self, name: str) -> float:
        """A real length on paper."""
        return self.values[name] * self.unit

    def lines(self, key: str, name: str, split: bool = False) -> tuple[Line, ...]:
        """A label and its value below it; with `split` the second unit system has a line of its own."""
        shown = self.text[name]
        parts = shown.split(" [") if split else [shown]
        return (Line(self.words[key]), *(Line(part if i == 0 else f"[{part}", True) for i, part in enumerate(parts)))


    def row(self, key: str, name: str) -> tuple[Line, ...]:
        """A label and its value on one line."""
        return (Line(f"{self.words[key]} {self.text[name]}", True),)


def _make(
    id_: str, draw: Callable[[_Task, float], Drawing], shown: Mapping[str, str],
    values: Values, text: Words, words: Words, width: float, height: float,
) -> Figure:  # fmt: skip
    """Choose the scale, add it to the drawing, and put the figure's alternative text together."""
    letter = _SMALL if width < _CARD_WIDTH else _LARGE
    drawing, scale = largest(lambda unit: draw(_Task(values, text, words, unit), letter), width, height)
    prefix = id_.split("-")[0]
    facts = "; ".join(f"{words[key]} {text[name]}" for key, name in shown.items() if name in values and name in text)
    title, ratio = words[f"{prefix}.title"], f"1 : {scale:g}"
    alt = f"{title}. {words[f'{prefix}.alt'].strip()} {facts}. {words['scale']} {ratio}."
    strings = tuple(label.words for label in drawing.labels)
    return Figure(id_, title, drawing.svg(width, height), alt, ratio, strings)


def _scale_lines(task: _Task, *keys: str) -> tuple[Line, ...]:
    """The scale and what is not drawn to it."""
    return (Line(f"{task.words['scale']} 1 : {1 / task.unit:g}"), *(Line(task.words[key]) for key in keys))


# -- the cut in section -----------------------------------------------------------------------------------------------

_MAIN, _WALL = "pipe.main.outside_diameter", "pipe.main.wall_max"
_SAW, _THROUGH, _SET = "tap.hole_saw", "tap.travel_to_breakthrough", "tap.travel_set"
_BORE, _HEIGHT = "fitting.outlet_bore", "fitting.outlet_height"
_SADDLE = ("fitting.bore_radius", "fitting.base_angle", "fitting.wall")
_MARK, _CLEARANCE = "tap.depth_mark", "tap.clearance"
_TAP_SHOWN = {
    "tap.outside_diameter": _MAIN, "tap.wall_max": _WALL, "tap.hole_saw": _SAW, "tap.breakthrough": _THROUGH,
    "tap.set": _SET, "tap.depth_mark": _MARK, "tap.outlet_bore": _BORE, "tap.outlet_height": _HEIGHT,
    "tap.clearance": _CLEARANCE,
}  # fmt: skip


def tap_section(
    values: Values, text: Words, words: Words, width: float, height: float
) -> Figure | None:
    """Main, saddle and saw in section at break-through, dimensioned; None where a pipe or tap value is missing.

    Parameters: `values` register values in mm and degrees, `text` their printed texts, `words` labels by key, `width` and
    `height` the box in mm. Raises ContentError where the texts do not fit the box at any scale.
    """
    if not _Task(values, text, words, 1.0).has(_MAIN, _WALL, _SAW, _THROUGH, _SET):
        return None
    return _make("tap-section", _tap_drawing, _TAP_SHOWN, values, text, words, width, height)


def _tap_drawing(task: _Task, letter: float) -> Drawing:
    """The section at one scale: bodies first, then dimensions from the middle outwards."""
    drawing = Drawing(letter)
    crop = _crop(task)
    _main_cut(drawing, task, crop)
    outer = _saddle_cut(drawing, task)
    top = _saw(drawing, task)
    side = max(outer[1], _half_chord(task.mm(_MAIN) / 2, crop)) + 2.5
    _hole_saw_dimension(drawing, task, top)
    _travel_dimensions(drawing, task, side)
    _outlet_dimensions(drawing, task, outer[0], side)
    _part_names(drawing, task, side, crop)
    return drawing


def _half_chord(radius: float, depth: float) -> float:
    """Half the width of a circle at a depth below its top."""
    return math.sqrt(max(0.0, radius**2 - (radius - depth) ** 2))


def _mirror(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """The same points on the other side of the axis."""
    return tuple((-x, y) for x, y in points)


def _crop(task: _Task) -> float:
    """The depth below the crown at which the main is broken off: below teeth and saddle, never below its centre."""
    depth = task.mm(_SET)
    if task.has(*_SADDLE):
        bore, angle, _ = (task.values[name] for name in _SADDLE)
        depth = max(depth, task.unit * bore * (1 - math.cos(math.radians(angle))))
    return min(depth + 3.2, task.mm(_MAIN) / 2)


def _main_cut(drawing: Drawing, task: _Task, crop: float) -> None:
    """The main's wall on both sides of the saw, broken off below, and the coupon in the saw."""
    radius, saw = task.mm(_MAIN) / 2, task.mm(_SAW) / 2
    inside, centre = radius - task.mm(_WALL), (0.0, radius)

    def run(r: float, start: float, end: float) -> tuple[Point, ...]:
        return arc(centre, r, math.degrees(start), math.degrees(end))

    over = run(radius, math.asin(saw / radius), math.acos((radius - crop) / radius))
    under = run(inside, math.asin(saw / inside), math.acos((radius - crop) / inside))
    for turn in (lambda points: points, _mirror):
        a, b = turn(over), turn(under)
        drawing.cut((*a, *reversed(b)))
        drawing.line(*a, width=THICK)
        drawing.line(*b, width=THICK)
        drawing.broken(b[-1], a[-1])
    core = saw - _BLADE
    top = run(radius, -math.asin(core / radius), math.asin(core / radius))
    foot = run(inside, math.asin(core / inside), -math.asin(core / inside))
    drawing.cut((*top, *foot))
    drawing.shape((*top, *foot), MIDDLE)


def _saddle_cut(drawing: Drawing, task: _Task) -> tuple[float, float]:
    """The saddle and its outlet; returns the half-widths of the outlet and of the saddle that were drawn."""
    saw = task.mm(_SAW) / 2
    if not task.has(_BORE):
        return saw, 0.0
    bore = task.mm(_BORE) / 2
    rim = -task.mm(_HEIGHT) if task.has(_HEIGHT) else None
    if task.has(*_SADDLE):
        return _saddle_body(drawing, task, bore, rim)
    top = _outlet_top(task)
    for x in (-bore, bore):
        drawing.line((x, top), (x, 0.0), width=THICK)
    return bore, 0.0


def _outlet_top(task: _Task) -> float:
    """The rim, or where the outlet is broken off because nobody stated its height."""
    return -task.mm(_HEIGHT) if task.has(_HEIGHT) else -_CUP * task.mm(_SAW) - 9.0


def _saddle_body(drawing: Drawing, task: _Task, bore: float, rim: float | None) -> tuple[float, float]:
    """Both halves of the cut saddle; the outlet's wall is taken as thick as the saddle's."""
    radius, angle, wall = task.mm(_SADDLE[0]), task.values[_SADDLE[1]], task.mm(_SADDLE[2])
    centre, outside, outlet = (0.0, radius), radius + wall, bore + wall
    under = arc(centre, radius, math.degrees(math.asin(bore / radius)), angle)
    over = arc(centre, outside, angle, math.degrees(math.asin(outlet / outside)))
    top = _outlet_top(task)
    half = (*under, *over, (outlet, top), (bore, top))
    for points in (half, _mirror(half)):
        drawing.cut(points, -1)
        if rim is None:
            drawing.line(*points[-1:], *points[:-1], width=THICK)
            drawing.broken(points[-2], points[-1])
        else:
            drawing.shape(points, THICK)
    return outlet, outside * math.sin(math.radians(angle))


_MARK_LABEL = ("tap.depth_mark", _MARK)
_RIGHT_LABELS = (("tap.outlet_bore", _BORE), _MARK_LABEL, ("tap.clearance", _CLEARANCE))
_LEFT_LABELS = (("tap.outlet_height", _HEIGHT), ("tap.breakthrough", _THROUGH))
_TWO = (Line(""), Line(""))
_CUP = 0.35  # of the saw: how far the cup reaches above the crown at break-through; a sketch, clear of the coupon
_BLADE = 0.8  # paper mm: the saw's wall, a thin cut part drawn solid


def _saw(drawing: Drawing, task: _Task) -> float:
    """The saw at break-through: walls and back solid, shank in view, depth mark; returns the shank's top."""
    saw, teeth, back = task.mm(_SAW) / 2, task.mm(_THROUGH), 1.2
    cup = -_CUP * task.mm(_SAW)
    for side in (1, -1):
        wall = ((saw, cup), (saw, teeth), (saw - _BLADE, teeth - 1.2), (saw - _BLADE, cup))
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


def _shank(task: _Task) -> float:
    """Half the width of the saw's shank: a sketch."""
    return max(0.9, 0.11 * task.mm(_SAW))


def _hole_saw_dimension(drawing: Drawing, task: _Task, top: float) -> None:
    """The saw's diameter, below its teeth; the depth to set is dashed; the coupon is named in the saw."""
    saw, teeth, deepest, cup = task.mm(_SAW) / 2, task.mm(_THROUGH), task.mm(_SET), -_CUP * task.mm(_SAW)
    level = deepest + 3.4
    drawing.line((-saw, deepest), (saw, deepest), width=MIDDLE, dash=DASHED)
    drawing.centre_line((0.0, top - 1.2), (0.0, cup))
    drawing.centre_line((0.0, task.mm(_WALL) - 1.0), (0.0, level + 1.0))
    drawing.dimension_level(level, -saw, saw, teeth + 0.4, teeth + 0.4)
    drawing.block((0.0, level + _GAP), task.lines("tap.hole_saw", _SAW), "middle", "below")
    drawing.block((0.0, cup + 0.8), (Line(task.words["tap.coupon"]),), "middle", "below")
    drawing.leader((0.0, cup + 0.8 + drawing.letter), (0.0, task.mm(_WALL) / 3))


def _travel_dimensions(drawing: Drawing, task: _Task, side: float) -> None:
    """Left of the main: from the crown to break-through, and further out to the depth to set."""
    saw, teeth, deepest = task.mm(_SAW) / 2, task.mm(_THROUGH), task.mm(_SET)
    inner, outer = -side, -side - 4.5
    drawing.dimension_upright(outer, 0.0, deepest, -0.3, -saw - 0.4)
    drawing.dimension_upright(inner, 0.0, teeth, inner, -saw - 0.4)
    drawing.line((inner, 0.0), (inner, -_GAP), width=THIN)
    drawing.line((outer, deepest), (outer, deepest + _GAP), width=THIN)
    drawing.block((inner, -1.5 * _GAP), task.lines("tap.breakthrough", _THROUGH, True), "middle", "above")
    drawing.block((inner + 1.0, deepest + 1.5 * _GAP), task.lines("tap.set", _SET, True), "end", "below")


def _part_names(drawing: Drawing, task: _Task, side: float, crop: float) -> None:
    """Right of the main: what is what, then the scale in the corner below."""
    teeth, radius, wall = task.mm(_THROUGH), task.mm(_MAIN) / 2, task.mm(_WALL)
    if task.has(*_SADDLE):
        depth = 0.5 * teeth
        edge = _half_chord(radius + task.mm(_SADDLE[2]), depth + task.mm(_SADDLE[2]))
        drawing.leader((side + 2.0, depth), (edge, depth))
        drawing.block((side + 2.5, depth), (Line(task.words["tap.saddle"]),))
    depth = max(crop - 1.5, teeth + 0.6 * drawing.letter)
    middle = _half_chord(radius - wall / 2, depth - 1.0 - wall / 2)
    drawing.leader((side + 2.0, depth), (middle, depth - 1.0))
    drawing.block((side + 2.5, depth), (Line(task.words["tap.main"]),))
    widest = max(text_width(line.words, drawing.letter) for line in task.lines("tap.hole_saw", _SAW))
    lines = _scale_lines(task, "tap.sketch")
    foot = max(task.mm(_SET) + 3.4 + _GAP, crop + 2.0)
    drawing.block((widest / 2 + 2.5, foot), lines, "start", "below")


def _outlet_dimensions(drawing: Drawing, task: _Task, outlet: float, side: float) -> None:
    """Beside the outlet: its height on the left; clearance, bore and depth mark from below upwards on the right."""
    tall, apart = drawing.block_height(_TWO), 1.0
    if task.has(_HEIGHT):
        _outlet_height(drawing, task, outlet)
    start, far = _right_column(drawing, task, outlet, side)
    cup, level = _CUP * task.mm(_SAW), min(0.0, _shoulder(task, start)) - 0.5 * tall - apart
    if task.has(_BORE, _CLEARANCE):
        drawing.leader((start - _GAP / 2, level), (task.mm(_SAW) / 2, -0.5 * cup))
        drawing.block((start, level), task.lines("tap.clearance", _CLEARANCE))
        level -= tall + apart
    if task.has(_BORE):
        bore, top = task.mm(_BORE) / 2, _outlet_top(task)
        level = min(level, -cup - 2.0 - tall)
        row = max(level, top + 2.0)
        drawing.dimension_level(row, -bore, bore, row, row)
        drawing.line((bore, row), (outlet, row), (start - _GAP / 2, level), width=THIN)
        drawing.block((start, level), task.lines("tap.outlet_bore", _BORE))
        level -= tall + apart
    if task.has(_MARK):
        teeth, mark = task.mm(_THROUGH), task.mm(_THROUGH) - task.mm(_MARK)
        drawing.dimension_upright(far, mark, teeth, _shank(task) + 0.6, task.mm(_SAW) / 2 + 0.4)
        spot = mark + 1.0 + tall / 2
        drawing.block((far - _GAP, spot if spot <= level else mark - apart - tall / 2), task.lines(*_MARK_LABEL), "end")


def _outlet_height(drawing: Drawing, task: _Task, outlet: float) -> None:
    """The outlet's height from the crown, its text clear of the one for break-through below it."""
    rim, x = -task.mm(_HEIGHT), -outlet - 3.0
    lines, below = (task.lines(*label, True) for label in _LEFT_LABELS)
    least = 1.5 * _GAP + drawing.block_height(below) + 1.0 + drawing.block_height(lines) / 2
    drawing.dimension_upright(x, rim, 0.0, -outlet - 0.6, x)
    drawing.block((x - _GAP, min(0.66 * rim, -least)), lines, "end")


def _right_column(drawing: Drawing, task: _Task, outlet: float, side: float) -> tuple[float, float]:
    """Where the texts right of the outlet start, and where the depth mark's dimension line stands beyond them."""
    shown = [line for key, name in _RIGHT_LABELS if task.has(name) for line in task.lines(key, name)]
    start = outlet + 2.5
    widest = max((text_width(line.words, drawing.letter) for line in shown), default=0.0)
    saddle = side + 2.5 + text_width(task.words["tap.saddle"], drawing.letter)
    return start, max(start + widest + _GAP, saddle) + _GAP


def _shoulder(task: _Task, x: float) -> float:
    """The height of the saddle's outside at a distance from the axis; the crown's where there is no saddle."""
    if not task.has(*_SADDLE):
        return 0.0
    radius, wall = task.mm(_SADDLE[0]), task.mm(_SADDLE[2])
    return radius - math.sqrt(max(0.0, (radius + wall) ** 2 - x**2))


# -- the zone to peel -------------------------------------------------------------------------------------------

_LENGTH, _ARC, _BASE, _FROM_TOP = "peel.zone_length", "peel.zone_arc", "fitting.base_length", "place.arc_from_top"
_PEEL_SHOWN = {
    "peel.zone_length": _LENGTH, "peel.zone_arc": _ARC, "peel.base_length": _BASE, "peel.arc_from_top": _FROM_TOP,
}  # fmt: skip


def peel_zone(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """The main's surface laid flat with the zone to peel; None where a pipe or peel value is missing.

    Parameters and errors as for `tap_section`.
    """
    if not _Task(values, text, words, 1.0).has(_MAIN, _LENGTH, _ARC):
        return None
    return _make("peel-zone", _peel_drawing, _PEEL_SHOWN, values, text, words, width, height)


def _peel_drawing(task: _Task, letter: float) -> Drawing:
    """The zone with the saddle base in it, the main's surface broken off round it, the dimensions outside."""
    drawing = Drawing(letter)
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


def _base(drawing: Drawing, task: _Task) -> None:
    """The saddle's base dashed, the outlet's bore, and their names."""
    letter, words = drawing.letter, task.words
    radius = task.mm(_BORE) / 2 if task.has(_BORE) else 1.5
    drawing.circle((0.0, 0.0), radius)
    spot = (radius + 2.0, -radius - letter)
    drawing.block(spot, (Line(words["peel.outlet"]),))
    drawing.leader((spot[0] - 0.6, spot[1]), (0.0, 0.0))
    if task.has(_BASE, *_SADDLE[:2]):
        half = task.mm(_BASE) / 2
        deep = task.mm(_SADDLE[0]) * math.radians(task.values[_SADDLE[1]])
        drawing.shape(_rectangle(half, deep), MIDDLE, dash=DASHED)


def _peel_dimensions(drawing: Drawing, task: _Task, top: float, right: float, low: float) -> None:
    """Length below, base above, distance round the main on the right, distance from the top on the left."""
    half, deep = task.mm(_LENGTH) / 2, task.mm(_ARC) / 2
    drawing.dimension_level(low + 3.5, -half, half, deep, deep)
    drawing.block((0.0, low + 3.5 + _GAP), task.row("peel.zone_length", _LENGTH), "middle", "below")
    drawing.dimension_upright(right + 3.5, -deep, deep, half, half)
    drawing.block((right + 3.5 + _GAP, deep / 2), task.lines("peel.zone_arc", _ARC, True), "start", "middle")
    if task.has(_BASE, *_SADDLE[:2]):
        base, edge = task.mm(_BASE) / 2, task.mm(_SADDLE[0]) * math.radians(task.values[_SADDLE[1]])
        drawing.dimension_level(top - 3.0, -base, base, -edge, -edge)
        drawing.block((0.0, top - 3.0 - _GAP), task.row("peel.base_length", _BASE), "middle", "above")
    if task.has(_FROM_TOP):
        _from_top(drawing, task, right)
    foot = low + 3.5 + _GAP
    drawing.block((right + 3.5 + _GAP, foot), _scale_lines(task), "start", "below")


def _from_top(drawing: Drawing, task: _Task, right: float) -> None:
    """The line along the top of the main, and the distance from it to the outlet's centre line."""
    far, x = task.mm(_FROM_TOP), -right - 4.0
    name = Line(task.words["peel.top"])
    if far:
        drawing.centre_line((-right - 2.0, -far), (right + 2.0, -far))
        drawing.dimension_upright(x, -far, 0.0, -right - 2.0, -right - 2.0)
        drawing.block((x - _GAP, -far / 2), task.lines("peel.arc_from_top", _FROM_TOP, True), "end")
    drawing.block((-right - 2.0 - _GAP, -far), (name,), "end")


def _rectangle(half: float, deep: float) -> tuple[Point, ...]:
    """A rectangle about the datum."""
    return ((-half, -deep), (half, -deep), (half, deep), (-half, deep))
