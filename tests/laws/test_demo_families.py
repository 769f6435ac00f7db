"""What holds for the demonstration families beside `demo-saddle-screw`: labels a fitting could have.

In: the starter's content. Out: a failure that names the pair. The laws between values of every family are
those of `test_every_combination`.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tests.laws.worked import CASES as ALL
from tests.laws.worked import PLAIN_LABEL, catalog, is_drawn, number, worked

# The families, and how many pairs each has.
FAMILIES = {"demo-saddle-bolt": 5, "demo-saddle-strap": 7, "demo-tapping-saddle": 11, "demo-coupling": 8}
SADDLES = ("demo-saddle-bolt", "demo-saddle-strap", "demo-tapping-saddle")
CASES = [case for case in ALL if case[0] in FAMILIES]
each_case = pytest.mark.parametrize(("family_id", "index", "ratio"), CASES)


def test_each_family_has_its_pairs() -> None:
    assert {family_id: len(catalog().families[family_id].pairs) for family_id in FAMILIES} == FAMILIES
    assert len(CASES) > 110


@each_case
def test_the_energy_and_the_waits_are_those_of_a_sane_label(family_id: str, index: int, ratio: float) -> None:
    """3 to 4.5 J/mm2 where the area is given, less on a thin wall; clamp off, then pressure, then the cut."""
    found = worked(family_id, index, ratio)
    if is_drawn(found):
        density = 1000.0 * number(found, "fuse.energy") / number(found, "fitting.fusion_area")
        assert (1.5 if number(found, "fitting.wall") < 8.0 else 3.0) <= density <= 4.5
        if found.verdict == "permitted":  # no permitted wall melts through
            wall = number(found, found.request.fused + "wall_min")
            assert number(found, "cool.melt_depth_pipe") < 0.9 * wall
            assert number(found, "cool.melt_depth_fitting") < 0.9 * number(found, "fitting.wall")
    waits = ["cool.clamp_time", "cool.pressure_wait", "cool.tap_wait"]
    waits = waits[:2] if family_id == "demo-coupling" else waits
    for earlier, later in pairwise(waits):
        assert number(found, earlier) <= number(found, later), (earlier, later)


@pytest.mark.parametrize("family_id", SADDLES)
def test_saddles_leave_30_mm_beside_the_hole_and_follow_the_main(family_id: str) -> None:
    """At every ratio; the area is not more than base less hole."""
    for family, index, ratio in CASES:
        found = worked(family, index, ratio)
        if family != family_id or not is_drawn(found):
            continue
        pair = found.request.pair
        assert pair is not None
        cutter = pair.cutter.diameter
        hole = cutter.to("mm") if cutter else number(found, "tap.hole_saw") + 0.51
        radius, along = number(found, "fitting.bore_radius"), number(found, "fitting.base_length")
        around = math.radians(number(found, "fitting.base_angle")) * radius
        assert around - hole / 2.0 >= 30.0 and along / 2.0 - hole / 2.0 >= 30.0
        assert number(found, "fitting.fusion_area") <= 2.0 * around * along - math.pi / 4.0 * hole**2
        assert radius == pytest.approx(number(found, "pipe.main.outside_diameter") / 2.0 - 0.15, abs=0.11)


def test_the_cutter_goes_through_every_permitted_wall_and_stays_off_the_far_one() -> None:
    """From its stop: way to the main, thickest wall, and at least 1 mm over."""
    for family_id, index, ratio in CASES:
        found = worked(family_id, index, ratio)
        if family_id != "demo-tapping-saddle":
            continue
        label = found.request.label
        assert label is not None and label.cutter.approach is not None
        gone = number(found, "tap.cutter_travel") - label.cutter.approach.to("mm")
        assert number(found, "tap.travel_to_breakthrough") + 1.0 <= gone
        assert gone < number(found, "tap.cutter_travel") <= number(found, "tap.travel_limit")


def test_a_pair_with_the_plain_label_has_boxes_for_what_the_drawing_gives() -> None:
    """And nothing that depends on drawing data is made up."""
    blank = {"tap.hole_saw", "tap.travel_set", "tap.travel_limit"}
    plain = [found for found in (worked(*case) for case in CASES) if not is_drawn(found)]
    assert len({found.request.pair for found in plain}) == len(PLAIN_LABEL)
    for found in plain:
        assert {value.name for value in found.blanks} == blank
        absent = ("fitting.outlet_bore", "gap.free_gap_max", "peel.zone_length", "tap.depth_mark")
        assert not any(name in found.values for name in absent)
        for name in ("fuse.time", "fuse.energy", "peel.depth_max", "cool.tap_wait", "joint.pressure_max"):
            assert number(found, name) > 0


def test_torque_is_stated_for_some_sizes_and_a_box_for_others() -> None:
    """No crew face shows a torque that the label does not state."""
    found = [worked("demo-saddle-bolt", index, 11.0).values["clamp.torque"] for index in range(5)]
    assert [value.kind for value in found] == ["stated", "stated", "blank", "stated", "blank"]
    assert [value.text() for value in found if value.kind == "stated"] == [
        "10 N·m [7.3 lbf·ft]", "10 N·m [7.3 lbf·ft]", "18 N·m [13.2 lbf·ft]"
    ]  # fmt: skip


def test_fusion_times_fall_with_temperature_and_meet_the_stated_time() -> None:
    """The row that holds 23 °C is the time the label states; the rows reach the window's warm end."""
    for pair in catalog().families["demo-saddle-strap"].pairs:
        rows = pair.fuse.time_compensation
        assert rows is not None and pair.fuse.time is not None
        times = [row.time.to("s") for row in rows]
        assert times == sorted(times, reverse=True)
        reference = next(row for row in rows if row.up_to.to("degC") >= 23.0)
        assert reference.time.to("s") == pair.fuse.time.to("s")
        assert rows[-1].up_to.to("degC") == 40.0
