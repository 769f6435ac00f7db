"""The label for the control unit's case: what the unit must give, on what cord, and what is proved first.

In: a `View`. Out: two sheets, the label's front and its back. Vocabulary: as in `packgen.calc.power`; a label
is for one size, as everything that is worked out from its power is.
"""

from __future__ import annotations

from packgen.sheets.blocks import Block, Code, Points, Section, Sheet, Why, spans
from packgen.sheets.cord_sheet import cord_tables
from packgen.sheets.front import value_cells
from packgen.sheets.view import View

NAMES = (
    "fuse.voltage", "fuse.terminal", "fuse.time", "cool.clamp_time",
    "cool.reference_temperature", "weather.ambient_min",
    "weather.ambient_max", "power.supply_voltage", "power.supply_current", "power.generator_rating",
    "power.generator_rating_apparent",
)  # fmt: skip


def label_sheets(view: View, code: Code) -> tuple[Sheet, ...]:
    """What stands on the case: values and the longest cords on the front, proofs before power on the back."""
    words, title = view.words, view.words("sheets.case_label")
    front: list[Block] = [Why(spans(words("case_label.intro", family=view.request.family.title), "strong"))]
    front.append(value_cells(view, NAMES))
    cords = tuple(cord_tables(view))
    if cords:
        front += [Section(words("case_label.cords")), Why(spans(words("cords.intro"))), *cords]
    other = "cord_unknown" if cords else "cord"
    proofs = [spans(text) for key, text in words.group("case_proofs").items() if key != other]
    back: list[Block] = [Section(words("case_label.before")), Points(tuple(proofs), boxed=True)]
    back += [Why(spans(words("case_label.governs"), "strong")), code]
    return tuple(Sheet("case-label", title, view.tag, tuple(blocks)) for blocks in (front, back))
