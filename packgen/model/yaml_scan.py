"""YAML text to events: what breaks, and what YAML would let in, is said in plain words.

In: the text of one file. Out: its events one by one, or a `ContentError`. Depth is counted as the events
come, because a text of a few thousand open brackets or indents would otherwise exhaust the machine's stack.
Vocabulary: *depth* counts mappings and lists one inside the other; an *event* begins or ends one, or is a
single value.
Source: YAML 1.1 as libyaml parses it (yaml.org/spec/1.1).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import yaml

from packgen.errors import ContentError, Place, Problem, Problems

DEEPEST = 12
MOST = 50  # problems said of one file in one run; who mends these sees the rest in the next
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_FORBIDDEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]")
Spot = tuple[int, int]
_OF_VALUES = (yaml.NodeEvent, yaml.CollectionEndEvent)

# What libyaml says, what a person needs to hear, the cure, and whether the place is where the trouble began.
_BROKEN = (
    (
        "mapping values are not allowed",
        "a colon stands where none may",
        "put words that hold a colon in quotes; write one key a line",
        False,
    ),
    (
        "did not find expected ',' or",
        "a bracket is opened and not closed",
        "close it, and put a comma between its items",
        True,
    ),
    ("found unexpected end of stream", "a quote is opened and not closed", "close it", True),
    ("could not find expected ':'", "a key has no colon and space behind it", "write 'key: value'", True),
    (
        "did not find expected key",
        "this line does not fit the keys above it",
        "mend its indent, or a quote that ends too early",
        False,
    ),
    (
        "did not find expected '-'",
        "this line does not fit the list above it",
        "begin each item with '- ' at the same indent",
        False,
    ),
    (
        "block sequence entries are not",
        "a list begins in the middle of a line",
        "put '- ' on a line of its own",
        False,
    ),
    (
        "expected <document start>",
        "this line stands further left than the first",
        "begin all keys in the same column",
        False,
    ),
    ("alphabetic or numeric character", "a * or & stands alone", "put the words in quotes", False),
    ("escape", "a backslash stands in double quotes", "use single quotes", False),
    ("hexdecimal", "a backslash stands in double quotes", "use single quotes", False),
    ("tag", "a tag (!) stands before a value", "take it out, or put the words in quotes", False),
    ("nesting depth", "brackets are nested too deep", f"nest at most {DEEPEST} levels", False),
    (
        "did not find expected node content",
        "a value is missing, or a bracket above is not closed",
        "put the words in quotes",
        False,
    ),
)


def events(text: str, shown: str, first_line: int) -> Iterator[yaml.Event]:
    """The events of a text, each looked at before it is handed on; nothing where the text is empty."""
    _refuse_control_characters(text, shown, first_line)
    try:
        yield from _looked_at(text, shown, first_line)
    except yaml.MarkedYAMLError as error:
        raise ContentError([_broken(error, text, shown, first_line)]) from None
    except (yaml.YAMLError, ValueError) as error:
        raise ContentError(
            [Problem(Place(shown), f"this is not YAML: {str(error).splitlines()[0]}")]
        ) from None


def _refuse_control_characters(text: str, shown: str, first_line: int) -> None:
    """Characters that no text holds: a sign of a damaged file or of another kind of file."""
    problems = Problems()
    for found in _FORBIDDEN.finditer(text):
        line, column = text.count("\n", 0, found.start()), found.start() - text.rfind("\n", 0, found.start())
        what = f"the character U+{ord(found[0]):04X} has no place in a text"
        problems.add(Place(shown, line + first_line, column), what, cure="delete it, or name the right file")
        if len(problems) >= MOST:
            break
    problems.raise_if_any()


def _looked_at(text: str, shown: str, first_line: int) -> Iterator[yaml.Event]:
    """The events that make values; a second document, too great a depth or a lost anchor stops at once."""
    anchors: set[str] = set()
    depth = documents = 0
    for event in yaml.parse(text, Loader=_LOADER):
        what = expected = cure = ""
        if isinstance(event, yaml.NodeEvent):
            depth += isinstance(event, yaml.CollectionStartEvent)
            if depth > DEEPEST:
                what, expected = "keys are nested too deep", f"at most {DEEPEST} levels"
            elif event.anchor is not None:
                what, cure = _lost_anchor(event, anchors)
                anchors.add(event.anchor)
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                what = "a second document begins here"
                cure = "take the line '---' out, or move what follows to a file of its own"
        if what:
            place = Place(shown, *spot(event, first_line))
            raise ContentError([Problem(place, what, expected, cure=cure)])
        if isinstance(event, _OF_VALUES):
            yield event


def _lost_anchor(event: yaml.NodeEvent, anchors: set[str]) -> tuple[str, str]:
    """What is wrong with an alias without its anchor, or an anchor given twice, and the cure."""
    known = event.anchor in anchors
    if isinstance(event, yaml.AliasEvent):
        cure = "put the words in quotes, or write the value out"
        return ("", "") if known else ("a * stands before a value", cure)
    return ("an anchor (&) is given twice", "write the values out") if known else ("", "")


def spot(event: yaml.Event, first_line: int) -> Spot:
    """Line and column on which an event begins; the text begins on `first_line` of its file."""
    mark = event.start_mark
    assert mark is not None  # the parser marks every event
    return mark.line + first_line, mark.column + 1


def mark_before(event: yaml.ScalarEvent | yaml.CollectionStartEvent) -> tuple[str, str] | None:
    """What is wrong with the tag or anchor before a value, and the cure; None where there is neither."""
    if event.tag is not None:
        return f"the tag {_tag(event.tag)!r} stands before the value", "take it out"
    if event.anchor is not None:
        return f"the anchor '&{event.anchor}' stands before the value", "write values out, without & and *"
    return None


def _tag(tag: str) -> str:
    """A tag as people write it."""
    return tag.replace("tag:yaml.org,2002:", "!!")


def _broken(error: yaml.MarkedYAMLError, text: str, shown: str, first_line: int) -> Problem:
    """One sentence on where the text stops being YAML."""
    said = error.problem or error.context or ""
    what, cure, at_start = f"this is not YAML: {said}", "mend the line; look at the line above too", False
    for words, plain, mending, start in _BROKEN:
        if words in said:
            what, cure, at_start = plain, mending, start
            break
    mark = (
        (error.context_mark if at_start else error.problem_mark) or error.problem_mark or error.context_mark
    )
    if mark is None:
        return Problem(Place(shown), what, cure=cure)
    if "tab character" in said:
        what, cure = "a tab stands in the indent", "indent with spaces"
    elif "cannot start any token" in said:
        sign = text.splitlines()[mark.line][mark.column]
        tab = sign == "\t"
        what = "a tab stands in the indent" if tab else f"a value cannot begin with {sign!r}"
        cure = "indent with spaces" if tab else "put the words in quotes"
    return Problem(Place(shown, mark.line + first_line, mark.column + 1), what, cure=cure)
