"""Cover, values, fit check and the value blocks of a card."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from packgen.model.job import Job
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER
from packgen.sheets.blocks import Block, Boxes, Code, Sheet, Step, Table, Why, words_of
from packgen.sheets.deck import pack_sheets
from packgen.sheets.front import KEY_VALUES, fit_sheet, key_values, source_numbers, values_sheet
from packgen.sheets.media import pack_medium
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.standing import applicable
from packgen.sheets.view import View
from packgen.sheets.words import Words
from packgen.units import quantity

PACK = pack_medium("letter")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]


@pytest.fixture
def cover_of(views_of: ViewsOf, square: Code) -> Callable[[Job], Sheet]:
    """The cover of a job's pack."""

    def make(job: Job) -> Sheet:
        views = views_of(job)
        return pack_sheets(views, job, PACK, square, views[0].catalog.folders)[0]

    return make


def rows_under(sheet: Sheet, heading: str) -> list[Block]:
    """The blocks of a sheet's section."""
    titles = [block.strings()[0] if block.kind == "section" else "" for block in sheet.blocks]
    start = titles.index(heading) + 1
    end = next((index for index in range(start, len(titles)) if titles[index]), len(titles))
    return list(sheet.blocks[start:end])


def cells(table: Table) -> list[list[str]]:
    """A table's rows as words."""
    return [[words_of(cell) for cell in row] for row in table.rows]


def test_the_cover_says_what_the_job_is(cover_of: Callable[[Job], Sheet], job_of: JobOf) -> None:
    """Row by row, in the words of the job file."""
    (scope,) = [block for block in cover_of(job_of("repair-tie-in")).blocks[:2] if isinstance(block, Table)]
    assert cells(scope) == [
        ["Job", "HL-0431, revision 1"],
        ["Date", "2026-05-19"],
        ["Issued by", "field training"],
        ["Main", "8 in IPS DR 11 PE4710"],
        ["Contents", "water"],
        ["Maximum operating pressure", "100 psi [689 kPa]"],
        [
            "State of the main",
            "isolated, by squeeze-off, both sides; no pressure is proved on site at the hold points",
        ],
        ["Joint", "J1: 4 in IPS DR 11 PE4710, demo-saddle-screw, open drill, outlet at 3 o'clock"],
        ["Planned for air at", "72 °F [22 °C]"],
        ["Planned for humidity", "60 %"],
        ["Soil cover", "5 ft [1.52 m]"],
        ["Fuser", "fuser 2, qualified until 2026-12-31"],
        ["Checker", "checker 1"],
    ]


def test_the_cover_holds_the_emergency_box_and_who_answers(
    cover_of: Callable[[Job], Sheet], job_of: JobOf, words: Words
) -> None:
    """Six lines to fill in before work, in a heavy frame; prepared and approved."""
    cover = cover_of(job_of("repair-tie-in"))
    (emergency,) = [block for block in rows_under(cover, "Emergency") if isinstance(block, Boxes)]
    assert emergency.heavy and len(emergency.boxes) == 6
    assert {"Control room, number", "Burst main: clear the trench, call"} <= set(emergency.strings())
    (people,) = rows_under(cover, "Prepared and approved")
    assert people.strings() == (
        "Prepared by",
        "field training",
        "Approved by",
        "field engineer, 2026-05-15, PQ-14",
    )
    (draft,) = rows_under(cover_of(job_of("first-lateral")), "Prepared and approved")
    assert draft.strings()[-1] == words("cover.draft") == "DRAFT – not approved"


def test_the_cover_sends_the_reader_to_the_list_of_hold_points(
    cover_of: Callable[[Job], Sheet], job_of: JobOf, words: Words
) -> None:
    """One list, on a sheet of its own: a second one would be signed by halves."""
    (pointer,) = rows_under(cover_of(job_of("repair-tie-in")), "Hold points")
    assert pointer.strings() == (
        'Work stops at every hold point until it is met and signed. The sheet "Where the work stops" lists '
        "each one with its step, its page and who signs.",
    )
    assert words("sheets.holds") == "Where the work stops"


def test_the_cover_lists_the_blanks(cover_of: Callable[[Job], Sheet], job_of: JobOf, twin: Job) -> None:
    """Each blank with its joint, ENTER and why it is blank, in a heavy frame."""
    (boxes,) = rows_under(cover_of(job_of("first-lateral")), "Blanks to fill before work")
    assert isinstance(boxes, Boxes) and boxes.heavy
    assert [box.label for box in boxes.boxes] == ["J1 Clamp torque: ENTER"]
    assert boxes.boxes[0].wanted
    (both,) = rows_under(cover_of(twin), "Blanks to fill before work")
    assert isinstance(both, Boxes)
    assert [box.label for box in both.boxes] == ["J1 Clamp torque: ENTER", "J2 Clamp torque: ENTER"]


def owner_boxes(sheet: Sheet) -> dict[str, str]:
    """The boxes of what the owner states, each with what it should hold."""
    (boxes,) = rows_under(sheet, "From the owner's rule")
    assert isinstance(boxes, Boxes) and boxes.heavy
    return {box.label: box.wanted for box in boxes.boxes}


@pytest.mark.parametrize(
    "name", ["first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation"]
)
def test_the_cover_has_a_box_for_each_number_of_the_owner_that_a_step_names(
    name: str, cover_of: Callable[[Job], Sheet], job_of: JobOf, views_of: ViewsOf
) -> None:
    """No step sends the crew to a box that is not there, and no box stands that nobody is sent to."""
    job = job_of(name)
    views = views_of(job)
    named = {
        slot.names[0]
        for view in views
        for procedure in applicable(view)
        for slot in procedure.slots()
        if slot.form == "owner"
    }
    blanks = views[0].catalog.owner_blanks
    # What the job states needs no box: the hold of the live tap, the slack of the service.
    given = {"live-tap": {"test-pressure", "test-hold"}, "service-tap": {"lateral-slack"}}.get(name, set())
    assert given <= named
    wanted = [f"{blank.label}: ENTER" for blank in blanks.values() if blank.id in named - given]
    found = owner_boxes(cover_of(job))
    # Joints whose limits differ have a box each, said with its joint.
    labels = [label for label in found if not label.startswith("Extra wait")]
    plain = [label[4:] if label.startswith(("J1: ", "J2: ")) else label for label in labels]
    assert list(dict.fromkeys(plain)) == wanted and len(wanted) > 2
    split = [label for label in found if label.startswith(("J1: ", "J2: "))]
    assert len(split) == (4 if name == "valve-isolation" else 0)
    assert all(found.values())


def test_the_test_pressure_s_box_carries_its_limits(cover_of: Callable[[Job], Sheet], job_of: JobOf) -> None:
    """Gas at 60 psi behind a valve that bears 150 psi."""
    unstated = job_of("live-tap").model_copy(update={"leak_test": None})
    boxes = owner_boxes(cover_of(unstated))
    limits = "from 90 psi [621 kPa] to 150 psi [1,034 kPa]"
    assert boxes["Test pressure, main uncut: ENTER"] == limits
    assert boxes["Lateral's test pressure: ENTER"] == limits
    assert boxes["Relief valve of the gas test, opens at: ENTER"] == "at most 150 psi [1,034 kPa]"
    assert boxes["Hold time of the test, main uncut: ENTER"]


def step_of(view: View, step_id: str) -> str:
    """A step of a joint as it is printed."""
    sheets = procedure_sheets(view, PACK, "pack")
    steps = (block for sheet in sheets for block in sheet.blocks if isinstance(block, Step))
    return next(words_of(step.line) for step in steps if step.id == step_id)


def test_a_number_that_the_job_states_stands_in_its_step_and_needs_no_box(
    cover_of: Callable[[Job], Sheet], job_of: JobOf, views_of: ViewsOf
) -> None:
    """The live tap states pressure and hold: the crew reads them where the gauge is."""
    stated = job_of("live-tap")
    unstated = stated.model_copy(update={"leak_test": None})
    boxes = owner_boxes(cover_of(stated))
    assert not [label for label in boxes if "main uncut" in label]
    (with_test, _), (without, _) = views_of(stated), views_of(unstated)
    assert step_of(with_test, "test-pressure-raised") == "Raise slowly to 100 psi [689 kPa], never above it."
    assert step_of(with_test, "stack-tight") == "Gauge holds for 30 min, the main uncut."
    raised = step_of(without, "test-pressure-raised")
    assert raised == "Raise slowly to the test pressure on the cover, never above it."
    assert step_of(without, "stack-tight") == "Gauge holds for the hold time on the cover, the main uncut."


def test_the_box_of_a_number_that_one_joint_lacks_is_there(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """The lateral of the first branch has a length, so a slack; that of the second has none."""
    job = job_of("valve-isolation")
    first = job.joints[0].model_copy(update={"lateral_length": quantity("50 ft")})
    site = job.site.model_copy(update={"ground": quantity("50 degF")})
    mixed = job.model_copy(update={"joints": (first, job.joints[1]), "site": site})
    views = views_of(mixed)
    assert "Slack to leave in the lateral: ENTER" in owner_boxes(
        pack_sheets(views, mixed, PACK, square, ())[0]
    )
    slack = "Leave slack in the lateral, in gentle curves: "
    # 50 ft × 0.2 mm/(m·K) × 20 F°.
    assert step_of(views[0], "lateral-slack") == slack + "1.4 in [34 mm]."
    assert step_of(views[1], "lateral-slack") == slack + "the slack on the cover."


def test_two_joints_of_different_limits_have_a_box_each(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """One box with the stronger joint's limit would let the other be tested too high."""
    job = job_of("live-tap")
    saddle = job.joints[0]
    assert saddle.valve and saddle.drilling_machine
    second = saddle.model_copy(
        update={"id": "J2", "station": "11+60", "valve": None, "drilling_machine": None}
    )
    joints = (saddle, second)
    twice = job.model_copy(update={"joints": joints, "state": "dry", "leak_test": None})
    sheet = pack_sheets(views_of(twice), twice, PACK, square, ())[0]
    pressures = {
        label: wanted for label, wanted in owner_boxes(sheet).items() if "Test pressure, main" in label
    }
    assert pressures == {
        "J1: Test pressure, main uncut: ENTER": "from 90 psi [621 kPa] to 150 psi [1,034 kPa]",
        "J2: Test pressure, main uncut: ENTER": "from 90 psi [621 kPa] to 256 psi [1,765 kPa]",
    }


def test_one_isolated_side_is_one_side(cover_of: Callable[[Job], Sheet], job_of: JobOf) -> None:
    """The words of the job, not its keys put together."""
    job = job_of("valve-isolation")
    assert job.isolation is not None
    one = job.isolation.model_copy(update={"sides": "one", "order": job.isolation.order[:1]})
    (scope,) = [block for block in cover_of(job.model_copy(update={"isolation": one})).blocks[:2]
                if isinstance(block, Table)]  # fmt: skip
    state = dict(row for row in cells(scope))["State of the main"]
    assert state == "isolated, by valves, one side; no pressure is proved on site at the hold points"


def test_a_cover_without_blanks_says_so(job_of: JobOf, views_of: ViewsOf, square: Code) -> None:
    """Silence could mean that nobody looked."""
    job = job_of("first-lateral")
    (view,) = views_of(job)
    torque = replace(view.values["clamp.torque"], kind="stated", words="until the pointer meets its mark")
    values = {**view.values, "clamp.torque": torque}
    full = replace(view, combination=replace(view.combination, values=values))
    (said,) = rows_under(pack_sheets([full], job, PACK, square, ())[0], "Blanks to fill before work")
    assert said.strings() == ("No value of this pack is blank.",)


def test_the_cover_of_two_joints_says_which_one_lacks_a_step(
    twin: Job, views_of: ViewsOf, square: Code
) -> None:
    """A step left out of the second joint only is told of the second, once."""
    first, second = views_of(twin)
    values = {name: value for name, value in second.values.items() if name != "tap.saw_depth_min"}
    bare = replace(second, combination=replace(second.combination, values=values))
    told = rows_under(pack_sheets([first, bare], twin, PACK, square, ())[0], "Blanks to fill before work")
    lines = [text for block in told for text in block.strings() if "is left out" in text]
    assert len(lines) == 1
    assert lines[0].startswith("J2: Step ") and lines[0].endswith("nothing here gives Saw cup, least depth.")


def test_the_cover_names_each_content_folder_with_its_digest(
    cover_of: Callable[[Job], Sheet], job_of: JobOf, views_of: ViewsOf
) -> None:
    job = job_of("first-lateral")
    (folder,) = views_of(job)[0].catalog.folders
    line, governs = rows_under(cover_of(job), "Content used")
    assert governs.strings()[0].startswith("The fitting's label, the owner's rules, local codes")
    assert folder.digest in line.strings()[0] and len(folder.digest) == 12
    assert f"revision {folder.record.revision}" in line.strings()[0]


@pytest.mark.parametrize("engineer", [False, True])
def test_the_values_sheet_holds_every_value_with_its_kind_and_sources(
    engineer: bool, each_view: View, words: Words, labels: dict[str, str]
) -> None:
    """In register order, under the headings of their groups; each source number stands in the list below.

    The engineer's torques stand on the site's sheet alone, and a job's cord under its own name alone.
    """
    sheet = values_sheet(each_view, engineer=engineer)
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    rows = [row for row in cells(table) if row[1]]
    wanted = {
        name: each_view.values[name] for name, entry in REGISTER.items()
        if name in each_view.values
        and not name.startswith((CORD_LENGTHS, COOL_BANDS))
        and (engineer or not entry.engineer)
    }  # fmt: skip
    assert [row[0] for row in rows] == [labels[name] for name in wanted]
    sources = source_numbers(each_view)
    for (_, text, origin), (name, value) in zip(rows, wanted.items(), strict=True):
        assert text == (each_view.text(name) or "ENTER")
        kind, _, numbers = origin.partition(" ")
        assert kind == words(f"kind.{value.kind}")
        assert numbers == ", ".join(str(sources[source]) for source in value.sources)
    listed = [text for block in sheet.blocks if isinstance(block, Why) for text in block.strings()]
    assert listed[1:] == [f"{number}  {source}" for source, number in sources.items()]
    groups = [row[0] for row in cells(table) if not row[1]]
    assert len(groups) == len(set(groups)) >= 10


def test_a_saddle_s_torques_stand_on_the_engineer_s_sheet_alone(job_of: JobOf, views_of: ViewsOf) -> None:
    """Nobody in a trench sets a screw by a number that was made for a desk."""
    (view,) = views_of(job_of("first-lateral"))
    names = [name for name in view.values if REGISTER[name].engineer]
    assert names == [
        "clamp.torque_guidance", "clamp.torque_limit", "cool.melt_depth_fitting", "cool.melt_depth_pipe",
    ]  # fmt: skip
    labels = {view.words(f"values.{name}") for name in names}
    crew = {text for block in values_sheet(view).blocks for text in block.strings()}
    assert not labels & crew
    desk = {text for block in values_sheet(view, engineer=True).blocks for text in block.strings()}
    assert labels <= desk


def test_the_fit_check_prints_every_row_with_its_verdict(job_of: JobOf, views_of: ViewsOf) -> None:
    """Fits, refused with its reason and cure, or for the crew to decide."""
    (view,) = views_of(job_of("repair-tie-in"))
    (table,) = [block for block in fit_sheet(view).blocks if isinstance(block, Table)]
    assert len(table.rows) == len(view.combination.checks) > 20
    assert {row[3] for row in cells(table)} == {"fits", "crew proves"}
    assert fit_sheet(view).blocks[0].strings() == ("Permitted",)
    (live,) = views_of(job_of("first-lateral").model_copy(update={"state": "live"}))
    sheet = fit_sheet(live)
    assert sheet.blocks[0].strings() == ("Refused",)
    said = [text for block in sheet.blocks for text in block.strings()]
    assert "REFUSED" in said
    assert all(str(reason) in said for reason in live.combination.reasons)


@pytest.mark.parametrize(
    ("name", "joint", "row"),
    [
        (
            "live-tap",
            0,
            [
                "A test pressure that rule, joint and tools allow",
                "90 psi [621 kPa]",
                "≤ 150 psi [1,034 kPa]",
                "fits",
            ],
        ),
        ("live-tap", 1, ["Pipe, minimum wall", "0.216 in [5.49 mm]", "≥ 4.6 mm [0.182 in]", "fits"]),
        ("repair-tie-in", 0, ["Proof of no pressure, at the hold points", "", "", "crew proves"]),
        ("valve-isolation", 1, ["Proof of no pressure, at the hold points", "", "", "crew proves"]),
    ],
)
def test_the_fit_check_asks_what_is_tested_proved_and_fused(
    name: str, joint: int, row: list[str], job_of: JobOf, views_of: ViewsOf
) -> None:
    """A job's word that no pressure is proved is no proof: the crew gives it."""
    (table,) = [
        block for block in fit_sheet(views_of(job_of(name))[joint]).blocks if isinstance(block, Table)
    ]
    assert row in cells(table)


def test_value_blocks_hold_the_values_looked_for_first(
    job_of: JobOf, views_of: ViewsOf, words: Words
) -> None:
    """In the order of the work; a blank is a heavy box; what a job does not have is absent."""
    (view,) = views_of(job_of("first-lateral"))
    blocks = key_values(view)
    waits = {f"cool.{wait}" for wait in ("clamp_time", "pressure_wait", "tap_wait")}
    upto = ", up to 23\xa0°C [73\xa0°F]"
    assert [cell.label for cell in blocks.cells] == [
        words(f"values.{name}") + upto * (name in waits) for name in KEY_VALUES if name in view.values
    ]
    by_label = {cell.label: cell for cell in blocks.cells}
    assert "Squeeze distance, least" not in by_label
    torque = by_label["Clamp torque"]
    assert (torque.blank, torque.value) == (True, "")
    depth = by_label["Peel depth, greatest"]
    assert f"{depth.value} [{depth.second}]" == view.text("peel.depth_max")


@pytest.mark.parametrize(("units", "there", "gone"), [("us", "in", "mm"), ("si", "mm", None)])
def test_a_unit_choice_reaches_every_sheet(
    units: Any, there: str, gone: str | None, job_of: JobOf, views_of: ViewsOf
) -> None:
    """US prints no second system; SI prints a stated value first as stated, with the other in brackets."""
    (view,) = views_of(job_of("first-lateral"), units=units)
    text = view.text("tap.travel_set")
    assert text.split()[-1].rstrip("]") == there
    assert gone is None or gone not in text
