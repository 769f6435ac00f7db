"""The window, the dew point and the margin of a joint, and the refusal of a pipe that sweats or is too hot.

In: the demo jobs, with one thing about site, label or work rules changed at a time. Out: a failure that names
the value or the row of the fit check that went wrong. Dew points are worked here from WMO-No. 8, Annex 4.B.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from packgen.calc.request import Check, Combination, Reason, request_of
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.family_records import WindowData
from packgen.publish.selection import one
from packgen.units import quantity
from tests.calc.demo import catalog, demo_job

SADDLE = "demo-saddle-screw"
PLANNED = ("weather.surface_temperature", "weather.dew_point", "weather.dew_margin")
DRIER = "choose an hour with drier air, or shelter the pipe, then dry it and warm it without a flame"


def planned(
    air: str | None = "25 degC", humidity: str | None = "60 %", surface: str | None = "20 degC",
    name: str = "first-lateral", index: int = 0, shelf: Catalog | None = None,
) -> Combination:  # fmt: skip
    """A joint of a demo job, planned for this air, humidity and pipe surface."""
    stated = {"ambient": air, "humidity": humidity, "pipe_surface": surface}
    found = {key: quantity(text) if text else None for key, text in stated.items()}
    job = demo_job(name)
    job = job.model_copy(update={"site": job.site.model_copy(update=found)})
    return work_out(request_of(job, job.joints[index], shelf or catalog()))


def ruled(rule_id: str, value: str) -> Catalog:
    """The catalogue with another value of one work rule."""
    rule = catalog().rules[rule_id].model_copy(update={"value": value})
    return replace(catalog(), rules={**catalog().rules, rule_id: rule})


def labelled(low: str | None, high: str | None) -> Catalog:
    """The catalogue with another window on the saddle's label, or an end of it left out."""
    family = catalog().families[SADDLE]
    coldest, hottest = (quantity(end) if end else None for end in (low, high))
    window = WindowData.model_construct(ambient_min=coldest, ambient_max=hottest)
    every = family.every_pair.model_copy(update={"weather": window})
    changed = family.model_copy(update={"every_pair": every})
    return replace(catalog(), families={**catalog().families, SADDLE: changed})


def text(found: Combination, name: str) -> str:
    """A value as printed."""
    return found.request.text(found.values[name])


def row(found: Combination, key: str) -> Check:
    """The one row of a key."""
    (only,) = [check for check in found.checks if check.key == key]
    return only


# --- the window
# ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("low", "high", "coldest", "hottest"),
    [
        ("-10 degC", "40 degC", "−10 °C [14 °F]", "40 °C [104 °F]"),
        ("20 degF", "50 degC", "20 °F [−6 °C]", "40 °C [104 °F]"),
        ("-20 degC", "95 degF", "−10 °C [14 °F]", "95 °F [35 °C]"),
        (None, "30 degC", "−10 °C [14 °F]", "30 °C [86 °F]"),
        ("5 degC", None, "5 °C [41 °F]", "40 °C [104 °F]"),
        (None, None, "−10 °C [14 °F]", "40 °C [104 °F]"),
    ],
)
def test_the_governing_end_is_printed_as_it_was_written(
    low: str | None, high: str | None, coldest: str, hottest: str
) -> None:
    """The control unit works from −10 to 40 °C (ISO 12176-2:2008, scope); a silent label has no say."""
    found = planned(shelf=labelled(low, high))
    assert text(found, "weather.ambient_min") == coldest
    assert text(found, "weather.ambient_max") == hottest
    for end, stated in (("min", low), ("max", high)):
        assert len(found.values[f"weather.ambient_{end}"].sources) == (1 if stated is None else 2)


@pytest.mark.parametrize(
    ("low", "high", "clash"),
    [
        ("42 degC", "55 degC", "42 °C [108 °F] to 40 °C [104 °F]"),
        ("42 degC", None, "42 °C [108 °F] to 40 °C [104 °F]"),
        (None, "-15 degC", "−10 °C [14 °F] to −15 °C [5 °F]"),
    ],
)
def test_windows_that_share_no_air_are_refused_with_the_ends_that_clash(
    low: str | None, high: str | None, clash: str
) -> None:
    """Also where the label states one end alone, beyond the control unit's other."""
    found = planned(shelf=labelled(low, high))
    what = f"no air suits both fitting and control unit: {clash}"
    assert row(found, "weather").reason == Reason(what, "correct the label's window, or the work rule's")


# --- dew point and margin
# ------------------------------------------------------------------------------------------


def settles(slope: float, offset: float, air: float, humidity: float) -> float:
    """Where this air saturates a surface: e = 6.112 exp(slope t / (offset + t)) solved for t."""
    vapour = humidity / 100.0 * 6.112 * math.exp(17.62 * air / (243.12 + air))
    power = math.log(vapour / 6.112)
    return offset * power / (slope - power)


@pytest.mark.parametrize(("air", "humidity"), [(25.0, 60.0), (10.0, 90.0), (0.0, 70.0), (-8.0, 80.0)])
def test_the_planned_dew_point_is_that_of_water_or_of_frost_where_that_is_warmer(
    air: float, humidity: float
) -> None:
    """WMO-No. 8, Annex 4.B, over water; over ice below freezing (constants over ice from memory)."""
    found = planned(f"{air:g} degC", f"{humidity:g} %", "30 degC")
    water, ice = settles(17.62, 243.12, air, humidity), settles(22.46, 272.62, air, humidity)
    assert (ice > water) == (water < 0.0)
    assert found.number("weather.dew_point") == pytest.approx(max(water, ice), abs=1e-9)
    assert found.number("weather.dew_margin") == pytest.approx(30.0 - max(water, ice), abs=1e-9)


def test_dew_point_and_margin_are_rounded_to_the_safe_side_and_say_how_they_came_about() -> None:
    """25 °C and 60 %: 16.69 °C, 62.04 °F; 20 °C is 3.31 K, 5.96 F° above it."""
    found = planned()
    assert text(found, "weather.dew_point") == "63 °F [17 °C]"
    assert text(found, "weather.dew_margin") == "5.9 F° [3.3 K]"
    dew, margin = found.values["weather.dew_point"], found.values["weather.dew_margin"]
    assert dew.working is not None and margin.working is not None
    assert dew.working.inputs == ("weather.air_temperature", "weather.humidity")
    assert dew.sources == ("WMO-No. 8, Annex 4.B",)
    assert margin.working.inputs == ("weather.surface_temperature", "weather.dew_point")


@pytest.mark.parametrize("index", [0, 1], ids=["saddle", "coupling"])
def test_the_least_margin_is_the_owner_s_for_saddle_and_coupling(index: int) -> None:
    found = planned(name="live-tap", index=index, shelf=ruled("dew-margin", "5 F°"))
    value = found.values["weather.dew_margin_min"]
    assert (value.kind, text(found, value.name)) == ("stated", "5 F° [3 K]")
    assert value.sources == (found.request.catalog.cite_rule("dew-margin"),)
    assert set(PLANNED) <= set(found.values)


def test_the_least_margin_stands_without_a_job_and_what_was_planned_does_not() -> None:
    found = one(catalog(), "6 in IPS DR 11 PE4710", "2 in IPS", SADDLE, quantity("20 degC"), "both")
    assert text(found, "weather.dew_margin_min") == "3 K [6 F°]"
    assert not {*PLANNED, "weather.humidity"} & set(found.values)
    assert not [check for check in found.checks if check.key in ("surface", "dew_margin")]


@pytest.mark.parametrize(
    ("air", "humidity", "surface", "kept"),
    [
        (None, "60 %", "20 degC", {"weather.surface_temperature"}),
        ("25 degC", None, "20 degC", {"weather.surface_temperature"}),
        ("25 degC", "60 %", None, {"weather.dew_point"}),
    ],
)
def test_what_the_job_does_not_plan_is_absent_and_the_crew_measures(
    air: str | None, humidity: str | None, surface: str | None, kept: set[str]
) -> None:
    """The row stands with its limit, judged by nobody here; the joint is permitted."""
    found = planned(air, humidity, surface)
    assert set(PLANNED) & set(found.values) == kept
    left = row(found, "dew_margin")
    assert (left.limit, left.passed, left.reason) == ("≥ 3 K [6 F°]", None, None)
    assert found.verdict == "permitted"


# --- the fit check
# ------------------------------------------------------------------------------------------


def test_a_cold_water_main_on_a_warm_day_is_refused() -> None:
    """12 °C in air of 25 °C and 60 %: 4.7 K below the dew point."""
    found = planned(surface="12 degC")
    what = (
        "the pipe's surface at 12 °C [53 °F] is −8.5 F° [−4.7 K] above the dew point 63 °F [17 °C], "
        "3 K [6 F°] is the least"
    )
    assert found.reasons == (Reason(what, DRIER),)
    assert row(found, "dew_margin").found == "−8.5 F° [−4.7 K]"


def test_the_margin_may_be_met_exactly_and_no_less() -> None:
    """At 100 % the air settles at its own temperature: 13 °C is 3 K above 10, and 12.9 is not."""
    assert row(planned("10 degC", "100 %", "13 degC"), "dew_margin").passed is True
    assert planned("10 degC", "100 %", "12.9 degC").verdict == "refused"
    wider = planned("10 degC", "100 %", "13 degC", shelf=ruled("dew-margin", "3.1 K"))
    assert row(wider, "dew_margin").passed is False


def test_a_pipe_as_hot_as_the_window_is_permitted_and_a_hotter_one_refused() -> None:
    """The sun heats the pipe, not the air, and the waits are chosen by the hotter of the two."""
    assert row(planned(surface="104 degF"), "surface").passed is True
    hot = planned(surface="41 degC")
    what = (
        "the pipe's surface at 41 °C [105 °F] is hotter than 40 °C [104 °F], and no wait is known beyond it"
    )
    assert row(hot, "surface").reason == Reason(what, "shade the pipe, or choose a cooler hour")
    assert row(hot, "surface").reason in hot.reasons and row(hot, "dew_margin").passed is True


def test_air_that_no_formula_takes_is_refused_with_its_own_cure() -> None:
    found = planned(humidity="0 %")
    assert "weather.dew_point" not in found.values
    what = "humidity is 0.0 percent, expected above 0 and at most 100"
    assert found.reasons == (Reason(what, "correct the humidity"),)


@pytest.mark.parametrize("name", ["first-lateral", "metric-lateral", "live-tap"])
def test_demo_jobs_plan_a_dry_pipe(name: str) -> None:
    job = demo_job(name)
    for joint in job.joints:
        found = work_out(request_of(job, joint, catalog()))
        assert row(found, "dew_margin").passed is True and row(found, "surface").passed is True
