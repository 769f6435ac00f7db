"""Folders appear whole or not at all, whatever goes wrong on the way."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from packgen.errors import PackgenError
from packgen.publish.write import LIST, write_folder, write_parts

OLD = {"values.json": b"old", "inner/page.html": b"old page"}
NEW = {"values.json": b"new", "crew-pack.pdf": b"%PDF", "inner/deep/card.pdf": b"%PDF card"}


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, hidden ones too, but for packgen's own list of them."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != LIST
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


@pytest.mark.parametrize("own", ["notes.txt", "inner/notes.txt", "new/deep/notes.txt", "values.json.bak"])
def test_one_file_of_somebody_s_own_keeps_the_whole_folder(own: str, folder: Path) -> None:
    """A file that packgen wrote beside it does not make it packgen's; nor does its depth."""
    mine = folder / own
    mine.parent.mkdir(parents=True, exist_ok=True)
    mine.write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match=f"holds files packgen did not write: {own}; move them, or give"):
        write_folder(folder, NEW)
    assert tree(folder) == {**OLD, own: b"mine"}
    mine.unlink()
    for empty in (
        parent for parent in mine.parents if folder in parent.parents and not any(parent.iterdir())
    ):
        empty.rmdir()
    write_folder(folder, NEW)
    assert tree(folder) == NEW


@pytest.mark.parametrize("name", ["values.json", "site.css", "catalogue.csv"])
def test_a_folder_without_the_list_is_not_packgen_s_whatever_its_files_are_called(
    name: str, tmp_path: Path
) -> None:
    own = tmp_path / "catalogue"
    own.mkdir()
    (own / name).write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match=f"did not write: {name}"):
        write_folder(own, NEW)
    (own / LIST).write_text(f"somebody's own list\n{name}\n", "utf-8")
    with pytest.raises(PackgenError, match=r"did not write: \.packgen"):
        write_folder(own, NEW)
    assert tree(own) == {name: b"mine"}


@pytest.mark.parametrize("inside", [".", "inner"])
def test_a_link_and_an_empty_folder_are_somebody_s_own_too(inside: str, folder: Path, tmp_path: Path) -> None:
    """What a link leads to is not looked into."""
    elsewhere = tmp_path / "elsewhere"
    write_folder(elsewhere, OLD)
    link = folder / inside / "link"
    link.symlink_to(elsewhere)
    with pytest.raises(PackgenError, match="link"):
        write_folder(folder, NEW)
    link.unlink()
    (folder / inside / "empty").mkdir()
    with pytest.raises(PackgenError, match="empty"):
        write_folder(folder, NEW)
    assert tree(elsewhere) == OLD == tree(folder)


def test_what_a_machine_leaves_behind_is_nobody_s_own(folder: Path) -> None:
    (folder / ".DS_Store").write_bytes(b"x")
    (folder / "inner" / "Thumbs.db").write_bytes(b"x")
    write_folder(folder, NEW)
    assert tree(folder) == NEW


def test_the_list_names_the_files_of_every_part(tmp_path: Path) -> None:
    folder = tmp_path / "catalogue"
    write_parts(folder, ({"b/pack.pdf": b"1"}, {"a.csv": b"2"}))
    assert (folder / LIST).read_text("utf-8").splitlines()[1:] == ["a.csv", "b/pack.pdf"]
    write_parts(folder, ({"a.csv": b"3"},))
    assert tree(folder) == {"a.csv": b"3"}


def test_a_folder_handed_over_has_no_list_and_is_never_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "ours"
    write_folder(folder, NEW, listed=False)
    assert not (folder / LIST).exists()
    with pytest.raises(PackgenError, match=r"did not write: crew-pack\.pdf, inner/deep/card\.pdf, values"):
        write_folder(folder, OLD)


@pytest.mark.parametrize("there", [False, True])
def test_folders_made_on_the_way_go_again_where_writing_fails(there: bool, tmp_path: Path) -> None:
    """Those that stood before stay."""
    if there:
        (tmp_path / "build").mkdir()

    def broken() -> Iterator[dict[str, bytes]]:
        yield NEW
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_parts(tmp_path / "build" / "jobs" / "HL-0427", broken())
    assert [path.name for path in tmp_path.rglob("*")] == (["build"] if there else [])


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
