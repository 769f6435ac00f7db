"""The waits in heat of every demo job, the cooling solved apart from packgen by a library's integrator.

In: the tables by hand of the demo jobs. Out: a failure that names job, joint and value. Vocabulary: a joint's
*case* is put together from the numbers by hand; 8 and 3 W/(m2*K) are the starter's films, 80 degree Celsius
its end temperature, 40 the hottest air of every demo joint. The owner adds nothing there.
Source: as `second_heat`; the bands are tens of degrees, and a stated wait is never shortened.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from packgen.calc.heat import HeatCase
from packgen.calc.ledger import NOT_PERMITTED
from tests.references.second_heat import by_integrator
from tests.references.test_demo_jobs import BY_HAND, Joint, is_heat, worked

REFERENCE, HOTTEST = 23.0, 40.0
WITH_DRAWING_DATA = [key for key, table in BY_HAND.items() if "fitting.wall" in table]
each_joint = pytest.mark.parametrize("key", WITH_DRAWING_DATA, ids="-".join)


def pipe_of(key: Joint) -> str:
    """The pipe that is fused to: the main, or the lateral where there is no main."""
    return "pipe.main." if "pipe.main.wall_min" in BY_HAND[key] else "pipe.lateral."


def shapes(key: Joint) -> list[HeatCase]:
    """The joint with flat walls and with round ones, from the numbers by hand."""
    hand, pipe = BY_HAND[key], pipe_of(key)
    flat = HeatCase(
        hand["fitting.wall"], hand[pipe + "wall_min"], hand["fuse.energy"], hand["fitting.fusion_area"],
        hand["fuse.time"], 80.0, film_outside=8.0, film_inside=3.0,
    )  # fmt: skip
    return [flat, replace(flat, plane_radius=hand[pipe + "outside_diameter"] / 2.0)]


@cache
def extra(key: Joint, temperature: float) -> float:
    """The longer extra wait of the two shapes, s."""
    if temperature <= REFERENCE:
        return 0.0
    return max(
        by_integrator(case, temperature).seconds - by_integrator(case, REFERENCE).seconds
        for case in shapes(key)
    )


def expected(key: Joint) -> dict[str, float]:
    """By the beginning of a name, the extra wait in s: five bands, and the job's own air or pipe."""
    air = BY_HAND[key]["weather.air_temperature"]
    hotter = max(air, BY_HAND[key].get("weather.surface_temperature", air))
    bands = {f"cool.band.to_{limit}.": extra(key, float(limit)) for limit in (0, 10, 20, 30, 40)}
    return {"cool.": extra(key, hotter), **bands}


@each_joint
def test_the_extra_waits_of_a_demo_joint(key: Joint) -> None:
    """Within one part in a hundred; nothing at all up to the reference."""
    for name, seconds in expected(key).items():
        found = worked(*key).number(name + "extra")
        assert found == pytest.approx(seconds, rel=0.01, abs=1e-9), name


@each_joint
def test_the_waits_of_a_demo_joint_are_the_stated_ones_and_the_extra(key: Joint) -> None:
    """To one part in a hundred million; a coupling has no tap wait."""
    for name in expected(key):
        added = worked(*key).number(name + "extra")
        assert added is not None
        for wait in ("clamp_time", "pressure_wait", "tap_wait"):
            stated, found = BY_HAND[key].get(f"cool.{wait}"), worked(*key).number(f"{name}{wait}_at")
            assert found == (None if stated is None else pytest.approx(stated + added, rel=1e-8)), name


@each_joint
def test_the_melt_of_a_demo_joint(key: Joint) -> None:
    """To a point's distance or two, and to the whole wall where all of it melts."""
    found = [by_integrator(case, HOTTEST) for case in shapes(key)]
    for name, depth in (("fitting", max(f.fitting for f in found)), ("pipe", max(f.pipe for f in found))):
        assert worked(*key).number(f"cool.melt_depth_{name}") == pytest.approx(depth, abs=0.2), name


@pytest.mark.parametrize("key", BY_HAND, ids="-".join)
def test_there_is_no_other_wait_in_heat(key: Joint) -> None:
    """Above 40 degree Celsius words stand; a plain label has no waits in heat at all."""
    values = {name: value for name, value in worked(*key).values.items() if is_heat(name)}
    if key not in WITH_DRAWING_DATA:
        assert values == {}
        return
    waits = ["extra", "clamp_time_at", "pressure_wait_at"]
    waits += ["tap_wait_at"] if "cool.tap_wait" in BY_HAND[key] else []
    numbers = {name + wait for name in expected(key) for wait in waits}
    numbers |= {"cool.melt_depth_fitting", "cool.melt_depth_pipe"}
    assert {name for name, value in values.items() if value.number is not None} == numbers
    hot = {f"cool.band.to_{limit}.{wait}" for limit in (50, 60) for wait in waits}
    assert {name: value.words for name, value in values.items() if name not in numbers} == dict.fromkeys(
        hot, NOT_PERMITTED
    )
