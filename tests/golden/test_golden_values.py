"""Golden: the values of the demo jobs as they were last looked at. A change here is no mistake, but must be
meant.

These files prove nothing about right or wrong: published values are checked in tests/references, and
tests/publish/test_every_number.py works every number out again. They show what a change moved. To renew them
after a change that is meant, from the top folder: `packgen job content/jobs/*.yaml --output build`, then copy
the `values.json` of each job's folder below `build/jobs/` to this folder under the name of its job file, such
as that of HL-0427 to `tests/golden/first-lateral.json`, and read the difference line by line.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from packgen.model.catalog import Catalog
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.publish.values_data import job_data

GOLDEN = Path(__file__).parent
JOBS = sorted((GOLDEN.parents[1] / "content" / "jobs").glob("*.yaml"))


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The starter's content."""
    return load(GOLDEN.parents[1] / "content", prose=False)


def test_every_demo_job_has_its_file() -> None:
    kept = {path.stem for path in GOLDEN.glob("*.json")}
    assert kept == {path.stem for path in JOBS} and len(kept) == 6


@pytest.mark.parametrize("name", [path.stem for path in JOBS])
def test_the_values_are_those_last_looked_at(name: str, catalog: Catalog) -> None:
    """Joint by joint and value by value; the code is left out, since every word changes it."""
    job, _ = load_job(JOBS[0].with_name(f"{name}.yaml"), catalog)
    joints = [(joint.id, found) for joint, found in zip(job.joints, combinations(job, catalog), strict=True)]
    kept = json.loads((GOLDEN / f"{name}.json").read_text("utf-8"))
    found = job_data(job, "", job.date.isoformat(), joints, "both")
    for data in (kept, found):
        del data["code"]
    before, now = (data.pop("joints") for data in (kept, found))
    assert found == kept
    assert [joint["id"] for joint in now] == [joint["id"] for joint in before]
    for old, new in zip(before, now, strict=True):
        old_values, new_values = old.pop("values"), new.pop("values")
        assert new == old
        assert list(new_values) == list(old_values)
        changed = {name: (old_values[name], new_values[name]) for name in old_values
                   if old_values[name] != new_values[name]}  # fmt: skip
        assert changed == {}
