"""The choices every command shares.

In: the command line. Out: `Options`. Vocabulary: *date* is printed and written into the PDF; without it
the job's date stands. A *form* is the finished size of a card; *flip* is the edge of the sheet about which a
printer turns it for the back; *finish* says whether sheets are cut or folded; the *laminating margin* is the
film that stands beyond the paper on every side of a finished card, mm; an *archive* copy of a pack is PDF/A
with the values behind it attached.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from packgen.rounding import Units
from packgen.sheets.media import Medium, Paper, card_medium, default_form


@dataclass(frozen=True)
class Options:
    """Units, paper, date, where output goes, and how cards are made; no form is the paper's own."""

    units: Units = "both"
    paper: Paper = "letter"
    date: str | None = None
    output: Path = Path("build")
    workers: int = 2
    form: str | None = None
    flip: Literal["long", "short"] = "long"
    finish: Literal["cut", "fold"] = "cut"
    ring_hole: bool = False
    laminating_margin: float = 0.0
    archive: bool = False

    @property
    def card(self) -> Medium:
        """One card face, as chosen."""
        form = self.form or default_form(self.paper)
        return card_medium(form, ring_hole=self.ring_hole, laminating_margin=self.laminating_margin)
