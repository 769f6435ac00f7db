"""The fonts that a PDF's pages really set: are they embedded and ours, is a glyph there for every sign?

In: pages of a PDF as pikepdf gives them, and the permitted font families.
Out: one `Problem` for each fault of each font on a page, with the signs that are set in it.
Vocabulary: a font is *in use* where a page, a form drawn on it or a pattern sets it; a *foreign* font is one
of no permitted family: a sign that our face lacks comes out of any face the machine has. Of a family only two
*faces* are set, regular and bold: slanted or thinner signs are harder to read wet and at arm's length.
Governing text: ISO 32000-1 (PDF), 9.7 composite fonts, 9.10 to Unicode; ISO/IEC 14496-22, maxp: from memory.

A *code* is what a page's text holds for a sign; the font turns it into a glyph. Text is taken to be written
as hexadecimal strings, two bytes a code, after its font was set: WeasyPrint always writes it so.
"""

from __future__ import annotations

import re
import struct
from collections import defaultdict
from collections.abc import Iterator

import pikepdf

from packgen.errors import Place, Problem

DRAWING = "use a drawing instead"
WORDS_SHOWN = 80  # characters of a page's words in one problem
MOST_GLYPHS = 0x10000
FACES = frozenset({"", "-Regular", "-Bold"})  # what a font's name may add to its family

FONT_CHANGE = re.compile(rb"/(\S+)\s+[-+.\d]+\s+Tf\b")
HEX_STRING = re.compile(rb"(?<!<)<([0-9A-Fa-f\s]+)>(?!>)")
DRAWN_FORM = re.compile(rb"/(\S+)\s+(?:Do|scn|SCN)\b")  # a form, or a pattern used as a colour
UNICODE_OF_CODE = re.compile(rb"<([0-9A-Fa-f]{4})>\s*<([0-9A-Fa-f]+)>")
GLYPH_OF_CODE = re.compile(rb"<([0-9A-Fa-f]{4})>\s*(\d+)")
SUBSET_TAG = re.compile(r"^[A-Z]{6}\+")


class Fonts:
    """The fonts of one PDF; a font that many pages share is read once."""

    def __init__(self, families: frozenset[str]) -> None:
        self._families = families
        self._glyphs: dict[tuple[int, int], tuple[dict[int, int] | None, int]] = {}

    def problems(self, page: pikepdf.Page, place: Place) -> Iterator[Problem]:
        used: dict[tuple[int, int], tuple[pikepdf.Object, set[int]]] = {}
        for font, codes in _fonts_in_use(_content(page), page.resources, set()):
            used.setdefault(font.objgen, (font, set()))[1].update(codes)
        for key in sorted(used):
            yield from self._font_problems(*used[key], place)

    def _font_problems(self, font: pikepdf.Object, codes: set[int], place: Place) -> Iterator[Problem]:
        name = SUBSET_TAG.sub("", str(font.get("/BaseFont", "/without a name"))[1:])
        faces = {rest for family in self._families if (rest := _beyond(name, family)) is not None}
        signs = shortened("".join(_signs(font, codes))) if not faces & FACES else ""
        if not faces:
            families = " or ".join(sorted(self._families))
            yield Problem(place, f"foreign font {name!r} for {signs!r}", families, cure=DRAWING)
        elif not faces & FACES:
            what, cure = f"slanted or odd face {name!r} for {signs!r}", "set it upright, in regular or bold"
            yield Problem(place, what, "regular or bold", cure=cure)
        if _font_file(font) is None:
            yield Problem(place, f"font {name!r} is not embedded")
        if missing := self._missing(font, codes):
            signs = ", ".join(f"{sign!r} (U+{ord(sign[:1]):04X})" for sign in _signs(font, missing))
            yield Problem(place, f"no glyph in font {name!r} for {signs}", cure=DRAWING)

    def _missing(self, font: pikepdf.Object, codes: set[int]) -> set[int]:
        """The codes that show glyph 0, the empty box, or a glyph that the embedded file does not have."""
        if font.objgen not in self._glyphs:
            self._glyphs[font.objgen] = _glyphs_by_code(font), _glyph_count(font)
        glyphs, count = self._glyphs[font.objgen]
        shown = {code: code if glyphs is None else glyphs.get(code, 0) for code in codes}
        return {code for code, glyph in shown.items() if not 0 < glyph < count}


def _fonts_in_use(
    content: bytes, resources: pikepdf.Object, seen: set[tuple[int, int]]
) -> Iterator[tuple[pikepdf.Object, set[int]]]:
    """Each font that `content` or a form drawn in it sets, with the codes shown (composite fonts only)."""
    _before, *runs = FONT_CHANGE.split(content)
    fonts = resources.get("/Font", pikepdf.Dictionary())
    shown: dict[bytes, list[bytes]] = defaultdict(list)
    for name, run in zip(runs[::2], runs[1::2], strict=True):
        shown[name] += HEX_STRING.findall(run)
    for name, strings in shown.items():
        font = fonts[f"/{name.decode('latin-1')}"]
        composite = font.Subtype == pikepdf.Name.Type0
        yield font, _codes(b"".join(strings)) if composite else set()
    for name in sorted(set(DRAWN_FORM.findall(content))):
        form = _named_form(resources, f"/{name.decode('latin-1')}")
        if form is not None and form.objgen not in seen:
            seen.add(form.objgen)
            yield from _fonts_in_use(form.read_bytes(), form.get("/Resources", resources), seen)


def _named_form(resources: pikepdf.Object, name: str) -> pikepdf.Object | None:
    """The form or tiling pattern of that name; None for a picture, a shading or a colour space."""
    for kind in ("/XObject", "/Pattern"):
        drawn = resources.get(kind, pikepdf.Dictionary()).get(name)
        if isinstance(drawn, pikepdf.Stream) and drawn.get("/Subtype") != pikepdf.Name.Image:
            return drawn
    return None


def _content(page: pikepdf.Page) -> bytes:
    content = page.obj.get("/Contents", pikepdf.Array())
    streams = [content] if isinstance(content, pikepdf.Stream) else list(content.as_list())
    return b"\n".join(stream.read_bytes() for stream in streams)


def _codes(digits: bytes) -> set[int]:
    """Two bytes a code, high byte first."""
    return {code for (code,) in struct.iter_unpack(">H", bytes.fromhex(digits.decode("ascii")))}


def _signs(font: pikepdf.Object, codes: set[int]) -> list[str]:
    """The characters that `codes` of `font` stand for; U+FFFD where the font does not say."""
    table = font.get("/ToUnicode")
    pairs = UNICODE_OF_CODE.findall(table.read_bytes()) if isinstance(table, pikepdf.Stream) else []
    text = {
        int(code, 16): bytes.fromhex(sign.decode("ascii")).decode("utf-16-be", "replace")
        for code, sign in pairs
    }
    return [text.get(code, "\N{REPLACEMENT CHARACTER}") for code in sorted(codes)]


def _glyphs_by_code(font: pikepdf.Object) -> dict[int, int] | None:
    """The font's own table, which WeasyPrint adds where signs are missing; None where a code is its glyph."""
    table = font.get("/Encoding")
    if not isinstance(table, pikepdf.Stream):
        return None
    return {int(code, 16): int(glyph) for code, glyph in GLYPH_OF_CODE.findall(table.read_bytes())}


def _beyond(name: str, family: str) -> str | None:
    """What a font's name adds to a family's: '-Bold' of 'Lato-Bold' to Lato; None for 'Latona'."""
    rest = name.removeprefix(family.replace(" ", "-"))
    return None if rest == name or rest[:1].isalpha() else rest


def _font_file(font: pikepdf.Object) -> pikepdf.Object | None:
    holder = font.DescendantFonts[0] if "/DescendantFonts" in font else font
    descriptor = holder.get("/FontDescriptor", pikepdf.Dictionary())
    for key in ("/FontFile2", "/FontFile3", "/FontFile"):
        if key in descriptor:
            return descriptor[key]
    return None


def _glyph_count(font: pikepdf.Object) -> int:
    """The glyph count in the embedded file's 'maxp' table; the most there can be where there is none."""
    stream = _font_file(font)
    file = b"" if stream is None else stream.read_bytes()
    tables = struct.unpack_from(">H", file, 4)[0] if len(file) > 12 else 0
    for start in range(12, 12 + 16 * tables, 16):
        tag, _checksum, offset, _length = struct.unpack_from(">4sLLL", file, start)
        if tag == b"maxp":
            return int(struct.unpack_from(">H", file, offset + 4)[0])
    return MOST_GLYPHS


def shortened(words: str) -> str:
    """`words`, or their beginning where they are many."""
    return words if len(words) <= WORDS_SHOWN else words[: WORDS_SHOWN - 1] + "…"
