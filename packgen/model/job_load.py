"""A job file to a `Job` whose pipes, families and tools exist.

In: a path, the catalogue. Out: the job and its document, or every problem of the file. Vocabulary: a joint
*carries* another where it is the coupling that carries a branch's lateral on.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from packgen.errors import ContentError, Problems, UsageError, nearest
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.job import Job
from packgen.model.job_sense import check_joints
from packgen.model.load import shown_path
from packgen.model.validate import validate
from packgen.model.yaml_reader import Document, KeyPath, read_yaml, shown_value


def load_job(path: Path, catalog: Catalog) -> tuple[Job, Document]:
    """Read a job file and see that its pipes and families exist.

    Returns the job and its document (for places). Raises `ContentError` with every problem of the file,
    `UsageError` where there is no such file.
    """
    problems = Problems()
    try:
        document = read_yaml(path, shown_path(path), problems)
    except ContentError as error:
        if path.is_file():
            raise
        raise UsageError(error.problems) from None  # a name typed wrongly, not a job written wrongly
    job = validate(document, Job, problems, catalog.tables)
    _check_pipe(document, ("main",), document.value.get("main"), catalog, problems)
    _check_joints(document, catalog, problems)
    if job is not None:
        check_joints(job, document, catalog, problems)
    problems.raise_if_any()
    assert job is not None  # validate told no problems
    return job, document


def _check_joints(document: Document, catalog: Catalog, problems: Problems) -> None:
    """Laterals and families that can be read are known, and no joint stands twice."""
    joints = document.value.get("joints")
    seen: list[Any] = []
    kinds = _kinds(joints, catalog)
    for index, joint in enumerate(joints if isinstance(joints, tuple) else ()):
        if not isinstance(joint, dict):
            continue
        spot: KeyPath = ("joints", index)
        _check_pipe(document, (*spot, "lateral"), joint.get("lateral"), catalog, problems)
        _check_tools(document, spot, joint, catalog, problems)
        _check_carries(document, spot, joint, kinds, problems)
        family, joint_id = joint.get("family"), joint.get("id")
        if isinstance(family, str) and family not in catalog.families:
            what, near = (
                f"the family {shown_value(family)} is not known",
                nearest(family[:64], catalog.families),
            )
            known = ", ".join(catalog.families)
            problems.add(document.place((*spot, "family")), what, expected=known, nearest=near)
        if isinstance(joint_id, str) and joint_id in seen:
            what = f"the joint id {shown_value(joint_id)} is given twice"
            problems.add(document.place((*spot, "id")), what, cure="keep one")
        seen.append(joint_id)


def _check_pipe(
    document: Document, path: KeyPath, written: Any, catalog: Catalog, problems: Problems
) -> None:
    """A pipe that can be read stands in the tables; one that cannot is told by `validate`."""
    if not isinstance(written, str):
        return
    try:
        designation = read_designation(written, catalog.tables)
    except ContentError:
        return
    try:
        catalog.pipe(designation, document.place(path))
    except ContentError as error:
        problems.extend(error.problems)


def _kinds(joints: Any, catalog: Catalog) -> dict[str, str]:
    """What kind of fitting each joint that can be read is made with."""
    found: dict[str, str] = {}
    for joint in joints if isinstance(joints, tuple) else ():
        if isinstance(joint, dict) and isinstance(joint.get("family"), str):
            family = catalog.families.get(joint["family"])
            found[str(joint.get("id"))] = family.type if family else ""
    return found


def _check_tools(
    document: Document, spot: KeyPath, joint: Mapping[str, Any], catalog: Catalog, problems: Problems
) -> None:
    """The tools that a joint names are known."""
    shelves = (
        ("valve", catalog.valves), ("drilling_machine", catalog.machines), ("test_plug", catalog.plugs),
    )  # fmt: skip
    for key, shelf in shelves:
        named = joint.get(key)
        if isinstance(named, str) and named not in shelf:
            what, near = f"the {key} {shown_value(named)} is not known", nearest(named[:64], shelf)
            known = ", ".join(shelf) or "an id of a tools file"
            problems.add(document.place((*spot, key)), what, expected=known, nearest=near)


def _check_carries(
    document: Document, spot: KeyPath, joint: Mapping[str, Any], kinds: Mapping[str, str], problems: Problems
) -> None:
    """A coupling carries on the lateral of a branch of this job; a branch carries nothing."""
    named, own = joint.get("carries"), kinds.get(str(joint.get("id")), "")
    if not isinstance(named, str):
        return
    place = document.place((*spot, "carries"))
    if own and own != "coupling":
        problems.add(place, f"a {own} carries no lateral on", cure="write 'carries' with a coupling's joint")
    branches = [each for each, kind in kinds.items() if kind and kind != "coupling"]
    if named not in branches:
        what = f"{shown_value(named)} is no branch of this job"
        expected = ", ".join(branches) or "the id of a branch joint"
        problems.add(place, what, expected=expected, nearest=nearest(named[:31], branches))
