"""The other sizes of a family beside the one in view: worked out for the same contents."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from packgen.calc.request import Request, request_of
from packgen.calc.work_out import work_out
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.model.records import Contents
from packgen.sheets.view import View, known
from packgen.sheets.words import load_words

CONTENT = Path(__file__).parents[2] / "content"
CATALOG = load(CONTENT, prose=False)
WORDS = load_words()


def of_job(contents: Contents) -> View:
    """The first demo job, its main holding these contents."""
    job = load_job(CONTENT / "jobs" / "first-lateral.yaml", CATALOG)[0]
    job = job.model_copy(update={"contents": contents})
    return View(CATALOG, WORDS, work_out(request_of(job, job.joints[0], CATALOG)))


@pytest.mark.parametrize("contents", ["water", "gas"])
def test_a_job_s_other_sizes_are_worked_out_for_its_contents(contents: Contents) -> None:
    """4 in IPS DR 11 PE4710 by hand: water 2 × 1000 / 10 = 200 psi, gas 2 × 1600 × 0.32 / 10 = 102 psi."""
    view = of_job(contents)
    (pair,) = [each for each in view.pairs if (each.main, each.lateral) == ("4 in", "2 in")]
    other = view.sibling(pair)
    assert other is not None
    assert other.request.contents == other.request.facts["contents"] == contents
    rating = {"water": "200 psi", "gas": "102 psi"}[contents]
    assert other.text("pipe.main.pressure_rating").startswith(f"{rating} [")


def test_what_is_known_for_water_is_not_taken_for_gas() -> None:
    """The two stand apart in what views share, and each is worked out once."""
    water, gas = of_job("water"), of_job("gas")
    (pair,) = [each for each in water.pairs if (each.main, each.lateral) == ("4 in", "2 in")]
    first = water.sibling(pair)
    assert first is not None
    shared = known([first.combination])
    other = replace(gas, known=shared).sibling(pair)
    assert other is not None and other.combination is not first.combination
    assert len(shared) == 2
    again = replace(water, known=shared).sibling(pair)
    assert again is not None and again.combination is first.combination
    assert len(shared) == 2


def test_contents_asked_for_count_only_where_no_job_says_what_the_main_holds() -> None:
    request = of_job("water").request
    assert replace(request, wanted_contents="gas").contents == "water"
    bare = Request(CATALOG, request.main, request.lateral, request.family)
    assert bare.contents == "water"
    assert replace(bare, wanted_contents="gas").contents == "gas"
