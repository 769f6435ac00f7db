"""The tag tree: real documents have none of the faults, and each fault that is seeded is found and named."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, String

from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.publish.marks import code_block
from packgen.render import pdf as pdf_module
from packgen.render.html import Stamp, faces_html, print_css
from packgen.render.pdf import font_folder, html_to_pdf
from packgen.render.tags import reading_order, tag_problems
from packgen.sheets.blocks import (
    Box,
    Boxes,
    Cell,
    Cells,
    Drawing,
    Face,
    Points,
    Safety,
    Section,
    Span,
    Step,
    Table,
    Tag,
    Why,
    spans,
)
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.media import Medium, card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.view import View
from packgen.sheets.words import load_words

ROOT = Path(__file__).parents[2]
WORDS = load_words()
TITLE = "HL-0427 revision 1"
TAG = Tag("2 in on 6 in", "IPS DR 11 PE4710")
STAMP = Stamp("HL-0427 revision 1 · 2345-6789-ABCD", ("DEMO",))
Edit = Callable[[pikepdf.Pdf], None]

HEAD = (spans("Limit"), spans("Value"))
ROWS = (
    (spans("Gap"), spans("0.33 mm", "value")),
    (spans("Peel", "strong"), spans("0.30 mm", "value")),
    ((), spans("both")),
)
GUARD = Safety("hot", "warning", "WARNING", "Hot melt.", "It could burn you badly.", "Keep your hands off.")
STEPS = (
    Step(9, "look", (Span("Wait "), Span("20 min", "value"), Span("."))),
    Step(10, "stop", spans("Gap is closed all round."), "hold", "HOLD", "Gap, all round"),
)
FACES = (
    Face(
        "clamp",
        "Clamp the saddle",
        TAG,
        (
            Section("Before"),
            Why(spans("The saddle must sit on the pipe.")),
            Points((spans("Clean."), spans("Dry."))),
            GUARD,
            *STEPS,
            Section("Values"),
            Table(HEAD, ROWS, (0.5, 0.5), marked=1),
        ),
        1,
        3,
    ),
    Face(
        "clamp",
        "Clamp the saddle",
        TAG,
        (
            Cells((Cell("Gap", "0.33 mm", "all round"), Cell("Torque", "", blank=True)), "ENTER"),
            Boxes((Box("Fuser", "name"), Box("Seen", fill="tick"))),
            Drawing(scale_bar("Scale bar", "100 mm at full size")),
        ),
        2,
        3,
    ),
    Face("fuse", "Fuse", TAG, (Section("Power"), code_block("2345-6789-ABCD", WORDS)), 3, 3),
)


def drawn(faces: tuple[Face, ...], medium: Medium) -> bytes:
    """Faces as a tagged PDF that no guard has seen."""
    html = faces_html(faces, medium, title=TITLE, date="2026-05-12")
    css = print_css(medium, font_folder().as_uri(), STAMP, WORDS)
    return html_to_pdf(html, css, "pack.pdf", tagged=True)


@pytest.fixture(scope="module")
def sound() -> bytes:
    """One document with every kind of block."""
    return drawn(FACES, pack_medium("a4"))


def faults(pdf: bytes, edit: Edit | None = None, faces: tuple[Face, ...] = FACES) -> list[str]:
    """What is said of `pdf` after an edit."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        if edit:
            edit(document)
        return [str(problem) for problem in tag_problems(document, faces, "pack.pdf", title=TITLE)]


def elements(pdf: pikepdf.Pdf, kind: str) -> list[tuple[pikepdf.Object, pikepdf.Object]]:
    """Every element of a kind with the one that holds it, in reading order."""

    def walk(element: pikepdf.Object) -> Iterator[tuple[pikepdf.Object, pikepdf.Object]]:
        for kid in element.K.as_list():
            if isinstance(kid, Dictionary):
                if kid.get("/S") == Name("/" + kind):
                    yield kid, element
                if "/K" in kid:
                    yield from walk(kid)

    return list(walk(pdf.Root.StructTreeRoot.K[0]))


def named(old: str, new: str, number: int = 0) -> Edit:
    """The edit that calls an element something else."""

    def edit(pdf: pikepdf.Pdf) -> None:
        elements(pdf, old)[number][0].S = Name("/" + new)

    return edit


def dropped(kind: str, number: int = 0) -> Edit:
    """The edit that takes an element out of the tree."""

    def edit(pdf: pikepdf.Pdf) -> None:
        element, holder = elements(pdf, kind)[number]
        holder.K = Array([kid for kid in holder.K.as_list() if kid != element])

    return edit


def without(*keys: str, kind: str = "", number: int = 0) -> Edit:
    """The edit that takes an entry out of the catalog, or of an element."""

    def edit(pdf: pikepdf.Pdf) -> None:
        held: pikepdf.Object = elements(pdf, kind)[number][0] if kind else pdf.Root
        for key in keys[:-1]:
            held = held[key]
        del held[keys[-1]]

    return edit


def painted(old: bytes, new: bytes) -> Edit:
    """The edit of the first page's content, at the first place of `old`."""

    def edit(pdf: pikepdf.Pdf) -> None:
        content = pdf.pages[0].obj.Contents
        before = content.read_bytes()
        assert old in before
        content.write(before.replace(old, new, 1))

    return edit


def test_a_sound_document_has_no_fault(sound: bytes) -> None:
    """Every kind of block, over two faces of one sheet and one of another."""
    assert faults(sound) == []


@pytest.mark.parametrize("kind", ["pack", "cards"])
def test_the_tree_of_a_demo_job_is_sound(kind: str) -> None:
    """The whole crew pack and every screen card of the first lateral."""
    catalog = load(here=ROOT)
    job, _ = load_job(ROOT / "content" / "jobs" / "first-lateral.yaml", catalog)
    views = [View(catalog, WORDS, combination) for combination in combinations(job, catalog)]
    square = code_block("2345-6789-ABCD", WORDS)
    if kind == "pack":
        medium = pack_medium("letter")
        faces = lay_out(pack_sheets(views, job, medium, square, catalog.folders, "2026-05-12"), medium)
    else:
        medium = card_medium("quarter-letter")
        faces = lay_out(job_card_sheets(views, job, medium, square), medium)
    pdf = drawn(faces, medium)
    assert faults(pdf, faces=faces) == []
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert len(elements(document, "H1")) == len(faces) > 40
        assert len(elements(document, "LI")) > 60 and len(elements(document, "Figure")) > 2


def test_words_are_read_in_the_order_of_the_face() -> None:
    """A step's number, its gate, its words, then what is written; a drawing by its title."""
    assert list(reading_order(FACES[0]))[:12] == [
        *("Clamp the saddle", "2 in on 6 in", "IPS DR 11 PE4710", "Before"),
        *("The saddle must sit on the pipe.", "Clean.", "Dry.", "WARNING", "Hot melt."),
        *("It could burn you badly.", "Keep your hands off.", "9"),
    ]
    assert list(reading_order(FACES[1]))[3:] == [
        *("Gap", "0.33 mm", "all round", "Torque", "ENTER", ""),
        *("Fuser", "name", "Seen", "", "Scale bar"),
    ]


# --- the document


def unsaid_standard(pdf: pikepdf.Pdf) -> None:
    said = pdf.Root.Metadata.read_bytes()
    assert b'pdfuaid:part="1"' in said
    pdf.Root.Metadata.write(said.replace(b'pdfuaid:part="1"', b""))


def other_title(pdf: pikepdf.Pdf) -> None:
    pdf.docinfo["/Title"] = String("Untitled")


def other_xmp_title(pdf: pikepdf.Pdf) -> None:
    said = pdf.Root.Metadata.read_bytes()
    pdf.Root.Metadata.write(said.replace(b'x-default">' + TITLE.encode(), b'x-default">Untitled', 1))


def suspect(pdf: pikepdf.Pdf) -> None:
    pdf.Root.MarkInfo.Suspects = True


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (without("/MarkInfo"), "the PDF does not say that it is tagged"),
        (suspect, "the PDF does not say that it is tagged"),
        (without("/Lang"), "the language of the PDF is ''; expected 'en'"),
        (without("/ViewerPreferences", "/DisplayDocTitle"), "a viewer shows the file's name instead of"),
        (other_title, "the PDF's title is 'Untitled'; expected 'HL-0427 revision 1'"),
        (other_xmp_title, "the PDF's title in its metadata is 'Untitled'"),
        (without("/Metadata"), "the PDF's title in its metadata is ''"),
        (unsaid_standard, "the PDF does not say which standard its tags follow"),
        (without("/StructTreeRoot"), "no structure tree; expected a tree of headings, lists and tables"),
    ],
)
def test_a_document_must_say_what_it_is(edit: Edit, said: str, sound: bytes) -> None:
    """Tagged, its language, its title in both places, its standard."""
    assert faults(sound, edit)[0].startswith(f"pack.pdf: {said}")


def test_an_archival_document_names_its_own_standard(sound: bytes) -> None:
    """PDF/A at level A asks for the same tags."""

    def edit(pdf: pikepdf.Pdf) -> None:
        said = pdf.Root.Metadata.read_bytes()
        new = b'pdfaid:part="3" pdfaid:conformance="A" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"'
        pdf.Root.Metadata.write(said.replace(b'pdfuaid:part="1"', new))

    assert faults(sound, edit) == []


def test_a_part_too_few_is_found(sound: bytes) -> None:
    """One part of the tree for each face."""
    assert faults(sound, dropped("Sect", 1)) == [
        "pack.pdf: the structure tree has 2 parts for 3 pages; expected 3, one a face"
    ]


# --- headings, tables, lists, drawings

PAGE_1 = "pack.pdf page 1, Clamp the saddle: "
PAGE_2 = "pack.pdf page 2, Clamp the saddle: "


def no_scope(pdf: pikepdf.Pdf) -> None:
    del elements(pdf, "TH")[3][0].A.Scope


def short_row(pdf: pikepdf.Pdf) -> None:
    elements(pdf, "TR")[1][0].K.__delitem__(1)


def wide_cell(pdf: pikepdf.Pdf) -> None:
    elements(pdf, "TD")[0][0].A.ColSpan = 2


def said_instead(words: str) -> Edit:
    """The edit that gives the first drawing other words."""

    def edit(pdf: pikepdf.Pdf) -> None:
        elements(pdf, "Figure")[0][0].Alt = String(words)

    return edit


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (named("H2", "H3"), "heading level 3 follows level 1: 'Before'; expected level 2"),
        (named("H1", "P"), "heading level 2 follows level 0: 'Before'; expected level 1"),
        (named("H2", "H1"), "heading H1 'Before'; expected H2 'Before'"),
        (named("H2", "P"), "heading H2 'Values'; expected H2 'Before'"),
        (named("H2", "P", 1), "heading none; expected H2 'Values'"),
        (named("Table", "Div"), "0 tables in the structure tree; expected 1, as planned"),
        (named("TH", "TD"), "table 'Limit | Value' has no row of header cells at its head"),
        (named("THead", "TBody"), "table 'Limit | Value' has no row of header cells at its head"),
        (no_scope, "table 'Limit | Value' has a header cell that does not say what it heads"),
        (named("TH", "TD", 2), "table 'Limit | Value' has a row without a header cell"),
        (short_row, "table 'Limit | Value' has 4 rows of 1 or 2 cells; expected 4 rows of 2"),
        (wide_cell, "table 'Limit | Value' has 4 rows of 2 or 3 cells; expected 4 rows of 2"),
        (dropped("TR", 3), "table 'Limit | Value' has 3 rows of 2 cells; expected 4 rows of 2"),
        (named("LI", "Div", 2), "3 list items in the structure tree; expected 4"),
        (named("LBody", "Div", 1), "a list is not made of items with a body"),
        (named("Lbl", "Span"), "a list is not made of items with a body"),
        (dropped("Lbl"), "1 list items have a label; expected 2, one for each step's number"),
        (without("/A", kind="L", number=1), "a list has numbers and does not say so; expected ListNumbering"),
    ],
)
def test_a_fault_of_structure_is_found(edit: Edit, said: str, sound: bytes) -> None:
    """Each with its page and its words."""
    assert any(each.startswith(PAGE_1 + said) for each in faults(sound, edit))


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (without("/Alt", kind="Figure"), "a drawing has no alternative text; expected '100 mm at full size'"),
        (said_instead(" "), "a drawing has no alternative text; expected '100 mm at full size'"),
        (said_instead("A bar"), "alternative text of a drawing: 'A bar'; expected '100 mm at full size'"),
        (dropped("Figure"), "alternative text of a drawing: none; expected '100 mm at full size'"),
    ],
)
def test_a_drawing_without_its_own_words_is_found(edit: Edit, said: str, sound: bytes) -> None:
    """None, none to be heard, those of another drawing, and a drawing that is not there."""
    assert any(each.startswith(PAGE_2 + said) for each in faults(sound, edit))


# --- reading order and marks


def swapped_steps(pdf: pikepdf.Pdf) -> None:
    steps = elements(pdf, "L")[1][0]
    steps.K = Array(steps.K.as_list()[::-1])


def words_of_another_page(pdf: pikepdf.Pdf) -> None:
    elements(pdf, "Sect")[0][0].K.append(elements(pdf, "Caption")[0][0])


def held_twice(pdf: pikepdf.Pdf) -> None:
    elements(pdf, "Sect")[0][0].K.append(elements(pdf, "P")[0][0])


def missing_mark(pdf: pikepdf.Pdf) -> None:
    elements(pdf, "P")[0][0].K[0].K.append(999)


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (swapped_steps, "read in the wrong order: '10HOLDGapisclosed"),
        (dropped("P"), "not in the structure tree: 'The saddle must sit on the pipe.'; expected once"),
        (held_twice, "more than once in the structure tree: 'The saddle must sit on the pipe.'"),
        (held_twice, "read and not planned: 'Thesaddlemustsitonthepipe.'; expected nothing more"),
        (words_of_another_page, "its part of the structure tree holds words of page 2; expected"),
        (missing_mark, "marks of the structure tree that are not on the page: 1; expected none"),
        (painted(b"/Artifact\nBMC", b"/Rule\nBMC"), "things painted outside the tags: 1"),
        (painted(b"BDC", b"BDC\n/Artifact\nBMC\nEMC"), "marks that stand in each other or twice: 1"),
        (painted(b"<</MCID 1>>", b"<</MCID 0>>"), "marks that stand in each other or twice: 1; expected"),
    ],
)
def test_words_out_of_the_tree_or_out_of_order_are_found(edit: Edit, said: str, sound: bytes) -> None:
    """What the eye sees is heard once, where it belongs."""
    assert any(each.startswith(PAGE_1 + said) for each in faults(sound, edit))


def test_what_the_renderer_leaves_undone_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the mending: the foot outside the tree, the sign a drawing, no scope, no labels."""
    monkeypatch.setattr(pdf_module, "mend", None)
    said = "\n".join(faults(drawn(FACES, pack_medium("a4"))))
    assert "not in the structure tree: 'DEMO'" in said
    assert "alternative text of a drawing: 'decoration'; expected none" in said
    assert "has a header cell that does not say what it heads" in said
    assert "0 list items have a label" in said


# --- bookmarks, links and fields


def without_bookmark(pdf: pikepdf.Pdf) -> None:
    with pdf.open_outline() as outline:
        outline.root.pop()


def wrong_page(pdf: pikepdf.Pdf) -> None:
    pdf.Root.Outlines.Last.Dest[0] = pdf.pages[0].obj


def wrong_page_inside(pdf: pikepdf.Pdf) -> None:
    pdf.Root.Outlines.Last.First.Dest[0] = pdf.pages[0].obj


def leads_nowhere(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.Outlines.First.Dest


def other_order(pdf: pikepdf.Pdf) -> None:
    with pdf.open_outline() as outline:
        outline.root.reverse()


def one_a_face(pdf: pikepdf.Pdf) -> None:
    with pdf.open_outline() as outline:
        outline.root.insert(1, pikepdf.OutlineItem("Clamp the saddle", 1))


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (without_bookmark, "bookmark none; expected 'Fuse' to page 3"),
        (wrong_page, "bookmark 'Fuse' to page 1; expected 'Fuse' to page 3"),
        (wrong_page_inside, "bookmark 'Power' to page 1; expected a page of 'Fuse'"),
        (leads_nowhere, "bookmark 'Clamp the saddle' to no page; expected 'Clamp the saddle' to page 1"),
        (other_order, "bookmark 'Fuse' to page 3; expected 'Clamp the saddle' to page 1"),
        (one_a_face, "bookmark 'Clamp the saddle' to page 2; expected 'Fuse' to page 3"),
    ],
)
def test_a_bookmark_that_misleads_is_found(edit: Edit, said: str, sound: bytes) -> None:
    """One for each run of faces, to its first page; a title that goes on over two faces stands once."""
    assert f"pack.pdf: {said}" in faults(sound, edit)


def linked(kind: str, words: str, holder: str) -> Edit:
    """The edit that puts an annotation on page 1, held by an element where one is named."""

    def edit(pdf: pikepdf.Pdf) -> None:
        made = Dictionary(Type=Name.Annot, Subtype=Name("/" + kind), Rect=[0, 0, 9, 9])
        made["/TU" if kind == "Widget" else "/Contents"] = String(words)
        annotation = pdf.make_indirect(made)
        pdf.pages[0].obj.Annots = Array([annotation])
        if holder:
            held = Dictionary(Type=Name.OBJR, Obj=annotation)
            element = Dictionary(Type=Name.StructElem, S=Name("/" + holder), K=Array([held]))
            elements(pdf, "Sect")[0][0].K.append(pdf.make_indirect(element))

    return edit


def by_rows(pdf: pikepdf.Pdf) -> None:
    linked("Link", "to page 2", "Link")(pdf)
    pdf.pages[0].obj.Tabs = Name.R


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (linked("Link", "to page 2", ""), "page 1 has a Link that the structure tree does not hold"),
        (linked("Widget", "Fuser", "Link"), "page 1 has a Widget that the structure tree does not hold"),
        (linked("Stamp", "Fuser", "Link"), "page 1 has a Stamp that the structure tree does not hold"),
        (linked("Link", "", "Link"), "page 1 has a Link without words that say what it is"),
        (linked("Widget", "", "Form"), "page 1 has a Widget without words that say what it is"),
        (by_rows, "page 1 goes through its links and fields in another order; expected Tabs"),
    ],
)
def test_a_link_or_field_nobody_can_hear_is_found(edit: Edit, said: str, sound: bytes) -> None:
    """It is held by an element of its kind, and says what it is."""
    assert [each for each in faults(sound, edit) if each.startswith(f"pack.pdf: {said}")]


@pytest.mark.parametrize(("kind", "holder"), [("Link", "Link"), ("Widget", "Form")])
def test_a_link_or_field_in_the_tree_passes(kind: str, holder: str, sound: bytes) -> None:
    assert faults(sound, linked(kind, "to page 2", holder)) == []


def test_the_fields_of_a_record_are_in_the_tree() -> None:
    """As the renderer makes them: a box to type in and one to tick, each with the words beside it."""
    block = Boxes((Box("Fuser", "name", name="J1.fuser"), Box("Seen", fill="tick", name="J1.seen")))
    faces = (Face("record", "Joint record", TAG, (block,), 1, 1),)
    medium = pack_medium("a4")
    html = faces_html(faces, medium, title=TITLE, date="2026-05-12", fillable=True)
    css = print_css(medium, font_folder().as_uri(), STAMP, WORDS)
    pdf = html_to_pdf(html, css, "pack.pdf", tagged=True, fillable=True)
    assert faults(pdf, faces=faces) == []
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert [str(field.TU) for field in document.Root.AcroForm.Fields] == ["Fuser, name", "Seen"]
