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
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from packgen.errors import ContentError, Place, Problem, Problems, nearest
from packgen.model.yaml_scan import DEEPEST, MOST, Marks, compose

KeyPath = tuple[str | int, ...]
LARGEST = 1_000_000
_INT = re.compile(r"-?(0|[1-9]\d{0,14})", re.ASCII)
_FLOAT = re.compile(r"-?(0|[1-9]\d{0,14})\.\d{1,15}", re.ASCII)
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
# Control, zero-width and direction characters: nobody sees them, and they change what a line says.
HIDDEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]")


@dataclass(frozen=True)
class Document:
    """One file read: its values, the place of each key path, and the paths whose values could not be read."""

    file: str
    value: Any
    places: dict[KeyPath, Place] = field(default_factory=dict)
    broken: set[KeyPath] = field(default_factory=set)

    def place(self, path: KeyPath) -> Place:
        """The place of a key path, or of the nearest part above it that exists."""
        for length in range(len(path), -1, -1):
            found = self.places.get(path[:length])
            if found is not None:
                return Place(found.file, found.line, found.column, dotted(path))
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
    node, marks = compose(text, shown, first_line)
    told = Problems()
    if not isinstance(node, yaml.MappingNode):
        whole = "the file" if first_line == 1 else "the front matter"
        what = f"{whole} is empty" if node is None else f"{whole} holds {_kind(node)}"
        raise ContentError(
            [Problem(Place(shown, first_line), what, "keys with values, such as 'id: HL-0427'")]
        )
    document = Document(shown, None)
    value = _Reader(first_line - 1, document, marks, told).value(node, ())
    if problems is None:
        told.raise_if_any()
    else:
        problems.extend(told)
    return Document(shown, value, document.places, document.broken)


def _kind(node: yaml.Node) -> str:
    """What a node is, in words."""
    return "a list" if isinstance(node, yaml.SequenceNode) else "one bare value"


class _Reader:
    """Walks composed nodes into plain values, keeping places and problems."""

    def __init__(self, offset: int, document: Document, marks: Marks, problems: Problems) -> None:
        self.offset, self.document, self.marks, self.problems = offset, document, marks, problems
        self.seen: set[int] = set()

    def value(self, node: yaml.Node, path: KeyPath) -> Any:
        """The plain value of a node; None where it could not be read."""
        place = self.spot(node, path)
        self.document.places[path] = place
        if id(node) in self.seen or len(path) > DEEPEST:  # an alias; its anchor is told where it stands
            self.document.broken.add(path)
            return None
        self.seen.add(id(node))
        refused = self.marks.get((node.start_mark.line, node.start_mark.column))
        if refused:
            self.refuse(path, place, refused[0], cure=refused[1])
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return tuple(self.value(item, (*path, index)) for index, item in enumerate(node.value))
        assert isinstance(node, yaml.ScalarNode)  # a node is one of the three
        return None if refused else self.scalar(node, path, place)

    def spot(self, node: yaml.Node, path: KeyPath) -> Place:
        """The place on which a node begins."""
        mark = node.start_mark
        return Place(self.document.file, mark.line + 1 + self.offset, mark.column + 1, dotted(path))

    def refuse(self, path: KeyPath, place: Place, what: str, expected: str = "", cure: str = "") -> None:
        """Tell a problem of a path, unless very many are told already."""
        self.document.broken.add(path)
        if len(self.problems) < MOST:
            self.problems.add(place, what, expected=expected, cure=cure)

    def mapping(self, node: yaml.MappingNode, path: KeyPath) -> dict[str, Any]:
        """The values of a mapping; a key given twice is a problem."""
        values: dict[str, Any] = {}
        lines: dict[str, int] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode) or not key_node.value.strip():
                self.refuse(
                    (*path, ""), self.spot(key_node, path), "a key is not a word", cure="write 'key: value'"
                )
                continue
            key, place = key_node.value, self.spot(key_node, (*path, key_node.value))
            if key in values:
                what = f"the key is given twice (first on line {lines[key]})"
                self.refuse((*path, key, "again"), place, what, cure="keep one")
                continue
            lines[key] = place.line
            values[key] = self.value(value_node, (*path, key))
        return values

    def scalar(self, node: yaml.ScalarNode, path: KeyPath, place: Place) -> Any:
        """A scalar: words stay words; only plain numbers, dates and true/false become anything else."""
        kind, written = node.tag.rsplit(":", 1)[-1], node.value
        hidden = HIDDEN.search(written)
        if hidden:
            what = f"the words hold the hidden character U+{ord(hidden[0]):04X}"
            self.refuse(path, place, what, cure="type them again")
        elif kind == "str":
            return written
        elif kind == "int" and _INT.fullmatch(written):
            return int(written)
        elif kind == "float" and _FLOAT.fullmatch(written):
            return float(written)
        elif kind == "timestamp" and _DAY.fullmatch(written):
            return self.day(written, path, place)
        elif kind == "bool" and written in {"true", "false"}:
            return written == "true"
        elif kind != "null":
            self.refuse(path, place, *_unread(kind, written))
        return None

    def day(self, written: str, path: KeyPath, place: Place) -> date | None:
        """A calendar day."""
        try:
            return date.fromisoformat(written)
        except ValueError:
            self.refuse(path, place, f"{written!r} is not a day of the calendar", "a date such as 2026-05-12")
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
