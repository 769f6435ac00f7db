"""Sketches to draw in: the fusion zone of a saddle or of a coupling, laid flat.

In: words by key, a width in mm. Out: a `Figure`. Vocabulary: *unrolled* is what stands round the pipe, laid
flat as it is seen from the pipe's side; letters mark where specimens are taken. Not to scale: it is a form.
"""

from __future__ import annotations

from packgen.sheets.drawing import MIDDLE, THICK, THIN, Drawing, Line
from packgen.sheets.figure_base import Figure, Words

_LETTER = 3.2
_STEP = 10.0  # between the thin lines of the grid, mm
_HOURS = ("12", "3", "6", "9", "12")
_PLACES = ("A", "B", "C", "D")


def unrolled_saddle(words: Words, width: float) -> Figure:
    """A saddle's zone: up-station at the top, the outlet's hole in the middle, four places for specimens."""
    drawing = Drawing(_LETTER)
    half, tall, hole = 60.0, 40.0, 14.0
    _grid(drawing, -half, half, -tall, tall)
    drawing.circle((0.0, 0.0), hole, THICK, "#fff")
    for start, end in (((0.0, -tall - 3), (0.0, -hole)), ((0.0, hole), (0.0, tall + 3))):
        drawing.centre_line(start, end)
    for start, end in (((-half - 3, 0.0), (-hole, 0.0)), ((hole, 0.0), (half + 3, 0.0))):
        drawing.centre_line(start, end)
    drawing.block((0.0, -tall - 4), (Line(words["up"]),), "middle", "above")
    drawing.block((0.0, tall + 4), (Line(words["down"]),), "middle", "below")
    for place, at in zip(_PLACES, ((5.0, -25.0), (35.0, -5.0), (5.0, 25.0), (-35.0, -5.0)), strict=True):
        _place(drawing, place, at)
    return _figure(drawing, "unrolled-saddle", words, "alt_saddle", width)


def unrolled_coupling(words: Words, width: float) -> Figure:
    """A coupling's two zones, each from twelve o'clock round to twelve, with places for specimens."""
    drawing = Drawing(_LETTER)
    half, tall, apart = 80.0, 30.0, 8.0
    for top, key in ((0.0, "first"), (tall + apart, "second")):
        _grid(drawing, -half, half, top, top + tall)
        drawing.block((-half, top - 1.5), (Line(words[key]),), "start", "above")
    for hour, x in zip(_HOURS, (-half, -half / 2, 0.0, half / 2, half), strict=True):
        drawing.block((x, 2 * tall + apart + 2.5), (Line(hour),), "middle", "below")
    for place, x in zip(_PLACES, (-half, -half / 2, 0.0, half / 2), strict=True):
        for top in (0.0, tall + apart):
            _place(drawing, place, (x + 5.0, top + tall / 2))
    return _figure(drawing, "unrolled-coupling", words, "alt_coupling", width)


def _grid(drawing: Drawing, left: float, right: float, top: float, bottom: float) -> None:
    """A frame with thin lines in it, to draw by."""
    drawing.shape(((left, top), (right, top), (right, bottom), (left, bottom)), MIDDLE)
    for at in range(1, round((right - left) / _STEP)):
        drawing.line((left + at * _STEP, top), (left + at * _STEP, bottom), width=THIN)
    for at in range(1, round((bottom - top) / _STEP)):
        drawing.line((left, top + at * _STEP), (right, top + at * _STEP), width=THIN)


def _place(drawing: Drawing, letter: str, at: tuple[float, float]) -> None:
    """A letter in a white ring, so that no line of the grid runs through it."""
    drawing.circle(at, 3.2, MIDDLE, "#fff")
    drawing.block(at, (Line(letter, True),), "middle")


def _figure(drawing: Drawing, id_: str, words: Words, alt: str, width: float) -> Figure:
    """The sketch as a figure of a page's width."""
    _, top, _, bottom = drawing.box
    tall = round(bottom - top + 2.0, 2)
    strings = tuple(label.words for label in drawing.labels)
    return Figure(id_, words["title"], drawing.svg(width, tall), words[alt].strip(), "", strings, tall)
