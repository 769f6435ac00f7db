"""The documents of a job or a card set: laid out, printed, imposed, guarded.

In: views and a code. Out: file names with their bytes. Vocabulary: *screen* cards are one face a page;
*imposed* cards stand on sheets with cut marks, behind a print-first page. The pack is printed in one process,
all else in another, side by side.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace

from packgen.model.job import Job
from packgen.publish.card_kinds import CASE_LABEL, SADDLE_TAG, kind_files
from packgen.publish.imposed import sheet_layout
from packgen.publish.imprint import Imprint
from packgen.publish.marks import code_block, stamp_of
from packgen.publish.options import Options
from packgen.publish.printer import Printer
from packgen.publish.stacks import set_of, stack_files
from packgen.render.fillable import planned_fields, settle_fields
from packgen.render.html import Stamp, page_html
from packgen.render.pdf import Attached
from packgen.sheets.blocks import Sheet
from packgen.sheets.deck import blank_pack_sheets, card_sheets, job_card_sheets, job_tag, pack_sheets
from packgen.sheets.media import Medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.records import record_sheets
from packgen.sheets.view import View

PACK, RECORDS, ARCHIVE = "crew-pack.pdf", "records-fillable.pdf", "crew-pack-archive.pdf"
AIR_FOR_FIELDS = 0.9  # a field makes its box a little taller than a printed one


def job_documents(
    views: Sequence[View], job: Job, code: str, date: str, options: Options, printer: Printer, data: bytes
) -> dict[str, bytes]:
    """Every document of a job: pack, cards, labels, tags, records to fill, and one HTML file.

    `data` is values.json, which a copy of the pack to be archived carries.
    """
    sheet_layout(options)  # a form that its paper cannot take is refused before anything is laid out
    words, medium = views[0].words, pack_medium(options.paper)
    imprint, square = _imprint(views, job, code, date), code_block(code, words)
    sheets = pack_sheets(views, job, medium, square, views[0].catalog.folders, date)
    faces = lay_out(sheets, medium)
    card = options.card.footed(imprint.stamp.lines)
    pocket = job_card_sheets(views, job, card, square)
    cards = set_of(views[0], pocket, card, imprint.stamp, job_tag(views, job))
    pack, others = printer.both(
        imprint.printed, (faces, medium, PACK),
        lambda: {
            **stack_files("pocket-cards", [cards], views[0], imprint, options),
            **_labels_and_tags(views, code, imprint, options),
            RECORDS: _records(views, job, medium, imprint),
        },
    )  # fmt: skip
    files = {PACK: pack, **others, "index.html": _page(sheets, imprint, code).encode()}
    if options.archive:
        attached = [Attached("values.json", data, words("archive.values"), datetime.date.fromisoformat(date))]
        files[ARCHIVE] = imprint.printed(faces, medium, ARCHIVE, attached=attached)
    return files


def _imprint(views: Sequence[View], job: Job, code: str, date: str) -> Imprint:
    """What all documents of a job share."""
    words, demo = views[0].words, any(view.request.is_demo for view in views)
    named = f"{job.id} {words('revision')} {job.revision}"
    stamp = stamp_of(words, f"{named} · {code}", demo=demo, draft=job.approved is None)
    return Imprint(stamp, words, f"{named}: {job.title}", date)


def _page(sheets: Sequence[Sheet], imprint: Imprint, code: str) -> str:
    """The whole pack as one page for a browser."""
    return page_html(
        "pack.html", sheets=sheets, stamp=imprint.stamp, title=imprint.title, words=imprint.words,
        language="en", code=code, anchors=True,
    )  # fmt: skip


def _records(views: Sequence[View], job: Job, medium: Medium, imprint: Imprint) -> bytes:
    """The records of the job to be filled on a screen: the pack's own pages, with a field in each box."""
    airy = replace(medium, full=AIR_FOR_FIELDS * medium.full)
    faces = lay_out(record_sheets(views, job, medium), airy)
    made = imprint.printed(faces, medium, RECORDS, fillable=True)
    return settle_fields(made, planned_fields(faces), RECORDS)


def _labels_and_tags(
    views: Sequence[View], code: str, imprint: Imprint, options: Options
) -> dict[str, bytes]:
    """The label of each joint's control unit and the tags of its saddle, in their own forms."""
    own = replace(options, form=None, finish="cut", ring_hole=False, laminating_margin=0.0)
    stamps = [imprint.stamp] * len(views)
    label, tag = (
        kind_files(kind, views, stamps, code, imprint, own) for kind in (CASE_LABEL, SADDLE_TAG)
    )
    return {**label, **tag}


def card_documents(
    views: Sequence[View], stamps: Sequence[Stamp], code: str, imprint: Imprint, options: Options
) -> dict[str, bytes]:
    """Pocket cards without a job, a whole set for each combination with its own stamp."""
    sheet_layout(options)  # as above
    square = code_block(code, imprint.words)
    sets = []
    for view, stamp in zip(views, stamps, strict=True):
        medium = options.card.footed(stamp.lines)
        sets.append(set_of(view, card_sheets(view, medium, square), medium, stamp))
    return stack_files("pocket-cards", sets, views[0], imprint, options)


def blank_pack(view: View, code: str, stamp: Stamp, date: str, options: Options) -> bytes:
    """The crew pack of one combination, without a job."""
    words, medium, request = view.words, pack_medium(options.paper), view.request
    sheets = blank_pack_sheets(view, medium, code_block(code, words), view.catalog.folders, date)
    lateral, main = request.lateral.designation.short, str(request.main.designation)
    title = words("blank_cover.pdf_title", lateral=lateral, main=main)
    return Imprint(stamp, words, title, date).printed(lay_out(sheets, medium), medium, PACK)
