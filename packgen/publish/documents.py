"""The documents of a job or a card set: laid out, printed, imposed, guarded.

In: views and a code. Out: file names with their bytes. Vocabulary: *screen* cards are one face a page;
*imposed* cards stand on sheets with cut marks, behind a print-first page. Pack and cards are
printed side by side, in two processes.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from packgen.model.job import Job
from packgen.publish.card_kinds import CASE_LABEL, SADDLE_TAG, kind_files
from packgen.publish.imposed import Said
from packgen.publish.marks import code_block, stamp_of
from packgen.publish.options import Options
from packgen.publish.printer import Printer
from packgen.publish.stacks import deck_of, stack_files
from packgen.render.fillable import field_names, settle_fields
from packgen.render.html import Stamp, page_html
from packgen.render.pdf import Attached, print_faces
from packgen.sheets.blocks import Face
from packgen.sheets.deck import blank_pack_sheets, card_sheets, job_card_sheets, job_tag, pack_sheets
from packgen.sheets.media import Medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.records import record_sheets
from packgen.sheets.view import View
from packgen.sheets.words import Words

RECORDS, ARCHIVE = "records-fillable.pdf", "crew-pack-archive.pdf"
AIR_FOR_FIELDS = 0.9  # a field makes its box a little taller than a printed one


def job_documents(
    views: Sequence[View], job: Job, code: str, date: str, options: Options, printer: Printer, data: bytes
) -> dict[str, bytes]:
    """Every document of a job: pack, cards, labels, tags, records to fill, and one HTML file.

    `data` is values.json, which a copy of the pack to be archived carries.
    """
    words, medium = views[0].words, pack_medium(options.paper)
    demo = any(view.request.is_demo for view in views)
    stamp = stamp_of(
        words, f"{job.id} {words('revision')} {job.revision} · {code}", demo=demo, draft=job.approved is None
    )
    square = code_block(code, words)
    sheets = pack_sheets(views, job, medium, square, views[0].catalog.folders, date)
    faces = lay_out(sheets, medium)
    title = f"{job.id} {words('revision')} {job.revision}: {job.title}"
    file = "crew-pack.pdf"
    card = options.card.footed(stamp.lines)
    pocket = job_card_sheets(views, job, card, square)
    page = page_html(
        "pack.html",
        sheets=sheets,
        stamp=stamp,
        title=title,
        words=words,
        language="en",
        code=code,
        anchors=True,
    )
    said = Said(stamp, words, title, date)
    deck = deck_of(views[0], pocket, card, job_tag(views, job))
    pack, cards = printer.both(
        print_document, (faces, medium, stamp, words, title, date, file),
        lambda: {
            **stack_files("pocket-cards", [deck], views[0], said, options),
            **_labels_and_tags(views, code, said, options),
            RECORDS: _records(views, job, medium, said),
        },
    )  # fmt: skip
    files = {file: pack, **cards, "index.html": page.encode()}
    if options.archive:
        attached = [Attached("values.json", data, words("archive.values"), datetime.date.fromisoformat(date))]
        files[ARCHIVE] = _printed(faces, medium, said, ARCHIVE, attached=attached)
    return files


def _printed(faces: Sequence[Face], medium: Medium, said: Said, file: str, **choices: Any) -> bytes:
    """Faces as a PDF with what all documents of a job have said."""
    return print_faces(
        faces, medium, said.stamp, said.words, title=said.title, date=said.date, file=file, **choices
    )


def _records(views: Sequence[View], job: Job, medium: Medium, said: Said) -> bytes:
    """The records of the job to be filled on a screen: the pack's own pages, with a field in each box."""
    airy = replace(medium, full=AIR_FOR_FIELDS * medium.full)
    faces = lay_out(record_sheets(views, job, medium), airy)
    made = _printed(faces, medium, said, RECORDS, fillable=True)
    return settle_fields(made, field_names(faces), RECORDS)


def _labels_and_tags(views: Sequence[View], code: str, said: Said, options: Options) -> dict[str, bytes]:
    """The label of each joint's control unit and the tags of its saddle, in their own forms."""
    own = replace(options, form=None, finish="cut", ring_hole=False, laminating_margin=0.0)
    label, tag = (kind_files(kind, views, code, said, own) for kind in (CASE_LABEL, SADDLE_TAG))
    return {**label, **tag}


def print_document(
    faces: Sequence[Face], medium: Medium, stamp: Stamp, words: Words, title: str, date: str, file: str
) -> bytes:
    """One document of faces, as a task for another process."""
    return print_faces(faces, medium, stamp, words, title=title, date=date, file=file)


def card_documents(views: Sequence[View], code: str, said: Said, options: Options) -> dict[str, bytes]:
    """Pocket cards without a job, a whole set for each combination."""
    medium, square = options.card.footed(said.stamp.lines), code_block(code, said.words)
    decks = [deck_of(view, card_sheets(view, medium, square), medium) for view in views]
    return stack_files("pocket-cards", decks, views[0], said, options)


def blank_pack(view: View, code: str, stamp: Stamp, date: str, options: Options) -> bytes:
    """The crew pack of one combination, without a job."""
    words, medium, request = view.words, pack_medium(options.paper), view.request
    sheets = blank_pack_sheets(view, medium, code_block(code, words), view.catalog.folders, date)
    lateral, main = request.lateral.designation.short, str(request.main.designation)
    title = words("blank_cover.pdf_title", lateral=lateral, main=main)
    return print_document(lay_out(sheets, medium), medium, stamp, words, title, date, "crew-pack.pdf")
