"""How much saddle is left beside the hole?

In: the saddle's curve, spread and length with the hole, as plain floats in the units of the values register
(mm, degree).
Out: the saddle left beside the hole, round the main and along it, mm.
Vocabulary: the *half-angle* is the angle from the saddle's crown to its edge, seen from the main's middle.
Source: arithmetic.
"""

from __future__ import annotations

import math

from packgen.calc._guard import refuse
from packgen.errors import require_positive


def left_around(bore_radius: float, half_angle: float, hole: float) -> float:
    """Answer: how much saddle is left beside the hole, measured round the main?

    Parameters
    ----------
    bore_radius
        radius of the saddle's curve, mm
    half_angle
        half of the angle that the base spans round the main, degree
    hole
        diameter of the hole, mm

    Returns
    -------
    float
        length from the hole's side to the edge of the base, mm; below zero where the hole is wider

    Raises
    ------
    OutOfRange
        a number is not above zero, or the half-angle is more than 180 degrees

    Source
    ------
    Arithmetic: length of an arc, less half of the hole.

    Example
    -------
    2 in on 3 in: a curve of 44.3 mm over 70 degrees to each side, a hole of 1-3/4 in.

    >>> round(left_around(44.3, 70.0, 44.45), 1)
    31.9
    """
    require_positive(bore_radius=bore_radius, half_angle=half_angle, hole=hole)
    if half_angle > 180.0:
        refuse("half_angle", f"the half-angle is {half_angle:g} degrees", "at most 180")
    return bore_radius * math.radians(half_angle) - hole / 2.0


def left_along(base_length: float, hole: float) -> float:
    """Answer: how much saddle is left beside the hole, measured along the main?

    Parameters
    ----------
    base_length
        length of the saddle's base along the main, mm
    hole
        diameter of the hole, mm

    Returns
    -------
    float
        length from the hole's side to the end of the base, mm; below zero where the hole is wider

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic: half of the length, less half of the hole.

    Example
    -------
    A base of 160 mm with a hole of 1-3/4 in.

    >>> left_along(160.0, 44.45)
    57.775
    """
    require_positive(base_length=base_length, hole=hole)
    return base_length / 2.0 - hole / 2.0
