"""Plain values to records, with complaints for people.

In: a `Document` and the record class its `kind` names. Out: the record, or problems with file, line, key,
value, what was expected and the nearest right word. Vocabulary: pydantic's error types are translated here
and nowhere else.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from packgen.errors import Problem, Problems, nearest
from packgen.model.yaml_reader import Document, KeyPath, shown_value
from packgen.model.yaml_scan import MOST

R = TypeVar("R", bound=BaseModel)

_DAY = "a date such as 2026-05-12"
_WHOLE = "a whole number without a unit"
_GROUP = "keys with values"
_TYPES = {
    "string_type": "words (put a number or a date in quotes where words are meant)",
    "int_type": _WHOLE,
    "int_from_float": _WHOLE,
    "float_type": "a number without a unit",
    "bool_type": "true or false",
    "date_type": _DAY,
    "tuple_type": "a list: each item on a line that begins with '- ', or [a, b]",
    "model_type": _GROUP,
    "model_attributes_type": _GROUP,
    "dict_type": _GROUP,
}
_LIMITS = {
    "greater_than": ("gt", "above"),
    "greater_than_equal": ("ge", "of at least"),
    "less_than": ("lt", "below"),
    "less_than_equal": ("le", "of at most"),
}


def validate(document: Document, record: type[R], problems: Problems, context: Any = None) -> R | None:
    """Make a record of a document's values; each mistake becomes a problem and None is returned.

    `context` is what the record's validators need to know beside the values.
    """
    try:
        return record.model_validate(document.value, context=context)
    except ValidationError as error:
        details = [dict(detail) for detail in error.errors(include_url=False)[: 10 * MOST]]
        for detail in _without_echoes(document, details)[:MOST]:
            problems.extend([_problem(document, record, detail)])
        return None


def _without_echoes(document: Document, details: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The errors less those that only repeat another: a value already told, a missing key misspelled."""
    for detail in details:
        detail["where"] = _key_path(document.value, detail["loc"])
        if detail.get("ctx", {}).get("key"):
            detail["where"] = (*detail["where"], detail["ctx"]["key"])
    unknown = [detail["where"] for detail in details if detail["type"] == "extra_forbidden"]
    above = {detail["where"][:length] for detail in details for length in range(len(detail["where"]))}

    def is_echo(detail: dict[str, Any]) -> bool:
        where: KeyPath = detail["where"]
        if document.is_broken(where):
            return True
        if detail["type"] == "too_short" and where in above:  # pydantic does not count items with mistakes
            return True
        siblings = [str(path[-1]) for path in unknown if path[:-1] == where[:-1]]
        return detail["type"] == "missing" and bool(nearest(str(where[-1]), siblings))

    return [detail for detail in details if not is_echo(detail)]


def _problem(document: Document, record: type[BaseModel], detail: Mapping[str, Any]) -> Problem:
    """One pydantic error as one problem."""
    kind, context, where = detail["type"], detail.get("ctx", {}), detail["where"]
    key = str(where[-1]) if where else ""
    place = document.place(where)
    if kind == "missing":
        return Problem(
            document.place(where[:-1]), f"the key {key!r} is missing", cure=f"add '{key}:' with its value"
        )
    if kind == "extra_forbidden":
        known = _fields(record, where[:-1])
        what = f"the key {shown_value(key)} is not known here"
        return Problem(place, what, "one of " + ", ".join(known), nearest(key, known))
    if detail["input"] is None:
        expected = context["expected"] if kind == "plain words" else _expected(kind, context, detail["msg"])
        return Problem(place, "the key has no value", expected)
    if kind == "plain words":
        return Problem(place, context["what"], context["expected"], context["nearest"])
    shown = shown_value(detail["input"])
    if kind == "literal_error":
        expected = str(context["expected"])
        near = nearest(str(detail["input"]), re.findall(r"'([^']+)'", expected))
        return Problem(place, f"{shown} is not a value packgen knows here", expected, near)
    near = _clean_id(str(detail["input"])) if kind == "string_pattern_mismatch" else ""
    return Problem(place, f"{shown} {_fault(kind)}", _expected(kind, context, detail["msg"]), near)


def _fault(kind: str) -> str:
    """What is wrong with a value, to be said behind it."""
    if kind in _LIMITS:
        return "is out of range"
    if kind == "string_pattern_mismatch":
        return "cannot be an id"
    if "short" in kind or "long" in kind:
        return f"is too {'short' if 'short' in kind else 'long'}"
    return "is not what is wanted here"


def _expected(kind: str, context: Mapping[str, Any], message: str) -> str:
    """What was expected, in words."""
    if kind in _TYPES:
        return _TYPES[kind]
    if kind in _LIMITS:
        name, words = _LIMITS[kind]
        return f"a number {words} {context[name]:g}"
    if kind == "literal_error":
        return str(context["expected"])
    if kind == "string_pattern_mismatch":
        dotted = "_" in context["pattern"]
        signs = "letters, digits, dots, hyphens and low lines" if dotted else "letters, digits and hyphens"
        return f"at most {64 if dotted else 31} {signs}, a letter or digit first"
    if "short" in kind or "long" in kind:
        number = context.get("min_length", context.get("max_length"))
        things = "character" if kind.startswith("string") else "item"
        bound = "at least" if "min_length" in context else "at most"
        return f"{bound} {number} {things}{'' if number == 1 else 's'}"
    return message


def _clean_id(written: str) -> str:
    """The id nearest to what was written."""
    return re.sub(r"[^A-Za-z0-9]+", "-", written[:200]).strip("-")[:31].strip("-")


def _key_path(value: Any, loc: KeyPath) -> KeyPath:
    """The error's location less the union and validator names pydantic puts between keys."""
    path: list[str | int] = []
    for index, step in enumerate(loc):
        inside = isinstance(value, Mapping) and step in value
        if inside or (isinstance(value, tuple) and isinstance(step, int) and step < len(value)):
            value = value[step]
            path.append(step)
        elif index == len(loc) - 1 and isinstance(value, Mapping):
            path.append(step)
    return tuple(path)


def _fields(record: type[BaseModel], path: KeyPath) -> list[str]:
    """The keys a record knows at a path below it."""
    for step in path:
        if isinstance(step, int):
            continue
        field = record.model_fields.get(step)
        inner = _record_in(field.annotation) if field else None
        if inner is None:
            return []
        record = inner
    return list(record.model_fields)


def _record_in(annotation: Any) -> type[BaseModel] | None:
    """The record class inside an annotation such as `tuple[Pair, ...]`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        inner = _record_in(part)
        if inner is not None:
            return inner
    return None
