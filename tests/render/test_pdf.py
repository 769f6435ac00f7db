"""HTML to PDF: what stops a page, and both papers and every choice of units through the guard."""

from __future__ import annotations

import io
import logging
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest

from packgen.errors import ContentError
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.publish.marks import code_block
from packgen.render import pdf as module
from packgen.render.html import Stamp
from packgen.render.pdf import font_folder, guard, html_to_pdf, print_faces
from packgen.render.preflight import fold
from packgen.sheets.blocks import Face, Section, Step, Tag, Why, spans
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.media import Medium, card_medium, default_form, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.view import View
from packgen.sheets.words import load_words

ROOT = Path(__file__).parents[2]
WORDS = load_words()
CARD = card_medium("a6")
TAG = Tag("2 in on 6 in", "IPS DR 11 PE4710")
STAMP = Stamp("HL-0427 revision 1 · 2345-6789-ABCD", ("DEMO",))
SQUARE = code_block("2345-6789-ABCD", WORDS)
LATO = f"font-family: Lato; src: url('{font_folder().as_uri()}/Lato-Regular.ttf')"
FONT = f"@font-face {{ {LATO} }} body {{ font-family: Lato }}"
PAGE = "<!DOCTYPE html><html lang='en'><title>t</title><body><p>Peel</p>{}</body></html>"


def faces(*blocks: Any, title: str = "Prepare") -> tuple[Face, ...]:
    """One face of a made-up document."""
    return (Face("prepare", title, TAG, blocks, 1, 1),)


def printed(made: tuple[Face, ...], medium: Medium = CARD, stamp: Stamp = STAMP) -> bytes:
    """Faces through layout and guard."""
    return print_faces(made, medium, stamp, WORDS, title="HL-0427", date="2026-05-12", file="cards.pdf")


def text_of(pdf: bytes) -> str:
    """All text of a PDF, on one line."""
    document = pypdfium2.PdfDocument(pdf)
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    document.close()
    return " ".join(text.split())


def test_a_printed_face_is_tagged_titled_and_dated() -> None:
    """PDF/UA, language, title; the dates are those given, not the clock's."""
    pdf = printed(faces(Section("Peel"), Step(1, "a", spans("Peel once."))))
    assert "Peel once." in text_of(pdf)
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert str(document.Root.Lang) == "en"
        assert document.Root.MarkInfo.Marked
        assert str(document.docinfo.Title) == "HL-0427"
        assert str(document.docinfo.CreationDate).startswith("D:20260512")
        with document.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"


def test_the_same_faces_are_the_same_bytes() -> None:
    made = faces(Section("Peel"), Step(1, "a", spans("Peel once.")))
    assert printed(made) == printed(made)


@pytest.mark.parametrize("words", ["peel 管", "😀 here"])
@pytest.mark.parametrize("where", ["step", "title"])
def test_a_sign_the_face_lacks_is_refused_before_layout(where: str, words: str) -> None:
    """Another font would step in without a word."""
    made = faces(Step(1, "a", spans(words))) if where == "step" else faces(title=words)
    with pytest.raises(
        ContentError, match="for which the printed face has no sign; write it in other letters"
    ):
        printed(made)


@pytest.mark.parametrize(
    "words", ['"; } body { display: none } /*', "</style><b>x</b>", "{{ 7*7 }}", "a \\ b 'c' \"d\" · é"]
)
def test_a_hostile_stamp_is_printed_as_typed(words: str) -> None:
    """It stands at the foot, sign by sign, and the face above it is untouched."""
    stamp = Stamp(words, ("DEMO",))
    text = text_of(printed(faces(Step(1, "a", spans("Peel once."))), stamp=stamp))
    assert words in text and "Peel once." in text and "face 1 of 1" in text


def test_a_log_record_of_the_renderer_is_an_error() -> None:
    """An unknown property is a warning for WeasyPrint; here it stops the document."""
    with pytest.raises(ContentError, match=r"the renderer says: .*colour"):
        html_to_pdf(PAGE.format(""), FONT + " p { colour: red }", "x.pdf", tagged=False)


def test_a_clean_page_logs_nothing(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG):
        assert html_to_pdf(PAGE.format(""), FONT, "x.pdf", tagged=False).startswith(b"%PDF")
    assert [record for record in caplog.records if record.levelno >= logging.WARNING] == []


@pytest.mark.parametrize(
    ("body", "css"),
    [
        ("<img src='file:///etc/passwd' alt='x'>", ""),
        ("<img src='http://127.0.0.1:9/x.svg' alt='x'>", ""),
        ("<img src='../content/packgen.yaml' alt='x'>", ""),
        ("<img src='data:image/svg+xml,%3Csvg/%3E' alt='x'>", ""),
        ("", "p { background: url(http://127.0.0.1:9/x.png) }"),
        ("", "@import 'file:///etc/passwd';"),
        ("<svg width='9' height='9'><image width='9' height='9' href='file:///etc/passwd'/></svg>", ""),
    ],
)
def test_a_part_from_outside_stops_the_document(body: str, css: str) -> None:
    """As a sentence of ours, not as WeasyPrint's own error that passes every `except Exception`."""
    with pytest.raises(ContentError, match=r"x\.pdf: a part from outside was refused: forbidden page part"):
        html_to_pdf(PAGE.format(body), css + FONT, "x.pdf", tagged=False)


def test_the_guard_names_every_string_that_is_not_there() -> None:
    """A PDF that lost a step is refused with page, title and words."""
    made = faces(Step(1, "a", spans("Peel once.")), Step(2, "b", spans("Wipe the zone.")))
    pdf = printed(made)
    guard(pdf, made, CARD, STAMP, WORDS, "cards.pdf")
    more = (replace(made[0], blocks=(*made[0].blocks, Why(spans("Dry it fully.")), Why(spans("Look.")))),)
    with pytest.raises(ContentError) as refused:
        guard(pdf, more, CARD, STAMP, WORDS, "cards.pdf")
    lines = str(refused.value).splitlines()
    assert len(lines) == 2
    assert lines[0].startswith("cards.pdf page 1, Prepare: text lost: 'Dry it fully.'")


def test_the_guard_wants_the_stamp_and_the_number_on_the_face() -> None:
    made = faces(Step(1, "a", spans("Peel once.")))
    pdf = printed(made)
    with pytest.raises(ContentError, match="DRAFT"):
        guard(pdf, made, CARD, Stamp(STAMP.left, ("DRAFT",)), WORDS, "cards.pdf")
    with pytest.raises(ContentError, match="face 2 of 2"):
        guard(pdf, (replace(made[0], number=2, total=2),), CARD, STAMP, WORDS, "cards.pdf")


def test_the_guard_wants_tags_where_a_title_says_that_there_are_some() -> None:
    """A PDF for the printer has none; one for the screen is read aloud by them."""
    made = faces(Step(1, "a", spans("Peel once.")))
    plain = print_faces(made, CARD, STAMP, WORDS, title="t", date="2026-05-12", file="x.pdf", tagged=False)
    guard(plain, made, CARD, STAMP, WORDS, "x.pdf")
    with pytest.raises(ContentError, match="no structure tree"):
        guard(plain, made, CARD, STAMP, WORDS, "x.pdf", title="t")


def test_a_face_that_runs_over_is_refused() -> None:
    """Twenty steps forced onto one face make two pages, and the guard says so."""
    steps = (Step(number, f"s{number}", spans("Wipe and look again. " * 4)) for number in range(1, 21))
    with pytest.raises(ContentError, match="the PDF has 2 pages; expected 1 pages, as planned"):
        printed(faces(*steps))


@pytest.fixture(scope="module")
def view_in() -> Callable[[Any], tuple[View, Any]]:
    """The tie-in's joint under a choice of units, with its job."""
    catalog = load(here=ROOT)
    job, _ = load_job(ROOT / "content" / "jobs" / "repair-tie-in.yaml", catalog)

    def make(units: Any) -> tuple[View, Any]:
        (combination,) = combinations(job, catalog)
        return View(catalog, WORDS, combination, units), job

    return make


@pytest.mark.parametrize(("paper", "units"), [("a4", "us"), ("letter", "si")])
def test_cards_of_either_paper_and_system_pass_the_guard(paper: Any, units: Any, view_in: Any) -> None:
    """Other words are longer, other faces smaller: nothing is lost on them either."""
    view, _ = view_in(units)
    medium = card_medium(default_form(paper))
    made = lay_out(tuple(procedure_sheets(view, medium, "cards")), medium)
    text = text_of(printed(made, medium))
    assert view.text("tap.travel_set").split(" [")[0] in text
    assert ("mm]" in text) == (units != "us")


def test_the_cards_of_two_joints_pass_the_guard(tmp_path: Path) -> None:
    """Two sizes on one main, under a joint id so long that every title wraps."""
    catalog, file = load(here=ROOT), tmp_path / "twin.yaml"
    text = (ROOT / "content" / "jobs" / "repair-tie-in.yaml").read_text("utf-8")
    second = (
        "  - {id: STATION-6-PLUS-80-SECOND, lateral: 2 in IPS DR 11 PE4710, family: demo-saddle-screw}\nsite:"
    )
    file.write_text(text.replace("site:", second, 1), "utf-8")
    job, _ = load_job(file, catalog)
    views = [View(catalog, WORDS, combination) for combination in combinations(job, catalog)]
    medium = card_medium("quarter-letter")
    made = lay_out(job_card_sheets(views, job, medium, SQUARE), medium)
    said = fold(text_of(printed(made, medium)))
    for title in ("STATION-6-PLUS-80-SECOND: Prepare the main", "J1: Prepare the main", "Restore the flow"):
        assert fold(title) in said
    assert said.count(fold("2 in on 8 in")) > 10 and said.count(fold("4 in on 8 in")) > 10


def test_a_pack_on_a4_in_si_passes_the_guard(view_in: Any) -> None:
    """The whole pack of an isolated main, values and workings too."""
    view, job = view_in("si")
    medium = pack_medium("a4")
    made = lay_out(pack_sheets([view], job, medium, SQUARE, view.catalog.folders), medium)
    pdf = printed(made, medium)
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert len(document.pages) == len(made)
        left, bottom, right, top = (float(edge) for edge in document.pages[0].mediabox)
    assert ((right - left) / 72 * 25.4, (top - bottom) / 72 * 25.4) == pytest.approx((210.0, 297.0), abs=0.1)


def test_warming_leaves_nothing_behind(caplog: pytest.LogCaptureFixture) -> None:
    """It prints a page for nobody, without a word, and can be done twice."""
    module.warm()
    module.warm()
    assert [record for record in caplog.records if record.levelno >= logging.WARNING] == []
