"""The commands that answer in the terminal and write nothing: values, check.

In: arguments. Out: tables, JSON or CSV on standard output; an exit code.
"""

from __future__ import annotations

import datetime
import sys
from typing import Annotated, Any

import typer

from packgen.cli.options import (
    Ambient,
    Content,
    Explain,
    FormatChoice,
    Quiet,
    Report,
    ReportChoice,
    Units,
    UnitsChoice,
    Workers,
    app,
    say_problems,
)  # fmt: skip
from packgen.errors import Place, Problem, UsageError


@app.command()
def values(
    main: Annotated[str, typer.Argument(help="A main, such as '4 in IPS DR 11 PE4710'.")],
    lateral: Annotated[str, typer.Argument(help="A lateral, such as '2 in IPS'.")],
    family: Annotated[str, typer.Option("--family", metavar="ID", help="The fitting family.")],
    ambient: Ambient = None, explain: Explain = None,
    content: Content = None, units: Units = UnitsChoice.both,
    form: Annotated[FormatChoice, typer.Option("--format", help="How to answer.")] = FormatChoice.table,
) -> None:  # fmt: skip
    """Work out one combination in the terminal."""
    from packgen.model.load import load
    from packgen.publish import values_data
    from packgen.publish.selection import one
    from packgen.units import QuantityError, quantity

    if explain is not None:
        _check_explained(explain, form)
    try:
        air = None if ambient is None else quantity(ambient, "temperature")
    except QuantityError as error:
        raise UsageError(
            [Problem(Place(key="--ambient"), error.problems[0].what, error.problems[0].expected)]
        ) from None
    combination = one(load(content, prose=False), main, lateral, family, air, units.value)
    if explain is not None:
        _explain(combination, explain, units.value, form)
    elif form is FormatChoice.json:
        typer.echo(values_data.to_json(values_data.combination_data(combination, units.value)), nl=False)
    elif form is FormatChoice.csv:
        typer.echo(values_data.to_csv([(None, combination)], units.value), nl=False)
    else:
        _table(combination, units.value)
    if combination.reasons:
        typer.echo("refused:", err=True)
        for reason in combination.reasons:
            typer.echo(f"  {reason}", err=True)
        raise typer.Exit(1)


def _table(combination: Any, units: Any) -> None:
    """The values as a table in the terminal."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(
        "value",
        "text",
        "kind",
        title=f"{combination.request.lateral.designation} on {combination.request.main.designation}",
    )
    for value in combination.values.values():
        shown = value.text(units, combination.request.first) or "ENTER"
        table.add_row(Text(value.name), Text(shown), Text(value.kind))  # as they are: nothing is looked for
    Console(width=None if sys.stdout.isatty() else 100).print(table, markup=False)


def _check_explained(name: str, form: FormatChoice) -> None:
    """A name that no value has, or a form that one value is not told in, is wrong use."""
    from packgen.errors import nearest
    from packgen.register import REGISTER

    if name not in REGISTER:
        what = f"{name!r} is not a value of the register"
        raise UsageError([Problem(Place(key="--explain"), what, nearest=nearest(name, REGISTER))])
    if form is FormatChoice.csv:
        raise UsageError([Problem(Place(key="--format"), "one value is not told as csv", "table or json")])


def _explain(combination: Any, name: str, units: Any, form: FormatChoice) -> None:
    """How one value came about, as lines or as data."""
    from packgen.publish.explain import explain_data, explain_lines
    from packgen.publish.values_data import to_json

    told = explain_data(combination, name, units)
    typer.echo(
        to_json(told) if form is FormatChoice.json else "\n".join(explain_lines(told)) + "\n", nl=False
    )


@app.command()
def check(
    content: Content = None, quiet: Quiet = False, report: Report = ReportChoice.text, workers: Workers = 2
) -> None:
    """Find all that can be wrong with content, in one run, writing nothing."""
    from packgen.check import check as check_content
    from packgen.publish.values_data import to_json

    found = check_content(content, datetime.date.today(), workers=workers)
    if report is ReportChoice.json:
        rows = {
            "problems": [str(problem) for problem in found.problems],
            "warnings": [str(problem) for problem in found.warnings],
        }
        typer.echo(to_json({**rows, "looked_at": found.looked_at}), nl=False)
    else:
        for warning in found.warnings:
            typer.echo(f"warning: {warning}", err=True)
        say_problems(found.problems)
        if not quiet and not found.problems:
            typer.echo(
                "nothing wrong in " + ", ".join(f"{count} {what}" for what, count in found.looked_at.items())
            )
    if found.problems:
        raise typer.Exit(1)
