"""What tests of whole packs share: both demo jobs issued once, the text of their pages, the command line as
a user sees it.

In: the starter's job files. Out: fixtures `issued` (one run of `packgen job` in a process of its own),
`issued_alone` (the first of them again, under other circumstances), `packgen` (the command line in this
process), `job_file` (a job of the starter with things changed), `light` (nothing is printed) and
`cover_only`. Vocabulary: *fold* leaves no difference between a line break and a space; *shared* is made once
for all processes of a run.
"""

from __future__ import annotations

import fcntl
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from packgen.model.catalog import Catalog
from packgen.model.load import load

ROOT = Path(__file__).parents[1]
JOBS = ROOT / "content" / "jobs"


@dataclass(frozen=True)
class Issued:
    """One job as `packgen job` left it."""

    folder: Path

    def path(self, name: str) -> Path:
        """A file of the job."""
        return self.folder / name

    def pages(self, name: str) -> tuple[str, ...]:
        """The text of each page of a PDF, lines as printed."""
        return _pdf_pages(self.folder / name)

    def folded(self, name: str) -> str:
        """The text of a whole PDF, folded."""
        return " ".join(fold(page) for page in self.pages(name))

    @property
    def data(self) -> dict[str, Any]:
        """values.json."""
        found: dict[str, Any] = json.loads(self.path("values.json").read_text("utf-8"))
        return found

    @property
    def values(self) -> dict[str, dict[str, Any]]:
        """The values of the job's one joint."""
        found: dict[str, dict[str, Any]] = self.data["joints"][0]["values"]
        return found


@dataclass(frozen=True)
class Ran:
    """What a user sees of one command: exit code, standard output, standard error."""

    code: int
    out: str
    err: str


@cache
def _pdf_pages(path: Path) -> tuple[str, ...]:
    """The text of each page of a PDF."""
    document = pypdfium2.PdfDocument(path)
    try:
        texts = [page.get_textpage().get_text_bounded() for page in document]
    finally:
        document.close()
    # PDFium gives a hyphen at the end of a line as U+0002 and leaves the line break out.
    return tuple(text.replace("\r\n", "\n").replace("\x02", "-") for text in texts)


def fold(text: str) -> str:
    """Text with every run of white space as one space."""
    return re.sub(r"\s+", " ", text).strip()


def run_packgen(*arguments: str | Path, cwd: Path, environment: Mapping[str, str] | None = None) -> Ran:
    """`packgen` in a process of its own."""
    run = subprocess.run(
        [sys.executable, "-m", "packgen.cli", *map(str, arguments)],
        cwd=cwd,
        env={**os.environ, **(environment or {})},
        capture_output=True,
        text=True,
        check=False,
        timeout=400,
    )
    return Ran(run.returncode, run.stdout, run.stderr)


@pytest.fixture(scope="session")
def packgen_process() -> Callable[..., Ran]:
    """`packgen` in a process of its own: arguments, `cwd=`, `environment=`."""
    return run_packgen


def shared(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """A folder for every process of this run: the first that asks makes it, the others wait and read it."""
    base = factory.getbasetemp()
    top = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    folder, whole = top / name, top / f"{name}.whole"
    with (top / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not whole.exists():
            shutil.rmtree(folder, ignore_errors=True)  # what a process left that failed
            folder.mkdir()
            make(folder)
            whole.touch()
    return folder


@pytest.fixture(scope="session")
def issued(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Issued]:
    """Both demo jobs, issued once by one command in a process of its own, with two workers.

    Hash seed, time zone and language are given, so that `issued_alone` differs in each.
    """

    def make(folder: Path) -> None:
        files = [JOBS / "first-lateral.yaml", JOBS / "repair-tie-in.yaml"]
        here = {"TZ": "America/Adak", "PYTHONHASHSEED": "2", "LANG": "tr_TR.UTF-8"}
        output = folder / "build"
        ran = run_packgen("job", *files, "--workers", "2", "--output", output, cwd=folder, environment=here)
        assert ran.code == 0, ran.err

    jobs = shared(tmp_path_factory, "issued", make) / "build" / "jobs"
    return {"first-lateral": Issued(jobs / "HL-0427"), "repair-tie-in": Issued(jobs / "HL-0431")}


@pytest.fixture(scope="session")
def issued_alone(tmp_path_factory: pytest.TempPathFactory) -> Issued:
    """The first demo job and a copy to archive: issued elsewhere, at another minute, alone, by one worker."""

    def make(folder: Path) -> None:
        # The clock moves on between runs; a file of another age must not matter either.
        job = folder / "elsewhere.yaml"
        job.write_bytes((JOBS / "first-lateral.yaml").read_bytes())
        os.utime(job, (1, 1))
        there = {"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1"}
        ran = run_packgen("job", job, "--workers", "1", "--archive", cwd=folder, environment=there)
        assert ran.code == 0, ran.err

    return Issued(shared(tmp_path_factory, "issued-alone", make) / "build" / "jobs" / "HL-0427")


@pytest.fixture(scope="session")
def read_pages() -> Callable[[Path], tuple[str, ...]]:
    """The text of each page of a PDF."""
    return _pdf_pages


@pytest.fixture
def packgen(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """The command line in this process: arguments in, exit code and both outputs out."""

    def run(*arguments: str | Path) -> Ran:
        from packgen.cli import main

        monkeypatch.setattr(sys, "argv", ["packgen", *map(str, arguments)])
        capsys.readouterr()
        try:
            main()
            code = 0
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 0 if left.code is None else 1
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return Ran(code, out, err)

    return run


@cache
def _starter() -> Catalog:
    """The starter's content, read once."""
    return load(ROOT / "content")


@pytest.fixture
def one_catalog(monkeypatch: pytest.MonkeyPatch) -> None:
    """The starter's content is read once for all tests that say so; --content is read as ever."""
    import packgen.model.load as loading

    def read(content: Path | None = None, *, prose: bool = True) -> Catalog:
        return load(content, prose=prose) if content else _starter()

    monkeypatch.setattr(loading, "load", read)


@pytest.fixture
def light(monkeypatch: pytest.MonkeyPatch, one_catalog: None) -> None:  # noqa: ARG001  # asked for its effect
    """Layout and print left out, where a test looks at what stands around them."""
    import packgen.publish.documents as documents

    monkeypatch.setattr(documents, "job_documents", lambda *_: {"crew-pack.pdf": b"stub"})


@pytest.fixture
def cover_only(monkeypatch: pytest.MonkeyPatch, one_catalog: None) -> None:  # noqa: ARG001  # as above
    """The whole pack is put together, and its cover alone is laid out, printed and guarded; cards, labels,
    tags and records are left out.
    """
    import packgen.publish.documents as documents

    for name in ("stack_files", "_labels_and_tags"):
        monkeypatch.setattr(documents, name, lambda *_: {})
    monkeypatch.setattr(documents, "_records", lambda *_: b"stub")
    made = documents.pack_sheets
    monkeypatch.setattr(documents, "pack_sheets", lambda *arguments: made(*arguments)[:1])


@pytest.fixture
def job_file(tmp_path: Path) -> Callable[..., Path]:
    """A job of the starter with things changed: `job_file(("old", "new"), …, of="first-lateral",
    name="job")`.
    """

    def make(*changes: tuple[str, str], of: str = "first-lateral", name: str = "job") -> Path:
        text = (JOBS / f"{of}.yaml").read_text("utf-8")
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        path = tmp_path / f"{name}.yaml"
        path.write_text(text, "utf-8")
        return path

    return make
