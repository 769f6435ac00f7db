"""Which is the narrowest place of a saw's way, and how far must a drilling machine or a cutter go?

In: bores, heights and travels, as plain floats in the units of the values register (mm).
Out: the least bore, the least stroke, the travel of a cutter, mm.
Vocabulary: the *stack* is what stands on the main: outlet, valve, drilling machine; a machine's *reach* is
how much of its stroke is used up before the teeth pass its flange.
Source: arithmetic.
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.calc._guard import refuse, require_zero_or_more
from packgen.errors import require_positive


def least_bore(bores: Sequence[float]) -> float:
    """Answer: what is the narrowest place on the saw's way?

    Parameters
    ----------
    bores
        bore of each part that the saw passes, mm

    Returns
    -------
    float
        the least of them, mm

    Raises
    ------
    OutOfRange
        there is no bore, or one is not above zero

    Source
    ------
    Arithmetic.

    Example
    -------
    An outlet of 48.26 mm under a valve of 50 mm and a machine of 60 mm.

    >>> least_bore([48.26, 50.0, 60.0])
    48.26
    """
    if not bores:
        refuse("bores", "no bore is given", "at least one")
    for bore in bores:
        require_positive(bore=bore)
    return min(bores)


def stroke_min(outlet_height: float, valve_length: float, reach: float, travel_set: float) -> float:
    """Answer: how long must the stroke of the drilling machine be, at least?

    Parameters
    ----------
    outlet_height
        from the main's crown to the outlet's rim, mm
    valve_length
        what the valve adds between the outlet's rim and the machine, mm
    reach
        what the machine uses up before the teeth pass its flange, mm
    travel_set
        travel from teeth contact, mm

    Returns
    -------
    float
        the least stroke, mm

    Raises
    ------
    OutOfRange
        height, length or travel is not above zero, or the reach is below zero

    Source
    ------
    Arithmetic.

    Example
    -------
    80 mm of outlet, a valve of 200 mm, 50 mm of reach and 25 mm of travel: 355 mm.

    >>> stroke_min(80.0, 200.0, 50.0, 25.0)
    355.0
    """
    require_positive(outlet_height=outlet_height, valve_length=valve_length, travel_set=travel_set)
    require_zero_or_more(reach=reach)
    return reach + valve_length + outlet_height + travel_set


def cutter_travel(turns: int, pitch: float) -> float:
    """Answer: how far does a built-in cutter go in a number of turns?

    Parameters
    ----------
    turns
        whole turns, counted from the stop, each
    pitch
        pitch of the cutter's thread, mm

    Returns
    -------
    float
        travel, mm

    Raises
    ------
    OutOfRange
        turns or pitch are not above zero

    Source
    ------
    Arithmetic of a single-start thread: one pitch a turn.

    Example
    -------
    14 turns of a thread of 2.5 mm: 35 mm.

    >>> cutter_travel(14, 2.5)
    35.0
    """
    require_positive(turns=float(turns), pitch=pitch)
    return turns * pitch
