"""What tests of sheets share: the starter's catalogue and words, and the demo jobs as views.

In: the starter content. Out: fixtures `catalog`, `words`, `job_of` (a job file read), `views_of` (its joints
as views, fresh each time), `each_view` (one after the other, every joint of every demo job), `labels` (what
its values are called) and `twin` (a job with two laterals of different sizes on one main).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.register import REGISTER
from packgen.sheets.blocks import Code
from packgen.sheets.standing import numbered
from packgen.sheets.view import Known, View
from packgen.sheets.words import Words, load_words

ROOT = Path(__file__).parents[2]
ViewsOf = Callable[..., list[View]]
# Every joint of every demo job: the job's file, and the joint's place in it.
JOINTS = (
    ("first-lateral", 0), ("repair-tie-in", 0), ("metric-lateral", 0), ("live-tap", 0), ("live-tap", 1),
    ("service-tap", 0), ("service-tap", 1), ("valve-isolation", 0), ("valve-isolation", 1),
)  # fmt: skip
SECOND_JOINT = """  - id: J2
    lateral: 2 in IPS DR 11 PE4710
    family: demo-saddle-screw
    method: open drill
    outlet: 12 o'clock
    lateral_length: 30 ft
site:"""


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    """The starter's catalogue."""
    return load(here=ROOT)


@pytest.fixture(scope="session")
def words() -> Words:
    """The words of labels and titles."""
    return load_words()


@pytest.fixture(scope="session")
def job_of(catalog: Catalog) -> Callable[[str], Job]:
    """A job of the starter by its file's name; each is read once."""
    return cache(lambda name: load_job(ROOT / "content" / "jobs" / f"{name}.yaml", catalog)[0])


@pytest.fixture(scope="session")
def twin(catalog: Catalog, tmp_path_factory: pytest.TempPathFactory) -> Job:
    """The tie-in with a second lateral, of another size, on the same main."""
    text = (ROOT / "content" / "jobs" / "repair-tie-in.yaml").read_text("utf-8")
    path = tmp_path_factory.mktemp("twin") / "twin.yaml"
    path.write_text(text.replace("site:", SECOND_JOINT, 1), "utf-8")
    return load_job(path, catalog)[0]


@pytest.fixture(scope="session")
def views_of(catalog: Catalog, words: Words) -> ViewsOf:
    """A job's joints as views, numbered as one: `views_of(job, procedures=…, units=…)`; procedures replace
    the starter's. The other sizes of a family are worked out once for all views of the starter's own.
    """
    siblings: dict[str, Known] = {}

    def make(job: Job, procedures: tuple[object, ...] | None = None, units: str = "both") -> list[View]:
        used = catalog if procedures is None else replace(catalog, procedures=procedures)
        known = siblings.setdefault(units, {}) if procedures is None else {}
        return numbered([View(used, words, each, units, known) for each in combinations(job, used)])

    return make


@pytest.fixture(params=JOINTS, ids=lambda joint: f"{joint[0]}-J{joint[1] + 1}")
def each_view(request: pytest.FixtureRequest, job_of: Callable[[str], Job], views_of: ViewsOf) -> View:
    """A joint of a demo job, numbered with the others of its job."""
    name, index = request.param
    return views_of(job_of(name))[index]


@pytest.fixture
def labels(each_view: View, words: Words) -> dict[str, str]:
    """What each value of that joint is called; beside a table of times one time is not the fusion time, and
    what a coupling fuses to is no main.
    """
    found = {name: words(f"values.{name}") for name in REGISTER}
    if "fuse.time_compensation" in each_view.values:
        found["fuse.time"] = "Fusion time at the reference temperature only"
    if each_view.request.is_coupling:
        found |= {"fitting.wall": "Coupling wall", "fuse.main_wall_min": "Least pipe wall to fuse to"}
    return found


@pytest.fixture(scope="session")
def square() -> Code:
    """A code block, as small as a real one and quicker to make."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="21.78mm" height="21.78mm"/>'
    return Code(svg, "2345-6789-ABCD", 21.78, "The code 2345-6789-ABCD as a square symbol")
