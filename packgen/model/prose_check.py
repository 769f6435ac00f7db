"""What the prose names must exist: values, work rules, safety messages, figures, words of the job, steps.

In: everything the loader found. Out: problems with file and line. Vocabulary: *slot* as in `prose`; the joint
record's boxes name the step at which they are filled and the value printed beside them.
"""

from __future__ import annotations

from collections.abc import Iterable

from packgen.errors import Place, Problems, nearest
from packgen.model.form_check import check_forms
from packgen.model.found import Found
from packgen.model.gates import check_gates
from packgen.model.prose import Slot, When
from packgen.model.prose_records import value_names
from packgen.model.section_check import check_sections
from packgen.register import REGISTER

JOB_KEYS = (
    "main",
    "contents",
    "outlet",
    "station",
    "pressure",
    "state",
    "generator",
    "supply_cord",
    "valve",
    "drilling_machine",
    "test_plug",
    "carried_by",
    "carries",
    "close_first",
    "close_second",
    "outage",
    "pressure_limit",
    "side_outlet",
)
FIGURES = (
    "tap-section",
    "peel-zone",
    "squeeze-positions",
    "dig-sketch",
    "clamp-gap",
    "outlet-orientation",
    "saw-bore",
    "stack",
    "clock",
)
# What the engineer alone reads is no setting: no slot and no box of the record can name it.
CREW_VALUES = tuple(name for name, entry in REGISTER.items() if not entry.engineer)
# What a slot's names are called, and the files that must be read whole before a name is said to be missing.
_CALLED = {
    "value": "value",
    "table": "value",
    "rule": "work rule",
    "safety": "safety message",
    "job": "word of the job",
    "owner": "number of the owner",
    "figure": "figure",
}
_WANTED = {"value": "a name of the register", "rule": "the id of a work rule", "job": "a word of the job"}
_FILES = {"rule": ("rules",), "safety": ("safety",), "owner": ("owner_blanks",)}


def check_prose(found: Found, problems: Problems) -> None:
    """Tell every slot, step and box that names what does not exist, and every step id that stands twice."""
    known: dict[str, Iterable[str]] = {
        "value": CREW_VALUES,
        "table": CREW_VALUES,
        "rule": found.items["rules"],
        "safety": found.items["safety"],
        "job": JOB_KEYS,
        "owner": found.items["owner_blanks"],
        "figure": FIGURES,
    }
    for procedure in found.procedures.values():
        for slot in procedure.slots():
            if found.complete(*_FILES.get(slot.form, ())):
                _check_slot(slot, known[slot.form], problems)
    _check_steps(found, problems)
    _check_boxes(found, problems)
    _check_owner_blanks(found, problems)
    check_forms(found, problems)
    check_sections(found, problems)
    check_gates(found, problems)


def _check_slot(slot: Slot, known: Iterable[str], problems: Problems) -> None:
    """Every name of a slot is known."""
    names = list(known)
    for name in slot.names:
        if name not in names:
            what, near = f"the {_CALLED[slot.form]} {name!r} is not known", nearest(name, names)
            expected = "one of " + ", ".join(names) if len(names) <= 20 else ""
            problems.add(slot.place, what, expected=expected, nearest=near)


def _check_steps(found: Found, problems: Problems) -> None:
    """No step id stands twice in one job: records and later revisions name steps by it.

    Sections that no job can hold together may share an id: it is one point of the work, done another way.
    """
    seen: dict[str, list[tuple[When, Place]]] = {}
    for procedure in found.procedures.values():
        for when, step in procedure.conditioned_steps():
            first = next((place for other, place in seen.get(step.id, []) if not when.excludes(other)), None)
            if first is not None:
                what = f"the step id {step.id!r} stands twice (first in {first.file}:{first.line})"
                problems.add(step.place, what, cure="give this step an id of its own")
            seen.setdefault(step.id, []).append((when, step.place))


def _check_boxes(found: Found, problems: Problems) -> None:
    """Every box of the joint record names a step and a value that exist."""
    steps = [step.id for procedure in found.procedures.values() for step in procedure.steps]
    for item_id, record in found.items["joint_record"].items():
        for index, group in enumerate(record.groups):
            for inner, box in enumerate(group.fields):
                place = found.spot("joint_record", item_id, "groups", index, "fields", inner)
                if box.step and box.step not in steps and found.complete("procedures"):
                    what = f"the step {box.step!r} is not known"
                    problems.add(place, what, expected="the id of a step", nearest=nearest(box.step, steps))
                _check_wanted(box.wordings, place, found, problems)


def _check_owner_blanks(found: Found, problems: Problems) -> None:
    """Every limit beside an owner's box is a value that exists."""
    for blank_id, blank in found.items["owner_blanks"].items():
        _check_wanted(blank.wanted, found.spot("owner_blanks", blank_id), found, problems)


def _check_wanted(wordings: Iterable[str], place: Place, found: Found, problems: Problems) -> None:
    """The words beside a box name values, work rules and words of the job that exist."""
    known: dict[str, Iterable[str]] = {"rule": found.items["rules"], "job": JOB_KEYS, "value": CREW_VALUES}
    for name in (name for words in wordings for name in value_names(words)):
        form, _, key = name.rpartition(":")
        form = form or "value"
        if key not in known[form] and found.complete(*_FILES.get(form, ())):
            what, near = f"the {_CALLED[form]} {key!r} is not known", nearest(key, list(known[form]))
            problems.add(place, what, expected=_WANTED[form], nearest=near)
