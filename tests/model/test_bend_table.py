"""The table of bend factors and the owner's numbers: what a file of them may say, and every complaint.

In: files written as a person might, and the starter content. Out: a failure that shows what was said.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError, Problems
from packgen.model.bend_records import BendTable
from packgen.model.load import load
from packgen.model.validate import validate
from packgen.model.yaml_reader import parse_yaml

CONTENT = Path(__file__).parents[2] / "content"
END = "at_fitting: 100\nat_fitting_source: ppi-handbook-7\n"


def told(rows: str, end: str = END) -> list[str]:
    """What is said of a table with these rows."""
    problems = Problems()
    validate(parse_yaml(f"kind: bend table\nrows: [{rows}]\n{end}", "bends.yaml"), BendTable, problems)
    with pytest.raises(ContentError) as caught:
        problems.raise_if_any()
    return str(caught.value).splitlines()


def row(low: float, high: float, factor: float = 25) -> str:
    """A row of the table."""
    return f"{{dr_from: {low:g}, dr_to: {high:g}, factor: {factor:g}, source: ppi-handbook-7}}"


@pytest.mark.parametrize(
    ("rows", "wrong"),
    [
        (row(9, 7), "9 to 7"),  # the wrong way round
        (f"{row(7, 9)}, {row(9, 11)}", "9 to 11"),  # two rows for one ratio
        (f"{row(11, 13.5)}, {row(7, 9)}", "7 to 9"),  # out of order
    ],
)
def test_rows_that_leave_two_answers_are_refused(rows: str, wrong: str) -> None:
    (line,) = told(rows)
    assert f"the row from DR {wrong} is out of order" in line
    assert line.startswith("bends.yaml:2:")
    assert "expected rows by rising ratio that do not overlap" in line


@pytest.mark.parametrize(
    ("rows", "end"), [("", END), (row(7, 9, 0.5), END), (row(7, 9), "at_fitting: 100\n"), (row(1, 9), END)]
)
def test_a_table_without_rows_sources_or_sense_is_refused(rows: str, end: str) -> None:
    """No row; a bend tighter than the pipe is thick; a factor nobody stated; a ratio without a bore."""
    assert told(rows, end)


def starter(folder: Path) -> Path:
    """A copy of the starter content, to be changed."""
    return Path(shutil.copytree(CONTENT, folder / "content"))


def refusal(folder: Path) -> str:
    """What is said of a content folder."""
    with pytest.raises(ContentError) as caught:
        load(folder)
    return str(caught.value)


def test_every_row_s_source_must_be_known(tmp_path: Path) -> None:
    ours = starter(tmp_path)
    path = ours / "pipes" / "bend-factors.yaml"
    path.write_text(path.read_text("utf-8").replace("ppi-handbook-7}", "ppi-handbook-9}", 1), "utf-8")
    assert "the source 'ppi-handbook-9' is not known" in refusal(ours)


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("value: test.hold", "value: test.holds", "test.holds"),
        ("value: test.hold", "value: clamp.torque_limit", "clamp.torque_limit"),  # no setting
        ('"at most test.pressure_max"]', '"at most test.pressure_most"]', "test.pressure_most"),
    ],
)
def test_an_owner_s_number_names_values_that_exist(old: str, new: str, name: str, tmp_path: Path) -> None:
    """Of its own value and of the limits in its box."""
    ours = starter(tmp_path)
    path = ours / "procedures" / "en" / "owner-blanks.yaml"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    said = refusal(ours)
    assert f"the value {name!r} is not known" in said and "owner-blanks.yaml" in said
