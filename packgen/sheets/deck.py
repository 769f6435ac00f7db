"""Which sheets a crew pack, a card set and a page of the site hold, in order.

In: views of a job's joints, or of one combination. Out: sheets ready to be laid on faces. Vocabulary:
sheets a job needs once (hazards, isolation) stand with the first joint or the last, the rest with each
joint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from packgen.model.catalog import Folder
from packgen.model.job import Job
from packgen.sheets.back import record_sheet, workings_sheet
from packgen.sheets.blocks import Block, Code, Drawing, Section, Sheet, Step, Tag, Why, spans
from packgen.sheets.front import cover, fit_sheet, key_values, of_joint, values_sheet
from packgen.sheets.media import Medium, Paper
from packgen.sheets.procedure import On, procedure_sheets
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.view import View


def pack_sheets(
    views: Sequence[View], job: Job, medium: Medium, code: Code, folders: Sequence[Folder], date: str = ""
) -> tuple[Sheet, ...]:
    """Every sheet of a crew pack; `date` is printed in place of the job's."""
    inner: list[Sheet] = []
    for view, procedures in zip(views, _procedures(views, job, medium, "pack"), strict=True):
        inner += _named([values_sheet(view), fit_sheet(view)], view, len(views))
        inner += procedures
        inner += _named([record_sheet(view), workings_sheet(view)], view, len(views))
    title, day = views[0].words("sheets.cover"), date or job.date.isoformat()
    return (cover(views, job, code, folders, title, job_tag(views, job), day), *inner)


def job_tag(views: Sequence[View], job: Job) -> Tag:
    """The size tag of what a job has once: its one size, or its main and the number of joints."""
    words = views[0].words
    return (
        views[0].tag if len(views) == 1 else Tag(job.main.short, words("cover.joints", count=str(len(views))))
    )


def _named(sheets: Sequence[Sheet], view: View, joints: int) -> list[Sheet]:
    """Sheets that name their joint, where a job has several."""
    if joints == 1:
        return list(sheets)
    return [replace(sheet, title=of_joint(view, sheet.title)) for sheet in sheets]


def _procedures(views: Sequence[View], job: Job, medium: Medium, on: On) -> list[list[Sheet]]:
    """Each joint's procedures, those a job needs once with the first joint or the last only.

    A sheet without steps that is shared but differs between the joints (the table of sizes) stands with each.
    """
    once = {procedure.head.id: procedure.head.once for procedure in views[0].catalog.procedures}
    made = [list(procedure_sheets(view, medium, on)) for view in views]
    homes = {sheet.id: sheets for sheets in reversed(made) for sheet in sheets if once[sheet.id] == "first"}
    homes |= {sheet.id: sheets for sheets in made for sheet in sheets if once[sheet.id] == "last"}
    found: list[list[Sheet]] = []
    for view, sheets in zip(views, made, strict=True):
        found.append([])
        for sheet in sheets:
            home = homes.get(sheet.id)
            same = [each for other in made for each in other if each.id == sheet.id]
            if home is None or _differs(sheet, same):
                found[-1] += _named([sheet], view, len(views))
            elif home is sheets:
                found[-1].append(replace(sheet, tag=job_tag(views, job)))
    return found


def _differs(sheet: Sheet, same: Sequence[Sheet]) -> bool:
    """Whether a sheet without steps says something else for another joint."""
    steps = any(isinstance(block, Step) for block in sheet.blocks)
    return not steps and any(each.blocks != sheet.blocks for each in same)


def card_sheets(view: View, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """Every sheet of a card set for one combination: values first, then the same steps as the pack."""
    procedures = tuple(procedure_sheets(view, medium, "cards"))  # first: they tell which steps are left out
    return (_card_values(view, code), *procedures)


def _card_values(view: View, code: Code) -> Sheet:
    """The first face of a set: the values looked for first, and the code."""
    words = view.words
    job = view.request.job
    state = words(f"state.{job.state if job else 'dry'}")
    context = words("cards.context", contents=view.request.contents, state=state, method=view.request.method)
    notes = [words("cards.governs"), *([] if job else [words("cards.no_job"), *dict.fromkeys(view.left_out)])]
    said = (Why(spans(context, "strong")), *(Why(spans(note), small=True) for note in notes))
    blocks: tuple[Block, ...] = (key_values(view), *said, code)
    return Sheet("values", words("sheets.card_values"), view.tag, blocks)


def job_card_sheets(views: Sequence[View], job: Job, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """The cards of a job: each joint's values and procedures, what the job needs once standing there once."""
    found: list[Sheet] = []
    for view, procedures in zip(views, _procedures(views, job, medium, "cards"), strict=True):
        found += _named([_card_values(view, code)], view, len(views))
        found += procedures
    return tuple(found)


def print_first_sheet(view: View, paper: Paper, faces: int, tag: Tag) -> Sheet:
    """The sheet to read before printing cards: scale with its bar, flip edge, stock, cutting, order."""
    words = view.words
    blocks: list[Block] = [Why(spans(words("print_first.what", faces=str(faces))))]
    for key in ("scale", "duplex", "stock", "cut", "pile", "draft"):
        text = words("print_first.cut_" + paper) if key == "cut" else words("print_first." + key)
        blocks += [Section(words(f"print_first.{key}_title")), Why(spans(text))]
        if key == "scale":
            blocks.append(Drawing(scale_bar(words("print_first.bar_title"), words("print_first.bar"))))
    return Sheet("print-first", words("sheets.print_first"), tag, tuple(blocks))
