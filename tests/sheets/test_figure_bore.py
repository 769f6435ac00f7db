"""The saw in the outlet: diameters and clearance true to scale, the least bore named, a scale for every size.

In: the starter's pairs, and two invented fittings on real pipe.
Out: a failure that names the length, word or size that is wrong.
"""

from __future__ import annotations

import pytest

from packgen.sheets.figures import saw_bore
from tests.sheets.figure_reader import (
    ALL_BOXES,
    CARD,
    PAGE,
    WORDS,
    Facts,
    circles,
    every_pair,
    faults_of_style,
    has_length,
    made,
    must_make,
    outside,
    scale_after,
    shown,
    tip_lengths,
    without,
)

BOXES = pytest.mark.parametrize("box", ALL_BOXES, ids=["smallest", "card", "half", "page"])
SMALL: Facts = {
    "pipe.main.outside_diameter": (168.275, "6.625 in [168.28 mm]"),
    "pipe.main.inside_diameter_mean": (135.86, "5.349 in [135.9 mm]"),
    "fitting.wall": (12.0, "12 mm [0.47 in]"),
    "fitting.outlet_bore": (48.26, "1.90 in [48.2 mm]"),
    "tap.hole_saw": (44.45, "1-3/4 in [44.4 mm]"),
    "tap.clearance": (1.905, "0.075 in [1.9 mm]"),
}
LARGE: Facts = {
    "pipe.main.outside_diameter": (323.85, "12.750 in [323.8 mm]"),
    "pipe.main.inside_diameter_mean": (261.4, "10.293 in [261.4 mm]"),
    "fitting.wall": (20.0, "20 mm [0.79 in]"),
    "fitting.outlet_bore": (134.62, "5.30 in [134.6 mm]"),
    "tap.hole_saw": (127.0, "5 in [127.0 mm]"),
    "tap.clearance": (3.81, "0.150 in [3.8 mm]"),
}
CASES = pytest.mark.parametrize("facts", [SMALL, LARGE], ids=["2 on 6", "6 on 12"])


@CASES
@BOXES
def test_saw_and_clearance_are_true_to_scale(facts: Facts, box: tuple[float, float]) -> None:
    """The level line is the saw's diameter, the upright one the room on one side of it."""
    figure = must_make(saw_bore, facts, box)
    scale = scale_after(figure, WORDS["saw.view"])
    assert figure.scale == f"1 : {scale:g}"
    assert has_length(tip_lengths(figure, 0), (facts["tap.hole_saw"][0] or 0) / scale)
    assert has_length(tip_lengths(figure, 1), (facts["tap.clearance"][0] or 0) / scale)


@CASES
@BOXES
def test_bore_and_its_wall_are_circles_true_to_scale(facts: Facts, box: tuple[float, float]) -> None:
    """Both stand about one middle: the outlet's bore, and the bore with the saddle's wall round it."""
    figure = must_make(saw_bore, facts, box)
    scale, bore = scale_after(figure, WORDS["saw.view"]), facts["fitting.outlet_bore"][0] or 0
    wall = facts["fitting.wall"][0] or 0
    middle = max(circles(figure), key=lambda circle: circle[1])[0]
    radii = [radius for at, radius in circles(figure) if at == pytest.approx(middle, abs=0.02)]
    for real in (bore / 2, bore / 2 + wall):
        assert any(radius == pytest.approx(real / scale, abs=0.02) for radius in radii), real


@CASES
@BOXES
def test_the_hole_in_the_main_is_true_to_its_own_scale(facts: Facts, box: tuple[float, float]) -> None:
    """The main's mean bore is dimensioned, and the hole is as wide as the saw, at the scale named there."""
    figure = must_make(saw_bore, facts, box)
    scale = scale_after(figure, WORDS["saw.plan"])
    assert has_length(tip_lengths(figure, 1), (facts["pipe.main.inside_diameter_mean"][0] or 0) / scale)
    hole = (facts["tap.hole_saw"][0] or 0) / 2 / scale
    assert any(radius == pytest.approx(hole, abs=0.02) for _, radius in circles(figure))


@CASES
@BOXES
def test_every_value_and_the_coupon_stand_in_figure_and_alternative_text(
    facts: Facts, box: tuple[float, float]
) -> None:
    """Printed texts are carried unchanged; runout is said beside the clearance."""
    figure = must_make(saw_bore, facts, box)
    for name in ("fitting.outlet_bore", "tap.hole_saw", "tap.clearance", "pipe.main.inside_diameter_mean"):
        assert shown(figure, facts[name][1]), name
        assert facts[name][1] in figure.alt, name
    assert {WORDS["saw.coupon"], WORDS["saw.runout"], WORDS["saw.outlet_bore"]} <= set(figure.strings)


@BOXES
def test_through_a_valve_the_least_bore_of_the_path_is_the_one_drawn(box: tuple[float, float]) -> None:
    """A valve narrower than the outlet: its bore is the circle, and the outlet's is not called the least."""
    facts = dict(SMALL) | {
        "tap.least_bore": (46.0, "1.81 in [46.0 mm]"), "tap.hole_saw": (41.275, "1-5/8 in [41.3 mm]"),
        "tap.clearance": (2.3625, "0.093 in [2.3 mm]"),
    }  # fmt: skip
    figure = must_make(saw_bore, facts, box)
    scale = scale_after(figure, WORDS["saw.view"])
    assert shown(figure, "1.81 in [46.0 mm]")
    assert not shown(figure, "1.90 in [48.2 mm]")
    assert WORDS["saw.least_bore"] in figure.strings
    assert WORDS["saw.both_sketch"] in figure.strings
    assert any(radius == pytest.approx(23.0 / scale, abs=0.02) for _, radius in circles(figure))


@pytest.mark.parametrize("name", ["tap.hole_saw", "tap.clearance", "fitting.outlet_bore"])
def test_none_where_saw_clearance_or_bore_is_missing(name: str) -> None:
    """A plain label states no bore: the crew enters the saw, and no figure shows one."""
    assert made(saw_bore, without(SMALL, name), CARD) is None


@BOXES
@pytest.mark.parametrize("name", ["fitting.wall", "pipe.main.inside_diameter_mean"])
def test_a_missing_optional_value_takes_only_itself(name: str, box: tuple[float, float]) -> None:
    """Without the wall it is a sketch, and said to be; without the main's bore the small view goes."""
    figure = must_make(saw_bore, without(SMALL, name), box)
    assert shown(figure, SMALL["tap.clearance"][1])
    assert (WORDS["saw.both_sketch"] in figure.strings) is (name == "fitting.wall")
    assert (WORDS["saw.main_bore"] in figure.strings) is (name == "fitting.wall")


@CASES
@BOXES
def test_it_is_plain_whole_and_the_same_twice(facts: Facts, box: tuple[float, float]) -> None:
    """Black and white, the set line widths, at least 8 pt, nothing outside its box, the same bytes."""
    figure = must_make(saw_bore, facts, box)
    assert faults_of_style(figure) == []
    assert list(outside(figure, box)) == []
    assert figure == must_make(saw_bore, dict(reversed(facts.items())), box)


def test_every_pair_with_a_saw_finds_a_scale_in_every_box() -> None:
    """No size has words that meet a line, on a card or on a page, and none is drawn beyond its box."""
    drawn = 0
    for name, facts in every_pair():
        figures = {box: made(saw_bore, facts, box) for box in (ALL_BOXES[0], CARD, PAGE)}
        assert ("tap.hole_saw" in facts) is all(figures.values()), name
        for box, figure in figures.items():
            assert figure is None or list(outside(figure, box)) == [], name
            drawn += figure is not None
    assert drawn > 150
