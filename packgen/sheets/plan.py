"""Sheets onto faces: what stands on which, before anything is drawn, so that the page count is known.

In: sheets and a `Medium`. Out: faces with their numbers. Vocabulary: a *bundle* is what must stay
together: a heading with what follows, a safety message with the step it guards, one step, one row group
of a table. A safety message and the steps that do what it asks are not parted where one face holds them.
Where a sheet needs more than one face it is parted after a hold or witness point, or before a heading, and
its faces are filled alike; type never shrinks. The print guard proves the plan on the PDF.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from packgen.errors import ContentError, Place, Problem
from packgen.sheets.blocks import (
    Block,
    Boxes,
    Cells,
    Face,
    Points,
    Safety,
    Section,
    Sheet,
    Spans,
    Step,
    Table,
    Why,
)
from packgen.sheets.fitting import fitted, is_lookup, printed
from packgen.sheets.heights import height_of, height_of_all, under
from packgen.sheets.media import Medium
from packgen.sheets.plan_proof import require_whole

# What a plan costs, in faces: a face ended at no pause point; a step alone on its face; an empty face; a
# safety message parted from a step that does what it asks, which outweighs a face more and whatever ends it.
BROKEN, ALONE, EMPTY, PARTED = 0.2, 0.4, 0.25, 4.0
CURE = "shorten them, or part them into two steps"
LARGER = "choose a larger form, without ring hole and laminating margin"


@dataclass(frozen=True)
class Bundle:
    """Blocks that stay together, their height in mm, their steps, and whether a face may end after them.

    `lead` is the caption that stands where a face begins with the bundle, and `again` its height with that of
    a table's head that is repeated; `parts` counts the safety messages that a face which ends after the
    bundle would part from steps they ask for.
    """

    blocks: tuple[Block, ...]
    height: float
    again: float
    steps: int
    pause: bool
    heading: bool
    lead: tuple[Block, ...] = ()
    parts: int = 0


def lay_out(sheets: Sequence[Sheet], medium: Medium) -> tuple[Face, ...]:
    """Every sheet on as many faces as it needs.

    Parameters: `sheets` in order; `medium`. Returns the faces numbered through. Raises `ContentError`
    where one bundle is higher than a face: its words do not fit.
    """
    faces = [face for sheet in sheets for face in _sheet_faces(sheet, medium)]
    total = len(faces)
    return tuple(replace(face, number=index + 1, total=total) for index, face in enumerate(faces))


def _sheet_faces(sheet: Sheet, medium: Medium) -> list[Face]:
    """The faces of one sheet, which hold all of it."""
    sheet, medium = fitted(sheet, medium)
    faces = list(_faces(sheet, medium))
    require_whole(sheet.title, sheet.blocks, faces)
    return faces


def _faces(sheet: Sheet, medium: Medium) -> Iterator[Face]:
    """A sheet's blocks, bundled and laid."""
    medium = under(sheet, medium)
    bundles = _minded(list(_bundles(sheet, medium)))
    for bundle in bundles:
        if bundle.height + bundle.again > medium.most or bundle.steps > medium.steps:
            raise _too_high(bundle, sheet, medium)
    for start, end in pairwise([0, *_ends(bundles, medium)]):
        taken = bundles[start:end]
        blocks = _rejoined([*taken[0].lead, *(block for bundle in taken for block in bundle.blocks)])
        height = taken[0].again + sum(bundle.height for bundle in taken)
        yield Face(sheet.id, sheet.title, sheet.tag, blocks, fill=height / medium.room)


def _too_high(bundle: Bundle, sheet: Sheet, medium: Medium) -> ContentError:
    """Words that must stay together and are higher than a face."""
    highest = max(bundle.blocks, key=lambda block: height_of(block, medium))
    words = " ".join(highest.strings())[:60]
    what = f"on the sheet {sheet.title!r} the words {words!r} do not fit one {medium.name} face"
    if medium.name == "card":
        what += f" of the form {medium.form}"
    return ContentError([Problem(Place(), what, cure=LARGER if medium.narrow else CURE)])


def _ends(bundles: Sequence[Bundle], medium: Medium) -> list[int]:
    """Where each face ends: the fewest faces, ended at pause points where they can be, evenly filled.

    Worked out from the last bundle back: `best` holds, for each bundle, what the faces from it on cost and
    where the first of them ends.
    """
    count = len(bundles)
    best: list[tuple[float, int]] = [(0.0, count)] * (count + 1)
    for start in reversed(range(count)):
        height, steps, tried = bundles[start].again, 0, []
        for end in range(start + 1, count + 1):
            height, steps = height + bundles[end - 1].height, steps + bundles[end - 1].steps
            whole = all(bundle.parts for bundle in bundles[start : end - 1])
            if height > (medium.most if whole else medium.room) or steps > medium.steps:
                break
            cost = _cost(bundles[start:end], bundles[end:], height / medium.room)
            tried.append((cost + best[end][0], end))
        best[start] = min(tried, key=lambda each: (round(each[0], 9), -each[1]))
    ends, at = [], 0
    while at < count:
        at = best[at][1]
        ends.append(at)
    return ends


def _cost(face: Sequence[Bundle], after: Sequence[Bundle], fill: float) -> float:
    """What one face costs."""
    cost = 1.0 + EMPTY * (1.0 - fill) ** 2
    if after and not (face[-1].pause or after[0].heading):
        cost += BROKEN
    if after:
        cost += PARTED * face[-1].parts
    if len(face) == 1 and face[0].steps == 1 and fill < 0.5:
        cost += ALONE
    return cost


def _bundles(sheet: Sheet, medium: Medium) -> Iterator[Bundle]:
    """A sheet's blocks as bundles; long tables, lists and forms are parted into several."""
    held: list[Block] = []
    for index, block in enumerate(sheet.blocks):
        last = index + 1 == len(sheet.blocks)
        caption, goes_on = _caption(sheet, index, medium), _follows_table(sheet, index)
        above = height_of_all(held or (caption if goes_on else ()), medium)
        for part in _parted(block, medium, above, listed=_is_listed(sheet, index, medium)):
            held.append(part)
            leads = _leads(part, held, medium) or (not last and _is_listed(sheet, index + 1, medium))
            if leads and not last:
                continue
            yield _bundle(held, medium, caption if goes_on else ())
            held, goes_on = [], True


def _is_listed(sheet: Sheet, index: int, medium: Medium) -> bool:
    """Whether a block is a card's list made of a table: the columns' names stand small before it."""
    before, block = sheet.blocks[index - 1] if index else None, sheet.blocks[index]
    return medium.name == "card" and isinstance(block, Points) and isinstance(before, Why) and before.small


def _follows_table(sheet: Sheet, index: int) -> bool:
    """Whether a table stands directly behind another, as the parts of one cut at its columns do."""
    return index > 0 and all(isinstance(block, Table) for block in sheet.blocks[index - 1 : index + 1])


def _caption(sheet: Sheet, index: int, medium: Medium) -> tuple[Block, ...]:
    """What stands where a table goes on: its section's title; above a list made of one its columns' names."""
    listed, before = _is_listed(sheet, index, medium), sheet.blocks[:index]
    titles = [block.text for block in before if isinstance(block, Section)]
    if not titles or not (listed or isinstance(sheet.blocks[index], Table)):
        return ()
    return (Section(printed("plan.continued", title=titles[-1])), *(before[-1:] if listed else ()))


def _minded(bundles: Sequence[Bundle]) -> list[Bundle]:
    """Bundles that know how many safety messages stand before their end with a step they ask for behind it.

    A step of a section further on that bears the same name does the same in another place.
    """
    parts = [0] * len(bundles)
    for at, bundle in enumerate(bundles):
        for acts in (set(block.acts) for block in bundle.blocks if isinstance(block, Safety)):
            until = next((n for n in range(at + 1, len(bundles)) if bundles[n].heading), len(bundles))
            doing = [n for n in range(at, until) if acts.intersection(_step_ids(bundles[n]))]
            for between in range(at, max(doing, default=at)):
                parts[between] += 1
    return [replace(bundle, parts=count) for bundle, count in zip(bundles, parts, strict=True)]


def _step_ids(bundle: Bundle) -> set[str]:
    """The ids of a bundle's steps."""
    return {block.id for block in bundle.blocks if isinstance(block, Step)}


def _leads(block: Block, held: Sequence[Block], medium: Medium) -> bool:
    """Whether what follows must stay with a block; a long run of words may end a face, a heading never."""
    if isinstance(block, Why):
        under_heading = len(held) == 2 and isinstance(held[0], Section)
        return (not block.small or under_heading) and height_of_all(held, medium) < 0.6 * medium.room
    return isinstance(block, Section | Safety)


def _bundle(blocks: list[Block], medium: Medium, caption: tuple[Block, ...]) -> Bundle:
    """A bundle with its height; a caption that one face does not hold with it falls away."""
    steps = sum(isinstance(block, Step) for block in blocks)
    last = blocks[-1]
    pause = isinstance(last, Table) or (isinstance(last, Step) and bool(last.gate))
    heading = any(isinstance(block, Section) for block in blocks[:2])
    first, again = blocks[0], 0.0
    if isinstance(first, Table) and first.first_row > 1:
        again = height_of(replace(first, rows=()), medium)
    height = height_of_all(blocks, medium) - again
    above = height_of_all(caption, medium)
    lead = caption if height + again + above <= medium.room else ()
    again += above if lead else 0.0
    return Bundle(tuple(blocks), height, again, steps, pause, heading, lead)


def _parted(block: Block, medium: Medium, above: float, *, listed: bool) -> Iterator[Block]:
    """A long table, list or form in parts for several faces; `above` is the height of what it must follow."""
    limit = 0.95 * medium.room
    whole = limit - above
    if isinstance(block, Table) and block.write:
        whole = medium.most - above
    elif isinstance(block, Table) and not is_lookup(block):
        whole = min(limit / 3, whole)
    if isinstance(block, Table) and height_of(block, medium) > whole:
        yield from _rows_together(block, medium, limit - above)
    elif isinstance(block, Points) and height_of(block, medium) > (whole if listed else limit / 3):
        run, items = _run(block, medium, limit / 3), block.items
        yield from (replace(block, items=items[at : at + run]) for at in range(0, len(items), run))
    elif isinstance(block, Cells):
        rows = range(0, len(block.cells), block.across)
        yield from (replace(block, cells=block.cells[at : at + block.across]) for at in rows)
    elif isinstance(block, Boxes) and not block.heavy:
        yield from (replace(block, boxes=block.boxes[at : at + 2]) for at in range(0, len(block.boxes), 2))
    else:
        yield block


def _run(points: Points, medium: Medium, limit: float) -> int:
    """How many points stay together: four, or fewer where they are long for the face."""
    runs = (
        height_of(replace(points, items=points.items[at : at + 4]), medium)
        for at in range(0, len(points.items), 4)
    )
    return 4 if max(runs) <= 1.5 * limit else 1


def _rows_together(table: Table, medium: Medium, most: float) -> Iterator[Table]:
    """A table in runs of rows; the two at each end stay together, on a card if no higher than `most`."""
    parts = list(_parted_table(table, pairs=True))
    if medium.name == "card" and any(height_of(part, medium) > most for part in parts):
        parts = list(_parted_table(table, pairs=False))
    yield from parts


def _parted_table(table: Table, *, pairs: bool) -> Iterator[Table]:
    """A table in runs of rows that stay together: a group's name with its row; of `pairs` the ends' two."""
    rows: list[tuple[Spans, ...]] = []
    count = len(table.rows)
    for index, row in enumerate(table.rows):
        rows.append(row)
        names_group = not table.write and not any(row[1:])
        ends = pairs and index in {0, count - 2}
        if (ends or names_group) and index + 1 < count:
            continue
        yield _rows_of(table, rows, index + 1 - len(rows))
        rows = []


def _rows_of(table: Table, rows: list[tuple[Spans, ...]], start: int) -> Table:
    """Part of a table; the mark moves with its row."""
    inside = table.marked is not None and start <= table.marked < start + len(rows)
    marked = table.marked - start if inside and table.marked is not None else None
    return replace(table, rows=tuple(rows), marked=marked, first_row=table.first_row + start)


def _rejoined(blocks: Sequence[Block]) -> tuple[Block, ...]:
    """Blocks with the parts of one table that came on one face as one table again."""
    joined: list[Block] = []
    for block in blocks:
        before = joined[-1] if joined else None
        if isinstance(block, Table) and isinstance(before, Table) and _goes_on(block, before):
            marked = before.marked
            if block.marked is not None:
                marked = len(before.rows) + block.marked
            joined[-1] = replace(before, rows=(*before.rows, *block.rows), marked=marked)
        else:
            joined.append(block)
    return tuple(joined)


def _goes_on(table: Table, before: Table) -> bool:
    """Whether a part of a table follows another part of it."""
    same = (table.head, table.shares, table.field) == (before.head, before.shares, before.field)
    return same and table.first_row == before.first_row + len(before.rows)
