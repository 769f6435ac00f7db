"""The command that says which pipe a main in the ground may be.

In: readings as a person types them. Out: a table or JSON on standard output, reasons not to fuse on standard
error; with --card a card to take along instead. Exit code 1 where nothing may be fused as things stand.
"""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from packgen.cli.options import (
    Content,
    Date,
    Output,
    Paper,
    PaperChoice,
    Units,
    UnitsChoice,
    app,
    make_options,
)  # fmt: skip
from packgen.errors import Place, Problem, UsageError

_LONGEST_LINE = 300
# Beyond these a reading is a slip of the pen: no pipe of any table is half as large.
_GREATEST = {"--girth": "20 m", "--high": "6 m", "--low": "6 m", "--wall": "1 m", "--gouge": "1 m"}


class ContentsChoice(StrEnum):
    """What a main holds."""

    water, gas = "water", "gas"


class AnswerChoice(StrEnum):
    """How to answer."""

    table, json = "table", "json"


def _reading(name: str, words: str) -> Any:
    """An option that holds a length."""
    return typer.Option(name, metavar="LENGTH", help=words, show_default=False)


@app.command()
def pipe(
    girth: Annotated[str | None, _reading("--girth", "Tape once round the main, such as '14.1 in'.")] = None,
    high: Annotated[str | None, _reading("--high", "Largest outside diameter, by caliper.")] = None,
    low: Annotated[str | None, _reading("--low", "Smallest outside diameter, by caliper.")] = None,
    wall: Annotated[
        list[str] | None, _reading("--wall", "Wall, by gauge. May be repeated for several places.")
    ] = None,
    gouge: Annotated[str | None, _reading("--gouge", "Depth of the deepest gouge.")] = None,
    print_line: Annotated[
        str | None,
        typer.Option("--print-line", metavar="TEXT", help="The print line, as read.", show_default=False),
    ] = None,
    contents: Annotated[
        ContentsChoice | None, typer.Option("--contents", help="What the main holds.", show_default=False)
    ] = None,
    card: Annotated[bool, typer.Option("--card", help="Make the card for the pocket instead.")] = False,
    content: Content = None, units: Units = UnitsChoice.both,
    form: Annotated[AnswerChoice, typer.Option("--format", help="How to answer.")] = AnswerChoice.table,
    paper: Paper = PaperChoice.letter, date: Date = None, output: Output = Path("build"),
) -> None:  # fmt: skip
    """Say which pipe a main may be, from its girth, diameters, wall and print line."""
    from packgen.model.load import load

    if card:
        _make_card(content, make_options(units, paper, date, output, 1))
        return
    findings = _findings(
        girth, high, low, wall or [], gouge, print_line, contents.value if contents else None, units.value
    )
    from packgen.calc.which_pipe import which_pipe
    from packgen.publish.pipe_data import answer_data
    from packgen.publish.values_data import to_json
    from packgen.sheets.words import load_words

    catalog, words = load(content, prose=False), load_words()
    answer = which_pipe(catalog, findings)
    if form is AnswerChoice.json:
        typer.echo(to_json(answer_data(catalog, answer, words)), nl=False)
    else:
        _say(answer, words)
    if answer.reasons:
        typer.echo("do not fuse:", err=True)
        for reason in answer.reasons:
            typer.echo(f"  {reason}", err=True)
        raise typer.Exit(1)


def _make_card(content: Path | None, options: Any) -> None:
    """The card for the pocket."""
    from packgen.model.load import load
    from packgen.publish.pipe_sheet import make_pipe_card

    made = make_pipe_card(load(content), options)
    typer.echo(f"card of {made.sizes} sizes, code {made.code}, in {made.folder}/")
    typer.echo("  " + ", ".join(made.files))


def _findings(
    girth: str | None, high: str | None, low: str | None, walls: list[str], gouge: str | None,
    print_line: str | None, contents: Any, units: Any,
) -> Any:  # fmt: skip
    """The readings, each told apart from a slip of the pen. Raises `UsageError` with every mistake."""
    from packgen.calc.findings import Findings

    problems: list[Problem] = []
    read = {
        name: _length(f"--{name}", text, problems)
        for name, text in (("girth", girth), ("high", high), ("low", low), ("gouge", gouge))
    }
    read_walls = [_length("--wall", text, problems) for text in walls]
    line = print_line.strip() if print_line is not None else None
    problems += _mistakes(read, line, any((girth, high, low, print_line)))
    if problems:
        raise UsageError(problems)
    return Findings(**read, walls=tuple(read_walls), print_line=line, contents=contents, units=units)


def _length(key: str, text: str | None, problems: list[Problem]) -> Any:
    """A length that can be one; None where none is given, or where it is none and a problem says so."""
    from packgen.units import QuantityError, quantity

    if text is None:
        return None
    try:
        found = quantity(text, "length")
    except QuantityError as error:
        first = error.problems[0]
        problems.append(Problem(Place(key=key), first.what, first.expected, first.nearest))
        return None
    greatest = quantity(_GREATEST[key])
    if not found.number:
        problems.append(Problem(Place(key=key), f"{text!r} is nothing", "a length above zero"))
    elif found.to("mm") > greatest.to("mm"):
        what = f"{text!r} is more than any pipe has"
        problems.append(Problem(Place(key=key), what, f"a length of at most {greatest}"))
    return found


def _mistakes(read: dict[str, Any], line: str | None, any_given: bool) -> list[Problem]:
    """What is wrong with the readings together."""
    found = []
    high, low = read["high"], read["low"]
    if not any_given:
        cure = "lay a tape round the main and give --girth, or --high and --low, or --print-line"
        found.append(Problem(Place(key="--girth"), "no reading says how large the main is", cure=cure))
    for key, other in (("high", "low"), ("low", "high")):
        if read[key] is not None and read[other] is None:
            cure = f"give --{other} as well"
            found.append(Problem(Place(key=f"--{key}"), "one diameter alone says too little", cure=cure))
    if high is not None and low is not None and high.to("mm") < low.to("mm"):
        what = f"the largest diameter {high} is less than the smallest {low}"
        found.append(Problem(Place(key="--high"), what, cure="swap the two"))
    if line is not None and not 0 < len(line) <= _LONGEST_LINE:
        what = "the print line is too long" if line else "the print line is empty"
        expected = f"1 to {_LONGEST_LINE} characters"
        found.append(Problem(Place(key="--print-line"), what, expected))
    return found


def _say(answer: Any, words: Any) -> None:
    """The answer as tables and sentences."""
    from rich.console import Console
    from rich.table import Table

    from packgen.publish.pipe_data import candidate_data, fuse_lines, next_lines, verdict_line

    typer.echo(verdict_line(answer, words))
    if answer.candidates:
        table = Table("size", "tape reads", "ratio", "wall")
        for candidate in answer.candidates:
            row = candidate_data(candidate, answer.findings)
            ratios = "\n".join(ratio["ratio"] for ratio in row["ratios"])
            walls = "\n".join(
                f"{ratio['wall_min']['text']} to {ratio['wall_max']['text']}" for ratio in row["ratios"]
            )
            size = f"{row['size']} {row['system']}"
            table.add_row(size, row["girth"]["text"], ratios or "–", walls or row.get("wall", "–"))
        Console(width=None if sys.stdout.isatty() else 120).print(table, markup=False)
    typer.echo("measure next:")
    for line in next_lines(answer, words):
        typer.echo(f"  {line}")
    typer.echo("may be fused:")
    for line in fuse_lines(answer, words):
        typer.echo(f"  {line}")
