"""The closed formulas of packgen.calc against other ways to the same answer.

In: mains, saws and saddles of the trade's sizes.
Out: a failure where sampling, integration, root finding or exact fractions disagree with the formula.
Vocabulary: z is the height over the main's axis, x runs along the axis, y across.
Source: scipy and numpy as published; no formula here is packgen's own.
"""

from __future__ import annotations

import itertools
import math
from fractions import Fraction

import numpy as np
import pytest
from scipy import integrate, optimize, special

from packgen.calc import coupon, gap, peel, pipe, place, tap

# Outside diameter, wall and saw, mm: 4, 6 and 8 in IPS DR 11 with thickest walls, 160 mm ISO SDR 11.
CUTS = [
    (114.3, 11.635, 44.45),
    (168.275, 17.126, 44.45),
    (219.075, 22.303, 85.725),
    (160.0, 16.2, 46.0),
]
# Bore radius and half-angle of saddles, mm and degrees.
SADDLES = [(57.0, 60.0), (84.0, 44.0), (109.4, 34.0), (109.4, 60.0)]


def circle_of_teeth(saw: float) -> tuple[np.ndarray, np.ndarray]:
    """Places (x, y) of many teeth on the saw's rim."""
    turn = np.linspace(0.0, 2.0 * np.pi, 100_001)
    return saw / 2.0 * np.cos(turn), saw / 2.0 * np.sin(turn)


@pytest.mark.parametrize(("diameter", "wall", "saw"), CUTS)
def test_break_through_by_sampling_points_of_the_cut(diameter: float, wall: float, saw: float) -> None:
    """Lowered from the crown, the last tooth leaves the inner wall at the worked travel."""
    _, y = circle_of_teeth(saw)
    inner_wall = np.sqrt((diameter / 2.0 - wall) ** 2 - y**2)
    travel = np.max(diameter / 2.0 - inner_wall)
    assert tap.travel_to_breakthrough(diameter, wall, saw) == pytest.approx(float(travel), abs=1e-6)


@pytest.mark.parametrize(("diameter", "wall", "saw"), CUTS)
def test_the_first_mark_on_the_far_wall_by_sampling(diameter: float, wall: float, saw: float) -> None:
    """Lowered on, the first of teeth and pilot to meet the far wall meets it at the worked limit."""
    _, y = circle_of_teeth(saw)
    far_wall = -np.sqrt((diameter / 2.0 - wall) ** 2 - y**2)
    teeth = np.min(diameter / 2.0 - far_wall)
    for pilot in (0.0, 5.0, 12.7, 30.0):
        tip = diameter / 2.0 - pilot + (diameter / 2.0 - wall)
        expected = min(float(teeth), tip) - 6.35
        assert tap.travel_limit(diameter, wall, saw, pilot, 6.35) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("diameter", "wall", "saw"), CUTS)
def test_the_edge_drop_by_root_finding(diameter: float, wall: float, saw: float) -> None:
    """A circle of the main's radius passes, at the worked drop, through the hole's side."""
    radius, hole = diameter / 2.0, saw / 2.0

    def off_the_circle(drop: float) -> float:
        return math.hypot(hole, radius - drop) - radius

    assert tap.edge_drop(radius, hole) == pytest.approx(
        optimize.brentq(off_the_circle, 0.0, radius), abs=1e-9
    )
    assert tap.edge_drop(radius, hole) < tap.travel_to_breakthrough(diameter, wall, saw)


@pytest.mark.parametrize(("diameter", "wall", "saw"), CUTS)
def test_the_coupon_volume_by_double_integration(diameter: float, wall: float, saw: float) -> None:
    """The wall's height, integrated over the ring between pilot and saw, is the coupon."""
    outer, inner, inside, pilot = diameter / 2.0, diameter / 2.0 - wall, saw / 2.0 - 1.5, 3.175

    def height(radius: float, turn: float) -> float:
        y = radius * math.sin(turn)
        return radius * (math.sqrt(outer**2 - y**2) - math.sqrt(inner**2 - y**2))

    quarter, _ = integrate.dblquad(height, 0.0, math.pi / 2.0, pilot, inside)
    assert coupon.coupon_volume(diameter, wall, 2.0 * inside, 2.0 * pilot) == pytest.approx(
        4.0 * quarter, rel=1e-8
    )


@pytest.mark.parametrize("ratio", [0.01, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999, 1.0])
def test_the_crossing_volume_by_elliptic_integrals(ratio: float) -> None:
    """Hubbell, J. Res. NBS 69C (1965) no. 2: (8/3) R^3 ((1 + k^2) E(k) - (1 - k^2) K(k)), k = r/R."""
    squared = ratio**2
    second = (1.0 + squared) * special.ellipe(squared)
    first = (1.0 - squared) * special.ellipk(squared) if ratio < 1.0 else 0.0
    expected = 8.0 / 3.0 * 50.0**3 * (second - first)
    assert coupon.crossing_volume(50.0, 50.0 * ratio) == pytest.approx(float(expected), rel=1e-8)


@pytest.mark.parametrize(("bore_radius", "half_angle"), SADDLES)
@pytest.mark.parametrize("off", [-2.0, -0.4, -0.05, 0.0, 0.05, 0.4, 2.0])
def test_the_free_gap_by_searching_for_contact(bore_radius: float, half_angle: float, off: float) -> None:
    """A saddle lowered until its bore first touches the main stands off by the worked gap."""
    pipe_radius = bore_radius + off
    spread = np.radians(np.linspace(-half_angle, half_angle, 20_001))

    def distances(height: float) -> np.ndarray:
        return np.hypot(bore_radius * np.sin(spread), height + bore_radius * np.cos(spread)) - pipe_radius

    reach = 0.4 * bore_radius
    seated = optimize.brentq(lambda height: float(np.min(distances(height))), -reach, reach, xtol=1e-13)
    expected = float(np.max(distances(seated)))
    assert gap.free_gap(bore_radius, half_angle, pipe_radius) == pytest.approx(expected, abs=1e-7)


@pytest.mark.parametrize(("bore_radius", "half_angle"), SADDLES)
def test_the_worst_free_gap_by_trying_every_main(bore_radius: float, half_angle: float) -> None:
    """The widest of many mains and peels within the band stands off as the worked worst case."""
    low, high = 2.0 * bore_radius * 0.995, 2.0 * bore_radius * 1.006
    tried = [
        gap.free_gap(bore_radius, half_angle, diameter / 2.0 - depth)
        for diameter, depth in itertools.product(np.linspace(low, high, 41), np.linspace(0.2286, 0.3048, 11))
    ]
    assert gap.free_gap_max(bore_radius, half_angle, low, high, 0.2286, 0.3048) == pytest.approx(max(tried))


@pytest.mark.parametrize(("bore_radius", "half_angle"), SADDLES)
def test_the_peeled_arc_by_measuring_along_it(bore_radius: float, half_angle: float) -> None:
    """The arc is the length of its chords, summed over many small ones, and a margin on each side."""
    spread = np.radians(np.linspace(-half_angle, half_angle, 20_001))
    chords = np.hypot(np.diff(bore_radius * np.sin(spread)), np.diff(bore_radius * np.cos(spread)))
    expected = float(np.sum(chords)) + 20.0
    assert peel.zone_arc(bore_radius, half_angle, 10.0, 2.0 * bore_radius) == pytest.approx(
        expected, rel=1e-7
    )


@pytest.mark.parametrize("diameter", [60.325, 114.3, 168.275, 219.075])
def test_girth_and_marks_by_measuring_along_the_circle(diameter: float) -> None:
    """A tape of small chords round the main reads the girth; one from the top to the mark reads the arc."""

    def tape(turn: float) -> float:
        angles = np.linspace(0.0, math.radians(turn), 20_001)
        return float(np.sum(np.hypot(np.diff(np.cos(angles)), np.diff(np.sin(angles))))) * diameter / 2.0

    assert pipe.girth(diameter) == pytest.approx(tape(360.0), rel=1e-7)
    for angle in (30.0, 90.0, 180.0, 210.0, 300.0):
        assert place.arc_from_top(angle, diameter) == pytest.approx(
            min(tape(angle), tape(360.0 - angle)), rel=1e-7
        )


def passes_one_by_one(rule: int, loss: Fraction, wall: Fraction, depth: Fraction, spare: Fraction) -> int:
    """Peel in exact fractions, pass after pass, until a limit would be broken."""
    done = 0
    while done < rule and (done + 1) * depth <= loss * wall and 2 * (done + 1) * depth <= spare:
        done += 1
    return done


@pytest.mark.parametrize("rule", [0, 1, 2, 10])
@pytest.mark.parametrize("wall", ["5.5", "6", "10.3886", "15.2908"])
@pytest.mark.parametrize("depth", ["0.1", "0.2", "0.3", "0.3048"])
@pytest.mark.parametrize("spare", ["0", "0.2", "0.6", "1.2", "3"])
def test_passes_by_peeling_one_after_another(rule: int, wall: str, depth: str, spare: str) -> None:
    """Exact fractions, counted pass by pass, give the same number; a pass that just fits is not lost."""
    expected = passes_one_by_one(rule, Fraction(1, 10), Fraction(wall), Fraction(depth), Fraction(spare))
    start = float(Fraction("110") + Fraction(spare))
    assert peel.passes_max(rule, 10.0, float(wall), float(depth), start, 110.0) == expected


def test_minimum_walls_in_exact_fractions() -> None:
    """Every inch diameter and DR gives the wall that exact fractions give, a half going up."""
    diameters = [
        "0.840",
        "1.050",
        "1.315",
        "1.660",
        "1.900",
        "2.375",
        "3.500",
        "4.500",
        "6.625",
        "8.625",
        "10.750",
    ]
    diameters += [
        "12.750",
        "14",
        "16",
        "18",
        "20",
        "22",
        "24",
        "3.96",
        "4.80",
        "6.90",
        "9.05",
        "11.10",
        "13.20",
    ]
    for diameter, ratio in itertools.product(
        diameters, ["7", "7.3", "9", "11", "13.5", "17", "21", "26", "32.5"]
    ):
        thousandths = math.floor(Fraction(diameter) / Fraction(ratio) * 1000 + Fraction(1, 2))
        worked = pipe.inch_wall_min(float(diameter) * 25.4, float(ratio))
        assert worked == pytest.approx(float(Fraction(thousandths, 1000) * Fraction("25.4")), abs=1e-9)
