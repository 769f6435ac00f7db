"""Faces and pages to HTML by Jinja: strict, escaped, without arithmetic.

In: faces, a medium, a stamp. Out: HTML and CSS text. Vocabulary: a *stamp* is what stands on every face
besides its content: job or set with revision and code, the demo mark, the draft mark. Only drawings of
our own enter as markup, through the `drawn` filter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import jinja2
from markupsafe import Markup

from packgen.sheets.blocks import Block, Face, Span, Spans, Step
from packgen.sheets.measure import whole as whole  # drawn here, and taken from here by pages
from packgen.sheets.media import Medium
from packgen.sheets.words import Words, templates_folder


@dataclass(frozen=True)
class Stamp:
    """What stands on every face: the foot's left words, and the marks (demo, draft)."""

    left: str
    marks: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines at the foot of a face: the marks, then the job or set with its code."""
        return (*((" · ".join(self.marks),) if self.marks else ()), self.left)


@cache
def environment() -> jinja2.Environment:
    """The one Jinja environment."""
    loader = jinja2.FileSystemLoader(templates_folder())
    made = jinja2.Environment(
        loader=loader, undefined=jinja2.StrictUndefined, autoescape=True, trim_blocks=True
    )
    made.filters["drawn"] = Markup
    made.filters["width_class"] = _width_class
    made.filters["whole"] = whole
    made.filters["led"] = _led
    made.filters["grouped"] = grouped
    made.filters["quoted"] = _quoted
    return made


def grouped(blocks: Sequence[Block]) -> list[list[Block]]:
    """Blocks in groups: steps that follow each other make one list, every other block stands alone."""
    groups: list[list[Block]] = []
    for block in blocks:
        if groups and isinstance(block, Step) and isinstance(groups[-1][-1], Step):
            groups[-1].append(block)
        else:
            groups.append([block])
    return groups


def _led(line: Spans) -> list[tuple[str, str, str]]:
    """Each span as the space that leads it, its text, its kind; a value whole.

    The space before strong words goes inside their tag: WeasyPrint 70 may otherwise break a line many words
    too early where the strong words do not fit on it.

    >>> _led((Span("Wait "), Span("15 min", "value"), Span(".")))
    [('', 'Wait', 'plain'), (' ', '15\\xa0min', 'value'), ('', '.', 'plain')]
    """
    made: list[tuple[str, str, str]] = []
    lead = ""
    for span, after in zip(line, (*line[1:], Span("")), strict=False):
        text = whole(span.text) if span.kind == "value" else span.text
        parts = after.kind in {"strong", "value"} and text.endswith(" ")
        made.append((lead, text.removesuffix(" ") if parts else text, span.kind))
        lead = " " if parts else ""
    return made


def _quoted(text: str) -> str:
    """Words as a CSS string: every sign but plain letters and digits is written by its number."""
    return (
        '"'
        + "".join(sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):06x}" for sign in text)
        + '"'
    )


def _width_class(part: float) -> str:
    """A column's share as the class of its whole percents; rounded down, so that no table grows too wide.

    >>> _width_class(0.84 / 6), _width_class(0.29), _width_class(1 / 3)
    ('w14', 'w29', 'w33')
    """
    return f"w{int(round(part * 100, 6))}"


def face_label(face: Face, medium: Medium, words: Words) -> str:
    """The face's number of the whole, as printed."""
    return words(_page_key(medium), number=str(face.number), total=str(face.total))


def _page_key(medium: Medium) -> str:
    """Which words number the faces of a medium."""
    return "card_of" if medium.name == "card" else "page_of"


def faces_html(
    faces: Sequence[Face],
    medium: Medium,
    *,
    title: str,
    date: str,
    fillable: bool = False,
    language: str = "en",
) -> str:
    """The HTML of a document of faces; `fillable` gives each named box a field to type in."""
    context = {"title": title, "date": date, "language": language, "fillable": fillable}
    return environment().get_template("faces.html").render(
        faces=faces, medium=medium, anchors=False, **context
    )  # fmt: skip


def print_css(medium: Medium, fonts: str, stamp: Stamp, words: Words) -> str:
    """The style sheet of a medium with the foot of its faces; `fonts` is the address of the font folder."""
    template = environment().overlay(autoescape=False).get_template("print.css")
    before, between = words(_page_key(medium), number="\0", total="").split("\0")
    return template.render(
        medium=medium, fonts=fonts, foot_left="\n".join(stamp.lines), page_before=before, page_between=between
    )


def page_html(template: str, **context: Any) -> str:
    """A page for the screen."""
    return environment().get_template(template).render(fillable=False, **context)


def style_sheet(template: str) -> str:
    """A style sheet for the screen."""
    return environment().get_template(template).render()
