"""The starter's content and its demo jobs, read once for all tests of the calculations.

In: the starter's content. Out: the catalogue without prose, and jobs as they are written.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"


@cache
def catalog() -> Catalog:
    """The starter's content, without prose."""
    return load(CONTENT, prose=False)


@cache
def demo_job(name: str) -> Job:
    """A demo job as it is written."""
    return load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())[0]
