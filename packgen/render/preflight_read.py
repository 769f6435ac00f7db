"""A printed page as the guard reads it: runs of text and shapes, in the order they are painted.

In: a page of a PDF that PDFium has opened, with its text page. Out: a `Seen`.
Vocabulary: a *run* is one text object; its *ink* is the rectangle its signs fill, its *baseline* what they
stand on; a *shape* is a path that is filled, stroked or both; *folded* text is without white space and signs
that only steer line breaks. Colours are red, green and blue from 0 to 255. All lengths are points from the
page's left bottom corner.
Governing text: ISO 32000-1 (PDF), 8.3 coordinates, 8.5 paths and clipping, 9.4 text, 11.3 transparency: from
memory.
"""

from __future__ import annotations

import ctypes
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any

import pypdfium2.raw as pdfium

from packgen.errors import Place
from packgen.render.preflight_plan import PlannedPage
from packgen.render.preflight_shape import (
    BLACK,
    NOT_CLIPPED,
    NOT_MOVED,
    Colour,
    Matrix,
    Rectangle,
    Shape,
    combined,
    moved,
    overlap,
)  # fmt: skip

SOLID = 250  # of 255: what is painted less thickly shows its ground
LONGEST_RUN = 2048  # characters read at once

# PDFium reads a hyphen at a line's end as U+FFFE (U+0002 in a single text object). Signs that share a glyph
# come back as whichever was printed first: the hyphens, and micro sign and mu.
SAME_SIGN = {0xFFFE: "-", 0x0002: "-", 0x2010: "-", 0x2011: "-", 0x00B5: "\u03bc"}
# Zero-width signs that steer line breaks and joins; no glyph stands for them in the PDF.
UNSEEN = dict.fromkeys((0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF))
FOLDS: dict[int, str | None] = {**SAME_SIGN, **UNSEEN}


def fold(text: str) -> str:
    """`text` as it is compared: no white space, no zero-width signs, one sign for those that look the same.

    >>> fold("4\\u00a0in IPS,\\n self\\u2011test")
    '4inIPS,self-test'
    """
    return unicodedata.normalize("NFC", "".join(text.split()).translate(FOLDS))


@dataclass(eq=False)
class Run:
    """One text object: its words, where they stand, and how they are set.

    `size` in points; `font` is the name in the PDF; `painted` tells that its signs are filled and upright;
    `solid` that nothing shows through them; `order` counts what is painted on the page; `matrix` goes from
    its signs to the page.
    """

    words: str
    ink: Rectangle
    clip: Rectangle
    size: float
    font: str
    colour: Colour
    left: float
    baseline: float
    painted: bool
    solid: bool
    order: int
    matrix: Matrix = NOT_MOVED
    folded: str = ""

    @property
    def bold(self) -> bool:
        """Whether it is set in a bold face."""
        return "Bold" in self.font


@dataclass(eq=False)
class Seen:
    """A page as it was read, beside what was planned for it; `place` is what its problems are told under.

    `page` is PDFium's own; `corner` is the page's left top corner in its own coordinates, in points. `claims`
    are where the planned words stand in `text`, once the rules for words have found them.
    """

    planned: PlannedPage
    place: Place
    page: Any
    corner: tuple[float, float]
    runs: list[Run] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)
    claims: list[tuple[int, int] | None] = field(default_factory=list)

    @cached_property
    def text(self) -> str:
        """The folded words of all runs, in the order they are painted."""
        return "".join(run.folded for run in self.runs)

    @cached_property
    def fills(self) -> list[Shape]:
        """The shapes that are filled, the last painted first."""
        return [shape for shape in reversed(self.shapes) if shape.fill is not None]


def read(page: Any, textpage: Any, planned: PlannedPage, place: Place) -> Seen:
    """All that is painted on a page.

    Parameters: `page` and `textpage`, as PDFium opened them; `planned`; `place` for problems.
    """
    left, _bottom, _right, top = page.get_mediabox()
    seen = Seen(planned, place, page, (left, top))
    count = pdfium.FPDFPage_CountObjects(page)
    _Reader(seen, textpage).read(count, partial(pdfium.FPDFPage_GetObject, page), NOT_MOVED, NOT_CLIPPED)
    return seen


class _Reader:
    """Walks the objects of a page once; keeps the buffers that PDFium writes into, and the fonts' names."""

    def __init__(self, seen: Seen, textpage: Any) -> None:
        self._seen = seen
        self._textpage = textpage
        self._order = 0
        self._fonts: dict[int, str] = {}
        self._edges = [ctypes.c_float() for _ in range(4)]
        self._levels = [ctypes.c_uint() for _ in range(4)]
        self._number = ctypes.c_float()
        self._matrix = pdfium.FS_MATRIX()
        self._signs = (ctypes.c_ushort * LONGEST_RUN)()

    def read(
        self,
        count: int,
        item: Callable[[int], Any],
        matrix: Matrix,
        clip: Rectangle,
        solid: bool = True,
    ) -> None:
        """The objects of a page or form; `matrix` goes to the page's space, `clip` bounds what is seen."""
        for index in range(count):
            drawn = item(index)
            self._order += 1
            kind = pdfium.FPDFPageObj_GetType(drawn)
            here = self._clip(drawn, matrix, clip)
            if kind == pdfium.FPDF_PAGEOBJ_TEXT:
                self._seen.runs += self._run(drawn, matrix, here, solid)
            elif kind == pdfium.FPDF_PAGEOBJ_FORM:
                _colour, own = self._colour(drawn, pdfium.FPDFPageObj_GetFillColor)
                pdfium.FPDFPageObj_GetMatrix(drawn, self._matrix)
                self.read(
                    pdfium.FPDFFormObj_CountObjects(drawn),
                    partial(pdfium.FPDFFormObj_GetObject, drawn),
                    combined(self._matrix, matrix),
                    here,
                    solid and own,
                )
            else:
                shapes = self._path if kind == pdfium.FPDF_PAGEOBJ_PATH else self._picture
                self._seen.shapes += shapes(drawn, matrix, here, solid)

    def _run(self, drawn: Any, matrix: Matrix, clip: Rectangle, solid: bool) -> Iterator[Run]:
        words = self._words(drawn)
        folded = fold(words)
        if not folded:
            return
        pdfium.FPDFPageObj_GetMatrix(drawn, self._matrix)
        own_space = a, b, c, d, e, f = combined(self._matrix, matrix)
        pdfium.FPDFTextObj_GetFontSize(drawn, self._number)
        size = self._number.value * (c * c + d * d) ** 0.5
        colour, own = self._colour(drawn, pdfium.FPDFPageObj_GetFillColor)
        filled = pdfium.FPDFTextObj_GetTextRenderMode(drawn) == pdfium.FPDF_TEXTRENDERMODE_FILL
        # Level signs: the axes of their space stand at a right angle to each other.
        level = abs(a * c + b * d) <= 0.001 * (a * a + b * b + c * c + d * d)
        ink = moved(self._bounds(drawn), matrix)
        painted, font = filled and level, self._font(drawn)
        yield Run(
            words, ink, clip, size, font, colour, e, f, painted, solid and own, self._order, own_space, folded
        )  # fmt: skip

    def _path(self, drawn: Any, matrix: Matrix, clip: Rectangle, solid: bool) -> Iterator[Shape]:
        rule, stroked = ctypes.c_int(), ctypes.c_int()
        pdfium.FPDFPath_GetDrawMode(drawn, rule, stroked)
        if not rule.value and not stroked.value:
            return
        pdfium.FPDFPageObj_GetMatrix(drawn, self._matrix)
        space = combined(self._matrix, matrix)
        bounds = moved(self._bounds(drawn), matrix)
        shape = Shape(drawn, space, bounds, clip, self._order, rule.value == pdfium.FPDF_FILLMODE_ALTERNATE)
        if rule.value:
            shape.fill, own = self._colour(drawn, pdfium.FPDFPageObj_GetFillColor)
            shape.solid = solid and own
        if stroked.value:
            shape.stroke, own = self._colour(drawn, pdfium.FPDFPageObj_GetStrokeColor)
            shape.solid = shape.solid and solid and own
            pdfium.FPDFPageObj_GetStrokeWidth(drawn, self._number)
            a, b, c, d, _e, _f = space
            shape.width = self._number.value * min((a * a + b * b) ** 0.5, (c * c + d * d) ** 0.5)
        yield shape

    def _picture(self, drawn: Any, matrix: Matrix, clip: Rectangle, _solid: bool) -> Iterator[Shape]:
        """A picture or a run of shades: it hides what is under it, and its colours are not known."""
        bounds = moved(self._bounds(drawn), matrix)
        yield Shape(drawn, matrix, bounds, clip, self._order, False, fill=BLACK, picture=True)

    def _bounds(self, drawn: Any) -> Rectangle:
        pdfium.FPDFPageObj_GetBounds(drawn, *self._edges)
        left, bottom, right, top = (edge.value for edge in self._edges)
        return left, bottom, right, top

    def _colour(self, drawn: Any, of: Callable[..., int]) -> tuple[Colour, bool]:
        """A colour, and whether nothing shows through it."""
        of(drawn, *self._levels)
        red, green, blue, alpha = (level.value for level in self._levels)
        return (red, green, blue), alpha >= SOLID

    def _words(self, drawn: Any) -> str:
        size = pdfium.FPDFTextObj_GetText(drawn, self._textpage, self._signs, ctypes.sizeof(self._signs))
        if size > ctypes.sizeof(self._signs):
            self._signs = (ctypes.c_ushort * size)()
            pdfium.FPDFTextObj_GetText(drawn, self._textpage, self._signs, size)
        return bytes(memoryview(self._signs).cast("B")[: max(size - 2, 0)]).decode("utf-16-le", "replace")

    def _font(self, drawn: Any) -> str:
        font = pdfium.FPDFTextObj_GetFont(drawn)
        key = ctypes.addressof(font.contents)
        if key not in self._fonts:
            size = pdfium.FPDFFont_GetBaseFontName(font, None, 0)
            name = ctypes.create_string_buffer(size)
            pdfium.FPDFFont_GetBaseFontName(font, name, size)
            self._fonts[key] = name.value.decode("latin-1")
        return self._fonts[key]

    def _clip(self, drawn: Any, matrix: Matrix, outer: Rectangle) -> Rectangle:
        """`outer` cut down by each clipping path of `drawn`, taken as the rectangle round it."""
        paths = pdfium.FPDFPageObj_GetClipPath(drawn)
        for index in range(max(pdfium.FPDFClipPath_CountPaths(paths), 0)):
            outer = overlap(outer, moved(_around(paths, index), matrix))
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


def spoken(runs: Sequence[Run]) -> str:
    """The words of some runs, with a space where they do not stand close on one line."""
    said = ""
    before: Run | None = None
    for run in runs:
        if before is not None and not follows(before, run, 0.15):
            said += " "
        said += run.words
        before = run
    return " ".join(said.translate(FOLDS).split())


def follows(before: Run, run: Run, ems: float) -> bool:
    """Whether `run` stands on the line of `before`, at most `ems` of its type's size to the right of it."""
    return abs(before.baseline - run.baseline) < 0.5 and run.left - before.ink[2] <= ems * run.size
