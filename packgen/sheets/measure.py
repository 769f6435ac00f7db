"""How wide and how high words come out: line breaks from the font's own advance widths.

In: spans, a type size, a width. Out: the number of lines. Vocabulary: a value span never breaks; other
words break at spaces. Source: the advance widths in Lato's hmtx table. Kerning is left out, which makes
the estimate a little wide: the safe side.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from packgen.sheets.blocks import Span, Spans, spans

NBSP = "\N{NO-BREAK SPACE}"
MM = 0.352778  # one point in mm
BLANK_ROOM = "MMM"  # the frame and the room to write of a blank inside a line
LONGEST_VALUE = 34  # characters; a longer value is words, which may break


def whole(text: str) -> str:
    """A value whose number, unit and sign never part over a line break; the second system may go to the next.

    >>> whole("0.009 in [0.23 mm]").split(" ")
    ['0.009\\xa0in', '[0.23\\xa0mm]']
    """
    if len(text) >= LONGEST_VALUE:
        return text
    return " [".join(part.replace(" ", NBSP) for part in text.split(" ["))


def held(text: str, value: str) -> Spans:
    """Words with a value in them, such that its number and unit never part.

    Parameters: `text`; `value`, part of it.

    >>> [span.kind for span in held("Wait 15 min here", "15 min")]
    ['plain', 'value', 'plain']
    """
    before, _, after = text.partition(value)
    return (*spans(before), *spans(value, "value"), *spans(after))


@cache
def _advances(bold: bool) -> dict[int, float]:
    """Advance widths by character, in em."""
    import fontpkg_lato
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    path = fontpkg_lato.ROOT / "files" / ("Lato-Bold.ttf" if bold else "Lato-Regular.ttf")
    with TTFont(path, lazy=True) as font:
        em, widths, names = font["head"].unitsPerEm, font["hmtx"].metrics, font.getBestCmap()
        return {sign: widths[name][0] / em for sign, name in names.items() if sign < 0x3000}


def missing_signs(text: str) -> str:
    """The characters of a text that the face has no glyph for."""
    return "".join(
        sorted({sign for sign in text if not sign.isspace() and ord(sign) not in _advances(False)})
    )


@cache
def width_of(word: str, bold: bool) -> float:
    """A word's width in em."""
    advances = _advances(bold)
    return sum(advances.get(ord(sign), 0.6) for sign in word)


def _parts(span: Span) -> list[str]:
    """A span's words, parted where a line may break."""
    text = whole(span.text) if span.kind == "value" else span.text
    return (text + BLANK_ROOM * (span.kind == "blank")).split(" ")


def _pieces(line: Spans) -> Iterator[float]:
    """The widths in em of a line's unbreakable pieces; spans with no space between them make one piece."""
    wide = 0.0
    for span in line:
        for index, part in enumerate(_parts(span)):
            if index and wide:
                yield wide
                wide = 0.0
            wide += width_of(part, span.kind != "plain")
    if wide:
        yield wide


def widest_piece(line: Spans) -> float:
    """The width in em of the widest piece of a line that no line break parts.

    >>> from packgen.sheets.blocks import spans
    >>> widest_piece(spans("a saddle")) == width_of("saddle", False)
    True
    """
    return max(_pieces(line), default=0.0)


def line_count(line: Spans, size: float, width: float) -> int:
    """How many lines some spans take.

    Parameters: `line`; `size` of the type, pt; `width` of the column, mm. Returns at least 1.

    >>> from packgen.sheets.blocks import spans
    >>> line_count(spans("Wipe the zone"), 10.0, 40.0), line_count(spans("Wipe the zone"), 10.0, 20.0)
    (1, 2)
    """
    room, used, lines = width / MM / size, 0.0, 1
    space = width_of(" ", False)
    for wide in _pieces(line):
        if used and used + space + wide > room:
            lines, used = lines + 1, wide
        else:
            used += (space if used else 0.0) + wide
    return lines
