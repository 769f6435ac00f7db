"""Which sheets a crew pack, a card set and a page of the site hold, in order.

In: views of a job's joints, or of one combination. Out: sheets ready to be laid on faces. Vocabulary:
sheets a job needs once (hazards, isolation) stand with the first joint or the last, the rest with each
joint.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packgen.model.catalog import Folder
from packgen.model.job import Job
from packgen.sheets.back import record_sheet, workings_sheet
from packgen.sheets.blank_cover import blank_cover
from packgen.sheets.blocks import Block, Code, Points, Sheet, Span, Table, Tag, Why, spans
from packgen.sheets.day_sheet import day_sheets
from packgen.sheets.front import cover, fit_sheet, key_values, of_joint, owner_boxes, values_sheet
from packgen.sheets.heat_sheet import heat_sheets
from packgen.sheets.media import Medium
from packgen.sheets.pack_book import JointSheets, bound
from packgen.sheets.peel_template import template_sheets
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.small_cards import SMALLEST, figure_notes, smallest_set
from packgen.sheets.standing import On, applicable, left_out, step_numbers
from packgen.sheets.view import View


def pack_sheets(
    views: Sequence[View], job: Job, medium: Medium, code: Code, folders: Sequence[Folder], date: str = ""
) -> tuple[Sheet, ...]:
    """Every sheet of a crew pack; `date` is printed in place of the job's."""
    title, day = views[0].words("sheets.cover"), date or job.date.isoformat()
    tag = job_tag(views, job)
    procedures = (_procedures(view, tag, len(views), medium, "pack") for view in views)
    found = zip(views, procedures, strict=True)
    joints = [_joint_sheets(view, sheets, len(views), medium) for view, sheets in found]
    front = cover(views, job, code, folders, title, tag, day)
    return bound(front, day_sheets(views, job, medium, tag), joints, medium, tag)


def blank_pack_sheets(
    view: View, medium: Medium, code: Code, folders: Sequence[Folder], date: str
) -> tuple[Sheet, ...]:
    """Every sheet of a crew pack without a job: the cover has boxes where a job has words."""
    joint = _joint_sheets(view, list(procedure_sheets(view, medium, "pack")), 1, medium)
    return bound(blank_cover(view, code, folders, date), (), [joint], medium, view.tag)


def _joint_sheets(view: View, procedures: Sequence[Sheet], joints: int, medium: Medium) -> JointSheets:
    """What a pack holds for one joint: values, fit check, template, procedures, record and workings."""
    before = _named([values_sheet(view), fit_sheet(view), *template_sheets(view, medium)], view, joints)
    after = _named([record_sheet(view)], view, joints)
    numbers = _named([*heat_sheets(view), workings_sheet(view)], view, joints)
    return JointSheets(view, before, procedures, after, numbers)


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
    if medium.form == SMALLEST:
        return _smallest(view, medium, code)
    procedures = procedure_sheets(view, medium, "cards")
    return (_card_values(view, medium, code), *_owner_sheet(view, medium), *procedures)


def _smallest(view: View, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """The set on the smallest card, the owner's numbers behind the values as on every other."""
    values, *others = smallest_set(view, (_context(view), *_notes(view, medium)), code.text)
    return (values, *_owner_sheet(view, medium), *others)


def _owner_sheet(view: View, medium: Medium) -> Iterator[Sheet]:
    """The cover of a card set: the owner's numbers that its steps name, each with its limit and room to
    write; nothing where no step names one.
    """
    words, boxes = view.words, tuple(owner_boxes([view], "cards"))
    if not boxes:
        return
    # That the owner's rule states a number is said by the title.
    limits = ["" if box.wanted == words("cover.owner_why") else f" {box.wanted}" for box in boxes]
    rows = [(box.label, spans(limit, "strong")) for box, limit in zip(boxes, limits, strict=True)]
    notes = ["cards.owner_here", *(["cards.owner_same"] if view.request.job else [])]
    said = [Why(spans(words(note), "strong"), small=True) for note in notes]
    blocks: list[Block]
    if medium.form == SMALLEST:
        # Under a job's foot this card holds neither a table's head with a row nor a note with a point.
        enter = words("blank.enter")
        items = ((Span(label.removesuffix(enter)), Span(enter, "blank"), *limit) for label, limit in rows)
        blocks = [Points(tuple(items)), *said]
    else:
        head = (spans(words("cards.owner_number")), spans(words("cards.owner_enter")))
        cells = tuple(((Span(label), *limit), ()) for label, limit in rows)
        blocks = [*said, Table(head, cells, (0.6, 0.4), small=True, write=True)]
    yield Sheet("owner", words("cards.owner"), view.tag, tuple(blocks))


def _notes(view: View, medium: Medium) -> tuple[str, ...]:
    """What the first face of a set says beside its values: what it is not, and what is left out."""
    words, job = view.words, view.request.job
    missing = [words("cards.no_job"), *left_out(view, "cards")]
    said = [*([] if job else missing), *_steps_elsewhere(view), *figure_notes(view, medium)]
    return (words("cards.governs"), *said)


def _steps_elsewhere(view: View) -> Iterator[str]:
    """A sentence for each run of steps that stand on no card, with the titles of their sheets."""
    numbers, runs = step_numbers(view), list[tuple[list[int], list[str]]]()
    for procedure in applicable(view):
        found = [numbers[step.id] for step in procedure.steps]
        if not found or "cards" in procedure.head.on:
            continue
        if not runs or runs[-1][0][-1] + 1 != found[0]:
            runs.append(([], []))
        runs[-1][0].extend(found)
        runs[-1][1].append(procedure.head.title)
    key = "cards.steps_in_pack" if view.request.job else "cards.steps_not_here"
    for steps, titles in runs:
        yield view.words(key, first=str(steps[0]), last=str(steps[-1]), titles="; ".join(titles))


def _context(view: View) -> str:
    """What a set is for."""
    state = view.words(f"state.{view.request.state}")
    method, contents = view.request.way, view.request.contents
    return view.words("cards.context", contents=contents, state=state, method=method)


def _card_values(view: View, medium: Medium, code: Code) -> Sheet:
    """The first face of a set: the values looked for first, and the code."""
    notes = (Why(spans(note), small=True) for note in _notes(view, medium))
    blocks: tuple[Block, ...] = (key_values(view), Why(spans(_context(view), "strong")), *notes, code)
    return Sheet("values", view.words("sheets.card_values"), view.tag, blocks)


def job_card_sheets(views: Sequence[View], job: Job, medium: Medium, code: Code) -> tuple[Sheet, ...]:
    """The cards of a job: each joint's values and procedures, what the job needs once standing there once."""
    found: list[Sheet] = []
    for view in views:
        if medium.form == SMALLEST:
            found += _named(_smallest(view, medium, code), view, len(views))
            continue
        found += _named([_card_values(view, medium, code), *_owner_sheet(view, medium)], view, len(views))
        found += _procedures(view, job_tag(views, job), len(views), medium, "cards")
    return tuple(found)
