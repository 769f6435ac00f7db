"""Values carried from labels and work rules into the ledger.

In: a `Request`. Out: joint.*, fitting.*, clamp.*, fuse.*, cool.*, spacing.* in a `Ledger`.
Vocabulary: a label's value goes before a work rule's.
Sources: the label, the work rules.
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.errors import ContentError, Place, Problem
from packgen.model.catalog import read_rule_value, rule_value
from packgen.model.family_records import SocketData, TimeRow
from packgen.units import Quantity


def rule_input(request: Request, rule: str) -> Input:
    """A work rule as an input of a working."""
    value = request.catalog.rule(rule).value
    read = read_rule_value(value)
    shown = str(value) if read is None else request.plain(read)
    return named(f"work rule {rule}", shown)


def rule_count(request: Request, rule: str) -> int:
    """A work rule's value as a bare number. Raises `ContentError` where it is not one."""
    value = request.catalog.rule(rule).value
    if not isinstance(value, int):
        raise ContentError([_unusable(request, rule, "a bare whole number")])
    return value


def rule_choice(request: Request, rule: str, *choices: str) -> str:
    """A work rule's value as one of a few words. Raises `ContentError` where it is none of them."""
    value = request.catalog.rule(rule).value
    if value not in choices:
        raise ContentError([_unusable(request, rule, " or ".join(repr(choice) for choice in choices))])
    return str(value)


def _unusable(request: Request, rule: str, expected: str) -> Problem:
    """A work rule whose value no calculation can use, at the place of its record."""
    what = f"the work rule {rule!r} has the value {request.catalog.rule(rule).value!r}"
    return Problem(request.catalog.places.get(("rules", rule), Place()), what, expected)


def stated_or_rule(ledger: Ledger, request: Request, name: str, stated: Quantity | None, rule: str) -> None:
    """A label's value, else the work rule's."""
    if stated is not None:
        ledger.stated(name, stated, request.label_source)
    else:
        ledger.stated(name, rule_value(request.catalog.rule(rule)), request.catalog.cite_rule(rule))


def joint_pressure(ledger: Ledger, request: Request) -> None:
    """The least of all that sees the pressure; absent where a pipe has no rating as it is used."""
    end = "pressure_rating_at" if request.derates else "pressure_rating"
    sides = ("lateral",) if request.is_coupling else ("main", "lateral")
    names = [f"pipe.{side}.{end}" for side in sides]
    numbers = ledger.all(*names)
    if numbers is None:
        return
    stated = request.label.pressure_max if request.label else None
    more = [("fitting, from its label", stated, request.label_source)] if stated else []
    if request.valve and request.method == "through a valve":
        valve = request.valve
        more.append(("valve", valve.pressure_max, request.catalog.cite(valve.source)))
    least = min((*numbers, *(pressure.to("kPa") for _, pressure, _ in more)))
    words = f"the least of {', '.join(sides)}" + "".join(f", {what}" for what, _, _ in more)
    if stated is None:
        words += "; no pressure is stated for the fitting"
    inputs: list[Input] = [*names, *(named(what, request.plain(pressure)) for what, pressure, _ in more)]
    sources = [source for _, _, source in more] or ["arithmetic"]
    ledger.worked("joint.pressure_max", least, words, inputs, *sources)


def label_values(ledger: Ledger, request: Request) -> None:
    """Everything the label states about fitting, clamp, fusion and waits."""
    label, source = request.label, request.label_source
    if label is None:
        return
    for name, quantity in label.fitting:
        ledger.stated(f"fitting.{name}", quantity, source)
    ledger.stated("fitting.coil_resistance", label.fuse.coil_resistance, source)
    ledger.stated("fitting.coil_tolerance", label.fuse.coil_tolerance, source)
    ledger.words("fitting.screw_size", label.clamp.screw_size, source)
    _clamp(ledger, request)
    for name in ("voltage", "time", "terminal"):
        _stated_or_blank(ledger, f"fuse.{name}", getattr(label.fuse, name), source)
    ledger.words("fuse.time_compensation", _times(request, label.fuse.time_compensation), source)
    ledger.stated("fuse.main_wall_min", label.fuse.main_wall_min, source)
    if label.fuse.main_pressure_max or (request.may_hold_pressure and not request.is_coupling):
        _stated_or_blank(ledger, "fuse.main_pressure_max", label.fuse.main_pressure_max, source)
    for name in ("clamp_time", "pressure_wait", "tap_wait", "reference_temperature"):
        if name != "tap_wait" or not request.is_coupling:
            _stated_or_blank(ledger, f"cool.{name}", getattr(label.cool, name), source)
    if request.is_coupling:
        _socket(ledger, label.socket, source)


def _times(request: Request, rows: Sequence[TimeRow] | None) -> str | None:
    """A label's table of fusion times in a line; None where it has one time."""
    if rows is None:
        return None
    return "; ".join(f"up to {request.plain(row.up_to)}: {request.plain(row.time)}" for row in rows)


def _socket(ledger: Ledger, socket: SocketData, source: str) -> None:
    """How far the pipe goes in and is peeled; what the coupling takes of shape and offset."""
    for name in ("insertion_depth", "peel_length"):
        _stated_or_blank(ledger, f"socket.{name}", getattr(socket, name), source)
    for name in ("out_of_round_max", "misalignment_max"):
        ledger.stated(f"socket.{name}", getattr(socket, name), source)


def _stated_or_blank(ledger: Ledger, name: str, quantity: Quantity | None, source: str) -> None:
    """A label's value, or a box to enter it."""
    if quantity is None:
        ledger.blank(name, "the label data do not state it: enter it from the fitting's label")
    else:
        ledger.stated(name, quantity, source)


def _clamp(ledger: Ledger, request: Request) -> None:
    """Clamp method, screws, torque and stop mark."""
    label, source = request.label, request.label_source
    assert label is not None  # label_values looked
    clamp = label.clamp
    ledger.words("clamp.method", clamp.method, source)
    if clamp.screw_count and clamp.screw_size:
        ledger.words("clamp.screws", f"{clamp.screw_count} × {clamp.screw_size}", source)
    if isinstance(clamp.torque, Quantity):
        ledger.stated("clamp.torque", clamp.torque, source)
    elif clamp.torque == "required":
        ledger.blank("clamp.torque", "the family requires a torque and none is stated", required=True)
    elif clamp.torque == "blank" or clamp.screw_size:
        only = "enter one only where the fitting's maker gives it, or write none"
        ledger.blank("clamp.torque", f"the label states no torque: {only}")
    ledger.words("clamp.stop_mark", clamp.stop_mark, source)


def spacing_values(ledger: Ledger, request: Request) -> None:
    """Least distances, edge to edge; a coupling on the lateral keeps none of them."""
    if request.is_coupling:
        return
    for name in ("saddle_to_saddle", "saddle_to_fitting", "saddle_to_pipe_end"):
        rule = "spacing-" + name.replace("_", "-")
        quantity = rule_value(request.catalog.rule(rule))
        ledger.stated(f"spacing.{name}", quantity, request.catalog.cite_rule(rule))
