"""The label of `demo-saddle-screw`: fifty pairs a fitting could have, and what each optional figure carries.

In: the starter's content. Out: a failure that names the combination or the figure. The laws between values
of every family are those of `test_every_combination`.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from typing import Any

import pytest

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.designation import read_designation
from packgen.model.family_records import Family
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER
from tests.laws.worked import RATIOS, catalog, number

MATERIALS = {"IPS": "PE4710", "DIPS": "PE4710", "ISO": "PE100"}
LISTED = [
    ("2 in IPS", "IPS", "3 in, 4 in, 6 in, 8 in, 10 in, 12 in"),
    ("3 in IPS", "IPS", "6 in, 8 in, 10 in, 12 in"),
    ("4 in IPS", "IPS", "6 in, 8 in, 10 in, 12 in"),
    ("6 in IPS", "IPS", "10 in, 12 in"),
    ("2 in IPS", "DIPS", "4 in, 6 in, 8 in, 10 in, 12 in"),
    ("4 in IPS", "DIPS", "8 in, 10 in, 12 in"),
    ("6 in IPS", "DIPS", "10 in, 12 in"),
    ("32 mm ISO", "ISO", "63 mm"),
    ("63 mm ISO", "ISO", "90 mm, 110 mm, 125 mm, 160 mm, 180 mm, 200 mm, 225 mm, 250 mm, 315 mm"),
    ("90 mm ISO", "ISO", "160 mm, 180 mm, 200 mm, 225 mm, 250 mm, 315 mm"),
    ("110 mm ISO", "ISO", "160 mm, 180 mm, 200 mm, 225 mm, 250 mm, 315 mm"),
    ("160 mm ISO", "ISO", "250 mm, 315 mm"),
]
PAIRS = [(f"{main} {system}", lateral) for lateral, system, mains in LISTED for main in mains.split(", ")]


def ratios(pipe: str) -> tuple[float, ...]:
    """The ratios of a pipe's size system within the family's range."""
    return RATIOS[pipe.rpartition(" ")[2]]


each_pair = pytest.mark.parametrize(("main", "lateral"), PAIRS)


def demo_family() -> Family:
    """The family as its file gives it."""
    return catalog().families["demo-saddle-screw"]


def of_family(family: Family, main: str, lateral: str, dr: float = 11.0) -> Combination:
    """A combination without a job, in the material of its size system."""
    pipes = [
        catalog().pipe(read_designation(f"{size} DR {ratio:g} {MATERIALS[size.rpartition(' ')[2]]}"))
        for size, ratio in ((main, dr), (lateral, 11.0))
    ]
    return work_out(Request(catalog(), pipes[0], pipes[1], family))


@cache
def combination(main: str, lateral: str, dr: float = 11.0) -> Combination:
    """A combination of the demo family."""
    return of_family(demo_family(), main, lateral, dr)


def test_the_pairs_are_those_of_the_family() -> None:
    ends = [demo_family().ends(pair) for pair in demo_family().pairs]
    listed = [(" ".join(main), " ".join(lateral)) for main, lateral in ends]
    assert sorted(listed) == sorted(PAIRS)
    assert len(PAIRS) == 50


@each_pair
def test_the_demonstration_label_is_one_that_a_fitting_could_have(main: str, lateral: str) -> None:
    """3.3 to 4.4 J/mm2; the curve of the main; 30 mm of saddle left beside the largest hole."""
    found = [combination(main, lateral, dr) for dr in ratios(main)]
    one = found[0]
    assert 3.3 <= 1000.0 * number(one, "fuse.energy") / number(one, "fitting.fusion_area") <= 4.4
    radius = number(one, "fitting.bore_radius")
    assert radius == pytest.approx(number(one, "pipe.main.outside_diameter") / 2.0 - 0.15, abs=0.11)
    hole = max(number(each, "tap.hole_saw") for each in found) + 0.51
    along, around = (
        number(one, "fitting.base_length"),
        math.radians(number(one, "fitting.base_angle")) * radius,
    )
    assert around - hole / 2.0 >= 30.0
    assert along / 2.0 - hole / 2.0 >= 30.0
    assert number(one, "fitting.fusion_area") <= 2.0 * around * along - math.pi / 4.0 * hole**2


@pytest.mark.parametrize("step", range(4))
@pytest.mark.parametrize(("lateral", "system"), [row[:2] for row in LISTED])
def test_a_larger_main_takes_the_same_lateral_with_no_smaller_saw(
    lateral: str, system: str, step: int
) -> None:
    """Girth, wall and room below the cut grow with the main."""
    mains = [main for main, other in PAIRS if other == lateral and main.endswith(f" {system}")]
    dr = RATIOS[system][step]
    for small, large in pairwise(combination(main, lateral, dr) for main in mains):
        assert number(small, "tap.hole_saw") <= number(large, "tap.hole_saw")
        for name in ("pipe.main.girth", "pipe.main.wall_min", "tap.travel_limit", "squeeze.distance_min"):
            assert number(small, name) <= number(large, name), name
        assert number(small, "pipe.main.pressure_rating") == number(large, "pipe.main.pressure_rating")


def without(family: Family, part: str, key: str) -> Family:
    """A family whose label says nothing of one figure, neither for every pair nor for one."""

    def silent(label: Any) -> Any:
        if not part:
            return label.model_copy(update={key: None})
        return label.model_copy(update={part: getattr(label, part).model_copy(update={key: None})})

    pairs = tuple(silent(pair) for pair in family.pairs)
    return family.model_copy(update={"every_pair": silent(family.every_pair), "pairs": pairs})


POWERS = {
    "power.generator_rating", "power.generator_rating_apparent",
    *(name for name in REGISTER if name.startswith(CORD_LENGTHS)),
}  # fmt: skip
TORQUES = {"clamp.torque_guidance", "clamp.torque_limit"}
WAITS = ("clamp_time", "pressure_wait", "tap_wait")
HEAT = {
    "cool.melt_depth_fitting", "cool.melt_depth_pipe",
    *(name for name in REGISTER if name.startswith(COOL_BANDS)),
}  # fmt: skip
# What waits for a wait of the label, rung by rung.
LADDER = {
    "clamp_time": {"clock.clamps_off", "clock.backfill"},
    "pressure_wait": {f"clock.{rung}" for rung in ("test", "tap", "working_pressure", "backfill")},
    "tap_wait": {"clock.tap", "clock.working_pressure", "clock.backfill"},
}


def with_wait(wait: str) -> set[str]:
    """What is absent where the label does not state a wait."""
    return {name for name in HEAT if name.endswith(f"{wait}_at")} | LADDER[wait]


CURVE = {"peel.zone_arc", "peel.zone_area", "gap.free_gap_max", "clamp.torque_guidance"}
ENERGIES = {"fuse.energy", "fuse.energy_min", "fuse.energy_max"}
CUT = {
    "tap.clearance", "tap.travel_to_breakthrough", "tap.travel_set", "tap.travel_limit", "tap.depth_mark",
    "tap.saw_depth_min", "tap.coupon_mass", "tap.flow_area_percent",
}  # fmt: skip
SAW = {"tap.hole_saw", "tap.travel_set", "tap.travel_limit"}
# Part and key of the label, what is absent without it, what turns into a box, what another source then gives.
OPTIONAL: list[tuple[str, str, set[str], set[str], set[str]]] = [
    ("fitting", "fusion_area", {"fitting.fusion_area", *HEAT}, set(), set()),
    ("fitting", "wall", {"fitting.wall", *HEAT}, set(), set()),
    ("fitting", "outlet_height",
     {"fitting.outlet_height", "tap.depth_mark", "place.room_above"}, set(), set()),
    ("fitting", "outlet_bore", {"fitting.outlet_bore", *CUT - SAW}, SAW, set()),
    ("fitting", "base_length",
     {"fitting.base_length", "peel.zone_length", "peel.zone_area", "place.room_along",
      "clamp.torque_guidance"}, set(), set()),
    ("fitting", "bore_radius", {"fitting.bore_radius", *CURVE}, set(), set()),
    ("fitting", "base_angle", {"fitting.base_angle", *CURVE}, set(), set()),
    ("fuse", "coil_resistance",
     {"fitting.coil_resistance", "fuse.current", "fuse.power", *ENERGIES, *POWERS, *HEAT}, set(), set()),
    ("fuse", "coil_tolerance",
     {"fitting.coil_tolerance", "fuse.energy_min", "fuse.energy_max", *POWERS}, set(), set()),
    ("fuse", "generator_min", set(), set(), set()),
    ("fuse", "main_wall_min", {"fuse.main_wall_min"}, set(), set()),
    ("fuse", "main_pressure_max", {"fuse.main_pressure_max"}, set(), set()),
    ("fuse", "voltage", {"fuse.current", "fuse.power", *ENERGIES, *POWERS, *HEAT}, {"fuse.voltage"}, set()),
    ("fuse", "time", ENERGIES | HEAT, {"fuse.time"}, set()),
    ("fuse", "terminal", set(), {"fuse.terminal"}, set()),
    ("cool", "clamp_time", with_wait("clamp_time"), {"cool.clamp_time"}, set()),
    ("cool", "pressure_wait", with_wait("pressure_wait"), {"cool.pressure_wait"}, set()),
    ("cool", "tap_wait", with_wait("tap_wait"), {"cool.tap_wait"}, set()),
    ("cool", "reference_temperature", HEAT, {"cool.reference_temperature"}, set()),
    ("clamp", "method", {"clamp.method"}, set(), set()),
    ("clamp", "screw_count", {"clamp.screws", *TORQUES}, set(), set()),
    ("clamp", "screw_size", {"clamp.screws", "fitting.screw_size", "clamp.torque", *TORQUES}, set(), set()),
    ("clamp", "screw_property", {"clamp.torque_limit"}, set(), set()),
    ("peel", "depth_min", set(), set(), {"peel.depth_min"}),
    ("peel", "depth_max", set(), set(), {"peel.depth_max"}),
    ("gap", "feeler", set(), set(), {"gap.feeler"}),
    ("weather", "ambient_min", set(), set(), {"weather.ambient_min"}),
    ("weather", "ambient_max", set(), set(), {"weather.ambient_max"}),
    ("", "pressure_max", set(), set(), {"joint.pressure_max"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("part", "key", "absent", "boxed", "elsewhere"), OPTIONAL, ids=[f"{row[0]}.{row[1]}" for row in OPTIONAL]
)
def test_a_label_without_one_figure_lacks_only_what_depends_on_it(
    part: str, key: str, absent: set[str], boxed: set[str], elsewhere: set[str]
) -> None:
    """The joint is still permitted, and every other value is the same as before."""
    silent = without(demo_family(), part, key)
    for main, lateral in PAIRS:
        whole, found = combination(main, lateral), of_family(silent, main, lateral)
        assert (found.verdict, found.reasons) == ("permitted", ())
        assert set(whole.values) - set(found.values) == absent
        assert {blank.name for blank in found.blanks} == {*boxed, "clamp.torque"} - absent
        assert not any(blank.required for blank in found.blanks)
        changed = {name for name, value in found.values.items() if value != whole.values[name]}
        assert changed == boxed | elsewhere
        assert all(math.isfinite(value.number) for value in found.values.values() if value.number is not None)
        for name in elsewhere:
            before, after = number(whole, name), number(found, name)
            # PE100 pipe carries more than the label: without the label's pressure the joint's is higher.
            higher = name == "joint.pressure_max" and main.endswith("ISO")
            assert after > before if higher else after == before
            assert found.values[name].sources != whole.values[name].sources


def test_every_figure_of_a_label_was_left_out_once() -> None:
    """Those the demo label does not state apart: leaving them out changes nothing."""
    tried = {(part, key) for part, key, *_ in OPTIONAL}
    unstated = {
        ("fitting", "main_diameter_min"), ("peel", "ribbon_min"), ("peel", "ribbon_max"), ("clamp", "torque"),
        ("clamp", "stop_mark"), ("clamp", "lug_load_max"), ("fuse", "time_compensation"),
    }  # fmt: skip
    label = demo_family().every_pair
    of_others = {"cutter": label.cutter, "socket": label.socket}  # a branch saddle has neither
    unstated |= {(part, key) for part, data in of_others.items() for key in type(data).model_fields}
    parts = [name for name in type(label).model_fields if name != "pressure_max"]
    figures = {(part, key) for part in parts for key in type(getattr(label, part)).model_fields}
    assert tried | unstated == figures | {("", "pressure_max")}
    assert not tried & unstated


@each_pair
def test_a_plain_label_without_drawing_data_is_still_permitted(main: str, lateral: str) -> None:
    """Times, voltage, resistance and waits are enough; saw and travel are then boxes."""
    plain = demo_family()
    for key in type(plain.every_pair.fitting).model_fields:
        plain = without(plain, "fitting", key)
    found = of_family(plain, main, lateral)
    assert (found.verdict, found.reasons) == ("permitted", ())
    assert [blank.name for blank in found.blanks] == [
        "clamp.torque",
        "tap.hole_saw",
        "tap.travel_set",
        "tap.travel_limit",
    ]
    drawn = {name for name in found.values if name.startswith("fitting.")}
    assert drawn == {"fitting.coil_resistance", "fitting.coil_tolerance", "fitting.screw_size"}
    assert {"fuse.energy", "peel.depth_max", "gap.feeler", "cool.tap_wait"} <= set(found.values)
