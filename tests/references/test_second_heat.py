"""The cooling joint solved once more by a library's integrator, with melting, flat and round.

In: joints as `HeatCase`. Out: a failure where waits or melted depths differ by more than mesh and steps may.
Vocabulary: a *column* runs through fitting wall, plane and pipe wall; its points lie evenly, 0.1 mm apart.
Source: Fourier's law on even control volumes, written for this file alone; scipy's LSODA, which chooses its
own order and steps, marches the heat content in time. Only the plastic's figures are packgen's.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid, solve_ivp

from packgen.calc.heat import POLYETHYLENE, HeatCase, cool
from packgen.calc.heat_bands import extra_waits

Array = NDArray[np.float64]

SPACE = 0.1e-3  # m
USUAL = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=3.0)
CASES = {
    "flat": USUAL,
    "round": replace(USUAL, plane_radius=57.15),
    "thick": replace(USUAL, fitting_wall=16.0, pipe_wall=19.9, energy=3.73, fusion_time=140.0),
    "thin pipe": replace(USUAL, fitting_wall=8.0, pipe_wall=5.5, energy=2.5, end_temperature=85.0),
}
REFERENCE, HOT = 23.0, 40.0
each_case = pytest.mark.parametrize("name", CASES)


class Found(NamedTuple):
    """What the integrator found: s until the plane is cool, mm melted of fitting and pipe wall."""

    seconds: float
    fitting: float
    pipe: float


@cache
def heat_curve() -> tuple[Array, Array]:
    """Temperatures in degree Celsius and the heat content above the first of them, J/m3."""
    temperature = np.linspace(-20.0, 500.0, 104_001)
    assert POLYETHYLENE.melting is not None
    begins, ends = POLYETHYLENE.melting
    capacity = np.interp(temperature, *zip(*POLYETHYLENE.capacities, strict=True))
    capacity += np.where((temperature >= begins) & (temperature < ends), POLYETHYLENE.latent, 0.0) / (
        ends - begins
    )
    content = cumulative_trapezoid(POLYETHYLENE.density * 1000.0 * capacity, temperature, initial=0.0)
    return temperature, content


@cache
def by_integrator(name: str, ambient: float) -> Found:
    """Heat, then cool, one column of even points from the fitting's outside to the pipe's inside."""
    case = CASES[name]
    outer, inner = (round(wall / 1000.0 / SPACE) for wall in (case.fitting_wall, case.pipe_wall))
    depth = SPACE * (np.arange(outer + inner + 1) - outer)  # m, inward from the plane
    radius = None if case.plane_radius is None else case.plane_radius / 1000.0

    def area(at: Array) -> Array:
        return np.ones_like(at) if radius is None else (radius - at) / radius

    faces = area(depth[:-1] + SPACE / 2.0)
    ends = np.concatenate([depth[:1], depth[:-1] + SPACE / 2.0, depth[-1:]])
    volume = area((ends[1:] + ends[:-1]) / 2.0) * np.diff(ends)
    temperatures, contents = heat_curve()
    flux = case.energy * 1e9 / case.fusion_area / case.fusion_time  # W/m2
    films = (case.film_outside * area(depth[:1])[0], case.film_inside * area(depth[-1:])[0])

    def change(_: float, content: Array, heating: float) -> Array:
        own = np.interp(content, contents, temperatures)
        through = POLYETHYLENE.conductivity * faces * np.diff(own) / SPACE
        gain = np.zeros_like(own)
        gain[:-1] += through
        gain[1:] -= through
        gain[0] -= films[0] * (own[0] - ambient)
        gain[-1] -= films[1] * (own[-1] - ambient)
        gain[outer] += heating
        return gain / volume

    def above(_: float, content: Array, __: float) -> float:
        return float(np.interp(content[outer], contents, temperatures)) - case.end_temperature

    above.terminal = True  # type: ignore[attr-defined]
    above.direction = -1  # type: ignore[attr-defined]
    march = {"method": "LSODA", "rtol": 1e-6, "atol": 10.0, "lband": 1, "uband": 1}
    start = np.full(len(depth), np.interp(ambient, temperatures, contents))
    heated = solve_ivp(change, (0.0, case.fusion_time), start, args=(flux,), **march)
    cooled = solve_ivp(change, (0.0, 36_000.0), heated.y[:, -1], args=(0.0,), events=above, **march)
    assert heated.success and len(cooled.t_events[0]) == 1
    hottest = np.interp(np.hstack([heated.y, cooled.y]).max(axis=1), contents, temperatures)
    assert POLYETHYLENE.melting is not None
    molten = depth[hottest >= POLYETHYLENE.melting[1]] * 1000.0
    return Found(float(cooled.t_events[0][0]), -float(molten.min()), float(molten.max()))


@each_case
@pytest.mark.parametrize("ambient", [REFERENCE, HOT])
def test_the_time_until_the_plane_is_cool(name: str, ambient: float) -> None:
    """Within one part in two hundred."""
    (worked,) = cool(CASES[name], [ambient]).seconds
    assert worked == pytest.approx(by_integrator(name, ambient).seconds, rel=0.005)


@each_case
def test_the_extra_wait_in_heat(name: str) -> None:
    """A difference of two times, within one part in a hundred."""
    usual, hot = cool(CASES[name], [REFERENCE, HOT]).seconds
    expected = by_integrator(name, HOT).seconds - by_integrator(name, REFERENCE).seconds
    assert expected > 300.0
    assert hot - usual == pytest.approx(expected, rel=0.01)


@each_case
def test_the_depth_that_melts(name: str) -> None:
    """To a point's distance or two, in both walls."""
    (worked,) = cool(CASES[name], [HOT]).melted
    expected = by_integrator(name, HOT)
    assert worked == pytest.approx((expected.fitting, expected.pipe), abs=0.2)


def test_flat_and_round_walls_and_the_longer_of_them() -> None:
    """What is printed is the longer extra wait and the deeper melt of the two shapes."""
    waits = extra_waits(USUAL, 57.15, REFERENCE, [HOT])
    found = {name: (by_integrator(name, REFERENCE), by_integrator(name, HOT)) for name in ("flat", "round")}
    longer = max(hot.seconds - usual.seconds for usual, hot in found.values())
    assert waits.extra == pytest.approx((longer,), rel=0.01)
    assert waits.melted_fitting == pytest.approx(max(hot.fitting for _, hot in found.values()), abs=0.2)
    assert waits.melted_pipe == pytest.approx(max(hot.pipe for _, hot in found.values()), abs=0.2)
