"""Files that appear whole or not at all.

In: a folder and the bytes of each file. Out: the folder with exactly those files and their *list*.
Vocabulary: a folder is written beside its place under a hidden name, then put in its place in one move; what
stood there before goes only when the new one is complete. The list names every file that packgen wrote, so
that a folder with any other file in it is left alone: replacing it would take somebody's own file away.
"""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from packgen.errors import PackgenError, Place, Problem

LIST = ".packgen"
_LIST_HEAD = "# The files that packgen wrote here. It replaces this folder only while it holds no other file."
# What a machine leaves in a folder that somebody looks into: nobody's own.
_LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}


def write_folder(folder: Path, files: Mapping[str, bytes], *, listed: bool = True) -> None:
    """Put `files` (name below the folder → bytes) in `folder`, replacing what packgen wrote there before.

    `listed` False leaves the list out: the folder is its owner's from now on, and never replaced. Raises
    `PackgenError` where the folder cannot be written, leaving it as it was.
    """
    write_parts(folder, (files,), listed=listed)


def write_parts(folder: Path, parts: Iterable[Mapping[str, bytes]], *, listed: bool = True) -> None:
    """As `write_folder`, with files that come part by part: each part is written before the next is made.

    A place that cannot be taken is refused before the first part is asked for.
    """
    try:
        _require_free(folder)
        with (
            made_folder(folder.parent),
            tempfile.TemporaryDirectory(
                dir=folder.parent, prefix=f".{folder.name}.", ignore_cleanup_errors=True
            ) as made,
        ):
            new, old = Path(made) / "new", Path(made) / "old"
            names: list[str] = []
            for files in parts:
                _put(new, files)
                names += files
            if listed:
                _put(new, {LIST: "\n".join([_LIST_HEAD, *sorted(names), ""]).encode()})
            _swap(folder, new, old)
    except OSError as error:
        what = f"cannot write {error.filename or folder}: {error.strerror}"
        raise PackgenError(
            [Problem(Place(str(folder)), what, cure="free the folder, or give another with --output")]
        ) from None


@contextmanager
def made_folder(folder: Path) -> Iterator[None]:
    """A folder that is there while one writes below it; what had to be made goes again where that fails."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for each in missing:
            with suppress(OSError):  # not made after all, or somebody else put a file there meanwhile
                each.rmdir()
        raise


def _put(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files below a folder."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def _require_free(folder: Path) -> None:
    """Refuse a place that holds a plain file, or a folder that packgen did not write."""
    if not os.path.lexists(folder) or folder.is_symlink():
        return
    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
    _require_ours(folder)


def _require_ours(folder: Path) -> None:
    """Refuse to replace a folder that holds a file packgen did not write there."""
    foreign = sorted(_held(folder) - _listed(folder))
    if foreign:
        what = f"the folder holds files packgen did not write: {', '.join(foreign[:3])}"
        cure = "move them, or give another folder with --output"
        raise PackgenError([Problem(Place(str(folder)), what, cure=cure)])


def _held(folder: Path) -> set[str]:
    """Every file below a folder; a link counts as a file wherever it leads, an empty folder as one too."""
    held = set()
    for path in folder.rglob("*"):
        if path.is_symlink() or not path.is_dir() or not any(path.iterdir()):
            held.add(path.relative_to(folder).as_posix())
    return {name for name in held if name.rpartition("/")[2] not in _LITTER}


def _listed(folder: Path) -> set[str]:
    """The files that packgen wrote into a folder, by its list; none where there is no list."""
    try:
        lines = (folder / LIST).read_text("utf-8").splitlines()
    except (FileNotFoundError, IsADirectoryError, UnicodeDecodeError):
        return set()
    return {LIST, *lines[1:]} if lines[:1] == [_LIST_HEAD] else set()


def _swap(folder: Path, new: Path, old: Path) -> None:
    """Move what stands in the folder's place to `old` and `new` into it, or change nothing.

    A symlink is replaced itself, never followed; a plain file is somebody's own and stays.
    """
    there = os.path.lexists(folder)
    _require_free(folder)  # again: making the parts may have taken an hour
    if there:
        folder.rename(old)
    try:
        new.rename(folder)
    except BaseException:  # an interruption too: the old folder must not go with the temporary one
        if there:
            old.rename(folder)
        raise
