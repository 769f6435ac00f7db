"""The values of whole combinations against published figures and against arithmetic of this file's own.

In: the starter's content, worked out pair by pair; figures as their source prints them.
Out: a failure that names the value and shows both numbers.
The expected side uses no formula of packgen: lengths are inches, written out from the geometry, and label and
work-rule figures are typed here once more. "From memory" says that no text of the source was at hand; "worked
by hand" that the figure was worked out apart from packgen.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.model.records import Contents
from packgen.register import REGISTER
from packgen.rounding import Units, text
from packgen.units import quantity

CONTENT = Path(__file__).parents[2] / "content"
FAMILY = "demo-saddle-screw"
MM = 25.4
PSI = 6.894757293168361  # kPa, NIST SP 811, appendix B.8


@cache
def catalog() -> Catalog:
    """The starter's content."""
    return load(CONTENT, prose=False)


@cache
def of_job(name: str) -> Combination:
    """A demo job's first joint, worked out."""
    job, _ = load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())
    joint, facts = job.joints[0], catalog()
    pipes = (facts.pipe(job.main), facts.pipe(joint.lateral))
    return work_out(Request(facts, *pipes, facts.families[joint.family], job.site.ambient, job, joint))


def of_sizes(
    main: str,
    lateral: str,
    ambient: str | None = None,
    contents: Contents = "water",
    outlet: str = "12 o'clock",
) -> Combination:
    """A combination of two pipes in the demo family; contents and outlet come by way of the first job."""
    facts = catalog()
    job = of_job("first-lateral").request.job
    assert job is not None
    joint = job.joints[0].model_copy(update={"outlet": outlet})
    job = job.model_copy(update={"contents": contents})
    pipes = (facts.pipe(read_designation(main)), facts.pipe(read_designation(lateral)))
    air = quantity(ambient) if ambient else None
    return work_out(Request(facts, *pipes, facts.families[FAMILY], air, job, joint))


def without_job(main: str, lateral: str) -> Combination:
    """A combination as the tables for every size show it."""
    facts = catalog()
    pipes = (facts.pipe(read_designation(main)), facts.pipe(read_designation(lateral)))
    return work_out(Request(facts, *pipes, facts.families[FAMILY]))


def number(combination: Combination, name: str) -> float:
    """A value's number, which must be there."""
    found = combination.number(name)
    assert found is not None, f"{name} is absent"
    return found


def prints_as(value: float, printed: str) -> bool:
    """Whether a value, rounded to as many places as the source prints, reads as the source does."""
    return f"{value:.{len(printed.partition('.')[2])}f}" == printed


M3, M4, M6, M8, M12 = (f"{size} in IPS DR 11 PE4710" for size in (3, 4, 6, 8, 12))
L2, L3, L4 = (f"{size} in IPS DR 11 PE4710" for size in (2, 3, 4))
D3035 = "ASTM D3035, table of minimum walls"
F714 = "ASTM F714, table of outside diameters and tolerances"
D3035_BAND = "ASTM D3035, table of outside diameters and tolerances (from memory)"
TRADE = "common practice, no source"
PPI = "PPI Handbook of Polyethylene Pipe, 2nd edition, chapter 6, D - 2.12 t (from memory; worked by hand)"
STRESS = "ASTM D3035 and ASTM F714, pressure ratings of PE4710"
CUT = "worked by hand: edge of a hole across a cylinder at the thickest permitted wall"
# Main, lateral, value, figure as printed, what one of its units is in the register's unit, source.
PUBLISHED = [
    (M4, L2, "pipe.lateral.wall_min", "0.216", MM, D3035),
    (M6, L3, "pipe.lateral.wall_min", "0.318", MM, D3035),
    (M4, L2, "pipe.main.outside_diameter", "4.500", MM, F714),
    (M8, L2, "pipe.main.outside_diameter", "8.625", MM, F714),
    (M12, L2, "pipe.main.outside_diameter", "12.750", MM, F714),
    (M4, L2, "pipe.main.outside_diameter_min", "4.480", MM, F714),
    (M4, L2, "pipe.main.outside_diameter_max", "4.520", MM, F714),
    (M6, L2, "pipe.main.outside_diameter_min", "6.595", MM, F714),
    (M6, L2, "pipe.main.outside_diameter_max", "6.655", MM, F714),
    (M8, L2, "pipe.main.outside_diameter_min", "8.586", MM, F714),
    (M8, L2, "pipe.main.outside_diameter_max", "8.664", MM, F714),
    ("4 in IPS DR 11 PE4710 ASTM D3035", L2, "pipe.main.outside_diameter_min", "4.491", MM, D3035_BAND),
    ("6 in IPS DR 11 PE4710 ASTM D3035", L2, "pipe.main.outside_diameter_max", "6.636", MM, D3035_BAND),
    (M4, L2, "pipe.lateral.inside_diameter_mean", "1.917", MM, PPI),
    (M6, L3, "pipe.lateral.inside_diameter_mean", "2.826", MM, PPI),
    (M4, L2, "pipe.main.inside_diameter_mean", "3.633", MM, PPI),
    ("4 in IPS DR 17 PE4710", L2, "pipe.main.inside_diameter_mean", "3.938", MM, PPI),
    (M6, L2, "pipe.main.inside_diameter_mean", "5.349", MM, PPI),
    (M8, L2, "pipe.main.inside_diameter_mean", "6.963", MM, PPI),
    ("10 in IPS DR 17 PE4710", L2, "pipe.main.inside_diameter_mean", "9.410", MM, PPI),
    ("8 in IPS DR 9 PE4710", L2, "pipe.main.pressure_rating", "250", PSI, STRESS),
    (M8, L2, "pipe.main.pressure_rating", "200", PSI, STRESS),
    ("8 in IPS DR 13.5 PE4710", L2, "pipe.main.pressure_rating", "160", PSI, STRESS),
    ("8 in IPS DR 17 PE4710", L2, "pipe.main.pressure_rating", "125", PSI, STRESS),
    ("8 in IPS DR 11 PE100", "2 in IPS DR 11 PE100", "pipe.main.pressure_rating", "16.0", 100.0,
     "ISO 4427-1, nominal pressure of PE100 with C 1.25, SDR 11, in bar"),
    ("8 in IPS DR 17 PE100", "2 in IPS DR 11 PE100", "pipe.main.pressure_rating", "10.0", 100.0,
     "ISO 4427-1, nominal pressure of PE100 with C 1.25, SDR 17, in bar"),
    (M4, L2, "pipe.main.girth", "14.14", MM, "worked by hand: 4.5 pi"),
    (M4, L2, "pipe.main.girth_min", "14.07", MM, "worked by hand: 4.480 pi"),
    (M4, L2, "pipe.main.girth_max", "14.20", MM, "worked by hand: 4.520 pi"),
    (M8, L2, "pipe.main.girth_min", "26.97", MM, "worked by hand: 8.586 pi"),
    (M8, L2, "pipe.main.girth_max", "27.22", MM, "worked by hand: 8.664 pi"),
    (M8, L2, "pipe.lateral.girth_max", "7.48", MM, "worked by hand: 2.381 pi"),
    ("4 in IPS DR 11 PE4710 ASTM D3035", L2, "pipe.main.girth_min", "14.109", MM,
     "worked by hand: 4.491 pi, band of ASTM D3035 (from memory)"),
    (M4, L2, "tap.hole_saw", "1.75", MM,
     "worked by hand: listed saws in a bore of 1.90 in with 1/16 in a side"),
    (M8, L4, "tap.hole_saw", "3.375", MM,
     "worked by hand: listed saws in a bore of 3.60 in with 1/16 in a side"),
    (M4, L2, "tap.travel_to_breakthrough", "0.686", MM, CUT),
    (M6, L2, "tap.travel_to_breakthrough", "0.824", MM, CUT),
    (M8, L2, "tap.travel_to_breakthrough", "0.991", MM, CUT),
    (M8, L4, "tap.travel_to_breakthrough", "1.32", MM, CUT),
    (M4, L2, "gap.free_gap_max", "0.206", 1.0,
     "worked by hand: two circles, band of ASTM F714, peeled 0.009 to 0.012 in"),
    ("4 in IPS DR 11 PE4710 ASTM D3035", L2, "gap.free_gap_max", "0.135", 1.0,
     "worked by hand: two circles, band of ASTM D3035, peeled 0.009 to 0.012 in"),
    (M4, L2, "squeeze.gap_stop", "0.573", MM,
     "ASTM F1041, 30 % compression of two walls (from memory)"),
    (M8, L2, "squeeze.distance_min", "25.875", MM,
     "ASTM F1041, three diameters or 12 in, the greater (from memory)"),
    (M3, L2, "squeeze.distance_min", "12.000", MM,
     "ASTM F1041, three diameters or 12 in, the greater (from memory)"),
    (M4, L2, "weather.ambient_min", "-10", 1.0,
     "ISO 12176-2:2008, scope, working range of the control unit"),
    (M4, L2, "weather.ambient_max", "40", 1.0,
     "ISO 12176-2:2008, scope, working range of the control unit"),
    (M4, L2, "fuse.terminal", "4.70", 1.0,
     "ISO 8085-3, annex on terminals, pins of 4.00 and 4.70 mm"),
    (M4, L2, "peel.depth_min", "0.2286", 1.0, TRADE),
    (M4, L2, "peel.depth_max", "0.3048", 1.0, TRADE),
    (M4, L2, "gap.feeler", "0.33", 1.0, TRADE),
    (M4, L2, "cool.clamp_time", "900", 1.0, TRADE),
]  # fmt: skip


@pytest.mark.parametrize(
    ("main", "lateral", "name", "printed", "unit", "source"),
    PUBLISHED,
    ids=[f"{row[0]}: {row[2]}" for row in PUBLISHED],
)
def test_a_combination_has_the_published_figure(
    main: str, lateral: str, name: str, printed: str, unit: float, source: str
) -> None:
    """At the precision its source prints."""
    found = number(without_job(main, lateral), name) / unit
    assert prints_as(found, printed), f"{found} is not {printed} ({source})"


def test_gas_ratings_follow_the_regulation() -> None:
    """49 CFR 192.121: PE4710 DR 11 102.4 psig; PE3608 of the same basis stops at the general cap of 100."""
    strong = of_sizes(M4, L2, contents="gas")
    assert prints_as(number(strong, "pipe.main.pressure_rating") / PSI, "102.4")
    assert prints_as(number(strong, "joint.pressure_max") / PSI, "102.4")
    older = of_sizes("4 in IPS DR 11 PE3608", L2, contents="gas")
    assert prints_as(number(older, "pipe.main.pressure_rating") / PSI, "100.0")
    assert prints_as(number(older, "joint.pressure_max") / PSI, "100.0")


# AWWA M55, table 4-6: multiplier on the rating of PE4710 by temperature.
FACTORS = [
    ("73 degF", "1.0"), ("80 degF", "1.0"), ("81 degF", "0.9"), ("85 degF", "0.9"), ("90 degF", "0.9"),
    ("91 degF", "0.8"), ("100 degF", "0.8"),
]  # fmt: skip


@pytest.mark.parametrize(("air", "factor"), FACTORS)
def test_warm_pipe_is_rated_by_the_published_factor(air: str, factor: str) -> None:
    """The rating of 200 psi falls, and the joint's with it."""
    warm = of_sizes(M8, L2, air)
    assert prints_as(number(warm, "pipe.main.temperature_factor"), factor)
    for name in ("pipe.main.pressure_rating_at", "pipe.lateral.pressure_rating_at", "joint.pressure_max"):
        assert prints_as(number(warm, name) / PSI, f"{200 * float(factor):.0f}")


@pytest.mark.parametrize(
    ("outlet", "inches"), [("3 o'clock", "3.53"), ("9 o'clock", "3.53"), ("6 o'clock", "7.07")]
)
def test_a_quarter_turn_on_4_in_is_marked_at_a_quarter_of_the_girth(outlet: str, inches: str) -> None:
    """Worked by hand: 14.137 in a quarter and a half of the way round."""
    turned = of_sizes(M4, L2, outlet=outlet)
    assert prints_as(number(turned, "place.arc_from_top") / MM, inches)


@pytest.mark.parametrize("system", ["IPS", "DIPS", "CTS", "ISO"])
@pytest.mark.parametrize("units", ["us", "si"])
def test_no_size_prints_an_empty_window_of_girths(system: str, units: Units) -> None:
    """Both ends are rounded into the band: one printed too coarsely would pass the other."""
    for size in catalog().tables[system].sizes:
        nominal, give = size.outside_diameter, size.tolerances
        bands = [(nominal.to("mm") - each.plus_minus.to("mm"), nominal.to("mm") + each.plus_minus.to("mm"))
                 for each in give]  # fmt: skip
        if size.outside_diameter_max is not None:
            bands.append((nominal.to("mm"), size.outside_diameter_max.to("mm")))
        assert bands, size.name
        for band in bands:
            low, high = (
                text(math.pi * end, REGISTER[name], stated=None, units=units, first=units)
                for end, name in zip(band, ("pipe.main.girth_min", "pipe.main.girth_max"), strict=True)
            )
            least, most = (float(printed.split()[0].replace(",", "")) for printed in (low, high))
            one = MM if units == "us" else 1.0
            assert math.pi * band[0] <= least * one < most * one <= math.pi * band[1], (size.name, low, high)


# Maximum operating pressure of gas, what the test reaches at least: 49 CFR 192.513(c), in psi.
@pytest.mark.parametrize(("asked", "least"), [("60 psi", "90"), ("33 psi", "50"), ("20 psi", "50")])
def test_a_gas_joint_is_tested_at_half_as_much_again_or_50_psi(asked: str, least: str) -> None:
    """At most at 2.5 times the pipe's 102.4 psi, where no valve, machine or plug bears less."""
    gas = of_sizes(M8, L2, contents="gas")
    assert gas.request.job is not None
    job = gas.request.job.model_copy(update={"maximum_operating_pressure": quantity(asked)})
    tested = work_out(replace(gas.request, job=job))
    assert prints_as(number(tested, "test.pressure_min") / PSI, least)
    assert prints_as(number(tested, "test.pressure_max") / PSI, "256.0")


@pytest.mark.parametrize(("air", "most"), [("73 degF", "300"), ("90 degF", "270"), ("100 degF", "240")])
def test_a_water_joint_is_tested_at_one_and_a_half_times_its_own_pressure_at_most(
    air: str, most: str
) -> None:
    """200 psi by AWWA M55's factors; ASTM F2164 (from memory). No least is stated for water."""
    tested = of_sizes(M8, L2, air)
    assert prints_as(number(tested, "test.pressure_max") / PSI, most)
    assert "test.pressure_min" not in tested.values


def test_nobody_tests_without_a_job() -> None:
    """No operating pressure is known, so no test pressure is."""
    assert not [name for name in without_job(M4, L2).values if name.startswith("test.")]


def test_the_demo_fitting_is_closed_by_four_screws_hand_tight() -> None:
    """Common practice, no source; nobody states a torque, so it is a box."""
    values = without_job(M4, L2).values
    assert values["clamp.method"].words == "four screws, hand tight"
    assert values["clamp.screws"].words == "4 × M8"
    assert values["clamp.torque"].kind == "blank"


def test_without_a_pilot_the_teeth_set_the_travel_limit() -> None:
    """6 in DR 11, 1-3/4 in saw cutting 1.770 in: the teeth stop 1/2 in before the far side of the cut."""
    facts = catalog()
    blunt = tuple(saw.model_copy(update={"pilot_projection": quantity("0 in")}) for saw in facts.saws)
    found = work_out(replace(of_job("first-lateral").request, catalog=replace(facts, saws=blunt)))
    inner = 6.595 / 2 - 1.12 * 0.602
    limit = 6.595 / 2 + math.sqrt(inner**2 - 0.885**2) - 0.5
    assert number(found, "tap.travel_limit") == pytest.approx(limit * MM, rel=1e-9)
