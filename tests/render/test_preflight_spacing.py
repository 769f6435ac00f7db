"""Letters and words that are set closer together, or further apart, than the face was cut are found."""

from __future__ import annotations

import pytest

from tests.render.page import draw, found, plan

WORDS = "Peel the pipe once and wipe it dry."


def spacing(style: str) -> list[str]:
    """What is wrong with a line in that style."""
    return found(draw(f"<p style='{style}'>{WORDS}</p>"), plan(WORDS, upright=True))


@pytest.mark.parametrize(
    "style", ["", "font-weight: 700", "font-size: 30pt; width: 70mm", "font-kerning: none"]
)
def test_words_as_they_were_cut_pass(style: str) -> None:
    """Bold or not, in one line or several, kerned or not."""
    assert spacing(style) == []


@pytest.mark.parametrize("text", ["A", "AVAVA To. Ty, LT AWAY", "1-3/4 in [44.4 mm] ≤ 20 °C", "ENTER"])
def test_short_and_closely_kerned_words_pass(text: str) -> None:
    """Kerning and the space beside the last letter are no fault."""
    assert found(draw(f"<p>{text}</p>"), plan(text, upright=True)) == []


@pytest.mark.parametrize(
    ("style", "what"),
    [
        ("letter-spacing: -0.02em", "squeezed together"),
        ("letter-spacing: -0.2em", "squeezed together"),
        ("word-spacing: -0.15em", "squeezed together"),
        ("letter-spacing: 0.02em", "spread out"),
        ("word-spacing: 0.1em", "spread out"),
        ("text-align: justify; text-align-last: justify", "spread out"),
    ],
)
def test_words_squeezed_or_spread_are_found(style: str, what: str) -> None:
    """The size of the type is right, and the words cannot be read at arm's length."""
    assert spacing(style) == [f"words {what}: {WORDS!r}"]


def test_words_on_sheets_that_turn_their_faces_are_not_judged_again() -> None:
    """Their faces have passed as pages for the screen."""
    pdf = draw(f"<p style='letter-spacing: -0.02em'>{WORDS}</p>")
    assert found(pdf, plan(WORDS)) == []
