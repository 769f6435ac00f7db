"""Registration: sound sheets pass, and every rule finds the fault that is seeded for it."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pikepdf
import pytest

from packgen.errors import PackgenError
from packgen.render.impose_layout import Layout
from packgen.render.registration import registration_problems
from packgen.render.registration_read import Expected
from packgen.sheets.media import FORMS, SHEETS
from tests.render.marked_faces import POINTS, faces, imposed, plan

CARDS = plan("a6", "a4")  # four to a sheet, flipped on the long edge
COUNT = 15  # eight cards on two sheets, the last with a blank back
Edit = Callable[[pikepdf.Pdf], None]


def expected(made: Layout, count: int, *, ring_hole: bool = False) -> Expected:
    return Expected(
        count, made.face_width, made.face_height, made.lefts, made.tops, 0, made.flip, made.finish, ring_hole
    )


def faults(edit: Edit, made: Layout = CARDS, count: int = COUNT, *, ring_hole: bool = False) -> list[str]:
    """What is said of the sheets after `edit`."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(imposed(made, count, ring_hole=ring_hole).pdf)) as pdf:
        edit(pdf)
        pdf.save(out)
    wanted = expected(made, count, ring_hole=ring_hole)
    return [str(problem) for problem in registration_problems(out.getvalue(), wanted, file="x.pdf")]


def redrawn(page: int, old: str, new: str | Callable[[re.Match[str]], str]) -> Edit:
    """An edit of a page's content, which must hold what is replaced."""

    def edit(pdf: pikepdf.Pdf) -> None:
        stream = pdf.pages[page].Contents
        text, times = re.subn(old, new, stream.read_bytes().decode())
        assert times
        stream.write(text.encode())

    return edit


def drawn_with(page: int, face: int, matrix: Callable[..., str]) -> Edit:
    """A face drawn with another matrix, worked out from where it stands, in points."""

    def again(found: re.Match[str]) -> str:
        return f"q {matrix(float(found[1]), float(found[2]))} cm /Face{face} Do"

    return redrawn(page, rf"q 1 0 0 1 (\S+) (\S+) cm /Face{face} Do", again)


def moved(page: int, face: int, right: float, up: float = 0.0) -> Edit:
    """A face moved by millimetres."""
    return drawn_with(page, face, lambda x, y: f"1 0 0 1 {x + right * POINTS:.4f} {y + up * POINTS:.4f}")


@pytest.mark.parametrize("finish", ["cut", "fold"])
@pytest.mark.parametrize("flip", ["long", "short"])
def test_the_sheets_of_every_form_agree(flip: str, finish: str) -> None:
    """Each form on each sheet that takes it, with a ring hole, and with a short last sheet."""
    tried = 0
    for form in FORMS:
        for paper in SHEETS:
            try:
                made = plan(form, paper, flip, finish)
            except PackgenError:
                continue
            count = made.faces_a_piece * made.places + 3
            pdf = imposed(made, count, ring_hole=True).pdf
            assert registration_problems(pdf, expected(made, count, ring_hole=True)) == [], (form, paper)
            tried += 1
    assert tried >= 20


def test_pages_before_the_sheets_are_left_alone() -> None:
    made = imposed(CARDS, COUNT)
    with pikepdf.open(io.BytesIO(made.pdf)) as pdf, pikepdf.new() as longer:
        longer.add_blank_page(page_size=(200, 300))
        longer.add_blank_page(page_size=(200, 300))
        longer.pages.extend(pdf.pages)
        longer.Root.ViewerPreferences = longer.copy_foreign(pdf.make_indirect(pdf.Root.ViewerPreferences))
        out = io.BytesIO()
        longer.save(out)
    wanted = Expected(COUNT, 105.0, 148.0, CARDS.lefts, CARDS.tops, before=2)
    assert registration_problems(out.getvalue(), wanted) == []


def ask(key: str, value: str) -> Edit:
    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.Root.ViewerPreferences[key] = pikepdf.Name(value)

    return edit


def test_a_wrong_edge_in_the_print_dialogue_is_found() -> None:
    assert faults(ask("/Duplex", "/DuplexFlipShortEdge")) == [
        "x.pdf: the print dialogue is asked to flip on short edge; expected the long edge"
    ]
    assert faults(ask("/Duplex", "/Simplex")) == [
        "x.pdf: the print dialogue is asked to flip on neither edge; expected the long edge"
    ]


def test_scaling_in_the_print_dialogue_is_found() -> None:
    assert faults(ask("/PrintScaling", "/AppDefault")) == [
        "x.pdf: the print dialogue is not asked for full size; expected PrintScaling None"
    ]


def test_a_sheet_without_its_back_is_found() -> None:
    def edit(pdf: pikepdf.Pdf) -> None:
        del pdf.pages[-1]

    found = faults(edit)
    assert "x.pdf page 3, sheet 2 front: the sheet has no back; expected two pages a sheet" in found[0]
    assert any("face 4: it is printed 0 times; expected once" in fault for fault in found)


def test_a_sheet_of_another_size_is_found() -> None:
    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages[2].MediaBox = pikepdf.Array([0, 0, 210 * POINTS, 300 * POINTS])

    assert faults(edit)[0] == (
        "x.pdf page 3, sheet 2 front: the page is 210.0 × 300.0 mm; "
        "expected 210.0 × 297.0 mm, as the first sheet"
    )


def test_a_page_that_the_reader_turns_is_found() -> None:
    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages[1].Rotate = 180

    assert faults(edit) == ["x.pdf page 2, sheet 1 back: the page is shown turned by 180°; expected 0°"]


def test_a_missing_face_is_found() -> None:
    assert faults(redrawn(0, r"q .* /Face5 Do Q\n", "")) == [
        "x.pdf: face 5: it is printed 0 times; expected once"
    ]


def test_a_face_printed_twice_is_found() -> None:
    found = faults(redrawn(2, r"(?s)^(q \S+ \S+ \S+ \S+ \S+ \S+ cm /Face3 Do Q)", r"\1\n\1"))
    assert "x.pdf: face 3: it is printed 2 times, on sheet 2 and sheet 2; expected once" in found
    assert any("it lies over face 3 by 105.0 mm" in fault for fault in found)


def test_a_face_nobody_planned_is_found() -> None:
    pdf = imposed(CARDS, COUNT).pdf
    found = [str(fault) for fault in registration_problems(pdf, expected(CARDS, 14))]
    assert found == ["face 15: it is printed 1 times, on sheet 2; expected 14 faces in all"]


def test_a_scaled_face_is_found() -> None:
    shrunk = drawn_with(0, 1, lambda x, y: f"0.97 0 0 0.97 {x} {y}")
    assert faults(shrunk)[0] == (
        "x.pdf page 1, sheet 1 front, place 1: face 1: it is drawn at 97.0 % across and 97.0 % up; "
        "expected 100 %"
    )
    slightly = drawn_with(0, 1, lambda x, y: f"1 0 0 0.999 {x} {y}")
    assert "it is drawn at 100.0 % across and 99.9 % up" in faults(slightly)[0]


def test_a_mirrored_face_is_found() -> None:
    mirrored = drawn_with(0, 1, lambda x, y: f"-1 0 0 1 {x + 105 * POINTS} {y}")
    assert faults(mirrored) == ["x.pdf page 1, sheet 1 front, place 1: face 1: it is drawn mirrored"]


def head_down(x: float, y: float) -> str:
    return f"-1 0 0 -1 {x + 105 * POINTS:.4f} {y + 148 * POINTS:.4f}"


def test_a_front_on_its_head_is_found() -> None:
    (found,) = faults(drawn_with(0, 5, head_down))
    said = "x.pdf page 1, sheet 1 front, place 2: face 5: it is drawn 180° off upright; expected head up"
    assert found.replace("-180", "180") == said


def head_up(found: re.Match[str]) -> str:
    x, y = float(found[1]) - 105 * POINTS, float(found[2]) - 148 * POINTS
    return f"q 1 0 0 1 {x:.4f} {y:.4f} cm /Face2 Do"


@pytest.mark.parametrize(
    ("flip", "edit"),
    [
        ("long", drawn_with(1, 2, head_down)),
        ("short", redrawn(1, r"q -1 0 0 -1 (\S+) (\S+) cm /Face2 Do", head_up)),
    ],
)
def test_a_back_on_its_head_is_found(flip: str, edit: Edit) -> None:
    """On a sheet that turns about its level edge backs are printed head down: upright is the wrong way."""
    (found,) = faults(edit, plan("a6", "a4", flip))
    said = "sheet 1 back, place 1: face 2: turned to the back it stands 180° off; expected head up"
    assert said in found.replace("-180", "180")


def test_sheets_printed_for_the_other_edge_are_found() -> None:
    """All fronts are right, all backs are wrong."""
    pdf = imposed(plan("a6", "a4", "short"), 8).pdf
    found = [str(fault) for fault in registration_problems(pdf, expected(CARDS, 8))]
    assert sum("stands" in fault and "180° off" in fault for fault in found) == 4
    assert sum("mm beside face" in fault for fault in found) == 4


def test_a_face_of_another_size_is_found() -> None:
    pdf = imposed(CARDS, 1).pdf
    found = [str(fault) for fault in registration_problems(pdf, replace(expected(CARDS, 1), height=147.0))]
    assert found[0] == (
        "page 1, sheet 1 front, place 1: face 1: it is 105.0 × 148.0 mm; expected 105 × 147 mm"
    )


def test_a_face_that_runs_off_the_sheet_is_found() -> None:
    found = faults(moved(0, 1, -2.0))
    assert found[0] == (
        "x.pdf page 1, sheet 1 front, place 1: face 1: it runs 2.0 mm over the sheet's edge; "
        "expected whole on the sheet"
    )


def test_faces_over_each_other_are_found() -> None:
    assert any(
        fault.endswith("face 1: it lies over face 5 by 1.5 mm; expected side by side")
        for fault in faults(moved(0, 1, 1.5))
    )


def test_a_face_on_the_wrong_side_is_found() -> None:
    """Two pages of a sheet in the wrong order: every face is on the other side."""

    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages.append(pdf.pages[2])
        del pdf.pages[2]

    found = faults(edit)
    assert sum(fault.endswith("the wrong side of the sheet; expected the other side") for fault in found) == 7


def test_a_back_on_another_sheet_is_found() -> None:
    """The backs of two sheets exchanged."""

    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages.insert(4, pdf.pages[1])
        pdf.pages.insert(1, pdf.pages[3])
        del pdf.pages[2]
        del pdf.pages[3]

    found = faults(edit)
    assert any(
        "sheet 2 back, place 1: face 2: its front, face 1, is on sheet 1; expected the same sheet" in fault
        for fault in found
    )


@pytest.mark.parametrize(("off", "is_found"), [(0.05, False), (0.3, True)])
def test_a_back_beside_its_front_is_found_from_a_tenth_of_a_millimetre(off: float, is_found: bool) -> None:
    found = faults(moved(3, 10, 0.0, off), plan("a7", "a4", "short"), 40)
    wanted = f"face 10: after the flip it lies {off:.2f} mm beside face 9; expected within 0.1 mm"
    assert [wanted in fault for fault in found if "beside" in fault] == [True] * is_found


def test_two_cards_exchanged_break_the_order_of_the_piles() -> None:
    """Front and back of two cards each in the other's place: all agree but the order."""

    def edit(pdf: pikepdf.Pdf) -> None:
        for page, names in ((0, ("/Face1 ", "/Face9 ")), (1, ("/Face2 ", "/Face10 "))):
            stream = pdf.pages[page].Contents
            text = stream.read_bytes().decode()
            one, other = names
            text = text.replace(one, "/Held ").replace(other, one).replace("/Held ", other)
            stream.write(text.encode())

    assert faults(edit) == [
        "x.pdf page 1, sheet 1 front, place 1: face 9: cut and stacked, it comes where face 1 belongs; "
        "expected faces in order, pile after pile"
    ]


def test_sheets_in_the_wrong_order_break_the_order_of_the_piles() -> None:
    """Both sides of two sheets exchanged."""

    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages.extend([pdf.pages[0], pdf.pages[1]])
        del pdf.pages[:2]

    (found,) = faults(edit)
    assert "face 3: cut and stacked, it comes where face 1 belongs" in found


def test_halves_of_a_leaflet_that_do_not_meet_are_found() -> None:
    """Page 4 a millimetre from the spine, and page 3 with it: front and back agree, the fold does not."""
    made = plan("half-letter", "letter", "short", "fold")

    def edit(pdf: pikepdf.Pdf) -> None:
        moved(0, 4, 0.0, -1.0)(pdf)
        moved(1, 3, 0.0, -1.0)(pdf)

    found = faults(edit, made, 4)
    assert any("face 4: it does not lie against face 1, so that they do not fold" in fault for fault in found)
    assert any("face 3: it does not lie against face 1, so that they do not fold" in fault for fault in found)
    assert not any("mm beside" in fault for fault in found)


def test_leaflets_are_not_cards() -> None:
    """Sheets for cutting, taken as leaflets: pages 4 and 1 are not on one side."""
    pdf = imposed(CARDS, 8).pdf
    found = registration_problems(pdf, replace(expected(CARDS, 8), finish="fold"))
    assert any("wrong side" in fault.what for fault in found)


def test_a_punch_mark_that_is_missing_moved_or_too_many_is_found() -> None:
    gone = redrawn(0, r"^(?s:(.*?))q 1 0 0 1 \S+ \S+ cm /Punch Do Q\n", r"\1")
    (found,) = faults(gone, ring_hole=True)
    assert found == (
        "x.pdf page 1, sheet 1 front, place 1: face 1: no punch mark 8.0 mm from the sheet's left and "
        "8.5 mm from its top; expected 8 mm from the face's two edges"
    )
    shifted = redrawn(1, r"(\S+) cm /Punch", lambda at: f"{float(at[1]) - 3:.4f} cm /Punch")
    found_moved = faults(shifted, ring_hole=True)
    assert sum("no punch mark" in fault for fault in found_moved) == 4
    assert sum("a punch mark where no ring goes" in fault for fault in found_moved) == 4
    pdf = imposed(CARDS, 1, ring_hole=True).pdf
    (unasked,) = registration_problems(pdf, expected(CARDS, 1))
    assert "a punch mark where no ring goes, 8.0 mm from the left and 8.5 mm from the top" in str(unasked)


def ahead(text: str, page: int = 0) -> Edit:
    """An edit that puts something before all else of a page's content."""
    return redrawn(page, r"^", text + "\n")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("3 Tr", "Tr"),  # every word without ink
        ("0 0 300 300 re W n", "re, W, n"),  # a clip
        ("1 g 0 0 300 300 re f", "g, re, f"),  # a white rectangle
        ("/Clear gs", "gs"),
        ("/OC /Hidden BDC EMC", "BDC, EMC"),
        ("[1 20] 0 d", "Do with a changed pen"),
        ("Q", "Q"),
        ("/Cover Do", "/Cover"),
    ],
)
def test_whatever_a_sheet_does_besides_faces_and_marks_is_found(text: str, told: str) -> None:
    assert (
        f"x.pdf page 1, sheet 1 front: it draws or sets something besides faces and marks: {told}; "
        "expected faces by their matrices, and stroked marks" in faults(ahead(text))
    )


def test_what_lies_over_a_sheet_s_page_is_found() -> None:
    """A note of the reader's, and a part cropped away."""

    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].obj.Annots = pikepdf.Array()
        pdf.pages[0].obj.CropBox = pikepdf.Array([0, 0, 200, 200])

    assert any(fault.endswith("/Annots, /CropBox; expected faces by their matrices, and stroked marks")
               for fault in faults(edit))  # fmt: skip


def test_a_punch_mark_that_covers_words_is_found() -> None:
    def filled(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].resources.XObject["/Punch"].write(b"0 0 200 200 re f")

    def larger(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].resources.XObject["/Punch"].write(b"0 G 0.5 w -20 0 m 20 0 l S")

    for edit in (filled, larger):
        assert any("a punch mark that is not a ring's" in fault for fault in faults(edit, ring_hole=True))


FOLDED = plan("half-letter", "letter", "long", "fold")
GUTTERS = plan("3x5", "a4")
MARK = r"(?m)^(\S+) (\S+) m (\S+) (\S+) l S$"


def marks_moved(right: float, up: float) -> Edit:
    """All marks of the first page moved by millimetres, its faces not."""

    def again(at: re.Match[str]) -> str:
        x, y, x2, y2 = (float(number) for number in at.groups())
        a, b = right * POINTS, up * POINTS
        return f"{x + a:.4f} {y + b:.4f} m {x2 + a:.4f} {y2 + b:.4f} l S"

    return redrawn(0, MARK, again)


def test_marks_beside_the_lines_of_the_cut_are_found_from_a_tenth_of_a_millimetre() -> None:
    for made in (CARDS, GUTTERS, FOLDED):
        assert faults(marks_moved(0.05, 0.05), made, 8) == []
        found = faults(marks_moved(0.3, 0.0), made, 8)
        wrong = re.compile("page 1, .*a mark (where nothing is cut or folded|crosses face)")
        assert any(wrong.search(fault) for fault in found)
        assert any("page 1" in fault and "from the sheet's left" in fault for fault in found)


@pytest.mark.parametrize("made", [CARDS, GUTTERS, FOLDED], ids=["shared", "gutters", "folded"])
def test_each_mark_that_is_missing_is_found(made: Layout) -> None:
    """One after the other, on a front and a back."""
    with pikepdf.open(io.BytesIO(imposed(made, 8).pdf)) as pdf:
        marks = re.findall(MARK, pdf.pages[0].Contents.read_bytes().decode())
    assert len(marks) >= 2
    for page in (0, 1):
        for mark in marks:
            gone = re.escape(f"{mark[0]} {mark[1]} m {mark[2]} {mark[3]} l S\n")
            found = faults(redrawn(page, gone, ""), made, 8)
            assert [fault for fault in found if f"page {page + 1}," in fault] == found != []
            assert all(re.search(r"no (crop|fold) mark", fault) for fault in found)


def test_a_fold_mark_that_looks_like_a_cut_is_found() -> None:
    found = faults(redrawn(0, r" \[\S+ \S+\] 0 d", ""), FOLDED, 8)
    assert any("no fold mark 139.7 mm from the sheet's left" in fault for fault in found)


def test_a_mark_that_strikes_a_face_out_is_found() -> None:
    struck = ahead("q 0 G 0.5 w 20 20 m 280 400 l S Q")
    assert any("x.pdf page 1, sheet 1 front: a mark crosses face" in fault for fault in faults(struck))


def test_a_mark_that_a_printer_does_not_draw_or_draws_too_thick_is_found() -> None:
    for pen in ("q 1 G 0.5 w", "q 0 G 0.05 w", "q 0 G 9 w"):
        found = faults(redrawn(0, "q 0 G 0.5 w", pen))
        assert any("a mark that is not a thin black line" in fault for fault in found), pen


def test_faces_are_found_through_every_matrix() -> None:
    """A matrix of the form itself, and a page whose box does not begin at nought, change nothing."""

    def edit(pdf: pikepdf.Pdf) -> None:
        form = pdf.pages[0].resources.XObject["/Face1"]
        form.Matrix = pikepdf.Array([1, 0, 0, 1, 10, 0])
        drawn_with(0, 1, lambda x, y: f"1 0 0 1 {x - 10} {y}")(pdf)
        page = pdf.pages[2]
        page.MediaBox = pikepdf.Array([100, 50, 100 + 210 * POINTS, 50 + 297 * POINTS])
        page.Contents.write(b"q 1 0 0 1 100 50 cm " + page.Contents.read_bytes() + b" Q")

    assert faults(edit) == []


def test_the_faces_of_the_tests_have_the_size_they_say() -> None:
    with pikepdf.open(io.BytesIO(faces(105.0, 148.0, 2))) as pdf:
        size = [float(edge) / POINTS for edge in pdf.pages[0].mediabox.as_list()[2:]]
    assert size == pytest.approx([105.0, 148.0])
