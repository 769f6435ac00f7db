"""How wide a gap must the clamp close between the saddle and the peeled main?

In: the saddle's bore radius and half-angle with the main's diameters and peel depths, as plain floats in the
units of the values register (mm, degree).
Out: the free gap before clamping, mm.
Vocabulary: the *crown* is the saddle's middle, on top of the main; the *edge* is where its bore ends, at the
half-angle from the crown. A *free* gap stands before the clamp is tightened; it is never compared with the
feeler, which is tried after clamping.
Source: plane geometry of two circles that touch.
"""

from __future__ import annotations

import math

from packgen.calc._guard import refuse, require_order, require_zero_or_more
from packgen.errors import require_positive


def free_gap(bore_radius: float, half_angle: float, pipe_radius: float) -> float:
    """Answer: how wide is the gap when the saddle lies on the peeled main and nothing pulls it down?

    On a main larger than the bore the saddle stands on its edges and the gap is at the crown; on a smaller
    main it lies on its crown and the gap is at the edges, measured square to the main's surface.

    Parameters
    ----------
    bore_radius
        radius of the saddle's bore, mm
    half_angle
        angle from the crown to the saddle's edge, above 0 and at most 90, degree
    pipe_radius
        outside radius of the peeled main, mm

    Returns
    -------
    float
        widest free gap, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or the half-angle is more than 90 degrees

    Source
    ------
    Arithmetic: with bore radius S, pipe radius P and half-angle a, the crown's gap is
    S(1 - cos a) + sqrt(P^2 - S^2 sin^2 a) - P, the edge's is sqrt(S^2 - 2(S - P) S cos a + (S - P)^2) - P.

    Example
    -------
    A bore of radius 57.0 mm and 60 degrees on a main of radius 56.5912 mm stands 0.206 mm off at the edges.

    >>> round(free_gap(57.0, 60.0, 56.5912), 3)
    0.206
    """
    require_positive(bore_radius=bore_radius, half_angle=half_angle, pipe_radius=pipe_radius)
    if half_angle > 90.0:
        refuse("half_angle", f"a half-angle of {half_angle:g} degrees cannot be seated", "at most 90")
    angle = math.radians(half_angle)
    if pipe_radius >= bore_radius:
        edge_height = math.sqrt(pipe_radius**2 - (bore_radius * math.sin(angle)) ** 2)
        return bore_radius * (1.0 - math.cos(angle)) + edge_height - pipe_radius
    offset = bore_radius - pipe_radius
    to_edge = math.sqrt(bore_radius**2 - 2.0 * offset * bore_radius * math.cos(angle) + offset**2)
    return to_edge - pipe_radius


def free_gap_max(
    bore_radius: float,
    half_angle: float,
    outside_diameter_min: float,
    outside_diameter_max: float,
    depth_min: float,
    depth_max: float,
) -> float:
    """Answer: how wide can the free gap be over all mains and peels that are permitted?

    The gap grows as the main's radius leaves the bore's, either way, so the worst is at one end of the band:
    the least main peeled deepest, or the greatest main peeled least.

    Parameters
    ----------
    bore_radius
        radius of the saddle's bore, mm
    half_angle
        angle from the crown to the saddle's edge, above 0 and at most 90, degree
    outside_diameter_min
        least mean outside diameter of the main, mm
    outside_diameter_max
        greatest mean outside diameter of the main, mm
    depth_min
        least peel depth, mm
    depth_max
        greatest peel depth, mm

    Returns
    -------
    float
        widest free gap, mm

    Raises
    ------
    OutOfRange
        a number is not in its range, a band stands the wrong way round, or the peel leaves nothing

    Source
    ------
    Arithmetic: `free_gap` at both ends of the band.

    Example
    -------
    4 in IPS to ASTM F714, peeled 0.009 to 0.012 in, bore radius 57.0 mm, 60 degrees: 0.206 mm.

    >>> round(free_gap_max(57.0, 60.0, 113.792, 114.808, 0.2286, 0.3048), 3)
    0.206
    """
    require_positive(outside_diameter_min=outside_diameter_min, outside_diameter_max=outside_diameter_max)
    require_zero_or_more(depth_min=depth_min, depth_max=depth_max)
    require_order(outside_diameter_min=outside_diameter_min, outside_diameter_max=outside_diameter_max)
    require_order(depth_min=depth_min, depth_max=depth_max)
    least = outside_diameter_min / 2.0 - depth_max
    if least <= 0.0:
        refuse("depth_max", f"a peel of {depth_max:g} mm leaves nothing of {outside_diameter_min:g} mm")
    greatest = outside_diameter_max / 2.0 - depth_min
    return max(free_gap(bore_radius, half_angle, radius) for radius in (least, greatest))
