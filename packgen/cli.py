"""The command line: parse, call, translate errors to exit codes, say the next step.

In: arguments. Out: files, text, an exit code: 0 done; 1 content or job refused; 2 wrong use or a missing
system part. No traceback ever reaches a user. Heavy libraries are imported only by the command that needs
them.
"""

from __future__ import annotations

import datetime
import gc
import io
import signal
import sys
import traceback
from collections.abc import Callable, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

import packgen
from packgen.errors import PackgenError, Place, Problem, UsageError

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
Workers = Annotated[int, typer.Option("--workers", min=1, max=64, help="Processes to print with.")]
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


@app.callback(invoke_without_command=True)
def _root(version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False) -> None:
    """Say the version where asked."""
    if version:
        typer.echo(f"packgen {packgen.__version__}")
        raise typer.Exit()


def _options(units: UnitsChoice, paper: PaperChoice, date: str | None, output: Path, workers: int) -> Any:
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


@app.command()
def job(
    files: Annotated[list[Path], typer.Argument(metavar="FILE…", help="Job files.")],
    content: Content = None, units: Units = UnitsChoice.both, paper: Paper = PaperChoice.letter,
    date: Date = None, output: Output = Path("build"), workers: Workers = 2,
    quiet: Quiet = False, report: Report = ReportChoice.text,
) -> None:  # fmt: skip
    """Issue everything for a job: crew pack, pocket cards, one HTML file, values."""
    from packgen.publish.printer import Printer

    options = _options(units, paper, date, output, workers)
    with Printer(workers) as printer:
        results, failures = _issue(files, content, options, printer)
    from packgen.publish.values_data import to_json

    if report is ReportChoice.json:
        data = [result.data for result in results]
        typer.echo(to_json(data[0] if len(files) == 1 and data else data), nl=False)
    for result in results:
        _say_job(result, quiet or report is ReportChoice.json)
    for failure in failures:
        _say_problems(failure.problems)
    if failures or any(result.refused for result in results):
        raise typer.Exit(max((failure.exit_code for failure in failures), default=1))


def _issue(
    files: Sequence[Path], content: Path | None, options: Any, printer: Any
) -> tuple[list[Any], list[PackgenError]]:
    """Every job that can be issued, and what stopped the others."""
    from packgen.model.load import load
    from packgen.publish.job import issue

    catalog = load(content)
    results: list[Any] = []
    failures: list[PackgenError] = []
    for path in files:
        try:
            issued = {result.job.id for result in results}
            results.append(issue(path, catalog, options, printer, issued))
        except PackgenError as error:
            failures.append(error)
    return results, failures


def _say_job(result: Any, quiet: bool) -> None:
    """What became of a job, and the next step."""
    for notice in result.notices:
        typer.echo(f"notice: {notice}", err=True)
    if result.refused:
        typer.echo(f"job {result.job.id} is refused; nothing was written:", err=True)
        for joint in result.data["joints"]:
            for reason in joint["reasons"]:
                typer.echo(f"  {joint['id']}: {reason['what']}; {reason['cure']}", err=True)
    elif not quiet:
        typer.echo(
            f"job {result.job.id} revision {result.job.revision}, code {result.data['code']}, "
            f"in {result.folder}/"
        )
        typer.echo("  " + ", ".join(result.files))
        typer.echo(
            "  next: read the cover, fill its blanks, print crew-pack.pdf; print pocket-cards.pdf at 100 %, "
            "both sides, flipped on the long edge"
        )


@app.command()
def cards(
    main: Main = None, lateral: Lateral = None, family: FamilyNames = None, content: Content = None,
    units: Units = UnitsChoice.both, paper: Paper = PaperChoice.letter, date: Date = None,
    output: Output = Path("build"), quiet: Quiet = False, report: Report = ReportChoice.text,
) -> None:  # fmt: skip
    """Print pocket cards for chosen sizes, without a job."""
    from packgen.model.load import load
    from packgen.publish.cards import make_cards
    from packgen.publish.selection import chosen
    from packgen.publish.values_data import to_json

    options = _options(units, paper, date, output, 1)
    catalog = load(content)
    found = chosen(catalog, main or [], lateral or [], family or [], units.value)
    if not main:
        found = [combination for combination in found if not combination.reasons]
    made = make_cards(catalog, found, options)
    if report is ReportChoice.json:
        typer.echo(
            to_json({"code": made.code, "folder": str(made.folder), "files": made.files, "sets": made.sets}),
            nl=False,
        )
    elif not quiet:
        typer.echo(f"card sets: {made.sets}, code {made.code}, in {made.folder}/: {', '.join(made.files)}")
        typer.echo(
            "  next: print pocket-cards.pdf at 100 %, both sides, flipped on the long edge; "
            "its first page says the rest"
        )


@app.command()
def site(
    content: Content = None, units: Units = UnitsChoice.both, paper: Paper = PaperChoice.letter,
    date: Date = None, output: Output = Path("build"), workers: Workers = 2,
    quiet: Quiet = False, report: Report = ReportChoice.text,
) -> None:  # fmt: skip
    """Make the internal site: an index and a page for each size."""
    from packgen.model.load import load
    from packgen.publish.site import make_site
    from packgen.publish.values_data import to_json

    made = make_site(load(content), _options(units, paper, date, output, workers), _progress(quiet))
    if report is ReportChoice.json:
        typer.echo(to_json({"folder": str(made.folder), "pages": made.pages, "files": made.files}), nl=False)
    elif not quiet:
        typer.echo(f"{made.pages} pages, {made.files} files, in {made.folder}/")
        typer.echo(f"  next: open {made.folder}/index.html, or copy the folder to any web server")


def _progress(quiet: bool) -> Callable[[Sequence[Any]], Any]:
    """A progress bar on a terminal, nothing elsewhere."""
    if quiet or not sys.stderr.isatty():
        return lambda items: items
    from rich.console import Console
    from rich.progress import track

    return lambda items: track(items, description="pages", console=Console(stderr=True), transient=True)


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

    try:
        air = None if ambient is None else quantity(ambient, "temperature")
    except QuantityError as error:
        raise UsageError(
            [Problem(Place(key="--ambient"), error.problems[0].what, error.problems[0].expected)]
        ) from None
    combination = one(load(content, prose=False), main, lateral, family, air, units.value)
    if explain is not None:
        _explain(combination, explain, units.value)
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

    table = Table(
        "value",
        "text",
        "kind",
        title=f"{combination.request.lateral.designation} on {combination.request.main.designation}",
    )
    for value in combination.values.values():
        table.add_row(value.name, value.text(units, combination.request.first) or "ENTER", value.kind)
    Console(width=None if sys.stdout.isatty() else 100).print(table, markup=False)


def _explain(combination: Any, name: str, units: Any) -> None:
    """How one value came about."""
    from packgen.errors import nearest
    from packgen.publish.values_data import combination_data

    rows = combination_data(combination, units)["values"]
    if name not in rows:
        raise UsageError(
            [
                Problem(
                    Place(key="--explain"),
                    f"{name!r} is not a value of this combination",
                    nearest=nearest(name, rows),
                )
            ]
        )
    row = rows[name]
    typer.echo(f"{name}: {row['text'] or 'ENTER'} ({row['kind']})")
    if row["working"]:
        typer.echo(f"  method: {row['working']['words']}")
        for label, text in row["working"]["inputs"].items():
            typer.echo(f"  with: {label} = {text}")
        typer.echo(f"  result: {row['working']['result']}, rounded {row['direction']}")
    for source in row["sources"]:
        typer.echo(f"  source: {source}")


@app.command()
def check(content: Content = None, quiet: Quiet = False, report: Report = ReportChoice.text) -> None:
    """Find all that can be wrong with content, in one run, writing nothing."""
    from packgen.check import check as check_content
    from packgen.publish.values_data import to_json

    found = check_content(content, datetime.date.today())
    if report is ReportChoice.json:
        rows = {
            "problems": [str(problem) for problem in found.problems],
            "warnings": [str(problem) for problem in found.warnings],
        }
        typer.echo(to_json({**rows, "looked_at": found.looked_at}), nl=False)
    else:
        for warning in found.warnings:
            typer.echo(f"warning: {warning}", err=True)
        _say_problems(found.problems)
        if not quiet and not found.problems:
            typer.echo(
                "nothing wrong in " + ", ".join(f"{count} {what}" for what, count in found.looked_at.items())
            )
    if found.problems:
        raise typer.Exit(1)


def _say_problems(problems: Sequence[Problem]) -> None:
    """Every problem on a line of its own."""
    for problem in problems:
        typer.echo(f"error: {problem}", err=True)


def _stopped(*_: object) -> None:
    """Asked to stop: leave as after an interruption, with nothing half-written and no process left."""
    raise KeyboardInterrupt


def main() -> None:
    """Run, and translate every error to a sentence and an exit code."""
    # A run makes records that live to its end: looking for waste often costs a tenth.
    gc.set_threshold(100_000, 20, 20)
    signal.signal(signal.SIGTERM, _stopped)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without our signs still gets the numbers
    try:
        app(standalone_mode=True)
    except PackgenError as error:
        _say_problems(error.problems)
        sys.exit(error.exit_code)
    except KeyboardInterrupt:
        sys.exit(130)
    except Exception as error:  # a fault of packgen's own: one line for the user, never a traceback
        spot = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(spot.filename).name} line {spot.lineno}"
        typer.echo(
            f"error: packgen failed at its own work ({type(error).__name__} in {where}: {error}); "
            "nothing more was written",
            err=True,
        )
        sys.exit(1)


if __name__ == "__main__":
    main()
