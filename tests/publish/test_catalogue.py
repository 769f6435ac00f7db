"""The catalogue: packs without a job, cards, tables; the same bytes with any workers; refusals told."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packgen.errors import ContentError, PackgenError
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.publish import catalogue as module
from packgen.publish.cards import content_date, make_cards
from packgen.publish.catalogue import FILES, CatalogueResult, make_catalogue
from packgen.publish.options import Options
from packgen.publish.selection import chosen
from packgen.publish.write import LIST, write_folder
from packgen.sheets.words import load_words
from tests.conftest import fold
from tests.publish.page_reader import Page, headings_in_order
from tests.publish.test_same_bytes import differences

ROOT = Path(__file__).parents[2]
FAMILY = "demo-saddle-screw"
GOOD = f"sizes/6-in-ips-dr-11/2-in-ips/{FAMILY}/"
OTHER = f"sizes/160-mm-iso-sdr-11/63-mm-iso/{FAMILY}/"
REFUSED = f"sizes/3-in-ips-dr-17/2-in-ips/{FAMILY}/"
FOOT = "made without a job · water · dry main · open drill · "
ReadPages = Callable[[Path], tuple[str, ...]]


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load(here=ROOT)


def choice(catalog: Catalog) -> list[Any]:
    """Three sizes of two systems, one of them refused."""
    inch = chosen(catalog, ["6 in IPS DR 11", "3 in IPS DR 17"], ["2 in IPS"], [FAMILY])
    return inch + chosen(catalog, ["160 mm ISO SDR 11"], ["63 mm ISO"], [FAMILY])


@pytest.fixture(scope="module")
def made(catalog: Catalog, tmp_path_factory: pytest.TempPathFactory) -> CatalogueResult:
    """A catalogue made by two processes."""
    output = tmp_path_factory.mktemp("build")
    return make_catalogue(catalog, choice(catalog), Options(output=output, workers=2))


def index_rows(folder: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((folder / "catalogue.csv").read_text("utf-8"))))


def test_a_permitted_size_has_its_folder_with_every_file_and_nothing_else(made: CatalogueResult) -> None:
    for size in (GOOD, OTHER):
        assert {path.name for path in (made.folder / size).iterdir()} == set(FILES)
        assert (made.folder / size / "crew-pack.pdf").read_bytes().startswith(b"%PDF-")
    tops = {path.name for path in made.folder.iterdir()}
    assert tops == {"sizes", "tables", "catalogue.csv", "index.html", LIST}


def test_a_refused_size_is_listed_with_its_reason_and_cure_and_gets_no_file(
    catalog: Catalog, made: CatalogueResult
) -> None:
    assert not (made.folder / REFUSED).exists()
    (refused,) = [each for each in choice(catalog) if each.reasons]
    (row,) = [row for row in index_rows(made.folder) if row["verdict"] == "refused"]
    assert (row["folder"], row["code"], row["files"]) == (REFUSED, "", "")
    assert row["reasons"] == "; ".join(str(reason) for reason in refused.reasons)
    page = Page((made.folder / "index.html").read_text("utf-8"))
    text = page.all("main")[0].text
    assert all(reason.what in text and reason.cure in text for reason in refused.reasons)
    assert not [address for address in page.addresses if address.startswith(REFUSED)]


def test_the_index_lists_every_size_in_the_order_of_the_choice(
    catalog: Catalog, made: CatalogueResult
) -> None:
    rows = index_rows(made.folder)
    wanted = [(each.request, each.verdict) for each in choice(catalog)]
    assert [(row["main"], row["lateral"], row["family"], row["verdict"]) for row in rows] == [
        (str(request.main.designation), str(request.lateral.designation), request.family.id, verdict)
        for request, verdict in wanted
    ]
    assert [bool(row["code"]) for row in rows] == [verdict == "permitted" for _, verdict in wanted]
    assert made.permitted == 2 and len(made.listed) == 3


def test_the_page_of_the_index_is_well_formed_and_every_link_leads_to_a_file(made: CatalogueResult) -> None:
    page = Page((made.folder / "index.html").read_text("utf-8"))
    assert page.faults == []
    assert headings_in_order(page.heading_levels)
    assert page.all("script", "form", "iframe") == []
    assert len(page.ids) == len(set(page.ids))
    files = [address for address in page.addresses if not address.startswith("#")]
    assert len(files) == 2 * len(FILES) + 1
    assert [address for address in files if not (made.folder / address).is_file()] == []
    assert load_words()("demo") in page.all("header")[0].text


def test_every_page_of_a_pack_says_that_it_has_no_job_and_carries_its_code(
    made: CatalogueResult, read_pages: ReadPages
) -> None:
    """No draft mark, for nothing here waits for an approval; the demo mark of the family."""
    code = {row["folder"]: row["code"] for row in index_rows(made.folder)}
    for size, tag in ((GOOD, "2 in on 6 in"), (OTHER, "63 mm on 160 mm")):
        pages = [fold(page) for page in read_pages(made.folder / size / "crew-pack.pdf")]
        assert len(pages) > 20
        for number, page in enumerate(pages, 1):
            assert FOOT + code[size] in page, number
            assert f"page {number} of {len(pages)}" in page
            assert load_words()("demo") in page and tag in page
            assert "DRAFT" not in page
        assert "Nobody has approved this pack for one." in " ".join(pages[:2])


def test_pack_cards_and_values_of_a_size_share_one_code(made: CatalogueResult, read_pages: ReadPages) -> None:
    data = json.loads((made.folder / GOOD / "values.json").read_text("utf-8"))
    (listed,) = [each for each in made.listed if each.folder == GOOD]
    assert data["code"] == listed.code and data["verdict"] == "permitted"
    for name in ("crew-pack.pdf", "pocket-cards-screen.pdf"):
        assert all(listed.code in page for page in read_pages(made.folder / GOOD / name))


def test_a_pack_without_a_job_holds_record_workings_and_the_hold_points(
    made: CatalogueResult, read_pages: ReadPages
) -> None:
    text = fold(" ".join(read_pages(made.folder / GOOD / "crew-pack.pdf")))
    for title in ("Values", "Fit check", "Power and fuse", "Joint record", "Workings", "Hold points"):
        assert title in text
    assert "Fuser qualified until" not in text.split("Fit check")[1].split("Hazards")[0]


def test_the_cards_are_those_that_the_command_for_cards_prints(
    catalog: Catalog, made: CatalogueResult, tmp_path: Path
) -> None:
    alone = chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS"], [FAMILY])
    cards = make_cards(catalog, alone, Options(output=tmp_path))
    for name in ("pocket-cards.pdf", "pocket-cards-screen.pdf"):
        assert (made.folder / GOOD / name).read_bytes() == (cards.folder / name).read_bytes(), name


def test_the_table_of_a_family_has_a_row_a_size_and_agrees_with_each_size_s_values(
    made: CatalogueResult,
) -> None:
    rows = list(csv.DictReader(io.StringIO((made.folder / f"tables/{FAMILY}.csv").read_text("utf-8"))))
    assert [row["verdict"] for row in rows] == ["permitted", "refused", "permitted"]
    names = [name for name in rows[0] if "." in name]
    assert {"tap.hole_saw", "cool.clamp_time"} <= set(names)
    assert not any(rows[1][name] for name in names)
    for row, size in ((rows[0], GOOD), (rows[2], OTHER)):
        values = json.loads((made.folder / size / "values.json").read_text("utf-8"))["values"]
        for name in names:
            wanted = "ENTER" if values[name]["kind"] == "blank" else values[name]["text"]
            assert row[name] == wanted, name


def test_one_process_and_other_neighbours_make_the_same_bytes(
    catalog: Catalog, made: CatalogueResult, tmp_path: Path
) -> None:
    alone = chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS"], [FAMILY])
    again = make_catalogue(catalog, alone, Options(output=tmp_path, workers=1))
    assert differences(again.folder / GOOD, made.folder / GOOD) == []


def test_a_choice_that_is_refused_altogether_is_an_error_and_writes_nothing(
    catalog: Catalog, tmp_path: Path
) -> None:
    found = chosen(catalog, ["3 in IPS DR 17"], ["2 in IPS"], [FAMILY])
    with pytest.raises(ContentError, match="thinner than the fitting may be fused to"):
        make_catalogue(catalog, found, Options(output=tmp_path))
    assert list(tmp_path.iterdir()) == []


def test_somebody_s_own_folder_is_refused_before_anything_is_made(
    catalog: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An hour of printing must not end with a folder that may not be replaced."""
    own = tmp_path / "catalogue" / "notes.txt"
    own.parent.mkdir()
    own.write_text("mine", "utf-8")
    monkeypatch.setattr(module, "_documents", lambda *_: pytest.fail("a pack was made"))
    with pytest.raises(PackgenError, match=r"files packgen did not write: notes\.txt"):
        make_catalogue(catalog, choice(catalog), Options(output=tmp_path, workers=1))
    assert [path.name for path in own.parent.iterdir()] == ["notes.txt"]
    assert own.read_text("utf-8") == "mine"


def test_a_failure_names_the_size_and_leaves_the_old_catalogue(
    catalog: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(tmp_path / "catalogue", {"catalogue.csv": b"old"})

    def broken(*_: object) -> bytes:
        raise ContentError("a face does not fit")

    monkeypatch.setattr("packgen.publish.documents.blank_pack", broken)
    with pytest.raises(ContentError, match=r"^2 in IPS on 6 in IPS DR 11 PE4710: a face does not fit"):
        make_catalogue(catalog, choice(catalog), Options(output=tmp_path, workers=2))
    assert [path.name for path in tmp_path.iterdir()] == ["catalogue"]
    assert {path.name for path in (tmp_path / "catalogue").iterdir()} == {"catalogue.csv", LIST}
    assert (tmp_path / "catalogue" / "catalogue.csv").read_bytes() == b"old"


def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """No layout: what is asked here does not depend on the PDFs' own bytes."""
    monkeypatch.setattr(module, "_documents", lambda *_: dict.fromkeys(FILES, b"%PDF"))


def test_every_size_of_the_content_has_its_place(
    catalog: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Permitted ones a folder of their own each, refused ones a line; progress sees every batch."""
    cheap(monkeypatch)
    found, seen = chosen(catalog, [], [], [FAMILY]), []

    def progress(batches: Any) -> Any:
        seen.append(sum(map(len, batches)))
        return batches

    done = make_catalogue(catalog, found, Options(output=tmp_path, workers=1), progress)
    assert seen == [len(found)] and len(done.listed) == len(found) > 150
    folders = [path.parent for path in done.folder.rglob("crew-pack.pdf")]
    assert len(folders) == done.permitted == sum(not each.reasons for each in found)
    assert len({each.folder.casefold() for each in done.listed}) == len(found)
    assert done.permitted < len(found)


def test_the_date_given_is_printed_and_else_that_of_the_content(
    catalog: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cheap(monkeypatch)
    found = chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS"], [FAMILY])
    for date in ("2026-07-08", None):
        done = make_catalogue(catalog, found, Options(output=tmp_path, date=date, workers=1))
        wanted = date or content_date(catalog)
        assert f"Date: {wanted}" in (done.folder / "index.html").read_text("utf-8")
        assert json.loads((done.folder / GOOD / "values.json").read_text("utf-8"))["date"] == wanted


@pytest.mark.usefixtures("one_catalog")
def test_the_command_says_what_it_made_and_the_next_step(
    packgen: Callable[..., Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cheap(monkeypatch)
    sizes = ("--main", "6 in IPS DR 11", "--main", "3 in IPS DR 17", "--lateral", "2 in IPS")
    asked = (*sizes, "--family", FAMILY, "--workers", "1", "--output", tmp_path)
    ran = packgen("catalogue", *asked)
    assert ran.code == 0 and ran.err == ""
    assert f"combinations: 1 made, 1 refused, in {tmp_path}/catalogue/" in ran.out
    assert "next: open" in ran.out
    told = json.loads(packgen("catalogue", *asked, "--format", "json").out)
    assert (told["permitted"], told["refused"]) == (1, 1)
    assert [each["verdict"] for each in told["combinations"]] == ["permitted", "refused"]
    assert packgen("catalogue", *asked, "--quiet").out == ""


@pytest.mark.usefixtures("one_catalog")
@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (
            ("--main", "3 in IPS DR 17", "--lateral", "2 in IPS", "--family", FAMILY),
            1,
            "take another fitting",
        ),
        (("--family", "demo-saddle-scew"), 2, f"did you mean '{FAMILY}'?"),
        (("--main", "6 in IPS DR 12"), 2, "did you mean '11'?"),
        (("--date", "tomorrow"), 2, "'tomorrow' is not a day"),
        (("--workers", "0"), 2, "--workers"),
    ],
)
def test_wrong_use_and_refusals_write_nothing(
    arguments: tuple[str, ...], code: int, words: str, packgen: Callable[..., Any], tmp_path: Path
) -> None:
    ran = packgen("catalogue", *arguments, "--output", tmp_path / "build")
    assert ran.code == code
    assert words in ran.err
    assert not (tmp_path / "build").exists()


def test_a_family_nobody_named_is_left_out_where_it_lists_no_such_pair(catalog: Catalog) -> None:
    """Named, it says why it is refused; and a pair that no family lists is refused by them all."""
    listed = chosen(catalog, ["6 in IPS DR 11"], ["2 in IPS"], [])
    assert FAMILY in {each.request.family.id for each in listed}
    assert all(each.request.pair for each in listed) and len(listed) < len(catalog.families)
    (named,) = chosen(catalog, ["6 in IPS DR 11"], ["6 in IPS"], [FAMILY])
    assert named.request.pair is None and named.reasons
    assert all(each.reasons for each in chosen(catalog, ["6 in IPS DR 11"], ["8 in IPS"], []))
