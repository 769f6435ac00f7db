"""What tests of figures share: an SVG read back, and the values of every pair of every family.

In: a `Figure`, or the starter content. Out: paths, arrow tips and lengths in paper mm; values by combination.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import yaml

from packgen.calc.request import Request
from packgen.calc.work_out import work_out
from packgen.model.designation import Designation
from packgen.model.load import load
from packgen.sheets.drawing import text_width
from packgen.sheets.figures import Figure
from packgen.sheets.view import View
from packgen.sheets.words import load_words

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[2]
WORDS: dict[str, str] = yaml.safe_load((ROOT / "templates/words/en.yaml").read_text(encoding="utf-8"))[
    "figures"
]
SMALLEST, CARD, HALF, PAGE = (72.0, 78.0), (93.0, 78.0), (127.0, 92.0), (176.0, 92.0)
ALL_BOXES = (SMALLEST, CARD, HALF, PAGE)
Facts = Mapping[str, tuple[float | None, str]]  # value, or None for words, and its printed text
Draw = Callable[[Mapping[str, float], Mapping[str, str], Mapping[str, str], float, float], Figure | None]
Points = list[tuple[float, float]]


def made(draw: Draw, facts: Facts, box: tuple[float, float]) -> Figure | None:
    """The figure of some facts in a box."""
    values = {name: value for name, (value, _) in facts.items() if value is not None}
    return draw(values, {name: text for name, (_, text) in facts.items()}, WORDS, *box)


def must_make(draw: Draw, facts: Facts, box: tuple[float, float]) -> Figure:
    """The figure, which must be there."""
    figure = made(draw, facts, box)
    assert figure is not None
    return figure


def without(facts: Facts, *names: str) -> Facts:
    """The same facts less some."""
    return {name: fact for name, fact in facts.items() if name not in names}


def paths(figure: Figure) -> list[tuple[Points, ElementTree.Element]]:
    """Each path's points, read back from the SVG."""
    found = []
    for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
        found.append((list(zip(numbers[::2], numbers[1::2], strict=True)), path))
    return found


def tips(figure: Figure) -> Points:
    """The tips of the filled arrowheads."""
    return [points[0] for points, path in paths(figure) if path.get("fill") == "#000" and len(points) == 3]


def tip_lengths(figure: Figure, along: int) -> list[float]:
    """Distances between arrow tips on one level (along 0) or upright (along 1) line."""
    heads, across = tips(figure), 1 - along
    return [
        abs(a[along] - b[along]) for i, a in enumerate(heads) for b in heads[:i] if a[across] == b[across]
    ]


def has_length(lengths: list[float], wanted: float) -> bool:
    """Whether a length is there, to the hundredth that the SVG carries."""
    return any(abs(length - wanted) <= 0.021 for length in lengths)


def circles(figure: Figure) -> list[tuple[tuple[float, float], float]]:
    """The middle and radius of every path that is a whole circle."""
    found = []
    for points, _ in paths(figure):
        if len(points) < 12:
            continue
        xs, ys = [x for x, _ in points], [y for _, y in points]
        middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        radius = (max(xs) - min(xs)) / 2
        if all(abs(math.dist(point, middle) - radius) <= 0.03 for point in points):
            found.append((middle, radius))
    return found


def scale_after(figure: Figure, start: str) -> float:
    """The number after `1 : ` in the line that starts so."""
    return next(float(line.rpartition(" : ")[2]) for line in figure.strings if line.startswith(start))


def shown(figure: Figure, text: str) -> bool:
    """Whether a value's text stands in the figure, whole or parted before its bracket."""
    first, bracket, second = text.partition(" [")
    parted = bool(bracket) and first in figure.strings and f"[{second}" in figure.strings
    return parted or any(text in line for line in figure.strings)


def outside(figure: Figure, box: tuple[float, float]) -> Iterator[str]:
    """What stands beyond the figure's own box, which is as wide as asked for and no taller."""
    root, (width, height) = ElementTree.fromstring(figure.svg), (box[0], figure.height)
    if root.get("viewBox") != f"0 0 {width:g} {height:g}" or height > box[1]:
        yield "the box itself"
    for points, _ in paths(figure):
        if not all(0 <= x <= width and 0 <= y <= height for x, y in points):
            yield f"a path at {points[0]}"
    for text in root.iter(f"{SVG}text"):
        size, x, y = (float(text.get(key) or "nan") for key in ("font-size", "x", "y"))
        wide = text_width(text.text or "", size)
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        if left < -0.01 or left + wide > width + 0.01 or y < 0.76 * size - 0.01 or y > height:
            yield str(text.text)


def faults_of_style(figure: Figure) -> list[str]:
    """What is not black or white, no set line width, smaller than 8 pt, turned, or not in the alternative."""
    faults = sorted(set(re.findall(r"#[0-9a-f]+", figure.svg)) - {"#000", "#fff"})
    faults += sorted(set(re.findall(r'stroke-width="([^"]+)"', figure.svg)) - {"0.7", "0.35", "0.18"})
    faults += [size for size in re.findall(r'font-size="([^"]+)"', figure.svg) if float(size) * 72 / 25.4 < 8]
    faults += ["rotate"] if "rotate" in figure.svg else []
    faults += [] if figure.scale in figure.alt and figure.title in figure.alt else [figure.alt]
    return faults


@cache
def every_pair() -> tuple[tuple[str, Facts], ...]:
    """The values of each pair of each saddle family of the starter, at the DR nearest to 11."""
    catalog, words, found = load(here=ROOT), load_words(), []
    saddles = [each for each in catalog.families.values() if each.type != "coupling"]
    for family, pair in [(each, pair) for each in saddles for pair in each.pairs]:
        (size, system), (lateral, other) = family.ends(pair)
        row = next(row for row in catalog.tables[system].sizes if row.name == size)
        ratio = min(catalog.tables[system].ratios(row), key=lambda each: abs(each - 11.0))
        main, side = (
            catalog.pipe(Designation(name, table, dr, catalog.first_material(part.materials, table), None))
            for name, table, dr, part in (
                (size, system, ratio, family.main), (lateral, other, family.lateral.dr[0], family.lateral),
            )
        )  # fmt: skip
        worked = work_out(Request(catalog, main, side, family))
        if not worked.reasons:
            view = View(catalog, words, worked)
            numbers = view.numbers()
            facts = {name: (numbers.get(name), text) for name, text in view.texts.items()}
            found.append((f"{main.designation}, {side.designation}, {family.id}", facts))
    assert len(found) > 60
    return tuple(found)
