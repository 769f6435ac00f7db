"""The catalogue: every fact of the content folders in use, frozen, with the place of each record.

In: records the loader read. Out: lookups by the trade's words, and `Pipe`, a designation resolved against the
tables. Vocabulary: a *pipe* is a designation whose size, tolerance and material were found.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from packgen.errors import ContentError, Place, Problem, nearest
from packgen.model.designation import Designation
from packgen.model.prose import Procedure
from packgen.model.prose_records import Glossary, JointRecord, SafetyMessage
from packgen.model.records import (
    ContentFolder,
    Family,
    HoleSaw,
    LabelData,
    Material,
    Pair,
    PipeSize,
    PipeTable,
    Source,
    TemperatureFactor,
    Tolerance,
    WorkRule,
)  # fmt: skip
from packgen.units import Quantity, QuantityError, quantity


@dataclass(frozen=True)
class Folder:
    """A content folder in use."""

    path: Path
    shown: str
    record: ContentFolder
    digest: str


@dataclass(frozen=True)
class Pipe:
    """A pipe resolved against the tables."""

    designation: Designation
    table: PipeTable
    size: PipeSize
    tolerance: Tolerance
    material: Material | None

    @property
    def outside_diameter(self) -> float:
        """Nominal mean outside diameter in mm."""
        return self.size.outside_diameter.to("mm")


@dataclass(frozen=True)
class Catalog:
    """All facts, by id or name."""

    folders: tuple[Folder, ...]
    sources: Mapping[str, Source]
    tables: Mapping[str, PipeTable]
    materials: Mapping[str, Material]
    temperature_factors: tuple[TemperatureFactor, ...]
    rules: Mapping[str, WorkRule]
    approved_by: Mapping[str, str]
    saws: tuple[HoleSaw, ...]
    families: Mapping[str, Family]
    safety: Mapping[str, SafetyMessage]
    joint_record: JointRecord | None
    glossary: Glossary | None
    procedures: tuple[Procedure, ...]
    places: Mapping[tuple[str, str], Place] = field(default_factory=dict)

    def pipe(self, designation: Designation, place: Place = Place()) -> Pipe:
        """Find a pipe's rows.

        Parameters: `designation`; `place`, where it was written. Returns a `Pipe` with the tolerance of its
        standard, or the widest band of the standards that hold the size. Raises `ContentError` naming each
        part that is not found.
        """
        problems: list[Problem] = []
        table = self.tables.get(designation.system)
        if table is None:
            known = ", ".join(self.tables)
            raise ContentError(
                [Problem(place, f"no pipe table holds {designation.system}", f"one of {known}")]
            )
        size = next((row for row in table.sizes if row.name == designation.size), None)
        if size is None:
            names = [row.name for row in table.sizes]
            near = nearest_size(designation.size, names)
            problems.append(
                Problem(place, f"{designation.size} is not a size of {table.system}", ", ".join(names), near)
            )
        if designation.dr not in table.dimension_ratios:
            ratios = ", ".join(f"{ratio:g}" for ratio in table.dimension_ratios)
            near = f"{min(table.dimension_ratios, key=lambda ratio: abs(ratio - designation.dr)):g}"
            problems.append(
                Problem(place, f"DR {designation.dr:g} is not in the table of {table.system}", ratios, near)
            )
        material = self.materials.get(designation.material or "")
        if designation.material and material is None:
            near = nearest(designation.material, self.materials)
            problems.append(
                Problem(
                    place,
                    f"the material {designation.material} is not known",
                    ", ".join(self.materials),
                    near,
                )
            )
        tolerance = _tolerance(size, designation.standard) if size else None
        if size and tolerance is None:
            names = [each.standard for each in size.tolerances]
            what = f"{designation.standard} does not hold {designation.size} {table.system}"
            problems.append(
                Problem(place, what, ", ".join(names), nearest(designation.standard or "", names))
            )
        if problems or size is None or tolerance is None:
            raise ContentError(problems)
        return Pipe(designation, table, size, tolerance, material)

    def cite(self, source: str) -> str:
        """A source as cited in sheets and JSON."""
        return self.sources[source].text

    def rule(self, rule: str) -> WorkRule:
        """A work rule; the loader has seen that all needed ones exist."""
        return self.rules[rule]

    def rule_quantity(self, rule: str, unit: str) -> float:
        """A rule's value as a number of a unit."""
        return rule_value(self.rules[rule]).to(unit)

    def cite_rule(self, rule: str) -> str:
        """A rule and its revision, with the source of its value."""
        found = self.rules[rule]
        return f"work rule {found.id} revision {found.revision} ({self.sources[found.source].text})"


def rule_value(rule: WorkRule) -> Quantity:
    """A rule's value as a quantity. Raises `ContentError` where it is not one."""
    try:
        return quantity(str(rule.value))
    except QuantityError as error:
        what = f"the work rule {rule.id!r} has the value {rule.value!r}"
        raise ContentError([Problem(Place(), what, "a quantity with its unit")]) from error


def nearest_size(size: str, names: Iterable[str]) -> str:
    """The size of a table nearest to one asked for, by length.

    >>> nearest_size("5-1/2 in", ["4 in", "6 in", "8 in"])
    '6 in'
    """
    asked = quantity(size, "length").to("mm")
    return min(names, key=lambda name: abs(quantity(name, "length").to("mm") - asked), default="")


def _tolerance(size: PipeSize, standard: str | None) -> Tolerance | None:
    """The tolerance of a standard, or the widest where none is named."""
    if standard is None:
        return max(size.tolerances, key=lambda each: each.plus_minus.number)
    return next((each for each in size.tolerances if each.standard == standard), None)


def label_of(family: Family, pair: Pair) -> LabelData:
    """A pair's label data: what it states itself, else what the family states for every pair."""
    shared = family.every_pair
    merged = {}
    for name in LabelData.model_fields:
        own, common = getattr(pair, name), getattr(shared, name)
        if hasattr(own, "model_copy"):
            stated = {key: value for key, value in own if value is not None}
            merged[name] = common.model_copy(update=stated)
        else:
            merged[name] = own if own is not None else common
    return LabelData.model_construct(**merged)
