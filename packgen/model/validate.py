"""Plain values to records, with complaints for people.

In: a `Document` and the record class its `kind` names. Out: the record, or problems with file, line, key, value, what was
expected and the nearest right word. Vocabulary: pydantic's error types are translated here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from packgen.errors import Place, Problems, nearest
from packgen.model.yaml_reader import Document, KeyPath

R = TypeVar("R", bound=BaseModel)

_TYPES = {
    "string_type": "words (put a number in quotes where words are meant)",
    "int_type": "a whole number without a unit",
    "int_from_float": "a whole number without a unit",
    "float_type": "a number without a unit",
    "bool_type": "true or false",
    "date_type": "a date such as 2026-05-12",
    "date_from_datetime_parsing": "a date such as 2026-05-12",
    "tuple_type": "a list, each item on a line that begins with '- ', or [a, b]",
    "model_type": "keys with values",
    "model_attributes_type": "keys with values",
    "dict_type": "keys with values",
}
_PATTERNS = {
    "id": "letters, digits and hyphens, beginning with a letter or digit",
    "family": "the id of a fitting family",
}


def validate(document: Document, record: type[R], problems: Problems, path: KeyPath = ()) -> R | None:
    """Make a record of a document's values; each mistake becomes a problem and None is returned."""
    try:
        return record.model_validate(document.value)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            _explain(document, record, dict(detail), problems, path)
        return None


def _explain(
    document: Document, record: type[BaseModel], detail: Mapping[str, Any], problems: Problems, path: KeyPath
) -> None:
    """One pydantic error as one problem."""
    kind, context = detail["type"], detail.get("ctx", {})
    where = _key_path(document.value, (*path, *detail["loc"]))
    if context.get("key"):
        where = (*where, context["key"])
    place = document.place(where)
    shown = repr(detail["input"])
    shown = shown if len(shown) <= 60 else shown[:57] + "…"
    if kind == "missing":
        problems.add(_parent(document, where), f"the key {where[-1]!r} is missing", cure=f"add '{where[-1]}:' with its value")
    elif kind == "extra_forbidden":
        known = _fields(record, where[:-1])
        near = nearest(str(where[-1]), known)
        problems.add(place, f"the key {where[-1]!r} is not known here", expected="one of " + ", ".join(known), nearest=near)
    elif kind == "literal_error":
        expected = context.get("expected", "")
        near = nearest(str(detail["input"]), [word.strip("' ") for word in expected.replace(" or ", ",").split(",")])
        problems.add(place, f"{shown} is not a value packgen knows here", expected=expected, nearest=near)
    elif kind in {"quantity", "pipe", "clock", "isolation"}:
        what = detail["msg"] if kind in {"quantity", "pipe", "isolation"} else f"{shown} {detail['msg']}"
        expected = context.get("expected") or f"a {context.get('measures', 'value')} with its unit, in one string"
        problems.add(place, what, expected=expected, nearest=context.get("nearest", ""))
    else:
        problems.add(place, *_other(kind, shown, str(where[-1]) if where else "", context, detail["msg"]))


def _other(kind: str, shown: str, key: str, context: Mapping[str, Any], message: str) -> tuple[str]:
    """Type, range and pattern errors in words."""
    limits = {"greater_than": ("gt", "above"), "greater_than_equal": ("ge", "at least"), "less_than": ("lt", "below"),
              "less_than_equal": ("le", "at most")}  # fmt: skip
    if kind in _TYPES:
        return (f"{shown} is not what is wanted; expected {_TYPES[kind]}",)
    if kind in limits:
        name, words = limits[kind]
        return (f"{shown} is out of range; expected a number {words} {context[name]:g}",)
    if kind == "string_pattern_mismatch":
        return (f"{shown} has a letter that is not allowed; expected {_PATTERNS.get(key, _PATTERNS['id'])}",)
    if kind in {"string_too_long", "string_too_short", "too_short", "too_long"}:
        lengths = [f"at least {context['min_length']}" if "min_length" in context else f"at most {context['max_length']}"]
        things = "characters" if kind.startswith("string") else "items"
        return (f"{shown} is too {'short' if 'short' in kind else 'long'}; expected {lengths[0]} {things}",)
    return (f"{shown}: {message}",)


def _key_path(value: Any, loc: KeyPath) -> KeyPath:
    """The error's location less the union and validator names pydantic puts between keys."""
    path: list[str | int] = []
    for index, step in enumerate(loc):
        if isinstance(value, Mapping) and step in value:
            value = value[step]
            path.append(step)
        elif isinstance(value, tuple) and isinstance(step, int) and step < len(value):
            value = value[step]
            path.append(step)
        elif index == len(loc) - 1 and isinstance(value, Mapping):
            path.append(step)
    return tuple(path)


def _parent(document: Document, where: KeyPath) -> Place:
    """The place of the mapping a key is missing from."""
    return document.place(where[:-1])


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
