"""Everything that follows from a pipe alone: diameters, walls, girth, out-of-round, pressure ratings.

In: a `Request` and one of its pipes. Out: pipe.main.* or pipe.lateral.* in a `Ledger`. Vocabulary: inch pipe
has a tolerance by its standard and a wall worked from its ratio; a size that lists its own band or wall has
them stated.
Sources: the pipe table's standards, the materials file, the work rule of ovality.
"""

from __future__ import annotations

from packgen.calc import pipe, rating
from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input
from packgen.model.catalog import Pipe
from packgen.model.records import Material, PipeSize, TemperatureFactor, Tolerance, Wall
from packgen.units import Quantity


def both_pipes(ledger: Ledger, request: Request) -> None:
    """The values of main and lateral; of a coupling, whose two lengths are one pipe, the lateral's alone."""
    if not request.is_coupling:
        pipe_values(ledger, request, "main", request.main)
    pipe_values(ledger, request, "lateral", request.lateral)


def pipe_values(ledger: Ledger, request: Request, side: str, of: Pipe) -> None:
    """Diameters, walls, girth, out-of-round and rating of one pipe; `side` is "main" or "lateral"."""
    name = f"pipe.{side}."
    ledger.stated(name + "outside_diameter", of.size.outside_diameter, request.catalog.cite(of.size.source))
    if of.tolerance is not None:
        _tolerance_band(ledger, request, name, of, of.tolerance)
    else:
        _own_band(ledger, request, name, of.size)
    if of.wall is not None:
        _listed_wall(ledger, request, name, of.wall)
    else:
        _worked_wall(ledger, request, name, of)
    _out_of_round(ledger, request, name, of)
    girth, whole = pipe.girth(of.outside_diameter), name + "outside_diameter"
    ledger.worked(name + "girth", girth, "π times the outside diameter", [whole], "arithmetic")
    for end in ("min", "max"):
        diameter = ledger.get(f"{name}outside_diameter_{end}")
        assert diameter is not None  # the band was put in above
        words, inputs = "π times the band's outside diameter", [f"{name}outside_diameter_{end}"]
        ledger.worked(f"{name}girth_{end}", pipe.girth(diameter), words, inputs, "arithmetic")
    _rating(ledger, request, name, of)


def _tolerance_band(ledger: Ledger, request: Request, name: str, of: Pipe, tolerance: Tolerance) -> None:
    """Least and greatest outside diameter by the pipe's standard."""
    low, high = pipe.outside_diameter_band(of.outside_diameter, tolerance.plus_minus.to("mm"))
    band = request.plain(tolerance.plus_minus)
    shown = named(f"tolerance of {tolerance.standard}, plus and minus", band)
    inputs = [name + "outside_diameter", shown]
    source = request.catalog.cite(tolerance.source)
    words = "nominal outside diameter less the tolerance"
    ledger.worked(name + "outside_diameter_min", low, words, inputs, source)
    words = "nominal outside diameter plus the tolerance"
    ledger.worked(name + "outside_diameter_max", high, words, inputs, source)


def _own_band(ledger: Ledger, request: Request, name: str, size: PipeSize) -> None:
    """Least and greatest outside diameter as the table lists them: the nominal one is the least."""
    source = request.catalog.cite(size.source)
    ledger.stated(name + "outside_diameter_min", size.outside_diameter, source)
    ledger.stated(name + "outside_diameter_max", size.outside_diameter_max, source)


def _worked_wall(ledger: Ledger, request: Request, name: str, of: Pipe) -> None:
    """Least and greatest wall of inch pipe, and the mean bore they leave."""
    diameter, source = of.outside_diameter, request.catalog.cite(of.table.wall_source)
    inputs: list[Input] = [name + "outside_diameter", named("dimension ratio", f"{of.designation.dr:g}")]
    wall = pipe.inch_wall_min(diameter, of.designation.dr)
    words = "outside diameter over dimension ratio, to 0.001 in"
    ledger.worked(name + "wall_min", wall, words, inputs, source)
    thickest = pipe.inch_wall_max(wall)
    ledger.worked(name + "wall_max", thickest, "1.12 times the minimum wall", [name + "wall_min"], source)
    inside = pipe.inch_inside_diameter_mean(diameter, wall)
    words = "outside diameter less 2.12 times the minimum wall"
    inputs = [name + "outside_diameter", name + "wall_min"]
    ledger.worked(name + "inside_diameter_mean", inside, words, inputs, source)


def _listed_wall(ledger: Ledger, request: Request, name: str, wall: Wall) -> None:
    """Least and greatest wall as the table lists them, and the mean bore they leave."""
    source = request.catalog.cite(wall.source)
    ledger.stated(name + "wall_min", wall.min, source)
    ledger.stated(name + "wall_max", wall.max, source)
    names = [name + part for part in ("outside_diameter_min", "outside_diameter_max", "wall_min", "wall_max")]
    numbers = ledger.all(*names)
    assert numbers is not None  # the band and the walls were put in above
    inside = pipe.listed_inside_diameter_mean(*numbers)
    words = "mean of least and greatest outside diameter, less least and greatest wall"
    ledger.worked(name + "inside_diameter_mean", inside, words, names, "arithmetic")


def _out_of_round(ledger: Ledger, request: Request, name: str, of: Pipe) -> None:
    """How far high and low diameter may differ: the work rule's share, or what the table states if less."""
    whole, cite = name + "outside_diameter", request.catalog.cite_rule("ovality")
    by_rule = pipe.out_of_round_max(of.outside_diameter, request.catalog.rule_quantity("ovality", "percent"))
    stated = of.size.out_of_round_max
    label = request.label.socket.out_of_round_max if request.is_coupling and request.label else None
    if label is not None and label.to("mm") <= by_rule + FLOAT_NOISE:
        ledger.stated(name + "out_of_round_max", label, request.label_source)
        return
    if stated is not None and stated.to("mm") <= by_rule + FLOAT_NOISE:
        ledger.stated(name + "out_of_round_max", stated, request.catalog.cite(of.size.source))
        return
    words, inputs = "the work rule's share of the nominal outside diameter", [whole]
    more: list[Input] = [rule_input(request, "ovality")]
    if stated is not None:
        words += ", which is less than the pipe's standard lets it be after extrusion"
        more.append(named("out-of-round after extrusion", request.plain(stated)))
    ledger.worked(name + "out_of_round_max", by_rule, words, [*inputs, *more], cite)


_Rating = tuple[float, str, list[Input], str]


def _rating(ledger: Ledger, request: Request, name: str, of: Pipe) -> None:
    """Pressure rating for the contents, and at the temperature given; absent where the material has none."""
    if of.material is None:
        return
    found = _gas_rating(request, of, of.material) if request.contents == "gas" else _water_rating(request, of)
    if found is None:
        return
    number, words, inputs, source = found
    ratio = named("dimension ratio", f"{of.designation.dr:g}")
    ledger.worked(name + "pressure_rating", number, words, [*inputs, ratio], request.catalog.cite(source))
    _rating_at(ledger, request, name, number, of.material)


def _gas_rating(request: Request, of: Pipe, material: Material) -> _Rating | None:
    """Rating in gas: number, method, inputs and source."""
    basis, factor, cap = (
        material.hydrostatic_design_basis,
        material.gas_design_factor,
        material.gas_pressure_cap,
    )
    if cap is None:
        return None
    if basis is None or factor is None:
        return _gas_rating_by_strength(request, of, material, cap)
    number = rating.gas_pressure_rating(basis.to("kPa"), factor, of.designation.dr, cap.to("kPa"))
    words = (
        "2 × hydrostatic design basis × design factor over (dimension ratio − 1), "
        "at most the regulation's cap"
    )
    inputs: list[Input] = [
        named("hydrostatic design basis", request.plain(basis)),
        named("design factor", f"{factor:g}"),
        named("cap", request.plain(cap)),
    ]
    return number, words, inputs, material.gas_source or material.source


def _gas_rating_by_strength(request: Request, of: Pipe, material: Material, cap: Quantity) -> _Rating | None:
    """Rating in gas of pipe with a required strength; only in the material's own size systems."""
    strength, coefficient = material.minimum_required_strength, material.gas_coefficient
    if strength is None or coefficient is None or of.table.system not in material.systems:
        return None
    rated = rating.strength_pressure_rating(strength.to("kPa"), coefficient, of.designation.dr)
    words = "2 × minimum required strength over (gas coefficient × (dimension ratio − 1)), at most the cap"
    inputs: list[Input] = [
        named("minimum required strength", request.plain(strength)),
        named("gas coefficient", f"{coefficient:g}"),
        named("cap", request.plain(cap)),
    ]
    return min(rated, cap.to("kPa")), words, inputs, material.gas_source or material.source


def _water_rating(request: Request, of: Pipe) -> _Rating | None:
    """Rating in water, by design stress or by required strength: number, method, inputs and source."""
    material, dr = of.material, of.designation.dr
    assert material is not None  # _rating looked
    stress, strength, coefficient = (
        material.hydrostatic_design_stress,
        material.minimum_required_strength,
        material.design_coefficient,
    )
    inputs: list[Input]
    if stress is not None:
        number = rating.water_pressure_rating(stress.to("kPa"), dr)
        words = "2 × hydrostatic design stress over (dimension ratio − 1)"
        inputs = [named("hydrostatic design stress", request.plain(stress))]
    elif strength is not None and coefficient is not None:
        number = rating.strength_pressure_rating(strength.to("kPa"), coefficient, dr)
        words = "2 × minimum required strength over (design coefficient × (dimension ratio − 1))"
        inputs = [
            named("minimum required strength", request.plain(strength)),
            named("design coefficient", f"{coefficient:g}"),
        ]
    else:
        return None
    return number, words, inputs, material.source


def _rating_at(ledger: Ledger, request: Request, name: str, cold: float, material: Material) -> None:
    """The rating at the ambient temperature given, where the factors for the material's basis reach it."""
    if request.ambient is None or not request.derates:
        return
    row = _factor(request, material, request.ambient.to("degC"))
    if row is None:
        return
    source = request.catalog.cite(row.source)
    ledger.number(name + "temperature_factor", row.factor, source)
    words = "rating times the factor for the temperature"
    temperature = named("temperature", request.plain(request.ambient))
    inputs = [name + "pressure_rating", name + "temperature_factor", temperature]
    ledger.worked(name + "pressure_rating_at", cold * row.factor, words, inputs, source)


def _factor(request: Request, material: Material, warm: float) -> TemperatureFactor | None:
    """The first factor for the material's basis whose temperature is not exceeded."""
    basis = "required strength" if material.hydrostatic_design_stress is None else "design stress"
    rows = (row for row in request.catalog.temperature_factors if row.rated_by == basis)
    return next((row for row in rows if warm <= row.up_to.to("degC") + FLOAT_NOISE), None)
