"""Guards the calculations share: a number that no pipe, fitting or tool can have is refused in a sentence.

In: named numbers, or a sentence about numbers that do not go together.
Out: nothing, or `OutOfRange` with a problem for each number that is wrong.
Vocabulary: the key of a problem is the name of the quantity, so that a caller can add its file and line.
Source: arithmetic.
"""

from __future__ import annotations

from typing import NoReturn

from packgen.errors import OutOfRange, Place, Problem

# A limit met exactly must not be missed because 0.3 / 0.1 is 2.9999999999999996 in floats.
FLOAT_NOISE = 1e-9


def refuse(key: str, what: str, expected: str = "", cure: str = "") -> NoReturn:
    """Raise one `OutOfRange`: the quantity's name, what is wrong, what was expected, what to do."""
    raise OutOfRange([Problem(Place(key=key), what, expected, cure=cure)])


def require_zero_or_more(**numbers: float) -> None:
    """Refuse a number that is below zero or not finite."""
    wrong = {name: number for name, number in numbers.items() if not 0.0 <= number < float("inf")}
    _require("a finite number, zero or more", wrong)


def require_percent(**numbers: float) -> None:
    """Refuse a percentage below zero, or of a hundred and more: no tolerance or share can be the whole."""
    wrong = {name: number for name, number in numbers.items() if not 0.0 <= number < 100.0}
    _require("a percentage from 0 to below 100", wrong)


def require_order(**numbers: float) -> None:
    """Refuse two numbers, a least and a greatest, that stand the wrong way round."""
    (low_name, low), (high_name, high) = numbers.items()
    if low > high:
        low_words, high_words = (name.replace("_", " ") for name in (low_name, high_name))
        refuse(low_name, f"{low_words} {low:g} is more than {high_words} {high:g}", "the lesser number first")


def require_bore(dimension_ratio: float) -> None:
    """Refuse a dimension ratio whose walls meet in the middle."""
    if not 2.0 < dimension_ratio < float("inf"):
        refuse("dimension_ratio", f"a dimension ratio of {dimension_ratio:g} leaves no bore", "more than 2")


def _require(expected: str, wrong: dict[str, float]) -> None:
    if wrong:
        raise OutOfRange(
            [
                Problem(Place(key=name), f"{name.replace('_', ' ')} is {number!r}", expected)
                for name, number in wrong.items()
            ]
        )
