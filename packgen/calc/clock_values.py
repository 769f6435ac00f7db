"""When each step of a joint may begin at the earliest, and how long a joint is planned; put into the ledger.

In: a `Request` and a `Ledger` that holds fusion time and waits. Out: clock.*. Vocabulary: as in `ladder` and
`clock`; where an air temperature is given and the label has drawing data, the waits are those in that heat,
else the stated ones: then what the owner adds in heat comes on top.
Sources: the label, the work rules `time-prepare`, `time-finish` and `time-look`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packgen.calc import clock, ladder
from packgen.calc.cool_values import WAITS
from packgen.calc.ledger import Input, Ledger
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_input


@dataclass(frozen=True)
class PlannedTimes:
    """Longest fusion time of a joint, and today's clamp time and longest wait from its fusion end, s."""

    fusion: float
    clamp_time: float
    wait: float


def planned_times(ledger: Ledger, request: Request) -> PlannedTimes | None:
    """What a joint's label asks for in today's heat; None where a time that applies is not stated.

    Of a table of times the longest row counts. A wait that nobody stated may be the longest of all.
    """
    fuse = request.label.fuse if request.label else None
    times = [fuse.time, *(row.time for row in fuse.time_compensation or ())] if fuse else []
    fusion = [time.to("s") for time in times if time is not None]
    waits = ledger.all(*_waits(ledger, request).values())
    return PlannedTimes(max(fusion), waits[0], max(waits)) if fusion and waits else None


def _waits(ledger: Ledger, request: Request) -> dict[str, str]:
    """The wait that counts today, by its kind: in heat the longer one, else the stated one."""
    kinds = ("clamp_time", "pressure_wait") if request.is_coupling else WAITS
    return {
        kind: f"cool.{kind}_at" if ledger.get(f"cool.{kind}_at") is not None else f"cool.{kind}"
        for kind in kinds
    }


def ladder_values(ledger: Ledger, request: Request) -> None:
    """The earliest times from fusion end; a rung is absent where a wait before it is not stated.

    On a live main the cut puts pressure into the joint, so that it waits for the pressure wait as well.
    """
    names = _waits(ledger, request)
    clamp, pressure = (ledger.get(names[kind]) for kind in ("clamp_time", "pressure_wait"))
    if clamp is not None:
        words = "the clamp time of the joint"
        _rung(ledger, "clamps_off", ladder.clamps_off(clamp), words, [names["clamp_time"]])
    if pressure is None:
        return
    tested: list[Input] = [names["pressure_wait"]]
    start = ladder.leak_test_start(pressure)
    words = "the pressure wait; an outlet that is joined by fusion waits for its own too"
    _rung(ledger, "test", start, words, tested)
    hold = ledger.get("test.hold")
    end = start if hold is None else ladder.leak_test_end(start, hold)
    inputs = tested if hold is None else [*tested, "test.hold"]
    if request.is_coupling:
        added = "" if hold is None else ", the test's hold added"
        words = f"the pressure wait{added}; the lateral's own waits come on top"
    else:
        cut = ledger.get(names["tap_wait"])
        if cut is None:
            return
        end = ladder.tap(cut, pressure, end)
        added = "; its hold comes on top" if hold is None else ", the test's hold added"
        words = f"the latest of tap wait, pressure wait and end of the test{added}"
        _rung(ledger, "tap", end, words, [names["tap_wait"], *inputs])
        words, inputs = "not before the cut; the lateral's own waits and test come on top", ["clock.tap"]
    ready = ladder.working_pressure(pressure, end)
    _rung(ledger, "working_pressure", ready, words, inputs)
    _backfill(ledger, request, clamp, ready)


def _rung(ledger: Ledger, name: str, number: float, words: str, inputs: Sequence[Input]) -> None:
    """Put in one rung of the ladder."""
    ledger.worked(f"clock.{name}", number, words, inputs, "arithmetic")


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
    times = planned_times(ledger, request)
    if request.job is None or times is None:
        return
    rule, cite = request.catalog.rule_quantity, request.catalog.cite_rule
    prepare, finish = rule("time-prepare", "s"), rule("time-finish", "s")
    total = clock.joint_total(prepare, times.fusion, times.wait, finish)
    words = "time to prepare, longest fusion time, longest wait from fusion end, time to test, cut and join"
    rules = [rule_input(request, "time-prepare"), rule_input(request, "time-finish")]
    named_time = "fuse.time_compensation" if "fuse.time_compensation" in ledger.values else "fuse.time"
    inputs: list[Input] = [named_time, *_waits(ledger, request).values(), *rules]
    sources = (cite("time-prepare"), cite("time-finish"))
    ledger.worked("clock.joint_total", total, words, inputs, *sources)
