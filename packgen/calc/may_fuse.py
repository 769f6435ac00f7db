"""What may be fused onto a main that is known by now?

In: the catalogue, a size with its ratio and material. Out: `MayFuse`, a line for each family with the
laterals it serves. Vocabulary: a lateral is listed where its pair is permitted for the contents named beside
it, in the family's first lateral ratio and material; pressure, weather and tools are the job's to judge.
Source: the families' labels.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packgen.calc.request import Request
from packgen.calc.size_bands import SizeBand
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import Designation
from packgen.model.family_records import Family
from packgen.model.records import Contents


@dataclass(frozen=True)
class MayFuse:
    """A family that serves the main, for which contents, and its laterals."""

    family: str
    title: str
    contents: tuple[Contents, ...]
    laterals: tuple[str, ...]


def may_fuse(
    catalog: Catalog, known: tuple[SizeBand, float, str], contents: Contents | None
) -> tuple[MayFuse, ...]:
    """The families that serve a main, and their laterals.

    Parameters: `catalog`; `known`, the main's size, ratio and material; `contents`, or None where nobody
    knows them. Returns a line for each family with a permitted lateral; two where gas leaves it other
    laterals than water.
    """
    band, dr, material = known
    main = band.pipe(dr, material)
    return tuple(
        line
        for family in catalog.families.values()
        if material in family.main.materials
        for line in _lines(catalog, family, main, contents)
    )


def _lines(
    catalog: Catalog, family: Family, main: Designation, contents: Contents | None
) -> Iterator[MayFuse]:
    """The lines of one family: contents that it serves the same laterals for stand together."""
    served: dict[tuple[str, ...], list[Contents]] = {}
    for each in family.contents:
        if contents in (None, each):
            laterals = tuple(_laterals(catalog, family, main, each))
            served.setdefault(laterals, []).append(each)
    for laterals, of in served.items():
        if laterals:
            yield MayFuse(family.id, family.title, tuple(of), laterals)


def _laterals(catalog: Catalog, family: Family, main: Designation, contents: Contents) -> Iterator[str]:
    """The laterals of a family's permitted pairs with a main that holds these contents."""
    for pair in family.pairs:
        of_main, (size, system) = family.ends(pair)
        if of_main != (main.size, main.system):
            continue
        material = catalog.first_material(family.lateral.materials, system)
        lateral = Designation(size, system, family.lateral.dr[0], material, None)
        request = Request(
            catalog, catalog.pipe(main), catalog.pipe(lateral), family, wanted_contents=contents
        )
        if not work_out(request).reasons:
            yield lateral.short
