"""When, counted from fusion end, may each step that waits begin at the earliest?

In: the label's waits (with what heat adds), planned durations and the readiness of other joints, as plain
floats in the units of the values register (s, each counted from the saddle's own fusion end).
Out: earliest times from the same fusion end, s. To a clock they are added to the fusion end that was read.
Vocabulary: *clamps off*, *leak test*, *tap* (the cut into the main), *working pressure* and *backfill* are
the rungs; a joint is *ready* when it may see pressure; the *outlet joint* is the one through which the test
is put on, a plug's or a valve's.
Source: arithmetic on the label's waits; on a live main the cut puts pressure on the joint, so it waits for
the pressure wait too.
"""

from __future__ import annotations

from packgen.calc._guard import require_zero_or_more
from packgen.errors import require_positive


def clamps_off(clamp_time: float) -> float:
    """Answer: when may the clamp come off at the earliest?

    Parameters
    ----------
    clamp_time
        clamp time at today's temperature, from fusion end, s

    Returns
    -------
    float
        earliest time from fusion end, s

    Raises
    ------
    OutOfRange
        the time is not above zero

    Source
    ------
    The label's clamp time, counted from fusion end: arithmetic.

    Example
    -------
    >>> clamps_off(900.0) / 60.0
    15.0
    """
    require_positive(clamp_time=clamp_time)
    return clamp_time


def leak_test_start(pressure_wait: float, outlet_ready: float = 0.0) -> float:
    """Answer: when may the leak test through the outlet begin at the earliest?

    Parameters
    ----------
    pressure_wait
        the saddle's pressure wait at today's temperature, from fusion end, s
    outlet_ready
        when the joint on the outlet may see pressure by its own waits, 0 where nothing is fused to it, s

    Returns
    -------
    float
        earliest time from fusion end, the later of the two, s

    Raises
    ------
    OutOfRange
        the wait is not above zero, or the other time is below zero

    Source
    ------
    Arithmetic: every joint that sees the test has had its own wait.

    Example
    -------
    A saddle that waits 20 min, a joint on its outlet that is ready after 35.

    >>> leak_test_start(1200.0, 2100.0) / 60.0
    35.0
    """
    require_positive(pressure_wait=pressure_wait)
    require_zero_or_more(outlet_ready=outlet_ready)
    return max(pressure_wait, outlet_ready)


def leak_test_end(start: float, hold: float) -> float:
    """Answer: when is the leak test over at the earliest?

    Parameters
    ----------
    start
        earliest time the test begins, s
    hold
        how long the test pressure is held, s

    Returns
    -------
    float
        earliest time from fusion end, s

    Raises
    ------
    OutOfRange
        the start is below zero, or the hold is not above zero

    Source
    ------
    Arithmetic.

    Example
    -------
    >>> leak_test_end(2100.0, 300.0) / 60.0
    40.0
    """
    require_zero_or_more(start=start)
    require_positive(hold=hold)
    return start + hold


def tap(tap_wait: float, pressure_wait: float, test_end: float = 0.0) -> float:
    """Answer: when may the main be cut at the earliest?

    Parameters
    ----------
    tap_wait
        the label's tap wait at today's temperature, from fusion end, s
    pressure_wait
        the label's pressure wait at today's temperature, from fusion end, s
    test_end
        end of the leak test before the cut, 0 where the rule asks for none, s

    Returns
    -------
    float
        earliest time from fusion end, the latest of the three, s

    Raises
    ------
    OutOfRange
        a wait is not above zero, or the end of the test is below zero

    Source
    ------
    Arithmetic on the label's waits: the cut puts the main's pressure on the joint.

    Example
    -------
    Waits of 30 and 20 min, a test that ends after 25, then one that ends after 40.

    >>> tap(1800.0, 1200.0, 1500.0) / 60.0, tap(1800.0, 1200.0, 2400.0) / 60.0
    (30.0, 40.0)
    """
    require_positive(tap_wait=tap_wait, pressure_wait=pressure_wait)
    require_zero_or_more(test_end=test_end)
    return max(tap_wait, pressure_wait, test_end)


def working_pressure(pressure_wait: float, before: float, lateral_ready: float = 0.0) -> float:
    """Answer: when may the joint and its lateral see working pressure at the earliest?

    Parameters
    ----------
    pressure_wait
        the label's pressure wait at today's temperature, from fusion end, s
    before
        when the last piece of work that must be done before has ended: leak test, cut, s
    lateral_ready
        when the lateral's own joint may see pressure, 0 where none is fused, s

    Returns
    -------
    float
        earliest time from fusion end, the latest of the three, s

    Raises
    ------
    OutOfRange
        the wait is not above zero, or another time is below zero

    Source
    ------
    Arithmetic on the waits of every joint that sees the pressure.

    Example
    -------
    A wait of 20 min, a cut that is done after 45, a lateral's joint that is ready after 80.

    >>> working_pressure(1200.0, 2700.0, 4800.0) / 60.0
    80.0
    """
    require_positive(pressure_wait=pressure_wait)
    require_zero_or_more(before=before, lateral_ready=lateral_ready)
    return max(pressure_wait, before, lateral_ready)


def backfill(clamps_off: float, working_pressure: float, look: float) -> float:
    """Answer: when may the joint be covered at the earliest?

    Parameters
    ----------
    clamps_off
        earliest time the clamp comes off, s
    working_pressure
        earliest time the joint sees working pressure, s
    look
        how long the joint is watched under it, and seen by the second person, s

    Returns
    -------
    float
        earliest time from fusion end, s

    Raises
    ------
    OutOfRange
        a time is below zero

    Source
    ------
    Arithmetic; common practice, no source: a joint is covered after it was seen tight under working pressure.

    Example
    -------
    >>> backfill(900.0, 4800.0, 600.0) / 60.0
    90.0
    """
    require_zero_or_more(clamps_off=clamps_off, working_pressure=working_pressure, look=look)
    return max(clamps_off, working_pressure + look)
