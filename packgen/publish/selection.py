"""Which combinations are meant: a main, a lateral, a family, or every one the content permits.

In: names from the command line, the catalogue. Out: worked-out combinations. Vocabulary: a *combination*
is main size, system and DR with lateral size and system and a family, in the family's first material and
first lateral DR.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.errors import ContentError, Place, Problem, UsageError, nearest
from packgen.model.catalog import Catalog, Pipe
from packgen.model.designation import Designation, read_designation
from packgen.model.records import Family, Pair
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
    main_pipe = _listed(catalog, _with_material(_designation(main, "MAIN"), chosen.main.materials[0]), "MAIN")
    lateral_pipe = _lateral_pipe(catalog, lateral, chosen)
    return work_out(Request(catalog, main_pipe, lateral_pipe, chosen, ambient, units=units))


def _lateral_pipe(catalog: Catalog, text: str, family: Family) -> Pipe:
    """A lateral from what a person typed: a whole pipe, or its size and system alone."""
    if " DR" not in text and " SDR" not in text:
        text = f"{text} DR {family.lateral.dr[0]:g}"
    found = _with_material(_designation(text, "LATERAL"), family.lateral.materials[0])
    return _listed(catalog, found, "LATERAL")


def _listed(catalog: Catalog, designation: Designation, key: str) -> Pipe:
    """A pipe of the tables; one that a person typed and no table holds is wrong use, not wrong content."""
    try:
        return catalog.pipe(designation, Place(key=key))
    except ContentError as error:
        raise UsageError(error.problems) from None


def _designation(text: str, key: str) -> Designation:
    """A designation, with the argument's name in the complaint."""
    try:
        return read_designation(text)
    except ContentError as error:
        problem = error.problems[0]
        raise UsageError([Problem(Place(key=key), problem.what, problem.expected, problem.nearest)]) from None


def _with_material(designation: Designation, material: str) -> Designation:
    """A designation with a material where it names none."""
    if designation.material:
        return designation
    from dataclasses import replace

    return replace(designation, material=material)


def every(catalog: Catalog, families: Sequence[Family], units: Units = "both") -> Iterator[Combination]:
    """Every combination of families: each pair at each DR of the pipe table within the family's range."""
    for family in families:
        table = catalog.tables[family.system]
        ratios = [
            ratio for ratio in table.dimension_ratios if family.main.dr_min <= ratio <= family.main.dr_max
        ]
        for pair in family.pairs:
            for ratio in ratios:
                yield _of_pair(catalog, family, pair, ratio, units)


def _of_pair(catalog: Catalog, family: Family, pair: Pair, ratio: float, units: Units) -> Combination:
    """One pair at one DR, in the family's first material and lateral DR."""
    main = Designation(pair.main, family.system, ratio, family.main.materials[0], None)
    lateral_system = family.lateral_system or family.system
    lateral = Designation(
        pair.lateral, lateral_system, family.lateral.dr[0], family.lateral.materials[0], None
    )
    return work_out(Request(catalog, catalog.pipe(main), catalog.pipe(lateral), family, units=units))


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
        found = [one_ for one_ in every(catalog, families, units) if _is_lateral(one_, laterals)]
    else:
        found = [
            one_
            for family in families
            for main in mains
            for one_ in _on_main(catalog, main, laterals, family, units)
        ]
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


def _is_lateral(combination: Combination, laterals: Sequence[str]) -> bool:
    """Whether a combination's lateral is one of those named; all are where none is named."""
    return not laterals or combination.request.lateral.designation.short in laterals


def _on_main(
    catalog: Catalog, main: str, laterals: Sequence[str], family: Family, units: Units
) -> Iterator[Combination]:
    """A main with each lateral named, or with each the family lists for it."""
    designation = _designation(main, "--main")
    system = family.lateral_system or family.system
    names = laterals or [f"{pair.lateral} {system}" for pair in family.pairs if pair.main == designation.size]
    for name in names:
        yield one(catalog, main, name, family.id, None, units)
