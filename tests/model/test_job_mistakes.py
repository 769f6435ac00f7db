"""A job file with a mistake: file, line, column, key, value, expectation, nearest right word and cure."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from packgen.errors import ContentError, PackgenError, UsageError
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.job_load import load_job
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
JOB = (CONTENT / "jobs" / "first-lateral.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The starter's facts."""
    return load(CONTENT, prose=False)


def job_of(text: str, catalog: Catalog, folder: Path) -> Job:
    """The job of a text."""
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return load_job(path, catalog)[0]


def refusal(text: str, catalog: Catalog, folder: Path) -> list[str]:
    """What is said of a job, line by line, the folder's name left out."""
    with pytest.raises(ContentError) as caught:
        job_of(text, catalog, folder)
    return [line.replace(f"{folder}/", "") for line in str(caught.value).splitlines()]


def changed(old: str, new: str) -> str:
    """The starter's job with one thing changed."""
    assert JOB.count(old) >= 1, old
    return JOB.replace(old, new, 1)


def line_of(word: str) -> int:
    """The line of the starter's job on which a word first stands."""
    return JOB[: JOB.index(word)].count("\n") + 1


DAMAGE = b"\0 \t \xff - : [ ' { &a *a !!x \n---\n 99999999999999999999".split(b" ")
PRESSURE = "maximum_operating_pressure: "
PRESSURES = "expected a pressure with its unit (kPa, MPa, bar, psi), such as '5 kPa'"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "issued_by:",
            "isued_by:",
            "isued_by: the key 'isued_by' is not known here; expected one of kind, id, data",
        ),
        ("issued_by:", "isued_by:", "did you mean 'issued_by'?"),
        ("revision: 1\n", "", "the key 'revision' is missing; add 'revision:' with its value"),
        (
            "checker: {role: checker 1}",
            "checker: {}",
            "the key 'role' is missing; add 'role:' with its value",
        ),
        ("date: 2026-05-12", "date: 2026-05-12\nid: again", "id: the key is given twice (first on line "),
        ("100 psi", "100 mm", f"{PRESSURE}'100 mm': mm measures length; {PRESSURES}"),
        ("100 psi", "100", f"{PRESSURE}100 has no unit; {PRESSURES}"),
        ("100 psi", "1.10", f"{PRESSURE}1.1 has no unit; {PRESSURES}"),
        ("100 psi", "", f"{PRESSURE}the key has no value; {PRESSURES}"),
        ("100 psi", "[100 psi]", f"{PRESSURE}a list is not a quantity; {PRESSURES}"),
        ("100 psi", "true", f"{PRESSURE}true is not a quantity; {PRESSURES}"),
        ("100 psi", "NaN psi", f"{PRESSURE}'NaN psi': it is not a number; {PRESSURES}"),
        ("100 psi", "inf psi", f"{PRESSURE}'inf psi': it is not a number; {PRESSURES}"),
        ("100 psi", ".inf", f"{PRESSURE}'.inf' is not a plain number"),
        ("100 psi", "-5 psi", f"{PRESSURE}'-5 psi': it is negative; {PRESSURES}"),
        (
            "100 psi",
            "1e3 psi",
            f"{PRESSURE}'1e3 psi': a second number or an exponent follows: 'e3 psi'; {PRESSURES}",
        ),
        ("100 psi", "0 psi", f"{PRESSURE}'0 psi' is nothing; expected a pressure above zero"),
        ("100 psi", "100 spi", f"{PRESSURE}'100 spi': the unit 'spi' is not one packgen knows; {PRESSURES}"),
        ("100 psi", "100 spi", "did you mean 'psi'?"),
        ("100 psi", "'{expected}'", f"{PRESSURE}'{{expected}}': the number is not one packgen reads"),
        ("soil_cover: 4 ft", "soil_cover: 9/4 ft", "site.soil_cover: '9/4 ft': the fraction is improper"),
        ("soil_cover: 4 ft", "soil_cover: 9/4 ft", "did you mean '2-1/4 ft'?"),
        ("humidity: 55 %", "humidity: 155 %", "site.humidity: '155 %' is too much; expected at most 100"),
        (
            "main: 6 in IPS DR 11",
            "main: 6 in IPS DR 12",
            "main: DR 12 is not in the table of IPS; expected 7.3, 9, 11",
        ),
        ("main: 6 in IPS DR 11", "main: 6 in IPS DR 12", "did you mean '11'?"),
        (
            "main: 6 in IPS",
            "main: 5-1/2 in IPS",
            "main: 5-1/2 in is not a size of IPS; expected 1/2 in, 3/4 in",
        ),
        ("main: 6 in IPS", "main: 5-1/2 in IPS", "did you mean '6 in'?"),
        (
            "main: 6 in IPS",
            "main: 6 in ISP",
            "main: '6 in ISP DR 11 PE4710': the size system 'ISP' is not known",
        ),
        ("main: 6 in IPS", "main: 6 in ISP", "did you mean '6 in IPS DR 11 PE4710'?"),
        (
            "main: 6 in IPS DR 11",
            "main: 6 in IPS d r 11",
            "'d r 11 PE4710' is no part of a pipe that packgen knows",
        ),
        (
            "main: 6 in IPS DR 11",
            "main: 6 in DR 11",
            "did you mean '6 in IPS DR 11 PE4710 or 6 in DIPS DR 11 PE4710'?",
        ),
        (
            "main: 6 in IPS DR 11",
            "main: 6 in IPS",
            "'6 in IPS PE4710': the DR is missing; expected a pipe such as",
        ),
        ("main: 6 in IPS", "main: 6 in CTS", "main: 6 in is not a size of CTS; expected 1/2 in, 3/4 in"),
        (
            "main: 6 in IPS DR 11 PE4710",
            "main: 6 in IPS DR 11 PE4711",
            "main: the material PE4711 is not known",
        ),
        ("main: 6 in IPS DR 11 PE4710", "main: 6 in IPS DR 11 PE4711", "did you mean 'PE4710'?"),
        (
            "main: 6 in IPS DR 11 PE4710",
            "main: 1 in IPS DR 11 PE4710 ASTM F714",
            "ASTM F714 does not hold 1 in IPS",
        ),
        ("main: 6 in IPS DR 11 PE4710", "main: 110", "main: 110 is not a pipe; expected a pipe such as"),
        ("main: 6 in IPS DR 11 PE4710", "main: " + "6 " * 5000, "it is too long for a pipe"),
        ("lateral: 2 in IPS", "lateral: 2-1/8 in IPS", "joints[0].lateral: 2-1/8 in is not a size of IPS"),
        ("demo-saddle-screw", "demo-sadle", "joints[0].family: the family 'demo-sadle' is not known"),
        ("demo-saddle-screw", "demo-sadle-screw", "did you mean 'demo-saddle-screw'?"),
        (
            "12 o'clock   ",
            "13 o'clock   ",
            'joints[0].outlet: "13 o\'clock" is not an hour of the clock; expected',
        ),
        (
            "method: open drill",
            "method: open dril",
            "joints[0].method: 'open dril' is not a value packgen knows here",
        ),
        ("method: open drill", "method: open dril", "did you mean 'open drill'?"),
        (
            "state: dry",
            "state: wet",
            "state: 'wet' is not a value packgen knows here; expected 'dry', 'isolated' or",
        ),
        (
            "state: dry",
            "state: isolated",
            "isolation: the main is isolated, but nothing says how; expected 'isolation:",
        ),
        (
            "# isolation: {by: squeeze-off, sides: both, proved_no_pressure: true}   ",
            "isolation: {by: squeeze-off, sides: both, proved_no_pressure: true} #",
            "isolation: it does not fit a dry main",
        ),
        (
            "contents: water",
            "contents: oil",
            "contents: 'oil' is not a value packgen knows here; expected 'water' or",
        ),
        ("date: 2026-05-12", "date: 2026-13-40", "date: '2026-13-40' is not a day of the calendar"),
        (
            "date: 2026-05-12",
            "date: 12 May",
            "date: '12 May' is not what is wanted here; expected a date such as 2026",
        ),
        ("date: 2026-05-12", "date: on", "date: 'on' would be read as true"),
        ("revision: 1", "revision: 0", "revision: 0 is out of range; expected a number of at least 1"),
        (
            "revision: 1",
            "revision: 1.5",
            "revision: 1.5 is not what is wanted here; expected a whole number without",
        ),
        (
            "revision: 1",
            "revision: true",
            "revision: true is not what is wanted here; expected a whole number",
        ),
        (
            "First lateral at Harrow Lane, station 2+14",
            "1.10",
            "title: 1.1 is not what is wanted here; expected words",
        ),
        ("First lateral at Harrow Lane, station 2+14", "'  '", "title: no words are written; expected words"),
        (
            "First lateral at Harrow Lane, station 2+14",
            "x" * 91,
            "is too long; expected at most 90 characters",
        ),
        (
            "fuser: {role: fuser 1, qualified_until: 2027-03-31}",
            "fuser: fuser 1",
            "fuser: 'fuser 1' is not what is wanted here; expected keys with values",
        ),
        (
            "[4.0 mm, 4.7 mm]",
            "[]",
            "equipment.control_unit.terminals: a list is too short; expected at least 1 item",
        ),
        (
            "[4.0 mm, 4.7 mm]",
            "4.7 mm",
            "equipment.control_unit.terminals: '4.7 mm' is not what is wanted here; expect",
        ),
    ],
)
def test_one_mistake_is_one_sentence(old: str, new: str, said: str, catalog: Catalog, tmp_path: Path) -> None:
    """Each mistake gives one message, with file, line and key, and says what was expected."""
    told = refusal(changed(old, new), catalog, tmp_path)
    assert len(told) == 1, told
    assert told[0].startswith("job.yaml:")
    assert said in told[0]


@pytest.mark.parametrize(
    "written",
    ["../x", "a/b", "/etc/passwd", "..", ".", '"a\\0b"', "x" * 5000, "a b", "ü", "-x", "HL_1", '"HL\\n"', "~",
     "''", "CON", "con", "NUL", "lpt1", "Aux", "'C:'", "a\\b", "1234", "2026-05-12"],
)  # fmt: skip
def test_an_id_cannot_leave_its_folder(written: str, catalog: Catalog, tmp_path: Path) -> None:
    """An id names a folder: no path, no device, no odd sign, no end of line."""
    told = refusal(changed("id: HL-0427", f"id: {written}"), catalog, tmp_path)
    assert len(told) == 1
    assert told[0].startswith(f"job.yaml:{line_of('id: HL')}:5: id: ")
    assert len(told[0]) < 400


def test_an_id_comes_with_one_that_would_do(catalog: Catalog, tmp_path: Path) -> None:
    """The nearest right id is offered."""
    told = refusal(changed("id: HL-0427", "id: ../HL 0427/x"), catalog, tmp_path)[0]
    assert "did you mean 'HL-0427-x'?" in told
    assert "expected at most 31 letters, digits and hyphens, a letter or digit first" in told


def test_all_mistakes_of_a_file_come_out_in_one_run(catalog: Catalog, tmp_path: Path) -> None:
    """Reading, form and facts are judged together; no mistake hides another, and none is told twice."""
    text = JOB
    for old, new in [
        ("issued_by:", "isued_by:"),
        ("100 psi", "100"),
        ("main: 6 in IPS DR 11", "main: 6 in IPS DR 12"),
        ("lateral: 2 in IPS", "lateral: 2-1/8 in IPS"),
        ("demo-saddle-screw", "demo-sadle"),
        ("12 o'clock   ", "noon   "),
        ("date: 2026-05-12", "date: yes"),
        ("checker: {role: checker 1}", "checker: {role: checker 1}\nrevision: 2"),
    ]:
        assert old in text
        text = text.replace(old, new, 1)
    told = refusal(text, catalog, tmp_path)
    assert len(told) == 8, told
    lines = [int(line.split(":")[1]) for line in told]
    assert lines == sorted(lines)


def test_two_joints_of_one_name_are_told(catalog: Catalog, tmp_path: Path) -> None:
    """Records are kept by joint."""
    joint = "  - {id: J1, lateral: 2 in IPS DR 11, family: demo-saddle-screw}\n"
    told = refusal(changed("site:", f"{joint}site:"), catalog, tmp_path)
    assert len(told) == 1
    assert "joints[1].id: the joint id 'J1' is given twice; keep one" in told[0]


def test_a_job_file_that_is_not_there_is_wrong_use(catalog: Catalog, tmp_path: Path) -> None:
    """A name typed wrongly ends with 2 and offers the file that is there."""
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    with pytest.raises(UsageError, match=r"joob\.yaml: there is no such file; did you mean 'job\.yaml'\?"):
        load_job(tmp_path / "joob.yaml", catalog)


def test_text_with_markup_is_only_text(catalog: Catalog, tmp_path: Path) -> None:
    """Braces, HTML and templates in a title are words."""
    title = "{{ 7*7 }} <b>{% x %}</b> $1 {what}"
    assert (
        job_of(changed("First lateral at Harrow Lane, station 2+14", f"'{title}'"), catalog, tmp_path).title
        == title
    )


def test_the_kind_of_another_file_is_no_job(catalog: Catalog, tmp_path: Path) -> None:
    """A fitting's file given as a job says so first."""
    told = refusal(changed("kind: job", "kind: work rules"), catalog, tmp_path)
    place = f"job.yaml:{line_of('kind: job')}:7: kind"
    assert told == [f"{place}: 'work rules' is not a value packgen knows here; expected 'job'"]


@pytest.mark.parametrize(
    "text",
    ["a: 1\n" * 15_000, "joints:\n" + "- {}\n" * 15_000, "".join(f"k{n}: 1\n" for n in range(15_000))],
    ids=["one key", "empty joints", "unknown keys"],
)
def test_a_large_file_of_mistakes_is_still_a_short_message(
    text: str, catalog: Catalog, tmp_path: Path
) -> None:
    """At most a hundred lines, within seconds."""
    assert 10 < len(refusal(text, catalog, tmp_path)) <= 110


def test_no_damage_to_a_job_file_gives_a_traceback(catalog: Catalog, tmp_path: Path) -> None:
    """Bytes cut, doubled, swapped and replaced at random: a job or a refusal, nothing else."""
    dice = random.Random(2)
    path = tmp_path / "job.yaml"
    good, outcomes = JOB.encode(), {"read": 0, "refused": 0}
    for _ in range(250):
        content = bytearray(good)
        for _ in range(dice.randint(1, 4)):
            start = dice.randrange(len(content))
            end = min(len(content), start + dice.randint(1, 30))
            piece = dice.choice([*DAMAGE, bytes(content[start:end]) * 2])
            content[start:end] = piece
        path.write_bytes(bytes(content))
        try:
            load_job(path, catalog)
            outcomes["read"] += 1
        except PackgenError as error:
            assert all(problem.what and problem.place.file for problem in error.problems)
            outcomes["refused"] += 1
    assert outcomes["refused"] > 100
    assert outcomes["read"] > 3
