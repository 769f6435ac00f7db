"""Faces on sheets hold exactly what their pages for the screen hold: each change to one of them is found."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pikepdf
import pytest

from packgen.render.impose import impose
from packgen.render.registration_faces import carried_problems
from tests.render.marked_faces import DATE, faces, plan

CARDS = plan("a6", "a4")
COUNT = 8
SAME = "it does not hold exactly what its page for the screen holds"
Edit = Callable[[pikepdf.Pdf], None]


def with_words(pdf: bytes) -> bytes:
    """The same pages, each with a face to set words in and a state to draw with, which all of them share."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        font: Any = pikepdf.Dictionary(Type=pikepdf.Name.Font, BaseFont=pikepdf.Name("/Made"))
        font.FontFile = document.make_stream(b"glyphs")
        shared = document.make_indirect(font)
        for page in document.pages:
            state = pikepdf.Dictionary(Plain=pikepdf.Dictionary(ca=1))
            page.obj.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F=shared), ExtGState=state)
        document.save(out, deterministic_id=True)
    return out.getvalue()


SCREEN = with_words(faces(105.0, 148.0, COUNT))
FRONT = with_words(faces(210.0, 297.0, 1))
MADE = impose(FRONT, SCREEN, CARDS, title="Cards", date=DATE, ring_hole=True).pdf


def faults(edit: Edit) -> list[str]:
    """What is said of the sheets after an edit."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(MADE)) as pdf:
        edit(pdf)
        pdf.save(out)
    return [str(problem) for problem in carried_problems(out.getvalue(), FRONT, SCREEN, 2, "x.pdf")]


def form(pdf: pikepdf.Pdf, number: int = 1) -> Any:
    """A face of the first sheet's front."""
    return pdf.pages[2].resources.XObject[f"/Face{number}"]


def test_faces_and_pages_carried_over_as_they_are_pass() -> None:
    """However their streams are packed."""

    def unpacked(pdf: pikepdf.Pdf) -> None:
        form(pdf).write(form(pdf).read_bytes())

    assert faults(lambda _: None) == faults(unpacked) == []


def without_ink(pdf: pikepdf.Pdf) -> None:
    form(pdf).write(b"3 Tr " + form(pdf).read_bytes())


def without_words(pdf: pikepdf.Pdf) -> None:
    form(pdf).write(form(pdf).read_bytes()[:-12])


def clipped(pdf: pikepdf.Pdf) -> None:
    form(pdf).BBox = pikepdf.Array([0, 0, 200, 200])


def unseen(pdf: pikepdf.Pdf) -> None:
    form(pdf).Resources.ExtGState.Plain.ca = 0


def hidden(pdf: pikepdf.Pdf) -> None:
    form(pdf).OC = pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name="off")


@pytest.mark.parametrize("edit", [without_ink, without_words, clipped, unseen, hidden])
def test_a_face_that_is_not_its_page_is_found(edit: Edit) -> None:
    assert faults(edit) == [f"x.pdf page 3: face 1: {SAME}"]


def test_other_glyphs_in_a_font_that_faces_share_are_found_on_each_of_them() -> None:
    def edit(pdf: pikepdf.Pdf) -> None:
        form(pdf).Resources.Font.F.FontFile.write(b"others")

    assert len(faults(edit)) == COUNT


def test_a_print_first_page_that_changed_and_a_back_that_is_not_blank_are_found() -> None:
    def edit(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].Contents.write(b"")
        pdf.pages[1].obj.Contents = pdf.make_stream(b"0 0 100 100 re f")

    assert faults(edit) == [
        f"x.pdf page {number}: it does not hold what the guard has seen" for number in (1, 2)
    ]
