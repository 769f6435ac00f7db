"""The house: which part may use which, how long a module may be, what stands at the top of the tree."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import packgen

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "packgen"
MODULES = sorted(PACKAGE.rglob("*.py"))

# A part may use itself and those before it. `__main__` stands in the command line's place.
ORDER = (
    "errors",
    "units",
    "register",
    "formulas",
    "rounding",
    "model",
    "calc",
    "sheets",
    "render",
    "publish",
    "check",
    "cli",
    "__main__",
)
HEAVY = (
    "weasyprint",
    "pikepdf",
    "pypdfium2",
    "segno",
    "scipy",
    "numpy",
    "fontTools",
    "rich",
    "markdown",
    "jinja2",
)
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "packgen",
    "templates",
    "content",
    "tests",
    "build",
}
# Joined from halves, so that this file does not hold them itself.
UNWANTED_WORDS = tuple(
    "".join(halves)
    for halves in (("/wo", "rk/"), ("python", "hosted"), ("pypi", ".org"), ("registry", ".npmjs"))
)


def name_of(module: Path) -> str:
    """A module as it reads in a test's name."""
    return module.relative_to(ROOT).as_posix()


def part_of(dotted: str) -> str:
    """The part of the house that a dotted module name belongs to; empty for packgen itself."""
    return [*dotted.split("."), ""][1]


def imported_parts(source: str, dotted: str, *, is_package: bool) -> set[str]:
    """The parts of packgen that a module's source imports, wherever in the module the import stands."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = absolute_base(node, dotted, is_package=is_package)
            # `from packgen import units` names the part after the word import.
            names = [f"{base}.{alias.name}" for alias in node.names] if base == "packgen" else [base]
        else:
            continue
        found.update(part_of(name) for name in names if name.split(".")[0] == "packgen")
    return found - {"", "__version__"}


def absolute_base(node: ast.ImportFrom, dotted: str, *, is_package: bool) -> str:
    """The module that a `from … import` reads, relative imports made absolute."""
    if not node.level:
        return node.module or ""
    package = dotted.split(".") if is_package else dotted.split(".")[:-1]
    base = package[: len(package) - node.level + 1]
    return ".".join([*base, node.module] if node.module else base)


def upward_imports(source: str, dotted: str, *, is_package: bool = False) -> set[str]:
    """The parts that a module uses although they come after its own, or are no part of the house."""
    own = part_of(dotted)
    allowed = ORDER[: ORDER.index(own) + 1] if own else ()
    return imported_parts(source, dotted, is_package=is_package) - set(allowed)


def dotted_name(module: Path) -> str:
    """A file as the name by which it is imported."""
    parts = module.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def tracked_files() -> list[str]:
    """What git keeps, and what is new and not ignored."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listing = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    # A file that was removed but is still in git's index is no part of the tree.
    return sorted(name for name in listing.split("\0") if name and (ROOT / name).is_file())


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_a_part_uses_only_itself_and_the_parts_before_it(module: Path) -> None:
    dotted = dotted_name(module)
    assert part_of(dotted) in {"", *ORDER}, f"{dotted} is no part of the house"
    source = module.read_text(encoding="utf-8")
    assert upward_imports(source, dotted, is_package=module.name == "__init__.py") == set()


@pytest.mark.parametrize(
    ("source", "upward"),
    [
        ("from packgen.errors import Problem\nimport packgen.model.job\nimport json", set()),
        ("from packgen import __version__, units", set()),
        ("import packgen.render.system", {"render"}),
        ("from packgen import sheets, errors", {"sheets"}),
        ("from ..publish import codes", {"publish"}),
        ("from .. import cli", {"cli"}),
        ("from packgen.helpers import anything", {"helpers"}),
        ("from . import tap", set()),
        ("def late():\n    from packgen.check import everything", {"check"}),
    ],
)
def test_an_upward_import_is_seen_in_every_form_it_can_take(source: str, upward: set[str]) -> None:
    assert upward_imports(source, "packgen.calc.gap") == upward


def test_an_upward_import_is_seen_in_a_package_s_own_file() -> None:
    assert upward_imports("from ..render import page", "packgen.calc", is_package=True) == {"render"}
    assert upward_imports("from .gap import free_gap", "packgen.calc", is_package=True) == set()


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_a_module_has_fewer_than_400_lines(module: Path) -> None:
    assert len(module.read_text(encoding="utf-8").splitlines()) < 400


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_a_module_opens_with_its_contract(module: Path) -> None:
    docstring = ast.get_docstring(ast.parse(module.read_text(encoding="utf-8")))
    assert docstring and docstring.strip()


def test_the_command_line_starts_without_the_heavy_libraries() -> None:
    script = f"import sys; import packgen.cli; print(*sorted(set({HEAVY!r}) & set(sys.modules)))"
    run = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout.split() == []


def test_the_version_is_said_without_the_library_that_checks_records() -> None:
    script = "import sys; from packgen.cli import main; main(); print('pydantic' in sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", script, "--version"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    version, loaded = run.stdout.splitlines()
    assert version == f"packgen {packgen.__version__}"
    assert loaded == "False"


def test_the_top_of_the_tree_holds_only_the_house() -> None:
    top = {name.split("/")[0] for name in tracked_files()}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


def test_no_text_names_a_registry_or_a_place_outside_the_tree() -> None:
    files = tracked_files()
    assert "tests/test_house.py" in files
    found = []
    for name in files:
        text = (ROOT / name).read_bytes().decode("utf-8", errors="replace")
        found += [f"{name}: {word}" for word in UNWANTED_WORDS if word in text]
    assert found == []
