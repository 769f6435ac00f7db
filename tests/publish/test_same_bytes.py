"""Same input, same bytes: whatever the clock, the time zone, the hash seed, the language or the number of
workers.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
JOB = ROOT / "content" / "jobs" / "first-lateral.yaml"


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


@pytest.mark.parametrize(
    ("environment", "workers"),
    [
        ({"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1"}, "1"),
        (
            {
                "TZ": "America/Adak",
                "PYTHONHASHSEED": "2",
                "LANG": "tr_TR.UTF-8",
                "SOURCE_DATE_EPOCH": "86400",
            },
            "2",
        ),
    ],
    ids=["one worker", "two workers"],
)
def test_another_run_makes_the_same_bytes(
    environment: dict[str, str],
    workers: str,
    issued: dict[str, Any],
    packgen_process: Callable[..., Any],
    tmp_path: Path,
) -> None:
    """All six files, issued elsewhere, at another minute, alone instead of beside another job."""
    # The clock moves on between runs; a file of another age must not matter either.
    job = tmp_path / "elsewhere.yaml"
    job.write_bytes(JOB.read_bytes())
    os.utime(job, (1, 1))
    ran = packgen_process("job", job, "--workers", workers, cwd=tmp_path, environment=environment)
    assert ran.code == 0, ran.err
    assert differences(issued["first-lateral"].folder, tmp_path / "build" / "jobs" / "HL-0427") == []


def test_a_difference_is_seen(issued: dict[str, Any], tmp_path: Path) -> None:
    """The comparison itself: a changed byte and a missing file are both told."""
    for path in issued["first-lateral"].folder.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes() + (b" " if path.suffix == ".csv" else b""))
    (tmp_path / "index.html").unlink()
    assert differences(issued["first-lateral"].folder, tmp_path) == ["index.html", "values.csv"]
