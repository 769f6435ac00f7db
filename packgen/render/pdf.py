"""HTML to PDF with WeasyPrint, and the guard over every PDF made.

In: faces and their HTML. Out: PDF bytes that have passed the guard, or a `PackgenError` that names page,
rule and words. Vocabulary: the *guard* is `preflight`; the plan it proves is one `PlannedPage` a face.
Source: WeasyPrint 70's documentation.
"""

from __future__ import annotations

import contextlib
import ctypes.util
import datetime
import gc
import io
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packgen.errors import ContentError, Place, Problem
from packgen.render.html import Stamp, faces_html, print_css
from packgen.render.mend import mend
from packgen.render.preflight_face import foot_strings as foot_strings
from packgen.render.preflight_face import planned_page
from packgen.render.system import require_system_parts
from packgen.sheets.blocks import Face
from packgen.sheets.measure import missing_signs
from packgen.sheets.media import Medium
from packgen.sheets.words import Words, templates_folder

FAMILIES = frozenset({"Lato"})


@contextlib.contextmanager
def _no_collection() -> Iterator[None]:
    """Layout makes millions of records that live to its end: looking for waste costs a sixth of the time."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


@contextlib.contextmanager
def _no_library_search() -> Iterator[None]:
    """On Linux each failed search for a library runs a compiler, forty times; plain names load without."""
    found = ctypes.util.find_library
    if sys.platform == "linux":
        ctypes.util.find_library = lambda _name: None  # type: ignore[assignment]
    try:
        yield
    finally:
        ctypes.util.find_library = found


def _weasyprint() -> Any:
    """WeasyPrint, once the system parts are known to be there."""
    require_system_parts()
    with _no_library_search():
        import weasyprint
    return weasyprint


def font_folder() -> Path:
    """The folder of the embedded face."""
    import fontpkg_lato

    return Path(fontpkg_lato.ROOT) / "files"


def warm() -> None:
    """Load the layout library, its style sheets and our fonts, so that the first document need not wait."""
    from packgen.render import preflight  # noqa: F401  # loads the two PDF readers

    face = f"font-family: Lato; src: url('{font_folder().as_uri()}/Lato-Regular.ttf')"
    css = f"@font-face {{ {face} }} body {{ font-family: Lato }}"
    html_to_pdf("<!DOCTYPE html><html lang='en'><title>-</title><p>-</p></html>", css, "-", tagged=False)


def print_faces(
    faces: Sequence[Face],
    medium: Medium,
    stamp: Stamp,
    words: Words,
    *,
    title: str,
    date: str,
    file: str,
    tagged: bool = True,
    fillable: bool = False,
    attached: Sequence[Attached] = (),
) -> bytes:
    """Faces as a PDF that has passed the guard.

    Parameters: `faces`, `medium`, `stamp`, `words`; `title` and `date` (ISO) for the PDF's own data;
    `file` for messages; `tagged` for PDF/UA; `fillable` for fields in the named boxes; files to be
    `attached`, which makes it PDF/A. Returns the PDF. Raises `ContentError` with every fault the guard found.
    """
    require_signs(faces, file)
    html = faces_html(faces, medium, title=title, date=date, fillable=fillable)
    css = print_css(medium, font_folder().as_uri(), stamp, words)
    pdf = html_to_pdf(html, css, file, tagged=tagged, fillable=fillable, attached=attached)
    guard(pdf, faces, medium, stamp, words, file, title=title if tagged else None)
    return pdf


@dataclass(frozen=True)
class Attached:
    """A file that an archival PDF carries: its name, its bytes, what it is, its day."""

    name: str
    content: bytes
    description: str
    date: datetime.date


def _attachments(attached: Sequence[Attached]) -> list[Any]:
    """The renderer's own form of attached files, which are the data behind the document."""
    from weasyprint import Attachment

    made = []
    for file in attached:
        moment = datetime.datetime.combine(file.date, datetime.time())
        said = {"name": file.name, "description": file.description}
        made.append(
            Attachment(string=file.content, created=moment, modified=moment, relationship="Data", **said)
        )
    return made


def html_to_pdf(
    html: str, css: str, file: str, *, tagged: bool, fillable: bool = False, attached: Sequence[Attached] = ()
) -> bytes:
    """HTML and CSS to PDF bytes; a log record of the renderer is an error, a fetch from outside is fatal.

    With files `attached` it is PDF/A-3a (ISO 19005-3), the part that may carry any file; otherwise, where
    `tagged`, PDF/UA-1 (ISO 14289-1).
    """
    weasyprint = _weasyprint()
    from weasyprint.text.fonts import FontConfiguration

    from packgen.render.fetch import FatalURLFetchingError, fetcher
    from packgen.render.preflight import LogWatch

    fetch = fetcher(templates_folder(), font_folder())
    fonts = FontConfiguration()
    try:
        with LogWatch(file) as log, _no_collection():
            sheet = weasyprint.CSS(string=css, url_fetcher=fetch, font_config=fonts)
            document = weasyprint.HTML(string=html, url_fetcher=fetch, base_url=templates_folder().as_uri())
            variant = "pdf/a-3a" if attached else "pdf/ua-1" if tagged else None
            made = {"pdf_variant": variant, "pdf_forms": fillable, "attachments": _attachments(attached)}
            pdf: bytes = document.write_pdf(finisher=mend, stylesheets=[sheet], font_config=fonts, **made)
        fetch.raise_if_refused()
    except FatalURLFetchingError as error:
        raise ContentError([Problem(Place(file), f"a part from outside was refused: {error}")]) from None
    if log.problems:
        raise ContentError(log.problems)
    return pdf


def guard(
    pdf: bytes, faces: Sequence[Face], medium: Medium, stamp: Stamp, words: Words, file: str, *,
    title: str | None = None,
) -> None:  # fmt: skip
    """Prove on the PDF that everything planned is there, and with a `title` that its tags say it too.

    Raises `ContentError` with every fault.
    """
    import pikepdf

    from packgen.render.preflight import preflight
    from packgen.render.tags import tag_problems

    pages = [planned_page(face, medium, stamp, words) for face in faces]
    problems = preflight(pdf, pages, families=FAMILIES, file=file)
    if title is not None:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            problems += tag_problems(document, faces, file, title=title)
    if problems:
        raise ContentError(problems)


def require_signs(faces: Sequence[Face], file: str) -> None:
    """Every character has a glyph in our face; a missing one would come from another font without a word."""
    problems = []
    for face in faces:
        for text in face.strings():
            missing = missing_signs(text)
            if missing:
                what = f"the words {text[:50]!r} use {missing!r}, for which the printed face has no sign"
                problems.append(Problem(Place(file), what, cure="write it in other letters"))
    if problems:
        raise ContentError(problems)
