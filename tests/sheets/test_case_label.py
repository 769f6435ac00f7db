"""The label of the control unit's case: what the unit must give, what is proved first, the longest cords."""

from __future__ import annotations

from packgen.register import CORD_LENGTHS
from packgen.sheets.blocks import Cells, Code, Points, Table, words_of
from packgen.sheets.case_label import label_sheets
from packgen.sheets.measure import whole
from packgen.sheets.view import View

CODE = Code("<svg></svg>", "FVP9-LJS8-BGMB", 20.0, "code")


def test_the_label_carries_what_the_unit_must_give(each_view: View) -> None:
    """Voltage, terminal and times as the values sheet prints them."""
    front = label_sheets(each_view, CODE)[0]
    (cells,) = (block for block in front.blocks if isinstance(block, Cells))
    shown = {cell.label: cell.value for cell in cells.cells}
    held = f", up to {whole(each_view.text('cool.reference_temperature'))}"
    for name, upto in (("fuse.voltage", ""), ("fuse.terminal", ""), ("cool.clamp_time", held)):
        assert shown[each_view.label(name) + upto] == each_view.text(name).split(" [")[0]


def test_every_proof_has_a_box(each_view: View) -> None:
    _, back = label_sheets(each_view, CODE)
    (proofs,) = (block for block in back.blocks if isinstance(block, Points))
    assert proofs.boxed
    assert len(proofs.items) == 7


def test_every_cord_that_was_worked_out_is_on_the_front(each_view: View) -> None:
    lengths = {each_view.text(name) for name in each_view.values if name.startswith(CORD_LENGTHS)}
    front, _ = label_sheets(each_view, CODE)
    tables = [block for block in front.blocks if isinstance(block, Table)]
    shown = {words_of(cell) for table in tables for row in table.rows for cell in row[1:]}
    assert shown == lengths
