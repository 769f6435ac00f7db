"""Quantities with units: our own quantity grammar, the whitelist of units, their exact sizes.

In: quantity strings as a person writes them in YAML or on the command line ("1-1/4 in", "0.33 mm", "68
degF").
Out: `Quantity` records that remember how they were written and convert to any unit of the same kind.
Vocabulary: *number* is `[n][space or hyphen]a/b` with b from 2 to 64, a ½ ¼ ¾ ⅛ form, or a plain decimal; a
unit of the whitelist follows, a space before it is optional. Improper fractions, decimal commas, exponents
and a second number are refused, because general unit readers take "1 1/4 in" for 0.25 in without a word.
Sizes are exact fractions: a conversion is the float nearest to the true number.
Source: exact definitions of the inch, pound-force and psi by the international yard and pound agreement
(1959) and NIST SP 811.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from packgen.errors import PackgenError, Place, Problem, nearest


@dataclass(frozen=True)
class Unit:
    """One unit of the whitelist: our name, its exact size, what is printed, and the kind of quantity.

    `size` counts the kind's own unit of the SI (m, kg, s, A, K, and what is made of them; each and degree for
    counts and angles); `zero` is where a temperature's scale begins, in kelvin.
    """

    name: str
    size: Fraction
    symbol: str
    measures: str
    zero: Fraction = Fraction(0)


_ONE = Fraction(1)
_INCH = Fraction("0.0254")
_FOOT = 12 * _INCH
_MINUTE = Fraction(60)
_POUND = Fraction("0.45359237")
_POUND_FORCE = Fraction("4.4482216152605")
_FAHRENHEIT = Fraction(5, 9)
_ICE = Fraction("273.15")
_MILLI, _KILO, _MEGA = Fraction(1, 1000), Fraction(1000), Fraction(1_000_000)

_UNITS = (
    Unit("mm", _MILLI, "mm", "length"),
    Unit("cm", Fraction(1, 100), "cm", "length"),
    Unit("m", _ONE, "m", "length"),
    Unit("in", _INCH, "in", "length"),
    Unit("ft", _FOOT, "ft", "length"),
    Unit("mm2", _MILLI**2, "mm²", "area"),
    Unit("in2", _INCH**2, "in²", "area"),
    Unit("s", _ONE, "s", "time"),
    Unit("min", _MINUTE, "min", "time"),
    Unit("h", 60 * _MINUTE, "h", "time"),
    Unit("degC", _ONE, "°C", "temperature", _ICE),
    Unit("degF", _FAHRENHEIT, "°F", "temperature", _ICE - 32 * _FAHRENHEIT),
    Unit("K", _ONE, "K", "temperature difference"),
    Unit("degF_difference", _FAHRENHEIT, "F°", "temperature difference"),
    Unit("kPa", _KILO, "kPa", "pressure"),
    Unit("MPa", _MEGA, "MPa", "pressure"),
    Unit("bar", 100 * _KILO, "bar", "pressure"),
    Unit("psi", _POUND_FORCE / _INCH**2, "psi", "pressure"),
    Unit("N*m", _ONE, "N·m", "torque"),
    Unit("lbf*in", _POUND_FORCE * _INCH, "lbf·in", "torque"),
    Unit("lbf*ft", _POUND_FORCE * _FOOT, "lbf·ft", "torque"),
    Unit("N", _ONE, "N", "force"),
    Unit("lbf", _POUND_FORCE, "lbf", "force"),
    Unit("kJ", _KILO, "kJ", "energy"),
    Unit("W", _ONE, "W", "power"),
    Unit("kW", _KILO, "kW", "power"),
    Unit("VA", _ONE, "VA", "apparent power"),
    Unit("kVA", _KILO, "kVA", "apparent power"),
    Unit("V", _ONE, "V", "voltage"),
    Unit("A", _ONE, "A", "current"),
    Unit("ohm", _ONE, "Ω", "resistance"),
    Unit("ohm/km", 1 / _KILO, "Ω/km", "resistance of a length"),
    Unit("ohm/kft", 1 / (_KILO * _FOOT), "Ω/kft", "resistance of a length"),
    Unit("g", _MILLI, "g", "mass"),
    Unit("kg", _ONE, "kg", "mass"),
    Unit("oz", _POUND / 16, "oz", "mass"),
    Unit("kg/m3", _ONE, "kg/m³", "density"),
    Unit("g/cm3", _KILO, "g/cm³", "density"),
    Unit("L", _MILLI, "L", "volume"),
    Unit("gal", 231 * _INCH**3, "US gal", "volume"),
    Unit("L/m2", _MILLI, "L/m²", "volume for an area"),
    Unit("mm/m/K", _MILLI, "mm/(m·K)", "expansion"),
    Unit("degree", _ONE, "°", "angle"),
    Unit("percent", Fraction(1, 100), "%", "share"),
    Unit("each", _ONE, "", "count"),
    Unit("1", _ONE, "", "ratio"),
    Unit("in/min", _INCH / _MINUTE, "in/min", "speed"),
    Unit("mm/min", _MILLI / _MINUTE, "mm/min", "speed"),
    Unit("mm/s", _MILLI, "mm/s", "speed"),
)
UNITS = {unit.name: unit for unit in _UNITS}
_SPELLINGS = {"C": "degC", "F": "degF", "°C": "degC", "°F": "degF", "%": "percent", "deg": "degree"}
_SPELLINGS |= {"F°": "degF_difference", "Ω/km": "ohm/km", "Ω/kft": "ohm/kft"}
_SPELLINGS |= {"°": "degree", "mm²": "mm2", "in²": "in2", "Ω": "ohm", '"': "in", "US gal": "gal"}
_SPELLINGS |= {"N·m": "N*m", "lbf·in": "lbf*in", "lbf·ft": "lbf*ft", "kg/m³": "kg/m3", "g/cm³": "g/cm3"}
_SPELLINGS |= {"L/m²": "L/m2", "mm/(m·K)": "mm/m/K"}

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
# At most nine digits before and after the point: more is a slip. No leading zero: some read 012 as ten.
_WHOLE = r"(?:0|[1-9]\d{0,8})"
_NUMBER = re.compile(
    rf"(?P<sign>[-−]?)(?:(?:(?P<whole>{_WHOLE})[ -])?(?P<top>{_WHOLE})/(?P<bottom>{_WHOLE})"
    rf"|(?P<plain>{_WHOLE}(?:\.\d{{1,9}})?))(?![\d.,/])",
    re.ASCII,
)
_LONGEST = 60
_ABSOLUTE_ZERO = {"degC": Fraction("-273.15"), "degF": Fraction("-459.67")}


class QuantityError(PackgenError):
    """A quantity string that the grammar refuses; the first problem says why and what to write."""


@lru_cache(maxsize=4096)
def convert(number: float, unit: str, target: str) -> float:
    """`number` of `unit` in `target`; both are whitelist names of one kind.

    >>> convert(1.25, "in", "mm")
    31.75
    >>> convert(68.0, "degF", "degC")
    20.0
    """
    if unit == target or not math.isfinite(number):
        return number
    source, wanted = UNITS[unit], UNITS[target]
    if source.measures != wanted.measures:
        raise QuantityError(f"{unit} measures {source.measures}, {target} measures {wanted.measures}")
    exact = Fraction(repr(number))
    return float((exact * source.size + source.zero - wanted.zero) / wanted.size)


@dataclass(frozen=True)
class Quantity:
    """A number with its unit, as somebody wrote it.

    `number` is exact; `digits` is the number as text ("1-1/4", "0.009", "15"); `unit` a whitelist name.

    >>> quantity("1 1/4 in").to("mm")
    31.75
    >>> str(quantity("0.33mm"))
    '0.33 mm'
    """

    number: Fraction
    digits: str
    unit: str

    @property
    def measures(self) -> str:
        """The kind of quantity ("length", "time" …)."""
        return UNITS[self.unit].measures

    def to(self, unit: str) -> float:
        """The number in another whitelist unit of the same kind."""
        return convert(float(self.number), self.unit, unit)

    def __str__(self) -> str:
        return join(self.digits, self.unit)


def join(digits: str, unit: str) -> str:
    """Digits and the unit's printed symbol; an angle's degree sign takes no space.

    >>> join("60", "degree"), join("2", "each"), join("0.33", "mm")
    ('60°', '2', '0.33 mm')
    """
    symbol = UNITS[unit].symbol
    if not symbol:
        return digits
    return digits + symbol if symbol == "°" else f"{digits} {symbol}"


def mixed(number: Fraction) -> str:
    """A fraction as the trade prints it.

    >>> mixed(Fraction(5, 4)), mixed(Fraction(1, 16)), mixed(Fraction(3))
    ('1-1/4', '1/16', '3')
    """
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    return f"{whole}-{rest}" if whole else str(rest)


@lru_cache(maxsize=4096)  # one string stands in many files and is read by several checks
def quantity(text: str, measures: str | None = None) -> Quantity:
    """Read a quantity string.

    Parameters: `text`, a number and a unit; `measures`, the kind wanted ("length", "time" …) or None for any.
    Returns a `Quantity`. Raises `QuantityError` with what was expected and the nearest right unit.

    >>> quantity("1-3/4 in", "length").to("mm")
    44.45
    """
    written = text.strip()
    if len(written) > _LONGEST:
        raise _refuse(text, "it is too long for a quantity", example(measures))
    if not written.isascii():
        written = _spelled_out(written)
    found = _NUMBER.match(written)
    if found is None:
        raise _refuse(text, _why_no_number(written), example(measures))
    number, digits = _number(text, found)
    unit = _unit(text, written[found.end() :].strip(), measures)
    if found["sign"] and UNITS[unit].measures != "temperature":
        raise _refuse(text, "it is negative", example(measures))
    if number < _ABSOLUTE_ZERO.get(unit, number):
        raise _refuse(text, "it is colder than anything can be", example(measures))
    return Quantity(number, digits, unit)


def _spelled_out(written: str) -> str:
    """A text with its one-sign fractions written out; the space behind keeps "¼6 in" from being 1/46 in."""
    for sign, plain in _VULGAR.items():
        written = re.sub(rf"(\d) ?{sign}", rf"\1 {plain} ", written).replace(sign, f"{plain} ")
    return written


def _why_no_number(written: str) -> str:
    """Why a string does not begin with a number of the grammar."""
    reasons = (
        (r"$", "nothing is written"),
        (r"[-−]?\d+,\d", "a comma stands in the number; write a point, and nothing between thousands"),
        (r"[-−]?\d{10}", "the number has too many digits"),
        (r"[-−]?0\d", "the number begins with a zero that does not count"),
        (r"[-−]?\.\d", "a digit is missing before the point"),
        (r"[-−+]*(nan|inf)", "it is not a number"),
    )
    for pattern, why in reasons:
        if re.match(pattern, written, re.IGNORECASE | re.ASCII):
            return why
    return "the number is not one packgen reads"


def _number(text: str, found: re.Match[str]) -> tuple[Fraction, str]:
    """The exact number of a match, and its digits as the trade prints them."""
    sign = -1 if found["sign"] else 1
    minus = "−" if found["sign"] else ""
    if found["plain"]:
        return sign * Fraction(found["plain"]), minus + found["plain"]
    top, bottom = int(found["top"]), int(found["bottom"])
    if not 2 <= bottom <= 64:
        raise _refuse(text, f"the fraction's lower number is {bottom}", "2 to 64")
    whole = int(found["whole"] or 0)
    if top >= bottom or top == 0:
        right = whole + Fraction(top, bottom)
        near = mixed(right) + text.strip()[found.end() :] if right else ""
        raise _refuse(text, "the fraction is improper", "a mixed number such as '1-1/4 in'", near)
    number = whole + Fraction(top, bottom)
    return sign * number, minus + mixed(number)


def _unit(text: str, written: str, measures: str | None) -> str:
    """The whitelist name of a written unit, of the kind wanted."""
    if not written:
        raise _refuse(text, "it has no unit", example(measures))
    if written not in UNITS and re.search(r"\d", re.sub(r"(mm|in|m|cm)[23]$", "", written)):
        raise _refuse(text, f"a second number or an exponent follows: {written!r}", example(measures))
    name = _SPELLINGS.get(written, written)
    if name not in UNITS or name in {"each", "1"}:
        near = nearest(written, [*UNITS, *_SPELLINGS])
        raise _refuse(text, f"the unit {written!r} is not one packgen knows", example(measures), near)
    if measures and UNITS[name].measures != measures:
        raise _refuse(text, f"{name} measures {UNITS[name].measures}", example(measures))
    return name


def example(measures: str | None) -> str:
    """What to write, for a kind of quantity.

    >>> example("time")
    "a time with its unit (s, min, h), such as '5 s'"
    """
    if measures is None:
        return "a quantity with its unit, such as '1-1/4 in' or '0.33 mm'"
    units = [unit.name for unit in _UNITS if unit.measures == measures]
    article = "an" if measures[0] in "aeiou" else "a"
    return f"{article} {measures} with its unit ({', '.join(units)}), such as '5 {units[0]}'"


def _refuse(text: str, why: str, expected: str, near: str = "") -> QuantityError:
    """The error for a string that cannot be read."""
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "…"
    return QuantityError([Problem(Place(), f"{shown!r}: {why}", expected, near)])
