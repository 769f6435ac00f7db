"""How a combination is put together: which source goes first, what is absent, what is a box.

In: the starter's content and the demo jobs, with one thing changed at a time.
Out: a failure that names the rule of the house that was broken.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from packgen.calc.ledger import Ledger, Value, Working
from packgen.calc.request import Request
from packgen.calc.tap_values import chosen_saw
from packgen.calc.work_out import work_out
from packgen.errors import ContentError
from packgen.model.designation import read_designation
from packgen.model.family_records import TimeRow
from packgen.model.job_load import load_job
from packgen.register import REGISTER
from packgen.units import quantity
from tests.calc.demo import CONTENT, catalog

SADDLE = "demo-saddle-screw"
LABEL = f"label of {SADDLE} revision 1"


@cache
def job_request(name: str) -> Request:
    """A demo job's first joint, as it is asked for."""
    job, _ = load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())
    joint = job.joints[0]
    pipes = (catalog().pipe(job.main), catalog().pipe(joint.lateral))
    return Request(catalog(), *pipes, catalog().families[joint.family], job.site.ambient, job, joint)


def size_request(main: str = "6 in IPS DR 11 PE4710", lateral: str = "2 in IPS DR 11 PE4710") -> Request:
    """Two pipes in the demo family, as asked for without a job."""
    pipes = (catalog().pipe(read_designation(main)), catalog().pipe(read_designation(lateral)))
    return Request(catalog(), *pipes, catalog().families[SADDLE])


def with_label(request: Request, part: str, **changes: Any) -> Request:
    """The request with one part of the pair's own label data changed."""
    family = request.family
    pairs = tuple(
        pair.model_copy(update={part: getattr(pair, part).model_copy(update=changes)})
        for pair in family.pairs
    )
    return replace(request, family=family.model_copy(update={"pairs": pairs}))


def with_rule(request: Request, rule: str, value: Any) -> Request:
    """The request with another value of one work rule."""
    rules = {**catalog().rules, rule: catalog().rules[rule].model_copy(update={"value": value})}
    return replace(request, catalog=replace(request.catalog, rules=rules))


def value(request: Request, name: str) -> Value:
    """One value of a request, which must be there."""
    return work_out(request).values[name]


def test_a_ledger_takes_each_name_of_the_register_once() -> None:
    ledger = Ledger()
    ledger.number("peel.passes_max", 1.0, "a source")
    with pytest.raises(ContentError, match=r"'peel\.passes_max' is not in the register, or stands twice"):
        ledger.number("peel.passes_max", 2.0, "a source")
    with pytest.raises(ContentError, match=r"'peel\.courage' is not in the register"):
        ledger.words("peel.courage", "much", "a source")
    assert list(ledger.values) == ["peel.passes_max"]


def test_a_ledger_keeps_the_three_kinds_apart() -> None:
    ledger = Ledger()
    ledger.stated("gap.feeler", quantity("0.33 mm"), "a label")
    ledger.words("clamp.method", "four screws", "a label")
    ledger.worked(
        "tap.clearance", 1.905, "half of bore less saw", ["gap.feeler", ("bore", "1.90 in")], "arithmetic"
    )
    ledger.blank("clamp.torque", "nobody stated it", required=True)
    stated, words, worked, blank = ledger.values.values()
    assert (stated.kind, stated.number, stated.sources) == ("stated", 0.33, ("a label",))
    assert (words.kind, words.number, words.text()) == ("stated", None, "four screws")
    assert (worked.kind, worked.result) == ("worked", "1.905 mm")
    assert worked.working == Working("half of bore less saw", ("gap.feeler", ("bore", "1.90 in")))
    assert (blank.kind, blank.text(), blank.required) == ("blank", "", True)


def test_a_ledger_leaves_out_what_nobody_stated() -> None:
    ledger = Ledger()
    ledger.stated("gap.feeler", None, "a label")
    ledger.words("clamp.method", None, "a label")
    assert ledger.values == {}
    assert ledger.get("gap.feeler") is None
    assert ledger.all("gap.feeler") is None


def test_a_ledger_gives_several_numbers_or_none() -> None:
    ledger = Ledger()
    ledger.number("fuse.voltage", 40.0, "a label")
    ledger.words("clamp.method", "four screws", "a label")
    ledger.blank("fuse.time", "nobody stated it")
    assert ledger.all("fuse.voltage") == (40.0,)
    assert ledger.all("fuse.voltage", "fuse.time") is None
    assert ledger.all("fuse.voltage", "clamp.method") is None


def test_a_stated_value_prints_first_as_it_was_stated() -> None:
    """Under each choice of units, and in brackets in the other system."""
    feeler = value(size_request(), "gap.feeler")
    assert feeler.text("both") == "0.33 mm [0.0129 in]"
    assert feeler.text("us") == "0.33 mm [0.0129 in]"
    assert feeler.text("si") == "0.33 mm"


def test_a_worked_value_prints_in_the_system_asked_for() -> None:
    travel = value(size_request(), "tap.travel_to_breakthrough")
    assert travel.text("both", "us") == "0.83 in [21.0 mm]"
    assert travel.text("both", "si") == "21.0 mm [0.83 in]"
    assert (travel.text("us"), travel.text("si")) == ("0.83 in", "21.0 mm")


@pytest.mark.parametrize(
    ("name", "part", "key", "own", "rule"),
    [
        ("peel.depth_min", "peel", "depth_min", "0.008 in", "peel-depth-min"),
        ("peel.depth_max", "peel", "depth_max", "0.3 mm", "peel-depth-max"),
        ("gap.feeler", "gap", "feeler", "0.010 in", "feeler"),
    ],
)
def test_a_label_s_own_figure_goes_before_the_work_rule_s(
    name: str, part: str, key: str, own: str, rule: str
) -> None:
    """A pair's own before the family's, the family's before the rule's; each cites its own source."""
    labelled = value(with_label(size_request(), part, **{key: quantity(own)}), name)
    assert (labelled.stated, labelled.kind) == (quantity(own), "stated")
    assert labelled.sources[0].startswith(LABEL)
    family = catalog().families[SADDLE]
    silent = getattr(family.every_pair, part).model_copy(update={key: None})
    bare = family.model_copy(update={"every_pair": family.every_pair.model_copy(update={part: silent})})
    ruled = value(replace(size_request(), family=bare), name)
    assert str(ruled.stated) == str(quantity(str(catalog().rules[rule].value)))
    assert ruled.sources[0].startswith(f"work rule {rule} revision 1")


def test_the_print_line_chooses_the_band_of_the_diameter() -> None:
    """Without a standard the widest band of those that hold the size counts."""
    names = ("pipe.main.outside_diameter_min", "pipe.main.outside_diameter_max")

    def band(main: str) -> list[str]:
        return [value(size_request(main), name).text("us") for name in names]

    assert band("6 in IPS DR 11 PE4710") == ["6.595 in", "6.655 in"]
    assert band("6 in IPS DR 11 PE4710 ASTM F714") == ["6.595 in", "6.655 in"]
    assert band("6 in IPS DR 11 PE4710 ASTM D3035") == ["6.614 in", "6.636 in"]


def test_what_needs_a_job_is_absent_without_one() -> None:
    found = work_out(size_request())
    needing = {name for name, entry in REGISTER.items() if entry.needs_job}
    of_the_place = {"place.clock_angle", "place.arc_from_top", "weather.air_temperature", "weather.humidity"}
    measured = {f"spacing.measured_{what}" for what in ("saddle", "fitting", "pipe_end", "squeeze")}
    assert of_the_place | measured <= needing
    assert not needing & set(found.values)
    assert of_the_place <= set(work_out(job_request("first-lateral")).values)
    assert measured <= set(work_out(job_request("repair-tie-in")).values)
    assert found.verdict == "permitted"
    judged_by_job = {"pressure", "state", "voltage", "terminal", "calibration", "fuser", "distance_saddle"}
    assert not judged_by_job & {check.key for check in found.checks}


SQUEEZE = ["squeeze.distance_min", "squeeze.gap_stop", "squeeze.close_time_min", "squeeze.release_time_min"]


def test_squeeze_values_stand_where_a_main_may_be_squeezed() -> None:
    """In the tables for every size and in a job that squeezes; not on a dry main, nor behind valves."""

    def squeeze(request: Request) -> list[str]:
        return [name for name in work_out(request).values if name.startswith("squeeze.")]

    tie_in = job_request("repair-tie-in")
    assert tie_in.job is not None
    assert tie_in.job.isolation is not None
    assert squeeze(size_request()) == squeeze(tie_in) == SQUEEZE
    assert squeeze(job_request("first-lateral")) == []
    valves = tie_in.job.isolation.model_copy(update={"by": "valves"})
    job = tie_in.job.model_copy(update={"isolation": valves, "distances": None})
    assert squeeze(replace(tie_in, job=job)) == []
    # A distance to an old squeeze that somebody measured is judged, whatever closes the main now.
    measured = tie_in.job.model_copy(update={"isolation": valves})
    assert squeeze(replace(tie_in, job=measured)) == ["squeeze.distance_min"]


def test_ratings_are_taken_at_an_ambient_temperature_only_where_one_is_given() -> None:
    cool = work_out(size_request())
    assert "pipe.main.temperature_factor" not in cool.values
    warm = work_out(replace(size_request(), ambient=quantity("85 degF")))
    assert warm.values["joint.pressure_max"].text("us") == "180 psi"
    assert cool.values["joint.pressure_max"].text("us") == "200 psi"
    hot = work_out(replace(size_request(), ambient=quantity("101 degF")))
    assert "pipe.main.temperature_factor" not in hot.values
    assert "joint.pressure_max" not in hot.values


def test_the_joint_s_pressure_says_whether_the_fitting_states_one() -> None:
    found = value(size_request(), "joint.pressure_max")
    assert found.working is not None
    assert found.working.inputs[-1] == ("fitting, from its label", "200 psi [1,379 kPa]")
    family = catalog().families[SADDLE]
    silent = family.every_pair.model_copy(update={"pressure_max": None})
    bare = value(
        replace(size_request(), family=family.model_copy(update={"every_pair": silent})), "joint.pressure_max"
    )
    assert bare.working is not None
    assert bare.working.words.endswith("no pressure is stated for the fitting")
    assert bare.working.inputs == ("pipe.main.pressure_rating", "pipe.lateral.pressure_rating")
    assert bare.sources == ("arithmetic",)


def test_the_window_is_the_overlap_of_fitting_and_control_unit() -> None:
    found = work_out(with_label(size_request(), "weather", ambient_min=quantity("5 degC")))
    assert found.values["weather.ambient_min"].text() == "5 °C [41 °F]"
    assert found.values["weather.ambient_max"].text() == "40 °C [104 °F]"
    wide = work_out(with_label(size_request(), "weather", ambient_min=quantity("-20 degC")))
    assert wide.values["weather.ambient_min"].text() == "−10 °C [14 °F]"
    sources = found.values["weather.ambient_min"].sources
    assert [source.split(" revision")[0] for source in sources] == [
        "work rule control-unit-window-min",
        f"label of {SADDLE}",
    ]


def test_a_torque_is_carried_only_where_it_is_stated() -> None:
    stated = value(with_label(size_request(), "clamp", torque=quantity("12 N*m")), "clamp.torque")
    assert (stated.kind, stated.text()) == ("stated", "12 N·m [8.8 lbf·ft]")
    box = value(size_request(), "clamp.torque")
    assert (box.kind, box.number, box.required) == ("blank", None, False)
    required = value(with_label(size_request(), "clamp", torque="required"), "clamp.torque")
    assert (required.kind, required.required) == ("blank", True)
    asked = with_label(with_label(size_request(), "clamp", screw_size=None), "clamp", torque="blank")
    assert value(asked, "clamp.torque").kind == "blank"


def test_optional_figures_of_a_label_are_carried_where_it_has_them() -> None:
    """Ribbon, stop mark, times by temperature and least main: absent from the demo label."""
    asked = with_label(
        size_request(), "peel", ribbon_min=quantity("0.010 in"), ribbon_max=quantity("0.020 in")
    )
    asked = with_label(asked, "clamp", stop_mark="the red line")
    rows = tuple(
        TimeRow(up_to=quantity(up_to), time=quantity(time))
        for up_to, time in (("0 degC", "95 s"), ("23 degC", "85 s"))
    )
    asked = with_label(asked, "fuse", time_compensation=rows)
    found = work_out(with_label(asked, "fitting", main_diameter_min=quantity("6.55 in")))
    texts = {
        name: found.values[name].text()
        for name in found.values
        if name not in work_out(size_request()).values
    }
    assert texts == {
        "fitting.main_diameter_min": "6.55 in [166.4 mm]",
        "peel.ribbon_min": "0.010 in [0.26 mm]",
        "peel.ribbon_max": "0.020 in [0.50 mm]",
        "peel.diameter_to_start": "6.574 in [167.0 mm]",
        "clamp.stop_mark": "the red line",
        "fuse.time_compensation": "up to 0 °C [32 °F]: 95 s; up to 23 °C [73 °F]: 85 s",
    }
    passes = found.values["peel.passes_max"].working
    assert passes is not None
    assert {"fitting.main_diameter_min", "pipe.main.outside_diameter"} <= set(passes.inputs)
    assert found.verdict == "permitted"


@pytest.mark.parametrize(
    ("zone", "inches", "taken"),
    [
        ("footprint", "6.613 in", "one peel depth (one side)"),
        ("whole circumference", "6.601 in", "two peel depths"),
    ],
)
def test_a_whole_circumference_peel_takes_its_depth_off_twice(zone: str, inches: str, taken: str) -> None:
    after = value(with_rule(size_request(), "peeled-zone", zone), "peel.diameter_after_one_pass")
    assert after.text("us") == inches
    assert after.working is not None
    assert after.working.words == f"outside diameter less {taken}"


def test_the_squeeze_stop_follows_the_wall_the_rule_names() -> None:
    """0.602 in and 1.12 times as much, twice, less 30 %."""
    assert value(size_request(), "squeeze.gap_stop").text("us") == "0.843 in"
    thick = value(with_rule(size_request(), "squeeze-wall", "thickest permitted wall"), "squeeze.gap_stop")
    assert thick.text("us") == "0.944 in"
    assert thick.working is not None
    assert thick.working.inputs[0] == "pipe.main.wall_max"


UNUSABLE = [
    ("peel-passes", "one", "a bare whole number"),
    ("squeeze-distance-diameters", "three", "a bare whole number"),
    ("peeled-zone", "half", "'footprint' or 'whole circumference'"),
    ("squeeze-wall", "mean wall", "'minimum wall' or 'thickest permitted wall'"),
    ("surface-loss", "much", "a quantity with its unit"),
]


@pytest.mark.parametrize(("rule", "wrong", "expected"), UNUSABLE)
def test_a_work_rule_no_calculation_can_use_is_named(rule: str, wrong: str, expected: str) -> None:
    """One sentence for the owner of the rule, neither a crash nor another value in its place."""
    with pytest.raises(ContentError) as refusal:
        work_out(with_rule(size_request(), rule, wrong))
    (problem,) = refusal.value.problems
    assert problem.what == f"the work rule {rule!r} has the value {wrong!r}"
    assert problem.expected == expected


def test_a_pair_that_is_not_listed_has_the_values_of_its_pipes_only() -> None:
    """No label, so no saw, no times, and no box for them."""
    found = work_out(size_request("4 in IPS DR 11 PE4710", "4 in IPS DR 11 PE4710"))
    assert found.verdict == "refused"
    kinds = {"pipe", "joint", "cool", "bend", "squeeze", "spacing", "weather"}
    assert {name.split(".")[0] for name in found.values} == kinds
    assert not [name for name in found.values if name.startswith("cool.") and name != "cool.end_temperature"]
    assert found.blanks == ()
    assert [check.key for check in found.checks if check.passed is False] == ["pair"]


def test_a_family_of_another_size_system_has_no_pair() -> None:
    request = size_request()
    for changes in ({"system": "DIPS"}, {"lateral_system": "DIPS"}):
        other = replace(request, family=request.family.model_copy(update=changes))
        assert other.pair is None
        assert [reason.what for reason in work_out(other).reasons] == [
            f"{SADDLE} lists no 2 in IPS lateral on 6 in IPS mains"
        ]


def test_the_chosen_saw_is_of_the_main_s_system() -> None:
    """Metric saws of the same size are never offered to an inch main."""
    ledger = Ledger()
    ledger.stated("fitting.outlet_bore", quantity("1.90 in"), "a label")
    assert chosen_saw(ledger, size_request()) is None
    ledger.stated("pipe.main.inside_diameter_mean", quantity("5.349 in"), "a table")
    saw = chosen_saw(ledger, size_request())
    assert saw is not None
    assert (saw.id, saw.system) == ("saw-in-1750", "inch")
    metric = tuple(saw for saw in catalog().saws if saw.system == "metric")
    assert metric
    only_metric = replace(size_request(), catalog=replace(catalog(), saws=metric))
    assert chosen_saw(ledger, only_metric) is None


def test_without_a_material_there_is_neither_rating_nor_mass() -> None:
    """And everything else is the same."""
    named, bare = work_out(size_request()), work_out(size_request("6 in IPS DR 11", "2 in IPS DR 11"))
    assert set(named.values) - set(bare.values) == {
        "pipe.main.pressure_rating", "pipe.lateral.pressure_rating", "joint.pressure_max", "tap.coupon_mass",
    }  # fmt: skip
    assert all(bare.values[name] == named.values[name] for name in bare.values)


def test_contents_and_method_are_the_job_s_else_water_and_the_family_s_first() -> None:
    request = job_request("first-lateral")
    assert request.job is not None
    gas = replace(request, job=request.job.model_copy(update={"contents": "gas"}))
    assert (gas.contents, gas.method) == ("gas", "open drill")
    assert value(gas, "tap.method").sources == ("job file",)
    bare = replace(request, job=None, joint=None)
    assert (bare.contents, bare.method) == ("water", "open drill")
    assert value(bare, "tap.method").sources[0].startswith(LABEL)


def test_the_same_request_gives_the_same_combination() -> None:
    first, second = (work_out(job_request("repair-tie-in")) for _ in range(2))
    assert first.values == second.values
    assert first.checks == second.checks
    assert first is not second
