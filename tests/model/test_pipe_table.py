"""Invariants over every row of the pipe tables: a table is code under test."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from packgen.calc.pipe import inch_wall_max, inch_wall_min
from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.load import load
from packgen.model.records import PipeSize, PipeTable
from packgen.units import quantity

CONTENT = Path(__file__).parents[2] / "content"
CATALOG: Catalog = load(CONTENT, prose=False)
TABLE = CATALOG.tables["IPS"]
SIZES = TABLE.sizes
RATIOS = TABLE.dimension_ratios


def by_name(size: PipeSize) -> str:
    """A size as it reads in a test's name."""
    return size.name


def inches(size: PipeSize) -> float:
    """The outside diameter in inches."""
    return size.outside_diameter.to("in")


def test_the_table_holds_the_sizes_and_ratios_of_the_trade() -> None:
    """1/2 to 24 in, DR 7.3 to 26, in order and once each."""
    names = [size.name for size in SIZES]
    assert (names[0], names[-1]) == ("1/2 in", "24 in")
    assert len(set(names)) == len(names) == 18
    assert (RATIOS[0], RATIOS[-1]) == (7.3, 26.0)
    assert all(one < other for one, other in pairwise(RATIOS))


def test_the_outside_diameter_rises_with_the_size() -> None:
    """Names and diameters are in one order."""
    assert all(inches(one) < inches(other) for one, other in pairwise(SIZES))
    nominal = [quantity(size.name).to("in") for size in SIZES]
    assert all(one < other for one, other in pairwise(nominal))


@pytest.mark.parametrize("size", SIZES, ids=by_name)
def test_the_name_of_a_size_is_near_its_diameter(size: PipeSize) -> None:
    """Up to 12 in a size is named for a bore and is larger outside; from 14 in the name is the diameter."""
    nominal = quantity(size.name).to("in")
    if nominal >= 14.0:
        assert inches(size) == pytest.approx(nominal)
    else:
        assert nominal < inches(size) <= nominal + 0.75


@pytest.mark.parametrize("size", SIZES, ids=by_name)
def test_the_wall_falls_with_the_ratio(size: PipeSize) -> None:
    """Two ratios never share a wall, and the thickest permitted wall lies above the least."""
    walls = [inch_wall_min(size.outside_diameter.to("mm"), ratio) for ratio in RATIOS]
    assert all(one > other for one, other in pairwise(walls))
    assert all(inch_wall_max(wall) > wall for wall in walls)


@pytest.mark.parametrize("size", SIZES, ids=by_name)
@pytest.mark.parametrize("ratio", RATIOS)
def test_diameter_over_wall_is_the_ratio_to_rounding(size: PipeSize, ratio: float) -> None:
    """Half a thousandth of an inch of wall, no more."""
    wall = inch_wall_min(size.outside_diameter.to("mm"), ratio) / 25.4
    assert inches(size) / (wall + 0.0005000001) <= ratio <= inches(size) / (wall - 0.0005000001)


@pytest.mark.parametrize("ratio", RATIOS)
def test_the_wall_rises_with_the_size(ratio: float) -> None:
    """A larger pipe of one ratio is never thinner."""
    walls = [inch_wall_min(size.outside_diameter.to("mm"), ratio) for size in SIZES]
    assert all(one < other for one, other in pairwise(walls))


@pytest.mark.parametrize("size", SIZES, ids=by_name)
def test_tolerances_are_positive_small_and_of_known_standards(size: PipeSize) -> None:
    """Once for each standard, below one per cent, in inches to a thousandth, with a source that exists."""
    standards = [tolerance.standard for tolerance in size.tolerances]
    assert len(set(standards)) == len(standards) > 0
    assert set(standards) <= {"ASTM D3035", "ASTM F714"}
    for tolerance in size.tolerances:
        band = tolerance.plus_minus
        assert band.unit == "in"
        assert len(band.digits.partition(".")[2]) == 3
        assert 0.0 < band.to("in") <= 0.01 * inches(size)
        assert tolerance.source in CATALOG.sources
    assert size.source in CATALOG.sources


@pytest.mark.parametrize("size", SIZES, ids=by_name)
def test_the_band_of_f714_is_045_percent_to_a_thousandth(size: PipeSize) -> None:
    """ASTM F714: ±0.45 % of the outside diameter; smaller sizes are not in it."""
    bands = [each.plus_minus.to("in") for each in size.tolerances if each.standard == "ASTM F714"]
    if quantity(size.name).to("in") < 3.0:
        assert bands == []
    else:
        assert abs(bands[0] - 0.0045 * inches(size)) <= 0.0005000001


def test_tolerances_never_fall_as_the_size_rises() -> None:
    """Within one standard."""
    for standard in ("ASTM D3035", "ASTM F714"):
        bands = [
            each.plus_minus.number for size in SIZES for each in size.tolerances if each.standard == standard
        ]
        assert bands == sorted(bands)
        assert len(bands) >= 12


@pytest.mark.parametrize("size", SIZES, ids=by_name)
def test_every_size_is_found_as_people_write_it(size: PipeSize) -> None:
    """With each ratio; without a standard the widest band serves, with one its own."""
    widest = max(each.plus_minus.number for each in size.tolerances)
    for ratio in RATIOS:
        pipe = CATALOG.pipe(read_designation(f"{size.name} IPS DR {ratio:g} PE4710"))
        assert pipe.size == size
        assert pipe.tolerance is not None and pipe.tolerance.plus_minus.number == widest
    for tolerance in size.tolerances:
        pipe = CATALOG.pipe(read_designation(f"{size.name} IPS DR 11 PE4710 {tolerance.standard}"))
        assert pipe.tolerance == tolerance


def test_a_pipe_that_is_in_no_table_is_refused_with_every_reason() -> None:
    """Size, ratio and material at once."""
    with pytest.raises(ContentError) as caught:
        CATALOG.pipe(read_designation("5 in IPS DR 12 PE9999"))
    told = str(caught.value)
    assert "5 in is not a size of IPS" in told
    assert "DR 12 is not in the table of IPS" in told
    assert "the material PE9999 is not known" in told


# ---- every table


TABLES = CATALOG.tables
EACH = [pytest.param(table, size, id=f"{size.name} {table.system}")
        for table in TABLES.values() for size in table.sizes]  # fmt: skip


def walls_of(table: PipeTable, size: PipeSize) -> list[tuple[float, float, float]]:
    """Ratio, least and greatest wall in mm: the listed ones, else those of the rule for inch pipe."""
    listed = {wall.dr: (wall.min.to("mm"), wall.max.to("mm")) for wall in size.walls}
    found = []
    for ratio in table.ratios(size):
        least = inch_wall_min(size.outside_diameter.to("mm"), ratio)
        found.append((ratio, *listed.get(ratio, (least, inch_wall_max(least)))))
    return found


def test_there_is_a_table_for_each_size_system_with_the_sizes_of_the_trade() -> None:
    """From the smallest to the largest, once each, smallest first."""
    ends = {
        system: (table.sizes[0].name, table.sizes[-1].name, len(table.sizes))
        for system, table in TABLES.items()
    }
    assert ends == {
        "IPS": ("1/2 in", "24 in", 18),
        "DIPS": ("3 in", "36 in", 13),
        "CTS": ("1/2 in", "2 in", 6),
        "ISO": ("20 mm", "560 mm", 23),
    }


@pytest.mark.parametrize("table", TABLES.values(), ids=TABLES)
def test_diameters_and_ratios_rise_and_stand_once(table: PipeTable) -> None:
    """Names, outside diameters and ratios are each in one order."""
    names = [quantity(size.name).to("mm") for size in table.sizes]
    diameters = [size.outside_diameter.to("mm") for size in table.sizes]
    for numbers in (names, diameters, list(table.dimension_ratios)):
        assert all(one < other for one, other in pairwise(numbers))
    assert len(names) >= 6


@pytest.mark.parametrize(("table", "size"), EACH)
def test_every_row_s_walls_fall_with_the_ratio(table: PipeTable, size: PipeSize) -> None:
    """The least wall never rises with the ratio; each greatest is above its least; a bore is left."""
    walls = walls_of(table, size)
    assert walls
    assert all(one[0] < other[0] for one, other in pairwise(walls))
    listed_same = table.system == "CTS" and size.name == "1/2 in"  # the least wall of the standard, twice
    for one, other in pairwise(walls):
        assert one[1] > other[1] or (listed_same and one[1] == other[1])
    for _, least, greatest in walls:
        assert least < greatest <= 1.2 * least + 0.1
        assert 2.0 * greatest < size.outside_diameter.to("mm")


@pytest.mark.parametrize(("table", "size"), EACH)
def test_every_row_s_diameter_over_wall_is_its_ratio_to_rounding(table: PipeTable, size: PipeSize) -> None:
    """Inch pipe: half a thousandth of an inch of wall. ISO: the pipe series, to the next 0.1 mm.

    ISO 4065 (from memory): e = d/(2 S + 1), S a preferred number of the R 10 series, taken exactly (3.2 is
    10^0.5). It is taken to 0.01 mm first; the thinnest walls stand higher: 1.9 as 2.0, 2.8 as 3.0.
    """
    powers = {7.4: 0.5, 9.0: 0.6, 11.0: 0.7, 13.6: 0.8, 17.0: 0.9, 21.0: 1.0}
    diameter = size.outside_diameter.to("mm")
    for ratio, least, _ in walls_of(table, size):
        if table.system == "ISO":
            tenths = math.ceil(10.0 * diameter / (2.0 * 10.0 ** powers[ratio] + 1.0) - 0.05)
            assert round(10.0 * least) == {19: 20, 28: 30, 29: 30}.get(tenths, tenths), ratio
        elif not any(wall.dr == ratio for wall in size.walls):
            assert abs(diameter / ratio - least) <= 0.0005000001 * 25.4
        else:
            assert least >= diameter / ratio


@pytest.mark.parametrize("size", [each.values[1] for each in EACH], ids=[each.id for each in EACH])
def test_every_row_has_one_band_and_sources_that_exist(size: PipeSize) -> None:
    """By standard, or its own; below two per cent of the diameter; out-of-round where the band is its own."""
    diameter = size.outside_diameter.to("mm")
    sources = [size.source, *(each.source for each in (*size.tolerances, *size.walls))]
    assert all(source in CATALOG.sources for source in sources)
    if size.outside_diameter_max is None:
        assert size.tolerances
        assert all(0.0 < each.plus_minus.to("mm") <= 0.01 * diameter for each in size.tolerances)
    else:
        assert not size.tolerances
        assert diameter < size.outside_diameter_max.to("mm") <= 1.02 * diameter
        assert size.out_of_round_max is not None
        assert 0.0 < size.out_of_round_max.to("mm") <= 0.07 * diameter


@pytest.mark.parametrize(("table", "size"), EACH)
def test_every_row_is_found_in_each_of_its_ratios_and_no_other(table: PipeTable, size: PipeSize) -> None:
    """A ratio that the size has no wall for is refused, and those it has are named."""
    for ratio in table.dimension_ratios:
        designation = read_designation(f"{size.name} {table.system} DR {ratio:g}")
        if ratio in table.ratios(size):
            pipe = CATALOG.pipe(designation)
            assert pipe.size == size
            assert (pipe.tolerance is None) == (size.outside_diameter_max is not None)
            continue
        with pytest.raises(ContentError) as caught:
            CATALOG.pipe(designation)
        (problem,) = caught.value.problems
        assert problem.what == f"the table of ISO lists no wall of {size.name} for SDR {ratio:g}"
        assert problem.expected == ", ".join(f"{known:g}" for known in table.ratios(size))


def test_walls_rise_with_the_size_in_every_table() -> None:
    """A larger pipe of one ratio is never thinner."""
    for table in TABLES.values():
        for ratio in table.dimension_ratios:
            least = [wall for size in table.sizes for dr, wall, _ in walls_of(table, size) if dr == ratio]
            assert all(one <= other for one, other in pairwise(least)), (table.system, ratio)


def test_the_standard_on_the_print_line_chooses_the_band() -> None:
    """Inch pipe: its own, else the widest; ISO pipe has one band, whatever standard of the table it names."""
    narrow = CATALOG.pipe(read_designation("4 in IPS DR 11 PE4710 ASTM D3035"))
    wide = CATALOG.pipe(read_designation("4 in IPS DR 11 PE4710"))
    assert narrow.tolerance is not None and wide.tolerance is not None
    assert (narrow.tolerance.plus_minus.digits, wide.tolerance.plus_minus.digits) == ("0.009", "0.020")
    metric = CATALOG.pipe(read_designation("110 mm ISO SDR 11 PE100 ISO 4427-2"))
    assert metric.tolerance is None
    with pytest.raises(
        ContentError, match="AWWA C906 does not hold 110 mm ISO; expected ISO 4427, ISO 4427-2"
    ):
        CATALOG.pipe(read_designation("110 mm ISO SDR 11 PE100 AWWA C906"))


@pytest.mark.parametrize(
    ("system", "first"), [("IPS", "PE4710"), ("DIPS", "PE4710"), ("CTS", "PE4710"), ("ISO", "PE100")]
)
def test_the_first_material_that_serves_the_system_is_taken(system: str, first: str) -> None:
    """Where nobody names one; the first of all where none serves the system."""
    materials = CATALOG.families["demo-saddle-screw"].main.materials
    assert CATALOG.first_material(materials, system) == first
    assert CATALOG.first_material(("PE4710", "PE2708"), "ISO") == "PE4710"
