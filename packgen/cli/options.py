"""What the commands share: the application, the choices a person has, how problems are told.

In: arguments. Out: typed choices, `Options`. Vocabulary: *report* is how a command says what it did.
"""

from __future__ import annotations

import datetime
import sys
from collections.abc import Callable, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from packgen.errors import Place, Problem, UsageError

app = typer.Typer(
    help="Size-specific procedure packs, pocket cards and a site for electrofusion branch connections "
    "on polyethylene mains.",
    no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None,
)  # fmt: skip


class UnitsChoice(StrEnum):
    """Unit systems to print."""

    us, si, both = "us", "si", "both"


class PaperChoice(StrEnum):
    """Paper to print on."""

    letter, a4 = "letter", "a4"


class FormatChoice(StrEnum):
    """How a command answers in the terminal."""

    table, json, csv = "table", "json", "csv"


class ReportChoice(StrEnum):
    """How a command reports."""

    text, json = "text", "json"


Content = Annotated[
    Path | None,
    typer.Option("--content", metavar="DIR", help="A content folder of your own.", show_default=False),
]
Units = Annotated[UnitsChoice, typer.Option("--units", help="Unit systems to print.")]
Paper = Annotated[PaperChoice, typer.Option("--paper", help="Paper to print on.")]
Date = Annotated[
    str | None,
    typer.Option(
        "--date", metavar="YYYY-MM-DD", help="Date to print instead of the job's.", show_default=False
    ),
]
Output = Annotated[Path, typer.Option("--output", metavar="DIR", help="Where output goes.")]
Quiet = Annotated[bool, typer.Option("--quiet", help="Say nothing but errors.")]
Report = Annotated[ReportChoice, typer.Option("--format", help="How to report.")]
Workers = Annotated[int, typer.Option("--workers", min=1, max=64, help="Processes to work with.")]
Archive = Annotated[
    bool, typer.Option("--archive", help="Make a copy of the pack to keep, PDF/A with its values attached.")
]
Main = Annotated[
    list[str] | None,
    typer.Option(
        "--main",
        metavar="PIPE",
        help="A main, such as '6 in IPS DR 11'. May be repeated.",
        show_default=False,
    ),
]
Lateral = Annotated[
    list[str] | None,
    typer.Option(
        "--lateral",
        metavar="SIZE",
        help="A lateral, such as '2 in IPS'. May be repeated.",
        show_default=False,
    ),
]
FamilyNames = Annotated[
    list[str] | None,
    typer.Option("--family", metavar="ID", help="A fitting family. May be repeated.", show_default=False),
]

Ambient = Annotated[
    str | None,
    typer.Option("--ambient", metavar="T", help="Air temperature, such as '68 degF'.", show_default=False),
]
Explain = Annotated[
    str | None,
    typer.Option("--explain", metavar="NAME", help="Show how one value came about.", show_default=False),
]


def make_options(units: UnitsChoice, paper: PaperChoice, date: str | None, output: Path, workers: int) -> Any:
    """The choices every command shares; a date that is none is refused."""
    from packgen.publish.options import Options

    if date is not None:
        try:
            date = datetime.date.fromisoformat(date).isoformat()
        except ValueError:
            raise UsageError(
                [Problem(Place(key="--date"), f"{date!r} is not a day", "a date such as 2026-05-12")]
            ) from None
    return Options(units.value, paper.value, date, output, workers)


def progress(quiet: bool) -> Callable[[Sequence[Any]], Any]:
    """A progress bar on a terminal, nothing elsewhere."""
    if quiet or not sys.stderr.isatty():
        return lambda items: items
    from rich.console import Console
    from rich.progress import track

    return lambda items: track(items, description="pages", console=Console(stderr=True), transient=True)


def say_problems(problems: Sequence[Problem]) -> None:
    """Every problem on a line of its own."""
    for problem in problems:
        typer.echo(f"error: {problem}", err=True)
