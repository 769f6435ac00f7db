"""The dig sketch: distances and free ground true to scale, the outlet on its side, a scale for every job.

In: values of one invented fitting on real pipe, with the distances of a job or without.
Out: a failure that names the length, side or word that is wrong.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Mapping
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml

from packgen.sheets.figures import Figure, dig_sketch

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[2]
WORDS: dict[str, str] = yaml.safe_load((ROOT / "templates/words/en.yaml").read_text(encoding="utf-8"))[
    "figures"
]
CARD, PAGE = (93.0, 78.0), (178.0, 92.0)
BOXES = pytest.mark.parametrize("box", [CARD, PAGE], ids=["card", "page"])
Facts = Mapping[str, tuple[float, str]]


def facts(**lengths: float) -> dict[str, tuple[float, str]]:
    """Values by name, a double underscore for the dot, each with a text made from it."""
    named = {name.replace("__", "."): value for name, value in lengths.items()}
    return {name: (value, f"{value / 25.4:.1f} in [{value:.0f} mm]") for name, value in named.items()}


TABLE = facts(
    pipe__main__outside_diameter=168.3, pipe__main__wall_max=17.1, fitting__base_length=160.0,
    fitting__outlet_bore=48.3, fitting__outlet_height=80.0, fitting__bore_radius=84.0,
    fitting__base_angle=44.0, fitting__wall=12.0, peel__zone_length=185.4, place__room_along=795.0,
    place__room_around=304.8, place__room_above=537.2, spacing__saddle_to_saddle=500.0,
    spacing__saddle_to_fitting=500.0,
    spacing__saddle_to_pipe_end=500.0,
)  # fmt: skip
MEASURED = facts(
    spacing__measured_saddle=1828.8, spacing__measured_fitting=1524.0, spacing__measured_pipe_end=2438.4,
    spacing__measured_squeeze=1219.2, squeeze__distance_min=504.8,
)  # fmt: skip


def turned(degrees: float) -> dict[str, tuple[float, str]]:
    """The outlet at an angle from the top, clockwise."""
    way = math.pi * 168.3 * min(degrees, 360.0 - degrees) / 360.0
    return {"place.clock_angle": (degrees, f"{degrees:g}°")} | facts(place__arc_from_top=way)


JOB = TABLE | MEASURED | turned(90.0)


def make(given: Facts, box: tuple[float, float]) -> Figure:
    """The figure, which must be there."""
    values, text = {n: v for n, (v, _) in given.items()}, {n: t for n, (_, t) in given.items()}
    figure = dig_sketch(values, text, WORDS, *box)
    assert figure is not None
    return figure


def paths(figure: Figure) -> list[tuple[list[tuple[float, float]], ElementTree.Element]]:
    """Each path's points, read back from the SVG."""
    found = []
    for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
        found.append((list(zip(numbers[::2], numbers[1::2], strict=True)), path))
    return found


def tip_distances(figure: Figure) -> list[float]:
    """Distances between the tips of any two filled arrowheads."""
    heads = [points[0] for points, path in paths(figure) if path.get("fill") == "#000" and len(points) == 3]
    return [math.dist(a, b) for place, a in enumerate(heads) for b in heads[:place]]


def scales(figure: Figure) -> tuple[float, float]:
    """The numbers after `1 : ` of the view from above and of the section."""
    plan, section = (
        next(float(line.rpartition(" : ")[2]) for line in figure.strings if line.startswith(WORDS[key]))
        for key in ("dig.view", "dig.section")
    )
    return plan, section


def ground(figure: Figure, real_height: float, scale: float) -> list[tuple[float, float]]:
    """The dashed rectangle of free ground that is so tall at a scale."""
    found = [points for points, path in paths(figure) if path.get("stroke-dasharray") == "2 1"]
    tall = [max(y for _, y in points) - min(y for _, y in points) for points in found]
    return next(
        p for p, y in zip(found, tall, strict=True) if y == pytest.approx(real_height / scale, abs=0.03)
    )


@BOXES
def test_measured_distances_and_free_main_are_true_to_the_views_scale(box: tuple[float, float]) -> None:
    """From the saddle's edge to each neighbour, and the free main, in the scale the figure names."""
    figure = make(JOB, box)
    plan, _ = scales(figure)
    assert figure.scale == f"1 : {plan:g}"
    for name in (*(name for name in MEASURED if "measured" in name), "place.room_along"):
        length = JOB[name][0] / plan
        assert min(abs(found - length) for found in tip_distances(figure)) <= 0.02, name


@BOXES
@pytest.mark.parametrize("degrees", [0.0, 30.0, 90.0, 270.0, 300.0])
def test_room_round_and_beyond_the_outlet_is_true_to_the_sections_scale(
    degrees: float, box: tuple[float, float]
) -> None:
    """At any angle of the outlet."""
    figure = make(JOB | turned(degrees), box)
    _, section = scales(figure)
    for name in ("place.room_around", "place.room_above"):
        length = JOB[name][0] / section
        assert min(abs(found - length) for found in tip_distances(figure)) <= 0.02, name


@BOXES
def test_free_ground_of_the_section_reaches_round_the_main_and_to_the_end_of_the_outlets_room(
    box: tuple[float, float],
) -> None:
    """An upright outlet: main and room on both sides wide; room below, main and room above tall."""
    figure = make(JOB | turned(0.0), box)
    _, section = scales(figure)
    points = ground(figure, 168.3 + 304.8 + 537.2, section)
    wide = max(x for x, _ in points) - min(x for x, _ in points)
    assert wide == pytest.approx((168.3 + 2 * 304.8) / section, abs=0.03)


@BOXES
@pytest.mark.parametrize(("degrees", "side"), [(90.0, 1), (270.0, -1)])
def test_a_level_outlet_opens_the_ground_on_its_own_side(
    degrees: float, side: int, box: tuple[float, float]
) -> None:
    """Three o'clock lies below the main's centre line in the view from above, nine o'clock above it."""
    figure = make(JOB | turned(degrees), box)
    plan, _ = scales(figure)
    points = ground(figure, 168.3 + 304.8 + 537.2, plan)
    chain = [run for run, path in paths(figure) if path.get("stroke-dasharray") == "5 1 0.6 1"]
    centre = chain[0][0][1]
    far = max(y for _, y in points) - centre if side > 0 else centre - min(y for _, y in points)
    assert far == pytest.approx((168.3 / 2 + 537.2) / plan, abs=0.03)


@BOXES
def test_what_nobody_measured_stands_at_its_least_distance_with_the_sign(box: tuple[float, float]) -> None:
    """Without a job each neighbour is at the least distance; measured, the sign is gone."""
    least, measured = make(TABLE, box), make(JOB, box)
    plan, _ = scales(least)
    assert min(abs(found - 500.0 / plan) for found in tip_distances(least)) <= 0.02
    assert any(line.startswith("Pipe end ≥") for line in least.strings)
    assert "Pipe end ≥ 19.7 in [500 mm]" in least.alt
    assert not any("≥" in line for line in measured.strings)
    assert "Pipe end 96.0 in [2438 mm]" in measured.alt
    assert WORDS["dig.open_angle"] in least.strings
    assert not any("Squeeze" in line for line in least.strings)


@BOXES
def test_a_far_neighbour_is_broken_and_the_sketch_says_so(box: tuple[float, float]) -> None:
    """30 m to the pipe's end do not make the rest too small to see; its text is carried unchanged."""
    far = JOB | facts(spacing__measured_pipe_end=30_000.0)
    figure = make(far, box)
    assert WORDS["dig.broken"] in figure.strings
    assert any("1181.1 in" in line for line in figure.strings)
    assert scales(figure)[0] <= 100.0
    if box == PAGE:
        assert WORDS["dig.broken"] not in make(JOB, box).strings


@BOXES
def test_what_lies_beyond_the_pipes_end_is_drawn_on_the_other_side(box: tuple[float, float]) -> None:
    """A fitting at 5 ft with the pipe's end at 3 ft cannot be on the same side."""
    figure = make(JOB | facts(spacing__measured_pipe_end=914.4), box)
    texts = list(ElementTree.fromstring(figure.svg).iter(f"{SVG}text"))
    place = {
        word: next(t for t in texts if (t.text or "").startswith(word)) for word in ("Fitting", "Pipe end")
    }
    assert place["Fitting"].get("text-anchor") == "end"
    assert place["Pipe end"].get("text-anchor") is None


@BOXES
def test_every_value_of_the_sketch_stands_in_it_and_in_its_alternative_text(box: tuple[float, float]) -> None:
    """Printed texts are carried unchanged, whole or parted before the bracket."""
    figure = make(JOB, box)
    shown = [
        "pipe.main.outside_diameter", "place.room_along", "place.room_around", "place.room_above",
        "place.clock_angle", "place.arc_from_top", *(name for name in MEASURED if "measured" in name),
    ]  # fmt: skip
    for name in shown:
        text = JOB[name][1]
        first, _, second = text.partition(" [")
        whole = any(text in line for line in figure.strings)
        parted = any(first in line for line in figure.strings) and f"[{second}" in figure.strings
        assert whole or parted, name
        assert text in figure.alt, name


def test_none_without_the_main_or_the_room_round_it() -> None:
    """A coupling has neither; every other value may be missing."""
    for name in ("pipe.main.outside_diameter", "place.room_around"):
        given = {n: fact for n, fact in JOB.items() if n != name}
        values, text = {n: v for n, (v, _) in given.items()}, {n: t for n, (_, t) in given.items()}
        assert dig_sketch(values, text, WORDS, *CARD) is None, name


@BOXES
@pytest.mark.parametrize("name", [name for name in JOB if not name.startswith("pipe.main.outside")])
def test_a_missing_value_takes_only_itself(name: str, box: tuple[float, float]) -> None:
    """From the plain label, or with a distance not measured, the sketch still stands."""
    if name == "place.room_around":
        return
    figure = make({n: fact for n, fact in JOB.items() if n != name}, box)
    assert WORDS["dig.facing"] in figure.strings


def test_every_job_finds_a_scale() -> None:
    """Mains from 3 to 12 in, neighbours from near to far, every hour down to level: both boxes hold them."""
    chance = random.Random(7)
    for _ in range(25):
        diameter = chance.choice([88.9, 168.3, 219.1, 323.9])
        near = {
            f"spacing.measured_{what}": chance.choice([0.55, 1.0, 2.0, 3.0, 9.0, 30.0]) * 1000.0
            for what in ("saddle", "fitting", "pipe_end", "squeeze")
            if chance.random() < 0.8
        }
        given = JOB | facts(pipe__main__outside_diameter=diameter, place__room_along=1000.0)
        given |= facts(**near) | turned(30.0 * chance.choice([0, 1, 2, 3, 9, 10, 11]))
        for box in (CARD, PAGE):
            figure = make(given, box)
            assert figure.height <= box[1]


@BOXES
def test_the_sketch_is_black_and_white_and_legible(box: tuple[float, float]) -> None:
    """Black and white, the set line widths, at least 8 pt, no rotated text; the same bytes twice."""
    figure = make(JOB, box)
    assert set(re.findall(r"#[0-9a-f]+", figure.svg)) <= {"#000", "#fff"}
    assert set(re.findall(r'stroke-width="([^"]+)"', figure.svg)) <= {"0.7", "0.35", "0.18"}
    assert min(float(size) * 72 / 25.4 for size in re.findall(r'font-size="([^"]+)"', figure.svg)) >= 8.0
    assert "rotate" not in figure.svg
    assert figure == make(dict(reversed(JOB.items())), box)
