"""What is put right in the renderer's tag tree: the foot, the sign, labels, scopes, the boxes of drawings."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Name

from packgen.render.html import Stamp, print_css
from packgen.render.mend import DECORATION
from packgen.render.pdf import font_folder, html_to_pdf
from packgen.sheets.media import card_medium
from packgen.sheets.words import load_words, templates_folder

CARD = card_medium("a6")
CSS = print_css(CARD, font_folder().as_uri(), Stamp("HL-0427", ("DEMO",)), load_words())
SIGN = f'<svg width="20" height="20"><title>{DECORATION}</title><path d="M0 0H9V9Z"/></svg>'
STEP = '<ol class="steps"><li class="step"><article class="num"><b>3</b></article>20 min</li></ol>'
TABLE = "<table><thead><tr><th>A</th></tr></thead><tbody><tr><th>1</th></tr></tbody></table>"
BLOCK = 'style="display: block" width="40mm" height="10mm"'
FIGURE = f'<svg {BLOCK}><title>A pipe</title><path d="M0 0H9V9Z"/></svg>'


def made(body: str, *, tagged: bool = True) -> pikepdf.Pdf:
    """A card with this body."""
    html = f"<!DOCTYPE html><html lang='en'><title>t</title><body><section>{body}</section></body></html>"
    return pikepdf.open(io.BytesIO(html_to_pdf(html, CSS, "x.pdf", tagged=tagged)))


def elements(element: pikepdf.Object, kind: str) -> list[pikepdf.Object]:
    """Every element of a kind, in reading order."""
    found = []
    for kid in element.K.as_list():
        if isinstance(kid, pikepdf.Dictionary):
            found += [kid] if str(kid.S) == f"/{kind}" else []
            found += elements(kid, kind)
    return found


def content(pdf: pikepdf.Pdf) -> str:
    """What is painted on the first page, on one line."""
    return re.sub(r"\s+", " ", pdf.pages[0].obj.Contents.read_bytes().decode("latin-1"))


def test_the_foot_is_for_the_eye_alone() -> None:
    """Both of its lines are marked as the foot of a page, and no element answers for them."""
    with made("<p>Peel.</p>") as pdf:
        assert content(pdf).count("/Artifact <</Type /Pagination /Subtype /Footer>> BDC") == 2
        assert content(pdf).count("/MCID") == 1
        [_, marks] = pdf.Root.StructTreeRoot.ParentTree.Nums.as_list()
        assert [mark is None for mark in marks.as_list()] == [False, True, True]


def test_a_decoration_is_no_drawing() -> None:
    """It is painted, and not in the tree."""
    with made(f"<p>{SIGN}DANGER</p>") as pdf:
        assert elements(pdf.Root.StructTreeRoot.K[0], "Figure") == []
        assert content(pdf).count("/Artifact <</Type /Layout>> BDC") == 1
        assert len(elements(pdf.Root.StructTreeRoot.K[0], "P")) == 1


def test_the_templates_call_the_sign_a_decoration() -> None:
    """The word in the template is the word that is looked for."""
    markup = Path(templates_folder() / "blocks.html").read_text("utf-8")
    assert f"<title>{DECORATION}</title>" in markup


def test_a_step_s_number_is_the_label_of_its_item() -> None:
    """So that it is never read into the words: "3" and "20 min" are not "320 min"."""
    with made(STEP) as pdf:
        top = pdf.Root.StructTreeRoot.K[0]
        [item] = elements(top, "LI")
        assert [kid.S for kid in item.K.as_list()] == [Name.Lbl, Name.LBody]
        assert item.K[0].P.objgen == item.objgen
        assert elements(top, "L")[0].A.ListNumbering == Name.Decimal
        assert len(elements(item.K[0], "Span")) == 1
        assert len(elements(item.K[1], "Span")) == 1


def test_header_cells_say_what_they_head() -> None:
    with made(TABLE) as pdf:
        scopes = [cell.A.Scope for cell in elements(pdf.Root.StructTreeRoot.K[0], "TH")]
        assert scopes == [Name.Column, Name.Row]


def test_the_box_of_a_drawing_is_in_points_from_the_left_bottom_corner() -> None:
    """40 by 10 mm, under the upper margin of the card."""
    with made(FIGURE) as pdf:
        [figure] = elements(pdf.Root.StructTreeRoot.K[0], "Figure")
        left, bottom, right, top = (float(edge) / 72 * 25.4 for edge in figure.A.BBox)
        assert (right - left, top - bottom) == pytest.approx((40.0, 10.0), abs=0.01)
        assert top == pytest.approx(148 - CARD.top, abs=0.01)
        assert figure.Alt == "A pipe"


def test_a_document_without_tags_stays_as_it_is() -> None:
    """No tree, no marks."""
    with made("<p>Peel.</p>", tagged=False) as pdf:
        assert "/StructTreeRoot" not in pdf.Root
        assert "MCID" not in content(pdf) and "Artifact" not in content(pdf)
