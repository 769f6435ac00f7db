"""How long `packgen values` takes from a cold start, beside the libraries that reading facts needs.

In: `python tests/bench/bench_values.py [runs]` from a checkout. Out: a table and exit code 1 where the
ratio limit is broken. Vocabulary: *bare* is a script in a process of its own that imports what reading
and checking facts needs (PyYAML, pint's registry, pydantic, typer) and does nothing with it; *cold* is a
new process. The two run in turns and the median counts.

Limits: 0.6 s on the two-core reference machine (printed beside, not judged: other machines differ), at
most 3 times bare.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SECONDS, RATIO = 0.6, 3.0
BARE = "import pint, pydantic, typer, yaml; pint.UnitRegistry(None)"
VALUES = ("values", "6 in IPS DR 11 PE4710", "2 in IPS", "--family", "demo-saddle-screw", "--format", "json")


def seconds(*command: str) -> float:
    """The seconds a command takes from the top folder; it must succeed."""
    started = time.perf_counter()
    run = subprocess.run([sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False)
    if run.returncode:
        sys.exit(f"{command} failed:\n{run.stderr}")
    return time.perf_counter() - started


def main() -> int:
    """Measure in turns, print, judge."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    bare, values = [], []
    for _ in range(runs):
        bare.append(seconds("-c", BARE))
        values.append(seconds("-m", "packgen.cli", *VALUES))
    took, least = statistics.median(values), statistics.median(bare)
    print(f"bare            {least:6.2f} s   {runs} turns")
    print(f"packgen values  {took:6.2f} s   (reference machine: {SECONDS} s)")
    print(f"ratio           {took / least:6.2f}     limit {RATIO}")
    return 1 if took / least > RATIO else 0


if __name__ == "__main__":
    sys.exit(main())
