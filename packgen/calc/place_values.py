"""Where the outlet goes, what lies near it and how much room the work needs; put into the ledger.

In: a `Request` and a `Ledger` that holds the stated values and the peel zone. Out: place.*, and spacing.*
as the job measured it. Vocabulary: see `packgen.calc.room`; a coupling on the lateral has none of these.
Sources: the job file, the tools' records, geometry, and the work rules each working names.
"""

from __future__ import annotations

from packgen.calc import place, room
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input
from packgen.model.catalog import rule_value

_MAIN = "pipe.main."
_MEASURED = ("saddle", "fitting", "pipe_end", "squeeze")


def place_values(ledger: Ledger, request: Request) -> None:
    """Where round the main the outlet goes, and how far off the job measured what lies near."""
    if request.joint is None or request.is_coupling:
        return
    ledger.number("place.clock_angle", request.joint.clock_angle, "job file")
    arc = place.arc_from_top(request.joint.clock_angle, request.main.outside_diameter)
    words = "share of the girth from the top, the shorter way"
    inputs: list[Input] = ["place.clock_angle", _MAIN + "outside_diameter"]
    ledger.worked("place.arc_from_top", arc, words, inputs, "arithmetic")
    distances = request.job.distances if request.job else None
    for key in _MEASURED:
        ledger.stated(f"spacing.measured_{key}", getattr(distances, key, None), "job file")


def room_values(ledger: Ledger, request: Request) -> None:
    """Free main along, clear ground round it and beyond the outlet, where the lengths are stated."""
    if request.is_coupling or request.label is None:
        return
    cite, rule = request.catalog.cite_rule, request.catalog.rule_quantity
    zone = ledger.get("peel.zone_length")
    if zone is not None:
        along = room.room_along(zone, rule("room-along", "mm"))
        words = "peel zone plus room for peeler and clamp at each end"
        inputs: list[Input] = ["peel.zone_length", rule_input(request, "room-along")]
        ledger.worked("place.room_along", along, words, inputs, cite("room-along"))
    around = rule_value(request.catalog.rule("room-around"))
    ledger.stated("place.room_around", around, cite("room-around"))
    _above(ledger, request)


def _above(ledger: Ledger, request: Request) -> None:
    """The outlet and what stands on it while the main is cut."""
    height = ledger.get("fitting.outlet_height")
    if height is None:
        return
    inputs: list[Input] = ["fitting.outlet_height"]
    stack: list[float] = []
    chosen, words, sources = "room-above-drill", "outlet height plus room for the drill", []
    if request.method == "through a valve":
        if request.valve is None or request.machine is None:
            return
        chosen, words = "room-above-machine", "outlet, valve and machine, plus room to lift the machine off"
        for what, tool in (("valve", request.valve), ("drilling machine", request.machine)):
            stack.append(tool.length.to("mm"))
            inputs.append(named(what, request.plain(tool.length)))
            sources.append(request.catalog.cite(tool.source))
    elif request.method == "built-in cutter":
        chosen, words = "room-above-cutter", "outlet height plus room for the key that turns the cutter"
    stack.append(request.catalog.rule_quantity(chosen, "mm"))
    inputs.append(rule_input(request, chosen))
    above, cited = room.room_above(height, *stack), request.catalog.cite_rule(chosen)
    ledger.worked("place.room_above", above, words, inputs, cited, *dict.fromkeys(sources))
