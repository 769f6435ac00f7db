"""The table of supply cords for site and case: how long a cord of each size may be at each voltage.

In: a `View`. Out: a sheet and its tables, or none where no cord was worked out. Vocabulary: as in
`packgen.calc.power`; a crew pack names the job's own cord only, and has no such table.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc.ledger import Value
from packgen.register import CORD_LENGTHS, CORD_VOLTAGES, conductor_size, cord_name
from packgen.sheets.blocks import Block, Section, Sheet, Table, Why, spans
from packgen.sheets.view import View


def cord_sheets(view: View) -> tuple[Sheet, ...]:
    """The longest cords by size and voltage with their method and sources; no sheet where none is known."""
    cords = _cords(view)
    if not cords:
        return ()
    words = view.words
    blocks: list[Block] = [Why(spans(words("cords.intro"))), *cord_tables(view)]
    blocks.append(Section(words("values_sheet.sources")))
    sources = dict.fromkeys(source for value in cords.values() for source in value.sources)
    blocks += (Why(spans(source), small=True) for source in sources)
    return (Sheet("cords", words("cords.title"), view.tag, tuple(blocks)),)


def _cords(view: View) -> dict[str, Value]:
    """The longest cords that were worked out."""
    return {name: value for name, value in view.values.items() if name.startswith(CORD_LENGTHS)}


def cord_tables(view: View) -> Iterator[Table]:
    """A table for each series of conductors: a row a size, a column a voltage."""
    cords = _cords(view)
    series: dict[tuple[float, ...], list[str]] = {}
    for conductor in view.catalog.conductors.values():
        voltages = tuple(volts for volts in CORD_VOLTAGES if cord_name(volts, conductor.size) in cords)
        if voltages:
            series.setdefault(voltages, []).append(conductor_size(conductor.size))
    for voltages, sizes in series.items():
        head = (spans(view.words("cords.size")), *(spans(f"{volts:g} V") for volts in voltages))
        rows = tuple(
            (spans(size, "strong"), *(view.value(cord_name(volts, size)) or () for volts in voltages))
            for size in sizes
        )
        share = 0.76 / len(voltages)
        yield Table(head, rows, (0.24, *(share for _ in voltages)), small=True)
