"""The site: a page for every size, whole, closed in itself, and saying what the values say."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

from packgen.calc.request import Combination
from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.publish import site
from packgen.publish.options import Options
from packgen.publish.selection import every
from packgen.publish.site import make_site
from packgen.publish.site_pages import index_page, size_folder
from packgen.publish.write import write_folder
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER, band_name, cord_name
from packgen.render.html import Stamp
from packgen.sheets.view import View
from packgen.sheets.which_pipe import bands_in_reach
from packgen.sheets.words import load_words, slug
from packgen.units import QuantityError, quantity
from tests.publish.page_reader import Page, headings_in_order

POLICY = "default-src 'none'; style-src 'self'; img-src 'self'; font-src 'self'"
GOOD = "sizes/6-in-ips-dr-11/2-in-ips/demo-saddle-screw/"
OTHER = "sizes/12-in-ips-dr-9/6-in-ips/demo-saddle-screw/"
REFUSED = "sizes/3-in-ips-dr-17/2-in-ips/demo-saddle-screw/"
COUPLING = "sizes/2-in-ips-dr-11/2-in-ips/demo-coupling/"
METRIC = "sizes/160-mm-iso-sdr-11/63-mm-iso/demo-saddle-screw/"
ON_DIPS = "sizes/8-in-dips-dr-11/4-in-ips/demo-saddle-screw/"
# Walls thinner than the label's 5.5 mm, or 2.5 mm of a coupling, in the order of the index.
ALL_REFUSED = [
    "sizes/2-in-ips-dr-13.5/2-in-ips/demo-coupling/",
    "sizes/2-in-ips-dr-17/2-in-ips/demo-coupling/",
    "sizes/1-in-cts-dr-13.5/1-in-cts/demo-coupling/",
    "sizes/63-mm-iso-sdr-17/63-mm-iso/demo-coupling/",
    REFUSED,
    "sizes/63-mm-iso-sdr-13.6/32-mm-iso/demo-saddle-screw/",
    "sizes/63-mm-iso-sdr-17/32-mm-iso/demo-saddle-screw/",
    "sizes/90-mm-iso-sdr-17/63-mm-iso/demo-saddle-screw/",
    "sizes/2-in-ips-dr-13.5/1-in-cts/demo-tapping-saddle/",
    "sizes/2-in-ips-dr-17/1-in-cts/demo-tapping-saddle/",
    "sizes/63-mm-iso-sdr-17/32-mm-iso/demo-tapping-saddle/",
]
CARDS = {"pocket-cards.pdf", "pocket-cards-screen.pdf"}
FILES = {"index.html", "values", "values.json", "values.csv", "sizes.csv"}


def sized(*sizes: tuple[str, str, float], family: str = "demo-saddle-screw"):
    """A filter for some sizes of a family: main, lateral, DR."""

    def wanted(combination: Combination) -> bool:
        main, lateral = combination.request.main.designation, combination.request.lateral.designation
        return combination.request.family.id == family and (main.short, lateral.short, main.dr) in sizes

    return wanted


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load(here=Path(__file__).parents[2])


@pytest.fixture(scope="module")
def views(catalog: Catalog) -> list[View]:
    words = load_words()
    return [View(catalog, words, each) for each in every(catalog, list(catalog.families.values()))]


@pytest.fixture(scope="module")
def of_screw(views: list[View]) -> list[View]:
    """The sizes of the family with the most size systems."""
    return [view for view in views if view.request.family.id == "demo-saddle-screw"]


@pytest.fixture(scope="module")
def folder(catalog: Catalog, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of five sizes of a branch saddle, one refused, one of a DR that holds no cards; and of a
    coupling.
    """
    output = tmp_path_factory.mktemp("build")
    saddles = sized(
        ("6 in IPS", "2 in IPS", 11.0), ("12 in IPS", "6 in IPS", 9.0), ("3 in IPS", "2 in IPS", 17.0),
        ("160 mm ISO", "63 mm ISO", 11.0), ("8 in DIPS", "4 in IPS", 11.0),
    )  # fmt: skip
    coupling = sized(("2 in IPS", "2 in IPS", 11.0), family="demo-coupling")

    def wanted(combination: Combination) -> bool:
        return saddles(combination) or coupling(combination)

    made = make_site(catalog, Options(output=output), wanted=wanted)
    assert made.folder == output / "site"
    # Five pages for all, one for the refused size, a page and one of values for each of the five others.
    assert made.pages == len(list(made.folder.rglob("*.html"))) == 5 + 1 + 2 * 5
    assert made.files == sum(path.is_file() for path in made.folder.rglob("*")) - 1  # their list
    return made.folder


@pytest.fixture(scope="module")
def pages(folder: Path) -> dict[str, Page]:
    return {
        path.relative_to(folder).as_posix(): Page(path.read_text("utf-8"))
        for path in sorted(folder.rglob("*.html"))
    }


def values_of(folder: Path, size: str) -> dict[str, dict[str, object]]:
    return json.loads((folder / size / "values.json").read_text("utf-8"))["values"]


def as_stated(value: str | int) -> str:
    """A rule's value as it stands before any bracket: a quantity in our print, words as they are."""
    try:
        return str(quantity(str(value)))
    except QuantityError:
        return str(value)


def test_a_permitted_size_has_its_page_and_everything_to_fetch(folder: Path) -> None:
    for size in (GOOD, METRIC, ON_DIPS, COUPLING):
        assert {path.name for path in (folder / size).iterdir()} == FILES | CARDS
        assert [path.name for path in (folder / size / "values").iterdir()] == ["index.html"]
        assert (folder / size / "pocket-cards.pdf").read_bytes().startswith(b"%PDF-")


def test_a_ratio_without_cards_says_where_they_are_and_how_to_print_them(
    folder: Path, pages: dict[str, Page]
) -> None:
    """Cards are kept for the DR nearest to that of the family's laterals; no link leads to others."""
    assert {path.name for path in (folder / OTHER).iterdir()} == FILES
    page = pages[f"{OTHER}index.html"]
    assert not CARDS & set(page.addresses)
    said = (
        "Cards to print are kept here for mains of DR 11. For this size print them with: packgen cards "
        '--main "12 in IPS DR 9 PE4710" --lateral "6 in IPS" --family demo-saddle-screw'
    )
    assert said in page.all("main")[0].text
    assert "Cards to print are kept here" not in pages[f"{GOOD}index.html"].all("main")[0].text


def test_the_index_leads_to_every_size_of_the_content_each_in_its_own_folder(views: list[View]) -> None:
    folders = [size_folder(view) for view in views]
    assert len({name.casefold() for name in folders}) == len(views) == 323
    page = Page(index_page(views, Stamp("", ())))
    linked = [address for address in page.addresses if address.startswith("sizes/")]
    assert sorted(linked) == sorted(f"{name}index.html" for name in folders)


def test_the_index_says_which_size_is_not_permitted(views: list[View]) -> None:
    page = Page(index_page(views, Stamp("", ())))
    barred = [link for link in page.all("a") if link.text.endswith("not permitted")]
    refused = [f"{size_folder(view)}index.html" for view in views if view.combination.reasons]
    listed = [f"{size}index.html" for size in ALL_REFUSED]
    assert [link.attributes["href"] for link in barred] == refused == listed


def test_a_grid_has_a_row_a_main_and_a_dash_where_the_family_lists_no_pair(of_screw: list[View]) -> None:
    rows = Page(index_page(of_screw, Stamp("", ()))).rows()
    assert rows[0] == ["Main", "Lateral 2 in", "Lateral 3 in", "Lateral 4 in", "Lateral 6 in"]
    assert [row[0] for row in rows[1:7]] == ["3 in", "4 in", "6 in", "8 in", "10 in", "12 in"]
    assert rows[3][1:] == ["2 in on 6 in", "3 in on 6 in", "4 in on 6 in", "–"]


def test_the_index_names_each_family_over_its_own_grids(catalog: Catalog, views: list[View]) -> None:
    page = Page(index_page(views, Stamp("", ())))
    heads = [head.text for head in page.all("h2")]
    titles = [family.title for family in catalog.families.values()]
    assert [head for head in heads if head in titles] == titles
    assert len(titles) == 5


def test_a_coupling_s_grid_names_the_one_size_it_joins(views: list[View]) -> None:
    couplings = [view for view in views if view.request.is_coupling]
    page = Page(index_page(couplings, Stamp("", ())))
    links = {link.attributes["href"]: link.text for link in page.all("a")}
    assert links[f"{COUPLING}index.html"] == "2 in"


def test_the_index_has_a_grid_for_each_size_system_and_ratio(of_screw: list[View]) -> None:
    """Systems as the family lists them; a lateral of another system says so."""
    page = Page(index_page(of_screw, Stamp("", ())))
    assert [head.text for head in page.all("h3")] == [
        *(f"Main {system} DR {ratio}" for system in ("IPS", "DIPS") for ratio in ("9", "11", "13.5", "17")),
        *(f"Main ISO SDR {ratio}" for ratio in ("9", "11", "13.6", "17")),
    ]
    heads = [row for row in page.rows() if row[0] == "Main"]
    assert heads[4] == ["Main", "Lateral 2 in IPS", "Lateral 4 in IPS", "Lateral 6 in IPS"]
    metric = ["Main", *(f"Lateral {size} mm" for size in (32, 63, 90, 110, 160))]
    assert heads[8:] == [metric] * 4


@pytest.mark.parametrize(
    ("words", "path"),
    [("1-1/4 in IPS DR 13.5", "1-1-4-in-ips-dr-13.5"), ("110 mm ISO", "110-mm-iso"), ("../../x", "x")],
)
def test_a_path_is_readable_and_cannot_climb(words: str, path: str) -> None:
    assert slug(words) == path


def test_every_page_is_well_formed(pages: dict[str, Page]) -> None:
    assert {name: page.faults for name, page in pages.items() if page.faults} == {}


def test_every_page_has_one_first_heading_and_leaves_out_no_level(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        assert headings_in_order(page.heading_levels), (name, page.heading_levels)


def test_every_id_stands_once_on_its_page(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        assert len(page.ids) == len(set(page.ids)), name


def test_every_page_has_language_title_landmarks_and_a_skip_link(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        assert page.all("html")[0].attributes["lang"] == "en"
        assert page.all("title")[0].text == page.all("h1")[0].text
        assert [len(page.all(landmark)) for landmark in ("header", "main", "footer")] == [1, 1, 1], name
        assert page.all("a")[0].attributes["href"] == "#" + page.all("main")[0].attributes["id"]


def test_every_page_carries_the_policy_and_nothing_the_policy_would_stop(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        policies = [each.attributes for each in page.all("meta") if "http-equiv" in each.attributes]
        assert [policy["content"] for policy in policies] == [POLICY]
        assert page.all("script", "style", "iframe", "object", "embed", "form", "base") == [], name
        keys = {key for element in page.elements for key in element.attributes}
        assert not {key for key in keys if key == "style" or key.startswith("on")}, name


def test_no_page_and_no_style_names_another_place(folder: Path, pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        for address in page.addresses:
            assert not re.match(r"[a-z]+:|/", address), (name, address)
    css = (folder / "site.css").read_text("utf-8")
    assert sorted(re.findall(r'url\("([^"]*)"\)', css)) == ["fonts/Lato-Bold.ttf", "fonts/Lato-Regular.ttf"]
    assert css.count("url(") == 2
    assert "@import" not in css


def test_every_link_of_a_page_leads_to_a_file_and_a_place_in_it(folder: Path, pages: dict[str, Page]) -> None:
    followed = 0
    for name, page in pages.items():
        for address in page.addresses:
            path, _, spot = address.partition("#")
            target = (folder / name).parent / path if path else folder / name
            assert target.resolve().is_relative_to(folder.resolve())
            assert target.is_file(), (name, address)
            if spot:
                assert spot in pages[target.resolve().relative_to(folder.resolve()).as_posix()].ids
            followed += 1
    assert followed > 80
    assert all((folder / name).is_file() for name in ("fonts/Lato-Regular.ttf", "fonts/Lato-Bold.ttf"))
    assert "SIL Open Font License" in (folder / "fonts/LICENSE.txt").read_text("utf-8")


def test_every_page_bears_the_demo_mark_and_a_code(pages: dict[str, Page]) -> None:
    mark = load_words()("demo")
    for name, page in pages.items():
        stamps = [element.text for element in page.all("p") if element.is_a("stamp")]
        assert len(stamps) == 2, name
        for stamp in stamps:
            assert stamp.startswith(mark)
            assert re.search(r"[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}", stamp), name


def bands_shown(rows: list[list[str]]) -> dict[str, str]:
    """The waits in heat by their names, from the table of a row a band: limit, unrounded, extra and waits."""
    shown, waits = {}, ("extra", "clamp_time_at", "pressure_wait_at", "tap_wait_at")
    for row in rows:
        limit = re.match(r"up to (\d+)\s°C", row[0])
        if limit and len(row) in (5, 6) and (row[1] == "" or row[1].endswith("s")):
            names = [band_name(int(limit[1]), wait) for wait in waits[: len(row) - 2]]
            shown |= dict(zip(names, row[2:], strict=True))
    return shown


def cords_shown(rows: list[list[str]]) -> dict[str, str]:
    """The longest supply cords by their names, from the tables of a row a size and a column a voltage."""
    shown, volts = {}, []
    for row in rows:
        if row[1:] and all(re.fullmatch(r"\d+ V", cell) for cell in row[1:]):
            volts = [float(cell.removesuffix(" V")) for cell in row[1:]]
        elif re.fullmatch(r"[\d.]+ (AWG|mm²)", row[0]):
            shown |= {cord_name(volt, row[0]): cell for volt, cell in zip(volts, row[1:], strict=True)}
    return shown


@pytest.mark.parametrize("size", [GOOD, OTHER, COUPLING])
def test_the_page_shows_every_value_of_the_json_in_the_same_words(
    folder: Path, pages: dict[str, Page], size: str
) -> None:
    words = load_words()
    rows = pages[f"{size}values/index.html"].rows()
    shown = {row[0]: row[1] for row in rows if len(row) == 3} | cords_shown(rows) | bands_shown(rows)
    values = values_of(folder, size)
    assert len(values) > 50
    for name, value in values.items():
        wanted = words("blank.enter") if value["kind"] == "blank" else value["text"]
        own = words.group("coupling_values") if "coupling" in size else {}
        by_name = name.startswith((CORD_LENGTHS, COOL_BANDS))
        label = name if by_name else own.get(name, words(f"values.{name}"))
        assert shown[label] == wanted, name
    address = "values/index.html"
    assert address in pages[f"{size}index.html"].addresses


@pytest.mark.parametrize("size", [GOOD, OTHER])
def test_what_the_engineer_alone_reads_stands_on_the_page_of_values_only(
    pages: dict[str, Page], folder: Path, size: str
) -> None:
    words, values = load_words(), values_of(folder, size)
    names = [name for name in values if REGISTER[name].engineer]
    assert names == [
        "clamp.torque_guidance", "clamp.torque_limit", "cool.melt_depth_fitting", "cool.melt_depth_pipe",
    ]  # fmt: skip
    for name in names:
        label = words(f"values.{name}")
        assert label in pages[f"{size}values/index.html"].all("main")[0].text
        assert label not in pages[f"{size}index.html"].all("main")[0].text


def test_the_csv_holds_the_values_of_the_json(folder: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((folder / GOOD / "values.csv").read_text("utf-8"))))
    assert {row["name"]: row["text"] for row in rows} == {
        name: value["text"] for name, value in values_of(folder, GOOD).items()
    }


def test_the_table_of_sizes_has_a_row_a_pair_and_agrees_with_each_size_s_own_values(folder: Path) -> None:
    for size, pair, count in (
        (GOOD, ("2 in", "6 in"), 16),
        (OTHER, ("6 in", "12 in"), 16),
        (METRIC, ("63 mm", "160 mm"), 24),
        (ON_DIPS, ("4 in IPS", "8 in DIPS"), 10),
    ):
        rows = list(csv.DictReader(io.StringIO((folder / size / "sizes.csv").read_text("utf-8"))))
        assert len(rows) == count
        (row,) = [row for row in rows if (row["lateral"], row["main"]) == pair]
        names = [name for name in row if "." in name]
        assert "tap.hole_saw" in names
        values = values_of(folder, size)
        assert {name: row[name] for name in names} == {name: values[name]["text"] for name in names}
        assert row["verdict"] == "permitted"


def test_the_table_of_sizes_leaves_a_refused_pair_without_values(views: list[View]) -> None:
    (refused,) = [view for view in views if size_folder(view) == REFUSED]
    rows = list(csv.DictReader(io.StringIO(site.sizes_csv(refused))))
    barred = [row for row in rows if row["verdict"] == "refused"]
    assert [(row["lateral"], row["main"]) for row in barred] == [("2 in", "3 in")]
    assert not any(text for name, text in barred[0].items() if "." in name)


def test_the_procedure_stands_on_the_page_in_the_order_of_its_numbers(pages: dict[str, Page]) -> None:
    steps = [element for element in pages[f"{GOOD}index.html"].all("li") if element.is_a("step")]
    numbers = [int(step.attributes["value"]) for step in steps]
    assert numbers == sorted(set(numbers))
    missing = sorted(set(range(1, max(numbers) + 1)) - set(numbers))
    text = pages[f"{GOOD}index.html"].all("main")[0].text
    assert all(f"step {number}" in text for number in missing)
    ids = [step.attributes["id"] for step in steps]
    assert ids.index("feeler-tried") < ids.index("fusion-started")


def test_figures_have_words_in_place_of_the_picture(pages: dict[str, Page]) -> None:
    figures = [each for each in pages[f"{GOOD}index.html"].elements if each.is_a("draw")]
    assert len(figures) == 6
    for figure in figures:
        assert figure.attributes["role"] == "img"
        label = figure.attributes["aria-label"]
        assert "Scale 1 : " in label or label.startswith("Waits from fusion end.")  # a time line has no scale
    assert [figure.attributes["aria-label"].startswith("Where to dig.") for figure in figures].count(
        True
    ) == 1


def test_every_header_of_a_table_says_what_it_heads(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        for header in page.all("th"):
            wanted = {"col"} if "thead" in header.parents else {"row", "rowgroup"}
            assert header.attributes["scope"] in wanted, (name, header.text)


def test_a_refused_size_gives_reasons_and_cures_and_nothing_to_work_by(
    folder: Path, pages: dict[str, Page], views: list[View]
) -> None:
    (refused,) = [view for view in views if size_folder(view) == REFUSED]
    assert [path.name for path in (folder / REFUSED).iterdir()] == ["index.html"]
    page = pages[f"{REFUSED}index.html"]
    text = page.all("main")[0].text
    for reason in refused.combination.reasons:
        assert reason.what in text
        assert reason.cure in text
    assert page.all("table", "figure") == []
    assert not [element for element in page.elements if element.is_a("cell") or element.is_a("step")]
    for name in ("fuse.time", "cool.clamp_time", "cool.tap_wait", "peel.depth_max", "gap.feeler"):
        assert refused.text(name)
        assert refused.text(name) not in text


def test_a_work_rule_shows_question_choice_others_approval_and_review(
    catalog: Catalog, pages: dict[str, Page]
) -> None:
    page = pages["work-rules/index.html"]
    sections = {element.attributes["id"]: element.text for element in page.all("section")}
    assert list(sections) == list(catalog.rules)
    for rule in catalog.rules.values():
        text = sections[rule.id]
        parts = [rule.question, catalog.approved_by[rule.id], rule.review_by.isoformat()]
        parts += [f"{rule.id} revision {rule.revision}", catalog.cite(rule.source), as_stated(rule.value)]
        for other in rule.alternatives:
            parts += [as_stated(other.value), catalog.cite(other.source)]
        assert [part for part in parts if " ".join(part.split()) not in text] == [], rule.id
    assert "0.009 in [0.23 mm]" in sections["peel-depth-min"]


def test_the_page_for_an_unknown_main_holds_a_row_for_each_size_in_reach_and_the_card(
    catalog: Catalog, folder: Path, pages: dict[str, Page]
) -> None:
    page = pages["which-pipe.html"]
    rows = [row[0] for row in page.rows()[1:]]
    assert rows == [band.short for band in bands_in_reach(catalog)]
    assert "which-pipe.pdf" in page.addresses
    assert (folder / "which-pipe.pdf").read_bytes().startswith(b"%PDF-")
    assert "which-pipe.html" in pages["index.html"].addresses
    assert "../which-pipe.html" in pages["glossary/index.html"].addresses


def test_the_glossary_and_the_content_page_hold_every_term_and_digest(
    catalog: Catalog, pages: dict[str, Page]
) -> None:
    assert catalog.glossary is not None
    terms = [element.text for element in pages["glossary/index.html"].all("dt")]
    assert terms == [term.term for term in catalog.glossary.terms]
    content = pages["content/index.html"].all("main")[0].text
    assert all(folder.digest in content for folder in catalog.folders)
    assert all(source.text in content for source in catalog.sources.values())


def test_a_size_gives_the_same_bytes_again_with_other_neighbours_and_one_worker(
    catalog: Catalog, folder: Path, tmp_path: Path
) -> None:
    wanted = sized(("6 in IPS", "2 in IPS", 11.0))
    made = make_site(catalog, Options(output=tmp_path, workers=1), wanted=wanted)
    for name in FILES:
        path = f"{name}/index.html" if name == "values" else name
        assert (made.folder / GOOD / path).read_bytes() == (folder / GOOD / path).read_bytes(), name


def test_the_whole_site_is_the_same_twice_and_replaces_what_stood_there(
    catalog: Catalog, tmp_path: Path
) -> None:
    options = Options(output=tmp_path, workers=1)
    stale = tmp_path / "site" / "stale.html"
    write_folder(stale.parent, {"stale.html": b"old", "site.css": b"old"})  # a site packgen made before
    states = []
    for _ in range(2):
        made = make_site(catalog, options, wanted=sized(("3 in IPS", "2 in IPS", 17.0)))
        states.append({path: path.read_bytes() for path in made.folder.rglob("*") if path.is_file()})
        assert stale not in states[-1]
    assert states[0] == states[1]


def test_a_failure_on_the_way_writes_nothing(
    catalog: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> bytes:
        raise ContentError("a face does not fit")

    monkeypatch.setattr(site, "_size_files", fail)
    with pytest.raises(ContentError, match="a face does not fit"):
        make_site(catalog, Options(output=tmp_path, workers=1), wanted=sized(("6 in IPS", "2 in IPS", 11.0)))
    assert list(tmp_path.iterdir()) == []


def test_a_site_without_a_size_is_refused(catalog: Catalog, tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="no family lists a pair"):
        make_site(catalog, Options(output=tmp_path), wanted=sized())
    assert list(tmp_path.iterdir()) == []


def test_progress_sees_every_batch_and_the_date_given_is_printed(catalog: Catalog, tmp_path: Path) -> None:
    seen: list[int] = []

    def progress(items):
        seen.append(len(items))
        return items

    options = Options(output=tmp_path, workers=1, date="2026-07-08")
    made = make_site(catalog, options, progress, sized(("3 in IPS", "2 in IPS", 17.0)))
    assert seen == [1]
    for name in ("index.html", f"{REFUSED}index.html"):
        assert "2026-07-08" in (made.folder / name).read_text("utf-8")
