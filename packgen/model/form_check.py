"""What the forms of a pack name must exist, and their tables have a share of the width for each head.

In: everything the loader found. Out: problems with file and line. Vocabulary: as in `form_records`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packgen.errors import Place, Problems, nearest
from packgen.model.form_records import FormTable, PackForms
from packgen.model.found import Found

# A name in a form: what it is the name of, the name itself, and the keys that lead to it.
Named = tuple[str, str, tuple[str | int, ...]]


def check_forms(found: Found, problems: Problems) -> None:
    """Tell every step, procedure and work rule that a form names and nobody wrote, and every uneven table."""
    known: dict[str, Iterable[str]] = {
        "step": [step.id for procedure in found.procedures.values() for step in procedure.steps],
        "procedure": found.procedures,
        "work rule": found.items["rules"],
    }
    for item_id, forms in found.items["pack_forms"].items():
        for what, name, keys in _named(forms):
            read = found.complete("rules" if what == "work rule" else "procedures")
            if read and name not in known[what]:
                place, near = found.spot("pack_forms", item_id, *keys), nearest(name, known[what])
                told = f"the {what} {name!r} is not known"
                problems.add(place, told, expected=f"the id of a {what}", nearest=near)
        for at, form in enumerate(forms.forms):
            for inner, part in enumerate(form.parts):
                if part.table is not None:
                    keys = ("forms", at, "parts", inner, "table")
                    _check_table(part.table, found.spot("pack_forms", item_id, *keys), problems)


def _named(forms: PackForms) -> Iterator[Named]:
    """Every name that the forms hold."""
    yield "procedure", forms.stops, ("stops",)
    yield "procedure", forms.talk, ("talk",)
    yield from (("step", name, ("signed_by_both", at)) for at, name in enumerate(forms.signed_by_both))
    for at, form in enumerate(forms.forms):
        if form.follows:
            yield "procedure", form.follows, ("forms", at, "follows")
        for inner, part in enumerate(form.parts):
            if part.rule:
                yield "work rule", part.rule, ("forms", at, "parts", inner, "rule")


def _check_table(table: FormTable, place: Place, problems: Problems) -> None:
    """A share for each head, one hundred in all, and a line to write on."""
    if len(table.heads) != len(table.shares) or sum(table.shares) != 100:
        problems.add(place, "heads and shares do not agree", expected="a share for each head, together 100")
    if not table.rows and not table.lines:
        problems.add(place, "the table has no rows", cure="give 'rows', or 'lines' to number")
