"""The peel template: printed at full size, cut out and laid round the pipe, it shows the zone to peel.

In: a `View` with the zone to peel of its joint, or with the peel length of a coupling. Out: sheets for the
pack; none where a value the template is about is absent.
Vocabulary: *along* and *round* are directions on the pipe, whose surface is laid flat; the *line* is the
thick outline, whose inside is the zone's edge. The zone's lengths go up to the next whole millimetre and the
cut runs outside the line, so that paper, printer and scissors do not make the peeled zone too small; a strip
for a coupling is as long as the greatest pipe is round. The *tab* names the pipe by what a plain tape reads
round it. Lengths on the paper are those on the pipe's surface; the outlet's bore is laid flat too.
Governing text: ISO 128 for line widths (edition from memory); lengths in the PDF are asserted by the tests.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from packgen.errors import ContentError
from packgen.sheets import tiles
from packgen.sheets.blocks import Block, Points, Sheet, Why, spans
from packgen.sheets.blocks import Drawing as DrawingBlock
from packgen.sheets.drawing import CHAIN, DASHED, MIDDLE, THICK, THIN, Drawing, Line, block_width
from packgen.sheets.drawing_marks import free_corner, free_spot
from packgen.sheets.figure_base import BORE, MAIN, SADDLE, Figure
from packgen.sheets.measure import MM
from packgen.sheets.media import Medium
from packgen.sheets.scale_bar import LENGTH, draw_bar
from packgen.sheets.strokes import Box, Point
from packgen.sheets.view import View

_LENGTH, _ARC, _BASE, _FROM_TOP = (
    "peel.zone_length", "peel.zone_arc", "fitting.base_length", "place.arc_from_top",
)  # fmt: skip
_SOCKET = "socket.peel_length"
_LETTER = 3.2  # mm: 9 pt on a page
# How a zone and a strip are laid and drawn round.
_ZONE = ("template.lay_zone", "template.flat_zone", "template.draw_zone")
_STRIP = ("template.lay_strip", "template.flat_strip", "template.draw_strip")
_AIR = 1.0  # mm above and below a drawing
_CROSS, _MARK = 8.0, 25.0  # mm of a centre line beyond the outlet's bore, and at the edge of the paper
_APART = 4.0  # mm between the template and a bar beside it
_BAR_TALL = 16.0  # mm that the bar takes with its words
_CAPTION = 3.0  # mm beside the line of a figure's title, as the planner counts it


_Where = Literal["inside", "beside", "below"]


@dataclass(frozen=True)
class _Name:
    """Words to be set beside a line, on the paper's side of it, no farther from its middle than `reach` mm.

    A line that runs `way` "along" lies at a distance round the pipe, one "round" at a distance along it.
    """

    words: str
    way: Literal["along", "round"]
    at: float
    reach: float = math.inf


@dataclass(frozen=True)
class _Shape:
    """What is laid on the pipe, in mm about its middle: extents, and runs of points (along, round)."""

    along: float
    round: float
    lines: tuple[tuple[tuple[Point, ...], str], ...]
    names: tuple[_Name, ...]


def template_sheets(view: View, medium: Medium) -> tuple[Sheet, ...]:
    """The template of a joint: how it is used, then its parts at full size.

    Parameters: `view` of the joint, `medium` of the pack. Returns one sheet, or none where the zone to peel
    is not known. Raises ContentError where a text of the template finds no place in it.
    """
    shape = _strip(view) if view.request.is_coupling else _zone(view)
    if shape is None:
        return ()
    words = view.words
    parts = _parts(view, medium, shape)
    blocks: list[Block] = [Why(spans(words("template.intro"))), Why(spans(words("template.never"), "strong"))]
    blocks.append(Points(tuple(spans(text) for text in _acts(view, len(parts))), boxed=True))
    blocks += [DrawingBlock(figure) for figure in parts]
    return (Sheet("peel-template", words("template.title"), view.tag, tuple(blocks)),)


def _acts(view: View, parts: int) -> Iterator[str]:
    """What is done with the template, in order."""
    words, pipe, strip = view.words, view.request.fused, view.request.is_coupling
    yield words("template.print")
    yield words("template.bar")
    low, high = (view.text(f"{pipe}girth_{end}") for end in ("min", "max"))
    yield words("template.girth", low=low, high=high)
    yield words("template.cut")
    if parts > 1:
        yield words("template.join")
        yield words("template.tape")
    if not strip and view.text(BORE):
        yield words("template.hole")
    yield from (words(key) for key in (_STRIP if strip else _ZONE))
    if strip:
        yield words("template.measure_strip", length=view.text(_SOCKET))
    else:
        yield words("template.measure", length=view.text(_LENGTH), arc=view.text(_ARC))


def _up(length: float) -> float:
    """A length in whole millimetres, never less than it is; a trace of binary arithmetic does not count."""
    return float(math.ceil(length - 1e-6))


def _zone(view: View) -> _Shape | None:
    """The zone under a saddle, about the outlet's centre; None where its values are absent."""
    values, words = view.numbers(), view.words
    if any(name not in values for name in (MAIN, _LENGTH, _ARC)):
        return None
    along, arc = _up(values[_LENGTH]), _up(values[_ARC])
    bore = values.get(BORE, 0.0) / 2
    lines = [(run, CHAIN) for run in _centre(along / 2, bore)]
    lines += [(tuple((y, x) for x, y in run), CHAIN) for run in _centre(arc / 2, bore)]
    lines += [(run, DASHED) for run in _base(values, arc)]
    if BORE in values:
        lines.append((_bore(values[BORE] / 2, values[MAIN] / 2), ""))
    from_top = values.get(_FROM_TOP)
    names = [_Name(words("template.round"), "round", 0.0)]
    names.append(_Name(words("template.along" if from_top != 0.0 else "template.top"), "along", 0.0))
    if _BASE in values:
        reach = _edge(values, arc) or arc / 2
        names.append(_Name(words("template.base"), "round", -values[_BASE] / 2, reach))
    if from_top and from_top < arc / 2:
        lines.append((((-along / 2, -from_top), (along / 2, -from_top)), CHAIN))
        names.append(_Name(words("template.top"), "along", -from_top))
    elif from_top:
        names.append(_Name(words("template.towards_top"), "along", -arc / 2))
    return _Shape(along, arc, tuple(lines), tuple(names))


def _edge(values: Mapping[str, float], arc: float) -> float | None:
    """Half the extent of the saddle's base round the main, where it is known and lies within the zone."""
    if any(name not in values for name in SADDLE[:2]):
        return None
    edge = values[SADDLE[0]] * math.radians(values[SADDLE[1]])
    return edge if edge < arc / 2 else None


def _centre(end: float, bore: float) -> Iterator[tuple[Point, ...]]:
    """A centre line across the outlet and, where the marks on the pipe meet the paper, at both its ends."""
    inner, outer = bore + _CROSS, end - min(_MARK, 0.4 * end)
    if inner >= outer:
        yield ((-end, 0.0), (end, 0.0))
        return
    yield ((-inner, 0.0), (inner, 0.0))
    for side in (-1, 1):
        yield ((side * end, 0.0), (side * outer, 0.0))


def _base(values: Mapping[str, float], arc: float) -> Iterator[tuple[Point, ...]]:
    """The outline of the saddle's base, or its ends alone where its extent round the main is not known."""
    if _BASE not in values:
        return
    half, edge = values[_BASE] / 2, _edge(values, arc)
    if edge is not None:
        yield ((-half, -edge), (half, -edge), (half, edge), (-half, edge), (-half, -edge))
        return
    for end in (-half, half):
        yield ((end, -arc / 2), (end, arc / 2))


def _bore(radius: float, main: float) -> tuple[Point, ...]:
    """The outlet's bore on the main's surface, laid flat: a little longer round the main than along it."""
    turns = [math.radians(2.0 * step) for step in range(181)]
    return tuple(
        (radius * math.cos(turn), main * math.asin(min(1.0, radius * abs(math.sin(turn)) / main))
         * math.copysign(1.0, math.sin(turn)))
        for turn in turns
    )  # fmt: skip


def _strip(view: View) -> _Shape | None:
    """A strip once round a pipe's end, as wide as the peel is long; None where its values are absent."""
    values, words, pipe = view.numbers(), view.words, view.request.fused
    if any(name not in values for name in (_SOCKET, f"{pipe}girth_max")):
        return None
    along = _up(values[_SOCKET])
    edges = {"template.pipe_end": -along / 2, "template.peel_to": along / 2}
    names = tuple(_Name(words(key), "round", at) for key, at in edges.items())
    return _Shape(along, values[f"{pipe}girth_max"], (), names)


def _parts(view: View, medium: Medium, shape: _Shape) -> list[Figure]:
    """The template at full size, in as few parts as the page allows: the bar in each, beside it or below."""
    wide = medium.inner - 2 * _AIR
    tall = medium.room - medium.label * medium.leading * MM - _CAPTION - 2 * _AIR
    rooms: dict[_Where, Point] = {
        "inside": (wide, tall), "beside": (wide - LENGTH - 2 * _APART, tall),
        "below": (wide, tall - _BAR_TALL),
    }  # fmt: skip
    for where, room in sorted(rooms.items(), key=lambda each: _count(_laid(shape, each[1])[0].box, each[1])):
        parts = _with_bars(view, medium, shape, room, where)
        if parts:
            return parts
    raise ContentError("the names, the bar and the tab of the peel template find no place on it")


def _laid(shape: _Shape, room: Point) -> tuple[Drawing, bool]:
    """The whole template the way round that takes fewer parts, and whether its length stands upright."""
    level, upright = (_whole(shape, turned) for turned in (False, True))
    turn = _count(upright.box, room) < _count(level.box, room)
    return (upright if turn else level), turn


def _with_bars(view: View, medium: Medium, shape: _Shape, room: Point, where: _Where) -> list[Figure]:
    """The parts with their names, bars and tabs; nothing where one of them finds no place."""
    whole, upright = _laid(shape, room)
    box = whole.box
    tiles.join(whole, box, *room)
    windows = tiles.windows(box, *room)
    parts = [tiles.part(whole, window) for window in windows]
    half, deep = _turned(((shape.along / 2, shape.round / 2),), upright)[0]
    mine = [tiles.own(box, window) for window in windows]
    areas = [(max(a[0], -half), max(a[1], -deep), min(a[2], half), min(a[3], deep)) for a in mine]
    named = _names(parts, areas, shape, upright)
    for part, area, window in zip(parts, areas, windows, strict=True):
        corners = {
            "inside": free_corner(part, LENGTH, _BAR_TALL, area, 2.0),
            "beside": (window[2] + _APART, window[1]), "below": (window[0], window[3]),
        }  # fmt: skip
        corner = corners[where]
        if corner is None or not named:
            return []
        _bar(view, part, corner)
    for number, (part, area) in enumerate(zip(parts, areas, strict=True), 1):
        if not _tab(view, part, area, _part_words(view, number, len(parts))):
            return []
    return [_figure(view, medium, part, number, len(parts)) for number, part in enumerate(parts, 1)]


def _bar(view: View, drawing: Drawing, corner: Point) -> None:
    """The bar with its words, and when it forbids the part."""
    start = (corner[0], corner[1] + 5.5)
    draw_bar(drawing, start, view.words("template.bar_words"))
    spot = (start[0] + LENGTH / 2, start[1] + 2.5 + 1.25 * _LETTER)
    drawing.block(spot, (Line(view.words("template.check")),), "middle", "below")


def _part_words(view: View, number: int, parts: int) -> str:
    """What a part is called."""
    if parts == 1:
        return view.words("template.whole")
    return view.words("template.part", part=str(number), parts=str(parts))


def _count(box: Box, room: Point) -> int:
    """How many parts a drawing takes."""
    return tiles.count(box[2] - box[0], room[0]) * tiles.count(box[3] - box[1], room[1])


def _whole(shape: _Shape, upright: bool) -> Drawing:
    """The template as one drawing, its length along the pipe level or upright on the paper."""
    drawing = Drawing(_LETTER)
    half, deep = (shape.along + THICK) / 2, (shape.round + THICK) / 2
    drawing.shape(_turned(((-half, -deep), (half, -deep), (half, deep), (-half, deep)), upright), THICK)
    for run, dash in shape.lines:
        drawing.line(*_turned(run, upright), width=THIN if dash == CHAIN else MIDDLE, dash=dash)
    return drawing


def _turned(points: Sequence[Point], upright: bool) -> tuple[Point, ...]:
    """Points (along, round) on the paper."""
    return tuple((y, x) for x, y in points) if upright else tuple(points)


def _names(parts: Sequence[Drawing], areas: Sequence[Box], shape: _Shape, upright: bool) -> bool:
    """Set each name beside its line, in every part that has the place; whether each was set once at least."""
    for name in shape.names:
        level = (name.way == "along") != upright
        found = [_beside(part, area, name, level) for part, area in zip(parts, areas, strict=True)]
        if not any(found):
            return False
    return True


def _beside(drawing: Drawing, area: Box, name: _Name, level: bool) -> bool:
    """Set a name beside its line, on the side where the template is; whether there was a place."""
    block = (Line(name.words),)
    deep = drawing.block_height(block) if level else block_width(block, drawing.letter)
    first, last = (area[0], area[2]) if level else (area[1], area[3])
    start, end = max(first, -name.reach), min(last, name.reach)
    for near in (name.at + 0.5, name.at - 2.1 - deep):
        far = near + deep + 1.6
        strip = (start, near, end, far) if level else (near, start, far, end)
        within = strip[0] >= area[0] and strip[1] >= area[1] and strip[2] <= area[2] and strip[3] <= area[3]
        spot = free_spot(drawing, block, strip, 0.7) if within else None
        if spot:
            drawing.block(spot, block, "start", "below")
            return True
    return False


def _tab(view: View, drawing: Drawing, area: Box, part: str) -> bool:
    """Set the framed tab: part, size, joint, what a tape reads round the pipe; whether it found a place."""
    for lines in _tab_lines(view, part):
        spot = free_spot(drawing, lines, area, 2.5)
        if spot is None:
            continue
        drawing.block(spot, lines, "start", "below")
        boxes = [label.box for label in drawing.labels[-len(lines) :]]
        left, right = spot[0] - 1.5, max(box[2] for box in boxes) + 1.5
        top, foot = spot[1] - 1.5, boxes[-1][3] + 1.5
        drawing.shape(((left, top), (right, top), (right, foot), (left, foot)), THIN)
        return True
    return False


def _tab_lines(view: View, part: str) -> Iterator[tuple[Line, ...]]:
    """The tab's lines; then the same in a narrower column."""
    words, pipe, joint = view.words, view.request.fused, view.request.joint
    low, high = (view.text(f"{pipe}girth_{end}") for end in ("min", "max"))
    named = [words("template.joint", joint=joint.id)] if joint else []
    head = [Line(view.tag.large, True), *(Line(text) for text in (view.tag.small, *named))]
    foot = (Line(words("template.scale")), Line(words("template.cut_here")))
    low_to = words("template.tape_low", low=low)
    tape = (Line(words("template.tape_reads")), Line(low_to, True), Line(high, True))
    yield (Line(part, True), *head, *tape, *foot)
    narrow = [words("template.tape_from"), *_halves(low), words("template.tape_to"), *_halves(high)]
    yield (Line(part, True), *head, *(Line(text, True) for text in narrow), *foot)


def _halves(text: str) -> Iterator[str]:
    """A printed value, its bracket on a line of its own."""
    first, bracket, second = text.partition(" [")
    yield first
    if bracket:
        yield f"[{second}"


def _figure(view: View, medium: Medium, drawing: Drawing, number: int, parts: int) -> Figure:
    """One part as a figure of the page's width."""
    title, box = _part_words(view, number, parts), drawing.box
    tall = round(box[3] - box[1] + 2 * _AIR, 2)
    strings = tuple(label.words for label in drawing.labels)
    alt = f"{title}. {view.words('template.alt')} {'; '.join(strings)}."
    svg = drawing.svg(round(medium.inner, 2), tall)
    return Figure(f"peel-template-{number}", title, svg, alt, "1 : 1", strings, tall, bar=True)
