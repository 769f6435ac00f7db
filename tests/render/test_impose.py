"""Imposition: order, registration back to back, cut marks, kept text, and the same bytes every time."""

from __future__ import annotations

import datetime
import functools
import hashlib
import io
import os
import re
import subprocess
import sys
from pathlib import Path

import fontpkg_lato
import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from weasyprint import HTML

from packgen.errors import PackgenError
from packgen.render.impose import A4, LETTER, SHEETS, Imposed, Placement, Sheet, impose
from packgen.render.preflight import Box, PlannedPage, preflight

FONTS = Path(fontpkg_lato.ROOT) / "files"
DATE = datetime.date(2026, 5, 12)
MM = 25.4 / 72  # mm in a point
REGISTRATION = 0.1  # mm, front to back

both_sheets = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS.keys())


@functools.cache
def draw(width: float, height: float, pages: tuple[str, ...]) -> bytes:
    """A PDF with one line of text 10 mm from the left and from the top of each page."""
    style = f"""
      @font-face {{ font-family: Lato; src: url({(FONTS / "Lato-Regular.ttf").as_uri()}) }}
      @page {{ size: {width}mm {height}mm; margin: 10mm }}
      body {{ margin: 0; font: 10pt/1.25 Lato }} p {{ margin: 0; break-after: page }}
    """
    body = "".join(f"<p>{text}</p>" for text in pages)
    html = f"<html lang='en'><title>Cards</title><style>{style}</style>{body}"
    return bytes(HTML(string=html).write_pdf(pdf_variant="pdf/ua-1"))


def words(index: int) -> str:
    return f"Face number {index:02d}."


def faces(sheet: Sheet, count: int) -> bytes:
    return draw(sheet.face_width, sheet.face_height, tuple(words(index) for index in range(count)))


def front(sheet: Sheet, pages: int = 1) -> bytes:
    return draw(sheet.width, sheet.height, tuple(f"Print this first, {page}" for page in range(pages)))


def imposed(sheet: Sheet, count: int, before: bytes = b"") -> Imposed:
    return impose(before, faces(sheet, count), sheet, title="Pocket cards", date=DATE)


def texts(pdf: bytes) -> list[str]:
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_textpage().get_text_range() for page in document]


def corner(page: pypdfium2.PdfPage, string: str) -> tuple[float, float]:
    """The left top corner of the ink of `string`'s first letter, in mm from the page's left top."""
    textpage = page.get_textpage()
    found = textpage.search(string).get_next()
    assert found is not None, string
    left, _bottom, _right, top = textpage.get_charbox(found[0])
    return left * MM, (page.get_height() - top) * MM


def flipped(placement: Placement, sheet: Sheet) -> tuple[float, float, float, float]:
    """The rectangle as it lies seen through the paper, after a flip on the long edge of a portrait sheet."""
    left = sheet.width - placement.left - placement.width
    return left, placement.top, placement.width, placement.height


def rectangle(placement: Placement) -> tuple[float, float, float, float]:
    return placement.left, placement.top, placement.width, placement.height


def test_fronts_and_backs_take_turns() -> None:
    """Five cards: a sheet of four, front and back, then a sheet of one; backs are mirrored left to right."""
    pages = imposed(A4, 10).placements
    assert [[placement.face_index for placement in page] for page in pages] == [
        [0, 2, 4, 6],
        [1, 3, 5, 7],
        [8],
        [9],
    ]
    assert [placement.left for placement in pages[0]] == [0, 105, 0, 105]
    assert [placement.left for placement in pages[1]] == [105, 0, 105, 0]


@both_sheets
@pytest.mark.parametrize("count", [1, 2, 7, 8, 9, 16])
def test_each_back_lies_behind_its_front(sheet: Sheet, count: int) -> None:
    """Every face once, inside the sheet, none over another; trims of front and back agree after the flip."""
    pages = imposed(sheet, count).placements
    assert sorted(placement.face_index for page in pages for placement in page) == list(range(count))
    for fronts, backs in zip(pages[::2], pages[1::2], strict=True):
        behind = {placement.face_index: placement for placement in backs}
        for placement in fronts:
            assert placement.face_index % 2 == 0
            back = behind.pop(placement.face_index + 1, None)
            assert (back is None) == (placement.face_index == count - 1)
            if back is not None:
                assert flipped(back, sheet) == pytest.approx(rectangle(placement), abs=REGISTRATION)
        assert not behind
        corners = {(round(placement.left), round(placement.top)) for placement in fronts}
        assert len(corners) == len(fronts)
        for placement in [*fronts, *backs]:
            assert placement.left >= -1e-9
            assert placement.top >= -1e-9
            assert placement.left + placement.width <= sheet.width + 1e-9
            assert placement.top + placement.height <= sheet.height + 1e-9


@both_sheets
def test_faces_stand_in_the_pdf_where_the_placements_say(sheet: Sheet) -> None:
    """Measured on the ink: the first letter keeps its distance from its face's corner, at 100 %."""
    with pypdfium2.PdfDocument(faces(sheet, 10)) as document:
        alone = corner(document[0], words(0))
    result = imposed(sheet, 10)
    measured = 0
    with pypdfium2.PdfDocument(result.pdf) as document:
        for page, placements in zip(document, result.placements, strict=True):
            for placement in placements:
                left, top = corner(page, words(placement.face_index))
                here = (left - placement.left, top - placement.top)
                assert here == pytest.approx(alone, abs=REGISTRATION / 2)
                measured += 1
    assert measured == 10


@both_sheets
def test_sheets_keep_their_size_and_their_text(sheet: Sheet) -> None:
    """Preflight passes on the sheets: size, every face's words, text 5 mm inside each trim, fonts."""
    result = imposed(sheet, 10, front(sheet))
    planned = [
        PlannedPage(
            f"sheet {number}",
            sheet.width,
            sheet.height,
            tuple(words(placement.face_index) for placement in placements),
            tuple(
                Box(
                    placement.left + 5,
                    placement.top + 5,
                    placement.left + placement.width - 5,
                    placement.top + placement.height - 5,
                )
                for placement in placements
            )
            or (Box(5, 5, sheet.width - 5, sheet.height - 5),),
        )
        for number, placements in enumerate(result.placements)
    ]
    assert preflight(result.pdf, planned, families=frozenset({"Lato"})) == []


def test_preflight_sees_a_face_cut_off_by_its_own_edge() -> None:
    """What runs over a face's edge is clipped there, and is found on the sheet."""
    style = "@page { size: 105mm 148mm; margin: 0 } p { margin: 0 0 0 95mm; white-space: nowrap }"
    face = bytes(HTML(string=f"<style>{style}</style><p>runs over the edge</p>").write_pdf())
    result = impose(b"", face, A4, title="Pocket cards", date=DATE)
    planned = [PlannedPage(name, 210, 297, (), (Box(0, 0, 210, 297),)) for name in ("front", "back")]
    problems = preflight(result.pdf, planned, families=frozenset({"Lato"}))
    assert "text cut off by the box it is in: 'runs over the edge'" in [problem.what for problem in problems]


@pytest.mark.parametrize(("pages", "sides"), [(0, 0), (1, 2), (2, 2), (3, 4)])
def test_cards_never_come_on_the_back_of_a_print_first_page(pages: int, sides: int) -> None:
    """An odd number of pages before the sheets is made even by a blank one."""
    result = imposed(LETTER, 8, front(LETTER, pages) if pages else b"")
    page_texts = texts(result.pdf)
    assert len(page_texts) == len(result.placements) == sides + 2
    assert result.placements[:sides] == [[]] * sides
    assert page_texts[:pages] == [f"Print this first, {page}" for page in range(pages)]
    assert page_texts[pages:sides] == [""] * (sides - pages)
    assert words(0) in page_texts[sides]


def marks_on(page: pypdfium2.PdfPage) -> list[tuple[float, float, float, float]]:
    """Each path drawn on the sheet itself, outside the faces: left, top, right, bottom in mm."""
    height = page.get_height()
    bounds = [item.get_bounds() for item in page.get_objects([pdfium.FPDF_PAGEOBJ_PATH], max_depth=1)]
    return [
        (left * MM, (height - top) * MM, right * MM, (height - low) * MM) for left, low, right, top in bounds
    ]


@both_sheets
def test_cut_marks_lie_on_the_cut_lines_and_clear_of_text(sheet: Sheet) -> None:
    """A tick near each edge, a cross in the middle, the same on both sides, all out of the faces' 5 mm."""
    across, down = sheet.width / 2, sheet.height / 2
    right, bottom = sheet.width, sheet.height
    expected = [
        (across, 1, across, 5),
        (across, bottom - 5, across, bottom - 1),
        (1, down, 5, down),
        (right - 5, down, right - 1, down),
        (across - 2, down, across + 2, down),
        (across, down - 2, across, down + 2),
    ]
    result = imposed(sheet, 8)
    with pypdfium2.PdfDocument(result.pdf) as document:
        for page in document:
            # Half a line's width, and the square end that a bounding box allows for.
            assert sorted(marks_on(page)) == [pytest.approx(mark, abs=0.3) for mark in sorted(expected)]
    with pikepdf.open(io.BytesIO(result.pdf)) as document:
        for page in document.pages:
            [line_width] = re.findall(rb"([\d.]+) w\b", page.Contents.read_bytes())
            assert float(line_width) >= 0.25


def test_faces_are_copied_once_and_stay_vectors() -> None:
    """One form for each face under a name of our own, one font file for all, no picture."""
    with pikepdf.open(io.BytesIO(imposed(A4, 10).pdf)) as document:
        names = [sorted(page.resources.XObject.keys()) for page in document.pages]
        streams = [item for item in document.objects if isinstance(item, pikepdf.Stream)]
        fonts = [item for item in streams if "/Length1" in item]
        pictures = [item for item in streams if item.get("/Subtype") == pikepdf.Name.Image]
    assert names == [
        ["/Face1", "/Face3", "/Face5", "/Face7"],
        ["/Face2", "/Face4", "/Face6", "/Face8"],
        ["/Face9"],
        ["/Face10"],
    ]
    assert len(fonts) == 1
    assert pictures == []


def test_the_print_dialogue_is_asked_for_full_size_and_the_long_edge() -> None:
    """Title, language and date stand in the file; the date is the one given."""
    with pikepdf.open(io.BytesIO(imposed(A4, 2).pdf)) as document:
        wishes = {key: str(value) for key, value in document.Root.ViewerPreferences.items()}
        assert str(document.docinfo.Title) == "Pocket cards"
        assert str(document.docinfo.CreationDate) == str(document.docinfo.ModDate) == "D:20260512000000Z"
        assert str(document.Root.Lang) == "en"
    assert wishes["/PrintScaling"] == "/None"
    assert wishes["/Duplex"] == "/DuplexFlipLongEdge"


@pytest.mark.parametrize("wrong", ["print-first page", "card face", "whole sheet as a face"])
def test_pages_of_another_size_are_refused(wrong: str) -> None:
    """Nothing is scaled: a page made for another paper is an error that says both sizes."""
    before = front(LETTER) if wrong == "print-first page" else b""
    face = {"card face": faces(LETTER, 2), "whole sheet as a face": front(A4)}.get(wrong, faces(A4, 2))
    with pytest.raises(PackgenError, match=r"it is [\d.]+ × [\d.]+ mm; expected [\d.]+ × [\d.]+ mm"):
        impose(before, face, A4, title="Pocket cards", date=DATE)


def test_the_same_input_gives_the_same_bytes_in_any_process(tmp_path: Path) -> None:
    """Twice here, and in two processes with other hash seeds and time zones."""
    (tmp_path / "faces.pdf").write_bytes(faces(A4, 10))
    (tmp_path / "front.pdf").write_bytes(front(A4))
    here = [imposed(A4, 10, front(A4)).pdf for _ in range(2)]
    assert here[0] == here[1]
    script = """
import datetime, hashlib, pathlib
from packgen.render.impose import A4, impose
folder = pathlib.Path(FOLDER)
before, faces = ((folder / name).read_bytes() for name in ("front.pdf", "faces.pdf"))
made = impose(before, faces, A4, title="Pocket cards", date=datetime.date(2026, 5, 12))
print(hashlib.sha256(made.pdf).hexdigest())
""".replace("FOLDER", repr(str(tmp_path)))
    for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo")):
        run = subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            text=True,
            check=True,
        )
        assert run.stdout.strip() == hashlib.sha256(here[0]).hexdigest()
