"""The cover of a pack without a job: boxes for what a job says, each with the limit it is judged by."""

from __future__ import annotations

from pathlib import Path

import pytest

from packgen.model.catalog import Catalog
from packgen.publish.selection import chosen
from packgen.sheets.blank_cover import blank_cover
from packgen.sheets.blocks import Box, Boxes, Code, Sheet, Table, words_of
from packgen.sheets.deck import blank_pack_sheets
from packgen.sheets.media import pack_medium
from packgen.sheets.standing import applicable, left_out
from packgen.sheets.view import View
from packgen.sheets.words import Words

ROOT = Path(__file__).parents[2]


@pytest.fixture
def view(catalog: Catalog, words: Words) -> View:
    (found,) = chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS"], ["demo-saddle-screw"])
    return View(catalog, words, found)


def boxes(sheet: Sheet) -> dict[str, Box]:
    """Every box of a sheet by its label."""
    return {box.label: box for block in sheet.blocks if isinstance(block, Boxes) for box in block.boxes}


def test_the_cover_says_what_the_pack_is_for(view: View, square: Code) -> None:
    cover = blank_cover(view, square, (), "2026-05-12")
    scope = next(block for block in cover.blocks if isinstance(block, Table))
    assert [[words_of(cell) for cell in row] for row in scope.rows] == [
        ["Main", "6 in IPS DR 11 PE4710"],
        ["Lateral", "2 in IPS DR 11 PE4710"],
        ["Fitting family", "Branch saddle, under-clamp, four screws (demo-saddle-screw, revision 1)"],
        ["Contents", "water"],
        ["State of the main", "dry"],
        ["Method", "open drill"],
        ["Date of this pack", "2026-05-12"],
    ]


@pytest.mark.parametrize(
    "label",
    [
        "Job, number", "Date of the work", "Place, station", "Permit to work, number", "Outlet points to",
        "Generator and supply cord", "Fuser, qualified until", "Checker", "Prepared by", "Approved by",
        "Control room, number", "Emergency services, number", "Test pressure, main uncut: ENTER",
    ],
)  # fmt: skip
def test_what_only_a_job_knows_has_a_box(view: View, square: Code, label: str) -> None:
    assert label in boxes(blank_cover(view, square, (), ""))


@pytest.mark.parametrize(
    ("label", "start", "names"),
    [
        ("Maximum operating pressure", "at most ", ["joint.pressure_max"]),
        ("Air temperature", "", ["weather.ambient_min", "weather.ambient_max"]),
        ("Distance to the next saddle", "at least ", ["spacing.saddle_to_saddle"]),
        ("Distance to the next other fitting", "at least ", ["spacing.saddle_to_fitting"]),
        ("Distance to the next pipe end", "at least ", ["spacing.saddle_to_pipe_end"]),
        ("Distance to the nearest squeeze", "at least ", ["squeeze.distance_min"]),
    ],
)
def test_a_box_that_a_job_would_be_judged_by_carries_the_limit(
    view: View, square: Code, label: str, start: str, names: list[str]
) -> None:
    box = boxes(blank_cover(view, square, (), ""))[label]
    assert all(view.text(name) for name in names)
    assert box.wanted == start + " to ".join(view.text(name) for name in names)


def test_the_extra_wait_has_a_box_because_nobody_knows_how_hot_it_will_be(view: View, square: Code) -> None:
    box = boxes(blank_cover(view, square, (), ""))["Extra wait above 23 °C [73 °F]: ENTER"]
    assert "where the air is hotter" in box.wanted


def test_a_blank_has_its_box_without_a_joint_before_it(view: View, square: Code) -> None:
    found = boxes(blank_cover(view, square, (), ""))
    assert [value.name for value in view.combination.blanks] == ["clamp.torque"]
    assert found["Clamp torque: ENTER"].wanted == view.values["clamp.torque"].sources[0]


def test_the_pack_lists_every_hold_point_and_its_cover_every_step_left_out(view: View, square: Code) -> None:
    sheets = blank_pack_sheets(view, pack_medium("letter"), square, (), "2026-05-12")
    assert sheets[0].id == "cover" and sheets[0].title == "Crew pack without a job"
    (table,) = [block for block in sheets[2].blocks if isinstance(block, Table)]
    holds = [row for row in table.rows if words_of(row[1]) == "HOLD"]
    steps = [step for procedure in applicable(view) for step in procedure.steps if step.gate == "hold"]
    assert len(holds) == len(steps) > 10
    said = {text for block in sheets[0].blocks for text in block.strings()}
    told = list(left_out(view, "pack"))
    assert told and set(told) <= said


def test_the_pack_holds_the_sheets_of_a_dry_main_in_the_order_of_the_work(view: View, square: Code) -> None:
    ids = [sheet.id for sheet in blank_pack_sheets(view, pack_medium("a4"), square, (), "")]
    assert ids[:6] == ["cover", "contents", "holds", "values", "fit", "peel-template"]
    forms = ["inspection", "nonconformance", "failed-joint"]
    assert ids[-6:] == ["record", *forms, "heat", "workings"]
    inner = [procedure.head.id for procedure in applicable(view) if "pack" in procedure.head.on]
    inner.insert(inner.index("hazards") + 1, "sign-on")
    assert ids[6:-6] == inner
