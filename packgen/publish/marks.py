"""What stands on every face of a document: the stamp at its foot, and the code as a square.

In: words, a code. Out: a `Stamp`, a `Code`. Vocabulary: a *mark* says in a few words what a face may be used
for: demonstration, draft.
"""

from __future__ import annotations

from packgen.render.html import Stamp
from packgen.sheets.blocks import Code
from packgen.sheets.words import Words


def stamp_of(words: Words, left: str, *, demo: bool, draft: bool) -> Stamp:
    """The stamp of every face."""
    marks = [words("demo")] if demo else []
    if draft:
        marks.append(words("draft"))
    return Stamp(left, tuple(marks))


def code_block(code: str, words: Words) -> Code:
    """The code as a square symbol, at error level H with modules of at least 0.5 mm, and in print.

    Version 3 where 2 would hold the words: worn off over a tenth of its area, the smaller one cannot always
    be read, since the square touches as many codewords as level H mends.
    """
    import io

    import segno

    symbol = segno.make_qr(code, error="h", boost_error=False, version=3)
    modules = symbol.symbol_size(scale=1, border=4)[0]
    size = round(modules * 0.59, 2)
    out = io.BytesIO()
    symbol.save(
        out,
        kind="svg",
        border=4,
        xmldecl=False,
        svgns=True,
        nl=False,
        omitsize=True,
        svgclass=None,
        lineclass=None,
    )
    svg = out.getvalue().decode().replace("<svg ", f'<svg width="{size}mm" height="{size}mm" ', 1)
    return Code(svg, code, size, words("cover.code_alt", code=code))
