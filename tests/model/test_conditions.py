"""Sections for some jobs only: read from the heading, kept or left by the job, told where misspelled."""

from __future__ import annotations

import pytest

from packgen.errors import Problems
from packgen.model.prose import CONDITIONS, Heading, Procedure, When
from packgen.model.prose_reader import read_procedure

HEAD = "---\nid: peel\ntitle: Peel\norder: 10\non: [pack]\nwhen: {contents: [water]}\n---\n"
BODY = (
    "Always.\n\n"
    '## Screws {: clamping="screws" }\n\n1. Turn.\n   {: #turn }\n\n'
    '## Strap on a live main {: clamping="strap, bolts" state="live" }\n\n1. Pull.\n   {: #pull }\n'
)


def read(text: str) -> tuple[Procedure | None, list[str]]:
    """A procedure and what is said of it."""
    problems = Problems()
    return read_procedure(text, "peel.md", problems), [str(each) for each in problems]


def whole(text: str) -> Procedure:
    """A procedure that must be good."""
    procedure, told = read(text)
    assert procedure is not None, told
    return procedure


def test_a_heading_carries_the_conditions_of_its_section() -> None:
    """Each key with the words parted by commas; the heading's words stay clean."""
    headings = [block for block in whole(HEAD + BODY).blocks if isinstance(block, Heading)]
    assert [heading.text for heading in headings] == ["Screws", "Strap on a live main"]
    assert headings[0].when.clamping == ("screws",)
    assert (headings[1].when.clamping, headings[1].when.state) == (("strap", "bolts"), ("live",))


@pytest.mark.parametrize(
    ("facts", "steps"),
    [
        ({"contents": "water", "clamping": "screws", "state": "dry"}, ["turn"]),
        ({"contents": "water", "clamping": "bolts", "state": "live"}, ["pull"]),
        ({"contents": "water", "clamping": "strap", "state": "dry"}, []),
        ({"contents": "water"}, []),
    ],
)
def test_a_job_keeps_the_sections_whose_every_condition_it_meets(
    facts: dict[str, str], steps: list[str]
) -> None:
    """What stands above the first heading is always kept; a fact that is not known meets no condition."""
    kept = whole(HEAD + BODY).narrowed(facts)
    assert kept is not None
    assert [step.id for step in kept.steps] == steps
    assert "Always." in str(kept.blocks[0])


def test_a_job_that_the_procedure_is_not_for_gets_nothing_of_it() -> None:
    """The head's condition holds for every section."""
    assert whole(HEAD + BODY).narrowed({"contents": "gas", "clamping": "screws"}) is None


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        ('clamping="screw"', "'screw' is no clamping packgen knows; expected one of screws, bolts, strap"),
        ('clampng="screws"', "the attribute 'clampng' has no place here"),
        ('clamping=""', "'' is no clamping packgen knows"),
    ],
)
def test_a_condition_nobody_can_meet_is_told_with_its_line(mark: str, said: str) -> None:
    """With the nearest right word."""
    procedure, told = read(HEAD + f"x\n\n## Screws {{: {mark} }}\n\ny\n")
    assert procedure is None
    assert any(each.startswith("peel.md:10: ") and said in each for each in told), told


def test_conditions_exclude_each_other_where_no_job_meets_both() -> None:
    """One key apart is enough; keys that do not meet exclude nothing."""
    water, gas, live = When(contents=("water",)), When(contents=("gas",)), When(state=("live",))
    assert water.excludes(gas)
    assert not water.excludes(live)
    assert not water.excludes(When(contents=("gas", "water")))
    assert water.joined(live).met({"contents": "water", "state": "live"})
    assert not water.joined(gas).met({"contents": "water"})


def test_every_condition_has_words() -> None:
    """The words come from the records, so that none can be forgotten."""
    assert set(CONDITIONS) == set(When.model_fields)
    assert all(len(words) >= 2 for words in CONDITIONS.values())
