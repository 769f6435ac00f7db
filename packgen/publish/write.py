"""Files that appear whole or not at all.

In: a folder and the bytes of each file. Out: the folder with exactly those files. Vocabulary: a folder is
written beside its place under a hidden name, then put in its place in one move; what stood there before
goes only when the new one is complete.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from packgen.errors import PackgenError, Place, Problem


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put `files` (name below the folder → bytes) in `folder`, replacing what stood there.

    Raises `PackgenError` where the folder cannot be written, leaving it as it was.
    """
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}.") as made:
            new, old = Path(made) / "new", Path(made) / "old"
            for name, content in files.items():
                path = new / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            if folder.exists():
                folder.rename(old)
            try:
                new.rename(folder)
            except OSError:
                if old.exists():
                    old.rename(folder)
                raise
            shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        what = f"cannot write {error.filename or folder}: {error.strerror}"
        raise PackgenError(
            [Problem(Place(str(folder)), what, cure="free the folder, or give another with --output")]
        ) from None
