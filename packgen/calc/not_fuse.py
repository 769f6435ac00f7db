"""Why must nothing be fused onto this main yet?

In: the catalogue, the readings, the sizes left. Out: reasons, each with its cure, in the order in which they
were read. Vocabulary: a *contradiction* is two readings that no one pipe can give; it stops the work, since
one of the readings is wrong or the main is no pipe of the tables.
Sources: the pipe tables and the work rules, named in `packgen.calc.which_pipe`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packgen.calc import girth, peel
from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.findings import Candidate, Findings, Read
from packgen.calc.request import Reason
from packgen.calc.size_bands import SizeBand, WallBand
from packgen.model.catalog import Catalog
from packgen.register import REGISTER, Direction
from packgen.rounding import decimal_text, plain, text

_OVAL = "pipe.main.out_of_round_max"
_ASK = "do not fuse: have an engineer say what the main is"
_AGAIN = "do not fuse: clean the main, measure again, and have a second person read"


def reasons_not_to_fuse(
    catalog: Catalog, findings: Findings, read: Read, candidates: Sequence[Candidate]
) -> Iterator[Reason]:
    """Every reason not to fuse.

    Parameters: `catalog`; `findings`; `read`, the readings against the tables; `candidates`, the sizes left.
    Returns reasons with their cures; none where the readings agree.
    """
    yield from _size(findings, read)
    yield from _calipers(catalog, findings)
    yield from _line(findings, read)
    yield from _walls(findings, candidates)
    yield from _ratio(read, findings, candidates)
    yield from _material(catalog, read)
    yield from _contents(findings, read)
    yield from _out_of_round(catalog, findings, candidates)
    yield from _gouge(catalog, findings, candidates)


def length(
    value: float, name: str, findings: Findings, inch: bool, direction: Direction | None = None
) -> str:
    """A worked length as printed: with the digits that the register has for a value of that name.

    Parameters: `value` in mm; `name`; `findings`, whose units are printed; `inch`, whether inches stand
    first; `direction`, for a length that is held against such a limit and must not be rounded down to it.
    """
    entry = REGISTER[name]
    entry = replace(entry, direction=direction or entry.direction)
    return text(value, entry, stated=None, units=findings.units, first="us" if inch else "si")


def gouge_limit(catalog: Catalog, findings: Findings, candidates: Sequence[Candidate]) -> float | None:
    """The deepest gouge that leaves room for one peel, mm, by the thinnest wall in question.

    Parameters: `catalog`; `findings`; `candidates`. Returns None where no wall is in question.
    """
    walls = [wall.low for each in candidates for wall in _in_question(each)]
    if not walls:
        return None
    thinnest = min(walls + [wall.to("mm") for wall in findings.walls])
    share = catalog.rule_quantity("surface-loss", "percent")
    return peel.gouge_depth_max(share, thinnest, catalog.rule_quantity("peel-depth-max", "mm"))


def out_of_round_limit(catalog: Catalog, findings: Findings, candidates: Sequence[Candidate]) -> float:
    """How far high and low may lie apart, mm: by the strictest size in question, else by the rule's share.

    Parameters: `catalog`; `findings`, with both diameters; `candidates`.
    """
    assert findings.high is not None and findings.low is not None  # the caller looked
    mean = (findings.high.to("mm") + findings.low.to("mm")) / 2.0
    by_rule = mean * catalog.rule_quantity("ovality", "percent") / 100.0
    return min((each.band.out_of_round_max for each in candidates), default=by_rule)


def _in_question(candidate: Candidate) -> Sequence[WallBand]:
    """The ratios a candidate may have: those left, else every one of its table."""
    return candidate.ratios or candidate.by_wall or candidate.band.walls


def _size(findings: Findings, read: Read) -> Iterator[Reason]:
    """Some size has this girth."""
    if read.girth is not None and not read.fitting:
        near = sorted(read.bands, key=lambda band: _away(read.girth or 0.0, band))[:2]
        shown = _girth(findings, read.girth)
        names = " and ".join(band.short for band in near)
        yield Reason(f"no size of the pipe tables has a girth of {shown} (nearest: {names})", _AGAIN)
    if read.girth is None and not (read.line and read.line.sizes):
        yield Reason("the print line names no size", "lay a tape round the main")


def _girth(findings: Findings, worked: float) -> str:
    """The girth as it was read, or as the calipers make it."""
    if findings.girth is not None:
        return plain(findings.girth, findings.units)
    return length(worked, "pipe.main.girth", findings, inch_first(findings))


def _away(reading: float, band: SizeBand) -> float:
    """How far a reading is from a size's band."""
    return max(band.girth_low - reading, reading - band.girth_high)


def inch_first(findings: Findings, candidates: Sequence[Candidate] = ()) -> bool:
    """Whether a length is best told in inches first: as the sizes left are named, else as the readings were.

    Parameters: `findings`; `candidates`, the sizes that the length is about.
    """
    if candidates:
        return all(each.band.inch for each in candidates)
    first = findings.girth or findings.high
    return first is None or first.unit in {"in", "ft"}


def _calipers(catalog: Catalog, findings: Findings) -> Iterator[Reason]:
    """Tape and calipers agree within what either may be off."""
    if findings.girth is None or findings.high is None or findings.low is None:
        return
    low, high = findings.low.to("mm"), findings.high.to("mm")
    allowance = catalog.rule_quantity("wall-reading", "mm")
    tape, off = findings.girth.to("mm"), catalog.rule_quantity("girth-reading", "mm") + FLOAT_NOISE
    # Both diameters read too small, then both too large: the girths the calipers leave open.
    least, most = (girth.oval_girth(low + way, high + way) for way in (-allowance, allowance))
    if not least - off <= tape <= most + off:
        round_it = length(girth.oval_girth(low, high), "pipe.main.girth", findings, inch_first(findings))
        taped = plain(findings.girth, findings.units)
        yield Reason(f"the tape reads {taped}, but the calipers make the girth {round_it}", _AGAIN)


def _line(findings: Findings, read: Read) -> Iterator[Reason]:
    """The print line names each part once, a size of the tables, and one that the girth fits."""
    line = read.line
    if line is None:
        return
    parts = (("size", line.sizes), ("size system", line.systems), ("ratio", [f"{r:g}" for r in line.ratios]))
    for name, found in parts:
        if len(found) > 1:
            yield Reason(f"the print line names more than one {name}: {', '.join(found)}", _ASK)
    if not line.sizes and not line.systems:
        return
    said = " ".join([*line.sizes, *line.systems])
    if line.sizes and not any(_is_named(band, line.sizes, line.systems) for band in read.bands):
        yield Reason(f"the print line names {said}, which no pipe table here holds", _ASK)
    elif read.girth is not None and read.fitting and not read.named:
        shown = _girth(findings, read.girth)
        fits = " or ".join(band.short for band in read.fitting)
        yield Reason(
            f"the print line names {said}, but the girth {shown} is that of {fits}", f"stop; {_AGAIN}"
        )


def _is_named(band: SizeBand, sizes: Sequence[str], systems: Sequence[str]) -> bool:
    """Whether a print line may mean a size."""
    return band.size in sizes and (not systems or band.system in systems)


def _walls(findings: Findings, candidates: Sequence[Candidate]) -> Iterator[Reason]:
    """Some ratio of some size has every wall read."""
    if not findings.walls or not candidates or any(each.by_wall for each in candidates):
        return
    shown = " and ".join(plain(wall, findings.units) for wall in findings.walls)
    why = "; ".join(misfit(findings, each.band) for each in candidates)
    yield Reason(f"no dimension ratio of the tables has a wall of {shown}: {why}", _AGAIN)


def misfit(findings: Findings, band: SizeBand) -> str:
    """Where the walls read lie among a size's ratios: below the least, above the greatest, or between two.

    Parameters: `findings`, with walls; `band`, no ratio of which holds them.
    """
    walls = sorted(wall.to("mm") for wall in findings.walls)
    ratios = sorted(band.walls, key=lambda ratio: ratio.low)
    thin, thick = ratios[0], ratios[-1]
    name = "pipe.main.wall_"
    if walls[0] < thin.low:
        least = length(thin.low, name + "min", findings, band.inch)
        return f"{band.short} is no thinner than {least} ({band.ratio(thin.dr)})"
    if walls[-1] > thick.high:
        most = length(thick.high, name + "max", findings, band.inch)
        return f"{band.short} is no thicker than {most} ({band.ratio(thick.dr)})"
    under = [ratio for ratio in ratios if ratio.low <= walls[-1]][-1]
    over = next((ratio for ratio in ratios if ratio.high >= walls[0]), thick)
    if under == over or over.low < under.low:
        return f"on {band.short} the readings belong to more than one ratio"
    return f"on {band.short} it lies between {band.ratio(under.dr)} and {band.ratio(over.dr)}"


def _ratio(read: Read, findings: Findings, candidates: Sequence[Candidate]) -> Iterator[Reason]:
    """The print line's ratio is one of the tables, and the wall bears it out."""
    line = read.line
    if line is None or len(line.ratios) != 1 or not candidates or any(each.ratios for each in candidates):
        return
    said = " or ".join(dict.fromkeys(each.band.ratio(line.ratios[0]) for each in candidates))
    sizes = " or ".join(each.band.short for each in candidates)
    listed = any(wall.dr == line.ratios[0] for each in candidates for wall in each.band.walls)
    if not listed:
        yield Reason(f"the print line names {said}, which the tables do not hold for {sizes}", _ASK)
    elif any(each.by_wall for each in candidates):
        shown = " and ".join(plain(wall, findings.units) for wall in findings.walls)
        fits = " or ".join(each.band.ratio(r.dr) for each in candidates for r in each.by_wall)
        yield Reason(
            f"the print line names {said}, but a wall of {shown} is that of {fits}", f"stop; {_AGAIN}"
        )


def _material(catalog: Catalog, read: Read) -> Iterator[Reason]:
    """The material is one, and one that packgen has values for."""
    found = read.line.materials if read.line else ()
    cure = str(catalog.rule("old-material").value)
    for code in found:
        other = catalog.other_materials.get(code)
        if code not in catalog.materials and other is not None:
            yield Reason(f"{code} is {other.means} ({catalog.cite(other.source)})", cure)
        elif code not in catalog.materials:
            yield Reason(f"the material {code} is not known here", cure)
    if len(found) > 1 and all(code in catalog.materials for code in found):  # else each is told already
        yield Reason(f"the print line names more than one material: {', '.join(found)}", cure)


def _contents(findings: Findings, read: Read) -> Iterator[Reason]:
    """The print line does not say that the main was made for other contents than those given."""
    said, given = (read.line.contents if read.line else ()), findings.contents
    if said and given is not None and given not in said:
        yield Reason(
            f"the print line says {' and '.join(said)}, but the main is taken to hold {given}",
            "do not fuse: take the main for a live gas main, and ask its owner what it holds",
        )


def _out_of_round(catalog: Catalog, findings: Findings, candidates: Sequence[Candidate]) -> Iterator[Reason]:
    """High and low lie no further apart than the work rule lets them."""
    if findings.high is None or findings.low is None:
        return
    apart = findings.high.to("mm") - findings.low.to("mm")
    limit = out_of_round_limit(catalog, findings, candidates)
    if apart > limit + FLOAT_NOISE:
        inch = inch_first(findings, candidates)
        most, shown = length(limit, _OVAL, findings, inch), length(apart, _OVAL, findings, inch, "up")
        share = girth.ovality_percent(findings.low.to("mm"), findings.high.to("mm"))
        yield Reason(
            f"the main is out of round by {shown} ({decimal_text(share, 1, 'up')} %), more than {most}",
            "do not fuse: re-round the main and measure again, or take another place",
        )


def _gouge(catalog: Catalog, findings: Findings, candidates: Sequence[Candidate]) -> Iterator[Reason]:
    """The gouge leaves room for one peel."""
    if findings.gouge is None:
        return
    limit = gouge_limit(catalog, findings, candidates)
    shown = plain(findings.gouge, findings.units, "up")
    if limit is None:
        yield Reason(
            f"a gouge of {shown} cannot be judged without a wall", "find the size and the wall first"
        )
    elif findings.gouge.to("mm") > limit + FLOAT_NOISE:
        most = length(limit, "peel.gouge_depth_max", findings, inch_first(findings, candidates))
        yield Reason(
            f"the gouge of {shown} is deeper than {most}",
            "do not fuse here: take a place without it, or have the damaged length cut out",
        )
