"""`check` finds all that can be wrong with content in one run, and writes nothing."""

from __future__ import annotations

import datetime
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from packgen.check import check

ROOT = Path(__file__).parents[1]
TODAY = datetime.date(2026, 6, 1)
Edit = Callable[..., None]


KEPT = (
    "3 in\n    lateral: 2 in",
    "6 in\n    lateral: 2 in",
    "8 in\n    lateral: 4 in",
    "160 mm ISO\n    lateral: 63 mm",
)


@pytest.fixture
def content(tmp_path: Path) -> Path:
    """A copy of the starter content, which may be doctored; of its family's pairs a few, at DR 11 alone."""
    copy = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    family = copy / "fittings" / "demo-saddle-screw.yaml"
    head, *pairs = re.split(r"(?m)^  - main: ", family.read_text("utf-8"))
    assert "dr_min: 9, dr_max: 17" in head
    kept = [f"  - main: {pair}" for pair in pairs if pair.startswith(KEPT)]
    assert len(kept) == len(KEPT) < len(pairs)
    family.write_text(
        head.replace("dr_min: 9, dr_max: 17", "dr_min: 11, dr_max: 11") + "".join(kept), "utf-8"
    )
    (copy / "jobs" / "metric-lateral.yaml").unlink(missing_ok=True)  # its pair is not among the few
    return copy


@pytest.fixture
def edit(content: Path) -> Edit:
    """Change words of a file of the copy."""

    def change(name: str, *changes: tuple[str, str]) -> None:
        path = content / name
        text = path.read_text("utf-8")
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        path.write_text(text, "utf-8")

    return change


def snapshot(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Every file below a folder with its bytes and its time."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in folder.rglob("*")
        if path.is_file()
    }


def said(content: Path, today: datetime.date = TODAY) -> list[str]:
    """The problems of a content folder."""
    return [str(problem) for problem in check(content, today).problems]


def test_the_starter_is_without_fault_and_untouched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every combination, every job; no file is made or changed."""
    content = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    monkeypatch.chdir(tmp_path)
    before = snapshot(tmp_path)
    found = check(content, TODAY)
    assert snapshot(tmp_path) == before
    assert (found.problems, found.warnings) == ((), ())
    looked = found.looked_at
    assert 60 <= looked["permitted"] < looked["combinations"]
    assert looked["families"] >= 1 and looked["jobs"] >= 2
    assert looked["work rules"] > 40 and looked["procedures"] >= 14


def test_an_overdue_review_is_a_warning_by_today_s_date(content: Path) -> None:
    """On the day itself it is not yet overdue; a day later each rule due that day is named with its place."""
    due = max(datetime.date.fromisoformat(line.split()[-1]) for line in due_lines(content))
    assert check(content, datetime.date(2000, 1, 1)).warnings == ()
    late = check(content, due + datetime.timedelta(days=1))
    assert late.problems == ()
    assert len(late.warnings) == late.looked_at["work rules"]
    first = min(datetime.date.fromisoformat(line.split()[-1]) for line in due_lines(content))
    assert check(content, first).warnings == ()
    (warning, *_) = check(content, first + datetime.timedelta(days=1)).warnings
    assert "work-rules.yaml:" in str(warning)
    assert f"was to be reviewed by {first}; review it and write a new date" in str(warning)


def due_lines(content: Path) -> list[str]:
    """The lines of the rules file that say when a rule is reviewed."""
    text = (content / "rules" / "work-rules.yaml").read_text("utf-8")
    found = [line.strip().split("#")[0].strip() for line in text.splitlines() if "review_by:" in line]
    assert found
    return found


def test_a_refused_job_is_a_problem_with_reason_and_cure(content: Path, edit: Edit) -> None:
    """Named with file and joint; the other job is looked at all the same."""
    edit("jobs/first-lateral.yaml", ("state: dry", "state: live"))
    edit("jobs/repair-tie-in.yaml", ("calibrated_until: 2027-01-31", "calibrated_until: 2026-05-18"))
    live, calibration = said(content)
    assert "jobs/first-lateral.yaml:" in live and "joints[0]: refused:" in live
    assert "live main" in live and "isolate the main" in live
    assert "jobs/repair-tie-in.yaml:" in calibration and "calibration ended" in calibration


def test_a_job_that_cannot_be_read_is_a_problem_beside_the_others(content: Path, edit: Edit) -> None:
    """Each mistake of each job file, in one run."""
    edit("jobs/first-lateral.yaml", ("contents: water", "contents: watr"), ("revision: 1", "revision: one"))
    edit("jobs/repair-tie-in.yaml", ("state: isolated", "state: isolted"))
    found = said(content)
    assert len(found) >= 3
    assert any("'watr'" in line and "did you mean 'water'?" in line for line in found)
    assert any("revision" in line for line in found)
    assert any("'isolted'" in line for line in found)


def test_faults_of_several_files_come_out_in_one_run(content: Path, edit: Edit) -> None:
    """A family, a procedure and a rule: every file's mistake with its line."""
    edit("fittings/demo-saddle-screw.yaml", ("type: branch saddle", "type: branch sadle"))
    edit("procedures/en/prepare.md", ("{{ peel.depth_min }}", "{{ peel.dept_min }}"))
    edit("tools/hole-saws.yaml", ("system: inch", "system: inches"))
    found = said(content)
    for file, words in (
        ("fittings/demo-saddle-screw.yaml:", "branch sadle"),
        ("procedures/en/prepare.md:", "peel.dept_min"),
        ("tools/hole-saws.yaml:", "inches"),
    ):
        assert any(file in line and words in line for line in found), (file, found)


def test_a_gate_that_a_size_cannot_fill_is_found_without_a_job(content: Path, edit: Edit) -> None:
    """A hold with a value only a job has would refuse every card set: told once, with its place."""
    edit(
        "procedures/en/clamp-and-gap.md",
        (
            "Feeler {{ gap.feeler }} does not enter",
            "Angle {{ place.clock_angle }} is kept; feeler does not enter",
        ),
    )
    (problem,) = said(content)
    assert "procedures/en/clamp-and-gap.md:" in problem
    assert "the gate 'gap-checked' needs place.clock_angle" in problem


def test_words_that_fit_no_card_are_found(content: Path, edit: Edit) -> None:
    """The sheet, the words and the medium; told once although every size has them."""
    long = "Close the can and look round the place again. " * 60
    edit("procedures/en/prepare.md", ("Close the can.", long.strip()))
    found = said(content)
    assert len(found) == 1
    assert "on the sheet 'Prepare the main'" in found[0] and "do not fit one card face" in found[0]


def test_a_folder_of_your_own_is_checked_with_the_starter(tmp_path: Path) -> None:
    """A family of one's own that names a material nobody knows."""
    own = tmp_path / "own"
    (own / "fittings").mkdir(parents=True)
    (own / "packgen.yaml").write_text(
        "kind: content folder\ntitle: Own\nrevision: 1\ndate: 2026-05-01\n", "utf-8"
    )
    text = (ROOT / "content" / "fittings" / "demo-saddle-screw.yaml").read_text("utf-8")
    assert "id: demo-saddle-screw" in text and "PE4710" in text
    text = text.replace("id: demo-saddle-screw", "id: own-saddle", 1).replace("PE4710", "PE4711", 1)
    (own / "fittings" / "own.yaml").write_text(text, "utf-8")
    found = said(own)
    assert found and all("own.yaml:" in line and "PE4711" in line for line in found)
