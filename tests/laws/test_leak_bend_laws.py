"""Laws of leak test, bend and contraction: order, limits, change of unit, both sides."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import bend, leak_test
from packgen.calc.bend import BendRow

quick = settings(max_examples=60, deadline=None, derandomize=True, database=None)
MM = 25.4
pressures = st.floats(1.0, 3000.0)
multiples = st.floats(1.0, 3.0)
diameters = st.floats(10.0, 1300.0)
lengths = st.floats(0.0, 1e6)
factors = st.floats(10.0, 120.0)
TABLE = [BendRow(7.0, 9.0, 20.0), BendRow(11.0, 13.5, 25.0), BendRow(17.0, 21.0, 27.0)]


@quick
@given(pressures, multiples, pressures, st.floats(0.0, 500.0))
def test_gas_is_never_tested_below_any_of_its_limits(
    operating: float, multiple: float, least: float, more: float
) -> None:
    """Neither below the multiple nor below the least, at one of the two, and no lower at more pressure."""
    test = leak_test.gas_pressure_min(operating, multiple, least)
    assert test >= least
    assert test >= operating * multiple >= operating
    assert test in (least, multiple * operating)
    assert leak_test.gas_pressure_min(operating + more, multiple, least) >= test


@quick
@given(st.lists(pressures, min_size=1, max_size=6), pressures, multiples)
def test_one_part_more_never_raises_the_water_test(
    parts: list[float], further: float, multiple: float
) -> None:
    """No part is tested above its own multiple, and one of them just at it."""
    most = leak_test.water_pressure_max(parts, multiple)
    assert all(most <= multiple * part for part in parts)
    assert any(most == multiple * part for part in parts)
    assert leak_test.water_pressure_max([*parts, further], multiple) <= most


@quick
@given(pressures, multiples)
def test_a_part_under_test_sees_its_design_pressure_at_least(design: float, multiple: float) -> None:
    """A multiple of one is the limit from below; the gas limit is that of one part alone."""
    assert leak_test.gas_pressure_max(design, 1.0) == design <= leak_test.gas_pressure_max(design, multiple)
    assert leak_test.gas_pressure_max(design, multiple) == leak_test.water_pressure_max([design], multiple)


@quick
@given(diameters, lengths, lengths, st.floats(0.0, 99.0))
def test_volumes_add_up_and_scale_with_the_unit(
    bore: float, length: float, further: float, allowance: float
) -> None:
    """Two lengths hold what they hold together, an inch is 25.4³ mm³, and make-up is a share of the fill."""
    whole = leak_test.fill_volume(bore, length + further)
    parts = leak_test.fill_volume(bore, length) + leak_test.fill_volume(bore, further)
    assert parts == pytest.approx(whole)
    assert leak_test.fill_volume(bore * MM, length * MM) == pytest.approx(
        leak_test.fill_volume(bore, length) * MM**3
    )
    assert 0.0 <= leak_test.makeup_volume(whole, allowance) <= whole
    assert leak_test.makeup_volume(whole, 0.0) == 0.0


@quick
@given(pressures, diameters)
def test_the_end_force_is_pressure_times_area(pressure: float, diameter: float) -> None:
    """1 MPa is 1 N on each mm²; twice the diameter is four times the force; no pressure, no force."""
    force = leak_test.end_force(pressure, diameter)
    assert force / (math.pi * (diameter / 2.0) ** 2) * 1000.0 == pytest.approx(pressure)
    assert leak_test.end_force(pressure, 2.0 * diameter) == pytest.approx(4.0 * force)
    assert leak_test.end_force(0.0, diameter) == 0.0


@quick
@given(st.floats(7.0, 21.0), st.floats(0.0, 14.0))
def test_a_thinner_pipe_is_never_bent_tighter(ratio: float, thinner: float) -> None:
    """Within the table the factor never falls as the dimension ratio rises, and every ratio has one."""
    factor, next_factor = (bend.bend_factor(dr, TABLE) for dr in (ratio, min(21.0, ratio + thinner)))
    assert factor is not None
    assert next_factor is not None
    assert factor <= next_factor


@quick
@given(st.floats(2.1, 60.0), st.permutations(TABLE))
def test_the_order_of_the_rows_does_not_matter(ratio: float, rows: list[BendRow]) -> None:
    """The table is a table, not a list of steps; outside it nothing is stated."""
    factor = bend.bend_factor(ratio, rows)
    assert factor == bend.bend_factor(ratio, TABLE)
    assert (factor is None) == (ratio < 7.0 - 1e-9 or ratio > 21.0 + 1e-9)


def test_between_two_rows_the_gentler_bend_holds_whichever_row_it_is_in() -> None:
    """A table whose factor falls gives the greater of the two as well."""
    falling = [BendRow(7.0, 9.0, 40.0), BendRow(11.0, 13.5, 25.0)]
    assert bend.bend_factor(10.0, falling) == 40.0
    assert bend.bend_factor(9.0, falling) == 40.0
    assert bend.bend_factor(11.0, falling) == 25.0


@quick
@given(diameters, factors, factors)
def test_a_fitting_never_lets_the_pipe_be_bent_tighter(outside: float, alone: float, fitting: float) -> None:
    """With a fitting the radius is the greater of the two, and in inches it is the same bend."""
    radius, at_fitting = (
        bend.radius_min(outside, alone),
        bend.radius_min_at_fitting(outside, alone, fitting),
    )
    assert at_fitting >= radius >= 10.0 * outside
    assert at_fitting == max(radius, bend.radius_min(outside, fitting))
    assert bend.radius_min(outside / MM, alone) * MM == pytest.approx(radius)
    assert bend.length_at_fitting(2.0 * outside, alone) == pytest.approx(2.0 * radius)


@quick
@given(lengths, st.floats(1e-5, 3e-4), st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_two_drops_shorten_as_much_as_one_of_both(
    length: float, coefficient: float, drop: float, further: float
) -> None:
    """Contraction adds up over length and over temperature, and there is none the other way."""
    whole = bend.contraction(length, coefficient, drop + further)
    parts = bend.contraction(length, coefficient, drop) + bend.contraction(length, coefficient, further)
    assert parts == pytest.approx(whole)
    assert bend.contraction(2.0 * length, coefficient, drop) == pytest.approx(
        2.0 * bend.contraction(length, coefficient, drop)
    )
    assert bend.contraction(length, coefficient, -further) == 0.0
