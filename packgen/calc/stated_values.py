"""Values carried from tables, labels and work rules into the ledger, and what follows from the pipe alone.

In: a `Request`. Out: pipe.*, joint.*, fitting.*, clamp.*, fuse.*, cool.*, spacing.*, weather.* in a `Ledger`.
Vocabulary: a label's value goes before a work rule's. Sources: the pipe table's standards, the label, the work rules.
"""

from __future__ import annotations

from packgen.calc import fuse, pipe
from packgen.calc.ledger import Ledger
from packgen.calc.request import Request
from packgen.model.catalog import Pipe, rule_value
from packgen.rounding import plain
from packgen.units import Quantity


def rule_input(request: Request, rule: str) -> tuple[str, str]:
    """A work rule as an input of a working."""
    value = request.catalog.rule(rule).value
    shown = value if not isinstance(value, str) or not value[:1].isdigit() else plain(rule_value(request.catalog.rule(rule)))
    return (f"work rule {rule}", str(shown))


def stated_or_rule(ledger: Ledger, request: Request, name: str, stated: Quantity | None, rule: str) -> None:
    """A label's value, else the work rule's."""
    if stated is not None:
        ledger.stated(name, stated, request.label_source)
    else:
        ledger.stated(name, rule_value(request.catalog.rule(rule)), request.catalog.cite_rule(rule))


def pipe_values(ledger: Ledger, request: Request, side: str, of: Pipe) -> None:
    """Diameters, walls, girth and out-of-round of one pipe."""
    cite, name = request.catalog.cite, f"pipe.{side}."
    diameter = of.outside_diameter
    band = pipe.outside_diameter_band(diameter, of.tolerance.plus_minus.to("mm"))
    dr = ("dimension ratio", f"{of.designation.dr:g}")
    tolerance = (f"tolerance of {of.tolerance.standard}, plus and minus", plain(of.tolerance.plus_minus))
    wall_source, band_source = cite(of.table.wall_source), cite(of.tolerance.source)
    ledger.stated(name + "outside_diameter", of.size.outside_diameter, cite(of.size.source))
    for end, number in zip(("min", "max"), band, strict=True):
        words = f"nominal outside diameter {'less' if end == 'min' else 'plus'} the tolerance"
        ledger.worked(name + f"outside_diameter_{end}", number, words, [name + "outside_diameter", tolerance], band_source)
    wall = pipe.inch_wall_min(diameter, of.designation.dr)
    ledger.worked(name + "wall_min", wall, "outside diameter over dimension ratio, to 0.001 in", [name + "outside_diameter", dr], wall_source)
    ledger.worked(name + "wall_max", pipe.inch_wall_max(wall), "1.12 times the minimum wall", [name + "wall_min"], wall_source)
    inside = pipe.inch_inside_diameter_mean(diameter, wall)
    words = "outside diameter less 2.12 times the minimum wall"
    ledger.worked(name + "inside_diameter_mean", inside, words, [name + "outside_diameter", name + "wall_min"], wall_source)
    ovality = pipe.out_of_round_max(diameter, request.catalog.rule_quantity("ovality", "percent"))
    words = "the work rule's share of the nominal outside diameter"
    inputs = [name + "outside_diameter", rule_input(request, "ovality")]
    ledger.worked(name + "out_of_round_max", ovality, words, inputs, request.catalog.cite_rule("ovality"))
    ledger.worked(name + "girth", pipe.girth(diameter), "π times the outside diameter", [name + "outside_diameter"], "arithmetic")
    _rating(ledger, request, name, of)


def _rating(ledger: Ledger, request: Request, name: str, of: Pipe) -> None:
    """Pressure rating for the contents, and at the temperature given."""
    material, dr, gas = of.material, of.designation.dr, request.contents == "gas"
    ratio = ("dimension ratio", f"{dr:g}")
    if material is None:
        return
    if gas and material.hydrostatic_design_basis and material.gas_design_factor and material.gas_pressure_cap:
        number = pipe.gas_pressure_rating(
            material.hydrostatic_design_basis.to("kPa"), material.gas_design_factor, dr, material.gas_pressure_cap.to("kPa")
        )
        words = "2 × hydrostatic design basis × design factor over (dimension ratio − 1), at most the regulation's cap"
        inputs = [("hydrostatic design basis", plain(material.hydrostatic_design_basis)), ratio,
                  ("design factor", f"{material.gas_design_factor:g}"), ("cap", plain(material.gas_pressure_cap))]  # fmt: skip
        source = request.catalog.cite(material.gas_source or material.source)
    elif not gas and material.hydrostatic_design_stress:
        number = pipe.water_pressure_rating(material.hydrostatic_design_stress.to("kPa"), dr)
        words = "2 × hydrostatic design stress over (dimension ratio − 1)"
        inputs = [("hydrostatic design stress", plain(material.hydrostatic_design_stress)), ratio]
        source = request.catalog.cite(material.source)
    elif not gas and material.minimum_required_strength and material.design_coefficient:
        strength, coefficient = material.minimum_required_strength, material.design_coefficient
        number = pipe.strength_pressure_rating(strength.to("kPa"), coefficient, dr)
        words = "2 × minimum required strength over (design coefficient × (dimension ratio − 1))"
        inputs = [("minimum required strength", plain(strength)), ("design coefficient", f"{coefficient:g}"), ratio]
        source = request.catalog.cite(material.source)
    else:
        return
    ledger.worked(name + "pressure_rating", number, words, inputs, source)
    _rating_at(ledger, request, name, number)


def _rating_at(ledger: Ledger, request: Request, name: str, rating: float) -> None:
    """The rating at the ambient temperature given, where the table of factors reaches it."""
    if request.ambient is None or request.contents == "gas":
        return
    warm = request.ambient.to("degC")
    for row in request.catalog.temperature_factors:
        if warm <= row.up_to.to("degC") + 1e-9:
            source = request.catalog.cite(row.source)
            ledger.number(name + "temperature_factor", row.factor, source)
            words = "rating times the factor for the temperature"
            inputs = [name + "pressure_rating", name + "temperature_factor", ("temperature", plain(request.ambient))]
            ledger.worked(name + "pressure_rating_at", rating * row.factor, words, inputs, source)
            return


def joint_pressure(ledger: Ledger, request: Request) -> None:
    """The least of main, lateral and fitting; absent where one of the pipes has no rating for the contents."""
    names = [f"pipe.{side}.pressure_rating" for side in ("main", "lateral")]
    names = [f"{name}_at" if f"{name}_at" in ledger.values else name for name in names]
    numbers = ledger.all(*names)
    label = request.label
    if numbers is None:
        return
    fitting = [("fitting, from its label", plain(label.pressure_max))] if label and label.pressure_max else []
    least = min(*numbers, label.pressure_max.to("kPa")) if label and label.pressure_max else min(numbers)
    ledger.worked("joint.pressure_max", least, "the least of main, lateral and fitting", [*names, *fitting], request.label_source)


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
    ledger.words("fuse.time_compensation", label.fuse.time_compensation, source)
    ledger.stated("fuse.main_wall_min", label.fuse.main_wall_min, source)
    ledger.stated("fuse.main_pressure_max", label.fuse.main_pressure_max, source)
    for name in ("clamp_time", "pressure_wait", "tap_wait", "reference_temperature"):
        _stated_or_blank(ledger, f"cool.{name}", getattr(label.cool, name), source)


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
    elif clamp.screw_size:
        ledger.blank("clamp.torque", "the label states no torque: enter one only where the fitting's maker gives it")
    ledger.words("clamp.stop_mark", clamp.stop_mark, source)


def fuse_values(ledger: Ledger, request: Request) -> None:
    """Current, power and energy with the coil cold."""
    electric = ledger.all("fuse.voltage", "fitting.coil_resistance")
    if electric is None:
        return
    inputs = ["fuse.voltage", "fitting.coil_resistance"]
    ledger.worked("fuse.current", fuse.current(*electric), "voltage over coil resistance, coil cold", inputs, "Ohm's law")
    ledger.worked("fuse.power", fuse.power(*electric), "voltage squared over coil resistance, coil cold", inputs, "Ohm's law")
    timed = ledger.all("fuse.voltage", "fuse.time", "fitting.coil_resistance")
    if timed is None:
        return
    words = "voltage squared times fusion time over coil resistance, coil cold"
    inputs.append("fuse.time")
    ledger.worked("fuse.energy", fuse.energy(*timed), words, inputs, "Ohm's law")
    tolerance = ledger.get("fitting.coil_tolerance")
    if tolerance is None:
        return
    output = request.catalog.rule_quantity("control-unit-output-tolerance", "percent")
    band = fuse.energy_band(*timed, tolerance, output)
    inputs += ["fitting.coil_tolerance"]
    rule = rule_input(request, "control-unit-output-tolerance")
    for end, number in zip(("min", "max"), band, strict=True):
        way = "greatest resistance and least voltage" if end == "min" else "least resistance and greatest voltage"
        source = request.catalog.cite_rule("control-unit-output-tolerance")
        ledger.worked(f"fuse.energy_{end}", number, f"as the energy, at {way}", [*inputs, rule], "Ohm's law", source)


def spacing_values(ledger: Ledger, request: Request) -> None:
    """Least distances, edge to edge."""
    for name in ("saddle_to_saddle", "saddle_to_fitting", "saddle_to_pipe_end"):
        rule = "spacing-" + name.replace("_", "-")
        ledger.stated(f"spacing.{name}", rule_value(request.catalog.rule(rule)), request.catalog.cite_rule(rule))


def weather_values(ledger: Ledger, request: Request) -> None:
    """The window where fitting and control unit overlap, and what the job was planned for."""
    label, cite = request.label, request.catalog.cite_rule
    for end, pick in (("min", max), ("max", min)):
        rule = f"control-unit-window-{end}"
        own = rule_value(request.catalog.rule(rule))
        fitting = getattr(label.weather, f"ambient_{end}") if label else None
        bounds = [(own.to("degC"), own, cite(rule))]
        if fitting is not None:
            bounds.append((fitting.to("degC"), fitting, request.label_source))
        _, quantity, _ = pick(bounds, key=lambda bound: bound[0])
        ledger.stated(f"weather.ambient_{end}", quantity, *(source for _, _, source in bounds))
    if request.job:
        ledger.stated("weather.air_temperature", request.job.site.ambient, "job file")
        ledger.stated("weather.humidity", request.job.site.humidity, "job file")
