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
    """A copy of the starter content, which may be doctored; a few pairs of one family, at DR 11."""
    copy = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    family = copy / "fittings" / "demo-saddle-screw.yaml"
    head, *pairs = re.split(r"(?m)^  - main: ", family.read_text("utf-8"))
    assert "dr_min: 9, dr_max: 17" in head
    kept = [f"  - main: {pair}" for pair in pairs if pair.startswith(KEPT)]
    assert len(kept) == len(KEPT) < len(pairs)
    family.write_text(
        head.replace("dr_min: 9, dr_max: 17", "dr_min: 11, dr_max: 11") + "".join(kept), "utf-8"
    )
    for path in (copy / "fittings").glob("*.yaml"):
        if path != family:
            path.unlink()
    for path in (copy / "jobs").glob("*.yaml"):  # those whose pairs are among the few are kept
        if path.stem not in {"first-lateral", "repair-tie-in"}:
            path.unlink()
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


def test_the_starter_is_without_fault_and_untouched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every combination, every job; no file is made or changed."""
    content = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    monkeypatch.chdir(tmp_path)
    before = snapshot(tmp_path)
    found = check(content, TODAY, workers=2)
    assert snapshot(tmp_path) == before
    assert (found.problems, found.warnings) == ((), ())
    looked = found.looked_at
    assert (looked["families"], looked["jobs"]) == (5, 6)
    assert (looked["combinations"], looked["permitted"]) == (323, 312)
    assert looked["work rules"] >= 74 and looked["procedures"] >= 32


def test_a_pair_with_too_little_saddle_beside_the_hole_is_told_at_its_line(content: Path, edit: Edit) -> None:
    """Not physically possible by its own drawing data: line, reason, cure; once, whatever the ratios."""
    drawing = ("fusion_area: 37500 mm2, base_length: 270 mm", "fusion_area: 9000 mm2, base_length: 140 mm")
    edit("fittings/demo-saddle-screw.yaml", ("dr_min: 11, dr_max: 11", "dr_min: 9, dr_max: 11"), drawing)
    text = (content / "fittings" / "demo-saddle-screw.yaml").read_text("utf-8")
    line = text[: text.index("main: 8 in\n    lateral: 4 in")].count("\n") + 1
    pair, job = said(content)
    assert f"demo-saddle-screw.yaml:{line}:" in pair
    assert "repair-tie-in.yaml:" in job  # which has that pair
    for told in (pair, job):
        assert "of saddle is left beside the hole along the main, the work rule asks for 30 mm" in told
        assert told.endswith("such a main needs a tee")
    assert [str(problem) for problem in check(content, TODAY, workers=3).problems] == [pair, job]


def test_a_pair_that_no_ratio_permits_is_told_at_its_line(content: Path, edit: Edit) -> None:
    """Refused at DR 9 and at DR 11: told with the reason at the one that comes nearest; the others stand."""
    edit("fittings/demo-saddle-screw.yaml", ("dr_min: 11, dr_max: 11", "dr_min: 9, dr_max: 11"),
         ("fuse: {time: 78 s,", "fuse: {main_wall_min: 10 mm, time: 78 s,"))  # fmt: skip
    text = (content / "fittings" / "demo-saddle-screw.yaml").read_text("utf-8")
    line = text[: text.index("main: 3 in\n    lateral: 2 in")].count("\n") + 1
    (problem,) = said(content)
    assert f"demo-saddle-screw.yaml:{line}:" in problem and "pairs[0]" in problem
    assert "the pair is refused at every ratio; at DR 9: the main's wall 0.389 in" in problem
    assert "is thinner than the fitting may be fused to (10 mm [0.394 in])" in problem
    assert problem.endswith("take another fitting, or replace the main at this place")


def test_a_pair_that_one_ratio_permits_is_no_problem(content: Path, edit: Edit) -> None:
    """DR 9 has the wall that DR 11 has not."""
    edit("fittings/demo-saddle-screw.yaml", ("dr_min: 11, dr_max: 11", "dr_min: 9, dr_max: 11"),
         ("fuse: {time: 78 s,", "fuse: {main_wall_min: 9.8 mm, time: 78 s,"))  # fmt: skip
    found = check(content, TODAY)
    assert found.problems == ()
    assert found.looked_at["combinations"] - found.looked_at["permitted"] == 1


@pytest.mark.parametrize(("torque", "warned"), [("1 N*m", False), ("250 N*m", True)])
def test_a_torque_above_what_the_screw_bears_is_a_warning_at_its_pair(
    content: Path, edit: Edit, torque: str, warned: bool
) -> None:
    """The label's figure still prints: nobody makes up another; whoever checks the content is told."""
    screws = "screw_count: 4, screw_size: M8"
    edit("fittings/demo-saddle-screw.yaml", (f"{screws}}}", f"{screws}, torque: {torque}}}"))
    found = check(content, TODAY)
    assert found.problems == ()
    assert len(found.warnings) == warned
    for warning in map(str, found.warnings):
        assert re.search(r"demo-saddle-screw\.yaml:\d+:\d+: pairs\[0\]: the torque 250 N·m", warning), warning
        assert "is above what screw or lug bears at the least friction, " in warning
        assert warning.endswith("if they are right ask the fitting's maker")


def test_a_conductor_of_no_table_is_a_warning(content: Path, edit: Edit) -> None:
    """A job's own cord may be of it; the cords that sheets list are others."""
    edit("tools/conductors.yaml", ("size: 16 mm2", "size: 25 mm2"))
    found = check(content, TODAY)
    assert found.problems == ()
    (warning,) = map(str, found.warnings)
    assert re.search(r"conductors\.yaml:\d+:", warning)
    assert "the conductor mm2-16 of 25 mm2 stands in no table of cords; keep it where jobs name" in warning


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
    assert re.search(r"work-rules\.yaml:\d+:.* the work rule [a-z-]+ was to be reviewed", str(warning))
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
    edit("procedures/en/wipe-dry.md", ("Close the can.", long.strip()))
    found = [line for line in said(content) if "do not fit one card face" in line]
    assert found and len(set(found)) == len(found) <= 2  # one for each form of card
    assert all("on the sheet 'Wipe and dry'" in line for line in found)


def test_a_sentence_that_is_unclear_is_told_beside_a_refused_job(content: Path, edit: Edit) -> None:
    """In one run, at its own line."""
    old, new = "Dry the main with clean cloths.", "Ensure the main is dry."
    edit("procedures/en/prepare.md", (old, new))
    edit("jobs/first-lateral.yaml", ("state: dry", "state: live"))
    text = (content / "procedures" / "en" / "prepare.md").read_text("utf-8")
    line = text[: text.index(new)].count("\n") + 1
    job, sentence = said(content)
    assert "jobs/first-lateral.yaml:" in job and "refused:" in job
    assert sentence.endswith(
        f"procedures/en/prepare.md:{line}: main-dried: 'Ensure' is not written: 'Ensure the main is dry.'; "
        "say the state that is wanted, as 'Valve is shut'"
    )


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
