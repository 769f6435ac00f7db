"""What a job may not be made for, and what its cover asks of the owner's rule."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packgen.errors import PackgenError
from packgen.publish.write import write_folder

Packgen = Callable[..., Any]


def test_isolation_for_which_no_procedure_is_written_is_refused(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    """A pack that says "isolated by valves" and holds no such sheet would leave the step to memory."""
    path = job_file(("by: squeeze-off", "by: valves"), of="repair-tie-in")
    ran = packgen("job", path, "--output", tmp_path / "out")
    assert ran.code == 1
    assert "no procedure is written for isolation by valves; isolate by squeeze-off" in ran.err
    assert not (tmp_path / "out").exists()


def test_a_method_for_which_no_procedure_is_written_is_refused(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    """Even where the family names it: nothing in the pack would say how to wait, test and cut."""
    path = job_file(("state: dry ", "state: live "), ("method: open drill", "method: through a valve"))
    ran = packgen("job", path, "--output", tmp_path / "out")
    assert ran.code == 1
    assert "no procedure is written for the method 'through a valve'; choose open drill" in ran.err


def test_a_hot_day_asks_for_the_extra_wait_on_the_cover(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path, read_pages: Callable[[Path], tuple[str, ...]]
) -> None:
    """Planned air above the temperature of the stated waits: one box more; below it, none."""
    covers = []
    for air in ("73 degF", "85 degF"):
        path = job_file(("ambient: 68 degF", f"ambient: {air}"), name="hot")
        out = tmp_path / air.replace(" ", "")
        ran = packgen("job", path, "--output", out, "--workers", "1")
        assert ran.code == 0, ran.err
        covers.append(re.sub(r"\s+", " ", read_pages(out / "jobs" / "HL-0427" / "crew-pack.pdf")[0]))
    assert "Extra wait above 23 °C [73 °F]: ENTER" not in covers[0]
    assert "Extra wait above 23 °C [73 °F]: ENTER" in covers[1]
    for cover in covers:
        assert "Test pressure, main uncut: ENTER" in cover
        assert "Hold time of the test: ENTER" in cover


def test_a_folder_that_packgen_did_not_write_is_never_replaced(tmp_path: Path) -> None:
    """`--output` pointed at somebody's own folder must not take its files away."""
    folder = tmp_path / "cards"
    folder.mkdir()
    (folder / "precious.txt").write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match="holds files packgen did not write: precious.txt"):
        write_folder(folder, {"values.json": b"{}"})
    assert (folder / "precious.txt").read_text("utf-8") == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cards"]


def test_an_empty_folder_and_one_of_packgen_s_own_are_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "cards"
    folder.mkdir()
    write_folder(folder, {"values.json": b"1", "old.pdf": b"x"})
    write_folder(folder, {"values.json": b"2"})
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == {"values.json": b"2"}
