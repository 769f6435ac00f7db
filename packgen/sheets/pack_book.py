"""A crew pack bound together: its sheets in order, with contents and hold points that name their pages.

In: the cover, what the job has once, each joint's sheets, the medium. Out: every sheet of the pack.
Vocabulary: *the work* is what stands on the cards too and has steps; what has steps and stands in the pack
alone comes before it; what has none comes after it; *numbers* are the sheets behind the values, for whoever
checks them. What leads a joint (values, fit check, template, kit) stands at the front for every joint: the
crew sees all that is to be brought, and every box to fill, before it leaves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packgen.sheets.blocks import Sheet, Step, Tag
from packgen.sheets.contents import Book, contents_sheet, in_parts, settled
from packgen.sheets.front import of_joint
from packgen.sheets.hold_ladder import hold_ladder
from packgen.sheets.inspection import inspection_sheet
from packgen.sheets.media import Medium
from packgen.sheets.pack_forms import form_sheets
from packgen.sheets.rules_quoted import with_rules_quoted
from packgen.sheets.standing import applicable, leading
from packgen.sheets.view import View

# A sheet with the heading of the contents that it stands under.
Titled = tuple[str, Sheet]


@dataclass(frozen=True)
class JointSheets:
    """What a pack holds for one joint: before its procedures, those, after them, and behind its values."""

    view: View
    before: Sequence[Sheet]
    procedures: Sequence[Sheet]
    after: Sequence[Sheet]
    numbers: Sequence[Sheet]


def bound(
    front: Sheet, lead: Sequence[Sheet], joints: Sequence[JointSheets], medium: Medium, tag: Tag
) -> tuple[Sheet, ...]:
    """Every sheet of a pack, in order.

    Parameters: the cover `front`; `lead`, what leads the job; the sheets of its `joints`; `medium`; the job's
    size `tag`. Returns the sheets. Raises `ContentError` where words do not fit a page.
    """
    views = [joint.view for joint in joints]
    words = views[0].words
    before = words("contents.before")
    in_order = (part(joint, len(joints)) for part in (_before, _from_the_work) for joint in joints)
    of_joints = [each for part in in_order for each in part]
    inner = _with_forms(of_joints, views, medium, tag)
    numbers = [(words("contents.numbers"), sheet) for joint in joints for sheet in joint.numbers]
    titled = [*((before, sheet) for sheet in lead), *inner, *numbers]
    quoted = with_rules_quoted([sheet for _, sheet in titled], views)
    kept = [(title, sheet) for (title, _), sheet in zip(titled, quoted, strict=True)]

    def made(book: Book) -> list[Sheet]:
        """The pack's sheets, naming the pages of a book."""
        all_titled = [(before, hold_ladder(views, tag, book)), *kept]
        contents = contents_sheet(words, tag, list(in_parts(all_titled)), book)
        return [front, contents, *(sheet for _, sheet in all_titled)]

    return settled(made, medium)


def _before(joint: JointSheets, joints: int) -> Iterator[Titled]:
    """What leads one joint: its values and what is brought for it."""
    yield from ((_heading(joint.view, "before", joints), sheet) for sheet in joint.before)
    yield from _procedures(joint, joints, lead=True)


def _from_the_work(joint: JointSheets, joints: int) -> Iterator[Titled]:
    """One joint's work and what comes after it."""
    yield from _procedures(joint, joints, lead=False)
    yield from ((_heading(joint.view, "after", joints), sheet) for sheet in joint.after)


def _procedures(joint: JointSheets, joints: int, *, lead: bool) -> Iterator[Titled]:
    """Of one joint's procedures those that lead it, or the others."""
    here = applicable(joint.view)
    leads = {each.head.id for each in leading(here)}
    on_cards = {each.head.id for each in here if "cards" in each.head.on}
    for sheet in joint.procedures:
        if (sheet.id in leads) == lead:
            has_steps = any(isinstance(block, Step) for block in sheet.blocks)
            key = "after" if not has_steps else "work" if sheet.id in on_cards else "before"
            yield _heading(joint.view, key, joints), sheet


def _heading(view: View, key: str, joints: int) -> str:
    """A heading of the contents; it names its joint where there are several."""
    title = view.words(f"contents.{key}")
    return of_joint(view, title) if joints > 1 else title


def _with_forms(
    titled: Sequence[Titled], views: Sequence[View], medium: Medium, tag: Tag
) -> Iterator[Titled]:
    """The forms of the job: those that follow a procedure behind its first sheet, the others at the end."""
    forms = views[0].catalog.pack_forms
    waiting = {form.follows for form in forms.forms if form.follows} if forms else set[str]()
    for title, sheet in titled:
        yield title, sheet
        if sheet.id in waiting:
            waiting.remove(sheet.id)
            yield from ((title, form) for form in form_sheets(views, medium, tag, sheet.id))
    after = views[0].words("contents.after")
    yield after, inspection_sheet(views, tag)
    for behind in (*sorted(waiting), None):
        yield from ((after, form) for form in form_sheets(views, medium, tag, behind))
