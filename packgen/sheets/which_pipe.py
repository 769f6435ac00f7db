"""The sheet for a main whose size nobody knows: what to measure, which sizes a girth fits, when not to fuse.

In: the catalogue, the words, a unit choice. Out: one `Sheet`, the same for every job. Vocabulary: a *listed*
main is one that a family here serves; a *neighbour* is a size of any system whose girth is next to a listed
main's, or overlaps it: the two can be taken for each other.
Source: the pipe tables, by `packgen.calc.size_bands`; limits are the work rules'.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.calc.size_bands import SizeBand, size_bands
from packgen.model.catalog import Catalog, rule_value
from packgen.rounding import Units, outward, plain
from packgen.sheets.blocks import Block, Points, Safety, Section, Sheet, Spans, Step, Table, Tag, Why, spans
from packgen.sheets.measure import whole
from packgen.sheets.words import Words
from packgen.units import convert

# The steps in order: id, words, the work rule whose value they hold.
_STEPS = (
    ("contents-taken", "which_pipe.step_contents", ""),
    ("sparks-away", "which_pipe.step_sparks", ""),
    ("girth-read", "which_pipe.step_tape", ""),
    ("sizes-written", "which_pipe.step_table", ""),
    ("diameters-read", "which_pipe.step_caliper", "ovality"),
    ("wall-read", "which_pipe.step_wall", ""),
    ("line-read", "which_pipe.step_line", ""),
    ("gouges-read", "which_pipe.step_gouge", "surface-loss"),
    ("read-twice", "which_pipe.step_second", ""),
)
_STOPS = (
    "which_pipe.stop_fits",
    "which_pipe.stop_differ",
    "which_pipe.stop_no_line",
    "which_pipe.stop_old",
    "which_pipe.stop_contents",
    "which_pipe.stop_shape",
)
SAFETY = "gas-ignition"
_ALLOWANCE, _OLD = "girth-reading", "old-material"
# The work rules whose values stand on the sheet.
RULES = (*(rule for _, _, rule in _STEPS if rule), _ALLOWANCE, _OLD)


def which_pipe_sheet(catalog: Catalog, words: Words, units: Units) -> Sheet:
    """The sheet.

    Parameters: `catalog`; `words`; `units`, the systems the girths are printed in. Returns a `Sheet` for
    page, card and site.
    """
    blocks: list[Block] = [Why(spans(words("which_pipe.intro"))), Section(words("which_pipe.measure"))]
    blocks += [_safety(catalog, words), *_steps(catalog, words, units)]
    blocks += [Section(words("which_pipe.stop")), _stops(catalog, words)]
    allowance = _rule(catalog, _ALLOWANCE, units)
    note = Why(spans(words("which_pipe.table_note", allowance=allowance)), small=True)
    blocks += [Section(words("which_pipe.table")), _table(catalog, words, units), note]
    tag = Tag(words("which_pipe.tag"), words("which_pipe.tag_small"))
    return Sheet("which-pipe", words("which_pipe.title"), tag, tuple(blocks))


def listed_mains(catalog: Catalog) -> frozenset[tuple[str, str]]:
    """Size and system of every main that a family serves.

    Parameters: `catalog`.
    """
    return frozenset(family.ends(pair)[0] for family in catalog.families.values() for pair in family.pairs)


def bands_in_reach(catalog: Catalog) -> tuple[SizeBand, ...]:
    """The listed mains and their neighbours, by girth.

    Parameters: `catalog`.
    """
    bands, listed = size_bands(catalog), listed_mains(catalog)
    reached: set[str] = set()
    for index, band in enumerate(bands):
        if (band.size, band.system) in listed:
            beside = bands[max(0, index - 1) : index + 2]
            reached |= {each.short for near in beside for each in (near, *fits_as_well(near, bands))}
    return tuple(band for band in bands if band.short in reached)


def fits_as_well(band: SizeBand, bands: Sequence[SizeBand]) -> tuple[SizeBand, ...]:
    """The other sizes that some girth of a size fits too.

    Parameters: `band`; `bands`, those of every size.
    """
    return tuple(
        each
        for each in bands
        if each != band and each.girth_low <= band.girth_high and band.girth_low <= each.girth_high
    )


def girth_text(band: SizeBand, system: str) -> str:
    """The readings of a tape that a size's band holds, in one unit system, never narrower than they are.

    Parameters: `band`; `system`, "us" or "si".
    """
    unit, decimals = ("in", 2) if system == "us" else ("mm", 0)
    low, high = (convert(end, "mm", unit) for end in (band.girth_low, band.girth_high))
    return outward(low, high, unit, decimals)


def _rule(catalog: Catalog, rule_id: str, units: Units) -> str:
    """A work rule's quantity as printed, held together."""
    rule = catalog.rule(rule_id)
    return whole(plain(rule_value(rule), units, rule.safe))


def _safety(catalog: Catalog, words: Words) -> Safety:
    """The message that guards the first steps, for an unknown main may hold gas: never left out."""
    message = catalog.safety[SAFETY]
    signal = message.signal.lower()
    word = words(f"signal.{signal}")
    return Safety(SAFETY, signal, word, message.hazard, message.consequence, message.avoid)


def _steps(catalog: Catalog, words: Words, units: Units) -> Iterator[Step]:
    """What to measure, in order."""
    for number, (step_id, key, rule_id) in enumerate(_STEPS, start=1):
        text = words(key, share=_rule(catalog, rule_id, units)) if rule_id else words(key)
        yield Step(number, step_id, spans(text))


def _stops(catalog: Catalog, words: Words) -> Points:
    """When nothing may be fused."""
    codes, rule = ", ".join(catalog.other_materials), str(catalog.rule(_OLD).value)
    return Points(tuple(spans(words(key, codes=codes, rule=rule)) for key in _STOPS))


def _table(catalog: Catalog, words: Words, units: Units) -> Table:
    """A row for each size in reach: its name, its girths, what else fits them."""
    systems = ["us", "si"] if units == "both" else [units]
    every, listed = size_bands(catalog), listed_mains(catalog)
    heads = {"us": words("which_pipe.girth_us"), "si": words("which_pipe.girth_si")}
    head = (words("which_pipe.size"), *(heads[system] for system in systems), words("which_pipe.also"))
    rows = []
    for band in bands_in_reach(catalog):
        strong = (band.size, band.system) in listed
        name: Spans = spans(whole(band.short), "strong" if strong else "plain")
        girths = (spans(_bare(girth_text(band, system))) for system in systems)
        also = ", ".join(whole(each.short) for each in fits_as_well(band, every))
        rows.append((name, *girths, spans(also)))
    shares = (0.25, 0.28, 0.22, 0.25) if len(systems) == 2 else (0.32, 0.36, 0.32)
    return Table(tuple(spans(text) for text in head), tuple(rows), shares, small=True)


def _bare(text: str) -> str:
    """A band without its unit, which stands in the head of its column."""
    return whole(text.rsplit(" ", 1)[0])
