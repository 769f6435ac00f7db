"""What a pack or card set is, for its code: ids, values and words, not layout.

In: views, sheets, the job or the selection. Out: the code. Vocabulary: a code covers job id (a card set:
its selection), title, revision, language, every value in its register unit and all words; not layout,
paper, units, date or draft stamp.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from packgen.calc.ledger import Value
from packgen.model.job import Job
from packgen.model.prose import Procedure
from packgen.publish.code import code
from packgen.sheets.procedure import size_tables
from packgen.sheets.rules_quoted import quoted_rules
from packgen.sheets.standing import applicable
from packgen.sheets.view import View
from packgen.sheets.words import Words


def view_parts(view: View) -> dict[str, Any]:
    """Values and words of one combination."""
    procedures = applicable(view)
    used = {slot.names[0] for procedure in procedures for slot in procedure.slots() if slot.form == "safety"}
    record, forms, request = view.catalog.joint_record, view.catalog.pack_forms, view.request
    tools = (request.valve, request.machine, request.plug)
    return {
        "tools": [tool.title for tool in tools if tool],
        "main": str(view.request.main.designation),
        "lateral": str(view.request.lateral.designation),
        "family": view.request.family.model_dump(mode="json", exclude={"every_pair", "pairs"}),
        "stated": {name: str(value.stated) for name, value in view.values.items() if value.stated},
        "values": _plain(view, list(view.values)),
        "sizes": _sizes(view, procedures),
        "sources": {name: list(value.sources) for name, value in view.values.items()},
        "procedures": {procedure.head.id: procedure.text for procedure in procedures},
        "safety": {name: view.catalog.safety[name].model_dump(exclude={"acts"}) for name in sorted(used)},
        "rules": {name: str(view.catalog.rule(name).value) for name in sorted(quoted_rules(view))},
        "record": record.model_dump(mode="json") if record else None,
        "forms": forms.model_dump(mode="json") if forms else None,
    }


def _plain(view: View, names: Sequence[str]) -> dict[str, Any]:
    """The named values of a combination in their register units; None where one is blank or absent."""
    found = {name: view.values.get(name) for name in names}
    return {name: _bare(value) if value else None for name, value in found.items()}


def _bare(value: Value) -> float | str | None:
    """A value's words or number."""
    return value.number if value.words is None else value.words


def _sizes(view: View, procedures: Sequence[Procedure]) -> dict[str, Any]:
    """What the tables of all sizes say of the family's pairs; None for a pair that is refused."""
    names = sorted({name for table in size_tables(procedures) for name in table})
    found = {}
    for pair in view.pairs if names else ():
        sibling = view.sibling(pair)
        found[f"{pair.lateral} on {pair.main}"] = _plain(sibling, names) if sibling else None
    return found


def printed_words(words: Words) -> dict[str, Any]:
    """The words that may stand in a pack or on its cards; those of other sheets and of the site do not."""
    elsewhere = {"site", "html", "which_pipe"}
    return {group: inner for group, inner in words.all.items() if group not in elsewhere}


def job_code(views: Sequence[View], job: Job) -> str:
    """The code of a job's pack and cards."""
    facts = job.model_dump(exclude={"date", "approved", "main", "joints"})
    joints = [
        {"joint": joint.model_dump(mode="json", exclude={"lateral"}), **view_parts(view)}
        for joint, view in zip(job.joints, views, strict=True)
    ]
    parts = {
        "job": job.id, "title": job.title, "revision": job.revision, "language": "en",
        "facts": repr(sorted(facts.items())),
        "main": str(job.main), "joints": joints, "words": printed_words(views[0].words),
    }  # fmt: skip
    return code(parts)


def selection_code(views: Sequence[View]) -> str:
    """The code of a set of cards without a job."""
    parts = {
        "selection": [view_parts(view) for view in views],
        "language": "en",
        "words": printed_words(views[0].words),
    }
    return code(parts)
