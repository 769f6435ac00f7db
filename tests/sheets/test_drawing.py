"""The drawing vocabulary: exact ends, clipped hatching, honest text widths, no mark outside the box."""

from __future__ import annotations

import doctest
import math
import re
from pathlib import Path
from xml.etree import ElementTree

import fontpkg_lato
import pytest
from fontTools.ttLib import TTFont

from packgen.errors import ContentError
from packgen.sheets import drawing as module
from packgen.sheets.drawing import SCALES, Drawing, Line, largest, number, text_width
from packgen.sheets.strokes import arc

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(fontpkg_lato.__file__).parent / "files"
SIGNS = "".join(map(chr, range(32, 127))) + "\u00a0°×½¼¾≤≥−–Ωµñçéíóúá·’É"


def test_worked_examples_run() -> None:
    """The examples in the docstrings are true, and there are some."""
    failed, tried = doctest.testmod(module)
    assert tried >= 3
    assert failed == 0


@pytest.mark.parametrize("weight", ["Regular", "Bold"])
def test_text_is_never_wider_than_it_is_taken_to_be(weight: str) -> None:
    """Each sign's width is at least the font's, and the wider weight's by no more than 0.06 em too much."""
    font = TTFont(str(FONTS / f"Lato-{weight}.ttf"))
    glyphs, widths, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    for sign in SIGNS:
        real = widths[glyphs[ord(sign)]][0] / em
        assert real <= text_width(sign, 1.0) + 1e-9, sign
        if weight == "Bold":
            assert text_width(sign, 1.0) <= real + 0.06, sign


def test_unknown_sign_counts_as_the_widest() -> None:
    """A sign that the table does not hold takes as much room as the widest one it does."""
    assert text_width("Ж", 2.0) == text_width("W", 2.0)


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.004, "0"), (3.14159, "3.14"), (-2.5, "-2.5"), (10.0, "10")]
)
def test_coordinates_have_two_decimals_and_no_negative_zero(value: float, text: str) -> None:
    """The same number is the same text, short and stable."""
    assert number(value) == text


def _tips(drawing: Drawing) -> list[tuple[float, float]]:
    """The tips of all filled arrowheads."""
    return [
        stroke.points[0] for stroke in drawing.strokes if stroke.fill == "#000" and len(stroke.points) == 3
    ]


def test_dimension_arrowheads_stand_on_the_ends() -> None:
    """Tips stand exactly on both ends; extension lines start where told and pass the dimension line."""
    drawing = Drawing(3.0)
    drawing.dimension_level(5.0, -4.0, 21.5, 1.0, 2.0)
    assert _tips(drawing) == [(-4.0, 5.0), (21.5, 5.0)]
    starts = {stroke.points[0]: stroke.points[1] for stroke in drawing.strokes if len(stroke.points) == 2}
    assert starts[(-4.0, 1.0)][1] > 5.0
    assert starts[(21.5, 2.0)][1] > 5.0


def test_short_dimension_has_its_arrowheads_outside() -> None:
    """Where there is no room between the ends, heads point inwards from outside and the ends stay exact."""
    drawing = Drawing(3.0)
    drawing.dimension_upright(0.0, 10.0, 12.0, -5.0, -5.0)
    assert _tips(drawing) == [(0.0, 10.0), (0.0, 12.0)]
    assert min(y for stroke in drawing.strokes for _, y in stroke.points) < 8.0


def test_text_is_escaped() -> None:
    """A text with markup in it stays a text."""
    drawing = Drawing(3.0)
    drawing.block((0.0, 0.0), (Line("<b>1 & 2</b>"),))
    texts = ElementTree.fromstring(drawing.svg(60.0, 20.0)).findall(f".//{SVG}text")
    assert [text.text for text in texts] == ["<b>1 & 2</b>"]


def test_svg_says_its_size_in_millimetres_and_sets_the_drawing_in_the_middle() -> None:
    """Width, height and viewBox agree, and left and right margins are equal."""
    drawing = Drawing(3.0)
    drawing.line((100.0, 100.0), (110.0, 104.0), width=0.0)
    root = ElementTree.fromstring(drawing.svg(50.0, 20.0))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("50mm", "20mm", "0 0 50 20")
    assert root.get("role") == "img"
    path = root.find(f".//{SVG}path")
    assert path is not None
    assert re.findall(r"[\d.]+", path.get("d") or "") == ["20", "8", "30", "12"]


def test_clash_names_the_text_that_is_struck() -> None:
    """A line through a text, and one text on another, are found; neighbours that only stand near are not."""
    drawing = Drawing(3.0)
    drawing.block((0.0, 0.0), (Line("clear"),))
    drawing.block((0.0, 20.0), (Line("struck"),))
    drawing.line((-5.0, 25.0), (9.0, 15.0))
    assert drawing.clashes() == ("struck",)
    drawing.block((2.0, 1.0), (Line("upon"),))
    assert set(drawing.clashes()) == {"clear", "struck", "upon"}


def test_broken_line_keeps_its_ends() -> None:
    """The zigzag stands between the ends it was given."""
    drawing = Drawing(3.0)
    drawing.broken((0.0, 0.0), (10.0, 0.0))
    points = drawing.strokes[0].points
    assert (points[0], points[-1]) == ((0.0, 0.0), (10.0, 0.0))
    assert {round(y, 2) for _, y in points} == {-1.4, 0.0, 1.4}


@pytest.mark.parametrize(("start", "end"), [(0.0, 90.0), (0.0, -60.0), (0.0, 5.0)])
def test_a_dimension_round_a_centre_has_its_tips_at_both_ends(start: float, end: float) -> None:
    """Clockwise or not; a short one has its arrowheads outside, tips still at the ends."""
    drawing = Drawing(3.0)
    drawing.dimension_arc((2.0, 3.0), 20.0, start, end)
    heads = [stroke for stroke in drawing.strokes if stroke.fill == "#000"]
    wanted = [arc((2.0, 3.0), 20.0, angle, angle + 1.0)[0] for angle in (start, end)]
    assert [head.points[0] for head in heads] == [pytest.approx(point) for point in wanted]
    for head, inward in zip(heads, (1.0, -1.0), strict=True):
        (x, y), back = head.points[0], head.points[1:]
        middle = ((back[0][0] + back[1][0]) / 2 - x, (back[0][1] + back[1][1]) / 2 - y)
        a = math.radians(start if inward > 0 else end)
        along = math.copysign(1.0, end - start) * inward * (middle[0] * math.cos(a) + middle[1] * math.sin(a))
        assert (along > 0) is (abs(end - start) > 10.0)


def test_a_part_taken_in_keeps_its_shape_and_its_letter() -> None:
    """Every stroke and label moves by the same way, and nothing of it is lost."""
    part, whole = Drawing(2.0), Drawing(3.0)
    part.line((0.0, 0.0), (4.0, 0.0))
    part.block((1.0, 1.0), (Line("part"),))
    whole.take(part, (10.0, 5.0))
    assert whole.strokes[0].points == ((10.0, 5.0), (14.0, 5.0))
    assert (whole.labels[0].words, whole.labels[0].height) == ("part", 2.0)
    moved = [edge + way for edge, way in zip(part.box, (10.0, 5.0, 10.0, 5.0), strict=True)]
    assert whole.box == pytest.approx(moved)


def _plate(unit: float) -> Drawing:
    """A plate of 100 × 40 real millimetres with its name in it."""
    drawing = Drawing(3.0)
    drawing.shape(((0.0, 0.0), (100 * unit, 0.0), (100 * unit, 40 * unit), (0.0, 40 * unit)), width=0.0)
    drawing.block((50 * unit, 20 * unit), (Line("plate"),), "middle")
    return drawing


def test_largest_scale_that_fits_is_chosen() -> None:
    """100 mm fits 70 mm at 1 : 1.5 and no larger."""
    assert largest(_plate, 70.0, 60.0)[1] == 1.5
    assert largest(_plate, 100.0, 60.0)[1] == 1.0


def test_no_scale_fits_is_an_error_that_names_the_words() -> None:
    """Where the drawing only fits so small that a line meets its text, it is refused, text named."""
    with pytest.raises(ContentError, match=r"does not fit 6 × 6 mm at any scale"):
        largest(_plate, 6.0, 6.0)
    with pytest.raises(ContentError, match=r"1 : 15 these words .*plate"):
        largest(_plate, 9.0, 6.0)


def test_scales_fall_in_order() -> None:
    """The series runs from full size down without a repeat."""
    assert list(SCALES) == sorted(set(SCALES))
    assert SCALES[0] == 1.0
