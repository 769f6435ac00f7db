"""Laws of the plan: what holds for every sheet that could be written, on cards and on pages.

Made-up sheets are drawn by hypothesis from the same blocks as real ones: sections of words, safety messages
each before the step it guards, steps with and without gates, tables, lists, forms. Headings and messages are
as long as real ones at most, since what leads a step must fit one card with it.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packgen.errors import ContentError
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
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
from packgen.sheets.heights import height_of_all
from packgen.sheets.media import Medium, card_medium, pack_medium
from packgen.sheets.plan import lay_out

MEDIA = [
    *(card_medium(form) for form in ("quarter-letter", "a6", "half-letter", "a4", "11x17")),
    card_medium("a6", ring_hole=True, laminating_margin=3.0),
    pack_medium("letter"),
    pack_medium("a4"),
]
EXAMPLES = settings(max_examples=40, deadline=None)
WORDS = ("peel", "the", "zone", "wipe", "dry", "saddle", "clamp", "and", "look", "12 in [305 mm]", "again")

texts = st.lists(st.sampled_from(WORDS), min_size=1, max_size=22).map(" ".join)
short = st.lists(st.sampled_from(WORDS), min_size=1, max_size=6).map(" ".join)
lines = texts.map(spans)
# A step's number and id are given when the sheet is put together.
steps = st.builds(
    Step,
    number=st.just(0),
    id=st.just(""),
    line=lines,
    gate=st.sampled_from(["", "", "hold", "witness"]),
    gate_word=st.just("HOLD"),
    write=st.sampled_from(["", "Reading, time"]),
)
messages = st.builds(
    Safety,
    id=st.just("made-up"),
    signal=st.just("danger"),
    word=st.just("DANGER"),
    hazard=short,
    consequence=short,
    avoid=short,
    acts=st.lists(st.integers(1, 40).map(lambda number: f"s{number}"), max_size=6).map(tuple),
)
rows = st.lists(st.tuples(lines, lines), min_size=1, max_size=30)


@st.composite
def tables(draw: Callable[..., Any]) -> Table:
    """A table with or without a marked row."""
    cells = tuple(draw(rows))
    marked = draw(st.none() | st.integers(0, len(cells) - 1))
    return Table((spans("Pair"), spans("Wait")), cells, (0.4, 0.6), marked, small=draw(st.booleans()))


@st.composite
def sections(draw: Callable[..., Any]) -> list[Block]:
    """A heading, words, and then steps with their safety messages, or a table, a list or a form."""
    blocks: list[Block] = [Section(draw(short))]
    blocks += draw(st.lists(st.builds(Why, line=lines), max_size=1))
    for _ in range(draw(st.integers(0, 12))):
        blocks += draw(st.lists(messages, max_size=2)) if draw(st.integers(0, 3)) == 0 else []
        blocks.append(draw(steps))
    if isinstance(blocks[-1], Section | Why) or draw(st.integers(0, 3)) == 0:
        lists = st.builds(Points, items=st.lists(lines, min_size=1, max_size=14).map(tuple))
        forms = st.lists(st.builds(Box, label=texts), min_size=1, max_size=9).map(
            lambda boxes: Boxes(tuple(boxes))
        )
        blocks.append(draw(tables() | lists | forms))
    return blocks


@st.composite
def sheets(draw: Callable[..., Any]) -> tuple[Sheet, ...]:
    """Sheets whose steps are numbered through."""
    made, number = [], 0
    for index in range(draw(st.integers(1, 2))):
        blocks: list[Block] = []
        for block in (
            block for section in draw(st.lists(sections(), min_size=1, max_size=3)) for block in section
        ):
            if isinstance(block, Step):
                number += 1
                block = Step(number, f"s{number}", block.line, block.gate, block.gate_word, block.write)
            blocks.append(block)
        made.append(Sheet(f"sheet-{index}", f"Sheet {index}", Tag("2 on 6 in", "IPS"), tuple(blocks)))
    return tuple(made)


media = st.sampled_from(MEDIA)


def atoms(block: Block) -> list[object]:
    """What a block is made of where it may be parted: rows, items, boxes; else the block itself."""
    if isinstance(block, Table):
        return [(block.head, row) for row in block.rows]
    if isinstance(block, Points):
        return list(block.items)
    if isinstance(block, Boxes):
        return list(block.boxes)
    return [block]


def all_of(parts: tuple[Face, ...] | tuple[Sheet, ...]) -> list[object]:
    """Everything on faces or sheets, in order, but the captions of tables that go on."""
    blocks = (block for part in parts for block in part.blocks)
    return [atom for block in blocks if not is_caption(block) for atom in atoms(block)]


def is_caption(block: Block) -> bool:
    """Whether a block is a section's title said again; no word of the made-up sheets has a comma."""
    return isinstance(block, Section) and block.text.endswith(", continued")


@EXAMPLES
@given(sheets(), media)
def test_nothing_is_lost_and_order_is_kept(made: tuple[Sheet, ...], medium: Medium) -> None:
    """Every block, row, item and box stands once, in the order written; so no step stands on two faces."""
    assert all_of(lay_out(made, medium)) == all_of(made)


@EXAMPLES
@given(sheets(), media)
def test_faces_are_numbered_through_and_keep_their_sheet(made: tuple[Sheet, ...], medium: Medium) -> None:
    """1…n of n; faces of one sheet follow each other; every sheet has a face."""
    faces = lay_out(made, medium)
    assert [face.number for face in faces] == list(range(1, len(faces) + 1))
    assert {face.total for face in faces} == {len(faces)}
    assert list(dict.fromkeys(face.sheet for face in faces)) == [sheet.id for sheet in made]
    assert [face.sheet for face in faces] == sorted(face.sheet for face in faces)


@EXAMPLES
@given(sheets(), media)
def test_what_leads_never_ends_a_face(made: tuple[Sheet, ...], medium: Medium) -> None:
    """A heading has words under it, and after a safety message comes the step it guards, on the same face."""
    for face in lay_out(made, medium):
        assert not isinstance(face.blocks[-1], Section | Safety)
        for block, after in pairwise(face.blocks):
            if isinstance(block, Safety):
                assert isinstance(after, Step | Safety)


@EXAMPLES
@given(sheets(), media)
def test_no_face_is_too_full(made: tuple[Sheet, ...], medium: Medium) -> None:
    """Height within its room, and no more steps than the form bears."""
    for face in lay_out(made, medium):
        assert face.blocks
        assert height_of_all(face.blocks, medium) <= medium.room + 1e-9
        assert sum(isinstance(block, Step) for block in face.blocks) <= medium.steps


@EXAMPLES
@given(tables(), st.booleans(), media)
def test_a_table_is_parted_between_rows_with_head_and_mark(table: Table, led: bool, medium: Medium) -> None:
    """The head is on each part, and the mark is on its own row only."""
    before: tuple[Block, ...] = (Section("Sizes"),) if led else ()
    faces = lay_out([Sheet("sizes", "Sizes", Tag("2 on 6 in", "IPS"), (*before, table))], medium)
    parts = [block for face in faces for block in face.blocks if isinstance(block, Table)]
    assert all(part.head == table.head for part in parts)
    captions = [block for face in faces[1:] for block in face.blocks if is_caption(block)]
    assert len(captions) <= (len(faces) - 1 if led else 0)
    if medium.name == "pack":
        assert len(captions) == (len(faces) - 1 if led else 0)
        assert all((part.shares, part.small) == (table.shares, table.small) for part in parts)
    assert tuple(row for part in parts for row in part.rows) == table.rows
    at, marks = 0, []
    for part in parts:
        marks += [at + part.marked] if part.marked is not None else []
        at += len(part.rows)
    assert marks == ([] if table.marked is None else [table.marked])


@EXAMPLES
@given(sheets(), media, st.integers(400, 900))
def test_words_too_high_for_a_face_are_refused(made: tuple[Sheet, ...], medium: Medium, times: int) -> None:
    """One endless step among good ones: a sentence, never a lost or cut step."""
    endless = Step(999, "endless", spans("wipe and look again " * times))
    last = made[-1]
    with pytest.raises(ContentError, match=r"do not fit one (card|pack) face"):
        lay_out((*made[:-1], Sheet(last.id, last.title, last.tag, (*last.blocks, endless))), medium)
