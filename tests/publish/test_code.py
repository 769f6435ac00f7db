"""The code on a pack: what changes it, what does not, which copying mistakes its check sign catches."""

from __future__ import annotations

import subprocess
import sys
from itertools import permutations, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packgen.errors import OutOfRange
from packgen.publish.code import ALPHABET, canonical, code, is_code

PARTS: dict[str, Any] = {
    "job": "HL-0427",
    "title": "First lateral at Harrow Lane",
    "revision": 1,
    "language": "en",
    "values": {"peel.depth_min": 0.2286, "cool.clamp_time": 900.0, "clamp.torque": None},
    "words": ["Wipe the pipe.", "Feeler 0.33 mm does not enter."],
}


def changed(**parts: Any) -> dict[str, Any]:
    return {**PARTS, **parts}


def test_a_code_is_twelve_signs_in_fours() -> None:
    """Eleven signs and a check sign, all of the 32 that cannot be taken for one another."""
    text = code(PARTS)
    assert [len(group) for group in text.split("-")] == [4, 4, 4]
    assert set(text) <= {*ALPHABET, "-"}
    assert len(ALPHABET) == len(set(ALPHABET)) == 32
    assert set("01IO").isdisjoint(ALPHABET)


@pytest.mark.parametrize(
    "other",
    [
        changed(job="HL-0428"),
        changed(title="First lateral at Harrow lane"),
        changed(revision=2),
        changed(language="es"),
        changed(values={**PARTS["values"], "peel.depth_min": 0.228601}),
        changed(values={**PARTS["values"], "clamp.torque": 0.0}),
        changed(words=PARTS["words"][::-1]),
        changed(words=["Wipe the pipe.", "Feeler 0.33 mm does not enter"]),
    ],
)
def test_whatever_the_pack_says_changes_its_code(other: dict[str, Any]) -> None:
    """One letter, one order, a sixth digit, a blank that became a number."""
    assert code(other) != code(PARTS)


def test_what_only_the_machine_sees_does_not_change_a_code() -> None:
    """The order of keys, list or tuple, noise beyond the sixth digit, a whole number as integer or float."""
    values = {"cool.clamp_time": 900, "clamp.torque": None, "peel.depth_min": 0.1 + 0.1286 + 1e-12}
    other = dict(reversed(changed(values=values, words=tuple(PARTS["words"])).items()))
    assert code(other) == code(PARTS)


def test_every_process_finds_the_same_code() -> None:
    """The hash seed of a process and its locale leave no trace."""
    script = f"from packgen.publish.code import code; print(code({PARTS!r}))"
    for seed in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", script],
            env={"PYTHONHASHSEED": seed, "LC_ALL": "C"},
            capture_output=True,
            text=True,
            check=True,
        )
        assert run.stdout.strip() == code(PARTS)


def test_the_canonical_text_is_plain_json() -> None:
    """Sorted, without spaces, in UTF-8; truth values stay themselves and are no numbers."""
    assert canonical({"ü": "Ω", "b": [True, 1, 1.5], "a": -0.0}) == '{"a":0,"b":[true,1,1.5],"ü":"Ω"}'


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_none_is_refused_with_its_place(number: float) -> None:
    """NaN has no place in a pack; the complaint names the value."""
    with pytest.raises(OutOfRange, match=r"values\.tap\.hole_saw\[1\]"):
        code({"values": {"tap.hole_saw": [1.0, number]}})


@pytest.mark.parametrize("part", [b"bytes", {1, 2}, object(), 1j, {1: "a"}, [{2: "b"}]])
def test_data_without_one_plain_form_is_refused(part: object) -> None:
    """Bytes, sets, objects and keys that are no text have no canonical JSON."""
    with pytest.raises(TypeError, match="part"):
        code({"part": part})


def digits_of(text: str) -> list[str]:
    return list(text.replace("-", ""))


SAMPLES = [code(changed(revision=revision)) for revision in range(6)]


@pytest.mark.parametrize("text", SAMPLES)
def test_every_single_wrong_sign_is_caught(text: str) -> None:
    """All 12 places with all 31 other signs."""
    signs = digits_of(text)
    tried = 0
    for place, right in enumerate(signs):
        for wrong in ALPHABET.replace(right, ""):
            assert not is_code("".join([*signs[:place], wrong, *signs[place + 1 :]]))
            tried += 1
    assert tried == 12 * 31


def with_check_sign(signs: list[str]) -> str:
    """The one code that begins with these eleven signs."""
    [right] = [sign for sign in ALPHABET if is_code("".join([*signs, sign]))]
    return "".join([*signs, right])


def swapped(text: str, place: int) -> str:
    return text[:place] + text[place + 1] + text[place] + text[place + 2 :]


@pytest.mark.parametrize("place", range(10))
def test_every_swap_of_two_neighbours_is_caught(place: int) -> None:
    """All ordered pairs of different signs.

    The check is a weighted sum, so a swap's effect depends on the two signs and their place alone: the other
    places may hold anything, and one filling proves all.
    """
    pairs = list(permutations(ALPHABET, 2))
    for pair in pairs:
        signs = ["2"] * 11
        signs[place : place + 2] = pair
        assert not is_code(swapped(with_check_sign(signs), place))
    assert len(pairs) == 32 * 31


def test_every_swap_of_the_last_sign_with_the_check_sign_is_caught() -> None:
    """The first sign is varied, so that every check sign comes beside every last sign."""
    seen = set()
    for first, last in product(ALPHABET, repeat=2):
        text = with_check_sign([first, *"222222222", last])
        seen.add(text[10:])
        assert is_code(swapped(text, 10)) == (text[10] == text[11])
    assert len(seen) == 32 * 32


@pytest.mark.parametrize("make", [str.lower, lambda text: text.replace("-", ""), lambda text: f" {text} "])
def test_a_code_is_known_however_it_is_copied(make: Any) -> None:
    """Small letters, no dashes, spaces, dashes of a word processor."""
    text = SAMPLES[0]
    assert is_code(text)
    assert is_code(make(text))
    assert is_code(text.replace("-", " – "))


@pytest.mark.parametrize("text", ["", "-", "2222", "2" * 11, "2" * 13, "0000-0000-0000", "2222-2222-222É"])
def test_other_text_is_no_code(text: str) -> None:
    """Too short, too long, signs that no code has."""
    assert not is_code(text)


finite = st.floats(allow_nan=False, allow_infinity=False)


@given(st.dictionaries(st.text(st.characters(codec="utf-8")), finite))
def test_any_parts_have_a_valid_code(parts: dict[str, float]) -> None:
    """Whatever the names and numbers, the code that comes out is accepted again."""
    assert is_code(code(parts))
