"""The quantity grammar: what it reads, what it refuses and in which words."""

from __future__ import annotations

import doctest
import itertools
import math
from fractions import Fraction
from typing import Any

import pint
import pytest

from packgen import units
from packgen.units import UNITS, QuantityError, convert, join, mixed, quantity


@pytest.mark.parametrize(
    ("text", "number", "printed"),
    [
        ("1-1/4 in", Fraction(5, 4), "1-1/4 in"),
        ("1 1/4 in", Fraction(5, 4), "1-1/4 in"),
        ("1-1/4in", Fraction(5, 4), "1-1/4 in"),
        ('3/8"', Fraction(3, 8), "3/8 in"),
        ("½ in", Fraction(1, 2), "1/2 in"),
        ("12½in", Fraction(25, 2), "12-1/2 in"),
        ("2 ¾ in", Fraction(11, 4), "2-3/4 in"),
        ("0.33 mm", Fraction(33, 100), "0.33 mm"),
        ("2.0 in", Fraction(2), "2.0 in"),
        ("10500 mm2", Fraction(10500), "10500 mm²"),
        ("35 C", Fraction(35), "35 °C"),
        ("95F", Fraction(95), "95 °F"),
        ("-10 degC", Fraction(-10), "−10 °C"),
        ("−10 degC", Fraction(-10), "−10 °C"),
        ("60 degree", Fraction(60), "60°"),
        ("10%", Fraction(10), "10 %"),
        ("970 kg/m3", Fraction(970), "970 kg/m³"),
    ],
)
def test_a_quantity_keeps_its_exact_number_and_its_digits(text: str, number: Fraction, printed: str) -> None:
    """The number is exact; what prints is what was written, in the trade's form."""
    read = quantity(text)
    assert read.number == number
    assert str(read) == printed


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("5/4 in", "the fraction is improper"),
        ("1-5/4 in", "the fraction is improper"),
        ("0/4 in", "the fraction is improper"),
        ("1/1 in", "lower number is 1"),
        ("1/65 in", "lower number is 65"),
        ("1/0 in", "lower number is 0"),
        ("1,5 in", "a comma stands in the number"),
        ("10,500 mm2", "a comma stands in the number"),
        ("1e3 mm", "an exponent"),
        ("4 in + 2 in", "a second number"),
        ("1/2/4 in", "the number is not one packgen reads"),
        ("½ ½ in", "a second number"),
        ("¼6 in", "a second number"),
        ("nan mm", "it is not a number"),
        ("inf mm", "it is not a number"),
        ("-inf mm", "it is not a number"),
        ("-1 in", "it is negative"),
        ("-0 in", "it is negative"),
        ("012 in", "begins with a zero"),
        (".5 in", "a digit is missing before the point"),
        ("5. in", "the number is not one packgen reads"),
        ("1.2.3 in", "the number is not one packgen reads"),
        ("+5 in", "the number is not one packgen reads"),
        ("٣ in", "the number is not one packgen reads"),
        ("1234567890 in", "too many digits"),
        ("9" * 5000 + " in", "too long"),
        ("", "nothing is written"),
        ("   ", "nothing is written"),
        ("in", "the number is not one packgen reads"),
        ("5", "it has no unit"),
        ("5 inn", "the unit 'inn' is not one packgen knows"),
        ("5 mm3", "the unit 'mm3' is not one packgen knows"),
        ("5 each", "the unit 'each' is not one packgen knows"),
        ("-300 degC", "colder than anything can be"),
        ("-500 degF", "colder than anything can be"),
    ],
)
def test_what_the_grammar_refuses_is_said_in_words(text: str, why: str) -> None:
    """Each refusal says what is wrong and shows the text, shortened where it is long."""
    with pytest.raises(QuantityError) as caught:
        quantity(text)
    (problem,) = caught.value.problems
    assert why in problem.what
    assert problem.expected
    assert len(problem.what) < 200


def test_an_improper_fraction_comes_with_its_mixed_number() -> None:
    """The nearest right form of the whole quantity is offered."""
    with pytest.raises(QuantityError) as caught:
        quantity("9/4 ft")
    assert caught.value.problems[0].nearest == "2-1/4 ft"


def test_a_misspelled_unit_comes_with_the_nearest_one() -> None:
    """The nearest unit of the whitelist is offered."""
    with pytest.raises(QuantityError) as caught:
        quantity("5 kpa")
    assert caught.value.problems[0].nearest == "kPa"


def test_a_unit_of_another_kind_is_refused_with_the_units_that_fit() -> None:
    """A length where a pressure is wanted lists the pressure units."""
    with pytest.raises(QuantityError) as caught:
        quantity("100 mm", "pressure")
    expected = "a pressure with its unit (kPa, MPa, bar, psi), such as '5 kPa'"
    assert str(caught.value) == f"'100 mm': mm measures length; expected {expected}"


@pytest.mark.parametrize(
    ("number", "unit", "target", "right"),
    [
        (1.0, "in", "mm", 25.4),
        (1.0, "ft", "m", 0.3048),
        (1.0, "lbf*ft", "N*m", 1.3558179483314004),  # NIST SP 811, appendix B.8: 1.355 818 E+00
        (1.0, "psi", "kPa", 6.894757293168361),  # NIST SP 811, appendix B.8: 6.894 757 E+00
        (1.0, "bar", "kPa", 100.0),
        (1.0, "gal", "L", 3.785411784),  # 231 cubic inches
        (1.0, "oz", "g", 28.349523125),
        (1.0, "h", "s", 3600.0),
        (-40.0, "degC", "degF", -40.0),
        (0.0, "degC", "degF", 32.0),
        (100.0, "degC", "degF", 212.0),
        (1.0, "kW", "W", 1000.0),
        (1.0, "in/min", "mm/min", 25.4),
    ],
)
def test_conversions_follow_the_exact_definitions(
    number: float, unit: str, target: str, right: float
) -> None:
    """Published conversion factors are met to the last digit a float holds."""
    assert convert(number, unit, target) == pytest.approx(right, rel=1e-12)


# Every unit in the words of pint's own list of units; each and 1 are counts, which it knows no unit for.
PINT = {
    "mm": "mm", "cm": "cm", "m": "m", "in": "inch", "ft": "foot", "mm2": "mm**2", "in2": "inch**2",
    "s": "second", "min": "minute", "h": "hour", "degC": "degC", "degF": "degF", "K": "delta_degC",
    "degF_difference": "delta_degF", "kPa": "kPa", "MPa": "MPa", "bar": "bar", "psi": "psi",
    "N*m": "newton*meter", "lbf*in": "force_pound*inch", "lbf*ft": "force_pound*foot", "N": "newton",
    "lbf": "force_pound", "kJ": "kJ", "W": "watt", "kW": "kW", "VA": "volt*ampere", "kVA": "kilovolt*ampere",
    "V": "volt", "A": "ampere", "ohm": "ohm", "ohm/km": "ohm/km", "ohm/kft": "ohm/kilofoot", "g": "gram",
    "kg": "kg", "oz": "ounce", "kg/m3": "kg/m**3", "g/cm3": "g/cm**3", "L": "liter", "gal": "gallon",
    "L/m2": "liter/m**2", "mm/m/K": "mm/m/delta_degC", "degree": "degree", "percent": "percent",
    "in/min": "inch/minute", "mm/min": "mm/minute", "mm/s": "mm/second",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry() -> Any:
    """The full registry of an independent library, as it comes."""
    return pint.UnitRegistry()


def test_every_conversion_agrees_with_an_independent_library(registry: Any) -> None:
    """Each pair of units of a kind, there and back, to the last digits that both libraries hold."""
    assert set(PINT) == set(UNITS) - {"each", "1"}
    pairs = [
        (unit, target)
        for unit, target in itertools.permutations(PINT, 2)
        if UNITS[unit].measures == UNITS[target].measures
    ]
    assert len(pairs) > 60
    for (unit, target), number in itertools.product(pairs, (0.009, 7.5, 1234.5)):
        right = registry.Quantity(number, PINT[unit]).to(PINT[target]).magnitude
        assert convert(number, unit, target) == pytest.approx(right, rel=1e-12, abs=1e-12), (unit, target)


def test_units_of_one_kind_have_one_dimension(registry: Any) -> None:
    """What can be converted is of one nature: no unit stands under a kind that it does not measure."""
    for unit, target in itertools.permutations(PINT, 2):
        if UNITS[unit].measures == UNITS[target].measures:
            assert registry.Unit(PINT[unit]).dimensionality == registry.Unit(PINT[target]).dimensionality


def test_a_number_that_is_none_stays_none() -> None:
    """What prints numbers refuses these; a conversion hands them on."""
    assert convert(math.inf, "mm", "in") == math.inf
    assert math.isnan(convert(math.nan, "degC", "degF"))


def test_no_conversion_crosses_kinds() -> None:
    """A length is never read as a time."""
    with pytest.raises(QuantityError, match="mm measures length, s measures time"):
        convert(1.0, "mm", "s")


@pytest.mark.parametrize("unit", [name for name in UNITS if name not in {"each", "1"}])
def test_every_unit_is_read_again_as_it_is_printed(unit: str) -> None:
    """What packgen prints may be typed back in."""
    written = quantity(f"5 {unit}")
    again = quantity(str(written))
    assert (again.number, again.unit) == (5, unit)


def test_counts_print_without_a_unit() -> None:
    """A count and a ratio carry no symbol."""
    assert join("4", "each") == "4"
    assert join("0.62", "1") == "0.62"
    assert mixed(Fraction(7, 2)) == "3-1/2"


def test_the_examples_of_the_docstrings_run() -> None:
    """Every worked example in the module is true."""
    result = doctest.testmod(units)
    assert result.attempted > 5
    assert result.failed == 0
