"""What has to be in the van for all the joints of a job?

In: areas to wipe, counts of the job's joints and the owner's rules about them, as plain floats and whole
numbers in the units of the values register (mm2, L, each, percent).
Out: a volume, L; whole numbers, each. A count is the least that suffices, rounded up.
Vocabulary: a *surface* is one face to wipe: a peeled zone, a pipe end, a fitting's underside; *spare* is what
the rule adds for a joint that has to be prepared again.
Source: arithmetic; how much liquid and how many wipes a surface takes is the owner's rule (common practice,
no source).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from packgen.calc._guard import FLOAT_NOISE, refuse, require_zero_or_more
from packgen.errors import require_positive

_MM2_IN_M2 = 1_000_000.0


def solvent(areas: Sequence[float], litres_per_square_metre: float, spare_percent: float) -> float:
    """Answer: how much wipe liquid do the surfaces of all joints take?

    Parameters
    ----------
    areas
        area of each surface to wipe, mm2
    litres_per_square_metre
        what the rule allows for, L for each 1,000,000 mm2
    spare_percent
        what the rule adds for surfaces wiped again, percent

    Returns
    -------
    float
        volume, L (1,000,000 mm3)

    Raises
    ------
    OutOfRange
        an area or the allowance is not above zero, or the spare is below zero

    Source
    ------
    Arithmetic; common practice, no source, for the allowance.

    Example
    -------
    Pipe and underside of 25,000 mm2 each, 2 L a square metre, half as much again: 0.15 L.

    >>> round(solvent([25_000.0, 25_000.0], 2.0, 50.0), 3)
    0.15
    """
    for area in areas:
        require_positive(area=area)
    require_positive(litres_per_square_metre=litres_per_square_metre)
    require_zero_or_more(spare_percent=spare_percent)
    return sum(areas) / _MM2_IN_M2 * litres_per_square_metre * (1.0 + spare_percent / 100.0)


def wipes(surfaces: int, each_surface: int, spare_percent: float) -> int:
    """Answer: how many wipes do the surfaces of all joints take?

    Parameters
    ----------
    surfaces
        surfaces to wipe in all, each
    each_surface
        wipes the rule allows for one surface, each
    spare_percent
        what the rule adds for surfaces wiped again, percent

    Returns
    -------
    int
        wipes, each

    Raises
    ------
    OutOfRange
        a count or the spare is below zero, or no wipe is allowed for a surface

    Source
    ------
    Arithmetic; common practice, no source, for the allowance.

    Example
    -------
    Six surfaces, three wipes each, half as many again: 27.

    >>> wipes(6, 3, 50.0)
    27
    """
    require_zero_or_more(surfaces=surfaces, spare_percent=spare_percent)
    require_positive(each_surface=each_surface)
    return _up(surfaces * each_surface * (1.0 + spare_percent / 100.0))


def blades(peels: int, peels_per_blade: int, spare: int) -> int:
    """Answer: how many peeler blades do all joints take?

    Parameters
    ----------
    peels
        surfaces to peel in all, each
    peels_per_blade
        peels after which the rule changes the blade, each
    spare
        blades the rule adds, each

    Returns
    -------
    int
        blades, each

    Raises
    ------
    OutOfRange
        a count is below zero, or a blade makes no peel

    Source
    ------
    Arithmetic; common practice, no source, for the life of a blade.

    Example
    -------
    Seven peels, three for a blade, one spare: 4.

    >>> blades(7, 3, 1)
    4
    """
    require_zero_or_more(peels=peels, spare=spare)
    require_positive(peels_per_blade=peels_per_blade)
    return _up(peels / peels_per_blade) + spare


def fittings(of_joints: Sequence[str], spare: int) -> dict[str, int]:
    """Answer: how many fittings of each kind do all joints take?

    Parameters
    ----------
    of_joints
        the fitting of each joint, named so that two alike have the same name, one for each joint
    spare
        fittings the rule adds of each kind, each

    Returns
    -------
    dict[str, int]
        number of each kind, in the order of the joints, each

    Raises
    ------
    OutOfRange
        the spare is below zero

    Source
    ------
    Arithmetic.

    Example
    -------
    Two saddles and a coupling, one spare of each.

    >>> fittings(["saddle 2 on 6", "coupling 2", "saddle 2 on 6"], 1)
    {'saddle 2 on 6': 3, 'coupling 2': 2}
    """
    require_zero_or_more(spare=spare)
    return {kind: number + spare for kind, number in Counter(of_joints).items()}


def hole_saws(cuts: Sequence[str], cuts_per_saw: int) -> dict[str, int]:
    """Answer: how many hole saws of each size do all joints take?

    Parameters
    ----------
    cuts
        hole saw of each joint that is cut, as it is listed, one for each joint
    cuts_per_saw
        cuts after which the rule changes the saw, each

    Returns
    -------
    dict[str, int]
        number of each size, in the order of the joints, each

    Raises
    ------
    OutOfRange
        a saw makes no cut

    Source
    ------
    Arithmetic; common practice, no source, for the life of a saw.

    Example
    -------
    Three cuts of one size and one of another, two cuts for a saw.

    >>> hole_saws(["1-3/4 in", "3-3/8 in", "1-3/4 in", "1-3/4 in"], 2)
    {'1-3/4 in': 2, '3-3/8 in': 1}
    """
    require_positive(cuts_per_saw=cuts_per_saw)
    return {size: _up(number / cuts_per_saw) for size, number in Counter(cuts).items()}


def _up(number: float) -> int:
    if not math.isfinite(number):
        refuse("number", f"a number to bring is {number!r}", "a finite number")
    return math.ceil(number - FLOAT_NOISE)
