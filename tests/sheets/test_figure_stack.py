"""The stack for a tap through a valve: lengths to scale, the least bore where it is, a scale for every tool.

In: the live tap of the starter's jobs, and its valves and machines on other pairs.
Out: a failure that names the length, the word or the tool that is wrong.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.sheets.drawing import text_width
from packgen.sheets.figure_stack import stack_facts
from packgen.sheets.figures import Figure, stack
from packgen.sheets.view import View
from packgen.sheets.words import Words

SVG = "{http://www.w3.org/2000/svg}"
CARD, PAGE = (93.0, 78.0), (170.0, 92.0)
BOXES = pytest.mark.parametrize("box", [CARD, PAGE], ids=["card", "page"])
CHAIN = ("machine.reach", "valve.length", "fitting.outlet_height", "tap.travel_set")
TOOLS = ("valve.length", "valve.bore", "machine.reach", "machine.bore")
NEEDED = (
    *TOOLS, "pipe.main.outside_diameter", "pipe.main.wall_max", "fitting.outlet_bore",
    "fitting.outlet_height", "tap.hole_saw", "tap.travel_set", "tap.stroke_min", "tap.least_bore",
)  # fmt: skip
Facts = dict[str, tuple[float, str]]


@pytest.fixture
def live(job_of: Callable[[str], Job], views_of: Callable[..., list[View]]) -> View:
    """The saddle of the live tap."""
    return views_of(job_of("live-tap"))[0]


@pytest.fixture
def facts(live: View) -> Facts:
    """Its values and the facts of its valve and machine, those that have number and text."""
    numbers, texts = stack_facts(live.request, "both")
    numbers, texts = live.numbers() | numbers, live.texts | texts
    return {name: (numbers[name], texts[name]) for name in numbers if name in texts}


def make(words: Words, facts: Facts, box: tuple[float, float]) -> Figure:
    """The figure, which must be there."""
    values, text = {n: v for n, (v, _) in facts.items()}, {n: t for n, (_, t) in facts.items()}
    figure = stack(values, text, words.group("figures"), *box)
    assert figure is not None
    return figure


def paths(figure: Figure) -> list[tuple[list[tuple[float, float]], Mapping[str, str]]]:
    """Each path's points and attributes, read back from the SVG."""
    found = []
    for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
        found.append((list(zip(numbers[::2], numbers[1::2], strict=True)), path.attrib))
    return found


def tips(figure: Figure) -> list[tuple[float, float]]:
    """The tips of the filled arrowheads."""
    return [points[0] for points, path in paths(figure) if path.get("fill") == "#000" and len(points) == 3]


def scale_of(figure: Figure) -> float:
    """The number after `1 : `."""
    return float(figure.scale.removeprefix("1 : "))


@BOXES
def test_the_chain_and_the_stroke_are_true_to_scale(
    words: Words, facts: Facts, box: tuple[float, float]
) -> None:
    """Reach, valve, outlet and set travel stand one on the other, and the stroke spans them all."""
    figure = make(words, facts, box)
    columns: dict[float, list[float]] = {}
    for x, y in tips(figure):
        columns.setdefault(x, []).append(y)
    chain = sorted({round(y, 2) for y in max(columns.values(), key=len)})
    lengths = [b - a for a, b in pairwise(chain)]
    assert lengths == pytest.approx([facts[name][0] / scale_of(figure) for name in CHAIN], abs=0.021)
    stroke = facts["tap.stroke_min"][0] / scale_of(figure)
    assert chain[-1] - chain[0] == pytest.approx(stroke, abs=0.021)
    spans = [max(ys) - min(ys) for ys in columns.values() if len(ys) == 2]
    assert any(span == pytest.approx(stroke, abs=0.021) for span in spans)


def test_the_live_taps_stroke_is_the_sum_of_its_four_lengths(facts: Facts) -> None:
    """2 in of reach, 9 in of valve, 80 mm of outlet: by hand 279.4 + 80 mm, and the travel to set."""
    assert facts["tap.stroke_min"][0] == pytest.approx(279.4 + 80.0 + facts["tap.travel_set"][0])


@BOXES
@pytest.mark.parametrize(
    ("narrowest", "place"), [("fitting.outlet_bore", 2), ("valve.bore", 1), ("machine.bore", 0)]
)
def test_the_least_bore_is_drawn_in_the_part_that_has_it(
    words: Words, facts: Facts, box: tuple[float, float], narrowest: str, place: int
) -> None:
    """Two level arrows, as far apart as the least bore, stand in the outlet, the valve or the machine."""
    least = (46.0, "46 mm [1.81 in]")
    figure = make(words, facts | {narrowest: least, "tap.least_bore": least}, box)
    heads = tips(figure)
    pairs = [(a, b) for i, a in enumerate(heads) for b in heads[:i] if a[1] == b[1]]
    level = [a[1] for a, b in pairs if abs(a[0] - b[0]) == pytest.approx(46.0 / scale_of(figure), abs=0.021)]
    columns: dict[float, list[float]] = {}
    for x, y in heads:
        columns.setdefault(x, []).append(y)
    chain = sorted({round(y, 2) for y in max(columns.values(), key=len)})  # rest, flange, rim, crown, set
    assert level and all(chain[place] < y < chain[place + 1] for y in level)


@BOXES
def test_every_part_and_every_value_is_said(words: Words, facts: Facts, box: tuple[float, float]) -> None:
    """Names of the parts, printed texts, scale and what is a sketch; values in the alternative text too."""
    figure = make(words, facts, box)
    group = words.group("figures")
    for key in ("machine", "rest", "valve", "saddle", "contact", "deep", "main", "sketch"):
        assert group[f"stack.{key}"] in figure.strings, key
    for name in (*CHAIN, "tap.stroke_min", "tap.least_bore"):
        assert facts[name][1] in figure.strings, name
        assert facts[name][1] in figure.alt, name
    assert facts["tap.hole_saw"][1] in figure.alt
    assert f"{group['scale']} {figure.scale}" in figure.strings
    texts = [text.text for text in ElementTree.fromstring(figure.svg).iter(f"{SVG}text")]
    assert sorted(map(str, texts)) == sorted(figure.strings)


@BOXES
def test_nothing_stands_outside_the_box_and_the_style_is_kept(
    words: Words, facts: Facts, box: tuple[float, float]
) -> None:
    """Lines and texts lie in the viewBox; black and white, three line widths, no letter under 8 pt."""
    figure = make(words, facts, box)
    root = ElementTree.fromstring(figure.svg)
    assert root.get("viewBox") == f"0 0 {box[0]:g} {figure.height:g}"
    assert figure.height <= box[1]
    assert all(0 <= x <= box[0] and 0 <= y <= figure.height for points, _ in paths(figure) for x, y in points)
    for text in root.iter(f"{SVG}text"):
        size, x = float(text.get("font-size") or "nan"), float(text.get("x") or "nan")
        width = text_width(text.text or "", size)
        left = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        assert left >= -0.01 and left + width <= box[0] + 0.01, text.text
        assert size * 72 / 25.4 >= 8.0
    assert set(re.findall(r"#[0-9a-f]+", figure.svg)) <= {"#000", "#fff"}
    assert set(re.findall(r'stroke-width="([^"]+)"', figure.svg)) <= {"0.7", "0.35", "0.18"}


def test_none_where_a_value_or_a_fact_is_missing(words: Words, facts: Facts) -> None:
    """Each of them, missing as a number or as a text, gives no figure and no error."""
    values, text = {n: v for n, (v, _) in facts.items()}, {n: t for n, (_, t) in facts.items()}
    group = words.group("figures")
    assert stack(values, text, group, *CARD) is not None
    for name in NEEDED:
        assert stack({n: v for n, v in values.items() if n != name}, text, group, *CARD) is None, name
        assert stack(values, {n: t for n, t in text.items() if n != name}, group, *CARD) is None, name


def test_only_a_tap_through_a_valve_has_the_figure(each_view: View, words: Words) -> None:
    """The joint with a valve and a machine has it, every other joint of the demo jobs has not."""
    numbers, texts = stack_facts(each_view.request, "both")
    figure = stack(each_view.numbers() | numbers, each_view.texts | texts, words.group("figures"), *CARD)
    assert (figure is not None) == (each_view.request.valve is not None)
    assert bool(numbers) == bool(texts) == (each_view.request.valve is not None)


def test_the_saddle_is_left_out_where_nobody_stated_it(words: Words, facts: Facts) -> None:
    """Without the saddle's bore radius the outlet stands on the main alone, drawn as a sketch."""
    whole = make(words, facts, PAGE)
    bare = make(words, {name: fact for name, fact in facts.items() if name != "fitting.bore_radius"}, PAGE)
    assert bare.svg != whole.svg
    assert set(whole.strings) - {f"Scale {whole.scale}"} == set(bare.strings) - {f"Scale {bare.scale}"}


@BOXES
@pytest.mark.parametrize("inches", [3.5, 4.5, 12.75, 24.0])
def test_every_valve_and_machine_finds_a_scale_on_every_main(
    catalog: Catalog, words: Words, box: tuple[float, float], inches: float
) -> None:
    """From the smallest to the widest main, thin or thick, no text meets a line: none is refused."""
    for valve in catalog.valves.values():
        for machine in list(catalog.machines.values())[::2]:
            wall = inches * 25.4 / (17.0 if inches > 5 else 9.0)
            bore = valve.bore.to("mm")
            tools = (valve.length, valve.bore, machine.reach, machine.bore)
            numbers = dict(zip(TOOLS, (tool.to("mm") for tool in tools), strict=True))
            saw = min(0.9 * bore, 0.55 * (inches * 25.4 - 2 * wall))
            height, travel = 80.0 if bore < 60 else 120.0, 1.6 * wall
            numbers |= {
                "pipe.main.outside_diameter": inches * 25.4, "pipe.main.wall_max": wall, "tap.hole_saw": saw,
                "fitting.outlet_bore": bore + 1.0, "fitting.outlet_height": height, "fitting.wall": 12.0,
                "fitting.bore_radius": inches * 12.7, "tap.travel_set": travel, "tap.least_bore": bore,
                "tap.stroke_min": numbers["valve.length"] + numbers["machine.reach"] + height + travel,
            }  # fmt: skip
            given = {name: (each, f"{each / 25.4:.2f} in [{each:.1f} mm]") for name, each in numbers.items()}
            angle = min(60.0, math.degrees((bore + 60.0) / (inches * 12.7)))
            assert make(words, given | {"fitting.base_angle": (angle, f"{angle:.0f}°")}, box).strings


def test_same_bytes_whatever_the_order_of_the_values(words: Words, facts: Facts) -> None:
    """Two runs, and the values in reverse order, give the same figure."""
    assert make(words, facts, CARD) == make(words, dict(reversed(facts.items())), CARD)
