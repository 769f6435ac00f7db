"""The sheets that end a pack: joint record and workings.

In: a `View`. Out: sheets. Vocabulary: the record's boxes name the step that fills them and the value that
is wanted.
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.calc.ledger import Value
from packgen.model.prose_records import RecordField
from packgen.register import REGISTER
from packgen.sheets.blocks import Block, Box, Boxes, Section, Sheet, Spans, Why, spans
from packgen.sheets.front import source_numbers
from packgen.sheets.measure import whole
from packgen.sheets.standing import standing_steps
from packgen.sheets.view import View, first_wanted


def record_sheet(view: View) -> Sheet:
    """The joint record: every box whose step is in this pack, with its step number and the value wanted."""
    words, record = view.words, view.catalog.joint_record
    numbers = standing_steps(view)
    blocks: list[Block] = [Why(spans(words("record.intro")))]
    facts = view.request.facts
    for group in record.groups if record else ():
        if not group.when.met(facts) or (group.once and not _is_first(view)):
            continue
        boxes = [
            _record_box(view, field, numbers)
            for field in group.fields
            if field.step is None or field.step in numbers
        ]
        if boxes:
            blocks += [Section(group.title), Boxes(tuple(boxes))]
    return Sheet("record", words("sheets.record"), view.tag, tuple(blocks))


def _is_first(view: View) -> bool:
    """Whether a joint is the first of its job."""
    job, joint = view.request.job, view.request.joint
    return job is None or joint is None or job.joints[0].id == joint.id


def _record_box(view: View, field: RecordField, numbers: dict[str, int]) -> Box:
    """One box."""
    words = view.words
    label = field.label
    if field.step:
        label = words("record.step", label=field.label, number=str(numbers[field.step]))
    wanted = first_wanted(view, field.wordings)
    return Box(label, words("record.wanted", text=wanted) if wanted else "", field.fill)


def workings_sheet(view: View) -> Sheet:
    """How every worked value came about: method, inputs, result before and after rounding, sources."""
    words = view.words
    worked = [value for value in view.listed.values() if value.working is not None]
    numbers = source_numbers(view)
    lines: list[Block] = [Why(spans(words("workings.intro")))]
    lines += _lines(view, [value for value in worked if not value.entry.engineer], numbers)
    guidance = [value for value in worked if value.entry.engineer]
    if guidance:
        lines += [Section(words("workings.engineer")), *_lines(view, guidance, numbers)]
    return Sheet("workings", words("sheets.workings"), view.tag, tuple(lines))


def _lines(view: View, worked: Sequence[Value], numbers: dict[str, int]) -> list[Block]:
    """Workings, a paragraph each."""
    return [Why(_working_line(view, value, numbers), small=True) for value in worked]


def _working_line(view: View, value: Value, numbers: dict[str, int]) -> Spans:
    """One working as a paragraph: the value, its method with every input, the result, its sources."""
    words, working = view.words, value.working
    assert working is not None  # the caller looked
    inputs = "; ".join(input_text(view, item) for item in working.inputs)
    direction = words(f"direction.{REGISTER[value.name].direction}")
    before = words(
        "workings.line", method=working.words, inputs=inputs, result=value.result, direction=direction
    )
    after = words("workings.source", sources=", ".join(str(numbers[source]) for source in value.sources))
    return (
        *spans(view.label(value.name), "strong"),
        *spans(before),
        *spans(view.text(value.name), "value"),
        *spans(after),
    )


def input_text(view: View, item: str | tuple[str, str]) -> str:
    """An input of a working: its name and its text."""
    if isinstance(item, tuple):
        return f"{item[0]} {whole(item[1])}"
    return f"{view.label(item)} {whole(view.text(item))}"
