"""YAML read strictly: what would be read as something else is refused, with line and column."""

from __future__ import annotations

import os
import time
from datetime import date
from pathlib import Path

import pytest

from packgen.errors import ContentError, Place, Problems
from packgen.model.yaml_reader import dotted, parse_yaml, read_text, read_yaml, shown_value


def refusal(text: str) -> str:
    """What is said of a text."""
    with pytest.raises(ContentError) as caught:
        parse_yaml(text, "f.yaml")
    return str(caught.value)


def test_plain_values_keep_their_kinds_and_places() -> None:
    """Words stay words; numbers, days and truth are read where written plainly; each has its place."""
    document = parse_yaml(
        "a: 1\nb: 1.5\nc: 2026-05-12\nd: true\ne: 4 in\nf: '1'\ng:\nh:\n  - x\n  - {y: z}\n", "f.yaml"
    )
    assert document.value == {
        "a": 1, "b": 1.5, "c": date(2026, 5, 12), "d": True, "e": "4 in", "f": "1", "g": None,
        "h": ("x", {"y": "z"}),
    }  # fmt: skip
    assert document.place(("h", 1, "y")) == Place("f.yaml", 10, 9, "h[1].y")
    assert document.place(("h", 1, "none", "here")) == Place("f.yaml", 10, 5, "h[1].none.here")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (
            "yes",
            "'yes' would be read as true; put it in quotes where words are meant, else write true or false",
        ),
        (
            "no",
            "'no' would be read as false; put it in quotes where words are meant, else write true or false",
        ),
        (
            "on",
            "'on' would be read as true; put it in quotes where words are meant, else write true or false",
        ),
        (
            "Off",
            "'Off' would be read as false; put it in quotes where words are meant, else write true or false",
        ),
        ("012", "'012' is not a plain number"),
        ("0x1F", "'0x1F' is not a plain number"),
        ("0b11", "'0b11' is not a plain number"),
        ("1:30", "'1:30' is not a plain number"),
        ("1_000", "'1_000' is not a plain number"),
        ("+5", "'+5' is not a plain number"),
        (".5", "'.5' is not a plain number"),
        ("1.5e+3", "'1.5e+3' is not a plain number"),
        (".nan", "'.nan' is not a plain number"),
        ("-.inf", "'-.inf' is not a plain number"),
        ("9" * 5000, "is not a plain number; expected at most 15 digits"),
        ("2026-13-40", "'2026-13-40' is not a day of the calendar; expected a date such as 2026-05-12"),
        ("2026-02-29", "'2026-02-29' is not a day of the calendar; expected a date such as 2026-05-12"),
        (
            "2026-05-12T10:00:00",
            "'2026-05-12T10:00:00' is not a plain date; expected a date such as 2026-05-12",
        ),
        ("=", "'=' has a form packgen does not read; put it in quotes"),
        ("!!str x", "the tag '!!str' stands before the value; take it out"),
        (
            "!!python/object:os.system ls",
            "the tag '!!python/object:os.system' stands before the value; take it out",
        ),
        (
            "!!python/object/apply:os.system [ls]",
            "the tag '!!python/object/apply:os.system' stands before the value",
        ),
        ("!mine {a: b}", "the tag '!mine' stands before the value; take it out"),
        ("&a x", "the anchor '&a' stands before the value; write values out, without & and *"),
        ("&a [*a]", "the anchor '&a' stands before the value; write values out, without & and *"),
        ('"a\\0b"', "the words hold the hidden character U+0000; type them again"),
        ('"\\e[31mred"', "the words hold the hidden character U+001B; type them again"),
        ('"a\\u202Eb"', "the words hold the hidden character U+202E; type them again"),
        ("a\u200bb", "the words hold the hidden character U+200B; type them again"),
    ],
)
def test_a_value_that_yaml_would_turn_into_something_else_is_refused(written: str, said: str) -> None:
    """The message carries file, line, column, key, what is wrong and the cure."""
    told = refusal(f"first: x\nkey: {written}\n")
    assert told.startswith("f.yaml:2:6: key: ")
    assert said in told


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: b: c", "f.yaml:1:5: a colon stands where none may; put words that hold a colon in quotes"),
        ("a: 1\n b: 2", "f.yaml:2:3: a colon stands where none may"),
        ("a:\n\tb: 1", "f.yaml:2:1: a tab stands in the indent; indent with spaces"),
        ("a: @x", "f.yaml:1:4: a value cannot begin with '@'; put the words in quotes"),
        ("a: `x", "f.yaml:1:4: a value cannot begin with '`'; put the words in quotes"),
        ("x: 1\na: [1, 2\n", "f.yaml:2:4: a bracket is opened and not closed; close it"),
        ("x: 1\na: {b: 1\n", "f.yaml:2:4: a bracket is opened and not closed; close it"),
        ("x: 1\na: 'b\n\n", "f.yaml:2:4: a quote is opened and not closed; close it"),
        ("a: 'x' y", "f.yaml:1:8: this line does not fit the keys above it; mend its indent"),
        ("a:\n  b: 1\n c: 2", "f.yaml:3:2: this line does not fit the keys above it; mend its indent"),
        ("  a: 1\nb: 2", "f.yaml:2:1: this line stands further left than the first"),
        ("- a\nb: 1", "f.yaml:2:1: this line does not fit the list above it"),
        ("a: - 1", "f.yaml:1:4: a list begins in the middle of a line"),
        ("a: 1\nword\n", "f.yaml:2:1: a key has no colon and space behind it; write 'key: value'"),
        ("a: *b", "f.yaml:1:4: a * stands before a value"),
        ("a: &a 1\nb: &a 2", "f.yaml:2:4: an anchor (&) is given twice"),
        ('a: "\\q"', "f.yaml:1:5: a backslash stands in double quotes; use single quotes"),
        ("a: !x!y 1", "f.yaml:1:4: a tag (!) stands before a value"),
        ("a: ]", "f.yaml:1:4: a value is missing, or a bracket above is not closed"),
        ("a: 1\n---\nb: 2", "f.yaml:2:1: a second document begins here; take the line '---' out"),
        ("a: 1\n---\n", "f.yaml:2:1: a second document begins here"),
        ("a: x\0y", "f.yaml:1:5: the character U+0000 has no place in a text"),
        ("b: 1\na: \x1b[2J", "f.yaml:2:4: the character U+001B has no place in a text"),
        ("", "f.yaml:1: the file is empty; expected keys with values, such as 'id: HL-0427'"),
        ("# only a comment\n", "f.yaml:1: the file is empty"),
        ("- a\n- b\n", "f.yaml:1: the file holds a list; expected keys with values"),
        ("hello", "f.yaml:1: the file holds one bare value; expected keys with values"),
        ("? [a]\n: 1", "f.yaml:1:3: a key is not a word; write 'key: value'"),
        ("'': 1", "f.yaml:1:1: a key is not a word"),
    ],
)
def test_broken_yaml_is_explained_without_a_parser_s_words(text: str, said: str) -> None:
    """Line and column point at the trouble, and the cure is one a foreman can follow."""
    assert said in refusal(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: 1\n!!str b: 2\n", "f.yaml:2:1: the tag '!!str' stands before the value; take it out"),
        ("a:\n  b: 1\n  &x c: 2\n", "f.yaml:3:3: a: the anchor '&x' stands before the value"),
    ],
)
def test_a_tag_or_anchor_before_a_key_is_refused_like_one_before_a_value(text: str, said: str) -> None:
    """Neither the first key of a group nor a later one may carry what packgen does not read."""
    assert refusal(text).startswith(said)


def test_what_follows_a_key_that_is_no_word_is_still_read() -> None:
    """The key and its value are passed over whole, groups and lists in them too."""
    told = refusal("? [a, {b: c}]\n: {d: [e, yes]}\nf: yes\na: 1\na: {b: [no]}\ng: on\n").splitlines()
    assert [line.split(" ")[0] for line in told] == [
        "f.yaml:1:3:",
        "f.yaml:3:4:",
        "f.yaml:5:1:",
        "f.yaml:6:4:",
    ]


def test_a_key_given_twice_names_the_first_line() -> None:
    """YAML would let the second win without a word."""
    assert (
        refusal("a: 1\nb: 2\na: 3\n") == "f.yaml:3:1: a: the key is given twice (first on line 1); keep one"
    )


def test_all_bad_values_of_a_file_come_out_in_one_run() -> None:
    """One message for each, in the order of the lines."""
    lines = refusal("a: yes\nb: 012\nc: 1\nc: 2\nd: [on, {e: 1:30}]\n").splitlines()
    assert [line.split(" ")[0] for line in lines] == [
        "f.yaml:1:4:", "f.yaml:2:4:", "f.yaml:4:1:", "f.yaml:5:5:", "f.yaml:5:13:",
    ]  # fmt: skip


def test_bad_values_may_be_told_while_the_rest_is_still_read() -> None:
    """With a collection of problems the document comes back, its broken paths marked."""
    problems = Problems()
    document = parse_yaml("a: yes\nb: 4 in\n", "f.yaml", problems=problems)
    assert len(problems) == 1
    assert document.value == {"a": None, "b": "4 in"}
    assert document.is_broken(("a",))
    assert document.is_broken(("a", "inner"))
    assert not document.is_broken(("b",))


@pytest.mark.parametrize(
    "text",
    [
        "[" * 900_000,
        "{a: " * 200_000,
        "- " * 400_000,
        "? " * 400_000,
        "".join(" " * depth + "a:\n" for depth in range(1300)),
        "a: " + "[" * 20 + "]" * 20,
    ],
    ids=["brackets", "flow maps", "dashes", "complex keys", "indents", "a few"],
)
def test_deep_nesting_is_refused_at_once(text: str) -> None:
    """Neither the stack nor the clock runs out."""
    begin = time.monotonic()
    assert "nested too deep" in refusal(text)
    assert time.monotonic() - begin < 2.0


def test_exploding_anchors_cost_nothing() -> None:
    """Nine anchors that would unfold to a thousand million words."""
    lines = ["a: &a [x,x,x,x,x,x,x,x,x]"]
    lines += [f"{chr(98 + n)}: &{chr(98 + n)} [{','.join(['*' + chr(97 + n)] * 9)}]" for n in range(9)]
    begin = time.monotonic()
    told = refusal("\n".join(lines)).splitlines()
    assert time.monotonic() - begin < 1.0
    assert len(told) == 10
    assert all("the anchor '&" in line for line in told)


def test_a_file_full_of_mistakes_tells_fifty() -> None:
    """Who mends fifty sees the rest in the next run."""
    assert len(refusal("a: 1\n" * 2000).splitlines()) == 50


def test_brackets_in_comments_and_words_are_not_nesting() -> None:
    """Only real structure counts."""
    text = "# " + "[" * 100 + "\na: '" + "{" * 100 + "'\n"
    assert parse_yaml(text, "f.yaml").value == {"a": "{" * 100}


def test_line_ends_and_a_byte_order_mark_make_no_difference(tmp_path: Path) -> None:
    """A file saved on Windows or an old Mac reads the same."""
    for name, content in {
        "lf": b"a: 1\nb: x\n",
        "crlf": b"a: 1\r\nb: x\r\n",
        "cr": b"a: 1\rb: x\r",
        "bom": b"\xef\xbb\xbfa: 1\nb: x\n",
    }.items():
        path = tmp_path / name
        path.write_bytes(content)
        assert read_yaml(path).value == {"a": 1, "b": "x"}, name
        assert read_text(path, name) == "a: 1\nb: x\n"


def file_refusal(path: Path) -> str:
    """What is said of a file."""
    with pytest.raises(ContentError) as caught:
        read_text(path, path.name)
    return str(caught.value)


def test_files_that_are_no_texts_are_refused(tmp_path: Path) -> None:
    """Too large, not UTF-8, a folder, a pipe, a loop of links, absent, an impossible name."""
    (tmp_path / "large.yaml").write_bytes(b"a: 1\n" * 2_000_000)
    (tmp_path / "latin.yaml").write_bytes("a: 1\nb: H\xe4rrow\n".encode("latin-1"))
    (tmp_path / "wide.yaml").write_bytes("a: 1\n".encode("utf-16"))
    (tmp_path / "folder.yaml").mkdir()
    (tmp_path / "loop.yaml").symlink_to(tmp_path / "loop.yaml")
    os.mkfifo(tmp_path / "pipe.yaml")
    cure = "split it, or name the right file"
    assert (
        file_refusal(tmp_path / "large.yaml")
        == f"large.yaml: the file is 10.0 MB; expected at most 1 MB; {cure}"
    )
    told = "latin.yaml:2:5: byte 10 of the file is not UTF-8 text; save the file as UTF-8"
    assert file_refusal(tmp_path / "latin.yaml") == told
    assert (
        file_refusal(tmp_path / "wide.yaml")
        == "wide.yaml:1:1: the file is UTF-16 text; save the file as UTF-8"
    )
    assert file_refusal(tmp_path / "folder.yaml") == "folder.yaml: is a folder; expected a text file"
    assert file_refusal(tmp_path / "pipe.yaml") == "pipe.yaml: is not a plain file; expected a text file"
    assert "loop.yaml: cannot be read" in file_refusal(tmp_path / "loop.yaml")
    told = "lage.yaml: there is no such file; did you mean 'large.yaml'?"
    assert file_refusal(tmp_path / "lage.yaml") == told
    assert "a character no file name may hold" in file_refusal(tmp_path / "a\0b")
    assert "cannot be read: File name too long" in file_refusal(tmp_path / ("x" * 300))


def test_a_file_that_may_not_be_read_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The reason the system gives stands in the message."""
    path = tmp_path / "locked.yaml"
    path.write_text("a: 1\n")

    def locked(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", locked)
    assert file_refusal(path) == "locked.yaml: cannot be read: Permission denied"


def test_values_and_keys_are_shown_short_and_in_yaml_s_words() -> None:
    """No Python names reach a message."""
    assert [shown_value(value) for value in (None, False, date(2026, 5, 1), 1.5, {"a": 1}, "x")] == [
        "nothing", "false", "2026-05-01", "1.5", "a group of keys", "'x'",
    ]  # fmt: skip
    assert len(shown_value("x" * 1000)) == 60
    assert dotted(("pairs", 0, "a\nb\x1b")) == "pairs[0].a b�"
