"""The plan of faces: its heights against WeasyPrint's own, and where a face may end.

The planner counts heights from the font's widths; WeasyPrint lays the same faces out. Two demo jobs are
compared on both papers, block by block, and one of them on forms of every size. Real heights are read from
WeasyPrint's boxes, in px of 1/96 in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest

from packgen.errors import ContentError
from packgen.model.job import Job
from packgen.render.html import Stamp, faces_html, print_css
from packgen.render.pdf import font_folder
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Code,
    Face,
    Points,
    Safety,
    Section,
    Sheet,
    Step,
    Table,
    Tag,
    Why,
    spans,
)
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.fitting import set_in
from packgen.sheets.heights import height_of, under
from packgen.sheets.measure import MM
from packgen.sheets.media import Medium, card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import Words

PX = 96 / 25.4  # CSS px in a mm
TAG = Tag("2 on 6 in", "IPS DR 11 PE4710")
TWO_LINES = "Wipe the zone in one direction with a fresh wipe and let it dry fully."
CARD, PACK = card_medium("a6"), pack_medium("letter")


@dataclass(frozen=True)
class Drawn:
    """Faces as planned, and as WeasyPrint laid them out."""

    medium: Medium
    faces: tuple[Face, ...]
    pages: tuple[Any, ...]

    def blocks(self) -> Iterator[tuple[Face, Block, float]]:
        """Each block of each face with its real height in mm, to where the next one begins."""
        for face, page in zip(self.faces, self.pages, strict=True):
            boxes = drawn_blocks(page)[1:]
            ends = [box.position_y for box in boxes[1:]] + [boxes[-1].position_y + boxes[-1].margin_height()]
            assert len(boxes) == len(face.blocks), face.title
            for block, box, end in zip(face.blocks, boxes, ends, strict=True):
                yield face, block, (end - box.position_y) / PX


def drawn_blocks(page: Any) -> list[Any]:
    """The boxes of a page's head and blocks; the steps of a list one by one."""
    section = page._page_box.children[0].children[0].children[0]
    found: list[Any] = []
    for box in section.children:
        inner = [item for item in box.children if item.element_tag == "li"]
        found += inner if box.element_tag == "ol" else [box] if box.element_tag else []
    return found


def draw(faces: tuple[Face, ...], medium: Medium, words: Words) -> Drawn:
    """Lay faces out with WeasyPrint."""
    import weasyprint
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    stamp = Stamp("HL-0427 revision 1 · 2345-6789-ABCD", (words("demo"), words("draft")))
    css = weasyprint.CSS(string=print_css(medium, font_folder().as_uri(), stamp, words), font_config=fonts)
    html = faces_html(faces, medium, title="plan", date="2026-05-12")
    document = weasyprint.HTML(string=html).render(stylesheets=[css], font_config=fonts)
    return Drawn(medium, faces, tuple(document.pages))


@pytest.fixture(
    scope="module",
    params=[
        *(
            (job, of, kind)
            for job in ("first-lateral", "repair-tie-in")
            for kind, forms in (("pack", ("letter", "a4")), ("cards", ("quarter-letter", "a6")))
            for of in forms
        ),
        *(("first-lateral", form, "cards") for form in ("id-1", "a7", "3x5", "half-letter", "a4", "a3")),
    ],
    ids="-".join,
)
def drawn(
    request: pytest.FixtureRequest,
    job_of: Callable[[str], Job],
    views_of: Callable[..., list[View]],
    words: Words,
    square: Code,
) -> Drawn:
    """One document of one demo job on one paper, or in one form."""
    name, of, kind = request.param
    job = job_of(name)
    views = views_of(job)
    if kind == "pack":
        medium = pack_medium(of)
        sheets = pack_sheets(views, job, medium, square, views[0].catalog.folders)
    else:
        medium = card_medium(of)
        sheets = job_card_sheets(views, job, medium, square)
    return draw(lay_out(sheets, medium), medium, words)


def test_the_plan_is_what_weasyprint_draws(drawn: Drawn) -> None:
    """As many pages as faces; no block higher than counted, none counted far too high; the foot stays free.

    Over: at most 35 % and one line with its lead, since a line break may fall either way.
    """
    line = max(5.0, drawn.medium.white * drawn.medium.leading * MM + 0.5)
    assert len(drawn.pages) == len(drawn.faces)
    wrong = []
    for face, block, real in drawn.blocks():
        counted = height_of(block, set_in(face.sheet, drawn.medium))
        if real > counted + 1.0 or counted > 1.35 * real + line:
            wrong.append((face.number, block.kind, round(real, 1), round(counted, 1), block.strings()[:1]))
    assert wrong == []
    for face, page in zip(drawn.faces, drawn.pages, strict=True):
        head, *blocks = drawn_blocks(page)
        foot = (drawn.medium.height - drawn.medium.foot) * PX
        assert max(box.position_y + box.margin_height() for box in blocks) < foot, face.title
        wrapped = drawn.medium.height - under(face, drawn.medium).height
        real = (blocks[0].position_y - head.position_y) / PX
        assert real <= drawn.medium.head + wrapped + 0.3, face.title


def step(number: int, words: str = TWO_LINES, **more: Any) -> Step:
    """A step of a made-up sheet."""
    return Step(number, f"step-{number}", spans(words), **more)


def sheet(*blocks: Block) -> Sheet:
    """A made-up sheet."""
    return Sheet("made-up", "Made up", TAG, blocks)


GUARD = Safety("blade", "caution", "CAUTION", "Sharp blade.", "It could cut your hands.", "Wear gloves.")


def test_a_full_face_ends_after_a_hold_point_on_its_second_half() -> None:
    """Where ten steps do not fit one face and step 7 is a hold, the next face begins with step 8."""
    steps = [step(number, gate="hold" if number == 7 else "", gate_word="HOLD") for number in range(1, 13)]
    first, second = lay_out([sheet(*steps)], CARD)
    assert [block.number for block in first.blocks if isinstance(block, Step)] == [1, 2, 3, 4, 5, 6, 7]
    assert [block.number for block in second.blocks if isinstance(block, Step)] == [8, 9, 10, 11, 12]


def test_a_full_face_ends_before_a_heading_rather_than_in_a_section() -> None:
    """Without a pause point a face ends where the next section begins."""
    steps = [step(number) for number in range(1, 13)]
    first, second = lay_out([sheet(*steps[:7], Section("Next"), *steps[7:])], CARD)
    assert [block.kind for block in first.blocks] == ["step"] * 7
    assert second.blocks[0] == Section("Next")


def test_a_card_face_takes_nine_steps_however_short_and_leaves_none_alone() -> None:
    """Steps that would fit by height are still parted, alike over as few faces as hold them."""
    faces = lay_out([sheet(*(step(number, "Wait.") for number in range(1, 20)))], replace(CARD, height=900.0))
    assert [len(face.blocks) for face in faces] == [7, 6, 6]


@pytest.mark.parametrize("medium", [CARD, PACK], ids=["card", "pack"])
def test_a_title_of_several_lines_leaves_less_room(medium: Medium, words: Words) -> None:
    """A joint's long id makes a title wrap; the face ends earlier and its foot stays free."""
    steps = tuple(step(number) for number in range(1, 40))
    long = "HARROW-LANE-STATION-2-PLUS-14: Wait, test, cut, join the lateral"
    plain, wrapped = (
        lay_out([replace(sheet(*steps), title=title)], replace(medium, steps=99))
        for title in ("Wait", long * 2)
    )
    assert (len(wrapped[0].blocks), -wrapped[0].fill) <= (len(plain[0].blocks), -plain[0].fill)
    assert wrapped[0].fill != plain[0].fill
    for face, page in zip(wrapped, draw(wrapped, medium, words).pages, strict=True):
        box = drawn_blocks(page)[-1]
        assert box.position_y + box.margin_height() < (medium.height - medium.foot) * PX, face.number


def test_each_sheet_begins_a_face_and_faces_are_numbered_through() -> None:
    faces = lay_out([sheet(step(1)), sheet(step(2))], CARD)
    assert [(face.number, face.total) for face in faces] == [(1, 2), (2, 2)]


@pytest.mark.parametrize("medium", [CARD, PACK], ids=["card", "pack"])
def test_words_too_high_for_a_face_are_refused_with_a_sentence(medium: Medium) -> None:
    """The message names sheet, words, medium and cure."""
    with pytest.raises(ContentError) as refused:
        lay_out([sheet(step(1, "Wipe and look again. " * 400))], medium)
    message = str(refused.value)
    assert "on the sheet 'Made up' the words 'Wipe and look again." in message
    assert f"do not fit one {medium.name} face" in message
    assert message.endswith("shorten them, or part them into two steps")


def test_a_heading_and_a_safety_message_go_over_with_the_step_they_lead() -> None:
    """Where heading, message and step do not fit together any more, all three stand on the next face."""
    filler = [step(number, "Close the can.") for number in range(1, 9)]
    first, second = lay_out([sheet(*filler, Section("Peel"), GUARD, step(9))], replace(CARD, height=112.0))
    assert all(isinstance(block, Step) for block in first.blocks)
    assert [block.kind for block in second.blocks] == ["section", "safety", "step"]


@pytest.mark.parametrize("medium", [CARD, PACK], ids=["card", "pack"])
def test_a_safety_message_under_words_of_any_length_stays_with_its_step(medium: Medium) -> None:
    """Words that fill most of a face may end a face; a heading or a safety message never does."""
    for sentences in range(1, 60):
        words = Why(spans("Melt presses only where the saddle touches. " * sentences))
        if height_of(words, medium) > 0.8 * medium.room:
            break
        for fill in range(1, 21):
            filler = (Why(spans("Look.")) for _ in range(fill))
            made = sheet(*filler, step(1), Section("Seat"), words, GUARD, step(2), step(3))
            for face in lay_out([made], medium):
                assert not isinstance(face.blocks[-1], Safety | Section), (sentences, fill)
    assert sentences > 10


def table(rows: int, marked: int | None) -> Table:
    """A table of short rows."""
    cells = tuple((spans(f"row {row}"), spans(f"{row} min", "value")) for row in range(rows))
    return Table((spans("Pair"), spans("Wait")), cells, (0.4, 0.6), marked)


@pytest.mark.parametrize("marked", [None, 0, 29, 59])
def test_a_long_table_is_parted_between_rows_with_its_head_and_mark(marked: int | None) -> None:
    """Every row once and in order, the head on each part, the mark on its own row and on no other."""
    whole = table(60, marked)
    parts = [block for face in lay_out([sheet(whole)], CARD) for block in face.blocks]
    assert len(parts) > 2
    assert all(isinstance(part, Table) and part.head == whole.head for part in parts)
    assert [row for part in parts if isinstance(part, Table) for row in part.rows] == list(whole.rows)
    found = [part.rows[part.marked] for part in parts if isinstance(part, Table) and part.marked is not None]
    assert found == ([] if marked is None else [whole.rows[marked]])


def test_a_table_under_a_heading_leaves_room_for_it() -> None:
    """The heading and the first rows share a face."""
    first, *others = lay_out([sheet(Section("Sizes"), table(60, None))], CARD)
    assert [block.kind for block in first.blocks] == ["section", "table"]
    assert all([block.kind for block in face.blocks] == ["table"] for face in others)


def test_long_lists_and_forms_are_parted_and_keep_every_item() -> None:
    """Points in fours, boxes in rows of two."""
    points = Points(tuple(spans(f"Bring tool number {number}") for number in range(30)))
    boxes = Boxes(tuple(Box(f"Reading {number}") for number in range(31)))
    blocks = [block for face in lay_out([sheet(points, boxes)], CARD) for block in face.blocks]
    items = [item for block in blocks if isinstance(block, Points) for item in block.items]
    filled = [box for block in blocks if isinstance(block, Boxes) for box in block.boxes]
    assert (tuple(items), tuple(filled)) == (points.items, boxes.boxes)


def test_the_emergency_box_stays_whole() -> None:
    """A heavy frame is never parted."""
    heavy = Boxes(tuple(Box(f"Number {number}") for number in range(6)), heavy=True)
    blocks = [
        block
        for face in lay_out([sheet(*(step(n) for n in range(1, 8)), heavy)], CARD)
        for block in face.blocks
    ]
    assert blocks[-1] == heavy


def test_a_gate_and_a_write_in_box_take_more_room() -> None:
    """A hold point is drawn as a bar, and a box to write in has the medium's height."""
    bare = height_of(step(1), CARD)
    assert height_of(step(1, gate="hold", gate_word="HOLD"), CARD) > bare + 2.0
    assert height_of(step(1, write="Reading"), CARD) == pytest.approx(bare + CARD.write + 3.0)
