"""The questions of the guided label entry, as data, and how a typed answer becomes a plain value.

In: `templates/own/questions.yaml`. Out: `QuestionList`; plain values as a YAML file would hold them.
Vocabulary: a *part* of a family's file is the family itself, what every pair shares, or one pair; a *key* is
the dotted key inside that part; a *form* says how an answer is split into plain values.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Literal

from pydantic import Field

from packgen.errors import Problems
from packgen.model.records import Record
from packgen.model.validate import validate
from packgen.model.yaml_reader import read_yaml
from packgen.sheets.words import templates_folder

Part = Literal["family", "every_pair", "pair"]
Form = Literal["words", "number", "list", "numbers", "times", "date"]
_NUMBER = re.compile(r"-?(0|[1-9]\d{0,8})(\.\d{1,9})?", re.ASCII)
_COMMA = re.compile(r"\s*,\s*")


class Question(Record):
    """One question: where its answer stands, how it is asked, how it is read."""

    part: Part
    key: str
    ask: str
    example: str
    form: Form = "words"
    needed: bool = False
    only: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    note: str = ""

    def applies(self, family: Mapping[str, Any]) -> bool:
        """Whether it is asked, after what was answered about the family."""
        return all(family.get(key) in answers for key, answers in self.only.items())

    def path(self, pair: int) -> str:
        """The dotted key in the whole file; `pair` is the pair in view."""
        starts = {"family": "", "every_pair": "every_pair.", "pair": f"pairs[{pair}]."}
        return starts[self.part] + self.key


class QuestionList(Record):
    """The file of questions, and the words said around them."""

    kind: Literal["questions"]
    words: dict[str, str]
    questions: tuple[Question, ...]

    def of(self, part: Part) -> tuple[Question, ...]:
        """The questions of one part, in their order."""
        return tuple(question for question in self.questions if question.part == part)


def load_questions() -> QuestionList:
    """The packaged questions. Raises `ContentError` where the file is not whole."""
    path, problems = templates_folder() / "own" / "questions.yaml", Problems()
    found = validate(read_yaml(path), QuestionList, problems)
    problems.raise_if_any()
    assert found is not None  # a file without problems is a record
    return found


def read_answer(form: Form, text: str) -> Any:
    """The plain value of an answer; what does not fit its form stays as typed, and the records refuse it.

    >>> read_answer("list", "water, gas"), read_answer("numbers", "9, 13.5"), read_answer("number", "many")
    (('water', 'gas'), (9, 13.5), 'many')
    >>> read_answer("times", "0 degC = 95 s, 20 degC = 85 s")[0]
    {'up_to': '0 degC', 'time': '95 s'}
    """
    return _FORMS[form](text)


def _number(text: str) -> int | float | str:
    """A bare number."""
    found = _NUMBER.fullmatch(text)
    if found is None:
        return text
    return float(text) if found[2] else int(text)


def _day(text: str) -> date | str:
    """A day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _time_row(text: str) -> dict[str, str]:
    """One row of a table of fusion times."""
    up_to, _, time = text.partition("=")
    return {"up_to": up_to.strip(), "time": time.strip()}


def _items(text: str) -> list[str]:
    """What stands between commas."""
    return _COMMA.split(text)


_FORMS: dict[Form, Callable[[str], Any]] = {
    "words": str,
    "number": _number,
    "list": lambda text: tuple(_items(text)),
    "numbers": lambda text: tuple(_number(item) for item in _items(text)),
    "times": lambda text: tuple(_time_row(item) for item in _items(text)),
    "date": _day,
}
