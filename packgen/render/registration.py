"""Do the sheets of a finished PDF give the cards that were planned? Read from the PDF alone.

In: the imposed PDF and what it must be: how many faces, of what size, flipped and finished how.
Out: one `Problem` for each rule broken, with page, sheet, place and face.
Vocabulary: a *lead* is the first face of a card or leaflet; a *place* is where leads stand, counted on the
front from left to right, then down; a *pile* is what a cut stack of sheets gives at one place; *seen* is as
in `registration_read`.
Governing text: ISO 32000-1, 12.2 (viewer preferences), from memory; 0.1 mm from front to back is our own.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from typing import Any

import pikepdf

from packgen.errors import Place, Problem
from packgen.render.registration_marks import AGREE, mark_problems, other_problems
from packgen.render.registration_read import (
    DrawnFace,
    Expected,
    Rectangle,
    SheetPage,
    read_sheets,
    turns_on_upright_edge,
)
from packgen.sheets.media import HOLE_AT

SCALE = 0.0005  # of 100 %: 0.1 mm on 200 mm
SQUARE = 0.05  # degrees


def registration_problems(pdf: bytes, expected: Expected, *, file: str = "") -> list[Problem]:
    """Every rule that the sheets of `pdf` break; `file` is the name to put into the problems' places.

    Looked for: two pages a sheet, of one size; each face once, at 100 %, whole on its sheet, over no other;
    each back behind its front within 0.1 mm after the flip, its head where its front's is; leaflets with
    their faces side by side; piles in order; punch, crop and fold marks; nothing else drawn on the sheet;
    what the print dialogue is asked for.
    """
    with pikepdf.open(io.BytesIO(pdf)) as document:
        pages = read_sheets(document, expected)
        found = list(_asked(document, expected, file))
    sheets = _Sheets(pages, expected, file)
    found += sheets.pages()
    found += sheets.count()
    for page in pages:
        found += sheets.each_face(page)
        found += sheets.overlaps(page)
        found += sheets.punches(page)
        found += other_problems(page, file)
        found += mark_problems(page, expected, file)
    found += sheets.backs()
    found += sheets.leaflets()
    found += sheets.piles()
    return found


def _asked(document: pikepdf.Pdf, expected: Expected, file: str) -> Iterator[Problem]:
    """What the print dialogue is asked for."""
    edges = {"/DuplexFlipLongEdge": "long", "/DuplexFlipShortEdge": "short"}
    wishes: Any = document.Root.get("/ViewerPreferences", {})
    edge = edges.get(str(wishes.get("/Duplex", "")), "no")
    if edge != expected.flip:
        what = f"the print dialogue is asked to flip on {edge} edge".replace("on no edge", "on neither edge")
        yield Problem(Place(file), what, f"the {expected.flip} edge")
    if str(wishes.get("/PrintScaling", "")) != "/None":
        yield Problem(Place(file), "the print dialogue is not asked for full size", "PrintScaling None")


class _Sheets:
    """What was read, and the rules over it; faces drawn once are known by number with their page."""

    def __init__(self, pages: Sequence[SheetPage], expected: Expected, file: str) -> None:
        self._pages, self._expected, self._file = pages, expected, file
        drawn: dict[int, list[tuple[SheetPage, DrawnFace]]] = {}
        for page in pages:
            for face in page.faces:
                drawn.setdefault(face.number, []).append((page, face))
        self._drawn = drawn
        self._once = {number: found[0] for number, found in drawn.items() if len(found) == 1}
        self._leads = range(1, expected.faces + 1, expected.faces_a_piece)
        self._places = self._all_places()

    def _all_places(self) -> list[Rectangle]:
        """Where leads stand, in the order of the piles."""
        found: list[Rectangle] = []
        near = min(self._expected.width, self._expected.height) / 4
        for lead in self._leads:
            if lead in self._once:
                seen = self._once[lead][1].seen
                if all(seen.off(other) > near for other in found):
                    found.append(seen)
        rows = min((place.top for place in found), default=0.0)
        return sorted(found, key=lambda at: (round((at.top - rows) / self._expected.height), at.left))

    def _where(self, face: DrawnFace) -> int:
        """The place nearest to a face, counted from 1; a leaflet's other half is told by its lead's."""
        lead = face.number - (face.number - 1) % self._expected.faces_a_piece
        seen = self._once[lead][1].seen if lead in self._once else face.seen
        nearest = min(range(len(self._places)), key=lambda at: self._places[at].off(seen), default=-1)
        return nearest + 1

    def _at(self, page: SheetPage, face: DrawnFace) -> Place:
        return page.place(self._file, face.number, self._where(face))

    def pages(self) -> Iterator[Problem]:
        """Two pages a sheet, all of one size, none turned by the reader."""
        if len(self._pages) % 2:
            yield self._last_page_alone()
        for page in self._pages:
            first = self._pages[0]
            if max(abs(page.width - first.width), abs(page.height - first.height)) > AGREE:
                what = f"the page is {page.width:.1f} × {page.height:.1f} mm"
                wanted = f"{first.width:.1f} × {first.height:.1f} mm, as the first sheet"
                yield Problem(page.place(self._file), what, wanted)
            if page.rotate:
                yield Problem(page.place(self._file), f"the page is shown turned by {page.rotate}°", "0°")

    def _last_page_alone(self) -> Problem:
        place = self._pages[-1].place(self._file)
        return Problem(place, "the sheet has no back", "two pages a sheet, the last blank where need be")

    def count(self) -> Iterator[Problem]:
        """Each face once."""
        for number in sorted({*range(1, self._expected.faces + 1), *self._drawn}):
            times = len(self._drawn.get(number, ()))
            wanted = 1 if number <= self._expected.faces else 0
            if times != wanted:
                sheets = " and ".join(f"sheet {page.sheet}" for page, _ in self._drawn.get(number, ()))
                where = f", on {sheets}" if sheets else ""
                yield Problem(
                    Place(self._file, key=f"face {number}"),
                    f"it is printed {times} times{where}",
                    "once" if wanted else f"{self._expected.faces} faces in all",
                )

    def each_face(self, page: SheetPage) -> Iterator[Problem]:
        """The planned size at 100 %, its head up, whole on the sheet, on the side it belongs to."""
        expected = self._expected
        for face in page.faces:
            at = self._at(page, face)
            if any(abs(scale - 1.0) > SCALE for scale in face.scale):
                across, up = (f"{scale * 100:.1f} %" for scale in face.scale)
                yield Problem(at, f"it is drawn at {across} across and {up} up", "100 %")
            elif face.is_mirrored:
                yield Problem(at, "it is drawn mirrored")
            elif abs(face.angle) > SQUARE:
                what = f"turned to the back it stands {face.angle:.0f}° off" if page.is_back else ""
                yield Problem(at, what or f"it is drawn {face.angle:.0f}° off upright", "head up")
            else:
                yield from self._size(face, at)
            on = face.on
            beyond = max(-on.left, -on.top, on.right - page.width, on.bottom - page.height)
            if beyond > AGREE:
                yield Problem(at, f"it runs {beyond:.1f} mm over the sheet's edge", "whole on the sheet")
            if expected.is_front(face.number) == page.is_back:
                yield Problem(at, "it is on the wrong side of the sheet", "the other side")

    def _size(self, face: DrawnFace, at: Place) -> Iterator[Problem]:
        width, height = face.on.right - face.on.left, face.on.bottom - face.on.top
        if max(abs(width - self._expected.width), abs(height - self._expected.height)) > AGREE:
            wanted = f"{self._expected.width:g} × {self._expected.height:g} mm"
            yield Problem(at, f"it is {width:.1f} × {height:.1f} mm", wanted)

    def overlaps(self, page: SheetPage) -> Iterator[Problem]:
        """No face over another."""
        for index, face in enumerate(page.faces):
            for other in page.faces[index + 1 :]:
                if (over := face.on.over(other.on)) > AGREE:
                    what = f"it lies over face {other.number} by {over:.1f} mm"
                    yield Problem(self._at(page, face), what, "side by side")

    def punches(self, page: SheetPage) -> Iterator[Problem]:
        """A punch mark for each face where the ring goes, and none otherwise."""
        left = list(page.punches)
        for face in page.faces if self._expected.ring_hole else ():
            x, y = self._hole(page, face)
            near = [at for at in left if max(abs(at[0] - x), abs(at[1] - y)) <= AGREE]
            if near:
                left.remove(near[0])
            else:
                what = f"no punch mark {x:.1f} mm from the sheet's left and {y:.1f} mm from its top"
                yield Problem(self._at(page, face), what, f"{HOLE_AT:g} mm from the face's two edges")
        for x, y in left:
            what = f"a punch mark where no ring goes, {x:.1f} mm from the left and {y:.1f} mm from the top"
            yield Problem(page.place(self._file), what)

    def _hole(self, page: SheetPage, face: DrawnFace) -> tuple[float, float]:
        """Where a face's ring goes: seen from the front, at the same corner for a front and its back."""
        x, y = face.seen.left + HOLE_AT, face.seen.top + HOLE_AT
        if self._expected.finish == "fold" and face.number % 4 in {0, 3}:
            x = face.seen.right - HOLE_AT  # the left half of a leaflet has its spine at the right
        if page.is_back and turns_on_upright_edge(page.width, page.height, self._expected):
            return page.width - x, y
        return (x, page.height - y) if page.is_back else (x, y)

    def backs(self) -> Iterator[Problem]:
        """Each back behind its front, on the same sheet, edge on edge after the flip."""
        for number, (page, face) in sorted(self._once.items()):
            ahead = self._expected.front_of(number)
            if self._expected.is_front(number) or ahead not in self._once:
                continue
            front_page, front = self._once[ahead]
            if front_page.sheet != page.sheet:
                what = f"its front, face {ahead}, is on sheet {front_page.sheet}"
                yield Problem(self._at(page, face), what, "the same sheet")
            elif (off := face.seen.off(front.seen)) > AGREE:
                what = f"after the flip it lies {off:.2f} mm beside face {ahead}"
                yield Problem(self._at(page, face), what, f"within {AGREE:g} mm")

    def leaflets(self) -> Iterator[Problem]:
        """The two halves of a leaflet side by side: 3 and 4 left of 1 and 2, and no gap at the spine."""
        for lead in self._leads if self._expected.finish == "fold" else ():
            for other in (lead + 2, lead + 3):
                if lead not in self._once or other not in self._once:
                    continue
                (page, half), (front_page, front) = self._once[other], self._once[lead]
                off = max(abs(half.seen.right - front.seen.left), abs(half.seen.top - front.seen.top))
                if page.sheet != front_page.sheet or off > AGREE:
                    what = f"it does not lie against face {lead}, so that they do not fold together"
                    yield Problem(self._at(page, half), what, f"left of it on sheet {front_page.sheet}")

    def piles(self) -> Iterator[Problem]:
        """Cut through the stack, the piles of all places laid one on the other are in order."""
        leads = [lead for lead in self._leads if lead in self._once]
        found = {lead: self._once[lead] for lead in leads}
        stacked = sorted(leads, key=lambda lead: (self._where(found[lead][1]), found[lead][0].sheet))
        for wanted, lead in zip(leads, stacked, strict=True):
            if wanted != lead:
                page, face = found[lead]
                what = f"cut and stacked, it comes where face {wanted} belongs"
                yield Problem(self._at(page, face), what, "faces in order, pile after pile")
                return
