"""Is everything that was planned really on the printed page, whole, legible and in our own type?

In: a finished PDF, what was planned for each of its pages, the font families that may be in it.
Out: one `Problem` for each rule a page breaks, with the page and the words; `LogWatch` makes problems of
what the renderer logs.
Vocabulary: a *planned page* has a name, a size, the strings authored for it, and the boxes that all its text
must keep inside (its safe area); the rest of its plan is judged where it is given (`preflight_plan.py`).
Governing text: ISO 32000-1 (PDF), 8.5.4 clipping, 9.4 text, from memory.

WeasyPrint can leave text out, or cut it off, without a word. So the PDF is read back by two readers: PDFium
for what stands where, once a page (`preflight_read.py`), pikepdf for the fonts (`embedded.py`). Looked for:
page count and size; every string as often as planned, in type of its size, unparted, in short lines, no
character above the BMP (`preflight_words.py`), its letters as far apart as they were cut
(`preflight_spacing.py`); every box to fill in or to tick (`preflight_boxes.py`); every line of a figure, at
its own size (`preflight_figure.py`); no text outside its boxes or cut off, lines thick enough,
holes kept free, air at the foot (`preflight_place.py`); black on white, or bold white on black, nothing
covered, no other colour (`preflight_ground.py`); every font in use embedded, of a permitted family, upright,
in one of two weights, and no sign without a glyph (`embedded.py`).
"""

from __future__ import annotations

import contextlib
import io
import logging
from collections.abc import Callable, Iterator, Sequence
from typing import ClassVar

import pikepdf
import pypdfium2

from packgen.errors import Place, Problem
from packgen.render.bars import bar_problems
from packgen.render.codes import code_problems
from packgen.render.embedded import Fonts
from packgen.render.preflight_boxes import box_problems
from packgen.render.preflight_figure import figure_problems
from packgen.render.preflight_ground import ground_problems
from packgen.render.preflight_place import place_problems, size_problems
from packgen.render.preflight_plan import Box as Box
from packgen.render.preflight_plan import PlannedPage as PlannedPage
from packgen.render.preflight_read import Seen, read
from packgen.render.preflight_read import fold as fold
from packgen.render.preflight_spacing import spacing_problems
from packgen.render.preflight_words import word_problems


def measure_problems(seen: Seen) -> Iterator[Problem]:
    """Squares that do not say their code, bars that are not as long as they say."""
    if seen.planned.codes is not None:
        yield from code_problems(seen, seen.planned.codes)
    if seen.planned.bars is not None:
        yield from bar_problems(seen, seen.planned.bars)


# The rules for one page, in the order they are told. Each looks at what was read; none reads the page again.
PAGE_RULES: tuple[Callable[[Seen], Iterator[Problem]], ...] = (
    size_problems, word_problems, spacing_problems, box_problems, place_problems, ground_problems,
    figure_problems, measure_problems,
)  # fmt: skip


def preflight(
    pdf: bytes, pages: Sequence[PlannedPage], *, families: frozenset[str], file: str = ""
) -> list[Problem]:
    """Every rule that `pdf` breaks, in page order; `file` is the name to put into the problems' places."""
    found: list[Problem] = []
    with (
        contextlib.closing(pypdfium2.PdfDocument(pdf)) as document,
        pikepdf.open(io.BytesIO(pdf)) as structure,
    ):
        if len(document) != len(pages):
            found.append(
                Problem(Place(file), f"the PDF has {len(document)} pages", f"{len(pages)} pages, as planned")
            )
        fonts = Fonts(families)
        for number, (planned, page) in enumerate(zip(pages, structure.pages, strict=False), 1):
            place = Place(f"{file} page {number}, {planned.name}".strip())
            with (
                contextlib.closing(document[number - 1]) as drawn,
                contextlib.closing(drawn.get_textpage()) as text,
            ):
                seen = read(drawn, text, planned, place)
                for rule in PAGE_RULES:
                    found += rule(seen)
            found += fonts.problems(page, place)
    return found


class LogWatch(logging.Handler):
    """While open, collects what the renderer logs: any record of WeasyPrint's, warnings of fontTools'.

    WeasyPrint's running commentary (`weasyprint.progress`) is left out. Nothing goes on to the terminal: the
    problems say the same.
    """

    LEVELS: ClassVar = {"weasyprint": logging.DEBUG, "fontTools": logging.WARNING}

    def __init__(self, file: str = "") -> None:
        super().__init__()
        self._place = Place(file)
        self._before: list[tuple[logging.Logger, int, bool]] = []
        self.problems: list[Problem] = []

    def emit(self, record: logging.LogRecord) -> None:
        problem = Problem(self._place, f"the renderer says: {record.getMessage()}")
        if not record.name.startswith("weasyprint.progress") and problem not in self.problems:
            self.problems.append(problem)

    def __enter__(self) -> LogWatch:
        for name, level in self.LEVELS.items():
            logger = logging.getLogger(name)
            self._before.append((logger, logger.level, logger.propagate))
            logger.addHandler(self)
            logger.setLevel(level)
            logger.propagate = False
        return self

    def __exit__(self, *_error: object) -> None:
        while self._before:
            logger, level, propagate = self._before.pop()
            logger.removeHandler(self)
            logger.setLevel(level)
            logger.propagate = propagate
