"""The contents of a pack, and that every page named in a pack is the page it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from packgen.errors import ContentError
from packgen.model.job import Job
from packgen.sheets.blocks import Code, Sheet, Step, Table, Tag, Why, spans, words_of
from packgen.sheets.contents import Book, contents_sheet, in_parts, settled
from packgen.sheets.deck import blank_pack_sheets, pack_sheets
from packgen.sheets.media import pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import Words

PACK = pack_medium("letter")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
TAG = Tag("2 in on 6 in", "IPS")
EVERY_JOB = pytest.mark.parametrize(
    "name",
    ["first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation"],
)


def rows_of(sheet: Sheet) -> list[list[str]]:
    """The rows of a sheet's one table, as words."""
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    return [[words_of(cell) for cell in row] for row in table.rows]


def listed(sheet: Sheet) -> dict[str, list[list[str]]]:
    """The rows of the contents by the heading they stand under, in order."""
    parts: dict[str, list[list[str]]] = {}
    for row in rows_of(sheet):
        if row[1:] == ["", ""]:
            parts[row[0]] = []
        else:
            parts[list(parts)[-1]].append(row)
    return parts


@EVERY_JOB
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_each_sheet_is_listed_once_with_the_page_it_begins_on_and_its_steps(
    name: str, paper: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """As the planner lays the finished pack, the pages that the contents take counted too."""
    job, medium = job_of(name), pack_medium(paper)
    sheets = pack_sheets(views_of(job), job, medium, square, ())
    faces = lay_out(sheets, medium)
    assert [sheet.id for sheet in sheets[:3]] == ["cover", "contents", "holds"]
    rows = [row for part in listed(sheets[1]).values() for row in part]
    assert [row[0] for row in rows] == [sheet.title for sheet in sheets[2:]]
    for row, sheet in zip(rows, sheets[2:], strict=True):
        page = next(face.number for face in faces if (face.sheet, face.title) == (sheet.id, sheet.title))
        numbers = [block.number for block in sheet.blocks if isinstance(block, Step)]
        assert row[2] == str(page), sheet.title
        assert row[1] == (f"{numbers[0]} to {numbers[-1]}" if len(numbers) > 1 else str(*numbers) or "–")
    assert f"This pack has {len(faces)} pages." in words_of(sheets[1].blocks[0].line)  # type: ignore[union-attr]


def test_one_joint_s_sheets_stand_before_the_work_in_it_after_it_or_behind_the_numbers(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    job = job_of("first-lateral")
    parts = listed(pack_sheets(views_of(job), job, PACK, square, ())[1])
    assert {part: [row[0] for row in rows] for part, rows in parts.items()} == {
        "Before the work": [
            "Where the work stops", "Day plan", "Values", "Fit check", "Peel template",
            "Hazards and toolbox talk", "Toolbox talk: sign on", "Kit and pre-use checks",
        ],
        "The work": [
            "Dig and mark the place", "Prove that the main is dry", "Keep drinking water clean",
            "Prepare the main", "Wipe and dry", "Clamp, then prove the gap", "Power and fuse",
            "Wait, test, cut, join", "Close out",
        ],
        "After the work": [
            "Stop, redo or reject", "All sizes of this family", "Joint record", "Inspection and test plan",
            "Non-conformance", "Failed joint",
        ],
        "Behind the numbers": ["Waits in heat", "Workings"],
    }  # fmt: skip


def test_two_joints_are_listed_joint_by_joint(twin: Job, views_of: ViewsOf, square: Code) -> None:
    """What each joint has stands under its own headings, what is brought for either before all work; the
    job's forms stand once, after both.
    """
    parts = listed(pack_sheets(views_of(twin), twin, PACK, square, ())[1])
    assert list(parts) == [
        "Before the work", "J1: Before the work", "J2: Before the work", "J1: The work",
        "J1: After the work", "J2: The work", "J2: After the work", "After the work", "Behind the numbers",
    ]  # fmt: skip
    kits = {name: {row[0] for row in rows if "Kit" in row[0]} for name, rows in parts.items()}
    brought = {name: found for name, found in kits.items() if found}
    assert brought["J1: Before the work"] >= {"J1: Kit and pre-use checks"}
    assert brought["J2: Before the work"] == {"J2: Kit and pre-use checks"}
    assert set(brought) == {"J1: Before the work", "J2: Before the work"}
    titles = [row[0] for rows in parts.values() for row in rows]
    for once in ("Where the work stops", "Toolbox talk: sign on", "Inspection and test plan", "Failed joint"):
        assert titles.count(once) == 1, once
    assert [title for title in titles if title.endswith("Joint record")] == [
        "J1: Joint record",
        "J2: Joint record",
    ]


def test_a_pack_without_a_job_has_contents_and_forms_too(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    (view,) = views_of(job_of("first-lateral"))
    alone = replace(view, standing=None, numbering=None, shared=frozenset())
    sheets = blank_pack_sheets(alone, PACK, square, (), "2026-05-12")
    ids = [sheet.id for sheet in sheets]
    assert ids[:3] == ["cover", "contents", "holds"]
    assert {"sign-on", "nonconformance", "failed-joint", "inspection"} <= set(ids)
    assert ids[-1] == "workings"


def numbered_sheets(count: int) -> list[Sheet]:
    """Sheets of one page each."""
    return [Sheet(f"s{at}", f"Sheet {at}", TAG, (Why(spans("Words.")),)) for at in range(count)]


def test_contents_that_take_more_than_one_page_count_their_own_pages(words: Words) -> None:
    """A long list pushes every sheet on, itself among what it counts."""
    inner = numbered_sheets(120)

    def make(book: Book) -> list[Sheet]:
        return [contents_sheet(words, TAG, list(in_parts([("All", each) for each in inner])), book), *inner]

    sheets = settled(make, PACK)
    own = len(lay_out(sheets[:1], PACK))
    assert own > 1
    rows = rows_of(sheets[0])[1:]
    assert [row[2] for row in rows] == [str(own + 1 + at) for at in range(120)]


def test_pages_that_never_settle_are_an_error_and_no_pack() -> None:
    """A sheet that grows with the page it names would chase itself for ever."""

    def make(book: Book) -> list[Sheet]:
        return numbered_sheets(book.pages + 1)

    with pytest.raises(ContentError, match="the pages of the contents do not settle"):
        settled(make, PACK)
