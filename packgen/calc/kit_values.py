"""What to bring for all joints of a job, put into the ledger of its first joint.

In: the `Request` of a joint, and the `Ledger` of its values. Out: kit.*, with the job's first joint alone.
Vocabulary: as in `kit`; the underside of a saddle and the inside of a coupling count as large as the pipe
that is wiped for them. Of each joint no more is worked out than its peeled surface and its saw, so that no
joint asks for the kit of another. A surface or a saw that no label states is not guessed: the value it would
be part of is absent, or names what to enter.
Sources: arithmetic, the labels, the work rules each working names.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from packgen.calc import kit
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.peel_values import peel_values
from packgen.calc.pipe_values import both_pipes
from packgen.calc.request import Request, request_of
from packgen.calc.stated_values import label_values, rule_count, rule_input
from packgen.calc.tap_values import chosen_saw
from packgen.errors import OutOfRange
from packgen.register import REGISTER
from packgen.rounding import text

_LIQUID, _WIPES, _SPARE = "kit-liquid", "kit-wipes-a-surface", "kit-spare"
_PEELS, _SPARE_BLADES = "kit-peels-a-blade", "kit-spare-blades"
_SPARE_FITTINGS, _CUTS = "kit-spare-fittings", "kit-cuts-a-saw"
# Two pipe ends and both halves of the coupling's inside; the main and the saddle's underside.
_PEELS_OF = {True: 2, False: 1}


@dataclass(frozen=True)
class _Needs:
    """What one joint takes: the pipe it peels, how often, each surface in mm2 if known, fitting and saw."""

    joint: str
    pipe: str
    peels: int
    surface: float | None
    fitting: str
    saw: str | None

    @property
    def surfaces(self) -> int:
        """The surfaces to wipe: each peel has the fitting's own surface against it."""
        return 2 * self.peels


def kit_values(ledger: Ledger, request: Request) -> None:
    """Wipe liquid, wipes, blades, fittings and saws of the whole job; nothing with its other joints."""
    job = request.job
    if job is None or request.joint is None or job.joints[0].id != request.joint.id:
        return
    try:
        needs = [_needs(request_of(job, joint, request.catalog, request.units)) for joint in job.joints]
    except OutOfRange:  # told with the joint that cannot be made
        return
    _solvent(ledger, request, needs)
    _wipes(ledger, request, needs)
    _blades(ledger, request, needs)
    _fittings(ledger, request, needs)
    _saws(ledger, request, needs)


def _needs(request: Request) -> _Needs:
    """What one joint takes, from as few of its values as that asks for."""
    own = Ledger()
    both_pipes(own, request)
    label_values(own, request)
    peel_values(own, request)
    assert request.joint is not None  # kit_values asks for joints
    pipe = request.fused_pipe.designation.short
    kind = pipe if request.is_coupling else f"{request.lateral.designation.short} on {pipe}"
    return _Needs(
        joint=request.joint.id,
        pipe=pipe,
        peels=_PEELS_OF[request.is_coupling],
        surface=_surface(own, request),
        fitting=f"{request.family.id} {kind}",
        saw=_saw(own, request),
    )


def _surface(own: Ledger, request: Request) -> float | None:
    """The area of one peeled surface, mm2; None where the label states no base or no peel length."""
    if not request.is_coupling:
        return own.get("peel.zone_area")
    length = own.get("socket.peel_length")
    return None if length is None else math.pi * request.fused_pipe.outside_diameter * length


def _saw(own: Ledger, request: Request) -> str | None:
    """The joint's hole saw as printed; the words for one to enter; None where no saw cuts."""
    if request.facts["saw"] is None:
        return None
    saw = chosen_saw(own, request)
    if saw is not None:
        return request.plain(saw.size, REGISTER["tap.hole_saw"].direction)
    return f"saw entered for {request.joint.id}" if request.joint else None


def _solvent(ledger: Ledger, request: Request, needs: Sequence[_Needs]) -> None:
    """The wipe liquid; absent where the surface of a joint is not stated."""
    areas = [need.surface for need in needs if need.surface is not None for _ in range(need.surfaces)]
    if len(areas) < sum(need.surfaces for need in needs):
        return
    rule = request.catalog.rule_quantity
    litres = kit.solvent(areas, rule(_LIQUID, "L/m2"), rule(_SPARE, "percent"))
    words = (
        "surfaces to wipe, the fitting's as large as the pipe's, times the liquid for them, with the spare"
    )
    inputs = [
        named(need.joint, f"{need.surfaces} × {_area(request, need.surface)}")
        for need in needs
        if need.surface is not None
    ]
    _put(ledger, request, "solvent", litres, words, inputs, _LIQUID, _SPARE)


def _area(request: Request, area: float) -> str:
    """A surface to wipe as printed."""
    entry = REGISTER["peel.zone_area"]
    return text(area, entry, stated=None, units=request.units, first=request.first)


def _wipes(ledger: Ledger, request: Request, needs: Sequence[_Needs]) -> None:
    """The wipes."""
    surfaces = sum(need.surfaces for need in needs)
    spare = request.catalog.rule_quantity(_SPARE, "percent")
    number = kit.wipes(surfaces, rule_count(request, _WIPES), spare)
    words = "surfaces to wipe, pipe and fitting, times the wipes for one, with the spare"
    _put(ledger, request, "wipes", number, words, [named("surfaces", str(surfaces))], _WIPES, _SPARE)


def _blades(ledger: Ledger, request: Request, needs: Sequence[_Needs]) -> None:
    """The blades: each size of pipe has a peeler of its own, and each peeler its spares."""
    peels: Counter[str] = Counter()
    for need in needs:
        peels[need.pipe] += need.peels
    each, spare = rule_count(request, _PEELS), rule_count(request, _SPARE_BLADES)
    number = sum(kit.blades(count, each, spare) for count in peels.values())
    words = "for each pipe's peeler, its peels over the peels of a blade, with the spare blades"
    inputs = [named(f"peels of {pipe}", str(count)) for pipe, count in peels.items()]
    _put(ledger, request, "blades", number, words, inputs, _PEELS, _SPARE_BLADES)


def _fittings(ledger: Ledger, request: Request, needs: Sequence[_Needs]) -> None:
    """The fittings of each kind."""
    found = kit.fittings([need.fitting for need in needs], rule_count(request, _SPARE_FITTINGS))
    words = "one for each joint, with the spare ones of each kind"
    _put_counts(ledger, request, "fittings", found, words, [], _SPARE_FITTINGS)


def _saws(ledger: Ledger, request: Request, needs: Sequence[_Needs]) -> None:
    """The hole saws of each size; nothing where no joint is cut by one."""
    cuts = [need.saw for need in needs if need.saw is not None]
    if cuts:
        found = kit.hole_saws(cuts, rule_count(request, _CUTS))
        words = "cuts of each size over the cuts of a saw"
        _put_counts(ledger, request, "hole_saws", found, words, [named("cuts", str(len(cuts)))], _CUTS)


def _put(
    ledger: Ledger, request: Request, name: str, number: float, words: str,
    inputs: Sequence[Input], *rules: str,
) -> None:  # fmt: skip
    """Put in a number of the kit with the rules it is worked from."""
    cited = (request.catalog.cite_rule(rule) for rule in rules)
    shown = (rule_input(request, rule) for rule in rules)
    ledger.worked(f"kit.{name}", number, words, [*inputs, *shown], *cited)


def _put_counts(
    ledger: Ledger, request: Request, name: str, counts: dict[str, int], words: str,
    inputs: Sequence[Input], rule: str,
) -> None:  # fmt: skip
    """Put in so many of each kind, in words."""
    found = "; ".join(f"{number} × {kind}" for kind, number in counts.items())
    shown = [*inputs, rule_input(request, rule)]
    ledger.worked_words(f"kit.{name}", found, words, shown, request.catalog.cite_rule(rule))
