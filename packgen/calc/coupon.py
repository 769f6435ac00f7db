"""What does the hole saw bring out?

In: the main's diameter and wall with the saw's inside diameter and pilot, as plain floats in the units of the
values register (mm; density in kg/m3).
Out: volume of the coupon in mm3, its mass in g.
Vocabulary: the *coupon* is the piece cut out of the main's wall, as wide as the saw is inside; the *pilot*
drill takes a hole out of its middle.
Source: solid geometry of two cylinders whose axes cross at a right angle.
"""

from __future__ import annotations

import math

from packgen.calc._cylinder import height_over_axis, inner_radius
from packgen.calc._guard import refuse, require_zero_or_more
from packgen.errors import require_positive

# The integrand is smooth and periodic, so that evenly spaced points converge faster than any power.
CROSSING_POINTS = 720


def crossing_volume(radius: float, hole_radius: float) -> float:
    """Answer: what volume do two cylinders share whose axes cross at a right angle?

    Parameters
    ----------
    radius
        radius of the wider cylinder, mm
    hole_radius
        radius of the narrower cylinder, at most the other, mm

    Returns
    -------
    float
        common volume, mm3

    Raises
    ------
    OutOfRange
        a number is not above zero, or the narrower cylinder is the wider

    Source
    ------
    J. H. Hubbell, Common volume of two intersecting cylinders, Journal of Research of the National Bureau of
    Standards 69C (1965) no. 2. The same volume is the integral of 4 sqrt(r^2 - x^2) sqrt(R^2 - x^2) over x
    from -r to r, summed here at even steps of the angle asin(x/r).

    Example
    -------
    Equal cylinders of radius 3 mm: 16 R^3 / 3 = 144 mm3.

    >>> round(crossing_volume(3.0, 3.0), 6)
    144.0
    """
    require_positive(radius=radius, hole_radius=hole_radius)
    if hole_radius > radius:
        refuse("hole_radius", f"a hole of radius {hole_radius:g} mm is wider than one of {radius:g} mm")
    step = math.pi / CROSSING_POINTS
    ratio = hole_radius / radius
    angles = (index * step for index in range(CROSSING_POINTS))
    total = math.fsum(math.cos(a) ** 2 * math.sqrt(1.0 - (ratio * math.sin(a)) ** 2) for a in angles)
    return 4.0 * hole_radius**2 * radius * step * total


def coupon_volume(
    outside_diameter: float, wall: float, saw_inside_diameter: float, pilot_diameter: float
) -> float:
    """Answer: what is the volume of the coupon that stays in the saw?

    Parameters
    ----------
    outside_diameter
        outside diameter of the main, mm
    wall
        wall of the main, mm
    saw_inside_diameter
        inside diameter of the hole saw, mm
    pilot_diameter
        diameter of the pilot drill's hole, 0 without one, mm

    Returns
    -------
    float
        volume, mm3

    Raises
    ------
    OutOfRange
        a number is not in its range, the wall leaves no bore, the saw is as wide as the bore, or the pilot
        drill is as wide as the saw

    Source
    ------
    Arithmetic: half the difference of `crossing_volume` at the outer and the inner radius, less the pilot's.

    Example
    -------
    A saw of 41 mm inside with a 6.35 mm pilot on 4 in IPS DR 11: 13.7 cm3.

    >>> round(coupon_volume(114.3, 10.3886, 41.0, 6.35) / 1000.0, 1)
    13.7
    """
    require_positive(outside_diameter=outside_diameter, wall=wall, saw_inside_diameter=saw_inside_diameter)
    require_zero_or_more(pilot_diameter=pilot_diameter)
    if pilot_diameter >= saw_inside_diameter:
        refuse("pilot_diameter", f"a pilot of {pilot_diameter:g} mm leaves no coupon")
    outer, inner = outside_diameter / 2.0, inner_radius(outside_diameter, wall)
    height_over_axis(inner, saw_inside_diameter / 2.0)
    volume = _plug(outer, inner, saw_inside_diameter / 2.0)
    return volume - (_plug(outer, inner, pilot_diameter / 2.0) if pilot_diameter else 0.0)


def coupon_mass(volume: float, density: float) -> float:
    """Answer: what does the coupon weigh?

    Parameters
    ----------
    volume
        volume of the coupon, mm3
    density
        density of the main's material, kg/m3

    Returns
    -------
    float
        mass, g

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic; polyethylene of 940 to 980 kg/m3 by EN ISO 10456.

    Example
    -------
    14 cm3 at 950 kg/m3: 13.3 g.

    >>> round(coupon_mass(14000.0, 950.0), 1)
    13.3
    """
    require_positive(volume=volume, density=density)
    return volume * density * 1e-6


def _plug(outer: float, inner: float, hole_radius: float) -> float:
    return (crossing_volume(outer, hole_radius) - crossing_volume(inner, hole_radius)) / 2.0
