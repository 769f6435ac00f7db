"""The fit check: may this joint be made, and if not, every reason with its cure.

In: a `Request` and the `Ledger` of its values. Out: `Check` rows, one for each question that applies, in the
order the work meets them; a row that failed carries its `Reason`. Vocabulary: a limit is stated by label,
work rule or job; packgen compares and never loosens. `passed` is None where packgen does not judge and the
crew must.
Sources: the label, the work rules, the job file.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Ledger
from packgen.calc.request import Check, Reason, Request
from packgen.calc.worked_values import chosen_saw
from packgen.model.job import ControlUnit, Job

# A value that stands exactly at its limit must not fail by the noise of inches held in mm.
GAS_RATED_AT = 23.0  # °C (73 °F): the temperature of the hydrostatic design basis, 49 CFR 192.121(a)
STRENGTH_RATED_AT = 20.0  # °C: the temperature of the minimum required strength, ISO 4437-1, scope


def _row(key: str, found: str, limit: str, passed: bool, what: str, cure: str) -> Check:
    """A judged row; the reason is kept only where it failed."""
    return Check(key, found, limit, passed, None if passed else Reason(what, cure))


def checks(ledger: Ledger, request: Request) -> tuple[Check, ...]:
    """Every row of the fit check.

    Parameters: `ledger`, filled with the combination's values; `request`. Returns the rows in the order of
    the work.
    """
    return (
        *_pair(request),
        *_contents_and_method(request),
        *_written(request),
        *_dimension_ratios(request),
        *_materials(request),
        *_wall(ledger, request),
        *_pressure(ledger, request),
        *_warm_gas(request),
        *_tap(ledger, request),
        *_state(request),
        *_weather(ledger, request),
        *_equipment(ledger, request),
        *_people(request),
        *_spacing(ledger, request),
        *_required(ledger),
    )


def _pair(request: Request) -> Iterator[Check]:
    """The family lists the pair."""
    family, main, lateral = request.family, request.main.designation, request.lateral.designation
    ends = [(pair, *family.ends(pair)) for pair in family.pairs]
    takers = [(pair.main, end[1]) for pair, end, other in ends if other == (lateral.size, lateral.system)]
    mains = [name for name, system in takers if system == main.system] or [name for name, _ in takers]
    laterals = [pair.lateral for pair, end, _ in ends if end == (main.size, main.system)]
    offers = [f"mains for {lateral.size} laterals: {', '.join(mains)}"] if mains else []
    offers += [f"laterals for {main.size} mains: {', '.join(laterals)}"] if laterals else []
    offer = f" ({'; '.join(offers)})" if offers else ""
    what = f"{family.id} lists no {lateral.short} lateral on {main.short} mains"
    cure = f"take a pair the family lists{offer}, another family, or a tee"
    yield _row("pair", f"{lateral.short} on {main.short}", family.id, request.pair is not None, what, cure)


def _contents_and_method(request: Request) -> Iterator[Check]:
    """The family takes the contents, and the method."""
    family, contents, method = request.family, request.contents, request.method
    what, cure = f"{family.id} does not take {contents}", f"take a family for {contents}"
    yield _row("contents", contents, ", ".join(family.contents), contents in family.contents, what, cure)
    what = f"{family.id} is not made for the method {method!r}"
    cure = f"choose {' or '.join(family.methods)}, or another family"
    yield _row("method", method, ", ".join(family.methods), method in family.methods, what, cure)


def _written(request: Request) -> Iterator[Check]:
    """A procedure says how this main is isolated and cut; not asked where only values are worked out."""
    conditions = [procedure.head.when for procedure in request.catalog.procedures]
    if not conditions:
        return
    methods = sorted({method for when in conditions for method in when.method or ()})
    what, passed = f"no procedure is written for the method {request.method!r}", request.method in methods
    cure = f"choose {' or '.join(methods)}"
    yield _row("written_method", request.method, ", ".join(methods), passed, what, cure)
    if request.job and request.job.isolation:
        by = request.job.isolation.by
        ways = sorted({way for when in conditions for way in when.isolation or ()})
        what, cure = f"no procedure is written for isolation by {by}", f"isolate by {' or '.join(ways)}"
        yield _row("written_isolation", by, ", ".join(ways), by in ways, what, cure)


def _dimension_ratios(request: Request) -> Iterator[Check]:
    """The DRs of main and lateral are ones the family accepts."""
    family, main, lateral = request.family, request.main.designation, request.lateral.designation
    low, high = family.main.dr_min, family.main.dr_max
    what = f"the main's {main.ratio} is outside the family's range"
    takes = f"{main.ratio.split()[0]} {low:g} to {high:g}"
    cure = f"the family takes mains of {takes}: take another family"
    yield _row("main_dr", main.ratio, takes, low <= main.dr <= high, what, cure)
    takes = f"{lateral.ratio.split()[0]} " + ", ".join(f"{dr:g}" for dr in family.lateral.dr)
    what = f"the lateral's {lateral.ratio} is not one the family takes"
    passed, cure = lateral.dr in family.lateral.dr, f"take a lateral of {takes}"
    yield _row("lateral_dr", lateral.ratio, takes, passed, what, cure)


def _materials(request: Request) -> Iterator[Check]:
    """The materials of main and lateral are ones the family accepts."""
    family = request.family
    sides = (
        ("main", request.main.designation.material, family.main.materials),
        ("lateral", request.lateral.designation.material, family.lateral.materials),
    )
    for side, material, accepted in sides:
        if material:
            what = f"the {side}'s material {material} is not accepted by {family.id}"
            limit = ", ".join(accepted)
            yield _row(f"{side}_material", material, limit, material in accepted, what, f"it takes {limit}")


def _wall(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The main's wall may be fused to, and peeled."""
    wall, least = ledger.values["pipe.main.wall_min"], ledger.values.get("fuse.main_wall_min")
    if least and least.number is not None and wall.number is not None:
        found, limit = request.text(wall), request.text(least)
        what = f"the main's wall {found} is thinner than the fitting may be fused to ({limit})"
        cure = "take another fitting, or replace the main at this place"
        passed = wall.number >= least.number - FLOAT_NOISE
        yield _row("wall", found, f"≥ {limit}", passed, what, cure)
    passes = ledger.values.get("peel.passes_max")
    if passes and passes.number is not None:
        what = "not one peel pass leaves enough wall or diameter"
        cure = "take another place, or another fitting"
        yield _row("passes", request.text(passes), "≥ 1", passes.number >= 1, what, cure)


def _pressure(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The job's pressure is within the joint's."""
    if request.job is None:
        return
    limit, asked = ledger.values.get("joint.pressure_max"), request.job.maximum_operating_pressure
    found = request.plain(asked, "up")
    rated = "pipe.main.pressure_rating" in ledger.values
    if limit and limit.number is not None:
        what = f"the maximum operating pressure {found} is above the joint's {request.text(limit)}"
        cure = "take pipe and fitting of a higher rating, or lower the pressure"
        passed = asked.to("kPa") <= limit.number + FLOAT_NOISE
        yield _row("pressure", found, f"≤ {request.text(limit)}", passed, what, cure)
    elif rated and request.derates and "pipe.main.temperature_factor" not in ledger.values:
        air = request.plain(request.ambient) if request.ambient else ""
        what = f"no temperature factor is stated for {air}"
        cure = "have an engineer rate the pipe at this temperature"
        yield _row("temperature_factor", air, "", False, what, cure)
    else:
        what = f"no pressure rating for {request.contents} is known for these pipes and materials"
        cure = "name materials that the materials file rates for these contents"
        yield _row("pressure", found, "", False, what, cure)


def _warm_gas(request: Request) -> Iterator[Check]:
    """A gas rating holds at the temperature of its basis; no factor for warmer pipe is stated."""
    air = request.ambient
    if request.job is None or request.contents != "gas" or air is None:
        return
    materials = (pipe.material for pipe in (request.main, request.lateral))
    by_strength = any(material and material.gas_coefficient for material in materials)
    if air.to("degC") > (STRENGTH_RATED_AT if by_strength else GAS_RATED_AT) + FLOAT_NOISE:
        what = f"no gas rating is stated for {request.plain(air)}"
        cure = "have an engineer rate the pipe at this temperature"
        yield _row("temperature_factor", request.plain(air), "", False, what, cure)


def _tap(ledger: Ledger, request: Request) -> Iterator[Check]:
    """A listed saw fits, its travel ends before the far wall, and its cup takes the travel."""
    bore = ledger.values.get("fitting.outlet_bore")
    if bore is None:
        return
    # Worked out once already: where that failed, asking again would fail again.
    saw = chosen_saw(ledger, request) if "tap.hole_saw" in ledger.values else None
    what = "no listed hole saw fits the least bore with its clearance and the main's share"
    cure = "add a saw that fits to the list of hole saws, or take another fitting"
    found = request.text(ledger.values["tap.hole_saw"]) if saw else "none"
    yield _row("saw", found, f"in {request.text(bore)}", saw is not None, what, cure)
    travel, limit = ledger.values.get("tap.travel_set"), ledger.values.get("tap.travel_limit")
    if saw is None or travel is None or limit is None or travel.number is None or limit.number is None:
        return
    set_to, most, cup = request.text(travel), request.text(limit), request.plain(saw.cup_depth, "down")
    what = f"the travel to set {set_to} is beyond the travel limit {most}"
    cure = "take a saw with a shorter pilot, a smaller saw, or another fitting"
    passed = travel.number <= limit.number + FLOAT_NOISE
    yield _row("travel", set_to, f"≤ {most}", passed, what, cure)
    what = f"the saw's cup {cup} is shallower than the travel to set {set_to}"
    passed = saw.cup_depth.to("mm") >= travel.number - FLOAT_NOISE
    yield _row("cup", cup, f"≥ {set_to}", passed, what, "list a deeper saw of this size")


def _state(request: Request) -> Iterator[Check]:
    """The main's state allows the method."""
    job = request.job
    if job is None or request.method != "open drill":
        return
    what = "open drill on a live main"
    cure = "isolate the main and prove that it holds no pressure"
    yield _row("state", job.state, "dry, isolated", job.state != "live", what, cure)
    if job.isolation:
        proved, sides = job.isolation.proved_no_pressure, job.isolation.sides
        what = "open drill on an isolated main that is not proved at no pressure"
        cure = "prove no pressure at the place of the cut, then write proved_no_pressure: true"
        if proved:
            yield Check("proved", "", "", None)
        else:
            yield _row("proved", "no", "yes", False, what, cure)
        what, cure = "open drill with only one side isolated", "isolate both sides"
        yield _row("sides", sides, "both", sides == "both", what, cure)


def _weather(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The air is within the window of fitting and control unit."""
    low, high = ledger.values["weather.ambient_min"], ledger.values["weather.ambient_max"]
    if low.number is not None and high.number is not None and low.number > high.number:
        what = f"no air suits both fitting and control unit: {request.text(low)} to {request.text(high)}"
        yield _row("weather", "", "", False, what, "correct the label's window, or the work rule's")
        return
    if request.ambient is None or low.number is None or high.number is None:
        return
    found, limit = request.plain(request.ambient), f"{request.text(low)} to {request.text(high)}"
    passed = low.number - FLOAT_NOISE <= request.ambient.to("degC") <= high.number + FLOAT_NOISE
    cure = "wait for weather within the window, or shelter and shade the work until it is"
    yield _row("weather", found, limit, passed, f"the air at {found} is outside {limit}", cure)


def _equipment(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The control unit serves the fitting; generator and cord are for the crew to compare."""
    job = request.job
    if job is None:
        return
    unit, generator, cord = job.equipment.control_unit, job.equipment.generator, job.equipment.supply_cord
    if unit:
        yield from _control_unit(ledger, request, job, unit)
    if generator:
        yield Check("generator", request.plain(generator), "", None)
    if cord:
        yield Check("cord", f"{cord.size}, {request.plain(cord.length)}, {cord.voltage}", "", None)


def _control_unit(ledger: Ledger, request: Request, job: Job, unit: ControlUnit) -> Iterator[Check]:
    """The control unit gives the voltage, fits the terminal and is calibrated on the day."""
    voltage, terminal = ledger.values.get("fuse.voltage"), ledger.values.get("fuse.terminal")
    if voltage and voltage.number is not None:
        what = f"the control unit gives at most {unit.voltage_max}, the fitting needs {request.text(voltage)}"
        passed = unit.voltage_max.to("V") >= voltage.number - FLOAT_NOISE
        cure = "take another control unit"
        yield _row("voltage", str(unit.voltage_max), f"≥ {request.text(voltage)}", passed, what, cure)
    if terminal and terminal.number is not None:
        pins, needed = ", ".join(str(pin) for pin in unit.terminals), terminal.number
        what = f"the control unit's terminals ({pins}) do not fit {request.text(terminal)}"
        passed = any(abs(pin.to("mm") - needed) <= FLOAT_NOISE for pin in unit.terminals)
        cure = "bring the adapter for this terminal"
        yield _row("terminal", pins, request.text(terminal), passed, what, cure)
    until = unit.calibrated_until
    what = f"the control unit's calibration ended on {until}, the job is dated {job.date}"
    cure = "have it calibrated, or take another control unit"
    yield _row("calibration", str(until), f"≥ {job.date}", until >= job.date, what, cure)


def _people(request: Request) -> Iterator[Check]:
    """The fuser is qualified on the day, a second person checks, and the approval comes before the work."""
    job = request.job
    if job:
        until = job.fuser.qualified_until
        what = f"the fuser's qualification ended on {until}, the job is dated {job.date}"
        cure = "send a qualified fuser, or requalify first"
        yield _row("fuser", str(until), f"≥ {job.date}", until >= job.date, what, cure)
        checker, fuser = job.checker.role, job.fuser.role
        what = f"fuser and checker are the same: {checker!r}"
        apart = checker.casefold() != fuser.casefold()
        yield _row("second_person", checker, f"≠ {fuser}", apart, what, "name a second person as checker")
    if job and job.approved:
        day = job.approved.date
        what = f"the approval is dated {day}, after the job's {job.date}"
        cure = "have it approved before the work, or correct the date"
        yield _row("approval", str(day), f"≤ {job.date}", day <= job.date, what, cure)


_DISTANCES = {
    "saddle": ("spacing.saddle_to_saddle", "another saddle"),
    "fitting": ("spacing.saddle_to_fitting", "another fitting"),
    "pipe_end": ("spacing.saddle_to_pipe_end", "the pipe end"),
    "squeeze": ("squeeze.distance_min", "the squeeze"),
}


def _spacing(ledger: Ledger, request: Request) -> Iterator[Check]:
    """Each measured distance reaches the least one; one not measured is for the crew."""
    if request.job is None:
        return
    for key, (name, words) in _DISTANCES.items():
        distance, least = getattr(request.job.distances, key, None), ledger.values.get(name)
        if least is None or least.number is None:
            continue
        if distance is None:
            yield Check(f"distance_{key}", "", f"≥ {request.text(least)}", None)
            continue
        found = request.plain(distance, "down")
        what = f"the distance to {words} is {found}, the least is {request.text(least)}"
        passed, cure = distance.to("mm") >= least.number - FLOAT_NOISE, "move the place of the joint"
        yield _row(f"distance_{key}", found, f"≥ {request.text(least)}", passed, what, cure)
    if len(request.job.joints) > 1:
        least = ledger.values["spacing.saddle_to_saddle"]
        yield Check("between_joints", "", f"≥ {request.text(least)}", None)


def _required(ledger: Ledger) -> Iterator[Check]:
    """No required value is blank."""
    for value in ledger.values.values():
        if value.kind == "blank" and value.required:
            what = f"{value.name} is required and nobody stated it"
            cure = "get it from the fitting's maker, and write it in the family's file"
            yield _row("required", value.name, "", False, what, cure)
