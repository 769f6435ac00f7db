"""The answers of the guided label entry as commented YAML that our own reader takes back unchanged.

In: rows of key, value and note, part by part. Out: the text of a family's file. Vocabulary: a *row* is one
answer; a row without a value becomes a comment, so that the file says what the label does not show.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from packgen.errors import ContentError
from packgen.model.yaml_reader import parse_yaml

_NOTE_AT = 44  # the column in which notes begin, where the value leaves room


@dataclass(frozen=True)
class Row:
    """One answer: its dotted key inside its part, its plain value (None where none), a note."""

    key: str
    value: Any
    note: str = ""


def family_text(
    head: str, family: Sequence[Row], every_pair: Sequence[Row], pairs: Iterable[Sequence[Row]]
) -> str:
    """The text of a family's file: comments, what the family is, what all pairs share, the pairs."""
    lines = [f"# {line}" for line in head.splitlines()]
    lines += _block((Row("kind", "fitting family"), *family), "")
    shared = _block(every_pair, "  ")
    if any(row.value is not None for row in every_pair):
        lines += ["", "every_pair:", *shared]
    elif shared:
        lines += ["", *shared]
    lines += ["", "pairs:"]
    for rows in pairs:
        first, *more = _block(rows, "    ")
        lines += [f"  - {first.strip()}", *more]
    return "\n".join(lines) + "\n"


def _block(rows: Sequence[Row], indent: str) -> list[str]:
    """Rows as lines, those of one group together below its name."""
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row.key.rpartition(".")[0], []).append(row)
    lines = []
    for group, inside in groups.items():
        stated = any(row.value is not None for row in inside)
        if group and stated:
            lines.append(f"{indent}{group}:")
        for row in inside:
            key = row.key.rpartition(".")[2] if stated else row.key
            lines.append(_line(key, row, indent + "  " * bool(group and stated)))
    return lines


def _line(key: str, row: Row, indent: str) -> str:
    """One row as a line."""
    if row.value is None:
        return f"{indent}# {key}: {row.note}".rstrip()
    line = f"{indent}{key}: {plain_yaml(row.value)}"
    return f"{line:<{_NOTE_AT}}  # {row.note}" if row.note else line


def plain_yaml(value: Any) -> str:
    """A plain value as YAML on one line.

    >>> plain_yaml(("water", "gas")), plain_yaml("four screws: {hand} tight")
    ('[water, gas]', '"four screws: {hand} tight"')
    """
    if isinstance(value, tuple):
        return "[" + ", ".join(plain_yaml(item) for item in value) + "]"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {plain_yaml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return value if _reads_back(value) else json.dumps(value, ensure_ascii=False)
    return str(value)


def _reads_back(text: str) -> bool:
    """Whether words mean themselves without quotes, in a list and alone; the reader itself is asked."""
    if not text.isprintable() or "#" in text:
        return False
    try:
        alone, listed = (parse_yaml(f"value: {words}", "").value for words in (text, f"[{text}]"))
        return bool(alone == {"value": text} and listed == {"value": (text,)})
    except ContentError:
        return False
