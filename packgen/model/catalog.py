"""The catalogue: every fact of the content folders in use, frozen, with the place of each record.

In: records the loader read. Out: lookups by the trade's words, and `Pipe`, a designation resolved against the
tables. Vocabulary: a *pipe* is a designation whose size, tolerance and material were found.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from packgen.errors import ContentError, Place, Problem, nearest
from packgen.model.bend_records import BendTable
from packgen.model.designation import Designation
from packgen.model.family_records import Family, LabelData, Pair
from packgen.model.fields import RuleValue
from packgen.model.form_records import PackForms
from packgen.model.power_records import Conductor, Outlet
from packgen.model.prose import Procedure
from packgen.model.prose_records import Glossary, JointRecord, OwnerBlank, PlainWords, SafetyMessage
from packgen.model.readings import nearest_ratio, nearest_size
from packgen.model.records import (
    ContentFolder,
    Material,
    OtherMaterial,
    PipeSize,
    PipeTable,
    Source,
    TemperatureFactor,
    Tolerance,
    Wall,
    WorkRule,
)
from packgen.model.tool_records import (
    DrillingMachine,
    HoleSaw,
    ScrewMaterial,
    ScrewThread,
    TappingValve,
    TestPlug,
)  # fmt: skip
from packgen.model.yaml_reader import Document, KeyPath
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
    """A pipe resolved against the tables; `tolerance` is None where the size carries its own band."""

    designation: Designation
    table: PipeTable
    size: PipeSize
    tolerance: Tolerance | None
    material: Material | None

    @property
    def outside_diameter(self) -> float:
        """Nominal mean outside diameter in mm."""
        return self.size.outside_diameter.to("mm")

    @property
    def wall(self) -> Wall | None:
        """The wall the size lists for this ratio; None where it follows from the rule for inch pipe."""
        return next((wall for wall in self.size.walls if wall.dr == self.designation.dr), None)


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
    valves: Mapping[str, TappingValve]
    machines: Mapping[str, DrillingMachine]
    plugs: Mapping[str, TestPlug]
    threads: Mapping[str, ScrewThread]
    screw_materials: Mapping[str, ScrewMaterial]
    families: Mapping[str, Family]
    safety: Mapping[str, SafetyMessage]
    owner_blanks: Mapping[str, OwnerBlank]
    joint_record: JointRecord | None
    glossary: Glossary | None
    procedures: tuple[Procedure, ...]
    places: Mapping[tuple[str, str], Place] = field(default_factory=dict)
    other_materials: Mapping[str, OtherMaterial] = field(default_factory=dict)
    conductors: Mapping[str, Conductor] = field(default_factory=dict)
    outlets: tuple[Outlet, ...] = ()
    bend_table: BendTable | None = None
    pack_forms: PackForms | None = None
    plain_words: tuple[PlainWords, ...] = ()
    documents: Mapping[tuple[str, str], tuple[Document, KeyPath]] = field(default_factory=dict, repr=False)

    def spot(self, name: str, item_id: str, *inner: str | int) -> Place:
        """The place of a key inside a record of a kind; `name` and `item_id` as in `places`."""
        document, path = self.documents[name, item_id]
        return document.place((*path, *inner))

    def pipe(self, designation: Designation, place: Place = Place()) -> Pipe:
        """Find a pipe's rows.

        Parameters: `designation`; `place`, where it was written. Returns a `Pipe` with the tolerance of its
        standard, or the widest band of the standards that hold the size. Raises `ContentError` naming each
        part that is not found.
        """
        table = self.tables.get(designation.system)
        if table is None:
            known = ", ".join(self.tables)
            what = f"no pipe table holds {designation.system}"
            raise ContentError([Problem(place, what, f"one of {known}")])
        size = next((row for row in table.sizes if row.name == designation.size), None)
        material = self.materials.get(designation.material or "")
        problems = [*_size_problems(designation, table, size, place)]
        if designation.material and material is None:
            what = f"the material {designation.material} is not known"
            near = nearest(designation.material, self.materials)
            problems.append(Problem(place, what, ", ".join(self.materials), near))
        if size is None or problems:
            raise ContentError(problems)
        return Pipe(designation, table, size, _tolerance(size, designation.standard), material)

    def first_material(self, names: Sequence[str], system: str) -> str:
        """The first of a family's materials that serves a size system; the first of all where none does."""
        known = (name for name in names if name in self.materials)
        return next((name for name in known if system in self.materials[name].systems), names[0])

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


@cache
def read_rule_value(value: RuleValue) -> Quantity | None:
    """A rule's chosen or other value as a quantity; None where it is words or a bare count."""
    try:
        return quantity(str(value))
    except QuantityError:
        return None


def rule_value(rule: WorkRule) -> Quantity:
    """A rule's value as a quantity. Raises `ContentError` where it is not one."""
    read = read_rule_value(rule.value)
    if read is None:
        what = f"the work rule {rule.id!r} has the value {rule.value!r}"
        raise ContentError([Problem(Place(), what, "a quantity with its unit")])
    return read


def _size_problems(
    designation: Designation, table: PipeTable, size: PipeSize | None, place: Place
) -> Iterator[Problem]:
    """What a table does not hold of a pipe: its size, its ratio in that size, its standard."""
    system, ratio = table.system, designation.ratio
    if size is None:
        names = [row.name for row in table.sizes]
        what, near = f"{designation.size} is not a size of {system}", nearest_size(designation.size, names)
        yield Problem(place, what, ", ".join(names), near)
    if designation.dr not in table.dimension_ratios:
        what = f"{ratio} is not in the table of {system}"
        yield _ratio_problem(what, table.dimension_ratios, designation, place)
    elif size and designation.dr not in table.ratios(size):
        what = f"the table of {system} lists no wall of {designation.size} for {ratio}"
        yield _ratio_problem(what, table.ratios(size), designation, place)
    standards = [each.standard for each in size.tolerances] + [*table.standards] if size else []
    if size and designation.standard and designation.standard not in standards:
        what = f"{designation.standard} does not hold {designation.size} {system}"
        yield Problem(place, what, ", ".join(standards), nearest(designation.standard, standards))


def _ratio_problem(what: str, ratios: Sequence[float], designation: Designation, place: Place) -> Problem:
    """A ratio that is not to be had, with those that are."""
    near = f"{nearest_ratio(designation.dr, ratios):g}"
    return Problem(place, what, ", ".join(f"{ratio:g}" for ratio in ratios), near)


def _tolerance(size: PipeSize, standard: str | None) -> Tolerance | None:
    """The tolerance of a standard, else the widest; None where the size has its own band."""
    if standard is None:
        return max(size.tolerances, key=lambda each: each.plus_minus.number, default=None)
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
