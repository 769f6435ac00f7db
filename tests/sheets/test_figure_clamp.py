"""The clamp and the gap: feeler and free gap true to the details' scale, four sides, what is a sketch said.

In: the starter's pairs, and two invented fittings on real pipe.
Out: a failure that names the length, word or size that is wrong.
"""

from __future__ import annotations

import pytest

from packgen.sheets.figures import Figure, clamp_gap
from tests.sheets.figure_reader import (
    ALL_BOXES,
    CARD,
    PAGE,
    WORDS,
    Facts,
    Points,
    circles,
    every_pair,
    faults_of_style,
    has_length,
    made,
    must_make,
    outside,
    paths,
    scale_after,
    shown,
    tip_lengths,
    tips,
    without,
)

BOXES = pytest.mark.parametrize("box", ALL_BOXES, ids=["smallest", "card", "half", "page"])
# The main is smaller than the saddle's bore all through its band: it lies on its crown, open at its edges.
SMALL: Facts = {
    "pipe.main.outside_diameter": (168.275, "6.625 in [168.28 mm]"),
    "pipe.main.outside_diameter_min": (167.513, "6.595 in [167.6 mm]"),
    "pipe.main.outside_diameter_max": (168.4, "6.630 in [168.4 mm]"),
    "pipe.main.wall_max": (17.13, "0.674 in [17.13 mm]"),
    "fitting.bore_radius": (84.3, "84.3 mm [3.319 in]"),
    "fitting.base_angle": (44.0, "44°"),
    "fitting.wall": (12.0, "12 mm [0.47 in]"),
    "fitting.outlet_bore": (48.26, "1.90 in [48.2 mm]"),
    "fitting.outlet_height": (80.0, "80 mm [3.15 in]"),
    "fitting.base_length": (160.0, "160 mm [6.30 in]"),
    "peel.depth_min": (0.2286, "0.009 in [0.23 mm]"),
    "peel.depth_max": (0.3048, "0.012 in [0.30 mm]"),
    "gap.feeler": (0.33, "0.33 mm [0.0129 in]"),
    "gap.free_gap_max": (0.24, "0.0095 in [0.24 mm]"),
    "clamp.screws": (None, "4 × M8"),
}
# The main is larger than the saddle's bore all through its band: the saddle stands on its edges.
LARGE: Facts = {
    **SMALL,
    "pipe.main.outside_diameter": (219.075, "8.625 in [219.08 mm]"),
    "pipe.main.outside_diameter_min": (219.0, "8.622 in [219.0 mm]"),
    "pipe.main.outside_diameter_max": (220.066, "8.664 in [220.0 mm]"),
    "pipe.main.wall_max": (22.3, "0.878 in [22.30 mm]"),
    "fitting.bore_radius": (108.9, "108.9 mm [4.287 in]"),
    "fitting.base_angle": (60.0, "60°"),
    "fitting.wall": (16.0, "16 mm [0.63 in]"),
    "fitting.outlet_bore": (91.44, "3.60 in [91.4 mm]"),
    "fitting.base_length": (270.0, "270 mm [10.63 in]"),
    "gap.free_gap_max": (0.46, "0.0182 in [0.47 mm]"),
    "clamp.screws": (None, "4 × M10"),
}
CASES = pytest.mark.parametrize("facts", [SMALL, LARGE], ids=["2 on 6", "4 on 8"])
NEEDED = ("pipe.main.outside_diameter", "gap.feeler")
BEFORE = (WORDS["clamp.detail_b"], WORDS["clamp.closes"], WORDS["clamp.mark_b"])


def enlarged(figure: Figure) -> float:
    """How many times larger than life the details are."""
    start = WORDS["scale"]
    line = next(line for line in figure.strings if line.endswith(" : 1"))
    return float(line.partition(f"{start} ")[2].removesuffix(" : 1"))


def base_of(figure: Figure) -> Points:
    """The saddle's base from above: the one thick rectangle."""
    (found,) = [
        points for points, path in paths(figure)
        if path.get("stroke-width") == "0.7" and path.get("fill") == "#fff" and len(points) == 4
    ]  # fmt: skip
    return found


@CASES
@BOXES
def test_feeler_and_free_gap_are_true_to_the_details_scale(facts: Facts, box: tuple[float, float]) -> None:
    """A third of a millimetre stands at least ten times as thick as it is, at the scale that is named."""
    figure = must_make(clamp_gap, facts, box)
    times = enlarged(figure)
    assert times >= 10.0
    for name in ("gap.feeler", "gap.free_gap_max"):
        assert has_length(tip_lengths(figure, 1), (facts[name][0] or 0) * times), name
        assert shown(figure, facts[name][1]), name
        assert facts[name][1] in figure.alt, name


@CASES
@BOXES
def test_the_section_is_true_to_its_scale(facts: Facts, box: tuple[float, float]) -> None:
    """The main is as wide as its diameter, its wall as thick as the thickest."""
    figure = must_make(clamp_gap, facts, box)
    scale = scale_after(figure, WORDS["clamp.section"])
    assert figure.scale == f"1 : {scale:g}"
    outer, wall = (facts["pipe.main.outside_diameter"][0] or 0) / 2, facts["pipe.main.wall_max"][0] or 0
    for radius in (outer, outer - wall):
        assert any(found == pytest.approx(radius / scale, abs=0.02) for _, found in circles(figure))


@CASES
@BOXES
def test_the_base_from_above_is_true_to_its_scale_with_an_arrow_on_each_of_its_sides(
    facts: Facts, box: tuple[float, float]
) -> None:
    """Four arrows show where the feeler is tried: at the middle of all four sides, round the saddle."""
    figure = must_make(clamp_gap, facts, box)
    scale, base = scale_after(figure, WORDS["clamp.plan"]), base_of(figure)
    xs, ys = [x for x, _ in base], [y for _, y in base]
    assert max(xs) - min(xs) == pytest.approx((facts["fitting.base_length"][0] or 0) / scale, abs=0.02)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    for side in ((min(xs), y), (max(xs), y), (x, min(ys)), (x, max(ys))):
        assert any(tip == pytest.approx(side, abs=0.02) for tip in tips(figure)), side
    assert WORDS["clamp.round"] in figure.strings


@BOXES
def test_the_feeler_is_said_to_stay_out_beside_its_text(box: tuple[float, float]) -> None:
    """The feeler's thickness and "does not enter" are neighbours, and the detail is headed clamped."""
    strings = list(must_make(clamp_gap, SMALL, box).strings)
    place = strings.index(WORDS["clamp.detail_a"])
    assert strings[place + 1 : place + 4] == [
        WORDS["clamp.feeler"], "0.33 mm [0.0129 in]", WORDS["clamp.stays_out"],
    ]  # fmt: skip


@BOXES
@pytest.mark.parametrize(("facts", "key"), [(SMALL, "clamp.gap_edge"), (LARGE, "clamp.gap_crown")])
def test_the_free_gap_is_named_where_it_is_widest(facts: Facts, key: str, box: tuple[float, float]) -> None:
    """At the edge of a saddle that lies on its crown, beside the outlet of one that stands on its edges."""
    figure = must_make(clamp_gap, facts, box)
    both = {"clamp.gap_edge", "clamp.gap_crown"}
    assert {name for name in both if WORDS[name] in figure.strings} == {key}


@BOXES
@pytest.mark.parametrize("name", ["gap.free_gap_max", "fitting.bore_radius", "peel.depth_min"])
def test_without_a_worked_free_gap_nothing_is_said_of_before_clamping(
    name: str, box: tuple[float, float]
) -> None:
    """Detail B goes whole, with its letter in the section; the feeler stays."""
    figure = must_make(clamp_gap, without(SMALL, name), box)
    assert not set(BEFORE) & set(figure.strings)
    assert not shown(figure, SMALL["gap.free_gap_max"][1])
    assert shown(figure, SMALL["gap.feeler"][1])


@BOXES
def test_the_clamp_is_drawn_by_what_the_label_states(box: tuple[float, float]) -> None:
    """Screws or bolts by their count, a strap by its stop mark; of neither, it is said not to be drawn."""
    strap = {**without(SMALL, "clamp.screws"), "clamp.stop_mark": (None, "the arrow meets the line")}
    drawn = {
        f"{WORDS['clamp.clamp']} 4 × M8": must_make(clamp_gap, SMALL, box),
        WORDS["clamp.strap"]: must_make(clamp_gap, strap, box),
        WORDS["clamp.not_drawn"]: must_make(clamp_gap, without(SMALL, "clamp.screws"), box),
    }
    for words, figure in drawn.items():
        assert [line for line in drawn if line in figure.strings] == [words]
        assert (WORDS["clamp.sketch"] in figure.strings) is (words != WORDS["clamp.not_drawn"])
    solid = [
        sum(path.get("fill") == "#000" and len(points) > 3 for points, path in paths(figure))
        for figure in drawn.values()
    ]
    assert solid == [0, 2, 0]


@BOXES
def test_a_saddle_nobody_stated_is_called_a_sketch(box: tuple[float, float]) -> None:
    """The plain label has no drawing data: feeler and main are true, the saddle is said not to be."""
    label = without(SMALL, *(name for name in SMALL if name.startswith("fitting.")))
    figure = must_make(clamp_gap, label, box)
    assert WORDS["clamp.both_sketch"] in figure.strings
    assert WORDS["clamp.both_sketch"] not in must_make(clamp_gap, SMALL, box).strings


@pytest.mark.parametrize("name", NEEDED)
def test_none_where_main_or_feeler_is_missing(name: str) -> None:
    """A coupling has neither."""
    assert made(clamp_gap, without(SMALL, name), CARD) is None


@BOXES
@pytest.mark.parametrize("name", [name for name in LARGE if name not in NEEDED])
def test_a_missing_optional_value_takes_only_itself(name: str, box: tuple[float, float]) -> None:
    """Whatever else is not stated, the feeler stands in the figure."""
    figure = must_make(clamp_gap, without(LARGE, name), box)
    assert shown(figure, LARGE["gap.feeler"][1])
    assert list(outside(figure, box)) == []


@CASES
@BOXES
def test_it_is_plain_whole_and_the_same_twice(facts: Facts, box: tuple[float, float]) -> None:
    """Black and white, the set line widths, at least 8 pt, nothing outside its box, the same bytes."""
    figure = must_make(clamp_gap, facts, box)
    assert faults_of_style(figure) == []
    assert list(outside(figure, box)) == []
    assert figure == must_make(clamp_gap, dict(reversed(facts.items())), box)


def test_every_pair_of_every_family_finds_a_scale_in_every_box() -> None:
    """Screws, bolts, strap and tower, with drawing data or the plain label: no words meet a line."""
    for name, facts in every_pair():
        for box in (ALL_BOXES[0], CARD, PAGE):
            figure = must_make(clamp_gap, facts, box)
            assert list(outside(figure, box)) == [], name
            assert (WORDS["clamp.detail_b"] in figure.strings) is ("gap.free_gap_max" in facts), name
