"""Which value has which outside check: read from outside.yaml, counted in the tests themselves, and printed.

In: outside.yaml beside this file, and the test files it names. Out: `Row` for each pattern of names; run as
`python -m tests.references.outside`, a table of values, checks, cases and sources, with the totals.
Vocabulary: a *case* is one run of a test, by its parametrize marks; its *standing* is one of

- published: a figure, or a rule with its figures, of a source whose text or public copy was read;
- library: another way to the answer by a general library (scipy, numpy), or figures such a library gave;
- memory: a source's figure or rule, typed from memory;
- hand: worked out apart from packgen; it shows that the formula was done right, not that it is the right one.

Published and library cases are the outside checks that are counted.
"""

from __future__ import annotations

import importlib
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

from packgen.model.yaml_reader import read_yaml
from packgen.register import REGISTER

FILE = Path(__file__).with_name("outside.yaml")
STANDINGS = ("published", "library", "memory", "hand")
COUNTED = STANDINGS[:2]
# A case that says so of itself has that standing, whatever its test is filed under; the first found decides.
OWN_WORDS = {"worked by hand": "hand", "no source": "hand", "from memory": "memory"}


@dataclass(frozen=True)
class Check:
    """One test: the standing of each case, and the value it is about where it names one."""

    file: str
    name: str
    source: str
    cases: tuple[tuple[str, str | None], ...]  # standing, register name

    def about(self, names: frozenset[str]) -> Iterator[tuple[str, int, str]]:
        """The cases that concern these values: test, number of the case, standing."""
        for number, (standing, name) in enumerate(self.cases):
            if name is None or name in names:
                yield self.name, number, standing


@dataclass(frozen=True)
class Row:
    """A pattern of names, the checks of them, and what is to say where no outside check stands."""

    pattern: str
    names: frozenset[str]
    checks: tuple[Check, ...]
    carried: str | None
    none: str | None

    def cases(self) -> set[tuple[str, int, str]]:
        """The cases of all its checks that concern it."""
        return {case for check in self.checks for case in check.about(self.names)}

    def is_checked(self, name: str) -> bool:
        """Whether a case from outside packgen concerns one of its names."""
        found = [case for check in self.checks for case in check.about(frozenset({name}))]
        return any(standing != "hand" for _, _, standing in found)


def read(file: Path = FILE) -> dict[str, Any]:
    """The file as it is written; a repeated key is refused."""
    found: dict[str, Any] = read_yaml(file, file.name).value
    return found


def parametrised(test: Any) -> list[tuple[Any, ...]]:
    """What a test is run with, case by case, its values flattened; one empty case where it has no marks."""
    marks = [mark for mark in getattr(test, "pytestmark", []) if mark.name == "parametrize"]
    columns = [[_values(case) for case in mark.args[1]] for mark in marks]
    return [sum(combined, ()) for combined in product(*columns)]


def _values(case: Any) -> tuple[Any, ...]:
    """The values of one entry of a parametrize mark."""
    values = getattr(case, "values", case)
    return tuple(values) if isinstance(values, tuple | list) else (values,)


def _standings(by: str | dict[str, str], module: Any, count: int) -> list[str]:
    """The standing of each case: one for all, or by the tables that the cases come from in turn."""
    if isinstance(by, str):
        return [by] * count
    standings = [standing for standing, table in by.items() for _ in getattr(module, table)]
    if len(standings) != count:
        raise ValueError(f"{module.__name__}: {by} holds {len(standings)} of {count} cases")
    return standings


def check_of(file: str, name: str, entry: dict[str, Any]) -> Check:
    """A test of a file with its cases."""
    module = importlib.import_module("tests." + file.removesuffix(".py").replace("/", "."))
    test = getattr(module, name, None)
    if not name.startswith("test_") or not callable(test):
        raise ValueError(f"tests/{file} has no test {name}")
    runs = parametrised(test)
    standings, cases = _standings(entry["by"], module, len(runs)), []
    for standing, values in zip(standings, runs, strict=True):
        words = [value for value in values if isinstance(value, str)]
        own = next((kind for said, kind in OWN_WORDS.items() if any(said in word for word in words)), None)
        about = next((word for word in words if word in REGISTER), None) if entry.get("named") else None
        cases.append((own or standing, about))
    return Check(file, name, entry["source"], tuple(cases))


@cache
def checks() -> dict[str, Check]:
    """Every test that the file names, by its own name."""
    tests = read()["tests"]
    return {name: check_of(file, name, entry) for file, own in tests.items() for name, entry in own.items()}


@cache
def rows() -> tuple[Row, ...]:
    """Every pattern of the file with the values it is for."""
    return tuple(
        Row(
            pattern,
            frozenset(name for name in REGISTER if fnmatchcase(name, pattern)),
            tuple(checks()[name] for name in entry.get("checks", [])),
            entry.get("carried"),
            entry.get("none"),
        )
        for pattern, entry in read()["values"].items()
    )


def totals() -> Counter[str]:
    """Cases by standing, each counted once however many values lean on it."""
    return Counter(standing for _, _, standing in set().union(*(row.cases() for row in rows())))


def report() -> Iterator[str]:
    """The report, line by line."""
    yield "value | check | cases | source"
    for row in rows():
        number = f" ({len(row.names)} values)" if len(row.names) > 1 else ""
        for check in row.checks:
            counts = Counter(standing for _, _, standing in check.about(row.names))
            cases = ", ".join(f"{counts[standing]} {standing}" for standing in STANDINGS if counts[standing])
            yield f"{row.pattern}{number} | tests/{check.file}::{check.name} | {cases} | {check.source}"
        for title, words in (("carried", row.carried), ("no outside check", row.none)):
            if words:
                yield f"{row.pattern}{number} | {title} | | {words}"
    found = totals()
    yield ""
    outside = sum(row.is_checked(name) for row in rows() for name in row.names)
    yield f"{len(REGISTER)} values, {outside} with a check from outside; each other one says why it has none"
    yield ", ".join(f"{found[standing]} {standing}" for standing in STANDINGS) + " cases"
    yield f"{sum(found[standing] for standing in COUNTED)} published or library-computed checks in all"


if __name__ == "__main__":
    sys.stdout.write("\n".join(report()) + "\n")
