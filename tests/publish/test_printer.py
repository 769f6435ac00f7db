"""The second process: same bytes, and errors that come home whole."""

from __future__ import annotations

import os
import pickle

import pytest

from packgen.errors import ContentError, MissingPart, OutOfRange, PackgenError, Place, Problem, UsageError
from packgen.publish import printer as module
from packgen.publish.imprint import Imprint
from packgen.publish.printer import Printer
from packgen.render.html import Stamp
from packgen.sheets.blocks import Face, Step, Tag, spans
from packgen.sheets.media import card_medium
from packgen.sheets.words import load_words

PROBLEMS = (
    Problem(
        Place("job.yaml", 3, 1, "contents"), "'watr' is not known", "water or gas", "water", "correct it"
    ),
    Problem(Place("crew-pack.pdf page 3, Prepare the main"), "text lost: 'Peel'"),
)


def refuse(kind: type[PackgenError]) -> None:
    """A task that fails with every field of its problems filled."""
    raise kind(PROBLEMS)


def process_of(_: int) -> int:
    """A task that says where it runs."""
    return os.getpid()


@pytest.mark.parametrize("kind", [PackgenError, ContentError, OutOfRange, UsageError, MissingPart])
def test_an_error_survives_pickling_with_every_field(kind: type[PackgenError]) -> None:
    """What comes back is of the same kind, with the same problems, the same words, the same exit code."""
    error = kind(PROBLEMS)
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is kind
    assert (back.problems, str(back), back.exit_code) == (PROBLEMS, str(error), kind.exit_code)
    assert pickle.loads(pickle.dumps(kind("one sentence"))).problems == kind("one sentence").problems


@pytest.mark.parametrize("workers", [1, 2])
def test_an_error_of_the_other_task_is_raised_here(workers: int) -> None:
    """A fault found while the pack is printed reaches the command line as the sentences it is."""
    with Printer(workers) as printer, pytest.raises(ContentError) as raised:
        printer.both(refuse, (ContentError,), lambda: 1)
    assert raised.value.problems == PROBLEMS


@pytest.mark.parametrize("workers", [1, 2])
def test_an_error_here_is_raised_and_the_other_process_ends(workers: int) -> None:
    with Printer(workers) as printer, pytest.raises(UsageError):
        printer.both(process_of, (0,), lambda: refuse(UsageError))


def test_two_workers_are_two_processes_and_one_is_one() -> None:
    with Printer(2) as printer:
        there, here = printer.both(process_of, (0,), os.getpid)
        assert there != here == os.getpid()
    with Printer(1) as printer:
        assert printer.both(process_of, (0,), os.getpid) == (os.getpid(), os.getpid())


def test_a_missing_system_part_is_told_by_the_task_and_not_by_the_warming(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Warming fails without a word; the task that needs the part says which one."""

    def missing() -> None:
        raise MissingPart("libpango is missing; install it")

    monkeypatch.setattr("packgen.render.pdf.warm", missing)
    module._warm()
    with Printer(2) as printer, pytest.raises(MissingPart, match="libpango is missing"):
        printer.both(refuse_missing, (), lambda: None)


def refuse_missing() -> None:
    """What a task says where a part is missing."""
    raise MissingPart("libpango is missing; install it")


def test_one_and_two_workers_print_the_same_bytes() -> None:
    """A document printed there and one printed here, whichever process that is."""
    words, medium = load_words(), card_medium("a6")
    step = Step(1, "wiped", spans("Wipe the zone."))
    face = Face("prepare", "Prepare", Tag("2 in on 6 in", "IPS"), (step,), 1, 1)
    imprint = Imprint(Stamp("HL-0427", ("DRAFT",)), words, "HL-0427", "2026-05-12")
    task = ((face,), medium, "cards.pdf")
    made = []
    for workers in (1, 2):
        with Printer(workers) as printer:
            made.append(printer.both(imprint.printed, task, lambda: imprint.printed(*task)))
    assert made[0][0].startswith(b"%PDF")
    assert {pdf for both in made for pdf in both} == {made[0][0]}
