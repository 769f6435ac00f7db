"""Which sheets a crew pack, a card set and a page of the site hold, in order.

In: views of a job's joints, or of one combination. Out: sheets ready to be laid on faces. Vocabulary: sheets a job needs once
(hazards, isolation) stand with the first joint or the last, the rest with each joint.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packgen.model.catalog import Folder
from packgen.model.job import Job
from packgen.sheets.back import record_sheet, workings_sheet
from packgen.sheets.blocks import Block, Code, Drawing, Section, Sheet, Tag, Why, spans
from packgen.sheets.front import cover, fit_sheet, key_values, values_sheet
from packgen.sheets.media import Medium, Paper
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.view import View


def pack_sheets(views: Sequence[View], job: Job, medium: Medium, code: Code, folders: Sequence[Folder]) -> tuple[Sheet, ...]:
    """Every sheet of a crew pack."""
    words = views[0].words
    tag = views[0].tag if len(views) == 1 else Tag(job.main.short, words("cover.joints", count=str(len(views))))
    inner = [sheet for index, view in enumerate(views) for sheet in _joint_sheets(view, medium, index, len(views))]
    return (cover(views, job, code, folders, words("sheets.cover"), tag), *inner)


def _joint_sheets(view: View, medium: Medium, index: int, joints: int) -> Iterator[Sheet]:
    """The sheets of one joint."""
    yield values_sheet(view)
    yield fit_sheet(view)
    for sheet in procedure_sheets(view, medium, "pack"):
        once = {procedure.head.id: procedure.head.once for procedure in view.catalog.procedures}.get(sheet.id)
        if once is None or (once == "first" and index == 0) or (once == "last" and index == joints - 1):
            yield sheet
    yield record_sheet(view)
    yield workings_sheet(view)


def card_sheets(view: View, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """Every sheet of a set of pocket cards for one combination: values first, then the same steps as the pack."""
    words = view.words
    first: tuple[Block, ...] = (key_values(view), Why(spans(words("cards.governs")), small=True), code)
    return (Sheet("values", words("sheets.card_values"), view.tag, first), *procedure_sheets(view, medium, "cards"))


def print_first_sheet(view: View, paper: Paper, faces: int, tag: Tag) -> Sheet:
    """The sheet to read before printing cards: scale with a bar to measure, flip edge, stock, cutting, order."""
    words = view.words
    blocks: list[Block] = [Why(spans(words("print_first.what", faces=str(faces))))]
    for key in ("scale", "duplex", "stock", "cut", "pile", "draft"):
        text = words("print_first.cut_" + paper) if key == "cut" else words("print_first." + key)
        blocks += [Section(words(f"print_first.{key}_title")), Why(spans(text))]
        if key == "scale":
            blocks.append(Drawing(scale_bar(words("print_first.bar_title"), words("print_first.bar"))))
    return Sheet("print-first", words("sheets.print_first"), tag, tuple(blocks))
