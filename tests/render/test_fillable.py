"""Records to fill on a screen: every planned field once, typed in a face that every viewer has.

Governing text: ISO 32000-1, 12.7 (interactive forms), from memory.
"""

from __future__ import annotations

import io

import pikepdf
import pytest

from packgen.errors import ContentError
from packgen.publish.imprint import Imprint
from packgen.render.fillable import FACE, field_names, settle_fields
from packgen.render.html import Stamp
from packgen.sheets.blocks import Box, Boxes, Face, Table, Tag, spans
from packgen.sheets.media import pack_medium
from packgen.sheets.words import load_words

MEDIUM = pack_medium("letter")
BOXES = Boxes((
    Box("Main, wall", "0.602 in to 0.674 in", "number", "J1.record.main-wall"),
    Box("Fully dry", fill="tick", name="J1.record.dry"),
    Box("For ink only"),
))  # fmt: skip
ROWS = ((spans("1"), (), spans("told")), (spans("2"), (), ()))
HEAD = (spans("No."), spans("Name"), spans("Time"))
TABLE = Table(HEAD, ROWS, (0.2, 0.4, 0.4), write=True, field="J1.talk")
FACES = (Face("record", "Joint record", Tag("2 in on 6 in", "IPS"), (BOXES, TABLE), 1, 1),)
NAMES = ["J1.record.main-wall", "J1.record.dry", "J1.talk.1.2", "J1.talk.2.2", "J1.talk.2.3"]


@pytest.fixture(scope="module")
def printed() -> bytes:
    """The face with its fields, as printed and guarded."""
    imprint = Imprint(Stamp("HL-0427", ("DRAFT",)), load_words(), "HL-0427", "2026-05-12")
    return imprint.printed(FACES, MEDIUM, "records.pdf", fillable=True)


def test_every_named_box_and_every_empty_cell_has_a_field() -> None:
    """A box without a name, and a cell with words, have none."""
    assert field_names(FACES) == NAMES


def test_the_printed_fields_are_the_planned_ones(printed: bytes) -> None:
    settled = settle_fields(printed, NAMES, "records.pdf")
    with pikepdf.open(io.BytesIO(settled)) as document:
        found = list(document.Root.AcroForm.Fields)
        assert [str(field.T) for field in found] == NAMES
        assert [str(field.FT) for field in found] == ["/Tx", "/Btn", "/Tx", "/Tx", "/Tx"]
        assert str(found[0].TU) == "Main, wall, 0.602 in to 0.674 in"
        assert {str(field.DA) for field in found if "/DA" in field} == {FACE}
        assert document.Root.AcroForm.DR.Font.Helv.BaseFont == pikepdf.Name.Helvetica


def test_typed_words_come_back_under_their_name(printed: bytes) -> None:
    """A filled record is read by the names alone."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(settle_fields(printed, NAMES, "records.pdf"))) as document:
        document.Root.AcroForm.Fields[0].V = pikepdf.String("0.640 in")
        document.save(out)
    with pikepdf.open(out) as filled:
        typed = {str(field.T): str(field.get("/V", "")) for field in filled.Root.AcroForm.Fields}
    assert typed["J1.record.main-wall"] == "0.640 in"


def test_each_field_lies_inside_the_page_beside_no_other(printed: bytes) -> None:
    with pikepdf.open(io.BytesIO(printed)) as document:
        boxes = [[float(edge) for edge in field.Rect.as_list()] for field in document.Root.AcroForm.Fields]
        page = [float(edge) for edge in document.pages[0].mediabox.as_list()]
    upright = [(min(a, c), min(b, d), max(a, c), max(b, d)) for a, b, c, d in boxes]
    for at, one in enumerate(upright):
        assert page[0] < one[0] < one[2] < page[2] and page[1] < one[1] < one[3] < page[3]
        for other in upright[at + 1 :]:
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


@pytest.mark.parametrize(
    ("planned", "told"),
    [
        ([*NAMES, "J1.record.lost"], "J1.record.lost"),
        (NAMES[1:], "J1.record.main-wall"),
        ([*NAMES, NAMES[0]], "J1.record.main-wall"),
    ],
)
def test_a_field_missing_not_planned_or_doubled_is_refused(
    printed: bytes, planned: list[str], told: str
) -> None:
    with pytest.raises(ContentError, match=told):
        settle_fields(printed, planned, "records.pdf")


def test_the_same_record_gives_the_same_bytes(printed: bytes) -> None:
    assert settle_fields(printed, NAMES, "a.pdf") == settle_fields(printed, NAMES, "a.pdf")
