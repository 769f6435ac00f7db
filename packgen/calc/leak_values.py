"""Between which pressures the joint is tested; put into the ledger.

In: a `Request` of a job and a `Ledger` that holds the joint's greatest pressure. Out: test.*. Vocabulary: the
*limit* is the least of what rule, joint and tools let the test reach; the owner states the pressure itself.
Sources: 49 CFR 192.513 for gas, ASTM F2164 for water, as the work rules take them.
"""

from __future__ import annotations

from packgen.calc import leak_test
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input
from packgen.model.tool_records import TappingValve


def leak_values(ledger: Ledger, request: Request) -> None:
    """Least and greatest test pressure; absent where the joint has no rating."""
    rated = ledger.get("joint.pressure_max")
    if request.job is None or rated is None:
        return
    if request.contents == "gas":
        _gas_least(ledger, request)
    share = "leak-test-gas-upper-share" if request.contents == "gas" else "leak-test-water-share"
    multiple = request.catalog.rule_quantity(share, "percent") / 100.0
    most = leak_test.gas_pressure_max if request.contents == "gas" else _water
    limits = [most(rated, multiple)]
    inputs: list[Input] = ["joint.pressure_max", rule_input(request, share)]
    sources = [request.catalog.cite_rule(share)]
    for tool in (_valve(request), request.machine, request.plug):
        if tool is not None:
            limits.append(tool.pressure_max.to("kPa"))
            inputs.append(named(f"{tool.id}, from its plate", request.plain(tool.pressure_max)))
            sources.append(request.catalog.cite(tool.source))
    words = "the joint's greatest pressure times the rule's share, at most what valve, machine and plug bear"
    ledger.worked("test.pressure_max", min(limits), words, inputs, *dict.fromkeys(sources))


def _valve(request: Request) -> TappingValve | None:
    """The valve that closes the test: the joint's own; for a coupling that of the branch it carries on.

    A lateral is tested with its couplings against the branch's valve, shut.
    """
    carries = request.joint.carries if request.joint else None
    if request.job is None or carries is None:
        return request.valve
    branch = next((each for each in request.job.joints if each.id == carries), None)
    return request.catalog.valves.get(branch.valve or "") if branch else None


def _water(rated: float, multiple: float) -> float:
    """The greatest test pressure of one rated part in water."""
    return leak_test.water_pressure_max([rated], multiple)


def _gas_least(ledger: Ledger, request: Request) -> None:
    """What a gas test reaches at least."""
    assert request.job is not None  # leak_values looked
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    asked = request.job.maximum_operating_pressure
    multiple, least = rule("leak-test-gas-share", "percent") / 100.0, rule("leak-test-gas-least", "kPa")
    number = leak_test.gas_pressure_min(asked.to("kPa"), multiple, least)
    inputs: list[Input] = [named("maximum operating pressure", request.plain(asked, "up"))]
    inputs += [rule_input(request, "leak-test-gas-share"), rule_input(request, "leak-test-gas-least")]
    words = "the maximum operating pressure times the rule's share, or the rule's least pressure if greater"
    sources = (cite("leak-test-gas-share"), cite("leak-test-gas-least"))
    ledger.worked("test.pressure_min", number, words, inputs, *sources)
