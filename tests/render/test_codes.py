"""The square with the code: read from the page as printed, blurred and worn; each fault is found."""

from __future__ import annotations

import contextlib
import io

import pypdfium2
import pytest
import segno

from packgen.errors import Place
from packgen.publish.marks import code_block
from packgen.render.codes import code_problems
from packgen.render.pdf import html_to_pdf
from packgen.render.preflight_plan import PlannedPage
from packgen.render.preflight_read import read
from packgen.sheets.words import load_words

CODE = "2345-6789-ABCD"
SQUARE = code_block(CODE, load_words()).svg
PAGE = "<!DOCTYPE html><html lang='en'><title>t</title><body>{}</body></html>"
CSS = "@page { size: 105mm 148mm; margin: 5mm } body { margin: 0 } svg { display: block }"
PLACE = "x.pdf page 1, Crew pack: "


def faults(body: str, *texts: str) -> list[str]:
    """What is said of a page with this body and these printed codes."""
    pdf = html_to_pdf(PAGE.format(body), CSS, "x.pdf", tagged=False)
    planned = PlannedPage("Crew pack", 105, 148, (), ())
    with (
        contextlib.closing(pypdfium2.PdfDocument(pdf)) as document,
        contextlib.closing(document[0]) as page,
        contextlib.closing(page.get_textpage()) as text,
    ):
        seen = read(page, text, planned, Place(PLACE.removesuffix(": ")))
        return [str(problem) for problem in code_problems(seen, texts)]


def symbol(words: str = CODE, *, error: str = "h", version: int = 3) -> str:
    """A square of another make, with modules of 0.59 mm."""
    out = io.BytesIO()
    made = segno.make_qr(words, error=error, boost_error=False, version=version)
    made.save(out, kind="svg", xmldecl=False, nl=False, omitsize=True, svgclass=None, lineclass=None)
    size = made.symbol_size(scale=1)[0] * 0.59
    return out.getvalue().decode().replace("<svg ", f'<svg width="{size}mm" height="{size}mm" ', 1)


def over(mark: str) -> str:
    """The square with something drawn over it; 21.83 mm is its side, margin and all."""
    style = "position: absolute; left: 0; top: 0; width: 21.83mm; height: 21.83mm"
    return f'<div style="position: relative">{SQUARE}<svg style="{style}" {mark}</svg></div>'


def block(left: float, top: float, side: float, fill: str) -> str:
    """A square patch, mm from the left top corner of the code's square."""
    rectangle = f'<rect x="{left}" y="{top}" width="{side}" height="{side}" fill="{fill}"/>'
    return over(f'viewBox="0 0 21.83 21.83">{rectangle}')


def test_the_square_of_a_code_passes() -> None:
    """It reads as printed, blurred, and with a tenth of its area gone; a page without one has none."""
    assert faults(SQUARE, CODE) == []
    assert faults("<p>no square</p>") == []
    assert faults(SQUARE + symbol("AAAA-BBBB-CCCC"), CODE, "AAAA-BBBB-CCCC") == []


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_square_may_stand_in_any_direction(turn: int) -> None:
    """As on a sheet that is cut after printing."""
    assert faults(f"<div style='width: 21.83mm; transform: rotate({turn}deg)'>{SQUARE}</div>", CODE) == []


def test_another_code_is_found_three_times() -> None:
    """The square says what was printed on another job."""
    said = faults(symbol("ZZZZ-ZZZZ-ZZZZ"), CODE)
    states = ("as printed", "blurred", "worn off over a tenth of it")
    assert said == [
        f"{PLACE}the code's square, {state}, reads 'ZZZZ-ZZZZ-ZZZZ'; expected {CODE!r}; "
        "print the square whole, at its own size"
        for state in states
    ]


@pytest.mark.parametrize(
    ("body", "texts", "there"), [("", (CODE,), 0), (SQUARE, (), 1), (SQUARE, (CODE, CODE), 1)]
)
def test_a_square_too_few_or_too_many_is_found(body: str, texts: tuple[str, ...], there: int) -> None:
    assert faults(body, *texts)[0].startswith(f"{PLACE}squares with a code on the page: {there}; expected")


def test_small_modules_are_found() -> None:
    """A square pressed into too little room can be read here, and not by a phone in the rain."""
    small = SQUARE.replace('width="21.83mm" height="21.83mm"', 'width="17.76mm" height="17.76mm"')
    assert small != SQUARE
    said = f"{PLACE}the modules of the code's square are 0.48 mm wide; expected 0.5 mm or more; "
    assert faults(small, CODE)[0].startswith(said)


def test_a_lower_level_of_correction_is_found() -> None:
    """Level Q reads well while it is new."""
    said = f"{PLACE}the code's square mends errors at level Q; expected level H; "
    assert any(each.startswith(said) for each in faults(symbol(error="q"), CODE))


def test_a_smaller_symbol_that_cannot_be_worn_is_found() -> None:
    """Level L loses its words with a tenth of its area, and nothing but wear shows it."""
    said = "\n".join(faults(symbol(error="l", version=1), CODE))
    assert "worn off over a tenth of it, reads ''" in said
    assert "as printed, reads" not in said


@pytest.mark.parametrize(
    "body",
    [
        f"<div style='position: relative'>{SQUARE}<p style='position: absolute; left: 20mm; top: 0'>|</div>",
        block(0.5, 0.5, 1.0, "#000"),
        block(20.2, 20.2, 1.0, "#ccc"),
    ],
)
def test_ink_in_the_quiet_zone_is_found(body: str) -> None:
    """A letter, a rule, a grey patch."""
    assert faults(body, CODE)[0].startswith(f"{PLACE}the quiet zone of the code's square is not empty; ")


def test_a_quiet_zone_off_the_page_is_found() -> None:
    """Two modules from the paper's edge are too near."""
    near = f"<div style='position: absolute; left: -6.2mm; top: 0'>{SQUARE}</div>"
    assert faults(near, CODE)[0].startswith(f"{PLACE}the quiet zone of the code's square runs off the page; ")


def test_a_covered_square_is_found() -> None:
    """Whatever was painted over it: the raster shows the paper, not the path."""
    assert any("as printed, reads ''" in each for each in faults(block(2.4, 2.4, 12.0, "#fff"), CODE))


def test_a_square_that_blurs_is_found() -> None:
    """Modules worn to small dots: read when sharp, bare paper through a wet film."""
    lines = "".join(f"M12 {at}H33M{at} 12V33" for at in range(12, 34))
    worn = over(f'viewBox="0 0 37 37"><path d="{lines}" stroke="#fff" stroke-width=".6"/>')
    said = "\n".join(faults(worn, CODE))
    assert "blurred, reads ''" in said
    assert "as printed, reads" not in said
