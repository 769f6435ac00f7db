"""How far the face itself moves letters together."""

from __future__ import annotations

import pytest

from packgen.render.kerning import kerning


@pytest.mark.parametrize("bold", [False, True])
def test_letters_that_slant_together_are_kerned_and_upright_ones_are_not(bold: bool) -> None:
    """A V under an A, an o under a T; nothing between two stems or two digits."""
    assert kerning("AV", bold) < -0.05
    assert kerning("To", bold) < -0.05
    assert kerning("in", bold) == kerning("12", bold) == 0.0


def test_the_kerning_of_words_is_that_of_their_pairs() -> None:
    """One letter has none."""
    assert kerning("ToTo", False) == pytest.approx(2 * kerning("To", False) + kerning("oT", False))
    assert kerning("T", False) == kerning("", False) == 0.0
