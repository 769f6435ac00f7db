"""A job in one HTML file: standing alone, in order, and saying what the pack and the values say."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish import documents
from packgen.publish.identity import job_code
from packgen.publish.imprint import Imprint
from packgen.publish.job import combinations
from packgen.publish.options import Options
from packgen.publish.printer import Printer
from packgen.publish.values_data import combination_data
from packgen.register import REGISTER
from packgen.sheets.deck import pack_sheets
from packgen.sheets.media import pack_medium
from packgen.sheets.view import View
from packgen.sheets.words import load_words
from tests.publish.page_reader import Page, headings_in_order

ROOT = Path(__file__).parents[2]


class Issued:
    """A job's page with what it was made from; the PDFs are left out, which are tested elsewhere."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, path: Path) -> None:
        catalog = load(here=ROOT)
        self.job, _ = load_job(path, catalog)
        self.views = [View(catalog, load_words(), each) for each in combinations(self.job, catalog)]
        self.code = job_code(self.views, self.job)
        monkeypatch.setattr(Imprint, "printed", lambda *_, **__: b"")  # PDFs are not looked at here
        for name in ("stack_files", "kind_files"):
            monkeypatch.setattr(documents, name, lambda *_: {})
        monkeypatch.setattr(documents, "settle_fields", lambda pdf, *_: pdf)
        options, printer = Options(workers=1), Printer(1)
        made = documents.job_documents(self.views, self.job, self.code, "2026-05-12", options, printer, b"{}")
        self.html = made["index.html"].decode()
        self.page = Page(self.html)


@pytest.fixture(scope="module")
def two_joints(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first demonstration job with a second joint of the same size: every step id would stand twice."""
    text = (ROOT / "content/jobs/first-lateral.yaml").read_text("utf-8")
    start = text.index("  - id: J1")
    end = text.index("\n", text.index("outlet:", start)) + 1
    path = tmp_path_factory.mktemp("jobs") / "two.yaml"
    second = text[start:end].replace("J1", "J2").replace("station: 2+14", "station: 2+34")
    path.write_text(text[:end] + second + text[end:], "utf-8")
    return path


@pytest.fixture(params=["first-lateral", "repair-tie-in", "two joints"], scope="module")
def issued(request: pytest.FixtureRequest, two_joints: Path) -> Any:
    path = two_joints if request.param == "two joints" else ROOT / f"content/jobs/{request.param}.yaml"
    with pytest.MonkeyPatch.context() as monkeypatch:
        yield Issued(monkeypatch, path)


def test_it_is_well_formed_with_one_first_heading_and_every_id_once(issued: Issued) -> None:
    assert issued.page.faults == []
    assert headings_in_order(issued.page.heading_levels)
    assert len(issued.page.ids) == len(set(issued.page.ids))


def test_it_stands_alone(issued: Issued) -> None:
    page = issued.page
    assert page.all("script", "link", "img", "iframe", "object", "embed") == []
    assert all(address.startswith("#") for address in page.addresses)
    (style,) = page.all("style")
    assert "url(" not in style.text
    assert "@import" not in style.text
    keys = {key for element in page.elements for key in element.attributes}
    assert not {key for key in keys if key == "style" or key.startswith("on")}
    (policy,) = [each.attributes["content"] for each in page.all("meta") if "http-equiv" in each.attributes]
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"


def test_its_contents_lead_to_every_sheet_in_order(issued: Issued) -> None:
    sheets = [each.attributes["id"] for each in issued.page.all("section")]
    assert issued.page.addresses == [f"#{sheet}" for sheet in sheets]
    assert len(sheets) > 12


def test_it_holds_every_word_of_the_pack(issued: Issued) -> None:
    medium = pack_medium("letter")
    square = documents.code_block(issued.code, issued.views[0].words)
    sheets = pack_sheets(issued.views, issued.job, medium, square, issued.views[0].catalog.folders)
    text = issued.page.all("body")[0].text
    bare = re.sub(r"\s+", "", text)
    strings = [string for sheet in sheets for block in sheet.blocks for string in block.strings()]
    assert len(strings) > 500
    lost = [string for string in strings if re.sub(r"\s+", "", string) not in bare]
    assert lost == []


def test_it_holds_every_value_of_the_json_in_the_same_words(issued: Issued) -> None:
    words = load_words()
    rows = [row for row in issued.page.rows() if len(row) == 3]
    for view in issued.views:
        for name, value in combination_data(view.combination, "both")["values"].items():
            wanted = words("blank.enter") if value["kind"] == "blank" else value["text"]
            if name not in view.listed:
                continue  # the job's own cord stands under one name
            label = view.label(name)
            found = [row for row in rows if row[0] == label and row[1] == wanted]
            assert bool(found) is not REGISTER[name].engineer, name


def test_code_marks_and_title_stand_at_both_ends(issued: Issued) -> None:
    words = load_words()
    stamps = [element.text for element in issued.page.all("p") if element.is_a("stamp")]
    assert len(stamps) == 2
    for stamp in stamps:
        assert all(mark in stamp for mark in (words("demo"), issued.code, issued.job.id))
        assert (words("draft") in stamp) == (issued.job.approved is None)
    assert issued.page.all("h1")[0].text == issued.page.all("title")[0].text
    assert issued.job.title in issued.page.all("h1")[0].text


def test_words_of_a_job_that_look_like_markup_stand_as_typed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    text = (ROOT / "content/jobs/first-lateral.yaml").read_text("utf-8")
    hostile = "<script>alert(1)</script> {{ 7*7 }} </style>"
    text = re.sub(r"(?m)^title: .*$", lambda _: f"title: {hostile!r}".replace("'", '"'), text)
    path = tmp_path / "hostile.yaml"
    path.write_text(text, "utf-8")
    made = Issued(monkeypatch, path)
    assert made.page.faults == []
    assert made.page.all("script") == []
    assert hostile in made.page.all("h1")[0].text
