"""Card faces placed on sheets, ready for duplex printing, then for cutting or folding.

In: a PDF with one card face a page, in the order front, back, front, back …; pages to stand before the
sheets; a `Layout`.
Out: one PDF of whole sheets, and where each face lies on each of its pages.
Vocabulary: a *face* is one side of a card; a *piece* is a card of two faces, or a folded leaflet of four; a
*place* is where a piece stands on a sheet; a *pile* is what a stack of cut sheets gives at one place; a
*sheet front* is a page whose next page is printed on its back.
Governing text: ISO 32000-1 for the PDF; otherwise common practice, no source.

Cut and stack: the whole stack of sheets is cut at once, so each pile holds pieces that follow one another,
and the piles, laid one on the other from the first place to the last, are in order. An odd last face has a
blank back.

Faces keep their size (100 %) and stay text and lines: each becomes a form XObject, under a name of our own,
because the library's own overlay draws its names at random. The sheets carry no tags: they are for paper; the
pages for the screen do.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf

from packgen.errors import PackgenError, Place, Problem
from packgen.render.impose_layout import Layout
from packgen.render.impose_marks import POINTS, PUNCH_BOX, hole_centre, punch_mark, sheet_marks

SIZE_TOLERANCE = 0.1  # mm
PUNCH = "/Punch"

# Left over from the tagged page a face or print-first page was: without the structure tree they point
# nowhere.
PAGE_ONLY = ("/StructParents", "/Tabs", "/Annots")


@dataclass(frozen=True)
class Placement:
    """Where one face lies on a page: its index in `faces`, its left top corner and its size in mm.

    `is_turned` says that it stands on its head, its size being as wide and as high as ever.
    """

    face_index: int
    left: float
    top: float
    width: float
    height: float
    is_turned: bool = False


@dataclass(frozen=True)
class Imposed:
    """The sheets as a PDF, and for each of its pages the faces on it (none on print-first pages)."""

    pdf: bytes
    placements: list[list[Placement]]


def impose(
    front: bytes,
    faces: bytes,
    layout: Layout,
    *,
    title: str,
    date: datetime.date,
    language: str = "en",
    ring_hole: bool = False,
) -> Imposed:
    """Sheets of `faces` after the pages of `front` (may be empty).

    Parameters: `front` and `faces`, PDFs; `layout`, sheet and face in mm; `title`, `date` and `language` for
    the PDF's own data; `ring_hole` draws where each face is punched. Where `front` has an odd number of pages
    a blank one follows it: the first cards must not be printed on the back of the print-first page. The same
    input gives the same bytes. Raises `PackgenError` where a page of `front` is not of the sheet's size,
    either way up, or a face not of the layout's.
    """
    with pikepdf.new() as pdf, pikepdf.open(io.BytesIO(faces)) as source:
        fronts = _add_front(pdf, front, layout)
        _require_size(source, (layout.face_width, layout.face_height), "card face")
        forms = [_face_form(pdf, page) for page in source.pages]
        punch = _punch_form(pdf) if ring_hole else None
        pages = list(_plan(len(forms), layout))
        for placements in pages:
            _add_sheet_page(pdf, layout, placements, forms, punch)
        _describe(pdf, layout, title, date, language)
        return Imposed(_saved(pdf), [*([] for _ in range(fronts)), *pages])


def _plan(count: int, layout: Layout) -> Iterator[list[Placement]]:
    """The pages of `count` faces: sheet front, sheet back, sheet front …"""
    sheets = layout.sheets(count)
    for sheet in range(sheets):
        front, back = [], []
        for place in range(layout.places):
            for slot, upper, lower in layout.pairs(place, place * sheets + sheet):
                if upper < count:
                    front.append(_place(upper, slot, layout, is_back=False))
                if lower < count:
                    back.append(_place(lower, slot, layout, is_back=True))
        yield front
        yield back


def _place(index: int, slot: int, layout: Layout, *, is_back: bool) -> Placement:
    """A face in a slot of the front, or behind it."""
    left, top = layout.slots[slot]
    if is_back:
        left, top = layout.behind(left, top)
    is_turned = is_back and not layout.turns_on_upright_edge
    return Placement(index, left, top, layout.face_width, layout.face_height, is_turned)


def _add_front(pdf: pikepdf.Pdf, front: bytes, layout: Layout) -> int:
    """Put the print-first pages in, with a blank back where they are odd; how many pages that makes."""
    if not front:
        return 0
    upright = min(layout.width, layout.height), max(layout.width, layout.height)
    with pikepdf.open(io.BytesIO(front)) as source:
        _require_size(source, upright, "print-first page")
        for page in source.pages:
            pdf.pages.append(page)
            for key in PAGE_ONLY:
                if key in pdf.pages[-1]:
                    del pdf.pages[-1][key]
    if len(pdf.pages) % 2:
        _add_blank(pdf, *upright)
    return len(pdf.pages)


def _add_blank(pdf: pikepdf.Pdf, width: float, height: float) -> pikepdf.Page:
    return pdf.add_blank_page(page_size=(width * POINTS, height * POINTS))


def _face_form(pdf: pikepdf.Pdf, page: pikepdf.Page) -> pikepdf.Object:
    return pdf.copy_foreign(page.as_form_xobject())


def _punch_form(pdf: pikepdf.Pdf) -> pikepdf.Object:
    """The punch mark, once for all faces; its origin is the hole's centre."""
    form = pdf.make_stream(punch_mark().encode("ascii"))
    edge = PUNCH_BOX * POINTS
    form.Type, form.Subtype = pikepdf.Name.XObject, pikepdf.Name.Form
    form.BBox = pikepdf.Array([-edge, -edge, edge, edge])
    return form


def _add_sheet_page(
    pdf: pikepdf.Pdf,
    layout: Layout,
    placements: list[Placement],
    forms: list[pikepdf.Object],
    punch: pikepdf.Object | None,
) -> None:
    page = _add_blank(pdf, layout.width, layout.height)
    named = {f"/Face{placement.face_index + 1}": forms[placement.face_index] for placement in placements}
    drawn = [_draw_face(layout, placement, forms[placement.face_index]) for placement in placements]
    if punch is not None and placements:
        named[PUNCH] = punch
        drawn += [_draw_punch(layout, placement) for placement in placements]
    page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(named))
    page.obj.Contents = pdf.make_stream("\n".join([*drawn, *sheet_marks(layout)]).encode("ascii"))


def _draw_face(layout: Layout, placement: Placement, form: pikepdf.Object) -> str:
    """Put the face's corner on the placement's; a PDF counts up from the sheet's left bottom.

    A face on its head has its right top corner at the placement's left bottom.
    """
    box = [float(number) for number in form.BBox.as_list()]
    x = placement.left * POINTS
    y = (layout.height - placement.top - placement.height) * POINTS
    matrix = f"-1 0 0 -1 {x + box[2]:.4f} {y + box[3]:.4f}"
    if not placement.is_turned:
        matrix = f"1 0 0 1 {x - box[0]:.4f} {y - box[1]:.4f}"
    return f"q {matrix} cm /Face{placement.face_index + 1} Do Q"


def _draw_punch(layout: Layout, placement: Placement) -> str:
    x, y = hole_centre(
        placement.left,
        placement.top,
        placement.width,
        placement.height,
        is_back=placement.face_index % 2 == 1,
        is_turned=placement.is_turned,
    )
    return f"q 1 0 0 1 {x * POINTS:.4f} {(layout.height - y) * POINTS:.4f} cm {PUNCH} Do Q"


def _require_size(source: pikepdf.Pdf, size: tuple[float, float], what: str) -> None:
    width, height = size
    problems = []
    for number, page in enumerate(source.pages, 1):
        left, bottom, right, top = (float(edge) / POINTS for edge in page.mediabox.as_list())
        if max(abs(right - left - width), abs(top - bottom - height)) > SIZE_TOLERANCE:
            problems.append(
                Problem(
                    Place(f"{what} {number}"),
                    f"it is {right - left:.1f} × {top - bottom:.1f} mm",
                    f"{width:g} × {height:g} mm",
                )
            )
    if problems:
        raise PackgenError(problems)


def _describe(pdf: pikepdf.Pdf, layout: Layout, title: str, date: datetime.date, language: str) -> None:
    """Title, language and date; and ask the print dialogue for 100 %, both sides, the right edge."""
    moment = f"D:{date:%Y%m%d}000000Z"
    pdf.docinfo = pdf.make_indirect(
        pikepdf.Dictionary(Title=title, Producer="packgen", CreationDate=moment, ModDate=moment)
    )
    long, short = pikepdf.Name.DuplexFlipLongEdge, pikepdf.Name.DuplexFlipShortEdge
    pdf.Root.Lang = language
    pdf.Root.ViewerPreferences = pikepdf.Dictionary(
        PrintScaling=pikepdf.Name("/None"),
        Duplex=long if layout.flip == "long" else short,
        DisplayDocTitle=True,
    )


def _saved(pdf: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()
