"""The fit check: each limit is tried where it is met and just beyond, and each refusal gives its cure.

In: the demo jobs, with one thing about job, family, saws or work rules changed at a time.
Out: a failure that names the row of the fit check that judged wrongly.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from packgen.calc.request import Check, Combination, Reason, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.family_records import Family
from packgen.model.job import Distances, Equipment, Isolation, Job
from packgen.units import Quantity, quantity
from tests.calc.demo import catalog, demo_job

SADDLE = "demo-saddle-screw"


def first_lateral(lateral: str | None = None, method: str | None = None, **changes: Any) -> Job:
    """The job on a dry 6 in main, with changes; `lateral` and `method` belong to its joint."""
    job = demo_job("first-lateral")
    joint: dict[str, Any] = {"lateral": read_designation(lateral)} if lateral else {}
    joint |= {"method": method} if method else {}
    if "main" in changes:
        changes["main"] = read_designation(changes["main"])
    return job.model_copy(update={"joints": (job.joints[0].model_copy(update=joint),), **changes})


def tie_in(**changes: Any) -> Job:
    """The job on an isolated 8 in main, with changes."""
    return demo_job("repair-tie-in").model_copy(update=changes)


def at_pressure(pressure: str, **changes: Any) -> Job:
    """The job on a dry main, at another maximum operating pressure."""
    return first_lateral(maximum_operating_pressure=quantity(pressure), **changes)


def in_air(air: str, **changes: Any) -> Job:
    """The job on a dry main, in other air; nothing is planned of the pipe's surface."""
    update = {"ambient": quantity(air), "pipe_surface": None}
    site = demo_job("first-lateral").site.model_copy(update=update)
    return first_lateral(site=site, **changes)


def with_unit(**changes: Any) -> Job:
    """The job on a dry main, with another control unit."""
    equipment = demo_job("first-lateral").equipment
    assert equipment.control_unit is not None
    unit = equipment.control_unit.model_copy(update=changes)
    return first_lateral(equipment=equipment.model_copy(update={"control_unit": unit}))


def family(part: str = "", **changes: Any) -> Family:
    """The demo family, with changes in one part of the label data of every pair, or in the family itself."""
    found = catalog().families[SADDLE]
    if not part:
        return found.model_copy(update=changes)
    pairs = tuple(_changed(pair, part, changes) for pair in found.pairs)
    return found.model_copy(update={"every_pair": _changed(found.every_pair, part, changes), "pairs": pairs})


def _changed(label: Any, part: str, changes: dict[str, Any]) -> Any:
    """Label data with one part of it changed."""
    return label.model_copy(update={part: getattr(label, part).model_copy(update=changes)})


def with_saw(**changes: Quantity) -> Catalog:
    """The content with every saw changed."""
    saws = tuple(saw.model_copy(update=changes) for saw in catalog().saws)
    return replace(catalog(), saws=saws)


def with_rule(rule: str, value: str | int) -> Catalog:
    """The content with another value of one work rule."""
    rules = {**catalog().rules, rule: catalog().rules[rule].model_copy(update={"value": value})}
    return replace(catalog(), rules=rules)


def judged(job: Job, of: Family | None = None, facts: Catalog | None = None) -> Combination:
    """A job's first joint, worked out."""
    facts = facts or catalog()
    joint = job.joints[0]
    pipes = (facts.pipe(job.main), facts.pipe(joint.lateral))
    return work_out(Request(facts, *pipes, of or facts.families[SADDLE], job.site.ambient, job, joint))


def row(combination: Combination, key: str) -> Check:
    """The one row of a key."""
    rows = [check for check in combination.checks if check.key == key]
    assert len(rows) == 1, f"{key} has {len(rows)} rows"
    return rows[0]


def assert_permitted(combination: Combination, key: str) -> None:
    """The row passed, and so did everything else."""
    assert row(combination, key).passed is True
    assert row(combination, key).reason is None
    assert (combination.verdict, combination.reasons) == ("permitted", ())


def assert_refused(combination: Combination, key: str, what: str, cure: str) -> None:
    """The row failed with this sentence and cure, and nothing else did."""
    assert row(combination, key).passed is False
    assert row(combination, key).reason == Reason(what, cure)
    assert (combination.verdict, combination.reasons) == ("refused", (Reason(what, cure),))


MAINS_FOR_2 = "mains for 2 in laterals: 3 in, 4 in, 6 in, 8 in, 10 in, 12 in"
MAINS_FOR_3 = "mains for 3 in laterals: 6 in, 8 in, 10 in, 12 in"
NOT_LISTED = [
    ("2 in", "2 in", f" ({MAINS_FOR_2})"),
    ("4 in", "3 in", f" ({MAINS_FOR_3}; laterals for 4 in mains: 2 in)"),
    ("4 in", "4 in", " (mains for 4 in laterals: 6 in, 8 in, 10 in, 12 in; laterals for 4 in mains: 2 in)"),
    ("8 in", "6 in", " (mains for 6 in laterals: 10 in, 12 in; laterals for 8 in mains: 2 in, 3 in, 4 in)"),
    ("14 in", "1 in", ""),
]


@pytest.mark.parametrize(("main", "lateral", "offer"), NOT_LISTED)
def test_a_pair_the_family_does_not_list_is_refused(main: str, lateral: str, offer: str) -> None:
    """The cure offers what the family lists for either size."""
    job = first_lateral(main=f"{main} IPS DR 11 PE4710", lateral=f"{lateral} IPS DR 11 PE4710")
    what = f"{SADDLE} lists no {lateral} IPS lateral on {main} IPS mains"
    assert_refused(
        judged(job), "pair", what, f"take a pair the family lists{offer}, another family, or a tee"
    )


@pytest.mark.parametrize(("main", "lateral"), [("3 in", "2 in"), ("6 in", "4 in"), ("10 in", "6 in")])
def test_a_pair_the_family_lists_is_permitted(main: str, lateral: str) -> None:
    """With no generator named: the demo's is too small for a 6 in lateral."""
    sizes = {"main": f"{main} IPS DR 11 PE4710", "lateral": f"{lateral} IPS DR 11 PE4710"}
    job = first_lateral(**sizes, equipment=Equipment())
    assert_permitted(judged(job), "pair")


@pytest.mark.parametrize("dr", ["9", "11", "13.5", "17"])
def test_a_main_within_the_family_s_range_of_dr_is_permitted(dr: str) -> None:
    assert_permitted(judged(first_lateral(main=f"6 in IPS DR {dr} PE4710")), "main_dr")


@pytest.mark.parametrize("dr", ["7.3", "21"])
def test_a_main_outside_the_family_s_range_of_dr_is_refused(dr: str) -> None:
    what = f"the main's DR {dr} is outside the family's range"
    cure = "the family takes mains of DR 9 to 17: take another family"
    assert_refused(judged(first_lateral(main=f"6 in IPS DR {dr} PE4710")), "main_dr", what, cure)


@pytest.mark.parametrize("dr", ["9", "13.5"])
def test_a_lateral_of_a_dr_the_family_does_not_take_is_refused(dr: str) -> None:
    what = f"the lateral's DR {dr} is not one the family takes"
    job = first_lateral(lateral=f"2 in IPS DR {dr} PE4710")
    assert_refused(judged(job), "lateral_dr", what, "take a lateral of DR 11")


def test_a_lateral_of_the_family_s_dr_is_permitted() -> None:
    assert_permitted(judged(first_lateral()), "lateral_dr")


@pytest.mark.parametrize("side", ["main", "lateral"])
def test_only_an_accepted_material_is_permitted_on_either_side(side: str) -> None:
    part = getattr(catalog().families[SADDLE], side)
    narrow = family(**{side: part.model_copy(update={"materials": ("PE100", "PE4710")})})
    assert_permitted(judged(first_lateral(), narrow), f"{side}_material")
    size = "6 in" if side == "main" else "2 in"
    job = at_pressure("100 psi", **{side: f"{size} IPS DR 11 PE3608"})
    what = f"the {side}'s material PE3608 is not accepted by {SADDLE}"
    assert_refused(judged(job, narrow), f"{side}_material", what, "it takes PE100, PE4710")


def test_a_wall_thinner_than_the_label_s_least_is_refused() -> None:
    """3 in DR 17 has 0.206 in (5.23 mm), the label asks for 5.5 mm; DR 13.5 has 0.259 in."""
    what = (
        "the main's wall 0.206 in [5.24 mm] is thinner than the fitting may be fused to (5.5 mm [0.217 in])"
    )
    cure = "take another fitting, or replace the main at this place"
    assert_refused(judged(first_lateral(main="3 in IPS DR 17 PE4710")), "wall", what, cure)
    assert_permitted(judged(first_lateral(main="3 in IPS DR 13.5 PE4710")), "wall")


@pytest.mark.parametrize(("least", "verdict"), [("0.206 in", "permitted"), ("0.207 in", "refused")])
def test_a_wall_exactly_as_thick_as_the_label_s_least_is_permitted(least: str, verdict: str) -> None:
    thin = family("fuse", main_wall_min=quantity(least))
    found = judged(first_lateral(main="3 in IPS DR 17 PE4710"), thin)
    assert found.verdict == verdict
    assert row(found, "wall").passed is (verdict == "permitted")


NO_PASS = (
    "not one peel pass leaves enough wall or diameter",
    "take another place, or another fitting",
)


def test_a_pass_may_take_exactly_the_surface_loss_and_no_more() -> None:
    """5 % of 0.602 in is 0.0301 in."""
    rule = with_rule("surface-loss", "5 %")
    assert_permitted(judged(first_lateral(), family("peel", depth_max=quantity("0.0301 in")), rule), "passes")
    deeper = family("peel", depth_max=quantity("0.0302 in"))
    assert_refused(judged(first_lateral(), deeper, rule), "passes", *NO_PASS)


def test_a_pass_may_leave_exactly_the_fitting_s_least_main_and_no_less() -> None:
    """6.625 in less two peels of 0.012 in is 6.601 in."""
    assert_permitted(
        judged(first_lateral(), family("fitting", main_diameter_min=quantity("6.601 in"))), "passes"
    )
    larger = family("fitting", main_diameter_min=quantity("6.602 in"))
    assert_refused(judged(first_lateral(), larger), "passes", *NO_PASS)


PRESSURE_CURE = "take pipe and fitting of a higher rating, or lower the pressure"
# Contents, main, air, pressure that is just permitted, pressure just beyond, and the limit as printed.
PRESSURES = [
    ("water", "6 in IPS DR 11 PE4710", "68 degF", "200 psi", "200.1 psi", "200 psi [1,378 kPa]"),
    ("water", "6 in IPS DR 17 PE4710", "68 degF", "125 psi", "125.1 psi", "125 psi [861 kPa]"),
    ("water", "6 in IPS DR 11 PE4710", "80 degF", "200 psi", "201 psi", "200 psi [1,378 kPa]"),
    ("water", "6 in IPS DR 11 PE4710", "81 degF", "180 psi", "181 psi", "180 psi [1,241 kPa]"),
    ("water", "6 in IPS DR 11 PE4710", "100 degF", "160 psi", "161 psi", "160 psi [1,103 kPa]"),
    ("gas", "6 in IPS DR 11 PE4710", "68 degF", "102.4 psi", "102.5 psi", "102 psi [706 kPa]"),
    ("gas", "6 in IPS DR 11 PE3608", "68 degF", "100 psi", "100.1 psi", "100 psi [689 kPa]"),
    ("gas", "6 in IPS DR 11 PE4710", "23 degC", "102.4 psi", "103 psi", "102 psi [706 kPa]"),
]


@pytest.mark.parametrize(("contents", "main", "air", "allowed", "beyond", "limit"), PRESSURES)
def test_the_operating_pressure_may_reach_the_joint_s_and_no_more(
    contents: str, main: str, air: str, allowed: str, beyond: str, limit: str
) -> None:
    def job(pressure: str) -> Job:
        return in_air(air, contents=contents, main=main, maximum_operating_pressure=quantity(pressure))

    assert_permitted(judged(job(allowed)), "pressure")
    found = judged(job(beyond))
    assert row(found, "pressure").limit == f"≤ {limit}"
    shown = row(found, "pressure").found
    assert shown.startswith(beyond)
    what = f"the maximum operating pressure {shown} is above the joint's {limit}"
    assert_refused(found, "pressure", what, PRESSURE_CURE)


def test_a_fitting_of_lower_pressure_limits_the_joint() -> None:
    weaker = catalog().families[SADDLE].every_pair.model_copy(update={"pressure_max": quantity("150 psi")})
    assert_permitted(judged(at_pressure("150 psi"), family(every_pair=weaker)), "pressure")
    what = "the maximum operating pressure 151 psi [1,041 kPa] is above the joint's 150 psi [1,034 kPa]"
    found = judged(at_pressure("151 psi"), family(every_pair=weaker))
    assert_refused(found, "pressure", what, PRESSURE_CURE)


def test_water_hotter_than_the_last_factor_is_refused_and_has_no_joint_pressure() -> None:
    """The rating without a factor must not stand in for the one that nobody stated."""
    found = judged(in_air("101 degF"))
    what = "no temperature factor is stated for 101 °F [38 °C]"
    cure = "have an engineer rate the pipe at this temperature"
    assert_refused(found, "temperature_factor", what, cure)
    assert "joint.pressure_max" not in found.values
    assert "pipe.main.pressure_rating" in found.values


def test_gas_pipe_warmer_than_its_rating_is_refused() -> None:
    """49 CFR 192.121(a) rates at the temperature of the design basis; no factor for warmer pipe is stated."""
    gas = {"contents": "gas", "maximum_operating_pressure": quantity("60 psi")}
    assert judged(in_air("73 degF", **gas)).verdict == "permitted"
    found = judged(in_air("74 degF", **gas))
    what = "no gas rating is stated for 74 °F [23 °C]"
    cure = "have an engineer rate the pipe at this temperature"
    assert_refused(found, "temperature_factor", what, cure)


@pytest.mark.parametrize("contents", ["water", "gas"])
def test_a_pipe_without_a_rating_for_its_contents_is_refused(contents: str) -> None:
    """PE100 has no gas rating in the materials file; a pipe without material has none at all."""
    main = "6 in IPS DR 11 PE100" if contents == "gas" else "6 in IPS DR 11"
    what = f"no pressure rating for {contents} is known for these pipes and materials"
    cure = "name materials that the materials file rates for these contents"
    assert_refused(judged(first_lateral(main=main, contents=contents)), "pressure", what, cure)


def test_contents_the_family_does_not_accept_are_refused() -> None:
    gas = first_lateral(contents="gas")
    assert_permitted(judged(gas), "contents")
    found = judged(gas, family(contents=("water",)))
    assert_refused(found, "contents", f"{SADDLE} does not take gas", "take a family for gas")
    assert_permitted(judged(first_lateral(), family(contents=("water",))), "contents")


@pytest.mark.parametrize("method", ["through a valve", "built-in cutter"])
def test_a_method_the_family_does_not_offer_is_refused(method: str) -> None:
    what = f"{SADDLE} is not made for the method {method!r}"
    found = judged(first_lateral(method=method), family(methods=("open drill",)))
    assert_refused(found, "method", what, "choose open drill, or another family")
    assert_permitted(judged(first_lateral(method="open drill")), "method")


def test_both_ways_of_a_family_are_offered() -> None:
    found = judged(first_lateral(method="built-in cutter"))
    what = f"{SADDLE} is not made for the method 'built-in cutter'"
    assert_refused(found, "method", what, "choose open drill or through a valve, or another family")
    assert row(judged(first_lateral(method="through a valve")), "method").passed is True


def test_a_bore_that_no_listed_saw_clears_is_refused() -> None:
    """The least saw, 3/4 in, needs 0.875 in with 1/16 in a side; without a saw no travel is worked out."""
    what = "no listed hole saw fits the least bore with its clearance and the main's share"
    cure = "add a saw that fits to the list of hole saws, or take another fitting"
    found = judged(first_lateral(), family("fitting", outlet_bore=quantity("0.874 in")))
    assert_refused(found, "saw", what, cure)
    assert row(found, "saw").found == "none"
    assert [name for name in found.values if name.startswith("tap.")] == ["tap.method"]
    exact = judged(first_lateral(), family("fitting", outlet_bore=quantity("0.875 in")))
    assert_permitted(exact, "saw")
    assert exact.values["tap.hole_saw"].text() == "3/4 in [19.0 mm]"


def test_the_hole_keeps_to_the_work_rule_s_share_of_the_main() -> None:
    """1-3/4 in is 32.7 % of 5.349 in: at 33 % it stays, at 32 % the saw is a size smaller."""
    assert judged(first_lateral(), None, with_rule("hole-share", "33 %")).values["tap.hole_saw"].text() == (
        "1-3/4 in [44.4 mm]"
    )
    smaller = judged(first_lateral(), None, with_rule("hole-share", "32 %"))
    assert smaller.values["tap.hole_saw"].text() == "1-11/16 in [42.8 mm]"


def travel_to_set_in_6_in_main() -> float:
    """Travel in inches on the least 6 in DR 11 main, 1-3/4 in saw 0.020 in oversize, 1/8 in over."""
    outer, wall, radius = 6.595 / 2, 1.12 * 0.602, 1.77 / 2
    return outer - math.sqrt((outer - wall) ** 2 - radius**2) + 0.125


def test_a_pilot_that_would_reach_the_far_wall_is_refused() -> None:
    """The longest pilot ends 1/2 in before the far wall when the travel is done."""
    longest = 6.595 - 1.12 * 0.602 - 0.5 - travel_to_set_in_6_in_main()
    fits, long = (f"{math.floor(longest * 1000) / 1000 + more:.3f} in" for more in (0, 0.001))
    assert_permitted(judged(first_lateral(), None, with_saw(pilot_projection=quantity(fits))), "travel")
    found = judged(first_lateral(), None, with_saw(pilot_projection=quantity(long)))
    travel, limit = (found.values[name].text() for name in ("tap.travel_set", "tap.travel_limit"))
    what = f"the travel to set {travel} is beyond the travel limit {limit}"
    cure = "take a saw with a shorter pilot, a smaller saw, or another fitting"
    assert_refused(found, "travel", what, cure)


def test_a_cup_shallower_than_the_travel_is_refused() -> None:
    travel = travel_to_set_in_6_in_main()
    deep, shallow = f"{math.ceil(travel * 1000) / 1000:.3f} in", f"{math.floor(travel * 1000) / 1000:.3f} in"
    assert_permitted(judged(first_lateral(), None, with_saw(cup_depth=quantity(deep))), "cup")
    found = judged(first_lateral(), None, with_saw(cup_depth=quantity(shallow)))
    what = f"the saw's cup {shallow} [24.2 mm] is shallower than the travel to set 0.96 in [24.3 mm]"
    assert_refused(found, "cup", what, "list a deeper saw of this size")


def test_open_drill_on_a_live_main_is_refused() -> None:
    what = "open drill on a live main"
    cure = (
        "isolate the main and prove that it holds no pressure"
    )
    assert_refused(judged(first_lateral(state="live")), "state", what, cure)
    assert_permitted(judged(first_lateral()), "state")
    assert_permitted(judged(tie_in()), "state")


@pytest.mark.parametrize("by", ["squeeze-off", "valves"])
def test_an_isolated_main_is_proved_and_shut_on_both_sides(by: str) -> None:
    def isolated(sides: str, proved: bool) -> Combination:
        fields = {"by": by, "sides": sides, "proved_no_pressure": proved}
        return judged(tie_in(isolation=Isolation.model_validate(fields)))

    assert row(isolated("both", True), "proved").passed is None  # it is for the crew to prove
    assert_permitted(isolated("both", True), "sides")
    what = "open drill on an isolated main that is not proved at no pressure"
    cure = "prove no pressure at the place of the cut, then write proved_no_pressure: true"
    assert_refused(isolated("both", False), "proved", what, cure)
    one = ("open drill with only one side isolated", "isolate both sides")
    assert_refused(isolated("one", True), "sides", *one)
    assert isolated("one", False).reasons == (Reason(what, cure), Reason(*one))


WINDOW = "−10 °C [14 °F] to 40 °C [104 °F]"


@pytest.mark.parametrize("air", ["-10 degC", "14 degF", "40 degC", "104 degF"])
def test_air_exactly_at_the_window_s_end_is_permitted(air: str) -> None:
    """The weather's row alone: no factor rates a pipe at 40 °C."""
    assert row(judged(in_air(air)), "weather").passed is True


@pytest.mark.parametrize("air", ["-10.1 degC", "13.9 degF", "40.1 degC", "104.1 degF"])
def test_air_beyond_the_window_is_refused(air: str) -> None:
    found = judged(in_air(air))
    shown = row(found, "weather").found
    assert shown.startswith(str(quantity(air)))
    cure = "wait for weather within the window, or shelter and shade the work until it is"
    assert row(found, "weather").passed is False
    assert Reason(f"the air at {shown} is outside {WINDOW}", cure) in found.reasons


def test_air_is_judged_without_a_job_too() -> None:
    request = judged(first_lateral()).request
    for air, verdict in (("40 degC", "permitted"), ("41 degC", "refused")):
        found = work_out(replace(request, ambient=quantity(air), job=None, joint=None))
        assert found.verdict == verdict
        assert row(found, "weather").passed is (verdict == "permitted")


def test_a_narrower_window_of_the_fitting_goes_before_the_control_unit_s() -> None:
    mild = family("weather", ambient_min=quantity("0 degC"), ambient_max=quantity("50 degC"))
    assert_permitted(judged(in_air("0 degC"), mild), "weather")
    found = judged(in_air("-1 degC"), mild)
    assert row(found, "weather").limit == "0 °C [32 °F] to 40 °C [104 °F]"
    assert found.verdict == "refused"


def test_a_control_unit_gives_the_fitting_s_voltage() -> None:
    assert_permitted(judged(with_unit(voltage_max=quantity("40 V"))), "voltage")
    what = "the control unit gives at most 39.9 V, the fitting needs 40 V"
    found = judged(with_unit(voltage_max=quantity("39.9 V")))
    assert_refused(found, "voltage", what, "take another control unit")


def test_a_control_unit_has_the_fitting_s_terminal() -> None:
    assert_permitted(judged(with_unit(terminals=(quantity("4.7 mm"),))), "terminal")
    found = judged(with_unit(terminals=(quantity("4.0 mm"), quantity("4.6 mm"))))
    what = "the control unit's terminals (4.0 mm, 4.6 mm) do not fit 4.7 mm"
    assert_refused(found, "terminal", what, "bring the adapter for this terminal")


def test_a_control_unit_s_calibration_lasts_to_the_end_of_its_last_day() -> None:
    assert_permitted(judged(with_unit(calibrated_until=date(2026, 5, 12))), "calibration")
    what = "the control unit's calibration ended on 2026-05-11, the job is dated 2026-05-12"
    found = judged(with_unit(calibrated_until=date(2026, 5, 11)))
    assert_refused(found, "calibration", what, "have it calibrated, or take another control unit")


def test_nothing_is_asked_of_a_power_set_that_the_job_does_not_name() -> None:
    bare = judged(first_lateral(equipment=Equipment()))
    asked = {"generator", "generator_apparent", "cord", "voltage", "terminal", "calibration"}
    assert not asked & {check.key for check in bare.checks}
    assert bare.verdict == "permitted"


def test_a_fuser_s_qualification_lasts_to_the_end_of_its_last_day() -> None:
    fuser = demo_job("first-lateral").fuser
    until = fuser.model_copy(update={"qualified_until": date(2026, 5, 12)})
    assert_permitted(judged(first_lateral(fuser=until)), "fuser")
    lapsed = fuser.model_copy(update={"qualified_until": date(2026, 5, 11)})
    what = "the fuser's qualification ended on 2026-05-11, the job is dated 2026-05-12"
    cure = "send a qualified fuser, or requalify first"
    assert_refused(judged(first_lateral(fuser=lapsed)), "fuser", what, cure)


# Key, its words, least distance exactly, 1 mm less; 25.875 in is three diameters of 8 in IPS.
SPACINGS = [
    ("saddle", "another saddle", "500 mm", "499 mm", "500 mm [19.7 in]"),
    ("fitting", "another fitting", "500 mm", "499 mm", "500 mm [19.7 in]"),
    ("pipe_end", "the pipe end", "500 mm", "499 mm", "500 mm [19.7 in]"),
    ("squeeze", "the squeeze", "25.875 in", "656.225 mm", "25.9 in [658 mm]"),
]


@pytest.mark.parametrize(("key", "words", "exactly", "less", "least"), SPACINGS)
def test_each_distance_may_be_the_least_one_and_not_a_millimetre_less(
    key: str, words: str, exactly: str, less: str, least: str
) -> None:
    distances = demo_job("repair-tie-in").distances
    assert distances is not None

    def at(distance: str) -> Combination:
        return judged(tie_in(distances=distances.model_copy(update={key: quantity(distance)})))

    assert_permitted(at(exactly), f"distance_{key}")
    found = at(less)
    shown = row(found, f"distance_{key}").found
    assert shown.startswith(less)
    what = f"the distance to {words} is {shown}, the least is {least}"
    assert_refused(found, f"distance_{key}", what, "move the place of the joint")


@pytest.mark.parametrize(("distance", "verdict"), [("12 in", "permitted"), ("303.8 mm", "refused")])
def test_on_a_small_main_the_squeeze_stands_off_12_in(distance: str, verdict: str) -> None:
    """Three diameters of 3 in IPS are only 10.5 in."""
    small = first_lateral(main="3 in IPS DR 11 PE4710")
    isolation = demo_job("repair-tie-in").isolation
    at = Distances(squeeze=quantity(distance))
    found = judged(small.model_copy(update={"state": "isolated", "isolation": isolation, "distances": at}))
    assert found.verdict == verdict
    assert row(found, "distance_squeeze").passed is (verdict == "permitted")


def test_a_distance_nobody_measured_is_left_to_the_crew() -> None:
    """A dry main has no squeeze to keep away from."""
    found = judged(first_lateral())
    rows = {check.key: check for check in found.checks if check.key.startswith("distance_")}
    assert list(rows) == ["distance_saddle", "distance_fitting", "distance_pipe_end"]
    assert [(check.passed, check.found, check.limit) for check in rows.values()] == [
        (None, "", "≥ 500 mm [19.7 in]")
    ] * 3
    assert found.verdict == "permitted"


def test_a_required_torque_that_nobody_stated_is_refused() -> None:
    found = judged(first_lateral(), family("clamp", torque="required"))
    what = "clamp.torque is required and nobody stated it"
    cure = "get it from the fitting's maker, and write it in the family's file"
    assert_refused(found, "required", what, cure)
    for torque in (quantity("10 N*m"), "blank", None):
        permitted = judged(first_lateral(), family("clamp", torque=torque))
        assert permitted.verdict == "permitted"
        assert "required" not in {check.key for check in permitted.checks}


# Numbers that no fitting can have, and the sentence that says so.
IMPOSSIBLE = [
    (
        "fitting",
        {"base_angle": "95 degree"},
        "a half-angle of 95 degrees cannot be seated, expected at most 90",
    ),
    ("fitting", {"outlet_bore": "0 mm"}, "bore is 0.0, expected a finite number above zero"),
    ("fitting", {"bore_radius": "0 mm"}, "bore radius is 0.0, expected a finite number above zero"),
    ("fuse", {"coil_resistance": "0 ohm"}, "resistance is 0.0, expected a finite number above zero"),
    ("fuse", {"time": "0 s"}, "time is 0.0, expected a finite number above zero"),
    (
        "peel",
        {"depth_min": "0.013 in"},
        "least peel depth 0.3302 is more than greatest peel depth 0.3048, expected the lesser number first",
    ),
]


@pytest.mark.parametrize(("part", "data", "what"), IMPOSSIBLE, ids=[str(data) for _, data, _ in IMPOSSIBLE])
def test_numbers_no_fitting_can_have_refuse_it(part: str, data: dict[str, str], what: str) -> None:
    """A reason with a cure, never a number and never a crash."""
    found = judged(first_lateral(), family(part, **{name: quantity(text) for name, text in data.items()}))
    assert found.verdict == "refused"
    assert found.reasons[0] == Reason(what, "correct the family's data for this pair")


def test_all_reasons_come_at_once_in_the_order_of_the_work() -> None:
    """Thirteen things wrong give thirteen reasons, none twice."""
    equipment = with_unit(voltage_max=quantity("30 V"), calibrated_until=date(2026, 1, 1)).equipment
    job = in_air(
        "45 degC",
        main="6 in IPS DR 21 PE4710",
        lateral="2 in IPS DR 9 PE4710",
        contents="gas",
        maximum_operating_pressure=quantity("900 psi"),
        state="live",
        equipment=equipment,
        fuser=demo_job("first-lateral").fuser.model_copy(update={"qualified_until": date(2026, 1, 1)}),
        distances=Distances(saddle=quantity("1 ft"), pipe_end=quantity("1 ft")),
    )
    found = judged(job)
    failed = [check.key for check in found.checks if check.passed is False]
    assert failed == [
        "main_dr", "lateral_dr", "pressure", "temperature_factor", "state", "live_pressure", "test",
        "weather",
        "voltage", "calibration", "fuser",
        "distance_saddle", "distance_pipe_end",
    ]  # fmt: skip
    assert found.reasons == tuple(check.reason for check in found.checks if check.reason)
    assert len(found.reasons) == len(failed)
    assert all(reason.cure for reason in found.reasons)
    assert str(found.reasons[4]).startswith("open drill on a live main; isolate the main")


@pytest.mark.parametrize("name", ["first-lateral", "repair-tie-in"])
def test_a_demo_job_passes_every_row(name: str) -> None:
    found = judged(demo_job(name))
    assert {check.passed for check in found.checks} == {True, None}
    assert [check.reason for check in found.checks if check.reason] == []
    assert len({check.key for check in found.checks}) == len(found.checks)
    assert (found.verdict, found.reasons) == ("permitted", ())
