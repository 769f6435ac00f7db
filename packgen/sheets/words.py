"""The words of labels and titles, one file a language; a missing word is an error, never a gap.

In: `templates/words/en.yaml`. Out: `Words`, looked up by dotted key. Vocabulary: labels of register
values stand under `values`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import packgen
from packgen.errors import ContentError
from packgen.model.load import shown_path
from packgen.model.yaml_reader import Document, read_yaml

_FIELD = re.compile(r"\{(\w+)\}")  # filled in one pass: braces in what is filled in are only words


def templates_folder() -> Path:
    """The templates: inside the installed package, else beside it in a source checkout."""
    inside = Path(packgen.__file__).parent / "starter" / "templates"
    return inside if inside.is_dir() else Path(packgen.__file__).parent.parent / "templates"


_BY_NAME = ("values", "coupling_values")  # groups whose keys are register names, points and all


def slug(text: str) -> str:
    """Words as part of a path or a name: small letters, digits and points, all else a hyphen.

    >>> slug("1-1/4 in IPS DR 13.5")
    '1-1-4-in-ips-dr-13.5'
    """
    return re.sub(r"[^a-z0-9.]+", "-", text.lower()).strip("-.")


class Words:
    """Words by dotted key."""

    def __init__(self, values: Mapping[str, Any]) -> None:
        self._values = values

    def __call__(self, key: str, **fill: str) -> str:
        """The words of a key, `{name}` filled in. Raises `ContentError` where the key holds no words."""
        found: Any = self._values
        group, _, rest = key.partition(".")
        found = found.get(group)
        for step in [rest] if group in _BY_NAME else rest.split(".") if rest else []:
            found = found.get(step) if isinstance(found, Mapping) else None
        if not isinstance(found, str):
            raise ContentError(f"the words file holds no words for {key!r}")
        return _FIELD.sub(lambda field: fill.get(field[1], field[0]), found)

    def group(self, key: str) -> Mapping[str, str]:
        """All words of a group."""
        found = self._values.get(key)
        if not isinstance(found, Mapping):
            raise ContentError(f"the words file holds no group {key!r}")
        return found

    @property
    def all(self) -> Mapping[str, Any]:
        """Everything, for the code's hash."""
        return self._values


def words_document(language: str = "en") -> Document:
    """The words file of a language, with the place of each word."""
    path = templates_folder() / "words" / f"{language}.yaml"
    return read_yaml(path, shown_path(path))


def load_words(language: str = "en") -> Words:
    """The words of a language."""
    return Words(words_document(language).value)
