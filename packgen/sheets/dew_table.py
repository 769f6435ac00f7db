"""How warm the pipe must be to stay dry: a lookup by air and humidity that a crew reads beside the joint.

In: a `View` with its window and its least margin. Out: a heading and a table for each system of units that is
printed. Vocabulary: as in `packgen.calc.weather`. A reading between two rows or columns takes the hotter and
the damper one, which is safe, since the least temperature rises with both. A cell may ask for a pipe that
is warmer than the air: in such damp nothing else stays dry.
Source: the steps of air and humidity are our own choice, as many as stand on a card.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache

from packgen.calc.weather import least_pipe_temperature
from packgen.register import REGISTER
from packgen.rounding import System, decimal_text, in_system
from packgen.sheets.blocks import Section, Spans, Table, spans
from packgen.sheets.view import View
from packgen.units import UNITS, convert, join

HUMIDITIES = tuple(range(40, 101, 10))  # percent
# The unit of a thermometer, and from one row of air to the next: 5 K, or the round number of F° next to it.
STEPS: dict[System, tuple[str, int]] = {"us": ("degF", 10), "si": ("degC", 5)}
_SHARES = (0.16, *(0.84 / len(HUMIDITIES),) * len(HUMIDITIES))


def dew_tables(view: View, _names: tuple[str, ...] = ()) -> Iterator[Section | Table]:
    """A lookup in each system of units asked for, that of the pipe first."""
    head = (view.words("dew.air"), *(join(str(humidity), "percent") for humidity in HUMIDITIES))
    names = ("ambient_min", "ambient_max", "dew_margin_min")
    low, high, margin = (view.combination.number(f"weather.{name}") for name in names)
    assert low is not None and high is not None and margin is not None  # work rules state them
    for system in _systems(view):
        yield Section(view.words("dew.title", unit=UNITS[STEPS[system][0]].symbol))
        rows = _rows(low, high, margin, system)
        yield Table(tuple(spans(text) for text in head), rows, _SHARES, small=True)


def _systems(view: View) -> tuple[System, ...]:
    """The systems of units that are printed."""
    if view.units != "both":
        return (view.units,)
    return ("us", "si") if view.request.first == "us" else ("si", "us")


@cache
def _rows(low: float, high: float, margin: float, system: System) -> tuple[tuple[Spans, ...], ...]:
    """A row for each air temperature of a window, a cell for each humidity."""
    return tuple(
        (spans(label, "strong"), *(_cell(air, humidity, margin, system) for humidity in HUMIDITIES))
        for label, air in _airs(low, high, system)
    )


def _airs(low: float, high: float, system: System) -> Iterator[tuple[str, float]]:
    """What stands before each row, and its air, degree Celsius: round steps in the window, then its end."""
    unit, step = STEPS[system]
    coldest, hottest = (convert(end, "degC", unit) for end in (low, high))
    for number in range(math.ceil(coldest / step) * step, math.floor(hottest), step):
        yield join(decimal_text(number, 0, "nearest"), unit), convert(float(number), unit, "degC")
    yield in_system(high, REGISTER["weather.ambient_max"], system), high


def _cell(air: float, humidity: int, margin: float, system: System) -> Spans:
    """The least pipe temperature, rounded up."""
    unit = STEPS[system][0]
    least = convert(least_pipe_temperature(air, humidity, margin), "degC", unit)
    return spans(join(decimal_text(least, 0, "up"), unit), "value")
