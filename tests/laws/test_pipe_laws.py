"""Laws every pipe obeys, whatever its size: order, limits, inverse and change of unit."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import pipe, place, rating, squeeze

quick = settings(max_examples=50, deadline=None, derandomize=True, database=None)
MM = 25.4
HALF_THOUSANDTH = 0.0005 * MM
diameters = st.floats(15.0, 1300.0)
ratios = st.floats(6.0, 41.0)
pressures = st.floats(1000.0, 20000.0)


@quick
@given(diameters, ratios)
def test_diameter_over_wall_is_the_ratio_to_rounding(diameter: float, ratio: float) -> None:
    """The wall is never further from D/DR than half a thousandth of an inch, and stands on a thousandth."""
    wall = pipe.inch_wall_min(diameter, ratio)
    assert abs(wall - diameter / ratio) <= HALF_THOUSANDTH * 1.002
    assert wall / MM * 1000.0 == pytest.approx(round(wall / MM * 1000.0), abs=1e-6)


@quick
@given(diameters, ratios, st.floats(0.0, 10.0), st.floats(0.0, 100.0))
def test_the_wall_falls_with_the_ratio_and_rises_with_the_diameter(
    diameter: float, ratio: float, more_ratio: float, more_diameter: float
) -> None:
    """A higher DR is never thicker, a larger pipe never thinner."""
    wall = pipe.inch_wall_min(diameter, ratio)
    assert pipe.inch_wall_min(diameter, ratio + more_ratio) <= wall
    assert pipe.inch_wall_min(diameter + more_diameter, ratio) >= wall


@quick
@given(diameters, ratios)
def test_the_mean_wall_lies_half_way_between_the_limits(diameter: float, ratio: float) -> None:
    """Half of what the mean inside diameter leaves is the middle of thinnest and thickest wall."""
    thinnest = pipe.inch_wall_min(diameter, ratio)
    thickest = pipe.inch_wall_max(thinnest)
    mean_wall = (diameter - pipe.inch_inside_diameter_mean(diameter, thinnest)) / 2.0
    assert thinnest < thickest
    assert mean_wall == pytest.approx((thinnest + thickest) / 2.0)


@quick
@given(diameters, st.floats(0.0, 10.0))
def test_the_band_lies_evenly_round_the_nominal_diameter(diameter: float, plus_minus: float) -> None:
    """The ends lie either side of the nominal diameter, twice the tolerance apart."""
    least, greatest = pipe.outside_diameter_band(diameter, plus_minus)
    assert least <= diameter <= greatest
    assert greatest - least == pytest.approx(2.0 * plus_minus, abs=1e-9)


@quick
@given(diameters)
def test_girth_gives_the_diameter_back(diameter: float) -> None:
    """The girth over pi is the diameter, and inches in give inches out."""
    assert pipe.girth(diameter) / math.pi == pytest.approx(diameter)
    assert pipe.girth(diameter * MM) == pytest.approx(pipe.girth(diameter) * MM)


@quick
@given(diameters, st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_out_of_roundness_grows_with_the_percentage(diameter: float, one: float, other: float) -> None:
    """A stricter percentage never permits more, and none permits nothing."""
    low, high = sorted((one, other))
    assert pipe.out_of_round_max(diameter, low) <= pipe.out_of_round_max(diameter, high)
    assert pipe.out_of_round_max(diameter, 0.0) == 0.0


@quick
@given(pressures, ratios, st.floats(0.0, 10.0), st.floats(0.1, 1.0))
def test_a_thinner_or_warmer_pipe_is_never_rated_higher(
    stress: float, ratio: float, more_ratio: float, factor: float
) -> None:
    """The rating falls with DR and with the temperature factor, and gives the design stress back."""
    found = rating.water_pressure_rating(stress, ratio)
    assert rating.water_pressure_rating(stress, ratio + more_ratio) <= found
    assert rating.water_pressure_rating(stress, ratio, factor) == pytest.approx(factor * found)
    assert found * (ratio - 1.0) / 2.0 == pytest.approx(stress)


@quick
@given(pressures, ratios, st.floats(1.0, 3.0))
def test_both_water_formulas_agree_on_one_design_stress(
    strength: float, ratio: float, coefficient: float
) -> None:
    """MRS over C is a design stress, so both ways give one rating."""
    by_strength = rating.strength_pressure_rating(strength, coefficient, ratio)
    assert by_strength == pytest.approx(rating.water_pressure_rating(strength / coefficient, ratio))


@quick
@given(pressures, ratios, st.floats(0.1, 1.0), st.floats(50.0, 2000.0))
def test_a_gas_rating_never_passes_its_cap(basis: float, ratio: float, factor: float, cap: float) -> None:
    """The rating is the cap or the formula, whichever is less."""
    found = rating.gas_pressure_rating(basis, factor, ratio, cap)
    formula = rating.water_pressure_rating(basis * factor, ratio)
    assert found <= cap
    assert found == pytest.approx(min(cap, formula))


@quick
@given(st.floats(0.0, 360.0), diameters)
def test_the_mark_is_the_same_both_ways_round(angle: float, diameter: float) -> None:
    """An angle and its mirror image give one distance, half the girth at most, and inches give inches."""
    arc = place.arc_from_top(angle, diameter)
    assert arc == pytest.approx(place.arc_from_top(360.0 - angle, diameter), abs=1e-9)
    assert 0.0 <= arc <= pipe.girth(diameter) / 2.0 + 1e-9
    assert place.arc_from_top(angle, diameter * MM) == pytest.approx(arc * MM)


@quick
@given(diameters, st.floats(0.5, 10.0), st.floats(1.0, 1000.0))
def test_the_squeeze_distance_satisfies_both_parts_of_the_rule(
    diameter: float, multiple: float, least: float
) -> None:
    """The distance is never below either part of the rule and equals one of them."""
    distance = squeeze.distance_min(diameter, multiple, least)
    assert distance >= multiple * diameter
    assert distance >= least
    assert distance in (multiple * diameter, least)


@quick
@given(st.floats(1.0, 60.0), st.floats(0.0, 99.0), st.floats(0.0, 99.0))
def test_more_compression_is_a_smaller_stop(wall: float, one: float, other: float) -> None:
    """No compression leaves both walls, and more compression never widens the stop."""
    low, high = sorted((one, other))
    assert squeeze.gap_stop(wall, 0.0) == 2.0 * wall
    assert squeeze.gap_stop(wall, high) <= squeeze.gap_stop(wall, low)


@quick
@given(diameters, st.floats(0.01, 0.9), st.floats(1.0, 200.0))
def test_the_closing_time_times_the_rate_is_the_way(diameter: float, share: float, rate: float) -> None:
    """Time and rate give the bars' way back, half the rate takes twice the time, inches do as well as mm."""
    gap = share * diameter
    time = squeeze.closing_time(diameter, gap, rate)
    assert time / 60.0 * rate == pytest.approx(diameter - gap)
    assert squeeze.closing_time(diameter, gap, rate / 2.0) == pytest.approx(2.0 * time)
    assert squeeze.closing_time(diameter * MM, gap * MM, rate * MM) == pytest.approx(time)
