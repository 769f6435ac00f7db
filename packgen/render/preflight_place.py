"""Does everything lie where it may, whole, clear of trim and holes, with air left at the foot?

In: a page as it was read, with its plan. Out: one `Problem` for each rule that its layout breaks.
Vocabulary: *blocks* are all that is painted between the head rule and the foot; a *line* is a stroke, or a
fill so thin that it is one.
Governing text: ISO 32000-1 (PDF), 8.5.4 clipping: from memory; ISO 838 for holes; the distances are our own.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.errors import Problem
from packgen.render.embedded import shortened
from packgen.render.preflight_plan import Box, Hole
from packgen.render.preflight_read import Run, Seen, spoken
from packgen.render.preflight_shape import NOWHERE, Rectangle, Shape, apart, contains
from packgen.render.preflight_words import MORE_ROOM, NEXT_FACE, Said

POINTS = 72 / 25.4  # points in a millimetre
SIZE_TOLERANCE = 0.1  # mm
BOX_TOLERANCE = 0.2  # mm
HOLE_AIR = 4.0  # mm from a hole's edge to the nearest ink
THINNEST, LINE_TOLERANCE = 0.25, 0.005  # points
DRAWN_SIMPLY = 12  # points of a path: a frame has ten; what has more is a figure, not a rule
FULL_TOLERANCE = 0.01  # of the room
EDGE = 1.0  # points: how far the ink of a rule may reach over the edge it stands on


def place_problems(seen: Seen) -> Iterator[Problem]:
    """Every rule that the layout of a page breaks."""
    yield from _text_problems(seen)
    yield from _line_problems(seen)
    yield from _hole_problems(seen)
    yield from _fill_problems(seen)


def size_problems(seen: Seen) -> Iterator[Problem]:
    """A page of another size than planned."""
    left, bottom, right, top = seen.page.get_mediabox()
    planned, width, height = seen.planned, (right - left) / POINTS, (top - bottom) / POINTS
    if max(abs(width - planned.width), abs(height - planned.height)) > SIZE_TOLERANCE:
        expected = f"{planned.width:g} × {planned.height:g} mm, as planned"
        yield Problem(seen.place, f"the page is {width:.1f} × {height:.1f} mm", expected)


def _text_problems(seen: Seen) -> Iterator[Problem]:
    """Text outside every box, and text that a clipping box cuts."""
    slack = BOX_TOLERANCE * POINTS
    boxes = [_in_points(box, seen) for box in seen.planned.boxes]
    outside = [run for run in seen.runs if not any(contains(box, run.ink, slack) for box in boxes)]
    cut = [run for run in seen.runs if not contains(run.clip, run.ink, slack)]
    for runs, what in ((outside, "text outside its safe area"), (cut, "text cut off by the box it is in")):
        if runs:
            yield Problem(seen.place, f"{what}: {shortened(spoken(runs))!r}", cure=MORE_ROOM)


def _in_points(box: Box, seen: Seen) -> Rectangle:
    """A planned box in the page's own coordinates."""
    left, top = seen.corner
    return (
        left + box.left * POINTS,
        top - box.bottom * POINTS,
        left + box.right * POINTS,
        top - box.top * POINTS,
    )


def _line_problems(seen: Seen) -> Iterator[Problem]:
    """Lines too thin to come out of every printer; the thinnest of a page stands for all."""
    thin = [(width, shape) for shape in seen.shapes for width in _widths(shape) if shape.seen]
    width, shape = min(thin, key=lambda found: found[0], default=(NOWHERE, None))
    if shape is not None and width < THINNEST - LINE_TOLERANCE:
        left, top = seen.corner
        across, down = (shape.ink[0] - left) / POINTS, (top - shape.ink[3]) / POINTS
        what = f"a line of {width:.2f} pt, {across:.0f} mm from the left and {down:.0f} mm from the top"
        yield Problem(seen.place, what, f"at least {THINNEST:g} pt", cure="draw it thicker")


def _widths(shape: Shape) -> Iterator[float]:
    """The widths of the lines that a shape is: its stroke, the sides of a frame, a rule."""
    if shape.stroke is not None:
        yield shape.width
    elif shape.fill is not None and not shape.picture and len(shape.outlines) <= 2:
        simple = sum(map(len, shape.outlines)) <= DRAWN_SIMPLY
        for left, bottom, right, top in (shape.parts or (shape.bounds,)) if simple else ():
            yield min(right - left, top - bottom)


def _hole_problems(seen: Seen) -> Iterator[Problem]:
    """Ink too near a punched hole."""
    for hole in seen.planned.holes:
        x, y = seen.corner[0] + hole.left * POINTS, seen.corner[1] - hole.top * POINTS
        free = (hole.width / 2 + HOLE_AIR) * POINTS
        runs = [run for run in seen.runs if apart(run.ink, x, y) < free]
        shapes = [shape for shape in seen.shapes if shape.seen and _near(shape, x, y, free)]
        if runs or shapes:
            words = f": {shortened(spoken(runs))!r}" if runs else ": a line or a fill"
            yield Problem(
                seen.place,
                f"ink within {HOLE_AIR:g} mm of the edge of the punched hole {_where(hole)}{words}",
                cure="keep the strip beside the holes free",
            )


def _near(shape: Shape, x: float, y: float, free: float) -> bool:
    return apart(shape.ink, x, y) < free and shape.distance(x, y) < free


def _where(hole: Hole) -> str:
    return f"{hole.left:g} mm from the left and {hole.top:g} mm from the top"


def _fill_problems(seen: Seen) -> Iterator[Problem]:
    """Blocks that fill more of the room between head rule and foot than they may."""
    limit = seen.planned.full
    if limit is None:
        return
    said = Said(seen)
    head = _found(said, seen.planned.head, highest=True)
    foot = _found(said, seen.planned.foot, highest=False)
    if not head or not foot:
        return  # words that are not there are told as lost
    top, bottom = _head_end(seen, head, foot), _foot_start(seen, foot, head)
    inks = [run.ink for run in seen.runs] + [shape.ink for shape in seen.shapes if shape.seen]
    blocks = [ink[1] for ink in inks if ink[3] > bottom + EDGE and ink[1] < top - EDGE]
    full = (top - min(blocks, default=top)) / (top - bottom)
    if full > limit + FULL_TOLERANCE:
        what = f"the face is {full:.0%} full"
        yield Problem(seen.place, what, f"at most {limit:.0%}", cure=NEXT_FACE)


def _found(said: Said, strings: tuple[str, ...], highest: bool) -> list[Run]:
    """The runs of some strings; of those printed more than once the highest or lowest on the page."""
    runs: list[Run] = []
    for string in strings:
        places = [said.runs(place) for place in said.places(string)]
        places.sort(key=lambda found: found[0].baseline, reverse=highest)
        runs += places[0] if places else []
    return runs


def _head_end(seen: Seen, head: list[Run], foot: list[Run]) -> float:
    """Where the head ends: under its words and the frames round them."""
    return min([run.ink[1] for run in head] + [bounds[1] for bounds in _framing(seen, head, foot)])


def _foot_start(seen: Seen, foot: list[Run], head: list[Run]) -> float:
    """Where the foot starts: over its words and the frames round them."""
    return max([run.ink[3] for run in foot] + [bounds[3] for bounds in _framing(seen, foot, head)])


def _framing(seen: Seen, runs: list[Run], others: list[Run]) -> Iterator[Rectangle]:
    """The bounds of shapes round some runs, and not round others; of a frame only one side may be seen."""
    for shape in seen.shapes:
        around = [any(contains(shape.bounds, run.ink) for run in some) for some in (runs, others)]
        if shape.seen and around == [True, False]:
            yield shape.bounds
