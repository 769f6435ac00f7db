"""The fields of a record that is filled on a screen: settled, and proved to be there.

In: a PDF whose named boxes carry fields, as the renderer made them; the names that were planned.
Out: the PDF with plain fields, or a `ContentError`. Vocabulary: a *field* is a place to type in or a box to
tick; its *name* begins with the id of its joint, so that a filled record can be read back.
Governing text: ISO 32000-1, 12.7 (interactive forms), from memory.

The renderer sets typed text in the page's own face, by glyph numbers, which a viewer cannot type with. So
each field takes the standard sans face that every viewer has, and draws what is typed by itself.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Sequence

import pikepdf

from packgen.errors import ContentError, Place, Problem
from packgen.sheets.blocks import Boxes, Face, Table

FACE = "/Helv 10 Tf 0 g"


def field_names(faces: Sequence[Face]) -> list[str]:
    """The names of every field planned on some faces, in order."""
    names: list[str] = []
    for face in faces:
        for block in face.blocks:
            if isinstance(block, Boxes):
                names += [box.name for box in block.boxes if box.name]
            elif isinstance(block, Table):
                names += block.field_names()
    return names


def settle_fields(pdf: bytes, planned: Sequence[str], file: str) -> bytes:
    """Give every field a face to type in, and prove that each planned one is there once.

    Parameters: `pdf`; the `planned` names in order; `file` for messages. Returns the PDF; the same input
    gives the same bytes. Raises `ContentError` where a field is missing, doubled or not planned.
    """
    with pikepdf.open(io.BytesIO(pdf)) as document:
        form = document.Root.get("/AcroForm", pikepdf.Dictionary(Fields=pikepdf.Array()))
        fields = list(form.Fields)
        _require([str(field.T) for field in fields], planned, file)
        helvetica = pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica,
            Encoding=pikepdf.Name.WinAnsiEncoding,
        )  # fmt: skip
        form.DR = pikepdf.Dictionary(Font=pikepdf.Dictionary(Helv=document.make_indirect(helvetica)))
        for field in fields:
            if pikepdf.Name.Tx == field.FT:
                field.DA = pikepdf.String(FACE)
        out = io.BytesIO()
        document.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return out.getvalue()


def _require(found: Sequence[str], planned: Sequence[str], file: str) -> None:
    """Every planned field once, and no other."""
    have, want = Counter(found), Counter(planned)
    if have == want and max(want.values(), default=1) == 1:
        return
    wrong = sorted((have - want) + (want - have)) or [name for name, count in want.items() if count > 1]
    what = f"fields of the record missing, doubled or not planned: {', '.join(map(repr, wrong[:5]))}"
    raise ContentError([Problem(Place(file), what, cure="give each field of the record an id of its own")])
