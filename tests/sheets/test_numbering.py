"""One numbering for a job with joints of several kinds: a step number means one step of one joint.

In: every demo job, numbered as a job is. Out: a failure that names the step.
Vocabulary: a *shared* sheet stands once in a pack (hazards, isolation, closing out), the others with each
joint.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import pytest

from packgen.errors import Problems
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.prose import Procedure
from packgen.model.prose_reader import read_procedure
from packgen.publish.job import combinations
from packgen.sheets.back import record_sheet
from packgen.sheets.blocks import Boxes, Code, Sheet, Step
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.media import card_medium, pack_medium
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.standing import applicable, left_out, numbered, standing_steps, step_numbers
from packgen.sheets.view import View
from packgen.sheets.words import Words

CARD, PACK = card_medium("quarter-letter"), pack_medium("letter")
JOBS = ("first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation")
SEVERAL = JOBS[3:]
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
every_job = pytest.mark.parametrize("name", JOBS)
several_joints = pytest.mark.parametrize("name", SEVERAL)


def steps_of(sheets: Iterable[Sheet]) -> list[Step]:
    """Every step of some sheets, in order."""
    return [block for sheet in sheets for block in sheet.blocks if isinstance(block, Step)]


def pack_of(views: Sequence[View], job: Job, square: Code) -> tuple[Sheet, ...]:
    """The sheets of a job's pack."""
    return pack_sheets(views, job, PACK, square, ())


def made_up(body: str, order: int) -> Procedure:
    """A procedure for a case the starter does not have."""
    problems = Problems()
    head = f"---\nid: made-up-{order}\ntitle: Made up\norder: {order}\non: [pack, cards, site]\n---\n"
    made = read_procedure(head + body, f"made-up-{order}.md", problems)
    assert made is not None and list(problems) == []
    return made


@every_job
def test_a_number_stands_on_one_step_of_the_pack_and_rises_through_it(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """ "Hold at 182" means one step of one joint, and a crew turns the pages forward."""
    job = job_of(name)
    numbers = [step.number for step in steps_of(pack_of(views_of(job), job, square))]
    assert numbers == sorted(set(numbers)) and len(numbers) > 120


@every_job
def test_cards_and_site_number_a_step_as_the_pack_does(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """The same words under the same number, wherever the step stands."""
    job = job_of(name)
    views = views_of(job)
    pack = {step.number: (step.id, step.line) for step in steps_of(pack_of(views, job, square))}
    cards = steps_of(job_card_sheets(views, job, CARD, square))
    assert len(cards) > 70
    assert all(pack[step.number] == (step.id, step.line) for step in cards)


@pytest.mark.parametrize("name", ["live-tap", "service-tap"])
def test_a_branch_and_its_coupling_name_each_other_s_steps(
    name: str, job_of: JobOf, views_of: ViewsOf
) -> None:
    """The branch names the coupling's first step in the trench, the coupling the step that sends for it."""
    branch, coupling = views_of(job_of(name))
    trench = next(sheet for sheet in procedure_sheets(coupling, PACK, "cards"))
    first, join = steps_of([trench])[0].number, step_numbers(branch)["lateral-joined"]
    assert branch.job("carried_by") == f"joint J2 of this pack, from step {first}"
    assert coupling.job("carries") == f"joint J1 of this pack, after step {join}"
    alone = replace(coupling, handovers={})
    assert alone.job("carries") == "joint J1 of this pack"


@every_job
def test_every_step_of_every_joint_stands_in_the_pack(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """With its joint, or on a shared sheet; none is lost between them."""
    job = job_of(name)
    views = views_of(job)
    pack = {step.number: step.id for step in steps_of(pack_of(views, job, square))}
    for view in views:
        alone = replace(view, standing=None, numbering=None, shared=frozenset(), elsewhere=frozenset())
        wanted = standing_steps(alone)
        numbers = standing_steps(view)
        assert wanted.keys() <= numbers.keys() and len(wanted) > 100
        on_pack = {s.id for each in applicable(alone) if "pack" in each.head.on for s in each.steps}
        assert all(pack[numbers[step]] == step for step in wanted if step in on_pack)


@every_job
def test_shared_sheets_stand_once(name: str, job_of: JobOf, views_of: ViewsOf, square: Code) -> None:
    """A sheet with steps that a job needs once is there once, each other one with every joint it is for."""
    job = job_of(name)
    views = views_of(job)
    sheets = [sheet for sheet in pack_of(views, job, square) if steps_of([sheet])]
    count = Counter(sheet.id for sheet in sheets)
    once = {each.head.id for each in views[0].catalog.procedures if each.head.once}
    alone = [replace(view, standing=None, numbering=None) for view in views]
    joints = Counter(sheet.id for view in alone for sheet in procedure_sheets(view, PACK, "pack")
                     if steps_of([sheet]))  # fmt: skip
    assert count == {id_: 1 if id_ in once else number for id_, number in joints.items()}


def test_a_shared_sheet_takes_its_values_from_the_joint_that_has_them(
    job_of: JobOf, catalog: Catalog, words: Words
) -> None:
    """A coupling knows no squeeze: opening the squeezes still stands where a saddle comes with one."""
    live, tie_in = job_of("live-tap"), job_of("repair-tie-in")
    saddle = tie_in.joints[0]
    coupling = live.joints[1].model_copy(update={"lateral": saddle.lateral, "carries": saddle.id, "id": "J2"})
    job = tie_in.model_copy(update={"joints": (saddle, coupling)})
    views = numbered([View(catalog, words, each) for each in combinations(job, catalog)])
    steps = {step.id for view in views for step in steps_of(procedure_sheets(view, PACK, "pack"))}
    assert {"first-squeeze", "second-squeeze", "first-release", "second-release"} <= steps
    assert not [line for view in views for line in left_out(view, "pack") if "squeeze" in line.lower()]


@every_job
def test_each_joint_has_its_own_record_whose_boxes_name_steps_by_the_job_s_numbers(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """The number beside a box is that of the step whose field it is, and that joint's pack holds the step."""
    job = job_of(name)
    views = views_of(job)
    sheets = pack_of(views, job, square)
    records = [sheet for sheet in sheets if sheet.id == "record"]
    assert len(records) == len(views)
    if len(views) > 1:
        assert [sheet.title.partition(":")[0] for sheet in records] == [joint.id for joint in job.joints]
    for view, record in zip(views, records, strict=True):
        assert record.blocks == record_sheet(view).blocks
        standing = standing_steps(view)
        assert standing.items() <= step_numbers(view).items()
        boxes = [box for block in record.blocks if isinstance(block, Boxes) for box in block.boxes]
        named = [found for box in boxes if (found := re.fullmatch(r"(.+) \(step (\d+)\)", box.label))]
        source = view.catalog.joint_record
        assert source is not None
        first = view.request.joint == job.joints[0]
        groups = [g for g in source.groups if g.when.met(view.request.facts) and (first or not g.once)]
        wanted = [
            (field.label, str(standing[field.step])) for group in groups for field in group.fields
            if field.step in standing
        ]  # fmt: skip
        assert [found.groups() for found in named] == wanted and len(wanted) > 30


@several_joints
def test_the_records_of_a_saddle_and_its_coupling_ask_for_their_own_work(
    name: str, job_of: JobOf, views_of: ViewsOf
) -> None:
    """No box of the cut on a coupling's record, no box of the sockets on a saddle's."""
    for view in views_of(job_of(name)):
        titles = {text for block in record_sheet(view).blocks for text in block.strings()}
        assert ("Coupling" in titles) == ("Pipe ends" in titles) == view.request.is_coupling
        assert ("Lateral" in titles) == ("Clamp and gap" in titles) == (not view.request.is_coupling)
        cut = {
            "open drill": "Saw and coupon",
            "through a valve": "Saw and coupon",
            "built-in cutter": "Cutter and cap",
        }
        wanted = {cut[view.request.method]} if view.request.method else set()
        assert titles & set(cut.values()) == wanted
        assert ("Valve and drilling machine" in titles) == (view.request.method == "through a valve")


def test_one_point_of_the_work_done_in_two_ways_has_a_number_for_each_joint(
    job_of: JobOf, views_of: ViewsOf
) -> None:
    """Two joints do the second step otherwise: each has numbers of its own, in its own order."""
    body = (
        "## Begin\n\n1. Look at it.\n   {: #looked }\n\n"
        '## Close {: fitting="branch saddle, tapping saddle" }\n\n1. Close the clamp.\n   {: #closed }\n\n'
        '## Close {: fitting="coupling" }\n\n1. Push it in.\n   {: #closed }\n'
        "2. See the mark.\n   {: #seen }\n\n"
        "## End\n\n1. Leave it.\n   {: #left }\n"
    )
    views = views_of(job_of("live-tap"), (made_up(body, 10),))
    found = [[(s.id, s.number) for s in steps_of(procedure_sheets(view, PACK, "pack"))] for view in views]
    assert found == [
        [("looked", 1), ("closed", 2), ("left", 3)],
        [("looked", 4), ("closed", 5), ("seen", 6), ("left", 7)],
    ]
