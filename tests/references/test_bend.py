"""Bend radii against the PPI Handbook, contraction against the trade's rule of thumb.

In: diameters and radii as printed, in. Out: a failure that shows printed and worked value.
"""

from __future__ import annotations

import pytest

from packgen.calc import bend
from packgen.calc.bend import BendRow

INCH = 25.4
# PPI Handbook of Polyethylene Pipe, chapter 7: least radius of a cold bend over the outside diameter, by DR.
TABLE = [
    BendRow(7.0, 9.0, 20.0),
    BendRow(11.0, 13.5, 25.0),
    BendRow(17.0, 21.0, 27.0),
    BendRow(26.0, 26.0, 34.0),
    BendRow(32.5, 32.5, 42.0),
    BendRow(41.0, 41.0, 52.0),
]
AT_FITTING = 100.0


@pytest.mark.parametrize(
    ("ratio", "printed"),
    [(7, 20), (7.3, 20), (9, 20), (11, 25), (13.5, 25), (17, 27), (21, 27), (26, 34), (32.5, 42), (41, 52)],
)
def test_the_factors_of_the_handbook(ratio: float, printed: float) -> None:
    """Every dimension ratio the table names takes its own factor."""
    assert bend.bend_factor(ratio, TABLE) == printed


@pytest.mark.parametrize(
    ("ratio", "factor"), [(10.0, 25.0), (15.5, 27.0), (22.0, 34.0), (33.0, 52.0), (6.3, None), (45.0, None)]
)
def test_a_ratio_the_handbook_does_not_name(ratio: float, factor: float | None) -> None:
    """Between two rows the gentler bend, outside the table none (common practice, no source)."""
    assert bend.bend_factor(ratio, TABLE) == factor


# PPI Handbook, chapter 7: factor times outside diameter, with a fitting in the bend 100 times; in. The first
# as printed, the others by hand.
PRINTED_RADII = [(8.625, 11.0, "215.6", "862.5")]
HAND_RADII = [
    (2.375, 11.0, "59.4", "237.5"),
    (4.500, 17.0, "121.5", "450.0"),
    (1.315, 9.0, "26.3", "131.5"),
]


@pytest.mark.parametrize(("diameter", "ratio", "alone", "with_fitting"), PRINTED_RADII + HAND_RADII)
def test_the_radii_of_the_handbook(diameter: float, ratio: float, alone: str, with_fitting: str) -> None:
    """8 in IPS DR 11 as printed, other sizes by hand."""
    factor = bend.bend_factor(ratio, TABLE)
    assert factor is not None
    outside = diameter * INCH
    assert f"{bend.radius_min(outside, factor) / INCH:.1f}" == alone
    assert f"{bend.radius_min_at_fitting(outside, factor, AT_FITTING) / INCH:.1f}" == with_fitting


# Five diameters on each side of the fitting (AWWA M55 and PPI Handbook, from memory), in.
@pytest.mark.parametrize(("diameter", "printed"), [(2.375, "11.875"), (8.625, "43.125")])
def test_the_gentler_bend_reaches_five_diameters_each_way(diameter: float, printed: str) -> None:
    """Worked by hand."""
    assert f"{bend.length_at_fitting(diameter * INCH, 5.0) / INCH:.3f}" == printed


# Common practice, no source: polyethylene takes 0.00009 for each °F; an inch for every 10 °F in every 100 ft.
@pytest.mark.parametrize(
    ("feet", "fahrenheit", "inches"), [(100.0, 10.0, 1), (100.0, 50.0, 5), (200.0, 20.0, 4)]
)
def test_an_inch_for_ten_degrees_in_a_hundred_feet(feet: float, fahrenheit: float, inches: int) -> None:
    """The rule of thumb is met within a tenth, on the long side."""
    worked = bend.contraction(feet * 12.0 * INCH, 0.00009 * 1.8, fahrenheit / 1.8) / INCH
    assert inches <= worked <= 1.1 * inches


def test_contraction_in_metres_by_hand() -> None:
    """25 m, 0.00018 for each K, from 35 to 10 degC: 112.5 mm."""
    assert bend.contraction(25_000.0, 0.00018, 35.0 - 10.0) == pytest.approx(112.5)


def test_a_pipe_in_warmer_ground_needs_no_slack() -> None:
    """Ground warmer than the pipe shortens nothing."""
    assert bend.contraction(25_000.0, 0.00018, -8.0) == 0.0
