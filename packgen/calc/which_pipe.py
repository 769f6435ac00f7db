"""Which pipe is this? Readings taken on a main in the ground, and every size that fits them.

In: the catalogue and `Findings`. Out: an `Answer`: candidates, verdict, what to measure next, what may be
fused, reasons not to fuse. Vocabulary: a *candidate* is a size whose girth band holds the reading; it fits,
which is not yet to say that the main is of that size. Nothing is guessed: a size system, a ratio or a
material that no reading names stays open, and nothing may be fused until all are known.
Sources: the pipe tables; the work rules `girth-reading`, `wall-reading`, `ovality`, `surface-loss`,
`peel-depth-max` and `old-material`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.findings import Candidate, Findings, Read
from packgen.calc.girth import oval_girth
from packgen.calc.may_fuse import MayFuse, may_fuse
from packgen.calc.not_fuse import reasons_not_to_fuse
from packgen.calc.request import Reason
from packgen.calc.size_bands import SizeBand, WallBand, size_bands
from packgen.model.catalog import Catalog
from packgen.model.print_line import PrintLine, read_print_line
from packgen.model.records import Contents

Verdict = Literal["one pipe", "several pipes", "no pipe"]
# What else can be measured, and what is missing, by the key of its words.
Measure = Literal["tape", "caliper", "wall_gauge", "print_line", "contents", "second_person"]
Missing = Literal["girth", "size", "wall", "ratio", "material", "agreement"]


@dataclass(frozen=True)
class Answer:
    """What the readings say."""

    findings: Findings
    read: Read
    candidates: tuple[Candidate, ...]
    reasons: tuple[Reason, ...]
    measure_next: tuple[Measure, ...]
    missing: tuple[Missing, ...]
    may_fuse: tuple[MayFuse, ...]

    @property
    def verdict(self) -> Verdict:
        """How many sizes fit."""
        return ("no pipe", "one pipe")[len(self.candidates)] if len(self.candidates) < 2 else "several pipes"


def which_pipe(catalog: Catalog, findings: Findings) -> Answer:
    """Which pipe is this?

    Parameters: `catalog`; `findings`, of which at least a girth, both diameters or a print line is given.
    Returns an `Answer`. Raises `OutOfRange` for a reading that no pipe can have.
    """
    line = None
    if findings.print_line is not None:
        line = read_print_line(findings.print_line, catalog.tables, catalog.other_materials)
    bands = size_bands(catalog)
    girth = _girth(findings)
    fitting = bands if girth is None else tuple(b for b in bands if _holds(catalog, findings, girth, b))
    named = tuple(band for band in fitting if _named(line, band))
    if girth is None and not (line and line.sizes):
        named = ()  # a system or a ratio alone fits half the tables
    # A line that contradicts the tape narrows nothing: what fits the tape is shown, the contradiction told.
    left = named if named or girth is None else fitting
    candidates = tuple(_candidate(catalog, findings, line, band) for band in left)
    read = Read(line, girth, bands, fitting, named)
    reasons = tuple(reasons_not_to_fuse(catalog, findings, read, candidates))
    missing = _missing(findings, line, candidates, reasons)
    fuse = () if missing else may_fuse(catalog, _found(candidates, line), _contents(findings, line))
    return Answer(findings, read, candidates, reasons, _measure_next(findings), missing, fuse)


def _girth(findings: Findings) -> float | None:
    """The girth in mm: by tape, else from the two diameters."""
    if findings.girth is not None:
        return findings.girth.to("mm")
    if findings.low is not None and findings.high is not None:
        return oval_girth(findings.low.to("mm"), findings.high.to("mm"))
    return None


def _holds(catalog: Catalog, findings: Findings, girth: float, band: SizeBand) -> bool:
    """Whether a size's band holds the girth; a caliper's allowance counts round the pipe where it is more."""
    more = FLOAT_NOISE
    if findings.girth is None:
        tape, caliper = (catalog.rule_quantity(f"{name}-reading", "mm") for name in ("girth", "wall"))
        more += max(0.0, math.pi * caliper - tape)
    return band.girth_low - more <= girth <= band.girth_high + more


def _named(line: PrintLine | None, band: SizeBand) -> bool:
    """Whether a size is one the print line may mean."""
    if line is None:
        return True
    return (not line.sizes or band.size in line.sizes) and (not line.systems or band.system in line.systems)


def _candidate(catalog: Catalog, findings: Findings, line: PrintLine | None, band: SizeBand) -> Candidate:
    """A size with the ratios whose walls hold every reading, and of them those the print line may mean."""
    allowance = catalog.rule_quantity("wall-reading", "mm") + FLOAT_NOISE
    walls = [wall.to("mm") for wall in findings.walls]
    by_wall = tuple(ratio for ratio in band.walls if _holds_walls(ratio, walls, allowance))
    by_line = tuple(r for r in by_wall if line is None or not line.ratios or r.dr in line.ratios)
    return Candidate(band, by_wall, by_line)


def _holds_walls(ratio: WallBand, walls: Sequence[float], allowance: float) -> bool:
    """Whether a ratio's walls hold every reading."""
    return all(ratio.low - allowance <= wall <= ratio.high + allowance for wall in walls)


def _missing(
    findings: Findings,
    line: PrintLine | None,
    candidates: Sequence[Candidate],
    reasons: Sequence[Reason],
) -> tuple[Missing, ...]:
    """What must be known before anything may be fused; nothing while a reason stands against it."""
    found: list[Missing] = []
    if findings.girth is None and findings.high is None:
        found.append("girth")
    if len(candidates) != 1:
        found.append("size")
    if not findings.walls:
        found.append("wall")  # a print line alone does not prove its ratio
    if len(candidates) != 1 or len(candidates[0].ratios) != 1:
        found.append("ratio")
    if line is None or not line.materials:
        found.append("material")
    if reasons:
        found.append("agreement")
    return tuple(found)


def _found(candidates: Sequence[Candidate], line: PrintLine | None) -> tuple[SizeBand, float, str]:
    """The one size, ratio and material that are left where nothing is missing."""
    assert line is not None  # its material is known
    return candidates[0].band, candidates[0].ratios[0].dr, line.materials[0]


def _contents(findings: Findings, line: PrintLine | None) -> Contents | None:
    """The contents given; without them gas where the print line says so, the stricter word of the two."""
    return findings.contents or ("gas" if line and "gas" in line.contents else None)


def _measure_next(findings: Findings) -> tuple[Measure, ...]:
    """What has not been measured yet, and always a second person."""
    found: list[Measure] = []
    if findings.girth is None:
        found.append("tape")
    if findings.high is None:
        found.append("caliper")
    if not findings.walls:
        found.append("wall_gauge")
    if findings.print_line is None:
        found.append("print_line")
    if findings.contents is None:
        found.append("contents")
    return (*found, "second_person")
