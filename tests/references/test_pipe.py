"""Pipe dimensions and pressure ratings against published values, at the precision the source prints.

In: values as their source prints them, text, so that trailing zeros count.
Out: a failure that shows the printed and the worked value.
Each table names its source; "from memory" says that no text of it was at hand, "worked by hand" that the
source gives the formula and the figure was worked out apart from packgen.
"""

from __future__ import annotations

import pytest

from packgen.calc import pipe, rating

MM = 25.4
KPA_PER_PSI = 6.894757  # NIST SP 811, appendix B.8: psi to kPa
KPA_PER_BAR = 100.0


def prints_as(value: float, printed: str) -> bool:
    """Whether a value, rounded to as many places as the source prints, reads as the source does."""
    places = len(printed.partition(".")[2])
    return f"{value:.{places}f}" == printed


# ASTM D3035, table of minimum walls of IPS pipe, in; read in a public reproduction of the table for these
# DRs.
D3035_WALLS = [
    (1.050, 13.5, "0.078"), (1.050, 11, "0.095"), (1.050, 9, "0.117"), (1.050, 7, "0.150"),
    (1.315, 13.5, "0.097"), (1.315, 11, "0.120"), (1.315, 9, "0.146"), (1.315, 7, "0.188"),
    (1.660, 13.5, "0.123"), (1.660, 11, "0.151"), (1.660, 9, "0.184"), (1.660, 7, "0.237"),
    (1.900, 13.5, "0.141"), (1.900, 11, "0.173"), (1.900, 9, "0.211"), (1.900, 7, "0.271"),
    (2.375, 13.5, "0.176"), (2.375, 11, "0.216"), (2.375, 9, "0.264"), (2.375, 7, "0.339"),
    (3.500, 13.5, "0.259"), (3.500, 11, "0.318"), (3.500, 9, "0.389"),
]  # fmt: skip
# 49 CFR 192.121(c)(2)(iv), table of least walls and the SDR each corresponds to, in; from memory.
CFR_WALLS = [
    (1.660, 11, "0.151"), (1.900, 11, "0.173"), (2.375, 11, "0.216"), (3.500, 13.5, "0.259"),
    (4.500, 17, "0.265"), (6.625, 21, "0.315"), (8.625, 21, "0.411"), (10.750, 21, "0.512"),
    (12.750, 21, "0.607"),
]  # fmt: skip
# ASTM F714, t = D/DR to 0.001 in; worked by hand.
F714_WALLS = [
    (4.500, 11, "0.409"), (6.625, 11, "0.602"), (8.625, 11, "0.784"), (10.750, 17, "0.632"),
    (4.500, 9, "0.500"),
]  # fmt: skip


@pytest.mark.parametrize(("diameter", "ratio", "printed"), D3035_WALLS + CFR_WALLS + F714_WALLS)
def test_minimum_walls_are_those_of_the_published_tables(diameter: float, ratio: float, printed: str) -> None:
    """The wall worked from diameter and DR is the table's to its last digit, held in mm on the way."""
    assert prints_as(pipe.inch_wall_min(diameter * MM, ratio) / MM, printed)


def test_a_half_thousandth_goes_up() -> None:
    """0.0135 in / 9 is 0.0015 and 0.0225 in / 9 is 0.0025: the half goes up, whatever floats make of it."""
    assert prints_as(pipe.inch_wall_min(0.0135 * MM, 9) / MM, "0.002")
    assert prints_as(pipe.inch_wall_min(0.0225 * MM, 9) / MM, "0.003")


# PPI Handbook of Polyethylene Pipe, 2nd edition, chapter 6: mean ID = D - 2.12 t, in (formula from memory,
# figures worked by hand from the table walls).
INSIDE_DIAMETERS = [
    (2.375, 11, "1.917"), (2.375, 9, "1.815"), (3.500, 11, "2.826"), (4.500, 11, "3.633"),
    (4.500, 17, "3.938"), (6.625, 11, "5.349"), (8.625, 11, "6.963"), (10.750, 17, "9.410"),
]  # fmt: skip


@pytest.mark.parametrize(("diameter", "ratio", "printed"), INSIDE_DIAMETERS)
def test_mean_inside_diameters_are_those_of_the_handbook(diameter: float, ratio: float, printed: str) -> None:
    """Twice the mean wall of 1.06 t is taken off the outside diameter."""
    wall = pipe.inch_wall_min(diameter * MM, ratio)
    assert prints_as(pipe.inch_inside_diameter_mean(diameter * MM, wall) / MM, printed)


# ASTM F714, table of outside diameters and tolerances, +-0.45 %, in.
F714_BANDS = [(4.500, "4.480", "4.520"), (6.625, "6.595", "6.655"), (8.625, "8.586", "8.664")]
# ASTM D3035, table of outside diameters and tolerances, in; from memory.
D3035_BANDS = [
    (2.375, 0.006, "2.369", "2.381"), (3.500, 0.008, "3.492", "3.508"),
    (4.500, 0.009, "4.491", "4.509"), (6.625, 0.011, "6.614", "6.636"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("diameter", "plus_minus", "least", "greatest"),
    [(diameter, 0.0045 * diameter, least, greatest) for diameter, least, greatest in F714_BANDS]
    + D3035_BANDS,
)
def test_tolerance_bands_are_those_of_the_standards(
    diameter: float, plus_minus: float, least: str, greatest: str
) -> None:
    """Both ends of the band read as the standard prints them."""
    low, high = pipe.outside_diameter_band(diameter * MM, plus_minus * MM)
    assert prints_as(low / MM, least)
    assert prints_as(high / MM, greatest)


# Pi times the diameters of ASTM F714 (4.500 in), AWWA C906 DIPS (4.80 in) and ISO 4427-2 (110, 125 mm), in;
# by hand.
@pytest.mark.parametrize(
    ("diameter", "printed"),
    [(4.500 * MM, "14.14"), (4.80 * MM, "15.08"), (110.0, "13.61"), (125.0, "15.46")],
)
def test_girths_tell_the_size_systems_apart(diameter: float, printed: str) -> None:
    """The tape reads differently for each size that is called four inches or thereabouts."""
    assert prints_as(pipe.girth(diameter) / MM, printed)


# PE4710, HDS 1000 psi: ASTM D3035 and ASTM F714, appendix on pressure rating, psi; DR 7 and 13.5 read in a
# public reproduction of the D3035 ratings.
PE4710_RATINGS = [
    (7, "333"), (9, "250"), (11, "200"), (13.5, "160"), (17, "125"), (21, "100"), (26, "80"),
]  # fmt: skip
# PVC 1120: ASTM D2241 ratings (from memory), psi; formula and HDS 2000 psi in Moser, Buried Pipe Design,
# chapter 4.
PVC_RATINGS = [(17, "250"), (21, "200"), (26, "160")]


@pytest.mark.parametrize(
    ("stress", "ratio", "printed"),
    [(1000.0, *row) for row in PE4710_RATINGS] + [(2000.0, *row) for row in PVC_RATINGS],
)
def test_water_ratings_are_those_of_the_standards(stress: float, ratio: float, printed: str) -> None:
    """2 HDS / (DR - 1) gives the printed rating."""
    found = rating.water_pressure_rating(stress * KPA_PER_PSI, ratio)
    assert prints_as(found / KPA_PER_PSI, printed)


# AWWA M55, table 4-6: multiplier 1.0 to 80 degF, 0.9 to 90, 0.8 to 100; ratings of DR 11 worked by hand, psi.
@pytest.mark.parametrize(("factor", "printed"), [(1.0, "200"), (0.9, "180"), (0.8, "160")])
def test_warm_water_lowers_the_rating(factor: float, printed: str) -> None:
    """The table's multiplier is applied to the rating of PE4710 DR 11."""
    found = rating.water_pressure_rating(1000.0 * KPA_PER_PSI, 11, factor)
    assert prints_as(found / KPA_PER_PSI, printed)


# ISO 4427-1 and EN 12201-1, PE100 with C 1.25: PN in bar by SDR.
@pytest.mark.parametrize(
    ("ratio", "printed"), [(33, "5.0"), (26, "6.4"), (21, "8.0"), (17, "10.0"), (11, "16.0"), (9, "20.0")]
)
def test_nominal_pressures_are_those_of_the_standard(ratio: float, printed: str) -> None:
    """2 MRS / (C (SDR - 1)) gives the nominal pressure of the series."""
    assert prints_as(rating.strength_pressure_rating(10000.0, 1.25, ratio) / KPA_PER_BAR, printed)


# 49 CFR 192.121(a), DF 0.32; HDB at 73 degF: PE4710 1600 psi, PE2708 1250 psi (from memory). Caps of
# 192.121(b) and (c): 100 psig, or 125 psig for the polyethylene pipe that (c) names. psig, worked by hand.
@pytest.mark.parametrize(
    ("basis", "ratio", "cap", "printed"),
    [
        (1600.0, 11, 125.0, "102.4"),
        (1600.0, 11, 100.0, "100.0"),
        (1600.0, 7, 125.0, "125.0"),
        (1600.0, 13.5, 125.0, "81.9"),
        (1250.0, 11, 125.0, "80.0"),
    ],
)
def test_gas_ratings_are_those_of_the_regulation(
    basis: float, ratio: float, cap: float, printed: str
) -> None:
    """The formula of the regulation holds up to its cap."""
    found = rating.gas_pressure_rating(basis * KPA_PER_PSI, 0.32, ratio, cap * KPA_PER_PSI)
    assert prints_as(found / KPA_PER_PSI, printed)


# Permitted ovality 1.5 % by DVS 2207-1 (from memory), in; worked by hand.
@pytest.mark.parametrize(("diameter", "printed"), [(4.500, "0.068"), (6.625, "0.099"), (8.625, "0.129")])
def test_out_of_roundness_is_the_share_of_the_diameter(diameter: float, printed: str) -> None:
    """A percentage of the diameter becomes the difference that a crew measures."""
    assert prints_as(pipe.out_of_round_max(diameter * MM, 1.5) / MM, printed)
