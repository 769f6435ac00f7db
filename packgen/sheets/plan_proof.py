"""Does a plan hold all that its sheet says, in the same order?

In: a sheet's blocks, as they were fitted to a medium, and the faces they were laid on. Out: nothing, or a
`ContentError`. Vocabulary: as in `plan`. The guard compares faces with the printed page and never sees the
sheet they came from, so what the planner lost would be lost without a word.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from packgen.errors import ContentError
from packgen.sheets.blocks import Block, Face, Safety, Step


def require_whole(title: str, blocks: Sequence[Block], faces: Sequence[Face]) -> None:
    """Every word is on a face, steps and safety messages in their order, each message before its step.

    Parameters: the sheet's `title`, for the message; its `blocks`; its `faces`. Raises `ContentError` where a
    face lacks something: that is a fault of the planner, and no PDF may be made of it.
    """
    laid = [block for face in faces for block in face.blocks]
    lost = _words(blocks) - _words(laid)
    if lost:
        raise ContentError(f"the plan of the sheet {title!r} has lost {next(iter(lost))[:60]!r}")
    if _acts(blocks) != _acts(laid):
        raise ContentError(f"the plan of the sheet {title!r} has its steps in another order")
    if sum(_leads(face.blocks) for face in faces) != _leads(blocks):
        raise ContentError(f"the plan of the sheet {title!r} parts a safety message from its step")


def _words(blocks: Sequence[Block]) -> Counter[str]:
    """Each authored string with how often it stands; a table's head may be repeated."""
    return Counter(text for block in blocks for text in block.strings())


def _acts(blocks: Sequence[Block]) -> list[Block]:
    """The steps and safety messages, in order."""
    return [block for block in blocks if isinstance(block, Step | Safety)]


def _leads(blocks: Sequence[Block]) -> int:
    """How many safety messages stand directly before a step."""
    return sum(isinstance(one, Safety) and isinstance(after, Step) for one, after in pairwise(blocks))
