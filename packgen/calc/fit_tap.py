"""The fit check's rows about cutting in: saw, cutter, valve, drilling machine, plug, and the main's state.

In: a `Request` and the `Ledger` of its values. Out: `Check` rows. Vocabulary: as in `fit`; what the label or
the tools file does not state is for the crew to prove.
Sources: the label, the tools files, the work rules, the job file.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc import tap
from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Ledger, Value
from packgen.calc.request import Check, Request, judged
from packgen.calc.tap_values import chosen_saw
from packgen.model.catalog import rule_value
from packgen.model.job import Job
from packgen.model.tool_records import DrillingMachine, TappingValve, TestPlug
from packgen.register import REGISTER
from packgen.rounding import text
from packgen.units import Quantity

SAWN = ("open drill", "through a valve")


def tap_checks(ledger: Ledger, request: Request) -> Iterator[Check]:
    """Every row about cutting in, in the order of the work; none where nothing is cut."""
    yield from _saw(ledger, request)
    yield from _cutter(ledger, request)
    if request.job is not None and request.method is not None:
        yield from _state(request)
        yield from _live(ledger, request, request.job)
        yield from _valve_and_machine(ledger, request, request.job)
        yield from _plug(ledger, request, request.job)


def _saw(ledger: Ledger, request: Request) -> Iterator[Check]:
    """A listed saw fits, its travel ends before the far wall, and its cup takes the travel."""
    if request.method not in SAWN or request.label is None:
        return
    bore, chosen = ledger.values.get("fitting.outlet_bore"), ledger.values.get("tap.hole_saw")
    if bore is None or (chosen is not None and chosen.kind == "blank"):
        yield Check("saw", "", "", None)
        return
    bore = ledger.values.get("tap.least_bore", bore)
    # Worked out once already: where that failed, asking again would fail again.
    saw = chosen_saw(ledger, request) if "tap.hole_saw" in ledger.values else None
    what = "no listed hole saw fits the least bore with its clearance and the main's share"
    cure = "add a saw that fits to the list of hole saws, or take another fitting"
    found = request.text(ledger.values["tap.hole_saw"]) if saw else "none"
    yield judged("saw", found, f"in {request.text(bore)}", saw is not None, what, cure)
    travel, limit = ledger.values.get("tap.travel_set"), ledger.values.get("tap.travel_limit")
    if saw is None or travel is None or limit is None or travel.number is None or limit.number is None:
        return
    set_to, most, cup = request.text(travel), request.text(limit), request.plain(saw.cup_depth, "down")
    what = f"the travel to set {set_to} is beyond the travel limit {most}"
    cure = "take a saw with a shorter pilot, a smaller saw, or another fitting"
    passed = travel.number <= limit.number + FLOAT_NOISE
    yield judged("travel", set_to, f"≤ {most}", passed, what, cure)
    what = f"the saw's cup {cup} is shallower than the travel to set {set_to}"
    passed = saw.cup_depth.to("mm") >= travel.number - FLOAT_NOISE
    yield judged("cup", cup, f"≥ {set_to}", passed, what, "list a deeper saw of this size")


def _cutter(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The built-in cutter goes through the thickest wall, ends before the far one, and leaves main enough."""
    if request.method != "built-in cutter" or request.label is None:
        return
    whole, gone = ledger.values.get("tap.cutter_travel"), ledger.values.get("tap.cutter_travel_from_contact")
    limit, diameter = ledger.values.get("tap.travel_limit"), request.label.cutter.diameter
    if whole is None or whole.number is None or diameter is None or limit is None or limit.number is None:
        yield Check("cutter_reach", "", "", None)
        return
    yield _reach(ledger, request, whole, gone, diameter.to("mm"))
    # Without the way to the main the whole travel is taken for cut: that is the strict side here.
    near = gone or whole
    assert near.number is not None  # looked at above
    found, most = request.text(near), request.text(limit)
    what = f"the cutter's travel {found} comes too near the far wall: at most {most} from contact"
    cure = "correct the label's turns and travel, or take another fitting"
    yield judged("cutter_limit", found, f"≤ {most}", near.number <= limit.number + FLOAT_NOISE, what, cure)
    yield _share(ledger, request, diameter)


def _reach(ledger: Ledger, request: Request, whole: Value, gone: Value | None, size: float) -> Check:
    """The travel cuts the thickest wall of the smallest main; open where the way there is not stated."""
    pipe = ledger.all("pipe.main.outside_diameter_min", "pipe.main.wall_max")
    assert pipe is not None and whole.number is not None  # the pipe table gives them; the caller looked
    smallest, wall = pipe
    through = tap.travel_to_breakthrough(smallest, wall, size)
    entry = REGISTER["tap.travel_to_breakthrough"]
    least = text(through, entry, stated=None, units=request.units, first=request.first)
    travel = gone or whole
    assert travel.number is not None
    found, enough = request.text(travel), travel.number >= through - FLOAT_NOISE
    if gone is None and enough:
        return Check("cutter_reach", found, f"≥ {least}", None)
    what = f"the cutter's travel from contact, {found}, does not cut the thickest wall, which takes {least}"
    cure = "correct the label's turns, travel and approach, or take another fitting"
    return judged("cutter_reach", found, f"≥ {least}", enough, what, cure)


def _share(ledger: Ledger, request: Request, diameter: Quantity) -> Check:
    """The cutter keeps to the work rule's share of the main's bore."""
    rule = rule_value(request.catalog.rule("hole-share"))
    inside = ledger.get("pipe.main.inside_diameter_mean")
    assert inside is not None  # the pipe table gives it
    size = request.plain(diameter)
    what = f"the cutter of {size} takes more of the main's bore than the work rule hole-share lets it"
    fits = diameter.to("mm") <= rule.to("percent") / 100.0 * inside + FLOAT_NOISE
    cure = "take a smaller fitting, or another main"
    return judged("cutter_share", size, request.plain(rule), fits, what, cure)


def _state(request: Request) -> Iterator[Check]:
    """The main's state allows the method."""
    job = request.job
    if job is None:
        return
    if request.method != "open drill":
        if job.isolation and job.isolation.proved_no_pressure:
            yield Check("proved", "", "", None)
        return
    what = "open drill on a live main"
    cure = "isolate the main and prove that it holds no pressure"
    yield judged("state", job.state, "dry, isolated", job.state != "live", what, cure)
    if job.isolation:
        proved, sides = job.isolation.proved_no_pressure, job.isolation.sides
        what = "open drill on an isolated main that is not proved at no pressure"
        cure = "prove no pressure at the place of the cut, then write proved_no_pressure: true"
        if proved:
            yield Check("proved", "", "", None)
        else:
            yield judged("proved", "no", "yes", False, what, cure)
        what, cure = "open drill with only one side isolated", "isolate both sides"
        yield judged("sides", sides, "both", sides == "both", what, cure)


def _live(ledger: Ledger, request: Request, job: Job) -> Iterator[Check]:
    """A main that may hold pressure may be fused to at this pressure."""
    most = ledger.values.get("fuse.main_pressure_max")
    if not request.may_hold_pressure or most is None:
        return
    asked = request.plain(job.maximum_operating_pressure, "down")
    if most.number is None:
        yield Check("live_pressure", asked, "", None)
        return
    limit = request.text(most)
    what = f"the main carries up to {asked} while the label lets it be fused at {limit} at most"
    cure = "lower the pressure for the work, isolate the main, or take another fitting"
    passed = job.maximum_operating_pressure.to("kPa") <= most.number + FLOAT_NOISE
    yield judged("live_pressure", asked, f"≤ {limit}", passed, what, cure)


def _valve_and_machine(ledger: Ledger, request: Request, job: Job) -> Iterator[Check]:
    """A tap through a valve names valve and machine; both take contents and pressure, and reach."""
    if request.method != "through a valve" or request.method not in request.family.methods:
        return
    valve, machine = request.valve, request.machine
    what, cure = "the tap goes through a valve, and the job names none", "write 'valve: ID' in the joint"
    yield judged("valve", valve.title if valve else "", "one", valve is not None, what, cure)
    what = "the tap needs a drilling machine, and the job names none"
    cure = "write 'drilling_machine: ID' in the joint"
    yield judged("machine", machine.title if machine else "", "one", machine is not None, what, cure)
    if valve:
        yield from _valve(request, valve)
    for key, tool in (("valve", valve), ("machine", machine)):
        if tool:
            yield from _takes(request, job, key, tool)
    if machine:
        yield _stroke(ledger, request, machine)


def _valve(request: Request, valve: TappingValve) -> Iterator[Check]:
    """The valve is made for an outlet of this size."""
    lateral, wanted = request.lateral.designation, request.valve_end
    what = f"the valve {valve.id} is for {valve.lateral}, the outlet is for {lateral.short}"
    passed = wanted == (lateral.size, lateral.system)
    yield judged("valve_size", valve.lateral, lateral.short, passed, what, "name another valve")


def _takes(request: Request, job: Job, key: str, tool: TappingValve | DrillingMachine) -> Iterator[Check]:
    """A tool takes the contents and the pressure."""
    what, cure = f"{tool.id} does not take {job.contents}", "name another"
    passed = job.contents in tool.contents
    yield judged(f"{key}_contents", job.contents, ", ".join(tool.contents), passed, what, cure)
    yield _bears(request, job, key, tool)


def test_checks(ledger: Ledger, request: Request) -> Iterator[Check]:
    """Some pressure is enough for the rule and not too much for joint and tools; the job's own is."""
    yield from _stated_test(ledger, request)
    least, most = ledger.values.get("test.pressure_min"), ledger.values.get("test.pressure_max")
    if least is None or most is None or least.number is None or most.number is None:
        return
    found, limit = request.text(least), request.text(most)
    what = f"the test must reach {found}, while joint and tools bear {limit}"
    passed = least.number <= most.number + FLOAT_NOISE
    cure = "name valve, machine and plug of a higher rating, or take pipe and fitting of one"
    yield judged("test", found, f"≤ {limit}", passed, what, cure)


def _stated_test(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The pressure that the job states lies between what the rule asks for and what joint and tools bear."""
    stated = ledger.values.get("test.pressure")
    for name, sign, far in (
        ("test.pressure_min", "≥", "below what the rule asks for"),
        ("test.pressure_max", "≤", "above what joint and tools bear"),
    ):
        limit = ledger.values.get(name)
        if stated is None or stated.number is None or limit is None or limit.number is None:
            continue
        found, bound = request.text(stated), request.text(limit)
        over = stated.number - limit.number
        passed = (over if sign == "≤" else -over) <= FLOAT_NOISE
        what = f"the test pressure {found} is {far}, {bound}"
        cure = "write a pressure within the limits under 'leak_test', or take 'leak_test' out"
        yield judged("test_pressure", found, f"{sign} {bound}", passed, what, cure)


def _bears(request: Request, job: Job, key: str, tool: TappingValve | DrillingMachine | TestPlug) -> Check:
    """A tool is rated for the main's greatest pressure."""
    asked = request.plain(job.maximum_operating_pressure, "down")
    most = request.plain(tool.pressure_max, "down")
    what = f"the maximum operating pressure {asked} is above what {tool.id} is rated for, {most}"
    passed = job.maximum_operating_pressure.to("kPa") <= tool.pressure_max.to("kPa") + FLOAT_NOISE
    return judged(f"{key}_pressure", asked, f"≤ {most}", passed, what, "name one of a higher rating")


def _stroke(ledger: Ledger, request: Request, machine: DrillingMachine) -> Check:
    """The machine's stroke goes through the stack and the wall."""
    least, stroke = ledger.values.get("tap.stroke_min"), request.plain(machine.stroke, "down")
    if least is None or least.number is None:
        return Check("stroke", stroke, "", None)
    needed = request.text(least)
    what = f"the stroke of {machine.id}, {stroke}, is shorter than this stack needs, {needed}"
    passed = machine.stroke.to("mm") >= least.number - FLOAT_NOISE
    cure = "name a machine of a longer stroke, or a shorter valve"
    return judged("stroke", stroke, f"≥ {needed}", passed, what, cure)


def _plug(ledger: Ledger, request: Request, job: Job) -> Iterator[Check]:
    """The test plug closes this outlet and bears the main's pressure."""
    plug, bore = request.plug, ledger.get("fitting.outlet_bore")
    if plug is None:
        return
    low, high = request.plain(plug.bore_min, "up"), request.plain(plug.bore_max, "down")
    if bore is None:
        yield Check("plug_bore", "", f"{low} to {high}", None)
    else:
        found = request.text(ledger.values["fitting.outlet_bore"])
        what = f"the test plug {plug.id} closes bores of {low} to {high}, the outlet's is {found}"
        passed = plug.bore_min.to("mm") - FLOAT_NOISE <= bore <= plug.bore_max.to("mm") + FLOAT_NOISE
        yield judged("plug_bore", found, f"{low} to {high}", passed, what, "name another test plug")
    yield _bears(request, job, "plug", plug)
