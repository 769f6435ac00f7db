"""The command line: parse, call, translate errors to exit codes, say the next step.

In: arguments. Out: files, text, an exit code: 0 done; 1 content or job refused; 2 wrong use or a missing
system part. No traceback ever reaches a user.
"""

from __future__ import annotations

import atexit
import gc
import io
import os
import signal
import sys
import traceback
from pathlib import Path
from typing import Annotated

import typer

import packgen
from packgen.cli import ask, own, pipe, produce
from packgen.cli.options import app, say_problems
from packgen.errors import PackgenError

__all__ = ["app", "ask", "main", "own", "pipe", "produce"]


@app.callback(invoke_without_command=True)
def _root(version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False) -> None:
    """Say the version where asked."""
    if version:
        _say_version()
        raise typer.Exit()


def _say_version() -> None:
    """The version, on a line."""
    typer.echo(f"packgen {packgen.__version__}")


def _stopped(*_: object) -> None:
    """Asked to stop: leave as after an interruption, with nothing half-written and no process left."""
    raise KeyboardInterrupt


def main() -> None:
    """Run, and translate every error to a sentence and an exit code."""
    # A run makes records that live to its end: looking for waste often costs a tenth.
    gc.set_threshold(100_000, 20, 20)
    # At the end the system takes all back; to look through it once more took a tenth of `values`.
    atexit.register(gc.freeze)
    # numpy starts its threads as it is imported; our arrays are too small for any.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    signal.signal(signal.SIGTERM, _stopped)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without our signs still gets the numbers
    if sys.argv[1:] == ["--version"]:  # to read the first option takes pydantic, and that most of the time
        _say_version()
        return
    try:
        app(standalone_mode=True)
    except PackgenError as error:
        say_problems(error.problems)
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
