"""Frozen records of the forms of a pack: sign-on list, non-conformance, failed joint, and who signs a gate.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change. Vocabulary: a *form* is a sheet
to fill in that a job has once; a *part* of it is one heading with what stands under it; a part may *draw on*
what the pack says already (the table of stops, the questions of the talk), so that nothing is written twice.
"""

from __future__ import annotations

from typing import Literal

from packgen.model.fields import BoxLabel, Name, Title, Words
from packgen.model.prose import ALWAYS, When
from packgen.model.records import Record

DrawnOn = Literal["stops", "questions", "unrolled saddle", "unrolled coupling"]


class FormBox(Record):
    """One box to fill in, and the words that say what it should hold."""

    label: BoxLabel
    wanted: Words = ""
    fill: Literal["words", "number", "time", "tick"] = "words"


class FormTable(Record):
    """A table to write in: heads with the shares of their columns in percent, and its rows.

    `rows` are the first cells of rows; `lines` more rows are numbered and empty otherwise.
    """

    heads: tuple[BoxLabel, ...]
    shares: tuple[int, ...]
    rows: tuple[BoxLabel, ...] = ()
    lines: int = 0


class FormPart(Record):
    """One heading of a form, the jobs it is for, and what stands under it, in the order of the keys."""

    title: Title
    when: When = ALWAYS
    words: Words = ""
    rule: Name | None = None
    draws_on: DrawnOn | None = None
    ticks: tuple[BoxLabel, ...] = ()
    boxes: tuple[FormBox, ...] = ()
    things: tuple[Words, ...] = ()
    table: FormTable | None = None


class PackForm(Record):
    """One form: `follows` names the procedure behind which it stands; without one it ends the job's forms."""

    id: Name
    title: Title
    words: Words
    follows: Name | None = None
    parts: tuple[FormPart, ...]


class GateSigners(Record):
    """Who signs each kind of gate."""

    hold: Literal["fuser", "checker"]
    witness: Literal["fuser", "checker"]


class PackForms(Record):
    """A pack's forms; `stops` and `talk` are the procedures they draw on.

    `signed_by` says who signs a hold or a witness point; `signed_by_both` names the steps that both sign.
    """

    kind: Literal["pack forms"]
    stops: Name
    talk: Name
    signed_by: GateSigners
    signed_by_both: tuple[Name, ...] = ()
    forms: tuple[PackForm, ...]

    def rules(self) -> tuple[str, ...]:
        """The work rules that the forms print."""
        return tuple(part.rule for form in self.forms for part in form.parts if part.rule)
