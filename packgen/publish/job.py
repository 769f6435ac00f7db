"""Everything for a job: crew pack, pocket cards, one HTML file, values.

In: a job file, the catalogue, options. Out: the files of `build/jobs/ID/`, written whole or not at all; a
refused job writes nothing. Vocabulary: a *notice* is said on the way and changes nothing (a code that
changed without a new revision).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.load import load_job
from packgen.publish.identity import job_code
from packgen.publish.options import Options
from packgen.publish.printer import Printer
from packgen.publish.values_data import job_data, to_csv, to_json
from packgen.publish.write import write_folder
from packgen.rounding import Units
from packgen.sheets.view import View
from packgen.sheets.words import load_words


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
    main = catalog.pipe(job.main)
    return [
        work_out(
            Request(
                catalog,
                main,
                catalog.pipe(joint.lateral),
                catalog.families[joint.family],
                job.site.ambient,
                job,
                joint,
                units,
            )
        )
        for joint in job.joints
    ]


def issue(path: Path, catalog: Catalog, options: Options, printer: Printer) -> JobResult:
    """Issue one job.

    Parameters: `path` of the job file; `catalog`; `options`; the `printer`. Returns a `JobResult`. Raises
    `PackgenError` where the file or a face of the pack cannot be used; nothing is written then.
    """
    job, _ = load_job(path, catalog)
    found = combinations(job, catalog, options.units)
    words = load_words()
    views = [View(catalog, words, combination, options.units) for combination in found]
    code = job_code(views, job)
    date = options.date or job.date.isoformat()
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

    files = job_documents(views, job, code, date, options, printer)
    files["values.json"] = to_json(data).encode()
    files["values.csv"] = to_csv(joints, options.units).encode()
    return files


def _notices(folder: Path, job: Job, code: str) -> tuple[str, ...]:
    """A code that changed under the same id and revision since the pack already in the folder."""
    try:
        before = json.loads((folder / "values.json").read_text("utf-8"))
        same = before["job"] == job.id and before["revision"] == job.revision
        changed = same and before["code"] != code
    except (OSError, ValueError, KeyError, TypeError):
        return ()
    if not changed:
        return ()
    sentence = (
        f"job {job.id} revision {job.revision} was issued before with the code {before['code']}; "
        f"words or values have changed since, and the code is now {code}: "
        "raise the revision before you hand it out"
    )
    return (sentence,)
