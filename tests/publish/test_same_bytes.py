"""Same input, same bytes: whatever the clock, the time zone, the hash seed, the language or the number of
workers.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from packgen.publish.write import LIST

ARCHIVE = "crew-pack-archive.pdf"


def differences(one: Path, other: Path) -> list[str]:
    """The names of files that are not the same in two folders."""
    names = {path.name for folder in (one, other) for path in folder.iterdir()}
    return sorted(
        name
        for name in names
        if not (one / name).is_file()
        or not (other / name).is_file()
        or (one / name).read_bytes() != (other / name).read_bytes()
    )


def test_another_run_makes_the_same_bytes(issued: dict[str, Any], issued_alone: Any) -> None:
    """Every file, issued elsewhere, at another minute, by one worker instead of two, alone instead of beside
    another job, in another time zone and language, with another hash seed; a copy to archive changes none.
    """
    job, again = issued["first-lateral"].folder, issued_alone.folder
    assert differences(job, again) == sorted([LIST, ARCHIVE])
    listed, listed_again = ((folder / LIST).read_text("utf-8").splitlines() for folder in (job, again))
    assert [name for name in listed_again if ARCHIVE not in name] == listed
    assert len(listed_again) == len(listed) + 1


def test_a_difference_is_seen(issued: dict[str, Any], tmp_path: Path) -> None:
    """The comparison itself: a changed byte and a missing file are both told."""
    for path in issued["first-lateral"].folder.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes() + (b" " if path.suffix == ".csv" else b""))
    (tmp_path / "index.html").unlink()
    assert differences(issued["first-lateral"].folder, tmp_path) == ["index.html", "values.csv"]
