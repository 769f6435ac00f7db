"""The choices of a card's form and of how its sheets are printed and finished.

In: arguments. Out: `Options` with these choices in them, or a `UsageError` with every one that is not known.
Vocabulary: as in `packgen.publish.options`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from enum import StrEnum
from typing import Annotated, Any

import typer

from packgen.errors import Place, Problem, UsageError, nearest

MOST_FILM = 10.0  # mm; no pouch's edge is wider


class FlipChoice(StrEnum):
    """The edge a sheet is turned about for its back."""

    long, short = "long", "short"


class FinishChoice(StrEnum):
    """What is done with printed sheets."""

    cut, fold = "cut", "fold"


class KindChoice(StrEnum):
    """What is printed for a size."""

    pocket_cards, wall_chart = "pocket-cards", "wall-chart"
    case_label, saddle_tag = "case-label", "saddle-tag"


Kind = Annotated[KindChoice, typer.Option("--kind", help="What to print for each size.")]
Form = Annotated[
    str | None,
    typer.Option(
        "--form",
        metavar="FORM",
        help="Size of a card: id-1, a7, 3x5, a6, quarter-letter, half-letter, letter, a4, a3 or 11x17. "
        "Without it the one that fills the paper four to a sheet.",
        show_default=False,
    ),
]
Flip = Annotated[FlipChoice, typer.Option("--flip", help="Edge the printer turns a sheet about.")]
Finish = Annotated[FinishChoice, typer.Option("--finish", help="Cut cards apart, or fold the sheets.")]
RingHole = Annotated[bool, typer.Option("--ring-hole", help="Keep a corner free and mark a hole for a ring.")]
Film = Annotated[
    str | None,
    typer.Option(
        "--laminating-margin",
        metavar="WIDTH",
        help="Film beyond the paper on each side, such as '3 mm': the paper is smaller by it.",
        show_default=False,
    ),
]


def with_card_choices(
    options: Any, form: str | None, flip: FlipChoice, finish: FinishChoice, ring_hole: bool, film: str | None
) -> Any:
    """`Options` with the choices for cards. Raises `UsageError` where a form or a width is none."""
    from packgen.sheets.media import FORMS

    problems = []
    if form is not None and form not in FORMS:
        problems.append(_unknown_form(form, FORMS))
    width = 0.0
    try:
        width = _film(film)
    except UsageError as error:
        problems += error.problems
    if problems:
        raise UsageError(problems)
    return replace(
        options, form=form, flip=flip.value, finish=finish.value, ring_hole=ring_hole, laminating_margin=width
    )


def refuse_folded(kind: KindChoice, finish: FinishChoice) -> None:
    """A chart hangs as it is printed. Raises `UsageError` where it is to be folded."""
    if kind is KindChoice.wall_chart and finish is FinishChoice.fold:
        what = "a wall chart is not folded: it hangs as it is printed"
        raise UsageError([Problem(Place(key="--finish"), what, cure="leave --finish out")])


def _unknown_form(form: str, known: Iterable[str]) -> Problem:
    """A form that is none."""
    names = list(known)
    what = f"{form!r} is not a form of card"
    return Problem(Place(key="--form"), what, ", ".join(names), nearest(form, names))


def _film(text: str | None) -> float:
    """The width of the film in mm."""
    from packgen.units import QuantityError, quantity

    if text is None:
        return 0.0
    place = Place(key="--laminating-margin")
    try:
        width = quantity(text, "length").to("mm")
    except QuantityError as error:
        raise UsageError([replace(problem, place=place) for problem in error.problems]) from None
    if width > MOST_FILM:
        what = f"{text!r} is wider than the film of a pouch"
        raise UsageError([Problem(place, what, f"at most {MOST_FILM:g} mm")])
    return width
