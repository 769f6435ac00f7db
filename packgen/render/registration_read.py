"""What each side of an imposed sheet draws: faces and punch marks, by the matrices they are drawn with.

In: a PDF of sheets and what is expected of it. Out: a `SheetPage` for each of its pages, in mm.
Vocabulary: a *front* is the page of a sheet that is printed first, a *back* the one printed behind it; where
a face of a back is *seen* is where it lies looking through the paper from the front.
Governing text: ISO 32000-1, 8.3 (matrices) and 8.10 (form XObjects), from memory.

Nothing of the planning in `impose` is used: where a back lies behind its front is worked out again.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import pikepdf
from pikepdf import Matrix

from packgen.errors import Place

POINTS = 72 / 25.4  # points in a millimetre


@dataclass(frozen=True)
class Expected:
    """What the sheets must give: faces of a size in mm, after `before` pages; flip, finish, punch marks."""

    faces: int
    width: float
    height: float
    before: int = 0
    flip: Literal["long", "short"] = "long"
    finish: Literal["cut", "fold"] = "cut"
    ring_hole: bool = False

    @property
    def faces_a_piece(self) -> int:
        """Two on a card, four on a leaflet folded once."""
        return 4 if self.finish == "fold" else 2

    def is_front(self, face: int) -> bool:
        """Whether a face, counted from 1, is on a front: a card's first; a leaflet's first and last."""
        return face % self.faces_a_piece in ({0, 1} if self.finish == "fold" else {1})

    def front_of(self, face: int) -> int:
        """The face that must lie before a back; a leaflet's 2 is behind 1 and its 3 behind 4."""
        return face + 1 if face % self.faces_a_piece == 3 else face - 1


@dataclass(frozen=True)
class Rectangle:
    """A rectangle in mm from the sheet's left top corner."""

    left: float
    top: float
    right: float
    bottom: float

    def off(self, other: Rectangle) -> float:
        """The farthest that an edge lies from the other's."""
        return max(
            abs(self.left - other.left),
            abs(self.top - other.top),
            abs(self.right - other.right),
            abs(self.bottom - other.bottom),
        )

    def over(self, other: Rectangle) -> float:
        """How far the two run into each other."""
        across = min(self.right, other.right) - max(self.left, other.left)
        return min(across, min(self.bottom, other.bottom) - max(self.top, other.top))


@dataclass(frozen=True)
class DrawnFace:
    """A face as a page draws it, counted from 1: where, how large, how turned; and where it is seen."""

    number: int
    on: Rectangle
    seen: Rectangle
    scale: tuple[float, float]
    angle: float
    is_mirrored: bool


@dataclass(frozen=True)
class SheetPage:
    """One side of a sheet, in mm."""

    number: int
    sheet: int
    is_back: bool
    width: float
    height: float
    rotate: int
    faces: tuple[DrawnFace, ...]
    punches: tuple[tuple[float, float], ...]

    def place(self, file: str, face: int = 0, where: int = 0) -> Place:
        """How a problem names it."""
        side = "back" if self.is_back else "front"
        spot = f", place {where}" if where else ""
        return Place(
            f"{file} page {self.number}, sheet {self.sheet} {side}{spot}".strip(),
            key=f"face {face}" if face else "",
        )


def read_sheets(document: pikepdf.Pdf, expected: Expected) -> list[SheetPage]:
    """Every page behind the print-first ones, in order."""
    return [
        _read(page, number, expected)
        for number, page in enumerate(document.pages, 1)
        if number > expected.before
    ]


def _read(page: pikepdf.Page, number: int, expected: Expected) -> SheetPage:
    """What a sheet's page draws: faces and punch marks by the matrices they are drawn with."""
    left, bottom, right, top = (float(edge) for edge in page.mediabox.as_list())
    side = number - expected.before - 1
    size = ((right - left) / POINTS, (top - bottom) / POINTS)
    is_back = side % 2 == 1
    rotate = int(page.obj.get("/Rotate", 0))
    forms: Any = page.resources.get("/XObject", {})
    faces, punches = [], []
    for name, matrix in _drawn(page):
        whole = _matrix(forms[name].get("/Matrix")) @ matrix @ Matrix(1, 0, 0, 1, -left, -bottom)
        if name.startswith("/Face"):
            box = [float(edge) for edge in forms[name].BBox.as_list()]
            faces.append(_face(int(name.removeprefix("/Face")), box, whole, size, expected, is_back=is_back))
        elif name == "/Punch":
            punches.append((whole.e / POINTS, size[1] - whole.f / POINTS))
    return SheetPage(number, side // 2 + 1, is_back, *size, rotate, tuple(faces), tuple(punches))


def _drawn(page: pikepdf.Page) -> Iterator[tuple[str, Matrix]]:
    """Each form that a page draws, with the matrix at that moment."""
    now, kept = Matrix(), []
    for step in pikepdf.parse_content_stream(page, "q Q cm Do"):
        operands = step.operands
        match str(step.operator):
            case "q":
                kept.append(now)
            case "Q":
                now = kept.pop()
            case "cm":
                now = Matrix(*(float(operand) for operand in operands)) @ now
            case _:
                yield str(operands[0]), now


def _matrix(found: pikepdf.Object | None) -> Matrix:
    return Matrix() if found is None else Matrix(*(float(number) for number in found.as_list()))


def _face(
    number: int,
    box: Sequence[float],
    matrix: Matrix,
    sheet: tuple[float, float],
    expected: Expected,
    *,
    is_back: bool,
) -> DrawnFace:
    """A face from its box and its matrix."""
    width, height = sheet
    corners = [matrix.transform((x, y)) for x in (box[0], box[2]) for y in (box[1], box[3])]
    xs = [float(x) / POINTS for x, _ in corners]
    ys = [height - float(y) / POINTS for _, y in corners]
    on = Rectangle(min(xs), min(ys), max(xs), max(ys))
    angle = math.degrees(math.atan2(matrix.b, matrix.a))
    seen = on
    if is_back and turns_on_upright_edge(width, height, expected):
        seen = Rectangle(width - on.right, on.top, width - on.left, on.bottom)
    elif is_back:
        seen = Rectangle(on.left, height - on.bottom, on.right, height - on.top)
        angle += 180.0
    scale = (math.hypot(matrix.a, matrix.b), math.hypot(matrix.c, matrix.d))
    mirrored = matrix.a * matrix.d - matrix.b * matrix.c < 0.0
    return DrawnFace(number, on, seen, scale, (angle + 180.0) % 360.0 - 180.0, mirrored)


def turns_on_upright_edge(width: float, height: float, expected: Expected) -> bool:
    """Whether the sheet turns about an edge that is upright on the page: left and right then change sides."""
    upright_is_long = height >= width
    return upright_is_long if expected.flip == "long" else not upright_is_long
