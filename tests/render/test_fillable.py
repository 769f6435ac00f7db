"""Records to fill on a screen: every planned field once, typed in a face that every viewer has.

Governing text: ISO 32000-1, 12.7 (interactive forms), from memory.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pikepdf
import pytest

from packgen.errors import ContentError
from packgen.publish.imprint import Imprint
from packgen.render.fillable import FACE, PlannedField, planned_fields, settle_fields
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
TITLES = ["Main, wall, 0.602 in to 0.674 in", "Fully dry", "1, Name", "2, Name", "2, Time"]
PLANNED = planned_fields(FACES)


@pytest.fixture(scope="module")
def printed() -> bytes:
    """The face with its fields, as printed and guarded."""
    imprint = Imprint(Stamp("HL-0427", ("DRAFT",)), load_words(), "HL-0427", "2026-05-12")
    return imprint.printed(FACES, MEDIUM, "records.pdf", fillable=True)


def test_every_named_box_and_every_empty_cell_has_a_field() -> None:
    """A box without a name, and a cell with words, have none."""
    assert [field.name for field in planned_fields(FACES)] == NAMES
    assert [field.title for field in planned_fields(FACES)] == TITLES


def test_the_printed_fields_are_the_planned_ones(printed: bytes) -> None:
    settled = settle_fields(printed, PLANNED, "records.pdf")
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
    with pikepdf.open(io.BytesIO(settle_fields(printed, PLANNED, "records.pdf"))) as document:
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
        ([*PLANNED, PlannedField("J1.record.lost", "Lost")], "J1.record.lost"),
        (PLANNED[1:], "J1.record.main-wall"),
        ([*PLANNED, PLANNED[0]], "J1.record.main-wall"),
    ],
)
def test_a_field_missing_not_planned_or_doubled_is_refused(
    printed: bytes, planned: list[PlannedField], told: str
) -> None:
    with pytest.raises(ContentError, match=told):
        settle_fields(printed, planned, "records.pdf")


def test_the_same_record_gives_the_same_bytes(printed: bytes) -> None:
    assert settle_fields(printed, PLANNED, "a.pdf") == settle_fields(printed, PLANNED, "a.pdf")


Edit = Callable[[list[Any]], None]


def faults(printed: bytes, edit: Edit) -> str:
    """What is said of a record after an edit of its fields."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(printed)) as document:
        edit(list(document.Root.AcroForm.Fields))
        document.save(out)
    with pytest.raises(ContentError) as refused:
        settle_fields(out.getvalue(), PLANNED, "records.pdf")
    return str(refused.value)


def put(at: int, key: str, value: Any) -> Edit:
    """An entry of a field changed."""

    def edit(fields: list[Any]) -> None:
        fields[at][key] = value

    return edit


def moved(at: int, left: float = 0.0, bottom: float = 0.0, right: float = 0.0, top: float = 0.0) -> Edit:
    """The edges of a field moved by millimetres."""

    def edit(fields: list[Any]) -> None:
        x0, y1, x1, y0 = (float(edge) for edge in fields[at].Rect.as_list())
        by = (left, bottom, right, top)
        edges = zip((x0, y0, x1, y1), by, strict=True)
        fields[at].Rect = pikepdf.Array([edge + add * 72 / 25.4 for edge, add in edges])

    return edit


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (moved(0, right=-84.9), "J1.record.main-wall: the field is 0.2 × 6.0 mm, less than 15 × 4 mm"),
        (moved(0, top=-2.5), "the field is 85.1 × 3.5 mm, less than 15 × 4 mm"),
        (moved(1, left=1.5), "J1.record.dry: the field is 2.9 × 4.4 mm, less than 3 × 3 mm"),
        (moved(4, left=70.0, right=70.0), "J1.talk.2.3: the field is not whole on its page"),
        (moved(4, bottom=-300.0, top=-300.0), "J1.talk.2.3: the field is not whole on its page"),
        (put(0, "/Ff", 1), "J1.record.main-wall: the field is locked, hidden or not printed"),
        (put(0, "/F", 6), "the field is locked, hidden or not printed"),
        (put(0, "/MaxLen", 1), "the field is not plain: it carries /MaxLen"),
        (put(0, "/V", pikepdf.String("0.640 in")), "the field is filled in before anybody has seen"),
        (put(1, "/V", pikepdf.Name("/on")), "J1.record.dry: the field is filled in before anybody has seen"),
        (put(1, "/AS", pikepdf.Name("/on")), "J1.record.dry: the field is filled in before anybody has seen"),
        (put(1, "/FT", pikepdf.Name("/Tx")), "J1.record.dry: the field is not one to tick"),
        (put(0, "/TU", pikepdf.String("Main, girth")), "the field is called 'Main, girth' where 'Main, wall"),
    ],
)
def test_a_field_that_cannot_be_filled_or_lies_is_refused(printed: bytes, edit: Edit, told: str) -> None:
    assert told in faults(printed, edit)


def test_a_box_that_looks_ticked_while_it_is_not_is_refused(printed: bytes) -> None:
    def edit(fields: list[Any]) -> None:
        fields[1].AP.N["/Off"] = fields[1].AP.N["/on"]

    assert "J1.record.dry: the field is filled in" in faults(printed, edit)


@pytest.mark.parametrize(("one", "other"), [(2, 3), (3, 4), (0, 4)])
def test_fields_that_have_exchanged_their_names_are_refused(printed: bytes, one: int, other: int) -> None:
    """Over one another, side by side, in two blocks; each with the title of its name."""

    def edit(fields: list[Any]) -> None:
        for key in ("/T", "/TU"):
            fields[one][key], fields[other][key] = str(fields[other][key]), str(fields[one][key])

    assert "the field does not stand where it was planned" in faults(printed, edit)


def test_a_field_that_no_page_shows_is_refused(printed: bytes) -> None:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(printed)) as document:
        del document.pages[0].obj.Annots[0]
        document.save(out)
    with pytest.raises(ContentError, match="its pages show 4 fields and notes, and its form has 5 fields"):
        settle_fields(out.getvalue(), PLANNED, "records.pdf")
