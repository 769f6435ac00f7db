"""The values register as data: every value packgen may print, with its digits, safe direction and definition.

In: nothing. Out: `REGISTER`, an ordered mapping NAME → `Entry`. Names and units are a public contract: JSON,
CSV, slots in prose and sheets all use them. Vocabulary: *unit* is the register's unit (what JSON carries),
`si` and `us` say in which unit and with how many decimals the two systems print, *direction* is the safe way
to round ("up", "down" or "nearest"). Rows that need a job (`needs_job`) are absent from `values`, `cards` and
the site. Rows for the `engineer` stand on the workings sheet and the site's values alone: no step, table or
card holds them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Direction = Literal["up", "down", "nearest"]


@dataclass(frozen=True)
class Print:
    """How one unit system prints a value: unit and decimals."""

    unit: str
    decimals: int


@dataclass(frozen=True)
class Entry:
    """One row of the register."""

    name: str
    unit: str
    si: Print
    us: Print
    direction: Direction
    definition: str
    needs_job: bool = False
    engineer: bool = False


# name | register unit | SI unit:decimals | US unit:decimals | safe direction | definition
_PIPE_ROWS = """
outside_diameter | mm | mm:1 | in:3 | nearest | nominal mean outside diameter, from the pipe table
outside_diameter_min | mm | mm:1 | in:3 | up | least outside diameter of the tolerance band
outside_diameter_max | mm | mm:1 | in:3 | down | greatest outside diameter of the tolerance band
wall_min | mm | mm:2 | in:3 | up | minimum wall
wall_max | mm | mm:2 | in:3 | down | thickest permitted wall
inside_diameter_mean | mm | mm:1 | in:3 | nearest | mean inside diameter
out_of_round_max | mm | mm:1 | in:3 | down | greatest high less low outside diameter before fusion
girth | mm | mm:0 | in:2 | nearest | distance round the pipe
girth_min | mm | mm:1 | in:2 | up | distance round the smallest pipe of the tolerance band
girth_max | mm | mm:1 | in:2 | down | distance round the largest pipe of the tolerance band
pressure_rating | kPa | kPa:0 | psi:0 | down | pressure rating at the reference temperature
temperature_factor | 1 | 1:2 | 1:2 | down | multiplier on the rating for the temperature given
pressure_rating_at | kPa | kPa:0 | psi:0 | down | pressure rating at the temperature given
"""
_ROWS = """
joint.pressure_max | kPa | kPa:0 | psi:0 | down | the least of main, fitting and lateral
fitting.outlet_bore | mm | mm:1 | in:2 | down | bore of the outlet
fitting.outlet_height | mm | mm:1 | in:2 | nearest | from the main's crown to the outlet's rim
fitting.bore_radius | mm | mm:1 | in:3 | nearest | radius of the saddle's bore
fitting.base_angle | degree | degree:0 | degree:0 | nearest | half-angle of the saddle base
fitting.base_length | mm | mm:0 | in:2 | nearest | length of the saddle base along the main
fitting.fusion_area | mm2 | mm2:0 | in2:2 | nearest | fusion area
fitting.wall | mm | mm:1 | in:2 | nearest | wall of the saddle above the fusion plane
fitting.coil_resistance | ohm | ohm:2 | ohm:2 | nearest | cold resistance of the coil
fitting.coil_tolerance | percent | percent:0 | percent:0 | up | tolerance of the coil, plus and minus
fitting.screw_size | 1 | 1:0 | 1:0 | nearest | thread of the clamp screws
fitting.main_diameter_min | mm | mm:1 | in:3 | up | least peeled main the fitting accepts
peel.depth_min | mm | mm:2 | in:3 | up | least depth to peel
peel.depth_max | mm | mm:2 | in:4 | down | greatest depth to peel
peel.ribbon_min | mm | mm:2 | in:3 | up | thinnest ribbon that shows a full peel
peel.ribbon_max | mm | mm:2 | in:3 | down | thickest ribbon
peel.wall_loss_percent | percent | percent:1 | percent:1 | up | greatest peel depth over minimum wall
peel.diameter_after_one_pass | mm | mm:1 | in:3 | up | outside diameter after one pass at the greatest depth
peel.passes_max | each | each:0 | each:0 | down | passes permitted over one place
peel.gouge_depth_max | mm | mm:2 | in:3 | down | deepest gouge that leaves room for one peel
peel.diameter_to_start | mm | mm:1 | in:3 | up | least measured outside diameter for one pass
peel.zone_length | mm | mm:0 | in:2 | up | length to peel along the main
peel.zone_arc | mm | mm:0 | in:2 | up | distance to peel round the main
peel.zone_area | mm2 | mm2:0 | in2:1 | up | area to peel
gap.feeler | mm | mm:2 | in:4 | down | feeler that must not enter after clamping
gap.free_gap_max | mm | mm:2 | in:4 | up | widest gap before clamping, which the clamp must close
clamp.method | 1 | 1:0 | 1:0 | nearest | how the clamp is closed
clamp.screws | 1 | 1:0 | 1:0 | nearest | number and thread of the clamp screws
clamp.torque | N*m | N*m:1 | lbf*ft:1 | down | tightening torque the label states
clamp.torque_guidance | N*m | N*m:1 | lbf*ft:1 | down | torque that seats the saddle, no setting | engineer
clamp.torque_limit | N*m | N*m:1 | lbf*ft:1 | down | torque that screw or lug bears, no setting | engineer
clamp.stop_mark | 1 | 1:0 | 1:0 | nearest | mark to which the clamp is closed
fuse.voltage | V | V:1 | V:1 | nearest | fusion voltage
fuse.time | s | s:0 | s:0 | nearest | fusion time
fuse.terminal | mm | mm:1 | mm:1 | nearest | terminal pin
fuse.time_compensation | 1 | 1:0 | 1:0 | nearest | fusion time by temperature, as the label gives it
fuse.main_wall_min | mm | mm:1 | in:3 | up | thinnest main wall the fitting may be fused to
fuse.main_pressure_max | kPa | kPa:0 | psi:0 | down | greatest pressure in the main while fusing
fuse.current | A | A:1 | A:1 | up | current at the start, coil cold
fuse.power | W | W:0 | W:0 | up | power at the start, coil cold
fuse.energy | kJ | kJ:1 | kJ:1 | nearest | energy over the fusion time, coil cold
fuse.energy_min | kJ | kJ:1 | kJ:1 | down | least energy within the tolerances
fuse.energy_max | kJ | kJ:1 | kJ:1 | up | greatest energy within the tolerances: no acceptance limit
power.supply_voltage | V | V:0 | V:0 | nearest | voltage of the job's supply | job
power.supply_current | A | A:1 | A:1 | up | greatest current in the supply cord | job
power.generator_rating | W | W:0 | W:0 | up | least power on the generator's plate
power.generator_rating_apparent | VA | VA:0 | VA:0 | up | least apparent power on the generator's plate
power.supply_cord_length_max | mm | m:1 | ft:0 | down | longest supply cord of the job's size | job
power.outlet | 1 | 1:0 | 1:0 | nearest | outlet of the supply that carries the current | job
power.breaker | A | A:0 | A:0 | nearest | rating of the breaker behind that outlet | job
power.fault_protection | 1 | 1:0 | 1:0 | nearest | protection against current that leaks to earth | job
cool.clamp_time | s | min:0 | min:0 | up | from fusion end until the clamp may come off
cool.pressure_wait | s | min:0 | min:0 | up | from fusion end until the joint may see pressure
cool.tap_wait | s | min:0 | min:0 | up | from fusion end until the main may be cut
cool.reference_temperature | degC | degC:0 | degF:0 | down | temperature for which the waits are stated
cool.end_temperature | degC | degC:0 | degF:0 | down | plane's temperature at which a joint counts as cool
cool.extra | s | min:0 | min:0 | up | extra wait at the air temperature given
cool.clamp_time_at | s | min:0 | min:0 | up | clamp time from fusion end at the air temperature given
cool.pressure_wait_at | s | min:0 | min:0 | up | pressure wait from fusion end, at the air given
cool.tap_wait_at | s | min:0 | min:0 | up | tap wait from fusion end at the air temperature given
cool.melt_depth_fitting | mm | mm:1 | in:2 | up | depth to which the fitting's wall melts at most | engineer
cool.melt_depth_pipe | mm | mm:1 | in:2 | up | depth to which the pipe's wall melts at most | engineer
tap.method | 1 | 1:0 | 1:0 | nearest | way of cutting into the main
tap.hole_saw | mm | mm:1 | in:3 | down | largest listed hole saw that clears the whole path
tap.clearance | mm | mm:1 | in:3 | down | room between saw and least bore, each side
tap.travel_to_breakthrough | mm | mm:1 | in:2 | up | from teeth contact until the whole edge is cut
tap.travel_set | mm | mm:1 | in:2 | up | from teeth contact to the depth to set
tap.travel_limit | mm | mm:1 | in:2 | down | from teeth contact to the deepest the saw may go
tap.depth_mark | mm | mm:1 | in:2 | up | from the teeth up the shank to the mark that meets the rim
tap.saw_depth_min | mm | mm:1 | in:2 | up | least cup depth of the saw
tap.coupon_mass | g | g:0 | oz:1 | nearest | mass of the coupon
tap.flow_area_percent | percent | percent:0 | percent:0 | down | hole area over the lateral's bore area
tap.least_bore | mm | mm:1 | in:2 | down | narrowest bore of the whole path, outlet, valve and machine
tap.stroke_min | mm | mm:0 | in:1 | up | least stroke of the drilling machine: stack, reach and travel to set
tap.cutter_turns | each | each:0 | each:0 | nearest | turns of the cutter, from its stop until the main is cut
tap.cutter_travel | mm | mm:1 | in:2 | nearest | travel of the built-in cutter over those turns
tap.cutter_travel_from_contact | mm | mm:1 | in:2 | down | the part of it from touching the main on
tap.cutter_stop | 1 | 1:0 | 1:0 | nearest | how the built-in cutter is seen to be back at its stop
socket.insertion_depth | mm | mm:0 | in:2 | nearest | how far each pipe end goes into the coupling
socket.peel_length | mm | mm:0 | in:2 | up | length to peel from each pipe end, all round
socket.out_of_round_max | mm | mm:1 | in:3 | down | greatest high less low diameter the coupling takes
socket.misalignment_max | mm | mm:1 | in:2 | down | greatest offset of the two pipes beside the coupling
test.pressure | kPa | kPa:0 | psi:0 | nearest | test pressure, main uncut, as the job states it | job
test.pressure_min | kPa | kPa:0 | psi:0 | up | least pressure of the test with the main uncut | job
test.pressure_max | kPa | kPa:0 | psi:0 | down | greatest pressure of the test with the main uncut | job
test.hold | s | min:0 | min:0 | up | hold time of the test, as the job states it | job
test.fill_volume | L | L:1 | gal:1 | up | water that fills the lateral for its test | job
test.makeup_volume | L | L:2 | gal:2 | down | water that may be put in while the test holds | job
test.end_force | N | N:0 | lbf:0 | up | force of the test's pressure on cap, plug or shut valve | job
bend.radius_min | mm | m:2 | in:0 | up | least radius to which the lateral may be bent
bend.radius_min_at_fitting | mm | m:2 | in:0 | up | least radius with a fitting in the bend
bend.length_at_fitting | mm | m:2 | in:0 | up | length on each side of a fitting that counts as beside it
contraction.change | mm | mm:0 | in:2 | up | how much the lateral shortens in the ground | job
contraction.slack | mm | mm:0 | in:1 | up | slack to leave in the lateral before its last joint | job
squeeze.distance_min | mm | mm:0 | in:1 | up | least distance from the squeeze to a joint, edge to edge
squeeze.gap_stop | mm | mm:1 | in:3 | up | gap between the bars at the stop
squeeze.close_time_min | s | min:0 | min:0 | up | least time to close the squeeze
squeeze.release_time_min | s | min:0 | min:0 | up | least time to release the squeeze
spacing.saddle_to_saddle | mm | mm:0 | in:1 | up | least distance to another saddle, edge to edge
spacing.saddle_to_fitting | mm | mm:0 | in:1 | up | least distance to another fitting, edge to edge
spacing.saddle_to_pipe_end | mm | mm:0 | in:1 | up | least distance to a pipe end
spacing.measured_saddle | mm | mm:0 | in:1 | down | distance to the nearest saddle, as measured | job
spacing.measured_fitting | mm | mm:0 | in:1 | down | distance to the nearest other fitting, as measured | job
spacing.measured_pipe_end | mm | mm:0 | in:1 | down | distance to the nearest pipe end, as measured | job
spacing.measured_squeeze | mm | mm:0 | in:1 | down | distance to the nearest squeeze, as measured | job
place.clock_angle | degree | degree:0 | degree:0 | nearest | outlet's angle from the top, clockwise | job
place.arc_from_top | mm | mm:0 | in:2 | nearest | distance round the main, top to outlet's centre line | job
place.room_along | mm | mm:0 | in:1 | up | length of main to free: the peel zone and room at each end
place.room_around | mm | mm:0 | in:1 | up | clear ground all round the main
place.room_above | mm | mm:0 | in:1 | up | free distance from the main's surface, where the outlet points
clock.clamps_off | s | min:0 | min:0 | up | from fusion end, earliest time for the clamp to come off
clock.test | s | min:0 | min:0 | up | from fusion end, earliest time for the leak test
clock.tap | s | min:0 | min:0 | up | from fusion end, earliest time for the cut
clock.working_pressure | s | min:0 | min:0 | up | from fusion end, earliest for working pressure
clock.backfill | s | min:0 | min:0 | up | from fusion end, earliest time for backfill
clock.joint_total | s | min:0 | min:0 | up | from the first peel until the joint is done, planned | job
weather.ambient_min | degC | degC:0 | degF:0 | up | coldest air for fitting and control unit
weather.ambient_max | degC | degC:0 | degF:0 | down | hottest air for fitting and control unit
weather.air_temperature | degC | degC:0 | degF:0 | nearest | air temperature the job was planned for | job
weather.humidity | percent | percent:0 | percent:0 | nearest | humidity the job was planned for | job
weather.surface_temperature | degC | degC:0 | degF:0 | down | pipe's surface, as the job was planned for | job
weather.dew_point | degC | degC:0 | degF:0 | up | where the planned air leaves water or frost | job
weather.dew_margin | K | K:1 | degF_difference:1 | down | planned surface above the dew point | job
weather.dew_margin_min | K | K:0 | degF_difference:0 | up | least margin of the surface above the dew point
kit.solvent | L | L:2 | gal:2 | up | wipe liquid for all joints of the job | job
kit.wipes | each | each:0 | each:0 | up | wipes for all joints of the job | job
kit.blades | each | each:0 | each:0 | up | peeler blades for all joints of the job | job
kit.fittings | 1 | 1:0 | 1:0 | nearest | fittings for all joints of the job | job
kit.hole_saws | 1 | 1:0 | 1:0 | nearest | hole saws for all joints of the job | job
"""


# Waits by the temperature of air or pipe, whichever is hotter: bands of 10 K, named by their upper limit.
COOL_BANDS = "cool.band."
BAND_LIMITS = (0, 10, 20, 30, 40, 50, 60)  # degC
_BAND_ROWS = """
extra | s | min:0 | min:0 | up | extra wait in this band
clamp_time_at | s | min:0 | min:0 | up | clamp time from fusion end in this band
pressure_wait_at | s | min:0 | min:0 | up | pressure wait from fusion end in this band
tap_wait_at | s | min:0 | min:0 | up | tap wait from fusion end in this band
"""


def band_name(limit: int, value: str = "") -> str:
    """The name of a band's value, or the beginning of all of them.

    >>> band_name(40, "extra")
    'cool.band.to_40.extra'
    """
    return f"{COOL_BANDS}to_{limit}.{value}"


# Supply cords worked out beside the job's own: the voltages and sizes of each series of conductors.
CORD_LENGTHS = "power.supply_cord_length_max."
_CORDS = (("awg", (120, 240), (18, 16, 14, 12, 10, 8, 6)), ("mm2", (110, 230), (1, 1.5, 2.5, 4, 6, 10, 16)))

CORD_VOLTAGES = tuple(float(voltage) for _, voltages, _ in _CORDS for voltage in voltages)


_CONDUCTOR = re.compile(
    r"#?\s*(?P<number>[0-9]{1,4}(?:\.[0-9]{1,3})?)[\s-]*(?P<series>AWG|mm2|mm²)", re.IGNORECASE | re.ASCII
)


def conductor_size(written: str) -> str:
    """A conductor's size as packgen prints and compares it; as it is written where that is no size.

    >>> [conductor_size(each) for each in ("#12 awg", "2.50mm2", "2.5 mm²", "1/0 AWG")]
    ['12 AWG', '2.5 mm²', '2.5 mm²', '1/0 AWG']
    """
    found = _CONDUCTOR.fullmatch(written.strip())
    if found is None:
        return written.strip()
    return f"{float(found['number']):g} {'AWG' if found['series'].upper() == 'AWG' else 'mm²'}"


def cord_name(voltage: float, size: str) -> str:
    """The name of the longest cord of a voltage and a conductor's size; it need not be in the register.

    >>> cord_name(120.0, "#12 AWG"), cord_name(230.0, "2.5 mm²")
    ('power.supply_cord_length_max.120_v.awg_12', 'power.supply_cord_length_max.230_v.mm2_2_5')
    """
    number, _, series = conductor_size(size).replace("²", "2").partition(" ")
    return f"{CORD_LENGTHS}{voltage:g}_v.{series.lower()}_{number.replace('.', '_')}"


def _cord_rows() -> str:
    """A row for each voltage and size of conductor."""
    rows = []
    for series, voltages, sizes in _CORDS:
        for voltage in voltages:
            for number in sizes:
                size = conductor_size(f"{number:g} {series}")
                words = f"longest supply cord of {size} at {voltage} V, or not permitted"
                rows.append(f"{cord_name(voltage, size)} | mm | m:1 | ft:0 | down | {words}")
    return "\n".join(rows)


def _print(text: str) -> Print:
    """Read "in:3" as inches with three decimals."""
    unit, decimals = text.rsplit(":", 1)
    return Print(unit, int(decimals))


def _entries(prefix: str, rows: str) -> Iterator[Entry]:
    """The entries of a block of rows, each name behind a prefix."""
    for row in rows.strip().splitlines():
        name, unit, si, us, direction, definition, *mark = (cell.strip() for cell in row.split("|"))
        way: Direction = "up" if direction == "up" else "down" if direction == "down" else "nearest"
        marks = ("job" in mark, "engineer" in mark)
        yield Entry(prefix + name, unit, _print(si), _print(us), way, definition, *marks)


REGISTER: MappingProxyType[str, Entry] = MappingProxyType(
    {
        entry.name: entry
        for prefix, rows in (
            ("pipe.main.", _PIPE_ROWS),
            ("pipe.lateral.", _PIPE_ROWS),
            ("", _ROWS),
            *((band_name(limit), _BAND_ROWS) for limit in BAND_LIMITS),
            ("", _cord_rows()),
        )
        for entry in _entries(prefix, rows)
    }
)
