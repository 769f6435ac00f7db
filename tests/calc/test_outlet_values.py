"""The outlet of the supply, what is stated of the generator, and what altitude and heat take off its plate.

In: the demo job of 2 in on 6 in, and of 6 in on 12 in, with other cords, outlets, control units and sites.
Out: a failure that names the value or the row of the fit check that is wrong.

By hand, as in the tests of the power set: 858.0 VA for 2 on 6 in, 4070.0 VA for 6 on 12 in, drop 5 %.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.request import Combination, Reason, request_of
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.job import ControlUnit, Equipment, Site
from packgen.units import quantity
from tests.calc.test_power_checks import catalog, demo_job, labelled, row, worked

UNIT = {"voltage_max": "48 V", "terminals": ("4.7 mm",), "calibrated_until": "2027-01-31"}


def outlet_of(found: Combination) -> tuple[str, str, str]:
    """Outlet, breaker and protection as printed."""
    names = ("outlet", "breaker", "fault_protection")
    return tuple(found.values[f"power.{name}"].text() for name in names)  # type: ignore[return-value]


@pytest.mark.parametrize(("cord", "large", "outlet", "breaker", "protection"), [
    ("12 AWG, 50 ft, 120 V", False, "NEMA 5-15R", "15 A", "GFCI class A (6 mA)"),  # 858.0 / 114 = 7.5 A
    ("10 AWG, 20 ft, 240 V", True, "NEMA 6-20R", "20 A", "GFCI class A (6 mA)"),  # 4070.0 / 228 = 17.9 A
    ("2.5 mm2, 20 m, 230 V", False, "IEC 60309-2 blue 16 A, 2P+E", "16 A", "RCD 30 mA"),  # 3.9 A
    ("6 mm2, 20 m, 230 V", True, "IEC 60309-2 blue 32 A, 2P+E", "32 A", "RCD 30 mA"),  # 18.6 A
    ("2.5 mm2, 20 m, 110 V", False, "IEC 60309-2 yellow 16 A, 2P+E", "16 A", "RCD 30 mA"),  # 8.2 A
])  # fmt: skip
def test_the_smallest_outlet_of_the_cord_s_kind_that_carries_the_current(
    cord: str, large: bool, outlet: str, breaker: str, protection: str
) -> None:
    found = worked(cord=cord, large=large)
    assert outlet_of(found) == (outlet, breaker, protection)
    assert row(found, "supply_outlet").passed is True
    assert found.verdict == "permitted"


@pytest.mark.parametrize(("most", "outlet"), [("7.53 A", "NEMA 5-15R"), ("7.52 A", "NEMA 5-20R")])
@pytest.mark.parametrize("limits", ["current", "breaker"])
def test_an_outlet_carries_the_lesser_of_its_rating_and_its_breaker(
    most: str, outlet: str, limits: str
) -> None:
    """858.0 VA at 114 V are 7.5263 A."""
    smallest, *others = catalog().outlets
    small = smallest.model_copy(update={limits: quantity(most)})
    found = worked(cord="12 AWG, 50 ft, 120 V", facts=replace(catalog(), outlets=(*others, small)))
    assert found.values["power.outlet"].words == outlet


def test_where_no_outlet_carries_the_current_the_joint_is_refused() -> None:
    """4070.0 VA at 114 V are 35.7 A."""
    found = worked(cord="6 AWG, 20 ft, 120 V", large=True)
    assert found.values["power.outlet"].words == "not permitted"
    assert not {"power.breaker", "power.fault_protection"} & set(found.values)
    what = "at 120 V the control unit takes 35.8 A, NEMA L5-30R or TT-30R carries 30 A"
    cure = "take a supply of a higher voltage that the control unit is made for"
    assert found.reasons == (Reason(what, cure),)
    assert row(found, "supply_outlet").limit == "≥ 35.8 A"


@pytest.mark.parametrize("cord", ["12 AWG, 50 ft, 400 V", "12 AWG, 50 ft, 48 V"])
def test_a_voltage_without_a_listed_outlet_is_for_the_crew(cord: str) -> None:
    found = worked(cord=cord)
    assert "power.outlet" not in found.values
    assert [check.key for check in found.checks if check.key == "supply_outlet"] == []


@pytest.mark.parametrize("volts", ["115 V", "110 V", "125 V"])
def test_an_american_outlet_serves_the_voltages_in_use(volts: str) -> None:
    assert worked(cord=f"12 AWG, 50 ft, {volts}").values["power.outlet"].words == "NEMA 5-15R"


def test_without_coil_data_no_outlet_is_named() -> None:
    found = worked(cord="12 AWG, 50 ft, 120 V", facts=labelled(coil_resistance=None))
    assert not {"power.outlet", "power.breaker", "power.fault_protection"} & set(found.values)


def test_the_working_says_why_no_share_is_kept_for_long_loads() -> None:
    working = worked(cord="12 AWG, 50 ft, 120 V").values["power.outlet"].working
    assert working is not None
    assert "whole rating, since a fusion lasts minutes and not hours" in working.words
    assert ("listed", "NEMA 5-15R: 15 A, NEMA 5-20R: 20 A, NEMA L5-30R or TT-30R: 30 A") in working.inputs


def with_unit(least: str | None, facts: Catalog | None = None, **site: Any) -> Combination:
    """The demo job with a least generator on the control unit's plate, at another site."""
    unit = ControlUnit.model_validate({**UNIT, "generator_min": least}, context={}, strict=False)
    update = {"equipment": Equipment(control_unit=unit), "site": Site.model_validate(site)}
    job = demo_job("first-lateral").model_copy(update=update)
    return work_out(request_of(job, job.joints[0], facts or catalog()))


@pytest.mark.parametrize(("least", "watts", "volt_amperes"), [
    ("2 kW", "2 kW", "1,192 VA"), ("900 W", "954 W", "1,192 VA"), (None, "954 W", "1,192 VA"),
    ("3 kVA", "954 W", "3 kVA"), ("1191 VA", "954 W", "1,192 VA"), ("1192 VA", "954 W", "1192 VA"),
])  # fmt: skip
def test_a_least_generator_on_the_control_unit_s_plate_wins_upward_only(
    least: str | None, watts: str, volt_amperes: str
) -> None:
    """953.3 W and 1191.7 VA are worked out."""
    values = with_unit(least).values
    assert values["power.generator_rating"].text() == watts
    assert values["power.generator_rating_apparent"].text() == volt_amperes


def test_the_greater_of_label_and_plate_wins() -> None:
    facts = labelled(generator_min=quantity("3 kW"))
    label = with_unit("2 kW", facts).values["power.generator_rating"]
    assert (label.text(), "label of demo-saddle-screw" in label.sources[0]) == ("3 kW", True)
    plate = with_unit("4 kW", facts).values["power.generator_rating"]
    assert (plate.text(), plate.sources) == ("4 kW", ("control unit's plate, as the job file states it",))


def test_a_plate_is_judged_without_coil_data() -> None:
    found = with_unit("3 kVA", labelled(coil_resistance=None)).values
    assert found["power.generator_rating_apparent"].text() == "3 kVA"
    assert "power.generator_rating" not in found


# 1.25 × 686.4 W over what is left of the plate, by hand: 40² / 3.33 / 0.7 = 686.40 W.
SITES = [
    ({}, 953.334, ["generator-derating"]),
    ({"altitude": "2800 ft"}, 953.334, ["generator-derating"]),  # 9.8 %: the rule's 10 % is more
    # 17.5 %: 858.00 W over 0.825.
    ({"altitude": "5000 ft"}, 1040.001, ["generator-derating-altitude"]),
    # 35 °C is 10 K above 25 °C: 2 % more, 19.5 %.
    ({"altitude": "5000 ft", "ambient": "95 F"}, 1065.840, [
        "generator-derating-altitude", "generator-derating-heat", "generator-derating-reference"]),
    ({"ambient": "95 F"}, 953.334, ["generator-derating"]),  # 2 %
    ({"altitude": "1524 m"}, 1040.001, ["generator-derating-altitude"]),  # 5000 ft
]  # fmt: skip


@pytest.mark.parametrize(("site", "watts", "rules"), SITES)
def test_altitude_and_heat_take_more_off_the_plate_where_the_job_states_them(
    site: dict[str, str], watts: float, rules: list[str]
) -> None:
    value = with_unit(None, **site).values["power.generator_rating"]
    assert value.number == pytest.approx(watts, abs=0.001)
    named = [source.split()[2] for source in value.sources if source.startswith("work rule generator-der")]
    assert named == rules


def test_a_working_names_altitude_and_air() -> None:
    working = with_unit(None, altitude="5000 ft", ambient="95 F").values["power.generator_rating"].working
    assert working is not None
    assert ("altitude", "5000 ft [1,524.00 m]") in working.inputs
    assert ("air", "95 °F [35 °C]") in working.inputs
