"""Where round the main does the outlet go?

In: the outlet's clock angle with the main's outside diameter, as plain floats in the units of the values
register (degree, mm).
Out: the distance round the main to mark from its top, mm.
Vocabulary: the *clock angle* is counted clockwise from the top of the main (12 o'clock is 0, 3 o'clock 90).
Source: arithmetic.
"""

from __future__ import annotations

import math

from packgen.calc._guard import refuse
from packgen.errors import require_positive


def arc_from_top(clock_angle: float, outside_diameter: float) -> float:
    """Answer: how far round the main, from its top, is the middle of the outlet?

    The shorter way round is measured: 9 o'clock (270 degrees) is a quarter turn.

    Parameters
    ----------
    clock_angle
        angle from the top of the main, clockwise, 0 to 360, degree
    outside_diameter
        mean outside diameter of the main, mm

    Returns
    -------
    float
        distance on the surface of the main, mm

    Raises
    ------
    OutOfRange
        the diameter is not above zero, or the angle lies outside 0 to 360 degrees

    Source
    ------
    Arithmetic.

    Example
    -------
    A quarter turn on 4 in IPS: 3.53 in.

    >>> round(arc_from_top(270.0, 114.3) / 25.4, 2)
    3.53
    """
    require_positive(outside_diameter=outside_diameter)
    if not 0.0 <= clock_angle <= 360.0:
        refuse("clock_angle", f"the clock angle is {clock_angle!r} degrees", "0 to 360")
    return math.pi * outside_diameter * min(clock_angle, 360.0 - clock_angle) / 360.0
