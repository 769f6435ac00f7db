"""Which combinations are meant by what a person typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from packgen.errors import UsageError
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.publish.selection import chosen, every, families_named, one
from packgen.units import quantity

FAMILY = "demo-saddle-screw"


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The starter's catalogue, without prose."""
    return load(prose=False, here=Path(__file__).parents[2])


def pairs(found: object) -> list[tuple[str, str]]:
    """Lateral and main of combinations, as written."""
    assert isinstance(found, list)
    return [(str(one_.request.lateral.designation), str(one_.request.main.designation)) for one_ in found]


def test_one_takes_the_family_s_first_material_and_lateral_ratio_where_none_is_typed(
    catalog: Catalog,
) -> None:
    found = one(catalog, "6 in IPS DR 11", "2 in IPS", FAMILY, None)
    assert pairs([found]) == [("2 in IPS DR 11 PE4710", "6 in IPS DR 11 PE4710")]
    assert found.verdict == "permitted"


def test_one_takes_what_is_typed(catalog: Catalog) -> None:
    """Material and DR of either pipe; an ambient temperature brings the rating at it."""
    air = quantity("95 degF", "temperature")
    found = one(catalog, "6 in IPS DR 13.5 PE3608", "2 in IPS DR 11 PE100", FAMILY, air)
    assert pairs([found]) == [("2 in IPS DR 11 PE100", "6 in IPS DR 13.5 PE3608")]
    assert "pipe.main.pressure_rating_at" in found.values
    bare = one(catalog, "6 in IPS DR 13.5 PE3608", "2 in IPS DR 11 PE100", FAMILY, None)
    assert "pipe.main.pressure_rating_at" not in bare.values


@pytest.mark.parametrize(
    ("main", "lateral", "family", "words"),
    [
        ("6 in IPS DR 11", "2 in IPS", "demo-sadle-screw", ["--family", "did you mean 'demo-saddle-screw'?"]),
        ("6 inch", "2 in IPS", FAMILY, ["MAIN", "'6 inch'"]),
        ("6 in IPS DR 11", "2 in", FAMILY, ["LATERAL", "2 in"]),
        ("6 in IPS DR 12", "2 in IPS", FAMILY, ["MAIN", "DR 12", "did you mean '11'?"]),
        ("5.5 in IPS DR 11", "2 in IPS", FAMILY, ["MAIN", "5-1/2 in is not a size of IPS"]),
        ("6 in CTS DR 11", "2 in IPS", FAMILY, ["MAIN", "6 in is not a size of CTS"]),
        ("6 in DR 11", "2 in IPS", FAMILY, ["MAIN", "6 in IPS DR 11 or 6 in DIPS DR 11"]),
        ("6 in IPS DR 11 PE4711", "2 in IPS", FAMILY, ["MAIN", "PE4711", "did you mean 'PE4710'?"]),
    ],
)
def test_a_name_nobody_knows_is_wrong_use_and_said_with_its_argument(
    main: str, lateral: str, family: str, words: list[str], catalog: Catalog
) -> None:
    """Exit code 2: the user's line is at fault, not the content."""
    with pytest.raises(UsageError) as refused:
        one(catalog, main, lateral, family, None)
    assert refused.value.exit_code == 2
    assert all(word in str(refused.value) for word in words), str(refused.value)


def test_every_unknown_family_is_named_at_once(catalog: Catalog) -> None:
    with pytest.raises(UsageError) as refused:
        families_named(catalog, ["a-family", FAMILY, "b-family"])
    assert [problem.what for problem in refused.value.problems] == [
        "the family 'a-family' is not known",
        "the family 'b-family' is not known",
    ]
    assert [family.id for family in families_named(catalog, [])] == list(catalog.families)


def test_every_combination_is_each_pair_at_each_ratio_of_the_range(catalog: Catalog) -> None:
    """Fifty pairs at DR 9, 11, 13.5 (ISO 13.6) and 17: each once, refused ones too."""
    found = list(every(catalog, [catalog.families[FAMILY]]))
    ratios = {combination.request.main.designation.dr for combination in found}
    assert ratios == {9.0, 11.0, 13.5, 13.6, 17.0}
    assert len(set(pairs(found))) == len(found) == len(catalog.families[FAMILY].pairs) * 4 == 200
    assert any(combination.reasons for combination in found)


def test_a_choice_is_mains_with_laterals(catalog: Catalog) -> None:
    """Each main named with each lateral named; without laterals, with all the family lists for that main."""
    assert pairs(chosen(catalog, ["4 in IPS DR 11", "6 in IPS DR 11"], ["2 in IPS"], [FAMILY])) == [
        ("2 in IPS DR 11 PE4710", "4 in IPS DR 11 PE4710"),
        ("2 in IPS DR 11 PE4710", "6 in IPS DR 11 PE4710"),
    ]
    listed = [pair.lateral for pair in catalog.families[FAMILY].pairs if pair.main == "8 in"]
    assert [lateral for lateral, _ in pairs(chosen(catalog, ["8 in IPS DR 11"], [], [FAMILY]))] == [
        f"{size} IPS DR 11 PE4710" for size in listed
    ]
    assert len(listed) >= 3


def test_a_choice_of_a_lateral_alone_takes_every_main(catalog: Catalog) -> None:
    found = chosen(catalog, [], ["4 in IPS"], [FAMILY])
    assert {lateral for lateral, _ in pairs(found)} == {"4 in IPS DR 11 PE4710"}
    assert len(found) == 4 * sum(pair.lateral == "4 in" for pair in catalog.families[FAMILY].pairs) == 28


def test_a_pipe_may_be_written_as_people_write_it(catalog: Catalog) -> None:
    """On the command line too; the lateral's system follows from millimetres."""
    found = one(catalog, "160 SDR11", "63mm", FAMILY, None)
    assert pairs([found]) == [("63 mm ISO SDR 11 PE100", "160 mm ISO SDR 11 PE100")]
    assert pairs(chosen(catalog, ["6in ips DR-11"], ["2 inch IPS"], [FAMILY])) == [
        ("2 in IPS DR 11 PE4710", "6 in IPS DR 11 PE4710")
    ]
    assert len(chosen(catalog, [], ["63mm"], [FAMILY])) == 9 * 4


def test_a_main_takes_the_laterals_of_its_own_size_system_alone(catalog: Catalog) -> None:
    """8 in IPS has 2, 3 and 4 in laterals; 8 in DIPS has 2 and 4 in of IPS."""
    on_dips = pairs(chosen(catalog, ["8 in DIPS DR 11"], [], [FAMILY]))
    assert [lateral for lateral, _ in on_dips] == ["2 in IPS DR 11 PE4710", "4 in IPS DR 11 PE4710"]
    assert {main for _, main in on_dips} == {"8 in DIPS DR 11 PE4710"}
    assert len(chosen(catalog, ["8 in IPS DR 11"], [], [FAMILY])) == 3


def test_a_pair_the_family_does_not_list_is_chosen_and_refused(catalog: Catalog) -> None:
    """What a person asked for is answered, with the reason, not silently dropped."""
    (found,) = chosen(catalog, ["4 in IPS DR 11"], ["3 in IPS"], [FAMILY])
    assert found.verdict == "refused"
    assert found.reasons[0].cure
