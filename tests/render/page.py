"""A page drawn for a test, and what the guard finds on it.

In: the body of a page as HTML, its plan. Out: the PDF, and what is wrong with it. The page is an A6 card in
our own face; `plan` takes the strings to be found on it and any limit of a `PlannedPage`.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import fontpkg_lato
import pikepdf
from weasyprint import HTML

from packgen.errors import Problem
from packgen.render.preflight import Box, PlannedPage, preflight

FONTS = Path(fontpkg_lato.ROOT) / "files"
FAMILIES = frozenset({"Lato"})
SAFE = Box(5, 5, 100, 143)

STYLE = f"""
@font-face {{ font-family: Lato; src: url({(FONTS / "Lato-Regular.ttf").as_uri()}) }}
@font-face {{ font-family: Lato; font-weight: 700; src: url({(FONTS / "Lato-Bold.ttf").as_uri()}) }}
@font-face {{ font-family: Other; src: url({(FONTS / "Lato-Medium.ttf").as_uri()}) }}
@page {{ size: 105mm 148mm; margin: 5mm }}
body {{ margin: 0; font: 10pt/1.25 Lato; font-variant-ligatures: none }}
p {{ margin: 0 }}
"""


def draw(body: str) -> bytes:
    """A page, or several, with that body."""
    html = f"<html lang='en'><title>Card</title><style>{STYLE}</style><body>{body}</body></html>"
    return bytes(HTML(string=html).write_pdf(pdf_variant="pdf/ua-1"))


def plan(
    *strings: str, boxes: tuple[Box, ...] = (SAFE,), name: str = "Prepare", **limits: Any
) -> PlannedPage:
    """The plan of a card's face."""
    return PlannedPage(name, 105, 148, strings, boxes, **limits)


def check(pdf: bytes, *pages: PlannedPage) -> list[Problem]:
    """What the guard has to say."""
    return preflight(pdf, pages, families=FAMILIES, file="crew-pack.pdf")


def found(pdf: bytes, *pages: PlannedPage) -> list[str]:
    """What is wrong, without place and cure."""
    return [problem.what for problem in check(pdf, *pages)]


def edited(pdf: bytes, edit: Callable[[pikepdf.Pdf], None]) -> bytes:
    """`pdf` with a fault that the renderer itself does not make."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        edit(document)
        document.save(out)
    return out.getvalue()
