"""Reading a tree and its marks: other ways to write the same, and what counts as loose."""

from __future__ import annotations

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from packgen.render.tag_tree import NO_PAGE, Element, Linked, Mark, PageReader, read_tree

SIGNS = b"<0001> <0050>\n<0002> <0065>\n<0003> <00660069>"  # P, e, fi


def page_with(content: bytes) -> tuple[pikepdf.Pdf, pikepdf.Page]:
    """A page with this content, in a font of three signs, with a form that shows two of them."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(100, 100))
    table = pdf.make_stream(b"3 beginbfchar\n" + SIGNS + b"\nendbfchar")
    font = pdf.make_indirect(Dictionary(Type=Name.Font, Subtype=Name.Type0, ToUnicode=table))
    form = pdf.make_stream(b"BT /F 9 Tf <00010002> Tj ET", {"/Subtype": Name.Form})
    picture = pdf.make_stream(b"", {"/Subtype": Name.Image})
    pdf.pages[0].obj.Resources = Dictionary(Font=Dictionary(F=font), XObject=Dictionary(X=form, I=picture))
    pdf.pages[0].obj.Contents = pdf.make_stream(content)
    return pdf, pdf.pages[0]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"/P <</MCID 0>> BDC BT /F 9 Tf <0001> Tj ET EMC", {0: "P"}),
        (b"/P <</MCID 4 /Lang (en)>> BDC BT /F 9 Tf [<0001>-7<00020003>] TJ ET EMC", {4: "Pefi"}),
        (b"/P <</MCID 0>> BDC BT /F 9 Tf <0001> Tj (no) Tj <0002> Tj ET EMC", {0: "Pe"}),
        (b"/P <</MCID 0>> BDC /Span BMC BT /F 9 Tf <0001> Tj ET EMC EMC", {0: "P"}),
        (b"/Figure <</MCID 0>> BDC /X Do /I Do 0 0 9 9 re f EMC", {0: "Pe"}),
        (b"BT /P <</MCID 0>> BDC /F 9 Tf <0001> Tj EMC /P <</MCID 1>> BDC <02> Tj EMC ET", {0: "P", 1: ""}),
        (b"BT /P <</MCID 0>> BDC /F 9 Tf EMC /P <</MCID 1>> BDC <0002> Tj EMC ET", {0: "", 1: "e"}),
        (b"/P <</MCID 0>> BDC BT /G 9 Tf <0001> Tj ET EMC", {0: ""}),
    ],
)
def test_the_words_of_each_mark_are_read(content: bytes, words: dict[int, str]) -> None:
    """In pieces, through marks that say nothing, through forms; a font without signs says no words."""
    pdf, page = page_with(content)
    with pdf:
        found = PageReader().read(page)
    assert (found.words, found.loose, found.nested, found.doubled) == (words, 0, 0, set())


@pytest.mark.parametrize(
    ("content", "loose", "nested", "doubled"),
    [
        (b"0 0 9 9 re f", 1, 0, 0),
        (b"BT /F 9 Tf <0001> Tj ET 0 0 m 9 9 l S /X Do", 3, 0, 0),
        (b"/Artifact BMC 0 0 9 9 re f EMC 0 0 9 9 re B*", 1, 0, 0),
        (b"/Artifact <</Type /Layout>> BDC 0 0 9 9 re f EMC", 0, 0, 0),
        (b"/Span BMC 0 0 9 9 re f EMC", 1, 0, 0),
        (b"/Span /MC0 BDC 0 0 9 9 re f EMC", 1, 0, 0),
        (b"/P <</MCID 0>> BDC /Artifact BMC 0 0 9 9 re f EMC EMC", 0, 1, 0),
        (b"/Artifact BMC /P <</MCID 0>> BDC EMC EMC", 0, 1, 0),
        (b"/P <</MCID 0>> BDC /P <</MCID 1>> BDC EMC EMC", 0, 1, 0),
        (b"/P <</MCID 0>> BDC EMC /P <</MCID 0>> BDC EMC", 0, 0, 1),
        (b"/P <</MCID 0>> BDC EMC 0 0 9 9 re W n EMC EMC", 0, 0, 0),
    ],
)
def test_what_stands_outside_or_across_marks_is_counted(
    content: bytes, loose: int, nested: int, doubled: int
) -> None:
    """Text, fills, strokes and forms; an artifact in a mark, a mark in either, a number twice."""
    pdf, page = page_with(content)
    with pdf:
        found = PageReader().read(page)
    assert (found.loose, found.nested, len(found.doubled)) == (loose, nested, doubled)


def test_a_tree_is_read_whichever_way_it_is_written() -> None:
    """A single kid, kids that name their page, an annotation, a page that is not there."""
    pdf, page = page_with(b"")
    with pdf:
        other = pdf.make_indirect(Dictionary(Type=Name.Page))
        link = pdf.make_indirect(Dictionary(Type=Name.Annot))
        named = Dictionary(Type=Name.MCR, Pg=page.obj, MCID=2)
        lost = Dictionary(Type=Name.MCR, Pg=other, MCID=3)
        held = Dictionary(Type=Name.OBJR, Obj=link)
        said = Array([Dictionary(Scope=Name.Row), Dictionary(ColSpan=2)])
        cell = Dictionary(S=Name.TH, K=5, Pg=page.obj, A=said)
        linked = Dictionary(S=Name.Link, K=Array([named, lost, held]))
        top = Dictionary(S=Name.Document, K=Array([linked, cell]))
        pdf.Root.StructTreeRoot = Dictionary(K=pdf.make_indirect(top))
        tree = read_tree(pdf)
        assert tree is not None
        assert tree.all("Link")[0].kids == [Mark(0, 2), Mark(NO_PAGE, 3), Linked(link.objgen)]
        assert tree.all("TH")[0].kids == [Mark(0, 5)]
        assert tree.all("TH")[0].attributes == {"Scope": "Row", "ColSpan": "2"}
        assert [element.kind for element in tree.all()] == ["Document", "Link", "TH"]
        del pdf.Root.StructTreeRoot
        assert read_tree(pdf) is None


def test_marks_come_in_reading_order_and_may_leave_a_kind_out() -> None:
    """The kids of a drawing stand between the words before and after it."""
    drawing = Element("Figure", kids=[Mark(0, 1)])
    tree = Element("P", kids=[Mark(0, 2), drawing, Element("Span", kids=[Mark(0, 0)])])
    assert [mark.number for mark in tree.marks()] == [2, 1, 0]
    assert [mark.number for mark in tree.marks(but="Figure")] == [2, 0]
