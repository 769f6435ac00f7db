"""Pocket cards for printing: faces of a screen PDF on sheets, behind a print-first page; all guarded.

In: the cards for the screen, which have passed the guard, and the faces they were made from. Out: the bytes
of the sheets. Vocabulary: *registration* is that each back lies behind its front; see `render/registration`.

The print-first page passes the whole guard. The faces passed it as pages for the screen and are carried
over as they are: that is proved, and of the sheets order, places, registration and marks, and that the words
which tell one face from another (its title, its foot with code and number) stand where the face was planned.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from packgen.errors import ContentError, Place, Problem, UsageError
from packgen.publish.imprint import Imprint
from packgen.publish.options import Options
from packgen.render.html import Stamp
from packgen.render.pdf import foot_strings
from packgen.sheets.blocks import Face, Tag
from packgen.sheets.media import FORMS, SHEETS, Medium, default_form, pack_medium, sheet_for
from packgen.sheets.plan import lay_out
from packgen.sheets.print_first import Printing, print_first_sheet
from packgen.sheets.view import View
from packgen.sheets.words import Words

if TYPE_CHECKING:  # loaded only where a PDF is made
    from packgen.render.impose import Placement
    from packgen.render.impose_layout import Layout


def impose_cards(
    file: str,
    screen: bytes,
    faces: Sequence[tuple[Face, Stamp] | None],
    view: View,
    tag: Tag,
    imprint: Imprint,
    options: Options,
) -> bytes:
    """The sheets to print: a print-first page, then the faces in the form, flip and finish chosen.

    Parameters: `file`, the sheets' name, for messages; `screen`, a face a page; `faces` with their stamps,
    None where a page of it is left blank; a `view` for the words of the print-first page, and its `tag`; what
    they share, `imprint`; `options`. Raises `ContentError` where the sheets are not as planned, and as
    `sheet_layout` does.
    """
    import datetime

    from packgen.render.impose import impose
    from packgen.render.registration import registration_problems
    from packgen.render.registration_faces import carried_problems
    from packgen.render.registration_read import Expected

    plan, card, medium = sheet_layout(options), options.card, pack_medium(_sheet(options))
    printed = sum(face is not None for face in faces)
    first = lay_out([print_first_sheet(view, _printing(plan, printed, options), tag)], medium)
    front = imprint.printed(first, medium, file, tagged=False)
    day = datetime.date.fromisoformat(imprint.date)
    made = impose(front, screen, plan, title=imprint.title, date=day, ring_hole=options.ring_hole)
    before = len(first) + len(first) % 2
    expected = Expected(
        len(faces), card.width, card.height, plan.lefts, plan.tops, before, options.flip, options.finish,
        options.ring_hole,
    )  # fmt: skip
    problems = registration_problems(made.pdf, expected, file=file)
    problems += carried_problems(made.pdf, front, screen, before, file)
    printed_words = [_of_face(*face, card, imprint.words) if face else () for face in faces]
    problems += word_problems(made.pdf, made.placements, printed_words, file)
    if problems:
        raise ContentError(problems)
    return made.pdf


def sheet_layout(options: Options) -> Layout:
    """How the chosen form stands on its sheet.

    Raises `PackgenError` where it does not fit or cannot be folded, or where film is asked for on leaflets.
    """
    from packgen.render.impose_layout import layout

    if options.finish == "fold" and options.laminating_margin > 0.0:
        what = "a folded card takes no film: it would not fold"
        raise UsageError([Problem(Place(key="--finish"), what, cure="cut the cards, or leave the film out")])
    card = options.card
    face = (card.width, card.height)
    return layout(SHEETS[_sheet(options)], face, flip=options.flip, finish=options.finish)


def _sheet(options: Options) -> str:
    """The paper that the chosen form is printed on."""
    return sheet_for(options.form or default_form(options.paper), options.paper)


def _printing(plan: Layout, faces: int, options: Options) -> Printing:
    """What the print-first page must tell of the sheets."""
    form = options.form or default_form(options.paper)
    return Printing(
        faces,
        form,
        plan.face_width,
        plan.face_height,
        plan.places,
        options.flip,
        options.finish,
        options.ring_hole,
        options.laminating_margin,
        0.0 if options.finish == "fold" else FORMS[form].corner,
        plan.is_cut,
    )


def _of_face(face: Face, stamp: Stamp, card: Medium, words: Words) -> tuple[str, ...]:
    """The words that tell a face from every other: title, size tag, and the foot with its code and number."""
    return (face.title, face.tag.large, face.tag.small, *foot_strings(face, card, stamp, words))


def word_problems(
    pdf: bytes, placements: Sequence[Sequence[Placement]], said: Sequence[Sequence[str]], file: str
) -> list[Problem]:
    """Words of a face that do not stand within it on its sheet.

    Parameters: `pdf`, the sheets; `placements`, the faces of each page; `said`, the words of each face;
    `file`, for messages.
    """
    import contextlib

    import pypdfium2

    found: list[Problem] = []
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        for number, places in enumerate(placements, 1):
            if not places:
                continue
            with (
                contextlib.closing(document[number - 1]) as page,
                contextlib.closing(page.get_textpage()) as text,
            ):
                for place in places:
                    at = Place(f"{file} page {number}", key=f"face {place.face_index + 1}")
                    found += _lost(text, page.get_height(), place, said[place.face_index], at)
    return found


def _lost(text: Any, height: float, place: Placement, said: Sequence[str], at: Place) -> Iterator[Problem]:
    """The words of one face that its rectangle on the sheet does not hold."""
    from packgen.render.impose_marks import POINTS
    from packgen.render.preflight import fold

    left, right = place.left * POINTS, (place.left + place.width) * POINTS
    top, bottom = height - place.top * POINTS, height - (place.top + place.height) * POINTS
    printed = fold(text.get_text_bounded(left, bottom, right, top))
    for string in said:
        if fold(string) not in printed:
            yield Problem(at, f"its words are not where the face was planned: {string!r}")
