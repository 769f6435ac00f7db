"""Frozen records of the facts: sources, pipe tables, materials, work rules, tools, fitting families.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change, quantities read by our own
grammar. Vocabulary: design words of the trade; *pair* is one main size with one lateral size that a fitting
of the family serves. Each record's `kind` names the file's form, so that one mistake gives one message.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field

from packgen.model.fields import (
    Density,
    LengthAboveZero,
    Name,
    Pressure,
    Ratio,
    Revision,
    RuleValue,
    Size,
    System,
    Temperature,
    Words,
)  # fmt: skip

Standing = Literal[
    "regulation", "standard", "handbook", "common practice", "memory", "arithmetic", "label", "owner"
]
Contents = Literal["water", "gas"]
Method = Literal["open drill", "through a valve", "built-in cutter"]


class Record(BaseModel):
    """A frozen record that takes exactly its own keys and types."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", arbitrary_types_allowed=True)


class ContentFolder(Record):
    """`packgen.yaml`: marks a content folder."""

    kind: Literal["content folder"]
    title: Words
    revision: Revision
    date: date
    language: Literal["en"] = "en"
    starter: bool = False


class Source(Record):
    """Where a value comes from, and how far it can be trusted."""

    id: Name
    title: Words
    edition: str = ""
    clause: str = ""
    standing: Standing
    note: str = ""

    @property
    def text(self) -> str:
        """The source as cited, on one line."""
        parts = [self.title, self.edition, self.clause]
        return ", ".join(part for part in parts if part) + f" [{self.standing}]"


class Sources(Record):
    """A file of sources."""

    kind: Literal["sources"]
    sources: tuple[Source, ...]


class Tolerance(Record):
    """Outside-diameter tolerance of one standard."""

    standard: Words
    plus_minus: LengthAboveZero
    source: Name


class Wall(Record):
    """A least and a greatest wall that a standard lists for one dimension ratio of a size."""

    dr: Ratio
    min: LengthAboveZero
    max: LengthAboveZero
    source: Name


class PipeSize(Record):
    """One row of a pipe table: a band of tolerance by standard, or the size's own greatest diameter.

    A size with its own greatest diameter has its nominal diameter as the least one.
    """

    name: Size
    outside_diameter: LengthAboveZero
    outside_diameter_max: LengthAboveZero | None = None
    out_of_round_max: LengthAboveZero | None = None
    source: Name
    tolerances: tuple[Tolerance, ...] = ()
    walls: tuple[Wall, ...] = ()


class PipeTable(Record):
    """A size system: outside diameters, tolerances, dimension ratios and the rule for walls.

    By the rule "inch" a wall follows from diameter and ratio unless the size lists it; by "table" a size has
    the walls it lists and no other. `standards` hold every size with its own band.
    """

    kind: Literal["pipe table"]
    id: Name
    system: System
    title: Words
    revision: Revision
    date: date
    wall_rule: Literal["inch", "table"]
    wall_source: Name
    standards: tuple[Words, ...] = ()
    dimension_ratios: Annotated[tuple[Ratio, ...], Field(min_length=1)]
    dimension_ratio_source: Name
    sizes: Annotated[tuple[PipeSize, ...], Field(min_length=1)]

    def ratios(self, size: PipeSize) -> tuple[float, ...]:
        """The dimension ratios a size is made in."""
        if self.wall_rule == "inch":
            return self.dimension_ratios
        return tuple(wall.dr for wall in size.walls)


class Material(Record):
    """A polyethylene compound: what pressure ratings need.

    `systems` are those whose pipe is usually made of it; a `gas_coefficient` serves pipe of these alone.
    """

    id: Name
    title: Words
    systems: Annotated[tuple[System, ...], Field(min_length=1)] = get_args(System)
    density: Density
    source: Name
    hydrostatic_design_stress: Pressure | None = None
    hydrostatic_design_basis: Pressure | None = None
    gas_design_factor: Annotated[float, Field(gt=0, le=1)] | None = None
    gas_coefficient: Annotated[float, Field(ge=1, le=5)] | None = None
    gas_pressure_cap: Pressure | None = None
    gas_source: Name | None = None
    minimum_required_strength: Pressure | None = None
    design_coefficient: Annotated[float, Field(ge=1, le=5)] | None = None


class TemperatureFactor(Record):
    """Multiplier on a water rating up to a temperature, for materials rated by one basis."""

    rated_by: Literal["design stress", "required strength"]
    up_to: Temperature
    factor: Annotated[float, Field(gt=0, le=1)]
    source: Name


class Materials(Record):
    """A file of materials."""

    kind: Literal["materials"]
    materials: tuple[Material, ...]
    temperature_factors: tuple[TemperatureFactor, ...] = ()


class OtherMaterial(Record):
    """A material that a print line may name and that packgen has no values for; `id` is its printed code."""

    id: Name
    means: Words
    source: Name


class OtherMaterials(Record):
    """A file of old and other materials."""

    kind: Literal["other materials"]
    materials: tuple[OtherMaterial, ...]


class Alternative(Record):
    """Another value the trade uses for a rule's question."""

    value: RuleValue
    source: Name


class WorkRule(Record):
    """One question the organisation has settled: value, alternatives, source, review."""

    id: Name
    question: Words
    value: RuleValue
    alternatives: tuple[Alternative, ...] = ()
    source: Name
    reason: str = ""
    revision: Revision
    review_by: date
    confirm: Literal["owner"] | None = None
    safe: Literal["up", "down", "nearest"] = "nearest"
    replaces: Name | None = None
    why: str = ""


class WorkRules(Record):
    """A file of work rules with the role that approves them."""

    kind: Literal["work rules"]
    approved_by: Words
    rules: tuple[WorkRule, ...]
