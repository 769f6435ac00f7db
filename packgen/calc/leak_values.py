"""Between which pressures the joint is tested, with how much water, and what pushes on the ends.

In: a `Request` of a job and a `Ledger` that holds the joint's greatest pressure. Out: test.*. Vocabulary: the
*limit* is the least of what rule, joints and tools let the test reach; joints are *tested together* where one
carries the other's lateral on, since the branch and its couplings hold one lateral's test. The owner states
pressure and hold, in the job file or on the cover.
Sources: 49 CFR 192.513 for gas, ASTM F2164 for water, as the work rules take them; arithmetic.
"""

from __future__ import annotations

from packgen.calc import leak_test
from packgen.calc.ledger import Input, Ledger, Value, named
from packgen.calc.pipe_values import both_pipes
from packgen.calc.request import Request, request_of
from packgen.calc.stated_values import joint_pressure, rule_input
from packgen.model.job import Job, Joint
from packgen.model.tool_records import TappingValve
from packgen.units import Quantity

_MAKEUP = "leak-test-water-makeup"
_BORE, _WIDEST = "pipe.lateral.inside_diameter_mean", "pipe.lateral.outside_diameter_max"
NO_WATER = "none"


def leak_values(ledger: Ledger, request: Request) -> None:
    """Pressures, hold, water and end force; what follows from a rating is absent where there is none."""
    job = request.job
    if job is None:
        return
    if job.leak_test is not None:
        ledger.stated("test.pressure", job.leak_test.pressure, "job file")
        ledger.stated("test.hold", job.leak_test.hold, "job file")
    if request.contents == "gas":
        _gas_least(ledger, request, job)
    _greatest(ledger, request, job)
    if request.contents == "water":
        _water_to_fill(ledger, request)
    _end_force(ledger, request)


def lateral_length(request: Request) -> Quantity | None:
    """How long the lateral is: as the joint says, else the branch whose lateral it carries on."""
    own = request.joint.lateral_length if request.joint else None
    branch = _branch(request)
    return own or (branch.lateral_length if branch else None)


def _branch(request: Request) -> Joint | None:
    """The branch joint whose lateral a coupling carries on."""
    job, carries = request.job, request.joint.carries if request.joint else None
    return next((each for each in job.joints if each.id == carries), None) if job and carries else None


def _greatest(ledger: Ledger, request: Request, job: Job) -> None:
    """The greatest test pressure: the rule's share of the weakest joint, at most what each tool bears."""
    rated = ledger.get("joint.pressure_max")
    if rated is None:
        return
    gas = request.contents == "gas"
    share = "leak-test-gas-upper-share" if gas else "leak-test-water-share"
    inputs: list[Input] = ["joint.pressure_max"]
    ratings = [rated]
    for joint_id, value in _tested_with(request, job):
        if value.number is not None:
            ratings.append(value.number)
            inputs.append(named(f"greatest pressure of {joint_id}, tested with it", request.text(value)))
    multiple = request.catalog.rule_quantity(share, "percent") / 100.0
    # Of several joints the weakest counts, in gas as in water.
    gas_most, water_most = leak_test.gas_pressure_max, leak_test.water_pressure_max
    most = gas_most(min(ratings), multiple) if gas else water_most(ratings, multiple)
    limits, sources = [most], [request.catalog.cite_rule(share)]
    inputs.append(rule_input(request, share))
    for tool in (_valve(request), request.machine, request.plug):
        if tool is not None:
            limits.append(tool.pressure_max.to("kPa"))
            inputs.append(named(f"{tool.id}, from its plate", request.plain(tool.pressure_max, "down")))
            sources.append(request.catalog.cite(tool.source))
    weakest = "the least of the greatest pressures of the joints tested together"
    rating = weakest if len(ratings) > 1 else "the joint's greatest pressure"
    words = f"{rating} times the rule's share, at most what valve, machine and plug bear"
    ledger.worked("test.pressure_max", min(limits), words, inputs, *dict.fromkeys(sources))


def _tested_with(request: Request, job: Job) -> list[tuple[str, Value]]:
    """The other joints that hold the same lateral's test, each with its greatest pressure where it is known.

    A coupling may sit between saddle and valve or behind the valve: it is taken to be in every test.
    """
    joint = request.joint
    if joint is None:
        return []
    branch = joint.carries or joint.id
    others = (each for each in job.joints if each.id != joint.id and branch in (each.id, each.carries))
    found = ((each.id, _greatest_pressure(request_of(job, each, request.catalog))) for each in others)
    return [(joint_id, value) for joint_id, value in found if value is not None]


def _greatest_pressure(request: Request) -> Value | None:
    """The greatest pressure of another joint of the job."""
    ledger = Ledger()
    both_pipes(ledger, request)
    joint_pressure(ledger, request)
    return ledger.values.get("joint.pressure_max")


def _valve(request: Request) -> TappingValve | None:
    """The valve that closes the test: the joint's own; for a coupling that of the branch it carries on.

    A lateral is tested with its couplings against the branch's valve, shut.
    """
    branch = _branch(request)
    return request.catalog.valves.get(branch.valve or "") if branch else request.valve


def _gas_least(ledger: Ledger, request: Request, job: Job) -> None:
    """What a gas test reaches at least."""
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    asked = job.maximum_operating_pressure
    multiple, least = rule("leak-test-gas-share", "percent") / 100.0, rule("leak-test-gas-least", "kPa")
    number = leak_test.gas_pressure_min(asked.to("kPa"), multiple, least)
    inputs: list[Input] = [named("maximum operating pressure", request.plain(asked, "down"))]
    inputs += [rule_input(request, "leak-test-gas-share"), rule_input(request, "leak-test-gas-least")]
    words = "the maximum operating pressure times the rule's share, or the rule's least pressure if greater"
    sources = (cite("leak-test-gas-share"), cite("leak-test-gas-least"))
    ledger.worked("test.pressure_min", number, words, inputs, *sources)


def _water_to_fill(ledger: Ledger, request: Request) -> None:
    """What fills the lateral, and what may be put in while its test holds, if the rule allows any."""
    share, cited = request.catalog.rule_quantity(_MAKEUP, "percent"), request.catalog.cite_rule(_MAKEUP)
    rule, length, bore = rule_input(request, _MAKEUP), lateral_length(request), ledger.get(_BORE)
    if not share:
        words = "the rule allows no leakage of fused joints, whatever fills them"
        ledger.worked_words("test.makeup_volume", NO_WATER, words, [rule], cited)
    if length is None or bore is None:
        return
    volume = leak_test.fill_volume(bore, length.to("mm"))
    words = "area of the mean bore times the lateral's length"
    inputs = [_BORE, named("lateral's length", request.plain(length, "up"))]
    ledger.worked("test.fill_volume", volume, words, inputs, "arithmetic")
    if share:
        words = "the rule's share of the water that fills the lateral"
        makeup = leak_test.makeup_volume(volume, share)
        ledger.worked("test.makeup_volume", makeup, words, ["test.fill_volume", rule], cited)


def _end_force(ledger: Ledger, request: Request) -> None:
    """What pushes on cap, plug or shut valve: the lateral's whole outside is taken, so it is never less.

    The stated pressure counts where it is the one that acts there, with the main uncut; a lateral that is
    tested later, against a shut valve or with a coupling, has a pressure of its own up to the limit.
    """
    own = "test.pressure" if request.method in ("open drill", "built-in cutter") else "test.pressure_max"
    pressure = own if own in ledger.values else "test.pressure_max"
    numbers = ledger.all(pressure, _WIDEST)
    if numbers is None:
        return
    words = "pressure times the area of the lateral's greatest outside diameter: an upper bound for any bore"
    force = leak_test.end_force(*numbers)
    ledger.worked("test.end_force", force, words, [pressure, _WIDEST], "arithmetic")
