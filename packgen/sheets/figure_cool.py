"""How the fusion plane cools: its temperature over the time from fusion end, at the reference and in heat.

In: a `Cooling` of two ambients, the end temperature, texts, words by key (the group `figures` of
templates/words/en.yaml), a width in mm. Out: a `Figure`. Vocabulary: as in `packgen.calc.heat`; the curve of
the hotter air is the thick one, and each curve is named, so that one colour is enough.
Governing text: ISO 128 for line widths (edition from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from packgen.calc.heat import Cooling
from packgen.sheets.drawing import DASHED, MIDDLE, THICK, THIN, Drawing, Line, text_width
from packgen.sheets.figure_base import GAP, Figure, Words
from packgen.sheets.strokes import Point

_LETTER = 3.2  # mm: 9 pt on a page
_HEIGHT = 40.0  # mm of the axis of temperature
_MINUTES = (5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0)  # from one label of the time axis to the next
_LABELS = 9  # at most, on the time axis
_STEP = 50.0  # degree Celsius from one label of the other axis to the next


class _Axes:
    """Where a time and a temperature stand on paper."""

    def __init__(self, cooling: Cooling, width: float) -> None:
        longest = max(cooling.seconds) * 1.12
        self.tick = next((each for each in _MINUTES if longest / 60.0 / each <= _LABELS), _MINUTES[-1])
        self.longest = longest
        self.top = (max(cooling.peaks) // _STEP + 1.0) * _STEP
        self._wide, self._tall = width / longest, _HEIGHT / self.top

    def at(self, seconds: float, degrees: float) -> Point:
        """A point of the figure; time to the right, temperature upward."""
        return (seconds * self._wide, -degrees * self._tall)


def cooling_curves(cooling: Cooling, end: float, texts: Sequence[str], words: Words, width: float) -> Figure:
    """The plane's temperature from fusion end, and when it is at the end temperature.

    Parameters: `cooling` of the reference and of the hottest band; `end` temperature, degree Celsius; `texts`
    of reference, hottest band, end temperature and the two times; `words`; `width` of the box, mm. Returns
    the figure.
    """
    drawing, left = Drawing(_LETTER), text_width("000", _LETTER) + 2 * GAP
    axes = _Axes(cooling, width - left - GAP)
    _grid(drawing, axes, words)
    for curve, line in zip(cooling.curves, (MIDDLE, THICK), strict=True):
        drawing.line(*_points(axes, cooling.times, curve), width=line)
    drawing.line(axes.at(0.0, end), axes.at(axes.longest, end), width=THIN, dash=DASHED)
    named = Line(f"{words['cool.end']} {texts[2]}")
    drawing.block(_above(axes.at(axes.longest, end)), (named,), "end", "above")
    said = []
    for letter, seconds, air, time in zip("AB", cooling.seconds, texts[:2], texts[3:], strict=True):
        at = axes.at(seconds, end)
        drawing.circle(at, 0.8, fill="#000")
        drawing.block((at[0], at[1] + 2 * GAP), (Line(letter, True),), "middle", "below")
        said.append(f"{letter}  {words['cool.curve']} {air}: {time}")
    drawing.block(axes.at(axes.longest, axes.top * 0.9), [Line(each) for each in said], "end", "middle")
    _, top, _, bottom = drawing.box
    alt = f"{words['cool.title']}. {words['cool.alt'].strip()} {'; '.join(said)}."
    tall = round(bottom - top + 2.0, 2)
    strings = tuple(label.words for label in drawing.labels)
    return Figure("cooling-curves", words["cool.title"], drawing.svg(width, tall), alt, "", strings, tall)


def _above(point: Point) -> Point:
    """A little above a line."""
    return (point[0], point[1] - GAP)


def _points(axes: _Axes, times: Sequence[float], curve: Sequence[float]) -> list[Point]:
    """A curve from fusion end to the end of the axis."""
    found: list[Point] = []
    for (early, hot), (late, cold) in pairwise(zip(times, curve, strict=True)):
        if late < 0.0 or early > axes.longest:
            continue
        if late > axes.longest:
            late, cold = axes.longest, hot + (cold - hot) * (axes.longest - early) / (late - early)
        found += [] if found or early < 0.0 else [axes.at(early, hot)]
        found.append(axes.at(late, cold))
    return found


def _grid(drawing: Drawing, axes: _Axes, words: Words) -> None:
    """Both axes with their labels."""
    corner, right = axes.at(0.0, 0.0), axes.at(axes.longest, 0.0)
    drawing.line(axes.at(0.0, axes.top), corner, right)
    minutes = 0.0
    while minutes * 60.0 <= axes.longest:
        x, y = axes.at(minutes * 60.0, 0.0)
        drawing.line((x, y), (x, y + GAP), width=THIN)
        drawing.block((x, y + 2 * GAP), (Line(f"{minutes:.0f}"),), "middle", "below")
        minutes += axes.tick
    degrees = 0.0
    while degrees <= axes.top:
        x, y = axes.at(0.0, degrees)
        drawing.line((x - GAP, y), (x, y), width=THIN)
        drawing.block((x - 2 * GAP, y), (Line(f"{degrees:.0f}"),), "end")
        degrees += _STEP
    drawing.block((right[0], right[1] + 2 * GAP + 4.5), (Line(words["cool.time"]),), "end", "below")
    drawing.block(_above(axes.at(0.0, axes.top)), (Line(words["cool.degrees"]),), "start", "above")
