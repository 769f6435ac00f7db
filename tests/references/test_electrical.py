"""Current, power and energy against worked examples of public texts, at their printed precision.

In: values as text, so that trailing zeros count.
Out: a failure that shows the printed and the worked value.
"""

from __future__ import annotations

import pytest

from packgen.calc import fuse


def prints_as(value: float, printed: str) -> bool:
    """Whether a value, rounded to as many places as the source prints, reads as the source does."""
    places = len(printed.partition(".")[2])
    return f"{value:.{places}f}" == printed


# Kuphaldt, Lessons in Electric Circuits, volume I (DC), chapter 2, calculating electric power: 18 V and 36 V
# on 3 ohm (108 W read there, 432 W from memory). OpenStax College Physics, chapter 20, examples of
# resistance and power: a lamp of 4.80 ohm hot and 0.350 ohm cold on 12.0 V (from memory). A public course
# page on heat in a resistor: 220 V on 2200 ohm.
READ_CIRCUITS = [(18.0, 3.0, "6", "108"), (220.0, 2200.0, "0.1", "22")]
REMEMBERED_CIRCUITS = [
    (36.0, 3.0, "12", "432"),
    (12.0, 4.80, "2.50", "30.0"),
    (12.0, 0.350, "34.3", "411"),
]


@pytest.mark.parametrize(("voltage", "resistance", "amperes", "watts"), READ_CIRCUITS + REMEMBERED_CIRCUITS)
def test_current_and_power_are_those_of_the_worked_examples(
    voltage: float, resistance: float, amperes: str, watts: str
) -> None:
    """Voltage over resistance is the printed current, its square over resistance the printed power."""
    assert prints_as(fuse.current(voltage, resistance), amperes)
    assert prints_as(fuse.power(voltage, resistance), watts)


def test_energy_is_that_of_the_worked_example() -> None:
    """220 V on 2200 ohm for 4 h 45 min: 376,200 J, the worked example of a public course page on heat."""
    assert prints_as(fuse.energy(220.0, 4 * 3600 + 45 * 60, 2200.0), "376.200")


def test_a_kilowatt_hour_is_3600_kilojoules() -> None:
    """1 kW (100 V on 10 ohm) for one hour is 3600 kJ, as 1 h is 3600 s (SI Brochure, BIPM, table 8)."""
    assert prints_as(fuse.energy(100.0, 3600.0, 10.0), "3600")


# Coil +-10 % (EN 1555-3, from memory), output exact: V^2 t / (1.1 R) and V^2 t / (0.9 R), kJ; worked by hand
# for 40 V, 80 s, 3.60 ohm (35.556 kJ) and 40 V, 140 s, 1.40 ohm (160 kJ).
@pytest.mark.parametrize(
    ("time", "resistance", "least", "greatest"),
    [(80.0, 3.60, "32.323", "39.506"), (140.0, 1.40, "145.455", "177.778")],
)
def test_energy_bounds_of_the_coil_tolerance(
    time: float, resistance: float, least: str, greatest: str
) -> None:
    """A coil of ten percent either way bounds the energy."""
    low, high = fuse.energy_band(40.0, time, resistance, 10.0, 0.0)
    assert prints_as(low, least)
    assert prints_as(high, greatest)
