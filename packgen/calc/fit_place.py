"""The fit check's rows about the place: how the outlet points, and how far its neighbours are.

In: a `Request` and the `Ledger` of its values. Out: `Check` rows. Vocabulary: an outlet's *turn* is its angle
from the top of the main, the shorter way round; a quarter turn is level.
Sources: the job file and the work rules; for gas 49 CFR 192.367(a) (read): a service line joins at the top
of the main, or at its side where the top is not practical. Its exception for a protective device is not
carried.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Ledger
from packgen.calc.request import Check, Request, judged
from packgen.calc.stated_values import rule_choice
from packgen.model.catalog import rule_value

_TOP_OR_SIDE, _TOP_ONLY = "at the top, or at the side where the top is not practical", "at the top only"
_DISTANCES = {
    "saddle": ("spacing.saddle_to_saddle", "another saddle"),
    "fitting": ("spacing.saddle_to_fitting", "another fitting"),
    "pipe_end": ("spacing.saddle_to_pipe_end", "the pipe end"),
    "squeeze": ("squeeze.distance_min", "the squeeze"),
}


def place_checks(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The rows about the outlet's direction, then those about distances."""
    yield from _outlet(request)
    yield from _spacing(ledger, request)


def _outlet(request: Request) -> Iterator[Check]:
    """No outlet points below level; a gas outlet points up, or sideways where the job says why."""
    joint = request.joint
    if joint is None or request.is_coupling:
        return
    turn, lowest = min(joint.clock_angle, 360.0 - joint.clock_angle), request.catalog.rule("outlet-lowest")
    limit = rule_value(lowest)
    level_or_up = turn <= limit.to("degree") + FLOAT_NOISE
    what = f"the outlet at {joint.outlet} points more than {limit} from the top of the main"
    cure = "turn the outlet: laterals leave the main level or upward"
    yield judged("outlet_lowest", joint.outlet, f"≤ {limit}", level_or_up, what, cure)
    if request.contents == "gas" and level_or_up:
        yield _gas_outlet(request, joint.outlet, turn, joint.top_not_practical)


def _gas_outlet(request: Request, outlet: str, turn: float, reason: str | None) -> Check:
    """A gas outlet is at the top of the main, or at its side for a stated reason."""
    chosen = rule_choice(request, "outlet-gas", _TOP_OR_SIDE, _TOP_ONLY)
    found = f"{outlet}: {reason}" if reason and turn else outlet
    passed = turn == 0.0 or (chosen == _TOP_OR_SIDE and reason is not None)
    if chosen == _TOP_ONLY:
        what, cure = f"a gas outlet at {outlet}, where the work rule wants the top", "set it at 12 o'clock"
    else:
        what = f"a gas outlet at {outlet}, and nothing says why the top of the main is not practical"
        cure = "set it at 12 o'clock, or give the reason as top_not_practical"
    return judged("outlet_gas", found, chosen, passed, what, cure)


def _spacing(ledger: Ledger, request: Request) -> Iterator[Check]:
    """Each measured distance reaches the least one; one not measured is for the crew."""
    if request.job is None or request.is_coupling:
        return
    for key, (name, words) in _DISTANCES.items():
        distance, least = getattr(request.job.distances, key, None), ledger.values.get(name)
        if least is None or least.number is None:
            continue
        if distance is None:
            yield Check(f"distance_{key}", "", f"≥ {request.text(least)}", None)
            continue
        found = request.plain(distance, "down")
        what = f"the distance to {words} is {found}, the least is {request.text(least)}"
        passed, cure = distance.to("mm") >= least.number - FLOAT_NOISE, "move the place of the joint"
        yield judged(f"distance_{key}", found, f"≥ {request.text(least)}", passed, what, cure)
    families = request.catalog.families
    saddles = [joint for joint in request.job.joints if families[joint.family].type != "coupling"]
    if len(saddles) > 1:
        least = ledger.values["spacing.saddle_to_saddle"]
        yield Check("between_joints", "", f"≥ {request.text(least)}", None)
