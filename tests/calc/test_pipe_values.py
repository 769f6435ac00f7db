"""What a pipe's table and material put into the ledger: listed walls and bands, out-of-round, ratings."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.units import quantity

CONTENT = Path(__file__).parents[2] / "content"
CATALOG: Catalog = load(CONTENT, prose=False)
FAMILY = CATALOG.families["demo-saddle-screw"]


def worked(main: str, lateral: str = "63 mm ISO SDR 11 PE100", air: str = "") -> Combination:
    """A combination of the demo family."""
    pipes = [CATALOG.pipe(read_designation(text)) for text in (main, lateral)]
    return work_out(Request(CATALOG, pipes[0], pipes[1], FAMILY, quantity(air) if air else None))


def gas(tmp_path: Path, main: str = "160 mm ISO SDR 11 PE100", air: str = "20 degC") -> Combination:
    """The metric job in gas."""
    text = (CONTENT / "jobs" / "metric-lateral.yaml").read_text("utf-8")
    for old, new in (
        ("contents: water", "contents: gas"),
        ("main: 160 mm ISO SDR 11 PE100", f"main: {main}"),
        ("ambient: 18 degC", f"ambient: {air}"),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    path = tmp_path / "gas.yaml"
    path.write_text(text, "utf-8")
    (found,) = combinations(load_job(path, CATALOG)[0], CATALOG)
    return found


def test_iso_pipe_has_its_band_and_walls_stated_and_its_bore_worked() -> None:
    """160 mm SDR 11: 160 to 161 mm, 14.6 to 16.2 mm, mean inside diameter 129.7 mm, millimetres first."""
    found = worked("160 mm ISO SDR 11 PE100")
    texts = {
        "outside_diameter_min": ("stated", 160.0),
        "outside_diameter_max": ("stated", 161.0),
        "wall_min": ("stated", 14.6),
        "wall_max": ("stated", 16.2),
        "inside_diameter_mean": ("worked", 129.7),
    }
    for name, (kind, number) in texts.items():
        value = found.values[f"pipe.main.{name}"]
        assert (value.kind, value.number) == (kind, pytest.approx(number, abs=1e-9)), name
    assert found.request.text(found.values["pipe.main.inside_diameter_mean"]).startswith("129.7 mm [")


def test_a_listed_wall_of_inch_pipe_goes_before_the_rule() -> None:
    """1/2 in CTS DR 11 has 0.062 in by its table, 0.057 in by the rule; at DR 9 the rule serves."""
    listed = worked("4 in IPS DR 11 PE4710", "1/2 in CTS DR 11 PE4710").values
    assert listed["pipe.lateral.wall_min"].text() == "0.062 in [1.58 mm]"
    assert listed["pipe.lateral.wall_min"].kind == "stated"
    assert listed["pipe.lateral.inside_diameter_mean"].number == pytest.approx(0.491 * 25.4)
    ruled = worked("4 in IPS DR 11 PE4710", "1/2 in CTS DR 9 PE4710").values
    assert ruled["pipe.lateral.wall_min"].kind == "worked"


@pytest.mark.parametrize(("size", "number"), [("63 mm", 0.945), ("160 mm", 2.4), ("250 mm", 3.75)])
def test_out_of_round_is_never_looser_than_the_work_rule(size: str, number: float) -> None:
    """1.5 % of the diameter is less than each size's out-of-round after extrusion."""
    value = worked(f"{size} ISO SDR 11 PE100").values["pipe.main.out_of_round_max"]
    assert (value.kind, value.number) == ("worked", pytest.approx(number))


def test_a_stated_out_of_round_that_is_stricter_than_the_rule_is_carried() -> None:
    """With a rule of 5 % the 3.2 mm of the table go before its 8 mm."""
    rule = CATALOG.rules["ovality"].model_copy(update={"value": "5 %"})
    loose = replace(CATALOG, rules={**CATALOG.rules, "ovality": rule})
    pipes = [
        loose.pipe(read_designation(text)) for text in ("160 mm ISO SDR 11 PE100", "63 mm ISO SDR 11 PE100")
    ]
    value = work_out(Request(loose, pipes[0], pipes[1], FAMILY)).values["pipe.main.out_of_round_max"]
    assert (value.kind, str(value.stated)) == ("stated", "3.2 mm")


@pytest.mark.parametrize(
    ("air", "factor"), [("20 degC", 1.0), ("20.1 degC", 0.87), ("30 degC", 0.87), ("40 degC", 0.74)]
)
def test_a_material_rated_by_strength_has_its_own_temperature_factors(air: str, factor: float) -> None:
    """Each holds up to its temperature; PE4710 on the same day has those of design stress."""
    assert worked("160 mm ISO SDR 11 PE100", air=air).number("pipe.main.temperature_factor") == factor
    stress = worked("160 mm ISO SDR 11 PE4710", air="26 degC")
    assert stress.number("pipe.main.temperature_factor") == 1.0


def test_above_the_last_factor_there_is_no_rating() -> None:
    """40.1 °C is past the last line for strength."""
    assert "pipe.main.pressure_rating_at" not in worked("160 mm ISO SDR 11 PE100", air="40.1 degC").values


def test_gas_in_iso_pipe_is_rated_by_strength_up_to_its_cap(tmp_path: Path) -> None:
    """PE100 SDR 11 with C 2.0: 10 bar; SDR 9 would be 12.5 and is capped."""
    assert gas(tmp_path).number("pipe.main.pressure_rating") == pytest.approx(1000.0)
    thick = gas(tmp_path, "160 mm ISO SDR 9 PE100")
    assert thick.number("pipe.main.pressure_rating") == 1000.0
    assert gas(tmp_path).verdict == "permitted"


def test_gas_above_20_degrees_is_refused_where_a_pipe_is_rated_by_strength(tmp_path: Path) -> None:
    """No factor is stated for it."""
    (reason,) = gas(tmp_path, air="20.1 degC").reasons
    assert reason.what.startswith("no gas rating is stated for 20.1 °C")


def test_pe100_in_inch_pipe_has_no_gas_rating(tmp_path: Path) -> None:
    """The United States rule asks for a hydrostatic design basis and knows no strength."""
    found = gas(tmp_path, "6 in IPS DR 11 PE100")
    assert "pipe.main.pressure_rating" not in found.values
    assert any("no pressure rating for gas is known" in reason.what for reason in found.reasons)
