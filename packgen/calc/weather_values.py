"""In which air may the joint be fused, and does the planned pipe stay dry; put into the ledger.

In: a `Request`; for the dew point a `Ledger` that holds what the job was planned for. Out: weather.*.
Vocabulary: as in `weather`; the *window* is what fitting and control unit share, each end printed as whoever
states it wrote it; what the job does not state is absent, and the crew measures.
Sources: the label, the job file, the work rules `control-unit-window-*` and `dew-margin`; WMO-No. 8.
"""

from __future__ import annotations

from packgen.calc import weather
from packgen.calc.ledger import Input, Ledger
from packgen.calc.request import Request
from packgen.model.catalog import rule_value
from packgen.units import Quantity

MARGIN_RULE = "dew-margin"
_FORMULA = "WMO-No. 8, Annex 4.B"
# An end of the window: what was written, and by whom.
_Bound = tuple[Quantity, str]


def weather_values(ledger: Ledger, request: Request) -> None:
    """The window, the least margin above the dew point, and what the job was planned for."""
    _window(ledger, request)
    margin = rule_value(request.catalog.rule(MARGIN_RULE))
    ledger.stated("weather.dew_margin_min", margin, request.catalog.cite_rule(MARGIN_RULE))
    if request.job:
        site = request.job.site
        ledger.stated("weather.air_temperature", site.ambient, "job file")
        ledger.stated("weather.humidity", site.humidity, "job file")
        ledger.stated("weather.surface_temperature", site.pipe_surface, "job file")


def _window(ledger: Ledger, request: Request) -> None:
    """Each end as the one that governs states it; where no air suits all, the two ends that clash."""
    lows, highs = _bounds(request, "min"), _bounds(request, "max")
    windows = _windows(lows, highs)
    whole = all(low <= high for low, high in windows)
    shared = weather.window_overlap(windows) if whole else None
    clash = max(low for low, _ in windows), min(high for _, high in windows)
    for end, bounds, number in zip(("min", "max"), (lows, highs), shared or clash, strict=True):
        governing = next(quantity for quantity, _ in bounds if quantity.to("degC") == number)
        ledger.stated(f"weather.ambient_{end}", governing, *(source for _, source in bounds))


def _bounds(request: Request, end: str) -> list[_Bound]:
    """One end of the control unit's window, and of the fitting's where its label states one."""
    rule = request.catalog.rule(f"control-unit-window-{end}")
    bounds = [(rule_value(rule), request.catalog.cite_rule(rule.id))]
    stated = getattr(request.label.weather, f"ambient_{end}") if request.label else None
    return [*bounds, (stated, request.label_source)] if stated is not None else bounds


def _windows(lows: list[_Bound], highs: list[_Bound]) -> list[tuple[float, float]]:
    """The control unit's window, and the fitting's; an end that the label is silent on is the unit's."""
    ends = ((lows[at][0], highs[at][0]) for at in (0, -1))
    return [(low.to("degC"), high.to("degC")) for low, high in ends]


def dew_values(ledger: Ledger, _request: Request) -> None:
    """Where the planned air leaves water or frost, and how far above that the planned pipe is.

    Absent where the job states no air, humidity or surface.
    """
    planned = ledger.all("weather.air_temperature", "weather.humidity")
    if planned is None:
        return
    settles_at = weather.settling_point(*planned)
    inputs: list[Input] = ["weather.air_temperature", "weather.humidity"]
    words = "temperature at which the planned air leaves water on a surface, or frost where that is warmer"
    ledger.worked("weather.dew_point", settles_at, words, inputs, _FORMULA)
    surface = ledger.get("weather.surface_temperature")
    if surface is None:
        return
    words = "planned temperature of the pipe's surface less the dew point"
    margin = weather.dew_margin(surface, settles_at)
    inputs = ["weather.surface_temperature", "weather.dew_point"]
    ledger.worked("weather.dew_margin", margin, words, inputs, "arithmetic")
