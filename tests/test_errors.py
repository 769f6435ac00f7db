"""Problems: one sentence each, in one order, all raised at once."""

from __future__ import annotations

import math

import pytest

from packgen.errors import (
    ContentError,
    MissingPart,
    OutOfRange,
    PackgenError,
    Place,
    Problem,
    Problems,
    UsageError,
    nearest,
    require_positive,
)


@pytest.mark.parametrize(
    ("place", "printed"),
    [
        (Place("job.yaml", 3, 7, "main"), "job.yaml:3:7: main"),
        (Place("job.yaml", 3, 0, "main"), "job.yaml:3: main"),
        (Place("job.yaml", 0, 5), "job.yaml"),
        (Place(key="main"), "main"),
        (Place(), ""),
    ],
)
def test_a_place_prints_what_is_known_of_it(place: Place, printed: str) -> None:
    """A column without a line says nothing and is left out."""
    assert str(place) == printed


def test_a_problem_is_one_sentence_with_place_expectation_word_and_cure() -> None:
    """The parts stand in one order; those that are not known are left out."""
    place = Place("job.yaml", 3, 7, "contents")
    full = Problem(place, "'watr' is not known", "water or gas", "water", "write one of them")
    assert str(full) == (
        "job.yaml:3:7: contents: 'watr' is not known; expected water or gas; did you mean 'water'?; "
        "write one of them"
    )
    assert str(Problem(Place(), "the main is live")) == "the main is live"


def test_problems_come_out_sorted_once_each_and_all_at_once() -> None:
    """Lines are in order, and a problem told twice is kept once."""
    problems = Problems()
    problems.add(Place("b.yaml", 9), "late")
    problems.add(Place("b.yaml", 2), "early")
    problems.extend([Problem(Place("a.yaml", 50), "first"), Problem(Place("b.yaml", 2), "early")])
    assert len(problems) == 3
    assert [problem.what for problem in problems] == ["first", "early", "late"]
    with pytest.raises(ContentError) as caught:
        problems.raise_if_any()
    assert str(caught.value).splitlines() == ["a.yaml:50: first", "b.yaml:2: early", "b.yaml:9: late"]


def test_nothing_is_raised_where_nothing_was_found() -> None:
    """An empty collection passes, and another kind of error can be asked for."""
    problems = Problems()
    problems.raise_if_any()
    problems.add(Place(), "no such option")
    with pytest.raises(UsageError):
        problems.raise_if_any(UsageError)


@pytest.mark.parametrize(
    ("kind", "code"),
    [(PackgenError, 1), (ContentError, 1), (OutOfRange, 1), (UsageError, 2), (MissingPart, 2)],
)
def test_each_kind_of_error_has_its_exit_code(kind: type[PackgenError], code: int) -> None:
    """1 is content refused, 2 is wrong use or a missing part."""
    error = kind("a sentence")
    assert error.exit_code == code
    assert error.problems == (Problem(Place(), "a sentence"),)
    assert isinstance(error, PackgenError)


@pytest.mark.parametrize(
    ("word", "words", "near"),
    [
        ("latral", ["main", "lateral"], "lateral"),
        ("DRY", ["dry", "isolated"], ""),
        ("", ["dry"], ""),
        ("dry", [], ""),
    ],
)
def test_the_nearest_word_is_offered_only_where_one_is_like_it(
    word: str, words: list[str], near: str
) -> None:
    """A word that is like none gets no guess."""
    assert nearest(word, words) == near


def test_every_number_that_is_not_above_zero_is_told() -> None:
    """NaN, infinity, nothing and less than nothing are refused together, by the quantity's name."""
    require_positive(wall=1.0)
    with pytest.raises(OutOfRange) as caught:
        require_positive(main_wall=0.0, bore=-1.0, time=math.nan, area=math.inf, length=2.0)
    told = [problem.what for problem in caught.value.problems]
    assert told == ["main wall is 0.0", "bore is -1.0", "time is nan", "area is inf"]
