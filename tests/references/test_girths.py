"""Girths against published diameters, and the girth of an ellipse against the elliptic integral.

In: outside diameters as their standard prints them. Out: a failure that names the size.
Sources: outside diameters of ASTM F714 and D3035 (IPS), AWWA C906 (DIPS), CTS of 49 CFR 192.125(b) and ISO
4427-2 (nominal diameter is the least); girth is π times the diameter, worked by hand to the last digit shown.
The first four girths are arithmetic on the diameters 4.500, 4.800 in, 110.0 × 3.1416 and 125.0 mm.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.special import ellipe

from packgen.calc.findings import Findings
from packgen.calc.girth import girth_band, oval_girth, ovality_percent
from packgen.calc.which_pipe import which_pipe
from packgen.model.load import load
from packgen.units import quantity

CATALOG = load(Path(__file__).parents[2] / "content", prose=False)

# size and system | girth of the nominal outside diameter
PUBLISHED = """
4 in IPS | 14.14 in
4 in DIPS | 15.08 in
110 mm ISO | 13.61 in
125 mm ISO | 15.46 in
2 in IPS | 7.46 in
6 in IPS | 20.81 in
8 in IPS | 27.10 in
12 in IPS | 40.06 in
6 in DIPS | 21.68 in
8 in DIPS | 28.43 in
12 in DIPS | 41.47 in
1 in CTS | 3.53 in
160 mm ISO | 502.7 mm
315 mm ISO | 989.6 mm
"""


@pytest.mark.parametrize("row", PUBLISHED.strip().splitlines())
def test_the_girth_of_a_published_diameter_finds_its_size(row: str) -> None:
    """The size is the only one, or one of several, and never left out."""
    size, girth = (cell.strip() for cell in row.split("|"))
    answer = which_pipe(CATALOG, Findings(girth=quantity(girth)))
    assert size in [candidate.band.short for candidate in answer.candidates]


@pytest.mark.parametrize(
    ("first", "second"), [("14.14 in", "4 in IPS"), ("15.08 in", "4 in DIPS"), ("15.46 in", "125 mm ISO")]
)
def test_sizes_that_people_confuse_by_name_are_told_apart_by_girth(first: str, second: str) -> None:
    """4 in IPS, 4 in DIPS and 125 mm lie further apart than a tape is read wrongly."""
    answer = which_pipe(CATALOG, Findings(girth=quantity(first)))
    assert [candidate.band.short for candidate in answer.candidates] == [second]
    assert answer.verdict == "one pipe"


# ASTM F714: 4 in is 4.480 to 4.520 in, 6 in 6.595 to 6.655 in, 8 in 8.586 to 8.664 in (read); ISO 4427-2:
# 110 mm is at most 110.7 mm, 160 mm at most 161.0 mm (read). π times each, by hand.
@pytest.mark.parametrize(
    ("low", "high", "from_girth", "to_girth"),
    [
        (4.480, 4.520, 14.07, 14.20),
        (6.595, 6.655, 20.72, 20.91),
        (8.586, 8.664, 26.97, 27.22),
        (110.0, 110.7, 345.58, 347.77),
        (160.0, 161.0, 502.65, 505.80),
    ],
)
def test_the_band_of_a_round_pipe_is_pi_times_its_diameters(
    low: float, high: float, from_girth: float, to_girth: float
) -> None:
    least, greatest = girth_band(low, high, 0.0, 0.0)
    assert (round(least, 2), round(greatest, 2)) == (from_girth, to_girth)


@pytest.mark.parametrize("apart", [0.0, 0.015, 0.05, 0.2, 0.6])
def test_the_oval_girth_agrees_with_the_elliptic_integral(apart: float) -> None:
    """4 a E(e²) by an independent library; within one part in a million up to high twice low."""
    low, high = 114.3 * (1.0 - apart / 2.0), 114.3 * (1.0 + apart / 2.0)
    exact = 2.0 * high * ellipe(1.0 - (low / high) ** 2)
    assert oval_girth(low, high) == pytest.approx(exact, rel=1e-6)


def test_a_pipe_pressed_flat_keeps_nearly_its_girth() -> None:
    """An ellipse of 5 by 3 half-axes: 25.52700 (a public table of ellipse perimeters)."""
    assert oval_girth(6.0, 10.0) == pytest.approx(25.52700, abs=5e-6)
    assert oval_girth(10.0, 10.0) == pytest.approx(math.pi * 10.0)


def test_ovality_is_the_difference_over_the_mean() -> None:
    """ASTM D2122 (from memory), worked by hand: 4.55 and 4.45 in, 0.10 over 4.50."""
    assert ovality_percent(4.45, 4.55) == pytest.approx(2.2222, abs=5e-5)
