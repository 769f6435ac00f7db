"""A sheet made to fit a card form: tables too wide for it, value blocks, the type of the sheet read in haste.

In: a sheet and a `Medium`. Out: the same words as blocks that fit the medium's width. Vocabulary: a table
*holds* where no word is wider than its column. One that does not hold gets columns by its words; where these
do not fit either a *grid*, read by a number across and one down, turns into tables one after the other, cut
at the columns, and any other table into a list with each row's words under its columns' names. No row and no
word is left out: a crew on another day reads another row.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

from packgen.sheets.blocks import Block, Cells, Points, Sheet, Spans, Table, Why, spans, words_of
from packgen.sheets.heights import CELL_PAD, height_of
from packgen.sheets.measure import MM, widest_piece, width_of
from packgen.sheets.media import Medium
from packgen.sheets.words import Words, load_words

# The sheet that is read when something has gone wrong, and its type on a card, pt.
HASTE, HASTE_TYPE = "stop-redo-reject", 12.0
# The most signs of a cell that stays on one line, and of one in a table that may be cut at its columns.
SHORT = 14
# The part of a face's room that a table may take which is to stand whole under its heading.
WHOLE_TABLE = 0.8


def fitted(sheet: Sheet, medium: Medium) -> tuple[Sheet, Medium]:
    """A sheet and the medium it is laid on; a pack's pages hold every sheet as it is.

    Parameters: `sheet`; `medium`.
    """
    if medium.name != "card":
        return sheet, medium
    medium = set_in(sheet.id, medium)
    blocks = tuple(part for block in sheet.blocks for part in _fitted(block, medium))
    return replace(sheet, blocks=blocks), medium


def set_in(sheet_id: str, medium: Medium) -> Medium:
    """The medium that a sheet is set in: the sheet read in haste has larger type on cards.

    Parameters: `sheet_id`; `medium` of the document.
    """
    if medium.name != "card" or sheet_id != HASTE:
        return medium
    return replace(medium, body=max(HASTE_TYPE, medium.body))


def _fitted(block: Block, medium: Medium) -> Iterator[Block]:
    """One block for a card."""
    if isinstance(block, Table):
        yield from fitted_table(block, medium)
    elif isinstance(block, Cells) and block.across != medium.across:
        yield replace(block, across=medium.across)
    else:
        yield block


def fitted_table(table: Table, medium: Medium) -> Iterator[Block]:
    """A table for a card, in body size where it holds so.

    A small one stays small rather than be parted. Parameters: `table`; `medium`. Yields one table or more, or
    a list.
    """
    large = replace(table, small=False)
    shares = _shares(large.shares, _needs(large, medium.table), medium.inner)
    small = _shares(table.shares, _needs(table, medium.label), medium.inner) if table.small else None
    if shares is not None and (small is None or _is_low(replace(large, shares=shares), medium)):
        yield replace(large, shares=shares)
    elif small is not None:
        yield replace(table, shares=small)
    elif _is_grid(table):
        yield from _cut_at_columns(large, medium)
    else:
        yield from _listed(table)


def is_lookup(table: Table) -> bool:
    """Whether a table is looked up by row and column: half of it on another face would be read for the whole.

    Parameters: `table`.
    """
    return len(table.head) > 2 and not table.write and _is_short(table)


@cache
def _words() -> Words:
    """The words, read once."""
    return load_words()


def printed(key: str, **fill: str) -> str:
    """What the plan itself says on a face.

    Parameters: `key`, of the group `plan`; `fill` for what stands in braces there.
    """
    return _words()(key, **fill)


def _is_low(table: Table, medium: Medium) -> bool:
    """Whether a table stands whole on a face under its heading."""
    return height_of(table, medium) <= WHOLE_TABLE * medium.room


def _needs(table: Table, size: float) -> list[float]:
    """The least width of each column in type of a `size`, mm; a short cell is one piece."""
    columns = zip(table.head, *table.rows, strict=True)
    return [max(map(_piece, column)) * size * MM + CELL_PAD for column in columns]


def _piece(cell: Spans) -> float:
    """The width in em that a cell needs."""
    whole = len(words_of(cell)) <= SHORT
    return sum(width_of(span.text, span.kind != "plain") for span in cell) if whole else widest_piece(cell)


def _shares(wanted: tuple[float, ...], needs: Sequence[float], width: float) -> tuple[float, ...] | None:
    """Shares by which a table holds: those wanted if they do, else what one lacks comes from the others.

    None where the needs are more than the width.
    """
    least = [need / width for need in needs]
    over = 1.0 - sum(least)
    if over < 0:
        return None
    spare = [max(0.0, share - need) for share, need in zip(wanted, least, strict=True)]
    if all(share >= need for share, need in zip(wanted, least, strict=True)):
        return wanted
    return tuple(need + over * each / sum(spare) for need, each in zip(least, spare, strict=True))


def _is_short(table: Table) -> bool:
    """Whether every cell but those of the first column is a number or a word."""
    return all(len(words_of(cell)) <= SHORT for row in table.rows for cell in row[1:])


def _is_grid(table: Table) -> bool:
    """Whether a table is read by number across as well as down; columns with names are waits of one row."""
    return _is_short(table) and all(words_of(name)[:1].isdigit() for name in table.head[1:])


def _cut_at_columns(table: Table, medium: Medium) -> Iterator[Table]:
    """Tables one after the other, each with the first column and alike many of the rest, as few as hold."""
    needs = _needs(table, medium.table)
    rest = len(needs) - 1
    for parts in range(1, rest + 1):
        cuts = [1 + round(rest * part / parts) for part in range(parts + 1)]
        runs = [(0, *range(start, end)) for start, end in pairwise(cuts)]
        if parts == rest or all(sum(needs[at] for at in run) <= medium.inner for run in runs):
            yield from (_columns(table, run, needs) for run in runs)
            return


def _cells_of(row: Sequence[Spans], run: Sequence[int]) -> tuple[Spans, ...]:
    """A row's cells in some columns; where they are all empty what stood before them holds for them too."""
    first, *rest = (row[at] for at in run)
    before = [cell for cell in row[1 : run[1]] if cell]
    if before and not any(rest):
        rest[0] = before[-1]
    return (first, *rest)


def _columns(table: Table, run: Sequence[int], needs: Sequence[float]) -> Table:
    """Some columns of a table, as wide as their words ask in proportion."""
    width = sum(needs[at] for at in run)
    return replace(
        table,
        head=tuple(table.head[at] for at in run),
        rows=tuple(_cells_of(row, run) for row in table.rows),
        shares=tuple(needs[at] / width for at in run),
    )


def _listed(table: Table) -> Iterator[Block]:
    """The columns' names, then each row as one point; figures stand by those names."""
    if table.small or table.marked is not None or _is_short(table):
        rows = list(table.rows)
        if table.marked is not None and not table.small:
            rows[table.marked] = (_planned(rows[table.marked][0]), *rows[table.marked][1:])
        yield Why(table.head[0], small=True)
        yield Points(tuple(_named_point(row, table.head) for row in rows))
    else:
        yield Why(spans(" · ".join(words_of(name) for name in table.head)), small=True)
        yield Points(tuple(_point(row) for row in table.rows))


def _planned(cell: Spans) -> Spans:
    """The first words of the marked row, which a list cannot draw heavier lines round."""
    before, after = printed("plan.planned", row="\0").split("\0")
    return (*spans(before), *cell, *spans(after))


def _strong(cell: Spans) -> Spans:
    """A cell in strong type."""
    return tuple(replace(span, kind="strong") if span.kind == "plain" else span for span in cell)


def _named_point(row: Sequence[Spans], head: Sequence[Spans]) -> Spans:
    """What a row is about, then each other cell under its column's name."""
    made = [*_strong(row[0])]
    for name, cell in zip(head[1:], row[1:], strict=True):
        made += [*spans(f". {words_of(name)}: "), *cell] if cell else []
    return tuple(made)


def _point(row: Sequence[Spans]) -> Spans:
    """What a row is about, the sentences between, and its last word strong again: what comes of it."""
    first, *rest = (cell for cell in row if cell)
    made = [*_strong(first)]
    for cell in rest:
        made += [*spans(". "), *(_strong(cell) if cell is rest[-1] else cell)]
    return tuple(made)
