"""Preflight: a sound page passes; one seeded fault for each rule is found, with the page and the words."""

from __future__ import annotations

import logging

import pikepdf
import pytest

from packgen.render.preflight import Box, LogWatch, PlannedPage, fold, preflight
from tests.render.page import FONTS, SAFE, check, draw, edited, found, plan

SOUND = "<h3>Prepare</h3><p>Peel the pipe <b>once</b>.</p><p>½ in, 20 °C − 3 K, 1.40 Ω, x²</p>"


def test_a_sound_page_passes() -> None:
    """Every authored string is found, bold or not, with the signs of the trade."""
    page = plan("Prepare", "Peel the pipe once.", "½ in, 20 °C − 3 K, 1.40 Ω, x²")
    assert check(draw(SOUND), page) == []


def test_every_page_is_checked_and_named() -> None:
    """A problem says file, page number, page name, rule and words."""
    pdf = draw("<p>first</p><p style='break-before: page'>second</p>")
    assert check(pdf, plan("first", name="Prepare"), plan("second", name="Clamp")) == []
    [problem] = check(pdf, plan("first", name="Prepare"), plan("third", name="Clamp"))
    assert str(problem).startswith(
        "crew-pack.pdf page 2, Clamp: text lost: 'third' is printed 0 of 1 times; "
    )


@pytest.mark.parametrize("planned", [1, 3])
def test_a_page_too_many_or_too_few_is_found(planned: int) -> None:
    """Text that ran over makes a page nobody planned; a page that vanished is worse."""
    pdf = draw("<p>first</p><p style='break-before: page'>second</p>")
    pages = [plan("first"), plan("second"), plan("third")][:planned]
    assert found(pdf, *pages) == ["the PDF has 2 pages"]


@pytest.mark.parametrize(("width", "height"), [(105.2, 148), (105, 147.8), (148, 105)])
def test_a_wrong_page_size_is_found(width: float, height: float) -> None:
    """A tenth of a millimetre is the tolerance; a turned page is wrong too."""
    page = PlannedPage("Prepare", width, height, (), (SAFE,))
    assert found(draw("<p>text</p>"), page) == ["the page is 105.0 × 148.0 mm"]


STEPS = [f"Step {number}: tighten screw {number} by hand." for number in range(1, 41)]


@pytest.mark.parametrize("style", ["height: 60mm; overflow: hidden", "height: 100%; overflow: hidden"])
def test_steps_lost_in_a_box_of_fixed_height_are_found(style: str) -> None:
    """WeasyPrint leaves them out, without a word; so each missing step is named."""
    with LogWatch() as log:
        pdf = draw(f"<div style='{style}'>" + "".join(f"<p>{step}</p>" for step in STEPS) + "</div>")
    assert log.problems == []
    lost = [what for what in found(pdf, plan(*STEPS)) if what.startswith("text lost")]
    assert f"text lost: {STEPS[-1]!r} is printed 0 of 1 times" in lost
    assert not any(STEPS[0] in what for what in lost)


CLIPPED = "height: 6mm; overflow: hidden"


@pytest.mark.parametrize(
    "body",
    [
        "<div style='{}'><p>seen</p><p>hidden words</p></div>",
        "<div style='opacity: 0.99; {}'><p>seen</p><p>hidden words</p></div>",
        "<div style='opacity: 0.99'><div style='{}'><p>seen</p><p>hidden words</p></div></div>",
        "<div style='border-radius: 1mm; {}'><p>seen</p><p>hidden words</p></div>",
        "<div style='transform: translateX(3mm); {}'><p>seen</p><p>hidden words</p></div>",
    ],
)
def test_text_in_the_pdf_but_cut_off_is_found(body: str) -> None:
    """The words are there to be searched, but a clipping box hides them from the crew."""
    assert found(draw(body.format(CLIPPED)), plan("seen", "hidden words")) == [
        "text cut off by the box it is in: 'hidden words'"
    ]


def test_a_string_must_be_there_as_often_as_planned() -> None:
    """Two boxes to tick with the same words: one of them gone is a loss."""
    pdf = draw("<p>wiped</p><p>peeled</p><p>wiped</p>")
    assert found(pdf, plan("wiped", "wiped", "peeled")) == []
    assert found(pdf, plan("wiped", "wiped", "wiped")) == ["text lost: 'wiped' is printed 2 of 3 times"]


def test_line_breaks_and_their_marks_do_not_hide_a_string() -> None:
    """A string is found again over lines, with no-break spaces, soft hyphens and hyphens at a line's end."""
    strings = (
        "well-known self-test re-check",
        "0.33\u00a0mm\u202f×\u20072",
        "elec\u00adtro\u00adfusion",
        "7\u200b8",
    )
    body = "".join(f"<p style='width: {width}mm'>{string}</p>" for string in strings for width in (1, 90))
    assert check(draw(body), plan(*strings, *strings)) == []


def test_folding_keeps_what_makes_a_difference() -> None:
    """Sign, digits and letters stay; only space and break marks go."""
    assert fold(" −5 °C\n") == "−5°C"
    assert fold("-5 °C") != fold("−5 °C") != fold("5 °C")
    assert fold("Café") == fold("Cafe\u0301")


@pytest.mark.parametrize(
    "style",
    [
        "position: absolute; left: 90mm; white-space: nowrap",
        "position: absolute; left: 300mm",
        "position: absolute; top: -4mm",
        "position: absolute; top: 138mm",
        "opacity: 0.99; position: absolute; left: 90mm; white-space: nowrap",
        "transform: translateX(-3mm)",
    ],
)
def test_text_outside_the_safe_area_is_found(style: str) -> None:
    """In the margin, off the page, inside a group: it does not matter how it came there."""
    pdf = draw(f"<p>within</p><div style='{style}'>stray words</div>")
    assert "text outside its safe area: 'stray words'" in found(pdf, plan("within", "stray words"))


def test_text_must_lie_in_one_of_the_boxes() -> None:
    """Two boxes with a gap: text in either passes, text across the gap does not."""
    boxes = (Box(5, 5, 45, 143), Box(60, 5, 100, 143))
    left, right, across = (f"<p style='margin-left: {mm}mm'>tap wait</p>" for mm in (2, 60, 38))
    assert found(draw(left + right), plan(boxes=boxes)) == []
    assert found(draw(across), plan(boxes=boxes)) == ["text outside its safe area: 'tap wait'"]


# Lato Regular: the white to the left of an H, in units of the em (font table hmtx: 183 of 2000).
LEFT_OF_H = 183 / 2000
TEN_POINTS = 10 * 25.4 / 72  # mm


@pytest.mark.parametrize(("short", "problems"), [(-0.1, 0), (0.15, 0), (0.25, 1)])
def test_the_safe_area_has_a_tolerance_of_a_fifth_of_a_millimetre(short: float, problems: int) -> None:
    """The edge of the box is set against the ink of an H, whose left edge is known from the font."""
    ink = 5 + TEN_POINTS * LEFT_OF_H
    assert len(found(draw("<p>H</p>"), plan(boxes=(Box(ink + short, 5, 100, 143),)))) == problems


def test_a_foreign_font_is_found_with_the_signs_set_in_it() -> None:
    """A face of another family on the second page: only that page is at fault."""
    pdf = draw("<p>ours</p><p style='break-before: page'>Peel <span style='font-family: Other'>Ω</span></p>")
    [problem] = check(pdf, plan("ours"), plan("Peel Ω"))
    assert problem.place.file == "crew-pack.pdf page 2, Prepare"
    assert problem.what == "foreign font 'Other-Medium' for 'Ω'"
    assert problem.expected == "Lato"


def test_a_foreign_font_inside_a_group_is_found() -> None:
    """Groups keep fonts of their own."""
    pdf = draw("<p>ours</p><div style='opacity: 0.99; font-family: Other'>Ω</div>")
    assert found(pdf, plan("ours")) == ["foreign font 'Other-Medium' for 'Ω'"]


@pytest.mark.parametrize(
    ("style", "face"),
    [
        ("font-style: italic", "Lato-Oblique"),
        ("font-style: italic; font-weight: 700", "Lato-Bold-Oblique"),
        ("font-weight: 300", "Lato-Light"),
    ],
)
def test_a_slanted_or_odd_face_of_our_own_family_is_found(style: str, face: str) -> None:
    """Regular and bold are all that is set; a third weight of the family is as wrong as a slanted sign."""
    light = (FONTS / "Lato-Light.ttf").as_uri()
    third = f"<style>@font-face {{ font-family: Lato; font-weight: 300; src: url({light}) }}</style>"
    pdf = draw(f"{third}<p>ours <b>bold</b></p><p style='{style}'>wet</p>")
    assert found(pdf, plan("ours bold", "wet")) == [f"slanted or odd face {face!r} for 'etw'"]


def test_a_family_is_more_than_the_beginning_of_a_name() -> None:
    """'Lato-Bold' is of the family Lato, and Lato is not of the family La."""
    pdf = draw("<p><b>bold</b></p>")
    assert preflight(pdf, [plan("bold")], families=frozenset({"Lato"})) == []
    assert len(preflight(pdf, [plan("bold")], families=frozenset({"La"}))) == 1


def test_a_font_that_is_not_embedded_is_found() -> None:
    """Another machine would put a face of its own in its place."""

    def strip(document: pikepdf.Pdf) -> None:
        for font in document.pages[0].resources.Font.values():
            del font.DescendantFonts[0].FontDescriptor.FontFile2

    assert found(edited(draw("<p>Peel</p>"), strip), plan("Peel")) == ["font 'Lato' is not embedded"]


def test_a_sign_that_no_font_has_is_found() -> None:
    """WeasyPrint prints an empty box for it; a private-use character has no glyph in any text font."""
    problems = found(draw("<p>Peel \ue5f3 once</p>"), plan("Peel"))
    assert problems == ["no glyph in font 'Lato' for '\\ue5f3' (U+E5F3)"]


def test_glyph_zero_is_found() -> None:
    """Glyph 0 is the empty box in every font."""

    def blank(document: pikepdf.Pdf) -> None:
        stream = document.pages[0].Contents
        stream.write(stream.read_bytes().replace(b"[<", b"[<0000", 1))

    problems = found(edited(draw("<p>Peel</p>"), blank), plan("Peel"))
    assert len(problems) == 1
    assert problems[0].startswith("no glyph in font 'Lato' for ")


def test_a_character_above_the_bmp_is_found() -> None:
    """On the page or in the plan; the fonts' part is told apart from it."""
    assert "character above the BMP: '\U0001f525' (U+1F525)" in found(
        draw("<p>hot \U0001f525</p>"), plan("hot")
    )
    [lost, above] = found(draw("<p>hot</p>"), plan("hot \U0001d7d9"))
    assert lost.startswith("text lost")
    assert above == "character above the BMP: '\U0001d7d9' (U+1D7D9)"


def test_a_log_record_of_the_renderer_is_a_problem() -> None:
    """WeasyPrint warns of a mistyped style and goes on; here it is an error, kept once, with the file."""
    with LogWatch("crew-pack.pdf") as log:
        draw(
            "<style>p { colr: red } p { colr: red }</style><p>text</p><img src='file:///nowhere.png' alt=''>"
        )
    assert {problem.place.file for problem in log.problems} == {"crew-pack.pdf"}
    whats = [problem.what for problem in log.problems]
    assert any("colr" in what for what in whats)
    assert any("nowhere.png" in what for what in whats)
    assert len(whats) == len(set(whats))


def test_the_renderers_running_commentary_is_no_problem() -> None:
    """Progress is told on a logger of its own, at the level of information."""
    with LogWatch() as log:
        logging.getLogger("weasyprint.progress").info("Step 1")
        logging.getLogger("weasyprint").debug("anything else")
        logging.getLogger("fontTools.subset").info("told only when all is well")
        logging.getLogger("fontTools.subset").warning("a table was dropped")
    assert [problem.what for problem in log.problems] == [
        "the renderer says: anything else",
        "the renderer says: a table was dropped",
    ]


def test_a_closed_log_watch_leaves_the_loggers_as_they_were() -> None:
    """Also after an error; and nothing is collected any more."""
    logger = logging.getLogger("weasyprint")
    before = (logger.level, logger.propagate, list(logger.handlers))
    log = LogWatch()
    with pytest.raises(RuntimeError), log:
        raise RuntimeError
    logger.warning("too late")
    assert (logger.level, logger.propagate, list(logger.handlers)) == before
    assert log.problems == []
