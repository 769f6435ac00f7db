"""Printed cards end to end: real faces on sheets of every form, and no file where a sheet is wrong."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest

from packgen.errors import ContentError, PackgenError, UsageError
from packgen.model.load import load
from packgen.publish.imposed import impose_cards, sheet_layout, word_problems
from packgen.publish.imprint import Imprint
from packgen.publish.marks import code_block, stamp_of
from packgen.publish.options import Options
from packgen.publish.selection import chosen
from packgen.render.html import Stamp
from packgen.render.impose import Imposed, Placement
from packgen.render.impose_layout import Layout
from packgen.render.pdf import print_faces
from packgen.sheets.blocks import Face
from packgen.sheets.deck import card_sheets
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import load_words

ROOT = Path(__file__).parents[2]
DATE, FILE = "2026-05-12", "pocket-cards.pdf"
FACES = 11  # six cards, the last with a blank back


@dataclass(frozen=True)
class Made:
    """Some faces of a real card set, as they stand on the screen."""

    view: View
    stamp: Stamp
    faces: tuple[Face, ...]
    screen: bytes

    def imposed(self, options: Options, faces: Sequence[Face] | None = None) -> bytes:
        """The sheets."""
        words, own = self.view.words, self.faces if faces is None else faces
        stamped = [(face, self.stamp) for face in own]
        imprint = Imprint(self.stamp, words, "Cards", DATE)
        return impose_cards(FILE, self.screen, stamped, self.view, self.view.tag, imprint, options)


def made_with(options: Options) -> Made:
    """The first faces of a set in the form chosen."""
    catalog, words = load(here=ROOT), load_words()
    (found,) = chosen(catalog, ["6 in IPS DR 11 PE4710"], ["2 in IPS"], ["demo-saddle-screw"])
    view = View(catalog, words, found, "both")
    stamp = stamp_of(words, "water · dry main · open drill · 2222-2222-2222", demo=True, draft=False)
    sheets = card_sheets(view, options.card, code_block("2222-2222-2222", words))
    whole = lay_out(sheets, options.card)[:FACES]
    faces = tuple(replace(face, total=len(whole)) for face in whole)
    screen = print_faces(faces, options.card, stamp, words, title="Cards", date=DATE, file="screen.pdf")
    return Made(view, stamp, faces, screen)


@pytest.fixture(scope="module")
def plain() -> Made:
    """Quarter-letter cards on letter."""
    return made_with(Options())


def placements(pdf: bytes) -> list[int]:
    """How many faces each page draws."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return [
            sum(name.startswith("/Face") for name in page.resources.get("/XObject", {}).keys())  # noqa: SIM118
            for page in document.pages
        ]


def test_cards_stand_behind_a_print_first_page_with_a_blank_back(plain: Made) -> None:
    """Six cards, four to a sheet: two sheets, both sides; the sixth card's back is blank."""
    pdf = plain.imposed(Options())
    assert placements(pdf) == [0, 0, 3, 3, 3, 2]
    with pypdfium2.PdfDocument(pdf) as document:
        first, back = (document[page].get_textpage().get_text_range() for page in (0, 1))
    assert "Read before printing" in first
    assert back == ""


@pytest.mark.parametrize(
    ("options", "sizes", "faces"),
    [
        (Options(flip="short"), (215.9, 279.4), [3, 3, 3, 2]),
        (Options(finish="fold"), (215.9, 279.4), [3, 4, 2, 2]),
        (Options(ring_hole=True, laminating_margin=2.0, paper="a4"), (210.0, 297.0), [3, 3, 3, 2]),
        (Options(form="half-letter", finish="fold"), (279.4, 215.9), [2, 2, 2, 2, 1, 2]),
        (Options(form="a6", flip="short"), (279.4, 215.9), [2, 2, 2, 2, 2, 1]),
        (Options(form="11x17"), (279.4, 431.8), [1] * FACES + [0]),
    ],
    ids=["short edge", "folded", "film and ring", "half-letter leaflets", "a6 on letter", "wall chart"],
)
def test_real_faces_pass_on_every_kind_of_sheet(
    options: Options, sizes: tuple[float, float], faces: list[int]
) -> None:
    """Registration and words are proved on the way; here the sheets' size and the faces on each side."""
    pdf = made_with(options).imposed(options)
    assert placements(pdf)[2:] == faces
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages[2:]:
            size = [float(edge) * 25.4 / 72 for edge in page.mediabox.as_list()[2:]]
            assert size == pytest.approx(sizes, abs=0.01)


def test_the_same_cards_give_the_same_sheets(plain: Made) -> None:
    assert plain.imposed(Options()) == plain.imposed(Options())


def test_sheets_out_of_register_are_not_published(plain: Made, monkeypatch: pytest.MonkeyPatch) -> None:
    """Backs 0.4 mm off: an error that names sheet, place and face, and no bytes."""
    before = Layout.behind

    def shifted(self: Layout, left: float, top: float) -> tuple[float, float]:
        x, y = before(self, left, top)
        return x, y - 0.4 if top > 1.0 else y

    monkeypatch.setattr(Layout, "behind", shifted)
    with pytest.raises(ContentError) as refused:
        plain.imposed(Options())
    assert "pocket-cards.pdf page 4, sheet 1 back, place 3: face 10: after the flip it lies 0.40 mm" in str(
        refused.value
    )


def test_another_face_s_words_in_its_place_are_found(plain: Made) -> None:
    """The plan says one face and the sheet holds another: number and title of the wrong one are told."""
    faces = [plain.faces[1], plain.faces[0], *plain.faces[2:]]
    with pytest.raises(ContentError) as refused:
        plain.imposed(Options(), faces)
    said = str(refused.value)
    assert "pocket-cards.pdf page 3: face 1: its words are not where the face was planned" in said
    assert "face 2 of 11" in said


@pytest.mark.parametrize("flip", ["long", "short"])
def test_words_are_looked_for_within_their_own_face(
    flip: Any, plain: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Placements exchanged between two faces of a page: both are missed, though both are on the sheet."""
    import packgen.render.impose as imposing

    kept: list[Imposed] = []
    before = imposing.impose

    def keeping(*given: Any, **named: Any) -> Imposed:
        kept.append(before(*given, **named))
        return kept[-1]

    monkeypatch.setattr(imposing, "impose", keeping)
    plain.imposed(Options(flip=flip))
    (made,) = kept
    said = [(f"face {number} of {FACES}",) for number in range(1, FACES + 1)]
    assert word_problems(made.pdf, made.placements, said, "x.pdf") == []
    pages: list[list[Placement]] = [list(page) for page in made.placements]
    one, other, third = pages[3]
    pages[3] = [
        replace(one, face_index=other.face_index),
        replace(other, face_index=one.face_index),
        third,
    ]
    found = [str(problem) for problem in word_problems(made.pdf, pages, said, "x.pdf")]
    assert found == [
        "x.pdf page 4: face 6: its words are not where the face was planned: 'face 6 of 11'",
        "x.pdf page 4: face 2: its words are not where the face was planned: 'face 2 of 11'",
    ]


@pytest.mark.parametrize("drawn", ["faces", "sheet"])
def test_words_made_invisible_on_the_sheets_are_not_published(
    drawn: str, plain: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every word is where it was planned, but without ink: set so in each face, or before each face."""
    import packgen.render.impose as imposing

    form, draw = imposing._face_form, imposing._draw_face

    def without_ink(pdf: Any, page: Any) -> Any:
        made = form(pdf, page)
        made.write(b"3 Tr " + made.read_bytes())
        return made

    if drawn == "faces":
        monkeypatch.setattr(imposing, "_face_form", without_ink)
    else:
        monkeypatch.setattr(imposing, "_draw_face", lambda *given: f"3 Tr {draw(*given)}")
    with pytest.raises(ContentError) as refused:
        plain.imposed(Options())
    told = {"faces": "face 1: it does not hold exactly what its page for the screen holds", "sheet": ": Tr;"}
    assert f"{FILE} page 3" in str(refused.value) and told[drawn] in str(refused.value)


def test_a_form_that_its_paper_cannot_take_is_refused_before_anything_is_drawn() -> None:
    with pytest.raises(PackgenError, match="do not lie side by side"):
        sheet_layout(Options(form="a4", paper="a4", finish="fold"))
    with pytest.raises(UsageError, match="a folded card takes no film"):
        sheet_layout(Options(finish="fold", laminating_margin=3.0))


def test_a_form_larger_than_the_paper_chosen_is_printed_on_its_own() -> None:
    """A wall chart of A3 needs A3, whatever the pack is printed on."""
    assert sheet_layout(Options(form="a3", paper="a4")).width == 297.0
    assert sheet_layout(Options(form="a6", paper="letter")).places == 2
