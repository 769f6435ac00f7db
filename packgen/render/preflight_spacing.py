"""Do letters and words stand as far apart as the face was cut?

In: a page as it was read. Out: one `Problem` for each way of setting that is too narrow or too wide, with its
words. Vocabulary: a run's *own width* is the sum of its letters' advance widths, its *length* what it takes
on the page, from its start to the end of its ink; both in ems.
Source: the advance widths in Lato's hmtx table (`sheets/measure.py`) and its kerning (`kerning.py`). The last
letter's side makes a run shorter than its own width, and so does kerning, which is read only where a run is
shorter than most.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from packgen.errors import Problem
from packgen.render.embedded import shortened
from packgen.render.kerning import kerning
from packgen.render.preflight_read import FOLDS, Run, Seen, spoken
from packgen.render.preflight_words import UNTOUCHED, turned
from packgen.sheets.measure import width_of

SUSPECT, SUSPECT_A_LETTER = 0.2, 0.008  # ems: a run that is shorter by less is kerned at most
SHORTER, SHORTER_A_LETTER = 0.12, 0.002  # ems: the last letter's side, and how finely the PDF is written
LONGER = 0.06  # ems: no kerning makes a run so much longer
FAMILY = "Lato"


def spacing_problems(seen: Seen) -> Iterator[Problem]:
    """Words that are squeezed together or spread out on a page whose words stand upright."""
    if not seen.planned.upright:
        return
    faults = defaultdict[str, list[Run]](list)
    for run in seen.runs:
        if run.painted and FAMILY in run.font and (fault := _fault(run)):
            faults[fault].append(run)
    for fault, runs in faults.items():
        what = f"words {fault}: {shortened(spoken(runs))!r}"
        yield Problem(seen.place, what, "letters as far apart as they were cut", cure=UNTOUCHED)


def _fault(run: Run) -> str:
    """How a run is set wrong; "" where it is not. Most runs are sound, so they are measured roughly first."""
    words = run.words.rstrip()
    if _plausible(run, words) or _plausible(run, words := words.translate(FOLDS).rstrip()):
        return ""
    if any(turned(run, upright=True)):
        return ""  # told as such
    more = _more(run, words)
    if more > LONGER:
        return "spread out"
    least = -SHORTER - SHORTER_A_LETTER * len(words)
    return "squeezed together" if more - kerning(words, run.bold) < least else ""


def _plausible(run: Run, words: str) -> bool:
    """Whether a run is about as long as its words' own width, kerned or not."""
    return -SUSPECT - SUSPECT_A_LETTER * len(words) <= _more(run, words) <= LONGER


def _more(run: Run, words: str) -> float:
    """By how much a run is longer than its words' own width."""
    bold = run.bold
    return (run.ink[2] - run.left) / run.size - sum([width_of(sign, bold) for sign in words])
