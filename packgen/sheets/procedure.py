"""A procedure to blocks: applicable ones chosen, steps numbered through the whole joint, slots filled.

In: the catalogue's procedures and a `View`. Out: a `Sheet` for each procedure. Vocabulary: step numbers
run on over every procedure of a joint, so that one number means one step on pack, card and record.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain

from packgen.errors import ContentError, Problem
from packgen.model.prose import (
    Bullets,
    Heading,
    Paragraph,
    Procedure,
    ProseTable,
    SlotBlock,
    StepText,
)  # fmt: skip
from packgen.register import REGISTER
from packgen.sheets.blocks import Block, Drawing, Points, Safety, Section, Sheet, Step, Table, Why, spans
from packgen.sheets.dew_table import dew_tables
from packgen.sheets.figure_clock import EARLIEST
from packgen.sheets.figure_stack import stack_facts
from packgen.sheets.figures import (
    clamp_gap,
    clock,
    dig_sketch,
    outlet_orientation,
    peel_zone,
    saw_bore,
    squeeze_positions,
    stack,
    tap_section,
)
from packgen.sheets.heat_sheet import bands_table
from packgen.sheets.ladder import earliest_words, ladder_table
from packgen.sheets.media import Medium
from packgen.sheets.standing import On, applicable, step_numbers
from packgen.sheets.view import View, pair_sizes

FIGURES = {
    "tap-section": tap_section,
    "peel-zone": peel_zone,
    "squeeze-positions": squeeze_positions,
    "dig-sketch": dig_sketch,
    "stack": stack,
    "clock": clock,
    "clamp-gap": clamp_gap,
    "outlet-orientation": outlet_orientation,
    "saw-bore": saw_bore,
}


# The words of a row of the table of sizes, and of this size's: for a pair, and for a coupling.
ROW_WORDS = {False: ("sizes.row", "sizes.this_row"), True: ("sizes.coupling_row", "sizes.coupling_this_row")}


def procedure_sheets(view: View, medium: Medium, on: On) -> Iterator[Sheet]:
    """A sheet for each applicable procedure that belongs on a pack, a card or the site."""
    numbers = step_numbers(view)
    for procedure in applicable(view):
        if on in procedure.head.on:
            filled = view.filling(procedure.head.id)
            blocks = _headed(_blocks(procedure, filled, medium, numbers, why=medium.name != "card"))
            yield Sheet(procedure.head.id, procedure.head.title, view.tag, blocks)


def _headed(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Blocks without the headings that nothing stands under, since all of it was left out."""
    kept: list[Block] = []
    for block in blocks:
        if isinstance(block, Section) and kept and isinstance(kept[-1], Section):
            kept.pop()
        kept.append(block)
    return tuple(kept[:-1] if kept and isinstance(kept[-1], Section) else kept)


def _blocks(
    procedure: Procedure, view: View, medium: Medium, numbers: Mapping[str, int], why: bool
) -> Iterator[Block]:
    """The blocks of one procedure; paragraphs that tell why stay off cards."""
    for block in procedure.blocks:
        if isinstance(block, Heading):
            yield Section(block.text)
        elif isinstance(block, Paragraph):
            line = view.fill(block.runs)
            if why and line is not None:
                yield Why(line)
        elif isinstance(block, Bullets):
            filled = (view.fill(item) for item in block.items)
            items = tuple(item for item in filled if item is not None)
            if items:
                yield Points(items, boxed=procedure.head.boxes)
        elif isinstance(block, StepText):
            yield from _step(block, view, numbers)
        elif isinstance(block, ProseTable):
            yield _table(block, view)
        else:
            yield from _slot_block(block, view, medium)


def _step(step: StepText, view: View, numbers: Mapping[str, int]) -> Iterator[Block]:
    """A step; one whose value is absent is left out, and the cover says so; a gate never is."""
    line = view.must_fill(step.runs, step.id) if step.gate else view.fill(step.runs)
    if line is None:
        return
    word = view.words(f"gate.{step.gate}") if step.gate else ""
    yield Step(numbers[step.id], step.id, line, step.gate, word, step.write)


def _table(table: ProseTable, view: View) -> Table:
    """A table of the prose; a row whose value is absent is left out."""
    head = tuple(view.fill(cell) or () for cell in table.head)
    rows = [tuple(view.fill(cell) for cell in row) for row in table.rows]
    whole = tuple(tuple(cell or () for cell in row) for row in rows if all(cell is not None for cell in row))
    shares = (0.36, 0.46, 0.18) if len(head) == 3 else (1 / len(head),) * len(head)
    return Table(head, whole, shares)


def _slot_block(block: SlotBlock, view: View, medium: Medium) -> Iterator[Block]:
    """A safety message, a table of all sizes, or a figure."""
    name = block.slot.names[0]
    if block.slot.form == "safety":
        message = view.catalog.safety[name]
        word = view.words(f"signal.{message.signal.lower()}")
        parts = (word, message.hazard, message.consequence, message.avoid)
        yield Safety(name, message.signal.lower(), *parts, acts=tuple(chain.from_iterable(message.acts)))
    elif block.slot.form == "table":
        yield from TABLES.get(name, sizes_table)(view, block.slot.names)
    elif block.slot.form == "figure" and name in FIGURES:
        yield from figure(view, medium, name)
    else:
        raise ContentError(
            [Problem(block.slot.place, f"the figure {name!r} is not known", ", ".join(FIGURES))]
        )


def figure(view: View, medium: Medium, name: str) -> Iterator[Drawing]:
    """A figure to scale; nothing where its values are absent, or on a face it is not legible on."""
    if not medium.figures:
        return
    width, height = medium.widest, medium.tallest
    facts, said = stack_facts(view.request, view.units)
    text = view.texts | said | {EARLIEST: earliest_words(view)}
    made = FIGURES[name](view.numbers() | facts, text, view.words.group("figures"), width, height)
    if made is not None:
        yield Drawing(made)


def times_table(view: View, _names: tuple[str, ...]) -> Iterator[Table]:
    """The label's fusion times, a row for each band of temperature."""
    words, label = view.words, view.request.label
    head = (spans(words("sizes.up_to")), spans(words("values.fuse.time")))
    rows = tuple(
        (spans(view.request.plain(row.up_to), "value"), spans(view.request.plain(row.time), "value"))
        for row in (label.fuse.time_compensation if label else None) or ()
    )
    yield Table(head, rows, (0.5, 0.5))


def size_tables(procedures: Iterable[Procedure]) -> list[tuple[str, ...]]:
    """The values that procedures compare over the family's sizes, a table each."""
    slots = (slot for procedure in procedures for slot in procedure.slots() if slot.form == "table")
    return [slot.names for slot in slots if slot.names[0] not in TABLES]


def sizes_table(view: View, names: tuple[str, ...]) -> Iterator[Table]:
    """A row for each pair of the family, at this main's DR and material; this combination's row is marked."""
    first = "sizes.coupling_pair" if view.request.is_coupling else "sizes.pair"
    head = (spans(view.words(first)), *(spans(view.label(name)) for name in names))
    rows, marked = [], None
    for index, pair in enumerate(view.pairs):
        marked = index if pair == view.request.pair else marked
        sibling = view.sibling(pair)
        row, this_row = ROW_WORDS[view.request.is_coupling]
        key = this_row if marked == index else row
        label = spans(view.words(key, **pair_sizes(view, pair)), "strong")
        if sibling is None:
            cells = (spans(view.words("sizes.refused")), *((),) * (len(names) - 1))
        else:
            cells = tuple(sibling.value(name) or spans("–") for name in names)
        rows.append((label, *cells))
    yield Table(head, tuple(rows), (0.16, *((0.84 / len(names)),) * len(names)), marked, small=True)


def kit_points(view: View, _names: tuple[str, ...]) -> Iterator[Points]:
    """What to bring for all joints of a job, with boxes to tick; with the job's first joint alone."""
    rows = ((view.label(name), view.value(name)) for name in REGISTER if name.startswith("kit."))
    items = tuple((*spans(f"{label}: "), *value) for label, value in rows if value is not None)
    if items:
        yield Points(items, boxed=True)


# Tables that one value stands for; every other `table` slot compares the family's sizes.
TABLES: dict[str, Callable[[View, tuple[str, ...]], Iterable[Block]]] = {
    "fuse.time_compensation": times_table,
    "cool.extra": bands_table,
    "clock.clamps_off": ladder_table,
    "kit.fittings": kit_points,
    "weather.dew_margin_min": dew_tables,
}
