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
from packgen.calc.fit_outage import outage_checks
from packgen.calc.fit_place import place_checks
from packgen.calc.fit_power import power_checks
from packgen.calc.fit_saddle import saddle_checks
from packgen.calc.fit_tap import tap_checks, test_checks
from packgen.calc.fit_weather import weather_checks
from packgen.calc.ledger import Ledger
from packgen.calc.request import Check, Request, judged
from packgen.model.designation import Designation
from packgen.model.family_records import Family

GAS_RATED_AT = 23.0  # °C (73 °F): the temperature of the hydrostatic design basis, 49 CFR 192.121(a)
STRENGTH_RATED_AT = 20.0  # °C: the temperature of the minimum required strength, ISO 4437-1, scope


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
        *tap_checks(ledger, request),
        *test_checks(ledger, request),
        *saddle_checks(ledger, request),
        *outage_checks(request),
        *weather_checks(ledger, request),
        *power_checks(ledger, request),
        *_people(request),
        *place_checks(ledger, request),
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
    yield judged("pair", f"{lateral.short} on {main.short}", family.id, request.pair is not None, what, cure)


def _contents_and_method(request: Request) -> Iterator[Check]:
    """The family takes the contents, and the method."""
    family, contents = request.family, request.contents
    what, cure = f"{family.id} does not take {contents}", f"take a family for {contents}"
    yield judged("contents", contents, ", ".join(family.contents), contents in family.contents, what, cure)
    if request.method is not None:
        methods, passed = " or ".join(family.methods), request.method in family.methods
        what = f"{family.id} is not made for the method {request.method!r}"
        cure = f"choose {methods}, or another family" if methods else "take the method out: nothing is cut"
        yield judged("method", request.method, methods or "none", passed, what, cure)


def _written(request: Request) -> Iterator[Check]:
    """A procedure says how this main is isolated and cut; not asked where only values are worked out."""
    conditions = [when for procedure in request.catalog.procedures for when, _ in procedure.sections]
    if not conditions:
        return
    key = "fitting" if request.is_coupling else "method"
    ways = sorted({way for when in conditions for way in getattr(when, key) or ()})
    what, passed = f"no procedure is written for {request.way!r}", request.way in ways
    yield judged("written_method", request.way, ", ".join(ways), passed, what, f"choose {' or '.join(ways)}")
    if request.job and request.job.isolation:
        by = request.job.isolation.by
        written = sorted({way for when in conditions for way in when.isolation or ()})
        what, cure = f"no procedure is written for isolation by {by}", f"isolate by {' or '.join(written)}"
        yield judged("written_isolation", by, ", ".join(written), by in written, what, cure)


def _dimension_ratios(request: Request) -> Iterator[Check]:
    """The DRs of main and lateral are ones the family accepts."""
    family, main, lateral = request.family, request.main.designation, request.lateral.designation
    if request.is_coupling:
        found = f"{lateral.short} {lateral.ratio} to {main.ratio}"
        what = f"a coupling joins two lengths of one pipe, not {found}"
        cure = "name both pipes in the same ratio and material"
        yield judged("one_pipe", str(lateral), str(main), lateral == main, what, cure)
    else:
        yield _main_ratio(family, main)
    takes = f"{lateral.ratio.split()[0]} " + ", ".join(f"{dr:g}" for dr in family.lateral.dr)
    what = f"the lateral's {lateral.ratio} is not one the family takes"
    passed, cure = lateral.dr in family.lateral.dr, f"take a lateral of {takes}"
    yield judged("lateral_dr", lateral.ratio, takes, passed, what, cure)


def _main_ratio(family: Family, main: Designation) -> Check:
    """The main's DR lies in the family's range."""
    low, high = family.main.dr_min, family.main.dr_max
    what = f"the main's {main.ratio} is outside the family's range"
    takes = f"{main.ratio.split()[0]} {low:g} to {high:g}"
    cure = f"the family takes mains of {takes}: take another family"
    return judged("main_dr", main.ratio, takes, low <= main.dr <= high, what, cure)


def _materials(request: Request) -> Iterator[Check]:
    """The materials of main and lateral are ones the family accepts."""
    family = request.family
    sides = [("lateral", request.lateral.designation.material, family.lateral.materials)]
    if not request.is_coupling:
        sides.insert(0, ("main", request.main.designation.material, family.main.materials))
    for side, material, accepted in sides:
        if material:
            what = f"the {side}'s material {material} is not accepted by {family.id}"
            limit = ", ".join(accepted)
            yield judged(f"{side}_material", material, limit, material in accepted, what, f"it takes {limit}")


def _wall(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The wall may be fused to, and peeled."""
    wall, least = ledger.values[request.fused + "wall_min"], ledger.values.get("fuse.main_wall_min")
    if least and least.number is not None and wall.number is not None:
        found, limit = request.text(wall), request.text(least)
        pipe = "lateral" if request.is_coupling else "main"
        what = f"the {pipe}'s wall {found} is thinner than the fitting may be fused to ({limit})"
        cure = f"take another fitting, or replace the {pipe} at this place"
        passed = wall.number >= least.number - FLOAT_NOISE
        key = "wall_coupling" if request.is_coupling else "wall"
        yield judged(key, found, f"≥ {limit}", passed, what, cure)
    passes = ledger.values.get("peel.passes_max")
    if passes and passes.number is not None:
        what = "not one peel pass leaves enough wall or diameter"
        cure = "take another place, or another fitting"
        yield judged("passes", request.text(passes), "≥ 1", passes.number >= 1, what, cure)


def _pressure(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The job's pressure is within the joint's."""
    if request.job is None:
        return
    limit, asked = ledger.values.get("joint.pressure_max"), request.job.maximum_operating_pressure
    found = request.plain(asked, "down")
    rated = request.fused + "pressure_rating" in ledger.values
    if limit and limit.number is not None:
        what = f"the maximum operating pressure {found} is above the joint's {request.text(limit)}"
        cure = "take pipe and fitting of a higher rating, or lower the pressure"
        passed = asked.to("kPa") <= limit.number + FLOAT_NOISE
        yield judged("pressure", found, f"≤ {request.text(limit)}", passed, what, cure)
    elif rated and request.derates and request.fused + "temperature_factor" not in ledger.values:
        air = request.plain(request.ambient) if request.ambient else ""
        what = f"no temperature factor is stated for {air}"
        cure = "have an engineer rate the pipe at this temperature"
        yield judged("temperature_factor", air, "", False, what, cure)
    else:
        what = f"no pressure rating for {request.contents} is known for these pipes and materials"
        cure = "name materials that the materials file rates for these contents"
        yield judged("pressure", found, "", False, what, cure)


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
        yield judged("temperature_factor", request.plain(air), "", False, what, cure)


def _people(request: Request) -> Iterator[Check]:
    """The fuser is qualified on the day, a second person checks, and the approval comes before the work."""
    job = request.job
    if job:
        until = job.fuser.qualified_until
        what = f"the fuser's qualification ended on {until}, the job is dated {job.date}"
        cure = "send a qualified fuser, or requalify first"
        yield judged("fuser", str(until), f"≥ {job.date}", until >= job.date, what, cure)
        checker, fuser = job.checker.role, job.fuser.role
        what = f"fuser and checker are the same: {checker!r}"
        apart = checker.casefold() != fuser.casefold()
        yield judged("second_person", checker, f"≠ {fuser}", apart, what, "name a second person as checker")
    if job and job.approved:
        day = job.approved.date
        what = f"the approval is dated {day}, after the job's {job.date}"
        cure = "have it approved before the work, or correct the date"
        yield judged("approval", str(day), f"≤ {job.date}", day <= job.date, what, cure)


def _required(ledger: Ledger) -> Iterator[Check]:
    """No required value is blank."""
    for value in ledger.values.values():
        if value.kind == "blank" and value.required:
            what = f"{value.name} is required and nobody stated it"
            cure = "get it from the fitting's maker, and write it in the family's file"
            yield judged("required", value.name, "", False, what, cure)
