"""Which procedures stand with which joint of a job, and the number of every step, before anything is drawn.

In: the catalogue's procedures and the views of a job's joints, or one view. Out: views that know their
procedures and step numbers. Vocabulary: a *shared* procedure stands once in a job, with its first joint or
its last, filled by the joint that has most of its values; every other one stands with each joint. A number
means one step: numbers run on through the pack in reading order, and a joint's own sheets have their own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, count, takewhile
from typing import Literal

from packgen.model.prose import Procedure, SlotBlock, StepText, runs_of
from packgen.sheets.view import View

On = Literal["pack", "cards", "site"]
# Where the words table keeps what a slot is called.
_LABELS = {"value": "values", "job": "job_words"}


def applicable(view: View) -> tuple[Procedure, ...]:
    """The procedures that stand with a joint; without a job those whose every condition is met."""
    return _own(view) if view.standing is None else view.standing


def _own(view: View) -> tuple[Procedure, ...]:
    """The procedures, and of each the sections, whose every condition a combination meets."""
    facts = view.request.facts
    narrowed = (procedure.narrowed(facts) for procedure in view.catalog.procedures)
    return tuple(procedure for procedure in narrowed if procedure is not None)


def leading(procedures: Sequence[Procedure]) -> tuple[Procedure, ...]:
    """The procedures that come before all work in the trench: those of the pack alone that begin a joint's.

    A pack holds them at its front for every joint, for what is not brought along cannot be fetched later.
    """
    return tuple(takewhile(lambda each: "cards" not in each.head.on, procedures))


def step_numbers(view: View) -> Mapping[str, int]:
    """The number of each step that a joint's own or shared sheets hold, by its id."""
    if view.numbering is not None:
        return view.numbering
    numbers = count(1)
    return {step.id: next(numbers) for procedure in _own(view) for step in procedure.steps}


def standing_steps(view: View) -> dict[str, int]:
    """The numbers of the steps that stand on a sheet: all but those left out for want of a value."""
    numbers = step_numbers(view)
    here = {step.id for filled, step in _steps(view) if _stands(filled, step)}
    return {step_id: number for step_id, number in numbers.items() if step_id in here | view.elsewhere}


def left_out(view: View, on: On) -> Iterator[str]:
    """A sentence for each step of a joint's sheets that is left out, with what nobody stated."""
    numbers = step_numbers(view)
    for procedure in applicable(view):
        filled = view.filling(procedure.head.id)
        for step in procedure.steps if on in procedure.head.on else ():
            if not _stands(filled, step):
                slots = [run.slot for run in step.runs if run.slot and filled.slot(run.slot) is None]
                absent = ", ".join(view.words(f"{_LABELS[slot.form]}.{slot.names[0]}") for slot in slots)
                yield view.words("cover.left_out_step", number=str(numbers[step.id]), value=absent)


def _steps(view: View) -> Iterator[tuple[View, StepText]]:
    """The steps of the procedures that stand with a joint, with the view that fills them."""
    for procedure in applicable(view):
        yield from ((view.filling(procedure.head.id), step) for step in procedure.steps)


def _stands(view: View, step: StepText) -> bool:
    """Whether a step is printed: a gate always, another one where it has its values."""
    return bool(step.gate) or view.fill(step.runs) is not None


@dataclass(frozen=True)
class _Home:
    """Where a shared procedure stands, who fills it, and the sections that some joint calls for."""

    index: int
    filler: int
    procedure: Procedure


def numbered(views: Sequence[View]) -> list[View]:
    """The joints of a job, each with the procedures that stand with it and the numbers of its steps."""
    own = [_own(view) for view in views]
    homes = {procedure.head.id: home for procedure in _once(own) if (home := _home(procedure, views, own))}
    standing = [_standing(index, procedures, homes) for index, procedures in enumerate(own)]
    numbers, numbering = count(1), [dict[str, int]() for _ in views]
    shared: dict[str, int] = {}
    for index, procedure in _in_order(standing):
        into = shared if procedure.head.id in homes else numbering[index]
        into.update({step.id: next(numbers) for step in procedure.steps})
    handovers = dict(_handovers(views, standing, numbering))
    printed = {
        step.id
        for home in homes.values()
        for step in home.procedure.steps
        if _stands(views[home.filler], step)
    }
    return [
        _placed(view, views, homes, standing[at], own[at], {"shared": shared, "own": numbering[at]}, printed)
        for at, view in enumerate(replace(view, handovers=handovers) for view in views)
    ]


def _handovers(
    views: Sequence[View], standing: Sequence[Sequence[Procedure]], numbering: Sequence[Mapping[str, int]]
) -> Iterator[tuple[str, int]]:
    """Each joint's step that another names: a coupling's first in the trench, a branch's join."""
    for view, procedures, numbers in zip(views, standing, numbering, strict=True):
        work = [step.id for procedure in procedures[len(leading(procedures)) :] for step in procedure.steps]
        named = [numbers[step] for step in work if step in numbers and _takes_over(view, step)]
        if named and view.request.joint:
            yield view.request.joint.id, named[0]


def _takes_over(view: View, step: str) -> bool:
    """Whether a step of the work is one that another joint may name."""
    return view.request.is_coupling or step == "lateral-joined"


def _in_order(standing: Sequence[Sequence[Procedure]]) -> Iterator[tuple[int, Procedure]]:
    """Every procedure of a job as a pack holds them: what leads each joint, then the rest of each."""
    rest = [(at, each[len(leading(each)) :]) for at, each in enumerate(standing)]
    for at, procedures in chain(((at, leading(each)) for at, each in enumerate(standing)), rest):
        yield from ((at, procedure) for procedure in procedures)


def _placed(
    view: View, views: Sequence[View], homes: Mapping[str, _Home], standing: tuple[Procedure, ...],
    own: Sequence[Procedure], numbers: Mapping[str, Mapping[str, int]], printed: Collection[str],
) -> View:  # fmt: skip
    """One joint with what stands with it, its step numbers, and what of its steps stands elsewhere."""
    common = {step.id for procedure in own if procedure.head.id in homes for step in procedure.steps}
    here = {step.id for procedure in standing for step in procedure.steps}
    known = {step: number for step, number in numbers["shared"].items() if step in common | here}
    fillers = {name: views[home.filler] for name, home in homes.items() if views[home.filler] is not view}
    return replace(
        view,
        standing=standing,
        numbering={**known, **numbers["own"]},
        shared=frozenset(homes),
        elsewhere=frozenset((common & set(printed)) - here),
        fillers=fillers,
    )


def _once(own: Sequence[Sequence[Procedure]]) -> Iterator[Procedure]:
    """Each procedure that a job needs once, as the first joint that calls for it has it."""
    seen: set[str] = set()
    for procedures in own:
        for procedure in procedures:
            if procedure.head.once and procedure.head.id not in seen:
                seen.add(procedure.head.id)
                yield procedure


def _home(procedure: Procedure, views: Sequence[View], own: Sequence[Sequence[Procedure]]) -> _Home | None:
    """The joint that a shared procedure stands with; None where it says something else for another joint."""
    name = procedure.head.id
    callers = [at for at, procedures in enumerate(own) if any(each.head.id == name for each in procedures)]
    whole = next(each for each in views[0].catalog.procedures if each.head.id == name)
    facts = [views[at].request.facts for at in callers]
    blocks = tuple(
        block for when, part in whole.sections if any(when.met(each) for each in facts) for block in part
    )
    union = replace(whole, blocks=blocks)
    ids = [step.id for step in union.steps]
    said = {at: dict(_said(views[at], union)) for at in callers}
    every = {key for each in said.values() for key in each}
    apart = any(len({each[key] for each in said.values() if key in each}) > 1 for key in every)
    if apart or len(set(ids)) < len(ids):
        return None
    # It stands where the work has it; of those that fill it alike the nearest does.
    order = callers if procedure.head.once == "first" else callers[::-1]
    return _Home(order[0], max(order, key=lambda at: len(said[at])), union)


def _said(view: View, procedure: Procedure) -> Iterator[tuple[str, object]]:
    """What a procedure says for one joint: its steps by id, or all of it where it has none."""
    steps = procedure.steps
    for step in steps:
        filled = view.fill(step.runs)
        if filled is not None:
            yield step.id, filled
    if not steps:
        yield "", tuple(
            (view.request.family.id, view.tag) if isinstance(block, SlotBlock) else
            tuple(view.fill(runs) for runs in runs_of(block))
            for block in procedure.blocks
        )  # fmt: skip


def _standing(
    index: int, procedures: Sequence[Procedure], homes: Mapping[str, _Home]
) -> tuple[Procedure, ...]:
    """The procedures that stand with one joint, in order: its own, and the shared ones it is the home of."""
    kept: list[Procedure] = []
    for procedure in procedures:
        home = homes.get(procedure.head.id)
        if home is None:
            kept.append(procedure)
        elif home.index == index:
            kept.append(home.procedure)
    return tuple(kept)
