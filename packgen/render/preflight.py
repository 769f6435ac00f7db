"""Is everything that was planned really on the printed page, whole and in our own type?

In: a finished PDF, what was planned for each of its pages, the font families that may be in it.
Out: one `Problem` for each rule a page breaks, with the page and the words; `LogWatch` makes problems of
what the renderer logs.
Vocabulary: a *planned page* has a name, a size, the strings authored for it, and the boxes that all its text
must keep inside (its safe area); *folded* text is without white space and signs that only steer line breaks.
Governing text: ISO 32000-1 (PDF), 8.5.4 clipping, 9.4 text, from memory.

WeasyPrint can leave text out, or cut it off, without a word. So the PDF is read back by two readers: PDFium
for what stands where, pikepdf for the fonts (`embedded.py`). Looked for: page count and size; every string as
often as planned; no text outside its boxes; no text cut off by a clipping box; every font in use embedded and
of a permitted family; no sign without a glyph; no character above the BMP. Not looked for: text under a later
opaque shape, and text in the colour of its ground.
"""

from __future__ import annotations

import contextlib
import ctypes
import io
import logging
import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium

from packgen.errors import Place, Problem
from packgen.render.embedded import DRAWING, Fonts, shortened

POINTS = 72 / 25.4  # points in a millimetre
SIZE_TOLERANCE = 0.1  # mm
BOX_TOLERANCE = 0.2  # mm
HIGHEST_BMP = "\uffff"
MORE_ROOM = "give it more room, or move it to the next page"

SOFT_HYPHEN = "\u00ad"
# PDFium reads a hyphen at a line's end as U+FFFE (U+0002 in a single text object). Signs that share a glyph
# come back as whichever was printed first: the hyphens, and micro sign and mu.
SAME_SIGN = {0xFFFE: "-", 0x0002: "-", 0x2010: "-", 0x2011: "-", 0x00B5: "\u03bc"}
# Zero-width signs that steer line breaks and joins; no glyph stands for them in the PDF.
UNSEEN = dict.fromkeys((0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF))
FOLDS: dict[int, str | None] = {**SAME_SIGN, **UNSEEN}

# Left, bottom, right, top in points, from the page's left bottom corner.
Rectangle = tuple[float, float, float, float]
Matrix = tuple[float, float, float, float, float, float]
NOT_MOVED: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
NOWHERE = float("inf")
NOT_CLIPPED: Rectangle = (-NOWHERE, -NOWHERE, NOWHERE, NOWHERE)


@dataclass(frozen=True)
class Box:
    """A rectangle in mm from the page's left top corner."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class PlannedPage:
    """What a page must be: its name, its size in mm, the strings on it, the boxes its text keeps inside."""

    name: str
    width: float
    height: float
    strings: tuple[str, ...]
    boxes: tuple[Box, ...]


def preflight(
    pdf: bytes, pages: Sequence[PlannedPage], *, families: frozenset[str], file: str = ""
) -> list[Problem]:
    """Every rule that `pdf` breaks, in page order; `file` is the name to put into the problems' places."""
    found: list[Problem] = []
    with (
        contextlib.closing(pypdfium2.PdfDocument(pdf)) as document,
        pikepdf.open(io.BytesIO(pdf)) as structure,
    ):
        if len(document) != len(pages):
            found.append(
                Problem(Place(file), f"the PDF has {len(document)} pages", f"{len(pages)} pages, as planned")
            )
        fonts = Fonts(families)
        for number, (planned, page) in enumerate(zip(pages, structure.pages, strict=False), 1):
            place = Place(f"{file} page {number}, {planned.name}".strip())
            with (
                contextlib.closing(document[number - 1]) as drawn,
                contextlib.closing(drawn.get_textpage()) as text,
            ):
                found += _size_problems(drawn, planned, place)
                found += _string_problems(text.get_text_range(), planned, place)
                found += _placing_problems(drawn, text, planned, place)
            found += fonts.problems(page, place)
    return found


def fold(text: str) -> str:
    """`text` as it is compared: no white space, no zero-width signs, one sign for those that look the same.

    >>> fold("4\\u00a0in IPS,\\n self\\u2011test")
    '4inIPS,self-test'
    """
    return unicodedata.normalize("NFC", "".join(text.split()).translate(FOLDS))


def _size_problems(page: Any, planned: PlannedPage, place: Place) -> Iterator[Problem]:
    left, bottom, right, top = page.get_mediabox()
    width, height = (right - left) / POINTS, (top - bottom) / POINTS
    if max(abs(width - planned.width), abs(height - planned.height)) > SIZE_TOLERANCE:
        expected = f"{planned.width:g} × {planned.height:g} mm, as planned"
        yield Problem(place, f"the page is {width:.1f} × {height:.1f} mm", expected)


def _string_problems(printed: str, planned: PlannedPage, place: Place) -> Iterator[Problem]:
    """Strings that are not there, or too seldom; characters that a crew's reader may not have."""
    text = fold(printed)
    for string, wanted in Counter(planned.strings).items():
        times = _occurrences(fold(string), text)
        if times < wanted:
            yield Problem(
                place,
                f"text lost: {shortened(string)!r} is printed {times} of {wanted} times",
                cure=MORE_ROOM,
            )
    for sign in sorted({sign for sign in "".join((printed, *planned.strings)) if sign > HIGHEST_BMP}):
        yield Problem(place, f"character above the BMP: {sign!r} (U+{ord(sign):04X})", cure=DRAWING)


def _occurrences(string: str, text: str) -> int | float:
    """How often `string` stands in `text`; a soft hyphen may be there as a hyphen or not at all."""
    parts = string.split(SOFT_HYPHEN)
    if not any(parts):
        return NOWHERE  # nothing is to be seen of it
    if len(parts) == 1:
        return text.count(string)
    return len(re.findall("-?".join(map(re.escape, parts)), text))


def _placing_problems(page: Any, textpage: Any, planned: PlannedPage, place: Place) -> Iterator[Problem]:
    """Text outside every box, and text that a clipping box cuts."""
    left, _bottom, _right, top = page.get_mediabox()
    boxes = [_in_points(box, left, top) for box in planned.boxes]
    outside: list[str] = []
    cut: list[str] = []
    count = pdfium.FPDFPage_CountObjects(page)
    for text, ink, clip in _texts(count, partial(pdfium.FPDFPage_GetObject, page), NOT_MOVED, NOT_CLIPPED):
        if not any(_inside(ink, box) for box in boxes):
            outside.append(_words(text, textpage))
        if not _inside(ink, clip):
            cut.append(_words(text, textpage))
    for words, what in ((outside, "text outside its safe area"), (cut, "text cut off by the box it is in")):
        if shown := " ".join(word for word in words if word):
            yield Problem(place, f"{what}: {shortened(shown)!r}", cure=MORE_ROOM)


def _in_points(box: Box, left: float, top: float) -> Rectangle:
    """`box` on the page whose left top corner is at `left` and `top`."""
    return (
        left + box.left * POINTS,
        top - box.bottom * POINTS,
        left + box.right * POINTS,
        top - box.top * POINTS,
    )


def _texts(
    count: int, item: Callable[[int], Any], matrix: Matrix, clip: Rectangle
) -> Iterator[tuple[Any, Rectangle, Rectangle]]:
    """Each text object of a page or form, the rectangle its ink fills, and the rectangle it is clipped to."""
    for index in range(count):
        drawn = item(index)
        kind = pdfium.FPDFPageObj_GetType(drawn)
        if kind == pdfium.FPDF_PAGEOBJ_TEXT:
            yield drawn, _moved(_ink(drawn), matrix), _clip(drawn, matrix, clip)
        elif kind == pdfium.FPDF_PAGEOBJ_FORM:
            yield from _texts(
                pdfium.FPDFFormObj_CountObjects(drawn),
                partial(pdfium.FPDFFormObj_GetObject, drawn),
                _form_matrix(drawn, matrix),
                _clip(drawn, matrix, clip),
            )


def _ink(drawn: Any) -> Rectangle:
    edges = [ctypes.c_float() for _ in range(4)]
    pdfium.FPDFPageObj_GetBounds(drawn, *edges)
    left, bottom, right, top = (edge.value for edge in edges)
    return left, bottom, right, top


def _clip(drawn: Any, matrix: Matrix, outer: Rectangle) -> Rectangle:
    """`outer` cut down by each clipping path of `drawn`, taken as the rectangle round it."""
    paths = pdfium.FPDFPageObj_GetClipPath(drawn)
    for index in range(max(pdfium.FPDFClipPath_CountPaths(paths), 0)):
        outer = _overlap(outer, _moved(_around(paths, index), matrix))
    return outer


def _around(paths: Any, index: int) -> Rectangle:
    x, y = ctypes.c_float(), ctypes.c_float()
    xs, ys = [], []
    for number in range(max(pdfium.FPDFClipPath_CountPathSegments(paths, index), 0)):
        pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFClipPath_GetPathSegment(paths, index, number), x, y)
        xs.append(x.value)
        ys.append(y.value)
    # A path without points leaves nothing to be seen.
    return (min(xs), min(ys), max(xs), max(ys)) if xs else (0.0, 0.0, 0.0, 0.0)


def _form_matrix(form: Any, outer: Matrix) -> Matrix:
    """From the form's own space to the page's."""
    own = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(form, own)
    a, b, c, d, e, f = outer
    return (
        own.a * a + own.b * c,
        own.a * b + own.b * d,
        own.c * a + own.d * c,
        own.c * b + own.d * d,
        own.e * a + own.f * c + e,
        own.e * b + own.f * d + f,
    )


def _moved(rectangle: Rectangle, matrix: Matrix) -> Rectangle:
    """The upright rectangle round `rectangle` after `matrix`."""
    if matrix == NOT_MOVED:
        return rectangle
    a, b, c, d, e, f = matrix
    left, bottom, right, top = rectangle
    corners = [(x, y) for x in (left, right) for y in (bottom, top)]
    xs = [a * x + c * y + e for x, y in corners]
    ys = [b * x + d * y + f for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _overlap(one: Rectangle, other: Rectangle) -> Rectangle:
    return max(one[0], other[0]), max(one[1], other[1]), min(one[2], other[2]), min(one[3], other[3])


def _inside(ink: Rectangle, box: Rectangle, slack: float = BOX_TOLERANCE * POINTS) -> bool:
    return (
        ink[0] >= box[0] - slack
        and ink[1] >= box[1] - slack
        and ink[2] <= box[2] + slack
        and ink[3] <= box[3] + slack
    )


def _words(text: Any, textpage: Any) -> str:
    size = pdfium.FPDFTextObj_GetText(text, textpage, None, 0)
    buffer = (ctypes.c_ushort * (size // 2))()
    pdfium.FPDFTextObj_GetText(text, textpage, buffer, size)
    return bytes(buffer).decode("utf-16-le", "replace").rstrip("\0").translate(SAME_SIGN).strip()


class LogWatch(logging.Handler):
    """While open, collects what the renderer logs: any record of WeasyPrint's, warnings of fontTools'.

    WeasyPrint's running commentary (`weasyprint.progress`) is left out. Nothing goes on to the terminal: the
    problems say the same.
    """

    LEVELS: ClassVar = {"weasyprint": logging.DEBUG, "fontTools": logging.WARNING}

    def __init__(self, file: str = "") -> None:
        super().__init__()
        self._place = Place(file)
        self._before: list[tuple[logging.Logger, int, bool]] = []
        self.problems: list[Problem] = []

    def emit(self, record: logging.LogRecord) -> None:
        problem = Problem(self._place, f"the renderer says: {record.getMessage()}")
        if not record.name.startswith("weasyprint.progress") and problem not in self.problems:
            self.problems.append(problem)

    def __enter__(self) -> LogWatch:
        for name, level in self.LEVELS.items():
            logger = logging.getLogger(name)
            self._before.append((logger, logger.level, logger.propagate))
            logger.addHandler(self)
            logger.setLevel(level)
            logger.propagate = False
        return self

    def __exit__(self, *_error: object) -> None:
        while self._before:
            logger, level, propagate = self._before.pop()
            logger.removeHandler(self)
            logger.setLevel(level)
            logger.propagate = propagate
