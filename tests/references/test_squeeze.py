"""Squeeze-off distances, stops and times against ASTM F1041 (figures from memory) worked by hand.

In: values as text, so that trailing zeros count.
Out: a failure that shows the printed and the worked value.
"""

from __future__ import annotations

import pytest

from packgen.calc import squeeze

MM = 25.4


def prints_as(value: float, printed: str) -> bool:
    """Whether a value, rounded to as many places as the source prints, reads as the source does."""
    places = len(printed.partition(".")[2])
    return f"{value:.{places}f}" == printed


# ASTM F1041, 30 % compression of the two walls: 1.4 t (from memory), ASTM F714 walls, in.
@pytest.mark.parametrize(("wall", "printed"), [(0.216, "0.302"), (0.409, "0.573"), (0.784, "1.098")])
def test_the_stop_at_thirty_percent_is_1_4_walls(wall: float, printed: str) -> None:
    """Two walls pressed by thirty percent are 1.4 walls thick."""
    assert prints_as(squeeze.gap_stop(wall * MM, 30.0) / MM, printed)


# ASTM F1041: three diameters or 12 in, the greater (from memory), in.
@pytest.mark.parametrize(
    ("diameter", "printed"), [(2.375, "12.000"), (4.500, "13.500"), (6.625, "19.875"), (8.625, "25.875")]
)
def test_the_distance_is_three_diameters_or_twelve_inches(diameter: float, printed: str) -> None:
    """The greater of the two holds."""
    assert prints_as(squeeze.distance_min(diameter * MM, 3.0, 12.0 * MM) / MM, printed)


# ASTM F1041: at most 2 in/min to close, 0.5 in/min to release (from memory); 4 in DR 11 to 0.573 in, 8 in DR
# 11 to 1.098 in, s, worked by hand.
@pytest.mark.parametrize(
    ("diameter", "gap", "rate", "printed"),
    [
        (4.500, 0.573, 2.0, "118"),
        (4.500, 0.573, 0.5, "471"),
        (8.625, 1.098, 2.0, "226"),
        (8.625, 1.098, 0.5, "903"),
    ],
)
def test_closing_and_releasing_take_their_time(
    diameter: float, gap: float, rate: float, printed: str
) -> None:
    """The bars' way over the fastest permitted rate is the least time."""
    assert prints_as(squeeze.closing_time(diameter * MM, gap * MM, rate * MM), printed)
