"""Holes, travels, gaps and peels against values published or worked by hand, at their printed precision.

In: values as text, so that trailing zeros count.
Out: a failure that shows the printed and the worked value.
"Worked by hand" means worked out apart from packgen from the formula named beside it.
"""

from __future__ import annotations

import pytest

from packgen.calc import coupon, gap, peel, place, tap

MM = 25.4


def prints_as(value: float, printed: str) -> bool:
    """Whether a value, rounded to as many places as the source prints, reads as the source does."""
    places = len(printed.partition(".")[2])
    return f"{value:.{places}f}" == printed


# Height of a circle's segment R - sqrt(R^2 - r^2). The first three: main and hole in inches, worked by hand.
# The last two: worked examples of a public page on the sagitta (radius 10, chord 12; radius 15, chord 20).
@pytest.mark.parametrize(
    ("radius", "hole_radius", "printed"),
    [
        (2.25, 1.0, "0.2344"),
        (3.3125, 1.0, "0.1545"),
        (4.3125, 2.0, "0.4918"),
        (10.0, 6.0, "2"),
        (15.0, 10.0, "3.82"),
    ],
)
def test_the_drop_of_the_hole_edge_is_the_segment_height(
    radius: float, hole_radius: float, printed: str
) -> None:
    """The sides of the hole lie below the crown by the height of the segment."""
    assert prints_as(tap.edge_drop(radius * MM, hole_radius * MM) / MM, printed)


# Ro - sqrt((Ro - t)^2 - r^2) with ASTM F714 walls (in), worked by hand; t is the wall that stands in the row.
@pytest.mark.parametrize(
    ("diameter", "wall", "saw", "printed"),
    [
        (4.500, 0.409, 1.75, "0.630"),
        (4.500, 1.12 * 0.409, 1.75, "0.686"),
        (6.625, 1.12 * 0.602, 1.75, "0.824"),
        (8.625, 1.12 * 0.784, 1.75, "0.991"),
        (8.625, 1.12 * 0.784, 3.375, "1.32"),
    ],
)
def test_travel_to_break_through_inch_mains(diameter: float, wall: float, saw: float, printed: str) -> None:
    """The saw is through when its sides leave the inner wall."""
    assert prints_as(tap.travel_to_breakthrough(diameter * MM, wall * MM, saw * MM) / MM, printed)


def test_travel_to_break_through_a_metric_main() -> None:
    """160 mm SDR 11, thickest wall 16.2 mm (ISO 4427-2), 46 mm saw: 20.5 mm, worked by hand."""
    assert prints_as(tap.travel_to_breakthrough(160.0, 16.2, 46.0), "20.5")


# 4 in IPS peeled 0.009 to 0.012 in, bore radius 57.0 mm, half-angle 60 degrees, mm, worked by hand; bands of
# ASTM F714 and (from memory) ASTM D3035, in.
@pytest.mark.parametrize(("least", "greatest", "printed"), [(4.480, 4.520, "0.206"), (4.491, 4.509, "0.135")])
def test_free_gap_of_a_saddle_on_4_in_ips(least: float, greatest: float, printed: str) -> None:
    """The worst gap over the band is that of the least main peeled deepest."""
    worst = gap.free_gap_max(57.0, 60.0, least * MM, greatest * MM, 0.009 * MM, 0.012 * MM)
    assert prints_as(worst, printed)


# J. H. Hubbell, J. Res. NBS 69C (1965) no. 2: equal cylinders share 16 R^3 / 3 (Steinmetz).
@pytest.mark.parametrize(
    ("radius", "printed"), [(1.0, "5.333333"), (3.0, "144.000000"), (6.0, "1152.000000")]
)
def test_equal_cylinders_share_the_steinmetz_volume(radius: float, printed: str) -> None:
    """Crossing cylinders of one radius share 16 R^3 / 3."""
    assert prints_as(coupon.crossing_volume(radius, radius), printed)


# A quarter turn on 4 in IPS, either way, and a half turn, in; pi D / 4 and pi D / 2 by hand.
@pytest.mark.parametrize(
    ("angle", "printed"), [(0.0, "0.00"), (90.0, "3.53"), (180.0, "7.07"), (270.0, "3.53")]
)
def test_the_mark_round_the_main(angle: float, printed: str) -> None:
    """The mark is laid off from the top, the shorter way round."""
    assert prints_as(place.arc_from_top(angle, 4.500 * MM) / MM, printed)


# A pass of 0.010 in (common practice, no source) on 6 in IPS, in; arithmetic.
@pytest.mark.parametrize(("zone", "printed"), [("whole circumference", "6.605"), ("footprint", "6.615")])
def test_a_pass_all_round_takes_its_depth_twice(zone: peel.Zone, printed: str) -> None:
    """A pass of 0.010 in all round takes 0.020 in off the diameter, one on the footprint 0.010 in."""
    assert prints_as(peel.diameter_after_one_pass(6.625 * MM, 0.010 * MM, zone) / MM, printed)


# 0.012 in (common practice, no source) of ASTM F714 walls, percent; arithmetic.
@pytest.mark.parametrize(("wall", "printed"), [(0.409, "2.93"), (0.602, "1.99"), (0.784, "1.53")])
def test_the_share_of_the_wall_that_a_pass_takes(wall: float, printed: str) -> None:
    """The deepest pass takes two or three parts in a hundred of these walls."""
    assert prints_as(peel.wall_loss_percent(0.012 * MM, wall * MM), printed)


INCH_SAWS = [1.0, 1.25, 1.5, 1.625, 1.75, 1.875, 2.0, 2.5, 3.0, 3.25, 3.375, 3.5, 3.75, 4.0]
METRIC_SAWS = [38.0, 40.0, 44.0, 46.0, 48.0, 51.0]


# 1/16 in a side and 60 % of the mean inside diameter (common practice, no source), mean ID by the PPI
# Handbook, ch. 6.
@pytest.mark.parametrize(
    ("bore", "inside_diameter", "size"), [(1.90, 3.633, 1.75), (1.90, 5.349, 1.75), (3.60, 6.963, 3.375)]
)
def test_the_largest_inch_saw(bore: float, inside_diameter: float, size: float) -> None:
    """A bore of 1.90 in takes the 1-3/4 in saw, one of 3.60 in the 3-3/8 in saw."""
    sizes = [saw * MM for saw in INCH_SAWS]
    assert tap.largest_saw(sizes, bore * MM, MM / 16.0, inside_diameter * MM, 60.0) == pytest.approx(
        size * MM
    )


def test_the_largest_metric_saw() -> None:
    """A bore of 50.5 mm on 160 mm SDR 11 (mean ID 129.7 mm by ISO 4427-2) takes the 46 mm saw."""
    assert tap.largest_saw(METRIC_SAWS, 50.5, MM / 16.0, 129.7, 60.0) == 46.0


def test_a_saw_that_fits_exactly_is_not_lost() -> None:
    """With 1/16 in a side, a saw 1/8 in under its bore fits at every bore, though floats put some over."""
    for hundredths in range(100, 500):
        bore, saw = hundredths / 100.0 * MM, (hundredths * 10 - 125) / 1000.0 * MM
        assert tap.largest_saw([saw], bore, 0.0625 * MM, 10.0 * MM, 60.0) == saw


# (saw / bore)^2: 1-3/4 in into 1.917 in, 3-3/8 in into 3.633 in, percent; arithmetic.
@pytest.mark.parametrize(("saw", "bore", "printed"), [(1.75, 1.917, "83.3"), (3.375, 3.633, "86.3")])
def test_the_hole_against_the_lateral_bore(saw: float, bore: float, printed: str) -> None:
    """The hole is smaller than the lateral's bore by the square of the diameters."""
    assert prints_as(tap.flow_area_percent(saw * MM, bore * MM), printed)


# Saddle arcs by hand, mm: 2 R a + 2 margins, or pi D where that is less (pi 100 = 314.16).
@pytest.mark.parametrize(
    ("half_angle", "margin", "printed"),
    [(90.0, 0.0, "157.08"), (90.0, 20.0, "197.08"), (170.0, 20.0, "314.16")],
)
def test_the_peeled_arc_goes_at_most_once_round(half_angle: float, margin: float, printed: str) -> None:
    """A zone that would overlap itself ends at the circumference."""
    assert prints_as(peel.zone_arc(50.0, half_angle, margin, 100.0), printed)
