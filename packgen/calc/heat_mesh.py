"""Where do the points of two walls lie that meet at a plane, and how much heat does their material hold?

In: walls in mm, the material in SI units.
Out: the walls cut at points with their volumes and conductances; heat content over temperature.
Vocabulary: the *plane* is where the walls meet and where heat goes in; the *first* wall lies outside it, the
*second* inside; a *column* is one case at one surrounding temperature. Rows of an array are points: outermost
of the first wall, outermost of the second, the next pair inward, and last the plane, which both walls share.
Source: Fourier's law on control volumes round the points.

This module needs numpy: import it where it is used, so that the command line starts fast.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from packgen.calc._guard import refuse, require_order, require_zero_or_more
from packgen.errors import require_positive

Array: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True)
class Mesh:
    """Two walls cut at points, for each m2 of plane: a row for each point, a column for each case."""

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


def side_by_side(meshes: Sequence[Mesh], columns: int) -> Mesh:
    """Answer: how are several pairs of walls marched together, each in its own columns?

    Parameters
    ----------
    meshes
        pairs of walls cut at the same number of points, depths in mm
    columns
        columns that each of them takes, no unit

    Returns
    -------
    Mesh
        one mesh, the columns of the first pair first, depths in mm

    Raises
    ------
    OutOfRange
        no pair is given, or there is no column

    Source
    ------
    Arithmetic: what stands in one column never enters another.

    Example
    -------
    Two pairs of walls, three columns each.

    >>> side_by_side([mesh(10.0, 7.0, 0.40, 3, 2.0), mesh(5.0, 7.0, 0.40, 3, 2.0)], 3).volume.shape
    (7, 6)
    """
    require_positive(meshes=len(meshes), columns=columns)

    def wide(arrays: Sequence[Array]) -> Array:
        return np.repeat(np.hstack(arrays), columns, axis=1)

    return Mesh(
        depth=wide([each.depth for each in meshes]),
        volume=wide([each.volume for each in meshes]),
        inward=wide([each.inward for each in meshes]),
        surface=wide([each.surface for each in meshes]),
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


def _corners(at: Array, melting: tuple[float, float] | None) -> Array:
    """Temperatures at which the line of the heat content bends, with one stretch beyond each end."""
    fixed = sorted({*at.tolist(), *(melting or ())})
    between = [np.linspace(low, high, math.ceil(high - low) + 1) for low, high in pairwise(fixed)]
    corners = np.unique(np.concatenate([fixed, *between]))
    return np.concatenate([corners[:1] - 1.0, corners, corners[-1:] + 1.0])
