"""Values worked out from stated ones and put into the ledger with their workings.

In: a `Request` and a `Ledger` that holds the stated values. Out: peel.*, gap.*, tap.*, squeeze.*, place.*.
Vocabulary: a value whose inputs are missing is absent; only what a crew cannot do without becomes a blank.
Sources: geometry, and the work rules each working names.
"""

from __future__ import annotations

from packgen.calc import coupon, gap, peel, place, squeeze, tap
from packgen.calc.ledger import Ledger
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input, stated_or_rule
from packgen.errors import OutOfRange
from packgen.model.records import HoleSaw
from packgen.rounding import plain

_MAIN = "pipe.main."


def peel_values(ledger: Ledger, request: Request) -> None:
    """Depths, what a pass takes, how many are permitted, and the zone to peel."""
    label, rule, cite = request.label, request.catalog.rule_quantity, request.catalog.cite_rule
    if label is None:
        return
    for end in ("min", "max"):
        stated_or_rule(ledger, request, f"peel.depth_{end}", getattr(label.peel, f"depth_{end}"), f"peel-depth-{end}")
        ledger.stated(f"peel.ribbon_{end}", getattr(label.peel, f"ribbon_{end}"), request.label_source)
    numbers = ledger.all("peel.depth_max", _MAIN + "wall_min", _MAIN + "outside_diameter")
    assert numbers is not None  # the rule gives a depth where the label does not, the pipe table the rest
    depth, wall, diameter = numbers
    inputs = ["peel.depth_max", _MAIN + "wall_min"]
    ledger.worked("peel.wall_loss_percent", peel.wall_loss_percent(depth, wall), "greatest peel depth over minimum wall", inputs, "arithmetic")
    zone: peel.Zone = "footprint" if request.catalog.rule("peeled-zone").value == "footprint" else "whole circumference"
    after = peel.diameter_after_one_pass(diameter, depth, zone)
    words = "outside diameter less one peel depth (one side)" if zone == "footprint" else "outside diameter less two peel depths"
    inputs = [_MAIN + "outside_diameter", "peel.depth_max"]
    ledger.worked("peel.diameter_after_one_pass", after, words, [*inputs, rule_input(request, "peeled-zone")], cite("peeled-zone"))
    least = ledger.get("fitting.main_diameter_min")
    passes = peel.passes_max(
        int(request.catalog.rule("peel-passes").value), rule("surface-loss", "percent"), wall, depth, diameter, least
    )
    words = "the least of what the work rule, the surface-loss rule and the fitting's least diameter leave room for"
    rules = [rule_input(request, "peel-passes"), rule_input(request, "surface-loss")]
    inputs = ["peel.depth_max", _MAIN + "wall_min", *(["fitting.main_diameter_min"] if least else [])]
    ledger.worked("peel.passes_max", passes, words, [*rules, *inputs], cite("peel-passes"), cite("surface-loss"))
    if least is not None:
        start = peel.diameter_to_start(least, depth)
        words = "the fitting's least diameter plus two peel depths"
        ledger.worked("peel.diameter_to_start", start, words, ["fitting.main_diameter_min", "peel.depth_max"], request.label_source)
    _zone(ledger, request)


def _zone(ledger: Ledger, request: Request) -> None:
    """Length, arc and area to peel, where the saddle's base is stated."""
    base = ledger.all("fitting.base_length", "fitting.bore_radius", "fitting.base_angle", _MAIN + "outside_diameter_max")
    if base is None:
        return
    length, radius, angle, diameter = base
    margin, shown = request.catalog.rule_quantity("peel-margin", "mm"), rule_input(request, "peel-margin")
    source = request.catalog.cite_rule("peel-margin")
    along, around = peel.zone_length(length, margin), peel.zone_arc(radius, angle, margin, diameter)
    ledger.worked("peel.zone_length", along, "base length plus a margin at each end", ["fitting.base_length", shown], source)
    words = "2 × bore radius × half-angle plus a margin each side, at most the girth"
    ledger.worked("peel.zone_arc", around, words, ["fitting.bore_radius", "fitting.base_angle", shown], source)
    inputs = ["peel.zone_length", "peel.zone_arc"]
    ledger.worked("peel.zone_area", peel.zone_area(along, around), "zone length times zone arc", inputs, "arithmetic")


def gap_values(ledger: Ledger, request: Request) -> None:
    """The feeler that must not enter, and the widest gap the clamp must close."""
    label = request.label
    if label is None:
        return
    stated_or_rule(ledger, request, "gap.feeler", label.gap.feeler, "feeler")
    names = ["fitting.bore_radius", "fitting.base_angle", _MAIN + "outside_diameter_min", _MAIN + "outside_diameter_max",
             "peel.depth_min", "peel.depth_max"]  # fmt: skip
    numbers = ledger.all(*names)
    if numbers is not None:
        words = (
            "saddle laid on the peeled pipe, before clamping: the wider of the gap at the edge of the base on the smallest pipe "
            "and at the crown on the largest; what the clamp must close, never compared with the feeler"
        )
        ledger.worked("gap.free_gap_max", gap.free_gap_max(*numbers), words, names, "geometry of two circles")


def chosen_saw(ledger: Ledger, request: Request) -> HoleSaw | None:
    """The largest listed saw that clears the path and keeps to the work rule's share of the main; None where none does."""
    numbers = ledger.all("fitting.outlet_bore", _MAIN + "inside_diameter_mean")
    if numbers is None:
        return None
    bore, inside = numbers
    system = "inch" if request.main.table.wall_rule == "inch" else "metric"
    saws = {saw.size.to("mm"): saw for saw in request.catalog.saws if saw.system == system}
    rule = request.catalog.rule_quantity
    size = tap.largest_saw(sorted(saws), bore, rule("saw-clearance", "mm"), inside, rule("hole-share", "percent"))
    return saws[size] if size is not None else None


def tap_values(ledger: Ledger, request: Request) -> None:
    """The hole saw, its clearance and how deep it goes."""
    if request.label is None:
        return
    ledger.words("tap.method", request.method, "job file" if request.joint and request.joint.method else request.label_source)
    if ledger.get("fitting.outlet_bore") is None:
        ledger.blank("tap.hole_saw", "the label data state no outlet bore: enter the saw the fitting's maker names")
        return
    saw = chosen_saw(ledger, request)
    if saw is None:
        return
    cite, rule = request.catalog.cite_rule, request.catalog.rule_quantity
    words = "the largest listed saw with the clearance on each side of the least bore, within the share of the main's mean inside diameter"
    rules = [rule_input(request, "saw-clearance"), rule_input(request, "hole-share")]
    inputs = ["fitting.outlet_bore", _MAIN + "inside_diameter_mean", *rules]
    sources = (cite("saw-clearance"), cite("hole-share"), request.catalog.cite(saw.source))
    size = saw.size.to("mm")
    ledger.worked("tap.hole_saw", size, words, inputs, *sources, stated=saw.size)
    bore = ledger.get("fitting.outlet_bore")
    assert bore is not None  # looked at above
    ledger.worked("tap.clearance", tap.clearance(bore, size), "half of bore less saw", ["fitting.outlet_bore", "tap.hole_saw"], "arithmetic")
    _travel(ledger, request, saw, rule("overtravel", "mm"), rule("travel-margin", "mm"))
    _coupon(ledger, request, saw)


def _travel(ledger: Ledger, request: Request, saw: HoleSaw, overtravel: float, margin: float) -> None:
    """Travel to break through, to set and at most, the depth mark and the cup's least depth."""
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "outside_diameter_min", _MAIN + "wall_max")
    assert pipe is not None  # the pipe table gives them
    diameter, least, wall = pipe
    size, oversize = saw.size.to("mm"), saw.oversize.to("mm")
    cite, inputs = request.catalog.cite_rule, [_MAIN + "wall_max", "tap.hole_saw"]
    over = ("saw oversize", plain(saw.oversize))
    words = "outer radius less the height of the hole's edge over the axis at the thickest wall"
    through = tap.travel_to_breakthrough(diameter, wall, size)
    ledger.worked("tap.travel_to_breakthrough", through, words, [_MAIN + "outside_diameter", *inputs], "geometry of two cylinders")
    travel = tap.travel_set(least, wall, size, oversize, overtravel)
    words = "as to break through, on the smallest main with the saw's oversize, plus the overtravel"
    inputs = [_MAIN + "outside_diameter_min", *inputs, over]
    ledger.worked("tap.travel_set", travel, words, [*inputs, rule_input(request, "overtravel")], cite("overtravel"))
    limit = tap.travel_limit(least, wall, size + oversize, saw.pilot_projection.to("mm"), margin)
    words = "the lesser of the teeth and the pilot reaching the far wall, less the margin"
    inputs += [("pilot projection", plain(saw.pilot_projection)), rule_input(request, "travel-margin")]
    ledger.worked("tap.travel_limit", limit, words, inputs, cite("travel-margin"))
    ledger.worked("tap.saw_depth_min", travel, "the travel to set: the cup must take it whole", ["tap.travel_set"], "arithmetic")
    height = ledger.get("fitting.outlet_height")
    if height is not None:
        words = "outlet height plus travel to set, from the saw's teeth up the shank"
        ledger.worked("tap.depth_mark", tap.depth_mark(height, travel), words, ["fitting.outlet_height", "tap.travel_set"], "arithmetic")


def _coupon(ledger: Ledger, request: Request, saw: HoleSaw) -> None:
    """Mass of the coupon, and the hole's area against the lateral's bore."""
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "wall_min", "pipe.lateral.inside_diameter_mean")
    assert pipe is not None  # the pipe tables give them
    diameter, wall, lateral = pipe
    if request.main.material is not None:
        density = request.main.material.density
        volume = coupon.coupon_volume(diameter, wall, saw.inside_diameter.to("mm"), saw.pilot_diameter.to("mm"))
        words = "volume of the main's wall inside the saw, less the pilot hole, times density"
        inputs = [_MAIN + "outside_diameter", _MAIN + "wall_min", ("saw's inside diameter", plain(saw.inside_diameter)),
                  ("pilot", plain(saw.pilot_diameter)), ("density", str(density))]  # fmt: skip
        mass = coupon.coupon_mass(volume, density.to("kg/m3"))
        ledger.worked("tap.coupon_mass", mass, words, inputs, "geometry of two cylinders", request.catalog.cite(saw.source))
    share = tap.flow_area_percent(saw.size.to("mm"), lateral)
    words = "area of the hole over area of the lateral's mean bore"
    ledger.worked("tap.flow_area_percent", share, words, ["tap.hole_saw", "pipe.lateral.inside_diameter_mean"], "arithmetic")


def squeeze_values(ledger: Ledger, request: Request) -> None:
    """Distance, stop and times of a squeeze-off; absent where the job does not squeeze."""
    if request.job and not (request.job.isolation and request.job.isolation.by == "squeeze-off"):
        return
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    pipe = ledger.all(_MAIN + "outside_diameter", _MAIN + "wall_min", _MAIN + "wall_max")
    assert pipe is not None  # the pipe table gives them
    diameter, thin, thick = pipe
    times = float(request.catalog.rule("squeeze-distance-diameters").value)
    distance = squeeze.distance_min(diameter, times, rule("squeeze-distance", "mm"))
    rules = [rule_input(request, "squeeze-distance-diameters"), rule_input(request, "squeeze-distance")]
    words = "the greater of a number of diameters and the least distance"
    ledger.worked("squeeze.distance_min", distance, words, [_MAIN + "outside_diameter", *rules], cite("squeeze-distance"))
    named = request.catalog.rule("squeeze-wall").value
    wall, wall_name = (thin, "wall_min") if named == "minimum wall" else (thick, "wall_max")
    stop = squeeze.gap_stop(wall, rule("squeeze-compression", "percent"))
    words = "two walls, less the compression; a stop stated on the tool's plate goes before it"
    rules = [rule_input(request, "squeeze-wall"), rule_input(request, "squeeze-compression")]
    ledger.worked("squeeze.gap_stop", stop, words, [_MAIN + wall_name, *rules], cite("squeeze-compression"), cite("squeeze-wall"))
    for name, rule_id in (("close_time_min", "squeeze-close-rate"), ("release_time_min", "squeeze-release-rate")):
        time = squeeze.closing_time(diameter, stop, rule(rule_id, "mm/min"))
        words = "outside diameter less the stop, over the rate"
        inputs = [_MAIN + "outside_diameter", "squeeze.gap_stop", rule_input(request, rule_id)]
        ledger.worked(f"squeeze.{name}", time, words, inputs, cite(rule_id))


def place_values(ledger: Ledger, request: Request) -> None:
    """Where round the main the outlet goes."""
    if request.joint is None:
        return
    ledger.number("place.clock_angle", request.joint.clock_angle, "job file")
    arc = place.arc_from_top(request.joint.clock_angle, request.main.outside_diameter)
    words = "share of the girth from the top, the shorter way"
    ledger.worked("place.arc_from_top", arc, words, ["place.clock_angle", _MAIN + "outside_diameter"], "arithmetic")


def worked_or_left_out(ledger: Ledger, request: Request) -> list[str]:
    """Every worked value of a combination; a question that geometry cannot answer comes back as a sentence."""
    impossible: list[str] = []
    for question in (peel_values, gap_values, tap_values, squeeze_values, place_values):
        try:
            question(ledger, request)
        except OutOfRange as error:
            impossible += [str(problem) for problem in error.problems]
    return impossible
