"""Pipes as people write them."""

from __future__ import annotations

import doctest

import pytest

from packgen.errors import ContentError
from packgen.model import catalog, designation, yaml_reader
from packgen.model.designation import Designation, read_designation


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("4 in IPS DR 11 PE4710", Designation("4 in", "IPS", 11.0, "PE4710", None)),
        ("4in IPS DR11 PE4710", Designation("4 in", "IPS", 11.0, "PE4710", None)),
        ("1-1/4 in IPS DR 13.5", Designation("1-1/4 in", "IPS", 13.5, None, None)),
        ("1 ¼ in IPS DR 13.5", Designation("1-1/4 in", "IPS", 13.5, None, None)),
        ("4 in  IPS   DR 11 PE4710 ASTM D3035", Designation("4 in", "IPS", 11.0, "PE4710", "ASTM D3035")),
        ("4 in IPS DR 11 ASTM F714", Designation("4 in", "IPS", 11.0, None, "ASTM F714")),
        ("110 mm ISO SDR 11 PE100", Designation("110 mm", "ISO", 11.0, "PE100", None)),
    ],
)
def test_a_pipe_is_taken_apart(text: str, read: Designation) -> None:
    """Size, system, ratio, material, standard; the last two may be left out."""
    assert read_designation(text) == read
    assert read_designation(str(read)) == read


@pytest.mark.parametrize(
    ("text", "said", "near"),
    [
        ("4 in DR 11", "the size system is missing", ""),
        ("4 in IPS PE4710", "the DR is missing", ""),
        ("4 in IPS dr 11", "DR is written in small letters", "4 in IPS DR 11"),
        ("IPS 4 in DR 11", "do not stand in the order size, system, DR", ""),
        ("4 in IPPS DR 11", "the size system 'IPPS' is not known", "4 in IPS DR 11"),
        ("4 in PIS DR 11", "the size system 'PIS' is not known", "4 in IPS DR 11"),
        ("5/4 in IPS DR 11", "the fraction is improper", "1-1/4 in"),
        ("4 psi IPS DR 11", "psi measures pressure", ""),
        ("4 IPS DR 11", "it has no unit", ""),
        ("-4 in IPS DR 11", "it is negative", ""),
        ("4 in IPS DR -11", "do not stand in the order", ""),
        ("4 in IPS DR 1e1", "do not stand in the order", ""),
        ("4 in IPS DR 99999", "do not stand in the order", ""),
        ("4 in IPS DR 11 PE4710 and more", "do not stand in the order", ""),
        ("", "the DR is missing", ""),
        ("x" * 100_000, "it is too long for a pipe", ""),
        ("{0} {what} IPS DR 11", "the number is not one packgen reads", ""),
    ],
)
def test_a_pipe_that_cannot_be_read_says_why(text: str, said: str, near: str) -> None:
    """What is wrong, what a pipe looks like, and the nearest right one."""
    with pytest.raises(ContentError) as caught:
        read_designation(text)
    (problem,) = caught.value.problems
    assert said in problem.what
    assert problem.expected.startswith("a pipe such as '4 in IPS DR 11 PE4710'")
    assert problem.nearest == near
    assert len(problem.what) < 300


def test_the_size_tag_is_size_and_system() -> None:
    """As on every face."""
    assert read_designation("6 in IPS DR 11 PE4710").short == "6 in IPS"


@pytest.mark.parametrize("module", [designation, catalog, yaml_reader], ids=lambda module: module.__name__)
def test_the_examples_of_the_docstrings_run(module: object) -> None:
    """Every worked example in the module is true."""
    result = doctest.testmod(module)  # type: ignore[arg-type]
    assert result.attempted > 0
    assert result.failed == 0
