"""The sheets that end a pack: joint record and workings.

In: a `View`. Out: sheets. Vocabulary: the record's boxes name the step that fills them and the value that
is wanted.
"""

from __future__ import annotations

from packgen.calc.ledger import Value
from packgen.model.prose_records import RecordField, value_names
from packgen.register import REGISTER
from packgen.sheets.blocks import Block, Box, Boxes, Section, Sheet, Spans, Why, spans
from packgen.sheets.front import source_numbers
from packgen.sheets.measure import whole
from packgen.sheets.procedure import standing_steps
from packgen.sheets.view import View


def record_sheet(view: View) -> Sheet:
    """The joint record: every box whose step is in this pack, with its step number and the value wanted."""
    words, record = view.words, view.catalog.joint_record
    numbers = standing_steps(view)
    blocks: list[Block] = [Why(spans(words("record.intro")))]
    for group in record.groups if record else ():
        boxes = [
            _record_box(view, field, numbers)
            for field in group.fields
            if field.step is None or field.step in numbers
        ]
        if boxes:
            blocks += [Section(group.title), Boxes(tuple(boxes))]
    return Sheet("record", words("sheets.record"), view.tag, tuple(blocks))


def _record_box(view: View, field: RecordField, numbers: dict[str, int]) -> Box:
    """One box."""
    words = view.words
    label = field.label
    if field.step:
        label = words("record.step", label=field.label, number=str(numbers[field.step]))
    wanted = _wanted(view, field.wanted or "")
    return Box(label, words("record.wanted", text=wanted) if wanted else "", field.fill)


def _wanted(view: View, words: str) -> str:
    """What a box should hold, its register names replaced by their texts; nothing where one has none."""
    names = value_names(words)
    texts = {name: view.text(name) for name in names}
    if not all(texts.values()):
        return ""
    for name in sorted(names, key=len, reverse=True):
        words = words.replace(name, texts[name])
    return words


def workings_sheet(view: View) -> Sheet:
    """How every worked value came about: method, inputs, result before and after rounding, sources."""
    words = view.words
    worked = [value for value in view.values.values() if value.working is not None]
    numbers = source_numbers(view)
    lines = (Why(_working_line(view, value, numbers), small=True) for value in worked)
    return Sheet(
        "workings", words("sheets.workings"), view.tag, (Why(spans(words("workings.intro"))), *lines)
    )


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
        *spans(words(f"values.{value.name}"), "strong"),
        *spans(before),
        *spans(view.text(value.name), "value"),
        *spans(after),
    )


def input_text(view: View, item: str | tuple[str, str]) -> str:
    """An input of a working: its name and its text."""
    if isinstance(item, tuple):
        return f"{item[0]} {whole(item[1])}"
    return f"{view.words(f'values.{item}')} {whole(view.text(item))}"
