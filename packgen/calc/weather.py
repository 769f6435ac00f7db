"""Is the air too damp to fuse in, and in which air may all of the tools work?

In: air and surface temperatures, humidity, margins and windows, as plain floats in the units of the values
register (degC, percent, K).
Out: dew point and least pipe temperature, degC; margin, K; the window that all share, or None.
Vocabulary: at the *dew point* this air leaves water on a surface, at the *frost point* it leaves frost; the
*settling point* is the warmer of the two, which below 0 degC is the frost point, by up to 3 K in the trade's
weather; the *dew margin* is how far the pipe's surface is above it. A cold water main sweats on a warm day.
Governing text: WMO-No. 8, Annex 4.B, vapour pressure over water and over ice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from packgen.calc._guard import refuse, require_order

# WMO-No. 8, Annex 4.B: e = 6.112 exp(17.62 t / (243.12 + t)) hPa over water, and over ice with 22.46 and
# 272.62 (from memory); the 6.112 cancels here.
_WATER, _ICE = (17.62, 243.12), (22.46, 272.62)
# WMO-No. 8, Annex 4.B: the temperatures the formula is given for (from memory), degC.
_COLDEST, _HOTTEST = -45.0, 60.0


def dew_point(air: float, humidity_percent: float) -> float:
    """Answer: at which temperature does this air leave water on a surface?

    Parameters
    ----------
    air
        temperature of the air, degree Celsius
    humidity_percent
        relative humidity over water, above 0 and at most 100, percent

    Returns
    -------
    float
        dew point, degree Celsius

    Raises
    ------
    OutOfRange
        the air is outside -45 to 60 degrees Celsius, or the humidity is not above 0 or is more than 100

    Source
    ------
    WMO-No. 8, Annex 4.B, vapour pressure over water, solved for the temperature by arithmetic; the small
    factor for the air's pressure cancels.

    Example
    -------
    20 degrees Celsius and 50 %: 9.26 degrees Celsius.

    >>> round(dew_point(20.0, 50.0), 2)
    9.26
    """
    return _saturated_at(air, humidity_percent, *_WATER)


def settling_point(air: float, humidity_percent: float) -> float:
    """Answer: at which temperature does this air begin to leave water or frost on a surface?

    Parameters
    ----------
    air
        temperature of the air, degree Celsius
    humidity_percent
        relative humidity over water, above 0 and at most 100, percent

    Returns
    -------
    float
        dew point or frost point, the warmer, degree Celsius

    Raises
    ------
    OutOfRange
        the air is outside -45 to 60 degrees Celsius, or the humidity is not above 0 or is more than 100

    Source
    ------
    WMO-No. 8, Annex 4.B, vapour pressure over water and, for frost, over ice (constants over ice from
    memory), solved for the temperature by arithmetic.

    Example
    -------
    20 degrees Celsius and 50 %: the dew point; 0 degrees Celsius and 70 %: frost.

    >>> round(settling_point(20.0, 50.0), 2), round(settling_point(0.0, 70.0), 2)
    (9.26, -4.26)
    """
    frost = _saturated_at(air, humidity_percent, *_ICE)
    return max(dew_point(air, humidity_percent), frost)


def dew_margin(surface: float, settles_at: float) -> float:
    """Answer: how far is the pipe's surface above the temperature at which water or frost settles?

    Parameters
    ----------
    surface
        temperature of the pipe's surface, degree Celsius
    settles_at
        settling point of the air, degree Celsius

    Returns
    -------
    float
        margin, below zero where the surface sweats, K (a step of one degree Celsius)

    Raises
    ------
    OutOfRange
        a temperature is not finite

    Source
    ------
    Arithmetic.

    Example
    -------
    A main at 12 degrees Celsius in air that settles at 9.3: 2.7 K.

    >>> round(dew_margin(12.0, 9.3), 1)
    2.7
    """
    _require_finite(surface=surface, settles_at=settles_at)
    return surface - settles_at


def least_pipe_temperature(air: float, humidity_percent: float, margin: float) -> float:
    """Answer: how warm must the pipe's surface be at least, so that it stays dry?

    The result rises with air temperature and with humidity, so that a reading between two rows or columns of
    a printed table is safe by the next higher one.

    Parameters
    ----------
    air
        temperature of the air, degree Celsius
    humidity_percent
        relative humidity over water, above 0 and at most 100, percent
    margin
        how far the work rule keeps the surface above the settling point, K (steps of one degree Celsius)

    Returns
    -------
    float
        least temperature of the pipe's surface, degree Celsius

    Raises
    ------
    OutOfRange
        air or humidity is outside the formula, or the margin is below zero

    Source
    ------
    WMO-No. 8, Annex 4.B, for the settling point; the margin is the owner's rule; arithmetic.

    Example
    -------
    25 degrees Celsius, 60 % and a margin of 3 K: 19.69 degrees Celsius.

    >>> round(least_pipe_temperature(25.0, 60.0, 3.0), 2)
    19.69
    """
    if not 0.0 <= margin < math.inf:
        refuse("margin", f"margin is {margin!r} K", "a finite number, zero or more")
    return settling_point(air, humidity_percent) + margin


def window_overlap(windows: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """Answer: in which air temperatures may fitting, control unit and all the rest be used together?

    Parameters
    ----------
    windows
        coldest and hottest air of each, degree Celsius

    Returns
    -------
    tuple[float, float] | None
        coldest and hottest air that all permit, degree Celsius; None where they share none

    Raises
    ------
    OutOfRange
        there is no window, a temperature is not finite, or a window's coldest is above its hottest

    Source
    ------
    Arithmetic: the hottest of the coldest and the coldest of the hottest.

    Example
    -------
    A fitting for -5 to 45 degrees Celsius and a control unit for -10 to 40.

    >>> window_overlap([(-5.0, 45.0), (-10.0, 40.0)])
    (-5.0, 40.0)
    """
    if not windows:
        refuse("windows", "there is no window to overlap", "one at least")
    for coldest, hottest in windows:
        _require_finite(coldest=coldest, hottest=hottest)
        require_order(coldest=coldest, hottest=hottest)
    low, high = max(low for low, _ in windows), min(high for _, high in windows)
    return (low, high) if low <= high else None


def _saturated_at(air: float, humidity_percent: float, slope: float, offset: float) -> float:
    """The temperature at which the air's vapour is all that a surface of water, or of ice, lets be."""
    if not _COLDEST <= air <= _HOTTEST:
        what = f"air of {air:g} degC is outside the formula"
        refuse("air", what, f"{_COLDEST:g} to {_HOTTEST:g} degC", "correct the air temperature")
    if not 0.0 < humidity_percent <= 100.0:
        what = f"humidity is {humidity_percent!r} percent"
        refuse("humidity_percent", what, "above 0 and at most 100", "correct the humidity")
    water_slope, water_offset = _WATER
    exponent = math.log(humidity_percent / 100.0) + water_slope * air / (water_offset + air)
    return offset * exponent / (slope - exponent)


def _require_finite(**temperatures: float) -> None:
    for name, temperature in temperatures.items():
        if not math.isfinite(temperature):
            refuse(name, f"{name.replace('_', ' ')} is {temperature!r} degC", "a finite number")
