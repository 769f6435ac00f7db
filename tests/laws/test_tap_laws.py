"""Laws of the cut: larger saws travel further, limits bound travels, and inches in give inches out."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import coupon, tap

quick = settings(max_examples=50, deadline=None, derandomize=True, database=None)
MM = 25.4
diameters = st.floats(50.0, 700.0)
wall_shares = st.floats(0.03, 0.13)
saw_shares = st.floats(0.05, 0.95)


def cut(diameter: float, wall_share: float, saw_share: float) -> tuple[float, float, float]:
    """A main with a wall and a saw that goes through its bore."""
    wall = wall_share * diameter
    return diameter, wall, saw_share * (diameter - 2.0 * wall)


cuts = st.builds(cut, diameters, wall_shares, saw_shares)


@quick
@given(cuts)
def test_breaking_through_takes_more_than_the_wall_and_less_than_the_radius(
    main: tuple[float, float, float],
) -> None:
    """On a round main the saw travels further than the wall is thick."""
    diameter, wall, _ = main
    assert wall < tap.travel_to_breakthrough(*main) < diameter / 2.0


@quick
@given(cuts, st.floats(0.1, 0.99))
def test_a_smaller_saw_or_a_thinner_wall_is_through_sooner(
    main: tuple[float, float, float], share: float
) -> None:
    """Travel grows with saw and with wall."""
    diameter, wall, saw = main
    travel = tap.travel_to_breakthrough(*main)
    assert tap.travel_to_breakthrough(diameter, wall, share * saw) < travel
    assert tap.travel_to_breakthrough(diameter, share * wall, saw) < travel


@quick
@given(diameters, wall_shares)
def test_a_fine_drill_travels_the_wall(diameter: float, wall_share: float) -> None:
    """As the saw shrinks to nothing, the travel comes down to the wall."""
    wall = wall_share * diameter
    assert tap.travel_to_breakthrough(diameter, wall, 1e-4) == pytest.approx(wall, abs=1e-6)


@quick
@given(cuts, st.floats(0.0, 5.0))
def test_a_smaller_main_of_the_same_wall_needs_more_travel(
    main: tuple[float, float, float], less: float
) -> None:
    """The least diameter of the band is the safe one for the travel that is set."""
    diameter, wall, saw = main
    smaller = max(diameter - less, saw + 2.0 * wall + 1e-3)
    assert tap.travel_to_breakthrough(smaller, wall, saw) >= tap.travel_to_breakthrough(*main) - 1e-9


@quick
@given(cuts, st.floats(0.0, 2.0), st.floats(0.0, 10.0))
def test_the_travel_set_is_never_short_of_breaking_through(
    main: tuple[float, float, float], oversize: float, overtravel: float
) -> None:
    """Oversize and overtravel only add; without them the travel set is the travel to break through."""
    diameter, wall, saw = main
    oversize = min(oversize, (diameter - 2.0 * wall - saw) / 2.0)
    travel = tap.travel_set(diameter, wall, saw, oversize, overtravel)
    assert travel >= tap.travel_to_breakthrough(*main) + overtravel - 1e-9
    assert tap.travel_set(diameter, wall, saw, 0.0, 0.0) == tap.travel_to_breakthrough(*main)


@quick
@given(cuts, st.floats(0.0, 40.0), st.floats(0.0, 20.0))
def test_the_limit_keeps_teeth_and_pilot_off_the_far_wall(
    main: tuple[float, float, float], pilot: float, margin: float
) -> None:
    """At the limit the pilot's tip and the teeth are at least the margin away from the far wall."""
    diameter, wall, saw = main
    limit = tap.travel_limit(diameter, wall, saw, pilot, margin)
    inner = diameter / 2.0 - wall
    tip_height = diameter / 2.0 - limit - pilot
    teeth_height = diameter / 2.0 - limit
    assert tip_height + inner >= margin - 1e-9
    assert teeth_height + math.sqrt(inner**2 - (saw / 2.0) ** 2) >= margin - 1e-9


@quick
@given(cuts, st.floats(0.0, 40.0), st.floats(0.0, 20.0), st.floats(0.0, 5.0))
def test_a_longer_pilot_or_a_wider_margin_never_raises_the_limit(
    main: tuple[float, float, float], pilot: float, margin: float, more: float
) -> None:
    """The limit falls with the pilot's projection and, one for one, with the margin."""
    limit = tap.travel_limit(*main, pilot, margin)
    assert tap.travel_limit(*main, pilot + more, margin) <= limit
    assert tap.travel_limit(*main, pilot, margin + more) == pytest.approx(limit - more)


@quick
@given(cuts)
def test_teeth_meet_both_walls_evenly_about_the_axis(main: tuple[float, float, float]) -> None:
    """Near wall and far wall lie alike, so breaking through and the teeth's limit add up to the diameter."""
    through = tap.travel_to_breakthrough(*main)
    assert through + tap.travel_limit(*main, 0.0, 0.0) == pytest.approx(main[0])


@quick
@given(cuts)
def test_cuts_in_inches_are_cuts_in_millimetres(main: tuple[float, float, float]) -> None:
    """Lengths scale by 25.4, volumes by its cube."""
    larger = [MM * length for length in main]
    assert tap.travel_to_breakthrough(*larger) == pytest.approx(MM * tap.travel_to_breakthrough(*main))
    assert tap.travel_limit(*larger, 5.0 * MM, 2.0 * MM) == pytest.approx(
        MM * tap.travel_limit(*main, 5.0, 2.0)
    )
    assert tap.edge_drop(larger[0], larger[2]) == pytest.approx(MM * tap.edge_drop(main[0], main[2]))
    assert coupon.coupon_volume(*larger, 0.0) == pytest.approx(MM**3 * coupon.coupon_volume(*main, 0.0))


@quick
@given(cuts, st.floats(0.05, 0.9))
def test_the_coupon_lies_between_a_flat_disc_and_the_whole_travel(
    main: tuple[float, float, float], pilot_share: float
) -> None:
    """The coupon is more than a disc of the wall, less than a plug of the travel; a pilot lightens it."""
    disc = math.pi / 4.0 * main[2] ** 2
    volume = coupon.coupon_volume(*main, 0.0)
    assert disc * main[1] < volume < disc * tap.travel_to_breakthrough(*main)
    assert coupon.coupon_volume(*main, pilot_share * main[2]) < volume


@quick
@given(st.floats(10.0, 400.0), st.floats(0.001, 0.05))
def test_a_fine_hole_shares_a_plain_cylinder(radius: float, ratio: float) -> None:
    """A narrow hole through the axis shares its own area times the main's diameter."""
    plain = math.pi * (ratio * radius) ** 2 * 2.0 * radius
    assert coupon.crossing_volume(radius, ratio * radius) == pytest.approx(plain, rel=ratio**2)


@quick
@given(st.floats(100.0, 1e6), st.floats(900.0, 1000.0))
def test_the_coupon_mass_gives_volume_and_density_back(volume: float, density: float) -> None:
    """Mass over volume is the density, g in mm3 being a million kg in m3."""
    assert coupon.coupon_mass(volume, density) / volume * 1e6 == pytest.approx(density)


saw_lists = st.lists(st.floats(10.0, 150.0), max_size=12)


@quick
@given(saw_lists, st.floats(20.0, 150.0), st.floats(0.0, 5.0), st.floats(30.0, 600.0), st.floats(10.0, 90.0))
def test_the_saw_chosen_is_the_largest_that_obeys_both_limits(
    sizes: list[float], bore: float, side: float, inside: float, share: float
) -> None:
    """The chosen saw obeys both limits and every larger listed one breaks one of them."""
    chosen = tap.largest_saw(sizes, bore, side, inside, share)
    fits = [size for size in sizes if size <= bore - 2.0 * side and 100.0 * size <= share * inside]
    if chosen is None:
        assert fits == []
    else:
        assert chosen in sizes
        assert tap.clearance(bore, chosen) >= side - 1e-8
        assert all(size <= chosen for size in fits)


@quick
@given(saw_lists, st.floats(20.0, 150.0), st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_more_clearance_never_takes_a_larger_saw(
    sizes: list[float], bore: float, side: float, more: float
) -> None:
    """A wider clearance gives the same saw, a smaller one or none; the order of the list does not matter."""
    loose = tap.largest_saw(sizes, bore, side, 600.0, 90.0)
    tight = tap.largest_saw(sizes, bore, side + more, 600.0, 90.0)
    assert (tight or 0.0) <= (loose or 0.0)
    assert tap.largest_saw(sizes[::-1], bore, side, 600.0, 90.0) == loose


@quick
@given(st.floats(20.0, 150.0), st.floats(0.01, 1.0))
def test_clearance_gives_the_saw_back(bore: float, share: float) -> None:
    """Bore less twice the clearance is the saw."""
    assert bore - 2.0 * tap.clearance(bore, share * bore) == pytest.approx(share * bore)


@quick
@given(st.floats(1.0, 300.0), st.floats(1.0, 300.0))
def test_the_depth_mark_less_the_travel_is_the_outlet_height(height: float, travel: float) -> None:
    """With the mark at the rim the teeth are the travel below the crown."""
    assert tap.depth_mark(height, travel) - travel == pytest.approx(height)


@quick
@given(st.floats(5.0, 200.0), st.floats(0.1, 3.0))
def test_flow_area_is_the_square_of_the_diameters(bore: float, share: float) -> None:
    """A hole as wide as the bore is 100 percent, one of a share of it that share squared."""
    assert tap.flow_area_percent(bore, bore) == pytest.approx(100.0)
    assert tap.flow_area_percent(share * bore, bore) == pytest.approx(100.0 * share**2)
