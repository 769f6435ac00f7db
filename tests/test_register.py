"""The values register: every row is whole, and every row can be printed."""

from __future__ import annotations

import re

import pytest

from packgen.model.prose_check import CREW_VALUES
from packgen.register import REGISTER, Entry
from packgen.rounding import in_system, system_of
from packgen.units import UNITS

PUBLIC_UNITS = {
    "mm", "mm2", "s", "degC", "K", "kPa", "N*m", "N", "kJ", "W", "VA", "V", "A", "ohm", "g", "L", "degree",
    "percent", "each", "1",
}  # fmt: skip


@pytest.mark.parametrize("entry", REGISTER.values(), ids=lambda entry: entry.name)
def test_a_row_is_whole(entry: Entry) -> None:
    """Name, public unit, print units of the same kind and of the right system, a definition."""
    cord = r"power\.supply_cord_length_max\.\d+_v\.(awg|mm2)_\d+(_\d+)?"
    band = r"cool\.band\.to_[0-9]+\.(extra|clamp_time_at|pressure_wait_at|tap_wait_at)"
    assert re.fullmatch(rf"[a-z]+(\.[a-z]+)?\.[a-z_]+|{cord}|{band}", entry.name)
    assert entry.unit in PUBLIC_UNITS
    for system, way in (("si", entry.si), ("us", entry.us)):
        assert UNITS[way.unit].measures == UNITS[entry.unit].measures
        # A unit of both columns is what the whole trade uses: terminals are metric everywhere.
        assert system_of(way.unit) in {None, system} or entry.si == entry.us
        assert 0 <= way.decimals <= 4
    assert len(entry.definition) > 8
    assert not entry.definition.endswith((".", " "))


@pytest.mark.parametrize("entry", REGISTER.values(), ids=lambda entry: entry.name)
def test_a_row_prints_in_both_systems(entry: Entry) -> None:
    """A number of the register's unit becomes a text with the system's symbol."""
    for system, way in (("si", entry.si), ("us", entry.us)):
        printed = in_system(1234.5, entry, "si" if system == "si" else "us")
        assert printed.endswith(UNITS[way.unit].symbol)
        assert re.match(r"[0-9]", printed)


@pytest.mark.parametrize(
    ("name", "direction"),
    [
        ("peel.depth_min", "up"),
        ("peel.depth_max", "down"),
        ("gap.feeler", "down"),
        ("fuse.main_wall_min", "up"),
        ("pipe.main.wall_min", "up"),
        ("pipe.main.wall_max", "down"),
        ("cool.clamp_time", "up"),
        ("cool.tap_wait", "up"),
        ("tap.hole_saw", "down"),
        ("tap.travel_limit", "down"),
        ("tap.travel_to_breakthrough", "up"),
        ("joint.pressure_max", "down"),
        ("power.supply_current", "up"),
        ("power.generator_rating", "up"),
        ("power.generator_rating_apparent", "up"),
        ("power.supply_cord_length_max", "down"),
        ("power.supply_cord_length_max.230_v.mm2_2_5", "down"),
        ("squeeze.distance_min", "up"),
        ("spacing.saddle_to_saddle", "up"),
        ("weather.ambient_min", "up"),
        ("weather.ambient_max", "down"),
    ],
)
def test_a_limit_rounds_to_the_side_that_is_stricter(name: str, direction: str) -> None:
    """A least value rounds up, a greatest one down."""
    assert REGISTER[name].direction == direction


def test_both_pipes_have_the_same_rows() -> None:
    """What is known of the main is known of the lateral."""
    main = [name.removeprefix("pipe.main.") for name in REGISTER if name.startswith("pipe.main.")]
    lateral = [name.removeprefix("pipe.lateral.") for name in REGISTER if name.startswith("pipe.lateral.")]
    assert main == lateral
    assert len(main) == 13


def test_no_engineer_s_guidance_is_in_the_register_of_crew_values() -> None:
    """Worked torque guidance never reaches a sheet by a slot: its rows are marked, and no slot knows them."""
    marked = [name for name, entry in REGISTER.items() if entry.engineer]
    assert marked == [
        "clamp.torque_guidance", "clamp.torque_limit", "cool.melt_depth_fitting", "cool.melt_depth_pipe",
    ]  # fmt: skip
    assert not set(marked) & set(CREW_VALUES)
    assert set(CREW_VALUES) | set(marked) == set(REGISTER)


def test_only_rows_about_the_day_the_place_and_the_tools_need_a_job() -> None:
    """`values`, cards and the site can print every other row."""
    assert [name for name, entry in REGISTER.items() if entry.needs_job] == [
        "power.supply_voltage",
        "power.supply_current",
        "power.supply_cord_length_max",
        "power.outlet",
        "power.breaker",
        "power.fault_protection",
        "test.pressure",
        "test.pressure_min",
        "test.pressure_max",
        "test.hold",
        "test.fill_volume",
        "test.makeup_volume",
        "test.end_force",
        "contraction.change",
        "contraction.slack",
        "spacing.measured_saddle",
        "spacing.measured_fitting",
        "spacing.measured_pipe_end",
        "spacing.measured_squeeze",
        "place.clock_angle",
        "place.arc_from_top",
        "clock.joint_total",
        "weather.air_temperature",
        "weather.humidity",
        "weather.surface_temperature",
        "weather.dew_point",
        "weather.dew_margin",
        "kit.solvent",
        "kit.wipes",
        "kit.blades",
        "kit.fittings",
        "kit.hole_saws",
    ]


def test_the_register_cannot_be_changed() -> None:
    """It is a public contract."""
    with pytest.raises(TypeError):
        REGISTER["peel.depth_min"] = REGISTER["peel.depth_max"]  # type: ignore[index]
