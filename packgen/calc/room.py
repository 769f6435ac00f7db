"""How much free main and free ground does the work need?

In: lengths of saddle, valve and machine, and the room that a work rule asks for, as plain floats in mm.
Out: the length of main to free, and the free ground beyond the main where the outlet points, mm.
Vocabulary: *free* main is clean, off the ground and clear all round; the room *above* is measured from the
main's surface in the direction of the outlet, which a level outlet turns sideways.
Source: arithmetic.
"""

from __future__ import annotations

from packgen.errors import require_positive


def room_along(zone_length: float, room_each_side: float) -> float:
    """Answer: how much of the main must be free along its length?

    Parameters
    ----------
    zone_length
        length to peel along the main, mm
    room_each_side
        room for peeler and clamp beyond each end of the peel zone, mm

    Returns
    -------
    float
        length of free main, the peel zone in its middle, mm

    Raises
    ------
    OutOfRange
        a length is not above zero

    Source
    ------
    Arithmetic.

    Example
    -------
    A zone of 185.4 mm with 12 in (304.8 mm) on each side: 795.0 mm.

    >>> room_along(185.4, 304.8)
    795.0
    """
    require_positive(zone_length=zone_length, room_each_side=room_each_side)
    return zone_length + 2 * room_each_side


def room_above(outlet_height: float, *stack: float) -> float:
    """Answer: how far beyond the main, where the outlet points, must the ground be clear?

    Parameters
    ----------
    outlet_height
        from the main's crown to the outlet's rim, mm
    stack
        what stands on the rim: the drill, or valve, machine and the room to lift it off, each in mm

    Returns
    -------
    float
        free distance from the main's surface in the direction of the outlet, mm

    Raises
    ------
    OutOfRange
        a length is not above zero

    Source
    ------
    Arithmetic.

    Example
    -------
    An outlet of 80 mm under a drill that needs 18 in (457.2 mm): 537.2 mm.

    >>> room_above(80.0, 457.2)
    537.2
    """
    require_positive(outlet_height=outlet_height)
    for length in stack:
        require_positive(length_on_the_rim=length)
    return outlet_height + sum(stack)
