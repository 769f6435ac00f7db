"""Generator and supply cord: each limit where it is met and just beyond; each refusal gives its cure.

In: the demo job of 2 in on 6 in, and of 6 in on 12 in, with another power set, label or table of conductors.
Out: a failure that names the value or the row of the fit check that is wrong.

By hand, with 70 % efficiency, power factor 80 %, margin 25 %, derating 10 %, drop 5 %, coil ±10 %:
2 on 6 in, 40 V on 3.70 Ω: 953.33 W, 1191.67 VA at the generator, 858.0 VA taken in.
6 on 12 in, 40 V on 0.78 Ω: 4522.23 W, 5652.78 VA at the generator, 4070.0 VA taken in.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from pydantic import ValidationError

from packgen.calc.request import Check, Combination, Reason, request_of
from packgen.calc.work_out import work_out
from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.family_records import FuseData
from packgen.model.job import Equipment
from packgen.model.job_load import load_job
from packgen.model.power_records import size_key
from packgen.register import CORD_LENGTHS, REGISTER, conductor_size, cord_name
from packgen.units import quantity
from tests.calc.demo import CONTENT, catalog, demo_job

SADDLE = "demo-saddle-screw"
LARGE = ("12 in IPS DR 11 PE4710", "6 in IPS DR 11 PE4710")
OWN_CORD = CORD_LENGTHS.rstrip(".")
CORD_CURE = "take a shorter or a thicker supply cord, or stand the generator nearer"


def labelled(**fuse: Any) -> Catalog:
    """The content with something else in the fusion data of every label."""
    family = catalog().families[SADDLE]

    def changed(label: Any) -> Any:
        return label.model_copy(update={"fuse": label.fuse.model_copy(update=fuse)})

    pairs = tuple(changed(pair) for pair in family.pairs)
    family = family.model_copy(update={"every_pair": changed(family.every_pair), "pairs": pairs})
    return replace(catalog(), families={SADDLE: family})


def worked(
    generator: str | None = None, cord: str | None = None, facts: Catalog | None = None, large: bool = False
) -> Combination:
    """The job with a generator and a cord ("12 AWG, 50 ft, 120 V"), worked out; `large` is 6 in on 12 in."""
    equipment: dict[str, Any] = {"generator": generator} if generator else {}
    if cord:
        size, length, voltage = cord.split(", ")
        equipment["supply_cord"] = {"size": size, "length": length, "voltage": voltage}
    changes: dict[str, Any] = {"equipment": Equipment.model_validate(equipment)}
    joint = demo_job("first-lateral").joints[0]
    if large:
        changes["main"] = read_designation(LARGE[0])
        joint = joint.model_copy(update={"lateral": read_designation(LARGE[1])})
    job = demo_job("first-lateral").model_copy(update={**changes, "joints": (joint,)})
    return work_out(request_of(job, joint, facts or catalog()))


def row(combination: Combination, key: str) -> Check:
    """The one row of a key."""
    rows = [check for check in combination.checks if check.key == key]
    assert len(rows) == 1, f"{key} has {len(rows)} rows"
    return rows[0]


def power_texts(combination: Combination) -> dict[str, str]:
    """Every power value as printed."""
    found = combination.values.items()
    return {name: value.text() for name, value in found if name.startswith("power.")}


def test_the_values_of_a_job_s_power_set() -> None:
    """201 ft: 6 × 114 / (2 × 858.0 × 1.98 per kft) = 201.3 ft; 858.0 / 114 = 7.53 A: by hand."""
    assert power_texts(worked("3.5 kW", "12 AWG, 50 ft, 120 V")) == {
        "power.supply_voltage": "120 V",
        "power.supply_current": "7.6 A",
        "power.generator_rating": "954 W",
        "power.generator_rating_apparent": "1,192 VA",
        "power.outlet": "NEMA 5-15R",
        "power.breaker": "15 A",
        "power.fault_protection": "GFCI class A (6 mA)",
        OWN_CORD: "201 ft [61.3 m]",
        f"{CORD_LENGTHS}120_v.awg_12": "201 ft [61.3 m]",
    }


def test_without_a_job_every_listed_cord_is_worked_out() -> None:
    joint = demo_job("first-lateral").joints[0]
    request = replace(request_of(demo_job("first-lateral"), joint, catalog()), job=None, joint=None)
    found = power_texts(work_out(request))
    assert len([name for name in found if name.startswith(CORD_LENGTHS)]) == 28
    assert found[f"{CORD_LENGTHS}120_v.awg_12"] == "201 ft [61.3 m]"
    assert not {"power.supply_voltage", "power.supply_current", OWN_CORD} & set(found)


@pytest.mark.parametrize("missing", ["voltage", "coil_resistance", "coil_tolerance"])
def test_what_the_label_does_not_state_leaves_everything_worked_absent(missing: str) -> None:
    found = worked("3.5 kW", "12 AWG, 50 ft, 120 V", labelled(**{missing: None}))
    assert power_texts(found) == {"power.supply_voltage": "120 V"}
    for key in ("generator", "cord"):
        assert (row(found, key).passed, row(found, key).limit) == (None, "control unit's plate")


@pytest.mark.parametrize(("large", "enough", "short", "limit"), [
    (False, "954 W", "953 W", "954 W"),
    (True, "4.523 kW", "4.522 kW", "4,523 W"),
])  # fmt: skip
def test_a_generator_gives_the_least_power_or_is_refused(
    large: bool, enough: str, short: str, limit: str
) -> None:
    assert row(worked(enough, large=large), "generator").passed is True
    found = worked(short, large=large)
    what = f"the generator gives {quantity(short)}, this joint needs one of {limit}"
    assert row(found, "generator").passed is False
    assert found.reasons == (Reason(what, "take a larger generator"),)


def test_the_demo_s_generator_is_too_small_for_the_largest_fitting() -> None:
    assert worked("3.5 kW", large=True).verdict == "refused"
    assert worked("3.5 kW").verdict == "permitted"


@pytest.mark.parametrize(("plate", "passed"), [("1.192 kVA", True), ("1191 VA", False)])
def test_a_plate_in_volt_amperes_is_judged_by_them(plate: str, passed: bool) -> None:
    """What it gives in watts stays for the crew to read."""
    found = worked(plate)
    assert row(found, "generator_apparent").passed is passed
    assert row(found, "generator").passed is None
    assert found.verdict == ("permitted" if passed else "refused")


@pytest.mark.parametrize(("plate", "refused"), [("953 VA", 1), ("0.953 kVA", 1), ("954 VA", 0)])
def test_a_plate_in_volt_amperes_below_the_watts_needed_is_refused_for_both(plate: str, refused: int) -> None:
    """Power never exceeds apparent power: 953 VA cannot be 954 W, and 954 VA may be."""
    found = worked(plate, facts=labelled(coil_resistance=None, generator_min=quantity("954 W")))
    assert row(found, "generator").passed is (False if refused else None)
    assert len(found.reasons) == refused
    if refused:
        what = f"the generator gives {quantity(plate)}, this joint needs one of 954 W"
        assert found.reasons == (Reason(what, "take a larger generator"),)


@pytest.mark.parametrize(("plate", "passed"), [("1192 W", True), ("1191 W", None)])
def test_a_plate_in_watts_proves_volt_amperes_only_where_it_reaches_them(
    plate: str, passed: bool | None
) -> None:
    """Its volt-amperes are never less than its watts, and may be more: below, the crew reads them."""
    found = worked(plate)
    assert row(found, "generator").passed is True
    assert row(found, "generator_apparent").passed is passed
    assert found.verdict == "permitted"


@pytest.mark.parametrize(("stated", "text", "kind"), [
    ("2 kW", "2 kW", "stated"), ("954 W", "954 W", "stated"), ("900 W", "954 W", "worked"),
])  # fmt: skip
def test_a_least_generator_on_the_label_wins_upward_only(stated: str, text: str, kind: str) -> None:
    found = worked(facts=labelled(generator_min=quantity(stated))).values["power.generator_rating"]
    assert (found.text(), found.kind) == (text, kind)


def test_a_least_generator_on_the_label_is_judged_without_coil_data() -> None:
    facts = labelled(generator_min=quantity("2 kW"), coil_resistance=None)
    assert row(worked("2 kW", facts=facts), "generator").passed is True
    assert row(worked("1.999 kW", facts=facts), "generator").passed is False


# Size, voltage, longest permitted length in whole feet or metres, one more, as printed.
CORDS = [
    ("12 AWG", "120 V", "201 ft", "202 ft", "201 ft [61.3 m]"),
    ("#12 awg", "120 V", "201 ft", "202 ft", "201 ft [61.3 m]"),
    ("14 AWG", "120 V", "126 ft", "127 ft", "126 ft [38.6 m]"),
    ("2.5 mm²", "230 V", "150.8 m", "150.9 m", "495 ft [150.8 m]"),
    ("2.5 mm2", "110 V", "34.5 m", "34.6 m", "113 ft [34.5 m]"),
    ("12 AWG", "115 V", "184 ft", "185 ft", "184 ft [56.3 m]"),
]


@pytest.mark.parametrize(("size", "voltage", "longest", "longer", "limit"), CORDS)
def test_a_cord_may_be_the_longest_and_no_longer(
    size: str, voltage: str, longest: str, longer: str, limit: str
) -> None:
    met = worked(cord=f"{size}, {longest}, {voltage}")
    assert (row(met, "cord").passed, row(met, "cord").limit) == (True, f"≤ {limit}")
    assert met.verdict == "permitted"
    found = worked(cord=f"{size}, {longer}, {voltage}")
    assert row(found, "cord").passed is False
    assert [reason.cure for reason in found.reasons] == [CORD_CURE]
    what = found.reasons[0].what
    assert what.startswith(f"the supply cord of {conductor_size(size)} is {longer} [")
    assert row(met, "cord").found.startswith(f"{conductor_size(size)}, {longest} [")
    assert what.endswith(f"at {voltage} it may be {limit}")


def test_a_conductor_that_may_not_carry_the_current_is_refused_at_any_length() -> None:
    """4070.0 VA at 114 V are 35.7 A: a conductor for 30 A is too thin, one for 40 A is not."""
    found = worked(cord="10 AWG, 1 ft, 120 V", large=True)
    assert found.values[OWN_CORD].text() == "not permitted"
    assert found.values[OWN_CORD].number is None
    what = "the control unit takes 35.8 A, a supply cord of 10 AWG carries 30 A"
    assert row(found, "cord").reason == Reason(what, "take a thicker supply cord")
    assert row(worked(cord="8 AWG, 50 ft, 120 V", large=True), "cord").passed is True
    assert worked(cord="10 AWG, 50 ft, 240 V", large=True).verdict == "permitted"


@pytest.mark.parametrize(("ampacity", "length"), [("7.53 A", "201 ft [61.3 m]"), ("7.52 A", "not permitted")])
def test_a_conductor_may_carry_exactly_its_ampacity(ampacity: str, length: str) -> None:
    """858.0 VA at 114 V are 7.5263 A."""
    thin = catalog().conductors["awg-12"].model_copy(update={"ampacity": quantity(ampacity)})
    facts = replace(catalog(), conductors={"awg-12": thin})
    assert worked(cord="12 AWG, 50 ft, 120 V", facts=facts).values[OWN_CORD].text() == length


def test_a_cord_of_an_unlisted_conductor_is_for_the_crew() -> None:
    found = worked(cord="13 AWG, 50 ft, 120 V")
    assert (row(found, "cord").passed, row(found, "cord").limit) == (None, "control unit's plate")
    assert OWN_CORD not in found.values
    assert found.values["power.supply_current"].text() == "7.6 A"
    assert found.verdict == "permitted"


def test_one_size_is_one_key_however_it_is_written() -> None:
    assert {size_key(each) for each in ("12 AWG", "#12 AWG", "12awg", " 12 Awg", "# 12-AWG")} == {"12 awg"}
    assert size_key("2.5 mm²") == size_key("2.5mm2") == size_key("2.50 MM2") != size_key("25 mm2")
    assert size_key("4/0 AWG") != size_key("4 AWG") and size_key("12/3 AWG") != size_key("12 AWG")


@pytest.mark.parametrize(("written", "printed", "name"), [
    ("#12 AWG", "12 AWG", "120_v.awg_12"), ("12awg", "12 AWG", "120_v.awg_12"),
    ("2.5 mm²", "2.5 mm²", "120_v.mm2_2_5"), ("2.5mm2", "2.5 mm²", "120_v.mm2_2_5"),
    ("16 mm2", "16 mm²", "120_v.mm2_16"),
])  # fmt: skip
def test_a_size_prints_and_is_looked_up_the_same_however_it_is_written(
    written: str, printed: str, name: str
) -> None:
    assert (conductor_size(written), cord_name(120.0, written)) == (printed, CORD_LENGTHS + name)


@pytest.mark.parametrize("written", ["12", "12/3 AWG", "thick", "2.5 mm", "x12 AWG", "12 AWG 3 wires", "²"])
def test_what_is_no_size_stays_as_it_was_written_and_has_no_row(written: str) -> None:
    assert conductor_size(f" {written} ") == written
    assert cord_name(120.0, written) not in REGISTER


def test_the_apparent_power_behind_a_cord_is_told_no_smaller_than_it_is() -> None:
    """858.01 VA: told as 859 VA."""
    working = worked("3.5 kW", "12 AWG, 50 ft, 120 V").values[OWN_CORD].working
    assert working is not None
    assert ("apparent power", "859 VA") in working.inputs
    assert "along 12 AWG, out and back" in working.words


@pytest.mark.parametrize(("wrong", "what"), [
    ("3.5", "it has no unit"), ("3.5 V", "V measures voltage"), ("0 kW", "is nothing"),
    ("0 kVA", "is nothing"), ("3.5 kva", "is not one packgen knows"),
])  # fmt: skip
def test_a_plate_that_states_no_power_is_refused_in_words(wrong: str, what: str) -> None:
    with pytest.raises(ValidationError) as refused:
        Equipment.model_validate({"generator": wrong})
    context = refused.value.errors()[0]["ctx"]
    assert what in context["what"]
    assert "power" in context["expected"]


def test_every_shipped_job_is_carried_by_its_power_set() -> None:
    judged = 0
    for path in sorted((CONTENT / "jobs").glob("*.yaml")):
        try:
            job = load_job(path, catalog())[0]
        except ContentError:  # its family is not among these
            continue
        for joint in job.joints:
            found = work_out(request_of(job, joint, catalog()))
            rows = [
                check for check in found.checks if check.key in {"generator", "generator_apparent", "cord"}
            ]
            assert [check.key for check in rows if check.passed is False] == [], path.name
            judged += sum(check.passed is True for check in rows)
    assert judged >= 9


def test_a_label_s_fuse_data_may_name_a_least_generator() -> None:
    assert FuseData.model_validate({"generator_min": "2 kW"}).generator_min == quantity("2 kW")
