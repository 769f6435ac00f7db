"""The waits in heat on paper: the crew's table, the engineer's sheet, the curves.

In: views of demo joints. Out: a failure that names the row. Vocabulary: as in `heat_sheet`.
Source: the cooling is solved once more by a library's integrator (tests/references/second_heat.py).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from packgen.sheets.blocks import Drawing, Sheet, Table, words_of
from packgen.sheets.heat_sheet import bands_table, heat_sheets
from packgen.sheets.view import View
from packgen.sheets.words import load_words
from tests.references.second_heat import by_integrator
from tests.references.test_demo_heat import REFERENCE, shapes
from tests.references.test_demo_jobs import worked

KEY = ("first-lateral", "J1")


def view_of(job: str, joint: str) -> View:
    """The view of a demo joint."""
    found = worked(job, joint)
    return View(found.request.catalog, load_words(), found)


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    """The engineer's sheet of the first job."""
    (made,) = heat_sheets(view_of(*KEY))
    return made


def rows_of(table: Table) -> list[list[str]]:
    """A table's cells as words."""
    return [[words_of(cell) for cell in row] for row in table.rows]


def test_a_row_up_to_the_reference_then_each_hotter_band_then_no_more() -> None:
    (table,) = bands_table(view_of(*KEY))
    rows = rows_of(table)
    assert rows[0] == ["up to 23 °C [73 °F]", "none", "15 min", "20 min", "30 min"]
    hotter = ["up to 30 °C [86 °F]", "up to 40 °C [104 °F]", "above 40 °C [104 °F]"]
    assert [row[0] for row in rows[1:]] == hotter
    assert rows[-1][1:] == ["not permitted", "", "", ""]
    assert table.marked == 0  # 68 °F


def test_a_coupling_has_no_tap_wait_and_a_plain_label_no_table() -> None:
    (table,) = bands_table(view_of("live-tap", "J2"))
    assert {len(row) for row in table.rows} == {4}
    assert list(bands_table(view_of("valve-isolation", "J2"))) == []
    assert heat_sheets(view_of("valve-isolation", "J2")) == ()


def test_what_is_assumed_otherwise_moves_the_wait_as_the_integrator_says(sheet: Sheet) -> None:
    """Each line within one part in a hundred and the rounding of the line."""
    rows = rows_of([block for block in sheet.blocks if isinstance(block, Table)][1])
    found = {row[0].split(",")[0]: float(row[1].split()[0]) for row in rows}
    changes = {
        "As it stands here": {}, "Still air takes less heat off": {"film_outside": 5.0},
        "Moving air takes more heat off": {"film_outside": 12.0},
        "Nothing leaves through the inside of the pipe": {"film_inside": 0.0},
    }  # fmt: skip
    for words, change in changes.items():
        cases = [replace(case, **change) for case in shapes(KEY)]
        extra = [by_integrator(c, 40.0).seconds - by_integrator(c, REFERENCE).seconds for c in cases]
        assert found[words] == pytest.approx(max(extra) / 60.0, rel=0.01, abs=0.06), words
    assert found["Still air takes less heat off"] > found["As it stands here"]
    assert found["Greatest energy within the tolerances"] > found["As it stands here"]
    assert len(rows) == 8


def test_the_curves_say_when_the_plane_is_cool(sheet: Sheet) -> None:
    """Both times within one part in two hundred; no label lies on a line of another."""
    (figure,) = (block.figure for block in sheet.blocks if isinstance(block, Drawing))
    shown = [float(text.split(": ")[1].split()[0]) for text in figure.strings if text[:2] in ("A ", "B ")]
    for minutes, air in zip(shown, (REFERENCE, 40.0), strict=True):
        times = [by_integrator(case, air).seconds / 60.0 for case in shapes(KEY)]
        assert min(abs(minutes / each - 1.0) for each in times) < 0.005
    assert figure.title == "How the fusion plane cools"
    assert "80 °C [176 °F]" in " ".join(figure.strings)
    assert figure.alt.endswith("min.")
