"""A bar that is 100 mm long when a sheet is printed at full size.

In: the words beside it. Out: a `Figure`, or the bar drawn into a figure that is printed at full size.
Vocabulary: the bar is checked with a ruler before the rest is printed. Source: arithmetic; the length is
asserted in the PDF by the tests.
"""

from __future__ import annotations

from packgen.sheets.drawing import Drawing, Line
from packgen.sheets.figure_base import Figure
from packgen.sheets.strokes import Point

LENGTH = 100.0  # mm
_TICK, _LETTER, _WIDE = 4.0, 3.2, 120.0


def draw_bar(drawing: Drawing, start: Point, words: str) -> None:
    """The bar with a mark at every centimetre, from its left end at `start`, its words below its middle."""
    x, y = start
    drawing.line((x, y), (x + LENGTH, y))
    for tenth in range(11):
        at = x + tenth * LENGTH / 10
        drawing.line((at, y), (at, y - (_TICK if tenth % 5 == 0 else _TICK / 2)))
    drawing.block((x + LENGTH / 2, y + 2.0), (Line(words),), "middle", "below")


def scale_bar(title: str, words: str) -> Figure:
    """The bar with its title and words.

    >>> scale_bar("Scale bar", "100 mm at full size").strings
    ('100 mm at full size',)
    """
    drawing = Drawing(_LETTER)
    draw_bar(drawing, (0.0, 0.0), words)
    _, top, _, bottom = drawing.box
    tall = round(bottom - top + 2.0, 2)
    return Figure("scale-bar", title, drawing.svg(_WIDE, tall), words, "1 : 1", (words,), tall, bar=True)
