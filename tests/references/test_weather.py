"""Dew point against WMO-No. 8 and against a library's figures worked beforehand.

In: air, humidity and printed dew or frost points, degC.
Out: a failure that shows the printed and the worked value.
"""

from __future__ import annotations

import math

import pytest
from scipy import optimize

from packgen.calc import weather


# WMO-No. 8, Annex 4.B, e' = 6.112 exp(17.62 t/(243.12 + t)) hPa, solved with arithmetic of its own.
@pytest.mark.parametrize(
    ("air", "humidity", "printed"),
    [(20.0, 50.0, "9.26"), (25.0, 60.0, "16.69"), (10.0, 90.0, "8.43"), (0.0, 70.0, "-4.82")],
)
def test_the_dew_points_of_wmo_no_8(air: float, humidity: float, printed: str) -> None:
    """To the hundredth of a degree."""
    assert f"{weather.dew_point(air, humidity):.2f}" == printed


@pytest.mark.parametrize("air", [-10.0, 0.0, 15.0, 40.0])
@pytest.mark.parametrize("humidity", [5.0, 35.0, 80.0, 99.0])
def test_the_dew_point_by_root_finding(air: float, humidity: float) -> None:
    """WMO-No. 8, Annex 4.B: at the dew point the air's own vapour saturates it."""

    def pressure(at: float) -> float:
        return 6.112 * math.exp(17.62 * at / (243.12 + at))

    vapour = humidity / 100.0 * pressure(air)
    root = optimize.brentq(lambda at: pressure(at) - vapour, -80.0, 60.0)
    assert weather.dew_point(air, humidity) == pytest.approx(root, abs=1e-6)


# ASHRAE Handbook Fundamentals 2017, ch. 1, as psychrolib 2.5.0 works it; worked beforehand. Its humidity is
# that over ice below 0 degC, so only air of 0 degC and more is compared.
@pytest.mark.parametrize(
    ("air", "humidity", "printed"),
    [
        (40.0, 80.0, 35.88),
        (25.0, 60.0, 16.70),
        (20.0, 50.0, 9.27),
        (10.0, 90.0, 8.44),
        (4.0, 70.0, -0.86),
        (4.0, 50.0, -4.86),
        (0.0, 70.0, -4.26),
        (0.0, 50.0, -8.16),
    ],
)
def test_the_settling_points_of_another_formula(air: float, humidity: float, printed: float) -> None:
    """Dew above freezing within 0.05 K of the other formula, frost below it within 0.02 K."""
    near = 0.05 if printed > 0.0 else 0.02
    assert weather.settling_point(air, humidity) == pytest.approx(printed, abs=near)


def test_frost_settles_on_a_surface_warmer_than_the_dew_point() -> None:
    """At 0 degC and 70 % the dew point, over water, is half a degree too cold to keep frost away."""
    assert weather.settling_point(0.0, 70.0) - weather.dew_point(0.0, 70.0) == pytest.approx(0.56, abs=0.01)


# A margin of 3 K (the trade's, from memory) on the dew points of WMO-No. 8 above.
@pytest.mark.parametrize(
    ("air", "humidity", "printed"),
    [(20.0, 50.0, "12.26"), (25.0, 60.0, "19.69"), (10.0, 90.0, "11.43")],
)
def test_the_least_pipe_temperature_is_the_dew_point_and_the_margin(
    air: float, humidity: float, printed: str
) -> None:
    """Worked by hand from the printed dew points."""
    assert f"{weather.least_pipe_temperature(air, humidity, 3.0):.2f}" == printed


def test_a_cold_water_main_sweats_on_a_warm_day() -> None:
    """A main at 12 degC in air of 25 degC and 60 % is 4.7 K below the dew point."""
    assert round(weather.dew_margin(12.0, weather.settling_point(25.0, 60.0)), 1) == -4.7


def test_the_control_unit_s_window_cuts_a_wider_one() -> None:
    """ISO 12176-2:2008, scope: -10 to +40 degC; an invented fitting for -20 to 45 and one for 0 to 50."""
    unit = (-10.0, 40.0)
    assert weather.window_overlap([(-20.0, 45.0), unit]) == unit
    assert weather.window_overlap([unit, (0.0, 50.0), (-20.0, 45.0)]) == (0.0, 40.0)
    assert weather.window_overlap([unit, (41.0, 50.0)]) is None
