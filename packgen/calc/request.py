"""What is asked for: one combination of main, lateral and family, with a job or without one.

In: resolved pipes, a family, and what a job adds. Out: a `Request` the questions of this package read, and
the `Combination` they answer with. Vocabulary: *verdict* is permitted or refused; a refusal gives every
*reason* with its cure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from packgen.calc.ledger import Value
from packgen.model.catalog import Catalog, Pipe, label_of
from packgen.model.family_records import Family, LabelData, Pair, PairEnd, pair_end
from packgen.model.job import Job, Joint
from packgen.model.prose import Facts
from packgen.model.records import Contents, Method
from packgen.model.tool_records import DrillingMachine, TappingValve, TestPlug
from packgen.register import Direction
from packgen.rounding import System, Units, plain
from packgen.units import Quantity


@dataclass(frozen=True)
class Reason:
    """Why a combination or job is refused, and what cures it."""

    what: str
    cure: str

    def __str__(self) -> str:
        return f"{self.what}; {self.cure}"


@dataclass(frozen=True)
class Check:
    """One row of the fit check.

    `key` names the question, `found` and `limit` are printed, `reason` stands where the row failed. `passed`
    is None where packgen does not judge and the crew must.
    """

    key: str
    found: str
    limit: str
    passed: bool | None
    reason: Reason | None = None


def judged(key: str, found: str, limit: str, passed: bool, what: str, cure: str) -> Check:
    """A judged row of the fit check; the reason is kept only where it failed."""
    return Check(key, found, limit, passed, None if passed else Reason(what, cure))


@dataclass(frozen=True)
class Request:
    """One combination asked for; `wanted_contents` are those of the main where no job says so."""

    catalog: Catalog
    main: Pipe
    lateral: Pipe
    family: Family
    ambient: Quantity | None = None
    job: Job | None = None
    joint: Joint | None = None
    units: Units = "both"
    wanted_contents: Contents | None = None

    def text(self, value: Value) -> str:
        """A value as printed under the units asked for."""
        return value.text(self.units, self.first)

    def plain(self, stated: Quantity, direction: Direction = "nearest") -> str:
        """A stated quantity as printed under the units asked for."""
        return plain(stated, self.units, direction)

    @property
    def contents(self) -> Contents:
        """The job's contents; without a job those asked for, else water."""
        return self.job.contents if self.job else self.wanted_contents or "water"

    @property
    def method(self) -> Method | None:
        """The joint's method; the family's first where none is named; None where nothing is cut."""
        named = self.joint.method if self.joint else None
        return named or next(iter(self.family.methods), None)

    @property
    def way(self) -> str:
        """The method in words, or what the fitting is where nothing is cut."""
        return self.method or self.family.type

    @property
    def is_coupling(self) -> bool:
        """Whether the fitting joins two pipes and leaves the main alone."""
        return self.family.type == "coupling"

    @property
    def fused(self) -> str:
        """The register's beginning of the pipe that is peeled and fused to."""
        return "pipe.lateral." if self.is_coupling else "pipe.main."

    @property
    def fused_pipe(self) -> Pipe:
        """The pipe that is peeled and fused to."""
        return self.lateral if self.is_coupling else self.main

    @property
    def valve(self) -> TappingValve | None:
        """The valve that the job taps through."""
        return self.catalog.valves.get(self.joint.valve or "") if self.joint else None

    @property
    def valve_end(self) -> PairEnd | None:
        """Size and system of the outlet that the job's valve is made for."""
        laterals = self.family.lateral_system or self.family.system
        return pair_end(self.valve.lateral, laterals) if self.valve else None

    @property
    def machine(self) -> DrillingMachine | None:
        """The drilling machine that the job taps with."""
        return self.catalog.machines.get(self.joint.drilling_machine or "") if self.joint else None

    @property
    def plug(self) -> TestPlug | None:
        """The plug that closes the outlet for the job's test."""
        return self.catalog.plugs.get(self.joint.test_plug or "") if self.joint else None

    @property
    def state(self) -> str:
        """The main's state; without a job it is taken as dry."""
        return self.job.state if self.job else "dry"

    @property
    def may_hold_pressure(self) -> bool:
        """Whether the main may hold pressure at work: live, or not isolated and proved on both sides."""
        job = self.job
        if job is None or job.isolation is None:
            return self.state == "live"
        return job.isolation.sides != "both" or not job.isolation.proved_no_pressure

    @property
    def is_demo(self) -> bool:
        """Whether anything asked for is invented, so that every face must say so."""
        tools = (self.valve, self.machine, self.plug)
        return any(each is not None and each.data == "demo" for each in (self.family, self.job, *tools))

    @property
    def facts(self) -> Facts:
        """What this combination is, by the keys that procedures ask; without a job the main is dry."""
        job, label = self.job, self.label
        isolation = job.isolation.by if job and job.isolation else None
        times = "by temperature" if label and label.fuse.time_compensation else "one"
        return {
            "state": self.state, "isolation": isolation, "method": self.method,
            "contents": self.contents, "fitting": self.family.type, "clamping": self.family.clamping,
            "outlet": self._outlet, "times": times,
            "laid": (job.laid if job else None) or "unknown", "saw": self._saw, "torque": self._torque,
            "work": job.work if job else "new", "heat": self._heat,
        }  # fmt: skip

    @property
    def _saw(self) -> str | None:
        """Whether the saw is worked out, or to be entered since the label states no bore."""
        if self.label is None or self.method in (None, "built-in cutter"):
            return None
        return "worked" if self.label.fitting.outlet_bore else "entered"

    @property
    def _heat(self) -> str | None:
        """Whether the waits in heat are worked out, or the owner's to enter since the label lacks a datum."""
        if self.label is None:
            return None
        fitting, fuse = self.label.fitting, self.label.fuse
        needed = (fitting.wall, fitting.fusion_area, fuse.coil_resistance, fuse.voltage, fuse.time)
        known = all(needed) and self.label.cool.reference_temperature
        return "worked" if known else "entered"

    @property
    def _torque(self) -> str | None:
        """Whether the label states a torque, leaves a box for one, or neither; None of what has no screws."""
        if self.label is None or self.family.clamping not in ("screws", "bolts"):
            return None
        clamp = self.label.clamp
        if isinstance(clamp.torque, Quantity):
            return "stated"
        return "blank" if clamp.torque or clamp.screw_size else "none"

    @property
    def _outlet(self) -> str | None:
        """How the outlet stands; None where no job says so."""
        if self.joint is None or self.is_coupling:
            return None
        turned = self.joint.clock_angle % 180.0
        return "vertical" if turned == 0.0 else "level" if turned == 90.0 else "between"

    @property
    def derates(self) -> bool:
        """Whether water ratings are taken at an ambient temperature that is given."""
        return self.ambient is not None and self.contents == "water"

    @cached_property
    def pair(self) -> Pair | None:
        """The family's pair for these sizes, or None where it lists none."""
        main, lateral = self.main.designation, self.lateral.designation
        wanted = ((main.size, main.system), (lateral.size, lateral.system))
        return next((pair for pair in self.family.pairs if self.family.ends(pair) == wanted), None)

    @cached_property
    def label(self) -> LabelData | None:
        """The pair's label data, the family's common data filled in."""
        return label_of(self.family, self.pair) if self.pair else None

    @property
    def label_source(self) -> str:
        """The label as a source."""
        cited = self.catalog.cite(self.family.source)
        return f"label of {self.family.id} revision {self.family.revision} ({cited})"

    @property
    def first(self) -> System:
        """The unit system that leads a worked value."""
        return "us" if self.main.table.wall_rule == "inch" else "si"


def request_of(job: Job, joint: Joint, catalog: Catalog, units: Units = "both") -> Request:
    """What one joint of a job asks for; a coupling joins two lengths of the lateral alone."""
    family, lateral = catalog.families[joint.family], catalog.pipe(joint.lateral)
    main = lateral if family.type == "coupling" else catalog.pipe(job.main)
    return Request(catalog, main, lateral, family, job.site.ambient, job, joint, units)


@dataclass(frozen=True)
class Combination:
    """A request answered: its values in register order, and the verdict."""

    request: Request
    values: Mapping[str, Value]
    checks: tuple[Check, ...]
    reasons: tuple[Reason, ...]

    @property
    def verdict(self) -> Literal["permitted", "refused"]:
        """Whether the combination may be made."""
        return "refused" if self.reasons else "permitted"

    @property
    def blanks(self) -> tuple[Value, ...]:
        """The boxes the crew must fill in."""
        return tuple(value for value in self.values.values() if value.kind == "blank")

    def number(self, name: str) -> float | None:
        """A value's number, or None."""
        value = self.values.get(name)
        return value.number if value else None
