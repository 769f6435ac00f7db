"""Joint record and workings."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from packgen.model.job import Job
from packgen.register import REGISTER
from packgen.sheets.back import record_sheet, workings_sheet
from packgen.sheets.blocks import Box, Boxes, Section, Why, words_of
from packgen.sheets.front import source_numbers
from packgen.sheets.view import View
from packgen.sheets.words import Words

ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]


@pytest.fixture(params=["first-lateral", "repair-tie-in"])
def view(request: pytest.FixtureRequest, job_of: JobOf, views_of: ViewsOf) -> View:
    """The one joint of each demo job."""
    (found,) = views_of(job_of(request.param))
    return found


def boxes_of(view: View) -> dict[str, list[Box]]:
    """The record's boxes by their heading."""
    found: dict[str, list[Box]] = {}
    for block in record_sheet(view).blocks:
        if isinstance(block, Section):
            found[block.text] = []
        elif isinstance(block, Boxes):
            found[list(found)[-1]] += block.boxes
    return found


def test_a_box_prints_the_value_wanted_beside_it(view: View) -> None:
    """Nobody looks it up while the pen is wet."""
    record = view.catalog.joint_record
    assert record is not None
    printed = {box.label.split(" (step")[0]: box for boxes in boxes_of(view).values() for box in boxes}
    wanted = [field for group in record.groups for field in group.fields if field.wanted]
    assert len([field for field in wanted if field.label in printed]) >= 12
    for field in wanted:
        if field.label in printed:
            text = re.sub(r"[a-z]+(\.[a-z_]+)+", lambda name: view.text(name[0]), str(field.wanted))
            assert printed[field.label].wanted == (f"wanted: {text}" if text else "")
            assert printed[field.label].fill == field.fill


def test_boxes_of_sheets_that_are_not_in_the_pack_are_left_out(job_of: JobOf, views_of: ViewsOf) -> None:
    """A dry main has no squeeze-off, and its record asks for none."""
    (dry,), (isolated,) = views_of(job_of("first-lateral")), views_of(job_of("repair-tie-in"))
    assert "Squeeze-off" not in boxes_of(dry)
    assert len(boxes_of(isolated)["Squeeze-off"]) == 13
    assert len(boxes_of(dry)["Dry main"]) == 2
    assert "Dry main" not in boxes_of(isolated)


def test_every_heading_has_a_box(view: View) -> None:
    assert all(boxes_of(view).values())


def test_every_worked_value_has_its_working(view: View, words: Words) -> None:
    """Method, inputs, result before rounding, direction, the value as printed, sources."""
    worked = [value for value in view.values.values() if value.kind == "worked"]
    blocks = [block for block in workings_sheet(view).blocks[1:] if isinstance(block, Why)]
    assert len(blocks) == len(worked) > 15
    numbers = source_numbers(view)
    for block, value in zip(blocks, worked, strict=True):
        text = words_of(block.line).replace("\N{NO-BREAK SPACE}", " ")
        assert value.working is not None
        assert text.startswith(f"{words(f'values.{value.name}')}: {value.working.words}. ")
        for item in value.working.inputs:
            label, said = item if isinstance(item, tuple) else (words(f"values.{item}"), view.text(item))
            assert f"{label} {said}" in text
        direction = words(f"direction.{REGISTER[value.name].direction}")
        assert f". Result {value.result}, {direction} {view.text(value.name)}. Source " in text
        assert text.endswith(f"Source {', '.join(str(numbers[source]) for source in value.sources)}.")


def test_stated_values_have_no_working(view: View, words: Words) -> None:
    """A stated value is carried, never worked."""
    heads = {words_of(block.line[:1]) for block in workings_sheet(view).blocks if isinstance(block, Why)}
    stated = {words(f"values.{value.name}") for value in view.values.values() if value.kind == "stated"}
    assert heads & stated == set()
