"""README.md and DEVELOPERS.md say what is so: commands, example, pictures, links, names, dependencies.

In: both pages, `.ci/`, `pyproject.toml`, the package. Out: a failed test for a sentence that has gone stale.
Vocabulary: a *block* is a fenced piece of a page; a YAML block whose first line is `# ours/…` is that file.
"""

from __future__ import annotations

import ast
import json
import re
import shlex
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from typer.testing import CliRunner

from packgen.cli import app
from packgen.errors import ContentError
from packgen.model.load import load
from packgen.publish.selection import one
from packgen.publish.write import LIST

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
SETUP = "sh .ci/setup && "
PAGES = {
    "README.md": README,
    "DEVELOPERS.md": DEVELOPERS,
    "content/README.md": (ROOT / "content/README.md").read_text("utf-8"),
}


def blocks(page: str, language: str) -> list[str]:
    """The fenced blocks of a language; a block inside a list item is set back to the left."""
    found = re.findall(rf"(?ms)^( *)```{language}\n(.*?)^ *```$", page)
    return ["\n".join(line.removeprefix(indent) for line in text.splitlines()) for indent, text in found]


def shell_lines(page: str) -> list[str]:
    """Every line of every shell block, comments left out."""
    return [line.split("   #")[0].rstrip() for text in blocks(page, "sh") for line in text.splitlines()]


def packgen_lines() -> list[list[str]]:
    """The arguments of every packgen command that README shows."""
    commands = [line.removeprefix(SETUP) for line in shell_lines(README)]
    return [shlex.split(line)[1:] for line in commands if line.startswith(".venv/bin/packgen")]


def own_files() -> dict[str, str]:
    """The files of README's own content, by path."""
    named = (re.match(r"# (ours/\S+\.yaml)\n", text) for text in blocks(README, "yaml"))
    return {found[1]: found.string for found in named if found}


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    """README's own content, written word by word."""
    for name, text in own_files().items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text + "\n", "utf-8")
    return tmp_path / "ours"


def test_the_two_commands_stand_in_the_readme_and_are_those_of_the_check() -> None:
    lines = shell_lines(README)
    assert SETUP + ".venv/bin/packgen job content/jobs/first-lateral.yaml" in lines
    assert SETUP + ".venv/bin/pytest" in lines
    run = (ROOT / ".ci" / "run").read_text("utf-8").splitlines()
    assert run.index("sh .ci/setup") < run.index(".venv/bin/pytest")


def test_the_readme_shows_every_command_there_is() -> None:
    assert {arguments[0] for arguments in packgen_lines()} == {
        command.callback.__name__ for command in app.registered_commands if command.callback
    }


@pytest.mark.parametrize("arguments", packgen_lines(), ids=" ".join)
def test_a_command_of_the_readme_is_one_that_packgen_knows(arguments: list[str]) -> None:
    known = CliRunner().invoke(app, [*arguments, "--help"])
    assert known.exit_code == 0, known.output
    for option in (word for word in arguments if word.startswith("--")):
        assert option in known.output


def test_an_option_named_in_the_readme_exists() -> None:
    named = set(re.findall(r"`(--[a-z]+)", README))
    helps = "".join(
        CliRunner().invoke(app, [command.callback.__name__, "--help"]).output
        for command in app.registered_commands
        if command.callback
    )
    assert {"--units", "--paper", "--date", "--main"} <= named
    assert sorted(option for option in named if option not in helps) == []


@pytest.mark.parametrize("arguments", [line for line in packgen_lines() if line[0] == "values"], ids=" ".join)
def test_a_values_command_of_the_readme_answers(
    arguments: list[str], packgen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    ran = packgen(*arguments)
    assert ran.code == 0 and "1-3/4 in" in ran.out


def test_the_example_of_an_own_fitting_is_permitted_and_leaves_boxes_for_what_the_label_lacks(
    ours: Path,
) -> None:
    catalog = load(ours, here=ROOT)
    label = yaml.safe_load(own_files()["ours/fittings/our-saddle.yaml"])
    assert len(label["pairs"]) == 2
    for pair in label["pairs"]:
        found = one(catalog, f"{pair['main']} IPS DR 11", f"{pair['lateral']} IPS", "our-saddle", None)
        assert found.reasons == ()
        stated = found.values["fuse.time"]
        assert stated.kind == "stated" and str(stated.stated) == pair["fuse"]["time"]
        assert {value.name for value in found.blanks} == {
            "cool.pressure_wait",
            "cool.tap_wait",
            "tap.hole_saw",
            "tap.travel_set",
            "tap.travel_limit",
        }


def test_the_own_rule_of_the_readme_takes_the_place_of_the_packaged_one(ours: Path) -> None:
    rule = load(ours, here=ROOT).rule("hole-share")
    assert (rule.value, rule.revision, rule.source) == ("50 %", 2, "our-rules")
    assert load(None, here=ROOT).rule("hole-share").value == "60 %"


def test_an_own_rule_without_a_reason_is_refused_as_the_readme_says(ours: Path) -> None:
    path = ours / "rules" / "our-rules.yaml"
    path.write_text(
        "".join(line for line in path.read_text("utf-8").splitlines(True) if "why:" not in line), "utf-8"
    )
    with pytest.raises(ContentError, match="why"):
        load(ours, here=ROOT)


def test_the_own_job_of_the_readme_is_issued_with_the_stamp_and_the_boxes(
    ours: Path, packgen_process: Callable[..., Any]
) -> None:
    ran = packgen_process(
        "job",
        ours / "jobs" / "our-first.yaml",
        "--content",
        ours,
        "--output",
        ours.parent / "build",
        cwd=ROOT,
    )
    assert ran.code == 0, ran.err
    folder = ours.parent / "build" / "jobs" / "OUR-1"
    values = json.loads((folder / "values.json").read_text("utf-8"))["joints"][0]["values"]
    assert values["fuse.time"]["text"] == "85 s" and values["tap.hole_saw"]["kind"] == "blank"
    assert "DEMONSTRATION DATA" in (folder / "index.html").read_text("utf-8")
    listed = set(re.findall(r"`([a-z-]+\.(?:pdf|html|json|csv))`", README.split("## For the contractor")[0]))
    assert listed == {path.name for path in folder.iterdir()} - {LIST}


def test_every_key_of_a_job_is_explained() -> None:
    from packgen.model.job import Job, Joint

    section = README.split("## Your first job")[1].split("\n## ")[0]
    explained = set(re.findall(r"`([a-z_: ]+)`", section.replace("data: demo", "data")))
    assert {name for name in Job.model_fields if name != "kind"} - explained == set()
    assert {f"joints: {name}" for name in Joint.model_fields} - explained == set()


def test_every_key_of_a_label_is_named() -> None:
    from packgen.model.family_records import LabelData

    section = README.split("These lines may be added")[1].split("\nA job with it")[0]
    named = set(re.findall(r"`([a-z_]+)`", section))
    wanted = set(LabelData.model_fields)
    for group in LabelData.model_fields.values():
        wanted |= set(getattr(group.annotation, "model_fields", {}))
    assert wanted - named == set()


def test_the_pictures_are_there_shown_and_small() -> None:
    shown = set(re.findall(r"!\[[^\]]+\]\((\.readme/[^)]+)\)", README))
    kept = {f".readme/{path.name}" for path in (ROOT / ".readme").iterdir()}
    assert shown == kept and {".readme/card.png", ".readme/page.png"} <= shown
    for name in shown:
        content = (ROOT / name).read_bytes()
        assert content.startswith(b"\x89PNG") and 5_000 < len(content) < 200_000, name


@pytest.mark.parametrize("page", PAGES)
def test_a_link_leads_to_a_file(page: str) -> None:
    targets = re.findall(r"\]\(([^)\s]+)\)", PAGES[page])
    here = (ROOT / page).parent
    assert [target for target in targets if not (here / target).exists()] == []


def test_a_file_named_on_a_page_exists() -> None:
    pattern = r"`((?:packgen|content|templates|tests|\.ci|\.readme)/[A-Za-z0-9_./-]*)`"
    named = set(re.findall(pattern, README + DEVELOPERS))
    assert len(named) > 30
    assert sorted(name for name in named if not (ROOT / name).exists()) == []


def walk_rows() -> list[tuple[str, list[str]]]:
    """The rows of the walk of one number: a module and the names in it."""
    rows = re.findall(r"(?m)^\| `(packgen/[a-z_/]+\.py)` \| (`[^|]+`) \| ", DEVELOPERS)
    return [(path, re.findall(r"`(\w+)`", names)) for path, names in rows]


def test_the_walk_of_one_number_names_what_is_there() -> None:
    rows = walk_rows()
    assert len(rows) > 20
    for path, names in rows:
        tree = ast.parse((ROOT / path).read_text("utf-8"))
        defined = {node.name for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef)}
        assert set(names) <= defined, path


def test_the_parts_stand_in_the_order_of_imports() -> None:
    parts = re.findall(r"(?m)^\| `packgen/(\w+)(?:\.py|/)` \|", DEVELOPERS.split("## One number")[0])
    order = "errors units register formulas rounding model calc sheets render publish check cli"
    assert " ".join(parts) == order


def test_every_dependency_earns_its_place_in_a_line() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    bare = {re.split(r"[<>=!~\[ ]", name)[0] for name in wanted}
    section = DEVELOPERS.split("## Dependencies")[1].split("\n## ")[0]
    assert set(re.findall(r"(?m)^\| ([A-Za-z0-9-]+) \| \w", section)) - {"library"} == bare
    lock = (ROOT / ".ci" / "requirements.lock").read_text("utf-8").lower()
    assert sorted(name for name in bare if f"\n{name.lower()}==" not in f"\n{lock}") == []
