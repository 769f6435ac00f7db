"""The tags of a joint: earliest times, what was done, and an abandoned saddle's words on both faces."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from packgen.model.job import Job
from packgen.sheets.blocks import Boxes, Sheet
from packgen.sheets.plan import lay_out
from packgen.sheets.saddle_tag import tag_medium, tag_sheets
from packgen.sheets.view import View

ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]


def boxes(sheet: Sheet) -> dict[str, str]:
    """The boxes of a face, with what is wanted in them."""
    found = (block.boxes for block in sheet.blocks if isinstance(block, Boxes))
    return {box.label: box.wanted for some in found for box in some}


def test_a_cooling_joint_s_tag_has_its_earliest_times(job_of: JobOf, views_of: ViewsOf) -> None:
    """The demo label waits 15, 20 and 30 minutes."""
    (view,) = views_of(job_of("first-lateral"))
    front = tag_sheets(view)[0]
    assert (front.title, front.tag.large, front.tag.small) == ("Cooling", "J1", "2 in on 6 in")
    assert boxes(front) == {
        "Fused by": "",
        "Fusion end, date and time": "",
        "Clamp off, not before": "fusion end + 15 min",
        "Leak test, not before": "fusion end + 20 min",
        "Cut, not before": "fusion end + 30 min",
    }


def test_an_abandoned_saddle_says_so_on_both_faces(job_of: JobOf, views_of: ViewsOf) -> None:
    (view,) = views_of(job_of("first-lateral"))
    front, back = tag_sheets(view)[2:]
    assert front == back
    assert front.title == "Abandoned, not cut"


def test_a_coupling_is_never_cut(job_of: JobOf, views_of: ViewsOf) -> None:
    """Its tag has neither a time for the cut nor the words of an uncut saddle."""
    sheets = tag_sheets(views_of(job_of("service-tap"))[1])
    assert len(sheets) == 2
    assert not any("ut" in label.split() or "Cut" in label for sheet in sheets for label in boxes(sheet))


@pytest.mark.parametrize("form", ["a7", "3x5", "a6", "quarter-letter"])
def test_each_face_of_a_tag_holds_its_sheet_whole(each_view: View, form: str) -> None:
    """Front and back belong together: a face that ran over would part them."""
    sheets = tag_sheets(each_view)
    assert [face.title for face in lay_out(sheets, tag_medium(form))] == [sheet.title for sheet in sheets]
