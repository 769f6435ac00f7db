"""Laws of the supply: which way each number moves, and what comes back when a calculation is undone.

In: numbers from hypothesis. Out: a failure with the least numbers that break a law.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packgen.calc import power
from packgen.errors import OutOfRange

POWERS = st.floats(100.0, 20_000.0)
VOLTS = st.floats(100.0, 250.0)
SHARES = st.floats(1.0, 20.0)
OHMS = st.floats(0.5, 30.0)
MORE = st.floats(1.001, 5.0)


@given(POWERS, VOLTS, SHARES, OHMS, MORE)
def test_more_power_or_resistance_makes_the_cord_shorter(
    apparent: float, volts: float, drop: float, ohms: float, more: float
) -> None:
    """Length falls in proportion to power and to resistance, and grows with the square of the voltage."""
    length = power.cord_length_max(apparent, volts, drop, ohms)
    assert power.cord_length_max(apparent * more, volts, drop, ohms) == pytest.approx(length / more)
    assert power.cord_length_max(apparent, volts, drop, ohms * more) == pytest.approx(length / more)
    assert power.cord_length_max(apparent, volts * more, drop, ohms) == pytest.approx(length * more**2)


@given(POWERS, VOLTS, SHARES, OHMS)
def test_the_longest_cord_takes_exactly_the_permitted_drop(
    apparent: float, volts: float, drop: float, ohms: float
) -> None:
    """Ohm's law with the current of the voltage left gives the drop back."""
    length = power.cord_length_max(apparent, volts, drop, ohms)
    left = volts - 2.0 * length / 1e6 * ohms * power.supply_current(apparent, volts, drop)
    assert (volts - left) / volts * 100.0 == pytest.approx(drop)


@given(POWERS, VOLTS, SHARES, OHMS)
def test_constant_power_is_never_longer_than_the_simple_formula(
    apparent: float, volts: float, drop: float, ohms: float
) -> None:
    simple = volts * drop / 100.0 / (2.0 * apparent / volts * ohms) * 1e6
    assert power.cord_length_max(apparent, volts, drop, ohms) < simple


@given(POWERS, st.floats(0.0, 100.0), st.floats(0.0, 50.0), st.floats(0.1, 20.0))
def test_margin_and_derating_only_ask_for_more(load: float, margin: float, lost: float, more: float) -> None:
    rating = power.generator_rating(load, margin, lost)
    assert rating >= load
    assert power.generator_rating(load, margin + more, lost) > rating
    assert power.generator_rating(load, margin, lost + more) > rating


@given(st.floats(10.0, 48.0), st.floats(0.3, 10.0), st.floats(0.1, 25.0), st.floats(20.0, 99.0))
def test_losses_never_lower_what_the_supply_must_give(
    volts: float, ohms: float, tolerance: float, percent: float
) -> None:
    """A coil below its nominal resistance takes more; the supply gives more than that; VA are more than W."""
    output = power.output_power(volts, ohms, tolerance)
    assert output > volts**2 / ohms
    supply = power.supply_power(output, percent)
    assert supply > output
    assert power.apparent_power(supply, percent) > supply


@given(OHMS, st.floats(-40.0, 90.0), st.floats(-40.0, 90.0), st.floats(0.5, 40.0))
def test_warmer_copper_has_more_resistance_and_cools_back(
    ohms: float, stated_at: float, temperature: float, more: float
) -> None:
    warm = power.conductor_resistance(ohms, stated_at, temperature)
    assert power.conductor_resistance(warm, temperature, stated_at) == pytest.approx(ohms)
    assert power.conductor_resistance(ohms, stated_at, temperature + more) > warm


WRONG = [
    lambda: power.output_power(40.0, 3.7, 100.0),
    lambda: power.supply_power(480.0, 0.0),
    lambda: power.supply_power(480.0, 100.1),
    lambda: power.apparent_power(480.0, 100.1),
    lambda: power.generator_rating(480.0, -1.0, 0.0),
    lambda: power.generator_rating(480.0, 25.0, 100.0),
    lambda: power.supply_current(480.0, 120.0, 100.0),
    lambda: power.supply_current(480.0, 0.0, 5.0),
    lambda: power.cord_length_max(480.0, 120.0, 0.0, 6.5),
    lambda: power.cord_length_max(480.0, 120.0, 5.0, 0.0),
    lambda: power.conductor_resistance(7.98, 20.0, -234.5),
    lambda: power.conductor_resistance(7.98, float("nan"), 75.0),
]


@pytest.mark.parametrize("ask", WRONG)
def test_numbers_that_no_supply_can_have_are_refused(ask) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutOfRange):
        ask()


def test_the_whole_of_efficiency_and_power_factor_is_allowed() -> None:
    assert power.supply_power(480.0, 100.0) == 480.0
    assert power.apparent_power(480.0, 100.0) == 480.0
