"""How long a joint waits in heat; put into the ledger.

In: a `Request` and a `Ledger` that holds label, pipe and energy. Out: cool.end_temperature, cool.band.*, the
bare cool.extra and cool.*_at where an air temperature is given, cool.melt_depth_*. Vocabulary: as in `heat`;
a *band* is ten kelvin of air or pipe temperature, whichever is hotter, named by its upper limit.
Sources: the label's waits; conduction; the work rules `cool-*` and `heat-wait-*`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.heat import HeatCase
from packgen.calc.heat_bands import Waits, extra_waits
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_count, rule_input
from packgen.model.catalog import rule_value
from packgen.register import BAND_LIMITS, band_name
from packgen.units import Quantity, quantity

WAITS = ("clamp_time", "pressure_wait", "tap_wait")
# The plane ends so far above the air: nearer to it, a small error of the model is a long time.
LEAST_ABOVE = 30.0  # K
_RULES = ("cool-end-temperature", "cool-film-outside", "cool-film-inside")
_POLICIES = ("heat-wait-addition", "heat-wait-multiple")
_SOURCE = "conservation of heat and Fourier's law"
_AT = "air or pipe, the hotter, at"


@dataclass(frozen=True)
class Cooled:
    """What the waits in heat follow from: the joint, its pipe's radius, the reference and the window."""

    case: HeatCase
    radius: float  # mm
    reference: float  # degree Celsius
    coldest: float  # degree Celsius
    hottest: float  # degree Celsius

    def limit(self, band: int) -> float:
        """The temperature a band stands for: its upper limit, or the window's where that cuts it off."""
        return min(float(band), self.hottest) if self.permits(band) else float(band)

    def permits(self, band: int) -> bool:
        """Whether any part of a band is within the window; the first band reaches down to its lower end."""
        return band - 10.0 < self.hottest and self.coldest <= band

    def far_enough(self, temperature: float) -> bool:
        """Whether the end temperature is far enough above a temperature to be reckoned with."""
        return temperature + LEAST_ABOVE <= self.case.end_temperature + FLOAT_NOISE

    @property
    def bands(self) -> tuple[int, ...]:
        """The bands that the window permits."""
        return tuple(band for band in BAND_LIMITS if self.permits(band))


def cool_values(ledger: Ledger, request: Request) -> None:
    """The waits by band, and at the air temperature given; absent where drawing data or a reference are."""
    rule = request.catalog.rule("cool-end-temperature")
    ledger.stated("cool.end_temperature", rule_value(rule), request.catalog.cite_rule(rule.id))
    joint = cooled(ledger, request)
    if joint is None:
        return
    air = warmest(request)
    asked = [] if air is None else [air.to("degC")]
    temperatures = [each for each in (*map(joint.limit, joint.bands), *asked) if joint.far_enough(each)]
    waits = extra_waits(joint.case, joint.radius, joint.reference, temperatures) if temperatures else None
    extra = dict(zip(temperatures, waits.extra, strict=True)) if waits else {}
    for band in BAND_LIMITS:
        limit = joint.limit(band)
        _put(
            ledger, request, joint, band_name(band), _degrees(limit), extra.get(limit), joint.permits(band)
        )
    if air is not None:
        number = air.to("degC")
        inside = joint.coldest - FLOAT_NOISE <= number <= joint.hottest + FLOAT_NOISE
        _put(ledger, request, joint, "cool.", air, extra.get(number), inside)
    if waits:
        _melt(ledger, request, joint, waits)


def hotter(*temperatures: Quantity | None) -> Quantity | None:
    """The hottest of the temperatures that are stated; None where none is."""
    stated = (each for each in temperatures if each is not None)
    return max(stated, key=lambda each: each.to("degC"), default=None)


def warmest(request: Request) -> Quantity | None:
    """Air or the pipe's surface as the job states them, the hotter; None where no air is given."""
    surface = request.job.site.pipe_surface if request.job else None
    return hotter(request.ambient, surface) if request.ambient else None


def _degrees(number: float) -> Quantity:
    """A temperature of a band as a quantity."""
    return quantity(f"{number:.6g} degC")


def cooled(ledger: Ledger, request: Request) -> Cooled | None:
    """The joint as the heat model sees it; None where the label lacks drawing data or a time."""
    fused = request.fused
    needed = ledger.all(
        "fitting.wall", fused + "wall_min", "fuse.energy", "fitting.fusion_area", "fuse.time",
        "cool.end_temperature", fused + "outside_diameter", "cool.reference_temperature",
        "weather.ambient_min", "weather.ambient_max",
    )  # fmt: skip
    if needed is None:
        return None
    wall, pipe, energy, area, time, end, diameter, reference, coldest, hottest = needed
    outside, inside = (float(rule_count(request, rule)) for rule in _RULES[1:])
    case = HeatCase(wall, pipe, energy, area, time, end, outside, inside)
    return Cooled(case, diameter / 2.0, reference, coldest, hottest)


def _put(
    ledger: Ledger, request: Request, joint: Cooled, name: str, limit: Quantity, extra: float | None,
    inside: bool,
) -> None:  # fmt: skip
    """The extra wait at one temperature and the waits with it."""
    waits = [wait for wait in WAITS if ledger.get(f"cool.{wait}") is not None]
    names = [f"{name}extra", *(f"{name}{wait}_at" for wait in waits)]
    temperature = named(_AT, request.plain(limit))
    if not inside:
        window = [temperature, "weather.ambient_min", "weather.ambient_max"]
        for each in names:
            ledger.not_permitted(each, "outside the window of fitting and control unit", window, "the window")
    elif extra is None:
        for each in names:
            ledger.blank(each, _too_near(request, limit), required=True)
    else:
        _worked(ledger, request, joint, name, temperature, limit, extra, waits)


def _too_near(request: Request, limit: Quantity) -> str:
    """Why the model says nothing so near to the end temperature."""
    end = request.plain(rule_value(request.catalog.rule("cool-end-temperature")))
    near = request.plain(limit)
    return f"the end temperature {end} is less than {LEAST_ABOVE:g} K above {near}: ask the fitting's maker"


def _worked(
    ledger: Ledger, request: Request, joint: Cooled, name: str, temperature: Input, limit: Quantity,
    extra: float, waits: Sequence[str],
) -> None:  # fmt: skip
    """The extra wait and every stated wait with it, or with the owner's addition or multiple if longer."""
    words = (
        "time from fusion end until the fusion plane is at the end temperature, less the same time at the "
        "reference; none where it is not hotter; walls flat and round, the longer"
    )
    ledger.worked(f"{name}extra", extra, words, _inputs(request, temperature), *_sources(request))
    hot = limit.to("degC") > joint.reference + FLOAT_NOISE
    rules = [rule_input(request, policy) for policy in _POLICIES] if hot else []
    for wait in waits:
        stated = ledger.get(f"cool.{wait}")
        assert stated is not None  # the caller looked
        number = max(stated + extra, _by_policy(request, stated) if hot else 0.0)
        inputs: list[Input] = [f"cool.{wait}", f"{name}extra", *rules]
        more = "; with the owner's addition or multiple if that is longer" if hot else ""
        words = f"the stated wait and the extra wait{more}"
        cited = [request.catalog.cite_rule(policy) for policy in _POLICIES] if hot else []
        ledger.worked(f"{name}{wait}_at", number, words, inputs, request.label_source, *cited)


def _by_policy(request: Request, stated: float) -> float:
    """A stated wait with the owner's addition, or times the owner's multiple, the longer, s."""
    rule = request.catalog.rule_quantity
    multiple = rule("heat-wait-multiple", "percent") / 100.0
    return max(stated + rule("heat-wait-addition", "s"), stated * multiple)


def _inputs(request: Request, temperature: Input) -> list[Input]:
    """What an extra wait follows from."""
    rules = [rule_input(request, rule) for rule in _RULES[1:]]
    return [
        temperature, "cool.reference_temperature", "cool.end_temperature", "fuse.energy", "fuse.time",
        "fitting.fusion_area", "fitting.wall", request.fused + "wall_min",
        request.fused + "outside_diameter", *rules,
    ]  # fmt: skip


def _sources(request: Request) -> tuple[str, ...]:
    """Conduction, and the rules of its ends."""
    return (_SOURCE, *(request.catalog.cite_rule(rule) for rule in _RULES))


def _melt(ledger: Ledger, request: Request, joint: Cooled, waits: Waits) -> None:
    """How deep the walls melt in the hottest band."""
    temperature = named(_AT, request.plain(_degrees(joint.hottest)))
    inputs = _inputs(request, temperature)
    words = "depth from the fusion plane that is at the end of melting or above, at its hottest"
    ledger.worked("cool.melt_depth_fitting", waits.melted_fitting, words, inputs, *_sources(request))
    ledger.worked("cool.melt_depth_pipe", waits.melted_pipe, words, inputs, *_sources(request))
