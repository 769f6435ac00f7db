"""What the guard is told about a face: the least type of every role, what may not be parted, the limits."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from packgen.errors import ContentError
from packgen.publish.marks import code_block
from packgen.render import pdf as module
from packgen.render.html import Stamp, print_css
from packgen.render.pdf import print_faces
from packgen.render.preflight_face import LEAST, planned_page
from packgen.render.preflight_plan import Words
from packgen.sheets.blocks import (
    Block,
    Boxes,
    Cell,
    Cells,
    Drawing,
    Face,
    Points,
    Role,
    Safety,
    Section,
    Span,
    Step,
    Table,
    Tag,
    Why,
    spans,
)  # fmt: skip
from packgen.sheets.blocks import Box as Entry
from packgen.sheets.media import HOLE_AT, Medium, card_medium, pack_medium
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.words import load_words

WORDS = load_words()
CARD, PACK = card_medium("a6"), pack_medium("a4")
STAMP = Stamp("HL-0427 revision 1 · 2345-6789-ABCD", ("DEMO",))
TAG = Tag("2 in on 6 in", "IPS DR 11 PE4710")
HAZARD = Safety("a", "danger", "DANGER", "Pressure.", "It will kill.", "Prove that there is none.")
BLOCKS: tuple[Block, ...] = (
    Section("Peel"),
    Why(spans("Oxide stops the melt.")),
    Why(spans("Small print."), small=True),
    HAZARD,
    Step(7, "a", (Span("Tighten to "), Span("ENTER torque", "blank"), Span(".")), "hold", "HOLD", "Torque"),
    Points((spans("Wiped dry"),), boxed=True),
    Table((spans("Size"),), ((spans("2 in"),),), (1.0,)),
    Table((spans("Small"),), ((spans("4 in"),),), (1.0,), small=True),
    Cells((Cell("Gap", "0.33 mm", "second"), Cell("Torque", "", blank=True)), "ENTER"),
    Boxes((Entry("Reading", "0.6 in"),)),
)


def face(*blocks: Block, sheet: str = "prepare") -> Face:
    """The only face of a made-up document."""
    return Face(sheet, "Prepare the main", TAG, blocks, 1, 1)


def least(medium: Medium = CARD, sheet: str = "prepare") -> dict[str, float]:
    """The least type of each string of a face with every block."""
    words = planned_page(face(*BLOCKS, sheet=sheet), medium, STAMP, WORDS).words
    return {word.text: word.least for word in words}


def test_every_role_has_a_least_type_and_none_is_below_the_least_of_all() -> None:
    assert set(LEAST) == set(get_args(Role))
    assert min(size for size, _ in LEAST.values()) == 8.0


@pytest.mark.parametrize(
    ("size", "texts"),
    [
        (12.0, ["Prepare the main", "Peel", "DANGER", "0.33 mm"]),
        (10.0, ["Oxide stops the melt.", "Tighten to ENTER torque.", "Wiped dry", "Pressure.", "2 in"]),
        (8.0, ["HOLD", "Torque", "Small print.", "4 in", "Gap", "second", "ENTER", "Reading", "0.6 in"]),
    ],
)
def test_each_string_has_the_least_type_of_what_it_is(size: float, texts: list[str]) -> None:
    """Body 10, headings and values 12, labels 8: on cards and in packs."""
    assert {text: least()[text] for text in texts} == dict.fromkeys(texts, size)
    assert {text: least(PACK)[text] for text in texts} == dict.fromkeys(texts, size)


def test_a_card_that_says_when_to_stop_is_set_larger() -> None:
    """It is read in a hurry; in a pack it is read like any other page."""
    stop = least(sheet="stop-redo-reject")
    assert {stop[text] for text in ("Oxide stops the melt.", "Tighten to ENTER torque.", "2 in")} == {12.0}
    assert stop["Reading"] == 8.0
    assert least(PACK, "stop-redo-reject")["Wiped dry"] == 10.0


def test_steps_and_safety_messages_stay_together_with_number_gate_and_signal_word() -> None:
    planned = planned_page(face(*BLOCKS), CARD, STAMP, WORDS)
    assert planned.together == (HAZARD.strings(), ("7", "HOLD", "Tighten to ENTER torque."))
    assert planned.steps == 1
    step = next(words for words in planned.words if words.part == "a step")
    words = Words("Tighten to ENTER torque.", 10.0, "a step", True, ("ENTER torque",), white=True)
    assert step == replace(words, tick=CARD.tick)


def test_only_what_is_read_in_lines_is_judged_by_its_lines() -> None:
    """Tables, value blocks, boxes, headings and labels are not."""
    words = planned_page(face(*BLOCKS), CARD, STAMP, WORDS).words
    assert [word.text for word in words if word.running] == [
        "Oxide stops the melt.", *HAZARD.strings()[1:], "Tighten to ENTER torque.", "Wiped dry"
    ]  # fmt: skip


def test_holes_are_planned_where_paper_is_punched() -> None:
    """On both long edges of a pack's page; in the upper corners of a card for a ring, else nowhere."""
    assert len(planned_page(face(), PACK, STAMP, WORDS).holes) == 4
    assert planned_page(face(), CARD, STAMP, WORDS).holes == ()
    ring = card_medium("a6", ring_hole=True)
    holes = planned_page(face(), ring, STAMP, WORDS).holes
    assert [(hole.left, hole.top) for hole in holes] == [(HOLE_AT, HOLE_AT), (ring.width - HOLE_AT, HOLE_AT)]


def printed(made: Face, medium: Medium, css: str = "") -> bytes:
    """A face through layout and guard, with a fault in its style."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "print_css", lambda *parts: print_css(*parts) + css)
        return print_faces([made], medium, STAMP, WORDS, title="t", date="2026-05-12", file="cards.pdf")


@pytest.mark.parametrize("medium", [CARD, PACK])
def test_a_face_with_every_block_passes_the_guard(medium: Medium) -> None:
    """It is fuller than a face may be, which is another rule."""
    assert printed(face(*BLOCKS), replace(medium, full=1.0)).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("css", "what"),
    [
        (".step { font-size: 9pt }", "type too small for a step, 9 pt: '"),
        (".safety p { font-size: 9pt }", "type too small for a safety message, 9 pt: 'Pressure. It "),
        ("h1 { font-size: 11pt !important }", "type too small for a title, 11 pt: 'Prepare the main'"),
        (".num { font-size: 6pt }", "type too small for anything, 6 pt: '7'"),
        (".cell .big { font-size: 11pt }", "type too small for a value, 11 pt: '0.33 mm'"),
        (".num { float: right; margin-right: 20mm }", "parted on the page: '7 HOLD Tighten to ENTER "),
        (".tag .large { font-weight: 400 }", "white text that is not bold: '2 in on 6 in'"),
        (".tag .large { font-size: 11pt !important }", "white text of 11 pt: '2 in on 6 in'"),
        (".hold { background: #fff }", "text in the colour of its ground, #FFFFFF: '7"),
        ("p.why { color: #333 }", "text in #333333: 'Oxide stops the melt. Small print.'"),
        ("p.why { font-style: italic }", "slanted or odd face 'Lato-Oblique' for '"),
        (".head { border-bottom: 0.1pt solid #000 }", "a line of 0.10 pt, "),
        (".safety .signal { background: #f00 }", "a fill in #FF0000, "),
        (".hold { background: #fff; color: #000 }", "a step on the wrong ground: 'Tighten to "),
        (".safety .signal { background: #fff; color: #000 }", "a signal word on the wrong ground: 'DANGER'"),
        (".cell .big { position: relative; left: 20mm }", "shifted on the page: 'Gap 0.33 mm second'"),
        (".cell .big { text-align: right }", "shifted on the page: 'Gap 0.33 mm second'"),
        (".cell .big { transform: translateX(30mm) }", "shifted on the page: 'Gap 0.33 mm second'"),
        ("@page { @top-left { content: 'Skip it'; font: 8pt Lato } }", "printed and not planned: 'Skip it'"),
        (".hold b.blank { background: #000; color: #fff }", "white text of 8 pt: 'ENTER torque'"),
    ],
)
def test_a_fault_in_the_style_sheet_stops_the_card(css: str, what: str) -> None:
    """Every rule that a careless line of style could break, on a face with every block."""
    with pytest.raises(ContentError) as refused:
        printed(face(*BLOCKS), CARD, css)
    whats = [problem.what for problem in refused.value.problems]
    assert any(said.startswith(what) for said in whats), whats


def test_a_face_planned_too_full_or_with_too_many_steps_is_refused() -> None:
    """The guard trusts no planner: it counts and measures what is printed."""
    steps = tuple(Step(number, f"s{number}", spans("Wipe.")) for number in range(1, 12))
    with pytest.raises(ContentError, match="11 steps on one face; expected at most 9"):
        printed(face(*steps), CARD)
    tight = replace(CARD, full=0.4)
    with pytest.raises(ContentError, match=r"the face is 5\d% full; expected at most 40%"):
        printed(face(*steps[:9]), tight)


BAR = scale_bar("Scale bar", "100 mm at full size")


@pytest.mark.parametrize(
    ("css", "what"),
    [
        (
            ".code svg { width: 15mm !important; height: 15mm !important }",
            "the modules of the code's square are 0.41 mm wide",
        ),
        (".code .square { display: none }", "squares with a code on the page: 0"),
        ("figure { transform: scale(0.97) }", "the bar to check the print with is 97.00 mm long"),
    ],
)
def test_a_square_or_a_bar_that_is_not_itself_is_refused(css: str, what: str) -> None:
    """The planned blocks say what is to be read and measured on their page."""
    made = face(code_block("2345-6789-ABCD", WORDS), Drawing(BAR))
    planned = planned_page(made, PACK, STAMP, WORDS)
    assert (planned.codes, planned.bars) == (("2345-6789-ABCD",), 1)
    assert printed(made, PACK).startswith(b"%PDF")
    with pytest.raises(ContentError, match=what):
        printed(made, PACK, css)


def test_ink_in_the_margin_for_punched_holes_is_refused() -> None:
    """Its words would lie under the ring."""
    with pytest.raises(ContentError, match=r"hole 12 mm from the left and 108\.5 mm from the top"):
        printed(face(*(Section(f"Peel {count}") for count in range(20))), PACK, "h2 { margin-left: -6mm }")


def test_a_witness_point_is_not_drawn_like_a_hold_point() -> None:
    """Who sees it white on black waits where nobody comes."""
    witness = face(Step(7, "a", spans("Tighten."), "witness", "WITNESS"))
    assert printed(witness, CARD).startswith(b"%PDF")
    with pytest.raises(ContentError, match="a step on the wrong ground: 'Tighten"):
        printed(witness, CARD, ".witness { background: #000; color: #fff; font-size: 12pt }")


@pytest.mark.parametrize("css", ["vertical-align: bottom !important", "transform: translateY(9mm)"])
def test_a_cell_that_leaves_its_row_is_found(css: str) -> None:
    """The value of another size would be read."""
    rows = ((spans("Time to cool before the pipe may be moved"), spans("9")), (spans("Gap"), spans("1")))
    table = face(Table((spans("What"), spans("How much")), rows, (0.3, 0.7)))
    assert printed(table, CARD).startswith(b"%PDF")
    with pytest.raises(ContentError, match="shifted on the page: 'Time to cool"):
        printed(table, CARD, f"tbody td {{ {css} }}")
