"""Joints that contradict each other, their fitting or their method: told with line, key and cure.

In: the starter's jobs with one thing changed, on either side of what is possible. The rules are those of the
trade's order of work (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
LIVE, SERVICE, FIRST = "live-tap", "service-tap", "first-lateral"
VALVES, SQUEEZE = "valve-isolation", "repair-tie-in"
COUPLING = (
    "  - id: J2\n    lateral: 2 in IPS DR 11 PE4710\n    family: demo-coupling\n"
    "    carries: J1                       # the coupling joins the lateral to the valve of J1\n"
)
IN_COUPLING = "    family: demo-coupling\n"
NO_PLACE = "a coupling cuts nothing and has no outlet: {!r} has no place with it; take it out, or write it"


@dataclass(frozen=True)
class Case:
    """One thing of a job on both sides of what is possible: `bad` is told at `key`, `good` is taken."""

    job: str
    stands: str
    bad: str
    key: str
    told: str
    good: str


def in_coupling(line: str, key: str, good: str) -> Case:
    """A line that has no place in a coupling's joint."""
    written = IN_COUPLING + "    {}\n"
    told = NO_PLACE.format(key)
    return Case(LIVE, IN_COUPLING, written.format(line), f"joints[1].{key}", told, written.format(good))


CASES = {
    "size carried on": Case(
        LIVE, "lateral: 2 in IPS DR 11 PE4710\n    family: demo-coupling",
        "lateral: 3 in IPS DR 11 PE4710\n    family: demo-coupling", "joints[1].lateral",
        "the lateral 3 in IPS DR 11 PE4710 is not that of J1, 2 in IPS DR 11 PE4710; write the same size, "
        "system, ratio and material in both, or take 'carries' out",
        "lateral: 2 in IPS DR 11 PE4710 ASTM D3035\n    family: demo-coupling",
    ),
    "system carried on": Case(
        LIVE, "lateral: 2 in IPS DR 11 PE4710\n    family: demo-coupling",
        "lateral: 2 in CTS DR 11 PE4710\n    family: demo-coupling", "joints[1].lateral",
        "the lateral 2 in CTS DR 11 PE4710 is not that of J1",
        "lateral: 2 in IPS SDR 11 PE4710\n    family: demo-coupling",
    ),
    "ratio carried on": Case(
        LIVE, "lateral: 2 in IPS DR 11 PE4710\n    family: demo-coupling",
        "lateral: 2 in IPS DR 9 PE4710\n    family: demo-coupling", "joints[1].lateral",
        "the lateral 2 in IPS DR 9 PE4710 is not that of J1",
        "lateral: 2 in IPS DR 11 PE 4710\n    family: demo-coupling",
    ),
    "material carried on": Case(
        LIVE, "lateral: 2 in IPS DR 11 PE4710\n    family: demo-coupling",
        "lateral: 2 in IPS DR 11 PE2708\n    family: demo-coupling", "joints[1].lateral",
        "the lateral 2 in IPS DR 11 PE2708 is not that of J1",
        "lateral: 2in IPS DR11 PE4710\n    family: demo-coupling",
    ),
    "a coupling before its branch": Case(
        LIVE, "joints:\n", "joints:\n" + COUPLING.replace("J2", "J0"), "joints[0].carries",
        "J0 stands before J1, whose lateral it carries on; put it below J1", "joints: # in order\n",
    ),
    "a third end": Case(
        LIVE, COUPLING, COUPLING + COUPLING.replace("J2", "J3").replace("carries: J1", "carries: J2"),
        "joints[2].carries", "'J2' is no branch of this job; expected J1",
        COUPLING + COUPLING.replace("J2", "J3"),  # a valve has two ends
    ),
    "method of a coupling": in_coupling("method: through a valve", "method", "station: 11+31"),
    "outlet of a coupling": in_coupling("outlet: 3 o'clock", "outlet", "outlet: 12 o'clock"),
    "valve of a coupling": in_coupling("valve: demo-valve-2in", "valve", "station: 11+31"),
    "machine of a coupling": in_coupling(
        "drilling_machine: demo-machine-2in", "drilling_machine", "station: 11+31"
    ),
    "plug of a coupling": in_coupling("test_plug: demo-plug-2in", "test_plug", "station: 11+31"),
    "top of a coupling": in_coupling("top_not_practical: a duct", "top_not_practical", "station: 11+31"),
    "side outlet of a coupling": in_coupling("side_outlet: 3 o'clock side", "side_outlet", "station: 11+31"),
    "valve of an open drill": Case(
        FIRST, "    method: open drill\n", "    method: open drill\n    valve: demo-valve-2in\n",
        "joints[0].valve",
        "the main is cut by 'open drill', without a valve; take it out, or write 'method: through a valve' "
        "where the family is made for it",
        "    method: through a valve\n    valve: demo-valve-2in\n",
    ),
    "valve of the family's first method": Case(
        FIRST, "    method: open drill\n", "    valve: demo-valve-2in\n", "joints[0].valve",
        "the main is cut by 'open drill', without a valve", "    test_plug: demo-plug-2in\n",
    ),
    "machine of a built-in cutter": Case(
        SERVICE, "    method: built-in cutter\n",
        "    method: built-in cutter\n    drilling_machine: demo-machine-2in\n", "joints[0].drilling_machine",
        "the main is cut by 'built-in cutter', without a drilling machine",
        "    method: built-in cutter\n    top_not_practical: a duct\n",
    ),
    "plug of a built-in cutter": Case(
        SERVICE, "    method: built-in cutter\n",
        "    method: built-in cutter\n    test_plug: demo-plug-1in\n", "joints[0].test_plug",
        "by 'built-in cutter' the lateral is joined before the test, and no outlet is left to plug; take it",
        "    # built-in cutter\n",
    ),
    "side outlet of a branch saddle": Case(
        FIRST, "    method: open drill\n", "    method: open drill\n    side_outlet: north\n",
        "joints[0].side_outlet", "a branch saddle has no side outlet; take it out, and say by 'outlet'",
        "    method: open drill\n    top_not_practical: a duct\n",
    ),
    "two branches at one place": Case(
        VALVES, "    outlet: 2 o'clock\n    station: 17+45\n",
        "    outlet: 12:00 o'clock\n    station: 17+20\n",
        "joints[1].station", "J1 and J2 both stand at station 17+20, 12 o'clock; write each joint's own",
        "    outlet: 6 o'clock\n    station: 17+20\n",
    ),
    "one place written twice": Case(
        VALVES, "    outlet: 2 o'clock\n    station: 17+45\n",
        "    outlet: 12 o'clock\n    station: ' 17+20 '\n",
        "joints[1].station", "J1 and J2 both stand at station 17+20, 12 o'clock",
        "    outlet: 12 o'clock\n    station: 17+21\n",
    ),
    "two sides, one place": Case(
        SQUEEZE, "proved_no_pressure: true}", "proved_no_pressure: true, order: [west]}", "isolation.order",
        "the sides that are closed are both, the places that close are 1; expected two places, the first to",
        "proved_no_pressure: true, order: [west, east]}",
    ),
    "one side, two places": Case(
        SQUEEZE, "sides: both, proved_no_pressure: true}",
        "sides: one, proved_no_pressure: true, order: [west, east]}", "isolation.order",
        "the sides that are closed are one, the places that close are 2; expected one place",
        "sides: one, proved_no_pressure: true, order: [west]}",
    ),
    "one place for both sides": Case(
        SQUEEZE, "proved_no_pressure: true}", "proved_no_pressure: true, order: [West  end, ' west end']}",
        "isolation.order", "'West  end' closes both sides; expected two places that differ",
        "proved_no_pressure: true, order: [West end, west end 2]}",
    ),
}  # fmt: skip
each_case = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The starter's facts."""
    return load(CONTENT, prose=False)


def job_of(case: Case, new: str, catalog: Catalog, folder: Path) -> Job:
    """A starter's job with one thing changed."""
    text = (CONTENT / "jobs" / f"{case.job}.yaml").read_text("utf-8")
    assert case.stands in text
    path = folder / "job.yaml"
    path.write_text(text.replace(case.stands, new, 1), "utf-8")
    return load_job(path, catalog)[0]


@each_case
def test_what_cannot_be_is_told_with_line_key_and_cure(case: Case, catalog: Catalog, tmp_path: Path) -> None:
    """One mistake is one sentence, at the line of its key."""
    with pytest.raises(ContentError) as caught:
        job_of(case, case.bad, catalog, tmp_path)
    (problem,) = caught.value.problems
    assert problem.place.key == case.key
    assert case.told in str(problem)
    lines = (tmp_path / "job.yaml").read_text("utf-8").splitlines()
    assert f"{case.key.rpartition('.')[2]}:" in lines[problem.place.line - 1]


@each_case
def test_what_just_can_be_is_taken(case: Case, catalog: Catalog, tmp_path: Path) -> None:
    assert job_of(case, case.good, catalog, tmp_path).joints
