"""What each size of the pipe tables measures: girth and walls, as wide as any standard lets it be.

In: the catalogue. Out: a `SizeBand` for every size of every system, by girth. Vocabulary: a *band* is from
the least to the greatest a pipe of that size may measure, by the standard that lets it vary most.
Sources: the pipe tables and their standards; the work rules `ovality` and `girth-reading`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packgen.calc import girth, pipe
from packgen.model.catalog import Catalog
from packgen.model.designation import Designation
from packgen.model.records import PipeSize, PipeTable


@dataclass(frozen=True)
class WallBand:
    """The walls of one dimension ratio of a size, mm."""

    dr: float
    low: float
    high: float


@dataclass(frozen=True)
class SizeBand:
    """What a pipe of one size may measure, mm.

    `girth_low` and `girth_high` hold the tape's reading allowance. `out_of_round_max` is how far out of round
    it may be fused, which is less than it may be made.
    """

    size: str
    system: str
    outside_diameter: float
    girth_low: float
    girth_high: float
    out_of_round_max: float
    walls: tuple[WallBand, ...]

    @property
    def short(self) -> str:
        """Size and system: "4 in IPS"."""
        return f"{self.size} {self.system}"

    @property
    def inch(self) -> bool:
        """Whether the size is named in inches, and its walls are best told so."""
        return self.size.endswith(" in")

    def ratio(self, dr: float) -> str:
        """A dimension ratio as the size's system names it: "DR 11", "SDR 11"."""
        return self.pipe(dr).ratio

    def pipe(self, dr: float, material: str | None = None) -> Designation:
        """The pipe of this size with a ratio."""
        return Designation(self.size, self.system, dr, material, None)


def size_bands(catalog: Catalog) -> tuple[SizeBand, ...]:
    """Every size of every system, by the least girth.

    Parameters: `catalog`. Returns the bands.
    """
    found = [band for table in catalog.tables.values() for band in _bands(catalog, table)]
    return tuple(sorted(found, key=lambda band: (band.girth_low, band.girth_high, band.short)))


def _bands(catalog: Catalog, table: PipeTable) -> Iterator[SizeBand]:
    """The bands of one system."""
    reading = catalog.rule_quantity("girth-reading", "mm")
    share = catalog.rule_quantity("ovality", "percent")
    for size in table.sizes:
        nominal = size.outside_diameter.to("mm")
        by_rule = pipe.out_of_round_max(nominal, share)
        stated = size.out_of_round_max.to("mm") if size.out_of_round_max else None
        low, high = _diameters(size)
        # What the table lets a pipe be when it is made; where it says nothing, what the rule lets pass.
        made = by_rule if stated is None else stated
        ends = girth.girth_band(low, high, made, reading)
        fused = by_rule if stated is None else min(by_rule, stated)
        walls = tuple(_wall(size, dr) for dr in table.ratios(size))
        yield SizeBand(size.name, table.system, nominal, *ends, fused, walls)


def _diameters(size: PipeSize) -> tuple[float, float]:
    """Least and greatest mean outside diameter, by the standard with the widest band."""
    nominal = size.outside_diameter.to("mm")
    if size.outside_diameter_max is not None:
        return nominal, size.outside_diameter_max.to("mm")
    bands = [pipe.outside_diameter_band(nominal, each.plus_minus.to("mm")) for each in size.tolerances]
    return min(low for low, _ in bands), max(high for _, high in bands)


def _wall(size: PipeSize, dr: float) -> WallBand:
    """The walls of a ratio: as listed, or by the rule for inch pipe."""
    listed = next((wall for wall in size.walls if wall.dr == dr), None)
    if listed is not None:
        return WallBand(dr, listed.min.to("mm"), listed.max.to("mm"))
    least = pipe.inch_wall_min(size.outside_diameter.to("mm"), dr)
    return WallBand(dr, least, pipe.inch_wall_max(least))
