"""Laws of dew, frost and windows: order, limits, inverse, both sides of freezing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import weather

quick = settings(max_examples=60, deadline=None, derandomize=True, database=None)
airs = st.floats(-10.0, 45.0)
humidities = st.floats(5.0, 100.0)
margins = st.floats(0.0, 10.0)
windows = st.tuples(st.floats(-30.0, 60.0), st.floats(-30.0, 60.0)).map(lambda pair: tuple(sorted(pair)))


@quick
@given(airs)
def test_saturated_air_is_at_its_dew_point(air: float) -> None:
    """At 100 % the dew point is the air's own temperature."""
    assert weather.dew_point(air, 100.0) == pytest.approx(air, abs=1e-9)


@quick
@given(airs, humidities)
def test_the_dew_point_gives_the_humidity_back(air: float, humidity: float) -> None:
    """The ratio of the two saturation pressures is the humidity."""

    def pressure(at: float) -> float:
        return math.exp(17.62 * at / (243.12 + at))

    ratio = pressure(weather.dew_point(air, humidity)) / pressure(air)
    assert 100.0 * ratio == pytest.approx(humidity)


@quick
@given(airs, humidities, st.floats(0.01, 5.0), st.floats(0.01, 5.0), margins)
def test_warmer_or_damper_air_asks_for_a_warmer_pipe(
    air: float, humidity: float, warmer: float, damper: float, margin: float
) -> None:
    """Both raise the least temperature, so the next higher row or column of a table is safe."""
    here = weather.least_pipe_temperature(air, humidity, margin)
    assert weather.least_pipe_temperature(air + warmer, humidity, margin) > here
    if humidity + damper <= 100.0:
        assert weather.least_pipe_temperature(air, humidity + damper, margin) > here


@quick
@given(airs, humidities)
def test_the_settling_point_is_dew_above_freezing_and_frost_below(air: float, humidity: float) -> None:
    """The two meet at 0 degC; the frost point is never more than 3 K warmer in air of a fifth or more."""
    dew, settles = weather.dew_point(air, humidity), weather.settling_point(air, humidity)
    if dew >= 0.0:
        assert settles == dew
    else:
        assert dew < settles < 0.0
    if humidity >= 20.0:
        assert settles - dew < 3.0


@quick
@given(airs, humidities, margins)
def test_a_pipe_at_its_least_temperature_has_just_the_margin(
    air: float, humidity: float, margin: float
) -> None:
    """Margin and least temperature are each other's inverse."""
    least = weather.least_pipe_temperature(air, humidity, margin)
    settles = weather.settling_point(air, humidity)
    assert weather.dew_margin(least, settles) == pytest.approx(margin, abs=1e-9)
    assert weather.dew_margin(settles - 0.1, settles) < 0.0 < weather.dew_margin(settles + 0.1, settles)


@quick
@given(st.lists(windows, min_size=1, max_size=5), windows, st.floats(-30.0, 60.0))
def test_an_overlap_holds_just_the_air_that_every_window_holds(
    some: list[tuple[float, float]], further: tuple[float, float], air: float
) -> None:
    """Inside the overlap all permit it, outside one does not, and one window more never widens it."""
    overlap = weather.window_overlap(some)
    within = overlap is not None and overlap[0] <= air <= overlap[1]
    assert within == all(low <= air <= high for low, high in some)
    narrower = weather.window_overlap([*some, further])
    if narrower is not None:
        assert overlap is not None
        assert overlap[0] <= narrower[0] <= narrower[1] <= overlap[1]


def test_windows_that_only_touch_share_one_temperature() -> None:
    """Both sides of the touch: one degree nearer they overlap, one degree apart they do not."""
    assert weather.window_overlap([(0.0, 20.0), (20.0, 40.0)]) == (20.0, 20.0)
    assert weather.window_overlap([(0.0, 21.0), (20.0, 40.0)]) == (20.0, 21.0)
    assert weather.window_overlap([(0.0, 19.0), (20.0, 40.0)]) is None
