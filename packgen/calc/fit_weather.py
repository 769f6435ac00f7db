"""The fit check's rows about the weather: air and pipe within the window, the pipe above the dew point.

In: a `Request` and the `Ledger` of its values. Out: `Check` rows. Vocabulary: as in `fit` and `weather`. The
waits in heat are chosen by the hotter of air and pipe surface: a pipe hotter than the window has none.
Sources: the label, the job file, the work rules `control-unit-window-*` and `dew-margin`.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import Ledger
from packgen.calc.request import Check, Request, judged


def weather_checks(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The air's row, and the two of the pipe's surface; where a job does not plan it the crew measures."""
    yield from _air(ledger, request)
    yield from _surface(ledger, request)
    yield from _dew(ledger, request)


def _air(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The air is within the window of fitting and control unit."""
    low, high = ledger.values["weather.ambient_min"], ledger.values["weather.ambient_max"]
    if low.number is not None and high.number is not None and low.number > high.number:
        what = f"no air suits both fitting and control unit: {request.text(low)} to {request.text(high)}"
        yield judged("weather", "", "", False, what, "correct the label's window, or the work rule's")
        return
    if request.ambient is None or low.number is None or high.number is None:
        return
    found, limit = request.plain(request.ambient), f"{request.text(low)} to {request.text(high)}"
    passed = low.number - FLOAT_NOISE <= request.ambient.to("degC") <= high.number + FLOAT_NOISE
    cure = "wait for weather within the window, or shelter and shade the work until it is"
    yield judged("weather", found, limit, passed, f"the air at {found} is outside {limit}", cure)


def _surface(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The pipe is no hotter than the window's air, since no wait is known beyond it."""
    surface, high = ledger.values.get("weather.surface_temperature"), ledger.values["weather.ambient_max"]
    if surface is None or surface.number is None or high.number is None:
        return
    found, limit = request.text(surface), request.text(high)
    what = f"the pipe's surface at {found} is hotter than {limit}, and no wait is known beyond it"
    cure = "shade the pipe, or choose a cooler hour"
    passed = surface.number <= high.number + FLOAT_NOISE
    yield judged("surface", found, f"≤ {limit}", passed, what, cure)


def _dew(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The planned pipe is above the planned dew point by the work rule's margin."""
    if request.job is None:
        return
    margin, least = ledger.values.get("weather.dew_margin"), ledger.values["weather.dew_margin_min"]
    limit = request.text(least)
    if margin is None or margin.number is None or least.number is None:
        yield Check("dew_margin", "", f"≥ {limit}", None)
        return
    found = request.text(margin)
    surface, dew = (
        request.text(ledger.values[f"weather.{name}"]) for name in ("surface_temperature", "dew_point")
    )
    what = f"the pipe's surface at {surface} is {found} above the dew point {dew}, {limit} is the least"
    cure = "choose an hour with drier air, or shelter the pipe, then dry it and warm it without a flame"
    passed = margin.number >= least.number - FLOAT_NOISE
    yield judged("dew_margin", found, f"≥ {limit}", passed, what, cure)
