"""The command that makes a content folder of a user's own, or adds a fitting to it question by question.

In: arguments, answers on standard input. Out: files; an exit code. Nothing that stands is written over.
"""

from __future__ import annotations

import io
import shlex
import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from packgen.cli.options import Date, PaperChoice, Quiet, UnitsChoice, app, make_options
from packgen.errors import ContentError, PackgenError


@app.command()
def own(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="The folder to make, or to add to.")],
    from_label: Annotated[
        bool, typer.Option("--from-label", help="Ask for what a label shows, and write it as a fitting.")
    ] = False,
    date: Date = None, quiet: Quiet = False,
) -> None:  # fmt: skip
    """Make a content folder of your own with a commented fitting, job and rules."""
    from packgen.model.load import load
    from packgen.publish.cards import content_date
    from packgen.publish.own import is_own, make_own, require_not_ours, require_place

    day = make_options(UnitsChoice.both, PaperChoice.letter, date, Path("build"), 1).date
    adds = from_label and is_own(folder)
    (require_not_ours if adds else require_place)(folder)
    catalog = load(folder if adds else None, prose=False)
    if from_label:
        made = _from_label(folder, catalog, day or content_date(catalog), adds)
    else:
        made = make_own(folder, day or content_date(catalog))
    _say_made(made, quiet, from_label)
    if from_label:
        _load_again(folder)


def _from_label(folder: Path, catalog: Any, day: str, adds: bool) -> Any:
    """Ask, show what was entered, write it if wanted."""
    from packgen.publish.label_entry import enter_label
    from packgen.publish.label_questions import load_questions
    from packgen.publish.own import add_family, make_own, taken_ids
    from packgen.sheets.words import Words

    if isinstance(
        sys.stdin, io.TextIOWrapper
    ):  # bytes that are no text come as a sign that no answer may hold
        sys.stdin.reconfigure(errors="replace")
    questions = load_questions()
    words = Words(questions.words)
    try:
        entry = enter_label(questions, _ask, typer.echo, catalog, taken_ids(folder, catalog.families))
        typer.echo(f"\n{entry.text}")
        if entry.problems:
            typer.echo(words("unready"))
            for problem in entry.problems:
                typer.echo(f"  {problem}")
        path = folder / "fittings" / f"{entry.family['id']}.yaml"
        agreed = _ask(words("write", path=str(path))).strip().lower() == words("agree")
    except EOFError:
        typer.echo("")
        raise PackgenError(words("ended")) from None
    if not agreed:
        typer.echo(words("unwritten"))
        raise typer.Exit()
    return add_family(folder, entry) if adds else make_own(folder, day, entry)


def _ask(prompt: str) -> str:
    """One line typed."""
    return input(prompt)


def _load_again(folder: Path) -> None:
    """Read the folder's facts as every command will. Raises `ContentError`: the files stay, to be mended."""
    from packgen.model.load import load

    try:
        load(folder, prose=False)
    except ContentError:
        typer.echo("the files are kept; mend what follows:", err=True)
        raise


def _say_made(made: Any, quiet: bool, from_label: bool) -> None:
    """What was made, and the next step."""
    if quiet:
        return
    from packgen.publish.own import FIRST_JOB

    shown = shlex.quote(str(made.folder))
    typer.echo(f"{len(made.files)} files, in {shown}/: {', '.join(made.files)}")
    todo = "compare every number with the label" if from_label else "put your label's numbers in"
    typer.echo(f"  next: {todo}, then")
    typer.echo(f"    packgen check --content {shown}")
    if FIRST_JOB in made.files:
        job = shlex.quote(str(made.folder / FIRST_JOB))
        typer.echo(f"    packgen job {job} --content {shown}")
