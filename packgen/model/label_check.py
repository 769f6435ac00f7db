"""Label data that no fitting can have, invented data without its mark, saws that contradict each other.

In: what the loader found. Out: problems with file, line and cure. Vocabulary: a *bound* is wide on purpose:
it catches a slip of the pen (400 V for 40 V) and never judges a fitting. Sources: at most 48 V and pins of
4.0 or 4.7 mm, ISO 8085-3 annex (read in a page that reproduces it); the other bounds are common practice,
no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from packgen.errors import Place, Problems
from packgen.model.catalog import label_of
from packgen.model.found import Found
from packgen.model.records import Family, LabelData
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
    Bound("peel", "depth_max", "mm", 0.05, 1.0),
    Bound("gap", "feeler", "mm", 0.05, 1.0),
    Bound("cool", "clamp_time", "min", 1.0, 240.0),
    Bound("cool", "pressure_wait", "min", 1.0, 1440.0),
    Bound("cool", "tap_wait", "min", 1.0, 1440.0),
    Bound("cool", "reference_temperature", "degC", 0.0, 45.0),
    Bound("fitting", "outlet_height", "mm", 10.0, 600.0),
    Bound("fitting", "wall", "mm", 2.0, 100.0),
    Bound("fitting", "base_length", "mm", 30.0, 1500.0),
    Bound("fitting", "base_angle", "degree", 5.0, 180.0),
    Bound("weather", "ambient_min", "degC", -40.0, 30.0),
    Bound("weather", "ambient_max", "degC", 0.0, 60.0),
    Bound("", "pressure_max", "kPa", 50.0, 4000.0),
)
INVENTED = "demo-"  # the ids of invented sources begin so


def check_labels(found: Found, problems: Problems) -> None:
    """Tell each impossible figure, each invented label without its mark, each saw that stands twice."""
    for family in found.items["families"].values():
        _check_mark(family, found, problems)
        for index, pair in enumerate(family.pairs):
            _check_bounds(family, index, label_of(family, pair), found, problems)
    _check_saws(found, problems)


def _check_mark(family: Family, found: Found, problems: Problems) -> None:
    """What rests on an invented source says `data: demo`, so that every face says it too."""
    if family.source.startswith(INVENTED) and family.data != "demo":
        what = f"the source {family.source} is invented, and the family does not say so"
        cure = "write 'data: demo', or name the source your fitting's label is"
        problems.add(found.spot("families", family.id, "source"), what, cure=cure)


def _check_bounds(family: Family, index: int, label: LabelData, found: Found, problems: Problems) -> None:
    """Every figure of one pair's label lies within its bound, and no wait ends before the clamp comes off."""
    for bound in BOUNDS:
        part = getattr(label, bound.part) if bound.part else label
        stated = getattr(part, bound.key)
        if isinstance(stated, Quantity) and not bound.least <= stated.to(bound.unit) <= bound.greatest:
            what = f"{bound.key} {stated} is no figure a label can state"
            expected = f"{bound.least:g} to {bound.greatest:g} {bound.unit}"
            problems.add(_spot(family, index, bound.part, bound.key, found), what, expected=expected)
    clamp = label.cool.clamp_time
    for key in ("pressure_wait", "tap_wait"):
        wait = getattr(label.cool, key)
        if clamp is not None and wait is not None and wait.to("s") < clamp.to("s"):
            what = f"{key} {wait} ends before the clamp time {clamp}"
            cure = "all waits count from fusion end: read them on the label again"
            problems.add(_spot(family, index, "cool", key, found), what, cure=cure)


def _spot(family: Family, index: int, part: str, key: str, found: Found) -> Place:
    """Where a figure stands: in the pair, or among what every pair shares."""
    pair = family.pairs[index]
    own = getattr(getattr(pair, part), key) if part else getattr(pair, key)
    start = ("pairs", index) if own is not None else ("every_pair",)
    return found.spot("families", family.id, *start, *((part,) if part else ()), key)


def _check_saws(found: Found, problems: Problems) -> None:
    """No saw stands twice in one system, and none is wider inside than outside."""
    seen: dict[tuple[str, float], str] = {}
    for saw in found.items["saws"].values():
        key = (saw.system, round(saw.size.to("mm"), 6))
        if key in seen:
            what = f"the saw {saw.id} is of the size {saw.size}, as {seen[key]} is"
            problems.add(found.spot("saws", saw.id), what, cure="keep one saw of each size")
        seen[key] = saw.id
        if saw.inside_diameter.to("mm") >= saw.size.to("mm"):
            what = f"inside_diameter {saw.inside_diameter} is not below the size {saw.size}"
            problems.add(found.spot("saws", saw.id), what, cure="correct one of the two")
