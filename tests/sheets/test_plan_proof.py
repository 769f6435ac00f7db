"""A plan that lost, swapped or parted something of its sheet is refused before anything is printed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packgen.errors import ContentError
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Cell,
    Cells,
    Drawing,
    Face,
    Points,
    Safety,
    Step,
    Table,
    Tag,
    Why,
    spans,
)  # fmt: skip
from packgen.sheets.plan_proof import require_whole
from packgen.sheets.scale_bar import scale_bar

TAG = Tag("2 in on 6 in", "IPS")
DANGER = Safety("cut-jet", "danger", "DANGER", "Jet from the main.", "It will kill.", "Prove it empty.")
ONE, TWO = Step(1, "proved", spans("Main gives no flow."), "hold", "HOLD"), Step(2, "cut", spans("Cut."))
ROWS = ((spans("35 °C"), spans("20 min")), (spans("40 °C"), spans("31 min")))
WAITS = Table((spans("Up to"), spans("Extra wait")), ROWS, (0.5, 0.5))
BLOCKS: tuple[Block, ...] = (Why(spans("Read first.")), DANGER, ONE, TWO, WAITS)


def faces(*parts: tuple[Block, ...]) -> list[Face]:
    """Faces of some blocks."""
    return [Face("cut", "Cut", TAG, part) for part in parts]


def test_a_whole_plan_passes_with_a_table_s_head_repeated() -> None:
    first, second = (replace(WAITS, rows=(row,)) for row in ROWS)
    require_whole("Cut", BLOCKS, faces((*BLOCKS[:4], first), (second,)))


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        (((*BLOCKS[:3], WAITS),), "lost 'Cut.'"),
        (((BLOCKS[0], ONE, TWO, WAITS),), "lost 'DANGER'"),
        (((*BLOCKS[:4], replace(WAITS, rows=ROWS[:1])),), "lost '40 °C'"),
        (((BLOCKS[0], DANGER, TWO, ONE, WAITS),), "steps in another order"),
        (((*BLOCKS[:2], replace(ONE, number=3), TWO, WAITS),), "steps in another order"),
        ((BLOCKS[:2], BLOCKS[2:]), "parts a safety message from its step"),
    ],
)
def test_what_a_plan_lost_or_moved_is_told(parts: tuple[tuple[Block, ...], ...], told: str) -> None:
    with pytest.raises(ContentError, match=told):
        require_whole("Cut", BLOCKS, faces(*parts))


READY = Points((spans("Wiped dry"),), boxed=True)
TICK = Boxes((Box("Capped", fill="tick"),))
BLANK = Cells((Cell("Torque", "", blank=True),), "ENTER")
LIST = Table((spans("Name"),), (((),), ((),)), (1.0,), write=True)
BAR = Drawing(scale_bar("Scale bar", "100 mm"))


@pytest.mark.parametrize(
    ("planned", "laid", "told"),
    [
        (READY, replace(READY, boxed=False), "lost the box to tick 'Wiped dry'"),
        (TICK, Boxes((Box("Capped"),)), r"lost the box \(tick\) 'Capped'"),
        (BLANK, Cells((Cell("Torque", "ENTER"),), "ENTER"), "lost the box 'Torque'"),
        (LIST, replace(LIST, rows=LIST.rows[:1]), "lost the cell to write in under 'Name'"),
        (BAR, Drawing(replace(BAR.figure, svg="<svg/>")), "lost the figure 'Scale bar'"),
    ],
)
def test_a_box_or_figure_that_a_plan_lost_is_told(planned: Block, laid: Block, told: str) -> None:
    """All words are there; what is to be filled in, or drawn, is not."""
    require_whole("Record", [planned], faces((planned,)))
    with pytest.raises(ContentError, match=told):
        require_whole("Record", [planned], faces((laid,)))
