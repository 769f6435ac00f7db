"""The code of a job: what changes it, what does not, what is said of it, and that a phone reads it off the
cover.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from packgen.calc.request import Combination
from packgen.model.catalog import Catalog
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.identity import job_code
from packgen.publish.job import combinations
from packgen.publish.write import write_folder
from packgen.sheets.view import View
from packgen.sheets.words import load_words

ROOT = Path(__file__).parents[2]
TITLE = "First lateral at Harrow Lane, station 2+14"
JobFile = Callable[..., Path]


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The starter's content."""
    return load(ROOT / "content")


def code_of(file: Path, catalog: Catalog, units: Any = "both") -> str:
    """The code that a job would carry."""
    job, _ = load_job(file, catalog)
    found: list[Combination] = combinations(job, catalog)
    return job_code([View(catalog, load_words(), each, units) for each in found], job)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("id: HL-0427", "id: HL-0428"),
        ("revision: 1", "revision: 2"),
        (TITLE, TITLE + "."),
        ("issued_by: field training", "issued_by: field teaching"),
        ("main: 6 in", "main: 8 in"),
        ("main: 6 in IPS DR 11 PE4710", "main: 6 in IPS DR 11 PE4710 ASTM D3035"),
        ("main: 6 in IPS DR 11 PE4710", "main: 6 in IPS DR 11 PE3608"),
        ("lateral: 2 in", "lateral: 3 in"),
        ("maximum_operating_pressure: 100 psi", "maximum_operating_pressure: 101 psi"),
        ("contents: water", "contents: gas"),
        ("id: J1", "id: J2"),
        ("outlet: 12 o'clock", "outlet: 1 o'clock"),
        ("ambient: 68 degF", "ambient: 69 degF"),
        ("humidity: 55 %", "humidity: 56 %"),
        ("generator: 3.5 kW", "generator: 3.6 kW"),
        ("qualified_until: 2027-03-31", "qualified_until: 2027-04-01"),
        ("role: checker 1", "role: checker 2"),
    ],
)
def test_whatever_a_job_says_changes_its_code(
    old: str, new: str, catalog: Catalog, job_file: JobFile
) -> None:
    """Values, words, title, revision: each on its own."""
    assert code_of(job_file((old, new)), catalog) != code_of(job_file(name="plain"), catalog)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("date: 2026-05-12", "date: 2026-06-30"),
        ("# approved: ", "approved: "),
        ("# Copy this file, change the id, and fill in your own.\n", ""),
        ("generator: 3.5 kW", "generator:    3.5 kW   # the large one"),
        ("state: dry ", "state: 'dry' "),
    ],
)
def test_date_draft_and_remarks_do_not_change_a_code(
    old: str, new: str, catalog: Catalog, job_file: JobFile
) -> None:
    """Not the day it is printed, not who approved it, not how the file is written."""
    file = job_file((old, new))
    assert code_of(file, catalog) == code_of(job_file(name="plain"), catalog)


def test_units_do_not_change_a_code(catalog: Catalog, job_file: JobFile) -> None:
    """Values count in the register's unit."""
    assert len({code_of(job_file(), catalog, units) for units in ("us", "si", "both")}) == 1


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("procedures/en/power-and-fuse.md", "Press start.", "Press the start key."),
        ("procedures/en/safety.yaml", "Spurting melt could burn", "Spurting melt may burn"),
        ("fittings/demo-saddle-screw.yaml", "time: 85 s", "time: 86 s"),
        ("fittings/demo-saddle-screw.yaml", "80 mm}", "80.1 mm}"),
        # Of another pair, in the table of all sizes.
        ("fittings/demo-saddle-screw.yaml", "tap_wait: 50 min", "tap_wait: 51 min"),
        ("rules/work-rules.yaml", "value: 1/8 in", "value: 3/16 in"),
        ("rules/work-rules.yaml", "value: not permitted", "value: never permitted"),
        ("procedures/en/joint-record.yaml", "Fitting: maker, lot, date", "Fitting: lot, maker, date"),
        ("procedures/en/pack-forms.yaml", "Leaked on test, main uncut", "Leaked on test"),
        ("procedures/en/pack-forms.yaml", "hold: fuser", "hold: checker"),
        ("sources.yaml", "Invented demonstration label", "Invented label"),
    ],
)
def test_a_changed_word_or_value_of_the_content_changes_the_code(
    name: str, old: str, new: str, catalog: Catalog, job_file: JobFile, tmp_path: Path
) -> None:
    """Steps, safety messages, label, rules, record, sources: whatever stands on a face."""
    own = tmp_path / "content"
    shutil.copytree(ROOT / "content", own)
    text = (own / name).read_text("utf-8")
    assert old in text
    (own / name).write_text(text.replace(old, new), "utf-8")
    assert code_of(job_file(), load(here=tmp_path)) != code_of(job_file(), catalog)


def test_words_that_do_not_stand_in_this_pack_do_not_change_its_code(
    catalog: Catalog, job_file: JobFile, tmp_path: Path
) -> None:
    """A gas sheet, a squeeze-off sheet and a remark are none of a dry water main's."""
    own = tmp_path / "content"
    shutil.copytree(ROOT / "content", own)
    for name, old, new in (
        ("procedures/en/static-gas.md", "Vent gas only", "Let gas out only"),
        ("procedures/en/isolate.md", "Stop when the bars rest", "Halt when the bars rest"),
        ("fittings/demo-saddle-screw.yaml", "# DEMONSTRATION DATA.", "# DEMONSTRATION DATA!"),
    ):
        text = (own / name).read_text("utf-8")
        assert old in text, name
        (own / name).write_text(text.replace(old, new), "utf-8")
    assert code_of(job_file(), load(here=tmp_path)) == code_of(job_file(), catalog)


# --- what the command says
# ------------------------------------------------------------------------------------


@pytest.fixture
def light(monkeypatch: pytest.MonkeyPatch, one_catalog: None) -> None:  # noqa: ARG001  # asked for its effect
    """Layout and print left out."""
    import packgen.publish.documents as documents

    monkeypatch.setattr(documents, "job_documents", lambda *_: {"crew-pack.pdf": b"stub"})


def told_code(ran: Any) -> str:
    """The code in a command's answer."""
    assert ran.code == 0, ran.err
    code: str = json.loads(ran.out)["code"]
    return code


@pytest.mark.usefixtures("light")
def test_a_changed_code_under_the_same_revision_is_reported(
    packgen: Callable[..., Any], job_file: JobFile, tmp_path: Path
) -> None:
    """Both codes and the cure; the new pack is written all the same, so it is said once."""
    run = ["--output", tmp_path / "build", "--format", "json"]
    first = packgen("job", job_file(), *run)
    assert first.err == ""
    again = packgen("job", job_file(), *run)
    assert (again.err, told_code(again)) == ("", told_code(first))
    changed = packgen("job", job_file((TITLE, "Another title")), *run)
    assert changed.err.startswith("notice: job HL-0427 revision 1 was issued before with the code ")
    for words in (told_code(first), told_code(changed), "raise the revision"):
        assert words in changed.err
    assert changed.err.count("\n") == 1
    assert packgen("job", job_file((TITLE, "Another title")), *run).err == ""


@pytest.mark.usefixtures("light")
@pytest.mark.parametrize(
    ("change", "options"),
    [
        (("revision: 1", "revision: 2"), []),
        (("date: 2026-05-12", "date: 2026-05-13"), []),
        (("# approved: ", "approved: "), []),
        (("id: HL-0427", "id: HL-0428"), []),
        (None, ["--date", "2026-07-01"]),
        (None, ["--paper", "a4"]),
        (None, ["--units", "si"]),
    ],
)
def test_nothing_is_reported_where_nothing_is_wrong(
    change: tuple[str, str] | None,
    options: list[str],
    packgen: Callable[..., Any],
    job_file: JobFile,
    tmp_path: Path,
) -> None:
    """A raised revision, another date, paper, units or approval, another job."""
    run = ["--output", tmp_path / "build", "--format", "json"]
    packgen("job", job_file(), *run)
    if change and change[0] == "revision: 1":
        ran = packgen("job", job_file(change, (TITLE, "Another title")), *run)
    else:
        ran = packgen("job", job_file(*([change] if change else [])), *run, *options)
    assert (ran.code, ran.err) == (0, "")


@pytest.mark.usefixtures("light")
@pytest.mark.parametrize("text", ["", "{", "[]", '{"job": "HL-0427"}', "null", "\u0000"])
def test_an_older_file_nobody_can_read_does_not_stop_a_job(
    text: str, packgen: Callable[..., Any], job_file: JobFile, tmp_path: Path
) -> None:
    """Whatever lies in values.json, the job is issued."""
    folder = tmp_path / "build" / "jobs" / "HL-0427"
    write_folder(folder, {"values.json": text.encode()})
    ran = packgen("job", job_file(), "--output", tmp_path / "build")
    assert (ran.code, ran.err) == (0, "")
    assert json.loads((folder / "values.json").read_text("utf-8"))["job"] == "HL-0427"


def test_pack_cards_and_data_carry_one_code(issued: dict[str, Any]) -> None:
    """And the two demo jobs carry two."""
    codes = {job: each.data["code"] for job, each in issued.items()}
    assert len(set(codes.values())) == 2
    pattern = re.compile(r"\b[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}\b")
    for job, each in issued.items():
        for name in ("crew-pack.pdf", "pocket-cards.pdf", "pocket-cards-screen.pdf"):
            assert set(pattern.findall(each.folded(name))) == {codes[job]}, name
        assert codes[job] in each.path("index.html").read_text("utf-8")


# --- the square symbol
# ----------------------------------------------------------------------------------------

DOTS = 300 / 72  # pixels a point at 300 dpi


def symbol_of(path: Path) -> tuple[Image.Image, float]:
    """The first square symbol of a PDF, from a 300 dpi raster; and its width with margin, mm.

    Its reader finds it first, so that its place on the page is no matter here; what is then decoded is its
    rectangle alone.
    """
    document = pypdfium2.PdfDocument(path)
    try:
        for page in document:
            raster = page.render(scale=DOTS).to_pil().convert("L")
            found = zxingcpp.read_barcodes(raster)
            if found:
                place = found[0].position
                left, top = place.top_left.x, place.top_left.y
                right, bottom = place.bottom_right.x, place.bottom_right.y
                margin = round((right - left) / 25 * 4)
                box = (left - margin, top - margin, right + margin, bottom + margin)
                return raster.crop(box), (box[2] - box[0]) / 300 * 25.4
    finally:
        document.close()
    raise AssertionError(f"no symbol in {path}")


@pytest.mark.parametrize("name", ["crew-pack.pdf", "pocket-cards-screen.pdf"])
@pytest.mark.parametrize("job", ["first-lateral", "repair-tie-in"])
def test_the_symbol_says_the_printed_code(job: str, name: str, issued: dict[str, Any]) -> None:
    """Sharp, blurred, and with a tenth of its area worn off in the middle."""
    code = issued[job].data["code"]
    symbol, width = symbol_of(issued[job].path(name))
    blurred = symbol.filter(ImageFilter.GaussianBlur(3))
    masked = symbol.copy()
    # A square of a tenth of the symbol's area, quiet zone left out (29 of 37 modules).
    side = symbol.width * 29 / 37 * 0.1**0.5
    middle = symbol.width / 2
    ImageDraw.Draw(masked).rectangle(
        [middle - side / 2, middle - side / 2, middle + side / 2, middle + side / 2], fill="white"
    )
    for picture in (symbol, blurred, masked):
        [found] = zxingcpp.read_barcodes(picture)
        assert (found.text, found.format) == (code, zxingcpp.BarcodeFormat.QRCode)
    # Modules of at least half a millimetre with a quiet zone of four all round: 37 modules across.
    assert width >= 37 * 0.5


def test_the_quiet_zone_is_empty(issued: dict[str, Any]) -> None:
    """Four modules of white on every side."""
    symbol, _ = symbol_of(issued["first-lateral"].path("crew-pack.pdf"))
    module = symbol.width / 37
    reach = int(module * 3.5)
    inside = symbol.crop((reach, reach, symbol.width - reach, symbol.height - reach))
    rim = symbol.copy()
    rim.paste(255, (reach, reach, reach + inside.width, reach + inside.height))
    assert rim.getextrema()[0] > 200
