"""Where the work stops: every hold and witness point, once, in the order of the work."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from packgen.model.job import Job
from packgen.sheets.blocks import Code, Sheet, Step, Table, words_of
from packgen.sheets.deck import pack_sheets
from packgen.sheets.media import pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View

PACK = pack_medium("letter")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
EVERY_JOB = pytest.mark.parametrize(
    "name",
    ["first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation"],
)


def ladder_of(sheets: tuple[Sheet, ...]) -> Table:
    """The table of the sheet that tells where the work stops."""
    (sheet,) = [sheet for sheet in sheets if sheet.id == "holds"]
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    return table


def rows_of(table: Table) -> list[list[str]]:
    """A table's rows as words."""
    return [[words_of(cell) for cell in row] for row in table.rows]


@EVERY_JOB
def test_every_gate_of_the_pack_has_one_row_with_its_words_and_the_page_it_stands_on(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """In the order of the sheets; no step that is no gate."""
    job = job_of(name)
    sheets = pack_sheets(views_of(job), job, PACK, square, ())
    gates = [
        (face.number, face.title, block)
        for face in lay_out(sheets, PACK)
        for block in face.blocks
        if isinstance(block, Step) and block.gate
    ]
    assert len(gates) > 40
    rows = rows_of(ladder_of(sheets))
    assert [row[:4] for row in rows] == [
        [str(step.number), step.gate_word, words_of(step.line), f"{title}, page {page}"]
        for page, title, step in gates
    ]


def test_a_hold_point_is_bold_and_a_witness_point_is_not(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """One glance finds where the work stops."""
    job = job_of("first-lateral")
    table = ladder_of(pack_sheets(views_of(job), job, PACK, square, ()))
    for row in table.rows:
        hold = words_of(row[1]) == "HOLD"
        assert row[1][0].kind == ("strong" if hold else "plain")
        assert all(span.kind != "plain" for span in row[2]) or not hold


def test_the_fuser_signs_hold_points_and_the_checker_witness_points_but_where_both_do(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """The last cell is left to write time and initials in."""
    job = job_of("service-tap")
    table = ladder_of(pack_sheets(views_of(job), job, PACK, square, ()))
    rows = rows_of(table)
    both = {"White cloth comes off clean, as a second person sees.", "Fuser and checker have signed"}
    for row in rows:
        wanted = {"HOLD": "Fuser", "WITNESS": "Checker"}[row[1]]
        if any(row[2].startswith(words) for words in both):
            wanted = "Fuser, checker"
        assert row[4] == wanted, row
        assert row[5] == ""
    assert table.write
    assert sum(row[4] == "Fuser, checker" for row in rows) == 2


def test_the_gates_of_two_joints_are_told_apart_and_shared_ones_stand_once(
    twin: Job, views_of: ViewsOf, square: Code
) -> None:
    """A gate of a shared sheet has one row and names no joint, one of each joint's sheets a row for each."""
    first, second = views = views_of(twin)
    rows = rows_of(ladder_of(pack_sheets(views, twin, PACK, square, ())))
    display = [row for row in rows if "this sheet agree" in row[2]]
    assert [row[3][:3] for row in display] == ["J1:", "J2:"]
    assert first.text("fuse.time") != second.text("fuse.time")
    assert first.text("fuse.time") in display[0][2] and second.text("fuse.time") in display[1][2]
    (leave,) = [row for row in rows if row[2].startswith("Control room has given leave to close")]
    assert not leave[3].startswith("J")
    numbers = [int(row[0]) for row in rows]
    assert numbers == sorted(set(numbers))
