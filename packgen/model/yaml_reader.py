"""YAML text to plain values with a place for every key: strict where YAML is lenient.

In: one file. Out: a `Document`: nested dict, tuple, str, int, float, bool, None and date values, and a map from key path to
`Place`. Repeated keys, anchors and aliases, tags, exponents, NaN, sexagesimal and octal numbers, files over 1 MB or not UTF-8 and
anything nested deeper than 12 levels are refused, each with line and column. Vocabulary: *key path* is a tuple of keys and indices.
Source: YAML 1.1 as PyYAML composes it (yaml.org/spec/1.1).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from packgen.errors import ContentError, Place, Problem, Problems

KeyPath = tuple[str | int, ...]
LARGEST = 1_000_000
_DEEPEST = 12
_INT = re.compile(r"-?(0|[1-9]\d*)", re.ASCII)
_FLOAT = re.compile(r"-?(0|[1-9]\d*)\.\d+", re.ASCII)
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Document:
    """One file read: its values and the place of each key path."""

    file: str
    value: Any
    places: dict[KeyPath, Place] = field(default_factory=dict)

    def place(self, path: KeyPath) -> Place:
        """The place of a key path, or of the nearest part above it that exists."""
        for length in range(len(path), -1, -1):
            found = self.places.get(path[:length])
            if found is not None:
                return Place(found.file, found.line, found.column, dotted(path))
        return Place(self.file, key=dotted(path))


def dotted(path: KeyPath) -> str:
    """A key path as people read it.

    >>> dotted(("pairs", 2, "fuse", "time"))
    'pairs[2].fuse.time'
    """
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text


def read_text(path: Path, shown: str) -> str:
    """A file's text; `shown` is the name for messages. Raises `ContentError` where it is absent, too large or not UTF-8."""
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise ContentError([Problem(Place(shown), "is not a file", "a text file")])
        if size > LARGEST:
            what = f"the file is {size / 1e6:.1f} MB"
            raise ContentError([Problem(Place(shown), what, "at most 1 MB", cure="split it, or name the right file")])
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        what = f"byte {error.start + 1} is not UTF-8 text"
        raise ContentError([Problem(Place(shown), what, cure="save the file as UTF-8")]) from None
    except OSError as error:
        raise ContentError([Problem(Place(shown), f"cannot be read: {error.strerror}")]) from None


def read_yaml(path: Path, shown: str | None = None) -> Document:
    """Read one YAML file whose top is a mapping.

    Parameters: `path`; `shown`, the name to print in messages (the path itself if absent).
    Returns a `Document`. Raises `ContentError` with every problem of the file.
    """
    shown = shown or str(path)
    return parse_yaml(read_text(path, shown), shown)


def parse_yaml(text: str, shown: str, first_line: int = 1) -> Document:
    """Parse YAML text; `first_line` is the line of the file the text begins on."""
    node = _compose(text, shown, first_line)
    problems = Problems()
    document = Document(shown, None)
    if not isinstance(node, yaml.MappingNode):
        found = "the file is empty" if node is None else "the file holds " + _kind(node)
        place = Place(shown, first_line)
        raise ContentError([Problem(place, found, "keys with values, such as 'id: HL-0427'")])
    reader = _Reader(shown, first_line - 1, document.places, problems)
    value = reader.value(node, ())
    problems.raise_if_any()
    return Document(shown, value, document.places)


def _compose(text: str, shown: str, first_line: int) -> yaml.Node | None:
    """The node tree, or a sentence about what broke."""
    depth = max_depth = 0
    for sign in text:  # A flow of thousands of open brackets would exhaust the parser's own stack.
        if sign in "[{":
            depth += 1
            max_depth = max(max_depth, depth)
        elif sign in "]}":
            depth -= 1
    if max_depth > 50:
        raise ContentError([Problem(Place(shown), f"brackets open {max_depth} deep", f"at most {_DEEPEST} levels")])
    loader = _LOADER(text)
    try:
        return loader.get_single_node()  # type: ignore[no-any-return]
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(shown, mark.line + first_line, mark.column + 1) if mark else Place(shown)
        what = f"this is not YAML: {error.problem or error.context}"
        cure = "mend the line; look at the line above too, and at quotes, colons and indents"
        raise ContentError([Problem(place, what, cure=cure)]) from None
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        raise ContentError([Problem(Place(shown), f"this is not YAML: {str(error).splitlines()[0]}")]) from None
    finally:
        loader.dispose()


def _kind(node: yaml.Node) -> str:
    """What a node is, in words."""
    return "a list" if isinstance(node, yaml.SequenceNode) else "one bare value"


class _Reader:
    """Walks composed nodes into plain values, keeping places and problems."""

    def __init__(self, file: str, offset: int, places: dict[KeyPath, Place], problems: Problems) -> None:
        self.file, self.offset, self.places, self.problems = file, offset, places, problems
        self.seen: set[int] = set()
        self.refused_alias = False

    def value(self, node: yaml.Node, path: KeyPath) -> Any:
        """The plain value of a node."""
        place = Place(self.file, node.start_mark.line + 1 + self.offset, node.start_mark.column + 1, dotted(path))
        self.places[path] = place
        if id(node) in self.seen:
            if not self.refused_alias:
                self.problems.add(place, "an anchor (&) is used again by an alias (*)", cure="write the value out")
            self.refused_alias = True
            return None
        self.seen.add(id(node))
        if len(path) > _DEEPEST:
            self.problems.add(place, "keys are nested too deep", expected=f"at most {_DEEPEST} levels")
            return None
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return tuple(self.value(item, (*path, index)) for index, item in enumerate(node.value))
        return self.scalar(node, place)

    def mapping(self, node: yaml.MappingNode, path: KeyPath) -> dict[str, Any]:
        """The values of a mapping; a key given twice is a problem."""
        values: dict[str, Any] = {}
        lines: dict[str, int] = {}
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + 1 + self.offset
            if not isinstance(key_node, yaml.ScalarNode):
                self.problems.add(Place(self.file, line, 1, dotted(path)), "a key is not a word")
                continue
            key = key_node.value
            if key in values:
                place = Place(self.file, line, key_node.start_mark.column + 1, dotted((*path, key)))
                self.problems.add(place, f"the key is given twice (first on line {lines[key]})", cure="keep one")
                continue
            lines[key] = line
            values[key] = self.value(value_node, (*path, key))
        return values

    def scalar(self, node: yaml.ScalarNode, place: Place) -> Any:
        """A scalar: words stay words; only plain numbers, dates and true/false become anything else."""
        kind, written = node.tag.rsplit(":", 1)[-1], node.value
        if kind == "int" and _INT.fullmatch(written):
            return int(written)
        if kind == "float" and _FLOAT.fullmatch(written):
            return float(written)
        if kind == "timestamp" and re.fullmatch(r"\d{4}-\d\d-\d\d", written):
            return self.day(written, place)
        if kind == "bool" and written in {"true", "false"}:
            return written == "true"
        if kind in {"null", "str"}:
            return written if kind == "str" else None
        if kind in {"int", "float"}:
            self.problems.add(place, f"{written!r} is not a plain number", expected="digits with at most one point")
        elif kind == "bool":
            self.problems.add(place, f"{written!r} would be read as true or false", cure="put it in quotes, or write true or false")
        else:
            self.problems.add(place, f"{written!r} has a form packgen does not read", cure="put it in quotes")
        return None

    def day(self, written: str, place: Place) -> date | None:
        """A calendar day."""
        try:
            return date.fromisoformat(written)
        except ValueError:
            self.problems.add(place, f"{written!r} is not a day of the calendar", expected="a date such as 2026-05-12")
            return None
