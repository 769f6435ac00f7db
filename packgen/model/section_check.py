"""Sections, sheets and groups of boxes that no job can reach, and conditions that Markdown would drop unseen.

In: the procedures and joint records that were read. Out: problems with file and line. Vocabulary: a *kind of
job* is its facts by the keys of `When`; a condition is *reachable* where some kind of job meets it. Sources:
`packgen.model.gates` for how a main may be cut, `packgen.model.family_records` for which fitting has what.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import product

from packgen.errors import Place, Problems
from packgen.model.found import Found
from packgen.model.gates import GATES, jobs_of
from packgen.model.prose import CONDITIONS, Block, Facts, Heading, Procedure, When

_MARKS = re.compile(r"\{:([^}\n]*)\}")
_MARK = re.compile(r"(?P<key>[\w-]+)=(?:\"[^\"]*\"|'[^']*'|[^\s}]*)|(?P<id>#)[\w-]+")
_SCREWED = ("screws", "bolts")
_SAWN = ("open drill", "through a valve")
_FREE = {"laid", "work", "heat"}  # no other fact depends on these


def check_sections(found: Found, problems: Problems) -> None:
    """Tell every condition that no job can meet, and every mark that a later one takes the place of."""
    for procedure in found.procedures.values():
        _check_marks(procedure, problems)
        _check_procedure(procedure, problems)
    for item_id, record in found.items["joint_record"].items():
        for index, group in enumerate(record.groups):
            place = found.spot("joint_record", item_id, "groups", index, "when")
            _check_when(group.when, place, "the group of boxes", problems)
    for item_id, forms in found.items["pack_forms"].items():
        for index, form in enumerate(forms.forms):
            for inner, part in enumerate(form.parts):
                place = found.spot("pack_forms", item_id, "forms", index, "parts", inner, "when")
                _check_when(part.when, place, f"the part {part.title!r}", problems)


def _check_marks(procedure: Procedure, problems: Problems) -> None:
    """No mark stands twice in one pair of braces, and no heading has two pairs: the last would win."""
    for number, line in enumerate(procedure.text.splitlines(), start=1):
        place, marks = Place(procedure.file, number), _MARKS.findall(line)
        if line.startswith("#") and len(marks) > 1:
            problems.add(place, "the heading has two pairs of braces", cure="put all conditions into one")
        for written in marks:
            names = [found["key"] or found["id"] for found in _MARK.finditer(written)]
            for name in sorted({each for each in names if names.count(each) > 1}):
                called = "two ids" if name == "#" else f"{name!r} twice"
                cure = "keep one; part several words of a condition by commas"
                problems.add(place, f"the braces hold {called}, and the last alone would count", cure=cure)


def _check_procedure(procedure: Procedure, problems: Problems) -> None:
    """Head and sections can be reached; where the head cannot, its sections are not told as well."""
    head = procedure.head
    if not head.on:
        where, cure = _head_place(procedure, "on"), "write where it is printed: pack, cards, site"
        problems.add(where, "the procedure stands nowhere", cure=cure)
    if not _check_when(head.when, _head_place(procedure, "when"), "the procedure", problems):
        return
    for when, blocks in procedure.sections:
        heading = _heading(blocks)
        if heading is not None and heading.when != When():
            _check_when(when, heading.place, f"the section {heading.text!r}", problems)


def _heading(blocks: tuple[Block, ...]) -> Heading | None:
    """The heading of a section; None where the section is what stands above the first one."""
    return next((block for block in blocks[:1] if isinstance(block, Heading)), None)


def _head_place(procedure: Procedure, key: str) -> Place:
    """The line of a key of the front matter."""
    lines = procedure.text.splitlines()
    at = next((number for number, line in enumerate(lines, start=1) if line.startswith(f"{key}:")), 0)
    return Place(procedure.file, at, key=key)


def _check_when(when: When, place: Place, what: str, problems: Problems) -> bool:
    """Whether some job meets a condition; told where none does."""
    empty = [key for key, words in when if words == ()]
    if empty:
        told = f"{what} is for no {' and no '.join(empty)} at all"
        cure = "take the key out where it is for every job; head and section must share a word"
        problems.add(place, told, cure=cure)
        return False
    wanted = tuple((key, words) for key, words in when if words is not None and key not in _FREE)
    if is_reachable(wanted):
        return True
    told = "; ".join(f"{key}: {', '.join(words)}" for key, words in wanted)
    cure = "take out one of the conditions"
    problems.add(place, f"{what} stands in no job: none has {told}", cure=cure)
    return False


@cache
def is_reachable(wanted: tuple[tuple[str, tuple[str, ...]], ...]) -> bool:
    """Whether some kind of job has one of the wanted words of every key."""
    return any(all(facts[key] in words for key, words in wanted) for facts in kinds_of_job())


@cache
def kinds_of_job() -> tuple[Facts, ...]:
    """The facts of every kind of job there can be, by every key of `When` on which others depend."""
    return tuple(facts for way in GATES for common in jobs_of(way) for facts in _detailed(common))


def _detailed(common: Facts) -> Iterator[Facts]:
    """A kind of job with the facts on which no gate depends."""
    torques = CONDITIONS["torque"] if common["clamping"] in _SCREWED else (None,)
    saws = CONDITIONS["saw"] if common["method"] in _SAWN else (None,)
    outlets = (None,) if common["fitting"] == "coupling" else CONDITIONS["outlet"]
    for torque, saw, outlet in product(torques, saws, outlets):
        yield {**common, "torque": torque, "saw": saw, "outlet": outlet}
