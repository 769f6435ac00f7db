"""The scale bar: 100 mm between its end marks."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from packgen.sheets.scale_bar import LENGTH, scale_bar

LINE = re.compile(r"M(-?[\d.]+)[ ,](-?[\d.]+) ?L(-?[\d.]+)[ ,](-?[\d.]+)")


def strokes() -> list[tuple[float, float, float, float]]:
    """Every straight line of the drawing, x1, y1, x2, y2 in mm."""
    svg = scale_bar("Scale bar", "100 mm at full size").svg
    found = [tuple(float(number) for number in match) for match in LINE.findall(svg)]
    assert found, svg
    return [(a, b, c, d) for a, b, c, d in found]


def test_the_bar_is_as_long_as_it_says() -> None:
    """One user unit of the drawing is one mm, and the longest line is 100 of them."""
    svg = scale_bar("Scale bar", "100 mm at full size").svg
    size = re.search(
        r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="(-?[\d.]+) (-?[\d.]+) ([\d.]+) ([\d.]+)"', svg
    )
    assert size is not None, svg[:200]
    assert (size[1], size[2]) == (size[5], size[6])
    assert max(abs(x2 - x1) for x1, _, x2, _ in strokes()) == pytest.approx(LENGTH) == 100.0


def test_a_mark_stands_at_every_centimetre_and_at_both_ends() -> None:
    """Eleven marks, 10 mm apart."""
    marks = sorted(x1 for x1, _, x2, _ in strokes() if x1 == x2)
    assert len(marks) == 11
    assert all(b - a == pytest.approx(10.0) for a, b in pairwise(marks))


def test_the_bar_carries_its_words() -> None:
    figure = scale_bar("Scale bar", "100 mm at full size")
    assert (figure.title, figure.strings, figure.scale) == ("Scale bar", ("100 mm at full size",), "1 : 1")
