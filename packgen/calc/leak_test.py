"""At what pressure is a joint tested, how much water fills the test, and what pushes on its ends?

In: pressures, multiples of the owner's rule, bores and lengths, as plain floats in the units of the values
register (kPa, mm, degC; multiples are bare ratios).
Out: test pressures, kPa; volumes, L; force, N; temperature, degC. A pressure is gauge pressure.
Vocabulary: *design pressure* is what a part may carry at its temperature during the test; the *operating
pressure* is the maximum operating pressure of the job; *make-up* is water put in during the hold to keep the
pressure; the *end force* pushes caps, plugs and closed valves off.
Governing texts: 49 CFR 192.513 (gas in plastic, United States), ASTM F2164 (water in polyethylene; its
figures from memory); the owner's rule decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from packgen.calc._guard import refuse, require_percent, require_zero_or_more
from packgen.errors import require_positive

_MM3_IN_LITRE = 1_000_000.0


def gas_pressure_min(operating_pressure: float, multiple: float, least: float) -> float:
    """Answer: at what pressure must gas pipe be tested at least?

    Parameters
    ----------
    operating_pressure
        maximum operating pressure, kPa
    multiple
        multiple of it that the rule asks for, 1 or more, each (a bare ratio)
    least
        pressure the rule never lets the test fall below, kPa

    Returns
    -------
    float
        least test pressure, kPa

    Raises
    ------
    OutOfRange
        a pressure is not above zero, or the multiple is less than 1

    Source
    ------
    49 CFR 192.513(c): 150 percent of the maximum operating pressure or 50 psi, the greater.

    Example
    -------
    60 psi at 1.5 and 50 psi: 90 psi.

    >>> round(gas_pressure_min(413.685, 1.5, 344.738) / 6.894757, 1)
    90.0
    """
    require_positive(operating_pressure=operating_pressure, least=least)
    _require_multiple(multiple)
    return max(multiple * operating_pressure, least)


def gas_pressure_max(design_pressure: float, multiple: float) -> float:
    """Answer: at what pressure may gas pipe be tested at most?

    Parameters
    ----------
    design_pressure
        design pressure at a temperature not less than the pipe's during the test, kPa
    multiple
        multiple of it that the rule permits, 1 or more, each (a bare ratio)

    Returns
    -------
    float
        greatest test pressure, kPa

    Raises
    ------
    OutOfRange
        the pressure is not above zero, or the multiple is less than 1

    Source
    ------
    49 CFR 192.513(c): a multiple of the pressure under 192.121, 3 in older text, 2.5 now (from memory).

    Example
    -------
    102.4 psi at 2.5: 256 psi.

    >>> round(gas_pressure_max(706.023, 2.5) / 6.894757, 1)
    256.0
    """
    require_positive(design_pressure=design_pressure)
    _require_multiple(multiple)
    return multiple * design_pressure


def gas_temperature_max(limit: float, strength_temperature: float | None = None) -> float:
    """Answer: how warm may gas pipe be during the test at most?

    Parameters
    ----------
    limit
        temperature of the rule, degree Celsius
    strength_temperature
        temperature at which the material's long-term strength is known, None where only the rule's limit is
        to count, degree Celsius

    Returns
    -------
    float
        greatest temperature of the pipe, degree Celsius

    Raises
    ------
    OutOfRange
        a temperature is not finite

    Source
    ------
    49 CFR 192.513(d): 100 degrees Fahrenheit, or the temperature at which the long-term hydrostatic strength
    has been determined, the greater.

    Example
    -------
    100 degrees Fahrenheit alone, then with a strength known at 140.

    >>> round(gas_temperature_max(37.778), 1), round(gas_temperature_max(37.778, 60.0), 1)
    (37.8, 60.0)
    """
    known = [limit] if strength_temperature is None else [limit, strength_temperature]
    for temperature in known:
        if not math.isfinite(temperature):
            refuse("temperature", f"a temperature is {temperature!r} degC", "a finite number")
    return max(known)


def water_pressure_max(design_pressures: Sequence[float], multiple: float) -> float:
    """Answer: at what pressure may water pipe be tested at most, at the lowest point of the test?

    Parameters
    ----------
    design_pressures
        design pressure, at its temperature, of every part that sees the test, kPa
    multiple
        multiple of the lowest that the rule permits, 1 or more, each (a bare ratio)

    Returns
    -------
    float
        greatest test pressure, kPa

    Raises
    ------
    OutOfRange
        no part is named, a pressure is not above zero, or the multiple is less than 1

    Source
    ------
    ASTM F2164: 1.5 times the design pressure of the lowest-rated part (from memory).

    Example
    -------
    A main of 160 psi, a fitting of 200 psi, 1.5: 240 psi.

    >>> round(water_pressure_max([1103.161, 1378.951], 1.5) / 6.894757, 1)
    240.0
    """
    if not design_pressures:
        refuse("design_pressures", "no part is named", "the design pressure of each part under test")
    for design_pressure in design_pressures:
        require_positive(design_pressure=design_pressure)
    _require_multiple(multiple)
    return multiple * min(design_pressures)


def fill_volume(bore: float, length: float) -> float:
    """Answer: how much water fills a length of pipe?

    Parameters
    ----------
    bore
        inside diameter of the pipe, mm
    length
        length of pipe that is filled, mm

    Returns
    -------
    float
        volume, L (1,000,000 mm3)

    Raises
    ------
    OutOfRange
        the bore is not above zero, or the length is below zero

    Source
    ------
    Arithmetic: the volume of a cylinder.

    Example
    -------
    10 m of 1.917 in bore: 18.6 L.

    >>> round(fill_volume(48.6918, 10_000.0), 1)
    18.6
    """
    require_positive(bore=bore)
    require_zero_or_more(length=length)
    return math.pi / 4.0 * bore**2 * length / _MM3_IN_LITRE


def makeup_volume(fill_volume: float, allowance_percent: float) -> float:
    """Answer: how much water may be put in during the hold before the test has failed?

    Water put in before the hold, while the pipe still stretches, is no make-up: it is not counted here.

    Parameters
    ----------
    fill_volume
        volume that fills the test, L (1,000,000 mm3)
    allowance_percent
        share of it that the rule allows for the whole hold; 0 where the rule allows none, percent

    Returns
    -------
    float
        greatest make-up, L (1,000,000 mm3)

    Raises
    ------
    OutOfRange
        the volume is below zero, or the share is below zero or not below 100

    Source
    ------
    ASTM F2164, clause 5.4: no leakage is allowed for joints made by heat fusion, so 0; arithmetic where an
    owner's rule allows a share for other joints.

    Example
    -------
    Fused joints only, then 1 % of 18.6 L.

    >>> makeup_volume(18.6, 0.0), round(makeup_volume(18.6, 1.0), 3)
    (0.0, 0.186)
    """
    require_zero_or_more(fill_volume=fill_volume)
    require_percent(allowance_percent=allowance_percent)
    return fill_volume * allowance_percent / 100.0


def end_force(pressure: float, diameter: float) -> float:
    """Answer: with what force does the pressure push a cap, a plug or a closed valve off?

    Parameters
    ----------
    pressure
        test pressure, kPa
    diameter
        diameter on which the pressure acts: the seal's; the outside diameter for a cap over the pipe, mm

    Returns
    -------
    float
        force, N

    Raises
    ------
    OutOfRange
        the pressure is below zero, or the diameter is not above zero

    Source
    ------
    Arithmetic: pressure times the area of a circle.

    Example
    -------
    150 psi on 2.375 in: 665 lbf.

    >>> round(end_force(1034.214, 60.325) / 4.448222)
    665
    """
    require_zero_or_more(pressure=pressure)
    require_positive(diameter=diameter)
    # A pressure of 1 kPa is 0.001 N on each mm2.
    return pressure / 1000.0 * math.pi / 4.0 * diameter**2


def _require_multiple(multiple: float) -> None:
    if not 1.0 <= multiple < math.inf:
        refuse("multiple", f"a multiple of {multiple:g} tests below the pressure it starts from", "1 or more")
