"""How long a joint is planned to take; put into the ledger.

In: a `Request` and a `Ledger` that holds fusion time and waits. Out: clock.*. Vocabulary: as in `clock`; an
extra wait in heat is the owner's to state and is not in these times.
Sources: the label, the work rules `time-prepare` and `time-finish`.
"""

from __future__ import annotations

from packgen.calc import clock, ladder
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


def _waits(ledger: Ledger) -> dict[str, str]:
    """The wait that counts today, by its kind: in heat the longer one, else the stated one."""
    kinds = ("clamp_time", "pressure_wait", "tap_wait")
    return {
        kind: f"cool.{kind}_at" if ledger.get(f"cool.{kind}_at") is not None else f"cool.{kind}"
        for kind in kinds
    }


def ladder_values(ledger: Ledger, request: Request) -> None:
    """The earliest times from fusion end; a rung whose wait is not stated is absent.

    On a live main the cut puts pressure into the joint, so that it waits for the pressure wait as well.
    """
    names, source = _waits(ledger), ("arithmetic",)
    clamp, pressure, cut = (ledger.get(name) for name in names.values())
    if clamp is not None:
        words = "the clamp time of the joint"
        ledger.worked("clock.clamps_off", ladder.clamps_off(clamp), words, [names["clamp_time"]], *source)
    if pressure is None:
        return
    tested: list[Input] = [names["pressure_wait"]]
    start = ladder.leak_test_start(pressure)
    words = "the pressure wait; an outlet that is joined by fusion waits for its own too"
    ledger.worked("clock.test", start, words, tested, *source)
    hold = ledger.get("test.hold")
    end = start if hold is None else ladder.leak_test_end(start, hold)
    more = "" if hold is None else ", the test's hold added"
    inputs: list[Input] = tested if hold is None else [*tested, "test.hold"]
    if request.is_coupling or cut is None:
        last, what = end, f"the pressure wait{more}; the lateral's own waits come on top"
    else:
        last = ladder.tap(cut, pressure, end)
        what = f"the latest of tap wait, pressure wait and end of the test{more or '; its hold comes on top'}"
        inputs = [names["tap_wait"], *inputs]
        ledger.worked("clock.tap", last, what, inputs, *source)
        what = "not before the cut; the lateral's own waits and test come on top"
        inputs = ["clock.tap"]
    ready = ladder.working_pressure(pressure, last)
    ledger.worked("clock.working_pressure", ready, what, inputs, *source)
    _backfill(ledger, request, clamp, ready)


def _backfill(ledger: Ledger, request: Request, clamp: float | None, ready: float) -> None:
    """The earliest backfill: clamps off, working pressure in, and looked at."""
    if clamp is None:
        return
    look = request.catalog.rule_quantity("time-look", "s")
    words = "clamps off and working pressure in the joint, then the look at it"
    inputs: list[Input] = ["clock.clamps_off", "clock.working_pressure", rule_input(request, "time-look")]
    cited = request.catalog.cite_rule("time-look")
    ledger.worked("clock.backfill", ladder.backfill(clamp, ready, look), words, inputs, cited)


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
