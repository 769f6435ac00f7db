"""What the joints of a job say of each other, and of the fitting that each is made with.

In: a job that could be read, its document, the catalogue. Out: problems with file, line, key and cure.
Vocabulary: as in `job_load`; a joint's *method* is the one it names, else its family's first. Source: the
order of work of the trade, common practice, no source.
"""

from __future__ import annotations

from itertools import combinations

from packgen.errors import Problems
from packgen.model.catalog import Catalog
from packgen.model.designation import Designation
from packgen.model.family_records import Family
from packgen.model.job import Job, Joint
from packgen.model.yaml_reader import Document

THROUGH, CUTTER, COUPLING = "through a valve", "built-in cutter", "coupling"
# What has no place with a coupling: it cuts nothing, and has no outlet.
_OF_BRANCHES = (
    "method", "outlet", "valve", "drilling_machine", "test_plug", "top_not_practical", "side_outlet",
)  # fmt: skip


def check_joints(job: Job, document: Document, catalog: Catalog, problems: Problems) -> None:
    """Tell every joint that says what its fitting or method has no use for, or that contradicts another."""
    for index, joint in enumerate(job.joints):
        family = catalog.families.get(joint.family)
        if family is None:
            continue  # told where it is named
        if family.type == COUPLING:
            _check_coupling(index, joint, document, problems)
            _check_carried(index, job, document, catalog, problems)
        else:
            _check_branch(index, joint, family, document, problems)
    _check_places(job, document, catalog, problems)


def _check_coupling(index: int, joint: Joint, document: Document, problems: Problems) -> None:
    """A coupling's joint says nothing that only a branch has."""
    defaults = {name: field.default for name, field in Joint.model_fields.items()}
    for key in _OF_BRANCHES:
        if getattr(joint, key) != defaults[key]:
            what = f"a coupling cuts nothing and has no outlet: {key!r} has no place with it"
            cure = "take it out, or write it with the branch's joint"
            problems.add(document.place(("joints", index, key)), what, cure=cure)


def _check_branch(index: int, joint: Joint, family: Family, document: Document, problems: Problems) -> None:
    """A branch names no tool that its method cannot use, and a side outlet only where it has one."""
    method = joint.method or family.methods[0]  # a saddle has one
    for key in ("valve", "drilling_machine"):
        if getattr(joint, key) is not None and method != THROUGH:
            what = f"the main is cut by {method!r}, without a {key.replace('_', ' ')}"
            cure = f"take it out, or write 'method: {THROUGH}' where the family is made for it"
            problems.add(document.place(("joints", index, key)), what, cure=cure)
    if joint.test_plug is not None and method == CUTTER:
        what = f"by {method!r} the lateral is joined before the test, and no outlet is left to plug"
        problems.add(document.place(("joints", index, "test_plug")), what, cure="take it out")
    if joint.side_outlet is not None and family.type != "tapping saddle":
        what = f"a {family.type} has no side outlet"
        cure = "take it out, and say by 'outlet' where the outlet points"
        problems.add(document.place(("joints", index, "side_outlet")), what, cure=cure)


def _check_carried(index: int, job: Job, document: Document, catalog: Catalog, problems: Problems) -> None:
    """A coupling stands below the branch whose lateral it carries on, and is for that very pipe.

    Several couplings may carry one branch: a valve has two ends.
    """
    joint = job.joints[index]
    at = next((at for at, each in enumerate(job.joints) if each.id == joint.carries), None)
    if at is None or not _is_branch(job.joints[at], catalog):
        return  # nothing is carried, or it is told where it is named
    branch = job.joints[at]
    if at > index:
        what = f"{joint.id} stands before {branch.id}, whose lateral it carries on"
        problems.add(document.place(("joints", index, "carries")), what, cure=f"put it below {branch.id}")
    if _pipe(joint.lateral) != _pipe(branch.lateral):
        what = f"the lateral {joint.lateral} is not that of {branch.id}, {branch.lateral}"
        cure = "write the same size, system, ratio and material in both, or take 'carries' out"
        problems.add(document.place(("joints", index, "lateral")), what, cure=cure)


def _pipe(pipe: Designation) -> tuple[str, str, float, str | None]:
    """What must be the same of two lengths of one pipe; a standard says only how it was judged."""
    return pipe.size, pipe.system, pipe.dr, pipe.material


def _is_branch(joint: Joint, catalog: Catalog) -> bool:
    """Whether a joint is made with a saddle of a known family."""
    family = catalog.families.get(joint.family)
    return family is not None and family.type != COUPLING


def _check_places(job: Job, document: Document, catalog: Catalog, problems: Problems) -> None:
    """No two branches stand at one place of the main."""
    stated = [
        (index, joint, " ".join(joint.station.split()).casefold())
        for index, joint in enumerate(job.joints)
        if joint.station is not None and _is_branch(joint, catalog)
    ]
    for (_, first, station), (index, second, other) in combinations(stated, 2):
        if station == other and first.clock_angle == second.clock_angle:
            what = f"{first.id} and {second.id} both stand at station {first.station}, {first.outlet}"
            cure = "write each joint's own station and outlet"
            problems.add(document.place(("joints", index, "station")), what, cure=cure)
