"""What a print line says: size, size system, ratio, material, contents, among dates and lot numbers.

In: the text along a pipe as a person read it off, the pipe tables, the codes of known materials. Out: a
`PrintLine` that holds every reading of each part, so that a line that names a part twice is seen to.
Vocabulary: the *parts* are those of a designation (`packgen.model.designation`); a bare number is a size only
where its system follows at once, because a print line is full of other numbers.
A system that the line does not name is not guessed: millimetres are ISO, and so is a standard that only the
table of ISO holds; inches alone leave every inch system open. Contents are words of the line too: "GAS".
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from packgen.errors import ContentError
from packgen.model.designation import PARTS, plain_fractions, table_name
from packgen.model.fields import SYSTEMS
from packgen.model.records import Contents, PipeTable

T = TypeVar("T")
_FLAGS = re.IGNORECASE | re.ASCII
# A part may follow another without a blank ("IPSDR11", "SDR11PE100"), but never begin inside a word.
_RATIO = re.compile(r"(?:(?<![A-Z0-9])|(?<=IPS)|(?<=CTS)|(?<=ISO))" + PARTS["ratio"].pattern, _FLAGS)
# "HDPE 110 mm" names a size behind the material, not a material PE110.
_MATERIAL = re.compile(
    r"(?:(?<![A-Z])|(?<=\bHD)|(?<=\bMD))" + PARTS["material"].pattern + r"(?! ?(?:mm|in|[\"″”x×]))", _FLAGS
)
_SECOND_CODE = re.compile(r"(?<=PE[0-9]{4})/(?=[0-9]{4}(?![0-9]))", _FLAGS)  # "PE4710/3408" names two
_SYSTEM = re.compile(r"(?<![A-Z0-9])(?:DIPS|IPS|CTS|ISO(?![ -]*[0-9]{4}))(?![A-Z])", _FLAGS)
_SIZE = re.compile(r"(?<![A-Z0-9./,-])" + PARTS["size"].pattern, _FLAGS)
_SYSTEM_NEXT = re.compile(r"[ -]?(?:DIPS|IPS|CTS)(?![A-Z])", _FLAGS)
# Metric pipe is often printed as diameter × wall: "110x10.0".
_SIZE_AND_WALL = re.compile(
    r"(?<![A-Z0-9.])(?P<size>[0-9]{2,4})(?: ?mm)? ?[x×] ?[0-9]{1,2}(?:\.[0-9]{1,2})?(?: ?mm)?(?![0-9])",
    _FLAGS,
)
_CONTENTS: tuple[Contents, ...] = ("water", "gas")
# Letters and digits of a code part where a print line may have a blank or a hyphen: "PE-X", "PE X", "PEX".
_CODE_PART = re.compile(r"[A-Za-z]+|[0-9.]+", re.ASCII)


@dataclass(frozen=True)
class PrintLine:
    """Every reading of each part, in the order of the line; a part nobody printed has none."""

    sizes: tuple[str, ...]
    systems: tuple[str, ...]
    ratios: tuple[float, ...]
    materials: tuple[str, ...]
    contents: tuple[Contents, ...] = ()


def read_print_line(text: str, tables: Mapping[str, PipeTable], others: Collection[str] = ()) -> PrintLine:
    """Read a print line.

    Parameters: `text`; `tables` by size system; `others`, codes of materials that are no "PE" and a number,
    and marks of pipe that is not for pressure. Returns a `PrintLine`; it is empty where nothing of a pipe is
    found.

    >>> line = read_print_line('LOT 0417 4" IPS SDR-11 PE 4710 GAS 12MAR19', {})
    >>> line.sizes, line.systems, line.ratios, line.materials, line.contents
    (('4 in',), ('IPS',), (11.0,), ('PE4710',), ('gas',))
    """
    # A stop or stroke behind a number ends a part here; in a designation it would make it another number.
    written = re.sub(r"(?<=[0-9])[/.,](?![0-9])", " ", plain_fractions(text))
    codes = _SECOND_CODE.sub(r" PE", written)
    materials = [f"PE{found['grade']}" for found in _MATERIAL.finditer(codes)]
    materials += [code for code in others if _word(code).search(written)]
    ratios = [float(found["dr"]) for found in _RATIO.finditer(written)]
    rest = _without(written, (_MATERIAL, _RATIO))
    systems = [found[0].upper() for found in _SYSTEM.finditer(rest)]
    sizes = _sizes(rest, tables, systems)
    systems = systems or _implied_systems(written, sizes, tables)
    contents = tuple(each for each in _CONTENTS if _word(each).search(written))
    return PrintLine(_once(sizes), _once(systems), _once(ratios), _once(materials), contents)


def _once(parts: Iterable[T]) -> tuple[T, ...]:
    """Each reading once, in order."""
    return tuple(dict.fromkeys(parts))


def _word(code: str) -> re.Pattern[str]:
    """A code as a print line may hold it: "PE3408", "PE 3408", "PVC", "PE-RT", "not for pressure"."""
    parts = "[ -]?".join(re.escape(part) for part in _CODE_PART.findall(code))
    return re.compile(rf"(?<![A-Z0-9]){parts}(?![A-Z0-9])", _FLAGS)


def _without(text: str, patterns: Iterable[re.Pattern[str]]) -> str:
    """A text with what the patterns find blanked out, so that no digit of it is read twice."""
    for pattern in patterns:
        text = pattern.sub(lambda found: " " * len(found[0]), text)
    return text


def _sizes(text: str, tables: Mapping[str, PipeTable], systems: Iterable[str]) -> list[str]:
    """The sizes of a line: those a table holds where there are any, else whatever was written as a size."""
    found = [f"{match['size']} mm" for match in _SIZE_AND_WALL.finditer(text)]
    text = _without(text, (_SIZE_AND_WALL,))
    for match in _SIZE.finditer(text):
        unit = _unit(match, text)
        if unit:
            try:
                found.append(table_name("", match["digits"], unit))
            except ContentError:  # "9/4 in" is no size; the line holds other numbers too
                continue
    asked = list(systems) or list(SYSTEMS)
    known = {row.name for system in asked if system in tables for row in tables[system].sizes}
    return [size for size in found if size in known] or found


def _unit(match: re.Match[str], text: str) -> str:
    """The unit of a number that is a size: its own, or its system's; empty where it is some other number."""
    mark, unit = (match["mark"] or "").upper(), match["unit"] or ""
    if mark == "DN":
        return ""  # a bore or an outside diameter: nobody can tell
    if mark or unit.lower() == "mm":
        return "mm"
    return "in" if unit or _SYSTEM_NEXT.match(text, match.end()) else ""


def _implied_systems(text: str, sizes: Iterable[str], tables: Mapping[str, PipeTable]) -> list[str]:
    """The system a line implies: that of millimetres, or of a standard that holds a whole table."""
    if any(size.endswith(" mm") for size in sizes):
        return ["ISO"]
    return [
        table.system
        for table in tables.values()
        if any(_standard(name).search(text) for name in table.standards)
    ]


def _standard(name: str) -> re.Pattern[str]:
    """A standard as a print line may hold it; "ISO 4427" is not the beginning of "ISO 44270"."""
    return re.compile(rf"(?<![A-Z0-9]){re.escape(name).replace(re.escape(' '), '[ -]*')}(?![0-9])", _FLAGS)
