"""How wide and how high words come out: line breaks from the font's own advance widths.

In: spans, a type size, a width. Out: the number of lines. Vocabulary: a value span never breaks; other words break at spaces.
Source: the advance widths in Lato's hmtx table. Kerning is left out, which makes the estimate a little wide: the safe side.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from packgen.sheets.blocks import Spans

MM = 0.352778  # one point in mm
BLANK_ROOM = "MMM"  # the frame and the room to write of a blank inside a line
LONGEST_VALUE = 34  # characters; a longer value is words, which may break


@cache
def _advances(bold: bool) -> dict[int, float]:
    """Advance widths by character, in em."""
    import fontpkg_lato
    from fontTools.ttLib import TTFont

    path = fontpkg_lato.ROOT / "files" / ("Lato-Bold.ttf" if bold else "Lato-Regular.ttf")
    with TTFont(path, lazy=True) as font:
        em, widths, names = font["head"].unitsPerEm, font["hmtx"].metrics, font.getBestCmap()
        return {sign: widths[name][0] / em for sign, name in names.items() if sign < 0x3000}


def missing_signs(text: str) -> str:
    """The characters of a text that the face has no glyph for."""
    return "".join(sorted({sign for sign in text if not sign.isspace() and ord(sign) not in _advances(False)}))


@cache
def width_of(word: str, bold: bool) -> float:
    """A word's width in em."""
    advances = _advances(bold)
    return sum(advances.get(ord(sign), 0.6) for sign in word)


def _pieces(line: Spans) -> Iterator[tuple[str, bool]]:
    """The unbreakable pieces of a line, each with whether it is bold; a piece keeps no space."""
    for span in line:
        bold = span.kind != "plain"
        if span.kind in {"value", "blank"} and len(span.text) < LONGEST_VALUE:
            first, *second = (span.text + BLANK_ROOM * (span.kind == "blank")).split(" [")
            yield first, bold
            yield from ((f"[{part}", bold) for part in second)
        else:
            yield from ((word, bold) for word in span.text.split())


def line_count(line: Spans, size: float, width: float) -> int:
    """How many lines some spans take.

    Parameters: `line`; `size` of the type, pt; `width` of the column, mm. Returns at least 1.
    """
    room, used, lines = width / MM / size, 0.0, 1
    space = width_of(" ", False)
    for piece, bold in _pieces(line):
        wide = width_of(piece, bold)
        if used and used + space + wide > room:
            lines, used = lines + 1, wide
        else:
            used += (space if used else 0.0) + wide
    return lines
