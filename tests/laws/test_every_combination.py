"""What holds for every combination the demo family permits: fifty pairs, four dimension ratios each.

In: the starter's content. Out: a failure that names the combination and the value.
The values themselves are checked elsewhere; here stand the laws between them, and what each optional figure
of a label carries.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from packgen.calc.ledger import Value
from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.load import load
from packgen.model.records import Family
from packgen.register import REGISTER

CONTENT = Path(__file__).parents[2] / "content"
RATIOS = {"IPS": (9.0, 11.0, 13.5, 17.0), "DIPS": (9.0, 11.0, 13.5, 17.0), "ISO": (9.0, 11.0, 13.6, 17.0)}
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
# 0.206 in, 5.4 mm, 4.7 mm and 3.8 mm of wall are less than the 5.5 mm the label asks for.
TOO_THIN = {
    ("3 in IPS", "2 in IPS", 17.0),
    ("90 mm ISO", "63 mm ISO", 17.0),
    ("63 mm ISO", "32 mm ISO", 13.6),
    ("63 mm ISO", "32 mm ISO", 17.0),
}


def ratios(pipe: str) -> tuple[float, ...]:
    """The ratios of a pipe's size system within the family's range."""
    return RATIOS[pipe.rpartition(" ")[2]]


SIZES = [(main, lateral, dr) for main, lateral in PAIRS for dr in ratios(main)]
each_size = pytest.mark.parametrize(("main", "lateral", "dr"), SIZES)
each_pair = pytest.mark.parametrize(("main", "lateral"), PAIRS)


@cache
def catalog() -> Catalog:
    """The starter's content."""
    return load(CONTENT, prose=False)


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


def number(found: Combination, name: str) -> float:
    """A value's number, which must be there."""
    value = found.number(name)
    assert value is not None, f"{name} is absent"
    return value


def test_the_pairs_are_those_of_the_family() -> None:
    ends = [demo_family().ends(pair) for pair in demo_family().pairs]
    listed = [(" ".join(main), " ".join(lateral)) for main, lateral in ends]
    assert sorted(listed) == sorted(PAIRS)
    assert len(PAIRS) == 50


@each_size
def test_every_listed_size_is_permitted_but_the_one_with_too_thin_a_wall(
    main: str, lateral: str, dr: float
) -> None:
    found = combination(main, lateral, dr)
    failed = [check.key for check in found.checks if check.passed is False]
    assert failed == (["wall"] if (main, lateral, dr) in TOO_THIN else [])
    assert found.verdict == ("refused" if failed else "permitted")
    assert len(found.reasons) == len(failed)


@each_size
def test_values_stand_in_the_register_s_order_under_their_own_names(
    main: str, lateral: str, dr: float
) -> None:
    """And those that need a job are absent without one."""
    found = combination(main, lateral, dr)
    assert [name for name in REGISTER if name in found.values] == list(found.values)
    assert all(value.name == name for name, value in found.values.items())
    assert not any(REGISTER[name].needs_job for name in found.values)


@each_size
def test_every_number_is_finite_and_prints(main: str, lateral: str, dr: float) -> None:
    """Nothing is below zero but a temperature, and each value prints in every choice of units."""
    for value in combination(main, lateral, dr).values.values():
        if value.number is not None:
            assert math.isfinite(value.number), value.name
            assert value.number > 0 or value.entry.unit == "degC", value.name
        texts = [value.text(units, first) for units in ("us", "si", "both") for first in ("us", "si")]
        assert all(texts) is (value.kind != "blank"), value.name
        assert not any(word in text for text in texts for word in ("nan", "inf", "None")), value.name


def is_well_formed(value: Value, found: Combination) -> bool:
    """Whether a value has just what its kind has."""
    if value.kind == "blank":
        return (value.number, value.words, value.stated, value.working) == (None, None, None, None)
    if value.kind == "stated":
        return value.working is None and (value.number is None) is (value.words is not None)
    working = value.working
    if working is None or value.number is None or value.words is not None or not working.inputs:
        return False
    return all(
        found.values[each].number is not None if isinstance(each, str) else all(each)
        for each in working.inputs
    )


@each_size
def test_each_kind_has_what_it_owes(main: str, lateral: str, dr: float) -> None:
    """Stated: number or words; worked: a method with inputs that are there; blank: nothing; all: a source."""
    found = combination(main, lateral, dr)
    assert [value.name for value in found.values.values() if not is_well_formed(value, found)] == []
    assert [
        value.name for value in found.values.values() if not value.sources or not all(value.sources)
    ] == []
    assert [value.name for value in found.values.values() if value.working and not value.working.words] == []
    assert {value.kind for value in found.values.values()} == {"stated", "worked", "blank"}


@each_size
def test_no_value_is_worked_out_of_itself(main: str, lateral: str, dr: float) -> None:
    """Each worked value can be followed down to stated ones."""
    values = combination(main, lateral, dr).values

    def depth(name: str, above: tuple[str, ...] = ()) -> int:
        assert name not in above, f"{name} is worked out of itself"
        working = values[name].working
        names = [each for each in working.inputs if isinstance(each, str)] if working else []
        return 1 + max((depth(each, (*above, name)) for each in names), default=0)

    assert max(depth(name) for name in values) >= 3


@each_size
def test_the_order_of_limits_holds(main: str, lateral: str, dr: float) -> None:
    """What must not be more than its neighbour is not."""
    found = combination(main, lateral, dr)
    orders = [
        ("cool.clamp_time", "cool.pressure_wait", "cool.tap_wait"),
        ("peel.depth_min", "peel.depth_max", "pipe.main.wall_min", "pipe.main.wall_max"),
        ("pipe.main.outside_diameter_min", "pipe.main.outside_diameter", "pipe.main.outside_diameter_max"),
        ("pipe.main.inside_diameter_mean", "pipe.main.outside_diameter_min"),
        ("peel.diameter_after_one_pass", "pipe.main.outside_diameter"),
        ("fuse.energy_min", "fuse.energy", "fuse.energy_max"),
        ("tap.hole_saw", "fitting.outlet_bore"),
        ("tap.hole_saw", "pipe.lateral.inside_diameter_mean", "pipe.main.inside_diameter_mean"),
        ("pipe.main.wall_max", "tap.travel_to_breakthrough", "tap.travel_set"),
        ("tap.travel_set", "tap.depth_mark"),
        ("squeeze.gap_stop", "pipe.main.outside_diameter_min", "squeeze.distance_min"),
        ("squeeze.close_time_min", "squeeze.release_time_min"),
        ("peel.zone_arc", "pipe.main.girth"),
        ("fitting.base_length", "peel.zone_length"),
        ("joint.pressure_max", "pipe.main.pressure_rating"),
        ("joint.pressure_max", "pipe.lateral.pressure_rating"),
        ("weather.ambient_min", "cool.reference_temperature", "weather.ambient_max"),
    ]
    for names in orders:
        for less, more in pairwise(names):
            assert number(found, less) <= number(found, more) * (1 + 1e-12), (less, more)
    assert number(found, "tap.clearance") >= 25.4 / 16 - 1e-9
    assert number(found, "tap.hole_saw") <= 0.6 * number(found, "pipe.main.inside_diameter_mean") + 1e-9
    assert number(found, "tap.travel_set") <= number(found, "tap.travel_limit")
    assert number(found, "fuse.power") == pytest.approx(40 * number(found, "fuse.current"))


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


@each_pair
def test_a_thicker_wall_is_cut_deeper_and_carries_more(main: str, lateral: str) -> None:
    """From DR 17 to DR 9 the wall grows; what hangs on it grows or falls with it."""
    steps = list(pairwise(combination(main, lateral, dr) for dr in reversed(ratios(main))))
    for thin, thick in steps:
        for name in (
            "pipe.main.wall_min",
            "pipe.main.wall_max",
            "pipe.main.pressure_rating",
            "squeeze.gap_stop",
        ):
            assert number(thin, name) < number(thick, name), name
        for name in ("pipe.main.inside_diameter_mean", "peel.wall_loss_percent", "squeeze.close_time_min"):
            assert number(thin, name) > number(thick, name), name
        for name in ("gap.free_gap_max", "fuse.energy", "peel.zone_area", "squeeze.distance_min"):
            assert number(thin, name) == number(thick, name), name
        assert number(thin, "tap.hole_saw") >= number(thick, "tap.hole_saw")
        if number(thin, "tap.hole_saw") == number(thick, "tap.hole_saw"):
            for name in ("tap.travel_to_breakthrough", "tap.travel_set", "tap.depth_mark", "tap.coupon_mass"):
                assert number(thin, name) < number(thick, name), name
            assert number(thin, "tap.travel_limit") > number(thick, "tap.travel_limit")


def test_most_steps_of_the_wall_keep_the_saw() -> None:
    """So that the law of deeper cuts is tried often, not by luck."""
    kept = [
        number(combination(main, lateral, a), "tap.hole_saw")
        == number(combination(main, lateral, b), "tap.hole_saw")
        for main, lateral in PAIRS
        for a, b in pairwise(ratios(main))
    ]
    assert sum(kept) >= 100


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


ENERGIES = {"fuse.energy", "fuse.energy_min", "fuse.energy_max"}
CUT = {
    "tap.clearance", "tap.travel_to_breakthrough", "tap.travel_set", "tap.travel_limit", "tap.depth_mark",
    "tap.saw_depth_min", "tap.coupon_mass", "tap.flow_area_percent",
}  # fmt: skip
SAW = {"tap.hole_saw", "tap.travel_set", "tap.travel_limit"}
# Part and key of the label, what is absent without it, what turns into a box, what another source then gives.
OPTIONAL: list[tuple[str, str, set[str], set[str], set[str]]] = [
    ("fitting", "fusion_area", {"fitting.fusion_area"}, set(), set()),
    ("fitting", "wall", {"fitting.wall"}, set(), set()),
    ("fitting", "outlet_height", {"fitting.outlet_height", "tap.depth_mark"}, set(), set()),
    ("fitting", "outlet_bore", {"fitting.outlet_bore", *CUT - SAW}, SAW, set()),
    ("fitting", "base_length", {"fitting.base_length", "peel.zone_length", "peel.zone_area"}, set(), set()),
    ("fitting", "bore_radius",
     {"fitting.bore_radius", "peel.zone_arc", "peel.zone_area", "gap.free_gap_max"}, set(), set()),
    ("fitting", "base_angle",
     {"fitting.base_angle", "peel.zone_arc", "peel.zone_area", "gap.free_gap_max"}, set(), set()),
    ("fuse", "coil_resistance",
     {"fitting.coil_resistance", "fuse.current", "fuse.power", *ENERGIES}, set(), set()),
    ("fuse", "coil_tolerance",
     {"fitting.coil_tolerance", "fuse.energy_min", "fuse.energy_max"}, set(), set()),
    ("fuse", "main_wall_min", {"fuse.main_wall_min"}, set(), set()),
    ("fuse", "voltage", {"fuse.current", "fuse.power", *ENERGIES}, {"fuse.voltage"}, set()),
    ("fuse", "time", ENERGIES, {"fuse.time"}, set()),
    ("fuse", "terminal", set(), {"fuse.terminal"}, set()),
    ("cool", "clamp_time", set(), {"cool.clamp_time"}, set()),
    ("cool", "pressure_wait", set(), {"cool.pressure_wait"}, set()),
    ("cool", "tap_wait", set(), {"cool.tap_wait"}, set()),
    ("cool", "reference_temperature", set(), {"cool.reference_temperature"}, set()),
    ("clamp", "method", {"clamp.method"}, set(), set()),
    ("clamp", "screw_count", {"clamp.screws"}, set(), set()),
    ("clamp", "screw_size", {"clamp.screws", "fitting.screw_size", "clamp.torque"}, set(), set()),
    ("clamp", "screw_property", set(), set(), set()),
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
        ("clamp", "stop_mark"), ("fuse", "time_compensation"), ("fuse", "main_pressure_max"),
    }  # fmt: skip
    label = demo_family().every_pair
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
