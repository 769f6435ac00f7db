"""The gates that never move: they stand in the procedures of every job, in order, as hold or witness points.

In: the procedures that were read. Out: problems. Vocabulary: a *gate* is a step that work may not pass until
it is true; a *way* is a kind of job with gates of its own (how the main is cut, or a coupling). Content may
word its gates, and add others; it may not drop one, turn it into a plain step or put it elsewhere. Every
gate is printed in the pack and on the cards of each joint; those of `SHARED` stand once in a job.
Source: the order of work of the trade, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from packgen.errors import Place, Problems
from packgen.model.family_records import METHODS_OF
from packgen.model.found import Found
from packgen.model.prose import CONDITIONS, Facts, FrontMatter, StepText, When

Gates = tuple[tuple[str, str], ...]
_SADDLE: Gates = (("fully-dry", "hold"), ("saddle-seated", ""), ("gap-checked", "hold"))
_FUSE: Gates = (
    ("self-test-passed", "hold"), ("display-equals-label", "hold"), ("fusion-started", ""),
    ("waits-over", "hold"),
)  # fmt: skip
_END: Gates = (("second-look", "witness"), ("backfilled", ""))
# In the order of the work of each way: dry before the saddle is seated, gap before power, display before
# start, waits and proof before the cut, coupon or cutter seen before flow, the second look before backfill.
GATES: dict[str, Gates] = {
    "open drill": (
        *_SADDLE, *_FUSE,
        ("test-uncut", "hold"), ("main-no-pressure", "hold"), ("main-cut", ""), ("coupon-seen", "hold"),
        ("lateral-joined", ""), *_END,
    ),
    "through a valve": (
        *_SADDLE, *_FUSE,
        ("valve-joined", ""), ("stack-tight", "hold"), ("main-cut", ""), ("valve-shut", "hold"),
        ("coupon-seen", "hold"), ("lateral-joined", ""), ("lateral-tested", "hold"), ("valve-opened", ""),
        *_END,
    ),
    "built-in cutter": (
        *_SADDLE, *_FUSE,
        ("lateral-joined", ""), ("test-uncut", "hold"), ("main-cut", ""), ("cutter-at-stop", "hold"),
        ("cap-fitted", ""), ("cap-tight", "hold"), *_END,
    ),
    "coupling": (("fully-dry", "hold"), ("pipes-pushed-in", ""), ("insertion-proved", "hold"), *_FUSE, *_END),
}  # fmt: skip
# Where crews read: a gate that is missing from one of them is passed by whoever holds that one.
_PRINTED = ("pack", "cards")
# Gates of the whole job, not of a joint: all joints are seen together, and the trench is filled once.
SHARED = {"second-look": "last", "backfilled": "last"}


@dataclass(frozen=True)
class _Standing:
    """A step that is a gate, or that a gate guards, where it stands in the order of all steps."""

    number: int
    when: When
    step: StepText
    head: FrontMatter


def check_gates(found: Found, problems: Problems) -> None:
    """Tell every gate that is missing from a kind of job, is no gate any more, or stands out of order."""
    if not found.procedures or not found.complete("procedures"):
        return
    ordered = sorted(found.procedures.values(), key=lambda each: (each.head.order, each.head.id))
    named = {step_id for gates in GATES.values() for step_id, _ in gates}
    steps = [(each.head, *pair) for each in ordered for pair in each.conditioned_steps()]
    # A way for which nothing is written is refused job by job.
    written = {way for _, when, _ in steps for way in (*(when.method or ()), *(when.fitting or ()))}
    standing = [
        _Standing(at, when, step, head) for at, (head, when, step) in enumerate(steps) if step.id in named
    ]
    told: set[str] = set()
    for each in standing:
        _check_printed(each, problems, told)
    for way, gates in GATES.items():
        for facts in jobs_of(way) if way in written else ():
            _check_job(way, gates, [each for each in standing if each.when.met(facts)], problems, told)


def _check_printed(here: _Standing, problems: Problems, told: set[str]) -> None:
    """A gate stands in the pack and on the cards, with every joint."""
    missing = [each for each in _PRINTED if each not in here.head.on]
    if missing:
        what = f"the step guards the work, and its procedure is not on the {' and the '.join(missing)}"
        cure = f"write 'on: [pack, cards, …]' at the head of {here.head.id}"
        _tell(here.step.place, what, cure, problems, told)
    once = here.head.once
    if once is not None and once != SHARED.get(here.step.id):
        what = f"the step guards every joint, and its procedure stands with the {once} one alone"
        cure = f"take 'once' out of {here.head.id}, or put the step where it stands with each joint"
        _tell(here.step.place, what, cure, problems, told)


def jobs_of(way: str) -> Iterator[Facts]:
    """The facts of every kind of job of one way, as far as its gates can depend on them."""
    fitting = next((kind for kind, methods in METHODS_OF.items() if way in methods), way)
    states = [("dry", None), *(("isolated", by) for by in CONDITIONS["isolation"])]
    states += [] if way == "open drill" else [("live", None)]
    clampings = (None,) if way == "coupling" else CONDITIONS["clamping"]
    more = product(states, clampings, CONDITIONS["contents"], CONDITIONS["times"])
    for (state, by), clamping, contents, times in more:
        method = None if way == "coupling" else way
        yield {
            "fitting": fitting, "method": method, "state": state, "isolation": by, "clamping": clamping,
            "contents": contents, "times": times,
        }  # fmt: skip


def _check_job(
    way: str, gates: Gates, steps: Sequence[_Standing], problems: Problems, told: set[str]
) -> None:
    """The gates of one kind of job; what was told of another is not told again."""
    places = {each.step.id: each for each in steps}
    before = -1
    for step_id, gate in gates:
        here = places.get(step_id)
        if here is None:
            what = f"the step {step_id!r} is missing from the procedures ({way})"
            cure = "keep it: it guards a step, or is the step that a gate guards"
            _tell(Place(), what, cure, problems, told)
            continue
        if gate and here.step.gate != gate:
            what = f"the step is no {gate} point any more"
            _tell(here.step.place, what, f"mark it .{gate} again", problems, told)
        if here.number < before:
            what = "the step stands before a gate that comes first"
            _tell(here.step.place, what, "put it back in its order", problems, told)
        before = max(before, here.number)


def _tell(place: Place, what: str, cure: str, problems: Problems, told: set[str]) -> None:
    """Tell a problem once."""
    if f"{place} {what}" not in told:
        told.add(f"{place} {what}")
        problems.add(place, what, cure=cure)
