"""What a job may not be made for, and what its cover asks of the owner's rule."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from packgen.errors import PackgenError
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.publish.write import LIST, write_folder

Packgen = Callable[..., Any]
ROOT = Path(__file__).parents[2]


def reasons_without(path: Path, key: str, way: str) -> list[str]:
    """Why a job is refused by content that says nothing of one way of isolating or cutting."""
    catalog = load(ROOT / "content")
    kept = []
    for procedure in catalog.procedures:
        parts = [blocks for when, blocks in procedure.sections if way not in (getattr(when, key) or ())]
        if parts:
            kept.append(replace(procedure, blocks=tuple(block for blocks in parts for block in blocks)))
    assert len(kept) < len(catalog.procedures)
    fewer = replace(catalog, procedures=tuple(kept))
    return [
        str(reason) for found in combinations(load_job(path, fewer)[0], fewer) for reason in found.reasons
    ]


def test_isolation_for_which_no_procedure_is_written_is_refused(job_file: Callable[..., Path]) -> None:
    """A pack that says "isolated by valves" and holds no such sheet would leave the step to memory."""
    path = job_file(("by: squeeze-off", "by: valves"), of="repair-tie-in")
    reasons = reasons_without(path, "isolation", "valves")
    assert "no procedure is written for isolation by valves; isolate by squeeze-off" in reasons


def test_a_method_for_which_no_procedure_is_written_is_refused(job_file: Callable[..., Path]) -> None:
    """Even where the family names it: nothing in the pack would say how to wait, test and cut."""
    path = job_file(("state: dry ", "state: live "), ("method: open drill", "method: through a valve"))
    reasons = reasons_without(path, "method", "through a valve")
    what = "no procedure is written for 'through a valve'; choose built-in cutter or open drill"
    assert what in reasons


def test_a_tap_through_a_valve_without_valve_or_machine_is_refused(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    """Both at once, each with its cure."""
    path = job_file(("state: dry ", "state: live "), ("method: open drill", "method: through a valve"))
    ran = packgen("job", path, "--output", tmp_path / "out")
    assert ran.code == 1
    assert "the tap goes through a valve, and the job names none; write 'valve: ID'" in ran.err
    assert "the tap needs a drilling machine, and the job names none; write 'drilling_machine: ID'" in ran.err
    assert not (tmp_path / "out").exists()


@pytest.mark.usefixtures("cover_only")
def test_a_hot_day_asks_for_the_extra_wait_on_the_cover(
    packgen: Packgen,
    job_file: Callable[..., Path],
    tmp_path: Path,
    read_pages: Callable[[Path], tuple[str, ...]],
) -> None:
    """Planned air above what the waits are stated for, no drawing data: one box more; below it, none."""
    covers = []
    plain = ("    lateral: 2 in IPS DR 11 PE4710\n    family: demo-saddle-screw\n",
             "    lateral: 1 in IPS DR 11 PE4710\n    family: demo-saddle-strap\n")  # fmt: skip
    for air in ("73 degF", "85 degF"):
        day = ("ambient: 68 degF, humidity: 55 %", f"ambient: {air}, humidity: 20 %")
        path = job_file(plain, day, name="hot")
        out = tmp_path / air.replace(" ", "")
        ran = packgen("job", path, "--output", out, "--workers", "1")
        assert ran.code == 0, ran.err
        whole = read_pages(out / "jobs" / "HL-0427" / "crew-pack.pdf")
        pages = [page for page in whole if page.startswith("Crew pack")]
        covers.append(re.sub(r"\s+", " ", " ".join(pages)))
    assert "Extra wait above 23 °C [73 °F]: ENTER" not in covers[0]
    assert "Extra wait above 23 °C [73 °F]: ENTER" in covers[1]
    for cover in covers:
        assert "Test pressure, main uncut: ENTER" in cover
        assert "Hold time of the test, main uncut: ENTER" in cover


def test_a_folder_that_packgen_did_not_write_is_never_replaced(tmp_path: Path) -> None:
    """`--output` pointed at somebody's own folder must not take its files away."""
    folder = tmp_path / "cards"
    folder.mkdir()
    (folder / "precious.txt").write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match=r"holds files packgen did not write: precious\.txt"):
        write_folder(folder, {"values.json": b"{}"})
    assert (folder / "precious.txt").read_text("utf-8") == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cards"]


def test_an_empty_folder_and_one_of_packgen_s_own_are_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "cards"
    folder.mkdir()
    write_folder(folder, {"values.json": b"1", "old.pdf": b"x"})
    write_folder(folder, {"values.json": b"2"})
    assert sorted(path.name for path in folder.iterdir()) == [LIST, "values.json"]
    assert (folder / "values.json").read_bytes() == b"2"


REFUSED = [
    (("checker: {role: checker 1}", "checker: {role: Fuser 1}"), "fuser and checker are the same: 'Fuser 1'"),
    (
        ("fuser: {role", "approved: {role: field engineer, date: 2026-05-13, reference: PQ-1}\nfuser: {role"),
        "the approval is dated 2026-05-13, after the job's 2026-05-12",
    ),
]


@pytest.mark.parametrize(("change", "told"), REFUSED, ids=["one person", "late approval"])
def test_a_job_without_a_second_person_or_a_timely_approval_is_refused(
    change: tuple[str, str], told: str, packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    ran = packgen("job", job_file(change), "--output", tmp_path / "out")
    assert ran.code == 1
    assert told in ran.err
    assert not (tmp_path / "out").exists()


def test_the_printed_date_is_the_day_that_is_judged(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    """A pack dated after the fuser's qualification and the calibration is refused with both."""
    ran = packgen("job", job_file(), "--date", "2027-04-01", "--output", tmp_path / "out")
    assert ran.code == 1
    assert "the fuser's qualification ended on 2027-03-31, the job is dated 2027-04-01" in ran.err
    assert "the control unit's calibration ended on 2027-01-31, the job is dated 2027-04-01" in ran.err


@pytest.mark.usefixtures("light")
def test_one_id_is_issued_once_in_a_run(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    first, second = job_file(name="first"), job_file(("title: First", "title: Second"), name="second")
    ran = packgen("job", first, second, "--output", tmp_path / "out", "--workers", "1")
    assert ran.code == 1
    assert "second.yaml:4:5: id: the job id 'HL-0427' was issued already in this run" in ran.err


@pytest.mark.usefixtures("light")
def test_an_earlier_revision_over_a_later_one_is_told(
    packgen: Packgen, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    """And a values.json that packgen did not write is not believed."""
    folder = tmp_path / "out" / "jobs" / "HL-0427"
    before = folder / "values.json"
    write_folder(folder, {before.name: b'{"job": "HL-0427", "revision": 5, "code": "WXZA-XYHX-BJ5A"}'})
    ran = packgen("job", job_file(), "--output", tmp_path / "out", "--workers", "1")
    assert ran.code == 0
    assert "revision 1 takes the place of its later revision 5" in ran.err
    before.write_text('{"job": "HL-0427", "revision": 1, "code": "\\u001b[2Jno code"}', "utf-8")
    ran = packgen("job", job_file(), "--output", tmp_path / "out", "--workers", "1")
    assert (ran.code, ran.err) == (0, "")


def test_words_are_no_formula_in_a_spreadsheet() -> None:
    from packgen.publish.values_data import to_csv  # one row is enough to look at

    assert to_csv([], "both").splitlines()[0].startswith("name,value")
    from packgen.publish import values_data

    assert values_data._no_formula('=HYPERLINK("x")') == '\'=HYPERLINK("x")'
    assert values_data._no_formula("four screws, hand tight") == "four screws, hand tight"
    assert values_data._no_formula(-10.0) == -10.0
