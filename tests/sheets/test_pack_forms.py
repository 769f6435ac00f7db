"""Sign-on list, non-conformance and failed joint: what they draw on is what the pack prints."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import pytest

from packgen.model.job import Job
from packgen.sheets.blocks import Block, Boxes, Code, Drawing, Points, Section, Sheet, Table, words_of
from packgen.sheets.deck import pack_sheets
from packgen.sheets.drawing import Drawing as Canvas
from packgen.sheets.figure_unrolled import unrolled_coupling, unrolled_saddle
from packgen.sheets.media import pack_medium
from packgen.sheets.pack_forms import questions_of, stops_of
from packgen.sheets.rules_quoted import quoted_rules
from packgen.sheets.view import View
from packgen.sheets.words import Words

PACK = pack_medium("letter")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
EVERY_JOB = pytest.mark.parametrize(
    "name",
    ["first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation"],
)


def sheets_of(job: Job, views_of: ViewsOf, square: Code) -> dict[str, Sheet]:
    """A pack's sheets by id; of those that each joint has, the last joint's."""
    return {sheet.id: sheet for sheet in pack_sheets(views_of(job), job, PACK, square, ())}


def under(sheet: Sheet, heading: str) -> list[Block]:
    """The blocks under a heading."""
    found: list[Block] = []
    inside = False
    for block in sheet.blocks:
        if isinstance(block, Section):
            inside = block.text == heading
        elif inside:
            found.append(block)
    assert found, heading
    return found


def rows_of(block: Block) -> list[list[str]]:
    """A table's rows as words."""
    assert isinstance(block, Table)
    return [[words_of(cell) for cell in row] for row in block.rows]


def labels(sheet: Sheet) -> list[str]:
    """The labels of a sheet's boxes."""
    return [box.label for block in sheet.blocks if isinstance(block, Boxes) for box in block.boxes]


@EVERY_JOB
def test_the_list_of_the_non_conformance_form_is_the_table_of_stops_numbered(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """Each row that the sheets of stops print, once, with its outcome; numbers run from 1 without a gap.

    What only one joint's sheet says names that joint: its limits are not the other's.
    """
    job = job_of(name)
    sheets = pack_sheets(views_of(job), job, PACK, square, ())
    printed = [
        (sheet.title.partition(": ")[0], [
            (words_of(row[0]), words_of(row[-1]))
            for block in sheet.blocks if isinstance(block, Table) for row in block.rows
        ])
        for sheet in sheets if sheet.id == "stop-redo-reject"
    ]  # fmt: skip
    wanted = [
        (seen if all((seen, outcome) in other for _, other in printed) else f"{joint}: {seen}", outcome)
        for joint, rows in printed for seen, outcome in rows
    ]  # fmt: skip
    (form,) = [sheet for sheet in sheets if sheet.id == "nonconformance"]
    (table,) = under(form, "The list")
    halves = [half for row in rows_of(table) for half in (row[:3], row[3:]) if any(half)]
    assert [half[0] for half in halves] == [str(at + 1) for at in range(len(halves))]
    assert [(half[1], half[2]) for half in halves] == list(dict.fromkeys(wanted))
    assert len(halves) > 25


@EVERY_JOB
def test_whoever_signs_on_has_heard_every_question_of_the_talk(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """A space beside each question for who answered it."""
    sheets = sheets_of(job_of(name), views_of, square)
    asked = [
        words_of(item).partition(":")[0]
        for block in sheets["hazards"].blocks if isinstance(block, Points)
        for item in block.items
    ]  # fmt: skip
    (table,) = under(sheets["sign-on"], "Who answered each question")
    rows = rows_of(table)
    assert [cell for row in rows for cell in row[::2] if cell] == list(dict.fromkeys(asked))
    assert all(cell == "" for row in rows for cell in row[1::2])
    assert isinstance(table, Table) and table.write


def test_the_sign_on_list_has_lines_for_the_crew_and_for_whoever_comes_later(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    sheet = sheets_of(job_of("first-lateral"), views_of, square)["sign-on"]
    (crew,), (later,) = under(sheet, "Crew"), under(sheet, "Joined later")
    assert [row[0] for row in rows_of(crew)] == [str(number) for number in range(1, 9)]
    assert [row[0] for row in rows_of(later)] == ["1", "2", "3", "4"]
    assert isinstance(crew, Table) and isinstance(later, Table)
    assert [words_of(cell) for cell in crew.head] == ["No.", "Name", "Role", "Signature", "Time"]
    assert words_of(later.head[2]) == "Talk given by"
    assert sum(crew.shares) == pytest.approx(1.0)


def test_the_sign_on_list_stands_behind_the_talk_and_each_form_once(
    twin: Job, views_of: ViewsOf, square: Code
) -> None:
    """A job with two joints has one talk, and one form to copy."""
    ids = [sheet.id for sheet in pack_sheets(views_of(twin), twin, PACK, square, ())]
    assert ids[ids.index("hazards") + 1] == "sign-on"
    for form in ("sign-on", "nonconformance", "failed-joint", "inspection", "holds", "contents"):
        assert ids.count(form) == 1, form


def test_a_form_whose_procedure_is_not_in_the_pack_ends_the_forms(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """It is never lost."""
    job = job_of("first-lateral")
    (view,) = views_of(job)
    kept = tuple(each for each in view.catalog.procedures if each.head.id != "hazards")
    ids = [sheet.id for sheet in pack_sheets(views_of(job, procedures=kept), job, PACK, square, ())]
    assert "hazards" not in ids
    assert ids[ids.index("inspection") + 1 :][:3] == ["sign-on", "nonconformance", "failed-joint"]


def test_a_content_folder_without_forms_makes_a_pack_without_them(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """Then the fuser signs, since nobody says who else does."""
    job = job_of("first-lateral")
    views = [replace(view, catalog=replace(view.catalog, pack_forms=None)) for view in views_of(job)]
    ids = [sheet.id for sheet in pack_sheets(views, job, PACK, square, ())]
    assert not {"sign-on", "nonconformance", "failed-joint"} & set(ids)
    assert {"contents", "holds", "inspection"} <= set(ids)
    assert stops_of(views) == questions_of(views) == ()


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("first-lateral", ["unrolled-saddle"]),
        ("live-tap", ["unrolled-saddle", "unrolled-coupling"]),
    ],
)
def test_the_failed_joint_is_drawn_on_a_sketch_of_its_own_kind(
    name: str, drawn: list[str], job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """A job of saddles alone has no sketch of a coupling."""
    sheet = sheets_of(job_of(name), views_of, square)["failed-joint"]
    assert [block.figure.id for block in sheet.blocks if isinstance(block, Drawing)] == drawn


def test_after_a_failed_joint_the_fuser_qualifies_by_the_owner_s_rule(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """49 CFR 192.285(c), as the work rule carries it; the rule is quoted behind the workings."""
    job = job_of("first-lateral")
    (view,) = views_of(job)
    sheet = sheets_of(job, views_of, square)["failed-joint"]
    said = under(sheet, "The fuser qualifies again")[0].strings()[0]
    assert said == f"When a fuser qualifies again: {view.catalog.rule('requalification').value}."
    assert "after a failed joint" in said
    assert "requalification" in quoted_rules(view)


@EVERY_JOB
def test_no_form_asks_the_same_twice(name: str, job_of: JobOf, views_of: ViewsOf, square: Code) -> None:
    """A second box of one name would be left empty."""
    sheets = sheets_of(job_of(name), views_of, square)
    for form in ("sign-on", "nonconformance", "failed-joint"):
        assert labels(sheets[form]), form
        assert len(set(labels(sheets[form]))) == len(labels(sheets[form])), form


@pytest.mark.parametrize("draw", [unrolled_saddle, unrolled_coupling])
def test_a_sketch_has_four_places_and_words_for_who_cannot_see_it(
    draw: Callable[[Mapping[str, str], float], object], words: Words, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Letters A to D stand clear of every other letter; nothing is dropped."""
    canvases: list[Canvas] = []
    plain = Canvas.svg

    def watched(canvas: Canvas, width: float, height: float) -> str:
        canvases.append(canvas)
        return plain(canvas, width, height)

    monkeypatch.setattr(Canvas, "svg", watched)
    figure = draw(words.group("unrolled"), PACK.inner)
    (canvas,) = canvases
    left, _, right, _ = canvas.box
    assert right - left <= PACK.inner
    assert {"A", "B", "C", "D"} <= set(figure.strings)  # type: ignore[attr-defined]
    assert figure.alt.startswith("Sketch to draw in")  # type: ignore[attr-defined]
    boxes = [label.box for label in canvas.labels]
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart
