"""Does each face on the sheets hold exactly what its page for the screen holds, and each page before them?

In: the imposed PDF, the PDFs it was made from. Out: one `Problem` for each face or page that is not the same.
Vocabulary: a *sum* is a digest of a PDF object with everything it refers to: two objects of one sum draw the
same. The pages for the screen have passed the guard; so what equals them needs no second look.
Governing text: ISO 32000-1, 7.3 (objects) and 8.10 (form XObjects), from memory.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pikepdf

from packgen.errors import Place, Problem

# How a stream is packed says nothing of what it draws.
PACKED = frozenset({"/Length", "/Filter", "/DecodeParms"})


def carried_problems(pdf: bytes, front: bytes, screen: bytes, before: int, file: str) -> list[Problem]:
    """Faces and print-first pages that are not as they were.

    Parameters: `pdf`, the sheets; `front`, the pages before them; `screen`, a face a page; how many pages
    stand `before` the sheets; `file`, for messages.
    """
    with (
        pikepdf.open(io.BytesIO(pdf)) as made,
        pikepdf.open(io.BytesIO(front)) as first,
        pikepdf.open(io.BytesIO(screen)) as source,
    ):
        return [*_first(made, first, before, file), *_faces(made, source, before, file)]


def _first(made: pikepdf.Pdf, first: pikepdf.Pdf, before: int, file: str) -> Iterator[Problem]:
    """The pages before the sheets, whose last may be blank."""
    new, old = _Sums(), _Sums()
    for index, page in enumerate(made.pages[:before]):
        form = page.as_form_xobject()
        if index < len(first.pages):
            is_same = new.of(form) == old.of(first.pages[index].as_form_xobject())
        else:
            is_same = not form.read_bytes().strip()
        if not is_same:
            yield Problem(Place(f"{file} page {index + 1}"), "it does not hold what the guard has seen")


def _faces(made: pikepdf.Pdf, source: pikepdf.Pdf, before: int, file: str) -> Iterator[Problem]:
    """The faces on each sheet."""
    new, old = _Sums(), _Sums()
    for number, page in enumerate(made.pages[before:], before + 1):
        drawn: Any = page.resources.get("/XObject", {})
        for name in drawn.keys():  # noqa: SIM118  # a PDF dictionary gives no keys by itself
            face = int(name.removeprefix("/Face")) if name.startswith("/Face") else 0
            if not 0 < face <= len(source.pages):
                continue  # told by registration where it is drawn
            if new.of(drawn[name]) != old.of(source.pages[face - 1].as_form_xobject()):
                at = Place(f"{file} page {number}", key=f"face {face}")
                yield Problem(at, "it does not hold exactly what its page for the screen holds")


class _Sums:
    """The sums of the objects of one PDF; what many faces share, as fonts, is read once."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, int], bytes] = {}

    def of(self, found: Any) -> bytes:
        """The sum of an object."""
        if not isinstance(found, pikepdf.Object):
            return str(float(found) if isinstance(found, Decimal) else found).encode()
        key = found.objgen
        if key == (0, 0):
            return self._worked(found)
        if key not in self._known:
            self._known[key] = b"again"  # an object that refers to itself
            self._known[key] = self._worked(found)
        return self._known[key]

    def _worked(self, found: pikepdf.Object) -> bytes:
        """The sum, worked out from the parts."""
        if isinstance(found, pikepdf.Stream | pikepdf.Dictionary):
            made = hashlib.sha256(b"<<")
            is_stream = isinstance(found, pikepdf.Stream)
            for name in sorted(found.keys()):
                if not (is_stream and name in PACKED):
                    made.update(name.encode() + b" " + self.of(found[name]) + b"\n")
            made.update(_content(found) if is_stream else b"")
            return made.digest()
        if isinstance(found, pikepdf.Array):
            return hashlib.sha256(b"[" + b"\n".join(self.of(part) for part in found.as_list())).digest()
        return found.unparse()


def _content(stream: pikepdf.Object) -> bytes:
    """What a stream holds, unpacked where that is possible."""
    try:
        return stream.read_bytes()
    except pikepdf.PdfError:
        return stream.read_raw_bytes()
