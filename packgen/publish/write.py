"""Files that appear whole or not at all.

In: a folder and the bytes of each file. Out: the folder with exactly those files. Vocabulary: a folder is
written beside its place under a hidden name, then put in its place in one move; what stood there before
goes only when the new one is complete.
"""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from packgen.errors import PackgenError, Place, Problem

MARKS = {"values.json", "site.css"}  # one of them stands in every folder packgen writes

def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put `files` (name below the folder → bytes) in `folder`, replacing what stood there.

    Raises `PackgenError` where the folder cannot be written, leaving it as it was.
    """
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(
            dir=folder.parent, prefix=f".{folder.name}.", ignore_cleanup_errors=True
        ) as made:
            new, old = Path(made) / "new", Path(made) / "old"
            for name, content in files.items():
                path = new / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            _swap(folder, new, old)
    except OSError as error:
        what = f"cannot write {error.filename or folder}: {error.strerror}"
        raise PackgenError(
            [Problem(Place(str(folder)), what, cure="free the folder, or give another with --output")]
        ) from None


def _require_ours(folder: Path) -> None:
    """Refuse to replace a folder that packgen did not write: it would take somebody's files with it."""
    names = {path.name for path in folder.iterdir()}
    if names and not names & MARKS:
        what = f"the folder holds files packgen did not write: {', '.join(sorted(names)[:3])}"
        cure = "move them, or give another folder with --output"
        raise PackgenError([Problem(Place(str(folder)), what, cure=cure)])


def _swap(folder: Path, new: Path, old: Path) -> None:
    """Move what stands in the folder's place to `old` and `new` into it, or change nothing.

    A symlink is replaced itself, never followed; a plain file is somebody's own and stays.
    """
    there = os.path.lexists(folder)
    if there and not folder.is_symlink() and not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
    if there and not folder.is_symlink():
        _require_ours(folder)
    if there:
        folder.rename(old)
    try:
        new.rename(folder)
    except BaseException:  # an interruption too: the old folder must not go with the temporary one
        if there:
            old.rename(folder)
        raise
