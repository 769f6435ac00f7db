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
CARD, PACK, A7 = card_medium("a6"), pack_medium("letter"), card_medium("a7")


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


@pytest.mark.parametrize("medium", [CARD, PACK, A7], ids=["card", "pack", "a7"])
def test_a_safety_message_and_every_step_it_asks_for_share_a_face(medium: Medium) -> None:
    """Wherever on its sheet the message stands; what else stands among those steps goes with them."""
    wanted = {"step-102", "step-104"}
    guard = replace(GUARD, acts=("step-102", "step-104", "step-999"))
    behind = [step(number, "Close the can.") for number in range(102, 125)]
    parted = 0
    for before in range(1, 25):
        lead = [step(number, "Close the can.") for number in range(1, before)]
        faces = lay_out([sheet(*lead, guard, *behind)], medium)
        (face,) = (face for face in faces if guard in face.blocks)
        assert wanted <= {block.id for block in face.blocks if isinstance(block, Step)}, before
        bare = lay_out([sheet(*lead, GUARD, *behind)], medium)
        (face,) = (face for face in bare if GUARD in face.blocks)
        parted += not wanted <= {block.id for block in face.blocks if isinstance(block, Step)}
    assert parted or medium is PACK


def test_a_safety_message_that_asks_for_more_than_a_face_holds_keeps_its_first_step() -> None:
    """It is not refused; a step of the same name in the next section is another place."""
    acts = tuple(f"step-{number}" for number in range(1, 13))
    steps = [step(number) for number in range(1, 13)]
    guard = replace(GUARD, acts=acts)
    first, *others = lay_out([sheet(guard, *steps)], CARD)
    assert [block.kind for block in first.blocks[:2]] == ["safety", "step"] and others
    elsewhere = replace(GUARD, acts=("step-1", "step-7"))
    apart = lay_out([sheet(elsewhere, *steps[:6], Section("Again"), *steps[6:])], CARD)
    assert [block.kind for block in apart[0].blocks] == ["safety", *["step"] * 6]


@pytest.mark.parametrize("above", range(12))
def test_a_table_to_write_in_stands_whole_where_a_face_holds_it(above: int) -> None:
    """However much stands before it; one higher than a face is parted between its rows."""
    rows = tuple((spans(f"rung {row}"), ()) for row in range(6))
    made = Table((spans("What"), spans("Clock time")), rows, (0.5, 0.5), write=True)
    steps = [step(number, "Close the can.") for number in range(1, above + 1)]
    for medium in (CARD, PACK, A7):
        blocks = [block for face in lay_out([sheet(*steps, made)], medium) for block in face.blocks]
        assert [block for block in blocks if isinstance(block, Table)] == [made]
    long = replace(made, rows=rows * 20)
    assert len([face for face in lay_out([sheet(*steps, long)], CARD) if face.blocks]) > 2


def test_where_a_table_goes_on_its_section_s_title_stands_again() -> None:
    """Over every part but the first, and over the second table of one cut at its columns."""
    long = table(60, None)
    first, *others = lay_out([sheet(Section("Sizes"), long)], CARD)
    assert first.blocks[0] == Section("Sizes")
    assert others and all(face.blocks[0] == Section("Sizes, continued") for face in others)
    short = table(9, None)
    others_too = lay_out([sheet(Section("Sizes"), short, replace(short, head=short.head[::-1]))], A7)
    captions = [block.text for face in others_too for block in face.blocks if isinstance(block, Section)]
    assert captions == ["Sizes"] + ["Sizes, continued"] * (len(others_too) - 1)
    assert len(others_too) > 1


def test_a_list_made_of_a_table_goes_on_under_title_and_columns_names() -> None:
    """A list that was written as one goes on without."""
    points = Points(tuple(spans(f"up to {number} °C. Extra wait: {number} min. " * 3) for number in range(9)))
    names = Why(spans("Hotter of air and pipe"), small=True)
    first, *others = lay_out([sheet(Section("Waits"), names, points)], A7)
    assert first.blocks[:2] == (Section("Waits"), names)
    assert others and all(face.blocks[:2] == (Section("Waits, continued"), names) for face in others)
    plain = lay_out([sheet(Section("Bring"), points)], A7)
    assert [block.kind for block in plain[1].blocks] == ["points"] * len(plain[1].blocks)


@pytest.mark.parametrize("rows", range(2, 40))
def test_a_table_never_leaves_a_single_row_as_remainder(rows: int) -> None:
    for medium in (CARD, PACK, A7):
        for before in ((), (step(1), step(2), step(3))):
            faces = lay_out([sheet(*before, table(rows, None))], medium)
            parts = [block for face in faces for block in face.blocks if isinstance(block, Table)]
            assert min(len(part.rows) for part in (parts[0], parts[-1])) > 1, (medium.name, before)


def test_a_heading_never_ends_a_face_of_a_demo_set(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code
) -> None:
    """Where figure and points under it fall away on a small form, the steps under it stay with it."""
    job = job_of("first-lateral")
    for form in ("a7", "3x5", "half-letter"):
        medium = card_medium(form)
        for face in lay_out(job_card_sheets(views_of(job), job, medium, square), medium):
            assert not isinstance(face.blocks[-1], Section | Safety), (form, face.number)
            assert all(block.items for block in face.blocks if isinstance(block, Points)), (form, face.number)


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
    assert all([block.kind for block in face.blocks] == ["section", "table"] for face in others)


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
