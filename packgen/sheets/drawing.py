"""A small drawing vocabulary: strokes, hatching, arrows, dimensions and labels, written out as SVG.

In: points in paper millimetres about a datum of the drawing's own choosing, x to the right and y down.
Out: one SVG text of a fixed size in millimetres, the drawing in the middle of it, the same bytes every
time.
Vocabulary: a *label* is one line of text; a *clash* is a label with a line through it or another label on
it. Two scales matter: paper millimetres here, and real millimetres that each figure multiplies by the scale.
Governing text: line widths and hatching follow ISO 128 (thick, middle and thin lines, section lines at 45°;
edition from memory); dimension text stands upright on every line. Only black and white are used, so that
one-colour print loses nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from xml.sax.saxutils import escape

from packgen.errors import ContentError
from packgen.sheets.strokes import Box, Hatch, Point, Stroke, arc

THICK, MIDDLE, THIN = 0.7, 0.35, 0.18  # line widths in mm, steps of ISO 128
DASHED = "2 1"
CHAIN = "5 1 0.6 1"
SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0)

_ARROW_LENGTH, _ARROW_WIDTH = 2.0, 0.7
_BEYOND = 0.9  # how far an extension line runs past its dimension line
_CAP, _DEEP = (
    0.76,
    0.22,
)  # of the letter height: above and below the base line, with the tallest signs of Lato
_PITCH = 1.25  # leading
# At least the advance widths of Lato Regular and Bold, in em; a sign not named here counts as the widest.
_WIDTHS = {
    0.24: "',.’", 0.28: " ():;ijl|\u00a0í·", 0.32: "!I[]{}", 0.36: "f", 0.40: "\"-`rt", 0.44: "*Js°",
    0.48: "/?\\_z", 0.52: "Lacçá", 0.56: "Segkvxyé", 0.60: "#$+0123456789<=>EFT^bdhnopqu~×≤≥−–ñÉóú",
    0.64: "PZ", 0.68: "BCRXYµ", 0.72: "AKV", 0.76: "&GU½¼¾", 0.80: "DHN",
    0.84: "%OQmwΩ", 0.88: "@", 0.96: "M", 1.08: "W",
}  # fmt: skip
_WIDTH_OF = {sign: width for width, signs in _WIDTHS.items() for sign in signs}
_WIDEST = max(_WIDTHS)


class TooLarge(Exception):
    """A drawing has outgrown its box: what is still to come can only make it larger."""


@dataclass(frozen=True)
class Label:
    """One line of text: where its base line starts, is centred or ends (`anchor`), and its letter height."""

    at: Point
    words: str
    height: float
    anchor: str = "start"
    bold: bool = False

    @cached_property
    def box(self) -> Box:
        """Left, top, right and bottom of the text, on the generous side."""
        width = text_width(self.words, self.height)
        left = self.at[0] - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        return (left, self.at[1] - _CAP * self.height, left + width, self.at[1] + _DEEP * self.height)


@dataclass(frozen=True)
class Line:
    """A line of a label block: its words and whether they are bold."""

    words: str
    bold: bool = False


def text_width(words: str, height: float) -> float:
    """The width of a text at a letter height, never less than Lato takes.

    >>> round(text_width("20.9 mm", 3.0), 2)
    12.0
    """
    return height * _ems(words)


@lru_cache(4096)
def _ems(words: str) -> float:
    """The width of a text in em."""
    return sum(_WIDTH_OF.get(sign, _WIDEST) for sign in words)


def block_width(lines: Iterable[Line], height: float) -> float:
    """The width of the longest of some lines; 0 where there is none."""
    return max((text_width(line.words, height) for line in lines), default=0.0)


def arrow_tail(length: float) -> float:
    """How far a dimension line runs beyond its ends: a short one has its arrowheads outside.

    >>> arrow_tail(10.0), arrow_tail(4.0)
    (0.0, 3.4)
    """
    return 1.7 * _ARROW_LENGTH if length < 2.6 * _ARROW_LENGTH else 0.0


def number(value: float) -> str:
    """A coordinate as SVG text: at most two decimals, no negative zero, the same on every machine.

    >>> number(1.005), number(-0.001), number(12.50)
    ('1', '0', '12.5')
    """
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


class Drawing:
    """Collects strokes and labels about a datum; `svg` sets them in the middle of a box.

    `within` is a width and a height, mm: what outgrows them raises `TooLarge` at once.
    """

    def __init__(self, letter: float, within: tuple[float, float] = (math.inf, math.inf)) -> None:
        self.letter, self.within = letter, within
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []
        self._box: Box = (math.inf, math.inf, -math.inf, -math.inf)

    def add(self, *parts: Stroke | Label) -> None:
        """Strokes and labels ready made; all that is drawn comes through here."""
        for part in parts:
            if isinstance(part, Stroke):
                self.strokes.append(part)
            else:
                self.labels.append(part)
            (left, top, right, bottom), (x1, y1, x2, y2) = self._box, part.box
            left, top, right, bottom = min(left, x1), min(top, y1), max(right, x2), max(bottom, y2)
            if right - left > self.within[0] or bottom - top > self.within[1]:
                raise TooLarge
            self._box = (left, top, right, bottom)

    def line(self, *points: Point, width: float = MIDDLE, dash: str = "") -> None:
        """An open run of straight lines."""
        self.add(Stroke(points, width, dash=dash))

    def shape(
        self, points: Iterable[Point], width: float = MIDDLE, fill: str = "none", dash: str = ""
    ) -> None:
        """A closed shape."""
        self.add(Stroke(tuple(points), width, True, fill, dash))

    def circle(self, centre: Point, radius: float, width: float = MIDDLE, fill: str = "none") -> None:
        """A whole circle."""
        self.shape(arc(centre, radius, 0.0, 360.0)[:-1], width, fill)

    def cut(self, outline: Sequence[Point], slope: int = 1) -> None:
        """A cut face: white, hatched at 45°; the caller draws its outline, because a broken edge has none."""
        self.shape(outline, 0.0, "#fff")
        self.add(Hatch(tuple(outline), THIN, slope=slope))

    def centre_line(self, start: Point, end: Point) -> None:
        """A chain line through the middle of something round."""
        self.line(start, end, width=THIN, dash=CHAIN)

    def broken(self, start: Point, end: Point) -> None:
        """A thin line with a zigzag in its middle: what lies beyond is left out."""
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = math.hypot(dx, dy)
        ux, uy = dx / length, dy / length
        middle, half, tall = length / 2, min(0.8, length / 4), min(1.4, length / 3)
        turns = ((0.0, 0.0), (middle - half, 0.0), (middle - half / 2, tall), (middle + half / 2, -tall),
                 (middle + half, 0.0), (length, 0.0))  # fmt: skip
        self.line(*((start[0] + a * ux - b * uy, start[1] + a * uy + b * ux) for a, b in turns), width=THIN)

    def arrowhead(self, tip: Point, towards: Point) -> None:
        """A filled arrowhead with its tip at `tip`, pointing the way `towards` (a unit step)."""
        (x, y), (ux, uy) = tip, towards
        bx, by, half = x - _ARROW_LENGTH * ux, y - _ARROW_LENGTH * uy, _ARROW_WIDTH / 2
        self.shape((tip, (bx - half * uy, by + half * ux), (bx + half * uy, by - half * ux)), 0.0, "#000")

    def leader(self, *points: Point) -> None:
        """A thin line from a label to the thing it names, ending there in an arrowhead."""
        (ax, ay), tip = points[-2:]
        length = math.hypot(tip[0] - ax, tip[1] - ay)
        self.line(*points, width=THIN)
        self.arrowhead(tip, ((tip[0] - ax) / length, (tip[1] - ay) / length))

    def dimension_level(self, y: float, x1: float, x2: float, from1: float, from2: float) -> None:
        """A level dimension line at `y`, `x1` to `x2`; extension lines start at heights `from1`, `from2`."""
        self._dimension((x1, y), (x2, y), (x1, from1), (x2, from2))

    def dimension_upright(self, x: float, y1: float, y2: float, from1: float, from2: float) -> None:
        """An upright dimension line at `x`, `y1` to `y2`; extension lines start at `from1`, `from2`."""
        self._dimension((x, y1), (x, y2), (from1, y1), (from2, y2))

    def _dimension(self, a: Point, b: Point, from_a: Point, from_b: Point) -> None:
        """The dimension line from `a` to `b` with its arrowheads, and the extension lines that lead to it."""
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        for end, start in ((a, from_a), (b, from_b)):
            reach = math.hypot(end[0] - start[0], end[1] - start[1])
            if reach > 0:
                over = 1 + _BEYOND / reach
                beyond = (start[0] + over * (end[0] - start[0]), start[1] + over * (end[1] - start[1]))
                self.line(start, beyond, width=THIN)
        tail = arrow_tail(length)
        self.line((a[0] - tail * ux, a[1] - tail * uy), (b[0] + tail * ux, b[1] + tail * uy), width=THIN)
        way = 1.0 if tail else -1.0
        self.arrowhead(a, (way * ux, way * uy))
        self.arrowhead(b, (-way * ux, -way * uy))

    def dimension_arc(self, centre: Point, radius: float, start: float, end: float) -> None:
        """A dimension line round a centre from angle `start` to `end`, as for `arc`, with its arrowheads."""
        way = math.copysign(1.0, end - start)
        tail = arrow_tail(radius * math.radians(abs(end - start)))
        beyond = way * math.degrees(tail / radius)
        self.line(*arc(centre, radius, start - beyond, end + beyond), width=THIN)
        for angle, turn in ((start, -way), (end, way)):
            a, turn = math.radians(angle), -turn if tail else turn
            tip = (centre[0] + radius * math.sin(a), centre[1] - radius * math.cos(a))
            self.arrowhead(tip, (turn * math.cos(a), turn * math.sin(a)))

    def take(self, part: Drawing, by: Point) -> None:
        """Take a finished part in, moved; its labels keep their letter."""
        self.add(*(stroke.moved(*by) for stroke in part.strokes))
        self.add(*(replace(each, at=(each.at[0] + by[0], each.at[1] + by[1])) for each in part.labels))

    def block_height(self, lines: Sequence[Line]) -> float:
        """How tall a block of lines stands, from the top of its tallest letter to the foot of its deepest."""
        return self.letter * (_CAP + _DEEP + _PITCH * (len(lines) - 1))

    def block(self, at: Point, lines: Sequence[Line], anchor: str = "start", stand: str = "middle") -> None:
        """Lines of text one below the other, standing above, below or astride (`middle`) the point."""
        shift = {"above": 1.0, "middle": 0.5, "below": 0.0}[stand]
        base = at[1] - shift * self.block_height(lines) + _CAP * self.letter
        for row, line in enumerate(lines):
            spot = (at[0], base + row * _PITCH * self.letter)
            self.add(Label(spot, line.words, self.letter, anchor, line.bold))

    @property
    def box(self) -> Box:
        """Left, top, right and bottom of all that was drawn, line widths included."""
        return self._box

    def free(self, box: Box) -> bool:
        """Whether no line runs through a box and no label stands in it."""
        near = (stroke for stroke in self.strokes if _overlap(box, stroke.box))
        struck = any(_crosses(box, a, b) for stroke in near for a, b in stroke.pieces)
        return not struck and not any(_overlap(box, label.box) for label in self.labels)

    def clashes(self) -> tuple[str, ...]:
        """The words of each label that a line or another label runs into."""
        found = []
        for place, label in enumerate(self.labels):
            box = label.box
            others = (other.box for at, other in enumerate(self.labels) if at != place)
            near = [stroke for stroke in self.strokes if _overlap(box, stroke.box)]
            struck = any(_crosses(box, a, b) for stroke in near for a, b in stroke.pieces)
            if struck or any(_overlap(box, other) for other in others):
                found.append(label.words)
        return tuple(found)

    def svg(self, width: float, height: float) -> str:
        """The drawing as SVG in a box of `width` × `height` mm, in the middle of it."""
        left, top, right, bottom = self.box
        dx, dy = (width - left - right) / 2, (height - top - bottom) / 2
        wide, tall = number(width), number(height)
        size = f'width="{wide}mm" height="{tall}mm" viewBox="0 0 {wide} {tall}"'
        parts = [f'<svg xmlns="http://www.w3.org/2000/svg" role="img" {size}>']
        parts += ['<g fill="none" stroke="#000" stroke-linecap="round" stroke-linejoin="round">']
        parts += [_stroke_svg(stroke, dx, dy) for stroke in self.strokes]
        parts += ["</g>", '<g font-family="Lato" fill="#000">']
        parts += [_label_svg(label, dx, dy) for label in self.labels]
        return "\n".join([*parts, "</g>", "</svg>"])


def _stroke_svg(stroke: Stroke, dx: float, dy: float) -> str:
    """One stroke as an SVG path."""
    runs = ("L".join(f"{number(x + dx)} {number(y + dy)}" for x, y in run) for run in stroke.runs)
    path = "".join(f"M{run}" for run in runs) + "Z" * stroke.closed
    line = f'stroke-width="{number(stroke.width)}"' if stroke.width else 'stroke="none"'
    fill = f' fill="{stroke.fill}"' if stroke.fill != "none" else ""
    dash = f' stroke-dasharray="{stroke.dash}" stroke-linecap="butt"' if stroke.dash else ""
    return f'<path d="{path}" {line}{fill}{dash}/>'


def _label_svg(label: Label, dx: float, dy: float) -> str:
    """One label as SVG text, every sign that means something in XML escaped."""
    anchor = f' text-anchor="{label.anchor}"' if label.anchor != "start" else ""
    weight = ' font-weight="700"' if label.bold else ""
    at = f'x="{number(label.at[0] + dx)}" y="{number(label.at[1] + dy)}"'
    return f'<text {at} font-size="{number(label.height)}"{anchor}{weight}>{escape(label.words)}</text>'


def _overlap(a: Box, b: Box) -> bool:
    """Whether two boxes share more than an edge."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _crosses(box: Box, a: Point, b: Point) -> bool:
    """Whether the straight piece from `a` to `b` enters the box (Liang and Barsky's clipping)."""
    if (a[0] < box[0] and b[0] < box[0]) or (a[0] > box[2] and b[0] > box[2]):
        return False
    if (a[1] < box[1] and b[1] < box[1]) or (a[1] > box[3] and b[1] > box[3]):
        return False  # most pieces lie on one side of the box
    low, high = 0.0, 1.0
    for axis in (0, 1):
        step, start = b[axis] - a[axis], a[axis]
        near, far = box[axis] - start, box[axis + 2] - start
        if step == 0.0:
            if near > 0 or far < 0:
                return False
            continue
        low, high = max(low, min(near / step, far / step)), min(high, max(near / step, far / step))
    return low < high


def largest(draw: Callable[[float], Drawing], width: float, height: float) -> tuple[Drawing, float]:
    """The drawing at the largest scale that fits the box without a clash, and its number (2.5 for 1 : 2.5).

    `draw` is given the paper length of one real millimetre. Raises ContentError where no scale of the series
    will do: a figure is never squeezed, and no text is dropped to make room.
    """
    trouble = ""
    for scale in SCALES:
        try:
            drawing = draw(1 / scale)
        except TooLarge:
            continue
        left, top, right, bottom = drawing.box
        if right - left > width or bottom - top > height:
            continue
        struck = drawing.clashes()
        if not struck:
            return drawing, scale
        trouble = trouble or f"; at 1 : {scale:g} these words meet a line or each other: {', '.join(struck)}"
    raise ContentError(f"a figure does not fit {width:g} × {height:g} mm at any scale{trouble}")
