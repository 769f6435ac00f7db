"""The cooling joint solved once more by a library's integrator, with melting, flat and round.

In: joints as `HeatCase`. Out: a failure where waits or melted depths differ by more than mesh and steps may.
Vocabulary: a *column* runs through fitting wall, plane and pipe wall; its points lie evenly, 0.1 mm apart.
Source: Fourier's law on even control volumes, written for this file alone; scipy's LSODA, which chooses its
own order and steps, marches the heat content in time. Only the plastic's figures are packgen's.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from packgen.calc.heat import HeatCase, cool
from packgen.calc.heat_bands import extra_waits
from tests.references.second_heat import by_integrator

USUAL = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=3.0)
CASES = {
    "flat": USUAL,
    "round": replace(USUAL, plane_radius=57.15),
    "thick": replace(USUAL, fitting_wall=16.0, pipe_wall=19.9, energy=3.73, fusion_time=140.0),
    "thin pipe": replace(USUAL, fitting_wall=8.0, pipe_wall=5.5, energy=2.5, end_temperature=85.0),
}
REFERENCE, HOT = 23.0, 40.0
each_case = pytest.mark.parametrize("name", CASES)


@each_case
@pytest.mark.parametrize("ambient", [REFERENCE, HOT])
def test_the_time_until_the_plane_is_cool(name: str, ambient: float) -> None:
    """Within one part in two hundred."""
    (worked,) = cool(CASES[name], [ambient]).seconds
    assert worked == pytest.approx(by_integrator(CASES[name], ambient).seconds, rel=0.005)


@each_case
def test_the_extra_wait_in_heat(name: str) -> None:
    """A difference of two times, within one part in a hundred."""
    usual, hot = cool(CASES[name], [REFERENCE, HOT]).seconds
    expected = by_integrator(CASES[name], HOT).seconds - by_integrator(CASES[name], REFERENCE).seconds
    assert expected > 300.0
    assert hot - usual == pytest.approx(expected, rel=0.01)


@each_case
def test_the_depth_that_melts(name: str) -> None:
    """To a point's distance or two, in both walls."""
    (worked,) = cool(CASES[name], [HOT]).melted
    expected = by_integrator(CASES[name], HOT)
    assert worked == pytest.approx((expected.fitting, expected.pipe), abs=0.2)


def test_flat_and_round_walls_and_the_longer_of_them() -> None:
    """What is printed is the longer extra wait and the deeper melt of the two shapes."""
    waits = extra_waits(USUAL, 57.15, REFERENCE, [HOT])
    shapes = [CASES[name] for name in ("flat", "round")]
    found = [(by_integrator(case, REFERENCE), by_integrator(case, HOT)) for case in shapes]
    longer = max(hot.seconds - usual.seconds for usual, hot in found)
    assert waits.extra == pytest.approx((longer,), rel=0.01)
    assert waits.melted_fitting == pytest.approx(max(hot.fitting for _, hot in found), abs=0.2)
    assert waits.melted_pipe == pytest.approx(max(hot.pipe for _, hot in found), abs=0.2)
