"""Is every box to fill in and every box to tick drawn, large enough, white inside, at its words?

In: a page as it was read, with its plan; where its words stand. Out: one `Problem` for each box that is not
there. Vocabulary: a *box* is a frame with four black sides; a *rule* is the line under a cell of a table.
Source: our own rule: a number that nobody stated is a box, and a box that is not printed is a number that
nobody writes down.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import pypdfium2.raw as pdfium

from packgen.errors import Problem
from packgen.render.embedded import shortened
from packgen.render.preflight_place import POINTS
from packgen.render.preflight_plan import Empty, Frame, Words
from packgen.render.preflight_read import Run, Seen, fold
from packgen.render.preflight_shape import BLACK, WHITE, Rectangle, Shape, area, contains
from packgen.render.preflight_words import UNTOUCHED, Said, Stretch

SLACK = 0.4  # points
BLANK_LINE = 1.0  # points: the least line of a box inside a line of words
BLANK_ROOM = 2.5 * POINTS  # least room to write beside the words of such a box
TICK_LINE = 0.6  # points
TICK_WIDER = 1.2 * POINTS  # a box to tick with its lines is at most so much wider than its edge
ABOVE = 9.0 * POINTS  # on narrow faces a gate's box stands in the bar over its words
THICKEST = 2.5  # points of a rule
EDGE = 2.0 * POINTS  # how far a rule may end from where its column does


@dataclass(frozen=True)
class Drawn:
    """A box on the page: the rectangle round it, the width of its thinnest side in points."""

    outer: Rectangle
    line: float

    def large(self, width: float, height: float) -> bool:
        """Whether it is at least so wide and high, in points."""
        left, bottom, right, top = self.outer
        return right - left >= width - SLACK and top - bottom >= height - SLACK


def box_problems(seen: Seen) -> Iterator[Problem]:
    """Every planned box that is not on the page."""
    planned = seen.planned
    wanted = [(words, claim) for words, claim in zip(planned.words, seen.claims, strict=False) if claim]
    if any(words.inside or words.tick or words.blanks for words, _claim in wanted):
        boxes, said = list(_boxes(seen)), Said(seen)
        for words, claim in wanted:
            yield from _blanks(said, words, claim, boxes)
        yield from _not_inside(said, wanted, boxes)
        yield from _ticks(said, wanted, boxes)
    if planned.empty:
        yield from _cells(seen, planned.empty)


def _boxes(seen: Seen) -> Iterator[Drawn]:
    """The boxes of a page that are whole, and white inside."""
    # The lines of a frame are no ground; its white is painted for itself.
    grounds = [fill for fill in seen.fills if not fill.even_odd or fill.parts is None or len(fill.parts) == 1]
    for shape in seen.shapes:
        if shape.fill != BLACK or not shape.even_odd or shape.picture or not shape.solid:
            continue
        sides = shape.parts
        if sides is not None and len(sides) == 4 and contains(shape.clip, shape.bounds, SLACK):
            line = min(min(right - left, top - bottom) for left, bottom, right, top in sides)
            if _white_inside(grounds, shape, line):
                yield Drawn(shape.bounds, line)


def _fields(seen: Seen) -> Iterator[Drawn]:
    """The fields of a record to be filled on a screen; what they look like is the reader's own."""
    edges = pdfium.FS_RECTF()
    for index in range(pdfium.FPDFPage_GetAnnotCount(seen.page)):
        field = pdfium.FPDFPage_GetAnnot(seen.page, index)
        if pdfium.FPDFAnnot_GetSubtype(field) == pdfium.FPDF_ANNOT_WIDGET:
            pdfium.FPDFAnnot_GetRect(field, edges)
            bottom, top = sorted((edges.bottom, edges.top))  # a field's corners come in either order
            yield Drawn((edges.left, bottom, edges.right, top), TICK_LINE)
        pdfium.FPDFPage_CloseAnnot(field)


def _white_inside(grounds: Sequence[Shape], frame: Shape, line: float) -> bool:
    """Whether what is painted last under a frame's left top corner, just inside its line, is white."""
    x, y = frame.bounds[0] + line + SLACK, frame.bounds[3] - line - SLACK
    for fill in grounds:
        left, bottom, right, top = fill.ink
        if left <= x <= right and bottom <= y <= top and fill.covers((x, y)):
            return fill.colour == WHITE
    return True


def _not_inside(
    said: Said, wanted: Sequence[tuple[Words, Stretch]], boxes: Sequence[Drawn]
) -> Iterator[Problem]:
    """Words that do not stand in the box they name.

    The same words may stand elsewhere too: a box at any of their places will do, each box once, the words
    with the heaviest and widest box first.
    """
    framed = [(words, words.inside, claim) for words, claim in wanted if words.inside]
    free = {words.text: list(boxes) for words, _frame, _claim in framed}
    for words, frame, claim in sorted(framed, key=lambda each: (-each[1].line, -each[1].width)):
        of_words = free[words.text]
        places = (said.runs(place) for place in _places(said, words, claim))
        own = next((box for runs in places if (box := _framed(runs, frame, of_words))), None)
        if own is not None:
            of_words.remove(own)
        else:
            size = f"{frame.width:.0f} × {frame.height:.0f} mm"
            yield _missing(said.seen, "box to fill in", words.text, size)


def _places(said: Said, words: Words, claim: Stretch) -> Iterator[Stretch]:
    """Where some words stand: where they are claimed, then anywhere, which is seldom asked for."""
    yield claim
    yield from said.places(words.text)


def _framed(runs: Sequence[Run], frame: Frame, boxes: Sequence[Drawn]) -> Drawn | None:
    """The box that some runs stand in, where it is as large as planned and its line as wide."""
    for box in boxes:
        large = box.large(frame.width * POINTS, frame.height * POINTS)
        if large and box.line >= frame.line and all(contains(box.outer, run.ink, SLACK) for run in runs):
            return box
    return None


def _blanks(said: Said, words: Words, claim: Stretch, boxes: Sequence[Drawn]) -> Iterator[Problem]:
    """Blanks inside a line of words that have no box, or one without room to write."""
    start = claim[0]
    for blank in filter(fold, words.blanks):
        within = (place for place in said.places(blank) if start <= place[0] and place[1] <= claim[1])
        place = next(within, None)
        if place is None:
            yield _missing(said.seen, "box to fill in", blank, "a box round it with room to write")
            continue
        start, runs = place[1], said.runs(place)
        wide = max(run.ink[2] for run in runs) - min(run.ink[0] for run in runs)
        frame = Frame((wide + BLANK_ROOM) / POINTS, runs[0].size / POINTS, BLANK_LINE)
        if not _framed(runs, frame, boxes):
            yield _missing(said.seen, "box to fill in", blank, "a box round it with room to write")


def _ticks(said: Said, wanted: Sequence[tuple[Words, Stretch]], boxes: Sequence[Drawn]) -> Iterator[Problem]:
    """Words to tick off without a box of their own beside them; each box serves once, the nearest first.

    The words of a step may stand in a safety message too: a box at any of their places will do.
    """
    free = [*boxes, *_fields(said.seen)]
    ticked = [(words, claim) for words, claim in wanted if words.tick]
    for words, claim in sorted(ticked, key=lambda item: -said.runs(item[1])[0].baseline):
        edge = words.tick * POINTS
        firsts = (said.runs(place)[0] for place in _places(said, words, claim))
        beside = [
            (abs(box.outer[3] - first.ink[3]), box)
            for first in firsts for box in free if _beside(box, first, edge)
        ]  # fmt: skip
        _away, own = min(beside, key=lambda each: each[0], default=(0.0, None))
        if own is None:
            yield _missing(said.seen, "box to tick", words.text, f"a box of {words.tick:.1f} mm beside it")
        else:
            free.remove(own)


def _beside(box: Drawn, first: Run, edge: float) -> bool:
    """Whether a box to tick stands at the first line of some words, or in the bar above it."""
    left, bottom, right, top = box.outer
    fits = box.large(edge, edge) and max(right - left, top - bottom) <= edge + TICK_WIDER
    level = top > first.baseline and bottom < first.baseline + first.size + ABOVE
    return fits and level and box.line >= TICK_LINE


def _cells(seen: Seen, empty: Sequence[Empty]) -> Iterator[Problem]:
    """Cells to write in that are not there or too low: columns at the same place are counted together."""
    rules = [shape.ink for shape in seen.shapes if shape.fill == BLACK and shape.seen and _is_rule(shape.ink)]
    planned = Counter[tuple[float, float, float]]()
    told: dict[tuple[float, float, float], str] = {}
    for cells in empty:
        key = (round(cells.left, 1), round(cells.right, 1), cells.height)
        planned[key] += cells.count
        told.setdefault(key, cells.words)
    for (left, right, height), count in planned.items():
        found = _rows(seen, rules, seen.corner[0] + left * POINTS, seen.corner[0] + right * POINTS, height)
        if found < count:
            words = shortened(told[left, right, height])
            what = f"cells to write in missing: {found} of {count} under {words!r}"
            yield Problem(seen.place, what, f"each at least {height:.1f} mm high", cure=UNTOUCHED)


def _is_rule(ink: Rectangle) -> bool:
    return area(ink) > 0 and ink[3] - ink[1] <= THICKEST < ink[2] - ink[0]


def _rows(seen: Seen, rules: Sequence[Rectangle], left: float, right: float, height: float) -> int:
    """How many times two rules of a column stand `height` mm apart with nothing between them."""
    own = [rule for rule in rules if abs(rule[0] - left) <= EDGE and abs(rule[2] - right) <= EDGE]
    levels = sorted({(round(rule[1], 1), round(rule[3], 1)) for rule in own})
    inks = [run.ink for run in seen.runs if run.ink[0] < right - EDGE and run.ink[2] > left + EDGE]
    return sum(
        over[0] - under[1] >= height * POINTS - SLACK
        and not any(under[1] < (ink[1] + ink[3]) / 2 < over[0] for ink in inks)
        for under, over in pairwise(levels)
    )


def _missing(seen: Seen, what: str, words: str, expected: str) -> Problem:
    return Problem(seen.place, f"{what} missing or too small: {shortened(words)!r}", expected, cure=UNTOUCHED)
