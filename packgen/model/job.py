"""The job file: one lateral or several on one main, with the site, the equipment and the people.

In: plain values of a job's YAML. Out: a frozen `Job`. Vocabulary: *state* dry, isolated or live says what the
main holds when it is cut; *distances* are measured edge to edge of fused or squeezed length.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from packgen.errors import ContentError
from packgen.model.designation import Designation, read_designation
from packgen.model.fields import (
    Length,
    LengthAboveZero,
    Name,
    PlateRating,
    Pressure,
    Revision,
    Share,
    Temperature,
    TimeAboveZero,
    Title,
    Voltage,
    Words,
    file_name,
    refusal,
)  # fmt: skip
from packgen.model.records import Contents, Method, Record
from packgen.model.yaml_reader import shown_value

_OUTLET = re.compile(r"(1[0-2]|[1-9])(?::([0-5][0-9]))? o'clock", re.ASCII)


def _pipe(value: Any, info: ValidationInfo) -> Designation:
    """A pipe from its string; the pipe tables come as the context of the validation."""
    if isinstance(value, Designation):
        return value
    if not isinstance(value, str):
        raise refusal(
            f"{shown_value(value)} is not a pipe", expected="a pipe such as '4 in IPS DR 11 PE4710'"
        )
    try:
        return read_designation(value, info.context)
    except ContentError as error:
        problem = error.problems[0]
        raise refusal(problem.what, expected=problem.expected, near=problem.nearest) from None


def _clock(value: Any) -> str:
    """An outlet's direction as a clock hour."""
    if isinstance(value, str) and _OUTLET.fullmatch(value):
        return value
    expected = '"12 o\'clock" to "11:59 o\'clock"'
    raise refusal(f"{shown_value(value)} is not an hour of the clock", expected=expected)


Pipe = Annotated[Designation, BeforeValidator(_pipe)]
Clock = Annotated[str, BeforeValidator(_clock)]
Number = Annotated[int, Field(strict=True, ge=1, le=20)]
JobId = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9-]{0,30}$"), AfterValidator(file_name)]


class Isolation(Record):
    """How the main is isolated: the places in the order of closing, and how long customers may be without."""

    by: Literal["squeeze-off", "valves"]
    sides: Literal["both", "one"]
    proved_no_pressure: bool
    order: Annotated[tuple[Words, ...], Field(min_length=1, max_length=2)] | None = None
    outage: TimeAboveZero | None = None

    @model_validator(mode="after")
    def _a_place_for_each_side(self) -> Isolation:
        """Where the places are named there is one for each side, and no place closes twice."""
        if self.order is None:
            return self
        wanted = 2 if self.sides == "both" else 1
        if len(self.order) != wanted:
            what = f"the sides that are closed are {self.sides}, the places that close are {len(self.order)}"
            expected = "two places, the first to close and the second" if wanted == 2 else "one place"
            raise refusal(what, expected=expected, key="order")
        if len({" ".join(place.split()).casefold() for place in self.order}) < wanted:
            what = f"{shown_value(self.order[0])} closes both sides"
            raise refusal(what, expected="two places that differ", key="order")
        return self


class Distances(Record):
    """Measured distances from the new saddle, edge to edge."""

    saddle: Length | None = None
    fitting: Length | None = None
    pipe_end: Length | None = None
    squeeze: Length | None = None


class Approval(Record):
    """Who approved the procedure; without it each face says DRAFT."""

    role: Words
    date: date
    reference: Words


class Joint(Record):
    """One joint of the job: a branch on the main, or a coupling that carries a branch's lateral on."""

    id: JobId
    lateral: Pipe
    family: Name
    method: Method | None = None
    outlet: Clock = "12 o'clock"
    station: Words | None = None
    side_outlet: Words | None = None
    top_not_practical: Words | None = None
    carries: JobId | None = None
    valve: Name | None = None
    drilling_machine: Name | None = None
    test_plug: Name | None = None
    lateral_length: LengthAboveZero | None = None

    @property
    def clock_angle(self) -> float:
        """The outlet's angle from the top of the main, clockwise, in degrees."""
        found = _OUTLET.fullmatch(self.outlet)
        assert found is not None  # the validator took it
        return (int(found[1]) % 12) * 30.0 + int(found[2] or 0) * 0.5


class Site(Record):
    """What the job was planned for."""

    ambient: Temperature | None = None
    humidity: Share | None = None
    pipe_surface: Temperature | None = None
    ground: Temperature | None = None
    soil_cover: Length | None = None
    altitude: Length | None = None


class SupplyCord(Record):
    """The supply cord between generator and control unit."""

    size: Words
    length: LengthAboveZero
    voltage: Voltage


class ControlUnit(Record):
    """The control unit that will fuse the joints; `generator_min` is the least generator its plate states."""

    voltage_max: Voltage
    terminals: Annotated[tuple[LengthAboveZero, ...], Field(min_length=1)]
    calibrated_until: date
    generator_min: PlateRating | None = None


class Equipment(Record):
    """The power set."""

    generator: PlateRating | None = None
    supply_cord: SupplyCord | None = None
    control_unit: ControlUnit | None = None


class LeakTest(Record):
    """The test with the main uncut, where the owner's rule gives its numbers for this job."""

    pressure: Pressure
    hold: TimeAboveZero


class Means(Record):
    """What the day is planned with: people who fuse, control units, clamp sets, and the time at hand."""

    people: Number = 1
    control_units: Number = 1
    clamp_sets: Number = 1
    time: TimeAboveZero | None = None


class Fuser(Record):
    """Who fuses: a role, never a person's name."""

    role: Words
    qualified_until: date


class Checker(Record):
    """Who looks before backfill."""

    role: Words


class Job(Record):
    """A job file."""

    kind: Literal["job"] = "job"
    id: JobId
    data: Literal["demo"] | None = None
    revision: Revision
    date: date
    title: Title
    issued_by: Words
    main: Pipe
    contents: Contents
    maximum_operating_pressure: Pressure
    state: Literal["dry", "isolated", "live"]
    isolation: Isolation | None = None
    work: Literal["new", "repair"] = "new"
    laid: Literal["in a trench", "drilled in"] | None = None
    distances: Distances | None = None
    approved: Approval | None = None
    joints: Annotated[tuple[Joint, ...], Field(min_length=1, max_length=12)]
    site: Site = Site()
    equipment: Equipment = Equipment()
    leak_test: LeakTest | None = None
    means: Means = Means()
    fuser: Fuser
    checker: Checker

    @model_validator(mode="after")
    def _isolation_where_isolated(self) -> Job:
        """An isolated main says how; no other main does."""
        if (self.state == "isolated") != (self.isolation is not None):
            missing = self.state == "isolated"
            what = (
                "the main is isolated, but nothing says how"
                if missing
                else f"it does not fit a {self.state} main"
            )
            example = "isolation: {by: squeeze-off, sides: both, proved_no_pressure: true}"
            expected = f"'{example}' with 'state: isolated', and only there"
            raise refusal(what, expected=expected, key="isolation")
        return self
