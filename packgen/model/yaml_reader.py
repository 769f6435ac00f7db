"""YAML text to plain values with a place for every key: strict where YAML is lenient.

In: one file. Out: a `Document`: nested dict, tuple, str, int, float, bool, None and date values, and a map
from key path to `Place`. Repeated keys, anchors and aliases, tags, exponents, NaN, sexagesimal and octal
numbers, hidden characters, files over 1 MB or not UTF-8 and anything nested deeper than 12 levels are
refused, each with line and column. Vocabulary: *key path* is a tuple of keys and indices; a path is *broken*
where its value could not be read.
Source: YAML 1.1 (yaml.org/spec/1.1).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import yaml
from yaml.resolver import Resolver

from packgen.errors import ContentError, Place, Problem, Problems, nearest
from packgen.model.yaml_scan import MOST, Spot, events, mark_before, spot

KeyPath = tuple[str | int, ...]
_BEGINS_VALUE = (yaml.ScalarEvent, yaml.CollectionStartEvent)
LARGEST = 1_000_000
_INT = re.compile(r"-?(0|[1-9]\d{0,14})", re.ASCII)
_FLOAT = re.compile(r"-?(0|[1-9]\d{0,14})\.\d{1,15}", re.ASCII)
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
# Control, zero-width and direction characters: nobody sees them, and they change what a line says.
HIDDEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]")


@dataclass(frozen=True)
class Document:
    """One file read: its values, line and column of each key path, the paths that could not be read."""

    file: str
    value: Any
    spots: dict[KeyPath, Spot] = field(default_factory=dict)
    broken: set[KeyPath] = field(default_factory=set)

    def place(self, path: KeyPath) -> Place:
        """The place of a key path, or of the nearest part above it that exists."""
        for length in range(len(path), -1, -1):
            found = self.spots.get(path[:length])
            if found is not None:
                return Place(self.file, *found, dotted(path))
        return Place(self.file, key=dotted(path))

    def is_broken(self, path: KeyPath) -> bool:
        """Whether a problem of this path, or of a part above it, is already told."""
        return any(path[:length] in self.broken for length in range(len(path) + 1))


def dotted(path: KeyPath) -> str:
    """A key path as people read it.

    >>> dotted(("pairs", 2, "fuse", "time"))
    'pairs[2].fuse.time'
    """
    text = ""
    for step in path:
        word = HIDDEN.sub("�", str(step)).replace("\n", " ")
        word = word if len(word) <= 60 else word[:57] + "…"
        text += f"[{word}]" if isinstance(step, int) else f".{word}" if text else word
    return text


def shown_value(value: Any) -> str:
    """A value as a message shows it: short, and in YAML's words.

    >>> shown_value(True), shown_value("4 in"), shown_value((1, 2)), shown_value(None)
    ('true', "'4 in'", 'a list', 'nothing')
    """
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, tuple | list):
        return "a list"
    if not isinstance(value, str):
        return str(value)
    return repr(value if len(value) <= 60 else value[:57] + "…")


def read_text(path: Path, shown: str) -> str:
    """A file's text with plain line ends; `shown` is the name for messages.

    Raises `ContentError` where the file is absent, no plain file, larger than 1 MB or not UTF-8.
    """
    try:
        if path.is_dir():
            raise ContentError([Problem(Place(shown), "is a folder", "a text file")])
        if path.exists() and not path.is_file():
            raise ContentError([Problem(Place(shown), "is not a plain file", "a text file")])
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)
            size = path.stat().st_size
    except (FileNotFoundError, NotADirectoryError):
        raise ContentError([Problem(Place(shown), "there is no such file", nearest=_sibling(path))]) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name holds a character no file name may hold"
        raise ContentError([Problem(Place(shown.replace("\0", "�")), f"cannot be read: {reason}")]) from None
    if len(content) > LARGEST:
        what = f"the file is {size / 1e6:.1f} MB"
        raise ContentError(
            [Problem(Place(shown), what, "at most 1 MB", cure="split it, or name the right file")]
        )
    return _decode(content, shown).replace("\r\n", "\n").replace("\r", "\n")


def _sibling(path: Path) -> str:
    """The file of the same folder whose name is most like the one asked for."""
    try:
        return nearest(path.name, [each.name for each in path.parent.iterdir()])
    except OSError:
        return ""


def _decode(content: bytes, shown: str) -> str:
    """The text of some bytes."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = content[: error.start]
        place = Place(shown, before.count(b"\n") + 1, error.start - (before.rfind(b"\n") + 1) + 1)
        if content[:2] in {b"\xff\xfe", b"\xfe\xff"}:
            raise ContentError(
                [Problem(place, "the file is UTF-16 text", cure="save the file as UTF-8")]
            ) from None
        what = f"byte {error.start + 1} of the file is not UTF-8 text"
        raise ContentError([Problem(place, what, cure="save the file as UTF-8")]) from None


def read_yaml(path: Path, shown: str | None = None, problems: Problems | None = None) -> Document:
    """Read one YAML file whose top is a mapping.

    Parameters: `path`; `shown`, the name to print in messages (the path itself if absent); `problems`, as in
    `parse_yaml`. Returns a `Document`. Raises `ContentError` with every problem of the file.
    """
    shown = shown or str(path)
    return parse_yaml(read_text(path, shown), shown, problems=problems)


def parse_yaml(text: str, shown: str, first_line: int = 1, problems: Problems | None = None) -> Document:
    """Parse YAML text.

    Parameters: `text`; `shown`, the name for messages; `first_line`, the line of the file the text begins on;
    `problems`, where values that cannot be read are told so that the rest of the file is looked at too
    (without it they are raised). Returns a `Document`. Raises `ContentError` where the text is not YAML or
    its top is no mapping.
    """
    told, document = Problems(), Document(shown, None)
    stream = events(text, shown, first_line)
    top = next(stream, None)
    value = _Reader(first_line, document, stream, told).value(top, ()) if top else None
    for _ in stream:  # what follows the top is no value, and may still be no YAML
        pass
    if not isinstance(top, yaml.MappingStartEvent):
        whole = "the file" if first_line == 1 else "the front matter"
        what = f"{whole} is empty" if top is None else f"{whole} holds {_kind(top)}"
        raise ContentError(
            [Problem(Place(shown, first_line), what, "keys with values, such as 'id: HL-0427'")]
        )
    if problems is None:
        told.raise_if_any()
    else:
        problems.extend(told)
    return Document(shown, value, document.spots, document.broken)


def _kind(top: yaml.Event) -> str:
    """What an event begins, in words."""
    return "a list" if isinstance(top, yaml.SequenceStartEvent) else "one bare value"


class _Reader:
    """Walks events into plain values, keeping spots and problems."""

    def __init__(
        self, first_line: int, document: Document, stream: Iterator[yaml.Event], problems: Problems
    ) -> None:
        self.first_line, self.document, self.stream, self.problems = first_line, document, stream, problems
        self.resolve: Callable[..., str] = Resolver().resolve

    def value(self, event: yaml.Event, path: KeyPath) -> Any:
        """The plain value that an event begins; None where it could not be read."""
        self.document.spots[path] = spot(event, self.first_line)
        if not isinstance(event, _BEGINS_VALUE):  # an alias; its anchor is told where it stands
            self.document.broken.add(path)
            return None
        refused = mark_before(event)
        if refused:
            self.refuse(path, refused[0], cure=refused[1])
        if isinstance(event, yaml.ScalarEvent):
            return None if refused else self.scalar(event, path)
        if isinstance(event, yaml.MappingStartEvent):
            return self.mapping(path)
        return tuple(self.value(item, (*path, index)) for index, item in enumerate(self.items()))

    def items(self) -> Iterator[yaml.Event]:
        """The first event of each part of a list or mapping, up to its end."""
        for event in self.stream:
            if isinstance(event, yaml.CollectionEndEvent):
                return
            yield event

    def refuse(
        self, path: KeyPath, what: str, expected: str = "", cure: str = "", place: Place | None = None
    ) -> None:
        """Tell a problem of a path, at its own place or at one given, unless very many are told."""
        self.document.broken.add(path)
        if len(self.problems) < MOST:
            place = place or self.document.place(path)
            self.problems.add(place, what, expected=expected, cure=cure)

    def mapping(self, path: KeyPath) -> dict[str, Any]:
        """The values of a mapping; a key given twice is a problem."""
        values: dict[str, Any] = {}
        lines: dict[str, int] = {}
        for event in self.items():
            line, column = spot(event, self.first_line)
            if not isinstance(event, yaml.ScalarEvent) or not event.value.strip():
                place = Place(self.document.file, line, column, dotted(path))
                self.refuse((*path, ""), "a key is not a word", cure="write 'key: value'", place=place)
                self.skip(event)
                self.skip(next(self.stream))
                continue
            key, refused = event.value, mark_before(event)
            if refused:
                place = Place(self.document.file, line, column, dotted(path))
                self.refuse(path, refused[0], cure=refused[1], place=place)
            if key in values:
                what = f"the key is given twice (first on line {lines[key]})"
                place = Place(self.document.file, line, column, dotted((*path, key)))
                self.refuse((*path, key, "again"), what, cure="keep one", place=place)
                self.skip(next(self.stream))
                continue
            lines[key] = line
            values[key] = self.value(next(self.stream), (*path, key))
        return values

    def skip(self, event: yaml.Event) -> None:
        """Pass over what an event begins."""
        if isinstance(event, yaml.CollectionStartEvent):
            for inner in self.items():
                self.skip(inner)

    def scalar(self, event: yaml.ScalarEvent, path: KeyPath) -> Any:
        """A scalar: words stay words; only plain numbers, dates and true/false become anything else."""
        written = event.value
        kind = self.resolve(yaml.ScalarNode, written, event.implicit).rsplit(":", 1)[-1]
        hidden = HIDDEN.search(written)
        if hidden:
            what = f"the words hold the hidden character U+{ord(hidden[0]):04X}"
            self.refuse(path, what, cure="type them again")
        elif kind == "str":
            return written
        elif kind == "int" and _INT.fullmatch(written):
            return int(written)
        elif kind == "float" and _FLOAT.fullmatch(written):
            return float(written)
        elif kind == "timestamp" and _DAY.fullmatch(written):
            return self.day(written, path)
        elif kind == "bool" and written in {"true", "false"}:
            return written == "true"
        elif kind != "null":
            self.refuse(path, *_unread(kind, written))
        return None

    def day(self, written: str, path: KeyPath) -> date | None:
        """A calendar day."""
        try:
            return date.fromisoformat(written)
        except ValueError:
            self.refuse(path, f"{written!r} is not a day of the calendar", "a date such as 2026-05-12")
            return None


def _unread(kind: str, written: str) -> tuple[str, str, str]:
    """What is wrong with a bare word that YAML would turn into something else; expectation; cure."""
    shown = shown_value(written)
    quotes = "put it in quotes where words are meant"
    if kind in {"int", "float"}:
        return (
            f"{shown} is not a plain number",
            "at most 15 digits with one point or none, and no zero in front",
            quotes,
        )
    if kind == "bool":
        return f"{shown} would be read as {_truth(written)}", "", f"{quotes}, else write true or false"
    if kind == "timestamp":
        return f"{shown} is not a plain date", "a date such as 2026-05-12", quotes
    return f"{shown} has a form packgen does not read", "", "put it in quotes"


def _truth(written: str) -> str:
    """What YAML makes of yes, no, on, off and their kin."""
    return "true" if written.lower() in {"yes", "on", "true", "y"} else "false"
