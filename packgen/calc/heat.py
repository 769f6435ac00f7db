"""How long after fusion is the joint's plane cool, and how much longer is that in heat?

In: one fitting on one pipe wall as a `HeatCase`, and the air temperatures in question, degree Celsius.
Out: `Cooling`: seconds from the end of heating until the plane is at the end temperature, for each of them.
Vocabulary: the *plane* is where fitting and pipe meet and where the heat goes in, evenly over the fusion
time; *ambient* is the temperature of fitting, pipe and air at the start, and of the air on both sides all
along; a *film* is the still air on a surface; the *end temperature* is where the wait is counted to.
Source: conduction across fitting wall, plane and pipe wall in one dimension, melting as heat content.

Heat cannot run off along the pipe or round it, so that one dimension is an upper bound of the time, with one
exception: a flat wall is not one for a thin fitting on a thick round pipe, whose inner half is smaller than a
flat one's. There the round case, `plane_radius`, is longer by a few parts in a hundred.
Left out: sun, wind and rain, what the main carries, the mass of the wire, the flow of the melt, air gaps, and
the change of conductivity with temperature.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from packgen.calc._guard import refuse, require_zero_or_more
from packgen.errors import require_positive

if TYPE_CHECKING:
    from packgen.calc.heat_march import Flux, Moment
    from packgen.calc.heat_mesh import Array, Mesh

# Mesh and steps. Finer ones move no extra wait by a hundredth; the tests halve both.
_PIECES, _PIECE_GROWTH = 14, 1.15  # of each wall, finest at the plane
_HEATING_STEPS, _HEATING_GROWTH = 12, 1.4  # finest where heating begins
_FIRST_COOLING_STEP, _COOLING_GROWTH = 0.02, 1.15  # of the fusion time; each step over the one before
_LONGEST_STEP = 0.1  # of the time in which the films empty the walls: thin walls freeze late, all at once
_JUST_BEFORE = 1.0 - 1e-9  # of the fusion time: a sum of steps may miss the end of heating by a float's noise
_GIVE_UP = 7 * 24 * 3600.0  # s: a joint that is hot after a week has no wait to print


@dataclass(frozen=True)
class Plastic:
    """What conducts and stores the heat."""

    conductivity: float  # W/(m*K)
    density: float  # kg/m3
    capacities: tuple[tuple[float, float], ...]  # degree Celsius, kJ/(kg*K); linear between, constant beyond
    latent: float = 0.0  # kJ/kg
    melting: tuple[float, float] | None = None  # degree Celsius, the latent heat spread evenly between


# Within the published ranges for PE-HD: 0.33 to 0.53 W/(m*K), 940 to 980 kg/m3, 1.8 to 2.7 kJ/(kg*K), melting
# complete at 125 to 135 degree Celsius, about 180 to 200 kJ/kg (EN ISO 10456 and public polymer tables). Heat
# capacity from room temperature to the end of melting, without the latent heat, which is counted by itself.
POLYETHYLENE = Plastic(0.40, 950.0, ((20.0, 1.9), (135.0, 2.6)), 190.0, (105.0, 135.0))


@dataclass(frozen=True)
class HeatCase:
    """One fitting on one pipe wall: all that the plane's cooling depends on, the ambient excepted."""

    fitting_wall: float  # mm
    pipe_wall: float  # mm
    energy: float  # kJ, put in at the plane over the fusion time: V²t/R of `fuse.energy`
    fusion_area: float  # mm2
    fusion_time: float  # s
    end_temperature: float  # degree Celsius
    film_outside: float  # W/(m2*K)
    film_inside: float  # W/(m2*K)
    plastic: Plastic = POLYETHYLENE
    plane_radius: float | None = None  # mm: a round joint, for checks; without it the walls are flat


@dataclass(frozen=True)
class Cooling:
    """What the solver found; every outer tuple has one entry for each ambient, in the order asked."""

    ambients: tuple[float, ...]  # degree Celsius
    seconds: tuple[float, ...]  # s from the end of heating until the plane is at the end temperature
    peaks: tuple[float, ...]  # degree Celsius, hottest at the plane
    times: tuple[float, ...]  # s from the end of heating, below zero while it is heated; of all curves
    curves: tuple[tuple[float, ...], ...]  # degree Celsius at the plane, at those times
    melted: tuple[tuple[float, float], ...]  # mm, how deep fitting and pipe wall were molten
    heat_put_in: float  # kJ
    heat_missing: tuple[float, ...]  # kJ put in that is neither in the walls nor gone through the films


def cool(case: HeatCase, ambients: Sequence[float], fineness: int = 1) -> Cooling:
    """Answer: how long after the end of heating is the plane at the end temperature, at each ambient?

    Parameters
    ----------
    case
        walls in mm, energy in kJ, fusion area in mm2, fusion time in s, end temperature in degree Celsius
    ambients
        temperatures of air, pipe and fitting, degree Celsius, all solved together
    fineness
        how many times finer mesh and steps are than the usual ones, no unit

    Returns
    -------
    Cooling
        times in s, temperatures in degree Celsius, melted depths in mm, heat in kJ; a plane that is never
        hotter than the end temperature takes 0 s

    Raises
    ------
    OutOfRange
        a number is not above zero, no ambient is given or one is not below the end temperature, or the plane
        is still hotter after a week

    Source
    ------
    Conservation of heat and Fourier's law, arithmetic; the rule in time is named in `heat_march`.

    Example
    -------
    Walls of 12 and 10.4 mm, 3.5 kJ on 1000 mm2 over 90 s, to 80 degree Celsius: 1417 s at 23 degree Celsius
    and 2771 s at 40.

    >>> case = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=5.0)
    >>> [round(seconds / 10.0) for seconds in cool(case, [23.0, 40.0]).seconds]
    [142, 277]
    """
    _require_sound(case, ambients, fineness)
    return cool_together([case], ambients, fineness)[0]


def cool_together(cases: Sequence[HeatCase], ambients: Sequence[float], fineness: int = 1) -> list[Cooling]:
    """Answer: how long until the plane is cool, for several cases solved at once?

    That takes little more time than one of them alone.

    Parameters
    ----------
    cases
        cases of one fusion time and one plastic's heat content, in the units of `cool`
    ambients
        temperatures of air, pipe and fitting, degree Celsius, each case at all of them
    fineness
        as for `cool`, no unit

    Returns
    -------
    list[Cooling]
        an answer for each case, in the units of `cool`

    Raises
    ------
    OutOfRange
        as for `cool`, or no case is given, or they differ in fusion time or in the plastic's heat content

    Source
    ------
    Conservation of heat and Fourier's law, arithmetic, as for `cool`: the cases share the steps in time only.

    Example
    -------
    Flat walls and the same walls round.

    >>> case = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=5.0)
    >>> both = cool_together([case, replace(case, plane_radius=57.0)], [23.0])
    >>> [round(each.seconds[0] / 60.0) for each in both]
    [24, 22]
    """
    _require_alike(cases)
    for case in cases:
        _require_sound(case, ambients, fineness)
    # numpy comes with the mesh and starts slowly: it is taken only where a case is solved.
    from packgen.calc.heat_mesh import side_by_side

    meshes = [_mesh(case, fineness) for case in cases]
    moments = list(_moments(cases, ambients, side_by_side(meshes, len(ambients)), fineness))
    wide = len(ambients)
    return [
        _cooling(case, ambients, walls, moments, slice(at * wide, (at + 1) * wide), fineness)
        for at, (case, walls) in enumerate(zip(cases, meshes, strict=True))
    ]


def _require_alike(cases: Sequence[HeatCase]) -> None:
    """Refuse cases that cannot share the steps in time, or the heat that melting takes."""
    if not cases:
        refuse("cases", "no case is given", "at least one")
    first = cases[0]
    for case in cases:
        if case.fusion_time != first.fusion_time:
            refuse("fusion_time", "cases solved together differ in fusion time", "one fusion time")
        if replace(case.plastic, conductivity=1.0) != replace(first.plastic, conductivity=1.0):
            refuse("plastic", "cases solved together differ in the plastic's heat content", "one plastic")


def _mesh(case: HeatCase, fineness: int) -> Mesh:
    """The walls of a case, cut at points."""
    from packgen.calc.heat_mesh import mesh

    return mesh(
        case.fitting_wall,
        case.pipe_wall,
        case.plastic.conductivity,
        _PIECES * fineness,
        _PIECE_GROWTH ** (1.0 / fineness),
        case.plane_radius,
    )


def _cooling(
    case: HeatCase, ambients: Sequence[float], walls: Mesh, moments: Sequence[Moment], own: slice,
    fineness: int,
) -> Cooling:  # fmt: skip
    """What the march found in a case's own columns."""
    times = tuple(moment.time - case.fusion_time for moment in moments)
    cooling = _HEATING_STEPS * fineness
    curves = tuple(zip(*(moment.temperature[-1, own].tolist() for moment in moments), strict=True))
    put_in = case.energy / case.fusion_area * 1e9  # J for each m2 of plane
    missing = put_in - moments[-1].stored[own] - moments[-1].lost[:, own].sum(axis=0)
    return Cooling(
        ambients=tuple(ambients),
        seconds=tuple(
            _reaches(times[cooling:], curve[cooling:], ambient, case.end_temperature)
            for curve, ambient in zip(curves, ambients, strict=True)
        ),
        peaks=tuple(max(curve) for curve in curves),
        times=times,
        curves=curves,
        melted=_melted(case, walls, [moment.temperature[:, own] for moment in moments]),
        heat_put_in=case.energy,
        heat_missing=tuple((missing * case.fusion_area / 1e9).tolist()),
    )


def extra_wait(end_at_ambient: float, end_at_reference: float) -> float:
    """Answer: how much longer than at the reference temperature must the joint wait?

    Parameters
    ----------
    end_at_ambient
        from the end of heating until the plane is cool at the ambient, s
    end_at_reference
        the same at the temperature that the stated waits are for, s

    Returns
    -------
    float
        wait to add to every stated one, s; none where it is colder

    Raises
    ------
    OutOfRange
        a time is below zero or not finite

    Source
    ------
    Arithmetic: what is added is a difference of times, so that a stated wait is never shortened or scaled.

    Example
    -------
    2771 s in heat, 1417 s at the reference: 1354 s longer; in cold nothing is taken off.

    >>> extra_wait(2771.0, 1417.0), extra_wait(900.0, 1417.0)
    (1354.0, 0.0)
    """
    require_zero_or_more(end_at_ambient=end_at_ambient, end_at_reference=end_at_reference)
    return max(0.0, end_at_ambient - end_at_reference)


def _require_sound(case: HeatCase, ambients: Sequence[float], fineness: int) -> None:
    """Refuse what no joint can have, by the names of the case."""
    require_positive(
        fitting_wall=case.fitting_wall,
        pipe_wall=case.pipe_wall,
        energy=case.energy,
        fusion_area=case.fusion_area,
        fusion_time=case.fusion_time,
        fineness=fineness,
    )
    require_zero_or_more(film_outside=case.film_outside, film_inside=case.film_inside)
    if not ambients:
        refuse("ambients", "no ambient temperature is given", "at least one")
    for ambient in ambients:
        if not -math.inf < ambient < case.end_temperature < math.inf:
            refuse(
                "end_temperature",
                f"at {ambient:g} °C the plane never cools to {case.end_temperature:g} °C",
                "an end temperature above every ambient",
            )


def _moments(
    cases: Sequence[HeatCase], ambients: Sequence[float], walls: Mesh, fineness: int
) -> Iterator[Moment]:
    """The march from the start until every plane is at its end temperature at every ambient."""
    import numpy as np

    from packgen.calc.heat_march import march
    from packgen.calc.heat_mesh import heat_content

    plastic, heated = cases[0].plastic, cases[0].fusion_time * _JUST_BEFORE
    content = heat_content(plastic.density, plastic.capacities, plastic.latent, plastic.melting)
    at = np.tile(np.array(ambients, dtype=np.float64), len(cases))

    def each(numbers: Sequence[float]) -> Array:
        return np.repeat(np.array(numbers, dtype=np.float64), len(ambients))

    by_case = [(case.film_outside, case.film_inside) for case in cases]
    films = np.stack([each(side) for side in zip(*by_case, strict=True)])
    flux = each([case.energy / case.fusion_area * 1e9 / case.fusion_time for case in cases])
    end = each([case.end_temperature for case in cases])
    for moment in march(walls, content, at, at, films, _steps(cases, flux, fineness)):
        yield moment
        if moment.time > heated and (moment.temperature[-1] <= end).all():
            return
    refuse(
        "end_temperature",
        f"the plane is above {end.min():g} °C a week after fusion",
        "an end temperature further above the ambient",
    )


def _steps(cases: Sequence[HeatCase], flux: Array, fineness: int) -> Iterator[tuple[float, Flux]]:
    """Length of each step, and the heat put in during it: short after each change, then longer and longer."""
    from packgen.calc.heat_mesh import graded

    fusion_time, longest = cases[0].fusion_time, min(map(_longest_step, cases))
    ends = graded(fusion_time, _HEATING_STEPS * fineness, _HEATING_GROWTH ** (1.0 / fineness))
    for begin, end in pairwise([0.0, *ends.tolist()]):
        yield end - begin, flux
    step, time = fusion_time * _FIRST_COOLING_STEP / fineness, 0.0
    while time < _GIVE_UP:
        yield step, 0.0
        time += step
        step = min(step * _COOLING_GROWTH ** (1.0 / fineness), longest / fineness)


def _longest_step(case: HeatCase) -> float:
    """The longest step that still follows the films, s; without films there is nothing to follow."""
    films = case.film_outside + case.film_inside
    capacity = min(capacity for _, capacity in case.plastic.capacities)
    # kg/m3 times kJ/(kg*K) times mm is J/(m2*K).
    held = case.plastic.density * capacity * (case.fitting_wall + case.pipe_wall)
    return _LONGEST_STEP * held / films if films else math.inf


def _reaches(times: Sequence[float], curve: Sequence[float], ambient: float, end: float) -> float:
    """When a falling curve is at the end temperature, between its points; 0 where it never was above it."""
    below = next(index for index, temperature in enumerate(curve) if temperature <= end)
    if below == 0:
        return 0.0
    # Cooling is nearly a straight line over the logarithm of what is left, so that few points are enough:
    # time as the curve of least degree through the two points before and the one after.
    chosen = slice(max(0, below - 2), below + 1)
    left = [math.log(temperature - ambient) for temperature in curve[chosen]]
    wanted = math.log(end - ambient)
    found = 0.0
    for time, own in zip(times[chosen], left, strict=True):
        found += time * math.prod((wanted - other) / (own - other) for other in left if other != own)
    return min(max(found, times[below - 1]), times[below])


def _melted(case: HeatCase, walls: Mesh, temperatures: Sequence[Array]) -> tuple[tuple[float, float], ...]:
    """How deep the end of melting went into each wall, between the points, for each ambient."""
    import numpy as np

    columns: int = temperatures[0].shape[1]
    if case.plastic.melting is None:
        return ((0.0, 0.0),) * columns
    melts = case.plastic.melting[1]
    hottest = np.max(temperatures, axis=0)
    depths = []
    for wall in (0, 1):
        # From the plane outward, the last row being the plane, which belongs to both walls.
        rows = [len(hottest) - 1, *range(len(hottest) - 3 + wall, -1, -2)]
        depth = walls.depth[rows, 0]
        depths.append([_depth_at(depth.tolist(), hottest[rows, at].tolist(), melts) for at in range(columns)])
    return tuple(zip(*depths, strict=True))


def _depth_at(depths: Sequence[float], hottest: Sequence[float], level: float) -> float:
    """The depth down to which a wall was at a temperature or above it; 0 where the plane was not."""
    if hottest[0] < level:
        return 0.0
    for near, far in pairwise(range(len(depths))):
        if hottest[far] < level:
            share = (hottest[near] - level) / (hottest[near] - hottest[far])
            return depths[near] + share * (depths[far] - depths[near])
    return depths[-1]
