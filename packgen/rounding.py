"""Quantity to text: the only place where a number is rounded for print, in both unit systems.

In: an unrounded value in its register unit (or the quantity somebody stated) and its register entry.
Out: text such as "0.69 in [17.5 mm]". Vocabulary: *safe direction*: a worked or converted number rounds up or
down as the register or the work rule says, so that rounding never makes a limit looser; a stated quantity
prints in its stated unit, digit for digit, before the brackets.
"""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Literal

from packgen.errors import OutOfRange, Place, Problem
from packgen.register import Direction, Entry, Print
from packgen.units import UNITS, Quantity, convert, join

Units = Literal["us", "si", "both"]
System = Literal["us", "si"]

_MODES = {"up": ROUND_CEILING, "down": ROUND_FLOOR, "nearest": ROUND_HALF_UP}
_LARGEST = 1e9  # ten figures are kept, so nothing larger still has a digit after the point
# Which system a stated unit belongs to; a unit of neither (s, V, degree …) needs no counterpart.
_US = {"in", "ft", "in2", "psi", "degF", "degF_difference", "lbf*in", "lbf*ft", "lbf", "oz", "gal", "in/min"}
_SI = {"mm", "cm", "m", "mm2", "kPa", "MPa", "bar", "degC", "K", "N*m", "N", "g", "kg", "L", "mm/min", "mm/s"}


def decimal_text(number: float, decimals: int, direction: Direction) -> str:
    """A number as decimal text, rounded in the safe direction.

    Parameters: `number` unrounded; `decimals` places after the point; `direction` the safe way. Returns text
    with thousands commas and a true minus sign. Float noise in the tenth figure is taken off first, so that
    0.630000000001 does not climb to 0.631. Raises `OutOfRange` where the number is not finite or too large to
    print.

    >>> decimal_text(0.6864, 2, "up"), decimal_text(10500.0, 0, "nearest"), decimal_text(-10.0, 0, "up")
    ('0.69', '10,500', '−10')
    """
    if not math.isfinite(number) or abs(number) >= _LARGEST:
        what = f"{number!r} cannot be printed"
        raise OutOfRange([Problem(Place(), what, f"a number below {_LARGEST:,.0f}")])
    clean = Decimal(f"{number:.10g}")
    rounded = clean.quantize(Decimal(1).scaleb(-decimals), rounding=_MODES[direction])
    return f"{abs(rounded):,}" if not rounded else f"{rounded:,}".replace("-", "−")


def system_of(unit: str) -> System | None:
    """The unit system a unit belongs to, or None where both use it.

    >>> system_of("in"), system_of("kPa"), system_of("V")
    ('us', 'si', None)
    """
    return "us" if unit in _US else "si" if unit in _SI else None


def in_system(value: float, entry: Entry, system: System) -> str:
    """A register value printed in one system, rounded in the safe direction."""
    way: Print = entry.us if system == "us" else entry.si
    return join(decimal_text(convert(value, entry.unit, way.unit), way.decimals, entry.direction), way.unit)


def text(value: float, entry: Entry, *, stated: Quantity | None, units: Units, first: System) -> str:
    """A value as printed.

    Parameters: `value` unrounded in `entry.unit`; `stated` the quantity as somebody wrote it, if anybody did;
    `units` the systems asked for; `first` the system that leads a worked value. Returns one text, the second
    system in brackets where it differs.

    >>> from packgen.register import REGISTER
    >>> from packgen.units import quantity
    >>> text(0.33, REGISTER["gap.feeler"], stated=quantity("0.33 mm"), units="both", first="us")
    '0.33 mm [0.0129 in]'
    >>> text(17.434, REGISTER["tap.travel_to_breakthrough"], stated=None, units="both", first="us")
    '0.69 in [17.5 mm]'
    """
    if stated is not None:
        return _stated_text(value, entry, stated, units)
    if entry.us.unit == entry.si.unit:
        return in_system(value, entry, "si")
    if units != "both":
        return in_system(value, entry, units)
    second: System = "si" if first == "us" else "us"
    return f"{in_system(value, entry, first)} [{in_system(value, entry, second)}]"


def _stated_text(value: float, entry: Entry, stated: Quantity, units: Units) -> str:
    """A stated quantity in its own unit, the other system in brackets where that is asked for and differs."""
    own = system_of(stated.unit)
    shown = str(stated)
    if own is None or entry.us.unit == entry.si.unit or units == own:
        return shown
    other: System = "si" if own == "us" else "us"
    return f"{shown} [{in_system(value, entry, other)}]"


def outward(low: float, high: float, unit: str, decimals: int) -> str:
    """A band of measurements as printed, rounded so that it never grows narrower.

    >>> outward(14.012, 14.263, "in", 2)
    '14.01 to 14.27 in'
    """
    return join(f"{decimal_text(low, decimals, 'down')} to {decimal_text(high, decimals, 'up')}", unit)


def hours(seconds: float) -> str:
    """Hours and minutes of a time counted from zero, up to the minute.

    Parameters: `seconds` unrounded. Returns text; raises `OutOfRange` as `decimal_text` does.

    >>> hours(0.0), hours(7285.0), hours(36_000.0)
    ('0:00', '2:02', '10:00')
    """
    whole, minutes = divmod(int(decimal_text(seconds / 60.0, 0, "up").replace(",", "")), 60)
    return f"{whole}:{minutes:02d}"


def plain(quantity: Quantity, units: Units = "both", direction: Direction = "nearest") -> str:
    """A quantity of a job or rule as printed: as written, with the other system in brackets.

    Parameters: `quantity`; `units`, the systems asked for; `direction`, the safe way to round the bracketed
    number (a work rule's `safe`). Returns one text.

    >>> from packgen.units import quantity
    >>> plain(quantity("3 ft")), plain(quantity("40 V")), plain(quantity("500 mm"))
    ('3 ft [0.91 m]', '40 V', '500 mm [19.69 in]')
    >>> plain(quantity("3 ft"), direction="up"), plain(quantity("0.009 in"), direction="up")
    ('3 ft [0.92 m]', '0.009 in [0.23 mm]')
    """
    own, counterpart = system_of(quantity.unit), _COUNTERPARTS.get(quantity.unit)
    if own is None or counterpart is None or units == own:
        return str(quantity)
    unit, decimals = counterpart
    number = quantity.to(unit)
    return f"{quantity} [{join(decimal_text(number, decimals + _more(number, unit), direction), unit)}]"


def _more(number: float, unit: str) -> int:
    """Further decimals of a small length: a peel depth of 0.009 in would else print as 0.2 mm.

    >>> _more(0.2286, "mm"), _more(0.0625, "in"), _more(0.013, "in"), _more(19.7, "in")
    (1, 1, 2, 0)
    """
    if unit == "mm":
        return 1 if number < 1.0 else 0
    if unit == "in":
        return 2 if number < 0.05 else 1 if number < 1.0 else 0
    return 0


_COUNTERPARTS = {
    "in": ("mm", 1), "ft": ("m", 2), "mm": ("in", 2), "cm": ("in", 2), "m": ("ft", 1), "psi": ("kPa", 0),
    "in2": ("mm2", 0), "mm2": ("in2", 2), "kPa": ("psi", 1), "bar": ("psi", 1), "MPa": ("psi", 0),
    "degF": ("degC", 0), "degC": ("degF", 0), "K": ("degF_difference", 1),
    "degF_difference": ("K", 1), "in/min": ("mm/min", 0),
    "mm/min": ("in/min", 2), "mm/s": ("in/min", 1),
    "N*m": ("lbf*ft", 1), "lbf*ft": ("N*m", 1), "lbf*in": ("N*m", 1), "N": ("lbf", 0), "lbf": ("N", 0),
    "g": ("oz", 1), "oz": ("g", 0), "L": ("gal", 2), "gal": ("L", 1),
}  # fmt: skip
assert all(unit in UNITS for unit in (*_US, *_SI, *_COUNTERPARTS))
