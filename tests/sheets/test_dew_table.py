"""The lookup of least pipe temperatures: every cell worked again, safe between rows, legible on a card.

In: the demo jobs' views and catalogues with other windows and margins. Out: a failure that names the cell.
The expected side is WMO-No. 8, Annex 4.B (constants over ice from memory), in decimal arithmetic of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import Literal

import pytest

from packgen.calc.request import request_of
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.sheets.blocks import Section, Step, Table, words_of
from packgen.sheets.dew_table import dew_tables
from packgen.sheets.measure import line_count
from packgen.sheets.media import card_medium, default_form
from packgen.sheets.plan import lay_out
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.view import View
from packgen.sheets.words import Words

D = Decimal
HUMIDITIES = [40, 50, 60, 70, 80, 90, 100]
SIGNS = {"°F": (D("1.8"), D(32)), "°C": (D(1), D(0))}


def settles_at(air: Decimal, humidity: int) -> Decimal:
    """Where the air leaves water or frost, the warmer, degree Celsius."""
    power = (D(humidity) / 100).ln() + D("17.62") * air / (D("243.12") + air)
    both = D("243.12") * power / (D("17.62") - power), D("272.62") * power / (D("22.46") - power)
    return round(max(both), 20)  # saturated air settles at its own temperature, not a trace above it


def least(air: int, sign: str, humidity: int, margin: Decimal) -> int:
    """The least pipe temperature for a reading of a thermometer, rounded up in its own unit."""
    factor, zero = SIGNS[sign]
    celsius = (D(air) - zero) / factor
    exact = (settles_at(celsius, humidity) + margin) * factor + zero
    return int(round(exact, 9).to_integral_value(rounding=ROUND_CEILING))


def number(cell: str) -> int:
    """The whole number of a temperature."""
    return int(cell.partition(" ")[0].replace("−", "-"))


def parts(view: View) -> dict[str, Table]:
    """The tables by the unit that their heading and every cell name."""
    blocks = list(dew_tables(view))
    headings = [block for block in blocks if isinstance(block, Section)]
    tables = [block for block in blocks if isinstance(block, Table)]
    assert blocks == [each for pair in zip(headings, tables, strict=True) for each in pair]
    found = {}
    for heading, table in zip(headings, tables, strict=True):
        sign = next(sign for sign in SIGNS if f" {sign}," in heading.text)
        assert heading.text == f"Least pipe temperature in {sign}, by air and humidity"
        assert [words_of(cell) for cell in table.head] == ["Air", *(f"{each} %" for each in HUMIDITIES)]
        assert all(words_of(cell).endswith(f" {sign}") for row in table.rows for cell in row)
        found[sign] = table
    return found


def cells(table: Table) -> dict[int, list[int]]:
    """The numbers of a table by its air temperatures."""
    return {number(words_of(row[0])): [number(words_of(cell)) for cell in row[1:]] for row in table.rows}


def made(
    catalog: Catalog,
    words: Words,
    job: Job,
    rules: dict[str, str],
    units: Literal["us", "si", "both"] = "both",
) -> View:
    """The first joint of a job with other values of some work rules; its label states no window."""
    changed = {key: catalog.rules[key].model_copy(update={"value": value}) for key, value in rules.items()}
    family = catalog.families[job.joints[0].family]
    silent = family.every_pair.weather.model_copy(update={"ambient_min": None, "ambient_max": None})
    family = family.model_copy(
        update={"every_pair": family.every_pair.model_copy(update={"weather": silent})}
    )
    shelf = replace(
        catalog, rules={**catalog.rules, **changed}, families={**catalog.families, family.id: family}
    )
    return View(shelf, words, work_out(request_of(job, job.joints[0], shelf)), units)


def window(low: str, high: str, margin: str = "3 K") -> dict[str, str]:
    """Work rules for a window and a margin."""
    return {"control-unit-window-min": low, "control-unit-window-max": high, "dew-margin": margin}


def test_every_cell_is_the_dew_or_frost_point_and_the_margin_rounded_up(each_view: View) -> None:
    """All families, both thermometers: 3 K above, the strap's window from −5 °C."""
    margin = each_view.combination.number("weather.dew_margin_min")
    assert margin == 3.0
    tables = parts(each_view)
    assert set(tables) == {"°F", "°C"}
    for sign, table in tables.items():
        found = cells(table)
        assert found == {air: [least(air, sign, each, D(3)) for each in HUMIDITIES] for air in found}


def test_known_cells(each_view: View) -> None:
    """20 °C and 50 % settle at 9.26 °C, 25 and 60 at 16.69, 10 and 90 at 8.43; saturated air at its own."""
    celsius, fahrenheit = cells(parts(each_view)["°C"]), cells(parts(each_view)["°F"])
    assert (celsius[20][1], celsius[25][2], celsius[10][5]) == (13, 20, 12)
    # 104 °F is 40 °C: 43 °C is 109.4 °F.
    assert (celsius[40][6], celsius[20][6], fahrenheit[104][6]) == (43, 23, 110)


@pytest.mark.parametrize(
    ("low", "high", "celsius", "fahrenheit"),
    [
        ("-10 degC", "40 degC", [*range(-10, 41, 5)], [*range(20, 101, 10), 104]),
        ("-5 degC", "40 degC", [*range(-5, 41, 5)], [*range(30, 101, 10), 104]),
        # The last row is the window's hot end, rounded down as everywhere else, and stands once.
        ("14 degF", "100 degF", [*range(-10, 36, 5), 37], [*range(20, 101, 10)]),
        ("-7.5 degC", "40.4 degC", [*range(-5, 36, 5), 40], [*range(20, 101, 10), 104]),
        ("0 degC", "42 degC", [*range(0, 41, 5), 42], [*range(40, 101, 10), 107]),
    ],
)
def test_rows_cover_the_window(
    low: str, high: str, celsius: list[int], fahrenheit: list[int],
    catalog: Catalog, words: Words, job_of: Callable[[str], Job],
) -> None:  # fmt: skip
    tables = parts(made(catalog, words, job_of("first-lateral"), window(low, high)))
    assert (list(cells(tables["°C"])), list(cells(tables["°F"]))) == (celsius, fahrenheit)


def test_the_last_row_is_worked_at_the_window_s_own_end_and_not_at_its_rounded_label(
    catalog: Catalog, words: Words, job_of: Callable[[str], Job]
) -> None:
    """40.4 °C saturated asks for 43.4 °C: the row is labelled 40 °C and says 44."""
    tables = parts(made(catalog, words, job_of("first-lateral"), window("0 degC", "40.4 degC")))
    assert cells(tables["°C"])[40][6] == 44


def test_the_owner_s_margin_moves_every_cell(
    catalog: Catalog, words: Words, job_of: Callable[[str], Job]
) -> None:
    tables = parts(
        made(catalog, words, job_of("first-lateral"), window("-10 degC", "40 degC", margin="9 F°"))
    )
    for sign, table in tables.items():
        found = cells(table)
        assert found == {air: [least(air, sign, each, D(5)) for each in HUMIDITIES] for air in found}


def test_the_next_hotter_row_and_damper_column_are_safe_for_every_reading_between(each_view: View) -> None:
    """Each whole degree and percent of the window, colder and drier than the table too."""
    low, high = (each_view.combination.number(f"weather.ambient_{end}") for end in ("min", "max"))
    assert low is not None and high is not None
    found = cells(parts(each_view)["°C"])
    for air in range(int(low), int(high) + 1):
        row = next(found[each] for each in found if each >= air)
        for humidity in range(5, 101, 5):
            column = next(at for at, each in enumerate(HUMIDITIES) if each >= humidity)
            assert row[column] >= settles_at(D(air), humidity) + 3, (air, humidity)


def test_the_lookup_rises_with_air_and_with_humidity(each_view: View) -> None:
    for table in parts(each_view).values():
        found = list(cells(table).values())
        assert all(row == sorted(row) for row in found)
        assert all(list(column) == sorted(column) for column in zip(*found, strict=True))


def test_damp_air_asks_for_a_pipe_warmer_than_itself(each_view: View) -> None:
    """The cell says so rather than stop at the air: in saturated air nothing as cold as the air stays dry."""
    found = cells(parts(each_view)["°C"])
    assert all(row[6] > air for air, row in found.items())


@pytest.mark.parametrize(
    ("name", "units", "order"),
    [
        ("first-lateral", "both", ["°F", "°C"]),
        ("metric-lateral", "both", ["°C", "°F"]),
        ("first-lateral", "si", ["°C"]),
        ("metric-lateral", "us", ["°F"]),
    ],
)
def test_the_pipe_s_own_thermometer_comes_first(
    name: str, units: Literal["us", "si", "both"], order: list[str],
    catalog: Catalog, words: Words, job_of: Callable[[str], Job],
) -> None:  # fmt: skip
    assert list(parts(made(catalog, words, job_of(name), {}, units))) == order


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_card_holds_each_table_whole_and_every_cell_on_one_line(
    paper: Literal["letter", "a4"], each_view: View
) -> None:
    """Eight points or more; a table that stands on two faces would be read on the wrong one."""
    medium = card_medium(default_form(paper))
    assert medium.label >= 8.0
    sheets = [sheet for sheet in procedure_sheets(each_view, medium, "cards") if sheet.id == "wipe-dry"]
    tables = [block for face in lay_out(sheets, medium) for block in face.blocks if isinstance(block, Table)]
    wanted = list(parts(each_view).values())
    assert [(table.head, table.rows) for table in tables] == [(each.head, each.rows) for each in wanted]
    for table in tables:
        size = medium.label if table.small else medium.table
        widths = [share * medium.inner - 2.4 for share in table.shares]
        for row in (table.head, *table.rows):
            lines = [line_count(cell, size, width) for cell, width in zip(row, widths, strict=True)]
            assert set(lines) == {1}


def test_a_card_carries_the_lookup_once_and_the_steps_round_it(each_view: View) -> None:
    """Read, look up, judge before the wipe; read and judge again before power, by the same table."""
    medium = card_medium("quarter-letter")
    sheets = list(procedure_sheets(each_view, medium, "cards"))
    titled = [
        sheet.id
        for sheet in sheets
        for block in sheet.blocks
        if isinstance(block, Section) and block.text.startswith("Least pipe temperature")
    ]
    assert titled == ["wipe-dry", "wipe-dry"]
    steps = [block for sheet in sheets for block in sheet.blocks if isinstance(block, Step)]
    boxes = {
        step.id: step.write for step in steps if "pipe temperature" in step.write or "surface" in step.write
    }
    assert boxes["dew-read"] == "Air, humidity, pipe surface"
    assert boxes["dew-read-again"] == "Air, humidity, pipe surface, again"
    order = [step.id for step in steps]
    assert order.index("dew-read") < order.index("above-dew") < order.index("fully-dry")
    assert order.index("leads-hung") < order.index("dry-before-power") < order.index("fusion-started")
    assert next(step.gate for step in steps if step.id == "dry-before-power") == "hold"
    (again,) = [words_of(step.line) for step in steps if step.id == "least-pipe-again"]
    title = next(sheet.title for sheet in sheets if sheet.id == "wipe-dry")
    assert f"the table in {title}" in again


def test_only_a_full_water_main_is_said_to_sweat(
    views_of: Callable[..., list[View]], job_of: Callable[[str], Job]
) -> None:
    """Isolated or live, under a saddle: a dry main, gas and a coupling's lateral hold no cold water."""
    found = {
        (name, at)
        for name in ("first-lateral", "repair-tie-in", "live-tap", "service-tap")
        for at, view in enumerate(views_of(job_of(name)))
        for sheet in procedure_sheets(view, card_medium("quarter-letter"), "cards")
        for block in sheet.blocks
        if isinstance(block, Step) and block.id == "drier-hour-chosen"
    }
    assert found == {("repair-tie-in", 0), ("service-tap", 0)}
