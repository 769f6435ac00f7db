"""Which hole saw, and how far does it travel?

In: saw series, bores, diameters and walls with the work rules' clearances and margins, as plain floats in the
units of the values register (mm, percent).
Out: the saw, its clearance, travels and depth mark in mm, the opening in percent.
Vocabulary: *saw* is the diameter that is cut, oversize included where one is stated; *travel* is counted from
the teeth touching the main's crown; the *least bore* is the narrowest place of the whole path; the *pilot*
drill runs ahead of the teeth by its projection.
Source: plane geometry of a cylinder cut square to its axis.
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.calc._cylinder import height_over_axis, inner_radius
from packgen.calc._guard import FLOAT_NOISE, refuse, require_percent, require_zero_or_more
from packgen.errors import require_positive


def largest_saw(
    sizes: Sequence[float],
    least_bore: float,
    clearance_min: float,
    inside_diameter_mean: float,
    share_percent: float,
) -> float | None:
    """Answer: which is the largest listed hole saw that may be used?

    Parameters
    ----------
    sizes
        diameters of the listed saws, in any order, mm
    least_bore
        narrowest bore of the whole path, mm
    clearance_min
        least clearance on each side, runout included, mm
    inside_diameter_mean
        mean inside diameter of the main, mm
    share_percent
        share of that diameter which the work rule lets the hole take, percent

    Returns
    -------
    float | None
        diameter of the saw, mm; None where no listed saw fits

    Raises
    ------
    OutOfRange
        a number is not above zero, the clearance is below zero, or the share is not below 100

    Source
    ------
    Arithmetic; clearance and share are the owner's rule (common practice, no source).

    Example
    -------
    2 in lateral on 6 in IPS DR 11, bore 1.90 in, 1/16 in a side, 60 % of 5.349 in: the 1-3/4 in saw.

    >>> largest_saw([38.1, 44.45, 50.8], 48.26, 1.5875, 135.8577, 60.0)
    44.45
    """
    require_positive(least_bore=least_bore, inside_diameter_mean=inside_diameter_mean)
    require_zero_or_more(clearance_min=clearance_min)
    require_percent(share_percent=share_percent)
    for size in sizes:
        require_positive(sizes=size)
    limit = min(least_bore - 2.0 * clearance_min, share_percent / 100.0 * inside_diameter_mean)
    # A saw that fits exactly (1.775 in from 1.900 - 0.125) must not be lost to the noise of inches in mm.
    return max((size for size in sizes if size <= limit + FLOAT_NOISE), default=None)


def clearance(least_bore: float, saw: float) -> float:
    """Answer: how much room is there on each side of the saw?

    Parameters
    ----------
    least_bore
        narrowest bore of the whole path, mm
    saw
        diameter of the hole saw, mm

    Returns
    -------
    float
        clearance on each side, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or the saw is larger than the bore

    Source
    ------
    Arithmetic.

    Example
    -------
    A 1-3/4 in saw in a bore of 1.90 in: 0.075 in.

    >>> round(clearance(48.26, 44.45) / 25.4, 3)
    0.075
    """
    require_positive(least_bore=least_bore, saw=saw)
    if saw > least_bore:
        what = f"a saw of {saw:g} mm does not enter a bore of {least_bore:g} mm"
        refuse("saw", what, cure="use a smaller saw")
    return (least_bore - saw) / 2.0


def edge_drop(radius: float, hole_radius: float) -> float:
    """Answer: how far below the crown do the sides of a round hole lie on the main's surface?

    Parameters
    ----------
    radius
        outside radius of the main, mm
    hole_radius
        radius of the hole, mm

    Returns
    -------
    float
        drop from the crown to the hole's sides, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or the hole is as wide as the main

    Source
    ------
    Arithmetic: height of a circle's segment, R - sqrt(R^2 - r^2).

    Example
    -------
    A 2 in hole in a main of 4.5 in: 0.2344 in.

    >>> round(edge_drop(57.15, 25.4) / 25.4, 4)
    0.2344
    """
    require_positive(radius=radius, hole_radius=hole_radius)
    return radius - height_over_axis(radius, hole_radius)


def travel_to_breakthrough(outside_diameter: float, wall_max: float, saw: float) -> float:
    """Answer: how far does the saw travel from touching the crown until the coupon is free all round?

    Parameters
    ----------
    outside_diameter
        outside diameter of the main, mm
    wall_max
        thickest permitted wall of the main, mm
    saw
        diameter that is cut, mm

    Returns
    -------
    float
        travel, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, the wall leaves no bore, or the saw is as wide as the bore

    Source
    ------
    Arithmetic: the teeth are through last where they meet the inner wall at the sides, sqrt(Ri^2 - r^2) above
    the main's middle.

    Example
    -------
    1-3/4 in saw on 4 in IPS DR 11 with the thickest permitted wall: 0.686 in.

    >>> round(travel_to_breakthrough(114.3, 1.12 * 10.3886, 44.45) / 25.4, 3)
    0.686
    """
    require_positive(outside_diameter=outside_diameter, wall_max=wall_max, saw=saw)
    return outside_diameter / 2.0 - height_over_axis(inner_radius(outside_diameter, wall_max), saw / 2.0)


def travel_set(
    outside_diameter_min: float, wall_max: float, saw: float, oversize: float, overtravel: float
) -> float:
    """Answer: what travel is set on the drilling tool, so that every permitted main is cut through?

    Parameters
    ----------
    outside_diameter_min
        least mean outside diameter of the main, mm
    wall_max
        thickest permitted wall of the main, mm
    saw
        nominal diameter of the saw, mm
    oversize
        how much wider than its nominal diameter the saw cuts, mm
    overtravel
        what the work rule adds after breaking through, mm

    Returns
    -------
    float
        travel from the teeth touching the crown, mm

    Raises
    ------
    OutOfRange
        a number is not in its range, the wall leaves no bore, or the saw is as wide as the bore

    Source
    ------
    Arithmetic; oversize and overtravel are the owner's rule (common practice, no source).

    Example
    -------
    1-3/4 in saw on 4 in IPS DR 11 to ASTM F714, cutting 1/32 in wide, 1/8 in over: 0.822 in.

    >>> round(travel_set(113.792, 1.12 * 10.3886, 44.45, 0.79375, 3.175) / 25.4, 3)
    0.822
    """
    require_positive(saw=saw)
    require_zero_or_more(oversize=oversize, overtravel=overtravel)
    return travel_to_breakthrough(outside_diameter_min, wall_max, saw + oversize) + overtravel


def travel_limit(
    outside_diameter_min: float, wall_max: float, saw: float, pilot_projection: float, margin: float
) -> float:
    """Answer: beyond what travel could the teeth or the pilot drill mark the far wall?

    Parameters
    ----------
    outside_diameter_min
        least mean outside diameter of the main, mm
    wall_max
        thickest permitted wall of the main, mm
    saw
        diameter that is cut, oversize included, mm
    pilot_projection
        how far the pilot drill stands out in front of the teeth, 0 without one, mm
    margin
        distance from the far wall that the work rule keeps, mm

    Returns
    -------
    float
        greatest travel, mm; zero or less where the pilot drill is too long for this main at all

    Raises
    ------
    OutOfRange
        a number is not in its range, the wall leaves no bore, or the saw is as wide as the bore

    Source
    ------
    Arithmetic: the lesser of Ro + sqrt(Ri^2 - r^2), the teeth, and Ro + Ri - projection, the pilot, less the
    margin.

    Example
    -------
    1-3/4 in saw, pilot 1/2 in ahead, on 4 in IPS DR 11 to ASTM F714, 1/4 in kept: 3.272 in.

    >>> round(travel_limit(113.792, 1.12 * 10.3886, 44.45, 12.7, 6.35) / 25.4, 3)
    3.272
    """
    require_positive(outside_diameter_min=outside_diameter_min, wall_max=wall_max, saw=saw)
    require_zero_or_more(pilot_projection=pilot_projection, margin=margin)
    outer, inner = outside_diameter_min / 2.0, inner_radius(outside_diameter_min, wall_max)
    teeth = outer + height_over_axis(inner, saw / 2.0)
    pilot = outer + inner - pilot_projection
    return min(teeth, pilot) - margin


def depth_mark(outlet_height: float, travel: float) -> float:
    """Answer: how far up the shank from the saw's teeth is the mark that meets the rim at full travel?

    Parameters
    ----------
    outlet_height
        height of the outlet's rim over the main's crown, mm
    travel
        travel set on the drilling tool, mm

    Returns
    -------
    float
        distance from the teeth to the mark, mm

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic.

    Example
    -------
    A rim 80 mm over the crown and a travel of 21 mm.

    >>> depth_mark(80.0, 21.0)
    101.0
    """
    require_positive(outlet_height=outlet_height, travel=travel)
    return outlet_height + travel


def flow_area_percent(saw: float, lateral_inside_diameter: float) -> float:
    """Answer: how large is the hole against the lateral's bore?

    Parameters
    ----------
    saw
        diameter of the hole, mm
    lateral_inside_diameter
        mean inside diameter of the lateral, mm

    Returns
    -------
    float
        area of the hole over area of the bore, percent

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic.

    Example
    -------
    A 1-3/4 in hole for a 2 in IPS DR 11 lateral of 1.917 in: 83 %.

    >>> round(flow_area_percent(44.45, 48.6918))
    83
    """
    require_positive(saw=saw, lateral_inside_diameter=lateral_inside_diameter)
    return 100.0 * (saw / lateral_inside_diameter) ** 2
