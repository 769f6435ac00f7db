"""Supply power against published tables and numbers worked by hand, at their printed precision.

In: table values as text, so that trailing zeros count.
Out: a failure that shows the printed and the worked value.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from packgen.calc import power
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.register import CORD_LENGTHS, REGISTER, cord_name

CONTENT = Path(__file__).parents[2] / "content"
FOOT = 304.8
KFT_IN_KM = 0.3048

# National Electrical Code, chapter 9, table 8: stranded uncoated copper, ohm per 1000 ft at 75 °C, and the
# area in circular mils (read in a public page that reproduces the table).
NEC_STRANDED = [
    ("18 AWG", "7.95", 1620), ("16 AWG", "4.99", 2580), ("14 AWG", "3.14", 4110), ("12 AWG", "1.98", 6530),
    ("10 AWG", "1.24", 10380), ("8 AWG", "0.778", 16510), ("6 AWG", "0.491", 26240),
]  # fmt: skip
# The same table's solid conductors, ohm per 1000 ft at 75 °C (from memory).
NEC_SOLID = [(18, "7.77"), (16, "4.89"), (14, "3.07"), (12, "1.93"), (10, "1.21"), (8, "0.764")]
# IEC 60228, class 5, plain: greatest ohm per km at 20 °C (read in public pages that reproduce the table).
IEC_CLASS_5 = [
    ("1 mm2", "19.5"), ("1.5 mm2", "13.3"), ("2.5 mm2", "7.98"), ("4 mm2", "4.95"), ("6 mm2", "3.30"),
    ("10 mm2", "1.91"), ("16 mm2", "1.21"),
]  # fmt: skip
# National Electrical Code, 400.5, two current-carrying conductors: 18 to 12 AWG read in an extract.
NEC_CORDS = [("18 AWG", "10 A"), ("16 AWG", "13 A"), ("14 AWG", "18 A"), ("12 AWG", "25 A")]


@cache
def catalog() -> Catalog:
    """The starter's content."""
    return load(CONTENT, prose=False)


def conductor(size: str):  # type: ignore[no-untyped-def]
    """The listed conductor of a size."""
    return next(each for each in catalog().conductors.values() if each.size == size)


@pytest.mark.parametrize(("size", "printed", "circular_mils"), NEC_STRANDED)
def test_each_awg_resistance_is_the_table_s(size: str, printed: str, circular_mils: int) -> None:
    """The listed figure is the printed one, and that of copper of its area within the table's rounding.

    Copper of 100 % IACS is 10.371 ohm circular mil per ft at 20 °C (NBS Handbook 100, from memory); stranding
    adds 2 %.
    """
    listed = conductor(size)
    assert (str(listed.resistance), str(listed.resistance_at)) == (f"{printed} Ω/kft", "75 °C")
    at_20 = 10.371 / circular_mils * 1000.0 * 1.02
    warm = power.conductor_resistance(at_20 / KFT_IN_KM, 20.0, 75.0) * KFT_IN_KM
    assert warm == pytest.approx(float(printed), rel=0.01)


@pytest.mark.parametrize(("gauge", "printed"), NEC_SOLID)
def test_copper_s_rise_with_temperature_gives_the_solid_column(gauge: int, printed: str) -> None:
    """AWG diameter 0.005 in × 92^((36 − n)/39) (ASTM B258), IACS copper at 20 °C, taken to 75 °C."""
    mils = 5.0 * 92.0 ** ((36 - gauge) / 39)
    at_20 = 10.371 / mils**2 * 1000.0
    warm = power.conductor_resistance(at_20, 20.0, 75.0)
    assert warm == pytest.approx(float(printed), rel=0.006)


@pytest.mark.parametrize(("size", "printed"), IEC_CLASS_5)
def test_each_metric_resistance_is_the_table_s(size: str, printed: str) -> None:
    listed = conductor(size)
    assert (str(listed.resistance), str(listed.resistance_at)) == (f"{printed} Ω/km", "20 °C")


@pytest.mark.parametrize(("size", "ampacity"), NEC_CORDS)
def test_each_awg_ampacity_is_that_of_a_cord_of_two_conductors(size: str, ampacity: str) -> None:
    assert str(conductor(size).ampacity) == ampacity


def test_warm_resistance_by_hand() -> None:
    """7.98 × 309.5 / 254.5 = 9.7046 ohm per km; nothing changes at the stated temperature."""
    assert f"{power.conductor_resistance(7.98, 20.0, 75.0):.4f}" == "9.7046"
    assert power.conductor_resistance(7.98, 20.0, 20.0) == pytest.approx(7.98, rel=1e-12)


def test_the_drop_of_a_hundred_feet() -> None:
    """120 V, 15 A, 100 ft of 12 AWG at 75 °C drop 2 × 0.1 × 15 × 1.98 = 5.94 V, 4.95 %: by hand.

    The cord that takes 4.95 % at the 15 A of the voltage left, 15 × 114.06 VA, is therefore 100 ft long.
    """
    length = power.cord_length_max(15.0 * 114.06, 120.0, 4.95, 1.98 / KFT_IN_KM)
    assert length / FOOT == pytest.approx(100.0, rel=1e-9)


def test_constant_power_makes_the_cord_shorter_than_the_simple_formula() -> None:
    """12 AWG, 120 V, 3.3 kVA, 5 %: 6 × 114 / (2 × 3300 × 1.98 per kft) = 52 ft, not 55 ft: by hand."""
    length = power.cord_length_max(3300.0, 120.0, 5.0, 1.98 / KFT_IN_KM)
    assert f"{length / FOOT:.1f}" == "52.3"
    simple = 6.0 / (2.0 * 3300.0 / 120.0 * 1.98) * 1000.0
    assert f"{simple:.1f}" == "55.1"


@pytest.mark.parametrize(("altitude", "air", "lost"), [
    (0.0, 25.0, 0.0), (0.0, 10.0, 0.0), (1000.0, 25.0, 3.5), (3000.0, 25.0, 10.5), (0.0, 35.0, 2.0),
    (5000.0, 40.0, 20.5),
])  # fmt: skip
def test_what_altitude_and_heat_take_off_a_plate(altitude: float, air: float, lost: float) -> None:
    """3.5 % for each 1000 ft and 2 % for each 10 K above 25 °C, by hand: common practice, no source."""
    found = power.derating(altitude * FOOT, 3.5, air, 25.0, 2.0)
    assert found == pytest.approx(lost, rel=1e-12, abs=1e-12)


def test_the_power_set_of_a_large_fitting_by_hand() -> None:
    """40²/(0.78 × 0.9) = 2279.2 W; /0.7 = 3256.0 W; × 1.25/0.9 = 4522.2 W; /0.8: 4070.0 and 5652.8 VA."""
    output = power.output_power(40.0, 0.78, 10.0)
    supply = power.supply_power(output, 70.0)
    apparent = power.apparent_power(supply, 80.0)
    worked = [output, supply, power.generator_rating(supply, 25.0, 10.0), apparent]
    worked += [power.generator_rating(apparent, 25.0, 10.0), power.supply_current(apparent, 120.0, 5.0)]
    assert [f"{each:.1f}" for each in worked] == ["2279.2", "3256.0", "4522.2", "4070.0", "5652.8", "35.7"]


def test_every_listed_conductor_has_its_rows_in_the_register() -> None:
    """AWG at 120 and 240 V, metric at 110 and 230 V; the register lists no cord that the tables do not."""
    wanted = set()
    for each in catalog().conductors.values():
        wanted |= {
            cord_name(volts, each.size) for volts in ((120, 240) if "AWG" in each.size else (110, 230))
        }
    assert {name for name in REGISTER if name.startswith(CORD_LENGTHS)} == wanted
    assert len(wanted) == 28


def test_a_thicker_conductor_has_less_resistance_and_carries_more() -> None:
    for series in ("AWG", "mm2"):
        listed = [each for each in catalog().conductors.values() if series in each.size]
        ohms = [each.resistance.to("ohm/km") for each in listed]
        amperes = [each.ampacity.to("A") for each in listed]
        assert len(listed) == 7
        assert ohms == sorted(set(ohms), reverse=True)
        assert amperes == sorted(set(amperes))
