"""What the guard is told about a face: its words, each with the least type it may have, and its limits.

In: a planned face, its medium, what is stamped on it. Out: a `PlannedPage`.
Vocabulary: a string's *role* is what it is on its face (`sheets/blocks.py`); a *stop* sheet says when
to stop.
Source: CAP 676 as quoted and ISO/IEC Guide 37 for body and headings on cards; the other sizes and limits are
our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packgen.render.html import Stamp, face_label
from packgen.render.preflight_figure import sketch
from packgen.render.preflight_fill import empty_cells, to_fill
from packgen.render.preflight_plan import Box, Hole, PlannedPage, Words, punched
from packgen.sheets.blocks import Block, Cells, Code, Drawing, Face, Role, Safety, Said, Step, Table, words_of
from packgen.sheets.media import HOLE_AT, HOLE_RADIUS, WHOLE, Medium
from packgen.sheets.words import Words as Printed

SAFE = 5.0  # mm inside the trim
SMALLEST = 8.0  # pt
LINE = 60  # characters of running words
DOT = "\u00b7"

# The least type of each role in pt, and what a message calls it.
LEAST: dict[Role, tuple[float, str]] = {
    "title": (12.0, "a title"),
    "tag": (8.0, "a size tag"),
    "heading": (12.0, "a heading"),
    "step": (10.0, "a step"),
    "running": (10.0, "running words"),
    "signal": (12.0, "a signal word"),
    "safety": (10.0, "a safety message"),
    "cell": (10.0, "a table"),
    "value": (12.0, "a value"),
    "label": (SMALLEST, "a label"),
}
RUNNING: frozenset[Role] = frozenset({"step", "running", "safety"})
STOP_SHEETS = frozenset({"stop-redo-reject"})
STOP_ROLES = RUNNING | {"cell"}
LEAST_TO_STOP = 12.0  # pt on cards


def planned_page(face: Face, medium: Medium, stamp: Stamp, words: Printed) -> PlannedPage:
    """What the page of a face must be.

    Parameters: `face`; `medium` it is set in; `stamp` and `words` for its foot.
    """
    foot = foot_strings(face, medium, stamp, words)
    numbers = tuple(str(block.number) for block in face.blocks if isinstance(block, Step))
    return PlannedPage(
        face.title,
        medium.width,
        medium.height,
        foot,
        (Box(SAFE, SAFE, medium.width - SAFE, medium.height - SAFE),),
        words=(*_head_words(face, medium), *_block_words(face, medium)),
        smallest=SMALLEST,
        white=medium.white,
        together=tuple(_together(face.blocks)),
        head=(face.title, face.tag.large, face.tag.small),
        foot=foot,
        holes=_holes(medium),
        steps=len(numbers),
        most_steps=medium.steps,
        line=LINE,
        full=min(medium.full * max(1.0, face.fill), WHOLE) if medium.narrow else medium.full,
        codes=tuple(block.text for block in face.blocks if isinstance(block, Code)),
        # A time line with ten marks looks like a bar: only pages that hold a bar are measured.
        bars=sum(block.figure.bar for block in face.blocks if isinstance(block, Drawing)) or None,
        numbers=numbers + _dots(medium, stamp),
        upright=True,
        stacks=tuple(_stacks(face.blocks)),
        rows=tuple(_rows(face.blocks)),
        empty=tuple(empty_cells(face.blocks, medium)),
        figures=tuple(sketch(block.figure) for block in face.blocks if isinstance(block, Drawing)),
    )


def foot_strings(face: Face, medium: Medium, stamp: Stamp, words: Printed) -> tuple[str, ...]:
    """What the foot of a face says."""
    return (*stamp.lines, face_label(face, medium, words))


def _dots(medium: Medium, stamp: Stamp) -> tuple[str, ...]:
    """The dots that the foot has between its lines where it sets them as one."""
    dots = medium.foot_text("\n".join(stamp.lines)).count(DOT) - sum(line.count(DOT) for line in stamp.lines)
    return (DOT,) * dots


def _head_words(face: Face, medium: Medium) -> Iterator[Words]:
    """The title and the size tag."""
    for said in replace(face, blocks=()).said():
        yield _words(said, face, medium)


def _block_words(face: Face, medium: Medium) -> Iterator[Words]:
    """The words of all blocks, each with its boxes, and its ground where that tells what it is."""
    for block in face.blocks:
        for said, (inside, tick) in zip(block.said(), to_fill(block, medium), strict=True):
            words = _words(said, face, medium)
            yield replace(words, white=_white(block, said, medium), inside=inside, tick=tick)


def _white(block: Block, said: Said, medium: Medium) -> bool | None:
    """A signal word and a hold point are white on black, a witness point is not.

    On a narrow face a hold point's own words stand under its black bar.
    """
    if isinstance(block, Safety) and said.role == "signal":
        return True
    if isinstance(block, Step) and block.gate and said.text != block.write:
        return block.gate == "hold" and not (medium.narrow and said.role == "step")
    return None


def _words(said: Said, face: Face, medium: Medium) -> Words:
    """An authored string with the least type of its role."""
    least, part = LEAST[said.role]
    if medium.name == "card" and face.sheet in STOP_SHEETS and said.role in STOP_ROLES:
        least = LEAST_TO_STOP
    return Words(said.text, least, part, said.role in RUNNING, said.blanks)


def _together(blocks: tuple[Block, ...]) -> Iterator[tuple[str, ...]]:
    """The strings that may not be parted: a step with its number, a safety message."""
    for block in blocks:
        if isinstance(block, Step):
            line = block.said()[0].text
            yield tuple(text for text in (str(block.number), block.gate_word, line) if text)
        elif isinstance(block, Safety):
            yield block.strings()


def _stacks(blocks: tuple[Block, ...]) -> Iterator[tuple[str, ...]]:
    """Each value under its label; a blank has nothing but a corner to its right."""
    for block in blocks:
        if isinstance(block, Cells):
            told = [cell.said(block.enter) for cell in block.cells if not cell.blank]
            yield from (tuple(said.text for said in each) for each in told)


def _rows(blocks: tuple[Block, ...]) -> Iterator[tuple[str, ...]]:
    """The cells with words of each row of a table."""
    for block in blocks:
        for row in block.rows if isinstance(block, Table) else ():
            texts = tuple(text for cell in row if (text := words_of(cell)))
            if len(texts) > 1:
                yield texts


def _holes(medium: Medium) -> tuple[Hole, ...]:
    """The holes that will be punched: those of a filed page, or a ring hole in a card's upper corners."""
    if medium.name != "card":
        return punched(medium.width, medium.height)
    edges = (HOLE_AT, medium.width - HOLE_AT) if medium.hole else ()
    return tuple(Hole(left, HOLE_AT, 2 * HOLE_RADIUS) for left in edges)
