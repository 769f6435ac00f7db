"""Every text of the content that people read, with its place and kind.

In: a `Catalog`, or a file of labels. Out: `Text` records for the lint of the prose. Vocabulary: *kind* as in
`sentences`: a step, a gate (hold or witness point), a description (paragraph, bullet, cell, safety message),
prose (work rules, glossary), a label (titles, boxes, words that a step quotes).
Source: what each sheet prints of these records (`packgen.sheets`).
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from packgen.errors import Place
from packgen.model.catalog import Catalog, read_rule_value
from packgen.model.family_records import Family, LabelData
from packgen.model.prose import Block, Heading, Procedure, Runs, Slot, StepText, runs_of
from packgen.model.sentences import SLOT, Kind, Text
from packgen.model.yaml_reader import Document, KeyPath

# A number and its unit; the same value in brackets in the other units is no second one.
_VALUE_WORDS = 2
# "joint J2 of this pack" and "its own written procedure"; a place or a name elsewhere.
_JOB_WORDS = 4
# Values that print as words, and where labels and outlets state them.
_LABEL_WORDS = {
    "clamp.method": ("clamp", "method"),
    "clamp.stop_mark": ("clamp", "stop_mark"),
    "tap.cutter_stop": ("cutter", "stop"),
}
_OUTLET_WORDS = {"power.outlet": "title", "power.fault_protection": "protection"}


def texts(catalog: Catalog) -> Iterator[Text]:
    """Every text of a catalogue that stands on a sheet, card or page."""
    longest = _longest(catalog)
    for procedure in catalog.procedures:
        yield from _procedure(procedure, catalog, longest)
    for message_id, message in catalog.safety.items():
        for name in ("hazard", "consequence", "avoid"):
            spot = catalog.spot("safety", message_id, name)
            yield Text("description", getattr(message, name), spot)
    for blank_id, blank in catalog.owner_blanks.items():
        yield Text("label", blank.label, catalog.spot("owner_blanks", blank_id, "label"))
        yield Text("label", blank.text, catalog.spot("owner_blanks", blank_id, "text"))
    yield from _boxes(catalog)
    for index, term in enumerate(catalog.glossary.terms if catalog.glossary else ()):
        yield Text("prose", term.means, catalog.spot("glossary", "glossary", "terms", index, "means"))
    yield from _rules(catalog)
    for family in catalog.families.values():
        yield from _family(family, catalog)
    for (name, _), (document, _) in catalog.documents.items():
        if name == "pack_forms":
            yield from labels(document)


def labels(document: Document) -> Iterator[Text]:
    """Every text of a file of labels or forms: whatever string stands in it, at any depth."""
    yield from _strings(document, document.value, ())


def _strings(document: Document, value: Any, path: KeyPath) -> Iterator[Text]:
    """The strings below a key."""
    if isinstance(value, str):
        yield Text("prose" if value.endswith((".", "?")) else "label", value, document.place(path))
    elif isinstance(value, dict | tuple):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _strings(document, inner, (*path, key))


def _longest(catalog: Catalog) -> dict[str, int]:
    """How many words each value that prints as words has at its longest."""
    found = dict.fromkeys((*_LABEL_WORDS, *_OUTLET_WORDS), _VALUE_WORDS)
    label = (data for family in catalog.families.values() for data in (family.every_pair, *family.pairs))
    for data in label:
        for name, (group, key) in _LABEL_WORDS.items():
            found[name] = max(found[name], len((getattr(getattr(data, group), key) or "").split()))
    for name, key in _OUTLET_WORDS.items():
        found[name] = max([found[name], *(len(getattr(each, key).split()) for each in catalog.outlets)])
    return found


def _count(slot: Slot, catalog: Catalog, longest: dict[str, int]) -> int:
    """How many words a slot prints."""
    name = slot.names[0]
    if slot.form == "rule":
        value = catalog.rules[name].value
        return _VALUE_WORDS if read_rule_value(value) else len(str(value).split())
    if slot.form == "owner":
        return len(catalog.owner_blanks[name].text.split())
    return _JOB_WORDS if slot.form == "job" else longest.get(name, _VALUE_WORDS)


def _procedure(procedure: Procedure, catalog: Catalog, longest: dict[str, int]) -> Iterator[Text]:
    """The texts of a procedure, each with its line."""
    yield Text("label", procedure.head.title, procedure.place)
    lines = _Lines(procedure)
    for block in procedure.blocks:
        if isinstance(block, Heading):
            yield Text("label", block.text, lines.reach(block.place))
        for runs in runs_of(block):
            place = lines.find(runs)
            if isinstance(block, StepText):
                place = replace(place, key=block.id)
                lines.reach(block.place)  # the line of its mark, below its words
            slots = tuple(run.slot for run in runs if run.slot)
            words = "".join(SLOT if run.slot else run.text for run in runs)
            written = tuple(slot.place.key for slot in slots)
            yield Text(_kind(block), words, place, written, tuple(_count(s, catalog, longest) for s in slots))
        if isinstance(block, StepText) and block.write:
            yield Text("label", block.write, block.place)


def _kind(block: Block) -> Kind:
    """The kind of a block's text."""
    if isinstance(block, StepText):
        return "gate" if block.gate else "step"
    return "description"


class _Lines:
    """Finds the line of each text of a procedure, block by block from its top."""

    def __init__(self, procedure: Procedure) -> None:
        self.file, self.text = procedure.file, procedure.text
        self.begun = [0, *(found.end() for found in re.finditer("\n", procedure.text))]
        self.reached = 0

    def reach(self, place: Place) -> Place:
        """Go on to the line of a place."""
        self.reached = max(self.reached, self.begun[place.line - 1])
        return place

    def find(self, runs: Runs) -> Place:
        """The place of some runs, at or below the line that was reached."""
        first = runs[0] if runs else None
        spot = self.reached
        if first is not None and first.slot is not None:
            spot = self.begun[first.slot.place.line - 1]
        elif first is not None:
            words = first.text[:24].strip()
            found = self.text.find(words, self.reached)
            if found < 0:  # parted over two lines
                parts = re.compile(r"\s+".join(map(re.escape, words.split())))
                found = next((each.start() for each in parts.finditer(self.text, self.reached)), spot)
            spot = found
        self.reached = max(self.reached, spot + sum(len(run.text) for run in runs))
        return Place(self.file, bisect_right(self.begun, spot))


def _boxes(catalog: Catalog) -> Iterator[Text]:
    """The titles and labels of the joint record."""
    groups = catalog.joint_record.groups if catalog.joint_record else ()
    for index, group in enumerate(groups):
        path = ("joint_record", "joint record", "groups", index)
        yield Text("label", group.title, catalog.spot(*path, "title"))
        for inner, box in enumerate(group.fields):
            yield Text("label", box.label, catalog.spot(*path, "fields", inner, "label"))


def _rules(catalog: Catalog) -> Iterator[Text]:
    """Question, reason and chosen words of each work rule, and the words that others choose."""
    for rule_id, rule in catalog.rules.items():
        yield Text("prose", rule.question, catalog.spot("rules", rule_id, "question"))
        yield Text("prose", rule.reason, catalog.spot("rules", rule_id, "reason"))
        yield Text("label", str(rule.value), catalog.spot("rules", rule_id, "value"))
        for index, other in enumerate(rule.alternatives):
            spot = catalog.spot("rules", rule_id, "alternatives", index, "value")
            yield Text("label", str(other.value), spot)


def _family(family: Family, catalog: Catalog) -> Iterator[Text]:
    """A family's title, and the words of its labels that steps print."""
    yield Text("label", family.title, catalog.spot("families", family.id, "title"))
    stated: list[tuple[KeyPath, LabelData]] = [(("every_pair",), family.every_pair)]
    stated += [(("pairs", index), pair) for index, pair in enumerate(family.pairs)]
    for path, data in stated:
        for group, key in _LABEL_WORDS.values():
            words = getattr(getattr(data, group), key)
            if words:
                yield Text("label", words, catalog.spot("families", family.id, *path, group, key))
