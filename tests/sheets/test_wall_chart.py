"""The wall chart: every size of a family once, shared values apart, hold points that hold for every size."""

from __future__ import annotations

from packgen.calc.request import Combination
from packgen.model.catalog import Catalog
from packgen.publish.selection import chosen
from packgen.sheets.blocks import Cells, Code, Points, Table, words_of
from packgen.sheets.plan import lay_out
from packgen.sheets.standing import applicable
from packgen.sheets.view import View
from packgen.sheets.wall_chart import NAMES, chart_medium, chart_sheets, one_of_each_grid
from packgen.sheets.words import load_words

CODE = Code("<svg></svg>", "FVP9-LJS8-BGMB", 20.0, "code")


def grids(catalog: Catalog) -> list[Combination]:
    """One combination of every chart of the starter's families."""
    found = [each for each in chosen(catalog, [], [], [], "both") if not each.reasons]
    return one_of_each_grid(found)


def test_each_family_system_and_ratio_has_one_chart(catalog: Catalog) -> None:
    mains = ["6 in IPS DR 11", "8 in IPS DR 11"]
    found = [each for each in chosen(catalog, mains, [], [], "both") if not each.reasons]
    keys = [(one.request.family.id, one.request.main.designation.ratio) for one in one_of_each_grid(found)]
    assert len(keys) == len(set(keys))
    assert {family for family, _ in keys} == {one.request.family.id for one in found}


def test_every_value_of_every_size_stands_on_the_chart(catalog: Catalog) -> None:
    """As a shared value, or in its size's row; none is lost between the two."""
    for combination in grids(catalog):
        view = View(catalog, load_words(), combination)
        values, _ = chart_sheets(view, CODE)
        (cells,) = (block for block in values.blocks if isinstance(block, Cells))
        labels = {cell.label.partition(", up to ")[0]: cell for cell in cells.cells}
        shared = {key: " [".join(filter(None, (cell.value, cell.second))) for key, cell in labels.items()}
        rows: dict[int, dict[str, str]] = {}
        for table in (block for block in values.blocks if isinstance(block, Table)):
            heads = [words_of(cell) for cell in table.head]
            for at, row in enumerate(table.rows):
                rows.setdefault(at, {}).update(zip(heads, map(words_of, row), strict=True))
        for at, pair in enumerate(view.pairs):
            sibling = view.sibling(pair)
            for name in NAMES if sibling else ():
                assert sibling is not None
                if sibling.text(name):
                    label = view.label(name)
                    shown = shared.get(label) or rows[at][label]
                    assert shown == sibling.text(name).rstrip("]" if label in shared else "")


def test_a_hold_point_names_the_card_where_its_value_differs_by_size(catalog: Catalog) -> None:
    """A chart for all sizes that printed one size's fusion time would be wrong for the others."""
    found = chosen(catalog, ["6 in IPS DR 11 PE4710"], ["2 in IPS"], ["demo-saddle-screw"], "both")
    view = View(catalog, load_words(), found[0])
    _, stops = chart_sheets(view, CODE)
    (points,) = (block for block in stops.blocks if isinstance(block, Points))
    lines = [words_of(item) for item in points.items]
    holds = [step for made in applicable(view) for step in made.steps if step.gate == "hold"]
    assert len(lines) == len(holds)
    assert not any(view.text("fuse.time") in line for line in lines)
    assert any("the figure on your size's card (Fusion time)" in line for line in lines)


def test_a_poster_s_sizes_stand_on_one_face_and_its_hold_points_on_another(catalog: Catalog) -> None:
    """Sixteen sizes: a reader who sees one face must not take five of them for all."""
    found = chosen(catalog, ["6 in IPS DR 11 PE4710"], ["2 in IPS"], ["demo-saddle-screw"], "both")
    view = View(catalog, load_words(), found[0])
    for form in ("a3", "11x17"):
        assert len(lay_out(chart_sheets(view, CODE), chart_medium(form))) == 2


def test_every_chart_can_be_laid_out(catalog: Catalog) -> None:
    """On few faces, whatever its family; its words fit."""
    for combination in grids(catalog):
        sheets = chart_sheets(View(catalog, load_words(), combination), CODE)
        for form in ("a3", "11x17", "letter", "a4"):
            assert 2 <= len(lay_out(sheets, chart_medium(form))) <= 12
