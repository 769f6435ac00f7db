"""The commands that make files: a job's packs, cards, the site.

In: arguments. Out: files, and what was made in words or JSON; an exit code. Heavy libraries are imported
only by the command that needs them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

import typer

from packgen.cli.card_options import (
    Film,
    Finish,
    FinishChoice,
    Flip,
    FlipChoice,
    Form,
    Kind,
    KindChoice,
    RingHole,
    refuse_folded,
    with_card_choices,
)
from packgen.cli.options import (
    Archive,
    Content,
    Date,
    FamilyNames,
    Lateral,
    Main,
    Output,
    Paper,
    PaperChoice,
    Quiet,
    Report,
    ReportChoice,
    Units,
    UnitsChoice,
    Workers,
    app,
    make_options,
    progress,
    say_problems,
)  # fmt: skip
from packgen.errors import PackgenError


@app.command()
def job(
    files: Annotated[list[Path], typer.Argument(metavar="FILE…", help="Job files.")],
    content: Content = None, units: Units = UnitsChoice.both, paper: Paper = PaperChoice.letter,
    date: Date = None, output: Output = Path("build"), workers: Workers = 2,
    form: Form = None, flip: Flip = FlipChoice.long, finish: Finish = FinishChoice.cut,
    ring_hole: RingHole = False, film: Film = None, archive: Archive = False,
    quiet: Quiet = False, report: Report = ReportChoice.text,
) -> None:  # fmt: skip
    """Issue everything for a job: crew pack, records, pocket cards, one HTML file, values."""
    from packgen.publish.printer import Printer

    options = make_options(units, paper, date, output, workers)
    options = with_card_choices(options, form, flip, finish, ring_hole, film)
    options = replace(options, archive=archive)
    with Printer(workers) as printer:
        results, failures = _issue(files, content, options, printer)
    from packgen.publish.values_data import to_json

    if report is ReportChoice.json:
        data = [result.data for result in results]
        typer.echo(to_json(data[0] if len(files) == 1 and data else data), nl=False)
    for result in results:
        _say_job(result, quiet or report is ReportChoice.json, options.flip)
    for failure in failures:
        say_problems(failure.problems)
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


def _say_job(result: Any, quiet: bool, flip: str) -> None:
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
            "  next: read the cover, fill its blanks, print crew-pack.pdf; print cards, labels and tags at "
            f"100 %, both sides, flipped on the {flip} edge"
        )


@app.command()
def cards(
    main: Main = None, lateral: Lateral = None, family: FamilyNames = None, content: Content = None,
    units: Units = UnitsChoice.both, paper: Paper = PaperChoice.letter, date: Date = None,
    output: Output = Path("build"), workers: Workers = 2,
    form: Form = None, flip: Flip = FlipChoice.long, finish: Finish = FinishChoice.cut,
    ring_hole: RingHole = False, film: Film = None, kind: Kind = KindChoice.pocket_cards,
    quiet: Quiet = False, report: Report = ReportChoice.text,
) -> None:  # fmt: skip
    """Print pocket cards, wall charts, case labels or saddle tags for chosen sizes, without a job."""
    from packgen.model.load import load
    from packgen.publish.cards import make_cards
    from packgen.publish.selection import chosen
    from packgen.publish.values_data import to_json

    options = make_options(units, paper, date, output, workers)
    options = with_card_choices(options, form, flip, finish, ring_hole, film)
    refuse_folded(kind, finish)
    catalog = load(content)
    found = chosen(catalog, main or [], lateral or [], family or [], units.value)
    if not main:
        found = [combination for combination in found if not combination.reasons]
    made = make_cards(catalog, found, options, kind.value)
    if report is ReportChoice.json:
        typer.echo(
            to_json({"code": made.code, "folder": str(made.folder), "files": made.files, "sets": made.sets}),
            nl=False,
        )
    elif not quiet:
        typer.echo(f"card sets: {made.sets}, code {made.code}, in {made.folder}/: {', '.join(made.files)}")
        sides = f"both sides, flipped on the {options.flip} edge; its first page says the rest"
        if kind is KindChoice.wall_chart:
            sides = "on one side"
        typer.echo(f"  next: print {kind.value}.pdf at 100 %, {sides}")


@app.command()
def catalogue(
    main: Main = None, lateral: Lateral = None, family: FamilyNames = None, content: Content = None,
    units: Units = UnitsChoice.both, paper: Paper = PaperChoice.letter, date: Date = None,
    output: Output = Path("build"), workers: Workers = 2,
    quiet: Quiet = False, report: Report = ReportChoice.text,
) -> None:  # fmt: skip
    """Make packs without a job, cards and tables for every combination, or for chosen ones."""
    from dataclasses import asdict

    from packgen.model.load import load
    from packgen.publish.catalogue import make_catalogue
    from packgen.publish.selection import chosen
    from packgen.publish.values_data import to_json

    options = make_options(units, paper, date, output, workers)
    catalog = load(content)
    found = chosen(catalog, main or [], lateral or [], family or [], units.value)
    made = make_catalogue(catalog, found, options, progress(quiet))
    refused = len(made.listed) - made.permitted
    if report is ReportChoice.json:
        listed = [asdict(each) for each in made.listed]
        counts = {"permitted": made.permitted, "refused": refused}
        typer.echo(to_json({"folder": str(made.folder), **counts, "combinations": listed}), nl=False)
    elif not quiet:
        typer.echo(f"combinations: {made.permitted} made, {refused} refused, in {made.folder}/")
        typer.echo(f"  next: open {made.folder}/index.html, or {made.folder}/catalogue.csv in a spreadsheet")


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

    made = make_site(load(content), make_options(units, paper, date, output, workers), progress(quiet))
    if report is ReportChoice.json:
        typer.echo(to_json({"folder": str(made.folder), "pages": made.pages, "files": made.files}), nl=False)
    elif not quiet:
        typer.echo(f"{made.pages} pages, {made.files} files, in {made.folder}/")
        typer.echo(f"  next: open {made.folder}/index.html, or copy the folder to any web server")
