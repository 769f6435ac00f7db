"""How much longer does a joint wait in hot air or on a hot pipe, and how sure is that number?

In: a joint as a `HeatCase` with flat walls, its pipe's radius, temperatures in degree Celsius.
Out: extra waits in s and melted depths in mm; how joints cool that differ in what was assumed.
Vocabulary: as in `heat`. Flat and round walls are both solved and the longer extra wait counts, since neither
is the longer one for every joint.
Source: as `heat`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from packgen.calc.heat import Cooling, HeatCase, cool_together, extra_wait


@dataclass(frozen=True)
class Waits:
    """Extra waits at the temperatures asked for, and how deep the walls melt at the hottest of them."""

    extra: tuple[float, ...]  # s
    melted_fitting: float  # mm
    melted_pipe: float  # mm


def extra_waits(
    case: HeatCase, plane_radius: float, reference: float, temperatures: Sequence[float]
) -> Waits:
    """Answer: how much longer than at the reference temperature is the wait at each of these temperatures?

    A joint asked for before is not solved again.

    Parameters
    ----------
    case
        walls in mm, energy in kJ, fusion area in mm2, fusion time in s, end temperature in degree Celsius
    plane_radius
        radius of the pipe's outside, where the plane lies, mm
    reference
        temperature that the stated waits are for, degree Celsius
    temperatures
        air or pipe, the hotter, degree Celsius

    Returns
    -------
    Waits
        extra waits in s, none below zero; melted depths in mm, at most the walls

    Raises
    ------
    OutOfRange
        as for `heat.cool`

    Source
    ------
    Conduction through both walls, arithmetic, as `heat.cool`; the longer of flat and round walls.

    Example
    -------
    Walls of 12 and 10.4 mm, 3.5 kJ on 1000 mm2 over 90 s, to 80 degree Celsius: at 40 23 min more than at 23.

    >>> case = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=5.0)
    >>> [round(each / 60.0) for each in extra_waits(case, 57.0, 23.0, [10.0, 40.0]).extra]
    [0, 23]
    """
    return _solved(case, plane_radius, reference, tuple(temperatures))


@lru_cache(maxsize=4096)
def _solved(case: HeatCase, plane_radius: float, reference: float, temperatures: tuple[float, ...]) -> Waits:
    """The answer of `extra_waits`, kept: no curve is, so that a thousand joints take little memory."""
    both = cool_together(_both(case, plane_radius), (reference, *temperatures))
    by_shape = [_extras(cooling) for cooling in both]
    melted = [depths for cooling in both for depths in cooling.melted]
    return Waits(
        extra=tuple(max(each) for each in zip(*by_shape, strict=True)),
        melted_fitting=max(fitting for fitting, _ in melted),
        melted_pipe=max(pipe for _, pipe in melted),
    )


def _both(case: HeatCase, plane_radius: float) -> list[HeatCase]:
    """The joint with flat walls and with round ones."""
    return [case, replace(case, plane_radius=plane_radius)]


def _extras(cooling: Cooling) -> list[float]:
    """The extra waits of all temperatures but the first, which is the reference."""
    reference, *others = cooling.seconds
    return [extra_wait(seconds, reference) for seconds in others]


def slower(
    cases: Sequence[HeatCase], plane_radius: float, reference: float, hottest: float
) -> list[Cooling]:
    """Answer: how does each joint cool in the shape, flat or round, that has the longer extra wait?

    Parameters
    ----------
    cases
        joints with flat walls, of one fusion time in s, otherwise as for `extra_waits`
    plane_radius
        radius of the pipe's outside, mm
    reference
        temperature that the stated waits are for, degree Celsius
    hottest
        temperature of the hottest band, degree Celsius

    Returns
    -------
    list[Cooling]
        for each joint both curves, degree Celsius over s

    Raises
    ------
    OutOfRange
        as for `heat.cool_together`

    Source
    ------
    Conduction through both walls, arithmetic, as `heat.cool`; the longer of flat and round walls.

    Example
    -------
    Flat walls of 12 and 10.4 mm cool more slowly than the same walls round; with less air on the outside,
    more slowly still.

    >>> case = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=5.0)
    >>> found = slower([case, replace(case, film_outside=5.0)], 57.0, 23.0, 40.0)
    >>> [[round(seconds / 60.0) for seconds in each.seconds] for each in found]
    [[24, 46], [29, 57]]
    """
    shapes = [shape for case in cases for shape in _both(case, plane_radius)]
    found = cool_together(shapes, (reference, hottest))
    pairs = zip(found[::2], found[1::2], strict=True)
    return [max(pair, key=lambda cooling: _extras(cooling)[0]) for pair in pairs]
