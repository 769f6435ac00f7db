"""The gates that never move: dropped, weakened or moved ones are told when the content is read."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.gates import GATES
from packgen.model.load import load

ROOT = Path(__file__).parents[2]


@pytest.fixture
def doctored(tmp_path: Path) -> Callable[..., Path]:
    """A copy of the starter content with one file changed."""

    def make(file: str, pattern: str, new: str) -> Path:
        folder = tmp_path / "content"
        shutil.copytree(ROOT / "content", folder)
        path = folder / file
        text, count = re.subn(pattern, new, path.read_text("utf-8"), flags=re.MULTILINE)
        assert count, pattern
        path.write_text(text, "utf-8")
        return folder

    return make


def complaints(folder: Path) -> str:
    with pytest.raises(ContentError) as caught:
        load(folder)
    return str(caught.value)


def test_the_starter_holds_every_gate_in_order() -> None:
    assert len(load(ROOT / "content").procedures) > 10
    holds = {way: [gate for _, gate in gates].count("hold") for way, gates in GATES.items()}
    assert holds == {"open drill": 8, "through a valve": 9, "built-in cutter": 8, "coupling": 5}


@pytest.mark.parametrize("way", GATES)
def test_every_way_ends_with_the_second_look_before_backfill(way: str) -> None:
    assert GATES[way][-2:] == (("second-look", "witness"), ("backfilled", ""))
    assert dict(GATES[way])["display-equals-label"] == "hold"


@pytest.mark.parametrize(
    ("way", "before", "after"),
    [
        ("open drill", "gap-checked", "fusion-started"),
        ("open drill", "main-no-pressure", "main-cut"),
        ("open drill", "coupon-seen", "lateral-joined"),
        ("through a valve", "stack-tight", "main-cut"),
        ("through a valve", "coupon-seen", "lateral-joined"),
        ("built-in cutter", "test-uncut", "main-cut"),
        ("built-in cutter", "cutter-at-stop", "cap-fitted"),
        ("coupling", "insertion-proved", "fusion-started"),
    ],
)
def test_what_guards_comes_before_what_is_guarded(way: str, before: str, after: str) -> None:
    names = [name for name, _ in GATES[way]]
    assert names.index(before) < names.index(after)


def test_a_gate_turned_into_a_plain_step_is_told_with_its_line(doctored: Callable[..., Path]) -> None:
    text = complaints(doctored("procedures/en/clamp-and-gap.md", r"#gap-checked \.hold", "#gap-checked"))
    told = r"clamp-and-gap\.md:\d+: gap-checked: the step is no hold point any more; mark it \.hold"
    assert re.search(told, text)


def test_a_gate_taken_out_is_told(doctored: Callable[..., Path]) -> None:
    pattern = r"^\d+\. Main is at no pressure.*\n +\{: #main-no-pressure.*\n"
    folder = doctored("procedures/en/wait-test-cut-join.md", pattern, "")
    record = folder / "procedures" / "en" / "joint-record.yaml"
    record.write_text(record.read_text("utf-8").replace("step: main-no-pressure, ", ""), "utf-8")
    assert "the step 'main-no-pressure' is missing from the procedures" in complaints(folder)


def test_a_procedure_moved_before_a_gate_is_told(doctored: Callable[..., Path]) -> None:
    """Power before the gap is proved."""
    text = complaints(doctored("procedures/en/power-and-fuse.md", r"^order: 80", "order: 65"))
    assert "the step stands before a gate that comes first; put it back in its order" in text


@pytest.mark.parametrize(
    ("file", "pattern", "new", "told"),
    [
        ("clamp-and-gap.md", r"^on: \[pack, cards, site\]", "on: [pack, site]",
         r"gap-checked: the step guards the work, and its procedure is not on the cards; write 'on: \[pack, "
         r"cards, …\]' at the head of clamp-and-gap"),
        ("power-and-fuse.md", r"^on: \[pack, cards, site\]", "on: [site]",
         "display-equals-label: the step guards the work, and its procedure is not on the pack and the card"),
        ("close-out.md", r"^on: \[pack, cards, site\]", "on: [cards]",
         "second-look: the step guards the work, and its procedure is not on the pack"),
        ("wipe-dry.md", r"^on: ", "once: first\non: ",
         "fully-dry: the step guards every joint, and its procedure stands with the first one alone; take "
         "'once' out of wipe-dry"),
        ("wait-coupling.md", r"^on: ", "once: last\non: ",
         "waits-over: the step guards every joint, and its procedure stands with the last one alone"),
        ("close-out.md", r"^once: last", "once: first",
         "second-look: the step guards every joint, and its procedure stands with the first one alone"),
    ],
)  # fmt: skip
def test_a_gate_that_some_crew_would_not_read_is_told(
    doctored: Callable[..., Path], file: str, pattern: str, new: str, told: str
) -> None:
    """On paper or cards, or with one of several joints: told at the step's own line."""
    text = complaints(doctored(f"procedures/en/{file}", pattern, new))
    assert re.search(rf"{re.escape(file)}:\d+: {told}", text), text


@pytest.mark.parametrize(
    ("file", "pattern", "new"),
    [
        ("clamp-and-gap.md", r"^on: \[pack, cards, site\]", "on: [cards, pack]"),  # the site is no crew
        ("close-out.md", r"^once: last\n", ""),  # a second look at every joint is no less
        ("sizes.md", r"^on: \[pack, site\]", "on: [site]"),  # no gate stands there
    ],
)
def test_what_every_crew_still_reads_is_taken(
    doctored: Callable[..., Path], file: str, pattern: str, new: str
) -> None:
    assert load(doctored(f"procedures/en/{file}", pattern, new)).procedures


@pytest.mark.parametrize("name", ["our-rules.YAML", "notes.MD", "rules.Yml"])
def test_a_file_that_would_not_be_read_is_told(name: str, tmp_path: Path) -> None:
    """Else the packaged rule would print in place of the owner's, without a word."""
    ours = tmp_path / "ours"
    ours.mkdir()
    mark = "kind: content folder\ntitle: Ours\nrevision: 1\ndate: 2026-05-01\n"
    (ours / "packgen.yaml").write_text(mark, "utf-8")
    (ours / name).write_text("kind: work rules\n", "utf-8")
    assert f"{name}: the file is not read; name it {name.lower()}" in complaints(ours)


def test_a_link_to_a_folder_is_told(tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    ours.mkdir()
    mark = "kind: content folder\ntitle: Ours\nrevision: 1\ndate: 2026-05-01\n"
    (ours / "packgen.yaml").write_text(mark, "utf-8")
    (tmp_path / "elsewhere").mkdir()
    (ours / "rules").symlink_to(tmp_path / "elsewhere")
    assert "a link to a folder is not followed; put the folder itself here" in complaints(ours)
