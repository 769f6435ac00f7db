"""The fit check's rows about the saddle: is enough of it left beside the hole?

In: a `Request` and the `Ledger` of its values. Out: `Check` rows, where saw or cutter and the saddle's base
are known. Vocabulary: as in `fit`; the *hole* is as wide as the saw cuts, its oversize included, or as the
built-in cutter.
Source: the work rule `saddle-beside-hole`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from packgen.calc import saddle
from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Ledger
from packgen.calc.request import Check, Request, judged
from packgen.calc.tap_values import chosen_saw
from packgen.model.catalog import rule_value
from packgen.units import quantity

# The rows of this file: a pair that fails one of them is impossible by its own drawing data.
SADDLE_ROWS = ("saddle_around", "saddle_along")
_CURE = "correct the label's figures; if they are right take the pair out: such a main needs a tee"


def saddle_checks(ledger: Ledger, request: Request) -> Iterator[Check]:
    """What is left of the saddle beside the hole, round the main and along it.

    Parameters: `ledger`, holding the fitting's drawing data and the saw; `request`. Returns a row for each
    way that can be judged; none for a coupling, or where the label states no drawing data.
    """
    hole = _hole(ledger, request)
    if hole is None or request.is_coupling:
        return
    curve, base = ledger.all("fitting.bore_radius", "fitting.base_angle"), ledger.get("fitting.base_length")
    # A figure of nothing is told already, where the peeled zone is worked out of it.
    if curve is not None and all(curve):
        radius, half_angle = curve
        left = saddle.left_around(radius, half_angle, hole)
        yield _row("saddle_around", left, "beside the hole round the main", request)
    if base:
        left = saddle.left_along(base, hole)
        yield _row("saddle_along", left, "beside the hole along the main", request)


def _hole(ledger: Ledger, request: Request) -> float | None:
    """Diameter of the hole, mm; None where it is not known."""
    if request.method == "built-in cutter":
        cutter = request.label.cutter.diameter if request.label else None
        return cutter.to("mm") if cutter else None
    # Worked out once already: where that failed, asking again would fail again.
    saw = chosen_saw(ledger, request) if "tap.hole_saw" in ledger.values else None
    return saw.size.to("mm") + saw.oversize.to("mm") if saw else None


def _row(key: str, left: float, where: str, request: Request) -> Check:
    """What is left against the work rule's least."""
    least = rule_value(request.catalog.rule("saddle-beside-hole"))
    shown = max(0.0, math.floor((left + FLOAT_NOISE) * 10.0) / 10.0)
    found = request.plain(quantity(f"{shown:.1f} mm"), "down") if shown else "0 mm"
    limit = request.plain(least, "up")
    passed = left >= least.to("mm") - FLOAT_NOISE
    what = f"only {found} of saddle is left {where}, the work rule asks for {limit}"
    return judged(key, found, f"≥ {limit}", passed, what, _CURE)
