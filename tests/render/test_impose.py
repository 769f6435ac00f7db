"""Imposition: cut or folded, flipped and stacked as a printer and a guillotine do; kept text, same bytes."""

from __future__ import annotations

import datetime
import functools
import hashlib
import io
import os
import subprocess
import sys
from pathlib import Path

import fontpkg_lato
import numpy
import pikepdf
import pypdfium2
import pytest
from weasyprint import HTML

from packgen.errors import PackgenError
from packgen.render.impose import Imposed, impose
from packgen.render.impose_layout import Layout
from packgen.render.preflight import Box, PlannedPage, preflight
from packgen.sheets.media import FORMS, SHEETS
from tests.render.marked_faces import INSET, MARK, plan, rastered, squares, turned_by_printer
from tests.render.marked_faces import imposed as coloured

FONTS = Path(fontpkg_lato.ROOT) / "files"
DATE = datetime.date(2026, 5, 12)
MM = 25.4 / 72  # mm in a point
PIXEL = 0.3  # mm: what a picture at 100 dpi tells apart
A4, LETTER, ACROSS = plan("a6", "a4"), plan("quarter-letter", "letter"), plan("a6", "letter")
ON_ITS_HEAD = plan("a6", "a4", "short")

some_layouts = pytest.mark.parametrize(
    "layout", [A4, LETTER, ACROSS, ON_ITS_HEAD], ids=["a4", "letter", "across", "on its head"]
)


def every_choice(finish: str, *flips: str) -> list[pytest.ParameterSet]:
    """Each form on each sheet that takes it, flipped on the edges asked for."""
    found = []
    for form in FORMS:
        for paper in SHEETS:
            for flip in flips:
                try:
                    made = plan(form, paper, flip, finish)
                except PackgenError:
                    continue
                found.append(pytest.param(made, id=f"{form} on {paper}, {flip} edge"))
    return found


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


def faces(layout: Layout, count: int) -> bytes:
    return draw(layout.face_width, layout.face_height, tuple(words(index) for index in range(count)))


def front(layout: Layout, pages: int = 1) -> bytes:
    upright = sorted((layout.width, layout.height))
    return draw(*upright, tuple(f"Print this first, {page}" for page in range(pages)))


def imposed(layout: Layout, count: int, before: bytes = b"") -> Imposed:
    return impose(before, faces(layout, count), layout, title="Pocket cards", date=DATE)


def sides(layout: Layout, count: int) -> list[tuple[numpy.ndarray, numpy.ndarray]]:
    """The two sides of each sheet as printed, seen from the front and through it."""
    pictures = rastered(coloured(layout, count).pdf)
    backs = [turned_by_printer(picture, layout.flip) for picture in pictures[1::2]]
    return list(zip(pictures[::2], backs, strict=True))


@pytest.mark.parametrize("layout", every_choice("cut", "long", "short"))
def test_a_card_turned_like_a_page_shows_its_back_upright_behind_its_front(layout: Layout) -> None:
    """Seen in pixels: a back's square comes as far from the card's right edge as its front's from the left.

    Every card but the last, whose back is blank; both squares as far from the card's top.
    """
    count = 2 * layout.places + 1
    found = 0
    for front_side, back_side in sides(layout, count):
        ahead, behind = squares(front_side), squares(back_side)
        assert all(face % 2 == 0 for face in ahead)
        assert {face - 1 for face in behind} == set(ahead) - {count - 1}
        for face, (x, y) in behind.items():
            front_x, front_y = ahead[face - 1]
            from_left = front_x - (INSET[0] + MARK / 2)
            assert x - from_left == pytest.approx(layout.face_width - INSET[0] - MARK / 2, abs=PIXEL)
            assert y == pytest.approx(front_y, abs=PIXEL)
            found += 1
    assert found == layout.places


@pytest.mark.parametrize("layout", every_choice("cut", "long"))
def test_cut_and_stacked_the_piles_are_in_order(layout: Layout) -> None:
    """What a guillotine does: all sheets cut at once, one pile a place, laid on each other row by row."""
    count = 4 * layout.places - 1
    piles: dict[tuple[int, int], list[int]] = {}
    for front_side, _ in sides(layout, count):
        for face, (x, y) in squares(front_side).items():
            row = int((y - layout.tops[0]) // layout.face_height)
            column = int((x - layout.lefts[0]) // layout.face_width)
            piles.setdefault((row, column), []).append(face)
    assert len(piles) == layout.places
    assert [face for place in sorted(piles) for face in piles[place]] == list(range(0, count, 2))


@pytest.mark.parametrize("layout", every_choice("fold", "long", "short"))
def test_a_leaflet_folded_once_reads_one_two_three_four(layout: Layout) -> None:
    """Outside right is 1, behind it 2; beside 2, inside, 3, and behind 3, outside left, 4; leaflets stack."""
    count = 8 * layout.places - 2
    leaflets: dict[tuple[int, int], list[int]] = {}
    for outer, inner in sides(layout, count):
        outside, inside = squares(outer), squares(inner)
        for face, (x, y) in outside.items():
            if face % 4:
                assert face % 4 == 3
                continue
            row, column = int((y - layout.tops[0]) // layout.face_height), int(x // layout.face_width)
            leaflets.setdefault((row, column), []).append(face)
            # Through the paper a back reads from right to left.
            seen_at = x - INSET[0] - MARK / 2 + layout.face_width - INSET[0] - MARK / 2
            assert inside[face + 1] == pytest.approx((seen_at, y), abs=PIXEL)
            if face + 2 < count:
                assert inside[face + 2] == pytest.approx((seen_at - layout.face_width, y), abs=PIXEL)
            if face + 3 < count:
                assert outside[face + 3] == pytest.approx((x - layout.face_width, y), abs=PIXEL)
    assert [face for place in sorted(leaflets) for face in leaflets[place]] == list(range(0, count, 4))


def test_a_short_last_sheet_keeps_the_piles_in_order() -> None:
    """Ten faces are five cards on two A4 sheets: piles of two, two and one, and a place that stays blank."""
    pages = imposed(A4, 10).placements
    assert [[placement.face_index for placement in page] for page in pages] == [
        [0, 4, 8], [1, 5, 9], [2, 6], [3, 7],
    ]  # fmt: skip
    assert [placement.left for placement in pages[0]] == [0, 105, 0]
    assert [placement.left for placement in pages[1]] == [105, 0, 105]


def texts(pdf: bytes) -> list[str]:
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_textpage().get_text_range() for page in document]


def first_letter(page: pypdfium2.PdfPage, string: str) -> tuple[float, float, float, float]:
    """The ink of `string`'s first letter: left, top, right, bottom in mm from the page's left top."""
    textpage = page.get_textpage()
    found = textpage.search(string).get_next()
    assert found is not None, string
    left, bottom, right, top = textpage.get_charbox(found[0])
    height = page.get_height()
    return left * MM, (height - top) * MM, right * MM, (height - bottom) * MM


@some_layouts
def test_faces_stand_in_the_pdf_where_the_placements_say(layout: Layout) -> None:
    """Measured on the ink: the first letter keeps its distance from its face's corner, at 100 %."""
    with pypdfium2.PdfDocument(faces(layout, 10)) as document:
        alone = first_letter(document[0], words(0))
    result = imposed(layout, 10)
    measured, on_their_heads = 0, 0
    with pypdfium2.PdfDocument(result.pdf) as document:
        for page, placements in zip(document, result.placements, strict=True):
            for at in placements:
                left, top, right, bottom = first_letter(page, words(at.face_index))
                if at.is_turned:
                    here = (at.left + at.width - right, at.top + at.height - bottom)
                    on_their_heads += 1
                else:
                    here = (left - at.left, top - at.top)
                assert here == pytest.approx(alone[:2], abs=0.05)
                assert right - left == pytest.approx(alone[2] - alone[0], abs=0.05)
                measured += 1
    assert measured == 10
    assert on_their_heads == (0 if layout.turns_on_upright_edge else 5)


@some_layouts
def test_sheets_keep_their_size_and_their_text(layout: Layout) -> None:
    """Preflight passes on the sheets: size, every face's words, text 5 mm inside each trim, fonts."""
    result = imposed(layout, 10, front(layout))
    planned = []
    for number, placements in enumerate(result.placements):
        width, height = layout.width, layout.height
        if number < 2:  # the print-first page lies upright
            width, height = sorted((width, height))
        boxes = [
            Box(at.left + 5, at.top + 5, at.left + at.width - 5, at.top + at.height - 5) for at in placements
        ]
        strings = tuple(words(at.face_index) for at in placements)
        whole = Box(5, 5, width - 5, height - 5)
        planned.append(PlannedPage(f"sheet {number}", width, height, strings, tuple(boxes) or (whole,)))
    assert preflight(result.pdf, planned, families=frozenset({"Lato"})) == []


def test_preflight_sees_a_face_cut_off_by_its_own_edge() -> None:
    """What runs over a face's edge is clipped there, and is found on the sheet."""
    style = "@page { size: 105mm 148mm; margin: 0 } p { margin: 0 0 0 95mm; white-space: nowrap }"
    face = bytes(HTML(string=f"<style>{style}</style><p>runs over the edge</p>").write_pdf())
    result = impose(b"", face, A4, title="Pocket cards", date=DATE)
    planned = [PlannedPage(name, 210, 297, (), (Box(0, 0, 210, 297),)) for name in ("front", "back")]
    problems = preflight(result.pdf, planned, families=frozenset({"Lato"}))
    assert "text cut off by the box it is in: 'runs over the edge'" in [problem.what for problem in problems]


@pytest.mark.parametrize(("pages", "before"), [(0, 0), (1, 2), (2, 2), (3, 4)])
def test_cards_never_come_on_the_back_of_a_print_first_page(pages: int, before: int) -> None:
    """An odd number of pages before the sheets is made even by a blank one."""
    result = imposed(LETTER, 8, front(LETTER, pages) if pages else b"")
    page_texts = texts(result.pdf)
    assert len(page_texts) == len(result.placements) == before + 2
    assert result.placements[:before] == [[]] * before
    assert page_texts[:pages] == [f"Print this first, {page}" for page in range(pages)]
    assert page_texts[pages:before] == [""] * (before - pages)
    assert words(0) in page_texts[before]


def test_faces_are_copied_once_and_stay_vectors() -> None:
    """One form for each face under a name of our own, one font file for all, no picture."""
    with pikepdf.open(io.BytesIO(imposed(A4, 10).pdf)) as document:
        names = [sorted(page.resources.XObject.keys()) for page in document.pages]
        streams = [item for item in document.objects if isinstance(item, pikepdf.Stream)]
        fonts = [item for item in streams if "/Length1" in item]
        pictures = [item for item in streams if item.get("/Subtype") == pikepdf.Name.Image]
    assert names == [
        ["/Face1", "/Face5", "/Face9"],
        ["/Face10", "/Face2", "/Face6"],
        ["/Face3", "/Face7"],
        ["/Face4", "/Face8"],
    ]
    assert len(fonts) == 1
    assert pictures == []


@pytest.mark.parametrize(
    ("flip", "wish"), [("long", "/DuplexFlipLongEdge"), ("short", "/DuplexFlipShortEdge")]
)
def test_the_print_dialogue_is_asked_for_full_size_and_the_edge_to_flip_on(flip: str, wish: str) -> None:
    """Title, language and date stand in the file; the date is the one given."""
    with pikepdf.open(io.BytesIO(coloured(plan("a6", "a4", flip), 2).pdf)) as document:
        wishes = {key: str(value) for key, value in document.Root.ViewerPreferences.items()}
        assert str(document.docinfo.Title) == "Pocket cards"
        assert str(document.docinfo.CreationDate) == str(document.docinfo.ModDate) == "D:20260512000000Z"
        assert str(document.Root.Lang) == "en"
    assert wishes["/PrintScaling"] == "/None"
    assert wishes["/Duplex"] == wish


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
from packgen.render.impose import impose
from packgen.render.impose_layout import layout
folder = pathlib.Path(FOLDER)
before, faces = ((folder / name).read_bytes() for name in ("front.pdf", "faces.pdf"))
plan = layout((210.0, 297.0), (105.0, 148.0))
made = impose(before, faces, plan, title="Pocket cards", date=datetime.date(2026, 5, 12))
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
