"""What no pipe, fitting or tool can have is refused, and the refusal says what is wrong."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from typing import Any

import pytest

from packgen.calc import coupon, fuse, gap, peel, pipe, place, rating, squeeze, tap
from packgen.errors import OutOfRange

# One sound call of each function; the tests below spoil one number of it at a time.
SOUND: list[tuple[Callable[..., Any], tuple[Any, ...]]] = [
    (pipe.inch_wall_min, (114.3, 11.0)),
    (pipe.inch_wall_max, (10.3886,)),
    (pipe.inch_inside_diameter_mean, (114.3, 10.3886)),
    (pipe.outside_diameter_band, (114.3, 0.5)),
    (pipe.girth, (114.3,)),
    (pipe.out_of_round_max, (114.3, 1.5)),
    (rating.water_pressure_rating, (6894.757, 11.0, 1.0)),
    (rating.strength_pressure_rating, (10000.0, 1.25, 11.0)),
    (rating.gas_pressure_rating, (11031.6, 0.32, 11.0, 861.8)),
    (peel.wall_loss_percent, (0.3048, 10.3886)),
    (peel.diameter_after_one_pass, (114.3, 0.3048, "footprint")),
    (peel.passes_max, (1, 10.0, 10.3886, 0.3048, 114.3, 113.0)),
    (peel.diameter_to_start, (113.0, 0.3048)),
    (peel.zone_length, (160.0, 10.0)),
    (peel.zone_arc, (57.0, 60.0, 10.0, 114.8)),
    (peel.zone_area, (180.0, 139.0)),
    (gap.free_gap, (57.0, 60.0, 57.1754)),
    (gap.free_gap_max, (57.0, 60.0, 113.792, 114.808, 0.2286, 0.3048)),
    (fuse.current, (40.0, 3.6)),
    (fuse.power, (40.0, 3.6)),
    (fuse.energy, (40.0, 80.0, 3.6)),
    (fuse.energy_band, (40.0, 80.0, 3.6, 10.0, 1.5)),
    (tap.clearance, (48.26, 44.45)),
    (tap.edge_drop, (57.15, 22.225)),
    (tap.travel_to_breakthrough, (114.3, 11.635, 44.45)),
    (tap.travel_set, (113.792, 11.635, 44.45, 0.8, 3.0)),
    (tap.travel_limit, (113.792, 11.635, 44.45, 12.7, 6.0)),
    (tap.depth_mark, (80.0, 21.0)),
    (tap.flow_area_percent, (44.45, 48.69)),
    (coupon.crossing_volume, (57.15, 20.5)),
    (coupon.coupon_volume, (114.3, 10.3886, 41.0, 6.35)),
    (coupon.coupon_mass, (13700.0, 950.0)),
    (squeeze.distance_min, (114.3, 3.0, 304.8)),
    (squeeze.gap_stop, (10.3886, 30.0)),
    (squeeze.closing_time, (114.3, 14.5, 50.8)),
    (place.arc_from_top, (90.0, 114.3)),
]
SPOILT = [
    (function, numbers, index, wrong)
    for function, numbers in SOUND
    for index, number in enumerate(numbers)
    if not isinstance(number, str)
    for wrong in (-1.0, math.nan, math.inf)
]


@pytest.mark.parametrize(
    ("function", "numbers", "index", "wrong"),
    SPOILT,
    ids=[f"{f.__name__}-{list(inspect.signature(f).parameters)[i]}-{wrong}" for f, _, i, wrong in SPOILT],
)
def test_a_number_that_cannot_be_is_refused(
    function: Callable[..., Any], numbers: tuple[Any, ...], index: int, wrong: float
) -> None:
    """Below zero, not a number and infinite are refused in every place of every function."""
    function(*numbers)
    spoilt = (*numbers[:index], wrong, *numbers[index + 1 :])
    with pytest.raises(OutOfRange) as refusal:
        function(*spoilt)
    assert refusal.value.problems[0].place.key != ""


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: pipe.inch_wall_min(114.3, 2.0), "a dimension ratio of 2 leaves no bore"),
        (
            lambda: pipe.inch_inside_diameter_mean(20.0, 10.0),
            "a wall of 10 mm leaves no bore in a pipe of 20 mm",
        ),
        (lambda: pipe.outside_diameter_band(20.0, 20.0), "a tolerance of 20 mm leaves nothing of 20 mm"),
        (lambda: pipe.out_of_round_max(114.3, 100.0), "ovality percent is 100.0"),
        (lambda: rating.water_pressure_rating(6894.757, 11.0, 1.1), "a factor of 1.1 raises the rating"),
        (lambda: rating.strength_pressure_rating(1e4, 0.8, 11.0), "a coefficient of 0.8 adds no safety"),
        (lambda: rating.gas_pressure_rating(11031.6, 3.2, 11.0, 861.8), "a factor of 3.2 raises the rating"),
        (lambda: peel.wall_loss_percent(6.0, 6.0), "a pass of 6 mm goes through a wall of 6 mm"),
        (lambda: peel.diameter_after_one_pass(20.0, 0.3, "half"), "the peeled zone is 'half'"),
        (
            lambda: peel.diameter_after_one_pass(20.0, 10.0, "whole circumference"),
            "a pass of 10 mm leaves nothing of 20 mm",
        ),
        (
            lambda: peel.passes_max(1, 10.0, 10.0, 0.3, None, 113.0),
            "a smallest diameter is stated but no diameter to begin with",
        ),
        (
            lambda: peel.zone_arc(57.0, 181.0, 0.0, 114.0),
            "a half-angle of 181 degrees goes beyond once round",
        ),
        (lambda: gap.free_gap(57.0, 91.0, 57.0), "a half-angle of 91 degrees cannot be seated"),
        (
            lambda: gap.free_gap_max(57.0, 60.0, 115.0, 114.0, 0.2, 0.3),
            "outside diameter min 115 is more than outside diameter max 114",
        ),
        (
            lambda: gap.free_gap_max(57.0, 60.0, 113.0, 114.0, 0.3, 0.2),
            "depth min 0.3 is more than depth max 0.2",
        ),
        (
            lambda: gap.free_gap_max(57.0, 60.0, 20.0, 30.0, 0.2, 10.0),
            "a peel of 10 mm leaves nothing of 20 mm",
        ),
        (lambda: fuse.energy_band(40.0, 80.0, 3.6, 100.0, 0.0), "coil tolerance percent is 100.0"),
        (
            lambda: tap.clearance(40.0, 41.0),
            "a saw of 41 mm does not enter a bore of 40 mm; use a smaller saw",
        ),
        (lambda: tap.edge_drop(20.0, 20.0), "a hole of 40 mm is as wide as the main, 40 mm there"),
        (
            lambda: tap.travel_to_breakthrough(60.0, 5.0, 50.0),
            "a hole of 50 mm is as wide as the main, 50 mm there",
        ),
        (
            lambda: tap.travel_to_breakthrough(60.0, 30.0, 5.0),
            "a wall of 30 mm leaves no bore in a main of 60 mm",
        ),
        (lambda: tap.travel_set(60.0, 5.0, 49.0, 1.0, 0.0), "a hole of 50 mm is as wide as the main"),
        (lambda: tap.travel_limit(60.0, 5.0, 50.0, 0.0, 0.0), "a hole of 50 mm is as wide as the main"),
        (lambda: tap.largest_saw([0.0], 48.26, 1.5, 92.0, 60.0), "sizes is 0.0"),
        (lambda: tap.largest_saw([44.45], 48.26, 1.5, 92.0, 100.0), "share percent is 100.0"),
        (lambda: coupon.crossing_volume(20.0, 21.0), "a hole of radius 21 mm is wider than one of 20 mm"),
        (lambda: coupon.coupon_volume(60.0, 5.0, 50.0, 0.0), "a hole of 50 mm is as wide as the main"),
        (lambda: coupon.coupon_volume(60.0, 5.0, 20.0, 20.0), "a pilot of 20 mm leaves no coupon"),
        (lambda: squeeze.gap_stop(10.0, 100.0), "compression percent is 100.0"),
        (lambda: squeeze.closing_time(60.0, 60.0, 50.0), "a gap of 60 mm does not squeeze a pipe of 60 mm"),
        (lambda: place.arc_from_top(361.0, 114.3), "the clock angle is 361.0 degrees"),
    ],
)
def test_numbers_that_do_not_go_together_are_refused_in_a_sentence(
    call: Callable[[], Any], sentence: str
) -> None:
    """The refusal names the numbers, so that a reader sees which of them is wrong."""
    with pytest.raises(OutOfRange) as refusal:
        call()
    assert sentence in str(refusal.value)


def test_all_wrong_numbers_of_a_call_are_named_at_once() -> None:
    """Two wrong numbers give two problems, each under its own name."""
    with pytest.raises(OutOfRange) as refusal:
        peel.wall_loss_percent(-1.0, 0.0)
    assert [problem.place.key for problem in refusal.value.problems] == ["depth_max", "wall_min"]


def test_no_listed_saw_that_fits_is_an_answer_and_no_error() -> None:
    """A bore too narrow for every listed saw gives None, which refuses the pack with its own reason."""
    assert tap.largest_saw([44.45, 50.8], 40.0, 1.5875, 92.28, 60.0) is None
    assert tap.largest_saw([], 40.0, 1.5875, 92.28, 60.0) is None


def test_no_pass_at_all_is_an_answer_and_no_error() -> None:
    """A wall or a main that cannot spare one pass gives 0, which refuses the pack with its own reason."""
    assert peel.passes_max(1, 10.0, 2.9, 0.3) == 0
    assert peel.passes_max(1, 10.0, 10.0, 0.3, 113.0, 113.2) == 0
    assert peel.passes_max(0, 10.0, 10.0, 0.3) == 0


def test_a_pilot_drill_too_long_for_the_main_leaves_no_travel() -> None:
    """The limit falls below zero, and every travel is beyond it."""
    assert tap.travel_limit(60.0, 5.0, 20.0, 60.0, 0.0) < 0.0
