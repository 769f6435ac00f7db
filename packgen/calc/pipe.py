"""Which pipe is it, how thick is its wall, and what pressure is it rated for?

In: outside diameter, dimension ratio, tolerances and material strengths, as plain floats in the units of the
values register (mm, kPa, percent).
Out: walls, inside diameter, tolerance band, girth, out-of-roundness and pressure ratings in the same units.
Vocabulary: `dimension_ratio` (DR, SDR) is outside diameter over minimum wall; a pressure is gauge pressure.
Governing texts: ASTM F714 and ASTM D3035 (inch pipe), ISO 4427-1 (pressure by minimum required strength),
49 CFR 192.121 (gas in the United States). Walls of ISO pipe follow no formula and are read from their table.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

from packgen.calc._guard import refuse, require_percent, require_zero_or_more
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
    _require_bore(dimension_ratio)
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


def water_pressure_rating(
    design_stress: float, dimension_ratio: float, temperature_factor: float = 1.0
) -> float:
    """Answer: what pressure may pipe with a hydrostatic design stress carry in water service?

    Parameters
    ----------
    design_stress
        hydrostatic design stress (HDS) of the material, kPa
    dimension_ratio
        DR of the pipe, each (a bare ratio)
    temperature_factor
        multiplier for the pipe's temperature, above 0 and at most 1, each (a bare ratio)

    Returns
    -------
    float
        pressure rating, 2 HDS F / (DR - 1), kPa

    Raises
    ------
    OutOfRange
        a number is not above zero, the ratio leaves no bore, or the factor is more than 1

    Source
    ------
    ASTM D3035, appendix X1, and ASTM F714, appendix on pressure rating; temperature multiplier of AWWA M55,
    table 4-6.

    Example
    -------
    PE4710, HDS 1000 psi (6894.757 kPa), DR 11: 200 psi.

    >>> round(water_pressure_rating(6894.757, 11) / 6.894757, 6)
    200.0
    """
    require_positive(design_stress=design_stress, temperature_factor=temperature_factor)
    _require_bore(dimension_ratio)
    if temperature_factor > 1.0:
        refuse("temperature_factor", f"a factor of {temperature_factor:g} raises the rating", "at most 1")
    return 2.0 * design_stress * temperature_factor / (dimension_ratio - 1.0)


def strength_pressure_rating(
    minimum_required_strength: float, design_coefficient: float, dimension_ratio: float
) -> float:
    """Answer: what pressure may pipe with a minimum required strength carry in water service?

    Parameters
    ----------
    minimum_required_strength
        MRS of the material, kPa
    design_coefficient
        overall service coefficient C, 1 or more, each (a bare ratio)
    dimension_ratio
        SDR of the pipe, each (a bare ratio)

    Returns
    -------
    float
        nominal pressure, 2 MRS / (C (SDR - 1)), kPa

    Raises
    ------
    OutOfRange
        a number is not above zero, the coefficient is less than 1, or the ratio leaves no bore

    Source
    ------
    ISO 4427-1 and EN 12201-1, nominal pressure by MRS, C and SDR; least coefficient C of ISO 12162.

    Example
    -------
    PE100 (10 MPa), C 1.25, SDR 11: 16 bar.

    >>> strength_pressure_rating(10000.0, 1.25, 11)
    1600.0
    """
    require_positive(minimum_required_strength=minimum_required_strength)
    _require_bore(dimension_ratio)
    if not 1.0 <= design_coefficient < math.inf:
        refuse("design_coefficient", f"a coefficient of {design_coefficient:g} adds no safety", "1 or more")
    return 2.0 * minimum_required_strength / (design_coefficient * (dimension_ratio - 1.0))


def gas_pressure_rating(
    design_basis: float, design_factor: float, dimension_ratio: float, cap: float
) -> float:
    """Answer: what pressure may plastic pipe carry in gas service in the United States?

    Parameters
    ----------
    design_basis
        hydrostatic design basis (HDB) of the material at the pipe's temperature, kPa
    design_factor
        DF of the regulation, above 0 and at most 1, each (a bare ratio)
    dimension_ratio
        SDR of the pipe, each (a bare ratio)
    cap
        pressure the regulation never lets the rating pass, kPa

    Returns
    -------
    float
        design pressure, the lesser of 2 HDB DF / (SDR - 1) and the cap, kPa

    Raises
    ------
    OutOfRange
        a number is not above zero, the factor is more than 1, or the ratio leaves no bore

    Source
    ------
    49 CFR 192.121(a) for the formula, 192.121(b) and (c) for the cap.

    Example
    -------
    PE4710, HDB 1600 psi (11031.61 kPa), DF 0.32, SDR 11, cap 125 psig (861.845 kPa): 102.4 psig.

    >>> round(gas_pressure_rating(11031.61, 0.32, 11, 861.845) / 6.894757, 1)
    102.4
    """
    require_positive(design_basis=design_basis, design_factor=design_factor, cap=cap)
    _require_bore(dimension_ratio)
    if design_factor > 1.0:
        refuse("design_factor", f"a factor of {design_factor:g} raises the rating", "at most 1")
    return min(cap, 2.0 * design_basis * design_factor / (dimension_ratio - 1.0))


def _require_bore(dimension_ratio: float) -> None:
    if not 2.0 < dimension_ratio < math.inf:
        refuse("dimension_ratio", f"a dimension ratio of {dimension_ratio:g} leaves no bore", "more than 2")
