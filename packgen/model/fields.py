"""The kinds of field a record may hold: quantities of one kind each, words, ids that may name a file.

In: plain values from `yaml_reader`. Out: annotated types for the records; a value that does not fit raises an
error that `validate` turns into words. Vocabulary: *above zero* marks a quantity of which there must be some
(a diameter, a time); the others may be zero (a margin, a wait).
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, Field
from pydantic_core import PydanticCustomError

from packgen.model.yaml_reader import shown_value
from packgen.units import Quantity, QuantityError, example, quantity

_BARE_TORQUE = ("blank", "required")
# Windows keeps these for devices, with any ending; a pack must be openable on an office machine.
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE | re.ASCII)


def refusal(what: str, *, expected: str = "", near: str = "", key: str = "") -> PydanticCustomError:
    """An error that `validate` prints as it stands: what is wrong, expectation, nearest right word, key."""
    context = {"what": what, "expected": expected, "nearest": near, "key": key}
    # The words travel in the context: a template would fill in braces that a user wrote.
    return PydanticCustomError("plain words", "plain words", context)


def _read(value: Any, measures: str, above_zero: bool = False, most: float | None = None) -> Quantity:
    """A quantity of one kind from its string."""
    if isinstance(value, Quantity):
        return value
    if not isinstance(value, str):
        number = isinstance(value, int | float) and not isinstance(value, bool)
        what = f"{shown_value(value)} {'has no unit' if number else 'is not a quantity'}"
        raise refusal(what, expected=example(measures))
    try:
        found = quantity(value, measures)
    except QuantityError as error:
        problem = error.problems[0]
        raise refusal(problem.what, expected=problem.expected, near=problem.nearest) from None
    if above_zero and not found.number:
        raise refusal(f"{shown_value(value)} is nothing", expected=f"{_article(measures)} above zero")
    if most is not None and found.number > most:
        raise refusal(f"{shown_value(value)} is too much", expected=f"at most {most:g}")
    return found


def _reader(measures: str, *, above_zero: bool = False, most: float | None = None) -> BeforeValidator:
    """A validator that reads one kind of quantity."""

    def read(value: Any) -> Quantity:
        return _read(value, measures, above_zero, most)

    return BeforeValidator(read)


def _article(noun: str) -> str:
    """A noun with its article."""
    return ("an " if noun[0] in "aeiou" else "a ") + noun


def _torque(value: Any) -> Quantity | str:
    """A torque, or the word that says nobody stated one."""
    return value if isinstance(value, str) and value in _BARE_TORQUE else _read(value, "torque")


def _plate_rating(value: Any) -> Quantity:
    """What a generator's plate says it gives: a power in W or kW, or an apparent power in VA or kVA."""
    apparent = isinstance(value, str) and value.rstrip().endswith("VA")
    return _read(value, "apparent power" if apparent else "power", above_zero=True)


def _size(value: Any) -> str:
    """A pipe size, written as the pipe tables write it."""
    if not isinstance(value, str):
        raise refusal(
            f"{shown_value(value)} is not a pipe size", expected="a size such as '4 in' or '110 mm'"
        )
    try:
        return str(quantity(value, "length"))
    except QuantityError as error:
        problem = error.problems[0]
        raise refusal(
            problem.what, expected="a size such as '4 in' or '110 mm'", near=problem.nearest
        ) from None


def _size_of_system(value: Any) -> str:
    """A pipe size with or without its size system behind it."""
    if not isinstance(value, str):
        return _size(value)
    written, _, last = value.rpartition(" ")
    return f"{_size(written)} {last}" if written and last in SYSTEMS else _size(value)


def _rule_value(value: Any) -> str | int:
    """A rule's value: words, a quantity, or a count."""
    if isinstance(value, bool) or not isinstance(value, str | int) or value == "":
        expected = "words, a quantity with its unit in one string, or a count"
        raise refusal(f"{shown_value(value)} is not a rule's value", expected=expected)
    return value


def some_words(value: str) -> str:
    """Words that are not all blank."""
    if not value.strip():
        raise refusal("no words are written", expected="words")
    return value


def file_name(value: str) -> str:
    """A name that every system can use for a file."""
    if _RESERVED.fullmatch(value) or value.endswith("."):
        raise refusal(f"{value!r} names a file that not every machine can have", expected="another id")
    return value


Length = Annotated[Quantity, _reader("length")]
LengthAboveZero = Annotated[Quantity, _reader("length", above_zero=True)]
Area = Annotated[Quantity, _reader("area", above_zero=True)]
Time = Annotated[Quantity, _reader("time")]
TimeAboveZero = Annotated[Quantity, _reader("time", above_zero=True)]
Temperature = Annotated[Quantity, _reader("temperature")]
Pressure = Annotated[Quantity, _reader("pressure", above_zero=True)]
StatedTorque = Annotated[Quantity | Literal["blank", "required"], BeforeValidator(_torque)]
Voltage = Annotated[Quantity, _reader("voltage", above_zero=True)]
Force = Annotated[Quantity, _reader("force", above_zero=True)]
Resistance = Annotated[Quantity, _reader("resistance", above_zero=True)]
LengthResistance = Annotated[Quantity, _reader("resistance of a length", above_zero=True)]
Current = Annotated[Quantity, _reader("current", above_zero=True)]
Angle = Annotated[Quantity, _reader("angle", above_zero=True, most=180)]
Share = Annotated[Quantity, _reader("share", most=100)]
Density = Annotated[Quantity, _reader("density", above_zero=True)]
Power = Annotated[Quantity, _reader("power", above_zero=True)]
PlateRating = Annotated[Quantity, BeforeValidator(_plate_rating)]
Words = Annotated[str, Field(max_length=400), AfterValidator(some_words)]
Title = Annotated[str, Field(max_length=90), AfterValidator(some_words)]
BoxLabel = Annotated[str, Field(max_length=60), AfterValidator(some_words)]
Name = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$"), AfterValidator(file_name)]
Size = Annotated[str, BeforeValidator(_size)]
SizeOfSystem = Annotated[str, BeforeValidator(_size_of_system)]
System = Literal["IPS", "DIPS", "CTS", "ISO"]
SYSTEMS: tuple[str, ...] = get_args(System)
Ratio = Annotated[float, Field(gt=1, lt=100)]
Revision = Annotated[int, Field(ge=1, le=9999)]
RuleValue = Annotated[str | int, BeforeValidator(_rule_value)]
