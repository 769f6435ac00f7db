"""The printed formula gives the printed number, and both unit systems print one and the same value.

The formulas are reckoned by `arithmetic`, which shares no line with packgen: symbols take the texts of the
workings, or the unrounded numbers where they are values themselves. Over every joint of the demo jobs and a
sample of combinations of each family.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from scipy.integrate import quad

from packgen.calc.ledger import Value
from packgen.calc.request import Combination, request_of
from packgen.calc.work_out import work_out
from packgen.formulas import Filled, Given, filled
from packgen.model.job_load import load_job
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER, Print
from packgen.rounding import system_of
from tests.laws.arithmetic import SCALES, reckon, said, solve
from tests.laws.worked import CASES, CONTENT, catalog, worked

JOBS = sorted((CONTENT / "jobs").glob("*.yaml"))
# Formulas that are no plain arithmetic, and why.
IN_WORDS = {
    "cool.extra": "a time that conduction takes, solved in steps: checked in tests/references/test_heat.py",
    "cool.melt_depth_fitting": "read off the same solution",
    "cool.melt_depth_pipe": "read off the same solution",
    "tap.coupon_mass": "an integral: reckoned below",
    "power.outlet": "a choice of words: looked up below",
    "power.breaker": "what stands behind the outlet in its row of the list",
    "test.makeup_volume": "words where the rule allows none",
    "kit.fittings": "a list in words",
    "kit.hole_saws": "a list in words",
}
# Inputs that print rounded: how far the number may lie from that of their texts.
ROUNDED_INPUTS = {"kit.solvent": 5e-3, "test.pressure_max": 5e-3}


@cache
def combinations() -> tuple[Combination, ...]:
    """Every joint of the demo jobs, and of each family its first combination and every ninth."""
    found = []
    for path in JOBS:
        job, _ = load_job(path, catalog())
        found += [work_out(request_of(job, joint, catalog())) for joint in job.joints]
    for family in catalog().families:
        found += [worked(*case) for case in [each for each in CASES if each[0] == family][::9]]
    return tuple(found)


def workings() -> list[tuple[Combination, Value, Filled]]:
    """Every worked value with its formula."""
    found = []
    for combination in combinations():
        for value in combination.values.values():
            if value.working is not None:
                formula = filled(value.name, value.working.inputs)
                assert formula is not None, f"{value.name} has no formula for {value.working.inputs}"
                found.append((combination, value, formula))
    return found


def of_given(combination: Combination, given: Given) -> float:
    """The number of a symbol, in coherent units."""
    if isinstance(given.input, tuple):
        return said(given.input[1])
    value = combination.values[given.input]
    if value.number is not None:
        return value.number * SCALES[value.entry.unit]
    assert value.words is not None
    if value.name == "clamp.screws":
        return float(value.words.partition(" × ")[0])
    # A table of fusion times: the longest counts.
    return max(said(row.rpartition(": ")[2]) for row in value.words.split("; "))


def signs_of(combination: Combination, formula: Filled) -> dict[str, float]:
    """Every symbol of a formula with its number; one input may carry two symbols."""
    found = {}
    for given in formula.given:
        if given.sign == "R₀ at T₀":
            resistance, temperature = given.input[1].split(" at ")
            found |= {"R₀": said(resistance), "T₀": said(temperature)}
        elif given.sign:
            found[given.sign] = of_given(combination, given)
    return found


def in_words(value: Value) -> bool:
    """Whether a value's formula is no plain arithmetic."""
    return value.name in IN_WORDS or (value.name.startswith(COOL_BANDS) and value.name.endswith("extra"))


def test_every_worked_value_has_one_formula_and_no_input_is_lost() -> None:
    """Chosen by the inputs alone; each of them stands in the formula's symbols or beside it."""
    found = workings()
    assert len({value.name for _, value, _ in found}) > 140
    for _, value, formula in found:
        assert value.working is not None
        key = [each if isinstance(each, str) else each[0] for each in value.working.inputs]
        shown = [each.input if isinstance(each.input, str) else each.input[0] for each in formula.given]
        assert sorted(key) == sorted(shown), value.name


def test_every_printed_formula_gives_the_printed_number() -> None:
    """A reader with a pocket calculator gets what the sheet says."""
    reckoned = set()
    for combination, value, formula in workings():
        if value.number is None or in_words(value):
            continue
        system = "inch" if combination.request.main.table.wall_rule == "inch" else "metric"
        saws = [saw.size.to("mm") / 1e3 for saw in catalog().saws if saw.system == system]
        number = solve(formula.text, signs_of(combination, formula), saws)
        expected = value.number * SCALES[value.entry.unit]
        near = ROUNDED_INPUTS.get(value.name, 1e-9)
        assert number == pytest.approx(expected, rel=near, abs=1e-12), (value.name, formula.text)
        reckoned.add(value.name)
    assert len(reckoned) > 100
    assert reckoned.isdisjoint(IN_WORDS)


def test_what_is_not_permitted_is_so_by_its_formula() -> None:
    """A conductor that may not carry the current: the formula's left side is the greater."""
    cords = [
        (combination, formula)
        for combination, value, formula in workings()
        if value.number is None and value.name.startswith(CORD_LENGTHS)
    ]
    assert cords
    for combination, formula in cords:
        first, _, rest = formula.text.removeprefix("not permitted: ").partition("; ")
        left, right = first.split(" > ")
        assert solve(f"x = {left}; {rest}", signs := signs_of(combination, formula)) > signs[right]


def test_only_words_have_a_formula_in_words() -> None:
    """A value that leaves the list above is reckoned; one that joins it needs its reason there."""
    words = {value.name for _, value, _ in workings() if value.number is None}
    words = {name for name in words if not name.startswith((CORD_LENGTHS, COOL_BANDS))}
    assert words <= set(IN_WORDS)
    assert set(IN_WORDS) <= {value.name for _, value, _ in workings()}


def test_the_coupon_s_integral_gives_its_mass() -> None:
    """The integrand as printed, summed by scipy."""
    found = [each for each in workings() if each[1].name == "tap.coupon_mass"]
    assert len(found) > 10
    for combination, value, formula in found[:12]:
        signs = signs_of(combination, formula)
        integrand = formula.text.partition("∫ ")[2].partition(" dy")[0]

        def volume(x: float, integrand: str = integrand, signs: dict[str, float] = signs) -> float:
            def height(y: float) -> float:
                return reckon(integrand, {**signs, "x": x, "y": y})

            return float(quad(height, -x / 2, x / 2, epsabs=1e-15)[0])

        assert formula.text.startswith("m = ρ·(V(s) − V(p)); V(x) = ∫ ")
        mass = signs["ρ"] * (volume(signs["s"]) - volume(signs["p"]))
        assert mass * 1e3 == pytest.approx(value.number, rel=1e-6)


def test_the_outlet_is_the_smallest_listed_that_carries_the_current() -> None:
    """By the texts of the working alone."""
    found = [each for each in workings() if each[1].name == "power.outlet"]
    assert found
    for combination, value, formula in found:
        (listed,) = (each.input[1] for each in formula.given if each.input[0] == "listed")
        rows = re.findall(r"(.+?): ([\d.]+ A)(?:, |$)", listed)
        fitting = [(said(amps), title) for title, amps in rows]
        current = combination.number("power.supply_current")
        assert current is not None
        assert value.words == min(row for row in fitting if row[0] >= current)[1]


# Ways that no demo job and no sample takes: inputs with their numbers, and the result by hand.
BY_HAND: list[tuple[str, dict[str, str], float]] = [
    ("peel.diameter_to_start", {"fitting.main_diameter_min": "167.132 mm", "peel.depth_max": "0.3048 mm"},
     0.1677416),
    ("peel.diameter_after_one_pass", {
        "pipe.main.outside_diameter": "100 mm", "peel.depth_max": "0.3 mm",
        "work rule peeled-zone": "whole circumference"}, 0.0994),
    ("peel.passes_max", {
        "work rule peel-passes": "9", "work rule surface-loss": "10 %", "peel.depth_max": "0.3 mm",
        "pipe.main.wall_min": "15.5 mm", "pipe.main.outside_diameter": "168 mm",
        "fitting.main_diameter_min": "166.7 mm"}, 2.0),  # 5.2 by the wall, 2.2 by the fitting
    ("pipe.lateral.pressure_rating", {
        "minimum required strength": "10 MPa", "gas coefficient": "2", "dimension ratio": "11",
        "cap": "8 bar"}, 8e5),  # 10 bar without the cap
    ("clamp.torque_limit", {
        "thread": "8 mm", "pitch": "1.25 mm", "proof stress": "450 MPa", "lug, from the label": "5 kN",
        "work rule screw-proof-share": "75 %", "work rule nut-factor-least": "15 %"}, 6.0),
    ("power.generator_rating", {  # 635 W with 25 % on what 3.5 % for 1,000 ft and 1 % for 10 K leave
        "fuse.voltage": "40 V", "fitting.coil_resistance": "4 Ω", "fitting.coil_tolerance": "10 %",
        "work rule control-unit-efficiency": "70 %", "work rule generator-margin": "25 %",
        "altitude": "1500 m", "work rule generator-derating-altitude": "3.5 %", "air": "40 °C",
        "work rule generator-derating-heat": "1 %", "work rule generator-derating-reference": "25 °C"},
     976.49342),
    ("tap.cutter_travel", {"tap.cutter_turns": "14", "pitch of the cutter's thread": "2.5 mm"}, 0.035),
    ("test.makeup_volume", {"work rule leak-test-water-makeup": "0.5 %", "test.fill_volume": "20 L"}, 1e-4),
]  # fmt: skip


@pytest.mark.parametrize(("name", "texts", "result"), BY_HAND, ids=[row[0] for row in BY_HAND])
def test_a_way_that_no_sample_takes_gives_what_it_gives_by_hand(
    name: str, texts: dict[str, str], result: float
) -> None:
    """Register names stand without their text in a working; here their numbers come from the table."""
    inputs = [label if label in REGISTER else (label, text) for label, text in texts.items()]
    formula = filled(name, inputs)
    assert formula is not None
    labels = {
        each.sign: each.input if isinstance(each.input, str) else each.input[0] for each in formula.given
    }
    number = solve(formula.text, {sign: said(texts[label]) for sign, label in labels.items() if sign})
    assert number == pytest.approx(result, rel=1e-6)


# --- both unit systems
SHIFTS = {"degF": -32.0}
# One unit of what a value prints in, in the register's unit.
PRINTED = {
    ("mm", "in"): 25.4, ("mm", "ft"): 304.8, ("mm", "m"): 1000.0, ("mm", "mm"): 1.0, ("mm2", "in2"): 645.16,
    ("mm2", "mm2"): 1.0, ("kPa", "psi"): 6.894757293168361, ("kPa", "kPa"): 1.0, ("s", "min"): 60.0,
    ("N*m", "lbf*ft"): 1.3558179483314004, ("N*m", "N*m"): 1.0, ("g", "oz"): 28.349523125, ("g", "g"): 1.0,
    ("degC", "degF"): 5 / 9, ("degC", "degC"): 1.0, ("K", "degF_difference"): 5 / 9, ("K", "K"): 1.0,
    ("L", "gal"): 3.785411784, ("L", "L"): 1.0, ("N", "lbf"): 4.4482216152605, ("N", "N"): 1.0,
}  # fmt: skip


def read_back(text: str, entry_unit: str, way: Print) -> tuple[float, float]:
    """A printed number in the register's unit, and how much its last digit is."""
    found = re.match(r"−?[\d,]+(?:\.\d+)?", text)
    assert found, text
    assert len(found[0].partition(".")[2]) == way.decimals, text
    number = float(found[0].replace(",", "").replace("−", "-"))
    scale = PRINTED.get((entry_unit, way.unit), 1.0 if entry_unit == way.unit else 0.0)
    assert scale, (entry_unit, way.unit)
    return (number + SHIFTS.get(way.unit, 0.0)) * scale, scale * 10.0**-way.decimals


@pytest.mark.parametrize("path", JOBS, ids=lambda path: Path(path).stem)
def test_both_unit_systems_print_one_value_each_on_its_safe_side(path: Path) -> None:
    """The two texts convert to each other within the coarser step, and neither is looser than the number."""
    job, _ = load_job(path, catalog())
    compared = 0
    for joint in job.joints:
        for value in work_out(request_of(job, joint, catalog())).values.values():
            if value.number is None:
                continue
            entry, own = REGISTER[value.name], system_of(value.stated.unit) if value.stated else None
            texts = {"us": value.text("us", "us"), "si": value.text("si", "si")}
            if value.stated is not None and (own is None or entry.us.unit == entry.si.unit):
                assert texts["us"] == texts["si"] == str(value.stated)
                continue
            read = []
            for system, way in (("us", entry.us), ("si", entry.si)):
                if own == system:
                    assert texts[system] == str(value.stated)
                    continue
                text = texts[system].partition(" [")[2] if own else texts[system]
                number, step = read_back(text, entry.unit, way)
                off = number - value.number
                low, high = {"up": (0.0, step), "down": (-step, 0.0), "nearest": (-step / 2, step / 2)}[
                    entry.direction
                ]
                noise = 1e-9 * max(1.0, abs(value.number))
                assert low - noise <= off <= high + noise, (value.name, text)
                read.append((number, step))
            if len(read) == 2:
                (us, us_step), (si, si_step) = read
                assert abs(us - si) <= max(us_step, si_step) + 1e-9, value.name
            compared += 1
    assert compared > 60
