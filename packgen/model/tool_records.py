"""Frozen records of the tools: hole saws, and what a tap through a valve needs.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change. Vocabulary: a *bore*
is the narrowest passage that a saw meets; a machine's *stroke* is how far its shaft goes out; its *reach* is
how much of that is used up before the teeth pass the machine's own flange.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from packgen.model.fields import Length, LengthAboveZero, Name, Pressure, SizeOfSystem, Words
from packgen.model.records import Contents, Record


class HoleSaw(Record):
    """A listed hole saw."""

    id: Name
    size: LengthAboveZero
    system: Literal["inch", "metric"]
    inside_diameter: LengthAboveZero
    pilot_diameter: Length
    pilot_projection: Length
    cup_depth: LengthAboveZero
    oversize: Length
    source: Name


class HoleSaws(Record):
    """A file of hole saws."""

    kind: Literal["hole saws"]
    saws: tuple[HoleSaw, ...]


class TappingValve(Record):
    """A valve that is joined to an outlet and tapped through."""

    id: Name
    data: Literal["demo"] | None = None
    title: Words
    lateral: SizeOfSystem
    contents: Annotated[tuple[Contents, ...], Field(min_length=1)]
    bore: LengthAboveZero
    length: LengthAboveZero
    pressure_max: Pressure
    source: Name


class TappingValves(Record):
    """A file of valves."""

    kind: Literal["tapping valves"]
    valves: tuple[TappingValve, ...]


class DrillingMachine(Record):
    """A machine that drills through a valve under pressure."""

    id: Name
    data: Literal["demo"] | None = None
    title: Words
    contents: Annotated[tuple[Contents, ...], Field(min_length=1)]
    bore: LengthAboveZero
    stroke: LengthAboveZero
    reach: Length
    length: LengthAboveZero
    pressure_max: Pressure
    source: Name


class DrillingMachines(Record):
    """A file of drilling machines."""

    kind: Literal["drilling machines"]
    machines: tuple[DrillingMachine, ...]


class TestPlug(Record):
    """A plug that closes an outlet for the leak test."""

    __test__ = False  # no test, whatever its name says

    id: Name
    data: Literal["demo"] | None = None
    title: Words
    bore_min: LengthAboveZero
    bore_max: LengthAboveZero
    pressure_max: Pressure
    source: Name


class TestPlugs(Record):
    """A file of test plugs."""

    __test__ = False

    kind: Literal["test plugs"]
    plugs: tuple[TestPlug, ...]


class ScrewThread(Record):
    """A thread; its id is its name, such as M8."""

    id: Name
    diameter: LengthAboveZero
    pitch: LengthAboveZero
    source: Name


class ScrewThreads(Record):
    """A file of threads."""

    kind: Literal["screw threads"]
    threads: tuple[ScrewThread, ...]


class ScrewMaterial(Record):
    """What screws are made of; its id is the mark on the head, such as A2-70."""

    id: Name
    proof_stress: Pressure
    source: Name


class ScrewMaterials(Record):
    """A file of screw materials."""

    kind: Literal["screw materials"]
    materials: tuple[ScrewMaterial, ...]
