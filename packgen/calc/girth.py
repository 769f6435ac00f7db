"""What does a tape round a pipe tell, and two calipers across it?

In: outside diameters, out-of-round and reading allowances, as plain floats in mm.
Out: girths in mm; how far out of round a pipe is in percent.
Vocabulary: *girth* is what a tape laid once round the pipe reads; *high* and *low* are the largest and the
smallest outside diameter found with a caliper; a *reading allowance* is how far off a reading may be.
Source: S. Ramanujan for the girth of an ellipse; the rest is arithmetic.
"""

from __future__ import annotations

import math

from packgen.calc._guard import require_order, require_zero_or_more
from packgen.errors import require_positive


def oval_girth(low: float, high: float) -> float:
    """Answer: what does a tape read round a pipe that is out of round?

    The pipe is taken for an ellipse; the formula is short of its true girth by less than one part in a
    million where high is at most twice low.

    Parameters
    ----------
    low
        smallest outside diameter, mm
    high
        largest outside diameter, mm

    Returns
    -------
    float
        girth, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or low is more than high

    Source
    ------
    S. Ramanujan, Modular equations and approximations to pi, Quarterly Journal of Mathematics 45 (1914),
    second formula for the perimeter of an ellipse; agrees with the elliptic integral, otherwise arithmetic.

    Example
    -------
    An ellipse of 10 mm by 6 mm: 25.527 mm.

    >>> round(oval_girth(6.0, 10.0), 3)
    25.527
    """
    require_positive(low=low, high=high)
    require_order(low=low, high=high)
    shape = ((high - low) / (high + low)) ** 2
    return math.pi * (high + low) / 2.0 * (1.0 + 3.0 * shape / (10.0 + math.sqrt(4.0 - 3.0 * shape)))


def girth_band(
    outside_diameter_min: float, outside_diameter_max: float, out_of_round: float, reading: float
) -> tuple[float, float]:
    """Answer: between which readings of a tape may a pipe be of this size?

    From the girth of the least outside diameter to that of the greatest, out of round as far as it may be;
    both ends are moved out by the reading allowance, so that no size is left out by a reading.

    Parameters
    ----------
    outside_diameter_min
        least mean outside diameter, mm
    outside_diameter_max
        greatest mean outside diameter, mm
    out_of_round
        largest less smallest diameter that the pipe may have, mm
    reading
        how far off the reading may be, mm

    Returns
    -------
    tuple[float, float]
        least and greatest reading, mm

    Raises
    ------
    OutOfRange
        a diameter is not above zero, an allowance is below zero, the least is above the greatest, or the
        out-of-round leaves nothing of the pipe

    Source
    ------
    Arithmetic: pi times the least diameter; the girth of an ellipse whose two diameters lie half the
    out-of-round either side of the greatest.

    Example
    -------
    4 in IPS, 4.480 to 4.520 in, round, read to 1/16 in: 14.01 to 14.26 in.

    >>> [round(end / 25.4, 2) for end in girth_band(113.792, 114.808, 0.0, 1.5875)]
    [14.01, 14.26]
    """
    require_positive(outside_diameter_min=outside_diameter_min, outside_diameter_max=outside_diameter_max)
    require_zero_or_more(out_of_round=out_of_round, reading=reading)
    require_order(outside_diameter_min=outside_diameter_min, outside_diameter_max=outside_diameter_max)
    low, high = outside_diameter_max - out_of_round / 2.0, outside_diameter_max + out_of_round / 2.0
    return max(0.0, math.pi * outside_diameter_min - reading), oval_girth(low, high) + reading


def ovality_percent(low: float, high: float) -> float:
    """Answer: how far out of round is the pipe, as a share of its diameter?

    Parameters
    ----------
    low
        smallest outside diameter, mm
    high
        largest outside diameter, mm

    Returns
    -------
    float
        high less low over the mean of the two, percent

    Raises
    ------
    OutOfRange
        a number is not above zero, or low is more than high

    Source
    ------
    Ovality as ASTM D2122 defines it (from memory): largest less smallest over mean diameter.

    Example
    -------
    4.55 in and 4.45 in: 2.2 %.

    >>> round(ovality_percent(113.03, 115.57), 1)
    2.2
    """
    require_positive(low=low, high=high)
    require_order(low=low, high=high)
    return 100.0 * (high - low) / ((high + low) / 2.0)
