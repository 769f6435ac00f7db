"""The values register as data: every value packgen may print, with its digits, safe direction and definition.

In: nothing. Out: `REGISTER`, an ordered mapping NAME → `Entry`. Names and units are a public contract: JSON,
CSV, slots in prose and sheets all use them. Vocabulary: *unit* is the register's unit (what JSON carries),
`si` and `us` say in which unit and with how many decimals the two systems print, *direction* is the safe way
to round ("up", "down" or "nearest"). Rows that need a job (`needs_job`) are absent from `values`, `cards` and
the site.
"""

from __future__ import annotations

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
cool.clamp_time | s | min:0 | min:0 | up | from fusion end until the clamp may come off
cool.pressure_wait | s | min:0 | min:0 | up | from fusion end until the joint may see pressure
cool.tap_wait | s | min:0 | min:0 | up | from fusion end until the main may be cut
cool.reference_temperature | degC | degC:0 | degF:0 | down | temperature for which the waits are stated
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
squeeze.distance_min | mm | mm:0 | in:1 | up | least distance from the squeeze to a joint, edge to edge
squeeze.gap_stop | mm | mm:1 | in:3 | up | gap between the bars at the stop
squeeze.close_time_min | s | min:0 | min:0 | up | least time to close the squeeze
squeeze.release_time_min | s | min:0 | min:0 | up | least time to release the squeeze
spacing.saddle_to_saddle | mm | mm:0 | in:1 | up | least distance to another saddle, edge to edge
spacing.saddle_to_fitting | mm | mm:0 | in:1 | up | least distance to another fitting, edge to edge
spacing.saddle_to_pipe_end | mm | mm:0 | in:1 | up | least distance to a pipe end
place.clock_angle | degree | degree:0 | degree:0 | nearest | outlet's angle from the top, clockwise | job
place.arc_from_top | mm | mm:0 | in:2 | nearest | distance round the main, top to outlet's centre line | job
weather.ambient_min | degC | degC:0 | degF:0 | up | coldest air for fitting and control unit
weather.ambient_max | degC | degC:0 | degF:0 | down | hottest air for fitting and control unit
weather.air_temperature | degC | degC:0 | degF:0 | nearest | air temperature the job was planned for | job
weather.humidity | percent | percent:0 | percent:0 | nearest | humidity the job was planned for | job
"""


def _print(text: str) -> Print:
    """Read "in:3" as inches with three decimals."""
    unit, decimals = text.rsplit(":", 1)
    return Print(unit, int(decimals))


def _entries(prefix: str, rows: str) -> Iterator[Entry]:
    """The entries of a block of rows, each name behind a prefix."""
    for row in rows.strip().splitlines():
        name, unit, si, us, direction, definition, *job = (cell.strip() for cell in row.split("|"))
        way: Direction = "up" if direction == "up" else "down" if direction == "down" else "nearest"
        yield Entry(prefix + name, unit, _print(si), _print(us), way, definition, bool(job))


REGISTER: MappingProxyType[str, Entry] = MappingProxyType(
    {
        entry.name: entry
        for prefix, rows in (("pipe.main.", _PIPE_ROWS), ("pipe.lateral.", _PIPE_ROWS), ("", _ROWS))
        for entry in _entries(prefix, rows)
    }
)
