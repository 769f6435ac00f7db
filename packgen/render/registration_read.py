"""What each side of an imposed sheet draws: faces, punch marks, strokes; and whatever else its content does.

In: a PDF of sheets and what is expected of it. Out: a `SheetPage` for each of its pages, in mm.
Vocabulary: a *front* is the page of a sheet that is printed first, a *back* the one printed behind it; where
a face of a back is *seen* is where it lies looking through the paper from the front; a *stroke* is a
straight line that the sheet itself draws; *other* is every operator that faces and marks do not need.
Governing text: ISO 32000-1, 8.3 (matrices) and 8.10 (form XObjects), from memory.

Nothing of the planning in `impose` is used: where a back lies behind its front is worked out again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

import pikepdf
from pikepdf import Matrix

from packgen.errors import Place
from packgen.sheets.media import HOLE_RADIUS

POINTS = 72 / 25.4  # points in a millimetre
PUNCH_REACH = 3.1  # mm from the hole's centre to the end of its mark, with a tenth to spare
PUNCH_PEN = frozenset({"G", "w", "m", "c", "l", "s", "S"})
SHEET_KEYS = frozenset({"/Type", "/Parent", "/MediaBox", "/Contents", "/Resources", "/Rotate"})


@dataclass(frozen=True)
class Expected:
    """What the sheets must give: faces of a size in mm, after `before` pages; flip, finish, punch marks.

    `lefts` and `tops` are the left edges of the columns and the top edges of the rows on a front, mm.
    """

    faces: int
    width: float
    height: float
    lefts: tuple[float, ...]
    tops: tuple[float, ...]
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
class Stroke:
    """A straight line, mm from the sheet's left top corner; its pen: points, dashed or not, black or not."""

    on: Rectangle
    pen: float
    is_dashed: bool
    is_black: bool


@dataclass(frozen=True)
class SheetPage:
    """One side of a sheet, in mm; `others` are operators and entries that no face and no mark needs."""

    number: int
    sheet: int
    is_back: bool
    width: float
    height: float
    rotate: int
    faces: tuple[DrawnFace, ...]
    punches: tuple[tuple[float, float], ...]
    strokes: tuple[Stroke, ...] = ()
    others: tuple[str, ...] = ()

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
    """What a sheet's page draws: faces, punch marks and strokes by the matrices they are drawn with."""
    left, bottom, right, top = (float(edge) for edge in page.mediabox.as_list())
    side = number - expected.before - 1
    size = ((right - left) / POINTS, (top - bottom) / POINTS)
    is_back = side % 2 == 1
    rotate = int(page.obj.get("/Rotate", 0))
    forms: Any = page.resources.get("/XObject", {})
    faces, punches = [], []
    content, origin = _Content(page), Matrix(1, 0, 0, 1, -left, -bottom)
    others = [*content.others, *sorted(set(page.obj.keys()) - SHEET_KEYS)]
    for name, matrix in content.drawn:
        if name not in forms:
            others.append(name)
            continue
        whole = _matrix(forms[name].get("/Matrix")) @ matrix @ origin
        if name.startswith("/Face"):
            box = [float(edge) for edge in forms[name].BBox.as_list()]
            faces.append(_face(int(name.removeprefix("/Face")), box, whole, size, expected, is_back=is_back))
        elif name == "/Punch":
            punches.append((whole.e / POINTS, size[1] - whole.f / POINTS))
            others += [] if _is_punch_mark(forms[name]) else ["a punch mark that is not a ring's"]
        else:
            others.append(name)
    strokes = tuple(_stroke(line, pen, origin, size[1]) for line, pen in content.lines)
    return SheetPage(
        number, side // 2 + 1, is_back, *size, rotate, tuple(faces), tuple(punches), strokes, tuple(others)
    )


@dataclass(frozen=True)
class _Pen:
    """The part of the graphics state that marks change, and the matrix."""

    matrix: Matrix = field(default_factory=Matrix)
    width: float = 1.0
    is_dashed: bool = False
    is_black: bool = True
    is_changed: bool = False


_Line = tuple[float, float, float, float]


class _Content:
    """The content of a sheet's page: the forms it draws, the lines it strokes, and what else it does."""

    def __init__(self, page: pikepdf.Page) -> None:
        self.drawn: list[tuple[str, Matrix]] = []
        self.lines: list[tuple[_Line, _Pen]] = []
        self.others: list[str] = []
        self._pen, self._kept = _Pen(), list[_Pen]()
        self._path: list[_Line] = []
        self._at = (0.0, 0.0)
        for step in pikepdf.parse_content_stream(page):
            self._take(str(step.operator), list(step.operands))

    def _take(self, operator: str, operands: list[Any]) -> None:
        """One operator."""
        pen = self._pen
        match operator:
            case "q":
                self._kept.append(pen)
            case "Q" if self._kept:
                self._pen = self._kept.pop()
            case "cm":
                matrix = Matrix(*(float(operand) for operand in operands))
                self._pen = replace(pen, matrix=matrix @ pen.matrix)
            case "Do":
                self.drawn.append((str(operands[0]), pen.matrix))
                self.others += ["Do with a changed pen"] * pen.is_changed
            case "G":
                self._pen = replace(pen, is_black=float(operands[0]) == 0.0, is_changed=True)
            case "w":
                self._pen = replace(pen, width=float(operands[0]), is_changed=True)
            case "d":
                self._pen = replace(pen, is_dashed=len(operands[0]) > 0, is_changed=True)
            case "m":
                self._at = (float(operands[0]), float(operands[1]))
            case "l":
                end = (float(operands[0]), float(operands[1]))
                self._path.append((*self._at, *end))
                self._at = end
            case "S":
                self.lines += [(line, pen) for line in self._path]
                self._path = []
            case _:
                self.others.append(operator)


def _stroke(line: _Line, pen: _Pen, origin: Matrix, height: float) -> Stroke:
    """A line as it lies on the sheet."""
    matrix = pen.matrix @ origin
    ends = [matrix.transform(line[:2]), matrix.transform(line[2:])]
    xs = sorted(float(x) / POINTS for x, _ in ends)
    ys = sorted(height - float(y) / POINTS for _, y in ends)
    width = pen.width * max(math.hypot(matrix.a, matrix.b), math.hypot(matrix.c, matrix.d))
    return Stroke(Rectangle(xs[0], ys[0], xs[1], ys[1]), width, pen.is_dashed, pen.is_black)


def _is_punch_mark(form: pikepdf.Object) -> bool:
    """Whether a form only strokes, round the hole of a ring and no farther, with a thin pen."""
    reach = 0.0
    for step in pikepdf.parse_content_stream(form):
        operator, numbers = str(step.operator), step.operands
        if operator not in PUNCH_PEN or (operator == "w" and float(numbers[0]) > 1.0):
            return False
        if operator in {"m", "c", "l"}:
            reach = max(reach, *(abs(float(number)) / POINTS for number in numbers))
    return 2 * HOLE_RADIUS - PUNCH_REACH < reach < PUNCH_REACH


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
