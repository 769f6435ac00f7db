"""How words are measured: where a line may break, and widths from the font itself."""

from __future__ import annotations

import doctest

import fontpkg_lato
import pytest
from fontTools.ttLib import TTFont

from packgen.sheets import measure
from packgen.sheets.blocks import Span, Spans, spans
from packgen.sheets.measure import LONGEST_VALUE, line_count, missing_signs, whole, width_of


def test_worked_examples_run() -> None:
    """The examples in the docstrings are true, and there are some."""
    failed, tried = doctest.testmod(measure)
    assert tried >= 3
    assert failed == 0


def narrowest(line: Spans) -> float:
    """The least width in mm, to 0.1 mm, at which a line of 10 pt type takes as few lines as it ever does."""
    fewest = line_count(line, 10.0, 1000.0)
    return next(tenth / 10 for tenth in range(1, 5000) if line_count(line, 10.0, tenth / 10) == fewest)


def test_a_line_takes_the_advance_widths_of_the_face() -> None:
    """'Wipe Wipe' at 10 pt is as wide as its nine glyphs, read here from the font file itself."""
    font = TTFont(str(fontpkg_lato.ROOT / "files" / "Lato-Regular.ttf"))
    glyphs, widths = font.getBestCmap(), font["hmtx"].metrics
    em = sum(widths[glyphs[ord(sign)]][0] for sign in "Wipe Wipe") / font["head"].unitsPerEm
    assert em > 4.0
    assert narrowest(spans("Wipe Wipe")) == pytest.approx(em * 10 * 25.4 / 72, abs=0.11)


def test_bold_is_measured_with_the_bold_face() -> None:
    """A strong line is wider than the same words in plain type."""
    assert width_of("Tap wait", True) > width_of("Tap wait", False)
    assert narrowest(spans("Tap wait", "strong")) > narrowest(spans("Tap wait"))


def test_a_value_breaks_only_before_its_second_system() -> None:
    """Number and unit stay on one line; the bracket may go to the next."""
    value = spans("0.009 in [0.23 mm]", "value")
    assert line_count(value, 10.0, 1.0) == 2
    assert line_count(spans("0.009 in [0.23 mm]"), 10.0, 1.0) == 4


def test_a_long_value_is_words_and_breaks_like_words() -> None:
    """From the longest length on, a value is taken as a sentence."""
    long, short = "x" * (LONGEST_VALUE - 4) + " y z", "x" * (LONGEST_VALUE - 5) + " y z"
    assert (len(long), len(short)) == (LONGEST_VALUE, LONGEST_VALUE - 1)
    assert whole(long) == long
    assert line_count(spans(long, "value"), 10.0, 1.0) == 3
    assert line_count(spans(short, "value"), 10.0, 1.0) == 1


def test_spans_without_a_space_between_them_make_one_piece() -> None:
    """A full stop never begins a line of its own after a value."""
    line = (Span("Wait "), Span("15 min", "value"), Span("."))
    assert line_count(line, 10.0, 1.0) == 2


def test_a_blank_takes_room_to_write_in() -> None:
    """ENTER in its frame is wider than the word."""
    assert narrowest(spans("ENTER now", "blank")) > narrowest(spans("ENTER now", "strong")) + 8.0


@pytest.mark.parametrize("text", ["4 in IPS, ½ × 2 ≤ 3 − 1 Ω µ → ñ ç °", "no-break\N{NO-BREAK SPACE}space"])
def test_every_sign_we_use_has_a_glyph(text: str) -> None:
    assert missing_signs(text) == ""


@pytest.mark.parametrize(("text", "signs"), [("peel 管", "管"), ("ok 😀 管", "管😀")])
def test_a_sign_without_a_glyph_is_named(text: str, signs: str) -> None:
    assert missing_signs(text) == signs


def test_an_empty_line_is_one_line_high() -> None:
    assert line_count((), 10.0, 50.0) == 1
