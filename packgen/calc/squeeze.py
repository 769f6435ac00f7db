"""Where may the main be squeezed off, how far closed, and how slowly?

In: distances, compression and rates of the work rules with the main's dimensions, as plain floats in the
units of the values register (mm, s, percent; rates in mm per minute).
Out: least distance, gap of the stops, least time to close or release.
Vocabulary: the *gap stop* is the distance between the squeeze tool's bars when its stops meet; a stop stated
on the tool's plate wins over the one worked out here.
Governing text: ASTM F1041 (figures from memory); the owner's rule decides.
"""

from __future__ import annotations

from packgen.calc._guard import refuse, require_percent
from packgen.errors import require_positive


def distance_min(outside_diameter: float, diameters: float, least: float) -> float:
    """Answer: how far from a fitting or a joint must the squeeze tool stand at least?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter of the main, mm
    diameters
        multiple of the outside diameter that the work rule asks for, each (a bare ratio)
    least
        distance that the work rule never lets it fall below, mm

    Returns
    -------
    float
        the greater of the multiple and the least distance, mm

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    ASTM F1041, three diameters or 12 in, the greater (from memory); the owner's rule decides.

    Example
    -------
    8 in IPS at three diameters or 12 in: 25.875 in.

    >>> round(distance_min(219.075, 3.0, 304.8) / 25.4, 3)
    25.875
    """
    require_positive(outside_diameter=outside_diameter, diameters=diameters, least=least)
    return max(diameters * outside_diameter, least)


def gap_stop(wall: float, compression_percent: float) -> float:
    """Answer: at what gap between the bars must the stops of the squeeze tool meet?

    Parameters
    ----------
    wall
        the wall that the work rule names (least or thickest permitted), mm
    compression_percent
        how far the two walls are pressed together, percent

    Returns
    -------
    float
        gap between the bars, mm

    Raises
    ------
    OutOfRange
        the wall is not above zero, or the compression is below zero or not below 100

    Source
    ------
    ASTM F1041, wall compression of 30 % (from memory); the owner's rule decides.

    Example
    -------
    4 in IPS DR 11, wall 0.409 in, 30 %: 0.573 in.

    >>> round(gap_stop(10.3886, 30.0) / 25.4, 3)
    0.573
    """
    require_positive(wall=wall)
    require_percent(compression_percent=compression_percent)
    return 2.0 * wall * (1.0 - compression_percent / 100.0)


def closing_time(outside_diameter: float, gap: float, rate_mm_per_min: float) -> float:
    """Answer: how long must closing the squeeze tool take at least, or releasing it?

    Parameters
    ----------
    outside_diameter
        nominal mean outside diameter of the main, mm
    gap
        gap of the stops, mm
    rate_mm_per_min
        fastest permitted movement of the bars, mm per minute

    Returns
    -------
    float
        least time from the pipe's full diameter to the gap, or back, s

    Raises
    ------
    OutOfRange
        a number is not above zero, or the gap is as wide as the pipe

    Source
    ------
    Arithmetic; rates of 2 in/min to close and 0.5 in/min to release are those of ASTM F1041 (from memory).

    Example
    -------
    8 in IPS to a gap of 1.098 in at 2 in/min: 226 s.

    >>> round(closing_time(219.075, 27.8892, 50.8))
    226
    """
    require_positive(outside_diameter=outside_diameter, gap=gap, rate_mm_per_min=rate_mm_per_min)
    if gap >= outside_diameter:
        refuse("gap", f"a gap of {gap:g} mm does not squeeze a pipe of {outside_diameter:g} mm")
    return (outside_diameter - gap) / rate_mm_per_min * 60.0
