"""Bad input and wrong use, through the command line: one sentence a mistake, the right exit code, nothing
written.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.usefixtures("one_catalog")
Packgen = Callable[..., Any]
JobFile = Callable[..., Path]

PAIR = ("6 in IPS DR 11", "2 in IPS", "--family", "demo-saddle-screw")
TITLE = "First lateral at Harrow Lane, station 2+14"
PRESSURE = "maximum_operating_pressure: 100 psi"
# What stands before each complaint about a file: its name, line and column.
PLACE = re.compile(r"^error: \S*/job\.yaml:\d+:\d+: ")


def complaints(ran: Any) -> list[str]:
    """The complaints of a run; anything else on standard error fails."""
    lines: list[str] = ran.err.splitlines()
    assert all(line.startswith("error: ") for line in lines), ran.err
    return lines


def line_of(text: str, word: str) -> int:
    """The line on which a word first stands."""
    return text[: text.index(word)].count("\n") + 1


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        (
            "issued_by:",
            "isued_by:",
            "isued_by",
            ["not known here", "expected one of", "did you mean 'issued_by'?"],
        ),
        ("checker: {role: checker 1}", "checker: {}", "checker", ["'role' is missing", "add 'role:'"]),
        ("revision: 1", "revision: 1\nrevision: 2", "revision", ["given twice", "first on line"]),
        (
            PRESSURE,
            "maximum_operating_pressure: 100 mm",
            "maximum_operating_pressure",
            ["'100 mm'", "mm measures length", "expected a pressure"],
        ),
        (
            PRESSURE,
            "maximum_operating_pressure: 100",
            "maximum_operating_pressure",
            ["100 has no unit", "expected a pressure", "such as"],
        ),
        (
            PRESSURE,
            "maximum_operating_pressure: 100 spi",
            "maximum_operating_pressure",
            ["'100 spi'", "expected a pressure", "did you mean 'psi'?"],
        ),
        (
            "soil_cover: 4 ft",
            "soil_cover: 9/4 ft",
            "site.soil_cover",
            ["'9/4 ft'", "improper", "did you mean '2-1/4 ft'?"],
        ),
        (
            "main: 6 in IPS DR 11",
            "main: 6 in IPS DR 12",
            "main",
            ["DR 12", "expected 7.3, 9, 11", "did you mean '11'?"],
        ),
        (
            PRESSURE,
            "maximum_operating_pressure: NaN psi",
            "maximum_operating_pressure",
            ["'NaN psi'", "not a number", "expected a pressure"],
        ),
        (
            PRESSURE,
            "maximum_operating_pressure: -5 psi",
            "maximum_operating_pressure",
            ["'-5 psi'", "negative", "expected a pressure"],
        ),
        (
            PRESSURE,
            "maximum_operating_pressure: 1e3 psi",
            "maximum_operating_pressure",
            ["'1e3 psi'", "exponent", "expected a pressure"],
        ),
        (
            "id: HL-0427",
            "id: ../HL-0427",
            "id",
            ["'../HL-0427'", "expected at most", "did you mean 'HL-0427'?"],
        ),
        (
            "method: open drill",
            "method: open dril",
            "joints[0].method",
            ["'open dril'", "expected", "did you mean 'open drill'?"],
        ),
        (
            "family: demo-saddle-screw",
            "family: demo-sadle-screw",
            "joints[0].family",
            ["'demo-sadle-screw'", "did you mean 'demo-saddle-screw'?"],
        ),
        ("date: 2026-05-12", "date: 2026-13-40", "date", ["2026-13-40", "not a day"]),
    ],
)
def test_one_mistake_gives_one_complaint(
    old: str, new: str, key: str, words: list[str], packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """File, line, key, value, expectation and the nearest right word stand in it; nothing is written."""
    file = job_file((old, new))
    ran = packgen("job", file, "--output", tmp_path / "build")
    assert ran.code == 1
    [told] = complaints(ran)
    # A key given twice stands on the second of its lines.
    start = line_of(file.read_text("utf-8"), new) + new.count("\n")
    assert told.startswith(f"error: {file}:{start}:"), told
    assert re.search(rf": {re.escape(key)}(\.\w+)?: ", told), told
    assert [word for word in words if word not in told] == []
    assert not (tmp_path / "build").exists()


EXPLODING = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{new}: &{new} [{', '.join(['*' + old] * 9)}]\n" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"\n# only a remark\n", "empty"),
        (b"- one\n- two\n", "list"),
        (b"just words\n", "keys"),
        (b"x" * 10_000_000, "10.0 MB; expected at most 1 MB"),
        ("title: Zürich\n".encode("latin-1"), "UTF-8"),
        (b"title: [one\nid: x\n", "bracket"),
        (b"title: 'one\nid: x\n", "quote"),
        (b"\ttitle: one\n", "tab"),
        (EXPLODING.encode(), "anchor"),
        (b"title: \x00\n", "character"),
        (("[" * 5000).encode(), "nested"),
    ],
    ids=[
        "nothing",
        "a remark",
        "a list",
        "words",
        "10 MB",
        "Latin-1",
        "open bracket",
        "open quote",
        "tab",
        "exploding anchors",
        "a null",
        "nested",
    ],
)
def test_a_file_that_is_no_job_is_refused_in_plain_words(
    content: bytes, words: str, packgen: Packgen, tmp_path: Path
) -> None:
    """Empty, a list, 10 MB, not UTF-8, broken, exploding: at most a few short sentences, at once."""
    file = tmp_path / "job.yaml"
    file.write_bytes(content)
    ran = packgen("job", file, "--output", tmp_path / "build")
    told = complaints(ran)
    assert ran.code == 1
    assert 1 <= len(told) <= 60
    assert any(words in line for line in told), told[:3]
    assert all(line.startswith(f"error: {file}") and len(line) < 500 for line in told)
    assert not (tmp_path / "build").exists()


def test_all_mistakes_come_out_in_one_run(packgen: Packgen, job_file: JobFile, tmp_path: Path) -> None:
    """Form and facts, one complaint each, in the order of the file; a second file's come too."""
    first = job_file(
        ("issued_by:", "isued_by:"),
        (PRESSURE, "maximum_operating_pressure: 100"),
        ("main: 6 in IPS DR 11", "main: 6 in IPS DR 12"),
        ("family: demo-saddle-screw", "family: demo-sadle-screw"),
        ("soil_cover: 4 ft", "soil_cover: 9/4 ft"),
        ("checker: {role: checker 1}", "checker: {}"),
    )
    second = job_file(("state: dry", "state: wet"), name="other")
    ran = packgen("job", first, second, "--output", tmp_path / "build")
    told = complaints(ran)
    assert ran.code == 1
    assert len(told) == 7, told
    assert all(PLACE.match(line) for line in told[:6])
    lines = [int(line.split(":")[2]) for line in told[:6]]
    assert lines == sorted(lines)
    assert str(second) in told[6]
    assert not (tmp_path / "build").exists()


REFUSED = [
    (("state: dry", "state: live"), "first-lateral", "live main", "isolate the main"),
    (("main: 6 in IPS DR 11", "main: 6 in IPS DR 21"), "first-lateral", "DR 21", "DR 9 to 17"),
    (
        ("lateral: 2 in IPS", "lateral: 1 in IPS"),
        "first-lateral",
        "lists no 1 in",
        "take a pair the family lists",
    ),
    (
        ("qualified_until: 2027-03-31", "qualified_until: 2026-05-11"),
        "first-lateral",
        "qualification ended",
        "qualified fuser",
    ),
    (
        ("calibrated_until: 2027-01-31", "calibrated_until: 2026-05-11"),
        "first-lateral",
        "calibration ended",
        "calibrated",
    ),
    (
        ("saddle: 6 ft", "saddle: 19 in"),
        "repair-tie-in",
        "distance to another saddle is 19 in",
        "move the place",
    ),
    (
        ("squeeze: 4 ft", "squeeze: 25 in"),
        "repair-tie-in",
        "distance to the squeeze is 25 in",
        "move the place",
    ),
    (
        ("proved_no_pressure: true", "proved_no_pressure: false"),
        "repair-tie-in",
        "not proved at no pressure",
        "prove no pressure",
    ),
    (("sides: both", "sides: one"), "repair-tie-in", "only one side isolated", "isolate both sides"),
    (("ambient: 68 degF", "ambient: 105 degF"), "first-lateral", "the air at 105 °F", "wait for weather"),
    (
        (PRESSURE, "maximum_operating_pressure: 201 psi"),
        "first-lateral",
        "above the joint's",
        "lower the pressure",
    ),
    (("voltage_max: 48 V", "voltage_max: 39 V"), "first-lateral", "at most 39 V", "another control unit"),
    (("terminals: [4.0 mm, 4.7 mm]", "terminals: [4.0 mm]"), "first-lateral", "do not fit 4.7 mm", "adapter"),
    (
        ("main: 6 in IPS DR 11 PE4710", "main: 3 in IPS DR 17 PE4710"),
        "first-lateral",
        "thinner than the fitting",
        "another fitting",
    ),
]


@pytest.mark.parametrize(("change", "of", "what", "cure"), REFUSED, ids=[row[2] for row in REFUSED])
def test_a_job_that_must_not_be_done_is_refused_with_its_cure(
    change: tuple[str, str],
    of: str,
    what: str,
    cure: str,
    packgen: Packgen,
    job_file: JobFile,
    tmp_path: Path,
) -> None:
    """One reason, one cure, exit code 1, nothing written."""
    ran = packgen("job", job_file(change, of=of), "--output", tmp_path / "build")
    assert ran.code == 1
    head, *reasons = ran.err.splitlines()
    assert "is refused; nothing was written" in head
    found = [reason for reason in reasons if what in reason]
    assert len(found) == 1, ran.err
    assert cure in found[0]
    assert found[0].startswith("  J1: ")
    assert not (tmp_path / "build").exists()


def test_every_reason_comes_at_once(packgen: Packgen, job_file: JobFile, tmp_path: Path) -> None:
    """A live main, a DR out of range, a fuser out of date and a saddle too near: four reasons."""
    file = job_file(
        ("state: isolated", "state: live"),
        ("isolation: {by: squeeze-off, sides: both, proved_no_pressure: true}\n", ""),
        ("main: 8 in IPS DR 11", "main: 8 in IPS DR 21"),
        ("qualified_until: 2026-12-31", "qualified_until: 2026-01-31"),
        ("saddle: 6 ft", "saddle: 1 ft"),
        of="repair-tie-in",
    )
    ran = packgen("job", file, "--output", tmp_path / "build")
    assert ran.code == 1
    for what in ("live main", "DR 21", "qualification ended", "distance to another saddle is 1 ft"):
        assert ran.err.count(what) == 1, ran.err
    assert not (tmp_path / "build").exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "Usage"),
        (("jobb", "x.yaml"), "Did you mean 'job'?"),
        (("job",), "FILE"),
        (("job", "--frob", "x.yaml"), "--frob"),
        (("job", "none.yaml"), "none.yaml: there is no such file"),
        (("job", "."), "is a folder"),
        (("job", "x.yaml", "--units", "metric"), "'us', 'si', 'both'"),
        (("job", "x.yaml", "--paper", "a5"), "'letter', 'a4'"),
        (("job", "x.yaml", "--workers", "0"), "--workers"),
        (("job", "x.yaml", "--date", "tomorrow"), "'tomorrow' is not a day; expected a date such as"),
        (("job", "x.yaml", "--date", "2026-02-30"), "'2026-02-30' is not a day"),
        (("job", "x.yaml", "--content", "."), "it holds no packgen.yaml"),
        (("job", "x.yaml", "--content", "none"), "none is no folder"),
        (("check", "--content", "."), "it holds no packgen.yaml"),
        (("cards", "--family", "demo-saddle-scew"), "did you mean 'demo-saddle-screw'?"),
        (("cards", "--main", "6 in IPS"), "the DR is missing"),
        (("cards", "--main", "6 in IPS DR 12"), "did you mean '11'?"),
        (("cards", "--main", "24 in IPS DR 11"), "no family lists a lateral"),
        (("values", "6 in ISP DR 11", *PAIR[1:]), "did you mean '6 in IPS DR 11'?"),
        (("values", "6 in IPS", *PAIR[1:]), "the DR is missing"),
        (("values", "5 in IPS DR 11", *PAIR[1:]), "5 in is not a size of IPS"),
        (("values", "6 in IPS DR 12", *PAIR[1:]), "did you mean '11'?"),
        (("values", "6 in IPS DR 11 PE4711", *PAIR[1:]), "did you mean 'PE4710'?"),
        (("values", PAIR[0], "2 in", *PAIR[2:]), "LATERAL"),
        (("values", *PAIR[:3], "demo-sadle-screw"), "did you mean 'demo-saddle-screw'?"),
        (("values", *PAIR, "--ambient", "68"), "no unit"),
        (("values", *PAIR, "--ambient", "68 mm"), "expected a temperature"),
        (("values", *PAIR, "--explain", "tap.holesaw"), "did you mean 'tap.hole_saw'?"),
    ],
    ids=lambda part: " ".join(part) or "nothing" if isinstance(part, tuple) else "",
)
def test_wrong_use_is_exit_code_2(
    arguments: tuple[str, ...],
    words: str,
    packgen: Packgen,
    job_file: JobFile,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A sentence on standard error, nothing on standard output, nothing written."""
    job_file(name="x")
    monkeypatch.chdir(tmp_path)
    ran = packgen(*arguments)
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert not (tmp_path / "build").exists()


def test_a_refused_combination_is_exit_code_1_and_still_answers(packgen: Packgen) -> None:
    """Values are shown all the same; reason and cure stand on standard error."""
    ran = packgen("values", "6 in IPS DR 21", *PAIR[1:], "--format", "csv")
    assert ran.code == 1
    assert ran.out.startswith("name,value,unit,text,kind,working,sources\n")
    assert "DR 21 is outside the family's range" in ran.err
    assert "DR 9 to 17" in ran.err


def test_cards_of_a_refused_pair_are_not_made(packgen: Packgen, tmp_path: Path) -> None:
    """A main outside the range: each pair's reason with its cure, and no folder."""
    ran = packgen(
        "cards", "--main", "6 in IPS DR 21", "--lateral", "2 in IPS", "--family", "demo-saddle-screw",
        "--output", tmp_path / "build",
    )  # fmt: skip
    [told] = complaints(ran)
    assert ran.code == 1
    assert "DR 21 is outside the family's range" in told
    assert not (tmp_path / "build").exists()


def stub_documents(monkeypatch: pytest.MonkeyPatch) -> None:
    """Layout and print left out: what is tested here comes after them."""
    import packgen.publish.documents as documents

    monkeypatch.setattr(documents, "job_documents", lambda *_: {"crew-pack.pdf": b"stub"})


def test_a_file_in_the_place_of_the_output_folder_is_told(
    packgen: Packgen, job_file: JobFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What cannot be written is named with its cure; what stood there stands."""
    stub_documents(monkeypatch)
    taken = tmp_path / "taken"
    taken.write_text("mine", "utf-8")
    ran = packgen("job", job_file(), "--output", taken)
    [told] = complaints(ran)
    assert ran.code == 1
    assert "cannot write" in told
    assert str(taken) in told
    assert "--output" in told
    assert taken.read_text("utf-8") == "mine"


def test_a_failed_write_leaves_the_older_pack_whole(
    packgen: Packgen, job_file: JobFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk halfway through: the older files stand, nothing half-made is left beside them."""
    stub_documents(monkeypatch)
    file, output = job_file(), tmp_path / "build"
    assert packgen("job", file, "--output", output).code == 0
    before = {path.name: path.read_bytes() for path in (output / "jobs" / "HL-0427").iterdir()}

    def full(self: Path, _: bytes) -> int:
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_bytes", full)
    ran = packgen("job", file, "--output", output)
    [told] = complaints(ran)
    assert ran.code == 1
    assert "No space left on device" in told
    assert {path.name: path.read_bytes() for path in (output / "jobs" / "HL-0427").iterdir()} == before
    assert [path.name for path in (output / "jobs").iterdir()] == ["HL-0427"]


def test_a_fault_of_packgen_itself_is_one_sentence(
    packgen: Packgen, job_file: JobFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever breaks inside, a user sees a line that says so, and no traceback."""
    import packgen.publish.documents as documents

    def broken(*_: Any) -> dict[str, bytes]:
        raise ZeroDivisionError("something")

    monkeypatch.setattr(documents, "job_documents", broken)
    ran = packgen("job", job_file(), "--output", tmp_path / "build")
    [told] = complaints(ran)
    assert ran.code == 1
    assert "packgen failed at its own work" in told
    assert "ZeroDivisionError" in told
    assert not (tmp_path / "build" / "jobs" / "HL-0427").exists()


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("job", "x.yaml"), 1, "error: x.yaml:12:29: maximum_operating_pressure: 100 has no unit"),
        (("job", "none.yaml"), 2, "error: none.yaml: there is no such file"),
        (("values", "6 in IPS DR 12", *PAIR[1:]), 2, "error: MAIN: DR 12 is not in the table of IPS"),
        (("frob",), 2, "No such command 'frob'"),
    ],
)
def test_the_same_in_a_process_of_its_own(
    arguments: tuple[str, ...],
    code: int,
    words: str,
    packgen_process: Callable[..., Any],
    job_file: JobFile,
    tmp_path: Path,
) -> None:
    """The real command, away from the source tree."""
    job_file((PRESSURE, "maximum_operating_pressure: 100"), name="x")
    ran = packgen_process(*arguments, cwd=tmp_path)
    assert ran.code == code
    assert words in ran.err
    assert "Traceback" not in ran.err
    assert ran.out == ""
    assert not (tmp_path / "build").exists()
