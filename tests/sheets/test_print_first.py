"""The sheet to read before printing: what it says for each way of making cards, on one page."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from packgen.model.job import Job
from packgen.sheets.blocks import Sheet
from packgen.sheets.media import FORMS, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.print_first import Printing, print_first_sheet
from packgen.sheets.view import View
from packgen.sheets.words import Words

A6 = Printing(41, "a6", 105.0, 148.0, 4)


@pytest.fixture(scope="module")
def view(job_of: Callable[[str], Job], views_of: Callable[..., list[View]]) -> View:
    """The one joint of the first demo job."""
    return views_of(job_of("first-lateral"))[0]


def said(sheet: Sheet) -> str:
    """Its words, a number and its unit parted by a plain space."""
    return " ".join(text for block in sheet.blocks for text in block.strings()).replace("\u00a0", " ")


def every_choice() -> Iterator[Printing]:
    """Forms, flips, finishes, rings, film and places, the last few of which differ in what stands there."""
    for form, flip, finish in itertools.product(FORMS, ("long", "short"), ("cut", "fold")):
        for ring, film, places in itertools.product((False, True), (0.0, 5.0), (1, 4, 10)):
            of = FORMS[form]
            made = Printing(
                199, form, of.width - 2 * film, of.height - 2 * film, places, ring_hole=ring,
                laminating_margin=film, cuts=places > 1,
            )  # fmt: skip
            yield replace(
                made,
                flip="long" if flip == "long" else "short",
                finish="cut" if finish == "cut" else "fold",
                corner=0.0 if finish == "fold" else of.corner,
            )


def test_it_names_the_faces_the_flip_the_cuts_and_the_order_of_the_piles(view: View) -> None:
    words = said(print_first_sheet(view, A6, view.tag))
    for phrase in (
        "41 card faces", "four cards", "flip on the long edge", "Cut the whole stack at once",
        "A finished card is A6", "Lay each pile under the one before",
    ):  # fmt: skip
        assert phrase in words, phrase


def test_the_bar_to_measure_stands_under_full_size(view: View) -> None:
    """Heading, what to set, then the bar."""
    blocks = print_first_sheet(view, A6, view.tag).blocks
    kinds = [block.kind for block in blocks]
    assert kinds.count("drawing") == 1
    assert blocks[kinds.index("drawing") - 2].strings() == ("Print at full size",)


@pytest.mark.parametrize(
    ("change", "there", "not_there"),
    [
        ({"flip": "short"}, "flip on the short edge", "long edge"),
        ({"ring_hole": True}, "Punch a hole of 6 mm on the circle", "film 3 mm"),
        ({"laminating_margin": 3.0}, "trim the film 3 mm outside the paper", "synthetic paper"),
        ({"corner": 3.18}, "corner cutter of 3 mm radius", "Punch"),
        ({"finish": "fold", "places": 2}, "Fold each leaflet once on the dashed marks", "A finished card"),
        ({"finish": "fold", "places": 1, "cuts": False}, "lowest face number outside", "Cut the whole stack"),
        ({"places": 1, "cuts": False}, "Keep the sheets in order", "Cut the whole stack"),
        ({"places": 1}, "Cut the whole stack", "Lay each pile"),
        ({"places": 21}, "takes 21 cards", "four cards"),
    ],
)
def test_each_choice_has_its_words_and_no_others(
    change: dict[str, object], there: str, not_there: str, view: View
) -> None:
    words = said(print_first_sheet(view, replace(A6, **change), view.tag))  # type: ignore[arg-type]
    assert there in words
    assert not_there not in words


def test_the_paper_of_a_laminated_card_is_told_by_its_own_size(view: View) -> None:
    """An A6 card with 3 mm of film round it is cut from paper of 99 × 142 mm."""
    film = replace(A6, width=99.0, height=142.0, laminating_margin=3.0)
    assert "Each piece of paper is 99 × 142 mm." in said(print_first_sheet(view, film, view.tag))


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_it_is_one_page_whatever_was_chosen(paper: str, view: View) -> None:
    """Film is for cards that are cut, so the two never meet."""
    medium = pack_medium(paper)
    for printing in every_choice():
        if printing.folds and printing.laminating_margin:
            continue
        assert len(lay_out([print_first_sheet(view, printing, view.tag)], medium)) == 1, printing


def test_every_word_of_the_group_is_printed_by_some_choice(view: View, words: Words) -> None:
    """Counts and forms aside, which are names of numbers and sizes."""
    printed = " ".join(
        [said(print_first_sheet(view, printing, view.tag)) for printing in every_choice()]
        + ["Scale bar"]  # the drawing's title
    )
    for key, text in words.group("print_first").items():
        if isinstance(text, str):
            start = text.split("{")[0].strip()
            assert start and start in printed, key


def test_every_form_has_a_name(words: Words) -> None:
    forms: object = words.group("print_first")["forms"]
    assert isinstance(forms, dict)
    assert set(forms) == set(FORMS)
