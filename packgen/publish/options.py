"""The choices every command shares.

In: the command line. Out: `Options`. Vocabulary: *date* is printed and written into the PDF; without it
the job's date stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from packgen.rounding import Units
from packgen.sheets.media import Paper


@dataclass(frozen=True)
class Options:
    """Units, paper, date and where output goes."""

    units: Units = "both"
    paper: Paper = "letter"
    date: str | None = None
    output: Path = Path("build")
    workers: int = 2
