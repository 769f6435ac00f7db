"""Torque guidance for the engineer, never a setting: put into the ledger beside a blank or stated torque.

In: a `Request` and a `Ledger` that holds the stated values. Out: clamp.torque_guidance, clamp.torque_limit.
Vocabulary: as in `torque`. Both are the engineer's in the register: no step, table or card holds them.
Sources: the work rules each working names, the tables of threads and screw materials.
"""

from __future__ import annotations

from packgen.calc import torque
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input
from packgen.model.family_records import ClampData
from packgen.model.tool_records import ScrewThread
from packgen.rounding import decimal_text, outward
from packgen.units import join

_FACTORS = ("nut-factor", "nut-factor-least", "nut-factor-greatest")
_BASE = ("fitting.base_length", "fitting.bore_radius", "fitting.base_angle")


def torque_values(ledger: Ledger, request: Request) -> None:
    """Guidance and limit where the clamp's thread is known."""
    clamp = request.label.clamp if request.label else ClampData()
    thread = request.catalog.threads.get(clamp.screw_size or "")
    if thread is None or clamp.screw_count is None:
        return
    _guidance(ledger, request, thread, clamp.screw_count)
    _limit(ledger, request, thread, clamp)


def _factors(request: Request) -> tuple[float, float, float]:
    """The nut factor: usual, least, greatest."""
    usual, low, high = (request.catalog.rule_quantity(rule, "percent") / 100.0 for rule in _FACTORS)
    return usual, low, high


def _guidance(ledger: Ledger, request: Request, thread: ScrewThread, screws: int) -> None:
    """The torque that seats the saddle at the rule's pressure, with the spread that friction gives it."""
    base = ledger.all(*_BASE)
    if base is None:
        return
    length, radius, angle = base
    pressure = request.catalog.rule_quantity("seating-pressure", "kPa")
    force = torque.screw_force(pressure, torque.base_area(length, radius, angle), screws)
    usual, low, high = _factors(request)
    diameter = thread.diameter.to("mm")
    # The spread is told no narrower than it is.
    spread = outward(torque.torque(low, force, diameter), torque.torque(high, force, diameter), "N*m", 1)
    words = (
        "nut factor × force × diameter, the force being seating pressure × base seen along the screws over "
        f"their number, {join(decimal_text(force, 0, 'nearest'), 'N')} each; from the least to the greatest"
        f" nut factor it is {spread}"
    )
    rules = ("seating-pressure", *_FACTORS)
    shown = [rule_input(request, rule) for rule in rules]
    inputs: list[Input] = [*_BASE, "clamp.screws", named("thread", request.plain(thread.diameter)), *shown]
    sources = (request.catalog.cite_rule(rule) for rule in rules)
    number = torque.torque(usual, force, diameter)
    ledger.worked("clamp.torque_guidance", number, words, inputs, *sources)


def _limit(ledger: Ledger, request: Request, thread: ScrewThread, clamp: ClampData) -> None:
    """The torque at which, with the least friction, screw or lug reaches what it bears."""
    metal = request.catalog.screw_materials.get(clamp.screw_property or "")
    if metal is None:
        return
    _, low, _ = _factors(request)
    diameter, pitch = thread.diameter.to("mm"), thread.pitch.to("mm")
    share = request.catalog.rule_quantity("screw-proof-share", "percent")
    area = torque.stress_area(diameter, pitch)
    force = torque.proof_force(area, metal.proof_stress.to("kPa"), share)
    lug = clamp.lug_load_max
    words = "least nut factor × force × diameter; the screw bears its share of proof stress × stress area"
    words += ", the lug what the label states: the lesser counts" if lug else "; no lug load is stated"
    inputs = [
        named("thread", request.plain(thread.diameter)), named("pitch", request.plain(thread.pitch)),
        named("proof stress", request.plain(metal.proof_stress)),
        rule_input(request, "screw-proof-share"), rule_input(request, "nut-factor-least"),
    ]  # fmt: skip
    cited = ("screw-proof-share", "nut-factor-least")
    sources = [*map(request.catalog.cite_rule, cited), request.catalog.cite(metal.source)]
    if lug:
        force = min(force, lug.to("N"))
        inputs.append(named("lug, from the label", request.plain(lug)))
        sources.append(request.label_source)
    number = torque.torque(low, force, diameter)
    ledger.worked("clamp.torque_limit", number, words, inputs, *sources)
