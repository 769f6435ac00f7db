"""The size systems against published values: diameters, bands, walls, pressures.

In: values as their source prints them, and the pipe tables of the starter's content. Out: a failure that
names the size and shows both values.
Each table names its source and its standing: "read" in a text of the source or in a public page that
reproduces it; "trade page" in a public page of the trade that names the standard, weaker; "from memory" that
no text of it was at hand; "worked by hand" that the source gives the formula. Where a second text gives the
same figures by another way (an inside diameter, a nominal pressure), it is the second opinion.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from packgen.calc import pipe, rating
from packgen.model.catalog import Pipe
from packgen.model.designation import read_designation
from packgen.model.load import load
from packgen.model.records import PipeSize

CATALOG = load(Path(__file__).parents[2] / "content", prose=False)
MM = 25.4


def found(written: str) -> Pipe:
    """A pipe of the tables."""
    return CATALOG.pipe(read_designation(written, CATALOG.tables))


def rows(table: str) -> list[list[str]]:
    """The rows of a table of text, a semicolon or a line each."""
    return [row.split() for row in table.replace("\n", ";").split(";") if row.strip()]


def iso(size: int, ratio: float) -> tuple[float, float]:
    """Least and greatest wall of an ISO pipe in mm."""
    wall = found(f"{size} mm ISO SDR {ratio:g}").wall
    assert wall is not None
    return wall.min.to("mm"), wall.max.to("mm")


# ASTM D3035, walls and their tolerances, in; trade page that names the standard. The tolerance is 12 % of the
# wall and at least 0.020 in, so only walls from 0.167 in up bear the 12 % rule out.
D3035_WALLS = """
2 9 .264 .032; 3 9 .389 .047; 4 9 .500 .060; 6 9 .736 .088; 8 9 .958 .115; 10 9 1.194 .143; 12 9 1.417 .170
2 11 .216 .026; 3 11 .318 .038; 4 11 .409 .049; 6 11 .602 .072; 8 11 .784 .094; 10 11 .977 .117
12 11 1.159 .139; 1-1/2 11 .173 .021; 1-1/4 9 .184 .022; 1-1/2 9 .211 .025
"""


@pytest.mark.parametrize("row", rows(D3035_WALLS))
def test_an_ips_wall_and_its_tolerance_are_those_of_d3035(row: list[str]) -> None:
    """Wall from diameter and ratio, and 12 % of it, to the printed thousandth."""
    size, ratio, wall, tolerance = row
    least = pipe.inch_wall_min(found(f"{size} in IPS DR {ratio}").outside_diameter, float(ratio)) / MM
    assert least == pytest.approx(float(wall), abs=1e-9)
    assert 0.12 * least == pytest.approx(float(tolerance), abs=0.0005000001)


# Copper tube: 49 CFR 192.125(b), nominal outside diameters to 1-1/2 in, read; 2 in ASTM B88, read in an open
# program that reproduces the table. Ductile iron pipe: AWWA C150/C151 sizes, 6 and 12 in on a trade page.
OUTSIDE = """
1/2 CTS .625; 3/4 CTS .875; 1 CTS 1.125; 1-1/4 CTS 1.375; 1-1/2 CTS 1.625; 2 CTS 2.125
6 DIPS 6.90; 12 DIPS 13.20
"""


@pytest.mark.parametrize("row", rows(OUTSIDE))
def test_outside_diameters_are_those_of_copper_tube_and_ductile_iron_pipe(row: list[str]) -> None:
    """The plastic pipe has the metal pipe's diameter."""
    size, system, printed = row
    assert found(f"{size} in {system} DR 11").outside_diameter / MM == pytest.approx(float(printed), abs=1e-9)


# GOST R 50838-2009 (ISO 4437:2007 with national changes), Table 1: greatest mean outside diameter and
# out-of-round after extrusion, mm; read.
ISO_BAND = """
20 20.3 1.2; 25 25.3 1.2; 32 32.3 1.3; 40 40.4 1.4; 50 50.4 1.4; 63 63.4 1.5; 75 75.5 1.6; 90 90.6 1.8
110 110.7 2.2; 125 125.8 2.5; 140 140.9 2.8; 160 161.0 3.2; 180 181.1 3.6; 200 201.2 4.0; 225 226.4 4.5
250 251.5 5.0; 280 281.7 9.8; 315 316.9 11.1; 355 357.2 12.5; 400 402.4 14.0; 450 452.7 15.6; 500 503.0 17.5
560 563.4 19.6
"""


@pytest.mark.parametrize("row", rows(ISO_BAND))
def test_an_iso_size_has_the_band_and_out_of_round_of_its_standard(row: list[str]) -> None:
    """The nominal diameter is the least one."""
    size, greatest, out_of_round = row
    row_of = found(f"{size} mm ISO SDR 11").size
    assert row_of.outside_diameter.to("mm") == float(size)
    assert row_of.outside_diameter_max is not None and row_of.out_of_round_max is not None
    assert row_of.outside_diameter_max.to("mm") == float(greatest)
    assert row_of.out_of_round_max.to("mm") == float(out_of_round)


# MS 1058-2:2005 (ISO 4427-2), walls, least and greatest, mm; read in a public page that reproduces it.
ISO_WALLS = """
90 11 8.2 9.2; 110 11 10.0 11.1; 125 11 11.4 12.7; 140 11 12.7 14.1; 160 11 14.6 16.2; 180 11 16.4 18.2
200 11 18.2 20.2; 225 11 20.5 22.7; 250 11 22.7 25.1; 280 11 25.4 28.1; 315 11 28.6 31.6; 355 11 32.2 35.6
90 17 5.4 6.1; 110 17 6.6 7.4; 125 17 7.4 8.3; 160 17 9.5 10.6; 200 17 11.9 13.2; 250 17 14.8 16.4
160 9 17.9 19.8; 250 9 27.9 30.8; 315 9 35.2 38.9; 160 13.6 11.8 13.1; 250 13.6 18.4 20.4; 315 17 18.7 20.7
40 21 2.0 2.3; 50 21 2.4 2.8
"""
# 20 to 75 mm: least wall of ISO 4427-2:2007, greatest of one public table of walls, mm; trade page.
SMALL_WALLS = "32 11 3.0 3.4; 63 11 5.8 6.5; 63 9 7.1 8.0; 63 17 3.8 4.3; 75 11 6.8 7.6; 20 11 2.0 2.3"


@pytest.mark.parametrize("row", rows(ISO_WALLS + SMALL_WALLS))
def test_an_iso_wall_is_the_printed_one(row: list[str]) -> None:
    """Least and greatest, as listed."""
    size, ratio, least, greatest = row
    assert iso(int(size), float(ratio)) == (float(least), float(greatest))


# Inside diameters d - 2 e of the pipe table of an open network program (pandapipes, standard types), mm;
# read. Its 20, 32 and 450 mm SDR 11 are of the older DIN series and left out.
INSIDE_11 = """25 20.4; 40 32.6; 50 40.8; 63 51.4; 75 61.4; 90 73.6; 110 90.0; 125 102.2; 160 130.8
180 147.2; 225 184.0; 250 204.6; 280 229.2; 315 257.8; 355 290.6; 400 327.4"""
INSIDE_17 = """90 79.2; 110 96.8; 125 110.2; 140 123.4; 160 141.0; 180 158.6; 200 176.2; 225 198.2; 250 220.4
280 246.8; 315 277.6; 355 312.8; 400 352.6; 450 396.6; 500 440.6; 560 493.6"""


@pytest.mark.parametrize(
    ("ratio", "row"),
    [(ratio, row) for ratio, table in ((11, INSIDE_11), (17, INSIDE_17)) for row in rows(table)],
)
def test_least_walls_agree_with_the_inside_diameters_of_another_table(ratio: int, row: list[str]) -> None:
    """A second opinion on each: another table, another way to say it."""
    size, inside = int(row[0]), float(row[1])
    assert size - 2.0 * iso(size, ratio)[0] == pytest.approx(inside, abs=1e-9)


# ISO 11922-1:1997 grade V: the greatest wall is 1.1 e + 0.1 mm, to the next 0.1 mm; read in an open program.
# Two walls stand as printed, 0.1 mm above the rule.
ABOVE_THE_RULE = {("40 mm", 13.6), ("125 mm", 9.0)}


@pytest.mark.parametrize("size", CATALOG.tables["ISO"].sizes, ids=lambda size: size.name)
def test_the_greatest_wall_follows_grade_v_of_the_tolerance_standard(size: PipeSize) -> None:
    """All but the two that their texts print otherwise; tenths of a millimetre as whole numbers."""
    assert len(size.walls) >= 3
    for wall in size.walls:
        least, greatest = round(wall.min.to("mm") * 10), round(wall.max.to("mm") * 10)
        rule = -(-(11 * least + 10) // 10)
        assert greatest == rule + ((size.name, wall.dr) in ABOVE_THE_RULE), wall


# Nominal pressures of PE80 and PE100 by SDR, bar: ISO 4427-2:2007 and DSTU B V.2.7-151, tables; read. The
# formula lies between the printed step of the series and the next (PE80 SDR 21: 6.4, printed PN 6).
SERIES = (4.0, 5.0, 6.0, 8.0, 10.0, 12.5, 16.0, 20.0, 25.0, 32.0)
NOMINAL = "7.4 20 25; 9 16 20; 11 12.5 16; 13.6 10 12.5; 17 8 10; 21 6 8; 26 5 6"


@pytest.mark.parametrize("row", rows(NOMINAL))
def test_the_rating_is_at_least_the_nominal_pressure_and_below_the_next(row: list[str]) -> None:
    """By strength and coefficient of the materials file; 7.4 rounds the series 3.2 up."""
    for material, printed in zip(("PE80", "PE100"), map(float, row[1:]), strict=True):
        facts = CATALOG.materials[material]
        assert facts.minimum_required_strength is not None and facts.design_coefficient is not None
        strength = facts.minimum_required_strength.to("kPa")
        worked = rating.strength_pressure_rating(strength, facts.design_coefficient, float(row[0])) / 100.0
        assert printed <= worked * 1.001 < SERIES[SERIES.index(printed) + 1]


# EN 12201-1, annex A, as a public page quotes it: PN 16 and PN 25 pipe at 20, 30 and 40 degC, bar; read.
@pytest.mark.parametrize(
    ("nominal", "warm", "printed"),
    [(16, 20, 16.0), (16, 30, 13.9), (16, 40, 11.8), (25, 20, 25.0), (25, 30, 21.7), (25, 40, 18.5)],
)
def test_iso_pipe_carries_less_when_warm_as_printed(nominal: int, warm: int, printed: float) -> None:
    """The factor for materials rated by strength, at the temperature it reaches to."""
    rows = [row for row in CATALOG.temperature_factors if row.rated_by == "required strength"]
    factor = next(row.factor for row in rows if row.up_to.to("degC") == warm)
    assert nominal * factor == pytest.approx(printed, abs=0.0500001)


# Gas, C 2.0 (GOST R 50838-95 amendment 3, 3.1.3: read): PE100 SDR 17 6.25 bar, printed by a polyethylene
# association, read; PE100 SDR 11 and PE80 SDR 11 worked by hand. At most 10 bar: ISO 4437-1:2024, scope,
# read.
@pytest.mark.parametrize(
    ("material", "ratio", "printed"), [("PE100", 17, 6.25), ("PE100", 11, 10.0), ("PE80", 11, 8.0)]
)
def test_gas_ratings_by_strength_are_the_printed_ones(material: str, ratio: float, printed: float) -> None:
    """Strength, coefficient and cap of the materials file."""
    facts = CATALOG.materials[material]
    assert facts.minimum_required_strength and facts.gas_coefficient and facts.gas_pressure_cap
    strength = facts.minimum_required_strength.to("kPa")
    worked = rating.strength_pressure_rating(strength, facts.gas_coefficient, ratio)
    assert worked / 100.0 == pytest.approx(printed, abs=1e-9)
    assert facts.gas_pressure_cap.to("bar") == 10.0


# Least wall of thermoplastic gas pipe: 49 CFR 192.123(c), text of 2004, read. The listed walls of 1/2 in CTS.
@pytest.mark.parametrize("ratio", [11, 13.5])
def test_the_thinnest_copper_tube_size_keeps_the_least_wall(ratio: float) -> None:
    """Diameter over ratio would be 0.057 and 0.046 in."""
    wall = found(f"1/2 in CTS DR {ratio:g}").wall
    assert wall is not None
    assert wall.min.to("in") == 0.062
    assert pipe.inch_wall_min(0.625 * MM, ratio) / MM < 0.062


# Mean inside diameter (D_min + D_max)/2 - e_min - e_max, mm; worked by hand.
@pytest.mark.parametrize(
    ("size", "ratio", "printed"), [(160, 11, 129.7), (63, 11, 50.9), (110, 17, 96.35), (315, 11, 255.75)]
)
def test_the_mean_inside_diameter_of_iso_pipe(size: int, ratio: float, printed: float) -> None:
    """From the listed band and walls."""
    row = found(f"{size} mm ISO SDR {ratio:g}").size
    assert row.outside_diameter_max is not None
    band = (row.outside_diameter.to("mm"), row.outside_diameter_max.to("mm"))
    assert pipe.listed_inside_diameter_mean(*band, *iso(size, ratio)) == pytest.approx(printed, abs=1e-9)
