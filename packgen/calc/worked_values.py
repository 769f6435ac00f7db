"""Values worked out from stated ones and put into the ledger with their workings.

In: a `Request` and a `Ledger` that holds the stated values. Out: fuse.*, peel.*, gap.*, tap.*, squeeze.*,
place.*. Vocabulary: a value whose inputs are missing is absent; only what a crew cannot do without becomes a
blank.
Sources: geometry, Ohm's law, and the work rules each working names.
"""

from __future__ import annotations

from typing import cast, get_args

from packgen.calc import coupon, fuse, gap, peel, place, squeeze, tap
from packgen.calc._guard import require_order
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_choice, rule_count, rule_input, stated_or_rule
from packgen.errors import OutOfRange, Problem
from packgen.model.records import HoleSaw

_MAIN = "pipe.main."


def worked_or_left_out(ledger: Ledger, request: Request) -> list[Problem]:
    """Put in every worked value; what geometry or electricity cannot answer comes back as a problem."""
    questions = (fuse_values, peel_values, gap_values, tap_values, squeeze_values, place_values)
    impossible: list[Problem] = []
    for question in questions:
        try:
            question(ledger, request)
        except OutOfRange as error:
            impossible += [problem for problem in error.problems if problem not in impossible]
    return impossible


def fuse_values(ledger: Ledger, request: Request) -> None:
    """Current, power and energy with the coil cold."""
    electric = ledger.all("fuse.voltage", "fitting.coil_resistance")
    if electric is None:
        return
    inputs: list[Input] = ["fuse.voltage", "fitting.coil_resistance"]
    words = "voltage over coil resistance, coil cold"
    ledger.worked("fuse.current", fuse.current(*electric), words, inputs, "Ohm's law")
    words = "voltage squared over coil resistance, coil cold"
    ledger.worked("fuse.power", fuse.power(*electric), words, inputs, "Ohm's law")
    time = ledger.get("fuse.time")
    if time is None:
        return
    voltage, resistance = electric
    words = "voltage squared times fusion time over coil resistance, coil cold"
    inputs.append("fuse.time")
    ledger.worked("fuse.energy", fuse.energy(voltage, time, resistance), words, inputs, "Ohm's law")
    _energy_band(ledger, request, voltage, time, resistance)


def _energy_band(ledger: Ledger, request: Request, voltage: float, time: float, resistance: float) -> None:
    """Least and greatest energy within the tolerances, where the coil's is stated."""
    tolerance, rule = ledger.get("fitting.coil_tolerance"), "control-unit-output-tolerance"
    if tolerance is None:
        return
    output = request.catalog.rule_quantity(rule, "percent")
    low, high = fuse.energy_band(voltage, time, resistance, tolerance, output)
    names = ["fuse.voltage", "fitting.coil_resistance", "fuse.time", "fitting.coil_tolerance"]
    inputs, sources = [*names, rule_input(request, rule)], ("Ohm's law", request.catalog.cite_rule(rule))
    words = "as the energy, at greatest resistance and least voltage"
    ledger.worked("fuse.energy_min", low, words, inputs, *sources)
    words = "as the energy, at least resistance and greatest voltage"
    ledger.worked("fuse.energy_max", high, words, inputs, *sources)


def peel_values(ledger: Ledger, request: Request) -> None:
    """Depths, what a pass takes, how many are permitted, and the zone to peel."""
    label = request.label
    if label is None:
        return
    for end in ("min", "max"):
        stated = getattr(label.peel, f"depth_{end}")
        stated_or_rule(ledger, request, f"peel.depth_{end}", stated, f"peel-depth-{end}")
        ledger.stated(f"peel.ribbon_{end}", getattr(label.peel, f"ribbon_{end}"), request.label_source)
    numbers = ledger.all("peel.depth_min", "peel.depth_max", _MAIN + "wall_min")
    assert numbers is not None  # a rule gives the depths where the label does not, the pipe table the wall
    least, depth, wall = numbers
    require_order(least_peel_depth=least, greatest_peel_depth=depth)
    words, inputs = "greatest peel depth over minimum wall", ["peel.depth_max", _MAIN + "wall_min"]
    loss = peel.wall_loss_percent(depth, wall)
    ledger.worked("peel.wall_loss_percent", loss, words, inputs, "arithmetic")
    _gouge(ledger, request, wall, depth)
    _diameter_after(ledger, request, depth)
    _passes(ledger, request, depth, wall)
    _zone(ledger, request)


def _gouge(ledger: Ledger, request: Request, wall: float, depth: float) -> None:
    """The deepest gouge that leaves room for one pass."""
    share = request.catalog.rule_quantity("surface-loss", "percent")
    words = "the surface-loss share of the minimum wall, less one pass at the greatest depth"
    inputs = [_MAIN + "wall_min", "peel.depth_max", rule_input(request, "surface-loss")]
    source = request.catalog.cite_rule("surface-loss")
    ledger.worked("peel.gouge_depth_max", peel.gouge_depth_max(share, wall, depth), words, inputs, source)


def _diameter_after(ledger: Ledger, request: Request, depth: float) -> None:
    """What one pass leaves of the diameter."""
    zone = cast(peel.Zone, rule_choice(request, "peeled-zone", *get_args(peel.Zone)))
    after = peel.diameter_after_one_pass(request.main.outside_diameter, depth, zone)
    taken = "one peel depth (one side)" if zone == "footprint" else "two peel depths"
    inputs = [_MAIN + "outside_diameter", "peel.depth_max", rule_input(request, "peeled-zone")]
    source = request.catalog.cite_rule("peeled-zone")
    ledger.worked("peel.diameter_after_one_pass", after, f"outside diameter less {taken}", inputs, source)


def _passes(ledger: Ledger, request: Request, depth: float, wall: float) -> None:
    """How many passes are permitted, and from what diameter on."""
    least, cite = ledger.get("fitting.main_diameter_min"), request.catalog.cite_rule
    loss = request.catalog.rule_quantity("surface-loss", "percent")
    rule = rule_count(request, "peel-passes")
    passes = peel.passes_max(rule, loss, wall, depth, request.main.outside_diameter, least)
    words = "the least of what work rule, surface-loss rule and the fitting's least diameter leave room for"
    inputs = [rule_input(request, "peel-passes"), rule_input(request, "surface-loss"), "peel.depth_max"]
    inputs.append(_MAIN + "wall_min")
    inputs += [_MAIN + "outside_diameter", "fitting.main_diameter_min"] if least is not None else []
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
    names = ["fitting.bore_radius", "fitting.base_angle", _MAIN + "outside_diameter_max"]
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
    if label is None:
        return
    stated_or_rule(ledger, request, "gap.feeler", label.gap.feeler, "feeler")
    names = [
        "fitting.bore_radius",
        "fitting.base_angle",
        _MAIN + "outside_diameter_min",
        _MAIN + "outside_diameter_max",
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


def chosen_saw(ledger: Ledger, request: Request) -> HoleSaw | None:
    """The largest listed saw that clears the path and keeps to the work rule's share of the main.

    Parameters: `ledger`, holding the outlet's bore and the main's mean inside diameter; `request`. Returns
    the saw, or None where none fits or the bore is not stated. Raises `OutOfRange` where the bore cannot be
    one.
    """
    numbers = ledger.all("fitting.outlet_bore", _MAIN + "inside_diameter_mean")
    if numbers is None:
        return None
    bore, inside = numbers
    system = "inch" if request.main.table.wall_rule == "inch" else "metric"
    saws = {saw.size.to("mm"): saw for saw in request.catalog.saws if saw.system == system}
    rule = request.catalog.rule_quantity
    size = tap.largest_saw(
        sorted(saws), bore, rule("saw-clearance", "mm"), inside, rule("hole-share", "percent")
    )
    return saws[size] if size is not None else None


def tap_values(ledger: Ledger, request: Request) -> None:
    """The hole saw, its clearance and how deep it goes."""
    if request.label is None:
        return
    by_job = request.joint is not None and request.joint.method is not None
    ledger.words("tap.method", request.method, "job file" if by_job else request.label_source)
    bore = ledger.get("fitting.outlet_bore")
    if bore is None:
        reason = "the label data state no outlet bore: enter what the fitting's maker states"
        for name in ("tap.hole_saw", "tap.travel_set", "tap.travel_limit"):
            ledger.blank(name, reason)
        return
    saw = chosen_saw(ledger, request)
    if saw is None:
        return
    _saw(ledger, request, saw, bore)
    _travel(ledger, request, saw)
    _coupon(ledger, request, saw)


def _saw(ledger: Ledger, request: Request, saw: HoleSaw, bore: float) -> None:
    """The saw and the room it has."""
    cite, size = request.catalog.cite_rule, saw.size.to("mm")
    words = (
        "the largest listed saw with the clearance on each side of the least bore, "
        "within the share of the main's mean inside diameter"
    )
    rules = [rule_input(request, "saw-clearance"), rule_input(request, "hole-share")]
    inputs = ["fitting.outlet_bore", _MAIN + "inside_diameter_mean", *rules]
    sources = (cite("saw-clearance"), cite("hole-share"), request.catalog.cite(saw.source))
    ledger.worked("tap.hole_saw", size, words, inputs, *sources, stated=saw.size)
    room, names = tap.clearance(bore, size), ["fitting.outlet_bore", "tap.hole_saw"]
    ledger.worked("tap.clearance", room, "half of bore less saw", names, "arithmetic")


def _travel(ledger: Ledger, request: Request, saw: HoleSaw) -> None:
    """Travel to break through, to set and at most, the depth mark and the cup's least depth."""
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "outside_diameter_min", _MAIN + "wall_max")
    assert pipe is not None  # the pipe table gives them
    diameter, least, wall = pipe
    size, oversize = saw.size.to("mm"), saw.oversize.to("mm")
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    through, names = tap.travel_to_breakthrough(diameter, wall, size), [_MAIN + "wall_max", "tap.hole_saw"]
    words = "outer radius less the height of the hole's edge over the axis at the thickest wall"
    inputs: list[Input] = [_MAIN + "outside_diameter", *names]
    ledger.worked("tap.travel_to_breakthrough", through, words, inputs, "geometry of two cylinders")
    travel = tap.travel_set(least, wall, size, oversize, rule("overtravel", "mm"))
    words = "as to break through, on the smallest main with the saw's oversize, plus the overtravel"
    smallest = [_MAIN + "outside_diameter_min", *names, named("saw oversize", request.plain(saw.oversize))]
    inputs = [*smallest, rule_input(request, "overtravel")]
    ledger.worked("tap.travel_set", travel, words, inputs, cite("overtravel"))
    pilot, margin = saw.pilot_projection.to("mm"), rule("travel-margin", "mm")
    limit = tap.travel_limit(least, wall, size + oversize, pilot, margin)
    words = "the lesser of the teeth and the pilot reaching the far wall, less the margin"
    shown = named("pilot projection", request.plain(saw.pilot_projection))
    inputs = [*smallest, shown, rule_input(request, "travel-margin")]
    ledger.worked("tap.travel_limit", limit, words, inputs, cite("travel-margin"))
    _depths(ledger, travel)


def _depths(ledger: Ledger, travel: float) -> None:
    """What the travel to set asks of the cup, and where the depth mark goes."""
    words = "the travel to set: the cup must take it whole"
    ledger.worked("tap.saw_depth_min", travel, words, ["tap.travel_set"], "arithmetic")
    height = ledger.get("fitting.outlet_height")
    if height is not None:
        words = "outlet height plus travel to set, from the saw's teeth up the shank"
        inputs = ["fitting.outlet_height", "tap.travel_set"]
        ledger.worked("tap.depth_mark", tap.depth_mark(height, travel), words, inputs, "arithmetic")


def _coupon(ledger: Ledger, request: Request, saw: HoleSaw) -> None:
    """Mass of the coupon, and the hole's area against the lateral's bore."""
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "wall_min", "pipe.lateral.inside_diameter_mean")
    assert pipe is not None  # the pipe tables give them
    diameter, wall, lateral = pipe
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
    share, names = tap.flow_area_percent(saw.size.to("mm"), lateral), ["pipe.lateral.inside_diameter_mean"]
    words = "area of the hole over area of the lateral's mean bore"
    ledger.worked("tap.flow_area_percent", share, words, ["tap.hole_saw", *names], "arithmetic")


def squeeze_values(ledger: Ledger, request: Request) -> None:
    """Distance, stop and times of a squeeze-off; absent where the job does not squeeze."""
    if request.job and not (request.job.isolation and request.job.isolation.by == "squeeze-off"):
        return
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    diameter = request.main.outside_diameter
    times, least = rule_count(request, "squeeze-distance-diameters"), rule("squeeze-distance", "mm")
    rules = [rule_input(request, "squeeze-distance-diameters"), rule_input(request, "squeeze-distance")]
    words = "the greater of a number of diameters and the least distance"
    inputs = [_MAIN + "outside_diameter", *rules]
    sources = (cite("squeeze-distance-diameters"), cite("squeeze-distance"))
    distance = squeeze.distance_min(diameter, times, least)
    ledger.worked("squeeze.distance_min", distance, words, inputs, *sources)
    stop = _gap_stop(ledger, request)
    for name, rule_id in (
        ("close_time_min", "squeeze-close-rate"),
        ("release_time_min", "squeeze-release-rate"),
    ):
        time = squeeze.closing_time(diameter, stop, rule(rule_id, "mm/min"))
        words = "outside diameter less the stop, over the rate"
        inputs = [_MAIN + "outside_diameter", "squeeze.gap_stop", rule_input(request, rule_id)]
        ledger.worked(f"squeeze.{name}", time, words, inputs, cite(rule_id))


def _gap_stop(ledger: Ledger, request: Request) -> float:
    """The gap of the stops, from the wall the work rule names."""
    chosen = rule_choice(request, "squeeze-wall", "minimum wall", "thickest permitted wall")
    name = _MAIN + ("wall_min" if chosen == "minimum wall" else "wall_max")
    wall = ledger.get(name)
    assert wall is not None  # the pipe table gives it
    stop = squeeze.gap_stop(wall, request.catalog.rule_quantity("squeeze-compression", "percent"))
    words = "two walls, less the compression; a stop stated on the tool's plate goes before it"
    inputs = [name, rule_input(request, "squeeze-wall"), rule_input(request, "squeeze-compression")]
    sources = (request.catalog.cite_rule("squeeze-compression"), request.catalog.cite_rule("squeeze-wall"))
    ledger.worked("squeeze.gap_stop", stop, words, inputs, *sources)
    return stop


def place_values(ledger: Ledger, request: Request) -> None:
    """Where round the main the outlet goes."""
    if request.joint is None:
        return
    ledger.number("place.clock_angle", request.joint.clock_angle, "job file")
    arc = place.arc_from_top(request.joint.clock_angle, request.main.outside_diameter)
    words = "share of the girth from the top, the shorter way"
    inputs = ["place.clock_angle", _MAIN + "outside_diameter"]
    ledger.worked("place.arc_from_top", arc, words, inputs, "arithmetic")
