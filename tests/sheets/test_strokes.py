"""Runs of points: arcs that keep to their circle, hatching that keeps to its face, strokes that move."""

from __future__ import annotations

import doctest
import math
from itertools import pairwise

import pytest

from packgen.sheets import strokes as module
from packgen.sheets.drawing import Drawing, TooLarge
from packgen.sheets.strokes import Hatch, Stroke, arc, hatch_lines, ring


def test_worked_examples_run() -> None:
    """The examples in the docstrings are true, and there are some."""
    failed, tried = doctest.testmod(module)
    assert tried >= 3
    assert failed == 0


def test_arc_keeps_to_its_circle() -> None:
    """Points lie on the circle, chords leave it by at most 0.005 mm, ends are where they were asked for."""
    points = arc((1.0, 2.0), 30.0, -40.0, 75.0)
    assert points[0] == pytest.approx(
        (1 - 30 * math.sin(math.radians(40)), 2 - 30 * math.cos(math.radians(40)))
    )
    assert points[-1] == pytest.approx(
        (1 + 30 * math.sin(math.radians(75)), 2 - 30 * math.cos(math.radians(75)))
    )
    for a, b in pairwise(points):
        assert math.hypot(a[0] - 1, a[1] - 2) == pytest.approx(30.0)
        assert math.hypot((a[0] + b[0]) / 2 - 1, (a[1] + b[1]) / 2 - 2) >= 30.0 - 0.005 - 1e-9


@pytest.mark.parametrize("slope", [1, -1])
def test_hatching_stands_at_45_degrees_and_ends_on_the_outline(slope: int) -> None:
    """Lines of a ring segment run at 45°, a step apart, with both ends on the outline."""
    outer, inner = arc((0.0, 0.0), 30.0, -50.0, 50.0), arc((0.0, 0.0), 20.0, 50.0, -50.0)
    lines = hatch_lines((*outer, *inner), slope, 2.0)
    assert len(lines) >= 15
    for (x1, y1), (x2, y2) in lines:
        assert (y2 - y1) == pytest.approx(-slope * (x2 - x1), abs=1e-9)
        middle = math.hypot((x1 + x2) / 2, (y1 + y2) / 2)
        assert 20.0 - 0.01 <= middle <= 30.0 + 0.01
        for x, y in ((x1, y1), (x2, y2)):
            away = math.hypot(x, y)
            on_side = abs(math.degrees(math.atan2(abs(x), -y)) - 50.0) < 0.01
            assert on_side or min(abs(away - 20.0), abs(away - 30.0)) < 0.01
    rows = sorted({round((x + slope * y) / math.sqrt(2), 3) for (x, y), _ in lines})
    assert all(b - a == pytest.approx(2.0, abs=0.002) for a, b in pairwise(rows))


def test_a_cut_ring_is_hatched_in_its_wall_alone() -> None:
    """No piece of the hatching of a ring enters its bore, and together they fill its area."""
    pieces = hatch_lines(ring((0.0, 0.0), 10.0, 6.0), 1, 0.5)
    middles = [math.hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pieces]
    assert min(middles) >= 6.0 - 0.01
    area = 0.5 * sum(math.dist(a, b) for a, b in pieces)
    assert area == pytest.approx(math.pi * (100.0 - 36.0), rel=0.02)


def test_a_face_that_is_moved_keeps_its_hatching() -> None:
    """The lines of a moved face are those of the face before, moved: the parts of one body still match."""
    face = ((0.0, 0.0), (10.3, 0.0), (10.3, 7.7), (0.0, 7.7))
    moved = Hatch(face, 0.18, slope=-1).moved(3.21, -4.56).moved(1.0, 1.0)
    there = [(x + 4.21, y - 3.56) for line in hatch_lines(face, -1) for x, y in line]
    found = [point for piece in moved.pieces for point in piece]
    assert len(found) > 10
    for (x, y), (u, v) in zip(found, there, strict=True):
        assert (x, y) == pytest.approx((u, v))


def test_a_moved_stroke_has_the_box_of_its_points() -> None:
    """The box that moves with a stroke is the one its points give."""
    stroke = Stroke(((0.0, 1.0), (4.0, 9.0), (2.0, 3.0)), 0.7)
    there = stroke.moved(0.1, -0.3)
    assert there.box == pytest.approx(Stroke(there.points, 0.7).box)
    assert there.box == pytest.approx((-0.25, 0.35, 4.45, 9.05))


def test_a_drawing_that_outgrows_its_box_is_stopped() -> None:
    """What fits is taken, and the first stroke that reaches beyond the width or the height raises."""
    drawing = Drawing(3.0, (10.0, 5.0))
    drawing.line((0.0, 0.0), (9.0, 0.0))
    for wider in ((9.8, 0.0), (0.0, 4.8)):
        with pytest.raises(TooLarge):
            drawing.line((0.0, 0.0), wider)
