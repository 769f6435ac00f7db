"""How long does a joint take, and does the work fit the time customers may be without?

In: times as plain floats in the units of the values register (s).
Out: planned times, s.
Vocabulary: *hands-on* is the crew's own work on one joint (prepare, fuse, test, cut and join); *wait* is the
longest wait after its fusion end; a *chain* is a joint with those that can begin only when it is done.
Source: arithmetic; hands-on times are the owner's rule (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from packgen.calc._guard import require_zero_or_more
from packgen.errors import require_positive


def joint_total(prepare: float, fusion: float, wait: float, finish: float) -> float:
    """Answer: how long does one joint take, from its first peel until it is done?

    Parameters
    ----------
    prepare
        planned time to prepare, seat and clamp, s
    fusion
        fusion time, s
    wait
        longest wait from fusion end, s
    finish
        planned time to test, cut and join after the wait, s

    Returns
    -------
    float
        planned time, s

    Raises
    ------
    OutOfRange
        the fusion time is not above zero, or another time is below zero

    Source
    ------
    Arithmetic.

    Example
    -------
    45 min to prepare, 90 s of fusion, 30 min of wait, 40 min to finish: 116.5 min.

    >>> joint_total(2700.0, 90.0, 1800.0, 2400.0) / 60.0
    116.5
    """
    require_positive(fusion=fusion)
    require_zero_or_more(prepare=prepare, wait=wait, finish=finish)
    return prepare + fusion + wait + finish


def outage_needed(hands_on: Sequence[float], chained_waits: Sequence[float], around: float) -> float:
    """Answer: how long is the main out of use, at the least, for a crew with one control unit?

    The crew's own work adds up joint by joint; while one joint waits the crew may work on another, so of the
    waits only the longest chain counts. The result is never shorter than the longest joint by itself.

    Parameters
    ----------
    hands_on
        planned work on each joint, fusion included, s
    chained_waits
        for each chain of joints, the sum of its waits, s
    around
        planned time to isolate and to restore, s

    Returns
    -------
    float
        planned outage, s

    Raises
    ------
    OutOfRange
        a time is below zero

    Source
    ------
    Arithmetic: with all waits begun in time, the last ends within the longest chain after the last work.

    Example
    -------
    Two joints of 85 min of work and 30 min of wait each, an hour around: 260 min.

    >>> outage_needed([5100.0, 5100.0], [1800.0, 1800.0], 3600.0) / 60.0
    260.0
    """
    for time in (*hands_on, *chained_waits):
        require_zero_or_more(time=time)
    require_zero_or_more(around=around)
    return sum(hands_on) + max(chained_waits, default=0.0) + around
