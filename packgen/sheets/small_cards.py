"""What a small card cannot hold, said on its first face; and the set for the smallest card.

In: a `View` and a `Medium`. Out: notes and sheets. Vocabulary: a form without figures says which of them
stand on the larger card and in the pack; the *smallest* card (ID-1, the size of a bank card) has no room for
a safety message with the step it guards, so it holds no steps: only values, the earliest times and the longer
ones in heat, and where the work stops, each under the step number it has on pack and larger cards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packgen.sheets.blocks import (
    Block,
    Cell,
    Drawing,
    Points,
    Sheet,
    Span,
    Spans,
    Table,
    Why,
    spans,
    words_of,
)
from packgen.sheets.front import key_values
from packgen.sheets.heat_sheet import bands_table
from packgen.sheets.ladder import ladder_table
from packgen.sheets.media import POSTER, Medium, card_medium
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.standing import applicable, step_numbers
from packgen.sheets.view import View

SMALLEST = "id-1"
# The card whose figures a form without any names.
_WITH_FIGURES = "a6"


def figure_notes(view: View, medium: Medium) -> Iterator[str]:
    """Which figures are left out of a joint's cards; nothing where none is.

    Parameters: `view`; `medium`.
    """
    if medium.figures or medium.form == SMALLEST:
        return
    sheets = procedure_sheets(view, card_medium(_WITH_FIGURES), "cards")
    drawn = [block for sheet in sheets for block in sheet.blocks if isinstance(block, Drawing)]
    if drawn:
        titles = "; ".join(block.figure.title for block in drawn)
        key = "small_cards.figures" if medium.body < POSTER else "small_cards.figures_poster"
        yield view.words(key, figures=titles)


def smallest_set(view: View, notes: tuple[str, ...], code: str) -> tuple[Sheet, ...]:
    """The sheets of the smallest card for one joint.

    Parameters: `view`; `notes` that every first face of a card set carries; `code` as printed.
    """
    words, tag = view.words, view.tag
    printed = words("small_cards.code", code=code)
    said = [Why(spans(text), small=True) for text in (words("small_cards.only_numbers"), *notes, printed)]
    cells = key_values(view).cells
    values = [_value(view, cell) for cell in cells]
    return (
        Sheet("values", words("sheets.card_values"), tag, (*said, Points(tuple(values)))),
        *_times(view),
        Sheet("gates", words("small_cards.gates"), tag, (Points(tuple(_gates(view)), boxed=True),)),
    )


def _value(view: View, cell: Cell) -> Spans:
    """A value behind its name; a blank as its box."""
    if cell.blank:
        return (Span(f"{cell.label}: "), Span(view.words("blank.enter"), "blank"))
    text = f"{cell.value} [{cell.second}]" if cell.second else cell.value
    return (Span(f"{cell.label}: "), Span(text, "value"))


def _times(view: View) -> Iterator[Sheet]:
    """The earliest times after fusion end; none where the label states no wait."""
    for table in ladder_table(view):
        rows = [(*row[0], Span(" "), *row[1]) for row in table.rows if row[1]]
        if rows:
            head = (*table.head[1], Span(":"))
            blocks = (Why(head, small=True), Points(tuple(rows)))
            yield Sheet("times", view.words("small_cards.times"), view.tag, blocks)
    yield from _hotter(view)


def _hotter(view: View) -> Iterator[Sheet]:
    """The longer waits by temperature; where they are not worked out, that there are such."""
    temperature = view.text("cool.reference_temperature")
    if not temperature:
        return
    rows = [row for table in bands_table(view) for row in _hot_rows(view, table)]
    block: Block = Points(tuple(rows)) if rows else Why(spans(view.words("small_cards.see_larger")))
    title = view.words("small_cards.hotter", temperature=temperature)
    yield Sheet("hotter", title, view.tag, (block,))


def _hot_rows(view: View, table: Table) -> Iterator[Spans]:
    """Each hotter band with its waits under their names, then above what temperature nothing is fused."""
    *bands, above = table.rows
    none = view.words("bands.none")
    for row in bands:
        if words_of(row[1]) != none:
            made = [Span(f"{view.words('small_cards.both')} "), *row[0]]
            for at, (name, cell) in enumerate(zip(table.head[1:], row[1:], strict=True)):
                made += [Span(f"{'; ' if at else ': '}{words_of(name)} "), *cell]
            yield tuple(made)
    yield (Span(f"{view.words('small_cards.either')} "), *above[0], Span(": "), *above[1])


def _strong(span: Span) -> Span:
    """Plain words in strong type."""
    return replace(span, kind="strong") if span.kind == "plain" else span


def _gates(view: View) -> Iterator[Spans]:
    """Every hold and witness point of a joint in the order of work, under its step number.

    A gate's bar and words are higher than this card, so that a hold point is bold in all its words instead.
    """
    numbers = step_numbers(view)
    for procedure in applicable(view):
        filled = view.filling(procedure.head.id)
        for step in procedure.steps:
            if step.gate:
                word = view.words(f"gate.{step.gate}")
                line = filled.must_fill(step.runs, step.id)
                if step.gate == "hold":
                    line = tuple(_strong(span) for span in line)
                yield (Span(f"{numbers[step.id]} {word} ", "strong"), *line)
