"""Laws of telling a pipe by its girth: every size is found, and a wider allowance loses nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.calc import girth, pipe
from packgen.calc.findings import Findings
from packgen.calc.size_bands import SizeBand, size_bands
from packgen.calc.which_pipe import which_pipe
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.units import quantity

CATALOG = load(Path(__file__).parents[2] / "content", prose=False)
BANDS = size_bands(CATALOG)
quick = settings(max_examples=50, deadline=None, derandomize=True, database=None)
lengths = st.floats(10.0, 1500.0)


def with_rule(rule_id: str, value: str) -> Catalog:
    """The starter's catalogue with another value for a work rule."""
    rule = CATALOG.rule(rule_id).model_copy(update={"value": value})
    return replace(CATALOG, rules={**CATALOG.rules, rule_id: rule})


WIDER_TAPE, WIDER_GAUGE = with_rule("girth-reading", "1/4 in"), with_rule("wall-reading", "0.050 in")


def found(catalog: Catalog, girth_mm: float, wall_mm: float | None = None) -> dict[str, set[float]]:
    """The sizes that fit, each with its ratios."""
    walls = (quantity(f"{wall_mm:.6f} mm"),) if wall_mm is not None else ()
    answer = which_pipe(catalog, Findings(girth=quantity(f"{girth_mm:.6f} mm"), walls=walls))
    return {each.band.short: {ratio.dr for ratio in each.by_wall} for each in answer.candidates}


def test_there_is_a_band_for_every_size_of_every_table() -> None:
    named = {f"{size.name} {table.system}" for table in CATALOG.tables.values() for size in table.sizes}
    assert {band.short for band in BANDS} == named
    assert len(named) == len(BANDS) > 50


@pytest.mark.parametrize("band", BANDS, ids=lambda band: band.short)
def test_every_size_is_found_from_its_own_girth_and_walls(band: SizeBand) -> None:
    """With the girth of its nominal diameter, and each ratio from its least and greatest wall."""
    own = pipe.girth(band.outside_diameter)
    assert band.girth_low < own < band.girth_high
    for wall in band.walls:
        for reading in (wall.low, wall.high):
            assert wall.dr in found(CATALOG, own, reading)[band.short]


@quick
@given(lengths)
def test_a_wider_allowance_for_the_tape_never_loses_a_size(reading: float) -> None:
    assert found(CATALOG, reading).keys() <= found(WIDER_TAPE, reading).keys()


@quick
@given(st.sampled_from(BANDS), st.floats(1.0, 60.0))
def test_a_wider_allowance_for_the_gauge_never_loses_a_ratio(band: SizeBand, wall: float) -> None:
    own = pipe.girth(band.outside_diameter)
    narrow, wide = found(CATALOG, own, wall), found(WIDER_GAUGE, own, wall)
    assert narrow.keys() == wide.keys()
    assert all(narrow[short] <= wide[short] for short in narrow)


@quick
@given(lengths, st.floats(0.0, 0.5))
def test_an_oval_is_longer_round_than_the_circle_of_its_mean_diameter(diameter: float, share: float) -> None:
    low, high = diameter * (1.0 - share / 2.0), diameter * (1.0 + share / 2.0)
    assert girth.oval_girth(low, high) >= pipe.girth(diameter) * (1.0 - 1e-12)


@quick
@given(lengths, st.floats(0.0, 5.0), st.floats(0.0, 5.0), st.floats(0.0, 3.0))
def test_a_band_grows_with_every_allowance(
    diameter: float, tolerance: float, oval: float, reading: float
) -> None:
    least, greatest = girth.girth_band(diameter, diameter + tolerance, oval, reading)
    inner_least, inner_greatest = girth.girth_band(diameter, diameter, 0.0, 0.0)
    assert least <= inner_least <= inner_greatest * (1.0 + 1e-12) and inner_greatest <= greatest * (1 + 1e-12)
