"""The fields of a record that is filled on a screen: settled, and proved to be there.

In: a PDF whose named boxes carry fields, as the renderer made them; the fields that were planned.
Out: the PDF with plain fields, or a `ContentError`. Vocabulary: a *field* is a place to type in or a box to
tick; its *name* begins with the id of its joint, so that a filled record can be read back; its *title* is
what a viewer says of it; a *row* holds the fields that stand side by side.
Governing text: ISO 32000-1, 12.7 (interactive forms), from memory; the least sizes are our own.

The renderer sets typed text in the page's own face, by glyph numbers, which a viewer cannot type with. So
each field takes the standard sans face that every viewer has, and draws what is typed by itself.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pikepdf

from packgen.errors import ContentError, Place, Problem
from packgen.sheets.blocks import Box, Boxes, Face, Table

FACE = "/Helv 10 Tf 0 g"
MM = 25.4 / 72
LEAST, LEAST_TICK = (15.0, 4.0), (3.0, 3.0)  # mm, wide and high
SIDE_BY_SIDE = 2  # boxes in a row
PRINTED = 4  # of the flags of an annotation: shown, printed, and nothing else

# All that a field may carry: anything more could lock it, fill it, hide it or let it act by itself.
PLAIN = frozenset({
    "/AP", "/AS", "/Border", "/DA", "/F", "/FT", "/MK", "/P", "/Rect", "/StructParent", "/Subtype", "/T",
    "/TU", "/Type", "/V", "/Ff",
})  # fmt: skip


@dataclass(frozen=True)
class PlannedField:
    """A field: its name, its title, whether it is ticked, its page and its row on all pages, from 0."""

    name: str
    title: str
    is_tick: bool = False
    page: int = 0
    row: int = 0


def planned_fields(faces: Sequence[Face]) -> list[PlannedField]:
    """Every field planned on some faces, a face a page, in order."""
    found: list[PlannedField] = []
    row = 0
    for page, face in enumerate(faces):
        for block in face.blocks:
            if isinstance(block, Boxes):
                for at, box in enumerate(block.boxes):
                    row += at % SIDE_BY_SIDE == 0
                    if box.name:
                        found.append(PlannedField(box.name, _title(box), box.fill == "tick", page, row))
            elif isinstance(block, Table):
                for at, cells in enumerate(block.rows):
                    row += 1
                    for column in range(len(cells)):
                        if name := block.field_name(at, column):
                            title = block.field_title(at, column)
                            found.append(PlannedField(name, title, False, page, row))
    return found


def _title(box: Box) -> str:
    """What the field of a box is for: its label and what is wanted."""
    return f"{box.label}, {box.wanted}" if box.wanted else box.label


def settle_fields(pdf: bytes, planned: Sequence[PlannedField], file: str) -> bytes:
    """Give every field a face to type in, and prove that each planned one is there once, plain and empty.

    Parameters: `pdf`; the `planned` fields in order; `file` for messages. Returns the PDF; the same input
    gives the same bytes. Raises `ContentError` where a field is missing, doubled or not planned, too small,
    off its page, out of its place among the others, locked, filled in or called something else.
    """
    with pikepdf.open(io.BytesIO(pdf)) as document:
        form = document.Root.get("/AcroForm", pikepdf.Dictionary(Fields=pikepdf.Array()))
        fields = list(form.Fields)
        _require([str(field.get("/T", "")) for field in fields], [field.name for field in planned], file)
        helvetica = pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica,
            Encoding=pikepdf.Name.WinAnsiEncoding,
        )  # fmt: skip
        form.DR = pikepdf.Dictionary(Font=pikepdf.Dictionary(Helv=document.make_indirect(helvetica)))
        for field in fields:
            if pikepdf.Name.Tx == field.get("/FT"):
                field.DA = pikepdf.String(FACE)
        out = io.BytesIO()
        document.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    problems = field_problems(out.getvalue(), planned, file)
    if problems:
        raise ContentError(problems)
    return out.getvalue()


def _require(found: Sequence[str], planned: Sequence[str], file: str) -> None:
    """Every planned field once, and no other."""
    have, want = Counter(found), Counter(planned)
    if have == want and max(want.values(), default=1) == 1:
        return
    wrong = sorted((have - want) + (want - have)) or [name for name, count in want.items() if count > 1]
    what = f"fields of the record missing, doubled or not planned: {', '.join(map(repr, wrong[:5]))}"
    raise ContentError([Problem(Place(file), what, cure="give each field of the record an id of its own")])


def field_problems(pdf: bytes, planned: Sequence[PlannedField], file: str) -> list[Problem]:
    """What is wrong with the fields of a record.

    Parameters: `pdf`; the `planned` fields in order, each of which is there once; `file` for messages.
    """
    found: list[Problem] = []
    with pikepdf.open(io.BytesIO(pdf)) as document:
        form: Any = document.Root.get("/AcroForm", {})
        fields = {str(field.T): field for field in form.get("/Fields", [])}
        shown = {
            note.objgen: number
            for number, page in enumerate(document.pages)
            for note in page.obj.get("/Annots", [])
        }
        if len(shown) != len(fields):
            what = f"its pages show {len(shown)} fields and notes, and its form has {len(fields)} fields"
            found.append(Problem(Place(file), what))
        above: list[_Edges] = []
        last: PlannedField | None = None
        row: list[_Edges] = []
        for each in planned:
            field, at = fields[each.name], Place(file, key=each.name)
            on = _Edges.of(field)
            found += (Problem(at, what) for what in _faults(field, each))
            if shown.get(field.objgen) != each.page:
                found.append(Problem(at, "the field is not on its page", f"page {each.page + 1}"))
                continue
            if what := on.misfit(document.pages[each.page], LEAST_TICK if each.is_tick else LEAST):
                found.append(Problem(at, what))
            if last is None or last.page != each.page:
                above, row = [], []
            elif last.row != each.row:
                above, row = row, []
            if any(on.top > other.bottom for other in above) or any(on.left < one.right for one in row):
                what = f"the field does not stand where it was planned: after {last.name if last else ''!r}"
                found.append(Problem(at, what, "fields in order, each row from the left, row under row"))
            row.append(on)
            last = each
    return found


@dataclass(frozen=True)
class _Edges:
    """The rectangle of a field, mm from its page's origin, up and to the right."""

    left: float
    bottom: float
    right: float
    top: float

    @classmethod
    def of(cls, field: pikepdf.Object) -> _Edges:
        """As the field says; its corners may stand in any order."""
        x0, y0, x1, y1 = (float(edge) * MM for edge in field.Rect.as_list())
        return cls(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def misfit(self, page: pikepdf.Page, least: tuple[float, float]) -> str:
        """What is wrong with it by itself: too small, or not whole on its page."""
        left, bottom, right, top = (float(edge) * MM for edge in page.mediabox.as_list())
        if self.left < left or self.bottom < bottom or self.right > right or self.top > top:
            return "the field is not whole on its page"
        width, height = self.right - self.left, self.top - self.bottom
        if width < least[0] or height < least[1]:
            return f"the field is {width:.1f} × {height:.1f} mm, less than {least[0]:g} × {least[1]:g} mm"
        return ""


def _faults(field: Any, planned: PlannedField) -> Iterator[str]:
    """A field that is of another kind or title, not plain, or not empty."""
    if str(field.get("/FT", "")) != ("/Btn" if planned.is_tick else "/Tx"):
        yield f"the field is not one to {'tick' if planned.is_tick else 'type in'}"
    if (title := str(field.get("/TU", ""))) != planned.title:
        yield f"the field is called {title!r} where {planned.title!r} was planned"
    if more := sorted(set(field.keys()) - PLAIN):
        yield f"the field is not plain: it carries {', '.join(more)}"
    if int(field.get("/Ff", 0)) or int(field.get("/F", 0)) != PRINTED:
        yield "the field is locked, hidden or not printed"
    empty = {"/Off"} if planned.is_tick else {""}
    given = {str(field[key]) for key in ("/V", "/AS") if key in field}
    if not given <= empty or _looks_filled(field, planned):
        yield "the field is filled in before anybody has seen the joint"


def _looks_filled(field: Any, planned: PlannedField) -> bool:
    """Whether a field has a look of its own while it is empty; a box to tick has one for its tick alone."""
    looks = field.get("/AP")
    if looks is None:
        return False
    if not planned.is_tick or set(looks.keys()) != {"/N"}:
        return True
    return isinstance(looks.N, pikepdf.Stream) or "/Off" in looks.N
