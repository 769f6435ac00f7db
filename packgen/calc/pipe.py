"""Which pipe is it, and how thick is its wall?

In: outside diameter, dimension ratio, tolerances and listed walls, as plain floats in the units of the values
register (mm, percent).
Out: walls, inside diameter, tolerance band, girth and out-of-roundness in the same units.
Vocabulary: `dimension_ratio` (DR, SDR) is outside diameter over minimum wall.
Governing texts: ASTM F714 and ASTM D3035 (inch pipe), ISO 4427-2 and ISO 4437 (metric pipe). Walls of ISO
pipe follow no formula and are read from their table.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

from packgen.calc._guard import refuse, require_bore, require_order, require_percent, require_zero_or_more
from packgen.errors import require_positive

MM_PER_INCH = Decimal("25.4")
THOUSANDTH = Decimal("0.001")
# Tables state outside diameters to 0.001 in; six places clear away what floats add on the way through mm.
NOISE_FREE_PLACES = 6


def inch_wall_min(outside_diameter: float, dimension_ratio: float) -> float:
    """Answer: what is the minimum wall of an inch-system pipe?

    Outside diameter over dimension ratio, to 0.001 in, a half going up.

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    dimension_ratio
        DR of the print line, each (a bare ratio)

    Returns
    -------
    float
        minimum wall, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or the dimension ratio leaves no bore

    Source
    ------
    ASTM D3035, table of wall thicknesses, and ASTM F714, table of wall thicknesses: t = D/DR in 0.001 in.
    That a half goes up is common practice, no source.

    Example
    -------
    4 in IPS DR 11: 4.500 in / 11 = 0.409 in.

    >>> inch_wall_min(114.3, 11)
    10.3886
    >>> round(inch_wall_min(114.3, 11) / 25.4, 3)
    0.409
    """
    require_positive(outside_diameter=outside_diameter)
    require_bore(dimension_ratio)
    inches = Decimal(str(round(outside_diameter / float(MM_PER_INCH), NOISE_FREE_PLACES)))
    wall = (inches / Decimal(str(dimension_ratio))).quantize(THOUSANDTH, rounding=ROUND_HALF_UP)
    return float(wall * MM_PER_INCH)


def inch_wall_max(wall_min: float) -> float:
    """Answer: how thick may the wall of an inch-system pipe be?

    Parameters
    ----------
    wall_min
        minimum wall, mm

    Returns
    -------
    float
        thickest permitted wall, 1.12 times the minimum, mm

    Raises
    ------
    OutOfRange
        the wall is not above zero

    Source
    ------
    Wall tolerance +12 %, -0 of ASTM D3035 and ASTM F714, as the PPI Handbook of Polyethylene Pipe,
    2nd edition, chapter 6, uses it (from memory).

    Example
    -------
    4 in IPS DR 11: 1.12 x 0.409 in = 0.458 in.

    >>> round(inch_wall_max(10.3886) / 25.4, 3)
    0.458
    """
    require_positive(wall_min=wall_min)
    return 1.12 * wall_min


def inch_inside_diameter_mean(outside_diameter: float, wall_min: float) -> float:
    """Answer: what is the mean inside diameter of an inch-system pipe?

    The mean wall is 1.06 t, half-way between t and 1.12 t, and stands on both sides: D - 2.12 t.

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    wall_min
        minimum wall, mm

    Returns
    -------
    float
        mean inside diameter, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or the wall leaves no bore

    Source
    ------
    PPI Handbook of Polyethylene Pipe, 2nd edition, chapter 6, average inside diameter (from memory).

    Example
    -------
    4 in IPS DR 11: 4.500 in - 2.12 x 0.409 in = 3.633 in.

    >>> round(inch_inside_diameter_mean(114.3, 10.3886) / 25.4, 3)
    3.633
    """
    require_positive(outside_diameter=outside_diameter, wall_min=wall_min)
    inside_diameter = outside_diameter - 2.12 * wall_min
    if inside_diameter <= 0.0:
        refuse("wall_min", f"a wall of {wall_min:g} mm leaves no bore in a pipe of {outside_diameter:g} mm")
    return inside_diameter


def listed_inside_diameter_mean(
    outside_diameter_min: float, outside_diameter_max: float, wall_min: float, wall_max: float
) -> float:
    """Answer: what is the mean inside diameter of a pipe whose band and walls are listed?

    The mean outside diameter less the mean wall on both sides.

    Parameters
    ----------
    outside_diameter_min
        least mean outside diameter, mm
    outside_diameter_max
        greatest mean outside diameter, mm
    wall_min
        minimum wall, mm
    wall_max
        greatest wall, mm

    Returns
    -------
    float
        mean inside diameter, (D_min + D_max)/2 - e_min - e_max, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, a least one is above its greatest, or the walls leave no bore

    Source
    ------
    Arithmetic; diameters and walls are stated by ISO 4427-2 and ISO 4437, tables of dimensions.

    Example
    -------
    160 mm ISO SDR 11: (160.0 + 161.0)/2 - 14.6 - 16.2 = 129.7 mm.

    >>> round(listed_inside_diameter_mean(160.0, 161.0, 14.6, 16.2), 1)
    129.7
    """
    require_positive(outside_diameter_min=outside_diameter_min, outside_diameter_max=outside_diameter_max)
    require_positive(wall_min=wall_min, wall_max=wall_max)
    require_order(outside_diameter_min=outside_diameter_min, outside_diameter_max=outside_diameter_max)
    require_order(wall_min=wall_min, wall_max=wall_max)
    inside_diameter = (outside_diameter_min + outside_diameter_max) / 2.0 - wall_min - wall_max
    if inside_diameter <= 0.0:
        least = outside_diameter_min
        refuse("wall_max", f"a wall of {wall_max:g} mm leaves no bore in a pipe of {least:g} mm")
    return inside_diameter


def outside_diameter_band(outside_diameter: float, plus_minus: float) -> tuple[float, float]:
    """Answer: between which mean outside diameters may this pipe be made?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    plus_minus
        tolerance of the standard on the print line, either side, mm

    Returns
    -------
    tuple[float, float]
        least and greatest mean outside diameter, mm

    Raises
    ------
    OutOfRange
        the diameter is not above zero, the tolerance is below zero or takes the whole diameter

    Source
    ------
    Arithmetic; the tolerance itself is stated by ASTM F714 or ASTM D3035, table of outside diameters.

    Example
    -------
    4 in IPS to ASTM F714, +-0.020 in: 4.480 to 4.520 in.

    >>> [round(diameter / 25.4, 3) for diameter in outside_diameter_band(114.3, 0.508)]
    [4.48, 4.52]
    """
    require_positive(outside_diameter=outside_diameter)
    require_zero_or_more(plus_minus=plus_minus)
    if plus_minus >= outside_diameter:
        refuse("plus_minus", f"a tolerance of {plus_minus:g} mm leaves nothing of {outside_diameter:g} mm")
    return outside_diameter - plus_minus, outside_diameter + plus_minus


def girth(outside_diameter: float) -> float:
    """Answer: what does a tape laid once round the pipe read?

    Parameters
    ----------
    outside_diameter
        mean outside diameter, mm

    Returns
    -------
    float
        circumference, mm

    Raises
    ------
    OutOfRange
        the diameter is not above zero

    Source
    ------
    Arithmetic: pi times the diameter.

    Example
    -------
    4 in IPS: 14.14 in.

    >>> round(girth(114.3) / 25.4, 2)
    14.14
    """
    require_positive(outside_diameter=outside_diameter)
    return math.pi * outside_diameter


def out_of_round_max(outside_diameter: float, ovality_percent: float) -> float:
    """Answer: how far may the largest and the smallest measured diameter lie apart?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    ovality_percent
        permitted ovality of the work rule, largest less smallest over mean diameter, percent

    Returns
    -------
    float
        greatest permitted difference of the two diameters, mm

    Raises
    ------
    OutOfRange
        the diameter is not above zero, or the percentage is below zero or not below 100

    Source
    ------
    Ovality as ASTM D2122 defines it (from memory); the percentage is the owner's rule.

    Example
    -------
    6 in IPS at 1.5 %: 0.015 x 6.625 in = 0.099 in.

    >>> round(out_of_round_max(168.275, 1.5) / 25.4, 3)
    0.099
    """
    require_positive(outside_diameter=outside_diameter)
    require_percent(ovality_percent=ovality_percent)
    return outside_diameter * ovality_percent / 100.0
