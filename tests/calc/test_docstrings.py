"""The docstrings of packgen.calc are read as records: each formula states what a checker needs to repeat it.

In: every public function of every module of packgen.calc that holds formulas.
Out: a failure that names the function and what its record lacks.
"""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable
from typing import Any

import pytest

import packgen.calc

# A module that reads records or the ledger puts values together; every other one holds formulas.
ASSEMBLES = re.compile(r"^from packgen\.(model|calc\.(ledger|request)|register)\b", re.MULTILINE)
SECTIONS = ("Parameters", "Returns", "Raises", "Source", "Example")
UNIT = re.compile(
    r"(?<![\w-])(mm|mm2|mm3|s|V|ohm|kPa|g|kJ|W|VA|A|N|N\*m|degree|percent|each|kg/m3|mm per minute|no unit)"
    r"(?![\w-])"
)


def public_functions() -> list[Callable[..., Any]]:
    """Every function a caller may use, with the module that defines it."""
    names = sorted(module.name for module in pkgutil.iter_modules(packgen.calc.__path__))
    found = [importlib.import_module(f"packgen.calc.{name}") for name in names if not name.startswith("_")]
    modules = [module for module in found if not ASSEMBLES.search(inspect.getsource(module))]
    return [
        function
        for module in modules
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    ]


FUNCTIONS = public_functions()
each_function = pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f"{f.__module__}.{f.__name__}")


def section(function: Callable[..., Any], title: str) -> str:
    """The text of one underlined section of a docstring, an empty string where it has none."""
    text = inspect.getdoc(function) or ""
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-+\n|\Z)", text, re.DOTALL | re.MULTILINE)
    return found.group(1).strip() if found else ""


def test_the_walk_finds_the_calculations() -> None:
    """All modules are walked, so that an empty list cannot pass for a clean one."""
    found = {function.__module__.rsplit(".", 1)[1] for function in FUNCTIONS}
    assert {"pipe", "peel", "gap", "fuse", "tap", "coupon", "squeeze", "place", "clock"} <= found
    assert len(FUNCTIONS) >= 35


@each_function
def test_every_section_stands_in_the_docstring(function: Callable[..., Any]) -> None:
    """A record has all its sections and opens with the question it answers."""
    assert [title for title in SECTIONS if not section(function, title)] == []
    first = (inspect.getdoc(function) or "").splitlines()[0]
    assert first.startswith("Answer: ")
    assert "?" in first


@each_function
def test_every_parameter_has_a_unit(function: Callable[..., Any]) -> None:
    """Each parameter of the signature is described with a unit of the register."""
    entries = dict(
        re.findall(r"^(\w+)\n((?:    .*\n?)+)", section(function, "Parameters") + "\n", re.MULTILINE)
    )
    parameters = list(inspect.signature(function).parameters)
    assert list(entries) == parameters
    assert [name for name in parameters if not UNIT.search(entries[name])] == []


@each_function
def test_the_result_has_a_unit(function: Callable[..., Any]) -> None:
    """What comes back is described with a unit and the type of the signature."""
    returns = section(function, "Returns")
    assert UNIT.search(returns)
    assert returns.splitlines()[0] == inspect.get_annotations(function)["return"]


@each_function
def test_the_error_and_the_source_are_named(function: Callable[..., Any]) -> None:
    """The error is packgen's own and the source is a text, arithmetic or common practice."""
    assert section(function, "Raises").startswith("OutOfRange")
    words = (
        r"Arithmetic|arithmetic|ASTM|ISO|EN |CFR|Handbook|Bureau of\s+Standards|common practice, no source"
    )
    assert re.search(words, section(function, "Source"))


@each_function
def test_the_worked_example_runs(function: Callable[..., Any]) -> None:
    """The example of each docstring is run and gives what it prints."""
    module = importlib.import_module(function.__module__)
    examples = doctest.DocTestFinder(recurse=False).find(function, function.__name__, module=module)
    outcome = [doctest.DocTestRunner(verbose=False).run(example) for example in examples]
    assert sum(result.attempted for result in outcome) >= 1
    assert sum(result.failed for result in outcome) == 0
