"""Every box to fill in or to tick is looked for on the page: a missing one is a number nobody writes down."""

from __future__ import annotations

import pytest

from packgen.errors import ContentError
from packgen.render import pdf as module
from packgen.render.html import Stamp, print_css
from packgen.render.pdf import print_faces
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Cell,
    Cells,
    Face,
    Points,
    Safety,
    Span,
    Step,
    Table,
    Tag,
    spans,
)  # fmt: skip
from packgen.sheets.media import Medium, card_medium, pack_medium
from packgen.sheets.words import load_words

WORDS = load_words()
NARROW, CARD, PACK = card_medium("a7"), card_medium("a6"), pack_medium("letter")
STAMP = Stamp("HL-0427 revision 1 · 2345-6789-ABCD", ("DEMO",))
BLANK = (Span("Tighten to "), Span("ENTER torque", "blank"), Span("."))
STEPS = (
    Step(6, "a", spans("Mark the zone."), write="Mark"),
    Step(7, "b", BLANK, "hold", "HOLD", "Torque"),
    Step(8, "c", spans("Look on."), "witness", "WITNESS"),
)
READY = Points((spans("Wiped dry"), spans("Peeled once")), boxed=True)
LIST = Table((spans("Name"), spans("Signed")), ((spans("Fuser"), ()), ((), ())), (0.5, 0.5), write=True)
VALUES = Cells((Cell("Gap", "0.33 mm"), Cell("Torque", "", blank=True)), "ENTER", across=2)
BARE = Cells((Cell("Torque", "", blank=True),), "ENTER", across=1)
RECORD = Boxes((Box("Reading", "0.6 in"), Box("Capped", fill="tick")))


@pytest.fixture
def draw(monkeypatch: pytest.MonkeyPatch):  # type: ignore[no-untyped-def]
    """Prints blocks as the only face of a document, with CSS that a fault is made of."""

    def drawn(blocks: tuple[Block, ...], medium: Medium, css: str = "") -> bytes:
        monkeypatch.setattr(module, "print_css", lambda *given: print_css(*given) + css)
        face = Face("prepare", "Prepare", Tag("2 in on 6 in", "IPS"), blocks, 1, 1)
        return print_faces(
            [face], medium, STAMP, WORDS, title="Cards", date="2026-05-12", file="cards.pdf", tagged=False
        )

    return drawn


@pytest.mark.parametrize("medium", [CARD, PACK], ids=["a6", "letter"])
def test_a_face_with_boxes_of_every_kind_passes(draw, medium: Medium) -> None:  # type: ignore[no-untyped-def]
    """Sound faces are not held up: neither one with all boxes nor the narrow one of a gate."""
    for blocks in (STEPS, (READY, LIST), (VALUES, RECORD)):
        assert draw(blocks, medium).startswith(b"%PDF")
    assert draw(STEPS[1:2], NARROW).startswith(b"%PDF")


@pytest.mark.parametrize("medium", [CARD, PACK], ids=["a6", "letter"])
@pytest.mark.parametrize(
    ("blocks", "css", "what"),
    [
        (STEPS, ".step::before { display: none }", "box to tick missing or too small: 'Mark the zone.'"),
        (STEPS, ".step::before { border: none }", "box to tick missing or too small: 'Mark the zone.'"),
        (STEPS, ".step::before { border-color: #fff }", "box to tick missing or too small: 'Look on.'"),
        (STEPS, ".step::before { width: 1mm; height: 1mm }", "box to tick missing or too small: 'Look on.'"),
        (STEPS, ".hold::before { background: #000 }", "box to tick missing or too small: 'Tighten to ENTER"),
        (STEPS, ".witness::before { display: none }", "box to tick missing or too small: 'Look on.'"),
        (STEPS, ".write { border: none }", "box to fill in missing or too small: 'Mark'"),
        (STEPS, ".write { min-height: 0; height: 3mm }", "box to fill in missing or too small: 'Mark'"),
        (STEPS, ".write { width: 14mm }", "box to fill in missing or too small: 'Mark'"),
        (STEPS, ".hold .write { background: #000; color: #fff }", "missing or too small: 'Torque'"),
        (STEPS, "b.blank { border: none }", "box to fill in missing or too small: 'ENTER torque'"),
        (STEPS, "b.blank { padding: 0 }", "box to fill in missing or too small: 'ENTER torque'"),
        ((READY,), "ul.boxed li::before { border-width: 0 }", "box to tick missing or too small: 'Wiped"),
        ((READY,), "li + li::before { display: none !important }", "missing or too small: 'Peeled once'"),
        ((LIST,), "td { border-bottom: none !important }", "cells to write in missing: . of 2 under"),
        ((LIST,), "table.grid tr.towrite td, table.grid tr.towrite th { height: 0 }", "under 'Signed'"),
        ((VALUES,), ".enter { border: none !important }", "box to fill in missing or too small: 'Torque'"),
        ((VALUES,), ".enter { border-width: 0.6pt }", "box to fill in missing or too small: 'Torque'"),
        ((BARE,), ".corner { padding: 0 }", "box to fill in missing or too small: 'Torque'"),
        ((RECORD,), ".fill { border: none }", "box to fill in missing or too small: 'Reading'"),
        ((RECORD,), ".fill { border-right: none }", "box to fill in missing or too small: 'Reading'"),
        ((RECORD,), ".fill { height: 6mm }", "box to fill in missing or too small: 'Reading'"),
        ((RECORD,), ".tickbox { display: none }", "box to tick missing or too small: 'Capped'"),
        ((RECORD,), ".tickbox { width: 0; height: 0 }", "box to tick missing or too small: 'Capped'"),
    ],
)  # fmt: skip
def test_a_box_that_is_missing_or_too_small_is_refused(  # type: ignore[no-untyped-def]
    draw, medium: Medium, blocks: tuple[Block, ...], css: str, what: str
) -> None:
    """The message names the face, the rule and the words of the box."""
    with pytest.raises(ContentError, match=f"page 1, Prepare: .*{what}"):
        draw(blocks, medium, css)


def test_one_box_does_not_serve_two_steps(draw) -> None:  # type: ignore[no-untyped-def]
    """Of steps in the same words each needs its own."""
    twice = tuple(Step(number, f"s{number}", spans("Tighten by hand.")) for number in (1, 2))
    assert draw(twice, CARD).startswith(b"%PDF")
    with pytest.raises(ContentError, match="box to tick missing or too small: 'Tighten by hand"):
        draw(twice, CARD, ".step + .step::before { display: none }")


def test_a_step_whose_words_stand_in_its_safety_message_keeps_its_box(draw) -> None:  # type: ignore[no-untyped-def]
    """The same words are printed twice; the box belongs to the step."""
    message = Safety("a", "danger", "DANGER", "Gas.", "It will kill.", "Wear gloves.")
    blocks = (message, Step(1, "a", spans("Wear gloves.")))
    assert draw(blocks, CARD).startswith(b"%PDF")
    with pytest.raises(ContentError, match="box to tick missing or too small: 'Wear gloves"):
        draw(blocks, CARD, ".step::before { display: none }")


def test_the_gate_of_a_narrow_face_needs_its_box(draw) -> None:  # type: ignore[no-untyped-def]
    """It stands in the bar over the words of the step."""
    with pytest.raises(ContentError, match="box to tick missing or too small: 'Tighten to ENTER"):
        draw(STEPS[1:2], NARROW, ".hold::before { display: none }")
