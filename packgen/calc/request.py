"""What is asked for: one combination of main, lateral and family, with a job or without one.

In: resolved pipes, a family, and what a job adds. Out: a `Request` the questions of this package read, and
the `Combination` they answer with. Vocabulary: *verdict* is permitted or refused; a refusal gives every
*reason* with its cure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from packgen.calc.ledger import Value
from packgen.model.catalog import Catalog, Pipe, label_of
from packgen.model.job import Job, Joint
from packgen.model.records import Contents, Family, LabelData, Method, Pair
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


@dataclass(frozen=True)
class Request:
    """One combination asked for."""

    catalog: Catalog
    main: Pipe
    lateral: Pipe
    family: Family
    ambient: Quantity | None = None
    job: Job | None = None
    joint: Joint | None = None
    units: Units = "both"

    def text(self, value: Value) -> str:
        """A value as printed under the units asked for."""
        return value.text(self.units, self.first)

    def plain(self, stated: Quantity, direction: Direction = "nearest") -> str:
        """A stated quantity as printed under the units asked for."""
        return plain(stated, self.units, direction)

    @property
    def contents(self) -> Contents:
        """The job's contents; water where there is no job."""
        return self.job.contents if self.job else "water"

    @property
    def method(self) -> Method:
        """The joint's method; the family's first where none is named."""
        return (self.joint.method if self.joint else None) or self.family.methods[0]

    @property
    def derates(self) -> bool:
        """Whether water ratings are taken at an ambient temperature that is given."""
        return self.ambient is not None and self.contents == "water"

    @property
    def pair(self) -> Pair | None:
        """The family's pair for these sizes, or None where it lists none."""
        main, lateral = self.main.designation, self.lateral.designation
        wanted = ((main.size, main.system), (lateral.size, lateral.system))
        return next((pair for pair in self.family.pairs if self.family.ends(pair) == wanted), None)

    @property
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
