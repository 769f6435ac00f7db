"""How far may the lateral be bent, and how much shorter does it get in the cold ground?

In: outside diameter, dimension ratio, the rows of a table of bend factors, lengths and temperatures, as plain
floats in the units of the values register (mm, K; ratios and factors are bare).
Out: radii and lengths, mm.
Vocabulary: a *bend factor* is the least radius of a cold bend over the outside diameter; a *row* of its table
holds from one dimension ratio to another; the radius is that of the pipe's centre line. What a bend or a
contraction is rounded to is not decided here.
Governing text: PPI Handbook of Polyethylene Pipe, chapter 7.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from packgen.calc._guard import FLOAT_NOISE, refuse, require_bore, require_order, require_zero_or_more
from packgen.errors import require_positive


class BendRow(NamedTuple):
    """One row of a table of bend factors: from this dimension ratio up to that one, this factor."""

    ratio_from: float
    ratio_to: float
    factor: float


def bend_factor(dimension_ratio: float, rows: Sequence[BendRow]) -> float | None:
    """Answer: how many outside diameters is the least radius of a bend without a fitting?

    A ratio between two rows takes the greater of their factors.

    Parameters
    ----------
    dimension_ratio
        DR of the pipe, each (a bare ratio)
    rows
        the table: dimension ratios from and to, and the factor, each (bare ratios)

    Returns
    -------
    float | None
        the factor, each (a bare ratio); None for a pipe thicker or thinner than every row

    Raises
    ------
    OutOfRange
        the table has no row, a number in it is not above zero, a row stands the wrong way round, or the ratio
        leaves no bore

    Source
    ------
    PPI Handbook of Polyethylene Pipe, chapter 7, cold bends in open trenches; between rows common practice,
    no source: the gentler bend.

    Example
    -------
    DR 9 to 20 diameters, DR 11 to 13.5 to 25: what DR 11, DR 10 and DR 26 take.

    >>> table = [BendRow(7.0, 9.0, 20.0), BendRow(11.0, 13.5, 25.0)]
    >>> bend_factor(11.0, table), bend_factor(10.0, table), bend_factor(26.0, table)
    (25.0, 25.0, None)
    """
    require_bore(dimension_ratio)
    if not rows:
        refuse("rows", "the table of bend factors has no row", "one at least")
    for row in rows:
        require_positive(ratio_from=row.ratio_from, ratio_to=row.ratio_to, factor=row.factor)
        require_order(ratio_from=row.ratio_from, ratio_to=row.ratio_to)
    begun = [row for row in rows if row.ratio_from <= dimension_ratio + FLOAT_NOISE]
    not_past = [row for row in rows if row.ratio_to >= dimension_ratio - FLOAT_NOISE]
    if not begun or not not_past:
        return None
    # The last row begun and the first not past are one and the same where a row holds the ratio.
    last, first = max(begun, key=lambda row: row.ratio_to), min(not_past, key=lambda row: row.ratio_from)
    return max(last.factor, first.factor)


def radius_min(outside_diameter: float, factor: float) -> float:
    """Answer: how tight may the pipe be bent where no fitting lies in the bend?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    factor
        bend factor of its dimension ratio, each (a bare ratio)

    Returns
    -------
    float
        least radius of the bend, mm

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    PPI Handbook of Polyethylene Pipe, chapter 7: factor times outside diameter.

    Example
    -------
    8 in IPS DR 11, 25 diameters: 215.6 in.

    >>> round(radius_min(219.075, 25.0) / 25.4, 1)
    215.6
    """
    require_positive(outside_diameter=outside_diameter, factor=factor)
    return factor * outside_diameter


def radius_min_at_fitting(outside_diameter: float, factor: float, fitting_factor: float) -> float:
    """Answer: how tight may the pipe be bent where a fitting lies in the bend?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    factor
        bend factor of its dimension ratio without a fitting, each (a bare ratio)
    fitting_factor
        bend factor of the rule with a fitting in the bend, each (a bare ratio)

    Returns
    -------
    float
        least radius of the bend, never tighter than without a fitting, mm

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    PPI Handbook of Polyethylene Pipe, chapter 7: 100 outside diameters.

    Example
    -------
    8 in IPS DR 11 with a fitting in the bend: 862.5 in.

    >>> round(radius_min_at_fitting(219.075, 25.0, 100.0) / 25.4, 1)
    862.5
    """
    require_positive(factor=factor, fitting_factor=fitting_factor)
    return radius_min(outside_diameter, max(factor, fitting_factor))


def length_at_fitting(outside_diameter: float, diameters: float) -> float:
    """Answer: how far on each side of a fitting does the gentler bend reach?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter, mm
    diameters
        multiple of the outside diameter that the work rule asks for, each (a bare ratio)

    Returns
    -------
    float
        length of pipe on each side, mm

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    AWWA M55 and the PPI Handbook, five diameters on each side (from memory); the owner's rule decides.

    Example
    -------
    2 in IPS at five diameters: 11.875 in.

    >>> round(length_at_fitting(60.325, 5.0) / 25.4, 3)
    11.875
    """
    require_positive(outside_diameter=outside_diameter, diameters=diameters)
    return diameters * outside_diameter


def contraction(length: float, coefficient: float, temperature_drop: float) -> float:
    """Answer: how much shorter does a lateral get as it cools down to the ground's temperature?

    Parameters
    ----------
    length
        length of pipe that is free to move, mm
    coefficient
        linear thermal expansion of the material, mm for each mm and each degree Celsius
    temperature_drop
        pipe temperature now less the ground's, below zero where the ground is warmer, K (steps of one
        degree Celsius)

    Returns
    -------
    float
        how much shorter, 0 where the pipe will not cool, mm

    Raises
    ------
    OutOfRange
        the length is below zero, the coefficient is not above zero, or the drop is not finite

    Source
    ------
    Arithmetic: length times coefficient times drop.

    Example
    -------
    100 ft, 0.00015 for each K, 10 K: 1.8 in.

    >>> round(contraction(30_480.0, 0.00015, 10.0) / 25.4, 1)
    1.8
    """
    require_zero_or_more(length=length)
    require_positive(coefficient=coefficient)
    if not math.isfinite(temperature_drop):
        refuse("temperature_drop", f"temperature drop is {temperature_drop!r} K", "a finite number")
    return length * coefficient * max(0.0, temperature_drop)
