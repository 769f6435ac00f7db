"""The guided label entry: every answer judged at once, nothing written before the end."""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from packgen.errors import PackgenError
from packgen.model.catalog import Catalog
from packgen.model.designation import read_designation
from packgen.model.family_records import Family, FittingData, LabelData
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.model.yaml_reader import parse_yaml, read_yaml
from packgen.publish.label_entry import Entry, enter_label
from packgen.publish.label_questions import Form, load_questions, read_answer
from packgen.publish.label_text import plain_yaml
from packgen.publish.own import add_family, make_own
from packgen.publish.selection import one

ROOT = Path(__file__).parents[2]
Packgen = Callable[..., Any]
FAMILY = {
    "id": "our-saddle-2", "title": "Branch saddle, four screws", "date": "2026-06-01",
    "type": "branch saddle", "clamping": "screws", "methods": "open drill", "contents": "water, gas",
    "system": "IPS", "main.dr_min": "9", "main.dr_max": "17", "main.materials": "PE4710, PE100",
    "lateral.dr": "11, 13.5", "lateral.materials": "PE4710",
}  # fmt: skip
SHARED = {
    "fuse.voltage": "40 V", "fuse.terminal": "4.7 mm", "fuse.coil_tolerance": "10 %", "gap.feeler": "0.33 mm",
    "peel.depth_min": "0.009 in", "peel.depth_max": "0.012 in", "clamp.method": "four screws, hand tight",
    "cool.reference_temperature": "23 degC", "weather.ambient_min": "-10 degC", "pressure_max": "200 psi",
}  # fmt: skip
PAIR = {
    "main": "6 in", "lateral": "2 in", "fuse.time": "85 s", "fuse.coil_resistance": "3.70 ohm",
    "cool.clamp_time": "15 min", "cool.pressure_wait": "20 min", "cool.tap_wait": "30 min",
    "clamp.screw_count": "4", "clamp.screw_size": "M8", "fitting.outlet_bore": "1.90 in",
    "fitting.outlet_height": "80 mm",
}  # fmt: skip
COUPLING = {
    **FAMILY, "id": "our-coupling", "type": "coupling", "clamping": None, "methods": None, "lateral.dr": "11",
}  # fmt: skip


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The packaged facts."""
    return load(ROOT / "content", prose=False)


def typed(family: dict[str, Any], shared: dict[str, Any], pairs: Iterable[dict[str, Any]]) -> list[str]:
    """The lines that give these answers, an empty line for every other question that is asked."""
    questions, lines = load_questions(), []
    kept = {key: value for key, value in family.items() if value is not None}
    for question in questions.of("family"):
        if question.applies(kept):
            lines.append(kept.get(question.key, ""))
    moved = [question for question in questions.of("every_pair") if shared.get(question.key) == "differs"]
    lines += [shared.get(each.key, "") for each in questions.of("every_pair") if each.applies(kept)]
    for pair in pairs:
        asked = [*questions.of("pair"), *moved]
        lines += [pair.get(question.key, "") for question in asked if question.applies(kept)]
    return [*lines, ""]


class Terminal:
    """A person who types lines and reads what is said."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = iter(lines)
        self.said: list[str] = []
        self.asked: list[str] = []

    def ask(self, prompt: str) -> str:
        """The next line."""
        self.asked.append(prompt)
        try:
            return next(self.lines)
        except StopIteration:
            raise EOFError from None


def entered(catalog: Catalog, lines: Iterable[str], taken: Iterable[str] = ()) -> tuple[Entry, Terminal]:
    """What comes of some lines."""
    person = Terminal(lines)
    entry = enter_label(load_questions(), person.ask, person.said.append, catalog, set(taken))
    assert next(person.lines, "none left") == "none left"
    return entry, person


def complaints(person: Terminal) -> list[str]:
    """What was said about answers."""
    return [line.strip() for line in person.said if line.startswith("  ")]


def lines_with(key: str, *answers: str) -> list[str]:
    """The lines of a whole saddle, with other answers to one question of it."""
    questions = [question for question in load_questions().questions if question.applies(FAMILY)]
    at = next(index for index, question in enumerate(questions) if question.key == key)
    lines = typed(FAMILY, SHARED, [PAIR])
    return [*lines[:at], *answers, *lines[at + 1 :]]


def test_a_whole_label_becomes_a_family_that_loads_and_works(catalog: Catalog, tmp_path: Path) -> None:
    entry, person = entered(catalog, typed(FAMILY, SHARED, [PAIR, {**PAIR, "main": "4 in DIPS"}]))
    assert entry.problems == () and complaints(person) == []
    folder = make_own(tmp_path / "ours", "2026-06-02", entry).folder
    loaded = load(folder, prose=False)
    family = loaded.families["our-saddle-2"]
    assert [(pair.main, pair.lateral) for pair in family.pairs] == [("6 in", "2 in"), ("4 in DIPS", "2 in")]
    assert family.lateral.dr == (11, 13.5) and family.contents == ("water", "gas")
    assert str(family.every_pair.fuse.voltage) == "40 V" and family.pairs[0].clamp.screw_count == 4
    assert loaded.cite(family.source) == "Label of Branch saddle, four screws, read 2026-06-01 [label]"
    found = one(loaded, "6 in IPS DR 11", "2 in IPS", "our-saddle-2", None)
    assert found.reasons == () and found.values["tap.hole_saw"].kind == "worked"


def test_what_the_label_does_not_show_is_left_out_with_a_comment(catalog: Catalog) -> None:
    entry, _ = entered(catalog, typed(FAMILY, {}, [{"main": "6 in", "lateral": "2 in"}]))
    assert "every_pair" not in entry.family
    assert "# fuse.voltage: the label does not show it\n" in entry.text
    assert "    # fuse.time: the label does not show it\n" in entry.text
    assert parse_yaml(entry.text, "").value["pairs"] == ({"main": "6 in", "lateral": "2 in"},)


def test_the_file_read_back_is_what_was_entered(catalog: Catalog) -> None:
    entry, _ = entered(catalog, typed(FAMILY, SHARED, [PAIR]))
    assert parse_yaml(entry.text, "").value == entry.family


def test_what_differs_is_asked_again_for_each_size(catalog: Catalog) -> None:
    shared = {**SHARED, "fuse.terminal": "differs"}
    pairs = [{**PAIR, "fuse.terminal": "4.7 mm"}, {**PAIR, "main": "8 in", "fuse.terminal": "4.0 mm"}]
    entry, _ = entered(catalog, typed(FAMILY, shared, pairs))
    assert [pair["fuse"]["terminal"] for pair in entry.family["pairs"]] == ["4.7 mm", "4.0 mm"]
    assert "    # terminal: it differs: see each pair\n" in entry.text


def test_a_coupling_is_asked_for_its_socket_and_for_nothing_of_a_saddle(
    catalog: Catalog, tmp_path: Path
) -> None:
    socket = {"main": "2 in", "lateral": "2 in", "fuse.time": "60 s", "socket.insertion_depth": "60 mm"}
    entry, person = entered(catalog, typed(COUPLING, {"fuse.voltage": "40 V"}, [socket]))
    assert entry.problems == ()
    saddle_only = ("Clamped by", "crews or bolts", "utter", "Feeler", "before the cut", "outlet")
    assert [prompt for prompt in person.asked for word in saddle_only if word in prompt] == []
    folder = make_own(tmp_path / "ours", "2026-06-02", entry).folder
    family = load(folder, prose=False).families["our-coupling"]
    assert family.clamping is None and str(family.pairs[0].socket.insertion_depth) == "60 mm"


def test_a_tapping_saddle_is_asked_for_its_cutter(catalog: Catalog) -> None:
    family = {**FAMILY, "type": "tapping saddle", "methods": "built-in cutter"}
    cutter = {"main": "6 in", "lateral": "2 in", "cutter.turns": "18", "cutter.stop": "flush with the rim"}
    entry, _ = entered(catalog, typed(family, {}, [cutter]))
    assert entry.family["pairs"][0]["cutter"] == {"turns": 18, "stop": "flush with the rim"}


@pytest.mark.parametrize(
    ("key", "wrong", "said"),
    [
        ("id", "our {saddle}", "cannot be an id"),
        ("id", "../saddle", "did you mean 'saddle'?"),
        ("id", "con", "a file that not every machine can have"),
        ("id", "Demo-Saddle", "Demo-Saddle is taken"),
        ("id", "x" * 51, "at most 50 characters"),
        ("id", "", "this is needed"),
        ("title", "x" * 401, "at most 400 characters"),
        ("title", "Saddle\u202e", "a character that nobody sees"),
        ("title", "Sad\ufffddle", "a character that nobody sees"),
        ("title", "a\x1b[31m", "a character that nobody sees"),
        ("date", "yesterday", "a date such as"),
        ("type", "branch sadle", "did you mean 'branch saddle'?"),
        ("type", "differs", "is not a value packgen knows here"),
        ("clamping", "glue", "expected 'screws', 'bolts' or 'strap'"),
        ("methods", "built-in cutter", "open drill or through a valve on a branch saddle"),
        ("contents", "water,", "is not a value packgen knows here"),
        ("system", "IPSS", "did you mean 'IPS'?"),
        ("main.dr_min", "eleven", "a number without a unit"),
        ("main.dr_min", "1", "a number above 1"),
        ("main.materials", "PE4711", "did you mean 'PE4710'?"),
        ("lateral.dr", "12", "is not in the table"),
        ("fuse.voltage", "400 V", "expected 8 to 48 V"),
        ("fuse.voltage", "40", "it has no unit"),
        ("fuse.voltage", "40 min", "min measures time"),
        ("fuse.voltage", "{{ fuse.time }}", "the number is not one packgen reads"),
        ("fuse.voltage", "4,0 V", "a comma stands in the number"),
        ("gap.feeler", "- 0.33 mm", "the number is not one packgen reads"),
        ("main", "5 in", "did you mean '4 in'?"),
        ("main", "", "this is needed"),
        ("fuse.time", "85", "it has no unit"),
        ("cool.pressure_wait", "10 min", "ends before the clamp time 15 min"),
        ("clamp.screw_count", "four", "a whole number without a unit"),
        ("clamp.screw_count", "0", "a number of at least 1"),
        ("fuse.time_compensation", "0 degC = 95 s", "at least 2 items"),
        ("fuse.time_compensation", "95 s = 0 degC, 85 s = 20 degC", "degC measures temperature"),
        ("fuse.time_compensation", "0 degC, 20 degC", "nothing is written"),
    ],
)
def test_a_wrong_answer_is_told_at_once_and_asked_again(
    key: str, wrong: str, said: str, catalog: Catalog
) -> None:
    right = {**FAMILY, **SHARED, **PAIR}.get(key, "")
    entry, person = entered(catalog, lines_with(key, wrong, right), taken=["demo-saddle"])
    told = complaints(person)
    assert len(told) == 1 and said in told[0]
    assert entered(catalog, typed(FAMILY, SHARED, [PAIR]))[0].text == entry.text


def test_what_two_answers_have_wrong_together_is_told_before_anything_is_written(catalog: Catalog) -> None:
    lines = typed(
        FAMILY, {**SHARED, "peel.depth_min": "0.012 in", "peel.depth_max": "0.009 in"}, [PAIR, PAIR]
    )
    entry, _ = entered(catalog, lines)
    told = [str(problem) for problem in entry.problems]
    assert any("depth_min 0.012 in is above depth_max 0.009 in" in line for line in told)
    assert any("the pair 2 in on 6 in stands twice" in line for line in told)


def test_back_returns_to_the_question_before(catalog: Catalog) -> None:
    lines = lines_with("title", "Saddel", "back", FAMILY["title"])
    assert lines[:4] == ["our-saddle-2", "Saddel", "back", FAMILY["title"]]
    entry, person = entered(catalog, ["back", *lines])
    assert entry.family["title"] == FAMILY["title"]
    assert complaints(person) == ["there is no question before this one"]


def test_back_over_a_question_that_differs_takes_it_back(catalog: Catalog) -> None:
    lines = lines_with("fuse.voltage", "differs", "back", "40 V")
    entry, _ = entered(catalog, lines)
    assert entry.family["every_pair"]["fuse"]["voltage"] == "40 V"
    assert "voltage" not in entry.family["pairs"][0]["fuse"]


def test_the_input_may_end_at_any_question_and_nothing_comes_of_it(catalog: Catalog) -> None:
    lines = typed(FAMILY, SHARED, [PAIR])
    for count in range(0, len(lines), 7):
        with pytest.raises(EOFError):
            entered(catalog, lines[:count])


HOSTILE = [
    "{{ 7*7 }} {% raw %}", "'quoted' \"twice\"", "# no comment", "key: value", "- item", "[a, b",
    "*alias &anchor", "!tag", "yes", "null", "1.10", "012", "2026-06-01", "back slash \\n", "% percent",
    "| pipe >", "ends with:", "~", "Ω ½ – é", "$family ${main}", "<b>bold</b>", "@at `tick`", "x" * 380,
]  # fmt: skip


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_words_are_kept_as_typed(words: str, catalog: Catalog, tmp_path: Path) -> None:
    entry, _ = entered(catalog, typed({**FAMILY, "title": words}, {"clamp.method": words}, [PAIR]))
    folder = make_own(tmp_path / "ours", "2026-06-02", entry).folder
    assert entry.problems == ()
    family = read_yaml(folder / "fittings" / "our-saddle-2.yaml").value
    assert (family["title"], family["every_pair"]["clamp"]["method"]) == (words, words)
    (source,) = read_yaml(folder / "sources" / "label-our-saddle-2.yaml").value["sources"]
    assert (source["id"], source["title"]) == (family["source"], f"Label of {words}")


@example("-")
@given(st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=40))
def test_any_words_that_can_be_seen_read_back_unchanged(words: str) -> None:
    text = f"value: {plain_yaml(words)}\nmany: {plain_yaml((words, words))}"
    assert parse_yaml(text, "").value == {"value": words, "many": (words, words)}


@pytest.mark.parametrize(
    ("form", "text", "value"),
    [
        ("number", "4", 4), ("number", "13.5", 13.5), ("number", "-1", -1), ("number", "1e3", "1e3"),
        ("number", "٣", "٣"), ("list", "a ,b", ("a", "b")), ("numbers", "9,x", (9, "x")), ("date", "x", "x"),
        ("words", "a, b", "a, b"), ("times", "0 degC", ({"up_to": "0 degC", "time": ""},)),
    ],
)  # fmt: skip
def test_an_answer_that_does_not_fit_its_form_stays_as_typed(form: Form, text: str, value: Any) -> None:
    found = read_answer(form, text)
    assert found == value and type(found) is type(value)


def test_every_question_asks_for_a_key_there_is_and_every_key_of_a_label_is_asked_for() -> None:
    asked = {(question.part, question.key) for question in load_questions().questions}
    keys = {"pressure_max"}
    for name, group in LabelData.model_fields.items():
        keys |= {f"{name}.{key}" for key in getattr(group.annotation, "model_fields", {})}
    drawing = {f"fitting.{key}" for key in FittingData.model_fields} | {"clamp.lug_load_max"}
    labels = {key for part, key in asked if part != "family"} - {"main", "lateral"}
    assert labels <= keys and keys - labels <= drawing - {"fitting.outlet_bore", "fitting.outlet_height"}
    family = {key for part, key in asked if part == "family"}
    assert {key.split(".")[0] for key in family} <= set(Family.model_fields)
    for question in load_questions().questions:
        assert read_answer(question.form, question.example) and question.form in get_args(Form)


def test_a_fitting_is_added_beside_what_stands_and_never_over_it(catalog: Catalog, tmp_path: Path) -> None:
    folder = make_own(tmp_path / "ours", "2026-06-02").folder
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    entry, _ = entered(catalog, typed(FAMILY, SHARED, [PAIR]))
    assert add_family(folder, entry).files == (
        "sources/label-our-saddle-2.yaml", "fittings/our-saddle-2.yaml",
    )  # fmt: skip
    assert {path: path.read_bytes() for path in before} == before
    assert set(load(folder, prose=False).families) >= {"our-saddle", "our-saddle-2"}
    (folder / "sources" / "label-our-saddle-2.yaml").unlink()
    with pytest.raises(PackgenError, match="File exists; free its place"):
        add_family(folder, entry)
    assert not (folder / "sources" / "label-our-saddle-2.yaml").exists()


def test_a_failure_leaves_no_folder_that_the_fitting_had_made(catalog: Catalog, tmp_path: Path) -> None:
    folder = make_own(tmp_path / "ours", "2026-06-02").folder
    entry, _ = entered(catalog, typed(FAMILY, SHARED, [PAIR]))
    (folder / "fittings" / "our-saddle-2.yaml").write_text("mine", "utf-8")
    with pytest.raises(PackgenError, match="File exists; free its place"):
        add_family(folder, entry)
    assert not (folder / "sources").exists()
    assert (folder / "fittings" / "our-saddle-2.yaml").read_text("utf-8") == "mine"


ISO = {**FAMILY, "system": "ISO", "main.materials": "PE100", "lateral.materials": "PE100"}


@pytest.mark.parametrize(
    ("family", "sizes", "main", "lateral"),
    [
        # The table of ISO holds 21 in 50 mm, but not in 160 mm.
        (ISO | {"lateral.dr": "21, 11", "main.dr_min": "9", "main.dr_max": "21"},
         ("160 mm", "50 mm"), "160 mm ISO DR 9 PE100", "50 mm ISO DR 21 PE100"),
        (ISO | {"lateral.dr": "11", "main.dr_min": "12", "main.dr_max": "21"},
         ("160 mm", "63 mm"), "160 mm ISO DR 13.6 PE100", "63 mm ISO DR 11 PE100"),
        (FAMILY | {"lateral.dr": "11", "main.dr_min": "10", "main.dr_max": "17"},
         ("4 in DIPS", "2 in"), "4 in DIPS DR 11 PE4710", "2 in IPS DR 11 PE4710"),
        (FAMILY | {"lateral.dr": "9", "main.dr_min": "10.5", "main.dr_max": "17"},
         ("6 in", "2 in"), "6 in IPS DR 11 PE4710", "2 in IPS DR 9 PE4710"),
        (COUPLING | {"lateral.dr": "9, 11", "main.dr_min": "10", "main.dr_max": "17"},
         ("2 in", "2 in"), "2 in IPS DR 11 PE4710", "2 in IPS DR 11 PE4710"),
    ],
)  # fmt: skip
def test_the_first_job_takes_ratios_that_label_and_tables_hold(
    family: dict[str, str], sizes: tuple[str, str], main: str, lateral: str, catalog: Catalog, tmp_path: Path
) -> None:
    entry, _ = entered(catalog, typed(family, {}, [{"main": sizes[0], "lateral": sizes[1]}]))
    folder = make_own(tmp_path / "ours", "2026-06-02", entry).folder
    job, _ = load_job(folder / "jobs" / "first-job.yaml", load(folder, prose=False))
    assert (job.main, job.joints[0].lateral) == (read_designation(main), read_designation(lateral))


def asked_by_command(
    monkeypatch: pytest.MonkeyPatch, packgen: Packgen, folder: Path, lines: Iterable[str]
) -> Any:
    """`packgen own DIR --from-label`, with lines typed."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return packgen("own", folder, "--from-label", "--date", "2026-06-02")


def test_the_command_makes_a_folder_with_a_job_for_the_fitting(
    tmp_path: Path, packgen: Packgen, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "our own"
    ran = asked_by_command(monkeypatch, packgen, folder, [*typed(FAMILY, SHARED, [PAIR]), "yes"])
    assert ran.code == 0, ran.err
    assert "kind: fitting family" in ran.out and "packgen check --content" in ran.out
    assert "next: compare every number with the label, then\n" in ran.out
    job = (folder / "jobs" / "first-job.yaml").read_text("utf-8")
    assert "main: 6 in IPS DR 11 PE4710 " in job and "family: our-saddle-2\n" in job
    assert not (folder / "fittings" / "our-saddle.yaml").exists()
    ran = asked_by_command(
        monkeypatch, packgen, folder, [*typed({**FAMILY, "id": "third"}, SHARED, [PAIR]), "yes"]
    )
    assert ran.code == 0, ran.err
    assert {path.name for path in (folder / "fittings").iterdir()} == {"our-saddle-2.yaml", "third.yaml"}


@pytest.mark.parametrize("last", ["no", "", "y"])
def test_nothing_is_written_without_a_yes(
    last: str, tmp_path: Path, packgen: Packgen, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran = asked_by_command(monkeypatch, packgen, tmp_path / "ours", [*typed(FAMILY, SHARED, [PAIR]), last])
    assert ran.code == 0 and ran.out.endswith("nothing was written\n")
    assert list(tmp_path.iterdir()) == []


def test_an_end_of_input_writes_nothing(
    tmp_path: Path, packgen: Packgen, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran = asked_by_command(monkeypatch, packgen, tmp_path / "ours", typed(FAMILY, SHARED, [PAIR]))
    assert ran.code == 1
    assert ran.err == "error: the input ended before the last answer; nothing was written\n"
    assert list(tmp_path.iterdir()) == []


def test_what_two_answers_have_wrong_is_kept_to_be_mended_and_told_with_its_line(
    tmp_path: Path, packgen: Packgen, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [*typed({**FAMILY, "main.dr_min": "21"}, SHARED, [PAIR]), "yes"]
    ran = asked_by_command(monkeypatch, packgen, tmp_path / "ours", lines)
    assert ran.code == 1
    assert "as it stands, check will say:" in ran.out
    assert "the files are kept; mend what follows:" in ran.err
    assert "our-saddle-2.yaml:" in ran.err and "dr_min is above dr_max" in ran.err


def test_bytes_that_are_no_text_and_an_interruption_write_nothing(tmp_path: Path) -> None:
    """In a process of its own, as from a pipe."""
    command = [sys.executable, "-m", "packgen.cli", "own", "ours", "--from-label"]
    ran = subprocess.run(
        command,
        cwd=tmp_path,
        input=b"our-id\nSaddle \xff\xfe\n",
        capture_output=True,
        check=False,
        timeout=60,
    )
    assert ran.returncode == 1
    assert b"a character that nobody sees" in ran.stdout and b"nothing was written" in ran.stderr
    assert list(tmp_path.iterdir()) == []


def test_an_own_folder_with_a_fault_is_told_before_the_first_question(
    tmp_path: Path, packgen: Packgen, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = make_own(tmp_path / "ours", "2026-06-02").folder
    (folder / "sources.yaml").write_text("kind: sources\nsources: none\n")
    ran = asked_by_command(monkeypatch, packgen, folder, [])
    assert ran.code == 1 and "sources.yaml:2:10" in ran.err and ran.out == ""
