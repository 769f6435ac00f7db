"""What pressure is a pipe rated for?

In: dimension ratio and material strengths, as plain floats in the units of the values register (kPa).
Out: pressure ratings in the same unit; a pressure is gauge pressure.
Vocabulary: `dimension_ratio` (DR, SDR) is outside diameter over minimum wall.
Governing texts: ASTM F714 and ASTM D3035 (design stress), ISO 4427-1 (minimum required strength), 49 CFR
192.121 (gas in the United States).
"""

from __future__ import annotations

import math

from packgen.calc._guard import refuse, require_bore
from packgen.errors import require_positive


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
    require_bore(dimension_ratio)
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
    require_bore(dimension_ratio)
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
    require_bore(dimension_ratio)
    if design_factor > 1.0:
        refuse("design_factor", f"a factor of {design_factor:g} raises the rating", "at most 1")
    return min(cap, 2.0 * design_basis * design_factor / (dimension_ratio - 1.0))
