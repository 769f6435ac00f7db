"""The work rules that a pack rests on, each with its revision, at the end of its workings.

In: the views of a pack's joints, and its sheets. Out: ids of rules, and the sheets with the list at the end.
Vocabulary: a rule is *quoted* where a source of a value names it, where a step prints it, or where a choice
of words stands behind a value or a row of the fit check.
Source: the work rules in use.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from packgen.sheets.blocks import Block, Section, Sheet, Why, spans
from packgen.sheets.standing import applicable
from packgen.sheets.view import View

# Rules behind a value that its sources do not name, since they are courses of action and no numbers.
BEHIND_VALUES = {
    "peel.passes_max": ("soiled-zone",),
    "cool.pressure_wait": ("full-pressure-wait",),
    "cool.reference_temperature": ("heat-wait",),
    "test.pressure_max": ("test-before-cut",),
}
# Rules that a row of the fit check is judged by.
BEHIND_ROWS = {
    "cutter_share": ("hole-share",),
    "fuser": ("requalification",),
    "day": ("time-prepare", "time-finish", "time-around"),
    "outage": ("time-prepare", "time-finish", "time-around"),
    "outlet_gas": ("outlet-gas",),
    "outlet_lowest": ("outlet-lowest",),
    "saddle_along": ("saddle-beside-hole",),
    "saddle_around": ("saddle-beside-hole",),
}


def quoted_rules(view: View) -> tuple[str, ...]:
    """The ids of the rules that one joint's sheets rest on, in the order of the rules' files."""
    slots = (slot for procedure in applicable(view) for slot in procedure.slots() if slot.form == "rule")
    forms = view.catalog.pack_forms
    quoted = {slot.names[0] for slot in slots} | set(forms.rules() if forms else ())
    for name in view.values:
        quoted.update(BEHIND_VALUES.get(name, ()))
    for row in view.combination.checks:
        quoted.update(BEHIND_ROWS.get(row.key, ()))
    cited = " ".join(source for value in view.values.values() for source in value.sources)
    return tuple(
        rule for rule in view.catalog.rules if rule in quoted or f"work rule {rule} revision" in cited
    )


def with_rules_quoted(sheets: Sequence[Sheet], views: Sequence[View]) -> tuple[Sheet, ...]:
    """A pack's sheets with the rules of all its joints at the end of the last workings sheet."""
    last = max(at for at, sheet in enumerate(sheets) if sheet.id == "workings")
    ended = replace(sheets[last], blocks=(*sheets[last].blocks, *_blocks(views)))
    return (*sheets[:last], ended, *sheets[last + 1 :])


def _blocks(views: Sequence[View]) -> Iterator[Block]:
    """A heading, and for each role that approves rules a paragraph of ids and revisions."""
    words, catalog = views[0].words, views[0].catalog
    quoted = {rule for view in views for rule in quoted_rules(view)}
    by_role: dict[str, list[str]] = defaultdict(list)
    for rule in catalog.rules.values():
        if rule.id in quoted:
            line = words("rules_quoted.rule", id=rule.id, revision=str(rule.revision))
            by_role[catalog.approved_by[rule.id]].append(line)
    yield Section(words("rules_quoted.title"))
    for role, lines in by_role.items():
        yield Why(spans(words("rules_quoted.approved", role=role, rules="; ".join(lines))), small=True)
