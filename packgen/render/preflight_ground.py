"""Can the words be read on what they are printed on, in one colour, by a wet crew?

In: a page as it was read, with its plan. Out: one `Problem` for each rule that its colours break.
Vocabulary: the *ground* of a run is what lies directly under its signs: the topmost shape painted before it,
else white paper; *contrast* is the ratio of the lighter to the darker, from 1 to 21.
Governing text: W3C, Web Content Accessibility Guidelines 2.1, "relative luminance", "contrast ratio", success
criterion 1.4.6 (7 : 1); the rest is our own: black on white, or on the one yellow of a drawn sign; white only
bold on black.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from packgen.errors import Problem
from packgen.render.embedded import shortened
from packgen.render.preflight_read import Run, Seen, spoken
from packgen.render.preflight_shape import BLACK, WHITE, Colour, Shape, overlap

YELLOW: Colour = (0xFF, 0xE1, 0x00)
SIGN = 12.0 * 72 / 25.4  # points: the greatest width and height of the drawn sign
LEAST_CONTRAST = 7.0
TAIL = 0.1  # of a run's height: a tail may touch the frame it stands in, and is read all the same
A_LITTLE, NEARLY_ALL = 0.02, 0.98  # shares of a run's ink, or of one sign's
SIGN_WIDTH = 0.25  # ems: a narrow sign
SIZE_TOLERANCE = 0.05  # points

# A rule that words break: what, and what was expected.
Fault = tuple[str, str]


def ground_problems(seen: Seen) -> Iterator[Problem]:
    """Every rule that the colours of words and shapes break."""
    faults = defaultdict[Fault, list[Run]](list)
    for run in seen.runs:
        for fault in _faults(run, seen):
            faults[fault].append(run)
    for (what, expected), runs in faults.items():
        cure = "print it black on white, or bold white on black"
        yield Problem(seen.place, f"{what}: {shortened(spoken(runs))!r}", expected, cure=cure)
    yield from _colour_problems(seen)


def contrast(one: Colour, other: Colour) -> float:
    """The contrast ratio of two colours (WCAG 2.1).

    >>> round(contrast((0, 0, 0), (255, 255, 255)), 2), round(contrast((0, 0, 0), (255, 225, 0)), 1)
    (21.0, 16.0)
    """
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: Colour) -> float:
    """Relative luminance, with the weights and the bend of sRGB that WCAG 2.1 prints."""
    red, green, blue = (
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4
        for part in (level / 255 for level in colour)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _faults(run: Run, seen: Seen) -> Iterator[Fault]:
    """The rules of colour that one run breaks."""
    if not run.painted:
        yield "text slanted, outlined or not painted", "upright signs, filled"
    if not run.solid:
        yield "text that its ground shows through", "solid black or white"
    if run.colour not in (BLACK, WHITE):
        yield f"text in {_hex(run.colour)}", "black, or bold white on black"
    left, bottom, right, top = overlap(run.ink, run.clip)
    tail = TAIL * (top - bottom)
    ink = left, bottom + tail, right, top - tail
    under: set[Colour] = set()
    if _hidden(run, seen):
        yield "text covered by what is painted later", "nothing over words"
    for shape in seen.fills:
        share = shape.share(ink) if shape.order < run.order else 0.0
        if share > A_LITTLE:
            under.add(shape.colour)
            if share > NEARLY_ALL:
                break
    else:
        under.add(WHITE)
    yield from _ground_faults(run, under, seen.planned.white)


def _hidden(run: Run, seen: Seen) -> bool:
    """Whether what is painted later hides a part of one sign: a digit, or a decimal point.

    A tail may touch the line under it, a sign that stands on its line may not.
    """
    left, bottom, right, top = overlap(run.ink, run.clip)
    ink = left, max(bottom, min(run.baseline, bottom + TAIL * (top - bottom))), right, top
    a_little = A_LITTLE * SIGN_WIDTH * run.size * (top - bottom)
    return any(shape.order > run.order and shape.hides(ink) > a_little for shape in seen.shapes)


def _ground_faults(run: Run, under: set[Colour], white: float) -> Iterator[Fault]:
    """The rules that a run breaks on its ground, which may have several colours."""
    for ground in sorted(under):
        ratio = contrast(run.colour, ground)
        if run.colour == ground:
            yield f"text in the colour of its ground, {_hex(ground)}", f"at least {LEAST_CONTRAST:g} : 1"
        elif ratio < LEAST_CONTRAST:
            what = f"contrast {ratio:.1f} : 1, {_hex(run.colour)} on {_hex(ground)}"
            yield what, f"at least {LEAST_CONTRAST:g} : 1"
    if run.colour == WHITE:
        if not run.bold:
            yield "white text that is not bold", "bold white on black"
        if run.size < white - SIZE_TOLERANCE:
            yield f"white text of {run.size:.3g} pt", f"at least {white:g} pt"


def _colour_problems(seen: Seen) -> Iterator[Problem]:
    """Shapes in a colour that is not ours, and pictures."""
    found: dict[str, Shape] = {}
    for shape in seen.shapes:
        if shape.seen:
            found.update(dict.fromkeys(_strange(shape), shape))
    for what, shape in found.items():
        left, top = seen.corner
        across, down = (shape.ink[0] - left) * 25.4 / 72, (top - shape.ink[3]) * 25.4 / 72
        where = f"{what}, {across:.0f} mm from the left and {down:.0f} mm from the top"
        expected = "black and white, and one yellow in the sign"
        yield Problem(seen.place, where, expected, cure="draw it in black")


def _strange(shape: Shape) -> Iterator[str]:
    if shape.picture:
        yield "a picture or a run of shades"
        return
    width, height = shape.bounds[2] - shape.bounds[0], shape.bounds[3] - shape.bounds[1]
    if not shape.solid:
        yield "a shape that its ground shows through"
    if shape.fill == YELLOW and max(width, height) > SIGN:
        yield "a yellow area larger than a sign"
    elif shape.fill is not None and shape.fill not in (BLACK, WHITE, YELLOW):
        yield f"a fill in {_hex(shape.fill)}"
    if shape.stroke is not None and shape.stroke not in (BLACK, WHITE):
        yield f"a line in {_hex(shape.stroke)}"


def _hex(colour: Colour) -> str:
    return "#{:02X}{:02X}{:02X}".format(*colour)
