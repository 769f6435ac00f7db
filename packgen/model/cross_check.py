"""What no single file of facts can know: what one file names must stand in another.

In: everything the loader found. Out: problems with file, line and key. Vocabulary: a *needed rule* is one
that the calculations ask for, with the kind of value they can use.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from packgen.errors import Place, Problems, nearest
from packgen.model.catalog import label_of
from packgen.model.family_records import Family, LabelData, PairEnd
from packgen.model.found import Found
from packgen.model.label_check import check_labels
from packgen.model.label_sense import check_sense
from packgen.model.readings import nearest_ratio, nearest_size
from packgen.model.records import PipeSize, PipeTable, WorkRule
from packgen.model.tool_check import check_tools
from packgen.model.yaml_reader import KeyPath
from packgen.units import Quantity, QuantityError, quantity

# The kind of value of each needed rule; "count" is a bare whole number, "words" one of several courses.
NEEDED_RULES = {
    "peel-depth-min": "length",
    "peel-depth-max": "length",
    "peel-passes": "count",
    "surface-loss": "share",
    "peeled-zone": "words",
    "peel-margin": "length",
    "ovality": "share",
    "girth-reading": "length",
    "wall-reading": "length",
    "old-material": "words",
    "feeler": "length",
    "saw-clearance": "length",
    "hole-share": "share",
    "saddle-beside-hole": "length",
    "overtravel": "length",
    "travel-margin": "length",
    "squeeze-distance-diameters": "count",
    "squeeze-distance": "length",
    "squeeze-compression": "share",
    "squeeze-wall": "words",
    "squeeze-close-rate": "speed",
    "squeeze-release-rate": "speed",
    "spacing-saddle-to-saddle": "length",
    "spacing-saddle-to-fitting": "length",
    "spacing-saddle-to-pipe-end": "length",
    "outlet-lowest": "angle",
    "outlet-gas": "words",
    "room-along": "length",
    "room-around": "length",
    "room-above-drill": "length",
    "room-above-machine": "length",
    "room-above-cutter": "length",
    "seating-pressure": "pressure",
    "nut-factor": "share",
    "nut-factor-least": "share",
    "nut-factor-greatest": "share",
    "screw-proof-share": "share",
    "time-prepare": "time",
    "time-finish": "time",
    "time-around": "time",
    "time-look": "time",
    "cool-end-temperature": "temperature",
    "cool-film-outside": "count",
    "cool-film-inside": "count",
    "heat-wait-addition": "time",
    "heat-wait-multiple": "share",
    "dew-margin": "temperature difference",
    "control-unit-window-min": "temperature",
    "control-unit-window-max": "temperature",
    "control-unit-output-tolerance": "share",
    "control-unit-efficiency": "share",
    "control-unit-power-factor": "share",
    "generator-margin": "share",
    "generator-derating": "share",
    "generator-derating-altitude": "share",
    "generator-derating-heat": "share",
    "generator-derating-reference": "temperature",
    "supply-voltage-drop": "share",
    "conductor-temperature": "temperature",
    "kit-liquid": "volume for an area",
    "kit-wipes-a-surface": "count",
    "kit-spare": "share",
    "kit-peels-a-blade": "count",
    "kit-spare-blades": "count",
    "kit-spare-fittings": "count",
    "kit-cuts-a-saw": "count",
    "leak-test-water-makeup": "share",
    "bend-beside-fitting": "count",
    "lateral-expansion": "expansion",
}
# An owner may add nothing.
_MAY_BE_ZERO = {"kit-spare", "heat-wait-addition", "leak-test-water-makeup"}
# Rules that are the owner's to choose within a range, in the unit of their kind; counts without one.
RANGES = {
    "cool-end-temperature": (70.0, 90.0, "degC"),
    "cool-film-outside": (5.0, 12.0, ""),
    "cool-film-inside": (0.0, 3.0, ""),
    "heat-wait-multiple": (100.0, 1000.0, "percent"),
    "kit-wipes-a-surface": (1.0, 100.0, ""),
    "kit-peels-a-blade": (1.0, 1000.0, ""),
    "kit-cuts-a-saw": (1.0, 1000.0, ""),
    "bend-beside-fitting": (1.0, 100.0, ""),
    "lateral-expansion": (0.1, 0.3, "mm/m/K"),
}
_ORDERED = (("peel", "depth"), ("peel", "ribbon"), ("weather", "ambient"))


def cross_check(found: Found, problems: Problems) -> None:
    """Tell every name that leads nowhere and every pair of limits that stands the wrong way round."""
    if found.complete("sources"):
        _check_sources(found, problems)
    if found.complete("rules"):
        _check_rules(found, problems)
    for table in found.items["tables"].values():
        _check_table(table, found, problems)
    for family in found.items["families"].values():
        if found.complete("tables"):
            _check_sizes(family, found, problems)
        if found.complete("materials"):
            _check_materials(family, found, problems)
        _check_order(family, found, problems)
    check_labels(found, problems)
    check_sense(found, problems)
    check_tools(found, problems)


def _check_sources(found: Found, problems: Problems) -> None:
    """Every source that a record names is known."""
    sources = found.items["sources"]
    named = [
        (document, inner, source)
        for (name, item_id), (document, path) in found.documents.items()
        for inner, source in _named_sources(found.items[name][item_id].model_dump(), path)
    ]
    if found.factors_at:
        document, path = found.factors_at
        factors = [factor.model_dump() for factor in found.factors]
        named += [(document, inner, source) for inner, source in _named_sources(factors, path)]
    for document, inner, source in named:
        if source not in sources:
            what, near = f"the source {source!r} is not known", nearest(source, sources)
            problems.add(document.place(inner), what, expected="an id of a sources file", nearest=near)


def _named_sources(value: Any, path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    """Every source id a record names, with its key path."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if (key == "source" or key.endswith("_source")) and isinstance(inner, str):
                yield (*path, key), inner
            else:
                yield from _named_sources(inner, (*path, key))
    elif isinstance(value, tuple | list):
        for index, inner in enumerate(value):
            yield from _named_sources(inner, (*path, index))


def _check_rules(found: Found, problems: Problems) -> None:
    """Every needed rule stands, with a value of its kind."""
    rules = found.items["rules"]
    for rule_id, kind in NEEDED_RULES.items():
        rule = rules.get(rule_id)
        if rule is None:
            what = f"the work rule {rule_id!r} is missing"
            problems.add(Place(), what, cure="keep the packaged rules; change one with 'replaces' and 'why'")
            continue
        what, expected, near = _misfit(rule, kind)
        if not what and rule_id in RANGES:
            what, expected = _out_of_range(rule, *RANGES[rule_id])
        if what:
            problems.add(found.spot("rules", rule_id, "value"), what, expected=expected, nearest=near)


def _out_of_range(rule: WorkRule, low: float, high: float, unit: str) -> tuple[str, str]:
    """Why a rule's value is outside its range, and the range; empty where it is not."""
    number = quantity(str(rule.value)).to(unit) if unit else float(rule.value)
    if low <= number <= high:
        return "", ""
    return f"{rule.value!r} is outside what the calculation takes", f"{low:g} to {high:g} {unit}".rstrip()


def _misfit(rule: WorkRule, kind: str) -> tuple[str, str, str]:
    """Why a rule's value cannot be used, what was expected, the nearest right word; empty where it can."""
    if kind == "count":
        fits = isinstance(rule.value, int) and rule.value >= 0
        return ("", "", "") if fits else (f"{rule.value!r} is no count", "a whole number without a unit", "")
    if isinstance(rule.value, int):
        expected = "words" if kind == "words" else f"a {kind} with its unit, in one string"
        return f"{rule.value} is a bare number", expected, ""
    if kind == "words":
        return "", "", ""
    try:
        read = quantity(rule.value, kind)
    except QuantityError as error:
        problem = error.problems[0]
        return problem.what, problem.expected, problem.nearest
    if kind != "temperature" and rule.id not in _MAY_BE_ZERO and not read.number:
        return f"{rule.value!r} makes the limit nothing", f"a {kind} above zero", ""
    return "", "", ""


def _check_table(table: PipeTable, found: Found, problems: Problems) -> None:
    """No size and no standard of a size stands twice in a table; each size has its band and its walls."""
    names = [size.name for size in table.sizes]
    for index, size in enumerate(table.sizes):
        spot = partial(found.spot, "tables", table.id, "sizes", index)
        if size.name in names[:index]:
            problems.add(spot("name"), f"the size {size.name} stands twice", cure="keep one")
        standards = [tolerance.standard for tolerance in size.tolerances]
        if len(set(standards)) < len(standards):
            problems.add(spot("tolerances"), f"a standard stands twice for {size.name}", cure="keep one")
        _check_band(size, spot, problems)
        _check_walls(table, size, spot, problems)


def _check_band(size: PipeSize, spot: Callable[..., Place], problems: Problems) -> None:
    """A size has tolerances by standard, or its own greatest diameter, above the nominal one."""
    greatest = size.outside_diameter_max
    if (greatest is None) == (not size.tolerances):
        cure = "write 'tolerances' by standard, or 'outside_diameter_max', and not both"
        problems.add(spot("outside_diameter"), f"{size.name} has no one band of diameters", cure=cure)
    elif greatest is not None and greatest.to("mm") <= size.outside_diameter.to("mm"):
        what = f"outside_diameter_max {greatest} is not above {size.outside_diameter}"
        problems.add(spot("outside_diameter_max"), what, cure="correct one of the two")


def _check_walls(table: PipeTable, size: PipeSize, spot: Callable[..., Place], problems: Problems) -> None:
    """The walls a size lists are of the table's ratios, once each, and fall as the ratio rises."""
    if table.wall_rule == "table" and not size.walls:
        cure = "list its walls; by the rule 'table' no other wall is known"
        problems.add(spot("name"), f"{size.name} has no walls", cure=cure)
    for index, wall in enumerate(size.walls):
        if wall.dr not in table.dimension_ratios:
            what, expected = f"DR {wall.dr:g} is not one of the table's", _listed(table.dimension_ratios)
            problems.add(spot("walls", index, "dr"), what, expected=expected)
        if wall.max.to("mm") <= wall.min.to("mm"):
            what = f"the greatest wall {wall.max} is not above the least {wall.min}"
            problems.add(spot("walls", index, "max"), what, cure="correct one of the two")
        before = size.walls[index - 1] if index else None
        if before and (wall.dr <= before.dr or wall.min.to("mm") > before.min.to("mm")):
            what = f"the wall for DR {wall.dr:g} does not follow that for DR {before.dr:g}"
            cure = "list walls by rising ratio; the least wall never rises"
            problems.add(spot("walls", index, "dr"), what, cure=cure)


def _check_sizes(family: Family, found: Found, problems: Problems) -> None:
    """A family's size systems and sizes exist, and no pair stands twice."""
    tables = {table.system: table for table in found.items["tables"].values()}
    for key in ("system", "lateral_system"):
        system = getattr(family, key)
        if system and system not in tables:
            what = f"no pipe table holds {system!r}"
            problems.add(found.spot("families", family.id, key), what, expected=", ".join(tables))
            return
    seen: set[tuple[PairEnd, PairEnd]] = set()
    for index, pair in enumerate(family.pairs):
        spot = partial(found.spot, "families", family.id, "pairs", index)
        ends = family.ends(pair)
        for key, end in zip(("main", "lateral"), ends, strict=True):
            ratio = family.lateral.dr[0] if key == "lateral" else None
            _check_end(tables, end, ratio, spot(key), problems)
        _check_main_ratios(family, tables, ends[0], spot("main"), problems)
        if ends in seen:
            problems.add(spot(), f"the pair {pair.lateral} on {pair.main} stands twice", cure="keep one")
        seen.add(ends)
    _check_lateral_ratios(
        family, [tables[system] for _, (_, system) in seen if system in tables], found, problems
    )


def _check_end(
    tables: Mapping[str, PipeTable], end: PairEnd, ratio: float | None, place: Place, problems: Problems
) -> None:
    """A size of a pair stands in its system's table, with a wall for the ratio where one is asked for."""
    size, system = end
    if system not in tables:
        problems.add(place, f"no pipe table holds {system!r}", expected=", ".join(tables))
        return
    table, names = tables[system], [row.name for row in tables[system].sizes]
    row = next((row for row in table.sizes if row.name == size), None)
    if row is None:
        what, near = f"{size!r} is not a size of {system}", nearest_size(size, names)
        problems.add(place, what, expected=", ".join(names), nearest=near)
    elif ratio in table.dimension_ratios and ratio not in table.ratios(row):
        what = f"the table of {system} lists no wall of {size} for the family's first lateral DR {ratio:g}"
        problems.add(place, what, expected=_listed(table.ratios(row)))


def _check_main_ratios(
    family: Family, tables: Mapping[str, PipeTable], end: PairEnd, place: Place, problems: Problems
) -> None:
    """A pair's main is made in a ratio that the family takes; a coupling's main is one more lateral."""
    size, system = end
    rows = [row for row in tables[system].sizes if row.name == size] if system in tables else []
    low, high, dr = family.main.dr_min, family.main.dr_max, family.lateral.dr
    for row in rows:
        made = tables[system].ratios(row)
        taken = [
            ratio for ratio in made if (ratio in dr if family.type == "coupling" else low <= ratio <= high)
        ]
        if not taken and low <= high:
            key = "lateral.dr" if family.type == "coupling" else "main.dr_min and main.dr_max"
            what = f"{size} {system} is made in no ratio that the family takes"
            cure = f"correct {key}, or take the pair out"
            problems.add(place, what, expected=_listed(made), cure=cure)


def _check_lateral_ratios(
    family: Family, tables: Sequence[PipeTable], found: Found, problems: Problems
) -> None:
    """A lateral's ratio stands in the table of some of the family's laterals."""
    ratios = sorted({ratio for table in tables for ratio in table.dimension_ratios})
    for index, ratio in enumerate(family.lateral.dr):
        if ratios and ratio not in ratios:
            place = found.spot("families", family.id, "lateral", "dr", index)
            near = f"{nearest_ratio(ratio, ratios):g}"
            problems.add(place, f"DR {ratio:g} is not in the table", expected=_listed(ratios), nearest=near)


def _listed(numbers: Iterable[float]) -> str:
    """Numbers in a row."""
    return ", ".join(f"{number:g}" for number in numbers)


def _check_materials(family: Family, found: Found, problems: Problems) -> None:
    """A family's materials exist."""
    materials = found.items["materials"]
    for side in ("main", "lateral"):
        for index, material in enumerate(getattr(family, side).materials):
            if material not in materials:
                place, near = (
                    found.spot("families", family.id, side, "materials", index),
                    nearest(material, materials),
                )
                what = f"the material {material!r} is not known"
                problems.add(place, what, expected=", ".join(materials), nearest=near)


def _check_order(family: Family, found: Found, problems: Problems) -> None:
    """No least value stands above its greatest, for the label of any pair."""
    if family.main.dr_min > family.main.dr_max:
        place = found.spot("families", family.id, "main", "dr_min")
        problems.add(place, "dr_min is above dr_max", cure="swap the two")
    for index, pair in enumerate(family.pairs):
        label = label_of(family, pair)
        for part, name in _ORDERED:
            low, high = _limits(label, part, name)
            if low and high and low.to(high.unit) > float(high.number) * (1 + 1e-12):
                own = getattr(getattr(pair, part), f"{name}_min") is not None
                spot: KeyPath = (
                    ("pairs", index, part, f"{name}_min") if own else ("every_pair", part, f"{name}_min")
                )
                place = found.spot("families", family.id, *spot)
                problems.add(place, f"{name}_min {low} is above {name}_max {high}", cure="swap the two")


def _limits(label: LabelData, part: str, name: str) -> tuple[Quantity | None, Quantity | None]:
    """The least and the greatest value of a kind on a label."""
    data = getattr(label, part)
    return getattr(data, f"{name}_min"), getattr(data, f"{name}_max")
