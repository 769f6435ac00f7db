"""Stacks of card faces: pocket cards, case labels, saddle tags, for the screen and on sheets for printing.

In: sets of faces. Out: file names with their bytes. Vocabulary: a *set* is all faces of one size or job,
numbered from one; a *stack* is one or several sets that are printed, cut and sorted together. Several sets
are printed for the screen in as many processes as asked for; the sheets hold all of them.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from packgen.publish.imposed import impose_cards
from packgen.publish.imprint import Imprint
from packgen.publish.options import Options
from packgen.publish.workers import in_batches
from packgen.render.html import Stamp
from packgen.sheets.blocks import Face, Sheet, Tag
from packgen.sheets.media import Medium
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import slug


@dataclass(frozen=True)
class CardSet:
    """The faces of one set: the end of its file's name, the tag of its size, its medium, its stamp."""

    name: str
    tag: Tag
    medium: Medium
    faces: tuple[Face, ...]
    stamp: Stamp


def stack_files(
    stem: str, sets: Sequence[CardSet], view: View, imprint: Imprint, options: Options
) -> dict[str, bytes]:
    """A stack's sheets, and its sets for the screen: one beside them, several in a folder.

    Parameters: `stem` of the files' names; `sets`; a `view` for the words of the print-first page; what all
    share, `imprint`; `options`. Returns the files. Raises `ContentError` with every fault the guard found.
    """
    one = f"{stem}-screen.pdf"
    named = [one] if len(sets) == 1 else [f"{stem}-screen/{each.name}.pdf" for each in sets]
    task = partial(_printed, imprint=imprint)
    workers = min(options.workers, len(sets))
    screens = list(in_batches(task, list(zip(named, sets, strict=True)), 1, workers, lambda items: items))
    whole = 1 if len(sets) == 1 else 4 if options.finish == "fold" else 2
    faces = [face for each in sets for face in _padded(each, whole)]
    tag = _tag(sets, view, imprint)
    imposed = impose_cards(f"{stem}.pdf", _joined(screens, whole), faces, view, tag, imprint, options)
    return {f"{stem}.pdf": imposed, **dict(zip(named, screens, strict=True))}


def _tag(sets: Sequence[CardSet], view: View, imprint: Imprint) -> Tag:
    """The tag of the print-first page: the set's own, or how many there are and for what pipe."""
    if len(sets) == 1:
        return sets[0].tag
    words = imprint.words
    return Tag(words("cards.sets", count=str(len(sets))), view.request.main.table.system)


def _padded(each: CardSet, whole: int) -> Iterator[tuple[Face, Stamp] | None]:
    """The faces of a set with its stamp, and None for each blank that makes up a whole card or leaflet."""
    yield from ((face, each.stamp) for face in each.faces)
    yield from [None] * (-len(each.faces) % whole)


def _printed(batch: Sequence[tuple[str, CardSet]], imprint: Imprint) -> bytes:
    """One set for the screen."""
    ((file, each),) = batch
    return imprint.printed(each.faces, each.medium, file, stamp=each.stamp)


def _joined(screens: Sequence[bytes], whole: int) -> bytes:
    """The pages of several PDFs one after the other, to be placed on sheets; their tags stay behind.

    After a PDF whose pages do not make up a `whole` card or leaflet blank ones follow: the next set must not
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


def set_of(
    view: View, sheets: Sequence[Sheet], medium: Medium, stamp: Stamp, tag: Tag | None = None
) -> CardSet:
    """Sheets as a set of faces, named by the size in view; `tag` where it holds more than that one."""
    main, lateral = view.request.main.designation, view.request.lateral.designation
    joint = f"{view.request.joint.id} " if view.request.joint else ""
    name = slug(f"{joint}{lateral.short} on {main.short} {main.ratio} {view.request.family.id}")
    return CardSet(name, tag or view.tag, medium, lay_out(sheets, medium), stamp)
