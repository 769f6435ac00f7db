"""How long `packgen job` takes beside the bare layout library, its guard beside its printing, its memory.

In: `python tests/bench/bench_job.py [runs]` from a checkout. Out: a table and exit code 1 where a limit
of ratio or memory is broken. Vocabulary: *bare* is a script in a process of its own that imports
WeasyPrint and renders the same HTML once, pack and then cards, as the code itself made it: the least any
program of this kind can take; *cold* is a new process with a fresh output folder. The two run in turns,
so that both meet the same machine; the median of the turns counts. Memory is the largest resident size of
any one process of the run, as the kernel counts it.

Limits: job at most 2.5 s on the two-core reference machine (printed beside, not judged: other machines
differ), at most 1.6 times bare, at most 300 MB; the guard takes at most 40 % of the time that making the PDF
takes, both counted in processor time within one process.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
JOB = ROOT / "content" / "jobs" / "first-lateral.yaml"
SECONDS, RATIO, MEGABYTES, GUARD = 2.5, 1.6, 300.0, 0.40

# Runs a command and prints its seconds and the largest resident size among it and its children, in KiB.
MEASURE = """
import json, resource, subprocess, sys, time
started = time.perf_counter()
run = subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
seconds = time.perf_counter() - started
if run.returncode:
    sys.exit(run.stderr or f"exit code {run.returncode}")
print(json.dumps([seconds, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss]))
"""

# Renders each pair of HTML and CSS files given, once.
BARE = """
import sys
from pathlib import Path
import weasyprint
from weasyprint.text.fonts import FontConfiguration
fonts = FontConfiguration()
for html, css in zip(sys.argv[1::2], sys.argv[2::2]):
    sheet = weasyprint.CSS(filename=css, font_config=fonts)
    weasyprint.HTML(filename=html).write_pdf(html + ".pdf", stylesheets=[sheet], font_config=fonts)
"""


@dataclass(frozen=True)
class Run:
    """One run: seconds and the largest process in MB."""

    seconds: float
    megabytes: float


def measured(*command: str | Path) -> Run:
    """Run a command from the top folder, measured by a process that has no other children."""
    made = subprocess.run(
        [sys.executable, "-c", MEASURE, *map(str, command)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode:
        sys.exit(f"{command[:4]} failed:\n{made.stderr}")
    seconds, kibibytes = json.loads(made.stdout)
    return Run(seconds, kibibytes * 1024 / 1e6)


def dump(folder: Path) -> tuple[list[Path], float]:
    """The HTML and CSS of every document as made for the printer; the guard's share of the time."""
    from packgen.model.load import load
    from packgen.publish import job as job_module
    from packgen.publish.options import Options
    from packgen.publish.printer import Printer
    from packgen.render import pdf

    kept: list[Path] = []
    spent = {"made": 0.0, "guarded": 0.0}
    printer_of, guard_of = pdf.html_to_pdf, pdf.guard

    def keep(html: str, css: str, file: str, **choices: Any) -> bytes:
        place = folder / f"{len(kept)}-{file}"
        html_file, css_file = place.with_suffix(".html"), place.with_suffix(".css")
        html_file.write_text(html, "utf-8")
        css_file.write_text(css, "utf-8")
        kept.extend((html_file, css_file))
        started = time.process_time()
        made = printer_of(html, css, file, **choices)
        spent["made"] += time.process_time() - started
        return made

    def guard(*arguments: Any, **choices: Any) -> None:
        started = time.process_time()
        guard_of(*arguments, **choices)
        spent["guarded"] += time.process_time() - started

    pdf.html_to_pdf, pdf.guard = keep, guard
    try:
        pdf.warm()
        with Printer(1) as printer:
            job_module.issue(JOB, load(here=ROOT), Options(output=folder / "build", workers=1), printer)
    finally:
        pdf.html_to_pdf, pdf.guard = printer_of, guard_of
    return kept, spent["guarded"] / spent["made"]


def main() -> int:
    """Measure in turns, print, judge."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        documents, share = dump(folder)
        bare, job = [], []
        for turn in range(runs):
            bare.append(measured(sys.executable, "-c", BARE, *documents))
            job.append(
                measured(sys.executable, "-m", "packgen.cli", "job", JOB, "--output", folder / f"out-{turn}")
            )
    took, least = (statistics.median(run.seconds for run in each) for each in (job, bare))
    memory = max(run.megabytes for run in job)
    ratio = took / least
    print(f"documents       {len(documents) // 2}, {runs} turns")
    print(f"bare            {least:6.2f} s   {max(run.megabytes for run in bare):6.0f} MB")
    print(f"packgen job     {took:6.2f} s   {memory:6.0f} MB   (reference machine: {SECONDS} s)")
    print(f"ratio           {ratio:6.2f}     limit {RATIO}")
    print(f"memory          {memory:6.0f} MB  limit {MEGABYTES:.0f} MB")
    print(f"guard           {share:6.2f}     of making the PDF, limit {GUARD}")
    return 1 if ratio > RATIO or memory > MEGABYTES or share > GUARD else 0


if __name__ == "__main__":
    started = time.perf_counter()
    code = main()
    print(f"measured in     {time.perf_counter() - started:6.1f} s")
    sys.exit(code)
