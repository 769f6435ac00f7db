"""The marks of an imposed sheet: does a knife or a fold that follows them part the faces where they end?

In: a side of a sheet as it was read, and what is expected. Out: one `Problem` for each rule broken.
Vocabulary: a *line* is where the sheet is cut or folded, from edge to edge; a *span* is a part of it where a
mark must stand: at both of the sheet's edges, in each gutter, and, where the margin is so narrow that a
printer may leave the marks there blank, again where a shared line crosses.
Source: our own rules; marks on the line within 0.1 mm, the narrowest margin with printed marks 9 mm.

Where marks belong is worked out from the faces' edges alone; nothing of `impose_marks` is used.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packgen.errors import Place, Problem
from packgen.render.registration_read import Expected, SheetPage, Stroke, turns_on_upright_edge

AGREE = 0.1  # mm
NOT_CUT = 1.0  # mm: an edge this near the sheet's own is left as it is
AT_EDGE = 5.0  # mm from the sheet's edge: where marks stand that no margin has room for
PRINTED_MARGIN = 9.0  # mm
SHORTEST = 1.9  # mm
THINNEST, THICKEST = 0.25, 1.0  # points

Span = tuple[float, float]


@dataclass(frozen=True)
class _Line:
    """A cut or a fold: mm from the sheet's left or top, and whether it runs down the sheet or across it."""

    at: float
    is_fold: bool
    is_upright: bool

    def is_under(self, stroke: Stroke) -> bool:
        """Whether a stroke lies on the line and is dashed as the line's marks are."""
        on = stroke.on
        ends = (on.left, on.right) if self.is_upright else (on.top, on.bottom)
        return stroke.is_dashed == self.is_fold and all(abs(end - self.at) <= AGREE for end in ends)

    def along(self, stroke: Stroke) -> Span:
        """From where to where a stroke on it runs."""
        on = stroke.on
        return (on.top, on.bottom) if self.is_upright else (on.left, on.right)

    def missing(self, span: Span, place: Place) -> Problem:
        """No mark in a span."""
        kind, side, end = ("fold" if self.is_fold else "crop"), "left", "top"
        if not self.is_upright:
            side, end = end, side
        where = f"{span[0]:.1f} to {span[1]:.1f} mm from its {end}"
        what = f"no {kind} mark {self.at:.1f} mm from the sheet's {side}, {where}"
        return Problem(place, what, f"within {AGREE:g} mm of the line")


def other_problems(page: SheetPage, file: str) -> Iterator[Problem]:
    """What the sheet draws or sets besides faces and marks, which could hide or cover words."""
    if page.others:
        what = f"it draws or sets something besides faces and marks: {', '.join(dict.fromkeys(page.others))}"
        yield Problem(page.place(file), what, "faces by their matrices, and stroked marks")


def mark_problems(page: SheetPage, expected: Expected, file: str) -> Iterator[Problem]:
    """Marks missing or beside their line, strokes that are no marks, faces whose edges are on no line."""
    place = page.place(file)
    lefts, tops = _edges(page, expected)
    for face in page.faces:
        off = max(
            min(abs(face.on.left - low) for low, _ in lefts), min(abs(face.on.top - low) for low, _ in tops)
        )
        if off > AGREE:
            what = f"its edge lies {off:.2f} mm off the lines that are cut"
            yield Problem(page.place(file, face.number), what, f"within {AGREE:g} mm")
    is_folded = expected.finish == "fold"
    lines = [(line, _spans(tops, page.height)) for line in _lines(lefts, page.width, True, is_folded)]
    lines += [(line, _spans(lefts, page.width)) for line in _lines(tops, page.height, False, False)]
    for line, spans in lines:
        marks = [line.along(stroke) for stroke in page.strokes if line.is_under(stroke)]
        for span in spans:
            if not any(_within(mark, span) and mark[1] - mark[0] >= SHORTEST for mark in marks):
                yield line.missing(span, place)
    for stroke in page.strokes:
        if what := _fault(stroke, page, lines):
            where = f"{stroke.on.left:.1f} mm from the left and {stroke.on.top:.1f} mm from the top"
            yield Problem(place, f"{what}, {where}")


def _fault(stroke: Stroke, page: SheetPage, lines: Sequence[tuple[_Line, Sequence[Span]]]) -> str:
    """What is wrong with a stroke by itself."""
    on = stroke.on
    for face in page.faces:
        across = min(on.right, face.on.right - AGREE) - max(on.left, face.on.left + AGREE)
        down = min(on.bottom, face.on.bottom - AGREE) - max(on.top, face.on.top + AGREE)
        if min(across, down) >= 0.0:
            return f"a mark crosses face {face.number}"
    if not any(
        line.is_under(stroke) and any(_within(line.along(stroke), span) for span in spans)
        for line, spans in lines
    ):
        return "a mark where nothing is cut or folded"
    if not (stroke.is_black and THINNEST <= stroke.pen <= THICKEST):
        return "a mark that is not a thin black line"
    return ""


def _edges(page: SheetPage, expected: Expected) -> tuple[list[Span], list[Span]]:
    """The columns and the rows of faces on this side of the sheet."""
    lefts = [(left, left + expected.width) for left in expected.lefts]
    tops = [(top, top + expected.height) for top in expected.tops]
    if page.is_back and turns_on_upright_edge(page.width, page.height, expected):
        lefts = [(page.width - high, page.width - low) for low, high in reversed(lefts)]
    elif page.is_back:
        tops = [(page.height - high, page.height - low) for low, high in reversed(tops)]
    return lefts, tops


def _lines(edges: Sequence[Span], length: float, is_upright: bool, is_folded: bool) -> Iterator[_Line]:
    """Each cut or fold once: edges that two faces share make one line; a leaflet's two halves are folded."""
    last = NOT_CUT - AGREE
    for index, at in enumerate(itertools.chain.from_iterable(edges)):
        if at - last > AGREE and NOT_CUT < at < length - NOT_CUT:
            yield _Line(at, is_folded and index % 4 == 1, is_upright)
            last = at


def _spans(edges: Sequence[Span], length: float) -> list[Span]:
    """Where along a line its marks stand, from the edges of the faces it runs past."""
    start, end = edges[0][0], length - edges[-1][1]
    found = [(0.0, max(start, AT_EDGE)), (length - max(end, AT_EDGE), length)]
    for (_, low), (high, _) in itertools.pairwise(edges):
        if high - low > AGREE:
            found.append((low, high))
        elif min(start, end) < PRINTED_MARGIN:
            found.append((low - AT_EDGE, high + AT_EDGE))
    return found


def _within(mark: Span, span: Span) -> bool:
    return span[0] - AGREE <= mark[0] and mark[1] <= span[1] + AGREE
