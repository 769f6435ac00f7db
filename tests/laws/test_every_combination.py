"""What holds for every combination of every family: each pair, at each ratio of its main.

In: the starter's content. Out: a failure that names the combination and the value.
The values themselves are checked elsewhere; here stand the laws between them. Vocabulary: see `worked`.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from itertools import pairwise

import pytest

from packgen.calc.ledger import NOT_PERMITTED, Value
from packgen.calc.request import Combination
from packgen.publish.selection import every
from packgen.register import CORD_LENGTHS, REGISTER, Print
from packgen.units import convert
from tests.laws.worked import CASES, Case, catalog, is_drawn, name_of, number, steps_of_the_wall, worked

COUNTS = {
    "demo-saddle-screw": 200, "demo-saddle-bolt": 20, "demo-saddle-strap": 28, "demo-tapping-saddle": 44,
    "demo-coupling": 31,
}  # fmt: skip
# Walls thinner than the label asks for: 5.5 mm under the branch saddle, 2.5 mm in the coupling, where one
# pass of the peel is also more than the surface may lose.
TOO_THIN = {
    ("demo-saddle-screw", "3 in IPS", "2 in IPS", 17.0): ["wall"],
    ("demo-saddle-screw", "63 mm ISO", "32 mm ISO", 13.6): ["wall"],
    ("demo-saddle-screw", "63 mm ISO", "32 mm ISO", 17.0): ["wall"],
    ("demo-saddle-screw", "90 mm ISO", "63 mm ISO", 17.0): ["wall"],
    ("demo-tapping-saddle", "2 in IPS", "1 in CTS", 13.5): ["wall"],
    ("demo-tapping-saddle", "2 in IPS", "1 in CTS", 17.0): ["wall"],
    ("demo-tapping-saddle", "63 mm ISO", "32 mm ISO", 17.0): ["wall"],
    ("demo-coupling", "2 in IPS", "2 in IPS", 13.5): ["wall_coupling"],
    ("demo-coupling", "2 in IPS", "2 in IPS", 17.0): ["wall_coupling"],
    ("demo-coupling", "63 mm ISO", "63 mm ISO", 17.0): ["wall_coupling"],
    ("demo-coupling", "1 in CTS", "1 in CTS", 13.5): ["wall_coupling", "passes"],
}
NO_PASS = {"peel.passes_max", "peel.gouge_depth_max"}  # nothing, where no pass is left
UNDRAWN = {"tap.hole_saw", "tap.travel_set", "tap.travel_limit"}
TORQUE = {"clamp.torque"}
# What a crew must enter, by family: the pairs of a family need not agree.
BLANKS: dict[str, list[set[str]]] = {
    "demo-saddle-screw": [TORQUE], "demo-saddle-bolt": [set(), TORQUE], "demo-saddle-strap": [set(), UNDRAWN],
    "demo-tapping-saddle": [TORQUE], "demo-coupling": [set()],
}  # fmt: skip
each_case = pytest.mark.parametrize("case", CASES, ids=name_of)


def identity(found: Combination) -> tuple[str, str, str, float]:
    """Family, sizes and ratio of a combination."""
    main, lateral = found.request.main.designation, found.request.lateral.designation
    return found.request.family.id, main.short, lateral.short, main.dr


def test_the_cases_are_all_that_packgen_makes() -> None:
    """In the same order, in the same material: what the site and the catalogue hold is what is tried here."""
    made = [
        (*identity(each), str(each.request.main.designation), str(each.request.lateral.designation))
        for each in every(catalog(), list(catalog().families.values()))
    ]
    tried = [
        (*identity(each), str(each.request.main.designation), str(each.request.lateral.designation))
        for each in (worked(*case) for case in CASES)
    ]
    assert sorted(made) == sorted(tried)
    assert Counter(family for family, *_ in tried) == COUNTS


@each_case
def test_a_combination_is_permitted_but_where_the_wall_is_too_thin(case: Case) -> None:
    found = worked(*case)
    failed = [check.key for check in found.checks if check.passed is False]
    assert failed == TOO_THIN.get(identity(found), [])
    assert found.verdict == ("refused" if failed else "permitted")
    assert len(found.reasons) == len(failed)
    assert all(reason.what and reason.cure for reason in found.reasons)


@each_case
def test_the_waits_in_heat_are_worked_out_where_the_steps_say_so(case: Case) -> None:
    """A step that sends the crew to the table stands only where there is a table."""
    found = worked(*case)
    has_bands = "cool.band.to_40.extra" in found.values
    assert found.request.facts["heat"] == ("worked" if has_bands else "entered")


def test_each_thin_wall_was_met() -> None:
    assert {identity(found) for found in (worked(*case) for case in CASES) if found.reasons} == set(TOO_THIN)


@each_case
def test_values_stand_in_the_register_s_order_under_their_own_names(case: Case) -> None:
    """And those that need a job are absent without one."""
    found = worked(*case)
    assert [name for name in REGISTER if name in found.values] == list(found.values)
    assert all(value.name == name for name, value in found.values.items())
    assert not any(REGISTER[name].needs_job for name in found.values)


@each_case
def test_every_number_is_finite_and_prints(case: Case) -> None:
    """Nothing is below zero but a temperature, and each value prints in every choice of units."""
    found = worked(*case)
    for value in found.values.values():
        if value.number is not None:
            assert math.isfinite(value.number), value.name
            nothing_left = value.name in NO_PASS and "passes" in TOO_THIN.get(identity(found), [])
            none_added = value.number == 0 and value.name.endswith(".extra")  # no hotter than the waits
            free = value.entry.unit == "degC" or nothing_left or none_added
            assert value.number > 0 or free, value.name
        texts = [value.text(units, first) for units in ("us", "si", "both") for first in ("us", "si")]
        assert all(texts) is (value.kind != "blank"), value.name
        assert not any(word in text for text in texts for word in ("nan", "inf", "None")), value.name


def printed_numbers(value: Value) -> list[tuple[float, Print]]:
    """The numbers that rounding made, each with the way it is printed; a stated number is not rounded."""
    if value.number is None:
        return []
    entry = value.entry
    if value.stated is not None:
        texts = re.findall(r"\[([^]]*)\]", value.text())
        ways = [way for way in (entry.us, entry.si) if way.unit != value.stated.unit]
        ways = [way for way in ways if texts and texts[0].endswith(unit_text(way))]
    else:
        texts, ways = [value.text("us"), value.text("si")], [entry.us, entry.si]
    found = [float(re.findall(r"[−\d.,]+", text)[0].replace(",", "").replace("−", "-")) for text in texts]
    return list(zip(found, ways, strict=True))


def unit_text(way: Print) -> str:
    """A unit as it stands behind a printed number."""
    shown = {"mm2": "mm²", "in2": "in²", "degC": "°C", "degF": "°F", "N*m": "N·m", "lbf*ft": "lbf·ft"}
    shown |= {"degF_difference": "F°"}
    return f" {shown.get(way.unit, way.unit)}"


@each_case
def test_a_number_is_rounded_the_safe_way_and_by_less_than_one_step(case: Case) -> None:
    """Up is never less, down never more, nearest within half a step; in both systems."""
    looked_at = 0
    for value in worked(*case).values.values():
        for printed, way in printed_numbers(value):
            assert value.number is not None
            exact, step = convert(value.number, value.entry.unit, way.unit), 10.0**-way.decimals
            off, noise = printed - exact, 1e-9 * max(1.0, abs(exact))
            low, high = {"up": (0.0, step), "down": (-step, 0.0), "nearest": (-step / 2.0, step / 2.0)}[
                value.entry.direction
            ]
            assert low - noise <= off <= high + noise, (value.name, printed, exact)
            looked_at += 1
    assert looked_at > 60


def is_well_formed(value: Value, found: Combination) -> bool:
    """Whether a value has just what its kind has."""
    if value.kind == "blank":
        return (value.number, value.words, value.stated, value.working) == (None, None, None, None)
    if value.kind == "stated":
        return value.working is None and (value.number is None) is (value.words is not None)
    working = value.working
    if working is None or not working.inputs:
        return False
    if (value.number is None) is not (value.words == NOT_PERMITTED):
        return False
    # The number of screws is the one input that stands among words: "4 × M8".
    return all(
        (found.values[each].number is not None or each == "clamp.screws")
        if isinstance(each, str)
        else all(each)
        for each in working.inputs
    )


@each_case
def test_each_kind_has_what_it_owes(case: Case) -> None:
    """Stated: number or words; worked: a method with inputs that are there; blank: nothing; all: a source."""
    found = worked(*case)
    values = list(found.values.values())
    assert [value.name for value in values if not is_well_formed(value, found)] == []
    assert [value.name for value in values if not value.sources or not all(value.sources)] == []
    assert [value.name for value in values if value.working and not value.working.words] == []
    assert {"stated", "worked"} <= {value.kind for value in values} <= {"stated", "worked", "blank"}
    assert {blank.name for blank in found.blanks} in BLANKS[case[0]]
    assert not any(blank.required for blank in found.blanks)


def test_each_kind_of_box_was_met() -> None:
    for family_id, wanted in BLANKS.items():
        found = [{blank.name for blank in worked(*case).blanks} for case in CASES if case[0] == family_id]
        assert all(boxes in found for boxes in wanted), family_id


@each_case
def test_no_value_is_worked_out_of_itself(case: Case) -> None:
    """Each worked value can be followed down to stated ones."""
    values = worked(*case).values

    def depth(name: str, above: tuple[str, ...] = ()) -> int:
        assert name not in above, f"{name} is worked out of itself"
        working = values[name].working
        names = [each for each in working.inputs if isinstance(each, str)] if working else []
        return 1 + max((depth(each, (*above, name)) for each in names), default=0)

    assert max(depth(name) for name in values) >= 2


FUSED = "fused"  # stands for pipe.main under a saddle, pipe.lateral in a coupling
# What must not be more than its neighbour, by what a combination is.
ORDERS: dict[str, list[tuple[str, ...]]] = {
    "any": [
        ("cool.clamp_time", "cool.pressure_wait"),
        ("weather.ambient_min", "cool.reference_temperature", "weather.ambient_max"),
        ("peel.depth_min", "peel.depth_max", "fused.wall_min", "fused.wall_max"),
        ("fused.outside_diameter_min", "fused.outside_diameter", "fused.outside_diameter_max"),
        ("fused.inside_diameter_mean", "fused.outside_diameter_min"),
        ("peel.diameter_after_one_pass", "fused.outside_diameter"),
        ("fuse.energy_min", "fuse.energy", "fuse.energy_max"),
        ("fuse.power", "power.generator_rating", "power.generator_rating_apparent"),
        ("joint.pressure_max", "pipe.lateral.pressure_rating"),
    ],
    "saddle": [
        ("cool.pressure_wait", "cool.tap_wait"),
        ("squeeze.gap_stop", "pipe.main.outside_diameter_min", "squeeze.distance_min"),
        ("squeeze.close_time_min", "squeeze.release_time_min"),
        ("joint.pressure_max", "pipe.main.pressure_rating"),
    ],
    "drawn saddle": [
        ("peel.zone_arc", "pipe.main.girth"),
        ("fitting.base_length", "peel.zone_length", "place.room_along"),
    ],
    "screws": [("clamp.torque_guidance", "clamp.torque_limit")],
    "stated torque": [("clamp.torque", "clamp.torque_limit")],
    "saw": [
        ("tap.hole_saw", "fitting.outlet_bore"),
        ("tap.hole_saw", "pipe.lateral.inside_diameter_mean", "pipe.main.inside_diameter_mean"),
        ("pipe.main.wall_max", "tap.travel_to_breakthrough", "tap.travel_set", "tap.travel_limit"),
        ("tap.travel_set", "tap.saw_depth_min", "tap.depth_mark"),
        ("fitting.outlet_height", "tap.depth_mark"),
        ("fitting.outlet_height", "place.room_above"),
    ],
    "cutter": [
        ("pipe.main.wall_max", "tap.travel_to_breakthrough", "tap.cutter_travel", "tap.travel_limit"),
    ],
    "coupling": [
        ("socket.insertion_depth", "socket.peel_length"),
        ("socket.misalignment_max", "socket.insertion_depth"),
        ("socket.out_of_round_max", "pipe.lateral.outside_diameter_min"),
    ],
}  # fmt: skip


def kinds(found: Combination) -> list[str]:
    """What a combination is, as far as values depend on it."""
    family = found.request.family
    if family.type == "coupling":
        return ["any", "coupling"]
    what = ["any", "saddle"]
    if is_drawn(found):
        cut = "cutter" if family.type == "tapping saddle" else "saw"
        what += ["drawn saddle", cut, *(["screws"] if family.clamping != "strap" else [])]
    return [
        *what,
        *(["stated torque"] if found.values.get("clamp.torque", None) and not boxed(found) else []),
    ]


def boxed(found: Combination) -> bool:
    """Whether the torque is a box."""
    return found.values["clamp.torque"].kind == "blank"


@each_case
def test_the_order_of_limits_holds(case: Case) -> None:
    """What must not be more than its neighbour is not."""
    found = worked(*case)
    fused = found.request.fused.rstrip(".")
    for kind in kinds(found):
        for names in ORDERS[kind]:
            for less, more in pairwise(name.replace(FUSED, fused, 1) if name.startswith(f"{FUSED}.") else name
                                       for name in names):  # fmt: skip
                assert number(found, less) <= number(found, more) * (1 + 1e-12), (less, more)
    volts = number(found, "fuse.voltage")
    assert number(found, "fuse.power") == pytest.approx(volts * number(found, "fuse.current"))


def test_each_order_was_tried_for_some_combination() -> None:
    met = Counter(kind for case in CASES for kind in kinds(worked(*case)))
    assert set(met) == set(ORDERS) and min(met.values()) >= 12


@each_case
def test_a_hole_keeps_to_clearance_and_share_and_a_cutter_to_its_limits(case: Case) -> None:
    """1/16 in beside the saw and 60 % of the main; the cutter goes at least 1 mm through, and stops short."""
    found = worked(*case)
    what = kinds(found)
    assert ("tap.hole_saw" in found.values) is ("coupling" not in what and "cutter" not in what)
    assert ("tap.cutter_travel" in found.values) is ("cutter" in what)
    if "saw" in what:
        assert number(found, "tap.clearance") >= 25.4 / 16 - 1e-9
        assert number(found, "tap.hole_saw") <= 0.6 * number(found, "pipe.main.inside_diameter_mean") + 1e-9
    if "cutter" in what:
        label = found.request.label
        assert label is not None and label.cutter.approach is not None and label.cutter.diameter is not None
        gone = number(found, "tap.cutter_travel") - label.cutter.approach.to("mm")
        assert number(found, "tap.travel_to_breakthrough") + 1.0 <= gone <= number(found, "tap.travel_limit")
        hole = label.cutter.diameter.to("mm")
        assert hole <= 0.6 * number(found, "pipe.main.inside_diameter_mean") + 1e-9
        assert number(found, "tap.cutter_turns") == round(number(found, "tap.cutter_turns"))


@each_case
def test_a_thicker_conductor_and_a_higher_voltage_carry_further(case: Case) -> None:
    """Sizes that are not permitted are the thinnest; twice the voltage never makes the cord shorter."""
    cords: dict[str, list[Value]] = {}
    for name, value in worked(*case).values.items():
        if name.startswith(CORD_LENGTHS):
            cords.setdefault(name.removeprefix(CORD_LENGTHS).partition(".")[0], []).append(value)
    assert sorted(cords) == ["110_v", "120_v", "230_v", "240_v"]
    lengths = {volts: [value.number or 0.0 for value in row] for volts, row in cords.items()}
    for row in lengths.values():
        assert len(row) == 7 and row == sorted(row) and row[-1] > 0.0
        permitted = [length for length in row if length]
        assert all(thin < thick for thin, thick in pairwise(permitted))
    for low, high in (("110_v", "230_v"), ("120_v", "240_v")):
        assert all(short <= long for short, long in zip(lengths[low], lengths[high], strict=True))


GROWS = ("wall_min", "wall_max", "pressure_rating")


def test_a_thicker_wall_carries_more_and_loses_less_of_itself() -> None:
    """From DR 17 to DR 9 the wall grows; what hangs on it grows or falls with it, the label stays."""
    steps = steps_of_the_wall()
    assert len(steps) == sum(COUNTS.values()) - sum(len(each.pairs) for each in catalog().families.values())
    for thin, thick in steps:
        where, fused = identity(thick), thin.request.fused
        for name in (*(fused + each for each in GROWS), "peel.gouge_depth_max"):
            assert number(thin, name) < number(thick, name), (where, name)
        for name in (fused + "inside_diameter_mean", "peel.wall_loss_percent"):
            assert number(thin, name) > number(thick, name), (where, name)
        for name in ("fuse.energy", "fuse.time", "cool.clamp_time", "peel.diameter_after_one_pass"):
            assert number(thin, name) == number(thick, name), (where, name)
        assert number(thin, "joint.pressure_max") <= number(thick, "joint.pressure_max")
        assert number(thin, "peel.passes_max") <= number(thick, "peel.passes_max")


def test_a_thicker_main_is_squeezed_less_and_cut_deeper() -> None:
    """Under a saddle; where the saw stays the same, the cut goes deeper and less room is left below it."""
    same_hole = 0
    for thin, thick in steps_of_the_wall():
        what, where = kinds(thin), identity(thick)
        if "coupling" in what:
            continue
        assert number(thin, "squeeze.gap_stop") < number(thick, "squeeze.gap_stop"), where
        assert number(thin, "squeeze.close_time_min") > number(thick, "squeeze.close_time_min"), where
        assert number(thin, "squeeze.distance_min") == number(thick, "squeeze.distance_min"), where
        if "drawn saddle" not in what:
            continue
        for name in ("gap.free_gap_max", "peel.zone_area", "place.room_along"):
            assert number(thin, name) == number(thick, name), (where, name)
        deeper = ["tap.travel_to_breakthrough"]
        if "saw" in what:
            assert number(thin, "tap.hole_saw") >= number(thick, "tap.hole_saw"), where
            if number(thin, "tap.hole_saw") != number(thick, "tap.hole_saw"):
                continue
            deeper += ["tap.travel_set", "tap.depth_mark", "tap.coupon_mass"]
        same_hole += 1
        for name in deeper:
            assert number(thin, name) < number(thick, name), (where, name)
        assert number(thin, "tap.travel_limit") > number(thick, "tap.travel_limit"), where
    assert same_hole >= 150
