"""Crop, fold and punch marks: on the lines, clear of the faces, on the part of a sheet that is printed."""

from __future__ import annotations

import io
import re

import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from packgen.errors import PackgenError
from packgen.render.impose_layout import BLEED, MARK_ROOM, NOT_CUT, UNPRINTED, Layout
from packgen.render.impose_marks import Segment, hole_centre, segments
from packgen.sheets.media import FORMS, HOLE_AIR, HOLE_RADIUS, SHEETS
from tests.render.marked_faces import PIXELS, imposed, plan, rastered

MM = 25.4 / 72  # mm in a point


def every_layout() -> list[tuple[str, Layout]]:
    """Each form on each sheet that takes it, cut and folded."""
    found = []
    for form in FORMS:
        for paper in SHEETS:
            for finish in ("cut", "fold"):
                try:
                    found.append((f"{form} on {paper}, {finish}", plan(form, paper, "long", finish)))
                except PackgenError:
                    continue
    return found


LAYOUTS = every_layout()
each_layout = pytest.mark.parametrize("made", [pytest.param(made, id=name) for name, made in LAYOUTS])


def rectangles(made: Layout) -> list[Segment]:
    return [(left, top, left + made.face_width, top + made.face_height) for left, top in made.slots]


def apart(mark: Segment, face: Segment) -> float:
    """The least distance of a mark from a face, mm; below zero where it runs inside it."""
    x0, x1 = sorted((mark[0], mark[2]))
    y0, y1 = sorted((mark[1], mark[3]))
    return max(face[0] - x1, x0 - face[2], face[1] - y1, y0 - face[3])


def test_most_forms_and_sheets_are_tried() -> None:
    assert len(LAYOUTS) > 45


@each_layout
def test_no_mark_runs_over_a_face(made: Layout) -> None:
    """At the most it lies on the line that parts two faces."""
    for mark, _ in segments(made):
        assert min(apart(mark, face) for face in rectangles(made)) > -1e-6


@each_layout
def test_a_mark_stands_outside_the_bleed_and_the_unprinted_edge_where_there_is_room(made: Layout) -> None:
    for mark, _ in segments(made):
        is_upright = mark[0] == mark[2]
        margin = made.tops[0] if is_upright else made.lefts[0]
        start, end = (mark[1], mark[3]) if is_upright else (mark[0], mark[2])
        length = made.height if is_upright else made.width
        if margin >= MARK_ROOM and (end < margin or start > length - margin):
            assert min(apart(mark, face) for face in rectangles(made)) >= BLEED - 1e-6
            assert min(start, length - end) >= UNPRINTED - 1e-6
        assert start >= 1.0 - 1e-6
        assert end <= length - 1.0 + 1e-6


@each_layout
def test_every_edge_that_is_cut_has_a_mark_at_both_ends(made: Layout) -> None:
    """An edge within 1 mm of the sheet's own is left as it is, and has none."""
    marks = list(segments(made))
    for left, top, right, bottom in rectangles(made):
        for x in (left, right):
            found = sorted(mark[1] for mark, _ in marks if mark[0] == mark[2] == pytest.approx(x))
            assert bool(found) == (NOT_CUT < x < made.width - NOT_CUT)
            if found:
                assert found[0] < max(made.tops[0], 5.0)
                assert found[-1] > made.height - max(made.tops[0], 5.0) - 5.0
        for y in (top, bottom):
            found = sorted(mark[0] for mark, _ in marks if mark[1] == mark[3] == pytest.approx(y))
            assert bool(found) == (NOT_CUT < y < made.height - NOT_CUT)
            if found:
                assert found[0] < max(made.lefts[0], 5.0)
                assert found[-1] > made.width - max(made.lefts[0], 5.0) - 5.0


@each_layout
def test_only_spines_are_folded(made: Layout) -> None:
    """A dashed mark lies between the two faces of a leaflet; every other line is cut."""
    spines = {round(left, 3) for left in made.lefts[1::2]} if made.finish == "fold" else set()
    marks = list(segments(made))
    assert {round(mark[0], 3) for mark, is_fold in marks if is_fold} == spines
    for mark, is_fold in marks:
        if mark[0] == mark[2] and round(mark[0], 3) in spines:
            assert is_fold


@each_layout
def test_marks_of_front_and_back_lie_on_each_other(made: Layout) -> None:
    """The same marks turned about either edge are the same marks."""

    def rounded(marks: list[Segment]) -> set[tuple[float, ...]]:
        return {
            tuple(
                round(number, 3)
                for number in (*sorted((mark[0], mark[2])), *sorted((mark[1], mark[3])))
            )
            for mark in marks
        }

    marks = [mark for mark, _ in segments(made)]
    across = [(made.width - a, b, made.width - c, d) for a, b, c, d in marks]
    down = [(a, made.height - b, c, made.height - d) for a, b, c, d in marks]
    assert rounded(marks) == rounded(across) == rounded(down)


@each_layout
def test_marks_keep_clear_of_the_ring(made: Layout) -> None:
    """Nothing but the punch mark within 4 mm of a hole's edge, in either corner."""
    for left, top in made.slots:
        for is_back in (False, True):
            x, y = hole_centre(
                left, top, made.face_width, made.face_height, is_back=is_back, is_turned=False
            )
            for x0, y0, x1, y1 in (mark for mark, _ in segments(made)):
                nearest_x = min(max(x, min(x0, x1)), max(x0, x1))
                nearest_y = min(max(y, min(y0, y1)), max(y0, y1))
                away = ((nearest_x - x) ** 2 + (nearest_y - y) ** 2) ** 0.5
                assert away >= HOLE_RADIUS + HOLE_AIR


def marks_on(page: pypdfium2.PdfPage) -> list[tuple[float, float, float, float]]:
    """Each path drawn on the sheet itself, outside the faces: left, top, right, bottom in mm."""
    height = page.get_height()
    bounds = [item.get_bounds() for item in page.get_objects([pdfium.FPDF_PAGEOBJ_PATH], max_depth=1)]
    return [
        (left * MM, (height - top) * MM, right * MM, (height - low) * MM) for left, low, right, top in bounds
    ]


@pytest.mark.parametrize(("form", "paper"), [("a6", "a4"), ("quarter-letter", "letter")])
def test_four_faces_that_fill_a_sheet_are_parted_by_two_cuts(form: str, paper: str) -> None:
    """No margin: a tick near each edge and a cross in the middle, on both sides, of at least 0.25 pt."""
    made = plan(form, paper)
    across, down, right, bottom = made.width / 2, made.height / 2, made.width, made.height
    expected = [
        (across, 1, across, 5),
        (across, bottom - 5, across, bottom - 1),
        (1, down, 5, down),
        (right - 5, down, right - 1, down),
        (across - 2, down, across + 2, down),
        (across, down - 2, across, down + 2),
    ]
    pdf = imposed(made, 8).pdf
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            # Half a line's width, and the square end that a bounding box allows for.
            assert sorted(marks_on(page)) == [pytest.approx(mark, abs=0.3) for mark in sorted(expected)]
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            widths = [float(width) for width in re.findall(rb"([\d.]+) w\b", page.Contents.read_bytes())]
            assert widths
            assert min(widths) >= 0.25


def test_fold_marks_are_dashed_and_crop_marks_are_not() -> None:
    with pikepdf.open(io.BytesIO(imposed(plan("3x5", "a4", finish="fold"), 8).pdf)) as document:
        content = document.pages[0].Contents.read_bytes().decode()
    plain, _, dashed = content.partition(" d\n")
    assert "[2.8346 1.4173] 0" in plain
    assert plain.count(" l S") > 0
    places = {line.split()[0] for line in dashed.splitlines() if line.endswith("l S")}
    assert places == {f"{105 * 72 / 25.4:.4f}"}  # the middle of 210 mm


@pytest.mark.parametrize("flip", ["long", "short"])
@pytest.mark.parametrize(("form", "paper", "finish"), [("a6", "a4", "cut"), ("a6", "letter", "fold")])
def test_the_punch_mark_of_a_back_lies_behind_its_front_s(
    form: str, paper: str, finish: str, flip: str
) -> None:
    """Seen in pixels: a circle of 6 mm with a cross at its centre, at the same spot through the paper."""
    made = plan(form, paper, flip, finish)
    front, back = rastered(imposed(made, made.faces_a_piece * made.places, ring_hole=True).pdf)
    for index, (left, top) in enumerate(made.slots):
        # On a leaflet the hole is at the spine: the right edge of a left half.
        from_right = finish == "fold" and index % 2 == 0
        x = left + (made.face_width - 8.0 if from_right else 8.0)
        upright = (made.width < made.height) == (flip == "long")
        behind = (made.width - x, top + 8.0) if upright else (x, made.height - top - 8.0)
        for picture, (at_x, at_y) in ((front, (x, top + 8.0)), (back, behind)):
            for aside, up in ((0.0, 0.0), (3.0, 0.0), (-3.0, 0.0), (0.0, 3.0), (0.0, -3.0)):
                row, column = round((at_y + up) * PIXELS - 0.5), round((at_x + aside) * PIXELS - 0.5)
                assert picture[row - 1 : row + 2, column - 1 : column + 2].min() < 170
            between = picture[round((at_y + 1.4) * PIXELS), round((at_x + 1.4) * PIXELS)]
            assert between.min() > 240
