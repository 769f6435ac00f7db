"""Stacks of card faces: pocket cards, case labels, saddle tags, for the screen and on sheets for printing.

In: decks of faces. Out: file names with their bytes. Vocabulary: a *deck* is the faces of one set, numbered
from one; a *stack* is one or several decks that are printed, cut and sorted together. Several decks are
printed for the screen in as many processes as asked for; the sheets hold all of them.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from packgen.publish.imposed import Said, impose_cards, sheet_layout
from packgen.publish.options import Options
from packgen.publish.workers import in_batches
from packgen.render.pdf import print_faces
from packgen.sheets.blocks import Face, Sheet, Tag
from packgen.sheets.media import Medium
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import slug


@dataclass(frozen=True)
class Deck:
    """The faces of one set: the end of its file's name, the tag of its size, its medium."""

    name: str
    tag: Tag
    medium: Medium
    faces: tuple[Face, ...]


def stack_files(
    stem: str, decks: Sequence[Deck], view: View, said: Said, options: Options
) -> dict[str, bytes]:
    """A stack's sheets, and its decks for the screen: one beside them, several in a folder.

    Parameters: `stem` of the files' names; `decks`; a `view` for the words of the print-first page; what they
    have `said`; `options`. Returns the files. Raises `ContentError` with every fault the guard found.
    """
    sheet_layout(options)  # a form that its paper cannot take is refused before anything is drawn
    one = f"{stem}-screen.pdf"
    named = [one] if len(decks) == 1 else [f"{stem}-screen/{deck.name}.pdf" for deck in decks]
    task = partial(_printed, said=said)
    workers = min(options.workers, len(decks))
    screens = list(in_batches(task, list(zip(named, decks, strict=True)), 1, workers, lambda items: items))
    tag = decks[0].tag if len(decks) == 1 else Tag(view.request.family.id, said.words("cards.set"))
    whole = 1 if len(decks) == 1 else 4 if options.finish == "fold" else 2
    faces = [face for deck in decks for face in (*deck.faces, *[None] * (-len(deck.faces) % whole))]
    imposed = impose_cards(f"{stem}.pdf", _joined(screens, whole), faces, view, tag, said, options)
    return {f"{stem}.pdf": imposed, **dict(zip(named, screens, strict=True))}


def _printed(batch: Sequence[tuple[str, Deck]], said: Said) -> bytes:
    """One deck for the screen."""
    ((file, deck),) = batch
    return print_faces(
        deck.faces, deck.medium, said.stamp, said.words, title=said.title, date=said.date, file=file
    )


def _joined(screens: Sequence[bytes], whole: int) -> bytes:
    """The pages of several PDFs one after the other, to be placed on sheets; their tags stay behind.

    After a PDF whose pages do not make up a `whole` card or leaflet blank ones follow: the next deck must not
    begin on the back of this one's last card.
    """
    if len(screens) == 1:
        return screens[0]
    import pikepdf

    with pikepdf.new() as pdf:
        for screen in screens:
            with pikepdf.open(io.BytesIO(screen)) as source:
                pdf.pages.extend(source.pages)
            while len(pdf.pages) % whole:
                blank = pdf.add_blank_page()
                blank.mediabox = pdf.pages[0].mediabox
        out = io.BytesIO()
        pdf.save(out, deterministic_id=True)
        return out.getvalue()


def deck_of(view: View, sheets: Sequence[Sheet], medium: Medium, tag: Tag | None = None) -> Deck:
    """Sheets as a deck of faces, named by the size in view; `tag` where it holds more than that one."""
    main, lateral = view.request.main.designation, view.request.lateral.designation
    name = slug(f"{lateral.short} on {main.short} {main.ratio} {view.request.family.id}")
    return Deck(name, tag or view.tag, medium, lay_out(sheets, medium))
