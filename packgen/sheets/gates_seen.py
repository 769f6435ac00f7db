"""The steps of a job in the order of its sheets, and who signs its hold and witness points.

In: the views of a job's joints. Out: a record for each step that stands on a sheet. Vocabulary: a *standing*
step is one that is printed; the *activity* is the heading of its sheet that it stands under. A shared sheet
is told once, with the joint that it stands with and without that joint's name.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packgen.model.prose import Heading, Procedure, StepText
from packgen.sheets.blocks import Spans
from packgen.sheets.front import of_joint
from packgen.sheets.standing import applicable, step_numbers
from packgen.sheets.view import View


@dataclass(frozen=True)
class StandingStep:
    """A step as it is printed: its joint's view, its sheet's title, its activity, number and words."""

    view: View
    title: str
    activity: str
    number: int
    step: StepText
    line: Spans

    @property
    def signer(self) -> str:
        """The key of the words for who signs it: the fuser, but at a gate whoever the forms name."""
        forms, gate = self.view.catalog.pack_forms, self.step.gate
        if forms is None or not gate:
            return "fuser"
        return "both" if self.step.id in forms.signed_by_both else getattr(forms.signed_by, gate)


def standing_of_job(views: Sequence[View]) -> Iterator[StandingStep]:
    """Every step that is printed on a pack of some joints, in the order of its sheets."""
    found = (step for view in views for step in _of_joint(view, len(views)))
    yield from sorted(found, key=lambda each: each.number)


def _of_joint(view: View, joints: int) -> Iterator[StandingStep]:
    """The steps of the sheets that stand with one joint."""
    for procedure in applicable(view):
        if "pack" in procedure.head.on:
            several = joints > 1 and procedure.head.id not in view.shared
            yield from _of_sheet(view, procedure, several)


def _of_sheet(view: View, procedure: Procedure, several: bool) -> Iterator[StandingStep]:
    """The steps of one sheet; its joint is named where there are `several`."""
    title = activity = of_joint(view, procedure.head.title) if several else procedure.head.title
    numbers, filled = step_numbers(view), view.filling(procedure.head.id)
    for block in procedure.blocks:
        if isinstance(block, Heading):
            activity = of_joint(view, block.text) if several else block.text
        elif isinstance(block, StepText):
            line = filled.must_fill(block.runs, block.id) if block.gate else filled.fill(block.runs)
            if line is not None:
                yield StandingStep(view, title, activity, numbers[block.id], block, line)
