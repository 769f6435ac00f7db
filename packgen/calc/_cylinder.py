"""Heights on a round main, shared by the saw's travel and the coupon.

In: diameters, walls and radii as plain floats, mm.
Out: inner radius and height over the main's axis, mm, or `OutOfRange` where the main has no such place.
Source: plane geometry.
"""

from __future__ import annotations

import math

from packgen.calc._guard import refuse


def inner_radius(outside_diameter: float, wall: float) -> float:
    """Inner radius of a main; a wall that leaves no bore is refused."""
    radius = outside_diameter / 2.0 - wall
    if radius <= 0.0:
        refuse("wall", f"a wall of {wall:g} mm leaves no bore in a main of {outside_diameter:g} mm")
    return radius


def height_over_axis(radius: float, hole_radius: float) -> float:
    """Height over the axis at which a hole's sides meet a cylinder; one as wide as that is refused."""
    if hole_radius >= radius:
        refuse(
            "saw",
            f"a hole of {2.0 * hole_radius:g} mm is as wide as the main, {2.0 * radius:g} mm there",
            cure="use a smaller saw or a tee",
        )
    return math.sqrt(radius**2 - hole_radius**2)
