"""Which combinations are meant: a main, a lateral, a family, or every one the content permits.

In: names from the command line, the catalogue. Out: worked-out combinations. Vocabulary: a *combination*
is main size, system and DR with lateral size and system and a family, in the family's first material and
first lateral DR.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.errors import ContentError, Place, Problem, UsageError, nearest
from packgen.model.catalog import Catalog, Pipe
from packgen.model.designation import Designation, names_ratio, read_designation
from packgen.model.family_records import Family, Pair
from packgen.rounding import Units
from packgen.units import Quantity


def families_named(catalog: Catalog, names: Sequence[str]) -> list[Family]:
    """The families named, or all. Raises `UsageError` for a name that is none."""
    unknown = [name for name in names if name not in catalog.families]
    if unknown:
        known = ", ".join(catalog.families)
        raise UsageError(
            Problem(
                Place(key="--family"),
                f"the family {name!r} is not known",
                known,
                nearest(name, catalog.families),
            )
            for name in unknown
        )
    return [catalog.families[name] for name in names] or list(catalog.families.values())


def one(
    catalog: Catalog, main: str, lateral: str, family: str, ambient: Quantity | None, units: Units = "both"
) -> Combination:
    """One combination from what a person typed; a lateral's DR and material may be left out."""
    (chosen,) = families_named(catalog, [family])
    main_pipe = _typed(catalog, main, chosen.main.materials, "MAIN")
    lateral_pipe = _lateral_pipe(catalog, lateral, chosen)
    return work_out(Request(catalog, main_pipe, lateral_pipe, chosen, ambient, units=units))


def _lateral_pipe(catalog: Catalog, text: str, family: Family) -> Pipe:
    """A lateral from what a person typed: a whole pipe, or its size and system alone."""
    return _typed(catalog, _whole(text, family), family.lateral.materials, "LATERAL")


def _whole(text: str, family: Family) -> str:
    """A lateral with the family's first DR where it names none."""
    return text if names_ratio(text) else f"{text} DR {family.lateral.dr[0]:g}"


def _typed(catalog: Catalog, text: str, materials: Sequence[str], key: str) -> Pipe:
    """A pipe that a person typed, in the first of the materials that serves its system where it names none.

    One that no table holds is wrong use, not wrong content.
    """
    found = _designation(catalog, text, key)
    named = replace(found, material=found.material or catalog.first_material(materials, found.system))
    try:
        return catalog.pipe(named, Place(key=key))
    except ContentError as error:
        raise UsageError(error.problems) from None


def _designation(catalog: Catalog, text: str, key: str) -> Designation:
    """A designation, with the argument's name in the complaint."""
    try:
        return read_designation(text, catalog.tables)
    except ContentError as error:
        problem = error.problems[0]
        raise UsageError([Problem(Place(key=key), problem.what, problem.expected, problem.nearest)]) from None


def every(catalog: Catalog, families: Sequence[Family], units: Units = "both") -> Iterator[Combination]:
    """Every combination of families: each pair at each DR its main is made in, within the family's range."""
    for family in families:
        for pair in family.pairs:
            (size, system), _ = family.ends(pair)
            table = catalog.tables[system]
            row = next(row for row in table.sizes if row.name == size)
            for ratio in table.ratios(row):
                if _takes(family, ratio):
                    yield _of_pair(catalog, family, pair, ratio, units)


def _takes(family: Family, ratio: float) -> bool:
    """Whether a family takes mains of a ratio; a coupling joins two lengths of the lateral's ratios."""
    if family.type == "coupling":
        return ratio in family.lateral.dr
    return family.main.dr_min <= ratio <= family.main.dr_max


def _of_pair(catalog: Catalog, family: Family, pair: Pair, ratio: float, units: Units) -> Combination:
    """One pair at one DR, in the family's first material for its system and first lateral DR."""
    (main, system), (lateral, lateral_system) = family.ends(pair)
    material = catalog.first_material(family.main.materials, system)
    of_main = Designation(main, system, ratio, material, None)
    material = catalog.first_material(family.lateral.materials, lateral_system)
    other = ratio if family.type == "coupling" else family.lateral.dr[0]
    of_lateral = Designation(lateral, lateral_system, other, material, None)
    return work_out(Request(catalog, catalog.pipe(of_main), catalog.pipe(of_lateral), family, units=units))


def chosen(
    catalog: Catalog,
    mains: Sequence[str],
    laterals: Sequence[str],
    family_names: Sequence[str],
    units: Units = "both",
) -> list[Combination]:
    """The combinations a person chose: the mains named with the laterals named, or with all the family lists.

    Raises `UsageError` where nothing fits the choice.
    """
    families = families_named(catalog, family_names)
    if not mains:
        found = [
            one_
            for family in families
            for one_ in every(catalog, [family], units)
            if _is_lateral(catalog, one_, laterals)
        ]
    else:
        found = [
            one_
            for family in families
            for main in mains
            for one_ in _on_main(catalog, main, laterals, family, units)
        ]
    found = list({_identity(each): each for each in found}.values())  # a main named twice is printed once
    if not family_names:  # a family that nobody named, and that lists none of these pairs, is not meant
        found = [each for each in found if each.request.pair] or found
    if not found:
        what = "no family lists a lateral for this choice"
        raise UsageError(
            [
                Problem(
                    Place(key="--main, --lateral, --family"),
                    what,
                    cure="see 'packgen values --help', or the site's index",
                )
            ]
        )
    return found


def _identity(combination: Combination) -> tuple[str, str, str]:
    """What makes a combination one and not another."""
    request = combination.request
    return (str(request.main.designation), str(request.lateral.designation), request.family.id)


def _is_lateral(catalog: Catalog, combination: Combination, laterals: Sequence[str]) -> bool:
    """Whether a combination's lateral is one of those named; all are where none is named."""
    family, lateral = combination.request.family, combination.request.lateral.designation
    named = (_designation(catalog, _whole(name, family), "--lateral") for name in laterals)
    return not laterals or any(each.short == lateral.short for each in named)


def _on_main(
    catalog: Catalog, main: str, laterals: Sequence[str], family: Family, units: Units
) -> Iterator[Combination]:
    """A main with each lateral named, or with each the family lists for it."""
    found = _designation(catalog, main, "--main")
    ends = [family.ends(pair) for pair in family.pairs]
    listed = [f"{size} {system}" for of_main, (size, system) in ends if of_main == (found.size, found.system)]
    for name in laterals or listed:
        yield one(catalog, main, name, family.id, None, units)
