"""Couplings, built-in cutters, taps through a valve: which values they have, and every refusal of their own.

In: the demo jobs and tools, with one thing changed at a time. Out: a failure that names the value or the row
of the fit check that went wrong.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.request import Check, Combination, Request, request_of
from packgen.calc.tap import travel_to_breakthrough
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.family_records import LabelData
from packgen.units import Quantity, quantity
from tests.calc.demo import catalog, demo_job


def joint_of(name: str, index: int = 0, shelf: Catalog | None = None, **changes: Any) -> Combination:
    """One joint of a demo job, worked out; `changes` belong to the job."""
    job = demo_job(name).model_copy(update=changes)
    return work_out(request_of(job, job.joints[index], shelf or catalog()))


def with_joint(name: str, index: int = 0, **changes: Any) -> dict[str, Any]:
    """The joints of a demo job with one of them changed."""
    joints = list(demo_job(name).joints)
    joints[index] = joints[index].model_copy(update=changes)
    return {"joints": tuple(joints)}


def stocked(name: str, tool: str, **changes: Any) -> Catalog:
    """The catalogue with one tool changed."""
    shelf = dict(getattr(catalog(), name))
    shelf[tool] = shelf[tool].model_copy(update=changes)
    return replace(catalog(), **{name: shelf})


def labelled(family_id: str, part: str, **changes: Any) -> Catalog:
    """The catalogue with one part of the label of every pair of a family changed."""
    family = catalog().families[family_id]
    pairs = []
    for pair in (family.every_pair, *family.pairs):
        inner = changes if not part else {part: getattr(pair, part).model_copy(update=changes)}
        pairs.append(pair.model_copy(update=inner))
    every, *own = pairs
    changed = family.model_copy(update={"every_pair": every, "pairs": tuple(own)})
    return replace(catalog(), families={**catalog().families, family_id: changed})


def row(found: Combination, key: str) -> Check:
    """One row of the fit check."""
    return next(each for each in found.checks if each.key == key)


def refused_for(found: Combination, key: str) -> bool:
    """Whether a row failed, with a reason and a cure."""
    each = row(found, key)
    if each.passed is False:
        assert each.reason is not None
        assert each.reason.what
        assert each.reason.cure
        assert each.reason in found.reasons
    return each.passed is False


def test_a_coupling_has_the_values_of_the_pipe_it_joins_and_none_of_the_main() -> None:
    """What does not apply is absent: nothing is cut, no place is marked, no gap is felt."""
    values = joint_of("live-tap", 1).values
    foreign = ("pipe.main.", "tap.", "gap.", "place.", "spacing.")
    assert not [name for name in values if name.startswith(foreign)]
    assert values["socket.insertion_depth"].kind == "stated"
    assert "cool.tap_wait" not in values
    own = {"pipe.lateral.wall_min", "peel.passes_max", "socket.peel_length", "joint.pressure_max"}
    assert own <= set(values)


def test_a_coupling_is_peeled_all_round() -> None:
    """Two depths come off the diameter, whatever the rule for saddles is."""
    values = joint_of("live-tap", 1).values
    after, depth = values["peel.diameter_after_one_pass"].number, values["peel.depth_max"].number
    whole = values["pipe.lateral.outside_diameter"].number
    assert after is not None and depth is not None and whole is not None
    assert after == pytest.approx(whole - 2.0 * depth)


def test_a_coupling_s_depth_that_nobody_stated_is_a_box() -> None:
    """Never absent: a pipe pushed in by guess fuses by guess."""
    shelf = labelled("demo-coupling", "socket", insertion_depth=None, peel_length=None)
    values = joint_of("live-tap", 1, shelf).values
    assert [values[f"socket.{name}"].kind for name in ("insertion_depth", "peel_length")] == ["blank"] * 2


def test_a_coupling_joins_two_lengths_of_one_pipe() -> None:
    """Another ratio on the other side is refused."""
    request = request_of(demo_job("live-tap"), demo_job("live-tap").joints[1], catalog())
    other = catalog().pipe(replace(request.lateral.designation, dr=9))
    assert not refused_for(work_out(request), "one_pipe")
    assert refused_for(work_out(replace(request, main=other)), "one_pipe")


def test_a_method_on_a_coupling_is_refused() -> None:
    """Nothing is cut."""
    assert refused_for(joint_of("live-tap", 1, **with_joint("live-tap", 1, method="open drill")), "method")


def test_the_saw_is_chosen_by_the_least_bore_of_the_whole_path() -> None:
    """A reduced bore makes the saw smaller; a full bore leaves it as through the open outlet."""
    full = joint_of("live-tap").values
    reduced = joint_of("live-tap", **with_joint("live-tap", valve="demo-valve-2in-reduced")).values
    assert full["tap.least_bore"].number == pytest.approx(1.90 * 25.4)
    assert reduced["tap.least_bore"].number == pytest.approx(1.60 * 25.4)
    assert full["tap.hole_saw"].text("us") == "1-3/4 in"
    small, least = reduced["tap.hole_saw"].number, reduced["tap.least_bore"].number
    assert small is not None and least is not None
    assert small <= least - 2 * 25.4 / 16 + 1e-6
    machine = stocked("machines", "demo-machine-2in", bore=quantity("1.50 in"))
    narrow = joint_of("live-tap", 0, machine).values["tap.least_bore"]
    assert narrow.number == pytest.approx(1.50 * 25.4)


def test_through_a_valve_no_depth_mark_is_printed() -> None:
    """Nobody sees the shank inside a machine; the travel is read on its scale."""
    values = joint_of("live-tap").values
    assert "tap.depth_mark" not in values
    assert values["tap.travel_set"].kind == "worked"


def test_the_stroke_is_that_of_the_whole_stack() -> None:
    """80 mm of outlet, 9 in of valve, 2 in of reach, and the travel: by hand."""
    values = joint_of("live-tap").values
    travel = values["tap.travel_set"].number
    assert travel is not None
    assert values["tap.stroke_min"].number == pytest.approx(80.0 + 9 * 25.4 + 2 * 25.4 + travel)


@pytest.mark.parametrize("over", [False, True])
def test_a_stroke_a_hair_too_short_is_refused(over: bool) -> None:
    """At its limit it passes."""
    needed = joint_of("live-tap").values["tap.stroke_min"].number
    assert needed is not None
    stroke = quantity(f"{needed + (-0.01 if over else 0.0001):.4f} mm")
    found = joint_of("live-tap", 0, stocked("machines", "demo-machine-2in", stroke=stroke))
    assert refused_for(found, "stroke") is over


def test_a_stack_whose_outlet_height_nobody_stated_is_for_the_crew() -> None:
    """No number is made up."""
    found = joint_of("live-tap", 0, labelled("demo-saddle-screw", "fitting", outlet_height=None))
    assert row(found, "stroke").passed is None
    assert "tap.stroke_min" not in found.values


@pytest.mark.parametrize("key", ["valve", "machine"])
def test_a_tap_through_a_valve_names_valve_and_machine(key: str) -> None:
    """One that is not named is refused with the line to write."""
    field = {"valve": "valve", "machine": "drilling_machine"}[key]
    found = joint_of("live-tap", **with_joint("live-tap", **{field: None}))
    assert refused_for(found, key)
    assert f"write '{field}: ID'" in str(found.reasons[0])


def test_a_valve_for_another_outlet_is_refused() -> None:
    """Its size is the lateral's."""
    found = joint_of("live-tap", **with_joint("live-tap", valve="demo-valve-3in"))
    assert refused_for(found, "valve_size")


@pytest.mark.parametrize(
    ("key", "shelf", "tool"),
    [
        ("valve_pressure", "valves", "demo-valve-2in"),
        ("machine_pressure", "machines", "demo-machine-2in"),
        ("plug_pressure", "plugs", "demo-plug-2in"),
    ],
)
def test_a_tool_rated_below_the_main_s_pressure_is_refused(key: str, shelf: str, tool: str) -> None:
    """At 60 psi in the main it passes, a hair below it does not."""
    at = stocked(shelf, tool, pressure_max=quantity("60 psi"))
    below = stocked(shelf, tool, pressure_max=quantity("59.99 psi"))
    assert not refused_for(joint_of("live-tap", 0, at), key)
    assert refused_for(joint_of("live-tap", 0, below), key)


@pytest.mark.parametrize(("key", "shelf", "tool"), [
    ("valve_contents", "valves", "demo-valve-2in"), ("machine_contents", "machines", "demo-machine-2in"),
])  # fmt: skip
def test_a_tool_not_made_for_the_contents_is_refused(key: str, shelf: str, tool: str) -> None:
    """A gas main needs tools for gas."""
    water = stocked(shelf, tool, contents=("water",))
    assert not refused_for(joint_of("live-tap"), key)
    assert refused_for(joint_of("live-tap", 0, water), key)


def test_the_valve_s_rating_is_part_of_the_joint_s() -> None:
    """The least of all that sees the pressure."""
    weak = stocked("valves", "demo-valve-2in", pressure_max=quantity("61 psi"))
    value = joint_of("live-tap", 0, weak).values["joint.pressure_max"]
    assert value.number == pytest.approx(quantity("61 psi").to("kPa"))


@pytest.mark.parametrize(("bore", "refused"), [
    ("1.90 in", False), ("1.89 in", True),
])  # fmt: skip
def test_a_test_plug_closes_the_outlet_s_bore(bore: str, refused: bool) -> None:
    """Both ends of its range are tried."""
    most = stocked("plugs", "demo-plug-2in", bore_max=quantity(bore))
    assert refused_for(joint_of("live-tap", 0, most), "plug_bore") is refused
    least = stocked("plugs", "demo-plug-2in", bore_min=quantity("1.91 in" if refused else "1.90 in"))
    assert refused_for(joint_of("live-tap", 0, least), "plug_bore") is refused


@pytest.mark.parametrize(("stated", "verdict"), [("60 psi", True), ("59.99 psi", False), (None, None)])
def test_a_live_main_is_fused_only_below_the_label_s_pressure(
    stated: str | None, verdict: bool | None
) -> None:
    """A label that states none leaves a box, and the crew proves it."""
    pressure = quantity(stated) if stated else None
    shelf = labelled("demo-saddle-screw", "fuse", main_pressure_max=pressure)
    found = joint_of("live-tap", 0, shelf)
    assert row(found, "live_pressure").passed is verdict
    assert found.values["fuse.main_pressure_max"].kind == ("blank" if stated is None else "stated")


def test_a_built_in_cutter_is_counted_in_turns_and_needs_no_saw() -> None:
    """Turns and stop from the label, travel from it or from its pitch."""
    values = joint_of("service-tap").values
    assert "tap.hole_saw" not in values
    assert values["tap.cutter_turns"].kind == values["tap.cutter_stop"].kind == "stated"
    worked = labelled("demo-tapping-saddle", "cutter", travel=None)
    again = joint_of("service-tap", 0, worked).values["tap.cutter_travel"]
    assert again.kind == "worked"
    assert again.number == pytest.approx(values["tap.cutter_travel"].number)


def test_turns_that_nobody_stated_are_a_box() -> None:
    """The gate that counts them is never without."""
    shelf = labelled("demo-tapping-saddle", "cutter", turns=None)
    assert joint_of("service-tap", 0, shelf).values["tap.cutter_turns"].kind == "blank"


def cutting(travel: float, approach: str = "8 mm") -> Combination:
    """The demo's tapping saddle with another travel."""
    stated = quantity(f"{travel:.4f} mm")
    shelf = labelled("demo-tapping-saddle", "cutter", travel=stated, approach=quantity(approach))
    return joint_of("service-tap", 0, shelf)


@pytest.mark.parametrize(("key", "name", "toward"), [
    ("cutter_reach", "tap.travel_to_breakthrough", -0.01), ("cutter_limit", "tap.travel_limit", 0.01),
])  # fmt: skip
def test_a_cutter_goes_through_the_wall_and_not_near_the_other(key: str, name: str, toward: float) -> None:
    """At each limit it passes, a hair beyond it does not; the way from its stop to the main is counted."""
    values = joint_of("service-tap").values
    limit = values[name].number
    if key == "cutter_reach":  # judged on the smallest main, where a cutter goes a little farther
        numbers = (values[f"pipe.main.{each}"].number for each in ("outside_diameter_min", "wall_max"))
        smallest, wall = (number for number in numbers if number is not None)
        cutter = catalog().families["demo-tapping-saddle"].pairs[1].cutter.diameter
        assert cutter is not None
        limit = travel_to_breakthrough(smallest, wall, cutter.to("mm"))
    assert limit is not None
    inside = limit - (0.0001 if toward > 0 else -0.0001)
    assert not refused_for(cutting(8.0 + inside), key)
    assert refused_for(cutting(8.0 + limit + toward), key)


def test_a_cutter_whose_size_nobody_stated_is_for_the_crew() -> None:
    """No number is made up."""
    found = joint_of("service-tap", 0, labelled("demo-tapping-saddle", "cutter", diameter=None))
    assert row(found, "cutter_reach").passed is None
    assert "tap.travel_to_breakthrough" not in found.values


def test_a_cutter_whose_way_to_the_main_nobody_stated_is_for_the_crew() -> None:
    """Its reach is not known; that it ends before the far wall is judged as if all of it were cut."""
    found = joint_of("service-tap", 0, labelled("demo-tapping-saddle", "cutter", approach=None))
    assert row(found, "cutter_reach").passed is None
    assert row(found, "cutter_limit").passed is True
    assert "tap.cutter_travel_from_contact" not in found.values
    short = labelled("demo-tapping-saddle", "cutter", approach=None, travel=quantity("12 mm"))
    assert refused_for(joint_of("service-tap", 0, short), "cutter_reach")


def test_a_stop_that_nobody_described_is_a_box() -> None:
    """The gate that sees the cutter at its stop is never without."""
    shelf = labelled("demo-tapping-saddle", "cutter", stop=None)
    assert joint_of("service-tap", 0, shelf).values["tap.cutter_stop"].kind == "blank"


def test_a_saw_is_a_box_where_the_path_is_not_known() -> None:
    """The outlet alone does not tell what passes a valve that nobody named."""
    found = joint_of("live-tap", **with_joint("live-tap", valve=None))
    assert found.values["tap.hole_saw"].kind == "blank"
    assert row(found, "saw").passed is None


def test_a_wait_that_nobody_stated_leaves_the_plan_open() -> None:
    """It may be the longest of all."""
    shelf = labelled("demo-saddle-bolt", "cool", tap_wait=None)
    found = joint_of("valve-isolation", 0, shelf)
    assert "clock.joint_total" not in found.values
    assert row(found, "outage").passed is None


@pytest.mark.parametrize(("sides", "proved", "judged"), [
    ("both", True, False), ("one", True, True), ("both", False, True),
])  # fmt: skip
def test_a_main_not_proved_on_both_sides_is_judged_as_one_that_may_hold_pressure(
    sides: str, proved: bool, judged: bool
) -> None:
    """The label's pressure while fusing counts for it as for a live one."""
    isolation = demo_job("valve-isolation").isolation
    assert isolation is not None
    changed = isolation.model_copy(update={"sides": sides, "proved_no_pressure": proved})
    shelf = labelled("demo-saddle-screw", "fuse", main_pressure_max=quantity("50 psi"))
    found = joint_of("live-tap", 0, shelf, state="isolated", isolation=changed)
    assert (len([each for each in found.checks if each.key == "live_pressure"]) == 1) is judged
    if judged:
        assert refused_for(found, "live_pressure")


def test_a_gas_test_that_joint_or_tools_do_not_bear_is_refused() -> None:
    """60 psi asks for 90 psi; at 90 psi a plug still does, below it no longer."""
    values = joint_of("live-tap").values
    assert values["test.pressure_min"].text("us") == "90 psi"
    for stated, refused in (("90 psi", False), ("89.9 psi", True)):
        plug = stocked("plugs", "demo-plug-2in", pressure_max=quantity(stated))
        assert refused_for(joint_of("live-tap", 0, plug), "test") is refused


def test_the_greatest_water_test_is_that_of_the_weakest_part() -> None:
    """1.5 times the joint's rating, at most the plug's plate."""
    values = joint_of("repair-tie-in").values
    rated, most = values["joint.pressure_max"].number, values["test.pressure_max"].number
    assert rated is not None and most == pytest.approx(1.5 * rated)
    assert "test.pressure_min" not in values


def test_a_table_of_times_is_printed_row_by_row() -> None:
    """Each row with its own limit, in both systems."""
    found = joint_of("valve-isolation", 1)
    text = found.values["fuse.time_compensation"].text()
    label = found.request.label
    assert isinstance(label, LabelData) and label.fuse.time_compensation
    assert text.count("up to ") == len(label.fuse.time_compensation)
    assert "°C" in text and "°F" in text
    assert found.request.facts["times"] == "by temperature"


def planned(outage: Quantity | None, **changes: Any) -> Check:
    """The outage's row of the job with two laterals, under another stated outage."""
    isolation = demo_job("valve-isolation").isolation
    assert isolation is not None
    changes["isolation"] = isolation.model_copy(update={"outage": outage})
    found = joint_of("valve-isolation", **changes)
    return next((each for each in found.checks if each.key == "outage"), Check("none", "", "", None))


def needed_minutes() -> float:
    """The job's planned work by hand, with two people, one control unit and two clamp sets, min.

    J2 is fused as soon as the control unit is free; what takes longest with an hour around is the outage.
    """
    fused, ends = 45.0, []
    for index in (0, 1):
        values = joint_of("valve-isolation", index).values
        fusion = {0: values["fuse.time"].number, 1: 80.0}[index]  # the longest row of J2's table of times
        assert fusion is not None
        fused += fusion / 60.0
        found = (values[f"cool.{name}"].number for name in ("clamp_time", "pressure_wait", "tap_wait"))
        ends.append(fused + max(number for number in found if number is not None) / 60.0 + 45.0)
    return 60.0 + max(ends)


@pytest.mark.parametrize("short", [False, True])
def test_planned_work_fits_the_stated_outage_or_is_refused(short: bool) -> None:
    """Exactly enough passes; a second less does not."""
    seconds = needed_minutes() * 60.0
    found = planned(quantity(f"{seconds - (1.0 if short else 0.0):.4f} s"))
    assert found.passed is not short


def test_without_a_stated_outage_nothing_is_judged() -> None:
    """No outage, no row."""
    assert planned(None).key == "none"


def test_in_heat_an_outage_that_would_be_enough_is_for_the_crew() -> None:
    """The owner's extra wait comes on top, and nobody has stated it here."""
    site = demo_job("valve-isolation").site.model_copy(update={"ambient": quantity("35 degC")})
    assert planned(quantity("24 h"), site=site).passed is None
    assert planned(quantity("1 h"), site=site).passed is False


def test_the_waits_of_a_coupling_come_after_those_of_its_branch() -> None:
    """A chain: the coupling that carries a lateral on cannot be made before the main is cut."""
    job = demo_job("live-tap")
    assert job.joints[1].carries == "J1"
    isolation = demo_job("valve-isolation").isolation
    assert isolation is not None
    chained = isolation.model_copy(update={"outage": quantity("1 s")})
    apart = with_joint("live-tap", 1, carries=None)
    both = [
        row(joint_of("live-tap", isolation=chained, state="isolated", **changes), "outage").found
        for changes in ({}, apart)
    ]
    assert int(both[0].split()[0]) > int(both[1].split()[0])


def test_facts_tell_how_the_outlet_stands() -> None:
    """12 o'clock stands, 3 and 9 lie, all else is between; a coupling has none."""
    stands = {"12 o'clock": "vertical", "3 o'clock": "level", "9 o'clock": "level", "2 o'clock": "between"}
    for outlet, word in stands.items():
        assert joint_of("live-tap", **with_joint("live-tap", outlet=outlet)).request.facts["outlet"] == word
    assert joint_of("live-tap", 1).request.facts["outlet"] is None


def test_an_invented_tool_marks_the_face() -> None:
    """Also where family and job would not."""
    request = joint_of("live-tap").request
    family = request.family.model_copy(update={"data": None})
    assert request.job is not None
    job = request.job.model_copy(update={"data": None})
    assert replace(request, family=family, job=job).is_demo
    plain = Request(catalog(), request.main, request.lateral, family)
    assert not plain.is_demo
