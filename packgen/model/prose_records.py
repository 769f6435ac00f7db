"""Frozen records of the words beside the prose: safety messages, the joint record's boxes, the glossary,
the plain words.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change.
Vocabulary: *signal* is a safety message's first word; a joint record's *step* names the step at which a box
is filled, *wanted* the words printed beside it, with
register names for values ("≥ spacing.saddle_to_saddle"), `rule:ID` for a work rule and `job:KEY` for a word
of the job ("below rule:lel-limit LEL").
"""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import AfterValidator

from packgen.errors import nearest
from packgen.model.fields import BoxLabel, Name, Words, refusal
from packgen.model.prose import ALWAYS, When
from packgen.model.records import Record
from packgen.register import REGISTER

_VALUE_NAME = re.compile(r"(?:rule|job):[a-z][a-z0-9_-]*|[a-z]+(?:\.[a-z0-9_]+)+", re.ASCII)


def value_names(words: str) -> tuple[str, ...]:
    """The names that stand in the words wanted beside a box: register names, `rule:ID` and `job:KEY`.

    >>> value_names("pipe.main.wall_min to pipe.main.wall_max"), value_names("≥ gap.feeler")
    (('pipe.main.wall_min', 'pipe.main.wall_max'), ('gap.feeler',))
    >>> value_names("below rule:lel-limit LEL")
    ('rule:lel-limit',)
    """
    return tuple(_VALUE_NAME.findall(words))


def value_name(words: str) -> str:
    """The name of a value of the register.

    >>> value_name("test.hold")
    'test.hold'
    """
    if words not in REGISTER or REGISTER[words].engineer:
        known = [name for name, entry in REGISTER.items() if not entry.engineer]
        what = f"the value {words!r} is not known"
        raise refusal(what, expected="a name of the register", near=nearest(words, known))
    return words


ValueName = Annotated[str, AfterValidator(value_name)]


class SafetyMessage(Record):
    """A safety message in four parts.

    `acts` lists the steps that do what `avoid` asks for: a list for each place where the message stands.
    """

    id: Name
    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
    hazard: Words
    consequence: Words
    avoid: Words
    acts: tuple[tuple[Name, ...], ...] = ()


class SafetyMessages(Record):
    """A file of safety messages."""

    kind: Literal["safety messages"]
    messages: tuple[SafetyMessage, ...]


class OwnerBlank(Record):
    """A number that the owner states: the box on the cover, and what a step prints for it.

    In the box stands the first of `wanted` whose values a joint has. Where a joint has the `value`, that is
    printed in place of the text, and no box is needed.
    """

    id: Name
    label: BoxLabel
    text: Words
    wanted: tuple[Words, ...] = ()
    value: ValueName | None = None


class OwnerBlanks(Record):
    """A file of owner's numbers."""

    kind: Literal["owner blanks"]
    blanks: tuple[OwnerBlank, ...]


class RecordField(Record):
    """One box of the joint record; of several `wanted` the first whose values a joint has is printed."""

    id: Name
    label: BoxLabel
    fill: Literal["words", "number", "time", "tick"]
    step: Name | None = None
    wanted: Words | tuple[Words, ...] | None = None

    @property
    def wordings(self) -> tuple[str, ...]:
        """What may be wanted, in the order of choice."""
        return (self.wanted,) if isinstance(self.wanted, str) else self.wanted or ()


class RecordGroup(Record):
    """A titled group of boxes, and the jobs it is for; `once` puts it in the first joint's record alone."""

    title: Words
    when: When = ALWAYS
    once: bool = False
    fields: tuple[RecordField, ...]


class JointRecord(Record):
    """The joint record's boxes."""

    kind: Literal["joint record"]
    groups: tuple[RecordGroup, ...]


class Term(Record):
    """One term of the glossary."""

    term: Words
    means: Words
    instead_of: tuple[Words, ...] = ()


class Glossary(Record):
    """The trade's words and what they mean."""

    kind: Literal["glossary"]
    terms: tuple[Term, ...]


class RefusedWords(Record):
    """Words that are not written, and what is instead; `but` holds phrases in which they are right."""

    words: tuple[Words, ...]
    instead: Words
    within: Literal["steps", "everywhere"] = "everywhere"
    but: tuple[Words, ...] = ()


class PlainWords(Record):
    """What the lint of the prose knows of the language.

    `acts` are verbs as an instruction begins with them, `things` those of them that name a thing as well;
    `states` are verbs of a statement, `openers` words that open a condition before the instruction.
    """

    kind: Literal["plain words"]
    id: Name
    acts: tuple[Words, ...] = ()
    things: tuple[Words, ...] = ()
    states: tuple[Words, ...] = ()
    openers: tuple[Words, ...] = ()
    injuries: tuple[Words, ...] = ()
    refused: tuple[RefusedWords, ...] = ()
