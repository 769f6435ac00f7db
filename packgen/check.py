"""Everything that can be wrong with content, its sentences included, in one run, writing nothing.

In: content folders. Out: a list of problems and a list of warnings. Vocabulary: a *warning* does not stop
a pack (a work rule whose review is overdue, a stated torque that seems too high, a conductor of no table).
This is the only part that looks at today's date.
"""

from __future__ import annotations

import datetime
import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain
from pathlib import Path

from packgen.calc.fit_saddle import SADDLE_ROWS
from packgen.calc.request import Combination
from packgen.errors import ContentError, PackgenError, Place, Problem, Problems
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.model.prose_lint import lint_prose
from packgen.model.tool_check import is_listed
from packgen.publish.card_kinds import KINDS, kind_faces
from packgen.publish.identity import job_code
from packgen.publish.job import combinations
from packgen.publish.marks import code_block
from packgen.publish.selection import every
from packgen.publish.workers import in_batches
from packgen.render.pdf import require_signs
from packgen.rounding import Units
from packgen.sheets.blocks import Block
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.media import Medium, Paper, card_medium, default_form, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.records import record_sheets
from packgen.sheets.standing import On, numbered
from packgen.sheets.view import View, known
from packgen.sheets.words import Words, load_words, words_document

# Where each procedure is laid out.
MEDIA: tuple[tuple[Medium, On], ...] = (
    (pack_medium("letter"), "pack"),
    (pack_medium("a4"), "pack"),
    (card_medium("quarter-letter"), "cards"),
    (card_medium("a6"), "cards"),
)
# What was laid out already: many combinations share most of their sheets.
_Seen = set[tuple[Medium, tuple[Block, ...]]]


@dataclass(frozen=True)
class CheckResult:
    """What was found: problems stop packs, warnings do not; counts of what was looked at."""

    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    looked_at: dict[str, int]


def check(content: Path | None, today: datetime.date, units: Units = "both", workers: int = 1) -> CheckResult:
    """Check the content in use: files, cross references, every combination's sheets, every job.

    Parameters: `content`, a folder of the user's own or None; `today`; `workers`, the number of processes.
    Returns a `CheckResult`; raises nothing for faults in content.
    """
    problems = Problems()
    try:
        catalog = load(content)
    except ContentError as error:
        return CheckResult(error.problems, (), {})
    problems.extend(lint_prose(catalog, [words_document()]))
    found = list(every(catalog, list(catalog.families.values())))
    _check_saddles(found, catalog, problems)
    _check_pairs(found, catalog, problems)
    permitted = [combination for combination in found if not combination.reasons]
    words, shared, jobs = load_words(), known(found), list(_job_files(catalog))
    views = [View(catalog, words, combination, units, known=shared) for combination in permitted]
    # Neighbours share sheets: a batch is large, and still there are some for each process.
    size = math.ceil(len(views) / (2 * workers)) or 1
    for told in chain(
        in_batches(_lay_out_all, views, size, workers, iter),
        in_batches(partial(_check_jobs, catalog, words), jobs, 1, workers, iter),
    ):
        problems.extend(told)
    looked_at = {
        "families": len(catalog.families),
        "combinations": len(found),
        "permitted": len(permitted),
        "work rules": len(catalog.rules),
        "procedures": len(catalog.procedures),
        "jobs": len(jobs),
    }
    warnings = (*_overdue(catalog, today), *_over_torque(found, catalog), *_unlisted(catalog))
    return CheckResult(tuple(problems), warnings, looked_at)


def _check_saddles(found: Sequence[Combination], catalog: Catalog, problems: Problems) -> None:
    """A pair that its own drawing data make impossible is told at its line, once for each reason."""
    told = set()
    for combination in found:
        key = _pair_key(combination)
        for row in combination.checks:
            if row.key in SADDLE_ROWS and row.reason is not None and (key, row.key) not in told:
                told.add((key, row.key))
                place = catalog.places.get(("pairs", key), Place())
                problems.add(place, f"refused: {row.reason.what}", cure=row.reason.cure)


def _pair_key(combination: Combination) -> str:
    """A combination's pair under the name by which the catalogue keeps its place."""
    family, pair = combination.request.family, combination.request.pair
    assert pair is not None  # each combination of `every` is one of a pair
    return f"{family.id}:{family.pairs.index(pair)}"


def _check_pairs(found: Sequence[Combination], catalog: Catalog, problems: Problems) -> None:
    """A pair that is refused at every ratio is told at its line: a family lists only what it can make."""
    of_pair: dict[str, list[Combination]] = defaultdict(list)
    for combination in found:
        of_pair[_pair_key(combination)].append(combination)
    for key, tried in of_pair.items():
        if all(combination.reasons for combination in tried):
            place = catalog.places.get(("pairs", key), Place())
            _tell_refused(min(tried, key=lambda each: len(each.reasons)), place, problems)


def _tell_refused(combination: Combination, place: Place, problems: Problems) -> None:
    """The reasons of the ratio that is refused for the fewest; those of the saddle are told already."""
    ratio = combination.request.main.designation.ratio
    for row in combination.checks:
        if row.reason is not None and row.key not in SADDLE_ROWS:
            what = f"the pair is refused at every ratio; at {ratio}: {row.reason.what}"
            problems.add(place, what, cure=row.reason.cure)


def _lay_out_all(views: Sequence[View]) -> list[Problem]:
    """The problems of some combinations' sheets."""
    seen, problems = _Seen(), Problems()
    for view in views:
        _lay_out(view, seen, problems)
    return list(problems)


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


def _check_jobs(catalog: Catalog, words: Words, paths: Sequence[Path]) -> list[Problem]:
    """The problems of some job files."""
    problems = Problems()
    for path in paths:
        _check_job(path, catalog, words, problems)
    return list(problems)


def _check_job(path: Path, catalog: Catalog, words: Words, problems: Problems) -> None:
    """A job file can be read, is not refused, and its sheets can be laid out."""
    try:
        job, document = load_job(path, catalog)
        found = combinations(job, catalog)
        for index, combination in enumerate(found):
            for reason in combination.reasons:
                problems.add(document.place(("joints", index)), f"refused: {reason.what}", cure=reason.cure)
        if not any(combination.reasons for combination in found):
            views = numbered([View(catalog, words, combination) for combination in found])
            _lay_out_job(views, job, document.file)
    except PackgenError as error:
        problems.extend(error.problems)


def _lay_out_job(views: Sequence[View], job: Job, file: str) -> None:
    """Every sheet and card of a job, filled and laid on faces of both papers; nothing is printed."""
    code = job_code(views, job)
    papers: tuple[Paper, ...] = ("letter", "a4")
    for paper in papers:
        pack, cards = pack_medium(paper), card_medium(default_form(paper))
        square = code_block(code, views[0].words)
        faces = lay_out(pack_sheets(views, job, pack, square, views[0].catalog.folders), pack)
        faces += lay_out(job_card_sheets(views, job, cards, square), cards)
        faces += lay_out(record_sheets(views, job, pack), pack)
        for kind in KINDS:
            faces += tuple(face for view in views for face in kind_faces(kind, view, square, paper))
        require_signs(faces, file)


def _over_torque(found: Sequence[Combination], catalog: Catalog) -> Iterator[Problem]:
    """Pairs whose label states more torque than screw or lug is worked out to bear, each once."""
    told = set()
    for combination in found:
        stated, limit = (combination.values.get(f"clamp.{name}") for name in ("torque", "torque_limit"))
        if stated is None or limit is None or stated.number is None or limit.number is None:
            continue
        key, text = _pair_key(combination), combination.request.text
        if stated.number > limit.number and key not in told:
            told.add(key)
            bears = "what screw or lug bears at the least friction"
            what = f"the torque {text(stated)} is above {bears}, {text(limit)}"
            cure = "read torque, screw and lug on the label again; if they are right ask the fitting's maker"
            yield Problem(catalog.places.get(("pairs", key), Place()), what, cure=cure)


def _unlisted(catalog: Catalog) -> Iterator[Problem]:
    """Conductors that no table of cords shows."""
    for conductor in catalog.conductors.values():
        if not is_listed(conductor.size):
            what = f"the conductor {conductor.id} of {conductor.size} stands in no table of cords"
            cure = "keep it where jobs name such a cord, else take it out"
            yield Problem(catalog.places[("conductors", conductor.id)], what, cure=cure)


def _overdue(catalog: Catalog, today: datetime.date) -> Iterator[Problem]:
    """Work rules whose review is overdue."""
    for rule in catalog.rules.values():
        if rule.review_by < today:
            what = f"the work rule {rule.id} was to be reviewed by {rule.review_by}"
            yield Problem(catalog.places[("rules", rule.id)], what, cure="review it and write a new date")
