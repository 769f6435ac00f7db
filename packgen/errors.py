"""What can go wrong, said for people.

In: facts about a mistake (where it stands, what was found, what was expected, the cure).
Out: `Problem` records, collected by `Problems`, raised once as a `PackgenError`.
Vocabulary: a *place* is file, line, column and key path; a *problem* is one sentence a foreman can act on.
Every error that may reach a user is a `PackgenError`; its `exit_code` becomes the command's.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Place:
    """Where something stands: file, line and column (from 1; 0 where unknown) and key path."""

    file: str = ""
    line: int = 0
    column: int = 0
    key: str = ""

    def __str__(self) -> str:
        spot = self.file
        if self.line:
            spot += f":{self.line}"
            if self.column:
                spot += f":{self.column}"
        if self.key:
            spot += f": {self.key}" if spot else self.key
        return spot


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake: its place, what is wrong, what was expected, the nearest right word, the cure."""

    place: Place
    what: str
    expected: str = ""
    nearest: str = ""
    cure: str = ""

    def __str__(self) -> str:
        parts = [f"{self.place}: {self.what}" if str(self.place) else self.what]
        if self.expected:
            parts.append(f"expected {self.expected}")
        if self.nearest:
            parts.append(f"did you mean {self.nearest!r}?")
        if self.cure:
            parts.append(self.cure)
        return "; ".join(parts)


class PackgenError(Exception):
    """Base of every error a user may see; `problems` holds one record for each mistake."""

    exit_code = 1

    def __init__(self, problems: Iterable[Problem] | str) -> None:
        if isinstance(problems, str):
            problems = [Problem(Place(), problems)]
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[PackgenError], tuple[tuple[Problem, ...]]]:
        """Made anew from its problems: an error of the second process comes home with every field."""
        return type(self), (self.problems,)


class ContentError(PackgenError):
    """Content, a job or prose cannot be used as written."""


class OutOfRange(PackgenError):
    """A calculation was asked for numbers no pipe, fitting or tool can have."""


class UsageError(PackgenError):
    """The command was called in a way it does not understand."""

    exit_code = 2


class MissingPart(PackgenError):
    """A system part that packgen needs is not installed."""

    exit_code = 2


class Problems:
    """Collects problems so that all come out in one run.

    >>> problems = Problems()
    >>> problems.add(Place("job.yaml", 3, 1, "contents"), "'watr' is not known", nearest="water")
    >>> len(problems)
    1
    """

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(
        self, place: Place, what: str, *, expected: str = "", nearest: str = "", cure: str = ""
    ) -> None:
        """Keep one problem; the same problem twice is kept once."""
        problem = Problem(place, what, expected, nearest, cure)
        if problem not in self._found:
            self._found.append(problem)

    def extend(self, problems: Iterable[Problem]) -> None:
        """Keep several problems at once."""
        self._found.extend(problem for problem in problems if problem not in self._found)

    def __len__(self) -> int:
        return len(self._found)

    def __iter__(self) -> Iterator[Problem]:
        return iter(sorted(self._found))

    def raise_if_any(self, kind: type[PackgenError] = ContentError) -> None:
        """Raise everything found as one error of `kind`; do nothing where nothing was found."""
        if self._found:
            raise kind(sorted(self._found))


def nearest(word: str, words: Iterable[str]) -> str:
    """The word of `words` most like `word`, or an empty string where none is like it.

    >>> nearest("latral", ["main", "lateral"])
    'lateral'
    """
    near = difflib.get_close_matches(str(word), list(words), n=1, cutoff=0.6)
    return near[0] if near else ""


def require_positive(**numbers: float) -> None:
    """Refuse a number that is not finite and above zero; the keyword names the quantity.

    >>> require_positive(outside_diameter=114.3)
    """
    wrong = [
        Problem(Place(key=name), f"{name.replace('_', ' ')} is {number!r}", "a finite number above zero")
        for name, number in numbers.items()
        if not 0.0 < number < float("inf")
    ]
    if wrong:
        raise OutOfRange(wrong)
