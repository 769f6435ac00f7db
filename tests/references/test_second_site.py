"""Water, force, slack, cords, times and cuts: public tables and libraries against the values of the site.

In: figures as their source prints them; pipes, cords and waits of the trade's sizes.
Out: a failure that shows both numbers.
Vocabulary: "read" stands beside a table that was read in a public page; "from memory" where no text was at
hand; a *network* holds pieces of work as arrows from what must be done before.
Sources: named beside each table; scipy and numpy as published, where no formula is packgen's own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, optimize, sparse
from scipy.sparse.csgraph import bellman_ford

from packgen.calc import bend, clock, fuse, ladder, leak_test, peel, power, tap, torque
from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.load import load
from packgen.register import CORD_LENGTHS, REGISTER
from tests.references.test_power import IEC_CLASS_5, NEC_STRANDED

CONTENT = Path(__file__).parents[2] / "content"
INCH, FOOT, PSI, LBF = 25.4, 304.8, 6.894757293168361, 4.4482216152605  # mm, mm, kPa, N (NIST SP 811)
GALLON = 231.0 * INCH**3 / 1e6  # L


@cache
def catalog() -> Catalog:
    """The starter's content."""
    return load(CONTENT, prose=False)


@cache
def two_on_six() -> Combination:
    """2 in on 6 in IPS DR 11 in the demo family, as the tables for every size show it."""
    pipes = (catalog().pipe(read_designation(f"{size} in IPS DR 11 PE4710")) for size in (6, 2))
    return work_out(Request(catalog(), *pipes, catalog().families["demo-saddle-screw"]))


# --- water and force
# ------------------------------------------------------------------------------------------

# A public table of pipe contents, inside diameters of schedule 40 steel pipe (ASME B36.10), in, and US
# gallons for 100 ft: read.
CONTENTS = [
    (0.622, "1.6"), (0.824, "2.8"), (1.049, "4.5"), (1.380, "7.8"), (1.610, "10.6"), (2.067, "17.4"),
    (3.068, "38.4"), (4.026, "66.1"), (6.065, "150.1"), (7.981, "259.9"), (12.000, "587.5"),
]  # fmt: skip


@pytest.mark.parametrize(("bore", "printed"), CONTENTS)
def test_the_water_in_a_hundred_feet_is_that_of_the_table(bore: float, printed: str) -> None:
    """To the printed tenth of a gallon."""
    assert f"{leak_test.fill_volume(bore * INCH, 100.0 * FOOT) / GALLON:.1f}" == printed


# A public table of hydraulic cylinders, bore in and push at 1000 psi in lbf: read.
PUSHES = [(3.0, "7069"), (4.0, "12566"), (5.0, "19635"), (6.0, "28274")]


@pytest.mark.parametrize(("bore", "printed"), PUSHES)
def test_the_force_on_an_end_is_that_of_a_cylinder_of_its_bore(bore: float, printed: str) -> None:
    """The pressure pushes a cap off as it pushes a piston out."""
    assert f"{leak_test.end_force(1000.0 * PSI, bore * INCH) / LBF:.0f}" == printed


@pytest.mark.parametrize("diameter", [42.164, 60.325, 114.3, 219.075])
def test_the_force_on_a_domed_end_by_adding_up_its_surface(diameter: float) -> None:
    """Pressure on a half sphere, its part along the axis integrated, is that on the flat circle."""
    kilopascal, radius = 1034.214, diameter / 2.0
    along, _ = integrate.dblquad(
        lambda tilt, _: kilopascal / 1000.0 * radius**2 * math.sin(tilt) * math.cos(tilt),
        0.0,
        2.0 * math.pi,
        0.0,
        math.pi / 2.0,
    )
    assert leak_test.end_force(kilopascal, diameter) == pytest.approx(along, rel=1e-8)


# --- slack
# ------------------------------------------------------------------------------------------

# A public table of thermal expansion, polyethylene at 200 millionths for each K: mm for each m by K; read.
SHRINKING = [(10, "2.00"), (20, "4.00"), (30, "6.00"), (40, "8.00"), (50, "10.00"), (60, "12.00")]


@pytest.mark.parametrize(("kelvin", "printed"), SHRINKING)
def test_a_metre_shortens_as_the_table_of_expansion_says(kelvin: int, printed: str) -> None:
    """By the coefficient that the work rule states as well."""
    coefficient = catalog().rule_quantity("lateral-expansion", "mm/m/K") / 1000.0
    assert f"{bend.contraction(1000.0, coefficient, float(kelvin)):.2f}" == printed


# --- cords and supply
# ------------------------------------------------------------------------------------------

# A public training page for electricians: 16 AWG stranded, 4.99 ohm per 1000 ft (NEC chapter 9, table 8), 4 A
# over 100 ft of two wires lose 4.0 V, of 24 V 16.7 %: read.


def test_the_length_of_a_training_page_s_cord() -> None:
    """The printed drop, to its last digit, belongs to the 100 ft of the example."""
    lengths = [
        power.cord_length_max(4.0 * (24.0 - drop), 24.0, drop / 24.0 * 100.0, 4.99 / 0.3048) / FOOT
        for drop in (3.95, 4.05)
    ]
    assert lengths[0] < 100.0 < lengths[1]


# A public page on sizing generators: 100 kW at a power factor of 0.8 are 125 kVA: read.
def test_the_apparent_power_of_a_page_on_generators() -> None:
    """Power over power factor."""
    assert power.apparent_power(100_000.0, 80.0) == pytest.approx(125_000.0)


def series_circuit(volts: float, load: float, ohms: float) -> float:
    """Voltage left at a load of constant power behind a resistance, by following the circuit to rest."""
    return float(optimize.fixed_point(lambda left: volts - load / left * ohms, volts, xtol=1e-12))


CORDS = [name for name in REGISTER if name.startswith(CORD_LENGTHS)]
METRIC_WARM = (234.5 + 75.0) / 254.5  # copper from 20 to 75 °C (IEC 60228)
# ohm for each mm of one conductor, from the published tables.
RESISTANCES = {f"awg_{size.split()[0]}": float(kft) / 1000.0 / FOOT for size, kft, _ in NEC_STRANDED} | {
    f"mm2_{size.split()[0].replace('.', '_')}": float(km) / 1e6 * METRIC_WARM for size, km in IEC_CLASS_5
}


@pytest.mark.parametrize("name", CORDS)
def test_a_cord_s_greatest_length_by_solving_its_circuit(name: str) -> None:
    """2 in on 6 in: at the worked length the solved circuit leaves the control unit 95 % of the voltage."""
    volts, ohms = (part for part in name.removeprefix(CORD_LENGTHS).split("."))
    supply, ohm_per_mm = float(volts.removesuffix("_v")), RESISTANCES[ohms]
    load = 40.0**2 / (3.70 * 0.9) / 0.70 / 0.80  # VA

    def above(length: float) -> float:
        return series_circuit(supply, load, 2.0 * length * ohm_per_mm) - 0.95 * supply

    shown = two_on_six().number(name)
    assert shown is not None
    assert shown == pytest.approx(optimize.brentq(above, 1.0, 3.0 * shown), rel=1e-8)


# NEMA WD 6: 5 for 125 V and 6 for 250 V, the number behind is the current in A; IEC 60309-2: yellow for 100
# to 130 V, blue for 200 to 250 V, 16 and 32 A. NEMA read in public pages, IEC from memory.
NEMA = {
    "nema-5-15r": (15, 125), "nema-5-20r": (20, 125), "nema-l5-30r": (30, 125), "nema-6-15r": (15, 250),
    "nema-6-20r": (20, 250), "nema-l6-30r": (30, 250),
}  # fmt: skip
IEC = {
    "iec-yellow-16": (16, 130), "iec-yellow-32": (32, 130), "iec-blue-16": (16, 250), "iec-blue-32": (32, 250)
}  # fmt: skip


@pytest.mark.parametrize("outlet", [*NEMA, *IEC])
def test_an_outlet_has_the_ratings_of_its_standard(outlet: str) -> None:
    """Current and greatest voltage; the breaker behind it is no larger."""
    (listed,) = [each for each in catalog().outlets if each.id == outlet]
    assert (listed.current.to("A"), listed.voltage_max.to("V")) == {**NEMA, **IEC}[outlet]
    assert listed.breaker.to("A") <= listed.current.to("A")


@pytest.mark.parametrize(
    ("ohms", "tolerance", "output"), [(3.70, 10.0, 1.5), (1.40, 10.0, 0.0), (2.1, 5.0, 3.0)]
)
def test_the_energy_bounds_by_searching_the_tolerances(ohms: float, tolerance: float, output: float) -> None:
    """Least and greatest energy of every coil and voltage within the tolerances."""

    def energy(point: Sequence[float]) -> float:
        volts, coil = 40.0 * (1.0 + point[0]), ohms * (1.0 + point[1])
        return volts**2 * 85.0 / coil / 1000.0

    corner = [(-output / 100.0, output / 100.0), (-tolerance / 100.0, tolerance / 100.0)]
    least = optimize.minimize(energy, (0.0, 0.0), bounds=corner).fun
    greatest = -optimize.minimize(lambda point: -energy(point), (0.0, 0.0), bounds=corner).fun
    assert fuse.energy_band(40.0, 85.0, ohms, tolerance, output) == pytest.approx((least, greatest), rel=1e-6)


# --- times
# ------------------------------------------------------------------------------------------

# Clamp time, pressure wait, tap wait, outlet joint ready, hold, cut, lateral ready and look, min.
TIMES = [
    (15.0, 20.0, 30.0, 45.0, 10.0, 15.0, 110.0, 10.0),
    (15.0, 20.0, 30.0, 0.0, 30.0, 20.0, 0.0, 15.0),
    (40.0, 25.0, 20.0, 10.0, 5.0, 5.0, 20.0, 5.0),
    (20.0, 90.0, 60.0, 30.0, 60.0, 10.0, 100.0, 0.5),
]


def longest_ways(arrows: Sequence[tuple[int, int, float]], size: int) -> list[float]:
    """Longest way from the first point of a network to every other: its earliest times."""
    begins, ends, times = zip(*arrows, strict=True)
    network = sparse.csr_array(([-time for time in times], (begins, ends)), shape=(size, size))
    return [-float(way) for way in bellman_ford(network, indices=0)]


@pytest.mark.parametrize("times", TIMES)
def test_the_ladder_is_the_longest_way_through_its_network(times: tuple[float, ...]) -> None:
    """Points: fusion end, clamp off, test begun and over, cut begun and over, working pressure, covered."""
    clamp, pressure, tap_wait, outlet, hold, cut, lateral, look = times
    arrows = [
        (0, 1, clamp), (0, 2, max(pressure, outlet)), (2, 3, hold), (3, 4, 1e-9), (4, 5, cut), (5, 6, 1e-9),
        (6, 7, look), (1, 7, 1e-9),
    ]  # fmt: skip
    # One arrow at most joins two points in this network: a second condition goes by a point of its own.
    conditions = [(4, tap_wait), (4, pressure), (6, lateral), (6, pressure)]
    for number, (end, time) in enumerate(conditions, start=8):
        arrows += [(0, number, time + 1e-9), (number, end, 1e-9)]
    expected = longest_ways(arrows, 12)
    start = ladder.leak_test_start(pressure, outlet)
    cut_begins = ladder.tap(tap_wait, pressure, ladder.leak_test_end(start, hold))
    working = ladder.working_pressure(pressure, cut_begins + cut, lateral)
    found = [ladder.clamps_off(clamp), start, cut_begins, working, ladder.backfill(clamp, working, look)]
    assert found == pytest.approx([expected[point] for point in (1, 2, 4, 6, 7)], abs=1e-6)


@pytest.mark.parametrize("times", TIMES)
def test_a_joint_s_whole_time_is_the_longest_way_through_its_network(times: tuple[float, ...]) -> None:
    """Prepare, fuse, every wait side by side, finish."""
    clamp, pressure, tap_wait = times[:3]
    arrows = [(0, 1, 45.0), (1, 2, 1.5), (6, 7, 45.0)]
    for point, wait in enumerate((clamp, pressure, tap_wait), start=3):
        arrows += [(2, point, wait), (point, 6, 1e-9)]
    expected = longest_ways(arrows, 8)[-1]
    longest = max(clamp, pressure, tap_wait)
    assert clock.joint_total(45.0, 1.5, longest, 45.0) == pytest.approx(expected, abs=1e-6)


# --- peel, clamp and cut
# ------------------------------------------------------------------------------------------

SHAPES = [(160.0, 84.0, 44.0), (270.0, 109.4, 60.0), (110.0, 57.0, 50.0)]  # base mm, radius mm, half-angle


@pytest.mark.parametrize(("base", "radius", "half_angle"), SHAPES)
def test_the_zone_by_adding_up_small_triangles(base: float, radius: float, half_angle: float) -> None:
    """A curved net of triangles over the zone, 12.7 mm beyond the base on every side, has its area."""
    reach = math.radians(half_angle) + 12.7 / radius
    turns, alongs = np.linspace(-reach, reach, 4001), np.linspace(0.0, base + 25.4, 3)
    points = np.stack(np.broadcast_arrays(
        alongs[:, None], radius * np.sin(turns)[None, :], radius * np.cos(turns)[None, :]
    ), axis=-1)  # fmt: skip
    a, b, c, d = points[:-1, :-1], points[1:, :-1], points[:-1, 1:], points[1:, 1:]
    halves = (np.cross(b - a, c - a), np.cross(b - d, c - d))
    expected = sum(float(np.linalg.norm(half, axis=-1).sum()) / 2.0 for half in halves)
    length, arc = peel.zone_length(base, 12.7), peel.zone_arc(radius, half_angle, 12.7, 4.0 * radius)
    assert peel.zone_area(length, arc) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("base", "radius", "half_angle"), SHAPES)
def test_the_screws_force_by_adding_up_the_pressure_under_the_saddle(
    base: float, radius: float, half_angle: float
) -> None:
    """200 kPa square to the curved base: its part along the screws, integrated, is shared by four."""
    reach = math.radians(half_angle)
    along, _ = integrate.quad(lambda turn: 0.200 * math.cos(turn) * radius * base, -reach, reach)
    found = torque.screw_force(200.0, torque.base_area(base, radius, half_angle), 4)
    assert found == pytest.approx(along / 4.0, rel=1e-9)


@pytest.mark.parametrize("zone", ["footprint", "whole circumference"])
@pytest.mark.parametrize("diameter", [60.325, 168.275])
def test_the_diameter_after_a_pass_by_measuring_the_outline(diameter: float, zone: peel.Zone) -> None:
    """The outline of points, drawn in by the pass on one side or all round, measured over the crown.

    The diameter to start from is the one that all round leaves the measured rest.
    """
    turns = np.linspace(0.0, 2.0 * np.pi, 3601)
    peeled = np.cos(turns) > 0.5 if zone == "footprint" else np.ones_like(turns, dtype=bool)
    heights = (diameter / 2.0 - np.where(peeled, 0.3048, 0.0)) * np.cos(turns)
    measured = float(heights.max() - heights.min())
    assert peel.diameter_after_one_pass(diameter, 0.3048, zone) == pytest.approx(measured, rel=1e-9)
    if zone == "whole circumference":
        assert peel.diameter_to_start(measured, 0.3048) == pytest.approx(diameter, rel=1e-9)


# Least main, thickest wall, saw, oversize and overtravel, mm.
SETTINGS = [
    (167.513, 17.126, 44.45, 0.508, 3.175),
    (218.085, 22.303, 85.725, 0.508, 3.175),
    (160.0, 16.2, 46.0, 0.5, 3.175),
]


@pytest.mark.parametrize(("least", "thick", "saw", "over", "beyond"), SETTINGS)
def test_the_travel_to_set_by_sampling_the_teeth(
    least: float, thick: float, saw: float, over: float, beyond: float
) -> None:
    """Lowered from the crown of the least main, the last tooth of the wide cut is clear by the overtravel."""
    turn = np.linspace(0.0, 2.0 * np.pi, 100_001)
    across = (saw + over) / 2.0 * np.sin(turn)
    clear = least / 2.0 - float(np.sqrt((least / 2.0 - thick) ** 2 - across**2).min()) + beyond
    assert tap.travel_set(least, thick, saw, over, beyond) == pytest.approx(clear, abs=1e-6)


@pytest.mark.parametrize(("saw", "bore"), [(44.45, 48.6918), (85.725, 92.277), (46.0, 50.9)])
def test_the_hole_and_the_room_beside_it_by_outlines(saw: float, bore: float) -> None:
    """Areas of two drawn circles, one over the other, and the least distance between their outlines."""
    turn = np.linspace(0.0, 2.0 * np.pi, 100_001)

    def area(diameter: float) -> float:
        x, y = diameter / 2.0 * np.cos(turn), diameter / 2.0 * np.sin(turn)
        return abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))) / 2.0

    beside = np.hypot(bore / 2.0 - saw / 2.0 * np.cos(turn), saw / 2.0 * np.sin(turn)).min()
    assert tap.flow_area_percent(saw, bore) == pytest.approx(100.0 * area(saw) / area(bore), rel=1e-9)
    assert tap.clearance(bore, saw) == pytest.approx(float(beside), rel=1e-9)
