"""How does heat move through two walls that meet at a plane? The march of the heat solver, nothing else.

In: walls cut at points, heat content over temperature, steps in s with the heat put in.
Out: one `Moment` after another.
Vocabulary: as in `heat_mesh`; a *film* is the still fluid on a surface; all columns are marched together.
Source: conservation of heat with Fourier's law on control volumes round the points; in time the L-stable
two-stage diagonally implicit rule of R. Alexander, SIAM J. Numer. Anal. 14 (1977), from memory.

This module needs numpy: import it where it is used, so that the command line starts fast.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from packgen.calc._guard import require_zero_or_more
from packgen.calc.heat_mesh import Array, HeatContent, Mesh

Films: TypeAlias = Sequence[float] | Array  # of the first and the second wall, W/(m2*K); a column or each
Flux: TypeAlias = float | Array  # W/m2, one or one for each column

GAMMA = 1.0 - math.sqrt(0.5)  # the share of a step at which its first stage stands
SAME = 0.03  # K: a stage has settled when its temperatures and its heat content agree to this
TRIES_MAX = 8  # two do but where a point begins or ends to melt; the heat is kept whole either way


@dataclass(frozen=True)
class Moment:
    """How things stand at one time: each array has a column for each surrounding temperature."""

    time: float  # s from the start
    temperature: Array  # degree Celsius, a row for each point
    stored: Array  # J for each m2 of plane, above the start
    lost: Array  # J for each m2 of plane, through the outer faces of the first and the second wall


def march(
    walls: Mesh,
    material: HeatContent,
    start: Array,
    surroundings: Array,
    films: Films,
    steps: Iterable[tuple[float, Flux]],
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
        heat that passes the film of the first and of the second wall, W/(m2*K); two numbers, or two rows with
        a number for each column
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

    >>> from packgen.calc.heat_mesh import heat_content, mesh
    >>> held, walls = heat_content(950.0, [(20.0, 2.4)]), mesh(10.0, 10.0, 0.40, 5, 1.2)
    >>> at = np.array([23.0])
    >>> *_, last = march(walls, held, at, at, (0.0, 0.0), [(1.0, 1000.0), (1.0, 1000.0)])
    >>> round(float(last.stored[0]), 6)
    2000.0
    """
    still = np.array(films, dtype=np.float64).reshape(2, -1)
    require_zero_or_more(first_film=float(still[0].min()), second_film=float(still[1].min()))
    films_of = walls.surface * still
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
        width = np.broadcast_shapes(walls.volume.shape, (1, films.shape[1]))
        give = np.zeros(width)
        give[:-1] += walls.inward
        give[2:-1] += walls.inward[:-2]
        give[-1] += walls.inward[-2:].sum(axis=0)
        give[:2] += films
        self._give = give  # W/K that leave a point for each kelvin it is warmer than all round it

    def leaving(self, temperature: Array) -> Array:
        """Heat that leaves through the outer faces, W for each m2 of plane."""
        leaving: Array = self._films * (temperature[:2] - self._surroundings)
        return leaving

    def gain(self, temperature: Array, flux: Flux) -> Array:
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
        self, material: HeatContent, content: Array, guess: Array, part: float, flux: Flux
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

    def _solve(self, known: Array, slope: Array, part: float, flux: Flux) -> Array:
        """The linear equations of one try, both walls eliminated inward at once, then from the plane back."""
        diagonal = self._volume * slope + part * self._give
        known[:2] += part * self._films * self._surroundings
        known[-1] += part * flux
        count = len(diagonal) // 2
        # Rows as lists of views: the loops below are short sums, and an index costs as much as a sum.
        pairs = list((part * self._inward).reshape(count, 2, -1))
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
