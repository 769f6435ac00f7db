"""How people write a pipe: "4 in IPS DR 11 PE4710 ASTM D3035".

In: one string. Out: a `Designation` (size, system, DR, material, standard). Vocabulary: the parts stand in
this order; the material may be left out where a family's first one serves, the standard where the widest band
of tolerance serves. Whether the size, DR, material and standard exist is the catalogue's business
(`Catalog.pipe`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import get_args

from packgen.errors import ContentError, Place, Problem, nearest
from packgen.model.fields import System
from packgen.units import QuantityError, quantity

SYSTEMS: tuple[str, ...] = get_args(System)
_LONGEST = 100
_EXPECTED = "a pipe such as '4 in IPS DR 11 PE4710' or '4 in IPS DR 11 PE4710 ASTM D3035'"
_PIPE = re.compile(
    r"(?P<size>.+?)\s+(?P<system>[A-Za-z]{3,4})\s+(?P<ratio>S?DR)\s*(?P<dr>[0-9]{1,2}(?:\.[0-9]{1,2})?)"
    r"(?:\s+(?P<material>PE[0-9]+))?(?:\s+(?P<standard>[A-Z]{2,5}\s+[A-Z]?[0-9][0-9A-Za-z-]*))?",
    re.ASCII,
)


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

    def __str__(self) -> str:
        ratio = "SDR" if self.system == "ISO" else "DR"
        parts = [self.size, self.system, ratio, f"{self.dr:g}", self.material or "", self.standard or ""]
        return " ".join(part for part in parts if part)


def read_designation(text: str) -> Designation:
    """Read a pipe's designation.

    Parameters: `text`. Returns a `Designation` whose size is written as the pipe tables write it ("1-1/4
    in"). Raises `ContentError` with what was expected and the nearest right word.

    >>> str(read_designation("1 1/4 in IPS DR 11 PE4710"))
    '1-1/4 in IPS DR 11 PE4710'
    """
    if len(text) > _LONGEST:
        raise _refuse(text[:_LONGEST] + "…", "it is too long for a pipe", "")
    found = _PIPE.fullmatch(" ".join(text.split()))
    if found is None:
        raise _refuse(text, *_guess(text))
    if found["system"] not in SYSTEMS:
        near = _nearest_system(found["system"])
        right = text.replace(found["system"], near, 1) if near else ""
        raise _refuse(text, f"the size system {found['system']!r} is not known", right)
    try:
        size = quantity(found["size"], "length")
    except QuantityError as error:
        raise _refuse(text, f"the size {error.problems[0].what}", error.problems[0].nearest) from None
    return Designation(str(size), found["system"], float(found["dr"]), found["material"], found["standard"])


def _nearest_system(word: str) -> str:
    """The size system a word was meant to be; swapped letters first, for ISP is as near to ISO as to IPS.

    >>> _nearest_system("ISP"), _nearest_system("dips"), _nearest_system("Iso")
    ('IPS', 'DIPS', 'ISO')
    """
    swapped = [system for system in SYSTEMS if sorted(system) == sorted(word.upper())]
    return swapped[0] if swapped else nearest(word.upper(), SYSTEMS)


def _guess(text: str) -> tuple[str, str]:
    """Why a string is no pipe, and the nearest right reading."""
    if not re.search(r"\bS?DR\b", text):
        digits = re.search(r"\b(?:sdr|dr)\s*[0-9]", text, re.IGNORECASE)
        if digits:
            right = text.replace(digits[0], digits[0].upper())
            return "DR is written in small letters or runs into another word", right
        return "the DR is missing", ""
    if not re.search(r"\b(" + "|".join(SYSTEMS) + r")\b", text):
        return "the size system is missing", ""
    return "the parts of the pipe do not stand in the order size, system, DR, material, standard", ""


def _refuse(text: str, why: str, near: str) -> ContentError:
    """The error for a string that is no pipe."""
    return ContentError([Problem(Place(), f"{text!r}: {why}", _EXPECTED, near)])
