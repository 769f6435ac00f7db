"""How people write a pipe: "4 in IPS DR 11 PE4710 ASTM D3035", "4\\" ips dr-11", "110 SDR11 PE 100".

In: one string, and the pipe tables where they are at hand. Out: a `Designation` (size, system, DR, material,
standard), whose text is the one way packgen writes it. Vocabulary: the five *parts* may stand in any order,
each once, with or without blanks between them; the material may be left out where a family's first one
serves, the standard where the widest band of tolerance serves. SDR and DR are one thing.
A system that nobody wrote is never guessed between two: millimetres are ISO; inches without a system are
refused with the readings that exist (`packgen.model.readings`). Whether size, DR, material and standard exist
is the catalogue's business (`Catalog.pipe`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from packgen.errors import ContentError, Place, Problem, nearest
from packgen.model.fields import SYSTEMS
from packgen.model.readings import readings
from packgen.model.records import PipeTable
from packgen.units import QuantityError, join, mixed, quantity

_LONGEST = 100
_EXPECTED = "a pipe such as '4 in IPS DR 11 PE4710' or '4 in IPS DR 11 PE4710 ASTM D3035'"
_NEXT = r"DIPS|IPS|CTS|ISO|S?DR|PE"  # what may follow a unit without a blank
_END = r"(?![0-9./]|,[0-9])"
_NO_BODY = r"(?!(?:DIPS|IPS|CTS|ISO|DN|OD|DE|DA|IN|INCH|MM|PE|S?DR)(?![A-Z]))"
# A part's pattern by its name, in an order in which none takes the beginning of another: "ISO 4427" is a
# standard, "ISO 110" a system and a size.
PARTS = {
    name: re.compile(pattern, re.IGNORECASE | re.ASCII)
    for name, pattern in (
        ("ratio", rf"S?DR(?:-|=|:| )?(?P<dr>[0-9]{{1,2}}(?:\.[0-9]{{1,2}})?){_END}"),
        ("material", rf"PE[ -]?(?P<grade>[0-9]{{2,4}}){_END}"),
        (
            "standard",
            rf"(?:(?P<body>ASTM|AWWA|{_NO_BODY}[A-Z]{{2,5}}(?=[ -]))[ -]*"
            r"(?P<number>[A-Z]?[0-9]{3,5}(?:-[0-9]+[a-z]?)*)"
            r"|(?P<metric>ISO)[ -]*(?P<iso>[0-9]{4,5}(?:-[0-9]+)*)(?![ -]?mm)"
            r"|(?P<short>(?:D[0-9]{4}|F[0-9]{3,4}|C9[0-9]{2})(?:-[0-9]+[a-z]?)?))(?![0-9A-Z])",
        ),
        ("system", r"(?:DIPS|IPS|CTS|ISO)(?![A-Z])|(?:DIPS|IPS|CTS|ISO)(?=(?:S?DR|PE)[-=: ]?[0-9])"),
        (
            "size",
            r"(?P<mark>DN/OD|DN|OD|DE|DA|D|Ø|⌀)?[ ]?"
            rf"(?P<digits>(?:[0-9]+[ -])?[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?){_END}"
            rf"(?:[ -]?(?P<unit>inches|inch|in|″|”|\"|\'\'|mm)(?=(?:{_NEXT})|[^A-Z]|$))?",
        ),
    )
}
_INCH = {"inches", "inch", "in", "″", "”", '"', "''"}
# Nominal bores of ISO 6708 (from memory): with one of them "DN 125" may be a bore or an outside diameter.
_BORES = {10, 15, 20, 25, 32, 40, 50, 60, 65, 80, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500, 600}
# The largest inch pipe is 65 in (title of AWWA C906-21): above it a bare number can only be millimetres.
_LARGEST_INCH = 65
_DENOMINATORS = {2, 4, 8, 16}
_SYSTEM = re.compile(r"(?i)(?<![A-Z])(?:DIPS|IPS|CTS|ISO)(?![A-Z])")
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


@dataclass(frozen=True)
class Designation:
    """A pipe as written, taken apart."""

    size: str
    system: str
    dr: float
    material: str | None
    standard: str | None

    @property
    def short(self) -> str:
        """Size and system, as on a size tag: "6 in IPS"."""
        return f"{self.size} {self.system}"

    @property
    def ratio(self) -> str:
        """The dimension ratio under the name its system gives it: "DR 11", "SDR 11"."""
        return f"{'SDR' if self.system == 'ISO' else 'DR'} {self.dr:g}"

    def __str__(self) -> str:
        parts = [self.size, self.system, self.ratio, self.material or "", self.standard or ""]
        return " ".join(part for part in parts if part)


def read_designation(text: str, tables: Mapping[str, PipeTable] | None = None) -> Designation:
    """Read a pipe's designation.

    Parameters: `text`; `tables`, the pipe tables by system, for the readings of one that names no system.
    Returns a `Designation` whose size is written as the pipe tables write it ("1-1/4 in"). Raises
    `ContentError` with what was expected and the nearest right reading.

    >>> str(read_designation("1 1/4 in IPS DR 11 PE4710"))
    '1-1/4 in IPS DR 11 PE4710'
    >>> str(read_designation("pe 100 d110 sdr11"))
    '110 mm ISO SDR 11 PE100'
    """
    if len(text) > _LONGEST:
        raise _refuse(text[:_LONGEST] + "…", "it is too long for a pipe")
    parts = _parts(text)
    for name, words in (("ratio", "the DR"), ("size", "the size")):
        if name not in parts:
            raise _refuse(text, f"{words} is missing")
    dr = float(parts["ratio"]["dr"])
    grade = f"PE{parts['material']['grade']}" if "material" in parts else None
    standard = _standard(parts["standard"]) if "standard" in parts else None
    system = parts["system"][0].upper() if "system" in parts else ""
    if not system and standard and standard.startswith("ISO "):
        system = "ISO"  # standards of metric pipe alone
    sizes, system, why = _sizes(text, parts["size"], system)
    if why:
        pipes = [Designation(*reading, grade, standard) for reading in readings(sizes, dr, tables)]
        raise _refuse(text, why, " or ".join(str(pipe) for pipe in pipes))
    return Designation(sizes[0], system, dr, grade, standard)


def names_ratio(text: str) -> bool:
    """Whether a string names a dimension ratio.

    >>> names_ratio("2in IPSdr11"), names_ratio("2 in IPS")
    (True, False)
    """
    return re.search(r"DR[-=: ]?[0-9]", text, re.I) is not None


def plain_fractions(text: str) -> str:
    """Text with its fraction signs as plain digits, and single blanks.

    >>> plain_fractions("1½  in")
    '1 1/2 in'
    """
    written = text.replace("⁄", "/")
    for sign, plain in _VULGAR.items():
        # Blanks keep "1½" from being read as eleven halves, and "¼6" as a forty-sixth.
        written = written.replace(sign, f" {plain} ")
    return " ".join(written.split())


def _parts(text: str) -> dict[str, re.Match[str]]:
    """Each part of a pipe, once; nothing is left over."""
    written, at = plain_fractions(text), 0
    parts: dict[str, re.Match[str]] = {}
    while at < len(written):
        if written[at] in " ,;":
            at += 1
            continue
        name, found = _part(written, at)
        if found is None:
            raise _refuse(text, *_leftover(text, written[at:], parts))
        if name in parts:
            raise _refuse(text, f"it names the {name} twice: {parts[name][0]!r} and {found[0]!r}")
        parts[name], at = found, found.end()
    return parts


def _part(written: str, at: int) -> tuple[str, re.Match[str] | None]:
    """The part that begins at a place, and its name."""
    matches = ((name, pattern.match(written, at)) for name, pattern in PARTS.items())
    return next(((name, found) for name, found in matches if found), ("", None))


def _leftover(text: str, rest: str, parts: Mapping[str, re.Match[str]]) -> tuple[str, str]:
    """Why a string is no pipe from some place on, and the nearest right reading."""
    word = re.match(r"[A-Za-z]+", rest)
    if word and "system" not in parts and not re.search(_SYSTEM, rest):
        near = _nearest_system(word[0])
        if near:
            return f"the size system {word[0]!r} is not known", text.replace(word[0], near, 1)
    number = re.match(r"[-−+.]*[0-9][^ A-Za-z\"]*(?: ?[a-zA-Z\"]+)?", rest)
    if number and "size" not in parts:
        try:
            quantity(number[0].strip(), "length")
        except QuantityError as error:
            return f"the size {error.problems[0].what}", error.problems[0].nearest
    shown = rest if len(rest) <= 30 else rest[:30] + "…"
    return f"{shown!r} is no part of a pipe that packgen knows", ""


def _nearest_system(word: str) -> str:
    """The size system a word was meant to be; swapped letters first, for ISP is as near to ISO as to IPS.

    >>> _nearest_system("ISP"), _nearest_system("DIP"), _nearest_system("Iso")
    ('IPS', 'DIPS', 'ISO')
    """
    swapped = [system for system in SYSTEMS if sorted(system) == sorted(word.upper())]
    return swapped[0] if swapped else nearest(word.upper(), SYSTEMS)


def _standard(found: re.Match[str]) -> str:
    """A standard with its body: F714 is one of ASTM, C906 one of AWWA."""
    if found["short"]:
        number = found["short"].upper()
        return f"{'AWWA' if number[0] == 'C' else 'ASTM'} {number}"
    return f"{found['body'] or found['metric']} {found['number'] or found['iso']}".upper()


def _sizes(text: str, found: re.Match[str], system: str) -> tuple[list[str], str, str]:
    """The sizes that may be meant, the system, and why they leave a doubt (empty where they leave none)."""
    mark, digits, unit = (found["mark"] or "").upper(), found["digits"], (found["unit"] or "").lower()
    if mark and unit in _INCH:
        raise _refuse(text, f"{found['mark']!r} stands before millimetres, not inches")
    name = partial(table_name, text, digits)
    if mark == "DN" and system != "ISO" and digits.isdecimal() and int(digits) in _BORES:
        return [name("mm")], "", f"DN {digits} may be a bore or an outside diameter"
    if mark or unit == "mm":
        return [name("mm")], system or "ISO", ""
    if unit:
        return [name("in")], system, "" if system else "the size system is missing"
    if system:
        return [name("mm" if system == "ISO" else "in")], system, ""
    if digits.isdecimal() and int(digits) > _LARGEST_INCH:
        return [name("mm")], "ISO", ""
    return [name("in"), name("mm")], "", "the size has no unit, and no size system says which"


def table_name(text: str, digits: str, unit: str) -> str:
    """A size as the tables write it: inches as a mixed number, millimetres without a needless point.

    >>> table_name("", "1.25", "in"), table_name("", "110.0", "mm")
    ('1-1/4 in', '110 mm')
    """
    try:
        size = quantity(f"{digits} {unit}", "length")
    except QuantityError as error:
        raise _refuse(text, f"the size {error.problems[0].what}", error.problems[0].nearest) from None
    if size.number.denominator == 1 or (unit == "in" and size.number.denominator in _DENOMINATORS):
        return join(mixed(size.number), unit)
    return str(size)


def _refuse(text: str, why: str, near: str = "") -> ContentError:
    """The error for a string that is no pipe."""
    return ContentError([Problem(Place(), f"{text!r}: {why}", _EXPECTED, near)])
