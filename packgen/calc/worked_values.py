"""Values worked out from stated ones and put into the ledger with their workings.

In: a `Request` and a `Ledger` that holds the stated values. Out: fuse.*, peel.*, gap.*, tap.*, squeeze.*,
place.*. Vocabulary: a value whose inputs are missing is absent; only what a crew cannot do without becomes a
blank.
Sources: geometry, Ohm's law, and the work rules each working names.
"""

from __future__ import annotations

from packgen.calc import fuse, squeeze
from packgen.calc.clock_values import clock_values, ladder_values
from packgen.calc.cool_values import cool_values
from packgen.calc.kit_values import kit_values
from packgen.calc.lateral_values import lateral_values
from packgen.calc.leak_values import leak_values
from packgen.calc.ledger import Input, Ledger
from packgen.calc.outlet_values import outlet_values
from packgen.calc.peel_values import gap_values, peel_values
from packgen.calc.place_values import place_values, room_values
from packgen.calc.power_values import power_values
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_choice, rule_count, rule_input
from packgen.calc.tap_values import tap_values
from packgen.calc.torque_values import torque_values
from packgen.calc.weather_values import dew_values
from packgen.errors import OutOfRange, Problem

_MAIN = "pipe.main."


def worked_or_left_out(ledger: Ledger, request: Request) -> list[Problem]:
    """Put in every worked value; what geometry or electricity cannot answer comes back as a problem."""
    questions = (
        fuse_values, cool_values, power_values, peel_values, gap_values, tap_values, squeeze_values,
        place_values, room_values, torque_values,
        leak_values, lateral_values, outlet_values, kit_values, dew_values, ladder_values, clock_values,
    )  # fmt: skip
    impossible: list[Problem] = []
    for question in questions:
        try:
            question(ledger, request)
        except OutOfRange as error:
            impossible += [problem for problem in error.problems if problem not in impossible]
    return impossible


def fuse_values(ledger: Ledger, request: Request) -> None:
    """Current, power and energy with the coil cold."""
    electric = ledger.all("fuse.voltage", "fitting.coil_resistance")
    if electric is None:
        return
    inputs: list[Input] = ["fuse.voltage", "fitting.coil_resistance"]
    words = "voltage over coil resistance, coil cold"
    ledger.worked("fuse.current", fuse.current(*electric), words, inputs, "Ohm's law")
    words = "voltage squared over coil resistance, coil cold"
    ledger.worked("fuse.power", fuse.power(*electric), words, inputs, "Ohm's law")
    time = ledger.get("fuse.time")
    if time is None:
        return
    voltage, resistance = electric
    words = "voltage squared times fusion time over coil resistance, coil cold"
    inputs.append("fuse.time")
    ledger.worked("fuse.energy", fuse.energy(voltage, time, resistance), words, inputs, "Ohm's law")
    _energy_band(ledger, request, voltage, time, resistance)


def _energy_band(ledger: Ledger, request: Request, voltage: float, time: float, resistance: float) -> None:
    """Least and greatest energy within the tolerances, where the coil's is stated."""
    tolerance, rule = ledger.get("fitting.coil_tolerance"), "control-unit-output-tolerance"
    if tolerance is None:
        return
    output = request.catalog.rule_quantity(rule, "percent")
    low, high = fuse.energy_band(voltage, time, resistance, tolerance, output)
    names = ["fuse.voltage", "fitting.coil_resistance", "fuse.time", "fitting.coil_tolerance"]
    inputs, sources = [*names, rule_input(request, rule)], ("Ohm's law", request.catalog.cite_rule(rule))
    words = "as the energy, at greatest resistance and least voltage"
    ledger.worked("fuse.energy_min", low, words, inputs, *sources)
    words = "as the energy, at least resistance and greatest voltage"
    ledger.worked("fuse.energy_max", high, words, inputs, *sources)


def squeeze_values(ledger: Ledger, request: Request) -> None:
    """Distance, stop and times of a squeeze-off; the distance alone where a job only measured one."""
    if request.is_coupling:
        return
    job = request.job
    squeezes = job is None or (job.isolation is not None and job.isolation.by == "squeeze-off")
    if squeezes or (job and job.distances and job.distances.squeeze):
        _squeeze_distance(ledger, request)
    if squeezes:
        _squeeze_times(ledger, request)


def _squeeze_distance(ledger: Ledger, request: Request) -> None:
    """The least distance from a squeeze to a joint."""
    cite, least = request.catalog.cite_rule, request.catalog.rule_quantity("squeeze-distance", "mm")
    times = rule_count(request, "squeeze-distance-diameters")
    rules = [rule_input(request, "squeeze-distance-diameters"), rule_input(request, "squeeze-distance")]
    words = "the greater of a number of diameters and the least distance"
    inputs = [_MAIN + "outside_diameter", *rules]
    sources = (cite("squeeze-distance-diameters"), cite("squeeze-distance"))
    distance = squeeze.distance_min(request.main.outside_diameter, times, least)
    ledger.worked("squeeze.distance_min", distance, words, inputs, *sources)


def _squeeze_times(ledger: Ledger, request: Request) -> None:
    """The stop, and the least times to close and to release."""
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    diameter, stop = request.main.outside_diameter, _gap_stop(ledger, request)
    for name, rule_id in (
        ("close_time_min", "squeeze-close-rate"),
        ("release_time_min", "squeeze-release-rate"),
    ):
        time = squeeze.closing_time(diameter, stop, rule(rule_id, "mm/min"))
        words = "outside diameter less the stop, over the rate"
        inputs = [_MAIN + "outside_diameter", "squeeze.gap_stop", rule_input(request, rule_id)]
        ledger.worked(f"squeeze.{name}", time, words, inputs, cite(rule_id))


def _gap_stop(ledger: Ledger, request: Request) -> float:
    """The gap of the stops, from the wall the work rule names."""
    chosen = rule_choice(request, "squeeze-wall", "minimum wall", "thickest permitted wall")
    name = _MAIN + ("wall_min" if chosen == "minimum wall" else "wall_max")
    wall = ledger.get(name)
    assert wall is not None  # the pipe table gives it
    stop = squeeze.gap_stop(wall, request.catalog.rule_quantity("squeeze-compression", "percent"))
    words = "two walls, less the compression; a stop stated on the tool's plate goes before it"
    inputs = [name, rule_input(request, "squeeze-wall"), rule_input(request, "squeeze-compression")]
    sources = (request.catalog.cite_rule("squeeze-compression"), request.catalog.cite_rule("squeeze-wall"))
    ledger.worked("squeeze.gap_stop", stop, words, inputs, *sources)
    return stop
