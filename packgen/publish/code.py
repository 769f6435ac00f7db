"""The code printed on every face of a pack or card set.

In: what the pack says (job id, title, revision, language, values, words) as plain data.
Out: a code such as `7KQ4-M2XW-9HTB`: 55 bits of a SHA-256 in 11 characters, and one check character.
Vocabulary: a *code* names the content, not the print: the same parts give the same code on any machine.
Governing text: FIPS 180-4 (SHA-256), RFC 8259 (JSON); alphabet, canonical form and check character are our
own.

The alphabet has no 0, O, 1 or I. The check character makes the weighted sum of all twelve zero in the field
of 32 elements (polynomial x^5 + x^2 + 1, which is primitive, so that the twelve weights 1, x, x^2 … all
differ): every single wrong character and every swap of two different characters is noticed.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence

from packgen.errors import OutOfRange, Place, Problem

ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
DIGITS = 11
BITS = 5
GROUP = 4
FIELD_POLYNOMIAL = 0b100101

# What people put between the groups when they copy a code by hand or by word processor: hyphens and dashes.
SEPARATORS = "-\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}"


def code(parts: Mapping[str, object]) -> str:
    """The code of `parts`: mappings, sequences, text, numbers, truth values and None, to any depth.

    Floats count to 6 significant digits. Raises `OutOfRange` for a float that is not finite.

    >>> is_code(code({"job": "HL-0427", "revision": 1, "values": {"peel.depth_min": 0.2286}}))
    True
    """
    digest = hashlib.sha256(canonical(parts).encode("utf-8")).digest()
    number = int.from_bytes(digest, "big") >> (8 * len(digest) - BITS * DIGITS)
    digits = [number >> BITS * place & 31 for place in reversed(range(DIGITS))]
    text = "".join(ALPHABET[digit] for digit in [*digits, _check_digit(digits)])
    return "-".join(text[start : start + GROUP] for start in range(0, len(text), GROUP))


def is_code(text: str) -> bool:
    """Whether `text` is a code with its right check character; case, spaces and dashes do not matter."""
    bare = "".join(sign for sign in text.upper() if not sign.isspace() and sign not in SEPARATORS)
    if len(bare) != DIGITS + 1 or any(sign not in ALPHABET for sign in bare):
        return False
    digits = [ALPHABET.index(sign) for sign in bare]
    return _check_digit(digits[:DIGITS]) == digits[DIGITS]


def canonical(parts: Mapping[str, object]) -> str:
    """The one JSON text of `parts`: keys sorted, no spaces, floats to 6 significant digits.

    >>> canonical({"b": 0.1 + 0.2, "a": [1, 2.0, None]})
    '{"a":[1,2,null],"b":0.3}'
    """
    return json.dumps(_plain(parts, ""), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _plain(part: object, key: str) -> object:
    """`part` in the few types whose JSON is the same everywhere; `key` is its key path, for complaints."""
    if part is None or isinstance(part, (bool, int, str)):
        return part
    if isinstance(part, float):
        return _six_digits(part, key)
    if isinstance(part, Mapping):
        wrong = [name for name in part if not isinstance(name, str)]
        if wrong:
            raise TypeError(f"{key or 'parts'}: the key {wrong[0]!r} is not text")
        return {name: _plain(item, f"{key}.{name}".lstrip(".")) for name, item in part.items()}
    if isinstance(part, Sequence) and not isinstance(part, (bytes, bytearray)):
        return [_plain(item, f"{key}[{index}]") for index, item in enumerate(part)]
    raise TypeError(f"{key or 'parts'}: {type(part).__name__} cannot stand in a code")


def _six_digits(number: float, key: str) -> int | float:
    """`number` to 6 significant digits; a whole one as an integer, so that 5 and 5.0 give one code."""
    if not math.isfinite(number):
        raise OutOfRange([Problem(Place(key=key), f"the value is {number!r}", "a finite number")])
    rounded = float(f"{number:.6g}")
    return int(rounded) if rounded.is_integer() else rounded


def _check_digit(digits: Sequence[int]) -> int:
    """The digit that makes the weighted sum zero; its own weight is 1, its left neighbour's x, and so on."""
    total = 0
    for digit in digits:
        total = _times_x(total ^ digit)
    return total


def _times_x(element: int) -> int:
    """`element` times x in the field of 32 elements."""
    doubled = element << 1
    return doubled ^ FIELD_POLYNOMIAL if doubled & 32 else doubled
