"""The choices of form, flip, finish, hole, film and kind at the command line, and the copy to keep.

In: `packgen` in this process. Out: sheets of the form chosen, or a refusal that names option and cure.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest

Packgen = Callable[..., Any]
MM = 72 / 25.4
SIZE = ("cards", "--main", "6 in IPS DR 11 PE4710", "--lateral", "2 in IPS")
CHOICE = (*SIZE, "--family", "demo-saddle-screw")


def face_sizes(path: Path) -> set[tuple[float, float]]:
    """The sizes of a PDF's pages in mm."""
    with pikepdf.open(path) as pdf:
        boxes = [[float(edge) for edge in page.mediabox.as_list()] for page in pdf.pages]
    return {(round((box[2] - box[0]) / MM, 1), round((box[3] - box[1]) / MM, 1)) for box in boxes}


@pytest.mark.parametrize(
    ("choices", "width", "height"),
    [
        (("--form", "id-1"), 85.6, 54.0),
        (("--form", "half-letter", "--finish", "fold"), 139.7, 215.9),
        (("--paper", "a4", "--laminating-margin", "3 mm", "--flip", "short"), 99.0, 142.0),
    ],
)
def test_cards_come_in_the_form_chosen(
    choices: tuple[str, ...], width: float, height: float, packgen: Packgen, tmp_path: Path
) -> None:
    """ISO/IEC 7810 for ID-1, half of letter; A6 less 3 mm of film on each side."""
    ran = packgen(*CHOICE, *choices, "--output", tmp_path, "--workers", "1")
    assert ran.code == 0, ran.err
    assert face_sizes(tmp_path / "cards" / "pocket-cards-screen.pdf") == {(width, height)}


@pytest.mark.parametrize(
    ("kind", "pages"), [("wall-chart", {(297.0, 420.0)}), ("saddle-tag", {(210.0, 297.0)})]
)
def test_other_kinds_lie_in_a_folder_of_their_own(
    kind: str, pages: set[tuple[float, float]], packgen: Packgen, tmp_path: Path
) -> None:
    ran = packgen(*CHOICE, "--kind", kind, "--paper", "a4", "--output", tmp_path, "--format", "json")
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["files"] == [f"{kind}.pdf", "values.json"]
    assert face_sizes(tmp_path / kind / f"{kind}.pdf") == pages


@pytest.mark.parametrize(
    ("choices", "told"),
    [
        (("--form", "a77"), "did you mean 'a7'?"),
        (("--laminating-margin", "3 mmm"), "the unit 'mmm' is not one packgen knows"),
        (("--laminating-margin", "1 in"), "at most 10 mm"),
        (("--kind", "wall-chart", "--finish", "fold"), "a wall chart is not folded"),
        (("--finish", "fold", "--laminating-margin", "3 mm"), "a folded card takes no film"),
        (("--finish", "fold", "--form", "a3"), "--finish"),
    ],
)
def test_a_choice_that_cannot_be_made_is_refused_before_anything_is_written(
    choices: tuple[str, ...], told: str, packgen: Packgen, tmp_path: Path
) -> None:
    ran = packgen(*CHOICE, *choices, "--output", tmp_path / "build")
    assert ran.code != 0
    assert told in ran.err
    assert not (tmp_path / "build").exists()


def test_every_wrong_choice_is_told_in_one_run(packgen: Packgen, tmp_path: Path) -> None:
    ran = packgen(*CHOICE, "--form", "a77", "--laminating-margin", "1 in", "--output", tmp_path / "build")
    assert (ran.code, ran.err.count("error:")) == (2, 2)


def test_sets_of_several_families_each_say_their_own_way(packgen: Packgen, tmp_path: Path) -> None:
    """A tapping saddle's face must not carry the words of an open drill."""
    families = ("--family", "demo-saddle-screw", "--family", "demo-tapping-saddle")
    ran = packgen(*SIZE[:3], *families, "--kind", "saddle-tag", "--output", tmp_path)
    assert ran.code == 0, ran.err
    document = pypdfium2.PdfDocument(tmp_path / "saddle-tag" / "saddle-tag.pdf")
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    document.close()
    assert "open drill" in text and "built-in cutter" in text


def test_an_archive_copy_carries_its_values_and_no_field(issued_alone: Any) -> None:
    """PDF/A-3, level A (ISO 19005-3): tagged, with output intent, the attached file said to be data."""
    folder = issued_alone.folder
    pack = pikepdf.open(folder / "crew-pack.pdf")
    with pikepdf.open(folder / "crew-pack-archive.pdf") as pdf, pack:
        assert pdf.open_metadata().pdfa_status == "3A"
        assert "/OutputIntents" in pdf.Root and "/StructTreeRoot" in pdf.Root
        assert "/AcroForm" not in pdf.Root
        assert len(pdf.pages) == len(pack.pages)
        attached = pdf.attachments["values.json"].get_file().read_bytes()
        assert attached == (folder / "values.json").read_bytes()
        assert {str(each.AFRelationship) for each in pdf.Root.AF} == {"/Data"}
