"""The inspection and test plan: each gate and each reading, its limit, where it is written, who signs."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from packgen.model.job import Job
from packgen.sheets.back import record_sheet
from packgen.sheets.blocks import Boxes, Code, Step, Table, words_of
from packgen.sheets.deck import pack_sheets
from packgen.sheets.inspection import inspection_sheet
from packgen.sheets.measure import NBSP
from packgen.sheets.media import pack_medium
from packgen.sheets.view import View

PACK = pack_medium("letter")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
Row = dict[str, str]
KEYS = ("step", "activity", "measured", "limit", "point", "written", "by")
EVERY_JOB = pytest.mark.parametrize(
    "name",
    ["first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation"],
)


def rows_of(views: list[View]) -> list[Row]:
    """The plan's rows, cell by cell."""
    (table,) = [block for block in inspection_sheet(views, views[0].tag).blocks if isinstance(block, Table)]
    lines = [[words_of(cell).replace(NBSP, " ") for cell in row] for row in table.rows]
    return [dict(zip(KEYS, line, strict=True)) for line in lines]


def of_step(views: list[View], step_id: str) -> Row:
    """The row of a step of the first joint that has it."""
    numbers = views[0].numbering
    assert numbers is not None
    (row,) = [row for row in rows_of(views) if row["step"] == str(numbers[step_id])]
    return row


@EVERY_JOB
def test_every_gate_has_a_row_and_every_other_row_has_a_limit_or_a_number_to_read(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """In the order of the work, no step twice; what is only written down stands in the joint record."""
    job = job_of(name)
    views = views_of(job)
    sheets = pack_sheets(views, job, PACK, square, ())
    steps = [block for sheet in sheets for block in sheet.blocks if isinstance(block, Step)]
    rows = rows_of(views)
    points = {row["step"]: row["point"] for row in rows}
    gates = {str(step.number): step.gate_word for step in steps if step.gate}
    assert {step: point for step, point in points.items() if point != "record"} == gates
    assert len(points) > len(gates)
    record = views[0].catalog.joint_record
    assert record is not None
    numbers = {box.label for group in record.groups for box in group.fields if box.fill == "number"}
    for row in rows:
        assert row["limit"] != "–" or set(row["measured"].split("; ")) & numbers, row
    order = [int(row["step"]) for row in rows]
    assert order == sorted(set(order))


@EVERY_JOB
def test_what_each_box_of_the_joint_record_wants_stands_in_the_plan(
    name: str, job_of: JobOf, views_of: ViewsOf
) -> None:
    """Label and limit of every reading that must meet a number, joint by joint."""
    views = views_of(job_of(name))
    rows = {row["step"]: row for row in rows_of(views)}
    seen = 0
    for view in views:
        groups = [block for block in record_sheet(view).blocks if isinstance(block, Boxes)]
        for box in (box for group in groups for box in group.boxes):
            label, _, step = box.label.partition(" (step ")
            wanted = box.wanted.removeprefix("wanted: ").lstrip("≥≤ ")
            if step and re.search(r"\d", wanted):
                row = rows[step.rstrip(")")]
                assert label in row["measured"], label
                assert row["written"] == "joint record"
                assert wanted in row["limit"], (label, wanted, row["limit"])
                seen += 1
    assert seen >= 15 * len(views)


def test_a_limit_is_the_step_s_own_words_with_its_values(job_of: JobOf, views_of: ViewsOf) -> None:
    """A stated or worked value of this size, or what the owner states."""
    views = views_of(job_of("first-lateral"))
    gap = of_step(views, "gap-checked")
    assert gap["limit"].startswith("Feeler 0.33 mm [0.0129 in] does not enter anywhere around the saddle.")
    assert gap["point"] == "HOLD" and gap["by"] == "Fuser" and gap["activity"] == "Prove the gap"
    test = of_step(views, "test-uncut")
    assert "the hold time on the cover" in test["limit"]
    assert of_step(views, "spacing-saddle")["limit"] == "Nearest saddle is 500 mm [19.7 in] or more away."


def test_a_limit_that_the_words_do_not_say_is_added_with_its_reading(
    job_of: JobOf, views_of: ViewsOf
) -> None:
    """The step says how deep to peel; the record says how many passes."""
    views = views_of(job_of("first-lateral"))
    passes = views[0].text("peel.passes_max")
    assert of_step(views, "peel-once")["limit"].endswith(f" Wanted: Passes: ≤ {passes}")


def test_a_reading_without_a_limit_has_a_dash(job_of: JobOf, views_of: ViewsOf) -> None:
    """Never an invented one."""
    row = of_step(views_of(job_of("first-lateral")), "measure-before")
    assert row["limit"] == "–"
    assert row["measured"] == "Outside diameter before peeling, high; Outside diameter before peeling, low"


def test_what_is_only_seen_is_written_in_the_list_of_holds(job_of: JobOf, views_of: ViewsOf) -> None:
    """A gate without a box is signed where the work stops."""
    row = of_step(views_of(job_of("first-lateral")), "permit-signed")
    assert (row["measured"], row["written"], row["limit"]) == ("Seen", "list of holds", "Permit is signed.")


def test_the_rows_of_two_joints_name_their_joint(twin: Job, views_of: ViewsOf) -> None:
    """A shared step names none."""
    views = views_of(twin)
    display = [row for row in rows_of(views) if "this sheet agree" in row["limit"]]
    assert [row["activity"] for row in display] == ["J1: Scan", "J2: Scan"]
    given = "Control room has given leave to close"
    (leave,) = [row for row in rows_of(views) if row["limit"].startswith(given)]
    assert not leave["activity"].startswith("J")


def test_what_is_ticked_must_be_as_its_step_says(job_of: JobOf, views_of: ViewsOf) -> None:
    row = of_step(views_of(job_of("first-lateral")), "bag-sealed")
    assert row["limit"] == "Saddle's bag is sealed and undamaged."
    assert row["measured"] == "Bag sealed and undamaged"


def test_what_is_only_written_down_has_no_row(job_of: JobOf, views_of: ViewsOf) -> None:
    """A permit's number is no inspection."""
    (view,) = views_of(job_of("first-lateral"))
    assert view.numbering is not None
    steps = {row["step"] for row in rows_of([view])}
    for step in ("permit-on-site", "station-measured", "as-built"):
        assert str(view.numbering[step]) not in steps, step
