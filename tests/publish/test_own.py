"""A content folder of one's own: it works as it is made, stands whole or not at all, touches nothing else."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import packgen.check as checking
from packgen.errors import ContentError, PackgenError, UsageError
from packgen.model.family_records import LabelData
from packgen.model.job import (
    Approval,
    Checker,
    ControlUnit,
    Distances,
    Equipment,
    Fuser,
    Isolation,
    Job,
    Joint,
    Site,
    SupplyCord,
)
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish import own as making
from packgen.publish.own import make_own, require_not_ours, require_place, taken_ids
from packgen.publish.selection import every, one

DAY = "2026-06-01"
ROOT = Path(__file__).parents[2]
SHEET = """---
id: our-noise
title: Noise
order: 26
on: [pack]
---
## In the town {: state="dry" }

1. Tell the neighbours.
   {: #our-told }

## At night {: state="live" }

1. Set the lamps.
   {: #our-lamps }
"""
Packgen = Callable[..., Any]


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def uncommented(text: str) -> str:
    """A pattern file with everything stated that it shows behind a sign: `# key:`, `#  - key:`."""
    text = text.replace(": []", ":")
    text = re.sub(r"(?m)^#(  ( *[a-z_]+|- [a-z]+):)", r"\1", text)
    text = re.sub(
        r"(?m)^( *)# (?!cutter|socket)(?=[a-z_]+: [^ ]+.*[\]}]$|pressure_max: |lateral_system: )", r"\1", text
    )
    return text


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    """A folder as the command makes it."""
    return make_own(tmp_path / "our content – é", DAY).folder


def test_the_folder_loads_beside_the_packaged_content_and_states_no_number(ours: Path) -> None:
    catalog = load(ours, prose=False)
    family = catalog.families["our-saddle"]
    assert family.data is None and family.date.isoformat() == DAY
    assert all(
        getattr(part, key) is None
        for _, part in _groups(family.every_pair)
        for key in type(part).model_fields
    )
    assert [(pair.main, pair.lateral) for pair in family.pairs] == [("6 in", "2 in")]
    assert all(
        getattr(part, key) is None for _, part in _groups(family.pairs[0]) for key in type(part).model_fields
    )
    assert family.pairs[0].pressure_max is None
    assert [folder.record.title for folder in catalog.folders][1:] == ["our own content"]


def _groups(label: LabelData) -> list[tuple[str, Any]]:
    """The groups of a label, by name."""
    return [(name, getattr(label, name)) for name in LabelData.model_fields if name != "pressure_max"]


def test_what_nobody_stated_is_a_box(ours: Path) -> None:
    found = one(load(ours, prose=False), "6 in IPS DR 11", "2 in IPS", "our-saddle", None)
    assert found.reasons == ()
    boxes = {value.name for value in found.blanks}
    assert {"fuse.voltage", "fuse.time", "fuse.terminal", "cool.clamp_time", "tap.hole_saw"} <= boxes


def test_the_pattern_explains_every_key_of_a_label(ours: Path) -> None:
    text = (ours / "fittings" / "our-saddle.yaml").read_text("utf-8")
    wanted = set(LabelData.model_fields)
    for group in LabelData.model_fields.values():
        wanted |= set(getattr(group.annotation, "model_fields", {}))
    assert {key for key in wanted if f"{key}:" not in text} == set()


def test_the_first_job_shows_every_key_of_a_job_but_those_packgen_alone_gives(ours: Path) -> None:
    text = (ours / "jobs" / "first-job.yaml").read_text("utf-8")
    records = (Job, Joint, Isolation, Distances, Approval, Site, SupplyCord, ControlUnit, Equipment)
    wanted = {key for record in (*records, Fuser, Checker) for key in record.model_fields} - {"data"}
    assert {key for key in wanted if f"{key}:" not in text} == set()


def test_the_first_job_with_every_line_of_a_joint_is_read(ours: Path) -> None:
    """What packgen may refuse in it is that our valve is none yet, never the line itself."""
    path = ours / "jobs" / "first-job.yaml"
    text = path.read_text("utf-8").replace("state: dry", "state: isolated")
    keys = "station|outlet|top_not_practical|method|test_plug|isolation|distances|site"
    text = re.sub(rf"(?m)^( *)# ((?:{keys}):)", r"\1\2", text)
    path.write_text(text, "utf-8")
    with pytest.raises(ContentError) as caught:
        load_job(path, load(ours, prose=False))
    assert {problem.place.key for problem in caught.value.problems} <= {
        "joints[0].method", "joints[0].test_plug", "joints[0].valve",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("file", "name", "item"),
    [
        ("rules/own-rules.yaml", "rules", "hole-share"),
        ("tools/own-valves.yaml", "valves", "our-valve-2"),
        ("tools/own-machines.yaml", "machines", "our-machine-1"),
        ("tools/own-plugs.yaml", "plugs", "our-plug-2"),
    ],
)
def test_an_example_with_its_signs_taken_away_loads(file: str, name: str, item: str, ours: Path) -> None:
    path = ours / file
    before = load(ours, prose=False)
    path.write_text(uncommented(path.read_text("utf-8")), "utf-8")
    record = getattr(load(ours, prose=False), name)[item]
    assert record.source == "our-rules"
    assert getattr(before, name).get(item) != record


def test_an_example_saw_loads_beside_the_packaged_ones(ours: Path) -> None:
    path, before = ours / "tools" / "own-saws.yaml", len(load(ours, prose=False).saws)
    path.write_text(uncommented(path.read_text("utf-8")), "utf-8")
    saws = load(ours, prose=False).saws
    assert len(saws) == before + 1 and "our-saw-45" in {saw.id for saw in saws}


def test_a_family_with_every_saddle_line_stated_loads(ours: Path) -> None:
    """The numbers behind the signs show how to write a number that the reader takes."""
    path = ours / "fittings" / "our-saddle.yaml"
    text = uncommented(path.read_text("utf-8")).replace("\nlateral_system: CTS", "\n# lateral_system: CTS")
    path.write_text(text, "utf-8")
    pair = load(ours, prose=False).families["our-saddle"].pairs[0]
    assert str(pair.fuse.voltage) == "40 V" and str(pair.cool.tap_wait) == "30 min"
    assert str(pair.clamp.torque) == "8 N·m" and str(pair.pressure_max) == "200 psi"
    assert str(pair.fitting.outlet_bore) == "1.90 in" and str(pair.weather.ambient_min) == "−10 °C"


def test_check_finds_nothing_wrong_in_it(ours: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The own family and job alone are laid out here; the packaged ones have a test of their own."""

    def own_only(catalog: Any, families: Any, *rest: Any) -> Any:
        return every(catalog, [family for family in families if family.id == "our-saddle"], *rest)

    monkeypatch.setattr(checking, "every", own_only)
    monkeypatch.setattr(checking, "_job_files", lambda _: iter([ours / "jobs" / "first-job.yaml"]))
    found = checking.check(ours, load(ours, prose=False).families["our-saddle"].date)
    assert [str(problem) for problem in found.problems] == []
    assert found.looked_at["permitted"] == 1


def test_the_first_job_is_issued_as_a_draft_that_names_both_folders(
    tmp_path: Path, packgen_process: Packgen
) -> None:
    """The commands that the first one says next, word by word; an own sheet with sections is in the pack."""
    ran = packgen_process("own", "our own", cwd=tmp_path)
    assert ran.code == 0, ran.err
    sheet = tmp_path / "our own" / "procedures" / "en" / "our-noise.md"
    sheet.parent.mkdir(parents=True)
    sheet.write_text(SHEET, "utf-8")
    said = [shlex.split(line)[1:] for line in ran.out.splitlines() if line.startswith("    packgen ")]
    assert [words[0] for words in said] == ["check", "job"]
    ran = packgen_process(*said[1], cwd=tmp_path)
    assert ran.code == 0, ran.err
    folder = tmp_path / "build" / "jobs" / "OWN-1"
    page = (folder / "index.html").read_text("utf-8")
    assert "DRAFT" in page and "DEMONSTRATION DATA" not in page
    assert "Tell the neighbours." in page and "Set the lamps." not in page
    for content in load(tmp_path / "our own").folders:
        assert content.record.title in page and content.digest in page
    values = json.loads((folder / "values.json").read_text("utf-8"))["joints"][0]["values"]
    assert values["fuse.time"]["kind"] == "blank"


def test_the_same_day_gives_the_same_bytes_and_the_day_stands_in_every_file_that_has_one(
    tmp_path: Path,
) -> None:
    first, second = (files_of(make_own(tmp_path / name, DAY).folder) for name in ("a", "b"))
    assert first == second
    assert {name for name, text in first.items() if DAY.encode() in text} == {
        "packgen.yaml", "fittings/our-saddle.yaml", "jobs/first-job.yaml",
    }  # fmt: skip


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "ours").mkdir()
    assert (make_own(tmp_path / "ours", DAY).folder / "packgen.yaml").is_file()


@pytest.mark.parametrize(
    ("place", "what", "cure"),
    [
        ("file", "it is a file", "name a folder that is empty or does not exist yet"),
        ("link", "it is a link", "name the folder itself"),
        ("broken", "it is a link", "name the folder itself"),
        ("loop/ours", "it cannot be reached", "name a folder"),
        ("file/ours", "/file is a file", "name a folder that is empty"),
        ("full", "it is not empty: it holds notes.txt", "name a folder that is empty"),
        ("issued", "it is not empty: it holds values.json", "name a folder that is empty"),
        ("other/inside", "it lies inside the content folder", "name a folder outside it"),
        (".", "it is the folder you stand in", "name a new folder below it"),
        ("x" * 300, "it cannot be reached", "name a folder"),
    ],
)
def test_a_place_that_cannot_be_taken_is_refused_and_left_alone(
    place: str, what: str, cure: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("mine")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "notes.txt").write_text("mine")
    (tmp_path / "issued").mkdir()
    (tmp_path / "issued" / "values.json").write_text("{}")
    (tmp_path / "link").symlink_to("full")
    (tmp_path / "broken").symlink_to("nowhere")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "packgen.yaml").write_text("kind: content folder\n")
    monkeypatch.chdir(tmp_path)
    before = files_of(tmp_path)
    with pytest.raises(PackgenError) as caught:
        make_own(Path(place), DAY)
    assert what in str(caught.value) and cure in str(caught.value)
    assert files_of(tmp_path) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "broken", "file", "full", "issued", "link", "loop", "other",
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["ours\nnext", "ours\r", "ours\tours", "ours\u2028", "ours\x1b[1m"])
def test_a_name_that_no_line_can_show_is_refused_in_one_line(name: str, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="a line break or another character that nobody sees") as caught:
        make_own(tmp_path / name, DAY)
    assert str(caught.value).isprintable()
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_added_to_content_below_a_name_that_no_line_can_show(tmp_path: Path, ours: Path) -> None:
    moved = ours.rename(tmp_path / "ours\nnext")
    before = files_of(moved)
    with pytest.raises(UsageError, match="a line break"):
        require_not_ours(moved)
    assert files_of(moved) == before


@pytest.mark.parametrize("above", ["", "clients/north"])
def test_folders_made_on_the_way_go_again(
    above: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, _: bytes) -> int:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(PackgenError, match="No space left on device"):
        make_own(tmp_path / above / "ours", DAY)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "place", ["content", "content/ours", "templates/ours", "templates/own/folder/ours", "packgen/ours"]
)
def test_no_folder_is_made_inside_packgen(place: str) -> None:
    with pytest.raises(UsageError, match=r"inside packgen itself|it is not empty") as caught:
        require_place(ROOT / place)
    assert caught.value.exit_code == 2


@pytest.mark.parametrize(("kind", "group"), [("tapping saddle", "cutter"), ("coupling", "socket")])
def test_the_lines_for_another_type_load_too(kind: str, group: str, ours: Path) -> None:
    path = ours / "fittings" / "our-saddle.yaml"
    methods = "methods: [built-in cutter]" if kind == "tapping saddle" else "# no methods"
    text = path.read_text("utf-8").replace("type: branch saddle ", f"type: {kind} ", 1)
    text = re.sub(r"(?m)^methods: .*$", methods, text).replace(f"# {group}: ", f"{group}: ")
    if kind == "coupling":
        text = re.sub(r"(?m)^clamping: .*$", "", text).replace("main: 6 in", "main: 2 in")
    path.write_text(text, "utf-8")
    pair = load(ours, prose=False).families["our-saddle"].pairs[0]
    assert None not in dict(getattr(pair, group)).values()


@pytest.mark.parametrize("place", ["content", "templates/own/folder"])
def test_no_fitting_is_added_to_packaged_content(
    place: str, packgen: Packgen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    ran = packgen("own", place, "--from-label")
    assert ran.code == 2
    assert "packaged content, which an update of packgen replaces" in ran.err


def test_a_disk_that_refuses_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = Path.write_bytes

    def full(path: Path, content: bytes) -> int:
        if path.name == "sources.yaml":
            raise OSError(28, "No space left on device", str(path))
        return real(path, content)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(PackgenError, match="No space left on device; name a folder"):
        make_own(tmp_path / "ours", DAY)
    assert list(tmp_path.iterdir()) == []


def test_names_of_families_and_of_files_that_stand_are_taken(ours: Path, tmp_path: Path) -> None:
    (ours / "fittings" / "draft.yaml").write_text("")
    assert taken_ids(ours, {"demo": None}) == {"demo", "our-saddle", "draft"}
    assert taken_ids(tmp_path / "nowhere", {"demo": None}) == {"demo"}


def test_a_date_that_is_none_is_wrong_use(tmp_path: Path, packgen: Packgen) -> None:
    ran = packgen("own", tmp_path / "ours", "--date", "soon")
    assert ran.code == 2 and "'soon' is not a day" in ran.err
    assert not (tmp_path / "ours").exists()


def test_quiet_says_nothing(tmp_path: Path, packgen: Packgen) -> None:
    ran = packgen("own", tmp_path / "ours", "--quiet", "--date", DAY)
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    assert f"date: {DAY}" in (tmp_path / "ours" / "packgen.yaml").read_text("utf-8")


def test_the_pattern_travels_with_the_templates() -> None:
    """The wheel takes the whole folder of templates."""
    project = (ROOT / "pyproject.toml").read_text("utf-8")
    assert '"templates" = "packgen/starter/templates"' in project
    assert making.templates_folder() in (ROOT / "templates" / "own").parents
