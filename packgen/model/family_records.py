"""Frozen records of the fitting families: what a label states, and the pairs a family serves.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change. Vocabulary: a *pair* is one
main size with one lateral size that a fitting of the family serves; a coupling joins two pipes of one size,
and its pairs name that size twice.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, get_args

from pydantic import Field, model_validator

from packgen.model.fields import (
    SYSTEMS,
    Angle,
    Area,
    Force,
    Length,
    LengthAboveZero,
    Name,
    Power,
    Pressure,
    Ratio,
    Resistance,
    Revision,
    Share,
    SizeOfSystem,
    StatedTorque,
    System,
    Temperature,
    Time,
    TimeAboveZero,
    Voltage,
    Words,
    refusal,
)  # fmt: skip
from packgen.model.records import Contents, Method, Record

FittingType = Literal["branch saddle", "tapping saddle", "coupling"]
Clamping = Literal["screws", "bolts", "strap"]
# How the main may be cut through each type of fitting; a coupling joins pipe and cuts nothing.
METHODS_OF: dict[str, tuple[Method, ...]] = {
    "branch saddle": ("open drill", "through a valve"),
    "tapping saddle": ("built-in cutter",),
    "coupling": (),
}


class PeelData(Record):
    """What a label says about peeling."""

    depth_min: LengthAboveZero | None = None
    depth_max: LengthAboveZero | None = None
    ribbon_min: LengthAboveZero | None = None
    ribbon_max: LengthAboveZero | None = None


class GapData(Record):
    """What a label says about the gap."""

    feeler: LengthAboveZero | None = None


class ClampData(Record):
    """What a label says about clamping."""

    method: Words | None = None
    screw_count: Annotated[int, Field(ge=1, le=24)] | None = None
    screw_size: Words | None = None
    screw_property: Words | None = None
    torque: StatedTorque | None = None
    stop_mark: Words | None = None
    lug_load_max: Force | None = None


class TimeRow(Record):
    """One row of a label's table of fusion times: the time for pipe and air up to a temperature."""

    up_to: Temperature
    time: TimeAboveZero


class FuseData(Record):
    """What a label says about fusion."""

    voltage: Voltage | None = None
    time: TimeAboveZero | None = None
    terminal: LengthAboveZero | None = None
    time_compensation: Annotated[tuple[TimeRow, ...], Field(min_length=2, max_length=12)] | None = None
    main_wall_min: LengthAboveZero | None = None
    main_pressure_max: Pressure | None = None
    coil_resistance: Resistance | None = None
    coil_tolerance: Share | None = None
    generator_min: Power | None = None


class CoolData(Record):
    """Waits from fusion end that a label states."""

    clamp_time: Time | None = None
    pressure_wait: Time | None = None
    tap_wait: Time | None = None
    reference_temperature: Temperature | None = None


class FittingData(Record):
    """Drawing data of one fitting, all optional."""

    fusion_area: Area | None = None
    base_length: LengthAboveZero | None = None
    bore_radius: LengthAboveZero | None = None
    base_angle: Angle | None = None
    wall: LengthAboveZero | None = None
    outlet_bore: LengthAboveZero | None = None
    outlet_height: LengthAboveZero | None = None
    main_diameter_min: LengthAboveZero | None = None


class CutterData(Record):
    """What a label says about a built-in cutter; turns and travel count from its stop, `approach` is how
    much of the travel is gone when the cutter touches the main.
    """

    turns: Annotated[int, Field(ge=1, le=200)] | None = None
    travel: LengthAboveZero | None = None
    pitch: LengthAboveZero | None = None
    diameter: LengthAboveZero | None = None
    approach: Length | None = None
    stop: Words | None = None


class SocketData(Record):
    """What a coupling's label says about pushing the pipe in."""

    insertion_depth: LengthAboveZero | None = None
    peel_length: LengthAboveZero | None = None
    out_of_round_max: LengthAboveZero | None = None
    misalignment_max: LengthAboveZero | None = None


class WindowData(Record):
    """Air temperatures a label allows."""

    ambient_min: Temperature | None = None
    ambient_max: Temperature | None = None


class LabelData(Record):
    """Label and drawing data; those of every pair, or those of one."""

    peel: PeelData = PeelData()
    gap: GapData = GapData()
    clamp: ClampData = ClampData()
    fuse: FuseData = FuseData()
    cool: CoolData = CoolData()
    fitting: FittingData = FittingData()
    weather: WindowData = WindowData()
    cutter: CutterData = CutterData()
    socket: SocketData = SocketData()
    pressure_max: Pressure | None = None


class Pair(LabelData):
    """One main size with one lateral size, and the data of the fitting that serves them.

    A size may name its system ("4 in DIPS"); one that does not has the family's.
    """

    main: SizeOfSystem
    lateral: SizeOfSystem


class MainRange(Record):
    """Mains a family accepts."""

    dr_min: Ratio
    dr_max: Ratio
    materials: Annotated[tuple[Name, ...], Field(min_length=1)]


class LateralRange(Record):
    """Laterals a family accepts; the first dimension ratio and material are used where none is named."""

    dr: Annotated[tuple[Ratio, ...], Field(min_length=1)]
    materials: Annotated[tuple[Name, ...], Field(min_length=1)]


class Family(Record):
    """A fitting family: what all its sizes share, and its pairs."""

    kind: Literal["fitting family"]
    id: Name
    data: Literal["demo"] | None = None
    title: Words
    type: FittingType
    clamping: Clamping | None = None
    system: System
    lateral_system: System | None = None
    revision: Revision
    date: date
    source: Name
    contents: Annotated[tuple[Contents, ...], Field(min_length=1)]
    methods: tuple[Method, ...] = ()
    main: MainRange
    lateral: LateralRange
    every_pair: LabelData = LabelData()
    pairs: Annotated[tuple[Pair, ...], Field(min_length=1)]
    replaces: Name | None = None
    why: str = ""

    @model_validator(mode="after")
    def _ways_of_its_type(self) -> Family:
        """A saddle says how it is clamped and cut; a coupling cuts nothing and is held by its own clamp."""
        coupling = self.type == "coupling"
        if coupling != (self.clamping is None):
            what = "it has no place on a coupling" if coupling else "nothing says how the saddle is clamped"
            raise refusal(
                what,
                expected=f"'clamping: {' | '.join(get_args(Clamping))}', on saddles only",
                key="clamping",
            )
        allowed = METHODS_OF[self.type]
        if (not self.methods and not coupling) or any(method not in allowed for method in self.methods):
            expected = f"{' or '.join(allowed)} on a {self.type}" if allowed else "no method on a coupling"
            raise refusal("the methods do not fit the type", expected=expected, key="methods")
        return self

    def ends(self, pair: Pair) -> tuple[PairEnd, PairEnd]:
        """Size and system of a pair's main and of its lateral."""
        laterals = self.lateral_system or self.system
        return pair_end(pair.main, self.system), pair_end(pair.lateral, laterals)


PairEnd = tuple[str, str]


def pair_end(written: str, system: str) -> PairEnd:
    """A pair's size and its system, which is the family's where the pair names none.

    >>> pair_end("4 in DIPS", "IPS"), pair_end("2 in", "IPS")
    (('4 in', 'DIPS'), ('2 in', 'IPS'))
    """
    size, _, last = written.rpartition(" ")
    return (size, last) if last in SYSTEMS else (written, system)
