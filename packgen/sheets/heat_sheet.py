"""Waits by the temperature of air or pipe: the table a crew reads, and the sheet an engineer reads.

In: a `View`. Out: a table, and a sheet with method, bands before rounding and what moves them. Vocabulary: as
in `packgen.calc.cool_values`; up to the reference temperature the stated waits stand, so that the bands below
it are one row.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packgen.calc.cool_values import WAITS, Cooled, cooled, warmest
from packgen.calc.heat import HeatCase, extra_wait
from packgen.calc.heat_bands import slower
from packgen.calc.ledger import Ledger
from packgen.register import BAND_LIMITS, band_name
from packgen.rounding import plain
from packgen.sheets.blocks import Block, Drawing, Section, Sheet, Spans, Table, Why, spans
from packgen.sheets.figure_cool import cooling_curves
from packgen.sheets.measure import held
from packgen.sheets.view import View
from packgen.units import quantity


def joint_of(view: View) -> Cooled | None:
    """The joint as the heat model sees it; None where the label lacks a datum."""
    return cooled(Ledger(dict(view.values)), view.request)


def bands_table(view: View, _names: tuple[str, ...] = ()) -> Iterator[Table]:
    """The waits by temperature: a row up to the reference, one for each hotter band, and what is too hot."""
    joint = joint_of(view)
    if joint is None:
        return
    words = view.words
    waits = [wait for wait in WAITS if f"cool.{wait}" in view.values]
    head = (spans(words("bands.up_to")), *_heads(view, waits))
    hot = [band for band in joint.bands if joint.limit(band) > joint.reference]
    rows = []
    if joint.coldest <= joint.reference:
        stated = (view.value(f"cool.{wait}") or () for wait in waits)
        rows.append((_upto(view, min(joint.reference, joint.hottest)), spans(words("bands.none")), *stated))
    rows += [(_upto(view, joint.limit(band)), *_cells(view, band, waits)) for band in hot]
    hottest = _degrees(view, joint.hottest)
    no = spans(words("bands.no"), "strong")
    rows.append((spans(words("bands.above", temperature=hottest), "value"), no, *((),) * len(waits)))
    air = warmest(view.request)
    limits = [joint.reference, *(joint.limit(band) for band in hot)]
    marked = next((at for at, limit in enumerate(limits) if air and air.to("degC") <= limit + 1e-9), None)
    yield Table(head, tuple(rows), (0.28, *((0.72 / (len(waits) + 1)),) * (len(waits) + 1)), marked)


def _heads(view: View, waits: list[str]) -> Iterator[Spans]:
    """What stands above the extra wait and the waits."""
    yield spans(view.words("bands.extra"))
    yield from (spans(view.label(f"cool.{wait}")) for wait in waits)


def _upto(view: View, limit: float) -> Spans:
    """A row's temperature."""
    return spans(view.words("bands.to", temperature=_degrees(view, limit)), "value")


def _degrees(view: View, number: float) -> str:
    """A limit of a band in both systems; never printed hotter than it is."""
    return plain(quantity(f"{number:.6g} degC"), view.units, "down")


def _cells(view: View, band: int, waits: list[str]) -> Iterator[Spans]:
    """A band's extra wait and its waits; a box where the label does not state the wait."""
    for name in ("extra", *(f"{wait}_at" for wait in waits)):
        yield view.value(band_name(band, name)) or spans(view.words("blank.enter"), "strong")


def heat_sheets(view: View) -> tuple[Sheet, ...]:
    """How the waits in heat came about: method, every band before rounding, and what would move them."""
    joint = joint_of(view)
    if joint is None:
        return ()
    words = view.words
    blocks: list[Block] = [Why(spans(words(f"bands.{key}"))) for key in ("method", "bound", "left_out")]
    blocks += [Section(words("bands.title_bands")), _all_bands(view, joint)]
    blocks += [Section(words("bands.title_otherwise")), *_otherwise(view, joint)]
    return (Sheet("heat", words("sheets.heat"), view.tag, tuple(blocks)),)


def _all_bands(view: View, joint: Cooled) -> Table:
    """Every band: its limit, the extra wait before rounding, and the printed waits."""
    words = view.words
    waits = [wait for wait in WAITS if f"cool.{wait}" in view.values]
    head = (spans(words("bands.up_to")), spans(words("bands.before")), *_heads(view, waits))
    rows = []
    for band in BAND_LIMITS:
        value = view.values[band_name(band, "extra")]
        before = "" if value.number is None else words("bands.seconds", number=f"{value.number:.1f}")
        rows.append((_upto(view, joint.limit(band)), spans(before), *_cells(view, band, waits)))
    count = len(head)
    return Table(head, tuple(rows), (0.22, *((0.78 / (count - 1)),) * (count - 1)), small=True)


def _hottest(joint: Cooled) -> float | None:
    """The hottest temperature that is reckoned with; None where it is no hotter than the reference."""
    limits = [limit for limit in map(joint.limit, joint.bands) if joint.far_enough(limit)]
    hottest = max(limits, default=joint.reference)
    return hottest if hottest > joint.reference else None


def _otherwise(view: View, joint: Cooled) -> Iterator[Block]:
    """The extra wait of the hottest band, if one thing were assumed otherwise, and how the plane cools."""
    words, hottest, cases = view.words, _hottest(joint), _assumed(view, joint)
    if hottest is None:
        yield Why(spans(words("bands.no_hot")))
        return
    found = slower(list(cases.values()), joint.radius, joint.reference, hottest)
    degrees = _degrees(view, hottest)
    then = held(words("bands.extra_then", temperature=degrees), degrees)
    head = (spans(words("bands.assumed")), then)
    rows = []
    for key, cooling in zip(cases, found, strict=True):
        reference, hot = cooling.seconds
        extra = _minutes(view, extra_wait(hot, reference))
        rows.append((spans(words(f"bands.{key}")), spans(extra, "value")))
    yield Table(head, tuple(rows), (0.68, 0.32), small=True)
    end, as_it_is = joint.case.end_temperature, found[0]
    texts = [_degrees(view, each) for each in (joint.reference, hottest, end)]
    texts += [_minutes(view, seconds) for seconds in as_it_is.seconds]
    yield Drawing(cooling_curves(as_it_is, end, texts, words.group("figures"), 170.0))


def _minutes(view: View, seconds: float) -> str:
    """A time of the model, to a tenth of a minute."""
    return view.words("bands.minutes", number=f"{seconds / 60.0:.1f}")


def _assumed(view: View, joint: Cooled) -> dict[str, HeatCase]:
    """The joint as it is, then with one thing assumed otherwise, by the key of its words."""
    case = joint.case
    thick = view.combination.number(view.request.fused + "wall_max") or case.pipe_wall
    most = view.combination.number("fuse.energy_max") or case.energy
    return {
        "as_it_is": case, "film_low": replace(case, film_outside=5.0),
        "film_high": replace(case, film_outside=12.0), "inside_none": replace(case, film_inside=0.0),
        "wall_thick": replace(case, pipe_wall=min(thick, joint.radius)),
        "energy_most": replace(case, energy=most),
        "poor_conductor": replace(case, plastic=replace(case.plastic, conductivity=0.33)),
        "good_conductor": replace(case, plastic=replace(case.plastic, conductivity=0.53)),
    }  # fmt: skip
