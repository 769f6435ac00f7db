"""Sections, sheets and boxes that no job can reach are told with their line; those some job has are taken.

Which jobs there are is written here by hand, from the trade's order of work (common practice, no source): a
live main is not cut by an open drill, a coupling cuts nothing and has no saddle's clamp, a strap no torque.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError, Problems
from packgen.model.found import Found
from packgen.model.load import load
from packgen.model.prose import CONDITIONS
from packgen.model.prose_reader import read_procedure
from packgen.model.section_check import check_sections, kinds_of_job

CONTENT = Path(__file__).parents[2] / "content"
IMPOSSIBLE = [
    'state="live" method="open drill"',
    'fitting="coupling" method="open drill, through a valve, built-in cutter"',
    'fitting="coupling" clamping="strap"',
    'fitting="coupling" outlet="vertical"',
    'fitting="tapping saddle" method="open drill"',
    'fitting="branch saddle" method="built-in cutter"',
    'fitting="tapping saddle" saw="entered"',
    'clamping="strap" torque="none"',
    'state="dry, live" isolation="valves"',
    'method="built-in cutter" saw="worked" contents="gas" laid="drilled in"',
]
POSSIBLE = [
    'state="live, dry" method="open drill"',
    'fitting="coupling" state="live" contents="gas" times="by temperature"',
    'fitting="tapping saddle, coupling" method="open drill, built-in cutter"',
    'clamping="strap, bolts" torque="none"',
    'state="isolated" isolation="valves" outlet="between" laid="unknown" work="repair" saw="entered"',
    'method="through a valve" state="live" clamping="strap" saw="worked"',
]


def told(when: str, heading: str, body: str = "x\n") -> list[str]:
    """What is said of a procedure with a condition in its head and one section."""
    head = f"---\nid: peel\ntitle: Peel\norder: 10\non: [pack]\n{when}---\n"
    problems, found = Problems(), Found()
    procedure = read_procedure(f"{head}Always.\n\n## Peel {heading}\n\n{body}", "peel.md", problems)
    assert procedure is not None, [str(problem) for problem in problems]
    found.procedures["peel"] = procedure
    check_sections(found, problems)
    return [str(problem) for problem in problems]


@pytest.mark.parametrize("conditions", IMPOSSIBLE)
def test_a_section_that_no_job_can_reach_is_told_with_its_line(conditions: str) -> None:
    (line,) = told("", f"{{: {conditions} }}")
    assert line.startswith("peel.md:9: the section 'Peel' stands in no job: none has ")
    assert line.endswith("; take out one of the conditions")


@pytest.mark.parametrize("conditions", POSSIBLE)
def test_a_section_that_some_job_has_is_taken(conditions: str) -> None:
    assert told("", f"{{: {conditions} }}") == []


def test_a_section_against_its_own_head_is_told() -> None:
    """Head and section join to nothing; one word in common is enough."""
    head = "when: {state: [isolated, dry]}\n"
    (line,) = told(head, '{: state="live" contents="gas" }')
    assert line == (
        "peel.md:10: the section 'Peel' is for no state at all; take the key out where it is for every job; "
        "head and section must share a word"
    )
    assert told(head, '{: state="live, dry" contents="gas" }') == []


def test_a_section_that_its_head_puts_out_of_reach_is_told() -> None:
    """By two keys that no job has together."""
    (line,) = told("when: {state: [live]}\n", '{: method="open drill" }')
    assert "peel.md:10: the section 'Peel' stands in no job: none has state: live; method: open drill" in line
    assert told("when: {state: [live]}\n", '{: method="through a valve" }') == []


def test_a_head_that_no_job_meets_is_told_once_at_its_own_line() -> None:
    """And not again for each of its sections."""
    (line,) = told("when: {fitting: [coupling], method: [open drill]}\n", '{: contents="gas" }')
    assert line.startswith("peel.md:6: when: the procedure stands in no job: none has method: open drill; ")


@pytest.mark.parametrize(
    ("when", "said"),
    [
        ("when: {state: []}\n", "peel.md:6: when: the procedure is for no state at all; take the key out"),
        ("when:\n  state: [dry]\n  method: []\n", "peel.md:6: when: the procedure is for no method at all"),
    ],
)
def test_an_empty_list_in_the_head_is_told(when: str, said: str) -> None:
    (line,) = told(when, "")
    assert line.startswith(said)


def test_a_procedure_that_is_printed_nowhere_is_told() -> None:
    problems, found = Problems(), Found()
    procedure = read_procedure("---\nid: a\ntitle: A\norder: 1\non: []\n---\nx\n", "a.md", problems)
    assert procedure is not None
    found.procedures["a"] = procedure
    check_sections(found, problems)
    (problem,) = problems
    assert str(problem) == (
        "a.md:5: on: the procedure stands nowhere; write where it is printed: pack, cards, site"
    )


STEP = "1. Peel.\n   {{: {} }}\n"


@pytest.mark.parametrize(
    ("heading", "body", "said"),
    [
        (
            '{: state="dry" state="live" }',
            "x\n",
            "peel.md:9: the braces hold 'state' twice, and the last alone",
        ),
        ('{: state=dry state="live" }', "x\n", "peel.md:9: the braces hold 'state' twice"),
        ("", STEP.format('#a write="Depth" write="Time"'), "peel.md:12: the braces hold 'write' twice"),
        (
            "",
            STEP.format("#a .hold #b"),
            "peel.md:12: the braces hold two ids, and the last alone would count",
        ),
    ],
)
def test_a_mark_that_would_be_dropped_unseen_is_told(heading: str, body: str, said: str) -> None:
    (line,) = told("", heading, body)
    assert line.startswith(said), line
    assert line.endswith("keep one; part several words of a condition by commas")


def test_two_pairs_of_braces_on_one_heading_are_told() -> None:
    """The first would be printed as words."""
    (line,) = told("", '{: state="dry" } {: contents="gas" }')
    assert line == "peel.md:9: the heading has two pairs of braces; put all conditions into one"


@pytest.mark.parametrize(
    ("heading", "body"),
    [
        ('{: state="dry, live" contents="gas" }', "x\n"),
        ("", STEP.format('#a .hold write="state=dry, state=live #1 #2"')),
    ],
)
def test_marks_that_all_count_are_taken(heading: str, body: str) -> None:
    """What stands in quotes is words."""
    assert told("", heading, body) == []


def test_the_kinds_of_job_hold_every_word_of_every_condition() -> None:
    """A key that is not tried out must be one on which no other depends."""
    kinds = kinds_of_job()
    tried = set(kinds[0])
    assert set(CONDITIONS) - tried == {"laid", "work", "heat"}
    for key in tried:
        assert {facts[key] for facts in kinds} >= set(CONDITIONS[key])
    assert not [
        facts
        for facts in kinds
        if (facts["state"], facts["method"]) == ("live", "open drill")
        or (facts["state"] == "isolated") != (facts["isolation"] is not None)
        or (facts["fitting"] == "coupling") != (facts["clamping"] is None)
        or (facts["torque"] is not None) != (facts["clamping"] in ("screws", "bolts"))
    ]


def test_boxes_for_no_job_are_told_at_their_group(tmp_path: Path) -> None:
    """Through the loader, with the record's line."""
    folder = tmp_path / "content"
    shutil.copytree(CONTENT, folder)
    path = folder / "procedures" / "en" / "joint-record.yaml"
    text = path.read_text("utf-8")
    old = "when: {method: [through a valve]}"
    assert old in text
    path.write_text(text.replace(old, "when: {method: [through a valve], fitting: [coupling]}", 1), "utf-8")
    with pytest.raises(ContentError) as caught:
        load(folder)
    (problem,) = caught.value.problems
    line = text[: text.index(old)].count("\n") + 1
    assert problem.place.line == line and problem.place.key.endswith(".when")
    assert problem.what.startswith(
        "the group of boxes stands in no job: none has method: through a valve; fitting"
    )
