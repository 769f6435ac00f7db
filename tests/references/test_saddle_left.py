"""The saddle left beside the hole, against arithmetic done by hand.

Sources: arithmetic. 2 in on 3 in with a curve of 44.3 mm over 70 degrees to each side and a hole of 1-3/4 in:
44.3 × 1.2217 − 44.45 / 2 = 31.9 mm.
"""

from __future__ import annotations

import pytest

from packgen.calc import saddle
from packgen.errors import OutOfRange


@pytest.mark.parametrize(
    ("radius", "half_angle", "hole", "left"),
    [
        (44.3, 70.0, 44.45, 31.9),
        (57.0, 60.0, 44.45, 37.5),  # 57.0 × 1.0472 = 59.69
        (109.4, 60.0, 85.725, 71.7),  # 109.4 × 1.0472 = 114.56
        (30.0, 30.0, 44.45, -6.5),  # 30.0 × 0.5236 = 15.71: the hole is wider than the saddle
    ],
)
def test_left_round_the_main(radius: float, half_angle: float, hole: float, left: float) -> None:
    assert saddle.left_around(radius, half_angle, hole) == pytest.approx(left, abs=0.05)


def test_left_along_the_main() -> None:
    """160 / 2 − 44.45 / 2 = 57.775 mm; a base as long as the hole leaves nothing."""
    assert saddle.left_along(160.0, 44.45) == pytest.approx(57.775)
    assert saddle.left_along(44.45, 44.45) == 0.0


@pytest.mark.parametrize("wrong", [0.0, -1.0, float("nan"), float("inf")])
def test_figures_no_saddle_can_have_are_refused(wrong: float) -> None:
    for numbers in ((wrong, 70.0, 44.45), (44.3, wrong, 44.45), (44.3, 70.0, wrong)):
        with pytest.raises(OutOfRange):
            saddle.left_around(*numbers)
    for pair in ((wrong, 44.45), (160.0, wrong)):
        with pytest.raises(OutOfRange):
            saddle.left_along(*pair)
    with pytest.raises(OutOfRange, match="at most 180"):
        saddle.left_around(44.3, 180.1, 44.45)
