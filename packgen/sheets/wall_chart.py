"""The wall chart of a family: every size at one dimension ratio on one poster, and where the work stops.

In: a `View` of one size. Out: two sheets for its family, its size systems and its dimension ratio: the sizes,
and where the work stops. Vocabulary: a value is *shared* where every permitted size prints the same text for
it; the others stand in tables, a row a size.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packgen.calc.request import Combination
from packgen.model.family_records import Pair
from packgen.model.prose import Run, Runs, Slot
from packgen.sheets.blocks import (
    Block,
    Code,
    Points,
    Section,
    Sheet,
    Spans,
    Table,
    Tag,
    Why,
    spans,
)
from packgen.sheets.front import value_cells
from packgen.sheets.media import Medium, card_medium
from packgen.sheets.standing import applicable
from packgen.sheets.view import View, pair_sizes

# What a crew asks of a size, in the order of the work.
NAMES = (
    "peel.depth_min", "peel.depth_max", "gap.feeler", "clamp.method", "clamp.torque", "clamp.stop_mark",
    "socket.insertion_depth", "socket.peel_length", "fuse.voltage", "fuse.terminal", "fuse.time",
    "cool.clamp_time", "cool.pressure_wait", "cool.tap_wait", "cool.reference_temperature", "tap.hole_saw",
    "tap.travel_set", "tap.cutter_turns", "tap.cutter_travel", "weather.ambient_min", "weather.ambient_max",
)  # fmt: skip
POSTERS = ("a3", "11x17")
ACROSS = 6  # values in one table


def chart_medium(form: str) -> Medium:
    """A poster's face in type to be read from an arm's length: a table of sixteen sizes stands on one."""
    of = card_medium(form)
    if form not in POSTERS:
        return of
    return replace(of, title=28.0, body=13.0, label=11.0, value=16.0, across=6)


def chart_sheets(view: View, code: Code) -> tuple[Sheet, ...]:
    """The chart of the family in view: shared values, tables by size; then hold points and the code."""
    words, request = view.words, view.request
    sizes = [sibling for pair in view.pairs if (sibling := view.sibling(pair))]
    names = [name for name in NAMES if any(name in size.values for size in sizes)]
    shared = [name for name in names if _shared(sizes, name)]
    varying = [name for name in names if name not in shared]
    named = request.main.designation
    parts = (named.system, named.ratio, named.material)
    tag = Tag(words("chart.tag"), " ".join(part for part in parts if part))
    values: list[Block] = [Why(spans(words("chart.intro", ratio=named.ratio or named.system)))]
    values += [Section(words("chart.shared")), value_cells(view, shared)]
    values += [Section(words("chart.by_size")), *_tables(view, varying)]
    stops: list[Block] = [Section(words("chart.stops")), Points(tuple(_holds(view, sizes)), boxed=True)]
    stops += [Why(spans(words("chart.governs"), "strong")), code]
    title = request.family.title
    return tuple(Sheet("wall-chart", title, tag, tuple(blocks)) for blocks in (values, stops))


def one_of_each_grid(found: Sequence[Combination]) -> list[Combination]:
    """Of some combinations the first of each family, size systems and dimension ratio.

    A chart stands for all sizes of these; its material and contents are those of the first.
    """
    first: dict[tuple[str, ...], Combination] = {}
    for combination in found:
        main, lateral = combination.request.main, combination.request.lateral
        key = (
            combination.request.family.id, main.table.system, lateral.table.system,
            str(main.designation.ratio),
        )  # fmt: skip
        first.setdefault(key, combination)
    return list(first.values())


def _shared(sizes: Sequence[View], name: str) -> bool:
    """Whether every size prints the same for a value."""
    return len({size.value(name) for size in sizes}) == 1


def _tables(view: View, names: Sequence[str]) -> Iterator[Table]:
    """The values that differ, a few to a table; a size that is refused says so in every one."""
    for at in range(0, len(names), ACROSS):
        some = names[at : at + ACROSS]
        first = "sizes.coupling_pair" if view.request.is_coupling else "sizes.pair"
        head = (spans(view.words(first)), *(spans(view.label(name)) for name in some))
        rows = tuple(_row(view, pair, some) for pair in view.pairs)
        yield Table(head, rows, (0.2, *((0.8 / len(some),) * len(some))), small=True)


def _row(view: View, pair: Pair, names: Sequence[str]) -> tuple[Spans, ...]:
    """One size with its values."""
    row = "sizes.coupling_row" if view.request.is_coupling else "sizes.row"
    label = spans(view.words(row, **pair_sizes(view, pair)), "strong")
    sibling = view.sibling(pair)
    if sibling is None:
        return (label, spans(view.words("sizes.refused")), *((),) * (len(names) - 1))
    return (label, *(sibling.value(name) or spans("–") for name in names))


def _holds(view: View, sizes: Sequence[View]) -> Iterator[Spans]:
    """The hold points in their order; a value that differs by size is called by its name."""
    for procedure in applicable(view):
        for step in procedure.steps:
            if step.gate == "hold":
                yield view.must_fill(_general(step.runs, view, sizes), step.id)


def _general(runs: Runs, view: View, sizes: Sequence[View]) -> Runs:
    """A gate's words as they hold for every size."""
    made = []
    for run in runs:
        if run.slot and len({size.slot(run.slot) for size in sizes}) > 1:
            run = Run(view.words("chart.on_the_card", label=_named(run.slot, view)))
        made.append(run)
    return tuple(made)


def _named(slot: Slot, view: View) -> str:
    """What a slot's words are called."""
    name = slot.names[0]
    if slot.form == "owner":
        return view.catalog.owner_blanks[name].label
    return view.words(f"job_words.{name}") if slot.form == "job" else view.label(name)
