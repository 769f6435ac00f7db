"""Pipes as people write them."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packgen.errors import ContentError
from packgen.model import designation, family_records, readings, yaml_reader
from packgen.model.designation import Designation, read_designation
from packgen.model.load import load

CATALOG = load(Path(__file__).parents[2] / "content", prose=False)
TABLES = CATALOG.tables


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("4 in IPS DR 11 PE4710", "4 in IPS DR 11 PE4710"),
        ("4in IPS SDR11 PE4710", "4 in IPS DR 11 PE4710"),
        ('4" IPS DR-11', "4 in IPS DR 11"),
        ("4'' IPS DR=11", "4 in IPS DR 11"),
        ("4″ IPS DR 11", "4 in IPS DR 11"),
        ("IPS 4 in DR 11 PE 4710", "4 in IPS DR 11 PE4710"),
        ("4 inch ips dr 11 pe4710", "4 in IPS DR 11 PE4710"),
        ("4-inch IPS DR 11", "4 in IPS DR 11"),
        ("4 inches IPS DR 11", "4 in IPS DR 11"),
        ("4inIPSDR11PE4710ASTMD3035", "4 in IPS DR 11 PE4710 ASTM D3035"),
        ("4 IPS DR 11", "4 in IPS DR 11"),
        ("IPS4DR11", "4 in IPS DR 11"),
        ("1-1/4 in IPS DR 13.5", "1-1/4 in IPS DR 13.5"),
        ("1 1/4 in IPS DR 13.5", "1-1/4 in IPS DR 13.5"),
        ("1 ¼ in IPS DR 13.5", "1-1/4 in IPS DR 13.5"),
        ("1½in IPS DR 11", "1-1/2 in IPS DR 11"),
        ("1.25 in IPS DR 11", "1-1/4 in IPS DR 11"),
        ("½ CTS DR 9 PE2708", "1/2 in CTS DR 9 PE2708"),
        ("4 in  IPS   DR 11 PE4710 ASTM D3035", "4 in IPS DR 11 PE4710 ASTM D3035"),
        ("4 in IPS DR 11 ASTM F714", "4 in IPS DR 11 ASTM F714"),
        ("F714 PE4710 6 in DIPS DR 17", "6 in DIPS DR 17 PE4710 ASTM F714"),
        ("6 in DIPS, DR 17, PE4710, C906", "6 in DIPS DR 17 PE4710 AWWA C906"),
        ("6 in DIPS DR 11.0", "6 in DIPS DR 11"),
        ("110 mm ISO SDR 11 PE100", "110 mm ISO SDR 11 PE100"),
        ("110 SDR 11 PE100", "110 mm ISO SDR 11 PE100"),
        ("110mm ISO SDR11 PE 100", "110 mm ISO SDR 11 PE100"),
        ("110.0 mm DR 11", "110 mm ISO SDR 11"),
        ("d110 SDR 11", "110 mm ISO SDR 11"),
        ("Ø 110 SDR 11", "110 mm ISO SDR 11"),
        ("OD 63 SDR 11", "63 mm ISO SDR 11"),
        ("DN110 SDR 11", "110 mm ISO SDR 11"),
        ("DN/OD 125 SDR 11", "125 mm ISO SDR 11"),
        ("DN 125 ISO SDR 11", "125 mm ISO SDR 11"),
        ("ISO 110 SDR 13.6", "110 mm ISO SDR 13.6"),
        ("63 ISO SDR 11", "63 mm ISO SDR 11"),
        ("PE 100 63 SDR 11 ISO 4427-2", "63 mm ISO SDR 11 PE100 ISO 4427-2"),
        ("110 mm SDR 11 PE100 ISO 4437", "110 mm ISO SDR 11 PE100 ISO 4437"),
    ],
)
def test_every_way_people_write_a_pipe_comes_out_one_way(text: str, read: str) -> None:
    """Size, system, ratio, material, standard, in that order; the last two may be left out."""
    found = read_designation(text, TABLES)
    assert str(found) == read
    assert read_designation(read, TABLES) == found == read_designation(text)


def test_a_pipe_is_taken_apart() -> None:
    """Into words and a number."""
    read = read_designation("4in IPS DR11 PE4710 ASTM D3035")
    assert read == Designation("4 in", "IPS", 11.0, "PE4710", "ASTM D3035")


@pytest.mark.parametrize(
    ("text", "said", "near"),
    [
        ("4 in DR 11", "the size system is missing", "4 in IPS DR 11 or 4 in DIPS DR 11"),
        ("4in DR11 PE4710", "the size system is missing", "4 in IPS DR 11 PE4710 or 4 in DIPS DR 11 PE4710"),
        ("1/2 in DR 9", "the size system is missing", "1/2 in IPS DR 9 or 1/2 in CTS DR 9"),
        ("22 in DR 11", "the size system is missing", "22 in IPS DR 11"),
        ("36 in DR 11", "the size system is missing", "36 in DIPS DR 11"),
        ("2 in DR 17", "the size system is missing", "2 in IPS DR 17"),
        ("5 in DR 12", "the size system is missing",
         "4 in IPS DR 11 or 4 in DIPS DR 11 or 2 in CTS DR 11"),
        ("4 DR 11", "the size has no unit", "4 in IPS DR 11 or 4 in DIPS DR 11"),
        ("20 SDR 11", "the size has no unit", "20 in IPS DR 11 or 20 in DIPS DR 11 or 20 mm ISO SDR 11"),
        ("63 SDR 11", "the size has no unit", "63 mm ISO SDR 11"),
        ("DN125 SDR 11 PE100", "DN 125 may be a bore or an outside diameter", "125 mm ISO SDR 11 PE100"),
        ("d4 in SDR 11", "'d' stands before millimetres, not inches", ""),
        ("4 in IPS PE4710", "the DR is missing", ""),
        ("IPS DR 11", "the size is missing", ""),
        ("4 in IPPS DR 11", "the size system 'IPPS' is not known", "4 in IPS DR 11"),
        ("4 in PIS DR 11", "the size system 'PIS' is not known", "4 in IPS DR 11"),
        ("4 in IPS 6 in DR 11", "it names the size twice: '4 in' and '6 in'", ""),
        ("4 in IPS DIPS DR 11", "it names the system twice: 'IPS' and 'DIPS'", ""),
        ("4 in IPS DR 11 SDR 17", "it names the ratio twice: 'DR 11' and 'SDR 17'", ""),
        ("4 in IPS DR 11 PE80 PE100", "it names the material twice", ""),
        ("4 in IPS DR 11 ASTM F714 ASTM D3035", "it names the standard twice", ""),
        ("¼6 in IPS DR 11", "it names the size twice: '1/4' and '6 in'", ""),
        ("5/4 in IPS DR 11", "the fraction is improper", "1-1/4 in"),
        ("4 psi IPS DR 11", "'psi IPS DR 11' is no part of a pipe", ""),
        ("-4 in IPS DR 11", "it is negative", ""),
        ("4 in IPS DR -11", "'DR -11' is no part of a pipe", ""),
        ("4 in IPS DR 1e1", "'e1' is no part of a pipe", ""),
        ("4 in IPS DR 99999", "'DR 99999' is no part of a pipe", ""),
        ("4,5 in IPS DR 11", "a comma stands in the number", ""),
        ("110 mm SDR 13,6", "'SDR 13,6' is no part of a pipe", ""),
        ("110x10 SDR 11", "'x10 SDR 11' is no part of a pipe", ""),
        ("4 in IPS DR 11 PE4710 and more", "'and more' is no part of a pipe", ""),
        ("", "the DR is missing", ""),
        ("x" * 100_000, "it is too long for a pipe", ""),
        ("{0} {what} IPS DR 11", "is no part of a pipe", ""),
    ],
)  # fmt: skip
def test_a_pipe_that_cannot_be_read_says_why(text: str, said: str, near: str) -> None:
    """What is wrong, what a pipe looks like, and the nearest right readings that the tables hold."""
    with pytest.raises(ContentError) as caught:
        read_designation(text, TABLES)
    (problem,) = caught.value.problems
    assert said in problem.what
    assert problem.expected.startswith("a pipe such as '4 in IPS DR 11 PE4710'")
    assert problem.nearest == near
    assert len(problem.what) < 300


def test_without_tables_every_inch_system_is_a_reading() -> None:
    """Never one of them in silence."""
    with pytest.raises(ContentError) as caught:
        read_designation("4 in DR 11")
    (problem,) = caught.value.problems
    assert problem.nearest == "4 in IPS DR 11 or 4 in DIPS DR 11 or 4 in CTS DR 11"


BLANKS = st.sampled_from(["", " ", "  "])
EACH_SIZE = [
    (size.name, table.system, ratio)
    for table in TABLES.values()
    for size in table.sizes
    for ratio in table.ratios(size)
]


@given(st.sampled_from(EACH_SIZE), st.permutations(range(4)), BLANKS, st.booleans(), st.data())
def test_order_blanks_case_and_the_name_of_the_ratio_change_nothing(
    size: tuple[str, str, float], order: list[int], blank: str, small: bool, data: st.DataObject
) -> None:
    """Every size of every table, in every order of its parts."""
    name, system, dr = size
    number, unit = name.split(" ")
    word = data.draw(st.sampled_from(["DR", "SDR", "DR-", "SDR "]))
    parts = [f"{number}{blank}{unit}", system, f"{word}{dr:g}", "PE 100"]
    written = " ".join(parts[index] for index in order)
    found = read_designation(written.lower() if small else written, TABLES)
    assert found == Designation(name, system, dr, "PE100", None)
    assert read_designation(str(found), TABLES) == found


@given(
    st.sampled_from(EACH_SIZE), st.sampled_from(["{n} {u} DR {r:g}", "{n}{u} SDR{r:g}", "SDR-{r:g} {n} {u}"])
)
def test_a_system_nobody_wrote_is_never_guessed_between_two(size: tuple[str, str, float], form: str) -> None:
    """Millimetres are ISO; inches are refused, and what was meant stands among the readings."""
    name, system, dr = size
    number, unit = name.split(" ")
    written = form.format(n=number, u=unit, r=dr)
    meant = Designation(name, system, dr, None, None)
    if system == "ISO":
        assert read_designation(written, TABLES) == meant
        return
    with pytest.raises(ContentError) as caught:
        read_designation(written, TABLES)
    readings = caught.value.problems[0].nearest.split(" or ")
    assert str(meant) in readings
    assert all(CATALOG.pipe(read_designation(reading, TABLES)) for reading in readings)


def test_the_size_tag_is_size_and_system() -> None:
    """As on every face."""
    assert read_designation("6 in IPS DR 11 PE4710").short == "6 in IPS"


@pytest.mark.parametrize(
    "module", [designation, readings, family_records, yaml_reader], ids=lambda module: module.__name__
)
def test_the_examples_of_the_docstrings_run(module: object) -> None:
    """Every worked example in the module is true."""
    result = doctest.testmod(module)  # type: ignore[arg-type]
    assert result.attempted > 0
    assert result.failed == 0
