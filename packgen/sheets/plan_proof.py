"""Does a plan hold all that its sheet says, in the same order?

In: a sheet's blocks, as they were fitted to a medium, and the faces they were laid on. Out: nothing, or a
`ContentError`. Vocabulary: as in `plan`. The guard compares faces with the printed page and never sees the
sheet they came from, so what the planner lost would be lost without a word.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from packgen.errors import ContentError
from packgen.sheets.blocks import (
    Block,
    Boxes,
    Cells,
    Drawing,
    Face,
    Points,
    Safety,
    Step,
    Table,
    words_of,
)  # fmt: skip


def require_whole(title: str, blocks: Sequence[Block], faces: Sequence[Face]) -> None:
    """Every word, box and figure is on a face, steps and messages in order, each message before its step.

    Parameters: the sheet's `title`, for the message; its `blocks`; its `faces`. Raises `ContentError` where a
    face lacks something: that is a fault of the planner, and no PDF may be made of it.
    """
    laid = [block for face in faces for block in face.blocks]
    lost = _words(blocks) - _words(laid)
    if lost:
        raise ContentError(f"the plan of the sheet {title!r} has lost {next(iter(lost))[:60]!r}")
    gone = Counter(_to_fill(blocks)) - Counter(_to_fill(laid))
    if gone:
        raise ContentError(f"the plan of the sheet {title!r} has lost the {next(iter(gone))[:60]}")
    if _acts(blocks) != _acts(laid):
        raise ContentError(f"the plan of the sheet {title!r} has its steps in another order")
    if sum(_leads(face.blocks) for face in faces) != _leads(blocks):
        raise ContentError(f"the plan of the sheet {title!r} parts a safety message from its step")


def _words(blocks: Sequence[Block]) -> Counter[str]:
    """Each authored string with how often it stands; a table's head may be repeated."""
    return Counter(text for block in blocks for text in block.strings())


def _to_fill(blocks: Sequence[Block]) -> Iterator[str]:
    """What stands beside the words: boxes to tick and to fill in, empty cells, figures; steps are `_acts`."""
    for block in blocks:
        if isinstance(block, Points) and block.boxed:
            yield from (f"box to tick {words_of(item)!r}" for item in block.items)
        elif isinstance(block, Boxes):
            yield from (f"box ({box.fill}) {box.label!r} {box.wanted!r}" for box in block.boxes)
        elif isinstance(block, Cells):
            yield from (f"box {cell.label!r}" for cell in block.cells if cell.blank)
        elif isinstance(block, Table):
            empty = (number for row in block.rows for number, cell in enumerate(row) if not words_of(cell))
            yield from (f"cell to write in under {words_of(block.head[number])!r}" for number in empty)
        elif isinstance(block, Drawing):
            yield f"figure {block.figure.title!r}: {block.figure.svg}"


def _acts(blocks: Sequence[Block]) -> list[Block]:
    """The steps and safety messages, in order."""
    return [block for block in blocks if isinstance(block, Step | Safety)]


def _leads(blocks: Sequence[Block]) -> int:
    """How many safety messages stand directly before a step."""
    return sum(isinstance(one, Safety) and isinstance(after, Step) for one, after in pairwise(blocks))
