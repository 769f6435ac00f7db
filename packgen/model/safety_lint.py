"""The lint of safety messages: the signal word fits, each stands at its step, each act in it is a step.

In: a `Catalog` and its `Language`. Out: problems. Vocabulary: a message *guards* the step directly behind it;
its *acts* are what `avoid` asks to be done, each of which is a numbered step of the same sheet as well. A
*kind of job* is its facts, as in `section_check`; how a pipe was laid and how old it is are no part of them.
Source: ANSI Z535, from memory: DANGER says what will happen, WARNING and CAUTION what could, NOTICE tells of
no injury. That a message stands at its step, and that its acts are steps, is this project's own rule.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from packgen.errors import Place, Problem, Problems
from packgen.model.catalog import Catalog
from packgen.model.prose import Procedure, SlotBlock, StepText, When
from packgen.model.prose_records import SafetyMessage
from packgen.model.section_check import kinds_of_job
from packgen.model.sentences import Language

_VERB = {"DANGER": "will", "WARNING": "could", "CAUTION": "could"}


def lint_safety(catalog: Catalog, language: Language, problems: Problems) -> None:
    """Tell every safety message that misleads, stands at no step, or asks for what is no step."""
    for message in catalog.safety.values():
        problems.extend(_signal(message, catalog, language))
    for procedure in catalog.procedures:
        for when, blocks in procedure.sections:
            for block, after in zip(blocks, (*blocks[1:], None), strict=True):
                if not isinstance(block, SlotBlock) or block.slot.form != "safety":
                    continue
                message = catalog.safety[block.slot.names[0]]
                if isinstance(after, StepText):
                    problems.extend(_acts(message, block.slot.place, after, procedure, when, language))
                else:
                    what = f"no step stands directly behind the safety message {message.id!r}"
                    cure = "move it to just before that step"
                    problems.add(block.slot.place, what, expected="the step it guards", cure=cure)


def _signal(message: SafetyMessage, catalog: Catalog, language: Language) -> Iterator[Problem]:
    """The consequence is told as the signal word has it, and a notice tells of no injury."""
    place, said = catalog.spot("safety", message.id, "consequence"), message.consequence
    wanted = _VERB.get(message.signal)
    if wanted is not None and not re.search(rf"\b{wanted}\b", said):
        what = f"{message.signal} does not say what {wanted} happen: {said!r}"
        cure = "word it so, or choose the signal word that fits"
        yield Problem(place, what, f"the word {wanted!r}", cure=cure)
    for told in (message.hazard, said) if wanted is None else ():
        hurt = language.injuries.intersection(re.findall(r"\w+", told.lower()))
        if hurt:
            what = f"NOTICE tells of an injury, {min(hurt)!r}: {told!r}"
            yield Problem(place, what, "harm to things alone", cure="choose CAUTION, WARNING or DANGER")


def _acts(
    message: SafetyMessage,
    place: Place,
    guarded: StepText,
    procedure: Procedure,
    when: When,
    language: Language,
) -> Iterator[Problem]:
    """The list of acts that holds the guarded step stands on this sheet, as long as the message asks."""
    cure = f"write under 'acts' of {message.id!r} a list with {guarded.id} and the other steps that do it"
    acts = next((acts for acts in message.acts if guarded.id in acts), None)
    if acts is None:
        what = f"no list of acts of {message.id!r} holds the step behind it, {guarded.id!r}"
        yield Problem(place, what, f"each act as a step: {message.avoid}", cure=cure)
        return
    for step_id in acts:
        if not _stands_whenever(step_id, procedure, when):
            what = f"{message.id!r} asks for {step_id!r}, which is no step of this sheet in every such job"
            yield Problem(place, what, f"each act as a step: {message.avoid}", cure=cure)
    asked = [act for part in re.split(r"(?<=[.;])\s+", message.avoid) for act in language.acts_in(part)]
    if len(set(acts)) < len(asked):
        names = len(set(acts))
        what = f"{message.id!r} asks for {len(asked)} acts and names {names} steps: {message.avoid!r}"
        yield Problem(place, what, "a step for each act", cure=cure)


def _stands_whenever(step_id: str, procedure: Procedure, when: When) -> bool:
    """Whether a step of a sheet stands in every job in which a condition holds."""
    conditions = [holds for holds, step in procedure.conditioned_steps() if step.id == step_id]
    if any(_implies(when, holds) for holds in conditions):
        return True
    kinds = (facts for facts in kinds_of_job() if when.met(facts))
    return bool(conditions) and all(any(holds.met(facts) for holds in conditions) for facts in kinds)


def _implies(when: When, holds: When) -> bool:
    """Whether a condition holds wherever another does, key by key."""
    return all(
        allowed is None or (wanted is not None and set(wanted) <= set(allowed))
        for (_, wanted), (_, allowed) in zip(when, holds, strict=True)
    )
