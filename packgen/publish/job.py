"""Everything for a job: crew pack, pocket cards, one HTML file, values.

In: a job file, the catalogue, options. Out: the files of `build/jobs/ID/`, written whole or not at all; a
refused job writes nothing. Vocabulary: a *notice* is said on the way and changes nothing (a code that
changed without a new revision).
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packgen.calc.request import Combination, request_of
from packgen.calc.work_out import work_out
from packgen.errors import ContentError, Problem
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.publish.code import is_code
from packgen.publish.identity import job_code
from packgen.publish.options import Options
from packgen.publish.printer import Printer
from packgen.publish.values_data import job_data, to_csv, to_json
from packgen.publish.write import write_folder
from packgen.rounding import Units
from packgen.sheets.standing import numbered
from packgen.sheets.view import View
from packgen.sheets.words import load_words

LARGEST = 20_000_000  # bytes; a larger values.json is not one of ours


@dataclass(frozen=True)
class JobResult:
    """What became of one job: its data, its files (none where refused), notices."""

    job: Job
    data: dict[str, Any]
    refused: bool
    folder: Path | None
    files: tuple[str, ...]
    notices: tuple[str, ...]


def combinations(job: Job, catalog: Catalog, units: Units = "both") -> list[Combination]:
    """Every joint of a job, worked out; `units` is how texts are printed."""
    return [work_out(request_of(job, joint, catalog, units)) for joint in job.joints]


def issue(
    path: Path, catalog: Catalog, options: Options, printer: Printer, issued: Collection[str] = ()
) -> JobResult:
    """Issue one job.

    Parameters: `path` of the job file; `catalog`; `options`; the `printer`; the ids `issued` in this run.
    Returns a `JobResult`. Raises `PackgenError` where the file or a face of the pack cannot be used; nothing
    is written then.
    """
    job, document = load_job(path, catalog)
    if job.id in issued:
        what = f"the job id {job.id!r} was issued already in this run"
        raise ContentError([Problem(document.place(("id",)), what, cure="give each job an id of its own")])
    if options.date:  # qualification, calibration and approval are judged on the day that is printed
        job = job.model_copy(update={"date": datetime.date.fromisoformat(options.date)})
    found = combinations(job, catalog, options.units)
    words = load_words()
    views = numbered([View(catalog, words, combination, options.units) for combination in found])
    code = job_code(views, job)
    date = job.date.isoformat()
    joints = [(joint.id, combination) for joint, combination in zip(job.joints, found, strict=True)]
    data = job_data(job, code, date, joints, options.units)
    if any(combination.reasons for combination in found):
        return JobResult(job, data, True, None, (), ())
    folder = options.output / "jobs" / job.id
    notices = _notices(folder, job, code)
    files = _files(views, job, code, date, options, data, joints, printer)
    write_folder(folder, files)
    return JobResult(job, data, False, folder, tuple(files), notices)


def _files(
    views: Sequence[View], job: Job, code: str, date: str, options: Options, data: dict[str, Any],
    joints: Sequence[tuple[str, Combination]], printer: Printer,
) -> dict[str, bytes]:  # fmt: skip
    """The bytes of every file."""
    from packgen.publish.documents import job_documents  # heavy: layout and PDF

    values = to_json(data).encode()
    files = job_documents(views, job, code, date, options, printer, values)
    files["values.json"] = values
    files["values.csv"] = to_csv(joints, options.units).encode()
    return files


def _notices(folder: Path, job: Job, code: str) -> tuple[str, ...]:
    """A code that changed under the same id and revision, or a later revision that is being replaced."""
    before = _issued_before(folder / "values.json")
    if before is None or before["job"] != job.id:
        return ()
    revision, old = before["revision"], before["code"]
    if revision > job.revision:
        sentence = (
            f"job {job.id} revision {job.revision} takes the place of its later revision {revision}: "
            "raise the revision before you hand it out"
        )
        return (sentence,)
    if revision < job.revision or old == code:
        return ()
    sentence = (
        f"job {job.id} revision {job.revision} was issued before with the code {old}; words or values have "
        f"changed since, and the code is now {code}: raise the revision before you hand it out"
    )
    return (sentence,)


def _issued_before(path: Path) -> dict[str, Any] | None:
    """The values.json of an earlier pack; None where there is none, or where it is not packgen's."""
    try:
        if not path.is_file() or path.stat().st_size > LARGEST:
            return None
        before = json.loads(path.read_text("utf-8"))
        known = isinstance(before["revision"], int) and is_code(before["code"])
        return {key: before[key] for key in ("job", "revision", "code")} if known else None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
