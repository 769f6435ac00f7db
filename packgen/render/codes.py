"""Does the printed square say the printed code, even blurred or worn?

In: a page as the guard has read it, the codes printed on it. Out: one `Problem` for each rule that a square
breaks. Vocabulary: a *module* is one small square of the symbol; the *symbol* is all modules, without the
*quiet zone* of four modules of bare paper round it; the *raster* is both at 300 dots an inch.
Governing text: ISO/IEC 18004 (QR Code): 6.3 structure, 6.3.8 quiet zone, 7.5 error correction, four levels up
to H, which mends 30 % of the codewords: from memory.

The symbol is found among the strokes of the page: it is drawn as one path of many level pieces, each as thick
as a module is wide, which fill a square of whole modules. Its rectangle alone is rasterised and read three
times: as printed, blurred, and with one square of a tenth of its area gone from the middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from packgen.errors import Problem
from packgen.render.preflight_read import Seen
from packgen.render.preflight_shape import Rectangle, Shape, contains

if TYPE_CHECKING:
    import numpy

    Raster = numpy.ndarray[Any, numpy.dtype[numpy.uint8]]

POINTS = 72 / 25.4  # points in a millimetre
DOTS = 300 / 72  # dots a point
SMALLEST = 0.5  # mm a module
QUIET = 4  # modules
LEAST_MODULES = 21  # a side
LEAST_PIECES = 60  # a symbol of 21 modules has more; no figure has so many in one path
WORN = 0.10  # of the symbol's area
BARE = 250  # of 255: bare paper
LEVEL = "H"


@dataclass(frozen=True)
class Square:
    """A symbol on a page: the rectangle of its modules, and the width of one, in points."""

    symbol: Rectangle
    module: float

    @property
    def whole(self) -> Rectangle:
        """The symbol with its quiet zone."""
        left, bottom, right, top = self.symbol
        quiet = QUIET * self.module
        return left - quiet, bottom - quiet, right + quiet, top + quiet


def code_problems(seen: Seen, texts: Sequence[str]) -> Iterator[Problem]:
    """The squares of a page: one for each printed code, large enough, in clear paper, readable when worn.

    Parameters: `seen`, a page that was read and is still open; `texts`, the codes printed on it, one for each
    square. Returns the problems.
    """
    squares = list(_squares(seen.shapes))
    if len(squares) != len(texts):
        what = f"squares with a code on the page: {len(squares)}"
        yield Problem(seen.place, what, f"{len(texts)}, as planned")
    for square in squares:
        for what, expected in _faults(seen, square, texts):
            yield Problem(seen.place, what, expected, cure="print the square whole, at its own size")


def _faults(seen: Seen, square: Square, texts: Sequence[str]) -> Iterator[tuple[str, str]]:
    if (module := square.module / POINTS) < SMALLEST - 0.001:
        yield f"the modules of the code's square are {module:.2f} mm wide", f"{SMALLEST:g} mm or more"
    left, bottom, right, top = seen.page.get_mediabox()
    if not contains((left, bottom, right, top), square.whole):
        yield "the quiet zone of the code's square runs off the page", f"{QUIET} modules of bare paper"
        return
    raster = _raster(seen.page, square.whole)
    side = (square.symbol[2] - square.symbol[0]) * DOTS
    if not _bare_round(raster, side):
        yield "the quiet zone of the code's square is not empty", f"{QUIET} modules of bare paper"
    for state, picture in (
        ("as printed", raster),
        ("blurred", _blurred(raster, square.module * DOTS / 2)),
        ("worn off over a tenth of it", _worn(raster, side)),
    ):
        said, level = _read(picture)
        if said not in texts:
            yield f"the code's square, {state}, reads {said!r}", " or ".join(map(repr, texts)) or "no square"
        if state == "as printed" and said and level != LEVEL:
            yield f"the code's square mends errors at level {level}", f"level {LEVEL}"


def _squares(shapes: Sequence[Shape]) -> Iterator[Square]:
    """Every path of a page that is a symbol."""
    for shape in shapes:
        if shape.stroke is None or not shape.seen or shape.width <= 0:
            continue
        square = _square(shape)
        if square is not None:
            yield square


def _square(shape: Shape) -> Square | None:
    """A path as a symbol: many pieces along one axis, as thick as a module, in a square of whole modules."""
    pieces = [piece for outline in shape.outlines for piece in pairwise(outline)]
    if len(pieces) < LEAST_PIECES:
        return None
    xs, ys = ([point[axis] for piece in pieces for point in piece] for axis in (0, 1))
    (ax, ay), (bx, by) = pieces[0]
    level = abs(ay - by) < abs(ax - bx)
    half = shape.width / 2
    across, up = (0.0, half) if level else (half, 0.0)
    symbol = (min(xs) - across, min(ys) - up, max(xs) + across, max(ys) + up)
    wide, high = symbol[2] - symbol[0], symbol[3] - symbol[1]
    modules = wide / shape.width
    if abs(wide - high) > half or modules < LEAST_MODULES - 0.5:
        return None
    return Square(symbol, wide / round(modules))


def _raster(page: Any, of: Rectangle) -> Raster:
    """A rectangle of the page in shades of grey, 300 dots an inch."""
    left, bottom, right, top = page.get_mediabox()
    margins = of[0] - left, of[1] - bottom, right - of[2], top - of[3]
    bitmap = page.render(scale=DOTS, crop=margins, grayscale=True)
    made: Raster = bitmap.to_numpy().copy()
    bitmap.close()
    return made.reshape(made.shape[0], made.shape[1])


def _bare_round(raster: Raster, side: float) -> bool:
    """Whether the raster is bare outside the symbol in its middle, but for one dot at the symbol's edge."""
    height, width = raster.shape
    across, down = int((width - side) / 2) - 1, int((height - side) / 2) - 1
    ring = raster.copy()
    ring[down : height - down, across : width - across] = 255
    return bool(ring.min() >= BARE)


def _blurred(raster: Raster, sigma: float) -> Raster:
    """The raster through a Gaussian blur, `sigma` in dots."""
    import numpy

    reach = int(3 * sigma) + 1
    weights = numpy.exp(-0.5 * (numpy.arange(-reach, reach + 1) / sigma) ** 2)
    weights /= weights.sum()
    grey = raster.astype(float)
    for _axis in range(2):
        padded = numpy.pad(grey, ((0, 0), (reach, reach)), mode="edge")
        width = grey.shape[1]
        grey = sum(weight * padded[:, shift : shift + width] for shift, weight in enumerate(weights)).T
    return numpy.ascontiguousarray(grey.round().astype(numpy.uint8))


def _worn(raster: Raster, side: float) -> Raster:
    """The raster with one bare square in the middle, a tenth of the symbol's area; `side` in dots."""
    worn = raster.copy()
    half = side * WORN**0.5 / 2
    (top, bottom), (left, right) = ((round(size / 2 - half), round(size / 2 + half)) for size in raster.shape)
    worn[top:bottom, left:right] = 255
    return worn


def _read(raster: Raster) -> tuple[str, str]:
    """What the one square in a raster says and its level of correction; nothing where it cannot be read.

    Each dot is read as four: at 300 an inch the reader gives up one blurred square in four, and not one of
    two hundred at twice as many.
    """
    import zxingcpp

    square = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    found = zxingcpp.read_barcodes(raster.repeat(2, axis=0).repeat(2, axis=1), formats=square)
    return (found[0].text, found[0].ec_level) if len(found) == 1 else ("", "")
