"""The records by themselves: the pack's own sheets, each field named by its owner, each name once."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from packgen.model.job import Job
from packgen.render.fillable import planned_fields
from packgen.sheets.blocks import Boxes, Table
from packgen.sheets.media import pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.records import record_sheets
from packgen.sheets.view import View

ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
MEDIUM = pack_medium("letter")
JOBS = ("first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation")


@pytest.mark.parametrize("name", JOBS)
def test_every_field_has_a_name_of_its_own_that_begins_with_its_joint_or_job(
    name: str, job_of: JobOf, views_of: ViewsOf
) -> None:
    job = job_of(name)
    sheets = record_sheets(views_of(job), job, MEDIUM)
    names = [field.name for field in planned_fields(lay_out(sheets, MEDIUM))]
    assert len(names) == len(set(names)) > 100
    owners = [name.partition(".")[0] for name in names]
    assert set(owners) == {job.id, *(joint.id for joint in job.joints)}
    assert owners == sorted(owners, key=[*(joint.id for joint in job.joints), job.id].index)


@pytest.mark.parametrize("name", JOBS)
def test_every_box_and_every_cell_to_write_in_can_be_filled(
    name: str, job_of: JobOf, views_of: ViewsOf
) -> None:
    """A box left without a field could only be filled in ink."""
    job = job_of(name)
    for sheet in record_sheets(views_of(job), job, MEDIUM):
        for block in sheet.blocks:
            if isinstance(block, Boxes):
                assert all(box.name for box in block.boxes), sheet.id
            elif isinstance(block, Table) and block.write:
                assert block.field_names(), sheet.id


def test_a_joint_s_record_names_its_fields_by_the_record_s_own_ids(job_of: JobOf, views_of: ViewsOf) -> None:
    """So that a later wording does not change the name."""
    job = job_of("first-lateral")
    sheets = record_sheets(views_of(job), job, MEDIUM)
    names = [field.name for field in planned_fields(lay_out(sheets, MEDIUM))]
    assert {"J1.record.job-number", "J1.record.main-wall", "J1.record.girth"} & set(names) >= {
        "J1.record.job-number",
        "J1.record.main-wall",
    }
