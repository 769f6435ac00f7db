"""Printed words as sentences: how many words they hold, what they ask for, whether they state something.

In: texts of the content. Out: `Text` records, and what stands in a sentence. Vocabulary: an *act* is a verb
as an instruction begins with it ("shut"), a *thing* an act that names or describes a thing as well ("vent"),
a *state* a verb of a statement ("reads"); a *clause* is what stands between marks, "and", "then" and "or".
Source: ASD-STE100 as quoted in public pages: an instruction at most 20 words, a description at most 25, one
instruction a sentence. How words are counted is this project's own choice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from packgen.errors import Place
from packgen.model.prose_records import PlainWords, RefusedWords

SLOT = "¤"  # stands in a text where a slot is filled later
Kind = Literal["step", "gate", "description", "prose", "label"]
_END = re.compile(r"(?<=[.?!])\s+(?=\S)")
_PART = re.compile(r"\s*(?:[;:,.?!](?=\s|$)|[()–]|\b(?:and|then|or)\b)\s*", re.IGNORECASE)
_QUOTED = re.compile(r"\"[^\"]*\"")  # what is written or said, and no instruction
_WORD = re.compile(rf"[^\W_]|{SLOT}")
# What may stand between "and" and a verb, or open a sentence before it, without being what is done.
_BEFORE_ACT = {"always", "first", "now", "again", "also", "only"}
_NEVER = {"never", "not", "don't"}
# Behind one of these words stands what something is done to: the verb before it is an act and no thing.
_OBJECT = {
    "the", "a", "an", "it", "them", "its", "each", "every", "all", "both", "any", "no", "nothing", "this",
    "that", "these", "those", "your", "one", "two", "everyone", "nobody", SLOT,
    "again", "away", "until",
}  # fmt: skip


@dataclass(frozen=True)
class Text:
    """Some printed words, with `SLOT` for each slot; `counts` says how many words each of them prints."""

    kind: Kind
    words: str
    place: Place
    slots: tuple[str, ...] = ()
    counts: tuple[int, ...] = ()

    @property
    def shown(self) -> str:
        """The words with their slots as they were written, short enough for a message."""
        slots = iter(self.slots)
        text = re.sub(SLOT, lambda _: next(slots, SLOT), self.words)
        return text if len(text) <= 140 else text[:137] + "…"

    @cached_property
    def sentences(self) -> tuple[Text, ...]:
        """The sentences of the text, each with its own slots."""
        parts, begun = [], 0
        for words in _END.split(self.words):
            ended = begun + words.count(SLOT)
            slots, counts = self.slots[begun:ended], self.counts[begun:ended]
            parts.append(replace(self, words=words, slots=slots, counts=counts))
            begun = ended
        return tuple(parts)

    @cached_property
    def length(self) -> int:
        """How many words are printed: those between blanks, and for each slot those that it prints."""
        counts = iter(self.counts)
        total = 0
        for word in self.words.split():
            inside = word.count(SLOT)
            total += sum(next(counts, 1) for _ in range(inside)) if inside else bool(_WORD.search(word))
        return total


@dataclass(frozen=True)
class Language:
    """The verbs and words that the plain-words files name, all of them together."""

    acts: frozenset[str]
    things: frozenset[str]
    states: frozenset[str]
    openers: frozenset[str]
    injuries: frozenset[str]
    refused: tuple[RefusedWords, ...]

    @classmethod
    def of(cls, files: Iterable[PlainWords]) -> Language:
        """The language of some files, one after the other."""
        files = tuple(files)

        def gathered(name: str) -> frozenset[str]:
            return frozenset(word.lower() for file in files for word in getattr(file, name))

        refused = tuple(entry for file in files for entry in file.refused)
        names = ("acts", "things", "states", "openers", "injuries")
        return cls(**{name: gathered(name) for name in names}, refused=refused)

    def acts_in(self, sentence: str) -> list[str]:
        """The instructions of a sentence, each as the words it begins with.

        Verbs that share an object ("lock and tag every tool") are one instruction, and so is a choice ("wait,
        or warm it"); "never" before a verb asks for nothing to be done, nor do words in quotation marks.
        """
        found: list[str] = []
        bare = False
        for clause in self._clauses(_QUOTED.sub(SLOT, sentence)):
            alone = len(clause.words) == 1 and clause.words[0].lower() in self.acts
            act = (alone and bare) or self._is_act(clause, opening=clause.opens and not found)
            if act and not bare and clause.joiner != "or":
                found.append(" ".join(clause.words[:4]))
            bare = act and alone
        return found

    def opens_with_act(self, sentence: str) -> bool:
        """Whether a sentence begins with what is done or never done, or with a condition and then that."""
        clauses = self._clauses(sentence)
        if not clauses:
            return False
        first = clauses[0]
        begins, after, *_ = (*map(str.lower, first.words), "")
        if begins in _NEVER:
            return after in self.acts
        return self._is_act(first, opening=True) or (begins in self.openers and bool(self.acts_in(sentence)))

    def states_something(self, sentence: str) -> bool:
        """Whether some words hold a verb of a statement."""
        return not self.states.isdisjoint(_words(sentence))

    def _is_act(self, clause: _Clause, *, opening: bool) -> bool:
        """Whether a clause begins with an act."""
        rest = [word.lower() for word in clause.words]
        while rest and (rest[0] in _BEFORE_ACT or (rest[0].endswith("ly") and rest[0] not in self.acts)):
            rest = rest[1:]
        if not rest or rest[0] in _NEVER or rest[0] not in self.acts:
            return False
        after = rest[1] if len(rest) > 1 else ""
        if after in self.states:
            return False
        if rest[0] not in self.things or after in _OBJECT or after.startswith(SLOT):
            return True
        return opening and not self.states_something(clause.onward)

    def _clauses(self, sentence: str) -> list[_Clause]:
        """The clauses of a sentence; of a mark and a word between two of them the word counts."""
        found: list[_Clause] = []
        begun, joiner, conditional = 0, "", False
        for part in [*_PART.finditer(sentence), None]:
            words = sentence[begun : part.start() if part else len(sentence)].split()
            if words:
                conditional = conditional or (not found and words[0].lower() in self.openers)
                opens = not found or conditional
                found.append(_Clause(joiner, tuple(words), sentence[begun:], opens))
                joiner = ""
            if part:
                mark = part[0].strip().lower()
                joiner = mark if mark.isalpha() or not joiner else joiner
                begun = part.end()
        return found


@dataclass(frozen=True)
class _Clause:
    """The words from one mark or joining word to the next.

    `joiner` stands before them, `onward` is the sentence from them on; one that `opens` stands first, or
    somewhere behind a condition.
    """

    joiner: str
    words: tuple[str, ...]
    onward: str
    opens: bool


def _words(sentence: str) -> list[str]:
    """The words of a sentence in small letters, without the marks round them."""
    return [word.strip(".,;:?!()\"'“”").lower() for word in sentence.split()]
