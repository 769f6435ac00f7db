"""How long a joint is planned to take; put into the ledger.

In: a `Request` and a `Ledger` that holds fusion time and waits. Out: clock.*. Vocabulary: as in `clock`; an
extra wait in heat is the owner's to state and is not in these times.
Sources: the label, the work rules `time-prepare` and `time-finish`.
"""

from __future__ import annotations

from packgen.calc import clock
from packgen.calc.ledger import Input, Ledger
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input


def label_times(request: Request) -> tuple[float, float] | None:
    """Longest fusion time and longest wait of a joint's label, s; None where one that applies is not stated.

    Of a table of times the longest row counts. A wait that nobody stated may be the longest of all.
    """
    label = request.label
    if label is None:
        return None
    times = [label.fuse.time, *(row.time for row in label.fuse.time_compensation or ())]
    waits = [label.cool.clamp_time, label.cool.pressure_wait]
    waits += [] if request.is_coupling else [label.cool.tap_wait]
    fusion = [time.to("s") for time in times if time is not None]
    waited = [wait.to("s") for wait in waits if wait is not None]
    return (max(fusion), max(waited)) if fusion and len(waited) == len(waits) else None


def clock_values(ledger: Ledger, request: Request) -> None:
    """The planned time of one joint of a job; absent where fusion time or a wait is not stated."""
    times = label_times(request)
    if request.job is None or times is None:
        return
    fusion, wait = times
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    total = clock.joint_total(rule("time-prepare", "s"), fusion, wait, rule("time-finish", "s"))
    words = "time to prepare, longest fusion time, longest wait from fusion end, time to test, cut and join"
    waits = [name for name in ("clamp_time", "pressure_wait", "tap_wait") if f"cool.{name}" in ledger.values]
    rules = [rule_input(request, "time-prepare"), rule_input(request, "time-finish")]
    named_time = "fuse.time_compensation" if "fuse.time_compensation" in ledger.values else "fuse.time"
    inputs: list[Input] = [named_time, *(f"cool.{name}" for name in waits), *rules]
    sources = (cite("time-prepare"), cite("time-finish"))
    ledger.worked("clock.joint_total", total, words, inputs, *sources)
