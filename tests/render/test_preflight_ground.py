"""Ink on its ground: a seeded fault for each rule of colour, contrast and covering is found."""

from __future__ import annotations

import pikepdf
import pytest

from packgen.render.preflight_ground import contrast
from packgen.render.preflight_shape import BLACK, WHITE
from tests.render.page import check, draw, edited, found, plan

BAR = "background: #000; color: #fff; font-weight: 700; font-size: 12pt; padding: 1mm"
SIGN = (
    "<svg width='20' height='18'><path d='M10 1 L19 17 L1 17 Z' fill='#FFE100' stroke='#000'/>"
    "<circle cx='10' cy='14' r='1'/></svg>"
)
OVER = "position: absolute; left: 0; top: 0; width: 60mm; height: 30mm"


@pytest.mark.parametrize(
    "body",
    [
        "<p>Peel once.</p>",
        f"<p style='{BAR}'>Peel once.</p>",
        f"<p style='{BAR}'><span style='border: 0.8pt solid #fff'>Peel once.</span></p>",
        "<p style='border: 1.4pt solid #000; padding: 1mm'>Peel once.</p>",
        "<p style='border: 2pt solid #000; border-radius: 3mm; padding: 1mm'>Peel once.</p>",
        "<p style='background: #000; padding: 2mm'><span style='background: #fff'>Peel once.</span></p>",
        f"<p>Peel once.</p><div style='{OVER}; margin: -1mm; border: 1pt solid #000'></div>",
        f"<p>{SIGN} Peel once.</p>",
        "<p style='transform: rotate(90deg); width: 30mm; margin: 20mm'>Peel once.</p>",
    ],
)
def test_black_on_white_and_bold_white_on_black_pass(body: str) -> None:
    """Also inside frames, which have nothing in their middle, beside a sign, and turned."""
    assert check(draw(body), plan("Peel once.", white=12.0)) == []


def test_contrast_is_that_of_the_guidelines() -> None:
    """W3C's own figures: black on white is 21, and #767676 is the lightest grey that reaches 4.5 on white."""
    assert contrast(BLACK, WHITE) == pytest.approx(21.0)
    assert contrast((0x76, 0x76, 0x76), WHITE) >= 4.5 > contrast((0x77, 0x77, 0x77), WHITE)


def test_grey_text_is_found_with_its_contrast() -> None:
    """A toner-saving grey is gone when the card is wet."""
    [colour, ratio] = check(draw("<p style='color: #777'>Peel once.</p>"), plan("Peel once."))
    assert colour.what == "text in #777777: 'Peel once.'"
    assert ratio.what == "contrast 4.5 : 1, #777777 on #FFFFFF: 'Peel once.'"
    assert ratio.expected == "at least 7 : 1"
    assert str(ratio).startswith("crew-pack.pdf page 1, Prepare: ")


def test_dark_text_in_a_colour_is_found() -> None:
    """It has contrast enough, and is gone in one-colour print of another colour."""
    assert found(draw("<p style='color: #300'>Peel once.</p>"), plan("Peel once.")) == [
        "text in #330000: 'Peel once.'"
    ]


def test_contrast_is_judged_on_the_shape_under_the_words() -> None:
    """Black on dark grey, which is told as a fill too."""
    pdf = draw("<p>Peel <span style='background: #555'>once</span>.</p>")
    whats = found(pdf, plan("Peel once."))
    assert whats[0] == "contrast 2.8 : 1, #000000 on #555555: 'once'"
    assert whats[1].startswith("a fill in #555555, ")


@pytest.mark.parametrize(
    ("body", "colour"),
    [
        ("<p style='color: #fff; font-weight: 700; font-size: 12pt'>Peel once.</p>", "#FFFFFF"),
        ("<p style='background: #000'>Peel once.</p>", "#000000"),
        (f"<p style='{BAR}'><span style='background: #fff'>Peel once.</span></p>", "#FFFFFF"),
        ("<p style='background: #000'><b style='background: #000'>Peel once.</b></p>", "#000000"),
    ],
)
def test_text_in_the_colour_of_its_ground_is_found(body: str, colour: str) -> None:
    """The words are there to be searched, and nobody can read them."""
    expected = f"text in the colour of its ground, {colour}: 'Peel once.'"
    assert expected in found(draw(body), plan("Peel once."))


def test_text_that_runs_off_its_black_bar_is_found() -> None:
    """Half of it is white on white."""
    bar = f"{BAR}; width: 10mm; white-space: nowrap"
    whats = found(draw(f"<p style='{bar}'>Peel once, wipe, dry.</p>"), plan("Peel once, wipe, dry."))
    assert whats == ["text in the colour of its ground, #FFFFFF: 'Peel once, wipe, dry.'"]


@pytest.mark.parametrize(
    "shape",
    [
        f"<div style='{OVER}; background: #fff'></div>",
        f"<div style='{OVER}; background: #fff; border-radius: 2mm'></div>",
        f"<div style='{OVER}; background: #fff; transform: rotate(3deg)'></div>",
        f"<svg style='{OVER}' viewBox='0 0 60 30'><circle cx='9' cy='3' r='8' fill='#fff'/></svg>",
        "<div style='position: absolute; top: 1.6mm; width: 40mm; height: 1mm; background: #000'></div>",
    ],
)
def test_text_under_a_later_shape_is_found(shape: str) -> None:
    """A white box over words hides them from eyes, not from a search; a bar through them does as well."""
    assert found(draw(f"<p>Peel once.</p>{shape}"), plan("Peel once.")) == [
        "text covered by what is painted later: 'Peel once.'"
    ]


DOT = "position: absolute; left: 9.2mm; top: 2.9mm; width: 1mm; height: 1mm; background: #fff"


@pytest.mark.parametrize(
    "body",
    [
        "<p style='text-decoration: line-through'>Torque 0.33 mm</p>",
        "<p style='text-decoration: line-through #fff 2pt'>Torque 0.33 mm</p>",
        f"<p>Torque 0.33 mm</p><svg style='{OVER}' viewBox='0 0 60 30'>"
        "<path d='M13 0 v9' stroke='#fff'/></svg>",
        f"<p>Torque 0.33 mm</p><svg style='{OVER}' viewBox='0 0 60 30'>"
        "<circle cx='9' cy='2' r='6' fill='none' stroke='#000' stroke-width='4'/></svg>",
        "<p style='margin-left: -4.5mm'>Torque 0.33 mm, and so on to the right for forty signs more</p>"
        f"<div style='{DOT}'></div>",
    ],
)
def test_a_line_over_words_or_a_shape_over_one_sign_is_found(body: str) -> None:
    """Words struck out in black or white; a digit, or the point between two, that is painted away."""
    whats = found(draw(f"<div style='margin-left: 5mm'>{body}</div>"), plan())
    assert [what for what in whats if what.startswith("text covered by what is painted later: 'Torque")]


def test_a_line_that_is_painted_beside_words_passes() -> None:
    """An underline, and a line under a tail."""
    under = "<p style='text-decoration: underline'>Torque</p><p style='border-bottom: 1pt solid #000'>gap</p>"
    close = "<p style='line-height: 1; border: 1pt solid #000'>gap</p>"
    assert check(draw(f"<p>Torque</p>{under}{close}"), plan()) == []


def test_white_text_must_be_bold_and_large_enough() -> None:
    """Thin white strokes fill up with toner."""
    thin = "background: #000; color: #fff; font-size: 11pt"
    assert found(draw(f"<p style='{thin}'>Peel</p>"), plan("Peel", white=12.0)) == [
        "white text that is not bold: 'Peel'",
        "white text of 11 pt: 'Peel'",
    ]


@pytest.mark.parametrize("style", ["opacity: 0.5", "color: rgba(0, 0, 0, 0.4)", "color: transparent"])
def test_text_that_its_ground_shows_through_is_found(style: str) -> None:
    """By a group or by its own colour, half or altogether."""
    pdf = draw(f"<p>ours</p><p style='{style}'>Peel once.</p>")
    assert found(pdf, plan("Peel once.")) == ["text that its ground shows through: 'Peel once.'"]


def test_slanted_signs_are_found() -> None:
    """A skewed group slants an upright face; no font tells of it."""
    pdf = draw("<p style='transform: skewX(-12deg); margin: 9mm'>Peel</p>")
    assert found(pdf, plan("Peel")) == ["text slanted, outlined or not painted: 'Peel'"]


@pytest.mark.parametrize("mode", [1, 3, 7])
def test_outlined_and_unpainted_signs_are_found(mode: int) -> None:
    """Text rendering modes of ISO 32000-1, 9.3.6: strokes only, nothing, a clipping path."""

    def unpaint(document: pikepdf.Pdf) -> None:
        stream = document.pages[0].Contents
        stream.write(stream.read_bytes().replace(b"BT\n", b"BT\n%d Tr\n" % mode))

    whats = found(edited(draw("<p>Peel</p>"), unpaint), plan("Peel"))
    assert whats == ["text slanted, outlined or not painted: 'Peel'"]


@pytest.mark.parametrize(
    ("shape", "what"),
    [
        ("<rect width='20' height='9' fill='#c00'/>", "a fill in #CC0000"),
        ("<rect width='20' height='9' fill='#ddd'/>", "a fill in #DDDDDD"),
        ("<path d='M1 1 L30 9' stroke='#00f' fill='none'/>", "a line in #0000FF"),
        ("<rect width='60' height='9' fill='#FFE100'/>", "a yellow area larger than a sign"),
        ("<rect width='20' height='9' fill-opacity='0.5'/>", "a shape that its ground shows through"),
    ],
)
def test_a_shape_in_another_colour_is_found(shape: str, what: str) -> None:
    """Where it stands is told, since it has no words."""
    pdf = draw(f"<p>Peel</p><svg width='80' height='20'>{shape}</svg>")
    assert found(pdf, plan("Peel"))[0].startswith(f"{what}, 5 mm from the left and 9 mm from the top")


def test_a_run_of_shades_is_found() -> None:
    """WeasyPrint draws it as a pattern, whose colours are not known."""
    pdf = draw("<p style='height: 9mm; background: linear-gradient(#000, #fff)'></p><p>Peel</p>")
    assert len(found(pdf, plan("Peel"))) == 1


def test_a_picture_is_found() -> None:
    """Only lines and fills of our own are printed; a picture would also hide words under it."""
    dot = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg=="
    pdf = draw(f"<p>Peel</p><img alt='dot' style='width: 9mm' src='data:image/png;base64,{dot}'>")
    assert found(pdf, plan("Peel"))[0].startswith("a picture or a run of shades, ")
