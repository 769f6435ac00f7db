"""The inspection and test plan: what is measured or seen, the limit, where it is written, who signs.

In: the views of a job's joints. Out: a sheet. Vocabulary: as in `gates_seen`; a *reading* is a box of the
joint record at a step. Nothing here is written twice: steps, gates and limits are those of the procedures,
readings and what they should be those of the joint record. What is only written down (a name, a lot, a clock
time) is no inspection: it stands in the joint record alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packgen.model.prose_records import RecordField, value_names
from packgen.sheets.blocks import Block, Sheet, Span, Spans, Table, Tag, Why, spans, words_of
from packgen.sheets.gates_seen import StandingStep, standing_of_job
from packgen.sheets.measure import NBSP
from packgen.sheets.view import View, wanted_text

_SHARES = (0.05, 0.14, 0.2, 0.31, 0.1, 0.12, 0.08)
_KEYS = ("step", "activity", "measured", "limit", "point", "written", "by")


def inspection_sheet(views: Sequence[View], tag: Tag) -> Sheet:
    """A row for each step that is a gate, has a limit, or at which a number is read."""
    words = views[0].words
    head = tuple(spans(words(f"inspection.{key}")) for key in _KEYS)
    found = [(each, _readings(each)) for each in standing_of_job(views)]
    rows = tuple(_row(each, readings) for each, readings in found if _is_inspected(each, readings))
    blocks: tuple[Block, ...] = (
        Why(spans(words("inspection.intro"))),
        Table(head, rows, _SHARES, small=True),
    )
    return Sheet("inspection", words("sheets.inspection"), tag, blocks)


def _readings(found: StandingStep) -> tuple[RecordField, ...]:
    """The boxes of the joint record that a step fills."""
    record, facts = found.view.catalog.joint_record, found.view.request.facts
    groups = [group for group in record.groups if group.when.met(facts)] if record else []
    return tuple(box for group in groups for box in group.fields if box.step == found.step.id)


def _is_inspected(found: StandingStep, readings: Sequence[RecordField]) -> bool:
    """Whether a step is a gate, or is written down with a limit or as a number."""
    if found.step.gate:
        return True
    written = bool(readings) or bool(found.step.write)
    return written and bool(_limit(found, readings) or any(box.fill == "number" for box in readings))


def _row(found: StandingStep, readings: Sequence[RecordField]) -> tuple[Spans, ...]:
    """One step; a limit is its words where they hold one, and what each reading should be besides."""
    words, step = found.view.words, found.step
    measured = "; ".join(box.label for box in readings) or step.write or words("inspection.seen")
    written = "record" if readings else "step" if step.write else "holds"
    return (
        spans(str(found.number), "strong"),
        spans(found.activity),
        spans(measured),
        _limit(found, readings) or spans(words("inspection.none")),
        spans(words(f"gate.{step.gate}"), "strong") if step.gate else spans(words("inspection.record")),
        spans(words(f"inspection.in_{written}")),
        spans(words(f"holds.{found.signer}")),
    )


def _limit(found: StandingStep, readings: Sequence[RecordField]) -> Spans:
    """The step's words where they say what must be, then each wanted reading that they do not say."""
    ticked = any(box.fill == "tick" for box in readings)
    says = bool(found.step.gate) or ticked or any(span.kind != "plain" for span in found.line)
    line = found.line if says else ()
    wanted = [span for each in _wanted(found, readings, line) for span in (Span("; ", "strong"), *each)][1:]
    if not wanted or not line:
        return (*line, *wanted)
    return (*line, Span(f" {found.view.words('inspection.wanted')} ", "strong"), *wanted)


def _wanted(found: StandingStep, readings: Sequence[RecordField], line: Spans) -> Iterator[Spans]:
    """What each reading should be, where the words do not say it; of several the label says which.

    Beside the step's words stands only what holds a value: "as on the cover" is said by them already.
    """
    for box in readings:
        wordings = [each for each in box.wordings if value_names(each)] if line else box.wordings
        chosen = next((each for each in wordings if wanted_text(found.view, each)), "")
        if chosen and not _says(words_of(line), wanted_text(found.view, chosen)):
            label = spans(f"{box.label}: ", "strong") if len(readings) > 1 else ()
            yield (*label, *_with_values(found.view, chosen))


def _with_values(view: View, wording: str) -> Spans:
    """What is wanted, each name in it as its value, which no line break parts from its sign."""
    names = sorted(value_names(wording), key=len, reverse=True)
    parts = re.split(f"({'|'.join(map(re.escape, names))})", wording) if names else [wording]
    return tuple(
        Span(view.named(part), "value") if part in names
        else Span(part.replace("≥ ", f"≥{NBSP}").replace("≤ ", f"≤{NBSP}"), "strong")
        for part in parts if part
    )  # fmt: skip


def _says(words: str, wanted: str) -> bool:
    """Whether words hold what is wanted; a bare count may stand in them as part of another number.

    >>> _says("Nearest saddle is 500 mm or more away.", "≥ 500 mm"), _says("0.012 in deep", "≤ 1")
    (True, False)
    """
    bare = wanted.lstrip("≥≤ ")
    return not bare.isdigit() and bare in words
