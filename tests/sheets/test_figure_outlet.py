"""Where the outlet stands: marks at their angles, the way round true to scale, vertical and level named.

In: the starter's pairs turned to many angles, and one invented fitting on real pipe.
Out: a failure that names the angle, length or word that is wrong.
"""

from __future__ import annotations

import math

import pytest

from packgen.sheets.figures import Figure, outlet_orientation
from tests.sheets.figure_reader import (
    ALL_BOXES,
    CARD,
    PAGE,
    WORDS,
    Facts,
    circles,
    every_pair,
    faults_of_style,
    made,
    must_make,
    outside,
    paths,
    scale_after,
    shown,
    tips,
    without,
)

BOXES = pytest.mark.parametrize("box", ALL_BOXES, ids=["smallest", "card", "half", "page"])
ANGLES = pytest.mark.parametrize("degrees", [15.0, 60.0, 90.0, 120.0, 180.0, 270.0, 300.0, 345.0])
FITTING: Facts = {
    "pipe.main.outside_diameter": (168.275, "6.625 in [168.28 mm]"),
    "pipe.main.wall_max": (17.13, "0.674 in [17.13 mm]"),
    "fitting.wall": (12.0, "12 mm [0.47 in]"),
    "fitting.outlet_bore": (48.26, "1.90 in [48.2 mm]"),
    "fitting.outlet_height": (80.0, "80 mm [3.15 in]"),
}


def turned(facts: Facts, degrees: float) -> Facts:
    """The same fitting with its outlet at an angle, clockwise from the top."""
    way = math.pi * (facts["pipe.main.outside_diameter"][0] or 0) * min(degrees, 360.0 - degrees) / 360.0
    place: Facts = {
        "place.clock_angle": (degrees, f"{degrees:g}°"),
        "place.arc_from_top": (way, f"{way / 25.4:.2f} in [{way:.0f} mm]"),
    }
    return {**facts, **place}


def main_of(figure: Figure) -> tuple[tuple[float, float], float]:
    """The main's middle and radius: the largest circle."""
    return max(circles(figure), key=lambda circle: circle[1])


def clockwise(middle: tuple[float, float], point: tuple[float, float]) -> float:
    """A point's angle about a middle, in degrees clockwise from the top."""
    return math.degrees(math.atan2(point[0] - middle[0], middle[1] - point[1])) % 360.0


def marks(figure: Figure) -> list[float]:
    """The angles of the thick marks on the main's surface."""
    middle, _ = main_of(figure)
    found = [points for points, path in paths(figure) if path.get("stroke-width") == "0.7"]
    return sorted(round(clockwise(middle, points[-1])) % 360 for points in found if len(points) == 2)


@BOXES
@ANGLES
def test_a_mark_stands_at_the_top_and_one_at_the_outlets_angle(
    degrees: float, box: tuple[float, float]
) -> None:
    """Clockwise, as somebody sees it who faces the way the stations count up, and the figure says so."""
    figure = must_make(outlet_orientation, turned(FITTING, degrees), box)
    assert marks(figure) == [0, round(degrees)]
    assert any(line.startswith(WORDS["dig.facing"]) for line in figure.strings)
    assert WORDS["outlet.clockwise"] in figure.strings
    assert f"{WORDS['outlet.turn']} {degrees:g}°" in figure.strings


@BOXES
@ANGLES
def test_the_way_round_runs_from_the_top_to_the_mark_the_shorter_way(
    degrees: float, box: tuple[float, float]
) -> None:
    """Its arrow tips stand at both marks, a little off the surface, and its length is the value to scale."""
    facts = turned(FITTING, degrees)
    figure = must_make(outlet_orientation, facts, box)
    middle, radius = main_of(figure)
    scale = scale_after(figure, WORDS["dig.section"])
    assert radius == pytest.approx(168.275 / 2 / scale, abs=0.02)
    off = [tip for tip in tips(figure) if math.dist(tip, middle) == pytest.approx(radius + 3.4, abs=0.05)]
    angles = {round(clockwise(middle, tip)) % 360 for tip in off}
    assert {0, round(degrees)} <= angles
    shorter = math.radians(min(degrees, 360.0 - degrees))
    assert radius * shorter == pytest.approx((facts["place.arc_from_top"][0] or 0) / scale, abs=0.02)
    assert shown(figure, facts["place.arc_from_top"][1])


@BOXES
@pytest.mark.parametrize(
    ("degrees", "key"),
    [(0.0, "vertical"), (180.0, "vertical"), (90.0, "level"), (270.0, "level"), (45.0, "gauge")],
)
def test_vertical_level_and_what_is_between_are_named(
    degrees: float, key: str, box: tuple[float, float]
) -> None:
    """One word of the three, and no other."""
    figure = must_make(outlet_orientation, turned(FITTING, degrees), box)
    named = {key for key in ("vertical", "level", "gauge") if WORDS[f"outlet.{key}"] in figure.strings}
    assert named == {key}


@BOXES
def test_an_outlet_on_top_has_one_mark_and_no_way_round(box: tuple[float, float]) -> None:
    """Nothing is to be measured, and no way of nothing is printed in the drawing."""
    figure = must_make(outlet_orientation, turned(FITTING, 0.0), box)
    assert marks(figure) == [0]
    assert WORDS["outlet.arc_from_top"] not in figure.strings
    assert WORDS["outlet.clockwise"] not in figure.strings
    assert WORDS["outlet.top"] in figure.strings


@pytest.mark.parametrize("name", ["pipe.main.outside_diameter", "place.clock_angle", "place.arc_from_top"])
def test_none_where_main_angle_or_way_is_missing(name: str) -> None:
    """Without a job nobody knows the angle."""
    assert made(outlet_orientation, without(turned(FITTING, 60.0), name), CARD) is None


@BOXES
@pytest.mark.parametrize("name", [name for name in FITTING if name != "pipe.main.outside_diameter"])
def test_a_missing_optional_value_takes_only_itself(name: str, box: tuple[float, float]) -> None:
    """From the plain label the marks still stand."""
    figure = must_make(outlet_orientation, without(turned(FITTING, 60.0), name), box)
    assert marks(figure) == [0, 60]


@BOXES
@ANGLES
def test_it_is_plain_whole_and_the_same_twice(degrees: float, box: tuple[float, float]) -> None:
    """Black and white, the set line widths, at least 8 pt, nothing outside its box, the same bytes."""
    facts = turned(FITTING, degrees)
    figure = must_make(outlet_orientation, facts, box)
    assert faults_of_style(figure) == []
    assert list(outside(figure, box)) == []
    assert facts["place.arc_from_top"][1] in figure.alt
    assert figure == must_make(outlet_orientation, dict(reversed(facts.items())), box)


def test_every_pair_finds_a_scale_in_every_box_at_every_hour_down_to_level() -> None:
    """Each pair at one hour of the clock face, the hours taken in turn; no words meet a line."""
    hours = (0.0, 30.0, 60.0, 90.0, 270.0, 300.0, 330.0)
    for place, (name, facts) in enumerate(every_pair()):
        for box in (ALL_BOXES[0], CARD, PAGE):
            figure = must_make(outlet_orientation, turned(facts, hours[place % len(hours)]), box)
            assert list(outside(figure, box)) == [], name
