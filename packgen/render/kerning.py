"""How far the face itself moves letters together: the kerning of its pairs.

In: words, their weight. Out: the sum of their kerning in ems. Vocabulary: a *pair* is two letters that
follow each other; the font lists pairs letter by letter, or by classes of letters. Source: the `kern` feature
in Lato's GPOS table (OpenType 1.9, GPOS lookup type 2, from memory).

It is read only where words look squeezed, for it takes half a second to load.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from typing import Any

PAIRS, EXTENSION = 2, 9  # lookup types


def kerning(words: str, bold: bool) -> float:
    """The kerning of some words.

    Parameters: `words` on one line; whether they are `bold`. Returns ems, mostly less than 0.

    >>> round(kerning("To", False), 2), kerning("in", False)
    (-0.12, 0.0)
    """
    return sum(_pair(one, other, bold) for one, other in pairwise(words))


@cache
def _font(bold: bool) -> tuple[float, dict[int, str], list[list[Any]]]:
    """Units of an em, glyph names by character, the pair tables of each lookup of the `kern` feature."""
    import fontpkg_lato
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    font = TTFont(fontpkg_lato.ROOT / "files" / ("Lato-Bold.ttf" if bold else "Lato-Regular.ttf"))
    table = font["GPOS"].table
    features = (each.Feature for each in table.FeatureList.FeatureRecord if each.FeatureTag == "kern")
    used = sorted({index for feature in features for index in feature.LookupListIndex})
    lookups = [
        [part.ExtSubTable if part.LookupType == EXTENSION else part for part in lookup.SubTable]
        for lookup in (table.LookupList.Lookup[index] for index in used)
    ]
    pairs = [[part for part in parts if part.LookupType == PAIRS] for parts in lookups]
    return font["head"].unitsPerEm, font.getBestCmap(), pairs


@cache
def _pair(one: str, other: str, bold: bool) -> float:
    """The kerning of one pair; in each lookup the first table that holds the pair counts."""
    em, names, lookups = _font(bold)
    first, second = names.get(ord(one), ""), names.get(ord(other), "")
    held = ([by for part in parts if (by := _by(part, first, second)) is not None] for parts in lookups)
    return sum(found[0] for found in held if found) / em


def _by(part: Any, first: str, second: str) -> int | None:
    """What a pair table says of two glyphs; None where it does not hold them."""
    if first not in part.Coverage.glyphs:
        return None
    if part.Format == 1:
        pairs = part.PairSet[part.Coverage.glyphs.index(first)].PairValueRecord
        value = next((pair.Value1 for pair in pairs if pair.SecondGlyph == second), None)
        return None if value is None else int(getattr(value, "XAdvance", 0))
    row = part.Class1Record[part.ClassDef1.classDefs.get(first, 0)]
    value = row.Class2Record[part.ClassDef2.classDefs.get(second, 0)].Value1
    return int(getattr(value, "XAdvance", 0))
