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
    assert [gate for _, gate in GATES].count("hold") >= 7


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
