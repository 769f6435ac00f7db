"""The readings taken on a main whose size nobody knows, and the sizes left after them.

In: quantities as a person wrote them. Out: records that the questions about an unknown main share.
Vocabulary: *high* and *low* are the largest and the smallest outside diameter found with a caliper; *by wall*
are the ratios whose walls hold the readings of the wall gauge.
"""

from __future__ import annotations

from dataclasses import dataclass

from packgen.calc.size_bands import SizeBand, WallBand
from packgen.model.print_line import PrintLine
from packgen.model.records import Contents
from packgen.rounding import Units
from packgen.units import Quantity


@dataclass(frozen=True)
class Findings:
    """What was read on the main; `high` and `low` go together."""

    girth: Quantity | None = None
    high: Quantity | None = None
    low: Quantity | None = None
    walls: tuple[Quantity, ...] = ()
    print_line: str | None = None
    gouge: Quantity | None = None
    contents: Contents | None = None
    units: Units = "both"


@dataclass(frozen=True)
class Read:
    """The readings against the tables: `fitting` by girth, `named` those of them the print line may mean."""

    line: PrintLine | None
    girth: float | None
    bands: tuple[SizeBand, ...]
    fitting: tuple[SizeBand, ...]
    named: tuple[SizeBand, ...]


@dataclass(frozen=True)
class Candidate:
    """A size that fits, with its ratios left by the wall and by the print line as well."""

    band: SizeBand
    by_wall: tuple[WallBand, ...]
    ratios: tuple[WallBand, ...]
