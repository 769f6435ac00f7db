"""The documents of a job or a card set: laid out, printed, imposed, guarded.

In: views and a code. Out: file names with their bytes. Vocabulary: *screen* cards are one face a page;
*imposed* cards are four faces to a sheet with cut marks, behind a print-first page. Pack and cards are
printed side by side, in two processes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from packgen.model.job import Job
from packgen.publish.options import Options
from packgen.publish.printer import Printer
from packgen.render.html import Stamp, page_html
from packgen.render.pdf import FAMILIES, SAFE, foot_strings, print_faces
from packgen.sheets.blocks import Code, Face, Sheet, Tag
from packgen.sheets.deck import (
    blank_pack_sheets,
    card_sheets,
    job_card_sheets,
    pack_sheets,
    print_first_sheet,
)
from packgen.sheets.media import Medium, Paper, card_medium, pack_medium, sheet_size
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import Words

if TYPE_CHECKING:  # loaded only where a PDF is made
    from packgen.render.impose import Placement
    from packgen.render.preflight import PlannedPage


def job_documents(
    views: Sequence[View], job: Job, code: str, date: str, options: Options, printer: Printer
) -> dict[str, bytes]:
    """Crew pack, pocket cards twice, and the HTML file of a job."""
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
    pocket = job_card_sheets(views, job, card_medium(options.paper), square)
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
    pack, cards = printer.both(
        print_document, (faces, medium, stamp, words, title, date, file),
        lambda: _card_files(pocket, views, stamp, words, title, date, options),
    )  # fmt: skip
    return {file: pack, **cards, "index.html": page.encode()}


def print_document(
    faces: Sequence[Face], medium: Medium, stamp: Stamp, words: Words, title: str, date: str, file: str
) -> bytes:
    """One document of faces, as a task for another process."""
    return print_faces(faces, medium, stamp, words, title=title, date=date, file=file)


def card_documents(
    views: Sequence[View], code: str, stamp: Stamp, words: Words, title: str, date: str, options: Options
) -> dict[str, bytes]:
    """Pocket cards without a job, a whole set for each combination."""
    medium, square = card_medium(options.paper), code_block(code, words)
    sheets = [sheet for view in views for sheet in card_sheets(view, medium, square)]
    return _card_files(sheets, views, stamp, words, title, date, options)


def blank_pack(view: View, code: str, stamp: Stamp, date: str, options: Options) -> bytes:
    """The crew pack of one combination, without a job."""
    words, medium, request = view.words, pack_medium(options.paper), view.request
    sheets = blank_pack_sheets(view, medium, code_block(code, words), view.catalog.folders, date)
    lateral, main = request.lateral.designation.short, str(request.main.designation)
    title = words("blank_cover.pdf_title", lateral=lateral, main=main)
    return print_document(lay_out(sheets, medium), medium, stamp, words, title, date, "crew-pack.pdf")


def _card_files(
    sheets: Sequence[Sheet],
    views: Sequence[View],
    stamp: Stamp,
    words: Words,
    title: str,
    date: str,
    options: Options,
) -> dict[str, bytes]:
    """Pocket cards for the screen, and imposed for printing."""
    medium = card_medium(options.paper)
    faces = lay_out(sheets, medium)
    screen = print_faces(faces, medium, stamp, words, title=title, date=date, file="pocket-cards-screen.pdf")
    imposed = impose_cards(screen, faces, views, stamp, words, title, date, options)
    return {"pocket-cards.pdf": imposed, "pocket-cards-screen.pdf": screen}


def impose_cards(
    screen: bytes,
    faces: Sequence[Face],
    views: Sequence[View],
    stamp: Stamp,
    words: Words,
    title: str,
    date: str,
    options: Options,
) -> bytes:
    """The sheets to print: a print-first page, then four faces to a sheet, front and back; all guarded."""
    import datetime

    from packgen.errors import ContentError
    from packgen.render.impose import SHEETS, impose
    from packgen.render.preflight import preflight

    medium, file = pack_medium(options.paper), "pocket-cards.pdf"
    tag = views[0].tag if len(views) == 1 else Tag(views[0].request.family.id, words("cards.set"))
    first = lay_out([print_first_sheet(views[0], options.paper, len(faces), tag)], medium)
    front = print_faces(first, medium, stamp, words, title=title, date=date, file=file, tagged=False)
    made = impose(front, screen, SHEETS[options.paper], title=title, date=datetime.date.fromisoformat(date))
    said = (*first[0].strings(), *foot_strings(first[0], medium, stamp, words))
    pages = _planned_sheets(made.placements, said, faces, stamp, words, options.paper)
    problems = preflight(made.pdf, pages, families=FAMILIES, file=file)
    if problems:
        raise ContentError(problems)
    return made.pdf


def _planned_sheets(
    placements: Sequence[Sequence[Placement]],
    first: Sequence[str],
    faces: Sequence[Face],
    stamp: Stamp,
    words: Words,
    paper: Paper,
) -> list[PlannedPage]:
    """What the guard must find on each sheet: the print-first words, then those of the faces placed on it."""
    from packgen.render.preflight import Box, PlannedPage

    width, height = sheet_size(paper)
    card, whole = card_medium(paper), Box(SAFE, SAFE, width - SAFE, height - SAFE)
    pages = []
    for number, places in enumerate(placements):
        strings = list(first) if number == 0 else []
        for place in places:
            face = faces[place.face_index]
            strings += [*face.strings(), *foot_strings(face, card, stamp, words)]
        boxes = tuple(
            Box(p.left + SAFE, p.top + SAFE, p.left + p.width - SAFE, p.top + p.height - SAFE) for p in places
        )
        pages.append(PlannedPage("pocket-cards.pdf", width, height, tuple(strings), boxes or (whole,)))
    return pages


def stamp_of(words: Words, left: str, *, demo: bool, draft: bool) -> Stamp:
    """The stamp of every face."""
    marks = [words("demo")] if demo else []
    if draft:
        marks.append(words("draft"))
    return Stamp(left, tuple(marks))


def code_block(code: str, words: Words) -> Code:
    """The code as a square symbol, at error level H with modules of at least 0.5 mm, and in print.

    Version 3 where 2 would hold the words: worn off over a tenth of its area, the smaller one cannot always
    be read, since the square touches as many codewords as level H mends.
    """
    import io

    import segno

    symbol = segno.make_qr(code, error="h", boost_error=False, version=3)
    modules = symbol.symbol_size(scale=1, border=4)[0]
    size = round(modules * 0.59, 2)
    out = io.BytesIO()
    symbol.save(
        out,
        kind="svg",
        border=4,
        xmldecl=False,
        svgns=True,
        nl=False,
        omitsize=True,
        svgclass=None,
        lineclass=None,
    )
    svg = out.getvalue().decode().replace("<svg ", f'<svg width="{size}mm" height="{size}mm" ', 1)
    return Code(svg, code, size, words("cover.code_alt", code=code))
