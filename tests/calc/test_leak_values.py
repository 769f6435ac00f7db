"""Test pressures, water, make-up and end force of a joint, and the refusal of a pressure out of bounds.

In: the demo jobs, with one thing about job, joints, tools or work rules changed at a time. Out: a failure
that names the value or the row of the fit check that went wrong. Numbers are worked by hand, from the figures
beside them.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from packgen.calc.request import Combination, request_of
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.job import Job, LeakTest
from packgen.units import quantity
from tests.calc.demo import catalog, demo_job

PSI, INCH, FOOT = 6.894757293168361, 25.4, 304.8
MAKEUP = "leak-test-water-makeup"


def worked(job: Job, index: int = 0, shelf: Catalog | None = None) -> Combination:
    """One joint of a job, worked out."""
    return work_out(request_of(job, job.joints[index], shelf or catalog()))


def stating(name: str, pressure: str | None, index: int = 0) -> Combination:
    """A joint of a demo job whose test is stated at a pressure, or not stated."""
    stated = LeakTest(pressure=quantity(pressure), hold=quantity("45 min")) if pressure else None
    return worked(demo_job(name).model_copy(update={"leak_test": stated}), index)


def with_length(name: str, length: str | None, index: int = 0) -> Job:
    """A demo job in which one joint states its lateral's length, or none does."""
    joints = [joint.model_copy(update={"lateral_length": None}) for joint in demo_job(name).joints]
    found = quantity(length) if length else None
    joints[index] = joints[index].model_copy(update={"lateral_length": found})
    return demo_job(name).model_copy(update={"joints": tuple(joints)})


def ruled(rule_id: str, value: str | int) -> Catalog:
    """The catalogue with another value of one work rule."""
    rule = catalog().rules[rule_id].model_copy(update={"value": value})
    return replace(catalog(), rules={**catalog().rules, rule_id: rule})


def weaker(family_id: str, pressure: str) -> Catalog:
    """The catalogue with another pressure on the label of one family."""
    family = catalog().families[family_id]
    every = family.every_pair.model_copy(update={"pressure_max": quantity(pressure)})
    changed = family.model_copy(update={"every_pair": every})
    return replace(catalog(), families={**catalog().families, family_id: changed})


def test_pressure_and_hold_are_carried_from_the_job() -> None:
    found = stating("first-lateral", "250 psi").values
    assert [found[name].kind for name in ("test.pressure", "test.hold")] == ["stated", "stated"]
    assert found["test.pressure"].text() == "250 psi [1,724 kPa]"
    assert found["test.hold"].text() == "45 min"
    assert found["test.pressure"].sources == ("job file",)


def test_what_no_job_states_is_neither_worked_nor_made_up() -> None:
    assert not {"test.pressure", "test.hold"} & stating("first-lateral", None).values.keys()


# Gas at 60 psi is tested at 90 psi at least (49 CFR 192.513); valve and machine bear 150 psi. Water is
# tested at 1.5 times 200 psi at most.
BOUNDS = [
    ("live-tap", "90 psi", None),
    ("live-tap", "150 psi", None),
    ("live-tap", "89.9 psi", "below what the rule asks for, 90 psi [621 kPa]"),
    ("live-tap", "150.1 psi", "above what joint and tools bear, 150 psi [1,034 kPa]"),
    ("first-lateral", "300 psi", None),
    ("first-lateral", "300.1 psi", "above what joint and tools bear, 300 psi [2,068 kPa]"),
]


@pytest.mark.parametrize(("name", "pressure", "why"), BOUNDS)
def test_a_stated_pressure_stays_within_its_limits(name: str, pressure: str, why: str | None) -> None:
    """Met exactly it is permitted; just beyond it is refused, with both pressures and the cure."""
    found = stating(name, pressure)
    rows = [row for row in found.checks if row.key == "test_pressure"]
    assert len(rows) == (2 if name == "live-tap" else 1)
    failed = [row.reason for row in rows if row.reason]
    if why is None:
        assert not failed and found.verdict == "permitted"
        return
    (reason,) = failed
    assert reason.what == f"the test pressure {found.values['test.pressure'].text()} is {why}"
    assert "leak_test" in reason.cure
    assert reason in found.reasons


def test_an_unstated_pressure_is_not_judged() -> None:
    assert not [row for row in stating("live-tap", None).checks if row.key == "test_pressure"]


@pytest.mark.parametrize("index", [0, 1])
def test_the_weakest_joint_of_one_test_limits_it(index: int) -> None:
    """A coupling of 120 psi in the saddle's test: 1.5 × 120 psi for both, though the saddle bears 200."""
    found = worked(demo_job("service-tap"), index, weaker("demo-coupling", "120 psi"))
    assert found.number("test.pressure_max") == pytest.approx(180 * PSI)
    working = found.values["test.pressure_max"].working
    assert working is not None
    other = "J1" if index else "J2"
    assert f"greatest pressure of {other}, tested with it" in [label for label, *_ in working.inputs]
    assert found.number("joint.pressure_max") == pytest.approx((120 if index else 200) * PSI)


def test_a_joint_that_is_tested_apart_limits_nothing() -> None:
    """Of two branches each holds its own test."""
    found = worked(demo_job("valve-isolation"), 0, weaker("demo-saddle-strap", "80 psi"))
    assert found.number("test.pressure_max") == pytest.approx(300 * PSI)


def test_a_branch_is_not_limited_by_a_coupling_that_carries_another() -> None:
    """The coupling of 120 psi carries no lateral of this job."""
    job = demo_job("service-tap")
    loose = job.joints[1].model_copy(update={"carries": None})
    apart = job.model_copy(update={"joints": (job.joints[0], loose)})
    found = worked(apart, 0, weaker("demo-coupling", "120 psi"))
    assert found.number("test.pressure_max") == pytest.approx(300 * PSI)


def test_water_in_heat_is_tested_lower() -> None:
    """AWWA M55, table 4-6: at 95 °F a factor of 0.8, so 160 psi, and 1.5 times that."""
    job = demo_job("first-lateral")
    site = job.site.model_copy(update={"ambient": quantity("95 degF")})
    assert worked(job.model_copy(update={"site": site})).number("test.pressure_max") == pytest.approx(
        240 * PSI
    )


def test_the_water_that_fills_the_lateral() -> None:
    """2 in IPS DR 11 has a mean bore of 1.91708 in; 100 ft of it hold 15.0 US gallons of 231 cubic inches."""
    found = worked(with_length("first-lateral", "100 ft"))
    gallons = math.pi / 4 * 1.91708**2 * 1200 / 231
    assert found.number("test.fill_volume") == pytest.approx(gallons * 231 * INCH**3 / 1e6, rel=1e-9)
    assert found.values["test.fill_volume"].text("us") == "15.0 US gal"


def test_a_coupling_fills_what_its_branch_does() -> None:
    """Its own length goes before that of the branch."""
    shared = worked(with_length("service-tap", "60 ft"), 1).number("test.fill_volume")
    assert shared == worked(with_length("service-tap", "60 ft")).number("test.fill_volume")
    job = with_length("service-tap", "60 ft")
    own = job.joints[1].model_copy(update={"lateral_length": quantity("30 ft")})
    halved = worked(job.model_copy(update={"joints": (job.joints[0], own)}), 1).number("test.fill_volume")
    assert shared is not None and halved == pytest.approx(shared / 2)


def test_nothing_is_filled_where_no_length_is_stated_or_gas_is_the_contents() -> None:
    assert "test.fill_volume" not in worked(with_length("first-lateral", None)).values
    gas = worked(with_length("live-tap", "50 ft")).values
    assert not {"test.fill_volume", "test.makeup_volume"} & gas.keys()


@pytest.mark.parametrize("length", ["100 ft", None])
def test_fused_joints_take_no_make_up_however_long_the_lateral(length: str | None) -> None:
    """ASTM F2164, clause 5.4."""
    found = worked(with_length("first-lateral", length)).values["test.makeup_volume"]
    assert (found.words, found.number, found.kind) == ("none", None, "worked")
    assert catalog().cite_rule(MAKEUP) in found.sources


def test_an_owner_s_share_of_make_up_is_worked_from_the_fill() -> None:
    """1 % of 15.0 gallons rounds down to 0.15; without a length nothing is known."""
    shelf = ruled(MAKEUP, "1 %")
    found = worked(with_length("first-lateral", "100 ft"), shelf=shelf)
    fill, makeup = found.number("test.fill_volume"), found.number("test.makeup_volume")
    assert fill is not None and makeup == pytest.approx(fill / 100)
    assert found.values["test.makeup_volume"].text("us") == "0.14 US gal"
    assert "test.makeup_volume" not in worked(with_length("first-lateral", None), shelf=shelf).values


# p π/4 d² by hand: on the greatest diameter, 2.381 in of 2 in IPS and 1.130 in of 1 in CTS; psi.
FORCES = [
    ("first-lateral", None, 0, 300, 2.381),
    ("first-lateral", "120 psi", 0, 120, 2.381),
    ("service-tap", "120 psi", 0, 120, 1.130),
    # Against the shut valve the lateral has a pressure of its own, up to the limit; so has a coupling.
    ("live-tap", "100 psi", 0, 150, 2.381),
    ("live-tap", "100 psi", 1, 150, 2.381),
]


@pytest.mark.parametrize(("name", "stated", "index", "psi", "inches"), FORCES)
def test_what_pushes_on_the_end(name: str, stated: str | None, index: int, psi: float, inches: float) -> None:
    pounds = psi * math.pi / 4 * inches**2
    found = stating(name, stated, index).number("test.end_force")
    assert found == pytest.approx(pounds * 4.4482216152605, rel=1e-9)


def test_without_a_job_nothing_is_tested() -> None:
    request = request_of(demo_job("first-lateral"), demo_job("first-lateral").joints[0], catalog())
    found = work_out(replace(request, job=None, joint=None)).values
    assert not [name for name in found if name.startswith("test.")]


def test_a_joint_without_a_rating_has_no_limit_and_no_force() -> None:
    job = demo_job("first-lateral")
    bare: dict[str, Any] = {"lateral": replace(job.joints[0].lateral, material=None)}
    unrated = job.model_copy(update={"joints": (job.joints[0].model_copy(update=bare),)})
    assert not {"test.pressure_max", "test.end_force"} & worked(unrated).values.keys()
