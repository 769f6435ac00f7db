"""What lies where on the page: thin lines, ink at punched holes and faces too full are found."""

from __future__ import annotations

import pikepdf
import pytest

from packgen.render.preflight_place import HOLE_AIR
from packgen.render.preflight_plan import Hole, punched
from tests.render.page import check, draw, edited, found, plan

ROOM = "<p style='height: 30mm'></p>"


SMALL = "width='8' height='4' viewBox='0 0 80 40'"


def svg(inner: str, size: str = "width='80' height='40'") -> str:
    return f"<p>Peel</p><svg {size}>{inner}</svg>"


@pytest.mark.parametrize(
    "body",
    [
        svg("<path d='M0 5 L60 5' stroke='#000' stroke-width='0.34'/>"),  # 0.34 px are 0.255 pt
        svg("<path d='M0 5 L60 5' stroke='#000' stroke-width='0.1' transform='scale(4)'/>"),
        "<p style='border: 0.26pt solid #000'>Peel</p>",
        "<p style='border-bottom: 0.35pt solid #000'>Peel</p>",
        svg("<path d='M0 0 L6 2 L6 -2 Z'/>"),
    ],
)
def test_lines_that_every_printer_draws_pass(body: str) -> None:
    """A quarter of a point, as it comes out after scaling; a point of an arrow is no line."""
    assert check(draw(body), plan("Peel")) == []


@pytest.mark.parametrize(
    ("body", "width"),
    [
        (svg("<path d='M0 5 L60 5' stroke='#000' stroke-width='0.28'/>"), "0.21"),
        (svg("<path d='M0 5 L60 5' stroke='#000' stroke-width='1' transform='scale(0.2)'/>"), "0.15"),
        (svg("<path d='M0 5 L60 5' stroke='#000' stroke-width='2'/>", SMALL), "0.15"),
        ("<p style='border-bottom: 0.1pt solid #000'>Peel</p>", "0.10"),
        ("<p style='border: 0.2pt solid #000'>Peel</p>", "0.20"),
        (svg("<rect x='0' y='3' width='60' height='0.2'/>"), "0.15"),
    ],
)
def test_a_line_too_thin_is_found(body: str, width: str) -> None:
    """A stroke, the border of a box, a fill that is a line."""
    [problem] = check(draw(body), plan("Peel"))
    assert problem.what.startswith(f"a line of {width} pt, 5 mm from the left and ")
    assert problem.expected == "at least 0.25 pt"


def test_a_line_of_no_width_is_found() -> None:
    """ISO 32000-1, 8.4.3.2: width 0 is the thinnest line that the device can draw, one dot of it."""

    def thin(document: pikepdf.Pdf) -> None:
        stream = document.pages[0].Contents
        stream.write(stream.read_bytes() + b"\nq 0 w 50 50 m 100 50 l S Q")

    [what] = found(edited(draw("<p>Peel</p>"), thin), plan("Peel"))
    assert what.startswith("a line of 0.00 pt, ")


HOLE = Hole(12, 30)


@pytest.mark.parametrize(
    ("style", "problems"),
    [
        ("left: 15mm", 0),
        ("left: 11.4mm", 1),
        ("left: 0", 1),
    ],
)
def test_words_too_near_a_punched_hole_are_found(style: str, problems: int) -> None:
    """The hole is 6 mm wide, its centre 12 mm from the edge: nothing before 19 mm; margin 5 mm."""
    pdf = draw(f"<p style='position: absolute; top: 23mm; {style}'>Peel</p>")
    whats = found(pdf, plan("Peel", holes=(HOLE,)))
    assert len(whats) == problems
    if problems:
        where = "12 mm from the left and 30 mm from the top"
        assert whats == [f"ink within {HOLE_AIR:g} mm of the edge of the punched hole {where}: 'Peel'"]


@pytest.mark.parametrize(
    ("shape", "problems"),
    [
        ("<rect x='20' y='0' width='20' height='60' fill='none' stroke='#000'/>", 0),
        ("<rect x='18.5' y='0' width='20' height='60' fill='none' stroke='#000'/>", 1),
        ("<rect x='1' y='1' width='60' height='90' fill='none' stroke='#000'/>", 0),
        ("<circle cx='12' cy='30' r='7.7' fill='none' stroke='#000'/>", 0),
        ("<circle cx='12' cy='30' r='7.2' fill='none' stroke='#000'/>", 1),
        ("<path d='M1 20 L30 40' stroke='#000'/>", 1),
        ("<circle cx='12' cy='30' r='30'/>", 1),
        ("<rect x='9' y='28' width='9' height='9' fill='#fff'/>", 0),
    ],
)
def test_lines_and_fills_too_near_a_punched_hole_are_found(shape: str, problems: int) -> None:
    """The ink itself counts, not the rectangle round it; white is no ink. Lines are 1 mm wide."""
    style = "position: absolute; left: -5mm; top: -5mm; width: 105mm; height: 148mm"
    drawing = f"<svg style='{style}' viewBox='0 0 105 148'>{shape}</svg>"
    pdf = draw(f"{drawing}<p style='margin: 100mm 0 0'>Peel</p>")
    assert len(found(pdf, plan("Peel", holes=(HOLE,)))) == problems


def test_a_frame_round_a_hole_passes_and_one_through_it_does_not() -> None:
    """Borders of boxes are fills with a hole in them."""
    frame = "position: absolute; left: -3mm; width: {}mm; top: 0; height: 80mm; border: 1pt solid #000"
    peel = "<p style='margin: 100mm 0 0'>Peel</p>"
    for width, problems in ((60, 0), (12, 1)):
        pdf = draw(f"<div style='{frame.format(width)}'></div>{peel}")
        assert len(found(pdf, plan("Peel", holes=(HOLE,)))) == problems


def test_holes_of_a_filed_page_are_those_of_the_standard() -> None:
    """ISO 838: 80 mm apart, 12 mm from the edge, either side of the middle; on both edges of a leaf."""
    assert [(hole.left, hole.top) for hole in punched(210, 297)] == [
        (12, 108.5), (12, 188.5), (198, 108.5), (198, 188.5)
    ]  # fmt: skip


HEAD = "<div style='border-bottom: 1pt solid #000; height: 9.65mm'>Prepare</div>"
FOOT = "<div style='position: absolute; top: 118mm; width: 95mm; border-top: 1pt solid #000'>HL-0427</div>"


def face(blocks: str) -> bytes:
    """Head rule 10 mm down the page's text, foot 118 mm down: 108 mm of room between them."""
    return draw(HEAD + blocks + FOOT)


@pytest.mark.parametrize(
    ("blocks", "percent"),
    [
        ("<div style='height: 85mm; border-bottom: 1mm solid #000'></div>", None),
        ("<div style='height: 98mm; border-bottom: 1mm solid #000'></div>", "92%"),
        ("<div style='height: 91mm'></div><p>Peel</p>", "88%"),
        ("<div style='height: 105mm; border-bottom: 4mm solid #000'></div>", "101%"),
        ("<svg style='position: absolute; top: 105mm' width='9' height='9'><circle r='2'/></svg>", "88%"),
        ("<div style='height: 98mm'></div>", None),
    ],
)
def test_a_face_too_full_is_found(blocks: str, percent: str | None) -> None:
    """Measured from the head rule to the lowest ink; empty paper is air, whatever box it lies in."""
    whats = found(face(blocks), plan("HL-0427", head=("Prepare",), foot=("HL-0427",), full=0.85))
    assert whats == ([] if percent is None else [f"the face is {percent} full"])


def test_how_full_a_face_is_is_not_judged_without_a_limit() -> None:
    assert found(face("<div style='height: 98mm'></div><p>Peel</p>"), plan("HL-0427")) == []
