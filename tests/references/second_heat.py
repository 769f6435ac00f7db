"""A cooling joint solved by a library's integrator, with melting, flat or round: written apart from packgen.

In: a joint as `HeatCase`, an ambient in degree Celsius. Out: `Found`. Vocabulary: a *column* runs through
fitting wall, plane and pipe wall; its points lie evenly, 0.1 mm apart.
Source: Fourier's law on even control volumes; scipy's LSODA, which chooses its own order and steps, marches
the heat content in time. Only the plastic's figures are packgen's.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid, solve_ivp

from packgen.calc.heat import POLYETHYLENE, HeatCase

Array = NDArray[np.float64]

SPACE = 0.1e-3  # m


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
def by_integrator(case: HeatCase, ambient: float) -> Found:
    """Heat, then cool, one column of even points from the fitting's outside to the pipe's inside."""
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
