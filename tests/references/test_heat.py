"""The heat solver against textbooks of heat transfer and against series that a library sums.

In: printed examples, run through the same march as the joint: a wall with its mirror image is two walls that
meet at the plane, a half-space is a wall too thick to feel its far side.
Out: a failure where an answer is further from the printed one than the print or the mesh allows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import erf, j0, j1

from packgen.calc.heat import POLYETHYLENE, HeatCase, Plastic, cool
from packgen.calc.heat_march import Moment, march
from packgen.calc.heat_mesh import heat_content, mesh

LINEAR = Plastic(0.40, 950.0, ((20.0, 2.4),))  # no latent heat, one heat capacity
# The joint of the whole-model case: 3.5 MJ/m2 over 90 s between walls of 12 and 10.4 mm.
JOINT = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=5.0, plastic=LINEAR)


@dataclass(frozen=True)
class Body:
    """Two walls of one material that meet at the plane, between two fluids of one temperature."""

    walls: tuple[float, float]  # mm
    films: tuple[float, float]  # W/(m2*K)
    conductivity: float  # W/(m*K)
    diffusivity: float  # m2/s
    start: float  # degree Celsius
    around: float  # degree Celsius
    plane_radius: float | None = None  # mm


def history(body: Body, time: float, flux: float = 0.0, steps: int = 400) -> list[Moment]:
    """The body's states over a time, in even steps on a fine mesh."""
    volume_capacity = body.conductivity / body.diffusivity  # J/(m3*K)
    return list(
        march(
            mesh(*body.walls, body.conductivity, 80, 1.01, body.plane_radius),
            heat_content(1000.0, [(20.0, volume_capacity / 1e6)]),
            np.array([body.start]),
            np.array([body.around]),
            body.films,
            [(time / steps, flux)] * steps,
        )
    )


def plane(moment: Moment) -> float:
    """Temperature where the walls meet."""
    return float(moment.temperature[-1, 0])


@pytest.mark.parametrize(
    ("biot", "root", "first"), [(0.1, 0.3111, 1.0161), (1.0, 0.8603, 1.1191), (10.0, 1.4289, 1.2620)]
)
def test_the_roots_and_coefficients_of_a_plane_wall(biot: float, root: float, first: float) -> None:
    """Incropera, Fundamentals of Heat and Mass Transfer, Table 5.1: ζ tan ζ = Bi, and C1, to four decimals.

    Past a Fourier number of 0.2 the middle of the wall falls as C1·exp(−ζ²·Fo).
    """
    thick, conductivity, diffusivity = 0.010, 0.40, 2e-7
    film = biot * conductivity / thick
    body = Body((10.0, 10.0), (film, film), conductivity, diffusivity, start=1.0, around=0.0)
    moments = history(body, 1.5 * thick**2 / diffusivity)
    numbers = [moment.time * diffusivity / thick**2 for moment in moments]
    early, late = 160, 400
    assert numbers[early] == pytest.approx(0.6)
    square = math.log(plane(moments[early]) / plane(moments[late])) / (numbers[late] - numbers[early])
    assert math.sqrt(square) == pytest.approx(root, rel=5e-4)
    assert plane(moments[late]) * math.exp(square * numbers[late]) == pytest.approx(first, rel=5e-4)


def test_incropera_example_5_4() -> None:
    """Pipe wall of 40 mm, insulated inside: 42.9 °C printed from a table, 43.02 °C by the series."""
    body = Body((40.0, 40.0), (500.0, 500.0), 63.9, 18.8e-6, start=-20.0, around=60.0)
    found = plane(history(body, 480.0)[-1])
    assert found == pytest.approx(43.02, abs=0.02)
    assert found == pytest.approx(42.9, rel=0.005)


def test_holman_example_4_2() -> None:
    """Half-space of steel at 35 °C whose surface is put at 250 °C: 118.5 °C at 25 mm after 30 s."""
    body = Body((25.0, 300.0), (1e8, 0.0), 45.0, 1.4e-5, start=35.0, around=250.0)
    assert plane(history(body, 30.0)[-1]) == pytest.approx(118.5, rel=0.005)


def test_cengel_example_4_7() -> None:
    """Half-space of wood at 20 °C under 1250 W/m2 for 20 min: 148.6 °C at its surface.

    The plane between two such half-spaces takes twice the heat.
    """
    body = Body((800.0, 800.0), (0.0, 0.0), 1.26, 1.1e-5, start=20.0, around=20.0)
    assert plane(history(body, 1200.0, flux=2500.0)[-1]) == pytest.approx(148.6, rel=0.005)


# A cylinder of 0.1 m at 15 °C in gas at 550 °C: when is its surface at 420 °C?
RADIUS, FILM, CONDUCTIVITY, DIFFUSIVITY = 0.05, 13.6, 0.17, 1.28e-7


def surface_left(time: float, terms: int) -> float:
    """What is left of the difference at a cylinder's surface, by the first terms of its series."""
    biot, fourier = FILM * RADIUS / CONDUCTIVITY, DIFFUSIVITY * time / RADIUS**2
    # A root of ζ·J1(ζ) = Bi·J0(ζ) lies in each stretch of π; J0's own roots bound them from above.
    total, low = 0.0, 1e-9
    for _ in range(terms):
        high = brentq(j0, low + 0.5, low + 3.5)
        root = brentq(lambda zeta: zeta * j1(zeta) - biot * j0(zeta), low, high)
        share = 2.0 / root * j1(root) / (j0(root) ** 2 + j1(root) ** 2)
        total += share * math.exp(-(root**2) * fourier) * j0(root)
        low = high
    return total


def test_the_cylinder_is_too_young_for_one_term() -> None:
    """Ten terms give 2966 s; the first alone gives 2771 s, wrong at a Fourier number below 0.2."""
    wanted = (550.0 - 420.0) / (550.0 - 15.0)
    ten, one = (brentq(lambda s, n=n: surface_left(s, n) - wanted, 500.0, 9000.0) for n in (10, 1))
    assert DIFFUSIVITY * ten / RADIUS**2 < 0.2
    assert (round(ten), round(one)) == (2966, 2771)
    body = Body((25.0, 25.0), (FILM, 0.0), CONDUCTIVITY, DIFFUSIVITY, 15.0, 550.0, plane_radius=25.0)
    moments = history(body, 3600.0)
    surface = [float(moment.temperature[0, 0]) for moment in moments]
    found = float(np.interp(420.0, surface, [moment.time for moment in moments]))
    assert found == pytest.approx(2966.0, rel=0.005)


def test_a_melting_front_keeps_to_the_law_of_stefan() -> None:
    """Solid at its melting point, surface 100 K warmer: the front lies at 2λ√(αt), λ·exp(λ²)·erf(λ) = Ste/√π.

    The closed solution stands in Carslaw and Jaeger, Conduction of Heat in Solids (from memory).
    """
    capacity, latent, conductivity, density = 2.4, 190.0, 0.40, 950.0
    number = capacity * 100.0 / latent
    share = brentq(lambda x: x * math.exp(x**2) * erf(x) - number / math.sqrt(math.pi), 0.01, 3.0)
    diffusivity = conductivity / (density * capacity * 1000.0)
    arrival = (0.005 / (2.0 * share)) ** 2 / diffusivity
    moments = list(
        march(
            mesh(5.0, 5.0, conductivity, 60, 1.001),
            heat_content(density, [(20.0, capacity)], latent, (120.0, 120.2)),
            np.array([120.0]),
            np.array([220.1]),
            (1e8, 0.0),
            [(arrival / 200.0, 0.0)] * 240,
        )
    )
    found = float(
        np.interp(120.1, [plane(moment) for moment in moments], [moment.time for moment in moments])
    )
    assert found == pytest.approx(arrival, rel=0.005)


@pytest.mark.parametrize(("ambient", "minutes"), [(23.0, 16.40), (40.0, 41.19)])
def test_the_whole_joint_without_melting(ambient: float, minutes: float) -> None:
    """Worked out twice, independently of this program: 240.9 °C at the plane, then 16.40 and 41.19 min."""
    cooling = cool(JOINT, [ambient])
    assert cooling.seconds[0] / 60.0 == pytest.approx(minutes, rel=0.005)
    assert cooling.peaks[0] - ambient == pytest.approx(240.9 - 23.0, rel=0.005)


def test_the_peak_of_walls_too_thick_to_feel_their_ends() -> None:
    """Half-spaces on both sides of the plane: 23 °C + q·√(α·t/π)/k = 241.0 °C, and the joint just below."""
    flux = 3.5e6 / 90.0
    rise = flux * math.sqrt(0.40 / (950.0 * 2400.0) * 90.0 / math.pi) / 0.40
    assert round(23.0 + rise, 1) == 241.0
    peak = cool(JOINT, [23.0], fineness=4).peaks[0]
    assert round(peak, 1) == 240.9
    assert peak < 23.0 + rise


def test_polyethylene_lies_within_the_published_ranges() -> None:
    """EN ISO 10456 and public polymer tables, PE-HD."""
    assert 0.33 <= POLYETHYLENE.conductivity <= 0.53
    assert 940.0 <= POLYETHYLENE.density <= 980.0
    assert all(1.8 <= capacity <= 2.7 for _, capacity in POLYETHYLENE.capacities)
    assert 180.0 <= POLYETHYLENE.latent <= 200.0
    assert POLYETHYLENE.melting is not None
    assert 125.0 <= POLYETHYLENE.melting[1] <= 135.0
