"""What no weather, test, bend, day or kit can have is refused, and the refusal says what is wrong."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from packgen.calc import bend, kit, ladder, leak_test, weather
from packgen.calc.bend import BendRow
from packgen.calc.day_plan import JointTimes, Means, Plan, bottleneck, capacity, day_plan
from packgen.errors import OutOfRange

TABLE = [BendRow(7.0, 9.0, 20.0), BendRow(11.0, 13.5, 25.0)]
JOINT = JointTimes(2700.0, 90.0, 900.0, 1800.0, 2400.0)
ONE = Means(1, 1, 1)

# One sound call of each function, and the places whose number may not fall below zero.
SOUND: list[tuple[Callable[..., Any], tuple[Any, ...], tuple[int, ...]]] = [
    (weather.dew_point, (20.0, 50.0), (1,)),
    (weather.settling_point, (20.0, 50.0), (1,)),
    (weather.dew_margin, (12.0, 9.3), ()),
    (weather.least_pipe_temperature, (20.0, 50.0, 3.0), (1, 2)),
    (leak_test.gas_pressure_min, (400.0, 1.5, 345.0), (0, 1, 2)),
    (leak_test.gas_pressure_max, (700.0, 2.5), (0, 1)),
    (leak_test.gas_temperature_max, (37.8, 60.0), ()),
    (leak_test.fill_volume, (48.7, 10_000.0), (0, 1)),
    (leak_test.makeup_volume, (18.6, 1.0), (0, 1)),
    (leak_test.end_force, (1034.0, 60.3), (0, 1)),
    (bend.radius_min, (219.0, 25.0), (0, 1)),
    (bend.radius_min_at_fitting, (219.0, 25.0, 100.0), (0, 1, 2)),
    (bend.length_at_fitting, (60.3, 5.0), (0, 1)),
    (bend.contraction, (30_000.0, 0.00015, 10.0), (0, 1)),
    (ladder.clamps_off, (900.0,), (0,)),
    (ladder.leak_test_start, (1200.0, 2100.0), (0, 1)),
    (ladder.leak_test_end, (2100.0, 300.0), (0, 1)),
    (ladder.tap, (1800.0, 1200.0, 1500.0), (0, 1, 2)),
    (ladder.working_pressure, (1200.0, 2700.0, 4800.0), (0, 1, 2)),
    (ladder.backfill, (900.0, 4800.0, 600.0), (0, 1, 2)),
    (kit.wipes, (6, 3, 50.0), (0, 1, 2)),
    (kit.blades, (7, 3, 1), (0, 1, 2)),
]
SPOILT = [
    (function, numbers, place, wrong)
    for function, numbers, never_below in SOUND
    for place in range(len(numbers))
    for wrong in ((-1.0, math.nan, math.inf) if place in never_below else (math.nan, math.inf))
]


@pytest.mark.parametrize(
    ("function", "numbers", "place", "wrong"),
    SPOILT,
    ids=[f"{f.__name__}-{list(inspect.signature(f).parameters)[i]}-{wrong}" for f, _, i, wrong in SPOILT],
)
def test_a_number_that_cannot_be_is_refused(
    function: Callable[..., Any], numbers: tuple[Any, ...], place: int, wrong: float
) -> None:
    """Not a number and infinite are refused everywhere, below zero wherever nothing is counted from zero."""
    function(*numbers)
    with pytest.raises(OutOfRange) as refusal:
        function(*numbers[:place], wrong, *numbers[place + 1 :])
    assert refusal.value.problems[0].place.key != ""


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: weather.dew_point(60.1, 50.0), "air of 60.1 degC is outside the formula"),
        (lambda: weather.dew_point(20.0, 0.0), "humidity is 0.0 percent"),
        (lambda: weather.dew_point(20.0, 100.1), "humidity is 100.1 percent"),
        (lambda: weather.least_pipe_temperature(20.0, 50.0, -0.1), "margin is -0.1 K"),
        (lambda: weather.window_overlap([]), "there is no window to overlap"),
        (lambda: weather.window_overlap([(5.0, 4.0)]), "coldest 5 is more than hottest 4"),
        (lambda: weather.window_overlap([(math.nan, 4.0)]), "coldest is nan degC"),
        (lambda: leak_test.gas_pressure_min(400.0, 0.99, 345.0), "a multiple of 0.99 tests below"),
        (lambda: leak_test.water_pressure_max([], 1.5), "no part is named"),
        (lambda: leak_test.water_pressure_max([700.0, 0.0], 1.5), "design pressure is 0.0"),
        (lambda: leak_test.makeup_volume(1.0, 100.0), "allowance percent is 100.0"),
        (lambda: bend.bend_factor(2.0, TABLE), "a dimension ratio of 2 leaves no bore"),
        (lambda: bend.bend_factor(11.0, []), "the table of bend factors has no row"),
        (lambda: bend.bend_factor(11.0, [BendRow(9.0, 7.0, 20.0)]), "ratio from 9 is more than ratio to 7"),
        (lambda: bend.bend_factor(11.0, [BendRow(9.0, 11.0, 0.0)]), "factor is 0.0"),
        (lambda: kit.solvent([100.0, 0.0], 2.0, 0.0), "area is 0.0"),
        (lambda: kit.solvent([100.0], 0.0, 0.0), "litres per square metre is 0.0"),
        (lambda: kit.wipes(6, 0, 0.0), "each surface is 0"),
        (lambda: kit.blades(6, 0, 0), "peels per blade is 0"),
        (lambda: kit.fittings(["2 on 6"], -1), "spare is -1"),
        (lambda: kit.hole_saws(["46 mm"], 0), "cuts per saw is 0"),
        (lambda: day_plan([JOINT], Means(0, 1, 1)), "people is 0"),
        (lambda: day_plan([JOINT], Means(1, 0, 1)), "control units is 0"),
        (lambda: day_plan([JOINT], Means(1, 1, 0)), "clamp sets is 0"),
        (lambda: day_plan([replace(JOINT, fusion=0.0)], ONE), "fusion is 0.0"),
        (lambda: day_plan([replace(JOINT, prepare=math.inf)], ONE), "prepare is inf"),
        (lambda: day_plan([replace(JOINT, wait=600.0)], ONE), "clamp time 900 is more than wait 600"),
        (lambda: day_plan([replace(JOINT, after=0)], ONE), "joint 1 comes after one that does not stand"),
        (lambda: bottleneck([JOINT, replace(JOINT, after=1)], ONE), "joint 2 comes after one"),
        (lambda: day_plan([replace(JOINT, within=1), JOINT], ONE), "joint 1 comes within one that does not"),
        (lambda: day_plan([JOINT, replace(JOINT, after=0, within=0)], ONE), "joint 2 comes both after a"),
        (lambda: capacity(replace(JOINT, within=0), ONE, 9.0), "joints alike cannot come after one another"),
        (lambda: capacity(replace(JOINT, after=0), ONE, 9.0), "joints alike cannot come after one another"),
        (lambda: capacity(JOINT, ONE, math.inf), "day is inf"),
    ],
)
def test_numbers_that_do_not_go_together_are_refused_in_a_sentence(
    call: Callable[[], Any], sentence: str
) -> None:
    """The refusal names the number, so that a reader sees which of them is wrong."""
    with pytest.raises(OutOfRange) as refusal:
        call()
    assert sentence in str(refusal.value)


def test_a_day_without_joints_is_over_at_once() -> None:
    """No joint is an answer and no error, and nothing more would help."""
    assert day_plan([], ONE) == Plan((), 0.0)
    assert bottleneck([], ONE) is None
