"""Folders appear whole or not at all, whatever goes wrong on the way."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from packgen.errors import PackgenError
from packgen.publish.write import write_folder

OLD = {"values.json": b"old", "inner/page.html": b"old page"}
NEW = {"values.json": b"new", "crew-pack.pdf": b"%PDF", "inner/deep/card.pdf": b"%PDF card"}


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that was written before."""
    target = tmp_path / "build" / "jobs" / "HL-0427"
    write_folder(target, OLD)
    return target


def test_a_folder_holds_exactly_the_files_given(folder: Path, tmp_path: Path) -> None:
    """What stood there before is gone, and nothing is left beside it."""
    assert tree(folder) == OLD
    write_folder(folder, NEW)
    assert tree(tmp_path) == {f"build/jobs/HL-0427/{name}": content for name, content in NEW.items()}
    assert [path.name for path in folder.parent.iterdir()] == ["HL-0427"]


def test_a_file_that_cannot_be_written_leaves_the_old_folder(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The third file fails on a full disk: all of the old, none of the new."""
    whole = Path.write_bytes

    def full(self: Path, data: bytes) -> int:
        if self.name == "card.pdf":
            raise OSError(28, "No space left on device", str(self))
        return whole(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(PackgenError, match="No space left on device; free the folder"):
        write_folder(folder, NEW)
    assert tree(tmp_path) == {f"build/jobs/HL-0427/{name}": content for name, content in OLD.items()}


@pytest.mark.parametrize("failing", ["HL-0427", "old"])
def test_a_move_that_fails_leaves_the_old_folder(
    failing: str, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither the old folder's move aside nor the new one's move in may lose the old files."""
    whole = Path.rename
    failed = []

    def rename(self: Path, target: Path) -> Path:
        if target.name == failing and not failed:
            failed.append(target)
            raise OSError(5, "Input/output error", str(self))
        return whole(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(PackgenError, match="Input/output error"):
        write_folder(folder, NEW)
    assert failed
    assert tree(tmp_path) == {f"build/jobs/HL-0427/{name}": content for name, content in OLD.items()}


def test_an_interruption_leaves_the_old_folder(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C between the two moves is no exception to the rule."""
    whole = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise KeyboardInterrupt
        return whole(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(KeyboardInterrupt):
        write_folder(folder, NEW)
    assert tree(tmp_path) == {f"build/jobs/HL-0427/{name}": content for name, content in OLD.items()}


def test_a_file_where_the_folder_should_be_is_refused(tmp_path: Path) -> None:
    """A file of somebody's own is not swept away."""
    target = tmp_path / "cards"
    target.write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match="cards"):
        write_folder(target, NEW)
    assert tree(tmp_path) == {"cards": b"mine"}


def test_a_file_where_a_parent_should_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "build").write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match="cannot write"):
        write_folder(tmp_path / "build" / "cards", NEW)
    assert tree(tmp_path) == {"build": b"mine"}


@pytest.mark.parametrize("dangling", [False, True])
def test_a_symlink_in_the_folder_s_place_is_replaced_and_never_followed(
    tmp_path: Path, dangling: bool
) -> None:
    """What the link leads to keeps its files."""
    elsewhere = tmp_path / "elsewhere"
    if not dangling:
        write_folder(elsewhere, OLD)
    target = tmp_path / "build" / "cards"
    target.parent.mkdir()
    target.symlink_to(elsewhere)
    write_folder(target, NEW)
    assert tree(target) == NEW and not target.is_symlink()
    assert not elsewhere.exists() if dangling else tree(elsewhere) == OLD


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_nobody_may_write_to_is_refused(tmp_path: Path) -> None:
    """The sentence names the folder and the cure."""
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o555)
    with pytest.raises(
        PackgenError, match="Permission denied; free the folder, or give another with --output"
    ):
        write_folder(closed / "cards", NEW)


def test_permissions_are_those_of_an_ordinary_folder(folder: Path) -> None:
    """A crew's colleague may read it: not the closed mode of a temporary folder."""
    mask = os.umask(0)
    os.umask(mask)
    assert folder.stat().st_mode & 0o777 == 0o777 & ~mask
