"""Every line of a figure is looked for on its page, black and at its own size."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from packgen.errors import ContentError
from packgen.render import pdf as module
from packgen.render.html import Stamp, print_css
from packgen.render.pdf import print_faces
from packgen.render.preflight_figure import sketch
from packgen.render.preflight_plan import Path
from packgen.sheets.blocks import Drawing, Face, Tag
from packgen.sheets.drawing import Drawing as Sheet
from packgen.sheets.figure_base import Figure
from packgen.sheets.media import pack_medium
from packgen.sheets.scale_bar import draw_bar
from packgen.sheets.words import load_words

WORDS, PACK = load_words(), pack_medium("letter")
STAMP = Stamp("HL-0427 revision 1 · 2345-6789-ABCD", ("DEMO",))


def template() -> Figure:
    """An outline with a sharp corner and a chain line, over a bar of 100 mm."""
    sheet = Sheet(3.2)
    sheet.line((10, -60), (90, -60), (50, -58), (10, -60), width=0.7)
    sheet.line((50, -62), (50, -12), dash="5 1 0.6 1")
    sheet.line((20, -30), (80, -30))
    draw_bar(sheet, (0.0, 0.0), "100 mm")
    svg = sheet.svg(120, 80)
    return Figure("template", "Template", svg, "A template", "1 : 1", ("100 mm",), 80, bar=True)


def printed(monkeypatch: pytest.MonkeyPatch, css: str = "") -> bytes:
    """The template on a page, with CSS that a fault is made of."""
    monkeypatch.setattr(module, "print_css", lambda *given: print_css(*given) + css)
    face = Face("peel", "Peel", Tag("2 in on 6 in", "IPS"), (Drawing(template()),), 1, 1)
    return print_faces(
        [face], PACK, STAMP, WORDS, title="Pack", date="2026-05-12", file="pack.pdf", tagged=False
    )


def test_the_paths_of_a_figure_are_read_from_its_drawing() -> None:
    """Points as PDF counts them, edges in mm, the width of the line."""
    closed, filled = 'd="M1 2L4 2L4 6Z" stroke-width="0.35"', 'd="M0 0L2 2" stroke="none" fill="#000"'
    svg = f"<svg><path {closed}/><path {filled}/></svg>"
    paths = sketch(replace(template(), svg=svg)).paths
    assert paths == (
        Path(4, (1.0, 2.0, 4.0, 6.0), 0.35, filled=False),
        Path(2, (0.0, 0.0, 2.0, 2.0), 0.0, filled=True),
    )
    assert len(sketch(template()).paths) == 3 + 12


def test_a_sound_figure_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sharp corners and dashes too."""
    assert printed(monkeypatch).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("css", "what"),
    [
        ("figure svg { width: 110mm !important }", "a figure at another scale: a line takes 73.. × 1.8 mm"),
        ("figure { transform: scale(0.98) }", "a figure at another scale: a line takes 78.4 × 2.0 mm"),
        (".draw { height: 40mm; overflow: hidden }", "figure not drawn in black at their width: .* of 15"),
        ("figure svg { display: none }", "lines of a figure missing: at most . of 15 are there"),
        ("figure .draw { opacity: 0.5 }", "not drawn in black at their width: 15 of 15"),
    ],
)
def test_a_figure_that_is_scaled_cut_off_faint_or_not_there_is_refused(
    monkeypatch: pytest.MonkeyPatch, css: str, what: str
) -> None:
    """Fifteen lines stand in it; the message names the face, the rule and the figure."""
    with pytest.raises(ContentError, match=f"page 1, Peel: .*{what}.*: 'Template'"):
        printed(monkeypatch, css)


def seeded(monkeypatch: pytest.MonkeyPatch, old: str, new: str, times: int = 0) -> None:
    """Every figure's drawing with a fault in it, on its way to the layout; `times` 0 for all."""
    drawn = module.faces_html
    monkeypatch.setattr(
        module, "faces_html", lambda *given, **kept: re.sub(old, new, drawn(*given, **kept), count=times)
    )


@pytest.mark.parametrize(
    ("old", "new", "times", "what"),
    [
        ("<path ", '<path display="none" ', 0, "lines of a figure missing: at most . of 15 are there"),
        ("<path ", '<path display="none" ', 7, "lines of a figure missing: at most 8 of 15 are there"),
        ("<path [^>]*/>", "", 1, "lines of a figure missing: at most 14 of 15 are there"),
        ('stroke="#000"', 'stroke="none"', 0, "lines of a figure missing: at most . of 15 are there"),
        ('stroke="#000"', 'stroke="#fff"', 0, "not drawn in black at their width: 15 of 15"),
        ("<path ", '<path stroke="#fff" ', 1, "not drawn in black at their width: 1 of 15"),
        ('stroke-width="0.7"', 'stroke-width="0.3"', 1, "not drawn in black at their width: 1 of 15"),
        ("<path ", '<path transform="scale(0.98)" ', 1, "at another scale: a line takes 78.4 × 2.0 mm"),
        ("<path ", '<path transform="translate(0 0.5)" ', 1, "a line of a figure is not in its place"),
    ],
)
def test_lines_missing_white_thin_scaled_or_moved_are_refused(
    monkeypatch: pytest.MonkeyPatch, old: str, new: str, times: int, what: str
) -> None:
    """The labels alone would be believed; so would an outline at another scale beside a bar of 100 mm."""
    seeded(monkeypatch, old, new, times)
    with pytest.raises(ContentError, match=f"page 1, Peel: [^;]*{what}.*: 'Template'") as told:
        printed(monkeypatch)
    assert times != 1 or "the bar" not in str(told.value), "a fault in one line leaves the bar true"
