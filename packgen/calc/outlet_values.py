"""Which outlet of the supply carries the control unit, put into the ledger.

In: a `Request` whose job names a supply cord, and a `Ledger` that holds power.supply_current. Out:
power.outlet, .breaker, .fault_protection. Vocabulary: an outlet *carries* the lesser of its own rating and
its breaker's. A fusion lasts minutes, so the whole rating may be used: the share kept for loads of three
hours or more does not apply. Where no outlet is listed for the cord's series and voltage nothing is put in.
Sources: the list of outlets, each row with its own.
"""

from __future__ import annotations

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.model.power_records import Outlet
from packgen.register import conductor_size

_CURRENT = "power.supply_current"


def outlets_of(request: Request) -> tuple[Outlet, ...]:
    """The listed outlets for the job's supply cord and voltage, the smallest first; none without a cord."""
    cord = request.job.equipment.supply_cord if request.job else None
    if cord is None:
        return ()
    volts, series = cord.voltage.to("V"), conductor_size(cord.size).rpartition(" ")[2]
    fitting = (
        outlet
        for outlet in request.catalog.outlets
        if outlet.series == series and outlet.voltage_min.to("V") <= volts <= outlet.voltage_max.to("V")
    )
    return tuple(sorted(fitting, key=lambda outlet: outlet.carries))


def outlet_values(ledger: Ledger, request: Request) -> None:
    """The smallest listed outlet that carries the supply current, its breaker and its protection."""
    current, listed = ledger.get(_CURRENT), outlets_of(request)
    if current is None or not listed:
        return
    chosen = next((outlet for outlet in listed if outlet.carries >= current - FLOAT_NOISE), None)
    cite = request.catalog.cite
    series = ", ".join(f"{outlet.title}: {outlet.carries:g} A" for outlet in listed)
    inputs: list[Input] = [_CURRENT, "power.supply_voltage", named("listed", series)]
    if chosen is None:
        words = "no listed outlet of this voltage carries the supply current"
        ledger.not_permitted("power.outlet", words, inputs, cite(listed[-1].source))
        return
    words = (
        "the smallest listed outlet of this voltage that carries the supply current with its whole rating, "
        "since a fusion lasts minutes and not hours"
    )
    ledger.worked_words("power.outlet", chosen.title, words, inputs, cite(chosen.source))
    words = "the breaker behind that outlet"
    breaker = chosen.breaker.to("A")
    ledger.worked(
        "power.breaker", breaker, words, ["power.outlet"], cite(chosen.source), stated=chosen.breaker
    )
    ledger.words("power.fault_protection", chosen.protection, cite(chosen.protection_source))
