"""Values with their standing: what each sheet prints, and where it comes from.

In: stated quantities, worked numbers, words and blanks, put in by the questions of this package.
Out: `Value` records by register name. Vocabulary: *stated* was written down by somebody with authority,
*worked* follows from stated values, *blank* is for the crew to enter. A value that does not apply is absent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from packgen.errors import ContentError
from packgen.register import REGISTER, Entry
from packgen.rounding import System, Units, text
from packgen.units import Quantity, join

Kind = Literal["stated", "worked", "blank"]
Input = str | tuple[str, str]
NOT_PERMITTED = "not permitted"


def named(label: str, text: str) -> Input:
    """An input that has no name in the register: what it is, and its text."""
    return (label, text)


@dataclass(frozen=True)
class Working:
    """How a worked value came about: the method in words, and its inputs.

    An input is a register name, or a label with its text.
    """

    words: str
    inputs: tuple[Input, ...]


@dataclass(frozen=True)
class Value:
    """One value of a combination.

    `number` is unrounded, in the register's unit; `words` stands where the value is words; `stated` is the
    quantity as somebody wrote it.
    """

    name: str
    kind: Kind
    number: float | None = None
    words: str | None = None
    stated: Quantity | None = None
    working: Working | None = None
    sources: tuple[str, ...] = ()
    required: bool = False

    @property
    def entry(self) -> Entry:
        """The value's row of the register."""
        return REGISTER[self.name]

    def text(self, units: Units = "both", first: System = "us") -> str:
        """The value as printed; an empty string for a blank."""
        if self.words is not None:
            return self.words
        if self.number is None:
            return ""
        return text(self.number, self.entry, stated=self.stated, units=units, first=first)

    @property
    def result(self) -> str:
        """The unrounded result in the register's unit, to six significant digits; words as they are."""
        return (self.words or "") if self.number is None else join(f"{self.number:.6g}", self.entry.unit)


@dataclass
class Ledger:
    """Collects the values of one combination; every name must be in the register, and stands once."""

    values: dict[str, Value] = field(default_factory=dict)

    def _put(self, value: Value) -> None:
        if value.name not in REGISTER or value.name in self.values:
            raise ContentError(f"the value {value.name!r} is not in the register, or stands twice")
        self.values[value.name] = value

    def stated(self, name: str, quantity: Quantity | None, *sources: str) -> None:
        """Put in a stated quantity; nothing where nobody stated it."""
        if quantity is not None:
            number = quantity.to(REGISTER[name].unit)
            self._put(Value(name, "stated", number=number, stated=quantity, sources=sources))

    def number(self, name: str, number: float, *sources: str) -> None:
        """Put in a stated number that carries no unit (a factor, a count, an angle of the clock)."""
        self._put(Value(name, "stated", number=number, sources=sources))

    def words(self, name: str, words: str | None, *sources: str) -> None:
        """Put in stated words; nothing where nobody stated them."""
        if words is not None:
            self._put(Value(name, "stated", words=words, sources=sources))

    def worked(
        self,
        name: str,
        number: float,
        words: str,
        inputs: Sequence[Input],
        *sources: str,
        stated: Quantity | None = None,
    ) -> None:
        """Put in a worked number with its method; `stated` where it is one of a stated list (a saw)."""
        self._put(Value(name, "worked", number, None, stated, Working(words, tuple(inputs)), sources))

    def not_permitted(self, name: str, words: str, inputs: Sequence[Input], *sources: str) -> None:
        """Put in the words that stand where a worked limit leaves nothing, with its method."""
        self.worked_words(name, NOT_PERMITTED, words, inputs, *sources)

    def worked_words(self, name: str, found: str, words: str, inputs: Sequence[Input], *sources: str) -> None:
        """Put in what was found as words (a row of a list, a count of each kind), with its method."""
        self._put(Value(name, "worked", None, found, None, Working(words, tuple(inputs)), sources))

    def blank(self, name: str, reason: str, *, required: bool = False) -> None:
        """Put in a box for the crew to fill in."""
        self._put(Value(name, "blank", sources=(reason,), required=required))

    def get(self, name: str) -> float | None:
        """A value's number, or None where it is absent, blank or words."""
        found = self.values.get(name)
        return found.number if found else None

    def all(self, *names: str) -> tuple[float, ...] | None:
        """Several numbers, or None where one is missing."""
        numbers = tuple(number for number in map(self.get, names) if number is not None)
        return numbers if len(numbers) == len(names) else None
