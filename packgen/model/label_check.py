"""Label data that no fitting can have, and invented data without its mark.

In: what the loader found. Out: problems with file, line and cure. Vocabulary: a *bound* is wide on purpose:
it catches a slip of the pen (400 V for 40 V) and never judges a fitting. What two figures say of each other,
or of the main, is `packgen.model.label_sense`'s; the tools are `packgen.model.tool_check`'s. Sources: at most
48 V and pins of 4.0 or 4.7 mm, ISO 8085-3 annex (read in a page that reproduces it); the other bounds are
common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from packgen.errors import Place, Problems
from packgen.model.catalog import label_of
from packgen.model.family_records import Family, LabelData
from packgen.model.found import Found
from packgen.units import Quantity


@dataclass(frozen=True)
class Bound:
    """The least and greatest a label's figure can be, in a unit."""

    part: str
    key: str
    unit: str
    least: float
    greatest: float


BOUNDS = (
    Bound("fuse", "voltage", "V", 8.0, 48.0),
    Bound("fuse", "time", "s", 5.0, 3600.0),
    Bound("fuse", "terminal", "mm", 3.9, 4.8),
    Bound("fuse", "coil_resistance", "ohm", 0.05, 100.0),
    Bound("fuse", "coil_tolerance", "percent", 0.0, 25.0),
    Bound("fuse", "main_wall_min", "mm", 0.5, 100.0),
    Bound("fuse", "main_pressure_max", "kPa", 5.0, 4000.0),
    Bound("fuse", "generator_min", "W", 200.0, 50000.0),
    Bound("clamp", "torque", "N*m", 0.2, 300.0),
    Bound("clamp", "lug_load_max", "N", 50.0, 200000.0),
    Bound("peel", "depth_min", "mm", 0.05, 1.0),
    Bound("peel", "depth_max", "mm", 0.05, 1.0),
    Bound("peel", "ribbon_min", "mm", 0.05, 2.0),
    Bound("peel", "ribbon_max", "mm", 0.05, 2.0),
    Bound("gap", "feeler", "mm", 0.05, 1.0),
    Bound("cool", "clamp_time", "min", 1.0, 240.0),
    Bound("cool", "pressure_wait", "min", 1.0, 1440.0),
    Bound("cool", "tap_wait", "min", 1.0, 1440.0),
    Bound("cool", "reference_temperature", "degC", 0.0, 45.0),
    Bound("fitting", "outlet_height", "mm", 10.0, 600.0),
    Bound("fitting", "wall", "mm", 2.0, 100.0),
    Bound("fitting", "base_length", "mm", 30.0, 1500.0),
    Bound("fitting", "base_angle", "degree", 5.0, 180.0),
    Bound("fitting", "fusion_area", "mm2", 200.0, 2000000.0),
    Bound("cutter", "travel", "mm", 3.0, 400.0),
    Bound("cutter", "pitch", "mm", 0.3, 20.0),
    Bound("cutter", "diameter", "mm", 5.0, 200.0),
    Bound("cutter", "approach", "mm", 0.0, 200.0),
    Bound("socket", "insertion_depth", "mm", 10.0, 500.0),
    Bound("socket", "peel_length", "mm", 10.0, 600.0),
    Bound("socket", "out_of_round_max", "mm", 0.05, 50.0),
    Bound("socket", "misalignment_max", "mm", 0.05, 50.0),
    Bound("weather", "ambient_min", "degC", -40.0, 30.0),
    Bound("weather", "ambient_max", "degC", 0.0, 60.0),
    Bound("", "pressure_max", "kPa", 50.0, 4000.0),
)
INVENTED = "demo-"  # the ids of invented sources begin so


def check_labels(found: Found, problems: Problems) -> None:
    """Tell each impossible figure, and each invented label without its mark."""
    for family in found.items["families"].values():
        _check_mark(family, found, problems)
        for index, pair in enumerate(family.pairs):
            label = label_of(family, pair)
            _check_bounds(family, index, label, found, problems)
            _check_waits(family, index, label, found, problems)


def _check_mark(family: Family, found: Found, problems: Problems) -> None:
    """What rests on an invented source says `data: demo`, so that every face says it too."""
    if family.source.startswith(INVENTED) and family.data != "demo":
        what = f"the source {family.source} is invented, and the family does not say so"
        cure = "write 'data: demo', or name the source your fitting's label is"
        problems.add(found.spot("families", family.id, "source"), what, cure=cure)


def _check_bounds(family: Family, index: int, label: LabelData, found: Found, problems: Problems) -> None:
    """Every figure of one pair's label lies within its bound."""
    for bound in BOUNDS:
        part = getattr(label, bound.part) if bound.part else label
        stated = getattr(part, bound.key)
        if isinstance(stated, Quantity) and not bound.least <= stated.to(bound.unit) <= bound.greatest:
            what = f"{bound.key} {stated} is no figure a label can state"
            expected = f"{bound.least:g} to {bound.greatest:g} {bound.unit}"
            problems.add(label_spot(family, index, bound.part, bound.key, found), what, expected=expected)


def _check_waits(family: Family, index: int, label: LabelData, found: Found, problems: Problems) -> None:
    """The clamp comes off first, then the joint may be under pressure, then the cut puts it there."""
    cool = label.cool
    for key, befores in (("pressure_wait", ("clamp_time",)), ("tap_wait", ("clamp_time", "pressure_wait"))):
        wait = getattr(cool, key)
        stated = [(before, getattr(cool, before)) for before in befores if getattr(cool, before) is not None]
        early = [
            (before, time) for before, time in stated if wait is not None and wait.to("s") < time.to("s")
        ]
        if early:
            before, time = early[0]
            what = f"{key} {wait} ends before the {before.replace('_', ' ')} {time}"
            cure = "all waits count from fusion end, and a cut puts the joint under pressure: read them again"
            problems.add(label_spot(family, index, "cool", key, found), what, cure=cure)


def label_spot(family: Family, index: int, part: str, key: str, found: Found, *inner: str | int) -> Place:
    """Where a figure, or what is `inner` to it, stands: in the pair, or among what every pair shares."""
    pair = family.pairs[index]
    own = getattr(getattr(pair, part), key) if part else getattr(pair, key)
    start = ("pairs", index) if own is not None else ("every_pair",)
    return found.spot("families", family.id, *start, *((part,) if part else ()), key, *inner)
