"""How many faces stand on a sheet, which way up it lies, and where the gutters are."""

from __future__ import annotations

import itertools

import pytest

from packgen.errors import PackgenError
from packgen.render.impose_layout import BLEED, GUTTER, layout
from packgen.sheets.media import FORMS, SHEETS
from tests.render.marked_faces import plan

# Worked by hand: whole widths and heights in the sheet's, portrait and landscape.
CARDS = {
    ("id-1", "letter"): 10, ("id-1", "a4"): 10, ("a7", "letter"): 6, ("a7", "a4"): 8, ("3x5", "letter"): 4,
    ("3x5", "a4"): 4, ("a6", "letter"): 2, ("a6", "a4"): 4, ("quarter-letter", "letter"): 4,
    ("quarter-letter", "a4"): 2, ("half-letter", "letter"): 2, ("half-letter", "a4"): 1,
    ("letter", "letter"): 1, ("a4", "a4"): 1, ("a3", "a3"): 1, ("11x17", "11x17"): 1, ("a4", "a3"): 2,
    ("letter", "11x17"): 2,
}  # fmt: skip
LEAFLETS = {
    ("half-letter", "letter"): 1, ("quarter-letter", "letter"): 2, ("a6", "a4"): 2, ("a7", "a4"): 4,
    ("letter", "11x17"): 1, ("a4", "a3"): 1, ("id-1", "a4"): 5,
}  # fmt: skip


@pytest.mark.parametrize(("pair", "cards"), CARDS.items(), ids=str)
def test_a_sheet_takes_as_many_cards_as_fit(pair: tuple[str, str], cards: int) -> None:
    assert plan(*pair).places == cards


@pytest.mark.parametrize(("pair", "leaflets"), LEAFLETS.items(), ids=str)
def test_a_leaflet_takes_two_faces_side_by_side(pair: tuple[str, str], leaflets: int) -> None:
    made = plan(*pair, finish="fold")
    assert made.places == leaflets
    for left, right in zip(made.lefts[::2], made.lefts[1::2], strict=True):
        assert right - left == pytest.approx(made.face_width)


def test_half_letter_fills_a_landscape_letter_sheet() -> None:
    made = plan("half-letter", "letter", finish="fold")
    assert made.is_landscape
    assert (made.lefts, made.tops, made.places) == ((0.0, 139.7), (0.0,), 1)


def test_every_layout_keeps_its_faces_whole_apart_and_in_the_middle() -> None:
    """On any sheet: no face over another or over the edge, the same margin on both sides."""
    for form in FORMS:
        for paper in SHEETS:
            try:
                made = plan(form, paper)
            except PackgenError:
                continue
            for starts, face, length in (
                (made.lefts, made.face_width, made.width),
                (made.tops, made.face_height, made.height),
            ):
                gaps = [b - a - face for a, b in itertools.pairwise(starts)]
                assert all(gap == pytest.approx(0.0) or gap == pytest.approx(GUTTER) for gap in gaps)
                assert starts[0] >= 0.0
                assert starts[0] == pytest.approx(length - starts[-1] - face)


def test_gutters_are_twice_the_bleed_and_cost_no_face() -> None:
    """Two 3 x 5 in cards across A4 leave 57 mm, so each is cut out; two A6 leave nothing, and share a cut."""
    made = plan("3x5", "a4")
    assert made.lefts[1] - made.lefts[0] == pytest.approx(76.2 + 2 * BLEED)
    assert plan("a6", "a4").lefts == (0.0, 105.0)


def test_of_two_ways_that_take_the_same_number_the_one_with_room_for_marks_stands() -> None:
    """Two A6 on letter: upright they leave 2.95 mm at the sides, across the sheet 31.7 mm."""
    made = plan("a6", "letter")
    assert made.is_landscape
    assert made.lefts[0] == pytest.approx((279.4 - 2 * 105 - 6) / 2)


@pytest.mark.parametrize("form", ["letter", "a4", "a3", "11x17"])
def test_one_face_that_is_the_sheet_is_not_cut(form: str) -> None:
    assert not plan(form, form).is_cut
    assert plan("a6", "a4").is_cut
    assert plan("half-letter", "a4").is_cut


def test_a_face_larger_than_its_sheet_is_refused_with_a_cure() -> None:
    with pytest.raises(PackgenError, match=r"--form: a face of 297 × 420 mm does not fit .* larger paper"):
        plan("a3", "a4")


@pytest.mark.parametrize(("form", "paper"), [("letter", "letter"), ("half-letter", "a4"), ("a3", "a3")])
def test_faces_that_do_not_lie_side_by_side_are_not_folded(form: str, paper: str) -> None:
    with pytest.raises(PackgenError, match=r"--finish: two faces .* nothing folds; .* or finish cut"):
        plan(form, paper, finish="fold")


def test_sizes_that_are_no_sizes_are_refused() -> None:
    with pytest.raises(PackgenError, match="face width"):
        layout((210.0, 297.0), (0.0, 148.0))


@pytest.mark.parametrize(
    ("paper", "flip", "behind"),
    [
        ("a4", "long", (210.0 - 10.0 - 105.0, 20.0)),
        ("a4", "short", (10.0, 297.0 - 20.0 - 148.0)),
        ("letter", "long", (10.0, 215.9 - 20.0 - 148.0)),
        ("letter", "short", (279.4 - 10.0 - 105.0, 20.0)),
    ],
)
def test_where_a_back_lies(paper: str, flip: str, behind: tuple[float, float]) -> None:
    """Worked by hand: an A6 face 10 mm from the left, 20 from the top; a letter sheet lies across."""
    made = plan("a6", paper, flip)
    assert made.is_landscape == (paper == "letter")
    assert made.behind(10.0, 20.0) == pytest.approx(behind)


def test_a_short_last_sheet_leaves_the_last_places_blank() -> None:
    """Nineteen faces are ten cards; four to a sheet make three sheets, and piles of 3, 3, 3 and 1."""
    made = plan("a6", "a4")
    assert made.sheets(19) == 3
    assert made.sheets(0) == 0
    assert [made.sheets(faces) for faces in (1, 2, 8, 9)] == [1, 1, 1, 2]
