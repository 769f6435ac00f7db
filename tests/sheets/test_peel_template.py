"""The peel template: true lengths in the PDF, never a zone too small, parts that join, one for every pair.

In: the joints of the demo jobs, pairs of the starter's families, and the PDF printed from them.
Out: a failure that names the length, the part or the words that are wrong.
"""

from __future__ import annotations

import ctypes
import math
import re
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from packgen.calc.request import Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import Designation
from packgen.model.job import Job
from packgen.render.html import Stamp
from packgen.render.pdf import print_faces
from packgen.sheets import tiles
from packgen.sheets.blocks import Drawing as DrawingBlock
from packgen.sheets.blocks import Sheet
from packgen.sheets.drawing import Drawing
from packgen.sheets.figure_base import Figure
from packgen.sheets.media import Paper, pack_medium
from packgen.sheets.peel_template import template_sheets
from packgen.sheets.plan import lay_out
from packgen.sheets.view import View
from packgen.sheets.words import Words

SVG = "{http://www.w3.org/2000/svg}"
MM = 25.4 / 72.0  # one point
PAPERS = pytest.mark.parametrize("paper", ["letter", "a4"])
ViewOf = Callable[[str, int], View]


@pytest.fixture
def view_of(job_of: Callable[[str], Job], views_of: Callable[..., list[View]]) -> ViewOf:
    """A joint of a demo job by its place."""
    return lambda job, place: views_of(job_of(job))[place]


@pytest.fixture(scope="module", autouse=True)
def no_clash() -> Iterator[None]:
    """No drawing of this file may have a text on a line or on a text."""
    write = Drawing.svg

    def checked(drawing: Drawing, width: float, height: float) -> str:
        assert drawing.clashes() == ()
        return write(drawing, width, height)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Drawing, "svg", checked)
        yield


@pytest.fixture(scope="module")
def made(pair_views: list[View]) -> list[tuple[View, Paper, tuple[Sheet, ...]]]:
    """The templates of all pairs on both papers."""
    papers: tuple[Paper, ...] = ("letter", "a4")
    return [(view, each, template_sheets(view, pack_medium(each))) for view in pair_views for each in papers]


@pytest.fixture(scope="module")
def pair_views(catalog: Catalog, words: Words) -> list[View]:
    """A view of each pair of each family, at the ratio of its first lateral."""
    found = []
    for family in catalog.families.values():
        for pair in family.pairs:
            (main, system), (lateral, other) = family.ends(pair)
            ratio = family.lateral.dr[0]
            pipes = [
                catalog.pipe(Designation(size, of, ratio, catalog.first_material(end.materials, of), None))
                for size, of, end in ((main, system, family.main), (lateral, other, family.lateral))
            ]
            found.append(View(catalog, words, work_out(Request(catalog, *pipes, family)), "both"))
    return found


def sheet_of(view: View, paper: Paper = "letter") -> Sheet:
    """The template of a joint, which must have one."""
    (sheet,) = template_sheets(view, pack_medium(paper))
    return sheet


def parts_of(sheet: Sheet) -> list[Figure]:
    """Its parts."""
    return [block.figure for block in sheet.blocks if isinstance(block, DrawingBlock)]


def outlines(pdf: Path) -> Iterator[tuple[int, float, float, float]]:
    """Each path of a PDF: its page, width, height and line width in mm, as the page has them."""
    with pypdfium2.PdfDocument(pdf) as document:
        for number, page in enumerate(document):
            for found in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
                line = ctypes.c_float()
                pdfium.FPDFPageObj_GetStrokeWidth(found, line)
                left, low, right, top = found.get_bounds()
                # PDFium adds the line's width on every side, in the unit of the drawing.
                wide, tall = ((right - left) * MM - 2 * line.value, (top - low) * MM - 2 * line.value)
                yield number, wide, tall, round(line.value, 2)


def printed(view: View, words: Words, folder: Path, paper: Paper) -> Path:
    """The template as the pack prints it."""
    medium = pack_medium(paper)
    faces = lay_out([sheet_of(view, paper)], medium)
    stamp = Stamp("HL-0427 revision 1", ())
    data = print_faces(faces, medium, stamp, words, title="t", date="2026-05-12", file="template.pdf")
    (folder / "template.pdf").write_bytes(data)
    return folder / "template.pdf"


@PAPERS
def test_the_printed_zone_is_true_to_the_tenth_of_a_millimetre(
    view_of: ViewOf, words: Words, tmp_path: Path, paper: Paper
) -> None:
    """2 on 6: 186 by 155 mm inside the thick line, base 160 by 129.0 mm, bore 48.3 mm along, bar 100 mm.

    By hand: base 160 mm, two margins of 1/2 in: 185.4 mm; 2 × 84 mm × 44° is 129.0 mm, with the margins
    154.4 mm; both up to the whole millimetre, the line's own 0.7 mm on top.
    """
    found = list(outlines(printed(view_of("first-lateral", 0), words, tmp_path, paper)))
    (thick,) = [each for each in found if each[3] == 0.7]
    assert sorted(thick[1:3]) == pytest.approx([155.7, 186.7], abs=0.1)
    middle = [sorted(each[1:3]) for each in found if each[3] == 0.35 and each[0] == thick[0]]
    assert any(each == pytest.approx([129.0, 160.0], abs=0.1) for each in middle)
    # Laid flat the bore is longer round the main: 2 × 84.14 mm × asin(24.13 / 84.14) is 48.94 mm.
    assert any(each == pytest.approx([48.26, 48.94], abs=0.1) for each in middle)
    bars = [wide for _, wide, tall, line in found if line == 0.35 and abs(tall) < 0.01 and wide > 99]
    assert bars == pytest.approx([100.0], abs=0.2)


def test_the_parts_printed_add_up_to_the_zone(view_of: ViewOf, words: Words, tmp_path: Path) -> None:
    """4 on 8 on four pages: what the outlines show, less what neighbours share, is 296 by 255 mm.

    By hand: 270 + 25.4 mm along; 2 × 109.4 mm × 60° + 25.4 mm is 254.5 mm round; the line's 0.7 mm on top.
    """
    found = list(outlines(printed(view_of("repair-tie-in", 0), words, tmp_path, "letter")))
    sides: dict[int, list[float]] = {}  # of each page, how wide and how tall its piece of the outline is
    for page, wide, tall, line in found:
        if line == 0.7:
            old = sides.get(page, [0.0, 0.0])
            sides[page] = [max(old[0], wide), max(old[1], tall)]
    assert len(sides) == 4
    total = [sum(each) / 2 - tiles.OVERLAP for each in zip(*sides.values(), strict=True)]
    assert total == pytest.approx([296.7, 255.7], abs=0.2)
    level = [(page, wide) for page, wide, tall, line in found if line == 0.35 and abs(tall) < 0.01]
    bars = Counter(page for page, wide in level if 99.8 < wide < 100.2)
    assert sorted(bars) == sorted(sides) and set(bars.values()) == {1}


def lines_of(figure: Figure, width: str) -> list[list[tuple[float, float]]]:
    """The runs of one line width, read back from the SVG."""
    runs = []
    for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path"):
        if path.get("stroke-width") == width:
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
            runs.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    return runs


def test_the_zone_drawn_is_never_less_than_the_zone_to_peel(
    made: list[tuple[View, Paper, tuple[Sheet, ...]]]
) -> None:
    """Inside the thick line every saddle that has a whole template has its zone, and at most 1 mm more."""
    whole = 0
    for view, _, sheets in made:
        parts = [part for sheet in sheets for part in parts_of(sheet)]
        if len(parts) != 1 or view.request.is_coupling:
            continue
        whole += 1
        (outline,) = lines_of(parts[0], "0.7")
        inside = sorted(max(each) - min(each) - 0.7 for each in zip(*outline, strict=True))
        wanted = sorted(view.numbers()[name] for name in ("peel.zone_length", "peel.zone_arc"))
        more = [size - want for size, want in zip(inside, wanted, strict=True)]
        assert min(more) >= -0.011 and max(more) < 1.02, (view.tag, more)
    assert whole > 20


def test_every_pair_has_a_template_that_fits_its_pages(
    made: list[tuple[View, Paper, tuple[Sheet, ...]]], words: Words
) -> None:
    """Wherever the zone is known: a face for each part and one more at most, a tab and a bar on each part."""
    count = 0
    for view, paper, sheets in made:
        known = {"peel.zone_length", "peel.zone_arc"} <= view.numbers().keys() or view.request.is_coupling
        assert bool(sheets) == known, view.tag
        faces = lay_out(sheets, pack_medium(paper))
        parts = [part for sheet in sheets for part in parts_of(sheet)]
        assert len(faces) <= len(parts) + 1
        assert all(face.fill <= 1.0 for face in faces)
        count += len(parts)
        for part in parts:
            assert part.bar and part.scale == "1 : 1"
            assert view.tag.large in part.strings and words("template.bar_words") in part.strings
            assert words("template.check") in part.strings
    assert count > 100


@PAPERS
def test_neighbours_share_the_crosses_of_their_join(view_of: ViewOf, paper: Paper) -> None:
    """Each letter stands on two parts, and two letters of one join stand as far apart on both."""
    parts = parts_of(sheet_of(view_of("repair-tie-in", 0), paper))
    assert len(parts) == 4
    spots: dict[str, list[tuple[int, float, float]]] = {}
    for number, part in enumerate(parts):
        for text in ElementTree.fromstring(part.svg).iter(f"{SVG}text"):
            if re.fullmatch(r"[A-Z]", text.text or ""):
                at = (number, float(text.get("x") or "nan"), float(text.get("y") or "nan"))
                spots.setdefault(text.text or "", []).append(at)
    assert set(spots) == set("ABCDEFGH")
    assert all(len(found) == 2 for found in spots.values())
    for first, second in ("AB", "CD", "EF", "GH"):
        assert [each[0] for each in spots[first]] == [each[0] for each in spots[second]]
        steps = {
            (round(b[1] - a[1], 1), round(b[2] - a[2], 1))
            for a, b in zip(spots[first], spots[second], strict=True)
        }
        assert len(steps) == 1, (first, second)


@pytest.mark.parametrize(
    ("length", "room"), [(100.0, 170.0), (188.0, 173.0), (296.7, 173.9), (340.0, 180.0), (700.0, 190.0)]
)
def test_windows_cover_the_drawing_and_keep_joins_off_its_middle(length: float, room: float) -> None:
    """No window is larger than the room, neighbours share the overlap, no join lies on the middle."""
    box = (-length / 2, -40.0, length / 2, 40.0)
    found = tiles.windows(box, room, 90.0)
    assert found[0][0] == box[0] and found[-1][2] == pytest.approx(box[2])
    assert all(right - left <= room + 1e-9 for left, _, right, _ in found)
    for before, after in pairwise(found):
        assert before[2] - after[0] == pytest.approx(tiles.OVERLAP)
        assert abs(before[2] + after[0]) / 2 >= 10.0


def test_a_strip_for_a_coupling_is_as_long_as_the_largest_pipe_is_round(view_of: ViewOf) -> None:
    """1 in CTS, 1.125 in and 0.005 in more: 90.17 mm round by hand; the peel 48 mm wide; the line on top."""
    view = view_of("service-tap", 1)
    (part,) = parts_of(sheet_of(view))
    (outline,) = lines_of(part, "0.7")
    sizes = sorted(max(each) - min(each) for each in zip(*outline, strict=True))
    assert sizes == pytest.approx([48.7, math.pi * 1.13 * 25.4 + 0.7], abs=0.011)


def test_no_template_where_the_zone_is_not_known(view_of: ViewOf) -> None:
    """The strap saddle's label states no base: no zone, no template."""
    assert template_sheets(view_of("valve-isolation", 1), pack_medium("letter")) == ()


def test_the_sheet_says_how_it_is_printed_checked_laid_and_measured(view_of: ViewOf, words: Words) -> None:
    """Girth and zone with their printed texts; the join only with parts, the hole only with a bore."""
    whole, tiled, cutter, strip = (
        sheet_of(view_of(job, place))
        for job, place in (("first-lateral", 0), ("repair-tie-in", 0), ("service-tap", 0), ("service-tap", 1))
    )

    def said(sheet: Sheet) -> str:
        return " ".join(text for block in sheet.blocks for text in block.strings())

    assert "20.72 in [526.3 mm] to 20.90 in [531.0 mm]" in said(whole)
    assert "7.30 in [186 mm] or more along the main, 6.08 in [155 mm] or more round it" in said(whole)
    assert words("template.never") in said(whole)
    assert words("template.join") in said(tiled) and words("template.join") not in said(whole)
    assert words("template.hole") in said(whole) and words("template.hole") not in said(cutter)
    assert words("template.lay_strip") in said(strip) and words("template.lay_zone") not in said(strip)
    assert "48 mm [1.89 in] or more from the pipe's end" in said(strip)


def test_the_top_of_the_main_is_named_where_it_lies(view_of: ViewOf, words: Words) -> None:
    """On the outlet's own line at 12 o'clock; towards one edge at 3 o'clock; nowhere without a job."""
    upright = parts_of(sheet_of(view_of("first-lateral", 0)))
    assert words("template.top") in upright[0].strings
    level = [text for part in parts_of(sheet_of(view_of("repair-tie-in", 0))) for text in part.strings]
    assert words("template.towards_top") in level and words("template.along") in level
    assert words("template.top") not in level


def test_the_alternative_text_says_what_is_drawn(view_of: ViewOf) -> None:
    """Its name, what it is, and each text on it."""
    (part,) = parts_of(sheet_of(view_of("first-lateral", 0)))
    assert part.alt.startswith(part.title)
    assert all(text in part.alt for text in part.strings)
    assert part.id.isascii()
