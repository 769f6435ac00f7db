"""Every value has an outside check, or the file says why not; the checks are there, and there are enough.

In: outside.yaml and the tests it names; the demo jobs. Out: a failure that names the value or the test.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from packgen.calc.request import request_of
from packgen.calc.work_out import work_out
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.register import REGISTER
from tests.references.outside import (
    COUNTED,
    STANDINGS,
    Row,
    check_of,
    checks,
    parametrised,
    read,
    report,
    rows,
    totals,
)

CONTENT = Path(__file__).parents[2] / "content"
LEAST = 130
each_row = pytest.mark.parametrize("row", rows(), ids=lambda row: row.pattern)


@cache
def kinds() -> dict[str, set[str]]:
    """How each value came about in any joint of the demo jobs."""
    catalog, found = load(CONTENT, prose=False), {name: set[str]() for name in REGISTER}
    for file in sorted((CONTENT / "jobs").glob("*.yaml")):
        job, _ = load_job(file, catalog)
        for joint in job.joints:
            for name, value in work_out(request_of(job, joint, catalog)).values.items():
                found[name].add(value.kind)
    return found


def test_every_value_stands_in_just_one_row() -> None:
    found = Counter(name for row in rows() for name in row.names)
    assert {name: found[name] for name in REGISTER if found[name] != 1} == {}


@each_row
def test_a_row_is_for_some_value(row: Row) -> None:
    assert row.names


@each_row
def test_a_value_has_an_outside_check_or_a_reason(row: Row) -> None:
    """A value that is worked out has a check from outside, or says why none can exist; never both."""
    checked = {name for name in row.names if row.is_checked(name)}
    if row.carried is None:
        assert (row.none is None) == bool(checked), (row.none, checked)
    else:
        assert row.none is None
        assert row.checks, "a carried value names the test of its carrying"
    for words in (row.carried, row.none):
        assert words is None or len(words.split()) >= 8, "say it in a sentence"
    if row.none is None and row.carried is None:
        assert checked == row.names


@each_row
def test_only_a_value_that_is_never_worked_out_may_be_called_carried(row: Row) -> None:
    """By all demo jobs: a stated value has no number of its own to check."""
    worked = {name for name in row.names if "worked" in kinds()[name]}
    if row.carried is not None:
        assert worked == set()


@each_row
def test_a_row_leans_on_no_test_that_says_nothing_of_it(row: Row) -> None:
    """A check has a case about one of the row's values."""
    for check in row.checks:
        assert list(check.about(row.names)), check.name


def test_every_named_test_is_there_and_used() -> None:
    """In its own file, once, with a source and a standing; test names do not repeat over the files."""
    names = [name for own in read()["tests"].values() for name in own]
    assert len(names) == len(set(names)) == len(checks())
    assert {check.name for row in rows() for check in row.checks} == set(names)
    for check in checks().values():
        assert check.name.startswith("test_") and check.source.strip()
        assert {standing for standing, _ in check.cases} <= set(STANDINGS)


@pytest.mark.parametrize("name", ["test_that_nobody_wrote", "prints_as"])
def test_a_test_that_is_not_there_is_told(name: str) -> None:
    """A name that nothing bears, and a helper that is no test."""
    with pytest.raises(ValueError, match=f"tests/references/test_pipe.py has no test {name}"):
        check_of("references/test_pipe.py", name, {"by": "published", "source": "none"})


def test_tables_that_do_not_hold_every_case_are_told() -> None:
    name = "test_minimum_walls_are_those_of_the_published_tables"
    with pytest.raises(ValueError, match=r"holds \d+ of \d+ cases"):
        check_of(
            "references/test_pipe.py", name, {"by": {"published": "D3035_WALLS"}, "source": "ASTM D3035"}
        )


def test_cases_are_counted_from_the_marks() -> None:
    """Two marks multiply; a test without a mark is one case."""

    @pytest.mark.parametrize("one", [1, 2, 3])
    @pytest.mark.parametrize(("two", "three"), [(1, 2), pytest.param(3, 4, id="named")])
    def marked(one: int, two: int, three: int) -> int:
        return one + two + three

    runs = [sorted(run) for run in parametrised(marked)]
    assert sorted(runs) == sorted(sorted((*pair, one)) for pair in ((1, 2), (3, 4)) for one in (1, 2, 3))
    assert parametrised(test_cases_are_counted_from_the_marks) == [()]


def test_there_are_enough_published_and_library_checks() -> None:
    """Each case once, however many values lean on it; what is worked by hand or remembered does not count."""
    found = totals()
    assert sum(found[standing] for standing in COUNTED) >= LEAST
    assert found["published"] >= LEAST


def test_the_report_names_every_row_and_the_total() -> None:
    lines = list(report())
    for row in rows():
        assert any(line.startswith(row.pattern) for line in lines)
    found = totals()
    assert lines[-1] == f"{found['published'] + found['library']} published or library-computed checks in all"
