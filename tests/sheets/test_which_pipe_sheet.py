"""The sheet for an unknown main: rows, steps and stops from the content, and room for it on every medium."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from packgen.calc.size_bands import size_bands
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.model.records import WorkRule
from packgen.publish.pipe_sheet import pipe_code
from packgen.sheets.blocks import Points, Safety, Step, Table, words_of
from packgen.sheets.media import Medium, card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.which_pipe import (
    RULES,
    SAFETY,
    bands_in_reach,
    fits_as_well,
    listed_mains,
    which_pipe_sheet,
)
from packgen.sheets.words import load_words


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load(Path(__file__).parents[2] / "content")


def table(catalog: Catalog, units: str = "both") -> Table:
    sheet = which_pipe_sheet(catalog, load_words(), units)  # type: ignore[arg-type]
    (found,) = [block for block in sheet.blocks if isinstance(block, Table)]
    return found


def row_texts(found: Table) -> list[list[str]]:
    return [[words_of(cell).replace("\xa0", " ") for cell in row] for row in found.rows]


def test_every_main_of_a_family_has_a_row_and_so_has_each_size_next_to_it(catalog: Catalog) -> None:
    rows = [row[0] for row in row_texts(table(catalog))]
    assert {" ".join(main) for main in listed_mains(catalog)} <= set(rows)
    assert {"2 in IPS", "3 in DIPS", "140 mm ISO", "14 in IPS"} <= set(rows)
    assert "36 in DIPS" not in rows


def test_rows_stand_by_girth_and_a_served_main_is_bold(catalog: Catalog) -> None:
    found = table(catalog)
    lows = [float(row[1].split(" to ")[0]) for row in row_texts(found)]
    assert lows == sorted(lows)
    listed = {" ".join(main) for main in listed_mains(catalog)}
    for row, texts in zip(found.rows, row_texts(found), strict=True):
        assert (row[0][0].kind == "strong") is (texts[0] in listed)


def test_a_row_names_what_fits_its_girths_as_well(catalog: Catalog) -> None:
    also = {row[0]: row[3] for row in row_texts(table(catalog))}
    assert (also["280 mm ISO"], also["10 in DIPS"], also["4 in IPS"]) == ("10 in DIPS", "280 mm ISO", "")
    assert also["3 in IPS"] == "90 mm ISO"


def test_what_fits_as_well_goes_both_ways(catalog: Catalog) -> None:
    bands = size_bands(catalog)
    pairs = {(band.short, other.short) for band in bands for other in fits_as_well(band, bands)}
    assert pairs and pairs == {(other, band) for band, other in pairs}


def test_a_printed_band_is_never_narrower_than_the_one_judged_by(catalog: Catalog) -> None:
    for band, row in zip(bands_in_reach(catalog), row_texts(table(catalog)), strict=True):
        inches = [float(end) for end in row[1].split(" to ")]
        millimetres = [float(end.replace(",", "")) for end in row[2].split(" to ")]
        assert inches[0] * 25.4 <= band.girth_low and band.girth_high <= inches[1] * 25.4
        assert millimetres[0] <= band.girth_low and band.girth_high <= millimetres[1]


@pytest.mark.parametrize(("units", "columns"), [("both", 4), ("us", 3), ("si", 3)])
def test_units_choose_the_columns(catalog: Catalog, units: str, columns: int) -> None:
    found = table(catalog, units)
    assert {len(found.head), *(len(row) for row in found.rows)} == {columns}
    assert sum(found.shares) == pytest.approx(1.0)


def test_steps_are_short_and_numbered_behind_the_message_that_guards_them(catalog: Catalog) -> None:
    blocks = which_pipe_sheet(catalog, load_words(), "both").blocks
    steps = [block for block in blocks if isinstance(block, Step)]
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    sentences = [part for step in steps for part in re.split(r"(?<=\.) ", words_of(step.line))]
    assert max(len(sentence.split()) for sentence in sentences) <= 20
    (guard,) = [block for block in blocks if isinstance(block, Safety)]
    assert blocks.index(guard) < blocks.index(steps[0])


def test_content_without_the_message_that_guards_the_steps_makes_no_sheet(catalog: Catalog) -> None:
    """The steps must never stand without it."""
    safety = {name: message for name, message in catalog.safety.items() if name != SAFETY}
    with pytest.raises(KeyError, match=SAFETY):
        which_pipe_sheet(replace(catalog, safety=safety), load_words(), "both")


def test_the_rules_behind_the_code_are_those_whose_values_the_sheet_prints(catalog: Catalog) -> None:
    """Changing any of them changes the sheet and the code; another rule changes neither."""
    words = load_words()

    def printed(rules: dict[str, WorkRule]) -> tuple[str, str]:
        changed = replace(catalog, rules=rules)
        sheet = which_pipe_sheet(changed, words, "both")
        return "\n".join(text for block in sheet.blocks for text in block.strings()), pipe_code(
            changed, words
        )

    text, code = printed(dict(catalog.rules))
    for rule in ("ovality", "girth-reading", "surface-loss", "old-material", "saw-clearance"):
        other = "ask the owner" if rule == "old-material" else "7 %"
        other = "2 mm" if rule.endswith(("reading", "clearance")) else other
        value = catalog.rules[rule].model_copy(update={"value": other})
        new_text, new_code = printed({**catalog.rules, rule: value})
        assert (new_text != text, new_code != code, rule in RULES) == ((rule != "saw-clearance",) * 3)
    assert len(set(RULES)) == len(RULES) == 4


def test_the_stops_name_every_code_and_the_owner_s_rule(catalog: Catalog) -> None:
    (stops,) = [b for b in which_pipe_sheet(catalog, load_words(), "both").blocks if isinstance(b, Points)]
    told = " ".join(stops.strings())
    assert catalog.other_materials
    assert all(code in told for code in catalog.other_materials)
    assert str(catalog.rule("old-material").value) in told


@pytest.mark.parametrize(
    "medium", [pack_medium("letter"), pack_medium("a4"), card_medium("quarter-letter"), card_medium("a6")],
    ids=lambda medium: f"{medium.name}-{medium.form}",
)  # fmt: skip
@pytest.mark.parametrize("units", ["both", "us", "si"])
def test_the_sheet_fits_every_medium_and_loses_no_row(catalog: Catalog, medium: Medium, units: str) -> None:
    sheet = which_pipe_sheet(catalog, load_words(), units)  # type: ignore[arg-type]
    faces = lay_out([sheet], medium)
    tables = [block for face in faces for block in face.blocks if isinstance(block, Table)]
    assert [row for part in tables for row in part.rows] == list(table(catalog, units).rows)
    assert all(face.fill <= 1.06 for face in faces)
