"""The formulas of worked values as data: each in symbols, and what each symbol stands for.

In: a value's register name and the inputs of its working. Out: the formula that those inputs belong to, its
symbols given their inputs. Vocabulary: a *way* is one formula of a value that is worked in several ways; it
is chosen by the inputs alone: each input belongs to the first symbol that names it, and every symbol has one.
A symbol that ends in "…" stands for one or more inputs, inside braces. An input *beside* the formula has no
symbol: it chose the way, or limits what the formula gives.
Source: the pure functions in `packgen.calc` that the values come from; each has its own.

How the formulas are written: units are part of a number, so 10 % is 0.1 and 44° an angle; a number of
degrees Celsius is that number. min{…}, max{…} and Σ{…} take a list, whole(…) drops what is behind the point,
up(…) goes to the next whole number, ln is the natural logarithm. Equations after the first say what a symbol
of it is. "to 0.001 in" rounds to the nearest step; "largest listed ≤" picks from a list.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from packgen.register import BAND_LIMITS, CORD_LENGTHS, REGISTER, band_name

MANY = "…"
BESIDE = "~"


@dataclass(frozen=True)
class Symbol:
    """A sign of a formula and the inputs it may stand for; without a sign the input is beside the formula.

    `text` is what the input must say, where that alone tells two ways apart.
    """

    sign: str
    inputs: tuple[re.Pattern[str], ...]
    many: bool = False
    text: str = ""

    def names(self, label: str, said: str | None) -> bool:
        """Whether this symbol stands for an input, by its name or label and by what it says."""
        return (not self.text or self.text == said) and any(each.fullmatch(label) for each in self.inputs)


@dataclass(frozen=True)
class Formula:
    """One way of one value: the formula as written, and its symbols."""

    text: str
    symbols: tuple[Symbol, ...]


@dataclass(frozen=True)
class Given:
    """An input of a working and the sign it has in the formula; an empty sign where it is beside it."""

    sign: str
    input: str | tuple[str, str]


@dataclass(frozen=True)
class Filled:
    """The formula of one working, with its symbols in the formula's order."""

    text: str
    given: tuple[Given, ...]


# name | formula | sign = input / another it may be; … (a line that begins with blanks continues a row)
# `.name` is a value of the same pipe or band; `*` stands for any words; `~` is beside the formula.
_PIPE_ROWS = """
outside_diameter_min | Dmin = D − a | D = .outside_diameter; a = tolerance of *, plus and minus
outside_diameter_max | Dmax = D + a | D = .outside_diameter; a = tolerance of *, plus and minus
wall_min | t = D/n to 0.001 in | D = .outside_diameter; n = dimension ratio
wall_max | tmax = 1.12·t | t = .wall_min
inside_diameter_mean | Di = D − 2.12·t | D = .outside_diameter; t = .wall_min
inside_diameter_mean | Di = (Dmin + Dmax)/2 − t − tmax
  | Dmin = .outside_diameter_min; Dmax = .outside_diameter_max; t = .wall_min; tmax = .wall_max
out_of_round_max | o = a·D | a = work rule ovality; D = .outside_diameter
out_of_round_max | o = a·D | a = work rule ovality; D = .outside_diameter; ~ = out-of-round after extrusion
girth | G = π·D | D = .outside_diameter
girth_min | G = π·D | D = .outside_diameter_min
girth_max | G = π·D | D = .outside_diameter_max
pressure_rating | p = 2·S/(n − 1) | S = hydrostatic design stress; n = dimension ratio
pressure_rating | p = 2·S/(C·(n − 1))
  | S = minimum required strength; C = design coefficient; n = dimension ratio
pressure_rating | p = min{2·S·f/(n − 1), q}
  | S = hydrostatic design basis; f = design factor; n = dimension ratio; q = cap
pressure_rating | p = min{2·S/(C·(n − 1)), q}
  | S = minimum required strength; C = gas coefficient; n = dimension ratio; q = cap
pressure_rating_at | p = p₀·f | p₀ = .pressure_rating; f = .temperature_factor; ~ = temperature
"""

_PEEL_ROWS = """
joint.pressure_max | p = min{q…}
  | q… = pipe.*.pressure_rating / pipe.*.pressure_rating_at / fitting, from its label / valve
peel.wall_loss_percent | w = h/t | h = peel.depth_max; t = pipe.*.wall_min
peel.gouge_depth_max | g = max{0, a·t − h}
  | a = work rule surface-loss; t = pipe.*.wall_min; h = peel.depth_max
peel.diameter_after_one_pass | d = D − h
  | D = pipe.*.outside_diameter; h = peel.depth_max; ~footprint = work rule peeled-zone
peel.diameter_after_one_pass | d = D − 2·h
  | D = pipe.*.outside_diameter; h = peel.depth_max; ~whole circumference = work rule peeled-zone
peel.diameter_after_one_pass | d = D − 2·h | D = pipe.*.outside_diameter; h = peel.depth_max
peel.passes_max | n = min{r, whole(a·t/h)}
  | r = work rule peel-passes; a = work rule surface-loss; t = pipe.*.wall_min; h = peel.depth_max
peel.passes_max | n = max{0, min{r, whole(a·t/h), whole((D − d)/(2·h))}}
  | r = work rule peel-passes; a = work rule surface-loss; t = pipe.*.wall_min; h = peel.depth_max;
  D = pipe.*.outside_diameter; d = fitting.main_diameter_min
peel.diameter_to_start | D = d + 2·h | d = fitting.main_diameter_min; h = peel.depth_max
peel.zone_length | L = l + 2·m | l = fitting.base_length; m = work rule peel-margin
peel.zone_arc | s = min{2·R·β·π/180° + 2·m, π·D}
  | R = fitting.bore_radius; β = fitting.base_angle; m = work rule peel-margin;
  D = pipe.*.outside_diameter_max
peel.zone_area | A = L·s | L = peel.zone_length; s = peel.zone_arc
gap.free_gap_max | g = max{√(R² − 2·R·(R − P)·cos(β) + (R − P)²) − P,
  R·(1 − cos(β)) + √(Q² − (R·sin(β))²) − Q}; P = Dmin/2 − hmax; Q = Dmax/2 − hmin
  | R = fitting.bore_radius; β = fitting.base_angle; Dmin = pipe.*.outside_diameter_min;
  Dmax = pipe.*.outside_diameter_max; hmin = peel.depth_min; hmax = peel.depth_max
clamp.torque_guidance | T = K·F·d; F = p·A/n; A = 2·L·R·sin(β)
  | K = work rule nut-factor; d = thread; p = work rule seating-pressure; n = clamp.screws;
  L = fitting.base_length; R = fitting.bore_radius; β = fitting.base_angle;
  ~ = work rule nut-factor-least; ~ = work rule nut-factor-greatest
clamp.torque_limit | T = K·F·d; F = a·S·A; A = π/4·(d − 0.9382·P)²
  | K = work rule nut-factor-least; d = thread; P = pitch; S = proof stress; a = work rule screw-proof-share
clamp.torque_limit | T = K·F·d; F = min{a·S·A, Q}; A = π/4·(d − 0.9382·P)²
  | K = work rule nut-factor-least; d = thread; P = pitch; S = proof stress; a = work rule screw-proof-share;
  Q = lug, from the label
"""

# What the control unit draws at the coil's least resistance, in every formula of generator and cord.
_COIL = "U = fuse.voltage; R = fitting.coil_resistance; r = fitting.coil_tolerance; "
_COIL += "η = work rule control-unit-efficiency"
_DRAW = f"{_COIL}; λ = work rule control-unit-power-factor; S = apparent power"
_PLATE = f"{_COIL}; m = work rule generator-margin"
_HEIGHT = "H = altitude; a = work rule generator-derating-altitude"
_AIR = "T = air; b = work rule generator-derating-heat; T₀ = work rule generator-derating-reference"
_LOSSES = (
    ("z", "", "z = work rule generator-derating"),
    ("z", "; z = a·H/1000 ft", _HEIGHT),
    ("z", "; z = b·(T − T₀)/10 K", _AIR),
    ("z", "; z = a·H/1000 ft + b·(T − T₀)/10 K", f"{_HEIGHT}; {_AIR}"),
)
_FUSE_ROWS = f"""
fuse.current | I = U/R | U = fuse.voltage; R = fitting.coil_resistance
fuse.power | P = U²/R | U = fuse.voltage; R = fitting.coil_resistance
fuse.energy | E = U²·t/R | U = fuse.voltage; t = fuse.time; R = fitting.coil_resistance
fuse.energy_min | E = (U·(1 − u))²·t/(R·(1 + r))
  | U = fuse.voltage; u = work rule control-unit-output-tolerance; t = fuse.time; R = fitting.coil_resistance;
  r = fitting.coil_tolerance
fuse.energy_max | E = (U·(1 + u))²·t/(R·(1 − r))
  | U = fuse.voltage; u = work rule control-unit-output-tolerance; t = fuse.time; R = fitting.coil_resistance;
  r = fitting.coil_tolerance
power.supply_current | I = S/(V·(1 − v)); S = U²/(R·(1 − r)·η·λ)
  | {_DRAW}; V = power.supply_voltage; v = work rule supply-voltage-drop
power.outlet | outlet = smallest listed ≥ I
  | I = power.supply_current; ~ = power.supply_voltage; ~ = listed
power.breaker | I = the breaker behind the outlet | ~ = power.outlet
"""
_CORD_ROWS = f"""
cord | L = ΔV·(V − ΔV)/(2·S·R′); ΔV = v·V; S = U²/(R·(1 − r)·η·λ); R′ = R₀·(234.5 °C + T)/(234.5 °C + T₀)
  | {_DRAW}; V = voltage; v = work rule supply-voltage-drop; ~ = ampacity; R₀ at T₀ = resistance;
  T = work rule conductor-temperature
cord | not permitted: S/(V·(1 − v)) > I; S = U²/(R·(1 − r)·η·λ)
  | {_DRAW}; V = voltage; v = work rule supply-voltage-drop; I = ampacity
"""

_WAITS = ("clamp_time", "pressure_wait", "tap_wait")
_HEAT = """T = air or pipe, the hotter, at; T₀ = cool.reference_temperature; Tend = cool.end_temperature;
  E = fuse.energy; tf = fuse.time; A = fitting.fusion_area; s = fitting.wall; w = pipe.*.wall_min;
  D = pipe.*.outside_diameter; ho = work rule cool-film-outside; hi = work rule cool-film-inside"""
_OUTSIDE = "T = air or pipe, the hotter, at; Tmin = weather.ambient_min; Tmax = weather.ambient_max"
_HOT = "a = work rule heat-wait-addition; k = work rule heat-wait-multiple"
_HEAT_ROWS = f"""
extra | e = max{{0, t(T) − t(T₀)}}; t(x) = time from fusion end to Tend in air at x | {_HEAT}
extra | not permitted: outside Tmin to Tmax | {_OUTSIDE}
""" + "".join(
    f"""
{wait}_at | W = w + e | w = cool.{wait}; e = .extra
{wait}_at | W = max{{w + e, w + a, k·w}} | w = cool.{wait}; e = .extra; {_HOT}
{wait}_at | not permitted: outside Tmin to Tmax | {_OUTSIDE}
"""
    for wait in _WAITS
)
_MELT_ROWS = f"""
cool.melt_depth_fitting | z = greatest depth in the fitting that reaches the end of melting | {_HEAT}
cool.melt_depth_pipe | z = greatest depth in the pipe that reaches the end of melting | {_HEAT}
"""

_TAP_ROWS = """
tap.hole_saw | d = largest listed ≤ min{b − 2·c, a·Di}
  | b = fitting.outlet_bore / tap.least_bore; c = work rule saw-clearance; a = work rule hole-share;
  Di = pipe.main.inside_diameter_mean
tap.least_bore | b = min{q…} | q… = fitting.outlet_bore / bore of the valve / bore of the drilling machine
tap.clearance | c = (b − d)/2 | b = fitting.outlet_bore / tap.least_bore; d = tap.hole_saw
tap.travel_to_breakthrough | x = D/2 − √((D/2 − t)² − (d/2)²)
  | D = pipe.main.outside_diameter; t = pipe.main.wall_max; d = tap.hole_saw / cutter
tap.travel_set | x = D/2 − √((D/2 − t)² − ((d + o)/2)²) + v
  | D = pipe.main.outside_diameter_min; t = pipe.main.wall_max; d = tap.hole_saw; o = saw oversize;
  v = work rule overtravel
tap.travel_limit | x = min{D/2 + √((D/2 − t)² − ((d + o)/2)²), D − t − p} − m
  | D = pipe.main.outside_diameter_min; t = pipe.main.wall_max; d = tap.hole_saw; o = saw oversize;
  p = pilot projection; m = work rule travel-margin
tap.travel_limit | x = D/2 + √((D/2 − t)² − (d/2)²) − m
  | D = pipe.main.outside_diameter_min; t = pipe.main.wall_max; d = cutter; m = work rule travel-margin
tap.depth_mark | m = h + x | h = fitting.outlet_height; x = tap.travel_set
tap.saw_depth_min | c = x | x = tap.travel_set
tap.stroke_min | s = r + v + h + x
  | r = reach; v = valve; h = fitting.outlet_height; x = tap.travel_set
tap.coupon_mass | m = ρ·(V(s) − V(p)); V(x) = ∫ 2·√(x²/4 − y²)·(√(D²/4 − y²) − √((D/2 − t)² − y²)) dy,
  y from −x/2 to x/2
  | ρ = density; s = saw's inside diameter; p = pilot; D = pipe.main.outside_diameter;
  t = pipe.main.wall_min
tap.flow_area_percent | a = (d/Di)² | d = tap.hole_saw / cutter; Di = pipe.lateral.inside_diameter_mean
tap.cutter_travel | y = n·P | n = tap.cutter_turns; P = pitch of the cutter's thread
tap.cutter_travel_from_contact | x = max{0, y − a} | y = tap.cutter_travel; a = approach
"""

_TEST_ROWS = """
test.pressure_min | p = max{k·P, q}
  | k = work rule leak-test-gas-share; P = maximum operating pressure; q = work rule leak-test-gas-least
test.pressure_max | p = k·P | k = work rule leak-test-*-share; P = joint.pressure_max
test.pressure_max | p = min{k·P, q…}
  | k = work rule leak-test-*-share; P = joint.pressure_max; q… = *, from its plate
test.pressure_max | p = k·min{P, Q…}
  | k = work rule leak-test-*-share; P = joint.pressure_max; Q… = greatest pressure of *, tested with it
test.pressure_max | p = min{k·min{P, Q…}, q…}
  | k = work rule leak-test-*-share; P = joint.pressure_max; Q… = greatest pressure of *, tested with it;
  q… = *, from its plate
test.fill_volume | V = π/4·Di²·L | Di = pipe.lateral.inside_diameter_mean; L = lateral's length
test.makeup_volume | v = a·V | a = work rule leak-test-water-makeup; V = test.fill_volume
test.makeup_volume | none at a = 0 % | a = work rule leak-test-water-makeup
test.end_force | F = p·π/4·D² | p = test.pressure / test.pressure_max; D = pipe.lateral.outside_diameter_max
bend.radius_min | r = k·D | k = bend factor of *; D = pipe.lateral.outside_diameter
bend.radius_min_at_fitting | r = max{k, f}·D
  | k = bend factor of *; f = bend factor with a fitting; D = pipe.lateral.outside_diameter
bend.length_at_fitting | L = n·D | n = work rule bend-beside-fitting; D = pipe.lateral.outside_diameter
contraction.change | c = L·α·(T − Tg)
  | L = lateral's length; α = work rule lateral-expansion; T = air or pipe, the hotter; Tg = ground
contraction.slack | s = c | c = contraction.change
"""

_PLACE_ROWS = """
squeeze.distance_min | L = max{n·D, m}
  | n = work rule squeeze-distance-diameters; D = pipe.main.outside_diameter; m = work rule squeeze-distance
squeeze.gap_stop | g = 2·t·(1 − c)
  | t = pipe.main.wall_min / pipe.main.wall_max; c = work rule squeeze-compression;
  ~ = work rule squeeze-wall
squeeze.close_time_min | t = (D − g)/v
  | D = pipe.main.outside_diameter; g = squeeze.gap_stop; v = work rule squeeze-close-rate
squeeze.release_time_min | t = (D − g)/v
  | D = pipe.main.outside_diameter; g = squeeze.gap_stop; v = work rule squeeze-release-rate
place.arc_from_top | s = π·D·min{φ, 360° − φ}/360°
  | D = pipe.main.outside_diameter; φ = place.clock_angle
place.room_along | L = l + 2·r | l = peel.zone_length; r = work rule room-along
place.room_above | H = h + r
  | h = fitting.outlet_height; r = work rule room-above-drill / work rule room-above-cutter
place.room_above | H = h + v + m + r
  | h = fitting.outlet_height; v = valve; m = drilling machine; r = work rule room-above-machine
clock.joint_total | t = a + tf + max{w…} + b
  | a = work rule time-prepare; tf = fuse.time; b = work rule time-finish;
  w… = cool.clamp_time / cool.clamp_time_at / cool.pressure_wait / cool.pressure_wait_at / cool.tap_wait /
  cool.tap_wait_at
clock.joint_total | t = a + max{tf} + max{w…} + b
  | a = work rule time-prepare; tf = fuse.time_compensation; b = work rule time-finish;
  w… = cool.clamp_time / cool.clamp_time_at / cool.pressure_wait / cool.pressure_wait_at / cool.tap_wait /
  cool.tap_wait_at
clock.clamps_off | t = w | w = cool.clamp_time / cool.clamp_time_at
clock.test | t = p | p = cool.pressure_wait / cool.pressure_wait_at
clock.tap | t = max{w, p}
  | w = cool.tap_wait / cool.tap_wait_at; p = cool.pressure_wait / cool.pressure_wait_at
clock.tap | t = max{w, p + h}
  | w = cool.tap_wait / cool.tap_wait_at; p = cool.pressure_wait / cool.pressure_wait_at; h = test.hold
clock.working_pressure | t = c | c = clock.tap
clock.working_pressure | t = p | p = cool.pressure_wait / cool.pressure_wait_at
clock.working_pressure | t = p + h | p = cool.pressure_wait / cool.pressure_wait_at; h = test.hold
clock.backfill | t = max{c, p + l} | c = clock.clamps_off; p = clock.working_pressure; l = work rule time-look
weather.dew_point | Td = max{243.12 °C·x/(17.62 − x), 272.62 °C·x/(22.46 − x)};
  x = ln(H) + 17.62·T/(243.12 °C + T) | T = weather.air_temperature; H = weather.humidity
weather.dew_margin | ΔT = T − Td | T = weather.surface_temperature; Td = weather.dew_point
kit.solvent | V = Σ{A…}·q·(1 + s) | q = work rule kit-liquid; s = work rule kit-spare; A… = *
kit.wipes | n = up(a·w·(1 + s))
  | a = surfaces; w = work rule kit-wipes-a-surface; s = work rule kit-spare
kit.blades | n = Σ{up(p…/b) + s}
  | p… = peels of *; b = work rule kit-peels-a-blade; s = work rule kit-spare-blades
kit.fittings | n = the joints of a kind + s | s = work rule kit-spare-fittings
kit.hole_saws | n = up(the cuts of a size/c) | ~ = cuts; c = work rule kit-cuts-a-saw
"""


def _plate_rows() -> str:
    """The generator's least power and apparent power, with each of the losses of its plate."""
    rows = []
    for loss, more, symbols in _LOSSES:
        plate = f"U²/(R·(1 − r)·η)·(1 + m)/(1 − {loss}){more}"
        rows.append(f"power.generator_rating | P = {plate} | {_PLATE}; {symbols}")
        apparent, factor = plate.replace("·η)", "·η·λ)"), "λ = work rule control-unit-power-factor"
        rows.append(f"power.generator_rating_apparent | S = {apparent} | {_PLATE}; {factor}; {symbols}")
    return "\n".join(rows)


def _pattern(written: str, prefix: str) -> re.Pattern[str]:
    """The name or label of an input, `*` for any words in it."""
    whole = prefix + written[1:] if written.startswith(".") else written
    return re.compile(".+".join(map(re.escape, whole.split("*"))))


def _symbol(written: str, prefix: str) -> Symbol:
    """Read "D = pipe.*.outside_diameter"."""
    sign, _, inputs = (part.strip() for part in written.partition(" = "))
    beside = sign.startswith(BESIDE)
    patterns = tuple(_pattern(each, prefix) for each in inputs.split(" / "))
    text = sign.removeprefix(BESIDE) if beside else ""
    return Symbol("" if beside else sign.removesuffix(MANY), patterns, sign.endswith(MANY), text)


def _read(prefix: str, rows: str) -> Iterator[tuple[str, Formula]]:
    """The formulas of a block of rows, each under its name behind a prefix."""
    for row in re.sub(r"\n +", " ", rows).strip().splitlines():
        if row:
            name, text, symbols = (cell.strip() for cell in row.split("|"))
            yield prefix + name, Formula(text, tuple(_symbol(each, prefix) for each in symbols.split("; ")))


def _all() -> dict[str, tuple[Formula, ...]]:
    """Every formula by its value's name, its ways in their order."""
    found: dict[str, tuple[Formula, ...]] = {}
    blocks = [(f"pipe.{side}.", _PIPE_ROWS) for side in ("main", "lateral")]
    blocks += [("cool.", _HEAT_ROWS), *((band_name(limit), _HEAT_ROWS) for limit in BAND_LIMITS)]
    plain = (_PEEL_ROWS, _FUSE_ROWS, _plate_rows(), _MELT_ROWS, _TAP_ROWS, _TEST_ROWS, _PLACE_ROWS)
    blocks += [("", rows) for rows in plain]
    for prefix, rows in blocks:
        for name, formula in _read(prefix, rows):
            found[name] = (*found.get(name, ()), formula)
    cords = tuple(formula for _, formula in _read("", _CORD_ROWS))
    own = CORD_LENGTHS.removesuffix(".")
    return found | {name: cords for name in REGISTER if name == own or name.startswith(CORD_LENGTHS)}


FORMULAS: MappingProxyType[str, tuple[Formula, ...]] = MappingProxyType(_all())


def filled(name: str, inputs: Sequence[str | tuple[str, str]]) -> Filled | None:
    """The formula of a working, by its inputs.

    Parameters: `name` of a value; `inputs` of its working, register names or labels with their text. Returns
    the one way whose symbols those inputs are, or None where no way or more than one is: it is never guessed.

    >>> filled("peel.zone_area", ["peel.zone_length", "peel.zone_arc"]).text
    'A = L·s'
    >>> filled("peel.zone_area", ["peel.zone_length"]) is None
    True
    """
    found = [way for formula in FORMULAS.get(name, ()) if (way := _fill(formula, inputs))]
    return found[0] if len(found) == 1 else None


def _fill(formula: Formula, inputs: Sequence[str | tuple[str, str]]) -> Filled | None:
    """A formula with its inputs; None where they are not its own."""
    taken: list[list[str | tuple[str, str]]] = [[] for _ in formula.symbols]
    for each in inputs:
        label, said = each if isinstance(each, tuple) else (each, None)
        at = next((at for at, symbol in enumerate(formula.symbols) if symbol.names(label, said)), None)
        if at is None:
            return None
        taken[at].append(each)
    pairs = list(zip(formula.symbols, taken, strict=True))
    if any(not found or (len(found) > 1 and not symbol.many) for symbol, found in pairs):
        return None
    text, given = formula.text, []
    for symbol, found in pairs:
        signs = _signs(symbol, len(found))
        given += [Given(sign, each) for sign, each in zip(signs, found, strict=True)]
        text = _spread(text, symbol.sign, signs) if symbol.many else text
    return Filled(text, tuple(given))


def _signs(symbol: Symbol, count: int) -> list[str]:
    """The signs of so many inputs of one symbol: numbered where there are several."""
    if count == 1:
        return [symbol.sign]
    digits = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
    return [symbol.sign + str(number).translate(digits) for number in range(1, count + 1)]


def _spread(text: str, sign: str, signs: Sequence[str]) -> str:
    """A list in braces with the term of a sign that stands for many written once for each.

    >>> _spread("Σ{up(p…/b) + s}", "p", ["p₁", "p₂"])
    'Σ{up(p₁/b) + s, up(p₂/b) + s}'
    """
    term = re.compile(rf"(?<=[{{ ])[^{{}},]*?{sign}{MANY}[^{{}},]*(?=[,}}])")
    return term.sub(lambda found: ", ".join(found[0].replace(sign + MANY, each) for each in signs), text)
