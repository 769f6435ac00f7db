"""What the figures to scale share: the record they hand over, and how one is made to fit its box.

In: register values by name (mm, degrees), their printed texts, words by key, and a function that draws at a
given scale.
Out: a `Figure`. Vocabulary: a *task* is the values, texts and words of one figure together with the paper
length of a real millimetre; a *label* is a word with the value it names. A figure prints the texts it is
given and never makes one from a number, its scale excepted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from packgen.sheets.drawing import Drawing, Line, largest

_SMALL, _LARGE = 2.83, 3.2  # letter height in mm: 8 pt on a card, 9 pt on a page
_CARD_WIDTH = 120.0  # a box narrower than this is a card's
_AIR = 1.0  # mm above and below the drawing
GAP = 1.2  # paper mm between a text and the line it belongs to

MAIN, WALL = "pipe.main.outside_diameter", "pipe.main.wall_max"
BORE, HEIGHT = "fitting.outlet_bore", "fitting.outlet_height"
SADDLE = ("fitting.bore_radius", "fitting.base_angle", "fitting.wall")

Values = Mapping[str, float]
Words = Mapping[str, str]


@dataclass(frozen=True)
class Figure:
    """A figure ready to be set: its SVG, the words that stand for it, its scale, every text drawn in it.

    `bar` tells that it holds a bar of 100 mm, which the print guard measures.
    """

    id: str
    title: str
    svg: str
    alt: str
    scale: str
    strings: tuple[str, ...]
    height: float
    bar: bool = False


@dataclass(frozen=True)
class Task:
    """What a figure is drawn from: values, their texts, words, and the paper length of a real millimetre.

    `within` is the width and the height of the box, mm, for the drawing as a whole.
    """

    values: Values
    text: Words
    words: Words
    unit: float
    within: tuple[float, float] = (math.inf, math.inf)

    def has(self, *names: str) -> bool:
        """Whether each of these values is there, as a number and as a text."""
        return all(name in self.values and name in self.text for name in names)

    def mm(self, name: str) -> float:
        """A real length on paper."""
        return self.values[name] * self.unit

    def lines(self, key: str, name: str, split: bool = False) -> tuple[Line, ...]:
        """A label and its value below it; with `split` the second unit system has a line of its own."""
        shown = self.text[name]
        parts = shown.split(" [") if split else [shown]
        bracketed = (part if place == 0 else f"[{part}" for place, part in enumerate(parts))
        return (Line(self.words[key]), *(Line(part, True) for part in bracketed))

    def row(self, key: str, name: str) -> tuple[Line, ...]:
        """A label and its value on one line."""
        return (Line(f"{self.words[key]} {self.text[name]}", True),)


def letter_of(width: float) -> float:
    """The letter height of a figure by the width of its box, mm: that of a card's labels, or of a page's."""
    return _SMALL if width < _CARD_WIDTH else _LARGE


def make(
    id_: str, draw: Callable[[Task, float], Drawing], shown: Mapping[str, str],
    values: Values, text: Words, words: Words, width: float, height: float,
) -> Figure:  # fmt: skip
    """Choose the scale, add it to the drawing, and put the figure's alternative text together."""
    letter, within = letter_of(width), (width, height)
    drawing, scale = largest(lambda unit: draw(Task(values, text, words, unit, within), letter), *within)
    prefix = id_.split("-")[0]
    facts = "; ".join(
        f"{words[key]} {text[name]}" for key, name in shown.items() if name in values and name in text
    )
    title, ratio = words[f"{prefix}.title"], f"1 : {scale:g}"
    alt = f"{title}. {words[f'{prefix}.alt'].strip()} {facts}. {words['scale']} {ratio}."
    strings = tuple(label.words for label in drawing.labels)
    _, top, _, bottom = drawing.box
    tall = min(height, round(bottom - top + 2 * _AIR, 2))
    return Figure(id_, title, drawing.svg(width, tall), alt, ratio, strings, tall)


def scale_lines(task: Task, *keys: str) -> tuple[Line, ...]:
    """The scale and what is not drawn to it."""
    return (Line(f"{task.words['scale']} 1 : {1 / task.unit:g}"), *(Line(task.words[key]) for key in keys))
