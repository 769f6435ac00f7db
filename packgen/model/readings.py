"""What a pipe may be whose size system, or unit, nobody wrote.

In: the sizes that may be meant, a dimension ratio, the pipe tables. Out: the readings that the tables hold,
so that a person picks one. Vocabulary: a *reading* is size, system and ratio; those the tables hold as
written go before the nearest ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from packgen.model.fields import SYSTEMS
from packgen.model.records import PipeTable
from packgen.units import quantity

Reading = tuple[str, str, float]


def readings(sizes: Iterable[str], dr: float, tables: Mapping[str, PipeTable] | None) -> list[Reading]:
    """The readings of sizes with a ratio, in the order of the size systems.

    Parameters: `sizes`, as the tables write them; `dr`; `tables` by system, or None where they are not at
    hand: then every system of the size's unit is a reading. Returns what the tables hold, else the nearest.
    """
    asked = [(size, system) for system in SYSTEMS for size in sizes if size.endswith(_unit(system))]
    if tables is None:
        return [(size, system, dr) for size, system in asked]
    near = {(size, system): _nearest(size, dr, tables[system]) for size, system in asked if system in tables}
    exact = [reading for key, reading in near.items() if reading == (*key, dr)]
    return exact or list(near.values())


def _unit(system: str) -> str:
    """The unit that a system's sizes are named in."""
    return " mm" if system == "ISO" else " in"


def _nearest(size: str, dr: float, table: PipeTable) -> Reading:
    """The size of a table nearest to the one asked for, and the nearest ratio it is made in."""
    name = nearest_size(size, [row.name for row in table.sizes])
    ratios = next(table.ratios(row) for row in table.sizes if row.name == name)
    return name, table.system, nearest_ratio(dr, ratios)


def nearest_ratio(dr: float, ratios: Iterable[float]) -> float:
    """The ratio nearest to one asked for.

    >>> nearest_ratio(12.0, [9.0, 11.0, 13.5])
    11.0
    """
    return min(ratios, key=lambda known: abs(known - dr))


def nearest_size(size: str, names: Iterable[str]) -> str:
    """The size of a table nearest to one asked for, by length.

    >>> nearest_size("5-1/2 in", ["4 in", "6 in", "8 in"])
    '6 in'
    """
    asked = quantity(size, "length").to("mm")
    return min(names, key=lambda name: abs(quantity(name, "length").to("mm") - asked), default="")
