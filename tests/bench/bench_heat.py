"""How long the waits in heat of one joint take, and all values of a thousand combinations on one core.

In: `python tests/bench/bench_heat.py [combinations]` from a checkout. Out: a table and exit code 1 where a
limit of ratio or memory is broken. Vocabulary: *bare* is work of the same kind, written the plain way and
timed in the same run. For one joint it is a march in numpy over as many points, columns and steps, row by
row, without melting and without a look at whether a step has settled: two stages a step, two tries each, as
the rule in time needs. For the combinations it is one conversion of pint for each printed text. *Memory* is
the largest resident size of this process, as the kernel counts it, after the first half of the combinations
and after all of them. They are those of every family, again and again at another air temperature, so that
each joint is solved anew.

Limits: 50 ms for a joint at all bands and 80 s for a thousand combinations on the reference machine (printed
beside, not judged: other machines differ); at most 1.5 times the bare march and 3 times the bare conversions;
at most 8 MB more after the second half than after the first.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # one core, as `packgen` itself asks for; before numpy is imported

import itertools
import resource
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pint

from packgen.calc.heat import HeatCase, cool_together
from packgen.calc.request import Request
from packgen.calc.work_out import work_out
from packgen.model.load import load
from packgen.publish.selection import every
from packgen.register import BAND_LIMITS
from packgen.units import quantity

ROOT = Path(__file__).resolve().parents[2]
JOINT_MS, JOINT_RATIO = 50.0, 1.5
COMBINATIONS, SECONDS, RATIO = 1000, 80.0, 3.0
MORE_MEGABYTES = 8.0
TURNS = 15  # of one joint: the median is then steady
POINTS, TRIES = 29, 4  # fourteen pieces of each wall and the plane; two stages, two tries each
# A small saddle on a 6 in main, invented: walls in mm, kJ, mm2, s, degree Celsius.
FLAT = HeatCase(12.0, 15.3, 5.0, 2000.0, 90.0, 80.0, film_outside=8.0, film_inside=3.0)
REFERENCE = 23.0


def milliseconds(work: Callable[[], object]) -> float:
    """How long some work takes, once."""
    started = time.perf_counter()
    work()
    return 1000.0 * (time.perf_counter() - started)


def megabytes() -> float:
    """The largest size this process has had; the kernel counts in KiB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e6


def bare_march(points: int, columns: int, steps: int) -> None:
    """As many tries as a march has, each one elimination inward and back, in plain numpy."""
    temperature = np.full((points, columns), 200.0)
    off, diagonal = np.full((points, columns), 0.3), np.full((points, columns), 1.6)
    for _ in range(steps * TRIES):
        pivot, known = diagonal.copy(), temperature.copy()
        for row in range(1, points):
            share = off[row] / pivot[row - 1]
            pivot[row] -= share * off[row - 1]
            known[row] += share * known[row - 1]
        known[-1] /= pivot[-1]
        for row in range(points - 2, -1, -1):
            known[row] = (known[row] + off[row] * known[row + 1]) / pivot[row]
        temperature = known


def joint() -> bool:
    """Measure, print and judge one joint at all bands, its walls flat and round, as `values` solves it."""
    ambients = [REFERENCE, *map(float, BAND_LIMITS)]
    cases = [FLAT, replace(FLAT, plane_radius=84.0)]
    steps = len(cool_together(cases, ambients)[0].times)
    columns = len(ambients) * len(cases)
    ours, bare = [], []
    for _ in range(TURNS):
        ours.append(milliseconds(lambda: cool_together(cases, ambients)))
        bare.append(milliseconds(lambda: bare_march(POINTS, columns, steps)))
    took, least = statistics.median(ours), statistics.median(bare)
    print(
        f"bare march      {least:7.1f} ms  {POINTS} points, {columns} columns, {steps} steps, {TURNS} turns"
    )
    print(f"one joint       {took:7.1f} ms  (reference machine: {JOINT_MS:g} ms)")
    print(f"ratio           {took / least:7.2f}     limit {JOINT_RATIO}")
    return took / least <= JOINT_RATIO


def requests() -> Iterator[Request]:
    """The combinations of every family without end, each round at another air temperature."""
    catalog = load(ROOT / "content", prose=False)
    listed = [found.request for found in every(catalog, list(catalog.families.values()))]
    for tenths in itertools.cycle(range(50, 400, 7)):
        air = quantity(f"{tenths / 10:g} degC")
        yield from (replace(request, ambient=air) for request in listed)


def combinations(count: int) -> bool:
    """Measure, print and judge many combinations: time, and memory after each half."""
    stream, sizes, texts, seconds = requests(), [], 0, 0.0
    for half in (count // 2, count - count // 2):
        for request in itertools.islice(stream, half):
            started = time.perf_counter()
            found = work_out(request)
            texts += sum(bool(value.text("both", request.first)) for value in found.values.values())
            seconds += time.perf_counter() - started
        sizes.append(megabytes())
    registry = pint.UnitRegistry()
    least = milliseconds(lambda: [registry.Quantity(at + 1.0, "mm").to("in") for at in range(texts)]) / 1000
    more = sizes[1] - sizes[0]
    print(f"bare            {least:7.1f} s   {texts} conversions")
    print(
        f"combinations    {seconds:7.1f} s   {count}, one core (reference machine: {SECONDS:g} s for 1,000)"
    )
    print(f"ratio           {seconds / least:7.2f}     limit {RATIO}")
    print(f"memory          {sizes[0]:7.1f} MB  after half, {sizes[1]:.1f} MB after all")
    print(f"more            {more:7.1f} MB  limit {MORE_MEGABYTES:g} MB")
    return seconds / least <= RATIO and more <= MORE_MEGABYTES


def main() -> int:
    """Measure, print, judge."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COMBINATIONS
    within = joint()
    return 0 if combinations(count) and within else 1


if __name__ == "__main__":
    sys.exit(main())
