"""Numbers as printed: safe directions, both systems, stated quantities digit for digit."""

from __future__ import annotations

import doctest
import math

import pytest

from packgen import rounding
from packgen.errors import OutOfRange
from packgen.register import REGISTER, Direction
from packgen.rounding import Units, decimal_text, plain, system_of, text
from packgen.units import UNITS, quantity


@pytest.mark.parametrize(
    ("number", "decimals", "direction", "printed"),
    [
        (0.6864, 2, "up", "0.69"),
        (0.6864, 2, "down", "0.68"),
        (0.6850, 2, "nearest", "0.69"),
        (0.63, 2, "up", "0.63"),
        (0.1 + 0.2, 1, "up", "0.3"),  # 0.30000000000000004 does not climb
        (0.7 * 3, 1, "down", "2.1"),  # 2.0999999999999996 does not fall
        (-10.5, 0, "up", "−10"),
        (-10.5, 0, "down", "−11"),
        (-0.2, 0, "up", "0"),
        (1234567.0, 0, "nearest", "1,234,567"),
    ],
)
def test_a_number_rounds_the_safe_way(
    number: float, decimals: int, direction: Direction, printed: str
) -> None:
    """Up never prints less, down never prints more, and float noise moves neither."""
    assert decimal_text(number, decimals, direction) == printed


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, 1e9, -1e300])
def test_a_number_that_cannot_be_printed_is_refused(number: float) -> None:
    """No digits are made up for what is not finite or far too large."""
    with pytest.raises(OutOfRange, match="cannot be printed"):
        decimal_text(number, 2, "nearest")


@pytest.mark.parametrize(
    ("units", "printed"),
    [("both", "0.33 mm [0.0129 in]"), ("us", "0.33 mm [0.0129 in]"), ("si", "0.33 mm")],
)
def test_a_stated_quantity_leads_in_its_own_unit_under_every_choice(units: Units, printed: str) -> None:
    """The feeler of 0.33 mm keeps its digits; the inches behind it round down, for it must not enter."""
    entry = REGISTER["gap.feeler"]
    assert text(0.33, entry, stated=quantity("0.33 mm"), units=units, first="us") == printed


@pytest.mark.parametrize(
    ("units", "printed"),
    [("both", "0.69 in [17.5 mm]"), ("us", "0.69 in"), ("si", "17.5 mm")],
)
def test_a_worked_value_prints_in_the_systems_asked_for(units: Units, printed: str) -> None:
    """Both systems round from the unrounded value, up."""
    entry = REGISTER["tap.travel_to_breakthrough"]
    assert text(17.434, entry, stated=None, units=units, first="us") == printed


def test_the_first_system_leads_a_worked_value() -> None:
    """Metric pipe puts millimetres first."""
    entry = REGISTER["tap.travel_to_breakthrough"]
    assert text(17.434, entry, stated=None, units="both", first="si") == "17.5 mm [0.69 in]"


def test_a_unit_of_both_systems_prints_once() -> None:
    """Volts and seconds have no counterpart."""
    assert text(40.0, REGISTER["fuse.voltage"], stated=None, units="both", first="us") == "40.0 V"
    assert text(40.0, REGISTER["fuse.voltage"], stated=quantity("40 V"), units="us", first="us") == "40 V"
    assert system_of("V") is None


@pytest.mark.parametrize(
    ("written", "direction", "printed"),
    [
        ("0.009 in", "up", "0.009 in [0.23 mm]"),  # a least peel depth: 0.2286 mm
        ("0.012 in", "down", "0.012 in [0.30 mm]"),  # a greatest one: 0.3048 mm
        ("0.33 mm", "down", "0.33 mm [0.0129 in]"),
        ("1/16 in", "up", "1/16 in [1.6 mm]"),
        ("500 mm", "up", "500 mm [19.69 in]"),
        ("500 mm", "down", "500 mm [19.68 in]"),
        ("500 mm", "nearest", "500 mm [19.69 in]"),
        ("-10 degC", "up", "−10 °C [14 °F]"),
        ("0.5 in/min", "down", "0.5 in/min [12 mm/min]"),
        ("20 %", "up", "20 %"),
        ("15 min", "up", "15 min"),
    ],
)
def test_a_rule_s_quantity_rounds_its_brackets_as_the_rule_says(
    written: str, direction: Direction, printed: str
) -> None:
    """What is written stays; the other system rounds in the direction given."""
    assert plain(quantity(written), direction=direction) == printed


def test_plain_rounds_to_the_nearest_where_nothing_is_said() -> None:
    """The default direction is the nearest, and one system alone prints what was written."""
    assert plain(quantity("3 ft")) == "3 ft [0.91 m]"
    assert plain(quantity("3 ft"), "us") == "3 ft"
    assert plain(quantity("3 ft"), "si", "up") == "3 ft [0.92 m]"


def test_every_counterpart_measures_the_same_in_the_other_system() -> None:
    """Inches pair with millimetres, never with psi and never with feet."""
    for unit, (other, _) in rounding._COUNTERPARTS.items():
        assert UNITS[unit].measures == UNITS[other].measures, unit
        assert {system_of(unit), system_of(other)} == {"us", "si"}, unit


def test_the_examples_of_the_docstrings_run() -> None:
    """Every worked example in the module is true."""
    result = doctest.testmod(rounding)
    assert result.attempted > 5
    assert result.failed == 0
