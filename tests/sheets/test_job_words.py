"""The words of a job have one set of names: those that prose may ask for, those filled in, those explained.

A name that prose may ask for and nobody fills in would end a pack with a traceback; one that nobody explains
would leave a cover without words for what is missing.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Callable

import pytest

from packgen.model.job import Job
from packgen.model.prose_check import JOB_KEYS
from packgen.sheets.view import View
from packgen.sheets.words import Words


def names_filled(*methods: Callable[..., object]) -> list[str]:
    """The names of a dictionary's entries that some methods write down, but for those of no job."""
    found: list[str] = []
    for method in methods:
        tree = ast.parse(textwrap.dedent(inspect.getsource(method)))
        largest = max(
            (node for node in ast.walk(tree) if isinstance(node, ast.Dict)), key=lambda each: len(each.keys)
        )
        found += [key.value for key in largest.keys if isinstance(key, ast.Constant)]
    return found


def test_prose_facts_and_words_hold_the_same_names(words: Words) -> None:
    filled = names_filled(View.job, View._isolation)
    assert sorted(filled) == sorted(JOB_KEYS) == sorted(words.group("job_words"))
    assert len(set(JOB_KEYS)) == len(JOB_KEYS) > 10


def test_every_name_is_filled_in_or_absent_and_no_other_is_known(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]]
) -> None:
    """Over jobs that say much: no name raises, and nearly every one has words in some joint."""
    views = [view for job in ("live-tap", "service-tap", "valve-isolation") for view in views_of(job_of(job))]
    found = {name: [view.job(name) for view in views] for name in JOB_KEYS}
    assert all(isinstance(word, str | None) for words in found.values() for word in words)
    assert sum(any(words) for words in found.values()) >= len(JOB_KEYS) - 1
    with pytest.raises(KeyError):
        views[0].job("pipe")
