"""How much is peeled off, how often may it be done, and how large is the zone?

In: the peel depth and limits that the family or the work rules state, with the pipe's and the saddle's
dimensions, as plain floats in the units of the values register (mm, degree, percent).
Out: share of the wall lost, diameters before and after, number of passes, size of the zone to peel.
Vocabulary: a *pass* is one run of the peeler; a *footprint* peel covers the saddle's base on one side of the
main, a *whole circumference* peel goes all round it. The peel is judged against the wall and the smallest
diameter the fitting takes, never against the extrusion tolerance of the pipe.
Governing text: depths and limits are stated by the fitting's label or the owner's rule; the rest is
arithmetic.
"""

from __future__ import annotations

import math
from typing import Literal, get_args

from packgen.calc._guard import FLOAT_NOISE, refuse, require_percent, require_zero_or_more
from packgen.errors import require_positive

Zone = Literal["footprint", "whole circumference"]


def wall_loss_percent(depth_max: float, wall_min: float) -> float:
    """Answer: what share of the minimum wall does the deepest permitted pass take?

    Parameters
    ----------
    depth_max
        greatest depth of one pass, mm
    wall_min
        minimum wall of the main, mm

    Returns
    -------
    float
        share of the wall lost, percent

    Raises
    ------
    OutOfRange
        a number is not above zero, or the pass is as deep as the wall

    Source
    ------
    Arithmetic.

    Example
    -------
    0.012 in off the 0.602 in wall of 6 in IPS DR 11: 2.0 %.

    >>> round(wall_loss_percent(0.3048, 15.2908), 1)
    2.0
    """
    require_positive(depth_max=depth_max, wall_min=wall_min)
    if depth_max >= wall_min:
        refuse("depth_max", f"a pass of {depth_max:g} mm goes through a wall of {wall_min:g} mm")
    return 100.0 * depth_max / wall_min


def gouge_depth_max(surface_loss_percent: float, wall_min: float, depth_max: float) -> float:
    """Answer: how deep may a gouge be, so that it and one peel pass together keep to the surface-loss rule?

    Parameters
    ----------
    surface_loss_percent
        share of the wall that may be lost at the surface, percent
    wall_min
        minimum wall of the main, mm
    depth_max
        greatest depth of one pass, mm

    Returns
    -------
    float
        depth, mm; 0 where the pass alone takes the whole share

    Raises
    ------
    OutOfRange
        a number is not in its range

    Source
    ------
    Arithmetic; the share is the owner's rule (10 % of the wall is common practice, no source).

    Example
    -------
    6 in IPS DR 11, 10 % of 0.602 in less one pass of 0.012 in: 0.048 in.

    >>> round(gouge_depth_max(10.0, 15.2908, 0.3048) / 25.4, 4)
    0.0482
    """
    require_positive(wall_min=wall_min, depth_max=depth_max)
    require_percent(surface_loss_percent=surface_loss_percent)
    return max(0.0, surface_loss_percent / 100.0 * wall_min - depth_max)


def diameter_after_one_pass(outside_diameter: float, depth_max: float, zone: Zone) -> float:
    """Answer: what does the diameter across the peeled place measure after one pass of the greatest depth?

    Parameters
    ----------
    outside_diameter
        outside diameter before the pass, mm
    depth_max
        greatest depth of one pass, mm
    zone
        "footprint" (one side peeled) or "whole circumference" (both sides), words, no unit

    Returns
    -------
    float
        diameter measured across the peeled place, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, the zone is not one of the two, or nothing is left of the pipe

    Source
    ------
    Arithmetic: a footprint peel takes its depth off the diameter once, a whole circumference peel twice.

    Example
    -------
    6.625 in after 0.012 in all round: 6.601 in.

    >>> round(diameter_after_one_pass(168.275, 0.3048, "whole circumference") / 25.4, 3)
    6.601
    """
    require_positive(outside_diameter=outside_diameter, depth_max=depth_max)
    if zone not in get_args(Zone):
        refuse("zone", f"the peeled zone is {zone!r}", " or ".join(repr(word) for word in get_args(Zone)))
    diameter = outside_diameter - (depth_max if zone == "footprint" else 2.0 * depth_max)
    if diameter <= 0.0:
        refuse("depth_max", f"a pass of {depth_max:g} mm leaves nothing of {outside_diameter:g} mm")
    return diameter


def passes_max(
    rule_passes: int,
    surface_loss_percent: float,
    wall_min: float,
    depth_max: float,
    outside_diameter: float | None = None,
    main_diameter_min: float | None = None,
) -> int:
    """Answer: how many passes may be made in one place? None at all (0) refuses the joint.

    Parameters
    ----------
    rule_passes
        passes the work rule permits, each
    surface_loss_percent
        share of the wall that may be lost at the surface, percent
    wall_min
        minimum wall of the main, mm
    depth_max
        greatest depth of one pass, mm
    outside_diameter
        outside diameter of the main before peeling, mm; needed with main_diameter_min
    main_diameter_min
        smallest peeled diameter the fitting states it takes, mm; None where it states none

    Returns
    -------
    int
        the least of what rule, wall and fitting permit, each; never below 0

    Raises
    ------
    OutOfRange
        a number is not in its range, or main_diameter_min comes without outside_diameter

    Source
    ------
    Arithmetic; the limits are the owner's rule and the fitting's label. A surface loss of 10 % of the wall is
    common practice, no source.

    Example
    -------
    One pass by rule, though 10 % of a 0.602 in wall would hold five of 0.012 in.

    >>> passes_max(1, 10.0, 15.2908, 0.3048), passes_max(9, 10.0, 15.2908, 0.3048)
    (1, 5)
    """
    require_positive(wall_min=wall_min, depth_max=depth_max)
    require_zero_or_more(rule_passes=rule_passes)
    require_percent(surface_loss_percent=surface_loss_percent)
    limits = [int(rule_passes), _whole_passes(surface_loss_percent / 100.0 * wall_min, depth_max)]
    if main_diameter_min is not None:
        if outside_diameter is None:
            refuse("outside_diameter", "a smallest diameter is stated but no diameter to begin with")
        require_positive(outside_diameter=outside_diameter, main_diameter_min=main_diameter_min)
        limits.append(_whole_passes(outside_diameter - main_diameter_min, 2.0 * depth_max))
    return max(0, min(limits))


def diameter_to_start(main_diameter_min: float, depth_max: float) -> float:
    """Answer: what must the main measure at least before peeling, so that one pass leaves enough?

    Parameters
    ----------
    main_diameter_min
        smallest peeled diameter the fitting states it takes, mm
    depth_max
        greatest depth of one pass, mm

    Returns
    -------
    float
        least measured outside diameter for one pass all round, mm

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic: the pass is counted on both sides, which is never less than a footprint peel takes.

    Example
    -------
    A fitting that takes 6.580 in and a pass of 0.012 in: 6.604 in.

    >>> round(diameter_to_start(167.132, 0.3048) / 25.4, 3)
    6.604
    """
    require_positive(main_diameter_min=main_diameter_min, depth_max=depth_max)
    return main_diameter_min + 2.0 * depth_max


def zone_length(base_length: float, margin: float) -> float:
    """Answer: how long, along the main, is the zone to peel?

    Parameters
    ----------
    base_length
        length of the saddle's base along the main, mm
    margin
        what the work rule adds on each side, mm

    Returns
    -------
    float
        length of the zone along the main, mm

    Raises
    ------
    OutOfRange
        the base is not above zero, or the margin is below zero

    Source
    ------
    Arithmetic; the margin is the owner's rule.

    Example
    -------
    A base of 160 mm and 10 mm each side.

    >>> zone_length(160.0, 10.0)
    180.0
    """
    require_positive(base_length=base_length)
    require_zero_or_more(margin=margin)
    return base_length + 2.0 * margin


def zone_arc(bore_radius: float, half_angle: float, margin: float, outside_diameter_max: float) -> float:
    """Answer: how far round the main does the zone to peel reach, measured on its surface?

    Parameters
    ----------
    bore_radius
        radius of the saddle's bore, mm
    half_angle
        angle from the saddle's crown to its edge, degree
    margin
        what the work rule adds on each side, mm
    outside_diameter_max
        greatest mean outside diameter of the main, mm

    Returns
    -------
    float
        the saddle's arc with both margins, at most the circumference, mm

    Raises
    ------
    OutOfRange
        a length is not above zero, the margin is below zero, or the half-angle is more than 180 degrees

    Source
    ------
    Arithmetic; the margin is the owner's rule.

    Example
    -------
    Bore radius 84 mm, half-angle 44 degrees, 10 mm each side, on 6 in IPS: 149 mm.

    >>> round(zone_arc(84.0, 44.0, 10.0, 169.037))
    149
    """
    require_positive(bore_radius=bore_radius, half_angle=half_angle)
    require_positive(outside_diameter_max=outside_diameter_max)
    require_zero_or_more(margin=margin)
    if half_angle > 180.0:
        refuse("half_angle", f"a half-angle of {half_angle:g} degrees goes beyond once round", "at most 180")
    arc = 2.0 * bore_radius * math.radians(half_angle) + 2.0 * margin
    return min(arc, math.pi * outside_diameter_max)


def zone_area(length: float, arc: float) -> float:
    """Answer: how large is the zone to peel?

    Parameters
    ----------
    length
        length of the zone along the main, mm
    arc
        reach of the zone round the main, mm

    Returns
    -------
    float
        area of the zone, mm2

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic: the curved zone unrolls to a rectangle.

    Example
    -------
    180 mm by 150 mm.

    >>> zone_area(180.0, 150.0)
    27000.0
    """
    require_positive(length=length, arc=arc)
    return length * arc


def _whole_passes(to_give: float, taken_by_one: float) -> int:
    return math.floor(to_give / taken_by_one + FLOAT_NOISE)
