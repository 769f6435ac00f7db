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
from packgen.sheets.blank_cover import blank_cover
from packgen.sheets.blocks import Block, Code, Drawing, Section, Sheet, Tag, Why, spans
from packgen.sheets.day_sheet import day_sheets
from packgen.sheets.front import cover, fit_sheet, key_values, of_joint, values_sheet
from packgen.sheets.heat_sheet import heat_sheets
from packgen.sheets.media import Medium, Paper
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.rules_quoted import with_rules_quoted
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.standing import On, left_out
from packgen.sheets.view import View


def pack_sheets(
    views: Sequence[View], job: Job, medium: Medium, code: Code, folders: Sequence[Folder], date: str = ""
) -> tuple[Sheet, ...]:
    """Every sheet of a crew pack; `date` is printed in place of the job's."""
    inner: list[Sheet] = []
    for view in views:
        procedures = _procedures(view, job_tag(views, job), len(views), medium, "pack")
        inner += _joint_sheets(view, procedures, len(views))
    title, day = views[0].words("sheets.cover"), date or job.date.isoformat()
    tag = job_tag(views, job)
    front = cover(views, job, code, folders, title, tag, day)
    return (front, *day_sheets(views, job, medium, tag), *with_rules_quoted(inner, views))


def blank_pack_sheets(
    view: View, medium: Medium, code: Code, folders: Sequence[Folder], date: str
) -> tuple[Sheet, ...]:
    """Every sheet of a crew pack without a job: the cover has boxes where a job has words."""
    inner = _joint_sheets(view, list(procedure_sheets(view, medium, "pack")), 1)
    return (blank_cover(view, code, folders, date), *with_rules_quoted(inner, [view]))


def _joint_sheets(view: View, procedures: Sequence[Sheet], joints: int) -> list[Sheet]:
    """What a pack holds for one joint: its values and fit check, the procedures, its record and workings."""
    before = _named([values_sheet(view), fit_sheet(view)], view, joints)
    after = [record_sheet(view), *heat_sheets(view), workings_sheet(view)]
    return [*before, *procedures, *_named(after, view, joints)]


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


def _procedures(view: View, tag: Tag, joints: int, medium: Medium, on: On) -> list[Sheet]:
    """The procedures that stand with one joint; a shared one bears the job's tag."""
    found: list[Sheet] = []
    for sheet in procedure_sheets(view, medium, on):
        found += [replace(sheet, tag=tag)] if sheet.id in view.shared else _named([sheet], view, joints)
    return found


def card_sheets(view: View, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """Every sheet of a card set for one combination: values first, then the same steps as the pack."""
    return (_card_values(view, code), *procedure_sheets(view, medium, "cards"))


def _card_values(view: View, code: Code) -> Sheet:
    """The first face of a set: the values looked for first, and the code."""
    words = view.words
    job = view.request.job
    state = words(f"state.{view.request.state}")
    context = words("cards.context", contents=view.request.contents, state=state, method=view.request.way)
    notes = [words("cards.governs"), *([] if job else [words("cards.no_job"), *left_out(view, "cards")])]
    said = (Why(spans(context, "strong")), *(Why(spans(note), small=True) for note in notes))
    blocks: tuple[Block, ...] = (key_values(view), *said, code)
    return Sheet("values", words("sheets.card_values"), view.tag, blocks)


def job_card_sheets(views: Sequence[View], job: Job, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """The cards of a job: each joint's values and procedures, what the job needs once standing there once."""
    found: list[Sheet] = []
    for view in views:
        found += _named([_card_values(view, code)], view, len(views))
        found += _procedures(view, job_tag(views, job), len(views), medium, "cards")
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
