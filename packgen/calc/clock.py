"""How long does a joint take?

In: times as plain floats in the units of the values register (s).
Out: planned times, s.
Vocabulary: *hands-on* is the crew's own work on one joint (prepare, fuse, test, cut and join); *wait* is the
longest wait after its fusion end.
Source: arithmetic; hands-on times are the owner's rule (common practice, no source).
"""

from __future__ import annotations

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
