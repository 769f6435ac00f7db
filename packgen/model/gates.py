"""The gates that never move: they stand in the procedures, in this order, as hold or witness points.

In: the procedures that were read. Out: problems. Vocabulary: a *gate* is a step that work may not pass until
it is true. Content may word its gates, and add others; it may not drop one, turn it into a plain step or put
it elsewhere.
Source: the order of work of the trade, common practice, no source.
"""

from __future__ import annotations

from packgen.errors import Place, Problems
from packgen.model.found import Found
from packgen.model.prose import StepText

# In the order of the work: dry before the saddle is seated, gap before power, display before start, waits and
# proof of no pressure before the cut, coupon before the lateral is joined, the second look before backfill.
GATES = (
    ("fully-dry", "hold"),
    ("saddle-seated", ""),
    ("gap-checked", "hold"),
    ("self-test-passed", "hold"),
    ("display-equals-label", "hold"),
    ("fusion-started", ""),
    ("waits-over", "hold"),
    ("main-no-pressure", "hold"),
    ("main-cut", ""),
    ("coupon-seen", "hold"),
    ("lateral-joined", ""),
    ("second-look", "witness"),
    ("backfilled", ""),
)


def check_gates(found: Found, problems: Problems) -> None:
    """Tell every gate that is missing, that is no gate any more, or that stands out of order."""
    if not found.procedures or not found.complete("procedures"):
        return
    ordered = sorted(found.procedures.values(), key=lambda each: (each.head.order, each.head.id))
    steps = [step for procedure in ordered for step in procedure.steps]
    places = {step.id: index for index, step in enumerate(steps)}
    before = -1
    for step_id, gate in GATES:
        index = places.get(step_id)
        if index is None:
            what = f"the step {step_id!r} is missing from the procedures"
            problems.add(Place(), what, cure="keep it: it guards a step, or is the step that a gate guards")
            continue
        _check_gate(steps[index], gate, index < before, problems)
        before = max(before, index)


def _check_gate(step: StepText, gate: str, early: bool, problems: Problems) -> None:
    """One gate is still one, and stands after the gate before it."""
    if gate and step.gate != gate:
        problems.add(step.place, f"the step is no {gate} point any more", cure=f"mark it .{gate} again")
    if early:
        what = "the step stands before a gate that comes first"
        problems.add(step.place, what, cure="put it back in its order")
