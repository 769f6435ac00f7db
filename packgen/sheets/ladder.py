"""The ladder of earliest times, counted from fusion end, with cells to write the clock time in.

In: a `View`. Out: a table. Vocabulary: as in `packgen.calc.ladder`; in heat the waits of the marked row go
before those that stand here.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc.cool_values import warmest
from packgen.sheets.blocks import Spans, Table, spans, words_of
from packgen.sheets.measure import held
from packgen.sheets.view import View

RUNGS = ("clamps_off", "test", "tap", "working_pressure", "backfill")


def earliest_words(view: View) -> str:
    """The head of the times: up to which temperature they hold, stated or planned, the hotter."""
    return words_of(_earliest(view))


def _earliest(view: View) -> Spans:
    """The head of the times, its temperature held together."""
    stated = view.combination.number("cool.reference_temperature")
    if stated is None:
        return spans(view.words("ladder.earliest"))
    shown, planned = view.text("cool.reference_temperature"), warmest(view.request)
    if view.combination.number("cool.extra") is not None and planned and planned.to("degC") > stated:
        shown = view.request.plain(planned, "down")
    return held(view.words("ladder.earliest_to", temperature=shown), shown)


def ladder_table(view: View, _names: tuple[str, ...] = ()) -> Iterator[Table]:
    """What may be done, how long after fusion end at the earliest, and a cell for the clock time."""
    words = view.words
    head = (spans(words("ladder.what")), _earliest(view), spans(words("ladder.clock")))
    rows: list[tuple[Spans, ...]] = [(spans(words("ladder.fusion_end"), "strong"), (), ())]
    rows += [
        (
            spans(words(f"ladder.{rung}"), "strong"),
            spans(words("ladder.after", time=view.text(f"clock.{rung}")), "value"),
            (),
        )
        for rung in RUNGS
        if view.text(f"clock.{rung}")
    ]
    yield Table(head, tuple(rows), (0.34, 0.4, 0.26), write=True)
