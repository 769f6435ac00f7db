"""The fit verdict: may this joint be made, and if not, every reason with its cure.

In: a `Request` and its worked values. Out: `Reason` records, all at once; none means permitted. Vocabulary: a limit is stated by
label, work rule or job; packgen compares and never loosens. Sources: the label, the work rules and the job file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from packgen.calc.ledger import Value
from packgen.calc.request import Reason, Request
from packgen.calc.worked_values import chosen_saw
from packgen.calc.ledger import Ledger
from packgen.rounding import plain


def reasons(ledger: Ledger, request: Request) -> tuple[Reason, ...]:
    """Every reason to refuse, in the order the work meets them."""
    values = ledger.values
    found = [
        *_pair(request), *_pipes(request, values), *_pressure(request, values), *_tap(ledger, request), *_state(request),
        *_equipment(request, values), *_people(request), *_spacing(request, values), *_required(values),
    ]  # fmt: skip
    return tuple(found)


def _pair(request: Request) -> Iterator[Reason]:
    """The family lists the pair, and takes the contents."""
    family, main, lateral = request.family, request.main.designation, request.lateral.designation
    if request.pair is None:
        mains = [pair.main for pair in family.pairs if pair.lateral == lateral.size]
        laterals = [pair.lateral for pair in family.pairs if pair.main == main.size]
        offer = []
        if mains:
            offer.append(f"mains for a {lateral.size} lateral: {', '.join(mains)}")
        if laterals:
            offer.append(f"laterals for a {main.size} main: {', '.join(laterals)}")
        cure = "take a pair the family lists" + (f" ({'; '.join(offer)})" if offer else "") + ", another family, or a tee"
        yield Reason(f"{family.id} lists no {lateral.short} lateral on a {main.short} main", cure)
    if request.contents not in family.contents:
        yield Reason(f"{family.id} does not take {request.contents}", f"take a family for {request.contents}")
    if request.method not in family.methods:
        cure = f"choose {' or '.join(family.methods)}, or another family"
        yield Reason(f"{family.id} is not made for the method {request.method!r}", cure)


def _pipes(request: Request, values: Mapping[str, Value]) -> Iterator[Reason]:
    """DR, wall and material of main and lateral are within what the family accepts."""
    family, main, lateral = request.family, request.main.designation, request.lateral.designation
    if not family.main.dr_min <= main.dr <= family.main.dr_max:
        cure = f"the family takes mains of DR {family.main.dr_min:g} to {family.main.dr_max:g}: take another family"
        yield Reason(f"the main's DR {main.dr:g} is outside the family's range", cure)
    if lateral.dr not in family.lateral.dr:
        takes = ", ".join(f"{dr:g}" for dr in family.lateral.dr)
        yield Reason(f"the lateral's DR {lateral.dr:g} is not one the family takes", f"take a lateral of DR {takes}")
    for side, pipe, accepted in (("main", main, family.main.materials), ("lateral", lateral, family.lateral.materials)):
        if pipe.material and pipe.material not in accepted:
            yield Reason(f"the {side}'s material {pipe.material} is not accepted by {family.id}", f"it takes {', '.join(accepted)}")
    wall, least = values.get("pipe.main.wall_min"), values.get("fuse.main_wall_min")
    if wall and least and wall.number is not None and least.number is not None and wall.number < least.number - 1e-9:
        what = f"the main's wall {wall.text()} is thinner than the fitting may be fused to ({least.text()})"
        yield Reason(what, "take another fitting, or replace the main at this place")
    passes = values.get("peel.passes_max")
    if passes and passes.number is not None and passes.number < 1:
        yield Reason("not one peel pass leaves enough wall or diameter", "take another place, or another fitting")


def _pressure(request: Request, values: Mapping[str, Value]) -> Iterator[Reason]:
    """The job's pressure is within the joint's."""
    if request.job is None:
        return
    limit, asked = values.get("joint.pressure_max"), request.job.maximum_operating_pressure
    if limit is None or limit.number is None:
        what = f"no pressure rating for {request.contents} is known for these pipes and materials"
        yield Reason(what, "name materials that the materials file rates for these contents")
    elif asked.to("kPa") > limit.number + 1e-9:
        what = f"the maximum operating pressure {plain(asked)} is above the joint's {limit.text()}"
        yield Reason(what, "take pipe and fitting of a higher rating, or lower the pressure")
    ambient, name = request.ambient, "pipe.main.pressure_rating"
    if ambient and request.contents == "water" and name in values and f"{name}_at" not in values:
        cure = "have an engineer rate the pipe at this temperature"
        yield Reason(f"no temperature factor is stated for {plain(ambient)}", cure)


def _tap(ledger: Ledger, request: Request) -> Iterator[Reason]:
    """A listed saw fits, and its travel ends before the far wall."""
    if request.label is None or ledger.get("fitting.outlet_bore") is None:
        return
    saw = chosen_saw(ledger, request)
    if saw is None:
        cure = "add a saw that fits to the list of hole saws, or take another fitting"
        yield Reason("no listed hole saw fits the least bore with its clearance and the main's share", cure)
        return
    travel, limit = ledger.values.get("tap.travel_set"), ledger.values.get("tap.travel_limit")
    if travel is None or limit is None or travel.number is None or limit.number is None:
        return
    if travel.number > limit.number + 1e-9:
        what = f"the travel to set {travel.text()} is beyond the travel limit {limit.text()}"
        yield Reason(what, "take a saw with a shorter pilot, a smaller saw, or another fitting")
    if saw.cup_depth.to("mm") < travel.number - 1e-9:
        what = f"the saw's cup {plain(saw.cup_depth)} is shallower than the travel to set {travel.text()}"
        yield Reason(what, "list a deeper saw of this size")


def _state(request: Request) -> Iterator[Reason]:
    """The main's state allows the method."""
    job = request.job
    if job is None or request.method != "open drill":
        return
    if job.state == "live":
        cure = "isolate the main and prove that it holds no pressure, or cut through a valve or with a built-in cutter"
        yield Reason("open drill on a live main", cure)
    if job.isolation and not job.isolation.proved_no_pressure:
        cure = "prove no pressure at the outlet's place, then write proved_no_pressure: true"
        yield Reason("open drill on an isolated main that is not proved at no pressure", cure)
    if job.isolation and job.isolation.sides == "one":
        cure = "isolate both sides, or have an engineer show that the other side is a dead end"
        yield Reason("open drill with only one side isolated", cure)


def _equipment(request: Request, values: Mapping[str, Value]) -> Iterator[Reason]:
    """Control unit and weather serve the fitting."""
    ambient, low, high = request.ambient, values["weather.ambient_min"], values["weather.ambient_max"]
    if ambient and low.number is not None and high.number is not None:
        if not low.number - 1e-9 <= ambient.to("degC") <= high.number + 1e-9:
            what = f"the air at {plain(ambient)} is outside {low.text()} to {high.text()}"
            yield Reason(what, "wait for weather within the window, or shelter and shade the work until it is")
    unit = request.job.equipment.control_unit if request.job else None
    if unit is None or request.job is None:
        return
    voltage, terminal = values.get("fuse.voltage"), values.get("fuse.terminal")
    if voltage and voltage.number is not None and unit.voltage_max.to("V") < voltage.number:
        yield Reason(f"the control unit gives at most {unit.voltage_max}, the fitting needs {voltage.text()}", "take another control unit")
    pins = [pin.to("mm") for pin in unit.terminals]
    if terminal and terminal.number is not None and all(abs(pin - terminal.number) > 1e-6 for pin in pins):
        fits = ", ".join(str(pin) for pin in unit.terminals)
        yield Reason(f"the control unit's terminals ({fits}) do not fit {terminal.text()}", "bring the adapter for this terminal")
    if unit.calibrated_until < request.job.date:
        what = f"the control unit's calibration ended on {unit.calibrated_until}, the job is dated {request.job.date}"
        yield Reason(what, "have it calibrated, or take another control unit")


def _people(request: Request) -> Iterator[Reason]:
    """The fuser is qualified on the day."""
    job = request.job
    if job and job.fuser.qualified_until < job.date:
        what = f"the fuser's qualification ended on {job.fuser.qualified_until}, the job is dated {job.date}"
        yield Reason(what, "send a qualified fuser, or requalify first")


_DISTANCES = {
    "saddle": ("spacing.saddle_to_saddle", "another saddle"),
    "fitting": ("spacing.saddle_to_fitting", "another fitting"),
    "pipe_end": ("spacing.saddle_to_pipe_end", "the pipe end"),
    "squeeze": ("squeeze.distance_min", "the squeeze"),
}


def _spacing(request: Request, values: Mapping[str, Value]) -> Iterator[Reason]:
    """Each measured distance reaches the least one."""
    measured = request.job.distances if request.job else None
    for key, (name, words) in _DISTANCES.items():
        distance, least = getattr(measured, key, None), values.get(name)
        if distance is None or least is None or least.number is None:
            continue
        if distance.to("mm") < least.number - 1e-9:
            what = f"the distance to {words} is {plain(distance)}, the least is {least.text()}"
            yield Reason(what, "move the place of the joint")


def _required(values: Mapping[str, Value]) -> Iterator[Reason]:
    """No required value is blank."""
    for value in values.values():
        if value.kind == "blank" and value.required:
            yield Reason(f"{value.name} is required and nobody stated it", f"{value.sources[0]}: get it from the fitting's maker")
