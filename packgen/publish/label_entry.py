"""The guided label entry: one question at a time, each answer judged at once, a family's file at the end.

In: a way to ask, a way to say, the catalogue in use. Out: `Entry`: the family's id and its commented YAML.
Vocabulary: an *empty* answer means that the label does not show it; `differs` moves a question from what all
sizes share to each size; `back` returns to the question before. An answer is judged by the records and
checks that read every family's file; what only two answers together have wrong is told at the end, before
anything is written.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from packgen.errors import Place, Problem
from packgen.model.catalog import Catalog
from packgen.model.records import PipeTable
from packgen.publish.label_judge import problems_about, problems_of
from packgen.publish.label_questions import Part, Question, QuestionList, read_answer
from packgen.publish.label_text import Row, family_text
from packgen.sheets.words import Words

Ask = Callable[[str], str]  # shows a prompt and gives the line typed; raises EOFError where there is none
Say = Callable[[str], None]
_LONGEST = 400
_LONGEST_ID = 50  # the label's source is named after it


@dataclass(frozen=True)
class Entry:
    """What was entered: the family as plain values, its file's text, what check will say of it.

    `tables` are the pipe tables that it was judged by.
    """

    family: Mapping[str, Any]
    text: str
    problems: tuple[Problem, ...]
    tables: Mapping[str, PipeTable]


def label_source(family_id: str) -> str:
    """The id of the source that an entered label is kept under."""
    return f"label-{family_id}"


def enter_label(
    questions: QuestionList, ask: Ask, say: Say, catalog: Catalog, taken: Collection[str]
) -> Entry:
    """Ask every question and make the family's file.

    Parameters: `questions`; `ask` and `say`; `catalog`, whose tables, materials and rules judge the answers;
    `taken`, ids that the family cannot have. Returns an `Entry`. Raises `EOFError` where the input ends.
    """
    interview = _Interview(questions, ask, say, catalog, taken)
    interview.run()
    plain = interview.plain()
    return Entry(plain, interview.text(), tuple(problems_of(plain, catalog)), catalog.tables)


class _Interview:
    """The answers so far, part by part, by the dotted keys of their questions."""

    def __init__(
        self, questions: QuestionList, ask: Ask, say: Say, catalog: Catalog, taken: Collection[str]
    ) -> None:
        self.questions, self.words = questions, Words(questions.words)
        self.ask, self.say, self.catalog = ask, say, catalog
        self.taken = {name.lower() for name in taken}  # some machines do not tell A from a in file names
        self.family: dict[str, Any] = {}
        self.every_pair: dict[str, Any] = {}
        self.pairs: list[dict[str, Any]] = []
        self.by_size: set[str] = set()

    def run(self) -> None:
        """All parts in their order; the list of pairs ends with an empty main size."""
        self.say(self.words("begin"))
        self.ask_part("family", self.family)
        self.ask_part("every_pair", self.every_pair)
        while not self.pairs or self.pairs[-1]:
            self.pairs.append({})
            self.ask_part("pair", self.pairs[-1])
        self.pairs.pop()

    def ask_part(self, part: Part, answers: dict[str, Any]) -> None:
        """Ask the questions of a part into its answers; an empty main size leaves a pair without any."""
        self.say("\n" + self.words(part, number=str(len(self.pairs))))
        asked: list[Question] = []
        while (question := self.next_question(part, asked)) is not None:
            typed = self.answer(question, answers)
            if typed == self.words("back"):
                if asked:
                    answers.pop(asked.pop().key, None)
                else:
                    self.say(f"  {self.words('nothing_before')}")
                continue
            if question.needed and not typed:
                return
            asked.append(question)
            self.keep(question, typed, answers)

    def keep(self, question: Question, typed: str, answers: dict[str, Any]) -> None:
        """Keep one answer, or that it is asked again for each size."""
        if question.part == "every_pair":
            self.by_size.discard(question.key)
            if typed == self.words("differs"):
                self.by_size.add(question.key)
                return
        if typed:
            answers[question.key] = read_answer(question.form, typed)

    def next_question(self, part: Part, asked: Sequence[Question]) -> Question | None:
        """The question after those asked, of those that apply."""
        waiting = self.questions_of(part)
        return waiting[len(asked)] if len(asked) < len(waiting) else None

    def questions_of(self, part: Part) -> list[Question]:
        """The questions of a part that apply; a pair's with those whose answer differs from size to size."""
        found = list(self.questions.of(part))
        if part == "pair":
            moved = [each for each in self.questions.of("every_pair") if each.key in self.by_size]
            found += [each.model_copy(update={"part": "pair"}) for each in moved]
        return [question for question in found if question.applies(self.family)]

    def answer(self, question: Question, answers: Mapping[str, Any]) -> str:
        """An answer that can stand, as typed; asked until there is one."""
        form = "ask_needed" if self.is_needed(question) else "ask"
        prompt = self.words(form, ask=question.ask, example=question.example)
        while True:
            typed = self.ask(prompt).strip()
            complaint = self.complaint(question, typed, answers)
            if not complaint:
                return typed
            self.say(f"  {complaint}")

    def is_needed(self, question: Question) -> bool:
        """Whether a question must be answered; an empty main size ends a list that holds a pair."""
        ends_list = question.part == "pair" and question.key == "main" and len(self.pairs) > 1
        return question.needed and not ends_list

    def complaint(self, question: Question, typed: str, answers: Mapping[str, Any]) -> str:
        """Why an answer cannot stand; empty where it can."""
        is_id = question.part == "family" and question.key == "id"
        if not typed:
            return self.words("missing") if self.is_needed(question) else ""
        if typed == self.words("back") or (typed == self.words("differs") and question.part == "every_pair"):
            return ""
        if len(typed) > (_LONGEST_ID if is_id else _LONGEST):
            return self.words("too_long", most=str(_LONGEST_ID if is_id else _LONGEST))
        if not typed.isprintable() or "\ufffd" in typed:
            return self.words("hidden")
        if is_id and typed.lower() in self.taken:
            return self.words("taken", id=typed)
        return self.judged(question, {**answers, question.key: read_answer(question.form, typed)})

    def judged(self, question: Question, answers: Mapping[str, Any]) -> str:
        """What the records and checks say of one answer, beside those given before."""
        parts = {"family": self.family, "every_pair": self.every_pair, "pair": {}} | {question.part: answers}
        pairs = [*self.pairs[:-1], parts["pair"]] if question.part == "pair" else []
        plain = _plain(parts["family"], parts["every_pair"], pairs)
        found = problems_about(question.path(len(pairs) - 1), plain, self.catalog)
        return str(replace(found[0], place=Place())) if found else ""

    def plain(self) -> dict[str, Any]:
        """The family's file as plain values."""
        return _plain(self.family, self.every_pair, self.pairs)

    def text(self) -> str:
        """The commented file."""
        head = self.words("head", title=self.family["title"], read=self.family["date"].isoformat())
        family = [row for row in self.rows("family", self.family) if row.value is not None]
        family += [Row("revision", 1), Row("source", label_source(self.family["id"]))]
        pairs = [self.rows("pair", pair) for pair in self.pairs]
        return family_text(head, family, self.rows("every_pair", self.every_pair), pairs)

    def rows(self, part: Part, answers: Mapping[str, Any]) -> list[Row]:
        """The answers of a part in the order of its questions; where there is none, a note that says so."""
        rows = []
        for question in self.questions_of(part):
            value = answers.get(question.key)
            moved = part == "every_pair" and question.key in self.by_size
            unstated = self.words("by_size" if moved else "not_shown")
            rows.append(Row(question.key, value, unstated if value is None else question.note))
        return rows


def _plain(
    family: Mapping[str, Any], every_pair: Mapping[str, Any], pairs: Sequence[Mapping[str, Any]]
) -> dict[str, Any]:
    """Answers by dotted key as the nested values of a family's file."""
    plain: dict[str, Any] = {"kind": "fitting family", "revision": 1, **_nested(family)}
    if "id" in plain:
        plain["source"] = label_source(plain["id"])
    if every_pair:
        plain["every_pair"] = _nested(every_pair)
    if pairs:
        plain["pairs"] = tuple(_nested(pair) for pair in pairs)
    return plain


def _nested(answers: Mapping[str, Any]) -> dict[str, Any]:
    """Dotted keys as nested ones.

    >>> _nested({"main": "6 in", "fuse.time": "85 s", "fuse.voltage": "40 V"})
    {'main': '6 in', 'fuse': {'time': '85 s', 'voltage': '40 V'}}
    """
    nested: dict[str, Any] = {}
    for key, value in answers.items():
        group, _, name = key.rpartition(".")
        (nested.setdefault(group, {}) if group else nested)[name] = value
    return nested
