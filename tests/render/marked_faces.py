"""Faces that carry a colour of their own, so that what became of each can be seen on a rastered sheet."""

from __future__ import annotations

import datetime
import functools
import io
from typing import Any

import numpy
import pikepdf
import pypdfium2

from packgen.render.impose import Imposed, impose
from packgen.render.impose_layout import Layout, layout
from packgen.sheets.media import FORMS, SHEETS

DATE = datetime.date(2026, 5, 12)
POINTS = 72 / 25.4
PIXELS = 100 / 25.4  # a millimetre, at 100 dpi
BLUE = 200
MARK = 8.0  # mm: the side of a face's square
INSET = 4.0, 17.0  # mm: the square's left and top, from the face's; clear of the ring


def colour(face: int) -> tuple[int, int, int]:
    """The colour of a face's square, faces counted from 0; blue alone tells it from black and white."""
    return 40 + 5 * (face % 40), 40 + 50 * (face // 40), BLUE


@functools.cache
def faces(width: float, height: float, count: int) -> bytes:
    """A PDF of `count` faces: a square of the face's own colour near its left top corner, nothing else."""
    with pikepdf.new() as pdf:
        for face in range(count):
            page = pdf.add_blank_page(page_size=(width * POINTS, height * POINTS))
            shade = " ".join(f"{part / 255:.5f}" for part in colour(face))
            x, y = INSET[0] * POINTS, (height - INSET[1] - MARK) * POINTS
            square = f"{x:.4f} {y:.4f} {MARK * POINTS:.4f} {MARK * POINTS:.4f} re f"
            page.obj.Contents = pdf.make_stream(f"{shade} rg {square}".encode())
        out = io.BytesIO()
        pdf.save(out, deterministic_id=True)
        return out.getvalue()


def plan(form: str, paper: str, flip: str = "long", finish: str = "cut") -> Layout:
    """The layout of a form on a sheet."""
    of = FORMS[form]
    choice: dict[str, Any] = {"flip": flip, "finish": finish}
    return layout(SHEETS[paper], (of.width, of.height), **choice)


def imposed(made: Layout, count: int, *, ring_hole: bool = False) -> Imposed:
    """The sheets of `count` coloured faces."""
    drawn = faces(made.face_width, made.face_height, count)
    return impose(b"", drawn, made, title="Pocket cards", date=DATE, ring_hole=ring_hole)


def rastered(pdf: bytes) -> list[numpy.ndarray]:
    """Every page as rows of pixels at 100 dpi, red, green, blue."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [
            numpy.asarray(page.render(scale=100 / 72, rev_byteorder=True).to_numpy())[:, :, :3]
            for page in document
        ]


def squares(picture: numpy.ndarray) -> dict[int, tuple[float, float]]:
    """The middle of each face's square in a picture, mm from its left and top."""
    rows, columns = numpy.nonzero(picture[:, :, 2] == BLUE)
    shades = picture[rows, columns].astype(int)
    whole = (shades[:, 0] % 5 == 0) & (shades[:, 1] % 50 == 40)  # an edge's pixels are paler
    rows, columns, shades = rows[whole], columns[whole], shades[whole]
    numbers = (shades[:, 0] - 40) // 5 + 40 * ((shades[:, 1] - 40) // 50)
    areas = numpy.bincount(numbers)
    across = numpy.bincount(numbers, columns + 0.5)
    down = numpy.bincount(numbers, rows + 0.5)
    return {
        int(face): (across[face] / areas[face] / PIXELS, down[face] / areas[face] / PIXELS)
        for face in numpy.nonzero(areas > 100)[0]
    }


def turned_by_printer(back: numpy.ndarray, flip: str) -> numpy.ndarray:
    """The back's page as it lies behind the front, seen through the paper.

    A sheet flipped on an upright edge swaps left and right; on a level edge, top and bottom.
    """
    tall = back.shape[0] >= back.shape[1]
    return back[:, ::-1] if tall == (flip == "long") else back[::-1]
