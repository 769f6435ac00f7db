"""The bar that a ruler is laid on: measured on the printed page, through every matrix."""

from __future__ import annotations

import contextlib

import pypdfium2
import pytest

from packgen.errors import Place
from packgen.render.bars import bar_problems
from packgen.render.pdf import html_to_pdf
from packgen.render.preflight_plan import PlannedPage
from packgen.render.preflight_read import read
from packgen.sheets.drawing import Drawing
from packgen.sheets.scale_bar import scale_bar

BAR = scale_bar("Scale bar", "100 mm").svg
PAGE = "<!DOCTYPE html><html lang='en'><title>t</title><body>{}</body></html>"
CSS = "@page { size: 210mm 297mm; margin: 20mm } body { margin: 0 }"


def faults(body: str, wanted: int = 1) -> list[str]:
    """What is said of a page with this body."""
    pdf = html_to_pdf(PAGE.format(body), CSS, "x.pdf", tagged=False)
    planned = PlannedPage("Print first", 210, 297, (), ())
    with (
        contextlib.closing(pypdfium2.PdfDocument(pdf)) as document,
        contextlib.closing(document[0]) as page,
        contextlib.closing(page.get_textpage()) as text,
    ):
        seen = read(page, text, planned, Place("x.pdf page 1, Print first"))
        return [str(problem) for problem in bar_problems(seen, wanted)]


def scaled(share: float) -> str:
    """The bar, set smaller or larger by a transformation."""
    return f"<div style='transform-origin: 0 0; transform: scale({share})'>{BAR}</div>"


def test_a_bar_of_its_own_size_passes() -> None:
    """One, none and two, as planned."""
    assert faults(BAR) == []
    assert faults("<p>no bar</p>", 0) == []
    assert faults(BAR + BAR, 2) == []


@pytest.mark.parametrize(
    ("share", "length"), [(0.97, "97.00"), (0.997, "99.70"), (1.003, "100.30"), (1.05, "105.00")]
)
def test_a_bar_out_of_scale_is_found_with_its_length(share: float, length: str) -> None:
    """As a printer that fits the page to its paper would make it."""
    assert faults(scaled(share)) == [
        f"x.pdf page 1, Print first: the bar to check the print with is {length} mm long; "
        "expected 100 mm within 0.2 mm; print the figure at its own size"
    ]


@pytest.mark.parametrize("share", [0.9985, 1.0015])
def test_a_bar_within_its_tolerance_passes(share: float) -> None:
    """0.15 mm is less than 0.2 mm."""
    assert faults(scaled(share)) == []


def test_matrices_inside_each_other_are_followed() -> None:
    """Half the size inside twice the size is the size; each alone is not."""
    inner = scaled(0.5)
    twice = f"<div style='transform-origin: 0 0; transform: scale(2)'>{inner}</div>"
    assert faults(f"<div style='opacity: 0.9'>{twice}</div>") == []
    assert "is 50.00 mm long" in faults(inner)[0]


def test_a_bar_that_is_cut_off_is_found() -> None:
    """What is not seen cannot be measured: a mark at each end is part of a bar."""
    cut = f"<div style='width: 90mm; overflow: hidden'>{BAR}</div>"
    assert faults(cut) == [
        "x.pdf page 1, Print first: bars of 100 mm on the page: 0; expected 1, as planned; "
        "print the figure at its own size"
    ]


@pytest.mark.parametrize(
    ("body", "wanted", "there"), [("", 1, 0), (BAR, 0, 1), (BAR, 2, 1), (BAR + BAR, 1, 2)]
)
def test_a_bar_too_few_or_too_many_is_found(body: str, wanted: int, there: int) -> None:
    [said] = faults(body, wanted)
    assert f": bars of 100 mm on the page: {there}; expected {wanted}, as planned; " in said


def test_a_line_of_100_mm_is_no_bar() -> None:
    """A dimension or a pipe's edge has no marks at its tenths; nor has a bar without one of them."""
    plain, gapped = Drawing(3.2), Drawing(3.2)
    plain.line((0.0, 0.0), (100.0, 0.0))
    gapped.line((0.0, 0.0), (100.0, 0.0))
    for tenth in range(10):
        gapped.line((tenth * 10.0, 0.0), (tenth * 10.0, -2.0))
    assert faults(plain.svg(120, 20) + gapped.svg(120, 20), 0) == []
