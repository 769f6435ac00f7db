"""Card faces placed four to a sheet, ready for duplex printing and cutting.

In: a PDF with one card face a page, in the order front, back, front, back …; pages to stand before the
sheets.
Out: one PDF of whole sheets, and where each face lies on each of its pages.
Vocabulary: a *face* is one side of a card; a *sheet front* carries the fronts of four cards and the page
after it their backs; a *cut line* is an edge that two faces share.
Governing text: ISO 216 (A4, A6); letter 8.5 × 11 in, common practice, no source; ISO 32000-1 for the PDF.

Sheets are portrait and flip on the long edge, which swaps left and right: a back lies mirrored, so that it
comes behind its front. Faces keep their size (100 %) and stay text and lines: each becomes a form XObject,
under a name of our own, because the library's own overlay draws its names at random. Cut marks stand on the
cut lines, where no text comes (5 mm inside each face). The sheets carry no tags: they are for paper; the
pages for the screen do.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf

from packgen.errors import PackgenError, Place, Problem

COLUMNS, ROWS = 2, 2
POINTS = 72 / 25.4  # points in a millimetre
SIZE_TOLERANCE = 0.1  # mm

MARK_WIDTH = 0.5  # points: above the 0.25 pt that every printer still draws
MARK_FROM, MARK_TO = 1.0, 5.0  # mm from the sheet's edge
CROSS_ARM = 2.0  # mm

# Left over from the tagged page a face or print-first page was: without the structure tree they point
# nowhere.
PAGE_ONLY = ("/StructParents", "/Tabs", "/Annots")


@dataclass(frozen=True)
class Sheet:
    """A portrait sheet and the face it takes four of, in mm."""

    name: str
    width: float
    height: float
    face_width: float
    face_height: float


# Two A6 heights are 296 mm: half a millimetre is left over at the top and at the bottom of an A4 sheet.
A4 = Sheet("a4", 210.0, 297.0, 105.0, 148.0)
LETTER = Sheet("letter", 215.9, 279.4, 107.95, 139.7)
SHEETS = {sheet.name: sheet for sheet in (A4, LETTER)}


@dataclass(frozen=True)
class Placement:
    """Where one face lies on a page: its index in `faces`, its left top corner and its size in mm."""

    face_index: int
    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True)
class Imposed:
    """The sheets as a PDF, and for each of its pages the faces on it (none on print-first pages)."""

    pdf: bytes
    placements: list[list[Placement]]


def impose(
    front: bytes,
    faces: bytes,
    sheet: Sheet,
    *,
    title: str,
    date: datetime.date,
    language: str = "en",
) -> Imposed:
    """Sheets of `faces` after the pages of `front` (may be empty); an odd last face gets a blank back.

    Where `front` has an odd number of pages a blank one follows it: the first cards must not be printed on
    the back of the print-first page. The same input gives the same bytes. Raises `PackgenError` where a page
    of `front` is not of the sheet's size or a face not of the face's.
    """
    with pikepdf.new() as pdf, pikepdf.open(io.BytesIO(faces)) as source:
        fronts = _add_front(pdf, front, sheet)
        _require_size(source, sheet.face_width, sheet.face_height, "card face")
        forms = [_face_form(pdf, page) for page in source.pages]
        pages = list(_plan(len(forms), sheet))
        for placements in pages:
            _add_sheet_page(pdf, sheet, placements, forms)
        _describe(pdf, title, date, language)
        return Imposed(_saved(pdf), [*([] for _ in range(fronts)), *pages])


def _plan(count: int, sheet: Sheet) -> Iterator[list[Placement]]:
    """The pages of `count` faces: sheet front, sheet back, sheet front …"""
    a_side = COLUMNS * ROWS
    for first in range(0, count, 2 * a_side):
        for side in (0, 1):
            indices = [first + 2 * slot + side for slot in range(a_side)]
            yield [
                _place(index, slot, sheet, mirrored=side == 1)
                for slot, index in enumerate(indices)
                if index < count
            ]


def _place(index: int, slot: int, sheet: Sheet, *, mirrored: bool) -> Placement:
    """Slots run left to right, then down; on a back the columns run right to left."""
    row, column = divmod(slot, COLUMNS)
    if mirrored:
        column = COLUMNS - 1 - column
    left = (sheet.width - COLUMNS * sheet.face_width) / 2 + column * sheet.face_width
    top = (sheet.height - ROWS * sheet.face_height) / 2 + row * sheet.face_height
    return Placement(index, left, top, sheet.face_width, sheet.face_height)


def _add_front(pdf: pikepdf.Pdf, front: bytes, sheet: Sheet) -> int:
    """Put the print-first pages in, with a blank back where they are odd; how many pages that makes."""
    if not front:
        return 0
    with pikepdf.open(io.BytesIO(front)) as source:
        _require_size(source, sheet.width, sheet.height, "print-first page")
        for page in source.pages:
            pdf.pages.append(page)
            for key in PAGE_ONLY:
                if key in pdf.pages[-1]:
                    del pdf.pages[-1][key]
    if len(pdf.pages) % 2:
        _add_blank(pdf, sheet)
    return len(pdf.pages)


def _add_blank(pdf: pikepdf.Pdf, sheet: Sheet) -> pikepdf.Page:
    return pdf.add_blank_page(page_size=(sheet.width * POINTS, sheet.height * POINTS))


def _face_form(pdf: pikepdf.Pdf, page: pikepdf.Page) -> pikepdf.Object:
    return pdf.copy_foreign(page.as_form_xobject())


def _add_sheet_page(
    pdf: pikepdf.Pdf, sheet: Sheet, placements: list[Placement], forms: list[pikepdf.Object]
) -> None:
    page = _add_blank(pdf, sheet)
    named = {f"/Face{placement.face_index + 1}": forms[placement.face_index] for placement in placements}
    page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(named))
    drawn = [_draw_face(sheet, placement, forms[placement.face_index]) for placement in placements]
    page.obj.Contents = pdf.make_stream("\n".join([*drawn, *_cut_marks(sheet)]).encode("ascii"))


def _draw_face(sheet: Sheet, placement: Placement, form: pikepdf.Object) -> str:
    """Put the face's left bottom corner on the placement's; a PDF counts up from the sheet's left bottom."""
    box = [float(number) for number in form.BBox.as_list()]
    x = placement.left * POINTS - box[0]
    y = (sheet.height - placement.top - placement.height) * POINTS - box[1]
    return f"q 1 0 0 1 {x:.4f} {y:.4f} cm /Face{placement.face_index + 1} Do Q"


def _cut_marks(sheet: Sheet) -> list[str]:
    """Ticks near each edge and a cross in the middle, on the two cut lines, the same on both sides."""
    across, down = sheet.width / 2, sheet.height / 2
    lines = [
        *((across, y0, across, y1) for y0, y1 in _ticks(sheet.height)),
        *((x0, down, x1, down) for x0, x1 in _ticks(sheet.width)),
        (across - CROSS_ARM, down, across + CROSS_ARM, down),
        (across, down - CROSS_ARM, across, down + CROSS_ARM),
    ]
    strokes = [
        f"{x0 * POINTS:.4f} {y0 * POINTS:.4f} m {x1 * POINTS:.4f} {y1 * POINTS:.4f} l S"
        for x0, y0, x1, y1 in lines
    ]
    return [f"q 0 G {MARK_WIDTH} w", *strokes, "Q"]


def _ticks(length: float) -> tuple[tuple[float, float], tuple[float, float]]:
    return (MARK_FROM, MARK_TO), (length - MARK_TO, length - MARK_FROM)


def _require_size(source: pikepdf.Pdf, width: float, height: float, what: str) -> None:
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


def _describe(pdf: pikepdf.Pdf, title: str, date: datetime.date, language: str) -> None:
    """Title, language and date; and ask the print dialogue for 100 %, both sides, long edge."""
    moment = f"D:{date:%Y%m%d}000000Z"
    pdf.docinfo = pdf.make_indirect(
        pikepdf.Dictionary(Title=title, Producer="packgen", CreationDate=moment, ModDate=moment)
    )
    pdf.Root.Lang = language
    pdf.Root.ViewerPreferences = pikepdf.Dictionary(
        PrintScaling=pikepdf.Name("/None"),
        Duplex=pikepdf.Name.DuplexFlipLongEdge,
        DisplayDocTitle=True,
    )


def _saved(pdf: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()
