"""What the documents of a job or a choice of sizes share, and the one call that prints them.

In: a stamp, words, a title, a day. Out: PDFs that have passed the guard. Vocabulary: an *imprint* is what
stands in and on every document that is made together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packgen.render.html import Stamp
from packgen.render.pdf import Attached, print_faces
from packgen.sheets.blocks import Face
from packgen.sheets.media import Medium
from packgen.sheets.words import Words


@dataclass(frozen=True)
class Imprint:
    """The stamp of every face, the words, the title and the day (ISO) of every PDF."""

    stamp: Stamp
    words: Words
    title: str
    date: str

    def printed(
        self,
        faces: Sequence[Face],
        medium: Medium,
        file: str,
        *,
        stamp: Stamp | None = None,
        tagged: bool = True,
        fillable: bool = False,
        attached: Sequence[Attached] = (),
    ) -> bytes:
        """Faces as a PDF, as `packgen.render.pdf.print_faces` makes it.

        Parameters: `faces` in their `medium`; `file` for messages; `stamp`, in place of the shared one; the
        others as there. Returns the PDF. Raises `ContentError` with every fault the guard found.
        """
        return print_faces(
            faces, medium, stamp or self.stamp, self.words, title=self.title, date=self.date, file=file,
            tagged=tagged, fillable=fillable, attached=attached,
        )  # fmt: skip
