"""The day as bars: a row for each joint, a bar for each of its stages, along the hours of the work.

In: the joints' names, a `Plan`, words by key (the group `figures` of templates/words/en.yaml), a width in mm.
Out: a `Figure`. Vocabulary: as in `day_plan`; each stage has a hatching or outline of its own, so that one
colour is enough, and a *legend* names them. The time axis is to scale; its texts are those of the table.
Governing text: ISO 128 for lines and hatching (edition from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packgen.calc.day_plan import JointPlan, Plan
from packgen.rounding import hours
from packgen.sheets.drawing import DASHED, MIDDLE, THICK, THIN, Drawing, Line, block_width, text_width
from packgen.sheets.figure_base import GAP, Figure, Words
from packgen.sheets.strokes import Point

_LETTER = 3.2  # mm: 9 pt on a page
_BAR, _ROW = 6.0, 11.0  # mm, height of a bar and from one row to the next
_TICKS = (900.0, 1800.0, 3600.0, 7200.0, 10_800.0, 21_600.0)  # s
_TICK_ROOM = 12.0  # mm from one label of the axis to the next, at least
_SWATCH = 10.0  # mm
_FIELD = re.compile(r"\{(\w+)\}")

# The stages, each by the key of its words.
PREPARE, FUSE, CLAMPED, WAIT, FINISH = "day.prepare", "day.fuse", "day.clamped", "day.wait", "day.finish"
STAGES = (PREPARE, FUSE, CLAMPED, WAIT, FINISH)
_Rows = Sequence[tuple[str, JointPlan]]


@dataclass(frozen=True)
class Bar:
    """One stage of a joint, s from the start of work, and who is at it or what is in use."""

    stage: str
    start: float
    end: float
    who: int


def bars(row: JointPlan) -> tuple[Bar, ...]:
    """The stages of one joint that take any time."""
    found = (
        Bar(PREPARE, row.prepare_start, row.fusion_start, row.fuser),
        Bar(FUSE, row.fusion_start, row.fusion_end, row.control_unit),
        Bar(CLAMPED, row.fusion_end, row.clamps_off, row.clamp_set),
        Bar(WAIT, row.clamps_off, row.wait_end, 0),
        Bar(FINISH, row.finish_start, row.finish_end, row.finisher),
    )
    return tuple(bar for bar in found if bar.end > bar.start)


@dataclass(frozen=True)
class _Axis:
    """The hours on paper: mm for a second, s from tick to tick, s to the end of the axis."""

    scale: float
    tick: float
    end: float

    @property
    def ticks(self) -> tuple[float, ...]:
        """The times that have a label, s."""
        return tuple(self.tick * number for number in range(round(self.end / self.tick) + 1))

    def at(self, time: float) -> float:
        """Where a time stands, mm from the axis's beginning."""
        return time * self.scale


def day_chart(names: Sequence[str], plan: Plan, words: Words, width: float) -> Figure:
    """The bars of every joint over the hours.

    Parameters: `names` of the joints in the plan's order; `plan`; `words`; `width` of the box, mm. Returns
    the figure, as tall as its rows need.
    """
    drawing, rows = Drawing(_LETTER), tuple(zip(names, plan.joints, strict=True))
    heads = [Line(words["day.axis"]), *(line for name, row in rows for line in _name(name, row, words))]
    half = text_width("00:00", _LETTER) / 2
    left = block_width(heads, _LETTER) + half + GAP
    axis = _axis(plan.makespan, width - left - half - MIDDLE)
    _hours(drawing, axis, [bars(row) for _, row in rows], words, -left)
    for place, (name, row) in enumerate(rows):
        drawing.block((-left, place * _ROW + _BAR / 2), _name(name, row, words))
        for bar in bars(row):
            _bar(drawing, bar, axis, place * _ROW, words)
    _end(drawing, axis, plan.makespan, len(rows), words)
    _legend(drawing, words, (-left, drawing.box[3] + 3.5), width)
    return _figure(drawing, axis, rows, plan.makespan, words, width)


def _figure(
    drawing: Drawing, axis: _Axis, rows: _Rows, makespan: float, words: Words, width: float
) -> Figure:
    """The drawing with its title, its scale and the sentences that stand for it."""
    _, top, _, bottom = drawing.box
    tall = round(bottom - top + 2.0, 2)
    strings = tuple(label.words for label in drawing.labels)
    ratio = _say(words, "day.ratio", hour=f"{axis.scale * 3600.0:.0f}")
    alt = " ".join([f"{words['day.title']}. {words['day.alt'].strip()}", *_said(rows, makespan, words)])
    return Figure("day-plan", words["day.title"], drawing.svg(width, tall), alt, ratio, strings, tall)


def _say(words: Words, key: str, **fill: str) -> str:
    """Words of the figure with `{name}` filled in."""
    return _FIELD.sub(lambda field: fill[field[1]], words[key])


def _name(name: str, row: JointPlan, words: Words) -> tuple[Line, Line]:
    """A row's two lines: the joint, and the tools it is made with."""
    tools = _say(words, "day.tools", unit=str(row.control_unit), clamps=str(row.clamp_set))
    return Line(name, True), Line(tools)


def _axis(makespan: float, room: float) -> _Axis:
    """The finest ticks whose labels have room, and the scale at which the last of them ends the axis."""
    for tick in _TICKS:
        end = tick * max(1, -(-makespan // tick))
        if tick * room / end >= _TICK_ROOM:
            return _Axis(room / end, tick, end)
    end = _TICKS[-1] * -(-makespan // _TICKS[-1])
    return _Axis(room / end, end, end)


def _hours(drawing: Drawing, axis: _Axis, rows: Sequence[Sequence[Bar]], words: Words, left: float) -> None:
    """The axis above the rows; thin lines carry its ticks down, behind the bars."""
    level = -4.0
    drawing.line((0.0, level), (axis.at(axis.end), level))
    drawing.block((left, level - 1.2 - GAP), (Line(words["day.axis"]),), "start", "above")
    for time in axis.ticks:
        x = axis.at(time)
        drawing.line((x, level - 1.2), (x, level))
        drawing.block((x, level - 1.2 - GAP), (Line(hours(time)),), "middle", "above")
        start = level
        for place, stages in enumerate(rows):
            if any(bar.start <= time <= bar.end for bar in stages):
                drawing.line((x, start), (x, place * _ROW), width=THIN)
                start = place * _ROW + _BAR
        drawing.line((x, start), (x, (len(rows) - 1) * _ROW + _BAR + 1.5), width=THIN)


def _bar(drawing: Drawing, bar: Bar, axis: _Axis, top: float, words: Words) -> None:
    """One stage of a joint: who is at it stands in the middle of a bar that has the room."""
    x1, x2 = axis.at(bar.start), axis.at(bar.end)
    person = str(bar.who) if bar.stage in (PREPARE, FINISH) else ""
    options = (_say(words, "day.person", number=person), person) if person else ()
    text = next((each for each in options if text_width(each, _LETTER) + 2 * GAP <= x2 - x1), "")
    draw_stage(drawing, bar.stage, (x1, top), x2 - x1, text)


def draw_stage(
    drawing: Drawing, stage: str, corner: Point, wide: float, text: str = "", tall: float = _BAR
) -> None:
    """A bar in the manner of its stage, with a text in a gap of its hatching."""
    (x, y), slope = corner, {PREPARE: 1, FINISH: -1}.get(stage, 0)
    middle, half = x + wide / 2, (text_width(text, _LETTER) + GAP) / 2 if text else 0.0
    if slope:
        for start, end in ((x, middle - half), (middle + half, x + wide)):
            drawing.cut(_box(start, end, y, tall), slope)
    outline = _box(x, x + wide, y, tall)
    if stage == WAIT:
        drawing.shape(outline, THIN, dash=DASHED)
    else:
        drawing.shape(outline, MIDDLE, "#000" if stage == FUSE else "none")
    if text:
        drawing.block((middle, y + tall / 2), (Line(text, True),), "middle")


def _box(x1: float, x2: float, y: float, tall: float) -> tuple[Point, ...]:
    """The corners of a bar."""
    return ((x1, y), (x2, y), (x2, y + tall), (x1, y + tall))


def _end(drawing: Drawing, axis: _Axis, makespan: float, rows: int, words: Words) -> None:
    """A thick line where the last joint is done, its time below."""
    x, low = axis.at(makespan), (rows - 1) * _ROW + _BAR
    drawing.line((x, -2.4), (x, low + 3.0), width=THICK)
    done = Line(_say(words, "day.done", time=hours(makespan)), True)
    drawing.block((x, rows * _ROW), (done,), "end", "below")


def _legend(drawing: Drawing, words: Words, corner: Point, width: float) -> None:
    """A small bar and its words for each stage, in columns."""
    tall, texts = _BAR * 0.7, [Line(words[stage]) for stage in STAGES]
    column = _SWATCH + 4 * GAP + block_width(texts, _LETTER)
    across = max(1, int(width // column))
    for place, (stage, text) in enumerate(zip(STAGES, texts, strict=True)):
        x, y = corner[0] + place % across * column, corner[1] + place // across * (tall + 1.8)
        draw_stage(drawing, stage, (x, y), _SWATCH, tall=tall)
        drawing.block((x + _SWATCH + GAP, y + tall / 2), (text,))


def _said(rows: _Rows, makespan: float, words: Words) -> Iterator[str]:
    """The whole figure in sentences, for who cannot see it."""
    for name, row in rows:
        yield _say(
            words, "day.row", joint=name, prepare=hours(row.prepare_start), fuser=str(row.fuser),
            fusion=hours(row.fusion_start), unit=str(row.control_unit), end=hours(row.fusion_end),
            clamps=str(row.clamp_set), off=hours(row.clamps_off), over=hours(row.wait_end),
            finish=hours(row.finish_start), finisher=str(row.finisher), done=hours(row.finish_end),
        )  # fmt: skip
    yield _say(words, "day.done_alt", time=hours(makespan))
