"""Bends and slack of the lateral: which rows and rules they follow from, and when they are absent.

In: the demo families and jobs, with one thing changed at a time. Out: a failure that names the value. Factors
are those of the PPI Handbook of Polyethylene Pipe, chapter 7; numbers are worked by hand.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from packgen.calc.request import Combination, request_of
from packgen.calc.work_out import work_out
from packgen.model.bend_records import BendFactor
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.publish.selection import one
from packgen.units import quantity
from tests.calc.demo import CONTENT, catalog

INCH = 25.4
BENDS = ("bend.radius_min", "bend.radius_min_at_fitting", "bend.length_at_fitting")
SLACK = ("contraction.change", "contraction.slack")


def of_lateral(lateral: str, shelf: Catalog | None = None) -> Combination:
    """A lateral on a main of the screwed saddle, without a job."""
    main = "160 mm ISO SDR 11 PE100" if "mm" in lateral else "6 in IPS DR 11 PE4710"
    return one(shelf or catalog(), main, lateral, "demo-saddle-screw", None)


# Outside diameter times the handbook's factor; DR 9 takes 20, DR 11 25; 100 with a fitting in the bend.
@pytest.mark.parametrize(
    ("lateral", "outside", "factor"),
    [
        ("2 in IPS DR 11", 2.375 * INCH, 25),
        ("3 in IPS DR 11", 3.5 * INCH, 25),
        ("63 mm ISO SDR 11", 63.0, 25),
    ],
)
def test_a_bend_follows_from_diameter_and_ratio(lateral: str, outside: float, factor: float) -> None:
    found = of_lateral(lateral)
    assert [found.number(name) for name in BENDS] == pytest.approx(
        [factor * outside, 100 * outside, 5 * outside]
    )


def test_bends_print_rounded_to_the_gentler_side() -> None:
    """2.375 in × 25 is 59.4 in, × 100 237.5 in, × 5 11.9 in; 1.508, 6.033 and 0.302 m."""
    found = of_lateral("2 in IPS DR 11").values
    assert [found[name].text() for name in BENDS] == ["60 in [1.51 m]", "238 in [6.04 m]", "12 in [0.31 m]"]


# Rows of the table as the handbook prints them: both ends of each row, and what lies between two.
@pytest.mark.parametrize(
    ("ratio", "factor"),
    [
        (7, 20),
        (7.3, 20),
        (9, 20),
        (10, 25),
        (11, 25),
        (13.5, 25),
        (15.5, 27),
        (17, 27),
        (21, 27),
        (26, 34),
        (32.5, 42),
        (41, 52),
    ],
)
def test_the_content_s_table_is_the_handbook_s(ratio: float, factor: float) -> None:
    """Worked through the whole way: the pipe's ratio, the file's rows, the radius."""
    found = of_ratio(ratio)
    assert found.number("bend.radius_min") == pytest.approx(factor * 2.375 * INCH)
    source = found.values["bend.radius_min"].sources[0]
    assert source.startswith("Handbook of Polyethylene Pipe") and "chapter 7" in source


@pytest.mark.parametrize("ratio", [6.3, 50])
def test_a_ratio_outside_the_table_has_no_bend(ratio: float) -> None:
    """Neither thicker nor thinner pipe is guessed at."""
    assert not set(BENDS) & of_ratio(ratio).values.keys()


def of_ratio(ratio: float) -> Combination:
    """A 2 in lateral of a ratio that its table need not hold: only the lateral's own values are asked for."""
    request = of_lateral("2 in IPS DR 11").request
    lateral = replace(request.lateral, designation=replace(request.lateral.designation, dr=ratio))
    return work_out(replace(request, lateral=lateral))


def test_content_without_a_table_has_no_bend() -> None:
    bare = replace(catalog(), bend_table=None)
    assert not set(BENDS) & of_lateral("2 in IPS DR 11", bare).values.keys()


def test_a_fitting_never_lets_a_bend_be_tighter() -> None:
    """An owner's table whose factor without a fitting is the greater one."""
    table = catalog().bend_table
    assert table is not None
    rows = (BendFactor(dr_from=7.0, dr_to=41.0, factor=120.0, source="ppi-handbook-7"),)
    found = of_lateral(
        "2 in IPS DR 11", replace(catalog(), bend_table=table.model_copy(update={"rows": rows}))
    )
    assert found.number("bend.radius_min_at_fitting") == found.number("bend.radius_min")


def test_the_length_beside_a_fitting_is_the_rule_s() -> None:
    rule = catalog().rules["bend-beside-fitting"].model_copy(update={"value": 8})
    shelf = replace(catalog(), rules={**catalog().rules, rule.id: rule})
    found = of_lateral("2 in IPS DR 11", shelf)
    assert found.number("bend.length_at_fitting") == pytest.approx(8 * 2.375 * INCH)
    assert shelf.cite_rule(rule.id) in found.values["bend.length_at_fitting"].sources


def in_ground(index: int = 0, shelf: Catalog | None = None, **site: str | None) -> Combination:
    """A joint of the service tap with other temperatures; None takes one out."""
    job = demo_service()
    changes = {key: quantity(value) if value else None for key, value in site.items()}
    changed = job.model_copy(update={"site": job.site.model_copy(update=changes)})
    return work_out(request_of(changed, changed.joints[index], shelf or catalog()))


@cache
def demo_service() -> Job:
    """The service tap: a lateral of 60 ft."""
    return load_job(CONTENT / "jobs" / "service-tap.yaml", catalog())[0]


@pytest.mark.parametrize("index", [0, 1])
def test_the_lateral_shortens_by_length_coefficient_and_fall(index: int) -> None:
    """60 ft × 0.2 mm/(m·K) × (30 − 10) K: 73.2 mm, for the saddle and the coupling that carries it on."""
    found = in_ground(index, ambient="30 degC", ground="10 degC")
    assert [found.number(name) for name in SLACK] == pytest.approx([73.152, 73.152])
    assert [found.values[name].text("si") for name in SLACK] == ["74 mm", "74 mm"]
    assert found.values["contraction.slack"].text("us") == "2.9 in"


def test_the_hotter_of_air_and_pipe_counts() -> None:
    """A pipe of 50 °C in the sun shortens twice as much as one at the air's 30 °C, over ground of 10 °C."""
    sun = in_ground(ambient="30 degC", pipe_surface="50 degC", ground="10 degC")
    cold = in_ground(ambient="30 degC", pipe_surface="12 degC", ground="10 degC")
    alone = in_ground(ambient=None, pipe_surface="50 degC", ground="10 degC")
    assert sun.number("contraction.change") == pytest.approx(146.304)
    assert alone.number("contraction.change") == pytest.approx(146.304)
    assert cold.number("contraction.change") == pytest.approx(73.152)


@pytest.mark.parametrize(
    "site",
    [
        {"ground": None},
        {"ambient": None, "ground": "10 degC"},
        {"ambient": "10 degC", "ground": "10 degC"},
        {"ambient": "5 degC", "ground": "10 degC"},
    ],
)
def test_what_does_not_cool_or_is_not_known_has_no_slack(site: dict[str, str | None]) -> None:
    """Ground that is warmer, or as warm, shortens nothing; what nobody stated is not guessed."""
    assert not set(SLACK) & in_ground(**site).values.keys()


def test_a_lateral_of_unknown_length_has_no_slack() -> None:
    job = demo_service()
    short = job.joints[0].model_copy(update={"lateral_length": None})
    unknown = job.model_copy(update={"joints": (short, job.joints[1])})
    assert not set(SLACK) & work_out(request_of(unknown, short, catalog())).values.keys()


def test_the_coefficient_is_the_rule_s_and_is_cited() -> None:
    rule = catalog().rules["lateral-expansion"].model_copy(update={"value": "0.16 mm/(m·K)"})
    shelf = replace(catalog(), rules={**catalog().rules, rule.id: rule})
    found = in_ground(shelf=shelf, ambient="30 degC", ground="10 degC")
    assert found.number("contraction.change") == pytest.approx(0.8 * 73.152)
    assert found.values["contraction.change"].sources == (shelf.cite_rule(rule.id),)
