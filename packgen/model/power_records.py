"""Frozen records of the conductors of supply cords, and of the outlets they are plugged into.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change. Vocabulary: a conductor's
*resistance* is that of one conductor's length, at the temperature beside it; *ampacity* is the current that a
flexible cord of this size may carry for as long as one likes. An outlet's *protection* opens the supply when
current leaks to earth; its *series* is that of the cords that go with it.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from packgen.model.fields import Current, LengthResistance, Name, Temperature, Voltage, Words
from packgen.model.records import Record
from packgen.register import conductor_size


class Conductor(Record):
    """A size of conductor."""

    id: Name
    size: Words
    resistance: LengthResistance
    resistance_at: Temperature
    ampacity: Current
    ampacity_source: Name
    source: Name


class Conductors(Record):
    """A file of conductors."""

    kind: Literal["conductors"]
    conductors: Annotated[tuple[Conductor, ...], Field(min_length=1)]


class Outlet(Record):
    """An outlet of the supply with the breaker behind it, for a range of voltages."""

    id: Name
    title: Words
    series: Literal["AWG", "mm²"]
    voltage_min: Voltage
    voltage_max: Voltage
    current: Current
    breaker: Current
    protection: Words
    source: Name
    protection_source: Name

    @property
    def carries(self) -> float:
        """The current that both outlet and breaker carry, A."""
        return min(self.current.to("A"), self.breaker.to("A"))


class Outlets(Record):
    """A file of outlets."""

    kind: Literal["outlets"]
    outlets: Annotated[tuple[Outlet, ...], Field(min_length=1)]


def size_key(written: str) -> str:
    """A conductor's size as a key, however it is written.

    >>> size_key("12 AWG"), size_key("#12 awg"), size_key("2.5 mm²"), size_key("2.5mm2")
    ('12 awg', '12 awg', '2.5 mm²', '2.5 mm²')
    """
    return conductor_size(written).casefold()
