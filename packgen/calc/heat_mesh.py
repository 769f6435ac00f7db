"""How does heat move through two walls that meet at a plane? The march of the heat solver, nothing else.

In: walls in mm, times in s, temperatures in degree Celsius, the material in SI units.
Out: the walls cut at points, the material's heat content, and one `Moment` after another.
Vocabulary: the *plane* is where the walls meet and where heat goes in; the *first* wall lies outside it, the
*second* inside; a *column* is one surrounding temperature, all columns are marched together; a *film* is the
still fluid on a surface. Rows of an array are points: outermost of the first wall, outermost of the second,
the next pair inward, and last the plane, which both walls share.
Source: conservation of heat with Fourier's law on control volumes round the points; in time the L-stable
two-stage diagonally implicit rule of R. Alexander, SIAM J. Numer. Anal. 14 (1977), from memory.

This module needs numpy: import it where it is used, so that the command line starts fast.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from packgen.calc._guard import refuse, require_order, require_zero_or_more
from packgen.errors import require_positive

Array: TypeAlias = NDArray[np.float64]

GAMMA = 1.0 - math.sqrt(0.5)  # the share of a step at which its first stage stands
SAME = 0.03  # K: a stage has settled when its temperatures and its heat content agree to this
TRIES_MAX = 8  # two do but where a point begins or ends to melt; the heat is kept whole either way


@dataclass(frozen=True)
class Mesh:
    """Two walls cut at points, for each m2 of plane; the arrays are one column wide, a row for each point."""

    depth: Array  # mm from the plane
    volume: Array  # m3 for each m2 of plane
    inward: Array  # W/K for each m2 of plane, from a point to the next one inward; the plane has no row
    surface: Array  # m2 for each m2 of plane, of the outer faces of the first and the second wall


@dataclass(frozen=True)
class HeatContent:
    """Heat in a cubic metre of material as a broken line over temperature, straight on beyond its ends."""

    temperature: Array  # degree Celsius, rising
    content: Array  # J/m3 above the first temperature
    slope: Array  # J/(m3*K) of each stretch

    def at(self, temperature: Array) -> tuple[Array, Array]:
        """Heat content and its slope at the temperatures given."""
        stretch = self.temperature[1:-1].searchsorted(temperature)
        slope = self.slope[stretch]
        return self.content[stretch] + slope * (temperature - self.temperature[stretch]), slope

    def temperature_of(self, content: Array) -> Array:
        """The temperatures that have the heat content given."""
        stretch = self.content[1:-1].searchsorted(content)
        return self.temperature[stretch] + (content - self.content[stretch]) / self.slope[stretch]


@dataclass(frozen=True)
class Moment:
    """How things stand at one time: each array has a column for each surrounding temperature."""

    time: float  # s from the start
    temperature: Array  # degree Celsius, a row for each point
    stored: Array  # J for each m2 of plane, above the start
    lost: Array  # J for each m2 of plane, through the outer faces of the first and the second wall


def graded(whole: float, count: int, growth: float) -> Array:
    """Answer: where do the cuts of a length or a time lie, each piece longer than the one before?

    Parameters
    ----------
    whole
        what is cut, mm or s
    count
        number of pieces, no unit
    growth
        each piece over the one before, above 1, no unit

    Returns
    -------
    Array
        distances from the start, the start left out, mm or s

    Raises
    ------
    OutOfRange
        a number is not above zero, or the growth is not above 1

    Source
    ------
    Geometric series: arithmetic.

    Example
    -------
    7 mm in three pieces, each twice the one before.

    >>> [round(float(cut), 6) for cut in graded(7.0, 3, 2.0)]
    [1.0, 3.0, 7.0]
    """
    require_positive(whole=whole, count=count, growth_less_one=growth - 1.0)
    powers = growth ** np.arange(1, count + 1)
    cuts: Array = whole * (powers - 1.0) / (powers[-1] - 1.0)
    return cuts


def mesh(
    first_wall: float,
    second_wall: float,
    conductivity: float,
    count: int,
    growth: float,
    plane_radius: float | None = None,
) -> Mesh:
    """Answer: which points, volumes and conductances stand for two walls, fine at the plane?

    Parameters
    ----------
    first_wall
        wall outside the plane, mm
    second_wall
        wall inside the plane, mm
    conductivity
        conductivity of both walls, W/(m*K)
    count
        pieces of each wall, no unit
    growth
        each piece over the one nearer the plane, above 1, no unit
    plane_radius
        radius of a round plane, the second wall at most as thick, mm; without it the walls are flat

    Returns
    -------
    Mesh
        depths in mm, volumes, conductances and areas for each m2 of plane

    Raises
    ------
    OutOfRange
        a number is not above zero, or the second wall is thicker than the plane's radius

    Source
    ------
    Fourier's law between neighbouring points, the area taken half-way: arithmetic.

    Example
    -------
    10 mm and 7 mm in three pieces each: the points lie 10, 7, 30/7, 3, 10/7, 1 and 0 mm from the plane.

    >>> [round(float(depth), 2) for depth in mesh(10.0, 7.0, 0.40, 3, 2.0).depth[:, 0]]
    [10.0, 7.0, 4.29, 3.0, 1.43, 1.0, 0.0]
    """
    require_positive(first_wall=first_wall, second_wall=second_wall, conductivity=conductivity)
    cuts = np.stack([graded(wall, count, growth) for wall in (first_wall, second_wall)], axis=1)
    depth = np.vstack([cuts[::-1], np.zeros((1, 2))]) / 1000.0
    bend = np.zeros(2)
    if plane_radius is not None:
        require_positive(plane_radius=plane_radius)
        require_order(second_wall=second_wall, plane_radius=plane_radius)
        bend = np.array([1.0, -1.0]) * 1000.0 / plane_radius
    half_way = (depth[1:] + depth[:-1]) / 2.0
    # A face's area over the plane's is 1 + bend·depth; a volume is that area summed over the depth.
    faces = np.vstack([depth[:1], half_way, depth[-1:]])
    up_to_face = faces + bend * faces**2 / 2.0
    volume = up_to_face[:-1] - up_to_face[1:]
    inward = conductivity * (1.0 + bend * half_way) / (depth[:-1] - depth[1:])
    return Mesh(
        depth=depth.reshape(-1, 1)[:-1] * 1000.0,
        volume=np.vstack([volume[:-1].reshape(-1, 1), volume[-1:].sum(axis=1, keepdims=True)]),
        inward=inward.reshape(-1, 1),
        surface=(1.0 + bend * depth[0]).reshape(2, 1),
    )


def heat_content(
    density: float,
    capacities: Sequence[tuple[float, float]],
    latent: float = 0.0,
    melting: tuple[float, float] | None = None,
) -> HeatContent:
    """Answer: how much heat does a cubic metre of material hold at each temperature?

    Parameters
    ----------
    density
        density, kg/m3
    capacities
        temperature in degree Celsius and heat capacity in kJ/(kg*K), rising in temperature; linear between
        the pairs, constant beyond them
    latent
        latent heat of melting, kJ/kg
    melting
        the temperatures between which it melts evenly, degree Celsius; needed where there is latent heat

    Returns
    -------
    HeatContent
        heat content in J/m3, as a broken line with a corner at least every degree where it is curved

    Raises
    ------
    OutOfRange
        a number is not above zero, temperatures do not rise, or latent heat has no melting range

    Source
    ------
    The sum of capacity and latent heat over temperature: arithmetic.

    Example
    -------
    From 100 to 140 degree Celsius at 2 kJ/(kg*K) with 190 kJ/kg of melting, 1000 kg/m3: 270 MJ/m3.

    >>> held = heat_content(1000.0, [(20.0, 2.0)], 190.0, (105.0, 135.0))
    >>> cold, warm = held.at(np.array([100.0, 140.0]))[0]
    >>> round(float(warm - cold) / 1e6, 6)
    270.0
    """
    if not capacities:
        refuse("capacities", "no heat capacity is given", "at least one, with its temperature")
    require_positive(density=density, heat_capacity=min(capacity for _, capacity in capacities))
    require_zero_or_more(latent=latent)
    at, capacity = np.array(capacities, dtype=np.float64).T
    if (np.diff(at) <= 0.0).any():
        refuse("capacities", "the temperatures of the heat capacities do not rise", "the coldest first")
    if latent and (melting is None or melting[1] <= melting[0]):
        refuse("melting", "latent heat without a melting range", "two temperatures, the lower first")
    corners = _corners(at, melting if latent else None)
    middles = (corners[1:] + corners[:-1]) / 2.0
    slope = np.interp(middles, at, capacity)
    if latent and melting is not None:
        slope += latent / (melting[1] - melting[0]) * ((middles > melting[0]) & (middles < melting[1]))
    slope *= density * 1000.0
    # The two outer stretches go on for ever: with them a lookup needs no case for what lies beyond.
    content = np.concatenate([[0.0], np.cumsum(slope * np.diff(corners))])
    return HeatContent(corners, content, slope)


def march(
    walls: Mesh,
    material: HeatContent,
    start: Array,
    surroundings: Array,
    films: tuple[float, float],
    steps: Iterable[tuple[float, float]],
) -> Iterator[Moment]:
    """Answer: how warm is every point after each step, and where has the heat gone?

    Parameters
    ----------
    walls
        points, in mm, and conductances, of `mesh`
    material
        heat content over temperature in degree Celsius, of `heat_content`
    start
        temperature of all points at the start, a number for each column, degree Celsius
    surroundings
        temperature beyond both films, a number for each column, degree Celsius
    films
        heat that passes the film of the first and of the second wall, W/(m2*K)
    steps
        length of each step in s, and the heat put in at the plane during it in W/m2

    Returns
    -------
    Iterator[Moment]
        the state at the start and after each step, times in s

    Raises
    ------
    OutOfRange
        a film is below zero

    Source
    ------
    Conservation of heat, arithmetic: what a point gains is what its neighbours lose, to the last digit,
    whether the stages have settled or not.

    Example
    -------
    Walls of 10 mm without films keep all of 1000 W/m2 over 2 s: 2000 J for each m2 of plane.

    >>> held, walls = heat_content(950.0, [(20.0, 2.4)]), mesh(10.0, 10.0, 0.40, 5, 1.2)
    >>> at = np.array([23.0])
    >>> *_, last = march(walls, held, at, at, (0.0, 0.0), [(1.0, 1000.0), (1.0, 1000.0)])
    >>> round(float(last.stored[0]), 6)
    2000.0
    """
    require_zero_or_more(first_film=films[0], second_film=films[1])
    films_of = walls.surface * np.array(films).reshape(2, 1)
    balance = _Balance(walls, films_of, surroundings)
    temperature = np.tile(start, (len(walls.volume), 1)).astype(np.float64)
    at_start = material.at(temperature)[0]
    content = at_start.copy()
    time, lost = 0.0, np.zeros((2, len(surroundings)))
    yield Moment(time, temperature, np.zeros(len(surroundings)), lost)
    for step, flux in steps:
        part = GAMMA * step
        half, gain_half = balance.stage(material, content, temperature, part, flux)
        later = content + (step - part) * gain_half / walls.volume
        ahead = temperature + (half - temperature) / GAMMA
        full, gain = balance.stage(material, later, ahead, part, flux)
        content = later + part * gain / walls.volume
        lost = lost + (step - part) * balance.leaving(half) + part * balance.leaving(full)
        temperature = material.temperature_of(content)
        time += step
        yield Moment(time, temperature, (walls.volume * (content - at_start)).sum(axis=0), lost)


class _Balance:
    """Heat that each point gains, and the temperatures that bring gain and heat content together."""

    def __init__(self, walls: Mesh, films: Array, surroundings: Array) -> None:
        self._volume, self._inward, self._films = walls.volume, walls.inward, films
        self._surroundings = surroundings
        give = np.zeros_like(walls.volume)
        give[:-1] += walls.inward
        give[2:-1] += walls.inward[:-2]
        give[-1] += walls.inward[-2:].sum()
        give[:2] += films
        self._give = give  # W/K that leave a point for each kelvin it is warmer than all round it

    def leaving(self, temperature: Array) -> Array:
        """Heat that leaves through the outer faces, W for each m2 of plane."""
        leaving: Array = self._films * (temperature[:2] - self._surroundings)
        return leaving

    def gain(self, temperature: Array, flux: float) -> Array:
        """Heat that each point gains, W for each m2 of plane."""
        gain = np.empty_like(temperature)
        flow = np.empty_like(temperature[:-1])
        flow[:-2] = temperature[2:-1] - temperature[:-3]
        flow[-2:] = temperature[-1] - temperature[-3:-1]
        flow *= self._inward
        gain[:-1] = flow
        gain[-1] = flux - flow[-2] - flow[-1]
        gain[2:-1] -= flow[:-2]
        gain[:2] -= self.leaving(temperature)
        return gain

    def stage(
        self, material: HeatContent, content: Array, guess: Array, part: float, flux: float
    ) -> tuple[Array, Array]:
        """Temperatures whose gain over a part of the step adds up to their heat content, and that gain."""
        settled: NDArray[np.bool_] = np.zeros(guess.shape[1], dtype=bool)
        temperature = guess
        for _ in range(TRIES_MAX):
            held, slope = material.at(temperature)
            found = self._solve(self._volume * (content - held + slope * temperature), slope, part, flux)
            # A settled column keeps its numbers, whatever the columns beside it still need.
            temperature = np.where(settled, temperature, found)
            gain = self.gain(temperature, flux)
            agreed = material.temperature_of(content + part * gain / self._volume)
            settled = np.abs(agreed - temperature).max(axis=0) < SAME
            if settled.all():
                break
        return temperature, gain

    def _solve(self, known: Array, slope: Array, part: float, flux: float) -> Array:
        """The linear equations of one try, both walls eliminated inward at once, then from the plane back."""
        diagonal = self._volume * slope + part * self._give
        known[:2] += part * self._films * self._surroundings
        known[-1] += part * flux
        count = len(diagonal) // 2
        # Rows as lists of views: the loops below are short sums, and an index costs as much as a sum.
        pairs = list((part * self._inward).reshape(count, 2, 1))
        pivots = list(diagonal[:-1].reshape(count, 2, -1))
        by_pair = known[:-1].reshape(count, 2, -1)
        sides = list(by_pair)
        shares = [pairs[0] / pivots[0]]
        for row in range(1, count):
            share = shares[-1]
            pivots[row] -= share * pairs[row - 1]
            sides[row] += share * sides[row - 1]
            shares.append(pairs[row] / pivots[row])
        pivot = diagonal[-1] - (shares[-1] * pairs[-1]).sum(axis=0)
        known[-1] = inner = (known[-1] + (shares[-1] * sides[-1]).sum(axis=0)) / pivot
        by_pair /= diagonal[:-1].reshape(count, 2, -1)
        for side, share in zip(reversed(sides), reversed(shares), strict=True):
            side += share * inner
            inner = side
        return known


def _corners(at: Array, melting: tuple[float, float] | None) -> Array:
    """Temperatures at which the line of the heat content bends, with one stretch beyond each end."""
    fixed = sorted({*at.tolist(), *(melting or ())})
    between = [np.linspace(low, high, math.ceil(high - low) + 1) for low, high in pairwise(fixed)]
    corners = np.unique(np.concatenate([fixed, *between]))
    return np.concatenate([corners[:1] - 1.0, corners, corners[-1:] + 1.0])
