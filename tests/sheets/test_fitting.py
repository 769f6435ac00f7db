"""Tables and value blocks made to fit a form: nothing lost, no word wider than its column."""

from __future__ import annotations

import pytest

from packgen.sheets.blocks import Cell, Cells, Points, Sheet, Table, Tag, Why, spans, words_of
from packgen.sheets.fitting import fitted, fitted_table, set_in
from packgen.sheets.heights import CELL_PAD
from packgen.sheets.measure import MM, widest_piece
from packgen.sheets.media import Medium, card_medium, pack_medium

A7, A6 = card_medium("a7"), card_medium("a6")


def table(head: list[str], *rows: list[str], **more: object) -> Table:
    """A table of equal columns."""
    made = tuple(tuple(spans(cell) for cell in row) for row in rows)
    shares = (1 / len(head),) * len(head)
    return Table(tuple(map(spans, head)), made, shares, **more)  # type: ignore[arg-type]


def words(*blocks: object) -> str:
    """Every word of some blocks in order."""
    return " ".join(text for block in blocks for text in block.strings())  # type: ignore[attr-defined]


def too_wide(made: Table, medium: Medium) -> list[str]:
    """The cells with a word wider than their column."""
    size = medium.label if made.small else medium.table
    found = []
    for row in (made.head, *made.rows):
        for cell, share in zip(row, made.shares, strict=True):
            if widest_piece(cell) * size * MM + CELL_PAD > share * medium.inner + 1e-6:
                found.append(words_of(cell))
    return found


def test_a_column_too_narrow_for_a_word_takes_room_from_the_others() -> None:
    """Equal columns of a narrow card would break the long word."""
    given = table(["Sign", "Do"], ["Contamination everywhere", "Wipe"])
    assert too_wide(given, A7) == []
    narrow = table(["A", "B", "C"], ["Contamination", "Dry", "No"])
    (made,) = fitted_table(narrow, A7)
    assert isinstance(made, Table)
    assert too_wide(narrow, A7) == ["Contamination"]
    assert too_wide(made, A7) == []
    assert sum(made.shares) == pytest.approx(1.0)


def test_a_table_that_holds_is_left_as_it_is_but_for_small_type() -> None:
    """On a card a crew reads it in body size."""
    (made,) = fitted_table(table(["Air", "Wait"], ["20 °C", "10 min"], small=True), A6)
    assert made == table(["Air", "Wait"], ["20 °C", "10 min"])


def test_waits_in_a_table_too_wide_turn_into_a_point_for_each_temperature() -> None:
    """All waits of a temperature stand together, those of a hotter day too; a word tells the planned row."""
    head = ["Hotter of air and pipe", "Extra wait", "Clamp time", "Pressure wait", "Tap wait"]
    rows = [
        ["up to 23 °C [73 °F]", "none", "15 min", "20 min", "30 min"],
        ["up to 40 °C [104 °F]", "31 min", "46 min", "51 min", "61 min"],
        ["above 40 °C [104 °F]", "not permitted", "", "", ""],
    ]
    said = [
        "up to 23 °C [73 °F]. Extra wait: none. Clamp time: 15 min. Pressure wait: 20 min. Tap wait: 30 min",
        "up to 40 °C [104 °F]. Extra wait: 31 min. "
        "Clamp time: 46 min. Pressure wait: 51 min. Tap wait: 61 min",
        "above 40 °C [104 °F]. Extra wait: not permitted",
    ]
    for marked in (None, 0, 1):
        names, points = fitted_table(table(head, *rows, marked=marked), A7)
        assert isinstance(names, Why) and isinstance(points, Points)
        assert names.strings() == ("Hotter of air and pipe",)
        wanted = [f"Planned: {text}" if index == marked else text for index, text in enumerate(said)]
        assert list(points.strings()) == wanted


def test_a_table_by_number_across_and_down_is_cut_though_its_row_is_marked() -> None:
    """An empty cell behind "not permitted" would be read as no limit: the words stand on each part."""
    head = ["Air", *(f"{percent} %" for percent in range(40, 101, 10))]
    rows = [["20 °C", *(["19 °C"] * 7)], ["above 40 °C", "not permitted", *([""] * 6)]]
    parts = list(fitted_table(table(head, *rows, marked=0), A7))
    assert len(parts) > 1
    assert all(isinstance(part, Table) and part.marked == 0 for part in parts)
    assert all(words_of(part.rows[1][1]) == "not permitted" for part in parts)  # type: ignore[union-attr]


def test_a_table_of_numbers_too_wide_is_cut_at_its_columns_and_keeps_its_first() -> None:
    """Every number once, in order, each beside its row's name."""
    head = ["Air", *(f"{percent} %" for percent in range(40, 101, 10))]
    rows = [[f"{air} °C", *(f"{air + n} °C" for n in range(7))] for air in (10, 20, 30)]
    parts = list(fitted_table(table(head, *rows), A7))
    assert len(parts) > 1
    assert all(isinstance(part, Table) and too_wide(part, A7) == [] for part in parts)
    for index, row in enumerate(rows):
        shown = [words_of(cell) for part in parts for cell in part.rows[index][1:]]  # type: ignore[union-attr]
        assert shown == row[1:]
        assert {words_of(part.rows[index][0]) for part in parts} == {row[0]}  # type: ignore[union-attr]
    assert [words_of(cell) for part in parts for cell in part.head[1:]] == head[1:]  # type: ignore[union-attr]


def test_a_table_of_sentences_too_wide_turns_into_a_list_under_its_columns_names() -> None:
    """No word is lost; what a row is about and what comes of it are strong."""
    long = "unbreakable" * 3
    given = table(["What you see", "Do", "Outcome"], [f"Zone is {long}", f"Dry it {long}", "REDO"])
    first, points = fitted_table(given, A7)
    assert isinstance(first, Why) and isinstance(points, Points)
    assert words(first, points) == f"What you see · Do · Outcome Zone is {long}. Dry it {long}. REDO"
    assert [span.text for span in points.items[0] if span.kind == "strong"] == [f"Zone is {long}", "REDO"]


def test_the_figures_of_a_small_table_too_wide_stand_by_their_columns_names() -> None:
    """A girth without its unit's name would be read in the other one."""
    long = "unbreakable" * 3
    given = table(["Size", "Inches", "Also"], [f"6 in {long}", "20.7 to 20.9", f"none {long}"], small=True)
    first, points = fitted_table(given, A7)
    assert words(first, points) == f"Size 6 in {long}. Inches: 20.7 to 20.9. Also: none {long}"


def test_value_blocks_stand_two_abreast_where_three_do_not_fit() -> None:
    cells = Cells((Cell("Fusion time", "85 s"),) * 5, "ENTER")
    sheet = Sheet("values", "Values", Tag("2 on 6 in", "IPS"), (cells,))
    for medium, across in ((A7, 2), (A6, 3)):
        (made,) = fitted(sheet, medium)[0].blocks
        assert isinstance(made, Cells) and (made.cells, made.across) == (cells.cells, across)


def test_the_sheet_read_in_haste_is_set_larger_on_cards_alone() -> None:
    """At least 12 pt; a pack's pages and other sheets keep their type."""
    assert set_in("stop-redo-reject", A6).body == 12
    assert set_in("stop-redo-reject", card_medium("a4")).body == card_medium("a4").body > 12
    assert set_in("prepare", A6).body == A6.body
    pack = pack_medium("letter")
    assert set_in("stop-redo-reject", pack) == pack
