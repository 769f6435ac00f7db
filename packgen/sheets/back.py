"""The sheets that end a pack: joint record and workings.

In: a `View`. Out: sheets. Vocabulary: the record's boxes name the step that fills them and the value that
is wanted.
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.calc.ledger import Input, Value, Working
from packgen.formulas import Given, filled
from packgen.model.prose_records import RecordField
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER
from packgen.sheets.blocks import Block, Box, Boxes, Section, Sheet, Spans, Why, spans
from packgen.sheets.front import source_numbers
from packgen.sheets.measure import whole
from packgen.sheets.standing import standing_steps
from packgen.sheets.view import View, first_wanted

DIVIDED = "\N{DIVISION SLASH}"


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
    return Box(label, words("record.wanted", text=wanted) if wanted else "", field.fill, field.id)


def workings_sheet(view: View) -> Sheet:
    """How every worked value came about: method, formula, symbols, result before and after rounding."""
    words = view.words
    worked = [value for value in view.listed.values() if value.working is not None]
    numbers = source_numbers(view)
    lines: list[Block] = [Why(spans(words("workings.intro")))]
    lines += _lines(view, [value for value in worked if not value.entry.engineer], numbers)
    tabled = _of_tables(view)
    if tabled:
        lines += [Section(words("workings.tables")), *_lines(view, tabled, numbers)]
    guidance = [value for value in worked if value.entry.engineer]
    if guidance:
        lines += [Section(words("workings.engineer")), *_lines(view, guidance, numbers)]
    return Sheet("workings", words("sheets.workings"), view.tag, tuple(lines))


def _of_tables(view: View) -> list[Value]:
    """One value of each table of cords and bands: the others are worked in the same way.

    Of the bands the hottest; of the cords the first, unless the job's own cord stands among the values.
    """
    found: dict[str, Value] = {}
    for name, value in view.values.items():
        if value.working is None or value.number is None:
            continue
        if name.startswith(COOL_BANDS):
            found[name.rpartition(".")[2]] = value
        elif name.startswith(CORD_LENGTHS) and CORD_LENGTHS.removesuffix(".") not in view.values:
            found.setdefault(CORD_LENGTHS, value)
    return list(found.values())


def _lines(view: View, worked: Sequence[Value], numbers: dict[str, int]) -> list[Block]:
    """Workings, a paragraph each."""
    return [Why(_working_line(view, value, numbers), small=True) for value in worked]


def _working_line(view: View, value: Value, numbers: dict[str, int]) -> Spans:
    """One working as a paragraph: the value, its method, formula and symbols, the result, its sources."""
    words, working = view.words, value.working
    assert working is not None  # the caller looked
    shown = {"method": working.words, "formula": _formula(view, value, working)}
    if value.number is None:
        before = words("workings.words", **shown)
    else:
        direction = words(f"direction.{REGISTER[value.name].direction}")
        before = words("workings.line", **shown, result=value.result, direction=direction)
    sources = [str(numbers[source]) for source in value.sources if source in numbers]
    # The table of cords lists its own.
    listed = len(sources) == len(value.sources)
    after = words("workings.source", sources=", ".join(sources)) if listed else words("workings.at_table")
    return (
        *spans(view.label(value.name), "strong"),
        *spans(before),
        *spans(view.text(value.name), "value"),
        *spans(after),
    )


def _formula(view: View, value: Value, working: Working) -> str:
    """The formula with its symbols; the inputs alone where no formula is theirs."""
    found = filled(value.name, working.inputs)
    if found is None:
        return "; ".join(input_text(view, item) for item in working.inputs)
    symbols = "; ".join(_symbol_text(view, given) for given in found.given)
    # A short equation stays on one line, and no line breaks at a division.
    formula = "; ".join(whole(equation) for equation in found.text.replace("/", DIVIDED).split("; "))
    return view.words("workings.formula", formula=formula, symbols=symbols)


def _symbol_text(view: View, given: Given) -> str:
    """A symbol with its number and what it is; an input that the formula does not hold, by its name."""
    if not given.sign:
        return input_text(view, given.input)
    label, text = (
        given.input if isinstance(given.input, tuple) else (view.label(given.input), view.text(given.input))
    )
    return view.words("workings.symbol", signed=whole(f"{given.sign} = {text}"), label=label)


def input_text(view: View, item: Input) -> str:
    """An input of a working: its name and its text."""
    if isinstance(item, tuple):
        return f"{item[0]} {whole(item[1])}"
    return f"{view.label(item)} {whole(view.text(item))}"
