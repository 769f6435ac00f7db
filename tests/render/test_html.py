"""Faces to HTML and CSS: words stay words, whatever is in them."""

from __future__ import annotations

import doctest
import re
from dataclasses import replace
from xml.etree import ElementTree

import jinja2
import pytest
import tinycss2
from markupsafe import escape

from packgen.render import html as module
from packgen.render.html import Stamp, environment, face_label, faces_html, grouped, print_css, whole
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Cell,
    Cells,
    Code,
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
from packgen.sheets.media import card_medium, pack_medium
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.words import load_words

WORDS = load_words()
CARD, PACK = card_medium("a6"), pack_medium("letter")
TAG = Tag("2 in on 6 in", "IPS DR 11 PE4710")
HOSTILE = [
    '"; } body { display: none } /*',
    "\\\"; } @import 'http://127.0.0.1/x.css'; /*",
    "</style><script>alert(1)</script>",
    "{{ 7 * 7 }} {% raw %} {# no #}",
    "line\nbreak\ttab \\a \\0000e9",
    "Ω ≤ ½ – é ' \N{RIGHT SINGLE QUOTATION MARK} counter(page)",
    "&amp; &lt; <b>bold</b>",
]


def step(number: int, **more: str) -> Step:
    """A step of a made-up face."""
    return Step(number, f"s{number}", spans("Peel."), **more)  # type: ignore[arg-type]


def test_worked_examples_run() -> None:
    """The examples in the docstrings are true, and there are some."""
    failed, tried = doctest.testmod(module)
    assert tried >= 2
    assert failed == 0


def test_a_value_is_whole_but_for_its_second_system() -> None:
    """Spaces that may not break are no-break spaces; a sentence stays as it is."""
    assert whole("1-1/4 in [31.8 mm]") == "1-1/4\N{NO-BREAK SPACE}in [31.8\N{NO-BREAK SPACE}mm]"
    assert whole("hand tight") == "hand\N{NO-BREAK SPACE}tight"
    assert (
        whole("screws crosswise until hand tight, then stop")
        == "screws crosswise until hand tight, then stop"
    )


def test_steps_that_follow_each_other_make_one_list() -> None:
    """A safety message between two steps parts them; numbers run on by their own."""
    guard = Safety("blade", "caution", "CAUTION", "a", "b", "c")
    blocks = [Section("Peel"), step(1), step(2), guard, step(3)]
    assert grouped(blocks) == [[blocks[0]], [blocks[1], blocks[2]], [guard], [blocks[4]]]
    assert grouped([]) == []


def css_strings(css: str) -> list[str]:
    """Every string of the style sheet's page rule, as a CSS reader sees it."""
    rules = tinycss2.parse_stylesheet(css, skip_comments=True, skip_whitespace=True)
    assert not [rule for rule in rules if rule.type == "error"]
    (page,) = [rule for rule in rules if rule.type == "at-rule" and rule.at_keyword == "page"]
    found: list[str] = []

    def walk(tokens: list[tinycss2.ast.Node]) -> None:
        for token in tokens:
            if token.type == "string":
                found.append(token.value)
            walk(getattr(token, "content", None) or [])

    walk(page.content)
    return found


@pytest.mark.parametrize("words", HOSTILE)
def test_a_stamp_s_words_stay_one_string_of_the_style_sheet(words: str) -> None:
    """No sign ends the string: the reader gets back exactly the words, and as many rules as before."""
    stamp, tame = Stamp(words, (words, "DRAFT")), Stamp("tame", ("tame", "DRAFT"))
    css, plain = print_css(CARD, "file:///fonts", stamp, WORDS), print_css(CARD, "file:///fonts", tame, WORDS)
    assert css_strings(css) == [f"{words} · DRAFT\n{words}", "\N{EM SPACE}", "face ", " of "]
    count = len(tinycss2.parse_stylesheet(plain, skip_comments=True, skip_whitespace=True))
    assert len(tinycss2.parse_stylesheet(css, skip_comments=True, skip_whitespace=True)) == count


@pytest.mark.parametrize("words", HOSTILE)
def test_words_of_every_block_are_printed_as_typed(words: str) -> None:
    """HTML, Jinja and CSS in a title, a tag or any block are text: escaped once, never run, never twice."""
    line = (Span(words), Span(words, "strong"), Span(words, "value"))
    blocks: tuple[Block, ...] = (
        Section(words),
        Why(line),
        Points((line,)),
        Step(1, "s1", line, "hold", words, words),
        Safety("x", "danger", words, words, words, words),
        Table((line, line), ((line, line),), (0.5, 0.5)),
        Cells((Cell(words, words, words),), "ENTER"),
        Boxes((Box(words, words),)),
    )
    face = Face("x", words, Tag(words, words), blocks, 1, 1)
    html = faces_html([face], PACK, title=words, date="2026-05-12")
    # `whole` makes spaces of short values unbreakable and the space before strong words goes into their tag.
    loose = re.sub(r"\s+", "", html.replace("\N{NO-BREAK SPACE}", " "))
    # Paragraph, point, step, four table cells: seven lines of three spans. Two words at the gate, the title
    # twice, heading, tag, section, four parts of a message, three of a value block, two of a box.
    assert loose.count(re.sub(r"\s+", "", str(escape(words)))) >= 33
    assert "<script" not in html and "<b>bold" not in html
    assert "49" not in html.split("<body")[1]


def test_a_missing_name_in_a_template_is_an_error() -> None:
    """Nothing is printed as nothing."""
    with pytest.raises(jinja2.UndefinedError):
        environment().from_string("{{ fase.title }}").render(face=1)


def test_a_face_is_well_formed_and_holds_its_steps_by_number() -> None:
    """One `h1`, the steps as list items with their numbers, a figure's place by its own markup only."""
    face = Face("x", "Prepare", TAG, (Section("Peel"), step(8), step(9, gate="hold", gate_word="HOLD")), 1, 1)
    html = faces_html([face, replace(face, number=2)], CARD, title="t", date="2026-05-12")
    body = html.split("</head>")[1].removesuffix("</html>\n").removesuffix("</html>")
    root = ElementTree.fromstring(body)
    assert len(root.findall(".//h1")) == 2
    assert [item.get("value") for item in root.findall(".//li")] == ["8", "9", "8", "9"]
    assert [item.get("class") for item in root.findall(".//li")][:2] == ["step", "step hold"]


def body_of(*faces: Face) -> ElementTree.Element:
    """The parsed body of a document of cards."""
    html = faces_html(faces, CARD, title="t", date="2026-05-12")
    closed = re.sub(r"<(col|br)\b[^>]*>", "", html)
    return ElementTree.fromstring(closed.split("</head>")[1].strip().removesuffix("</html>"))


def test_a_title_that_goes_on_has_one_bookmark() -> None:
    """Faces of one sheet that follow each other; the same title on another sheet has its own."""
    face = Face("x", "Prepare", TAG, (), 1, 1)
    root = body_of(face, face, replace(face, sheet="y"), replace(face, sheet="y", title="Fuse"), face)
    styles = [heading.get("style") for heading in root.findall(".//h1")]
    assert styles == [None, "bookmark-level: none", None, None, None]


def test_a_printed_row_begins_with_its_header() -> None:
    """The first cell with words heads its row; an empty one heads nothing."""
    rows = ((spans("Gap"), spans("0.33 mm", "value")), (spans("Peel", "value"), ()), ((), spans("both")))
    root = body_of(Face("x", "Prepare", TAG, (Table((spans("a"), spans("b")), rows, (0.5, 0.5)),), 1, 1))
    cells = [list(row) for row in root.findall(".//tr")]
    found = [[(cell.tag, cell.get("scope"), cell.get("class")) for cell in row] for row in cells]
    assert found == [
        [("th", "col", None), ("th", "col", None)],
        [("th", "row", None), ("td", None, "b")],
        [("th", "row", "b"), ("td", None, None)],
        [("td", None, None), ("td", None, None)],
    ]


def test_a_printed_drawing_carries_its_words() -> None:
    """As the title of the drawing, escaped once, before all that is drawn; the sign says it is decoration."""
    figure = replace(scale_bar("Bar", "100 mm"), alt="Peel < 1 mm & > 0 \"deep\"")
    drawn = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm"><path d="M0 0"/></svg>'
    square = Code(drawn, "2345", 9.0, "<2345>")
    guard = Safety("x", "danger", "DANGER", "Gas.", "It will burn.", "Stop.")
    root = body_of(Face("x", "Prepare", TAG, (Drawing(figure), square, guard), 1, 1))
    drawings = [each for each in root.iter() if each.tag.endswith("svg")]
    assert [each[0].text for each in drawings] == [figure.alt, "<2345>", "decoration"]
    assert all(each[0].tag.endswith("title") for each in drawings)


def test_a_drawing_on_a_screen_has_its_words_outside() -> None:
    """A title inside would show as a hint over the drawing."""
    page = environment().from_string(
        '{% from "blocks.html" import blocks with context %}{{ blocks(all) }}'
    ).render(all=(Drawing(scale_bar("Bar", "100 mm")), step(1)), anchors=True, fillable=False)
    assert "<title>" not in page and "<article" not in page
    assert 'aria-label="100 mm"' in page and '<b class="num">1</b>' in page


def test_faces_are_numbered_as_faces_on_cards_and_as_pages_in_packs() -> None:
    face = Face("x", "Prepare", TAG, (), 3, 8)
    assert face_label(face, CARD, WORDS) == "face 3 of 8"
    assert face_label(face, PACK, WORDS) == "page 3 of 8"


def test_a_stamp_without_marks_is_one_line() -> None:
    assert Stamp("HL-0427", ()).lines == ("HL-0427",)
    assert Stamp("HL-0427", ("DEMO", "DRAFT")).lines == ("DEMO · DRAFT", "HL-0427")
