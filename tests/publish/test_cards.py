"""Every face of both demo jobs, read from the PDFs: what stands on it, how large, in what colour.

The rules are those of print for wet hands: type of at least 8 pt and body of at least 10 pt, lines of at
most 60 characters on cards, 5 mm from trim to text, black on white with one yellow in the drawn sign, a
bar of 100 mm.
"""

from __future__ import annotations

import ctypes
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from packgen.errors import ContentError, UsageError
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.publish.cards import content_date, make_cards, refuse_refused
from packgen.publish.options import Options
from packgen.publish.selection import chosen
from packgen.publish.write import LIST

ROOT = Path(__file__).parents[2]
MM = 72 / 25.4
DEMO = "DEMONSTRATION DATA – NOT FOR FIELD USE"
BLACK, WHITE, YELLOW = (0, 0, 0), (255, 255, 255), (255, 225, 0)
FACES = {"crew-pack.pdf": (11.0, "page"), "pocket-cards-screen.pdf": (10.0, "face")}
JOBS = {
    "first-lateral": ("HL-0427", "2 in on 6 in", 14, ("DRAFT",)),
    "repair-tie-in": ("HL-0431", "4 in on 8 in", 15, ()),
}

SADDLE = "demo-saddle-screw"


@dataclass(frozen=True)
class Sign:
    """One printed character: its size in pt, its box in mm from the left bottom corner, its baseline."""

    text: str
    size: float
    left: float
    bottom: float
    right: float
    top: float
    baseline: float


def signs(page: Any) -> Iterator[Sign]:
    """Every character of a page that leaves ink."""
    text = page.get_textpage()
    matrix, x, y = pdfium.FS_MATRIX(), ctypes.c_double(), ctypes.c_double()
    for index in range(text.count_chars()):
        sign = chr(pdfium.FPDFText_GetUnicode(text, index))
        if sign.isspace() or pdfium.FPDFText_IsGenerated(text, index) == 1:
            continue
        pdfium.FPDFText_GetMatrix(text, index, matrix)
        pdfium.FPDFText_GetCharOrigin(text, index, x, y)
        box = [edge / MM for edge in text.get_charbox(index)]
        size = pdfium.FPDFText_GetFontSize(text, index) * abs(matrix.d)
        yield Sign(sign, round(size, 2), *box, baseline=round(y.value, 1))


def objects(page: Any) -> Iterator[Any]:
    """Every object drawn on a page, those inside forms too."""

    def walk(count: int, item: Callable[[int], Any]) -> Iterator[Any]:
        for index in range(count):
            drawn = item(index)
            if pdfium.FPDFPageObj_GetType(drawn) == pdfium.FPDF_PAGEOBJ_FORM:
                inner = partial(pdfium.FPDFFormObj_GetObject, drawn)
                yield from walk(pdfium.FPDFFormObj_CountObjects(drawn), inner)
            else:
                yield drawn

    yield from walk(pdfium.FPDFPage_CountObjects(page), partial(pdfium.FPDFPage_GetObject, page))


def colours(drawn: Any) -> Iterator[tuple[str, tuple[int, ...]]]:
    """The colours an object leaves on paper: of its fill and of its stroke."""
    fill, stroke = ctypes.c_int(1), ctypes.c_int(0)
    kind = "text"
    if pdfium.FPDFPageObj_GetType(drawn) == pdfium.FPDF_PAGEOBJ_PATH:
        kind = "path"
        pdfium.FPDFPath_GetDrawMode(drawn, fill, stroke)
    for used, read in ((fill, pdfium.FPDFPageObj_GetFillColor), (stroke, pdfium.FPDFPageObj_GetStrokeColor)):
        values = [ctypes.c_uint() for _ in range(4)]
        if used.value and read(drawn, *values):
            yield kind, tuple(value.value for value in values[:3])


@pytest.fixture(params=[(job, file) for job in JOBS for file in FACES], ids=" ".join)
def printed(request: pytest.FixtureRequest, issued: Any) -> Iterator[tuple[str, str, Any]]:
    """A PDF of faces of a demo job: the job's name, the file's, the document."""
    job, file = request.param
    document = pypdfium2.PdfDocument(issued[job].path(file))
    yield job, file, document
    document.close()


def test_every_face_says_what_and_whose_it_is(printed: tuple[str, str, Any], issued: Any) -> None:
    """Title, size tag, job, revision, code, 'n of m' and the demo mark, on each face."""
    job, file, document = printed
    id_, size, _, marks = JOBS[job]
    code, total = issued[job].data["code"], len(document)
    for number, page in enumerate(issued[job].pages(file), 1):
        text = re.sub(r"\s+", " ", page)
        for wanted in (size, "IPS DR 11 PE4710", f"{id_} revision 1 · {code}", DEMO, *marks):
            assert wanted in text, (number, wanted)
        assert f"{FACES[file][1]} {number} of {total}" in text
        assert ("DRAFT" in text.split(DEMO)[1]) == bool(marks), number


def test_every_face_opens_with_its_title_in_the_largest_type(printed: tuple[str, str, Any]) -> None:
    """14 pt on cards, 18 pt in packs, at the top left; nothing on the face is larger."""
    _, file, document = printed
    largest = {"crew-pack.pdf": 18.0, "pocket-cards-screen.pdf": 14.0}[file]
    for page in document:
        found = list(signs(page))
        title = [sign for sign in found if sign.size == largest and sign.top > page.get_height() / MM - 30]
        assert title, "no title"
        assert min(sign.left for sign in title) == pytest.approx(min(sign.left for sign in found), abs=0.8)
        assert max(sign.size for sign in found) == largest


def test_type_is_large_enough_and_clear_of_the_trim(printed: tuple[str, str, Any]) -> None:
    """No sign under 8 pt, none nearer than 5 mm to the trim."""
    _, _, document = printed
    for number, page in enumerate(document, 1):
        width, height = page.get_width() / MM, page.get_height() / MM
        found = list(signs(page))
        assert len(found) > 100
        for sign in found:
            assert sign.size >= 8.0 - 0.01, (number, sign)
            assert sign.left >= 5.0 and sign.right <= width - 5.0, (number, sign)
            assert sign.bottom >= 5.0 and sign.top <= height - 5.0, (number, sign)


@pytest.mark.parametrize("job", JOBS)
def test_lines_on_cards_are_short(job: str, issued: Any) -> None:
    """A line of body type, in steps and safety messages, holds at most 60 characters, spaces counted."""
    file, longest = "pocket-cards-screen.pdf", 0
    document = pypdfium2.PdfDocument(issued[job].path(file))
    for page in document:
        text = page.get_textpage()
        lines: dict[float, list[Sign]] = {}
        for sign in signs(page):
            if sign.size == FACES[file][0]:
                lines.setdefault(sign.baseline, []).append(sign)
        for line in lines.values():
            left, right = min(sign.left for sign in line), max(sign.right for sign in line)
            bottom, top = min(sign.bottom for sign in line), max(sign.top for sign in line)
            words = text.get_text_bounded(*(edge * MM for edge in (left, bottom, right, top)))
            longest = max(longest, *(len(part.strip()) for part in words.splitlines() or [""]))
    document.close()
    assert 45 <= longest <= 60


def test_every_step_stands_in_body_type(printed: tuple[str, str, Any]) -> None:
    """10 pt on cards, 11 pt in packs: as many numbers in the step column as the last of them says."""
    _, file, document = printed
    numbers = [number for page in document for number in step_numbers(page, FACES[file][0])]
    assert len(numbers) > 100
    assert len(numbers) == len(set(numbers))
    if file == "crew-pack.pdf":
        assert numbers == list(range(1, len(numbers) + 1))


def step_numbers(page: Any, body: float) -> list[int]:
    """The numbers in the step column of a face, from the top: digits at the left edge, nothing close behind.

    In body type, at a hold point in the 12 pt of white words.
    """
    edge = {10.0: 6.0, 11.0: 20.0}[body]
    lines: dict[float, list[Sign]] = {}
    for sign in signs(page):
        if sign.size in {body, 12.0}:
            lines.setdefault(sign.baseline, []).append(sign)
    found = {}
    for baseline, line in lines.items():
        near = sorted((sign for sign in line if sign.left < edge + 7.5), key=lambda each: each.left)
        text = "".join(sign.text for sign in near)
        if text.isdigit() and near[0].left < edge + 3.0:
            found[baseline] = int(text)
    return [found[line] for line in sorted(found, reverse=True)]


@pytest.mark.parametrize("job", JOBS)
def test_a_card_face_holds_nine_steps_at_most(job: str, issued: Any) -> None:
    document = pypdfium2.PdfDocument(issued[job].path("pocket-cards-screen.pdf"))
    counts = [len(step_numbers(page, 10.0)) for page in document]
    document.close()
    assert 5 <= max(counts) <= 9


def test_print_is_black_on_white_and_yellow_only_in_the_drawn_sign(issued: Any) -> None:
    """All three PDFs: text black, or white on black; a yellow triangle for each message that has one."""
    for job, (_, _, triangles, _) in JOBS.items():
        for file in ("pocket-cards-screen.pdf", "pocket-cards.pdf", "crew-pack.pdf"):
            document = pypdfium2.PdfDocument(issued[job].path(file))
            found = [pair for page in document for drawn in objects(page) for pair in colours(drawn)]
            document.close()
            assert {colour for kind, colour in found if kind == "text"} == {BLACK, WHITE}
            assert {colour for kind, colour in found if kind == "path"} == {BLACK, WHITE, YELLOW}
            text = issued[job].folded(file)
            signals = sum(text.count(word) for word in ("DANGER ", "WARNING ", "CAUTION "))
            assert sum(colour == YELLOW for _, colour in found) == signals >= triangles


def strokes(page: Any) -> Iterator[tuple[float, float]]:
    """Every straight stroke of a page: its reach across and up in mm, between its two points."""
    matrix, x, y = pdfium.FS_MATRIX(), ctypes.c_float(), ctypes.c_float()
    for drawn in objects(page):
        if (
            pdfium.FPDFPageObj_GetType(drawn) != pdfium.FPDF_PAGEOBJ_PATH
            or pdfium.FPDFPath_CountSegments(drawn) != 2
        ):
            continue
        pdfium.FPDFPageObj_GetMatrix(drawn, matrix)
        ends = []
        for index in range(2):
            pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(drawn, index), x, y)
            ends.append((matrix.a * x.value + matrix.c * y.value, matrix.b * x.value + matrix.d * y.value))
        (x1, y1), (x2, y2) = ends
        yield abs(x2 - x1) / MM, abs(y2 - y1) / MM


@pytest.mark.parametrize("job", JOBS)
def test_the_print_first_page_carries_a_bar_of_100_mm(job: str, issued: Any) -> None:
    """Measured on the path in the PDF: 100 ± 0.2 mm, level, with its words."""
    document = pypdfium2.PdfDocument(issued[job].path("pocket-cards.pdf"))
    bars = [across for across, up in strokes(document[0]) if up < 0.01 and across > 50.0]
    document.close()
    assert bars == [pytest.approx(100.0, abs=0.2)]
    text = issued[job].pages("pocket-cards.pdf")[0]
    assert "100 mm at full size" in text and "Print at full size" in text


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The starter's catalogue."""
    return load(here=ROOT)


def test_cards_without_a_job_are_made_for_the_sizes_chosen(catalog: Catalog, tmp_path: Path) -> None:
    """A set for each combination under one code, with the newest date of the content; no draft mark."""
    found = chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS", "3 in IPS"], [SADDLE])
    made = make_cards(catalog, found, Options("us", "a4", None, tmp_path))
    assert (made.sets, made.folder) == (2, tmp_path / "cards")
    held = {path.relative_to(made.folder).as_posix() for path in made.folder.rglob("*") if path.is_file()}
    assert held == {*made.files, LIST}
    texts = []
    for lateral in ("2-in", "3-in"):
        name = f"{lateral}-ips-on-6-in-ips-dr-11-demo-saddle-screw.pdf"
        document = pypdfium2.PdfDocument(made.folder / "pocket-cards-screen" / name)
        texts += [re.sub(r"\s+", " ", page.get_textpage().get_text_bounded()) for page in document]
        document.close()
    assert all(f"water · dry main · open drill · {made.code}" in text and DEMO in text for text in texts)
    assert "Nobody has approved this set for one." in " ".join(texts)
    assert not any("DRAFT" in text for text in texts)
    half = len(texts) // 2
    assert all("2 in on 6 in" in text for text in texts[:half])
    assert all("3 in on 6 in" in text for text in texts[half:])
    assert f'"date": "{content_date(catalog)}"' in (made.folder / "values.json").read_text("utf-8")


def test_no_card_is_made_for_a_refused_combination(catalog: Catalog, tmp_path: Path) -> None:
    """Each refusal with its cure; nothing is written."""
    found = chosen(catalog, ["6 in IPS DR 21"], ["2 in IPS"], [SADDLE])
    with pytest.raises(ContentError, match=r"2 in IPS on 6 in IPS DR 21 .*DR 21"):
        make_cards(catalog, found, Options(output=tmp_path))
    assert list(tmp_path.iterdir()) == []
    refuse_refused(chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS"], []))


def test_a_choice_that_fits_nothing_is_wrong_use(catalog: Catalog) -> None:
    with pytest.raises(UsageError, match="no family lists a lateral for this choice"):
        chosen(catalog, ["2 in IPS DR 11"], [], [SADDLE])


def test_a_choice_of_hundreds_of_sets_is_wrong_use(catalog: Catalog, tmp_path: Path) -> None:
    """The cure says how to narrow it; nothing is written."""
    found = [each for each in chosen(catalog, [], [], []) if not each.reasons]
    with pytest.raises(UsageError, match=rf"holds {len(found)} card sets.*name the mains wanted with --main"):
        make_cards(catalog, found, Options("us", "a4", None, tmp_path))
    assert list(tmp_path.iterdir()) == []


def test_a_main_named_twice_is_printed_once(catalog: Catalog) -> None:
    twice = chosen(catalog, ["6 in IPS DR 11", "6 in IPS DR 11"], ["2 in IPS"], [SADDLE])
    assert len(twice) == 1
