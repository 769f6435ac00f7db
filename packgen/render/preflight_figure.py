"""Is every line of a figure on the page, black, of its own width and at its own size?

In: a figure's SVG; a page as it was read, with its plan. Out: a `Sketch`, which the plan holds; one `Problem`
for each figure whose lines are missing, white, or drawn at another scale, all or some.
Vocabulary: a *path* is one element of the SVG, and one painted object of the page; its *edges* are those of
the rectangle round its points, in mm. A figure's millimetres are the page's.
Source: our own tolerances. Governing text: SVG 1.1, 8.3 path data, of which our figures use M, L and Z
(`sheets/drawing.py`): from memory.

The labels of a figure are words and are looked for as words. A dimension beside a line that is not there, or
a template outline at another scale beside a true bar, would be believed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache

import pypdfium2.raw as pdfium

from packgen.errors import Problem
from packgen.render.embedded import shortened
from packgen.render.preflight_place import POINTS
from packgen.render.preflight_plan import Path, Sketch
from packgen.render.preflight_read import Seen
from packgen.render.preflight_shape import BLACK, Rectangle, Shape, contains
from packgen.sheets.figures import Figure

TOLERANCE = 0.1  # mm, of any edge of a path to that of the first one
LINE_SHARE = 0.05  # of the planned width of a line
CLIP_SLACK = 0.5  # points
CURE = "print the figure whole and at its own size"

PATH = re.compile(r"<path ([^>]*)/>")
ATTRIBUTE = re.compile(r'([a-z-]+)="([^"]*)"')
NUMBER = re.compile(r"-?[0-9.]+")


def sketch(figure: Figure) -> Sketch:
    """The paths of a figure that must be found on its page.

    Parameters: `figure`, drawn by `sheets/drawing.py`.
    """
    return Sketch(figure.title, _paths(figure.svg))


@lru_cache(256)
def _paths(svg: str) -> tuple[Path, ...]:
    """The paths of an SVG that paint something."""
    made = (_path(dict(ATTRIBUTE.findall(found))) for found in PATH.findall(svg))
    return tuple(path for path in made if path is not None)


def _path(attributes: dict[str, str]) -> Path | None:
    """One path; its points are counted as PDF counts them, a closing line back to the start included."""
    runs = [_points(run) for run in attributes["d"].split("M") if run]
    xs, ys = [x for run in runs for x, _y in run], [y for run in runs for _x, y in run]
    if not xs:
        return None
    closing = attributes["d"].endswith("Z") and runs[-1][0] != runs[-1][-1]
    line = 0.0 if attributes.get("stroke") == "none" else float(attributes["stroke-width"])
    filled = attributes.get("fill", "none") != "none"
    return Path(len(xs) + closing, (min(xs), min(ys), max(xs), max(ys)), line, filled)


def _points(run: str) -> list[tuple[float, float]]:
    numbers = [float(number) for number in NUMBER.findall(run)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def figure_problems(seen: Seen) -> Iterator[Problem]:
    """The figures of a page that are not all there, or not at their size."""
    if not any(figure.paths for figure in seen.planned.figures):
        return
    shapes = [shape for shape in seen.shapes if not shape.picture]
    counts = [int(pdfium.FPDFPath_CountSegments(shape.drawn)) for shape in shapes]
    start = 0
    for figure in seen.planned.figures:
        points = [path.points for path in figure.paths]
        at = _find(points, counts, start)
        if at is None:
            there = sum((Counter(points) & Counter(counts[start:])).values())
            what = f"lines of a figure missing: at most {there} of {len(points)} are there"
            yield Problem(seen.place, f"{what}: {shortened(figure.title)!r}", "each of them", cure=CURE)
            continue
        start = at + len(points)
        yield from _unlike(seen, figure, shapes[at:start])


def _find(points: Sequence[int], counts: Sequence[int], start: int) -> int | None:
    """Where paths with so many points follow each other on the page."""
    size = len(points)
    places = range(start, len(counts) - size + 1)
    return next((at for at in places if list(counts[at : at + size]) == list(points)), None)


def _unlike(seen: Seen, figure: Sketch, shapes: Sequence[Shape]) -> Iterator[Problem]:
    """What is wrong with a figure whose paths were found; each fault once a figure."""
    pairs = list(zip(figure.paths, shapes, strict=True))
    pale = sum(not _inked(path, shape) for path, shape in pairs)
    if pale:
        what = f"lines of a figure not drawn in black at their width: {pale} of {len(pairs)}"
        yield Problem(seen.place, f"{what}: {shortened(figure.title)!r}", "each of them", cure=CURE)
    found = [_exact(shapes[0], seen.corner), *(_edges(shape, seen.corner) for shape in shapes[1:])]
    first = figure.paths[0].edges
    dx, dy = found[0][0] - first[0], found[0][1] - first[1]
    for path, shape, edges in zip(figure.paths, shapes, found, strict=True):
        left, top, right, bottom = path.edges
        wanted = (left + dx, top + dy, right + dx, bottom + dy)
        if not _alike(wanted, edges) and not _alike(wanted, there := _exact(shape, seen.corner)):
            yield _moved(seen, figure, wanted, there)
            return


def _alike(one: Rectangle, other: Rectangle) -> bool:
    return all(abs(a - b) <= TOLERANCE for a, b in zip(one, other, strict=True))


def _moved(seen: Seen, figure: Sketch, wanted: Rectangle, edges: Rectangle) -> Problem:
    """A line that is not where it was planned, or not as large."""
    sizes = [f"{right - left:.1f} × {bottom - top:.1f} mm" for left, top, right, bottom in (edges, wanted)]
    if sizes[0] == sizes[1]:
        what, expected = "a line of a figure is not in its place", "as it was drawn"
    else:
        what, expected = f"a figure at another scale: a line takes {sizes[0]}", sizes[1]
    return Problem(seen.place, f"{what}: {shortened(figure.title)!r}", expected, cure=CURE)


def _inked(path: Path, shape: Shape) -> bool:
    """Whether a path is painted as planned: its line black and of its width, its inside filled or not."""
    if path.line:
        wide = path.line * POINTS
        lined = shape.stroke == BLACK and abs(shape.width - wide) <= LINE_SHARE * wide
    else:
        lined = shape.stroke is None
    return lined and shape.solid and (shape.fill is not None) == path.filled and _whole(shape)


def _whole(shape: Shape) -> bool:
    """Whether nothing of a path is cut off."""
    return contains(shape.clip, _inner(shape), CLIP_SLACK) or all(
        contains(shape.clip, (x, y, x, y), CLIP_SLACK) for outline in shape.outlines for x, y in outline
    )


def _inner(shape: Shape) -> Rectangle:
    """The rectangle round a path's points: PDFium's has the whole width of its line on each side.

    At sharp corners it has more; so what is not alike is looked at by its points (`_exact`).
    """
    left, bottom, right, top = shape.bounds
    out = shape.width if shape.stroke is not None else 0.0
    return left + out, bottom + out, right - out, top - out


def _edges(shape: Shape, corner: tuple[float, float]) -> Rectangle:
    """Left, top, right and bottom of a path's points, in mm from the page's left top corner."""
    return _from_corner(_inner(shape), corner)


def _exact(shape: Shape, corner: tuple[float, float]) -> Rectangle:
    """The same from the points themselves."""
    xs, ys = zip(*(point for outline in shape.outlines for point in outline), strict=True)
    return _from_corner((min(xs), min(ys), max(xs), max(ys)), corner)


def _from_corner(edges: Rectangle, corner: tuple[float, float]) -> Rectangle:
    (left, bottom, right, top), (x, y) = edges, corner
    return (left - x) / POINTS, (y - top) / POINTS, (right - x) / POINTS, (y - bottom) / POINTS
