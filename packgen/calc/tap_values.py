"""Cutting into the main: the saw or the built-in cutter, how far it goes, what falls; put into the ledger.

In: a `Request` and a `Ledger` that holds the stated values. Out: tap.*. Vocabulary: the *path* is what a saw
passes on its way: the outlet, and through a valve also the valve and the drilling machine.
Sources: geometry, the label, the list of saws, and the work rules each working names.
"""

from __future__ import annotations

from packgen.calc import coupon, tap, valve_path
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input
from packgen.model.family_records import CutterData
from packgen.model.tool_records import HoleSaw

_MAIN = "pipe.main."


def path_bores(ledger: Ledger, request: Request) -> list[tuple[Input, float]]:
    """What a saw passes on its way, with the bore of each in mm; empty where one of them is not stated."""
    bore = ledger.get("fitting.outlet_bore")
    if bore is None:
        return []
    found: list[tuple[Input, float]] = [("fitting.outlet_bore", bore)]
    if request.method == "through a valve":
        if request.valve is None or request.machine is None:
            return []
        tools = (("bore of the valve", request.valve), ("bore of the drilling machine", request.machine))
        found += [(named(what, request.plain(tool.bore)), tool.bore.to("mm")) for what, tool in tools]
    return found


def chosen_saw(ledger: Ledger, request: Request) -> HoleSaw | None:
    """The largest listed saw that clears the path and keeps to the work rule's share of the main.

    Parameters: `ledger`, holding the outlet's bore and the main's mean inside diameter; `request`. Returns
    the saw, or None where none fits or the bore is not stated. Raises `OutOfRange` where the bore cannot be
    one.
    """
    bores, inside = path_bores(ledger, request), ledger.get(_MAIN + "inside_diameter_mean")
    if not bores or inside is None:
        return None
    bore = valve_path.least_bore([number for _, number in bores])
    system = "inch" if request.main.table.wall_rule == "inch" else "metric"
    saws = {saw.size.to("mm"): saw for saw in request.catalog.saws if saw.system == system}
    rule = request.catalog.rule_quantity
    size = tap.largest_saw(
        sorted(saws), bore, rule("saw-clearance", "mm"), inside, rule("hole-share", "percent")
    )
    return saws[size] if size is not None else None


def tap_values(ledger: Ledger, request: Request) -> None:
    """How the main is cut: by a saw, or by the fitting's own cutter; nothing where nothing is cut."""
    if request.label is None or request.method is None:
        return
    by_job = request.joint is not None and request.joint.method is not None
    ledger.words("tap.method", request.method, "job file" if by_job else request.label_source)
    if request.method == "built-in cutter":
        cutter_values(ledger, request, request.label.cutter)
    else:
        _saw_values(ledger, request)


def _saw_values(ledger: Ledger, request: Request) -> None:
    """The hole saw, its clearance and how deep it goes."""
    bores = path_bores(ledger, request)
    if not bores:
        reason = "the label data state no outlet bore: enter what the fitting's maker states"
        if "fitting.outlet_bore" in ledger.values:
            reason = "it depends on the valve and the drilling machine: name both in the job"
        for name in ("tap.hole_saw", "tap.travel_set", "tap.travel_limit"):
            ledger.blank(name, reason)
        return
    saw = chosen_saw(ledger, request)
    if saw is None:
        return
    _saw(ledger, request, saw, bores)
    _travel(ledger, request, saw)
    _coupon(ledger, request, saw)


def cutter_values(ledger: Ledger, request: Request, cutter: CutterData) -> None:
    """Turns, travel and stop of a built-in cutter; how far it must go and how far it may."""
    source = request.label_source
    if cutter.turns is None:
        ledger.blank("tap.cutter_turns", "the label data do not state it: enter it from the fitting's label")
    else:
        ledger.number("tap.cutter_turns", float(cutter.turns), source)
    if cutter.travel is not None:
        ledger.stated("tap.cutter_travel", cutter.travel, source)
    elif cutter.turns is not None and cutter.pitch is not None:
        travel = valve_path.cutter_travel(cutter.turns, cutter.pitch.to("mm"))
        pitch = named("pitch of the cutter's thread", request.plain(cutter.pitch))
        ledger.worked("tap.cutter_travel", travel, "turns times pitch", ["tap.cutter_turns", pitch], source)
    _from_contact(ledger, request, cutter)
    if cutter.stop is None:
        ledger.blank("tap.cutter_stop", "the label data do not state it: enter it from the fitting's label")
    else:
        ledger.words("tap.cutter_stop", cutter.stop, source)
    if cutter.diameter is None:
        return
    size, shown = cutter.diameter.to("mm"), named("cutter", request.plain(cutter.diameter))
    _breakthrough(ledger, size, shown)
    _limit(ledger, request, size, 0.0, [shown])
    _flow_area(ledger, size, shown)


def _from_contact(ledger: Ledger, request: Request, cutter: CutterData) -> None:
    """What is left of the cutter's travel once it touches the main; absent where nobody says."""
    travel = ledger.get("tap.cutter_travel")
    if travel is not None and cutter.approach is not None:
        left = max(0.0, travel - cutter.approach.to("mm"))
        words = "the cutter's travel less its way from the stop to the main"
        inputs = ["tap.cutter_travel", named("approach", request.plain(cutter.approach))]
        ledger.worked("tap.cutter_travel_from_contact", left, words, inputs, request.label_source)


def _saw(ledger: Ledger, request: Request, saw: HoleSaw, bores: list[tuple[Input, float]]) -> None:
    """The saw and the room it has in the narrowest place of the path."""
    cite, size = request.catalog.cite_rule, saw.size.to("mm")
    words = (
        "the largest listed saw with the clearance on each side of the least bore, "
        "within the share of the main's mean inside diameter"
    )
    rules = [rule_input(request, "saw-clearance"), rule_input(request, "hole-share")]
    least, passed = "fitting.outlet_bore", [shown for shown, _ in bores]
    bore = valve_path.least_bore([number for _, number in bores])
    if request.method == "through a valve":
        least = "tap.least_bore"
        ledger.worked(least, bore, "the least of what the saw passes", passed, "arithmetic")
    inputs: list[Input] = [least, _MAIN + "inside_diameter_mean", *rules]
    sources = (cite("saw-clearance"), cite("hole-share"), request.catalog.cite(saw.source))
    ledger.worked("tap.hole_saw", size, words, inputs, *sources, stated=saw.size)
    room, names = tap.clearance(bore, size), [least, "tap.hole_saw"]
    ledger.worked("tap.clearance", room, "half of bore less saw", names, "arithmetic")


def _breakthrough(ledger: Ledger, size: float, shown: Input) -> None:
    """Travel until the whole edge of the hole is cut, from the teeth's contact."""
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "wall_max")
    assert pipe is not None  # the pipe table gives them
    diameter, wall = pipe
    through = tap.travel_to_breakthrough(diameter, wall, size)
    words = "outer radius less the height of the hole's edge over the axis at the thickest wall"
    inputs: list[Input] = [_MAIN + "outside_diameter", _MAIN + "wall_max", shown]
    ledger.worked("tap.travel_to_breakthrough", through, words, inputs, "geometry of two cylinders")


def _limit(ledger: Ledger, request: Request, size: float, pilot: float, shown: list[Input]) -> None:
    """Travel that neither teeth nor pilot may exceed."""
    pipe = ledger.all(_MAIN + "outside_diameter_min", _MAIN + "wall_max")
    assert pipe is not None  # the pipe table gives them
    (least, wall), margin = pipe, request.catalog.rule_quantity("travel-margin", "mm")
    limit = tap.travel_limit(least, wall, size, pilot, margin)
    words = "the lesser of the teeth and the pilot reaching the far wall, less the margin"
    inputs: list[Input] = [_MAIN + "outside_diameter_min", _MAIN + "wall_max", *shown]
    inputs.append(rule_input(request, "travel-margin"))
    ledger.worked("tap.travel_limit", limit, words, inputs, request.catalog.cite_rule("travel-margin"))


def _travel(ledger: Ledger, request: Request, saw: HoleSaw) -> None:
    """Travel to break through, to set and at most, and what it asks of saw, mark and machine."""
    pipe = ledger.all(_MAIN + "outside_diameter_min", _MAIN + "wall_max")
    assert pipe is not None  # the pipe table gives them
    (least, wall), size, oversize = pipe, saw.size.to("mm"), saw.oversize.to("mm")
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    _breakthrough(ledger, size, "tap.hole_saw")
    travel = tap.travel_set(least, wall, size, oversize, rule("overtravel", "mm"))
    words = "as to break through, on the smallest main with the saw's oversize, plus the overtravel"
    over = named("saw oversize", request.plain(saw.oversize))
    inputs: list[Input] = [_MAIN + "outside_diameter_min", _MAIN + "wall_max", "tap.hole_saw", over]
    inputs.append(rule_input(request, "overtravel"))
    ledger.worked("tap.travel_set", travel, words, inputs, cite("overtravel"))
    pilot = named("pilot projection", request.plain(saw.pilot_projection))
    drills: list[Input] = ["tap.hole_saw", over, pilot]
    _limit(ledger, request, size + oversize, saw.pilot_projection.to("mm"), drills)
    _depths(ledger, request, travel)


def _depths(ledger: Ledger, request: Request, travel: float) -> None:
    """What the travel asks of the cup; where the depth mark goes, or how far the machine must reach."""
    words = "the travel to set: the cup must take it whole"
    ledger.worked("tap.saw_depth_min", travel, words, ["tap.travel_set"], "arithmetic")
    height = ledger.get("fitting.outlet_height")
    if height is None:
        return
    if request.method == "open drill":
        words = "outlet height plus travel to set, from the saw's teeth up the shank"
        mark = tap.depth_mark(height, travel)
        names = ["fitting.outlet_height", "tap.travel_set"]
        ledger.worked("tap.depth_mark", mark, words, names, "arithmetic")
    elif request.valve and request.machine:
        length, reach = request.valve.length, request.machine.reach
        stroke = valve_path.stroke_min(height, length.to("mm"), reach.to("mm"), travel)
        words = "reach of the machine, valve and outlet to pass, plus the travel to set"
        tools = [named("valve", request.plain(length)), named("reach", request.plain(reach))]
        inputs: list[Input] = ["fitting.outlet_height", *tools, "tap.travel_set"]
        source = request.catalog.cite(request.machine.source)
        ledger.worked("tap.stroke_min", stroke, words, inputs, source)


def _coupon(ledger: Ledger, request: Request, saw: HoleSaw) -> None:
    """Mass of the coupon, and the hole's area against the lateral's bore."""
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "wall_min")
    assert pipe is not None  # the pipe table gives them
    diameter, wall = pipe
    if request.main.material is not None:
        density, inside, pilot = request.main.material.density, saw.inside_diameter, saw.pilot_diameter
        volume = coupon.coupon_volume(diameter, wall, inside.to("mm"), pilot.to("mm"))
        words = "volume of the main's wall inside the saw, less the pilot hole, times density"
        saws = [
            named("saw's inside diameter", request.plain(inside)),
            named("pilot", request.plain(pilot)),
            named("density", str(density)),
        ]
        inputs = [_MAIN + "outside_diameter", _MAIN + "wall_min", *saws]
        sources = ("geometry of two cylinders", request.catalog.cite(saw.source))
        mass = coupon.coupon_mass(volume, density.to("kg/m3"))
        ledger.worked("tap.coupon_mass", mass, words, inputs, *sources)
    _flow_area(ledger, saw.size.to("mm"), "tap.hole_saw")


def _flow_area(ledger: Ledger, size: float, shown: Input) -> None:
    """The hole's area against the lateral's bore."""
    bore = "pipe.lateral.inside_diameter_mean"
    lateral = ledger.get(bore)
    assert lateral is not None  # the pipe table gives it
    words = "area of the hole over area of the lateral's mean bore"
    share = tap.flow_area_percent(size, lateral)
    ledger.worked("tap.flow_area_percent", share, words, [shown, bore], "arithmetic")
