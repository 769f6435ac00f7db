"""Which boxes to fill in and to tick the guard must find on a face, and at which words.

In: a planned block and its medium. Out: for each string the block says, the drawn box it stands in and the
edge of its box to tick; the empty cells of tables. Vocabulary: as in `sheets/blocks.py` and
`preflight_plan.py`. Source: our own measures, those of `templates/print.css`; they are least measures, since
a box grows with its words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate

from packgen.render.preflight_plan import Empty, Frame
from packgen.sheets.blocks import Block, Boxes, Cells, Points, Step, Table, words_of
from packgen.sheets.measure import MM
from packgen.sheets.media import Medium

THIN, HEAVY = 0.55, 1.8  # points: the line of a box, of a blank value
SLACK = 0.4  # mm
POINT_TICK, BOX_TICK = 2.8, 4.4  # mm, edges of the boxes in a list and in a record
BOX_HEIGHT = 12.0  # mm
BLANK_ROOM = 4.0  # mm between the label of a blank value and the word in its corner
CELL_PADDING = 1.7  # mm that a cell to write in is lower than a box beside a step, its padding left out
ROW = 3.0  # mm: the least of an empty cell that is not for writing

# The box a string stands in, and the edge of its box to tick, mm.
Fill = tuple[Frame | None, float]
NOTHING: Fill = (None, 0.0)


def to_fill(block: Block, medium: Medium) -> list[Fill]:
    """For each string that `block` says, in that order, the boxes that must be drawn with it.

    Parameters: `block`; the `medium` it is set in.
    """
    said = block.said()
    if isinstance(block, Step):
        write = [(_write(medium), 0.0)] if block.write else []
        return [(None, medium.tick), *[NOTHING] * (len(said) - 1 - len(write)), *write]
    if isinstance(block, Points) and block.boxed:
        return [(None, POINT_TICK)] * len(said)
    if isinstance(block, Boxes):
        return list(_boxes(block, medium))
    if isinstance(block, Cells):
        return list(_cells(block, medium))
    return [NOTHING] * len(said)


def _write(medium: Medium) -> Frame:
    """The box of a step to write in: beside its words or under them."""
    width = medium.spare - 5.0 if medium.beside else 0.4 * medium.inner
    return Frame(width, medium.write - SLACK, THIN)


def _boxes(block: Boxes, medium: Medium) -> Iterator[Fill]:
    """Label and what is wanted both stand in the box; the box to tick is beside the first of them."""
    frame = Frame(0.4 * medium.inner, BOX_HEIGHT - SLACK, THIN)
    for box in block.boxes:
        tick = BOX_TICK if box.fill == "tick" else 0.0
        for _said in filter(None, (box.label, box.wanted)):
            yield frame, tick
            tick = 0.0


def _cells(block: Cells, medium: Medium) -> Iterator[Fill]:
    """A blank's label and the word in its corner stand in a heavy box."""
    height = BLANK_ROOM + 2 * 1.2 * medium.label * MM
    frame = Frame(0.7 * medium.inner / block.across, height, HEAVY)
    for cell in block.cells:
        for _said in cell.said(block.enter):
            yield (frame, 0.0) if cell.blank else NOTHING


def empty_cells(blocks: Sequence[Block], medium: Medium) -> Iterator[Empty]:
    """The empty cells of each column of each table, told by the words of the column's head.

    Parameters: `blocks` of a face; their `medium`.
    """
    for block in blocks:
        if not isinstance(block, Table):
            continue
        # Columns are whole percents of the width (`html._width_class`); what is left goes to all of them.
        shares = [int(round(share * 100, 6)) for share in block.shares]
        edges = list(accumulate((medium.inner * share / sum(shares) for share in shares), initial=0.0))
        height = medium.write - CELL_PADDING if block.write else ROW
        for column, head in enumerate(block.head):
            count = sum(not words_of(row[column]) for row in block.rows)
            if count:
                named = words_of(head) or words_of(block.head[0])
                left, right = medium.margin + edges[column], medium.margin + edges[column + 1]
                yield Empty(named, left, right, height, count)
