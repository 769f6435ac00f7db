"""The table of supply cords: every size and voltage of it is the value of the combination.

In: a combination without a job, and one of a job. Out: a failure that names the cell.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from packgen.calc.request import request_of
from packgen.calc.work_out import work_out
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.selection import one
from packgen.register import CORD_LENGTHS
from packgen.sheets.blocks import Table, words_of
from packgen.sheets.cord_sheet import cord_sheets
from packgen.sheets.view import View
from packgen.sheets.words import load_words

CONTENT = Path(__file__).parents[2] / "content"
CATALOG = load(CONTENT, prose=False)


def test_every_listed_cord_has_its_cell() -> None:
    """6 in on 12 in: 4070 VA; by hand 6 × 114 / (2 × 4070 × 0.778 per kft) = 108.0 ft for 8 AWG at 120 V."""
    found = one(CATALOG, "12 in IPS DR 11 PE4710", "6 in IPS", "demo-saddle-screw", None, "both")
    (sheet,) = cord_sheets(View(CATALOG, load_words(), found))
    awg, metric = (block for block in sheet.blocks if isinstance(block, Table))
    assert [words_of(cell) for cell in awg.head] == ["Conductor", "120 V", "240 V"]
    assert [words_of(cell) for cell in metric.head] == ["Conductor", "110 V", "230 V"]
    rows = {words_of(row[0]): [words_of(cell) for cell in row[1:]] for row in (*awg.rows, *metric.rows)}
    assert len(rows) == 14
    assert rows["8 AWG"] == ["108 ft [32.9 m]", "432 ft [131.6 m]"]
    assert rows["10 AWG"] == ["not permitted", "271 ft [82.6 m]"]
    texts = [value.text() for name, value in found.values.items() if name.startswith(CORD_LENGTHS)]
    assert sorted(texts) == sorted(text for row in rows.values() for text in row)


def test_the_listed_cords_stay_off_values_sheet_and_workings() -> None:
    """A job's own cord stands there under one name."""
    job = load_job(CONTENT / "jobs" / "first-lateral.yaml", CATALOG)[0]
    view = View(CATALOG, load_words(), work_out(request_of(job, job.joints[0], CATALOG)))
    assert f"{CORD_LENGTHS}120_v.awg_12" in view.values
    assert [name for name in view.listed if "cord" in name] == ["power.supply_cord_length_max"]


def test_without_coil_data_there_is_no_table() -> None:
    found = one(CATALOG, "6 in IPS DR 11 PE4710", "2 in IPS", "demo-saddle-screw", None, "both")
    pair = found.request.pair
    assert pair is not None
    silent = pair.model_copy(update={"fuse": pair.fuse.model_copy(update={"coil_resistance": None})})
    family = found.request.family.model_copy(update={"pairs": (silent,)})
    bare = work_out(replace(found.request, family=family))
    assert cord_sheets(View(CATALOG, load_words(), bare)) == ()
