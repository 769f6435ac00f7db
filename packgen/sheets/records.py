"""The records of a job by themselves: each joint's record and the job's forms, with a name for every field.

In: the views of a job's joints, the job. Out: sheets whose boxes and cells to write in carry the names of
fields. Vocabulary: an *owner* is a joint, for its record, or the job, for its forms; a field's name is owner,
sheet and box, so that a record filled on a screen says by itself which joint it is about.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from packgen.model.job import Job
from packgen.sheets.back import record_sheet
from packgen.sheets.blocks import Block, Boxes, Sheet, Table
from packgen.sheets.deck import job_tag
from packgen.sheets.front import of_joint
from packgen.sheets.media import Medium
from packgen.sheets.pack_forms import form_sheets
from packgen.sheets.view import View
from packgen.sheets.words import slug


def record_sheets(views: Sequence[View], job: Job, medium: Medium) -> tuple[Sheet, ...]:
    """The sheets to be filled: a record for each joint, then the forms that the job has once."""
    found: list[Sheet] = []
    for view, joint in zip(views, job.joints, strict=True):
        record = record_sheet(view)
        title = of_joint(view, record.title) if len(views) > 1 else record.title
        found.append(with_fields(replace(record, title=title), joint.id))
    forms, tag = views[0].catalog.pack_forms, job_tag(views, job)
    for behind in dict.fromkeys(form.follows for form in forms.forms) if forms else ():
        found += (with_fields(form, job.id) for form in form_sheets(views, medium, tag, behind))
    return tuple(found)


def with_fields(sheet: Sheet, owner: str) -> Sheet:
    """A sheet whose boxes and empty cells carry names, each one once.

    Parameters: `sheet`; `owner`, the id of the joint or the job. Returns the sheet.
    """
    return replace(sheet, blocks=tuple(_named(sheet.blocks, f"{owner}.{sheet.id}")))


def _named(blocks: Sequence[Block], prefix: str) -> Iterator[Block]:
    """The blocks with names; a second box of the same label has a number."""
    seen: Counter[str] = Counter()

    def name(of: str) -> str:
        seen[of] += 1
        return f"{prefix}.{of}" if seen[of] == 1 else f"{prefix}.{of}-{seen[of]}"

    for block in blocks:
        if isinstance(block, Boxes):
            named = (replace(box, name=name(box.name or slug(box.label))) for box in block.boxes)
            yield replace(block, boxes=tuple(named))
        elif isinstance(block, Table) and block.write:
            yield replace(block, field=name("table"))
        else:
            yield block
