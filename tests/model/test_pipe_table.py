"""Invariants over every row of the pipe tables: a table is code under test."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from packgen.calc.pipe import inch_wall_max, inch_wall_min
from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.load import load
from packgen.model.records import PipeSize
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
        assert pipe.tolerance.plus_minus.number == widest
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
