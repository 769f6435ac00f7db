"""Laws of quantities and of rounding: inverse, round trip, safe direction, no crash on garbage."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import gcd

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.errors import ContentError
from packgen.model.designation import read_designation
from packgen.register import Direction
from packgen.rounding import decimal_text
from packgen.units import UNITS, QuantityError, convert, mixed, quantity

quick = settings(max_examples=150, deadline=None, derandomize=True, database=None)
KINDS = sorted({unit.measures for unit in UNITS.values()})
PAIRS = [
    (one.name, other.name)
    for one in UNITS.values()
    for other in UNITS.values()
    if one.measures == other.measures and one.name != other.name
]


def printed_number(printed: str) -> Decimal:
    """The number that a printed text shows."""
    return Decimal(printed.replace(",", "").replace("−", "-"))


@quick
@given(
    st.integers(0, 999),
    st.integers(2, 64),
    st.data(),
    st.sampled_from(["-", " "]),
    st.sampled_from(["", " "]),
)
def test_a_mixed_fraction_is_read_back_as_it_prints(
    whole: int, bottom: int, data: st.DataObject, joint: str, gap: str
) -> None:
    """For every lower number from 2 to 64 the value is exact, and what prints reads as the same number."""
    top = data.draw(st.integers(1, bottom - 1))
    written = f"{whole}{joint}{top}/{bottom}{gap}in" if whole else f"{top}/{bottom}{gap}in"
    read = quantity(written)
    assert read.number == whole + Fraction(top, bottom)
    assert read.digits == mixed(read.number)
    again = quantity(str(read))
    assert (again.number, again.digits) == (read.number, read.digits)


@quick
@given(st.integers(0, 999), st.integers(2, 64), st.data())
def test_an_improper_fraction_is_refused_with_its_value_in_the_right_form(
    whole: int, bottom: int, data: st.DataObject
) -> None:
    """What is offered instead has the same value."""
    top = data.draw(st.integers(bottom, 4 * bottom))
    with pytest.raises(QuantityError) as caught:
        quantity(f"{whole}-{top}/{bottom} in" if whole else f"{top}/{bottom} in")
    offered = caught.value.problems[0].nearest
    if top % bottom == 0 or bottom // gcd(top, bottom) <= 64:
        assert quantity(offered).number == whole + Fraction(top, bottom)


@quick
@given(st.decimals(0, 99999, places=4), st.sampled_from(sorted(set(UNITS) - {"each", "1"})))
def test_a_plain_decimal_keeps_every_digit(number: Decimal, unit: str) -> None:
    """Nothing is rounded on the way in."""
    read = quantity(f"{number:f} {unit}")
    assert read.number == Fraction(number)
    assert read.digits == f"{number:f}"


@quick
@given(st.floats(1e-3, 1e5), st.sampled_from(PAIRS))
def test_a_conversion_has_an_inverse(number: float, pair: tuple[str, str]) -> None:
    """There and back gives the same number to a float's precision."""
    one, other = pair
    assert convert(convert(number, one, other), other, one) == pytest.approx(number, rel=1e-12, abs=1e-9)


@quick
@given(st.floats(1e-3, 1e4), st.floats(1e-3, 1e4), st.sampled_from(PAIRS))
def test_a_conversion_keeps_order(number: float, more: float, pair: tuple[str, str]) -> None:
    """The greater stays the greater."""
    one, other = pair
    assert convert(number, one, other) < convert(number + more, one, other)


@settings(quick, max_examples=400)
@given(
    st.one_of(st.text(), st.text("0123456789./-+−½¼¾⅛ ,eEinmft%°CF\"'", max_size=30)),
    st.sampled_from([None, *KINDS]),
)
def test_garbage_is_refused_or_read_but_never_crashes(text: str, measures: str | None) -> None:
    """Whatever is typed gives a quantity of the kind wanted, or a refusal that says something."""
    try:
        read = quantity(text, measures)
    except QuantityError as error:
        assert len(error.problems) == 1
        assert error.problems[0].what
    else:
        assert measures in {None, read.measures}
        assert read.number >= 0 or read.measures == "temperature"
        assert quantity(str(read)).number == read.number


@quick
@given(st.text("0123456789. /inIPSDRAST4710mOE-", max_size=50))
def test_garbage_is_never_taken_for_a_pipe_without_a_ratio(text: str) -> None:
    """A pipe that is read has a size, a system and a DR, and reads the same when printed."""
    try:
        read = read_designation(text)
    except ContentError as error:
        assert error.problems[0].expected
    else:
        assert read.dr >= 0
        assert read_designation(str(read)) == read


@quick
@given(st.floats(-1e6, 1e6), st.integers(0, 4))
def test_rounding_goes_the_safe_way_and_no_further_than_one_unit(number: float, decimals: int) -> None:
    """Up is never below, down never above, nearest within half a unit; noise in the tenth figure apart."""
    step = Decimal(1).scaleb(-decimals)
    noise = Decimal(abs(number)) * Decimal("1e-9")
    exact = Decimal(number)
    up, down, near = (printed_number(decimal_text(number, decimals, way)) for way in directions())
    assert exact - noise <= up <= exact + step + noise
    assert exact - step - noise <= down <= exact + noise
    assert abs(near - exact) <= step / 2 + noise
    assert down <= near <= up


@quick
@given(st.integers(-(10**8), 10**8), st.integers(0, 4))
def test_a_number_that_needs_no_rounding_prints_itself(scaled: int, decimals: int) -> None:
    """Every direction agrees on a number with no more digits than are printed."""
    number = scaled / 10**decimals
    texts = {decimal_text(number, decimals, way) for way in directions()}
    assert len(texts) == 1
    assert printed_number(texts.pop()) == Decimal(scaled).scaleb(-decimals)


def directions() -> tuple[Direction, Direction, Direction]:
    """The three ways to round."""
    return ("up", "down", "nearest")
