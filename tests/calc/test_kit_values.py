"""The kit of a job: with its first joint alone, for all of its joints.

In: the demo jobs, with joints, labels and rules changed. Out: a failure that names the value that is wrong.
The numbers of the demo jobs themselves are worked by hand in tests/references.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from packgen.calc.request import Combination
from packgen.model.catalog import Catalog
from packgen.model.job import Job, Joint
from packgen.model.job_load import load_job
from packgen.publish.job import combinations
from packgen.units import quantity
from tests.calc.demo import CONTENT, catalog


@cache
def job_of(name: str) -> Job:
    """A demo job."""
    return load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())[0]


def kit_of(combination: Combination) -> dict[str, str]:
    """The values of the kit as printed."""
    found = combination.values.items()
    return {name.removeprefix("kit."): value.text() for name, value in found if name.startswith("kit.")}


def ruled(**values: str | int) -> Catalog:
    """The content with other values of some rules of the kit."""
    rules = dict(catalog().rules)
    for name, value in values.items():
        rule = "kit-" + name.replace("_", "-")
        rules[rule] = rules[rule].model_copy(update={"value": value})
    return replace(catalog(), rules=rules)


def three_saddles() -> Job:
    """The first demo job with its joint three times."""
    job = job_of("first-lateral")
    (joint,) = job.joints
    joints: tuple[Joint, ...] = tuple(joint.model_copy(update={"id": name}) for name in ("J1", "J2", "J3"))
    return job.model_copy(update={"joints": joints})


@pytest.mark.parametrize("name", ["live-tap", "service-tap", "valve-isolation"])
def test_the_kit_stands_with_the_first_joint_alone(name: str) -> None:
    first, second = combinations(job_of(name), catalog())
    assert set(kit_of(first)) >= {"wipes", "blades", "fittings"}
    assert kit_of(second) == {}


def test_equal_joints_share_their_spares() -> None:
    """Six surfaces, three wipes each and half as many again; three peels, a spare blade; one saw."""
    found = kit_of(combinations(three_saddles(), catalog())[0])
    assert found["wipes"] == "27"
    assert found["blades"] == "4"
    assert found["fittings"] == "4 × demo-saddle-screw 2 in IPS on 6 in IPS"
    assert found["hole_saws"] == "1 × 1-3/4 in [44.4 mm]"
    one = kit_of(combinations(job_of("first-lateral"), catalog())[0])
    assert (one["fittings"], one["wipes"]) == ("2 × demo-saddle-screw 2 in IPS on 6 in IPS", "9")


def test_each_rule_of_the_kit_counts() -> None:
    """Two wipes a surface without spare; two peels a blade, two spare; no spare fitting; two cuts a saw."""
    rules = ruled(
        wipes_a_surface=2, spare="0 %", peels_a_blade=2, spare_blades=2, spare_fittings=0, cuts_a_saw=2,
        liquid="4 L/m2",
    )  # fmt: skip
    (usual, *_), (other, *_) = (combinations(three_saddles(), facts) for facts in (catalog(), rules))
    found = kit_of(other)
    assert (found["wipes"], found["blades"]) == ("12", "4")
    assert found["fittings"] == "3 × demo-saddle-screw 2 in IPS on 6 in IPS"
    assert found["hole_saws"] == "2 × 1-3/4 in [44.4 mm]"
    before, after = usual.number("kit.solvent"), other.number("kit.solvent")
    assert before and after == pytest.approx(before * 2 / 1.5, rel=1e-12)


def test_each_size_of_pipe_has_a_peeler_with_a_spare_blade() -> None:
    """One peel of the main, two of the lateral's ends: two blades and three."""
    first = combinations(job_of("live-tap"), catalog())[0]
    assert kit_of(first)["blades"] == "5"


def test_a_saw_that_nobody_can_work_out_is_one_to_enter() -> None:
    first = combinations(job_of("valve-isolation"), catalog())[0]
    assert kit_of(first)["hole_saws"].endswith("; 1 × saw entered for J2")


def test_liquid_is_not_guessed_where_a_label_states_no_base() -> None:
    """J2 of that job has the plain label alone."""
    first = combinations(job_of("valve-isolation"), catalog())[0]
    assert "solvent" not in kit_of(first)
    assert kit_of(first)["wipes"] == "18"


def test_a_built_in_cutter_takes_no_saw() -> None:
    first = combinations(job_of("service-tap"), catalog())[0]
    assert "hole_saws" not in kit_of(first)


def test_an_impossible_joint_is_refused_itself_and_leaves_the_kit_out() -> None:
    """A peel deeper than the wall: the reason stands with J2 alone."""
    family = catalog().families["demo-saddle-bolt"]
    peel = family.every_pair.peel.model_copy(update={"depth_max": quantity("40 mm")})
    shared = family.every_pair.model_copy(update={"peel": peel})
    pairs = tuple(pair.model_copy(update={"peel": peel}) for pair in family.pairs)
    wrong = family.model_copy(update={"every_pair": shared, "pairs": pairs})
    facts = replace(catalog(), families={**catalog().families, family.id: wrong})
    job = job_of("first-lateral")
    (joint,) = job.joints
    bad = joint.model_copy(update={"id": "J2", "family": family.id})
    first, second = combinations(job.model_copy(update={"joints": (joint, bad)}), facts)
    assert kit_of(first) == {}
    assert first.reasons == ()
    assert second.reasons != ()


def test_the_order_of_joints_does_not_change_what_is_brought() -> None:
    job = job_of("live-tap")
    saddle, coupling = job.joints
    turned = job.model_copy(update={"joints": (coupling, saddle)})
    there = combinations(job, catalog())[0]
    back = combinations(turned, catalog())[0]
    assert back.request.joint == coupling
    for name in ("kit.solvent", "kit.wipes", "kit.blades"):
        assert there.number(name) == pytest.approx(back.number(name), rel=1e-12)
