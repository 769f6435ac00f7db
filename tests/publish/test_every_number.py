"""Every number of both demo packs and their cards, accounted for by arithmetic of this file's own.

The facts below are typed in by hand: pipe, label, work rules, tools, job. From them this file works every
value out with its own formulas in decimal arithmetic, rounds it in its own words ("up" where less would be
unsafe), and prints both unit systems. Then it reads the PDFs: each number there is one of these, or a fact of
the lists below, or of a narrow pattern (page, step, date, id, citation). A number nobody can account for
fails.

Sources of the facts: outside diameters and tolerances ASTM F714 and D3035; mean inside diameter and wall, PPI
Handbook ch. 6 (from memory); HDS 1000 psi, ASTM D3035; trench 29 CFR 1926.651, .652, .1053; squeeze-off ASTM
F1041 (from memory); control unit's window ISO 12176-2:2008; label data invented; the rest is the starter's
choice.
"""

from __future__ import annotations

import json
import math
import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal, getcontext
from functools import cache
from typing import Any

import pytest

from packgen import formulas
from packgen.sheets.back import DIVIDED
from packgen.sheets.blocks import Drawing, Table
from packgen.sheets.blocks import words_of as words_of_line
from packgen.sheets.heat_sheet import heat_sheets
from packgen.sheets.view import View
from packgen.sheets.words import load_words
from tests.references.test_demo_heat import extra
from tests.references.test_demo_jobs import is_heat
from tests.references.test_demo_jobs import worked as demo_joint

getcontext().prec = 40
D = Decimal
INCH, PSI, FOOT = D("25.4"), D("6.894757293168"), D("304.8")
OUNCE, SQUARE = D("28.349523125"), D("25.4") ** 2
WAYS = {"up": ROUND_CEILING, "down": ROUND_FLOOR, "nearest": ROUND_HALF_UP}


def shown(number: Decimal, places: int, way: str) -> str:
    """A number rounded in its safe direction, with commas and a true minus sign."""
    rounded = number.quantize(D(1).scaleb(-places), rounding=WAYS[way])
    return f"{rounded if rounded else abs(rounded):,}".replace("-", "−")


def fraction(text: str) -> Decimal:
    """`1-3/4` as a decimal."""
    whole, _, part = text.rpartition("-")
    above, _, below = part.partition("/")
    return D(whole or 0) + D(above) / D(below or 1)


# Units as printed, and how a number of the register's unit becomes one of them.
SCALES: dict[str, Callable[[Decimal], Decimal]] = {
    " in": lambda mm: mm / INCH,
    " mm": lambda mm: mm,
    " in²": lambda mm2: mm2 / SQUARE,
    " mm²": lambda mm2: mm2,
    " ft": lambda mm: mm / FOOT,
    " m": lambda mm: mm / 1000,
    " psi": lambda kpa: kpa / PSI,
    " kPa": lambda kpa: kpa,
    " min": lambda s: s / 60,
    " s": lambda s: s,
    " °F": lambda c: c * D("1.8") + 32,
    " °C": lambda c: c,
    " F°": lambda k: k * D("1.8"),
    " K": lambda k: k,
    " oz": lambda g: g / OUNCE,
    " g": lambda g: g,
    "": lambda n: n,
    "°": lambda n: n,
    " %": lambda n: n,
    " V": lambda n: n,
    " A": lambda n: n,
    " W": lambda n: n,
    " VA": lambda n: n,
    " kJ": lambda n: n,
    " Ω": lambda n: n,
}


@dataclass(frozen=True)
class Row:
    """A value: its number in mm, kPa, s, °C, g; how each system prints it; what somebody wrote, if anybody
    did.
    """

    number: Decimal
    us: tuple[str, int]
    si: tuple[str, int]
    way: str
    stated: str = ""
    system: str = ""

    def one(self, system: str) -> str:
        """The number in one system."""
        unit, places = self.us if system == "us" else self.si
        return shown(SCALES[unit](self.number), places, self.way) + unit

    def text(self, units: str) -> str:
        """The value as printed: stated words first, the chosen system's in brackets where it differs."""
        if self.us[0] == self.si[0]:
            return self.stated or self.one("si")
        if self.stated:
            other = "si" if self.system == "us" else "us"
            return self.stated if units == self.system else f"{self.stated} [{self.one(other)}]"
        return f"{self.one('us')} [{self.one('si')}]" if units == "both" else self.one(units)


def length(mm: Decimal, way: str, us: int, si: int, stated: str = "") -> Row:
    """A length."""
    return Row(mm, (" in", us), (" mm", si), way, stated, "us" if stated.endswith(" in") else "si")


def alone(number: Decimal, unit: str, places: int, way: str = "nearest", stated: str = "") -> Row:
    """A number that both systems print alike."""
    return Row(number, (unit, places), (unit, places), way, stated)


def pressure(psi: Decimal) -> Row:
    """A pressure rating: down in both systems, since more would be unsafe."""
    return Row(psi * PSI, (" psi", 0), (" kPa", 0), "down")


def warmth(celsius: str, way: str, stated: str) -> Row:
    """A temperature."""
    return Row(D(celsius), (" °F", 0), (" °C", 0), way, stated, "us" if stated.endswith("F") else "si")


@dataclass(frozen=True)
class Label:
    """What the invented label says of one pair."""

    seconds: int
    ohm: str
    area: int
    base: int
    radius: str
    angle: int
    wall: int
    bore: str
    height: int
    screws: str
    waits: tuple[int, int, int]


@dataclass(frozen=True)
class Facts:
    """One demo job, typed in by hand."""

    main: str
    main_band: str
    lateral: str
    lateral_band: str
    label: Label
    saw: str
    saw_inside: str
    cup: str
    clock: int
    air: tuple[str, str]
    humidity: str
    squeezed: bool
    words: tuple[str, ...]
    surface: tuple[str, str] | None = None


FACTS = {
    "first-lateral": Facts(
        main="6.625",
        main_band="0.030",
        lateral="2.375",
        lateral_band="0.006",
        label=Label(85, "3.70", 10500, 160, "84.0", 44, 12, "1.90", 80, "M8", (15, 20, 30)),
        saw="1-3/4",
        saw_inside="1.59",
        cup="2-1/2 in [63.5 mm]",
        clock=0,
        air=("68 °F", "20"),
        humidity="55",
        squeezed=False,
        words=(
            "Soil cover 4 ft [1.22 m]",
            "station 2+14",
            "outlet at 12 o'clock",
            "68 °F [20 °C]",
            "55 %",
            "fuser 1",
            "2 in on 6 in",
        ),
        surface=("62 °F", "16.666666667"),
    ),
    "repair-tie-in": Facts(
        main="8.625",
        main_band="0.039",
        lateral="4.500",
        lateral_band="0.020",
        label=Label(140, "1.40", 37500, 270, "109.4", 60, 16, "3.60", 120, "M10", (20, 30, 40)),
        saw="3-3/8",
        saw_inside="3.22",
        cup="4 in [101.6 mm]",
        clock=90,
        air=("72 °F", "22.222222222"),
        humidity="60",
        squeezed=True,
        words=(
            "Soil cover 5 ft [1.52 m]",
            "station 6+80",
            "outlet at 3 o'clock",
            "72 °F [22 °C]",
            "60 %",
            "fuser 2",
            "4 in on 8 in",
            "6 ft [1.82 m]",
            "5 ft [1.52 m]",
            "8 ft [2.43 m]",
            "4 ft [1.21 m]",
        ),
    ),
}

DR = 11
DESIGN_STRESS = D(1000)  # psi, PE4710
PEEL = (D("0.009") * INCH, D("0.012") * INCH)
PEEL_MARGIN = fraction("1/2") * INCH
COIL_TOLERANCE, OUTPUT_TOLERANCE = D("0.10"), D("0.015")
SAW_OVERSIZE, PILOT, PILOT_PROJECTION = D("0.020") * INCH, fraction("1/4") * INCH, fraction("1/2") * INCH
OVERTRAVEL, TRAVEL_MARGIN, SAW_CLEARANCE = (
    fraction("1/8") * INCH,
    fraction("1/2") * INCH,
    fraction("1/16") * INCH,
)
HOLE_SHARE, OVALITY, SURFACE_LOSS = D("0.60"), D("0.015"), D("0.10")
DENSITY = D(950)  # kg/m³
EFFICIENCY, POWER_FACTOR, MARGIN, DERATING, DROP = D("0.70"), D("0.80"), D("0.25"), D("0.10"), D("0.05")
# Conductors: ohm per km of one, warm, and amperes. NEC chapter 9 table 8 at 75 °C per 1000 ft; NEC 400.5
# (10 AWG and thicker from memory); IEC 60228 class 5 at 20 °C, warmed to 75 °C; metric amperes from memory.
CORDS = {
    **{f"awg_{size}": (D(ohm) / D("0.3048"), D(amperes)) for size, ohm, amperes in (
        (18, "7.95", 10), (16, "4.99", 13), (14, "3.14", 18), (12, "1.98", 25), (10, "1.24", 30),
        (8, "0.778", 40), (6, "0.491", 55),
    )},
    **{f"mm2_{size}": (D(ohm) * D("309.5") / D("254.5"), D(amperes)) for size, ohm, amperes in (
        ("1", "19.5", 10), ("1_5", "13.3", 15), ("2_5", "7.98", 20), ("4", "4.95", 25), ("6", "3.30", 34),
        ("10", "1.91", 47), ("16", "1.21", 63),
    )},
}  # fmt: skip
CORD_VOLTS = {"awg": (120, 240), "mm2": (110, 230)}
COMPRESSION, DIAMETERS, CLOSE, RELEASE = D("0.30"), 3, D(2) * INCH / 60, D("0.5") * INCH / 60
PI = D("3.14159265358979323846264338328")
# Inch hole saws near the sizes in question.
SAWS = (
    "1-1/2", "1-9/16", "1-5/8", "1-11/16", "1-3/4", "1-13/16", "1-7/8", "1-15/16", "2", "2-1/8", "2-1/4",
    "2-3/8", "2-1/2", "2-5/8", "2-3/4", "2-7/8", "3", "3-1/8", "3-1/4", "3-3/8", "3-1/2", "3-5/8", "3-3/4",
    "3-7/8", "4", "4-1/8", "4-1/4", "4-3/8", "4-1/2", "4-5/8", "4-3/4", "5", "5-1/2", "6",
)  # fmt: skip
# Lateral on main, outlet bore, clamp and tap waits; mains' outside diameters.
FAMILY = (
    [("2", main, "1.90", 15, 30) for main in ("3", "4", "6", "8", "10", "12")]
    + [("3", main, "2.80", 18, 35) for main in ("6", "8", "10", "12")]
    + [("4", main, "3.60", 20, 40) for main in ("6", "8", "10", "12")]
    + [("6", main, "5.30", 25, 50) for main in ("10", "12")]
)
DIAMETERS_OF = {"3": "3.500", "4": "4.500", "6": "6.625", "8": "8.625", "10": "10.750", "12": "12.750"}


def wall_of(diameter: str) -> Decimal:
    """Minimum wall, mm: to 0.001 in."""
    return (D(diameter) / DR).quantize(D("0.001"), rounding=ROUND_HALF_UP) * INCH


def best_saw(bore: str, main: str) -> str:
    """The largest listed saw with its clearance on both sides, within the share of the main's mean bore."""
    most = min(D(bore) * INCH - 2 * SAW_CLEARANCE, HOLE_SHARE * (D(main) * INCH - D("2.12") * wall_of(main)))
    return max((saw for saw in SAWS if fraction(saw) * INCH <= most), key=fraction)


def plug(radius: Decimal, hole: Decimal) -> float:
    """Volume between the crown's height and the axis under a round hole, mm³.

    Hubbell's series in (hole/radius)², integrated term by term: π r² R (1 − k²/8 − k⁴/64 − 5k⁶/1024 − …).
    """
    k2 = float(hole / radius) ** 2
    total, term = 0.0, 1.0
    for n in range(60):
        total += term
        term *= k2 * (n - 0.5) * (n + 0.5) / ((n + 1) * (n + 2))
    return math.pi * float(hole) ** 2 * float(radius) * total


def coupon(diameter: Decimal, wall: Decimal, inside: Decimal) -> Decimal:
    """Mass of the coupon, g."""
    outer, inner = diameter / 2, diameter / 2 - wall
    volume = (
        plug(outer, inside / 2) - plug(inner, inside / 2) - plug(outer, PILOT / 2) + plug(inner, PILOT / 2)
    )
    return D(repr(volume)) * DENSITY / 1_000_000


def gap(radius: Decimal, angle: int, small: Decimal, large: Decimal) -> Decimal:
    """The widest gap of a saddle laid on the smallest and the largest peeled pipe, mm."""
    saddle, half = float(radius), math.radians(angle)
    found = []
    for pipe in (float(small), float(large)):
        if pipe > saddle:  # rides on its edges: the gap is at the crown
            edge = math.sqrt(pipe**2 - (saddle * math.sin(half)) ** 2)
            found.append(saddle - saddle * math.cos(half) + edge - pipe)
        else:  # rides on its crown: the gap is at the edge
            x, y = saddle * math.sin(half), saddle * math.cos(half) - (saddle - pipe)
            found.append(math.hypot(x, y) - pipe)
    return D(repr(max(found)))


def pipe_rows(name: str, diameter: str, band: str) -> Iterator[tuple[str, Row]]:
    """The values of one pipe."""
    od, wall = D(diameter) * INCH, wall_of(diameter)
    rating = pressure(2 * DESIGN_STRESS / (DR - 1))
    for key, row in {
        "outside_diameter": length(od, "nearest", 3, 1, f"{diameter} in"),
        "outside_diameter_min": length(od - D(band) * INCH, "up", 3, 1),
        "outside_diameter_max": length(od + D(band) * INCH, "down", 3, 1),
        "wall_min": length(wall, "up", 3, 2),
        "wall_max": length(wall * D("1.12"), "down", 3, 2),
        "inside_diameter_mean": length(od - wall * D("2.12"), "nearest", 3, 1),
        "out_of_round_max": length(od * OVALITY, "down", 3, 1),
        "girth": length(od * PI, "nearest", 2, 0),
        "girth_min": length((od - D(band) * INCH) * PI, "up", 2, 1),
        "girth_max": length((od + D(band) * INCH) * PI, "down", 2, 1),
        "pressure_rating": rating,
        "temperature_factor": alone(D(1), "", 2, "down"),  # 80 °F and colder: AWWA M55, Table 4-6
        "pressure_rating_at": rating,
    }.items():
        yield f"pipe.{name}.{key}", row


def label_rows(facts: Facts) -> dict[str, Row]:
    """What the label states, and what follows from coil, voltage and time."""
    label = facts.label
    volt, ohm, seconds = D(40), D(label.ohm), D(label.seconds)

    def energy(volts: Decimal, ohms: Decimal) -> Decimal:
        return volts * volts / ohms * seconds / 1000

    waits = dict(zip(("clamp_time", "pressure_wait", "tap_wait"), label.waits, strict=True))
    clamp, press, cut = label.waits
    ladder = {"clamps_off": clamp, "test": press, "tap": cut, "working_pressure": cut, "backfill": cut + 10}
    return {
        "joint.pressure_max": pressure(D(200)),
        "fitting.outlet_bore": length(D(label.bore) * INCH, "down", 2, 1, f"{label.bore} in"),
        "fitting.outlet_height": length(D(label.height), "nearest", 2, 1, f"{label.height} mm"),
        "fitting.bore_radius": length(D(label.radius), "nearest", 3, 1, f"{label.radius} mm"),
        "fitting.base_angle": alone(D(label.angle), "°", 0),
        "fitting.base_length": length(D(label.base), "nearest", 2, 0, f"{label.base} mm"),
        "fitting.fusion_area": Row(
            D(label.area), (" in²", 2), (" mm²", 0), "nearest", f"{label.area} mm²", "si"
        ),
        "fitting.wall": length(D(label.wall), "nearest", 2, 1, f"{label.wall} mm"),
        "fitting.coil_resistance": alone(ohm, " Ω", 2),
        "fitting.coil_tolerance": alone(D(10), " %", 0),
        "peel.depth_min": length(PEEL[0], "up", 3, 2, "0.009 in"),
        "peel.depth_max": length(PEEL[1], "down", 3, 2, "0.012 in"),
        "gap.feeler": length(D("0.33"), "down", 4, 2, "0.33 mm"),
        "fuse.voltage": alone(volt, " V", 0),
        "fuse.time": alone(seconds, " s", 0),
        "fuse.terminal": alone(D("4.7"), " mm", 1),
        "fuse.main_wall_min": length(D("5.5"), "up", 3, 1, "5.5 mm"),
        "fuse.current": alone(volt / ohm, " A", 1, "up"),
        "fuse.power": alone(volt * volt / ohm, " W", 0, "up"),
        "fuse.energy": alone(energy(volt, ohm), " kJ", 1),
        "fuse.energy_min": alone(
            energy(volt * (1 - OUTPUT_TOLERANCE), ohm * (1 + COIL_TOLERANCE)), " kJ", 1, "down"
        ),
        "fuse.energy_max": alone(
            energy(volt * (1 + OUTPUT_TOLERANCE), ohm * (1 - COIL_TOLERANCE)), " kJ", 1, "up"
        ),
        **{
            f"cool.{key}": alone(D(60 * minutes), " min", 0, "up", f"{minutes} min")
            for key, minutes in waits.items()
        },
        **{f"clock.{key}": alone(D(60 * minutes), " min", 0, "up") for key, minutes in ladder.items()},
        "cool.reference_temperature": warmth("23", "down", "23 °C"),
        "cool.end_temperature": warmth("80", "down", "80 °C"),
        **{
            f"spacing.saddle_to_{what}": length(D(500), "up", 1, 0, "500 mm")
            for what in ("saddle", "fitting", "pipe_end")
        },
        "weather.ambient_min": warmth("-10", "up", "−10 °C"),
        "weather.ambient_max": warmth("40", "down", "40 °C"),
        "weather.air_temperature": warmth(facts.air[1], "nearest", facts.air[0]),
        "weather.humidity": alone(D(facts.humidity), " %", 0),
        **dew_rows(facts),
    }


def settles_at(air: Decimal, humidity: Decimal) -> Decimal:
    """Where air of this humidity leaves water or frost, the warmer, °C: WMO-No. 8, Annex 4.B."""
    power = (humidity / 100).ln() + D("17.62") * air / (D("243.12") + air)
    over_water, over_ice = (
        D(offset) * power / (D(slope) - power) for slope, offset in (("17.62", "243.12"), ("22.46", "272.62"))
    )
    return round(max(over_water, over_ice), 20)  # saturated air settles at its own temperature


def dew_rows(facts: Facts) -> dict[str, Row]:
    """Dew point of the planned air, and how far the planned pipe is above it."""
    dew = settles_at(D(facts.air[1]), D(facts.humidity))
    rows = {
        "weather.dew_point": warmth(str(dew), "up", ""),
        "weather.dew_margin_min": Row(D(3), (" F°", 0), (" K", 0), "up", "3 K", "si"),
    }
    if facts.surface:
        shown, celsius = facts.surface
        rows["weather.surface_temperature"] = warmth(celsius, "down", shown)
        rows["weather.dew_margin"] = Row(D(celsius) - dew, (" F°", 1), (" K", 1), "down")
    return rows


def dew_lookup() -> Iterator[str]:
    """Air, humidity and least pipe temperature, 3 K above, of both lookups: window −10 to 40 °C."""
    humidities = range(40, 101, 10)
    yield from (f"{humidity} %" for humidity in humidities)
    for unit, airs in ((" °F", (*range(20, 101, 10), 104)), (" °C", range(-10, 41, 5))):
        for air in airs:
            yield shown(D(air), 0, "nearest") + unit
            celsius = (D(air) - 32) / D("1.8") if unit == " °F" else D(air)
            for humidity in humidities:
                yield warmth(str(settles_at(celsius, D(humidity)) + 3), "up", "").one(
                    "us" if unit == " °F" else "si"
                )


def peel_rows(facts: Facts) -> dict[str, Row]:
    """Peel and gap."""
    od, band, wall = D(facts.main) * INCH, D(facts.main_band) * INCH, wall_of(facts.main)
    radius, angle = D(facts.label.radius), facts.label.angle
    along = D(facts.label.base) + 2 * PEEL_MARGIN
    around = min(2 * radius * PI * angle / 180 + 2 * PEEL_MARGIN, PI * (od + band))
    passes = min(1, int(SURFACE_LOSS * wall / PEEL[1]))
    widest = gap(radius, angle, (od - band) / 2 - PEEL[1], (od + band) / 2 - PEEL[0])
    return {
        "peel.wall_loss_percent": alone(PEEL[1] / wall * 100, " %", 1, "up"),
        "peel.diameter_after_one_pass": length(od - PEEL[1], "up", 3, 1),
        "peel.passes_max": alone(D(passes), "", 0, "down"),
        "peel.gouge_depth_max": length(SURFACE_LOSS * wall - PEEL[1], "down", 3, 2),
        "peel.zone_length": length(along, "up", 2, 0),
        "peel.zone_arc": length(around, "up", 2, 0),
        "peel.zone_area": Row(along * around, (" in²", 1), (" mm²", 0), "up"),
        "gap.free_gap_max": length(widest, "up", 4, 2),
        "place.clock_angle": alone(D(facts.clock), "°", 0),
        "place.arc_from_top": length(PI * od * facts.clock / 360, "nearest", 2, 0),
    }


def tap_rows(facts: Facts, squeezed: bool) -> dict[str, Row]:
    """Saw, travel, coupon; squeeze-off where it is asked for."""
    od, band, wall = D(facts.main) * INCH, D(facts.main_band) * INCH, wall_of(facts.main)
    assert best_saw(facts.label.bore, facts.main) == facts.saw
    saw, thick, bore = fraction(facts.saw) * INCH, wall * D("1.12"), D(facts.label.bore) * INCH
    lateral = D(facts.lateral) * INCH - D("2.12") * wall_of(facts.lateral)

    def edge(diameter: Decimal, hole: Decimal) -> Decimal:
        """Height over the axis of the hole's edge on the inside of the thickest wall."""
        return ((diameter / 2 - thick) ** 2 - (hole / 2) ** 2).sqrt()

    small, wide = od - band, saw + SAW_OVERSIZE
    travel = small / 2 - edge(small, wide) + OVERTRAVEL
    limit = min(small / 2 + edge(small, wide), small - thick - PILOT_PROJECTION) - TRAVEL_MARGIN
    rows = {
        "tap.hole_saw": length(saw, "down", 3, 1, f"{facts.saw} in"),
        "tap.clearance": length((bore - saw) / 2, "down", 3, 1),
        "tap.travel_to_breakthrough": length(od / 2 - edge(od, saw), "up", 2, 1),
        "tap.travel_set": length(travel, "up", 2, 1),
        "tap.travel_limit": length(limit, "down", 2, 1),
        "tap.depth_mark": length(D(facts.label.height) + travel, "up", 2, 1),
        "tap.saw_depth_min": length(travel, "up", 2, 1),
        "tap.coupon_mass": Row(
            coupon(od, wall, D(facts.saw_inside) * INCH), (" oz", 1), (" g", 0), "nearest"
        ),
        "tap.flow_area_percent": alone((saw / lateral) ** 2 * 100, " %", 0, "down"),
    }
    if squeezed:
        stop = 2 * wall * (1 - COMPRESSION)
        rows["squeeze.distance_min"] = length(max(DIAMETERS * od, 12 * INCH), "up", 1, 0)
        rows["squeeze.gap_stop"] = length(stop, "up", 3, 1)
        rows["squeeze.close_time_min"] = alone((od - stop) / CLOSE, " min", 0, "up")
        rows["squeeze.release_time_min"] = alone((od - stop) / RELEASE, " min", 0, "up")
    return rows


def drawn(facts: Facts) -> Decimal:
    """Apparent power that the control unit takes in, VA."""
    output = D(40) * 40 / (D(facts.label.ohm) * (1 - COIL_TOLERANCE))
    return output / EFFICIENCY / POWER_FACTOR


def cord(facts: Facts, size: str, volts: int) -> Row | None:
    """The longest supply cord; None where its conductor may not carry the current."""
    ohms, amperes = CORDS[size]
    current = drawn(facts) / (volts * (1 - DROP))
    longest = volts * DROP / (2 * current * ohms) * 1_000_000
    return None if current > amperes else Row(longest, (" ft", 0), (" m", 1), "down")


def power_rows(facts: Facts) -> dict[str, Row]:
    """The job's generator and supply cord: 12 AWG at 120 V."""
    plate, longest = drawn(facts) * (1 + MARGIN) / (1 - DERATING), cord(facts, "awg_12", 120)
    assert longest is not None
    return {
        "power.supply_voltage": alone(D(120), " V", 0),
        "power.supply_current": alone(drawn(facts) / (120 * (1 - DROP)), " A", 1, "up"),
        "power.generator_rating": alone(plate * POWER_FACTOR, " W", 0, "up"),
        "power.generator_rating_apparent": alone(plate, " VA", 0, "up"),
        "power.supply_cord_length_max": longest,
        "power.supply_cord_length_max.120_v.awg_12": longest,
    }


def cord_texts(job: str, units: str) -> dict[str, str]:
    """Every listed supply cord as printed."""
    return {
        f"power.supply_cord_length_max.{volts}_v.{size}": row.text(units) if row else "not permitted"
        for size in CORDS
        for volts in CORD_VOLTS[size.partition("_")[0]]
        for row in (cord(FACTS[job], size, volts),)
    }


@cache
def own(job: str, squeezed: bool | None = None) -> Mapping[str, Row]:
    """Every value that is a number, worked out here; with those of squeeze-off where the job is or `squeezed`
    says.
    """
    facts = FACTS[job]
    squeezed = facts.squeezed if squeezed is None else squeezed
    return {
        **dict(pipe_rows("main", facts.main, facts.main_band)),
        **dict(pipe_rows("lateral", facts.lateral, facts.lateral_band)),
        **label_rows(facts),
        **power_rows(facts),
        **peel_rows(facts),
        **tap_rows(facts, squeezed),
    }


# What tests/references/test_demo_jobs.py works out by hand, number by number, as printed here.
BY_HAND = {
    "first-lateral": {
        "clamp.torque_guidance": "1.1 lbf·ft [1.4 N·m]", "clamp.torque_limit": "10.9 lbf·ft [14.8 N·m]",
        "fuse.main_pressure_max": "150 psi [1,034 kPa]", "test.pressure_max": "300 psi [2,068 kPa]",
        "place.room_along": "31.3 in [795 mm]", "place.room_around": "12 in [305 mm]",
        "test.fill_volume": "6.0 US gal [22.8 L]", "test.end_force": "1,336 lbf [5,942 N]",
        "bend.radius_min": "60 in [1.51 m]", "bend.radius_min_at_fitting": "238 in [6.04 m]",
        "bend.length_at_fitting": "12 in [0.31 m]",
        "place.room_above": "21.2 in [538 mm]", "clock.joint_total": "122 min",
        "power.breaker": "15 A", "kit.solvent": "0.05 US gal [0.18 L]", "kit.wipes": "9", "kit.blades": "2",
    },
    "repair-tie-in": {
        "clamp.torque_guidance": "3.7 lbf·ft [5.1 N·m]", "clamp.torque_limit": "21.6 lbf·ft [29.3 N·m]",
        "fuse.main_pressure_max": "150 psi [1,034 kPa]", "test.pressure_max": "300 psi [2,068 kPa]",
        "spacing.measured_saddle": "6 ft [1,828 mm]", "spacing.measured_fitting": "5 ft [1,524 mm]",
        "spacing.measured_pipe_end": "8 ft [2,438 mm]", "spacing.measured_squeeze": "4 ft [1,219 mm]",
        "place.room_along": "35.7 in [905 mm]", "place.room_around": "12 in [305 mm]",
        "test.fill_volume": "13.5 US gal [51.0 L]", "test.end_force": "4,814 lbf [21,413 N]",
        "bend.radius_min": "113 in [2.86 m]", "bend.radius_min_at_fitting": "450 in [11.43 m]",
        "bend.length_at_fitting": "23 in [0.58 m]",
        "place.room_above": "22.8 in [578 mm]", "clock.joint_total": "133 min",
        "power.breaker": "20 A", "kit.solvent": "0.12 US gal [0.46 L]", "kit.wipes": "9", "kit.blades": "2",
    },
}  # fmt: skip


# Words of the job's supply and kit: two fittings, one of them spare, and a saw for the one cut.
JOB_WORDS = {
    "first-lateral": {
        "test.makeup_volume": "none",
        "power.outlet": "NEMA 5-15R", "power.fault_protection": "GFCI class A (6 mA)",
        "kit.fittings": "2 × demo-saddle-screw 2 in IPS on 6 in IPS",
        "kit.hole_saws": "1 × 1-3/4 in [44.4 mm]",
    },
    "repair-tie-in": {
        "test.makeup_volume": "none",
        "power.outlet": "NEMA 5-20R", "power.fault_protection": "GFCI class A (6 mA)",
        "kit.fittings": "2 × demo-saddle-screw 4 in IPS on 8 in IPS",
        "kit.hole_saws": "1 × 3-3/8 in [85.7 mm]",
    },
}  # fmt: skip


def words_of(job: str) -> dict[str, str]:
    """The values that are words."""
    screws = FACTS[job].label.screws
    return {
        "fitting.screw_size": screws,
        "clamp.method": "four screws, hand tight",
        "clamp.screws": f"4 × {screws}",
        "tap.method": "open drill",
        "clamp.torque": "",
    }


def heat_texts(job: str) -> dict[str, str]:
    """The waits in heat as printed, the cooling solved by a library's integrator; the melt stands elsewhere.

    Air and main of both jobs are colder than the label's waits are stated for.
    """
    key, found = (job, "J1"), {}
    names = ("clamp_time", "pressure_wait", "tap_wait")
    waits = dict(zip(names, FACTS[job].label.waits, strict=True))
    for limit in (0, 10, 20, 30, 40, 50, 60, None):
        name = "cool." if limit is None else f"cool.band.to_{limit}."
        added = D(str(extra(key, float(limit)))) if limit and limit < 50 else D(0)
        for wait, seconds in {"extra": D(0), **{f"{k}_at": D(60 * m) for k, m in waits.items()}}.items():
            row = alone(seconds + added, " min", 0, "up")
            found[name + wait] = "not permitted" if limit and limit > 40 else row.text("both")
    return found


def heat_results(job: str) -> list[str]:
    """Unrounded numbers that test_demo_heat checks, and the lines of the sheet about heat."""
    key, found = (job, "J1"), []
    joint = demo_joint(*key)
    for name, value in joint.values.items():
        if is_heat(name) and value.number is not None:
            unit = "mm" if "melt" in name else "s"
            found += [f"{value.number:.6g} {unit}", f"{value.number:.1f} {unit}", value.text()]
    view = View(joint.request.catalog, load_words(), joint)
    for sheet in heat_sheets(view):
        (*_, moved) = (block for block in sheet.blocks if isinstance(block, Table))
        (curves,) = (block.figure for block in sheet.blocks if isinstance(block, Drawing))
        found += [text for text in curves.strings if text[:2] in ("A ", "B ")]
        found += [words_of_line(row[1]) for row in moved.rows]
    return found


BOTH_JOBS = pytest.mark.parametrize("job", FACTS)


@BOTH_JOBS
def test_every_value_of_a_pack_is_the_one_worked_out_here(job: str, issued: dict[str, Any]) -> None:
    """All names, all texts in both unit systems; no value here or there is left over."""
    printed = {name: value["text"] for name, value in issued[job].values.items()}
    expected = {**{name: row.text("both") for name, row in own(job).items()}, **words_of(job)}
    melted = {name: printed.pop(name) for name in list(printed) if "melt_depth" in name}
    assert len(melted) == 2
    assert printed == {**expected, **BY_HAND[job], **JOB_WORDS[job], **heat_texts(job)}


@BOTH_JOBS
def test_every_unrounded_value_is_the_one_worked_out_here(job: str, issued: dict[str, Any]) -> None:
    """The numbers behind the texts, in the register's unit, to nine figures."""
    numbers = {name: value["value"] for name, value in issued[job].values.items()}
    for name, row in own(job).items():
        assert numbers[name] == pytest.approx(float(row.number), rel=1e-8, abs=1e-9), name


@pytest.mark.parametrize("units", ["us", "si"])
@BOTH_JOBS
def test_one_unit_system_alone_is_rounded_as_safely(
    job: str, units: str, packgen: Callable[..., Any]
) -> None:
    """`packgen values` of the same pair, with material and warmth of the job; what needs a job is absent."""
    facts = FACTS[job]
    sizes = {"6.625": "6 in", "8.625": "8 in", "2.375": "2 in", "4.500": "4 in"}
    pair = [f"{sizes[od]} IPS DR 11 PE4710" for od in (facts.main, facts.lateral)]
    air = facts.air[0].replace("°F", "degF")
    ran = packgen(
        "values",
        *pair,
        "--family",
        "demo-saddle-screw",
        "--ambient",
        air,
        "--units",
        units,
        "--format",
        "json",
    )
    assert ran.code == 0, ran.err
    printed = {name: value["text"] for name, value in json.loads(ran.out)["values"].items()}
    # Without a job nobody knows whether the main will be squeezed: the values are there for whoever asks.
    every = {**{name: row.text(units) for name, row in own(job, squeezed=True).items()}, **words_of(job)}
    every |= {**cord_texts(job, units), **heat_texts(job)}
    printed = {name: text for name, text in printed.items() if "melt_depth" not in name}
    for name in ("power.supply_voltage", "power.supply_current", "power.supply_cord_length_max"):
        del every[name]
    planned = ("air_temperature", "humidity", "surface_temperature", "dew_point", "dew_margin")
    for name in ("place.clock_angle", "place.arc_from_top", *(f"weather.{each}" for each in planned)):
        every.pop(name, None)
    by_hand = {name: text for name, text in BY_HAND[job].items() if name in printed}
    part = _before if units == "us" else _within
    inches = {name: part(text) for name, text in by_hand.items()}
    stated = {"fuse.main_pressure_max": "150 psi [1,034 kPa]", "place.room_around": "12 in [305 mm]"}
    kept = stated if units == "si" else {name: _before(text) for name, text in stated.items()}
    assert printed == {**every, **inches, **kept}
    needs_job = {"test.pressure_max", "clock.joint_total"} | {"power.breaker"}
    needs_job |= {"kit.solvent", "kit.wipes", "kit.blades", "test.fill_volume", "test.end_force"}
    assert by_hand.keys() == {name for name in BY_HAND[job] if not name.startswith("spacing.")} - needs_job


def _before(text: str) -> str:
    """The words before the brackets of a text in both systems."""
    return text.partition(" [")[0]


def _within(text: str) -> str:
    """The words in the brackets of a text in both systems."""
    return text.partition(" [")[2].rstrip("]")


# Limits where a crew reads them: words of the step, with the value this file worked out.
LIMITS = (
    "Diameter tape reads {pipe.main.outside_diameter_min} to {pipe.main.outside_diameter_max}.",
    "Wall gauge reads {pipe.main.wall_min} to {pipe.main.wall_max}.",
    "Permit's operating pressure is no more than 100 psi",  # the job's
    "Deepest gouge is no deeper than {peel.gouge_depth_max}.",
    "Nearest saddle is {spacing.saddle_to_saddle} or more away.",
    "Nearest other fitting is {spacing.saddle_to_fitting} or more away.",
    "Nearest pipe end is {spacing.saddle_to_pipe_end} or more away.",
    "Mark the outlet's clock angle, {place.clock_angle} clockwise; "
    "the shorter way round is {place.arc_from_top}.",
    "Air is {weather.ambient_min} to {weather.ambient_max}.",
    "Highest and lowest differ by no more than {pipe.main.out_of_round_max}.",
    "Zone measures {peel.zone_length} along the main.",
    "Zone measures {peel.zone_arc} round the main.",
    "Peel one even pass over the marked zone, {peel.depth_min} to {peel.depth_max} deep.",
    "Depth gauge at the zone's edge reads {peel.depth_min} to {peel.depth_max}.",
    "Screws are {clamp.screws}.",
    "Try the feeler, {gap.feeler}, all round",
    "Feeler {gap.feeler} does not enter anywhere around the saddle.",
    "Supply's outlet is {power.outlet}, breaker {power.breaker}, or larger, behind {power.fault_protection}.",
    "Generator's plate gives at least {power.generator_rating}.",
    "Supply cord is at most {power.supply_cord_length_max} long.",
    "Terminal adapters are {fuse.terminal} and fit without force.",
    "Label states {fuse.time}, {fuse.voltage}, clamp time {cool.clamp_time}.",
    "Display, label and this sheet agree: {fuse.time}, {fuse.voltage}, clamp time {cool.clamp_time}.",
    "Let the full {fuse.time} run without a break.",
    "Start timers by the marked row: "
    "at least {cool.clamp_time}, {cool.pressure_wait} and {cool.tap_wait}.",
    "Leave the clamp on, untouched, until its written time, at least {cool.clamp_time} from fusion end.",
    "Put no pressure on the joint before its written time, at least {cool.pressure_wait} from fusion end.",
    "Keep the saw away until the tap wait and any extra wait are over, at least {cool.tap_wait}.",
    "Plug's restraint bears {test.end_force}, by its plate.",
    "Have {test.fill_volume} of clean water ready.",
    "Water put in while the lateral's gauge holds is at most {test.makeup_volume}.",
    "Bend the lateral no tighter than a radius of {bend.radius_min}.",
    "Within {bend.length_at_fitting} of any fitting, "
    "keep the radius at {bend.radius_min_at_fitting} or more.",
    "Fit hole saw {tap.hole_saw} with its pilot",
    "Saw's cup is {tap.saw_depth_min} deep or more.",
    "Set the drill to stop at {tap.travel_set} of travel from teeth contact.",
    "Stop at {tap.travel_set} of travel from teeth contact.",
    "Depth mark stands {tap.depth_mark} up the shank from the teeth.",
    "Lateral's outside diameter reads {pipe.lateral.outside_diameter_min} "
    "to {pipe.lateral.outside_diameter_max}.",
    "Gouge deeper than {peel.gouge_depth_max} Do not fuse here",
    "Peel deeper than {peel.depth_max} Do not fuse here",
    "Peel thinner than {peel.depth_min} at the last pass",
    "cap, tag, move {spacing.saddle_to_saddle} or more",
)
SQUEEZE_LIMITS = (
    "Keep each squeeze {squeeze.distance_min} or more from saddle",
    "Set the stops to the tool plate's stop for this pipe; without one, {squeeze.gap_stop}.",
    "Close the first tool evenly, in no less than {squeeze.close_time_min}.",
    "Close the second tool, where one is set, evenly, in no less than {squeeze.close_time_min}.",
    "Open the first tool evenly, without stopping, in no less than {squeeze.release_time_min}.",
    "Open the second tool, where one is set, evenly, in no less than {squeeze.release_time_min}.",
)


@pytest.mark.parametrize("file", ["crew-pack.pdf", "pocket-cards-screen.pdf", "pocket-cards.pdf"])
@BOTH_JOBS
def test_each_limit_stands_in_its_own_step(job: str, file: str, issued: dict[str, Any]) -> None:
    """Pack and cards: the right number behind the right words, not merely somewhere."""
    text = issued[job].folded(file)
    texts = {**{name: row.text("both") for name, row in own(job).items()}, **words_of(job), **BY_HAND[job]}
    texts |= JOB_WORDS[job]

    def filled(sentence: str) -> str:
        return re.sub(r"\{([\w.]+)\}", lambda slot: texts[slot[1]], sentence)

    wanted = [filled(sentence) for sentence in LIMITS + (SQUEEZE_LIMITS if FACTS[job].squeezed else ())]
    assert [sentence for sentence in wanted if sentence not in text] == []


# --- every number of the PDFs
# ------------------------------------------------------------------------------------------

NUMBER = re.compile(r"−?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?:-\d+/\d+|/\d+)?")
UNIT = re.compile(
    r" ?(US gal|L|in/min|mm/min|in²|mm²|in|mm|ft|m|psi|kPa|°C|°F|F°|°|kW|kJ|kg/m³|VA|V|A|W|Ω/kft|Ω"
    r"|min|s|h|%|K|g|oz|AWG)(?![\w²])"
)

# Facts that stand in packs beside the values: rules and regulations with their safe rounding, the job's
# equipment.
STATED_FACTS = (
    "2 ft [0.61 m]",
    "5 ft [1.52 m]",
    "4 ft [1.21 m]",
    "25 ft [7.62 m]",
    "3 ft [0.92 m]",  # 29 CFR 1926
    "20 % LEL",
    "4.0 mm and 4.7 mm",
    "4.0 mm, 4.7 mm",
    "1/2 in [12.7 mm]",
    "100 psi [689 kPa]",  # the job's: a limit, so down
    "3.5 kW",
    "12 AWG, 50 ft [15.24 m], 120 V",
    "48 V",
    "DR 9 to 17",
    "≥ 1",
)
# Inputs of the workings that are not values themselves.
INPUT_FACTS = (
    "1000 psi [6,895 kPa]",
    "200 psi [1,379 kPa]",
    "1.5 %",
    "1/16 in [1.6 mm]",
    "1/8 in [3.2 mm]",
    "1/2 in [12.7 mm]",
    "60 %",
    "10 %",
    "30 %",
    "0.020 in [0.51 mm]",
    "1/4 in [6.4 mm]",
    "950 kg/m³",
    "dimension ratio 11",
    "passes 1",
    "diameters 3",
    "12 in [304.8 mm]",
    "2 in/min [51 mm/min]",
    "0.5 in/min [13 mm/min]",
    "70 %",
    "80 %",
    "25 %",
    "5 %",
    "25 A",
    "1.98 Ω/kft at 75 °C",
    "15 A, 20 A, 30 A",
    "0 %",
    "50 %",
    "75 °C [167 °F]",
)
# Work rules and proof stress that the workings of both jobs take in.
RULES_OF_JOINTS = (
    "10 min",  # the look before backfill
    "30 mm [1.19 in]", "150 %", "18 in [457.2 mm]", "45 min", "200 kPa [29.0 psi]", "15 %", "75 %",
    "450 MPa [65,267 psi]",
)  # fmt: skip
# Limits of the bands, and what the sheet about heat says of its assumptions.
HEAT_FACTS = (
    "0 °C [32 °F]", "10 °C [50 °F]", "20 °C [68 °F]", "23 °C [73 °F]", "30 °C [86 °F]", "40 °C [104 °F]",
    "50 °C [122 °F]", "60 °C [140 °F]", "80 °C [176 °F]", "−10 °C [14 °F]", "0.0 s", "0 s",
)  # fmt: skip
JOB_INPUTS = {
    "first-lateral": (
        "859 VA", "0.171771 L", "0.030 in [0.76 mm]", "0.006 in [0.15 mm]", "1.59 in [40.4 mm]",
        # 40 ft of 1.917 in bore; 300 psi on 2.381 in; 2.375 in times 25, 100 and 5.
        "40 ft [12.20 m]", "22.7045 L", "5941.78", "1508.12 mm", "6032.5 mm", "301.625 mm",
        # 84.0 × 44° less half of 1-3/4 in and its oversize; 160 / 2 less the same.
        "42.0 mm [1.65 in]", "57.5 mm [2.26 in]", "90 °",
        # 1.5 × 200 psi; 80 mm and 18 in; 45 min, 85 s, 30 min, 45 min.
        "2068.43 kPa", "537.2 mm", "7285 s",
        # Four M8: 200 kPa on 160 × 2 × 84.0 × sin 44°; a nut factor of 15 to 30 %; 75 % of the proof load.
        "934 N", "2.3 N·m", "8 mm [0.315 in]", "1.25 mm [0.0492 in]", "1.49379 N·m", "14.8264 N·m",
        *RULES_OF_JOINTS,
    ),
    "repair-tie-in": (
        "2,268 VA", "0.451123 L", "0.039 in [0.99 mm]", "0.020 in [0.51 mm]", "3.22 in [81.8 mm]",
        # 25 ft of 3.633 in bore; 300 psi on 4.520 in; 4.5 in times 25, 100 and 5.
        "50.9594 L", "21412.8", "2857.5 mm", "11430 mm", "571.5 mm",
        # 109.4 × 60° less half of 3-3/8 in and its oversize; 270 / 2 less the same.
        "71.4 mm [2.81 in]", "91.8 mm [3.61 in]",
        # The day at hand; 132:20 of work and an hour around.
        "10 h", "193 min",
        # 1.5 × 200 psi; 120 mm and 18 in; 45 min, 140 s, 40 min, 45 min.
        "2068.43 kPa", "577.2 mm", "7940 s",
        # Four M10: 200 kPa on 270 × 2 × 109.4 × sin 60°.
        "2,558 N", "3.8 N·m", "7.7 N·m", "10 mm [0.394 in]", "1.5 mm [0.059 in]",
        "5.11613 N·m", "29.3572 N·m",
        *RULES_OF_JOINTS,
    ),
}  # fmt: skip
# Hours and minutes of the day plan, up to the minute. First lateral: 45 min, 85 s, waits of 15 and 30, 45.
# Tie-in: 45 min, 140 s, waits of 20 and 40 min, 45 min; an hour around. Ten joints take nine hours.
QUARTERS = ("0:00", "0:15", "0:30", "0:45", "1:00", "1:15", "1:30", "1:45", "2:00", "2:15")
DAY_TIMES = {
    "first-lateral": (*QUARTERS, "0:47", "1:02", "1:17", "2:02"),
    "repair-tie-in": (*QUARTERS, "0:48", "1:08", "1:28", "2:13", "3:13", "9, each as long as J1"),
}
# Formulas said in words.
FORMULAS = (
    "1.12 times the minimum wall",
    "less 2.12 times the minimum wall",
    "over dimension ratio, to 0.001 in",
    "2 × hydrostatic design stress over (dimension ratio − 1)",
    "2 × bore radius × half-angle",
)
# Citations, as they stand in sources and workings.
CITATIONS = (
    "scope read in F714-13 and F714-24",
    "ASTM F714",
    "D3035-15, Table 2",
    "D3035-15; D3350 edition not stated, D3035 Table 1",
    "ASTM D3035",
    "ASTM D3350",
    "chapter 6, second edition",
    "outside diameter − 2.12 × outside diameter / DR",
    "DVS 2207-1",
    "AWWA Manual M55",
    "Table 4-6",
    "ISO 12176-2:2008, 1, scope",
    "ISO 12176-2",
    "scope read in F1041-20",
    "ASTM F1041",
    "NFPA 70, National Electrical Code, chapter 9, table 8",
    "direct-current resistance at 75 °C",
    "NFPA 70, National Electrical Code, 400.5",
    "air at 86 °F (30 °C)",
    "along 12 AWG, out and back",
    "Example 6.1",
    "ISO 3506-1",
    "A2-70, 0.2 % proof stress",
    "ASTM F2164",
    "edition not stated, 5.4 read",
    "WMO-No. 8, Annex 4.B",
    "edition not stated, 5.4, leakage at fused joints",
    "chapter 7, second edition, cold bending radius by DR",
    "NEMA 5-15R",
    "NEMA 5-20R",
    "NEMA L5-30R or TT-30R",
    "NEMA WD 6",
    "UL 943",
    "trips at 4 to 6 mA",
    "GFCI class A (6 mA)",
    "2 L/m²",
    # The range of polyethylene's conductivity (EN ISO 10456), and films of the rule's range.
    "5 W/(m²·K)",
    "12 W/(m²·K)",
    "0.33 W/(m·K)",
    "0.53 W/(m·K)",
)
# What a number may be that is no measure, each as narrow as it can be.
PATTERNS = (
    r"\b20\d\d-\d\d-\d\d\b",  # dates
    # the foot
    r"\bHL-04(27|31) revision 1 · [2-9A-HJ-NP-Z]{4}(-[2-9A-HJ-NP-Z]{4}){2} (page|face) \d+ of \d+",
    r"\b[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}\b",  # the code
    r"\bJob HL-04(27|31), revision 1\b",
    r"\bJ1\b",
    r"\bWhere the outlet stands(?: (?:12|3|6|9)\b)+",  # the clock face
    r"\bA, B\. Scale \d+ : 1\b",
    r"\bSteps 1 to \d+ \(",  # of the pack, before the first on a card
    r"\bPQ-14\b",
    r"\bchecker 1\b",
    r"\bdigest [0-9a-f]{12}\b",
    r"starter content, revision 1,",
    r"\bwork rule [a-z-]+ revision 1\b",
    r"\b[a-z-]+ revision 1(?=[;.])",  # the rules quoted
    r"\bwork rule kit-[a-z-]+ \d+\b(?!\.\d)",  # counts
    r"\b(surfaces|cuts|peels of [68] in IPS) [12](?=[;.])",
    # Counts and factors as the workings give them, behind their symbol.
    r"\bc = 10 \(work rule kit-cuts-a-saw\)",
    r"\bk = 25 \(bend factor of DR 11\)",
    r"\bf = 100 \(bend factor with a fitting\)",
    r"\bn = 5 \(work rule bend-beside-fitting\)",
    r"\bh[oi] = [38] \(work rule cool-film-(outside|inside)\)",
    # The axes of the cooling curves: minutes by tens or fives, degrees by fifties.
    r"\bHow the fusion plane cools( ([0-9]0|[05]|[1-9]5))+( (0|50|100|150|200|250))+(?= |$)",
    r"\b10 % is 0\.1\b",  # how formulas are read
    r"\b2 × (?=[\d,.]+ in²)",  # zone and underside
    r"\b2 × demo-saddle-screw\b",
    r"\b1 × (1-3/4|3-3/8) in \[(44\.4|85\.7) mm\]",
    r"\blabel of demo-saddle-screw revision 1\b",
    r"\(step \d+\)",  # the joint record's boxes
    r"\bSources? \d+(, \d+)*(?=\.)",  # the workings' sources, numbered on the values sheet
    r"\b1 : \d+(\.5)?(?![\d.])",  # a figure's scale
    r"\b(2|4) in IPS DR 11 PE4710\b",
    r"\b(6|8) in IPS DR 11 PE4710\b",
    r"\bIPS DR 11 PE4710\b",
    r"\bDR 11\b",
    r"\bPE(4710|3608|2708|80|100)\b",
    r"\b2 in IPS on 6 in IPS\b",
    r"\b4 in IPS on 8 in IPS\b",
    r"\b4 × M(8|10)\b",
    r"\bthread M(8|10)\b",
    r"\bThis file holds \d+ card faces\b",
    r"\b100 mm at full size\b",  # the print-first page
    r"\bat most 15 months apart\b",  # 49 CFR 192.285(c), as the work rule carries it
    # The time line of the waits, and the parts of the peel template.
    r"\bA mark every (1|2|5|10|15|20|30|60|120|240) min\b",
    r"\bfull size, 100 %(?=,)",
    r"\bPart [1-9] of [1-9]\b",
)


@cache
def printed_formulas() -> tuple[re.Pattern[str], ...]:
    """The formulas of the workings, the longest first: the laws of formulas reckon each with its symbols.

    A term that stands for several inputs is written once for each.
    """
    texts = {formula.text.replace("/", DIVIDED) for ways in formulas.FORMULAS.values() for formula in ways}
    terms = {text: re.sub(r"[^{}, ]*…[^{},]*", "\0", text) for text in texts if re.search(r"\d", text)}
    return tuple(
        re.compile(re.escape(terms[text]).replace("\0", "[^{}]+")) for text in sorted(terms, key=len)[::-1]
    )


def measures(text: str) -> Iterator[str]:
    """Every number of a text with its unit, `12.7 mm`; a digit that no number holds comes alone."""
    at = 0
    while found := NUMBER.search(text, at):
        unit = UNIT.match(text, found.end())
        at = unit.end() if unit else found.end()
        # `M10`, `x3`: a number that sticks to a letter is none of ours.
        before = text[found.start() - 1] if found.start() else " "
        yield ("?" + before if before.isalpha() else "") + found[0] + (f" {unit[1]}" if unit else "")


def accounted(job: str) -> set[str]:
    """Every measure that may stand in a job's PDFs."""
    texts = [*(row.text("both") for row in own(job).values()), *BY_HAND[job].values()]
    texts += [*STATED_FACTS, *INPUT_FACTS, *JOB_INPUTS[job], *FORMULAS, *FACTS[job].words, FACTS[job].cup]
    texts += [*dew_lookup(), *heat_texts(job).values(), *heat_results(job), *HEAT_FACTS]
    # Results of the workings: six figures in the unit of the register.
    results = []
    for row in own(job).values():
        unit = {" min": " s", " m": " mm"}.get(row.si[0], row.si[0])
        # A five in the seventh figure falls either way in binary.
        results += [f"{float(row.number * (1 + nudge)):.6g}{unit}" for nudge in (D("1e-12"), D("-1e-12"))]
    # The table of all sizes.
    for lateral, main, bore, clamp, tap in FAMILY:
        saw = best_saw(bore, DIAMETERS_OF[main])
        texts += [f"{lateral} in on {main} in", f"{clamp} min", f"{tap} min"]
        texts.append(length(fraction(saw) * INCH, "down", 3, 1, f"{saw} in").text("both"))
    return {measure for text in [*texts, *results] for measure in measures(text)}


# Sheets whose lines begin with numbers that are no steps of their own, or with none.
NO_STEPS = (
    "Crew pack", "Values", "Contents", "Where the work stops", "Inspection and test plan",
    "Toolbox talk: sign on", "Non-conformance",
)  # fmt: skip
STEP = re.compile(r"^(\d+) (?=(?:HOLD |WITNESS )?[A-Z][a-z' ])")


def without_step_numbers(page: str, steps: dict[int, str]) -> str:
    """A page without the numbers in front of its steps, which are collected; each must be new or say the
    same.
    """
    lines = []
    for line in page.splitlines():
        found = STEP.match(line)
        if found and int(found[1]) <= 300:
            words = line[found.end() :]
            assert steps.setdefault(int(found[1]), words[:20]) == words[:20], line
            line = words
        lines.append(line)
    return "\n".join(lines)


SOURCE_OF_VALUE = re.compile(r"\s(stated|worked|ENTER) (\d+(?:,\s+\d+)*)$", re.MULTILINE)
SOURCE = re.compile(r"^(\d+)\s+(?=[A-Za-z])", re.MULTILINE)


def check_values_sheet(pages: list[str]) -> list[str]:
    """The values sheet without its source numbers: each is listed once, in order, each named one too."""
    text = "\n".join(pages)
    rows, _, listing = text.partition("\nSources\n")
    parts = (re.split(r",\s+", found[2]) for found in SOURCE_OF_VALUE.finditer(rows))
    named = {int(number) for numbers in parts for number in numbers}
    listed = [int(found[1]) for found in SOURCE.finditer(listing)]
    # The sources of the engineer's two torques are named on the workings sheet alone.
    assert listed == list(range(1, len(listed) + 1))
    assert named < set(listed) and len(listed) - len(named) <= 12
    return [SOURCE_OF_VALUE.sub(r" \1", rows), SOURCE.sub("", listing)]


def check_contents(pages: list[str], steps: Mapping[int, str], total: int) -> list[str]:
    """The contents without steps and pages: every step stands on one sheet, every page is one of the pack."""
    row, listed = re.compile(r" (?:(\d+) to (\d+)|–) (\d+)$", re.MULTILINE), list[int]()
    for found in (found for page in pages for found in row.finditer(page)):
        listed += range(int(found[1]), int(found[2]) + 1) if found[1] else ()
        assert 1 < int(found[3]) <= total
    assert listed == sorted(steps)
    said = f"This pack has {total} pages."
    assert said in pages[0]
    return [row.sub("", page.replace(said, "")) for page in pages]


def check_holds(pages: list[str], gates: Mapping[int, str]) -> list[str]:
    """The list of gates without step and page: each gate of the pack once, in order, with the same words."""
    row, listed = re.compile(r"^(\d+) (HOLD|WITNESS) (.{12})", re.MULTILINE), dict[int, str]()
    for found in (found for page in pages for found in row.finditer(page)):
        assert gates[int(found[1])].startswith(f"{found[2]} {found[3]}"[:20]), found[0]
        listed[int(found[1])] = found[2]
    assert list(listed) == sorted(gates)
    return [re.sub(r",\s+page\s+\d+\b", "", row.sub(r"\2 \3", page)) for page in pages]


def check_plan(pages: list[str], steps: Mapping[int, str], gates: Mapping[int, str]) -> list[str]:
    """The inspection and test plan without the numbers of its steps, every gate's among them."""
    row = re.compile(r"^(\d+) (?=[A-Z])", re.MULTILINE)
    listed = [int(number) for page in pages for number in row.findall(page)]
    assert listed == sorted(set(listed)) and set(gates) <= set(listed) <= set(steps)
    return [row.sub("", page) for page in pages]


def check_form(pages: list[str]) -> list[str]:
    """A form without the numbers of its lines, which begin at 1 in each list."""
    row = re.compile(r"(?:^|(?<=STOP |REDO )|(?<=REJECT ))(\d+)(?= [A-Z]|$)", re.MULTILINE)
    numbers = [int(number) for page in pages for number in row.findall(page)]
    assert all(number in (1, before + 1) for before, number in zip([0, *numbers], numbers, strict=False))
    return [row.sub("", page) for page in pages]


def unaccounted(pages: list[str], job: str) -> list[str]:
    """The measures of some pages that nothing accounts for, with the words before them."""
    allowed, left = accounted(job), []
    for page in pages:
        text = re.sub(r"\s+", " ", page)
        for formula in printed_formulas():
            text = formula.sub("#", text)
        for literal in (*CITATIONS, *DAY_TIMES[job]):
            text = text.replace(literal, "#")
        for pattern in PATTERNS:
            text = re.sub(pattern, "#", text)
        left += [f"{measure} in: {text[:60]}" for measure in measures(text) if measure not in allowed]
        left += re.findall(r"[^\W\d_]\d+\S*", text)
    return left


def sheet_of(page: str) -> str:
    """The title of a page: what its first line says before the size tag."""
    return re.split(r" \d+ in on ", page.split("\n")[0])[0]


@BOTH_JOBS
def test_every_number_of_a_pack_is_accounted_for(job: str, issued: dict[str, Any]) -> None:
    """Contents, values, fit check, steps, tables, figures, record, forms and workings of the whole pack."""
    pages = list(issued[job].pages("crew-pack.pdf"))
    steps: dict[int, str] = {}
    of_steps, apart = list[str](), defaultdict[str, list[str]](list)
    for page in pages:
        title = sheet_of(page)
        if title in NO_STEPS:
            apart[title].append(page)
        else:
            of_steps.append(without_step_numbers(page, steps))
    assert sorted(steps) == list(range(1, len(steps) + 1))
    assert len(steps) > 140
    gates = {number: words for number, words in steps.items() if words.startswith(("HOLD ", "WITNESS "))}
    assert sum(words.startswith("HOLD ") for words in gates.values()) >= 13
    lists = [
        *check_contents(apart["Contents"], steps, len(pages)),
        *check_holds(apart["Where the work stops"], gates),
        *check_plan(apart["Inspection and test plan"], steps, gates),
        *check_form(apart["Toolbox talk: sign on"]), *check_form(apart["Non-conformance"]),
    ]  # fmt: skip
    values = check_values_sheet(apart["Values"])
    assert unaccounted([*apart["Crew pack"], *values, *lists, *of_steps], job) == []


@pytest.mark.parametrize("file", ["pocket-cards-screen.pdf", "pocket-cards.pdf"])
@BOTH_JOBS
def test_every_number_of_the_cards_is_accounted_for(job: str, file: str, issued: dict[str, Any]) -> None:
    """The cards' steps carry the pack's numbers in front of the pack's words; every other number is a
    measure.
    """
    in_pack: dict[int, str] = {}
    for page in issued[job].pages("crew-pack.pdf"):
        if sheet_of(page) not in NO_STEPS:
            without_step_numbers(page, in_pack)
    on_cards: dict[int, str] = {}
    pages = [without_step_numbers(page, on_cards) for page in issued[job].pages(file)]
    assert len(on_cards) > 120
    assert {number: words[:12] for number, words in on_cards.items()} == {
        number: words[:12] for number, words in in_pack.items() if number in on_cards
    }
    # Faces of two on one imposed sheet stand one behind the other in the text.
    assert unaccounted(pages, job) == []


def test_a_wrong_number_is_found(issued: dict[str, Any]) -> None:
    """The net itself: one digit changed anywhere in a step, a value or a unit is left over."""
    pack = issued["first-lateral"].pages("crew-pack.pdf")
    pages = [page for page in pack if page.startswith("Wait, test, cut")]
    sound = " ".join(without_step_numbers(page, {}) for page in pages)
    assert unaccounted([sound], "first-lateral") == []
    for old, new in (
        ("0.96 in", "0.95 in"),
        ("24.3 mm", "24.2 mm"),
        ("4.11 in", "4.11 ft"),
        ("1-3/4 in", "1-7/8 in"),
        ("1 : 1.5", "1 : 1.7"),
    ):
        assert old in sound
        assert unaccounted([sound.replace(old, new, 1)], "first-lateral") != [], new


@BOTH_JOBS
def test_the_table_of_sizes_is_worked_out_here_too(job: str, issued: dict[str, Any]) -> None:
    """A row a pair: waits from the label, the saw from bore and main."""
    page = next(
        page for page in issued[job].pages("crew-pack.pdf") if sheet_of(page) == "All sizes of this family"
    )
    text = re.sub(r"\s+", " ", page).replace(" – this size", "")
    for lateral, main, bore, clamp, tap in FAMILY:
        saw = best_saw(bore, DIAMETERS_OF[main])
        cell = length(fraction(saw) * INCH, "down", 3, 1, f"{saw} in").text("both")
        peel_and_clamp = "0.012 in [0.30 mm] four screws, hand tight ENTER"
        row = f"{lateral} in on {main} in {peel_and_clamp} {clamp} min {tap} min {cell}"
        assert row in text, row
