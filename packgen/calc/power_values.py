"""What generator and supply cord must give, put into the ledger.

In: a `Request` and a `Ledger` that holds fuse.* and the coil's data. Out: power.*. Vocabulary: as in `power`;
the *conductor* is the listed size of a supply cord. With a job its own cord is worked out, without one every
listed cord. Where voltage, coil resistance or coil tolerance is not stated nothing is worked out.
Sources: Ohm's law, the tables of conductors, the work rules each working names; a least generator that the
label or the control unit's plate states wins where it is the higher.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from packgen.calc import power
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input
from packgen.model.power_records import Conductor, size_key
from packgen.register import CORD_VOLTAGES, REGISTER, conductor_size, cord_name
from packgen.rounding import decimal_text
from packgen.units import UNITS, Quantity, join

_COIL = ("fuse.voltage", "fitting.coil_resistance", "fitting.coil_tolerance")
_EFFICIENCY, _FACTOR = "control-unit-efficiency", "control-unit-power-factor"
_MARGIN, _DERATING = "generator-margin", "generator-derating"
_ALTITUDE, _HEAT, _REFERENCE = (f"{_DERATING}-{what}" for what in ("altitude", "heat", "reference"))
_DROP, _WARM = "supply-voltage-drop", "conductor-temperature"
_OHM = "Ohm's law"
_OWN_CORD = "power.supply_cord_length_max"
_PLATE = "control unit's plate, as the job file states it"


def conductor_of(request: Request) -> Conductor | None:
    """The listed conductor of the job's supply cord; None where there is no cord, or none of its size."""
    cord = request.job.equipment.supply_cord if request.job else None
    listed = request.catalog.conductors.values()
    return next((each for each in listed if cord and size_key(each.size) == size_key(cord.size)), None)


@dataclass(frozen=True)
class _Draw:
    """What the control unit draws through a cord, read once for all cords: rules, inputs and sources."""

    apparent: float
    drop_percent: float
    warm: float
    inputs: tuple[Input, ...]
    rule_inputs: tuple[Input, Input]
    sources: tuple[str, ...]
    warm_source: str


def power_values(ledger: Ledger, request: Request) -> None:
    """Supply voltage and current, the generator's least ratings, the longest cords."""
    cord = request.job.equipment.supply_cord if request.job else None
    if cord:
        ledger.stated("power.supply_voltage", cord.voltage, "job file")
    supply = _supply_power(ledger, request)
    apparent = supply and power.apparent_power(supply, request.catalog.rule_quantity(_FACTOR, "percent"))
    _generator(ledger, request, supply)
    _generator_apparent(ledger, request, apparent)
    if apparent is None:
        return
    draw = _draw(request, apparent)
    if cord:
        _supply_current(ledger, draw, cord.voltage.to("V"))
        conductor = conductor_of(request)
        if conductor:
            _cord(ledger, request, draw, conductor, cord.voltage.to("V"), _OWN_CORD)
            _listed_cord(ledger, request, draw, conductor, cord.voltage.to("V"))
    elif request.job is None:
        for conductor in request.catalog.conductors.values():
            for volts in CORD_VOLTAGES:
                _listed_cord(ledger, request, draw, conductor, volts)


def _supply_power(ledger: Ledger, request: Request) -> float | None:
    """The most power the control unit takes in; None where the label does not state the coil."""
    electric = ledger.all(*_COIL)
    if electric is None:
        return None
    output = power.output_power(*electric)
    return power.supply_power(output, request.catalog.rule_quantity(_EFFICIENCY, "percent"))


def _generator(ledger: Ledger, request: Request, supply: float | None) -> None:
    """The least power of the generator."""
    words = (
        "voltage squared over the coil's least resistance, over the control unit's efficiency, with the"
        " margin, over what altitude and heat leave of the plate"
    )
    label = request.label.fuse.generator_min if request.label else None
    stated = [(label, request.label_source)] if label else []
    _least(ledger, request, ("power.generator_rating", "W"), supply, words, stated)


def _generator_apparent(ledger: Ledger, request: Request, apparent: float | None) -> None:
    """The least apparent power of the generator."""
    words = (
        "voltage squared over the coil's least resistance, over the control unit's efficiency and power"
        " factor, with the margin, over what altitude and heat leave of the plate"
    )
    _least(ledger, request, ("power.generator_rating_apparent", "VA"), apparent, words, [], _FACTOR)


def _least(
    ledger: Ledger, request: Request, rating: tuple[str, str], load: float | None, words: str,
    stated: list[tuple[Quantity, str]], *more: str,
) -> None:  # fmt: skip
    """The least figure of the generator's plate: the greatest stated or the worked one, whichever is more.

    `rating` is the value's name and unit, `more` names rules that go with it beside those of every rating.
    """
    name, unit = rating
    control_unit = request.job.equipment.control_unit if request.job else None
    plate = control_unit.generator_min if control_unit else None
    if plate and plate.measures == UNITS[unit].measures:
        stated = [*stated, (plate, _PLATE)]
    loss = _loss(request)
    margin = request.catalog.rule_quantity(_MARGIN, "percent")
    worked = None if load is None else power.generator_rating(load, margin, loss.percent)
    greatest, source = max(stated, key=lambda each: each[0].to(unit), default=(None, ""))
    if greatest and (worked is None or greatest.to(unit) >= worked):
        ledger.stated(name, greatest, source)
    elif worked is not None:
        inputs = [*_COIL, *(rule_input(request, rule) for rule in (_EFFICIENCY, _MARGIN)), *loss.inputs]
        inputs += [rule_input(request, rule) for rule in more]
        cited = (request.catalog.cite_rule(rule) for rule in (_EFFICIENCY, _MARGIN, *loss.rules, *more))
        ledger.worked(name, worked, words, inputs, _OHM, *cited)


@dataclass(frozen=True)
class _Loss:
    """What altitude and heat take off the generator's plate, with what it is worked from."""

    percent: float
    inputs: tuple[Input, ...]
    rules: tuple[str, ...]


def _loss(request: Request) -> _Loss:
    """The rule's least loss, or the one that follows from the job's altitude and air where that is more."""
    rule, shown = request.catalog.rule_quantity, partial(rule_input, request)
    altitude, air = request.job.site.altitude if request.job else None, request.ambient
    reference = rule(_REFERENCE, "degC")
    height, warmth = altitude.to("mm") if altitude else 0.0, air.to("degC") if air else reference
    worked = power.derating(height, rule(_ALTITUDE, "percent"), warmth, reference, rule(_HEAT, "percent"))
    least = rule(_DERATING, "percent")
    if worked <= least:
        return _Loss(least, (shown(_DERATING),), (_DERATING,))
    inputs: list[Input] = []
    rules: list[str] = []
    if altitude and height:
        inputs += [named("altitude", request.plain(altitude, "up")), shown(_ALTITUDE)]
        rules.append(_ALTITUDE)
    if air and warmth > reference:
        inputs += [named("air", request.plain(air, "up")), shown(_HEAT), shown(_REFERENCE)]
        rules += [_HEAT, _REFERENCE]
    return _Loss(worked, tuple(inputs), tuple(rules))


def _draw(request: Request, apparent: float) -> _Draw:
    """The control unit's apparent power with all that its current and its cord are worked from."""
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    rules = [rule_input(request, each) for each in (_EFFICIENCY, _FACTOR)]
    # Up: it is what generator and cord must carry.
    shown = join(decimal_text(apparent, 0, "up"), "VA")
    inputs = (named("apparent power", shown), *_COIL, *rules)
    sources = (_OHM, *(cite(each) for each in (_EFFICIENCY, _FACTOR, _DROP)))
    own = (rule_input(request, _DROP), rule_input(request, _WARM))
    drop, warm = rule(_DROP, "percent"), rule(_WARM, "degC")
    return _Draw(apparent, drop, warm, inputs, own, sources, cite(_WARM))


def _supply_current(ledger: Ledger, draw: _Draw, volts: float) -> None:
    """The current in the job's cord, with all of the permitted drop taken."""
    current = power.supply_current(draw.apparent, volts, draw.drop_percent)
    words = "apparent power of the control unit over the supply voltage less the permitted drop"
    inputs = [*draw.inputs, "power.supply_voltage", draw.rule_inputs[0]]
    ledger.worked("power.supply_current", current, words, inputs, *draw.sources)


def _listed_cord(ledger: Ledger, request: Request, draw: _Draw, conductor: Conductor, volts: float) -> None:
    """The longest cord under its name of voltage and size, where the register has one."""
    name = cord_name(volts, conductor.size)
    if name in REGISTER:
        _cord(ledger, request, draw, conductor, volts, name)


def _cord(
    ledger: Ledger, request: Request, draw: _Draw, conductor: Conductor, volts: float, name: str
) -> None:
    """The longest cord of a conductor at a voltage, or that the conductor may not carry the current."""
    size, ampacity, cite = conductor_size(conductor.size), conductor.ampacity, request.catalog.cite
    drop_rule, warm_rule = draw.rule_inputs
    inputs = [*draw.inputs, named("voltage", f"{volts:g} V"), drop_rule, named("ampacity", str(ampacity))]
    sources = (*draw.sources, cite(conductor.ampacity_source))
    if power.supply_current(draw.apparent, volts, draw.drop_percent) > ampacity.to("A"):
        words = f"a conductor of {size} may not carry the control unit's current"
        ledger.not_permitted(name, words, inputs, *sources)
        return
    stated, at = conductor.resistance, conductor.resistance_at
    warm = power.conductor_resistance(stated.to("ohm/km"), at.to("degC"), draw.warm)
    length = power.cord_length_max(draw.apparent, volts, draw.drop_percent, warm)
    words = (
        f"permitted drop over the drop along {size}, out and back and warm, at the current of the"
        " voltage left"
    )
    inputs += [named("resistance", f"{stated} at {at}"), warm_rule]
    ledger.worked(name, length, words, inputs, *sources, draw.warm_source, cite(conductor.source))
