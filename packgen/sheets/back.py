"""The sheets that end a pack: joint record and workings.

In: a `View`. Out: sheets. Vocabulary: the record's boxes name the step that fills them and the value that is wanted.
"""

from __future__ import annotations

from packgen.model.prose_records import RecordField
from packgen.register import REGISTER
from packgen.sheets.blocks import Block, Box, Boxes, Section, Sheet, Spans, Table, Why, spans
from packgen.sheets.procedure import applicable, step_numbers
from packgen.sheets.view import View


def record_sheet(view: View) -> Sheet:
    """The joint record: every box whose step is in this pack, with its step number and the value wanted."""
    words, record = view.words, view.catalog.joint_record
    numbers = step_numbers(applicable(view))
    blocks: list[Block] = [Why(spans(words("record.intro")))]
    for group in record.groups if record else ():
        boxes = [_record_box(view, field, numbers) for field in group.fields if field.step is None or field.step in numbers]
        if boxes:
            blocks += [Section(group.title), Boxes(tuple(boxes))]
    return Sheet("record", words("sheets.record"), view.tag, tuple(blocks))


def _record_box(view: View, field: RecordField, numbers: dict[str, int]) -> Box:
    """One box."""
    words = view.words
    label = field.label
    if field.step:
        label = words("record.step", label=field.label, number=str(numbers[field.step]))
    wanted = view.text(field.wanted) if field.wanted else ""
    return Box(label, words("record.wanted", text=wanted) if wanted else "", field.fill)


def workings_sheet(view: View) -> Sheet:
    """How every worked value came about: method, inputs, result before and after rounding, direction, source."""
    words = view.words
    head = tuple(spans(words(f"workings.{key}")) for key in ("value", "method", "result"))
    rows: list[tuple[Spans, ...]] = []
    for value in view.values.values():
        if value.working is None:
            continue
        inputs = "; ".join(input_text(view, item) for item in value.working.inputs)
        method = f"{value.working.words}: {inputs}. {'; '.join(value.sources)}"
        direction = words(f"direction.{REGISTER[value.name].direction}")
        result = (*spans(value.result), *spans(f" {direction} "), *spans(view.text(value.name), "value"))
        rows.append((spans(words(f"values.{value.name}"), "strong"), spans(method), result))
    blocks: tuple[Block, ...] = (Why(spans(words("workings.intro"))), Table(head, tuple(rows), (0.22, 0.5, 0.28), small=True))
    return Sheet("workings", words("sheets.workings"), view.tag, blocks)


def input_text(view: View, item: str | tuple[str, str]) -> str:
    """An input of a working: its name and its text."""
    if isinstance(item, tuple):
        return f"{item[0]} {item[1]}"
    return f"{view.words(f'values.{item}')} {view.text(item)}"
