"""Laws of peeling, seating and heating: order, limits, inverse and change of unit."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import fuse, gap, peel

quick = settings(max_examples=50, deadline=None, derandomize=True, database=None)
MM = 25.4
depths = st.floats(0.1, 0.5)
walls = st.floats(2.0, 60.0)
diameters = st.floats(60.0, 700.0)
bores = st.floats(30.0, 350.0)
angles = st.floats(10.0, 85.0)
voltages = st.floats(8.0, 48.0)
times = st.floats(10.0, 1000.0)
ohms = st.floats(0.2, 50.0)


@quick
@given(depths, walls)
def test_wall_loss_is_a_share_that_units_cancel_from(depth: float, wall: float) -> None:
    """The share gives the depth back and is the same in inches."""
    loss = peel.wall_loss_percent(depth, wall)
    assert loss / 100.0 * wall == pytest.approx(depth)
    assert peel.wall_loss_percent(depth * MM, wall * MM) == pytest.approx(loss)


@quick
@given(diameters, depths)
def test_peeling_all_round_takes_twice_what_the_footprint_takes(diameter: float, depth: float) -> None:
    """Both zones lose diameter, the whole circumference twice as much."""
    footprint = diameter - peel.diameter_after_one_pass(diameter, depth, "footprint")
    all_round = diameter - peel.diameter_after_one_pass(diameter, depth, "whole circumference")
    assert footprint > 0.0
    assert all_round == pytest.approx(2.0 * footprint, rel=1e-9, abs=1e-9)


@quick
@given(diameters, depths)
def test_a_main_that_measures_the_diameter_to_start_spares_just_one_pass(
    diameter: float, depth: float
) -> None:
    """Peeled all round from there, the main ends at the smallest diameter the fitting takes."""
    start = peel.diameter_to_start(diameter, depth)
    assert peel.diameter_after_one_pass(start, depth, "whole circumference") == pytest.approx(diameter)
    assert peel.passes_max(9, 99.0, 100.0, depth, start + 1e-6, diameter) == 1
    assert peel.passes_max(9, 99.0, 100.0, depth, start - 1e-6, diameter) == 0


@quick
@given(st.integers(0, 9), st.floats(0.0, 50.0), walls, depths, st.floats(0.0, 5.0))
def test_the_passes_break_no_limit_and_one_more_would(
    rule: int, loss: float, wall: float, depth: float, spare: float
) -> None:
    """The number obeys rule, wall and fitting, and the next pass would break one of them."""
    count = peel.passes_max(rule, loss, wall, depth, 200.0 + spare, 200.0)

    def permitted(passes: int) -> bool:
        by_wall = passes * depth <= loss / 100.0 * wall + 1e-7
        return passes <= rule and by_wall and 2.0 * passes * depth <= spare + 1e-7

    assert permitted(count)
    assert not permitted(count + 1) or (count + 1) * depth > min(loss / 100.0 * wall, spare / 2.0) - 1e-6


@quick
@given(st.integers(0, 9), st.floats(0.0, 50.0), walls, depths, diameters)
def test_a_fitting_that_states_a_smallest_diameter_never_permits_more(
    rule: int, loss: float, wall: float, depth: float, diameter: float
) -> None:
    """A further limit can only lower the number of passes."""
    without = peel.passes_max(rule, loss, wall, depth)
    assert peel.passes_max(rule, loss, wall, depth, diameter, diameter - 0.7) <= without <= rule


@quick
@given(bores, angles, st.floats(0.0, 30.0), st.floats(50.0, 500.0))
def test_the_zone_holds_the_saddle_and_its_margins(
    bore: float, angle: float, margin: float, length: float
) -> None:
    """The zone is larger than the base by the margins, goes at most once round, and scales with the unit."""
    girth = math.pi * 2.0 * bore
    arc = peel.zone_arc(bore, angle, margin, 2.0 * bore)
    base_arc = peel.zone_arc(bore, angle, 0.0, 2.0 * bore)
    assert base_arc <= arc <= girth + 1e-9
    assert arc == pytest.approx(min(base_arc + 2.0 * margin, girth))
    assert peel.zone_length(length, margin) - 2.0 * margin == pytest.approx(length)
    assert peel.zone_arc(bore * MM, angle, margin * MM, 2.0 * bore * MM) == pytest.approx(arc * MM)
    assert peel.zone_area(length * MM, arc * MM) == pytest.approx(peel.zone_area(length, arc) * MM**2)


@quick
@given(bores, angles)
def test_a_main_of_the_bore_radius_leaves_no_gap(bore: float, angle: float) -> None:
    """A saddle on a main of its own radius lies close all over."""
    assert gap.free_gap(bore, angle, bore) == pytest.approx(0.0, abs=1e-9)


@quick
@given(bores, angles, st.floats(0.001, 0.2), st.floats(1.0, 2.0))
def test_the_gap_grows_as_the_radii_part(bore: float, angle: float, off: float, further: float) -> None:
    """Larger or smaller, the further the main's radius is from the bore's the wider the gap."""
    for sign in (-1.0, 1.0):
        near = gap.free_gap(bore, angle, bore * (1.0 + sign * off))
        far = gap.free_gap(bore, angle, bore * (1.0 + sign * min(off * further, 0.3)))
        assert 0.0 <= near <= far + 1e-9


@quick
@given(bores, angles, st.floats(0.0, 0.2))
def test_the_gap_never_passes_its_limits(bore: float, angle: float, off: float) -> None:
    """On a flat plate the crown stands off by the bore's depth; a thin main by less than 2 x off."""
    depth_of_bore = bore * (1.0 - math.cos(math.radians(angle)))
    assert gap.free_gap(bore, angle, bore * (1.0 + off)) <= depth_of_bore + 1e-9
    assert gap.free_gap(bore, angle, 1e5 * bore) == pytest.approx(depth_of_bore, rel=1e-3)
    assert gap.free_gap(bore, angle, bore * (1.0 - off)) <= 2.0 * off * bore + 1e-9


@quick
@given(bores, angles, st.floats(-0.2, 0.2))
def test_gaps_in_inches_are_gaps_in_millimetres(bore: float, angle: float, off: float) -> None:
    """The gap scales with the radii."""
    narrow = gap.free_gap(bore, angle, bore * (1.0 + off))
    assert gap.free_gap(bore * MM, angle, bore * MM * (1.0 + off)) == pytest.approx(narrow * MM, abs=1e-7)


@quick
@given(bores, angles, st.floats(0.0, 2.0), st.floats(0.0, 0.2), st.floats(0.0, 0.2))
def test_a_wider_band_never_narrows_the_worst_gap(
    bore: float, angle: float, tolerance: float, one: float, other: float
) -> None:
    """The worst gap over a band covers every part of it."""
    low, high = sorted((one, other))
    whole = gap.free_gap_max(bore, angle, 2.0 * bore - tolerance, 2.0 * bore + tolerance, low, high)
    part = gap.free_gap_max(bore, angle, 2.0 * bore - tolerance / 2.0, 2.0 * bore, low, high)
    assert part <= whole + 1e-9
    assert gap.free_gap(bore, angle, bore - (low + high) / 2.0) <= whole + 1e-9


@quick
@given(voltages, times, ohms)
def test_current_power_and_energy_belong_together(voltage: float, time: float, resistance: float) -> None:
    """Volts times amperes are watts, watts times seconds are joules, and ohms come back from both."""
    amperes, watts = fuse.current(voltage, resistance), fuse.power(voltage, resistance)
    assert watts == pytest.approx(voltage * amperes)
    assert watts == pytest.approx(amperes**2 * resistance)
    assert fuse.energy(voltage, time, resistance) * 1000.0 == pytest.approx(watts * time)
    assert fuse.energy(2.0 * voltage, time, resistance) == pytest.approx(
        4.0 * fuse.energy(voltage, time, resistance)
    )


@quick
@given(voltages, times, ohms, st.floats(0.0, 20.0), st.floats(0.0, 5.0), st.floats(0.0, 10.0))
def test_the_energy_band_holds_the_nominal_energy_and_widens_with_tolerance(
    voltage: float, time: float, resistance: float, coil: float, output: float, more: float
) -> None:
    """The nominal energy lies in the band, fills it without tolerance, and tolerance only widens it."""
    nominal = fuse.energy(voltage, time, resistance)
    least, greatest = fuse.energy_band(voltage, time, resistance, coil, output)
    wider = fuse.energy_band(voltage, time, resistance, coil + more, output)
    assert least <= nominal * (1.0 + 1e-12)
    assert nominal <= greatest * (1.0 + 1e-12)
    assert wider[0] <= least
    assert wider[1] >= greatest
    assert fuse.energy_band(voltage, time, resistance, 0.0, 0.0) == pytest.approx((nominal, nominal))
