"""Peel and gap: how deep, how often, where, and what the clamp must close; put into the ledger.

In: a `Request` and a `Ledger` that holds the stated values. Out: peel.*, gap.*. Vocabulary: the *fused* pipe
is the one that is peeled: the main under a saddle, the lateral in a coupling.
Sources: geometry, the label, and the work rules each working names.
"""

from __future__ import annotations

from typing import cast, get_args

from packgen.calc import gap, peel
from packgen.calc._guard import require_order
from packgen.calc.ledger import Input, Ledger
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_choice, rule_count, rule_input, stated_or_rule


def peel_values(ledger: Ledger, request: Request) -> None:
    """Depths, what a pass takes, how many are permitted, and the zone to peel."""
    label = request.label
    if label is None:
        return
    for end in ("min", "max"):
        stated = getattr(label.peel, f"depth_{end}")
        stated_or_rule(ledger, request, f"peel.depth_{end}", stated, f"peel-depth-{end}")
        ledger.stated(f"peel.ribbon_{end}", getattr(label.peel, f"ribbon_{end}"), request.label_source)
    numbers = ledger.all("peel.depth_min", "peel.depth_max", request.fused + "wall_min")
    assert numbers is not None  # a rule gives the depths where the label does not, the pipe table the wall
    least, depth, wall = numbers
    require_order(least_peel_depth=least, greatest_peel_depth=depth)
    words, inputs = "greatest peel depth over minimum wall", ["peel.depth_max", request.fused + "wall_min"]
    loss = peel.wall_loss_percent(depth, wall)
    ledger.worked("peel.wall_loss_percent", loss, words, inputs, "arithmetic")
    _gouge(ledger, request, wall, depth)
    _diameter_after(ledger, request, depth)
    _passes(ledger, request, depth, wall)
    if not request.is_coupling:
        _zone(ledger, request)


def _gouge(ledger: Ledger, request: Request, wall: float, depth: float) -> None:
    """The deepest gouge that leaves room for one pass."""
    share = request.catalog.rule_quantity("surface-loss", "percent")
    words = "the surface-loss share of the minimum wall, less one pass at the greatest depth"
    inputs = [request.fused + "wall_min", "peel.depth_max", rule_input(request, "surface-loss")]
    source = request.catalog.cite_rule("surface-loss")
    ledger.worked("peel.gouge_depth_max", peel.gouge_depth_max(share, wall, depth), words, inputs, source)


def _diameter_after(ledger: Ledger, request: Request, depth: float) -> None:
    """What one pass leaves of the diameter."""
    rule = cast(peel.Zone, rule_choice(request, "peeled-zone", *get_args(peel.Zone)))
    zone: peel.Zone = "whole circumference" if request.is_coupling else rule
    after = peel.diameter_after_one_pass(request.fused_pipe.outside_diameter, depth, zone)
    taken = "one peel depth (one side)" if zone == "footprint" else "two peel depths"
    inputs: list[Input] = [request.fused + "outside_diameter", "peel.depth_max"]
    source = "a coupling fuses all round"
    if not request.is_coupling:
        inputs.append(rule_input(request, "peeled-zone"))
        source = request.catalog.cite_rule("peeled-zone")
    ledger.worked("peel.diameter_after_one_pass", after, f"outside diameter less {taken}", inputs, source)


def _passes(ledger: Ledger, request: Request, depth: float, wall: float) -> None:
    """How many passes are permitted, and from what diameter on."""
    least, cite = ledger.get("fitting.main_diameter_min"), request.catalog.cite_rule
    loss = request.catalog.rule_quantity("surface-loss", "percent")
    rule = rule_count(request, "peel-passes")
    passes = peel.passes_max(rule, loss, wall, depth, request.fused_pipe.outside_diameter, least)
    words = "the least of what work rule, surface-loss rule and the fitting's least diameter leave room for"
    inputs = [rule_input(request, "peel-passes"), rule_input(request, "surface-loss"), "peel.depth_max"]
    inputs.append(request.fused + "wall_min")
    inputs += [request.fused + "outside_diameter", "fitting.main_diameter_min"] if least is not None else []
    ledger.worked("peel.passes_max", passes, words, inputs, cite("peel-passes"), cite("surface-loss"))
    if least is not None:
        start = peel.diameter_to_start(least, depth)
        words = "the fitting's least diameter plus two peel depths"
        names = ["fitting.main_diameter_min", "peel.depth_max"]
        ledger.worked("peel.diameter_to_start", start, words, names, request.label_source)


def _zone(ledger: Ledger, request: Request) -> None:
    """Length, arc and area to peel, as far as the saddle's base is stated."""
    margin, shown = request.catalog.rule_quantity("peel-margin", "mm"), rule_input(request, "peel-margin")
    source = request.catalog.cite_rule("peel-margin")
    length = ledger.get("fitting.base_length")
    if length is not None:
        along = peel.zone_length(length, margin)
        words = "base length plus a margin at each end"
        ledger.worked("peel.zone_length", along, words, ["fitting.base_length", shown], source)
    names = ["fitting.bore_radius", "fitting.base_angle", request.fused + "outside_diameter_max"]
    base = ledger.all(*names)
    if base is not None:
        radius, angle, diameter = base
        around = peel.zone_arc(radius, angle, margin, diameter)
        words = "2 × bore radius × half-angle plus a margin each side, at most the girth"
        ledger.worked("peel.zone_arc", around, words, [*names, shown], source)
    zone = ledger.all("peel.zone_length", "peel.zone_arc")
    if zone is not None:
        words, inputs = "zone length times zone arc", ["peel.zone_length", "peel.zone_arc"]
        ledger.worked("peel.zone_area", peel.zone_area(*zone), words, inputs, "arithmetic")


def gap_values(ledger: Ledger, request: Request) -> None:
    """The feeler that must not enter, and the widest gap the clamp must close."""
    label = request.label
    if label is None or request.is_coupling:
        return
    stated_or_rule(ledger, request, "gap.feeler", label.gap.feeler, "feeler")
    names = [
        "fitting.bore_radius",
        "fitting.base_angle",
        request.fused + "outside_diameter_min",
        request.fused + "outside_diameter_max",
        "peel.depth_min",
        "peel.depth_max",
    ]
    numbers = ledger.all(*names)
    if numbers is not None:
        words = (
            "saddle laid on the peeled pipe, before clamping: the wider of the gap at the edge of the base "
            "on the smallest pipe and at the crown on the largest; what the clamp must close, never compared "
            "with the feeler"
        )
        free = gap.free_gap_max(*numbers)
        ledger.worked("gap.free_gap_max", free, words, names, "geometry of two circles")
