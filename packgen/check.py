"""Everything that can be wrong with content, in one run, writing nothing.

In: content folders. Out: a list of problems and a list of warnings. Vocabulary: a *warning* does not stop
a pack (a work rule whose review is overdue). This is the only part that looks at today's date.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from packgen.errors import ContentError, PackgenError, Problem, Problems
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.load import load, load_job
from packgen.publish.documents import code_block
from packgen.publish.identity import job_code
from packgen.publish.job import combinations
from packgen.publish.selection import every
from packgen.render.pdf import require_signs
from packgen.rounding import Units
from packgen.sheets.blocks import Block
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.media import Medium, Paper, card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.procedure import On, procedure_sheets
from packgen.sheets.view import View, known
from packgen.sheets.words import Words, load_words

# Where each procedure is laid out.
MEDIA: tuple[tuple[Medium, On], ...] = (
    (pack_medium("letter"), "pack"),
    (pack_medium("a4"), "pack"),
    (card_medium("letter"), "cards"),
    (card_medium("a4"), "cards"),
)
# What was laid out already: many combinations share most of their sheets.
_Seen = set[tuple[Medium, tuple[Block, ...]]]


@dataclass(frozen=True)
class CheckResult:
    """What was found: problems stop packs, warnings do not; counts of what was looked at."""

    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    looked_at: dict[str, int]


def check(content: Path | None, today: datetime.date, units: Units = "both") -> CheckResult:
    """Check the content in use: files, cross references, every combination's sheets, every job.

    Parameters: `content`, a folder of the user's own or None; `today`. Returns a `CheckResult`; raises
    nothing for faults in content.
    """
    problems = Problems()
    try:
        catalog = load(content)
    except ContentError as error:
        return CheckResult(error.problems, (), {})
    found = list(every(catalog, list(catalog.families.values())))
    permitted = [combination for combination in found if not combination.reasons]
    words, shared, seen = load_words(), known(found), _Seen()
    for combination in permitted:
        _lay_out(View(catalog, words, combination, units, known=shared), seen, problems)
    jobs = list(_job_files(catalog))
    for path in jobs:
        _check_job(path, catalog, words, problems)
    looked_at = {
        "families": len(catalog.families),
        "combinations": len(found),
        "permitted": len(permitted),
        "work rules": len(catalog.rules),
        "procedures": len(catalog.procedures),
        "jobs": len(jobs),
    }
    return CheckResult(tuple(problems), tuple(_overdue(catalog, today)), looked_at)


def _lay_out(view: View, seen: _Seen, problems: Problems) -> None:
    """Fill and lay out every procedure of one combination; what does not fit or fill is a problem."""
    for medium, on in MEDIA:
        try:
            for sheet in procedure_sheets(view, medium, on):
                if (medium, sheet.blocks) not in seen:
                    seen.add((medium, sheet.blocks))
                    lay_out((sheet,), medium)
        except PackgenError as error:
            problems.extend(error.problems)


def _job_files(catalog: Catalog) -> Iterator[Path]:
    """The job files of the content folders."""
    for folder in catalog.folders:
        yield from sorted((folder.path / "jobs").glob("*.y*ml"))


def _check_job(path: Path, catalog: Catalog, words: Words, problems: Problems) -> None:
    """A job file can be read, is not refused, and its sheets can be laid out."""
    try:
        job, document = load_job(path, catalog)
        found = combinations(job, catalog)
        for index, combination in enumerate(found):
            for reason in combination.reasons:
                problems.add(document.place(("joints", index)), f"refused: {reason.what}", cure=reason.cure)
        if not any(combination.reasons for combination in found):
            _lay_out_job([View(catalog, words, combination) for combination in found], job, document.file)
    except PackgenError as error:
        problems.extend(error.problems)


def _lay_out_job(views: Sequence[View], job: Job, file: str) -> None:
    """Every sheet and card of a job, filled and laid on faces of both papers; nothing is printed."""
    code = job_code(views, job)
    papers: tuple[Paper, ...] = ("letter", "a4")
    for paper in papers:
        pack, cards, square = pack_medium(paper), card_medium(paper), code_block(code, views[0].words)
        faces = lay_out(pack_sheets(views, job, pack, square, views[0].catalog.folders), pack)
        faces += lay_out(job_card_sheets(views, job, cards, square), cards)
        require_signs(faces, file)


def _overdue(catalog: Catalog, today: datetime.date) -> Iterator[Problem]:
    """Work rules whose review is overdue."""
    for rule in catalog.rules.values():
        if rule.review_by < today:
            what = f"the work rule {rule.id} was to be reviewed by {rule.review_by}"
            yield Problem(catalog.places[("rules", rule.id)], what, cure="review it and write a new date")
