"""Texts kept apart, free spots and windows: laws that hold for any drawing.

In: levels and drawings made at random, always the same ones.
Out: a failure that names the case.
"""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest

from packgen.sheets.drawing import Drawing, Line
from packgen.sheets.drawing_marks import free_corner, free_spot, spread, within
from packgen.sheets.strokes import Stroke

WINDOW = (-10.0, -5.0, 12.0, 8.0)


def test_texts_are_kept_apart_in_their_order_within_their_bounds() -> None:
    """Never closer than the gap, never beyond the bounds where all of them have room."""
    chance = random.Random(7)
    for _ in range(200):
        count = chance.randint(1, 8)
        heights = [chance.uniform(2.0, 9.0) for _ in range(count)]
        wanted = sorted(chance.uniform(-60.0, 60.0) for _ in range(count))
        room = sum(heights) + count * 1.0
        levels = spread(wanted, heights, 1.0, -room / 2 - 3.0, room / 2 + 3.0)
        for (above, tall), (below, next_tall) in pairwise(zip(levels, heights, strict=True)):
            assert below - above >= (tall + next_tall) / 2 + 1.0 - 1e-9
        assert levels[0] - heights[0] / 2 >= -room / 2 - 3.0 - 1e-9
        assert levels[-1] + heights[-1] / 2 <= room / 2 + 3.0 + 1e-9


def test_texts_with_room_stand_where_they_are_wanted() -> None:
    """Nothing moves that need not move; nothing at all gives nothing."""
    assert spread([-20.0, 0.0, 15.0], [4.0, 4.0, 4.0], 1.0, -50.0, 50.0) == pytest.approx((-20.0, 0.0, 15.0))
    assert spread([], [], 1.0, 0.0, 1.0) == ()


def test_two_that_want_one_level_share_what_they_give() -> None:
    """Each is moved by half."""
    assert spread([10.0, 10.0], [4.0, 4.0], 2.0, -50.0, 50.0) == pytest.approx((7.0, 13.0))


def test_a_free_spot_meets_nothing_and_is_the_first_from_the_top() -> None:
    """A line across the area pushes the text below it; an area that is too small has no spot."""
    drawing = Drawing(3.0)
    drawing.line((0.0, 2.0), (60.0, 2.0))
    lines = (Line("Text"),)
    spot = free_spot(drawing, lines, (0.0, 0.0, 60.0, 40.0), 0.5)
    assert spot is not None and spot[1] > 2.0 and spot[0] == pytest.approx(0.5)
    drawing.block(spot, lines, "start", "below")
    assert drawing.clashes() == ()
    assert free_spot(drawing, lines, (0.0, 0.0, 60.0, 2.0), 0.5) is None
    assert free_corner(drawing, 61.0, 1.0, (0.0, 0.0, 60.0, 40.0), 0.0) is None


def test_what_lies_in_a_window_is_what_was_drawn_there() -> None:
    """Every run lies inside, and the runs are as long as what samples of the stroke find inside."""
    chance = random.Random(11)
    for _ in range(100):
        points = tuple((chance.uniform(-30, 30), chance.uniform(-30, 30)) for _ in range(9))
        stroke = Stroke(points, 0.35, closed=chance.random() < 0.5)
        runs = list(within(stroke, WINDOW))
        for x, y in (point for run in runs for point in run.points):
            assert WINDOW[0] - 1e-9 <= x <= WINDOW[2] + 1e-9 and WINDOW[1] - 1e-9 <= y <= WINDOW[3] + 1e-9
        sampled = 0.0
        for a, b in stroke.pieces:
            steps = 400
            for step in range(steps):
                t = (step + 0.5) / steps
                x, y = a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])
                inside = WINDOW[0] <= x <= WINDOW[2] and WINDOW[1] <= y <= WINDOW[3]
                sampled += math.dist(a, b) / steps if inside else 0.0
        length = sum(math.dist(a, b) for run in runs for a, b in pairwise(run.points))
        assert length == pytest.approx(sampled, abs=1.0)


def test_a_stroke_wholly_inside_comes_back_whole() -> None:
    """Its points are unchanged, closed strokes end where they began, and the dashes stay."""
    square = Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)), 0.18, True, dash="2 1")
    (run,) = within(square, WINDOW)
    assert run.points == (*square.points, square.points[0])
    assert (run.width, run.dash, run.closed) == (0.18, "2 1", False)
    assert list(within(square, (20.0, 20.0, 30.0, 30.0))) == []
