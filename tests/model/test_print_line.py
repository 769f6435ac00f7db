"""A print line: the parts of a pipe among dates, lot numbers and other standards."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

from packgen.model import print_line
from packgen.model.load import load
from packgen.model.print_line import read_print_line

CATALOG = load(Path(__file__).parents[2] / "content", prose=False)

# The line | sizes | systems | ratios | materials
LINES = """
4" IPS SDR11 PE4710 ASTM F714 12MAR19 LOT 0417 | 4 in | IPS | 11 | PE4710
2 IPS SDR 11 PE2406 ASTM D2513 CDC | 2 in | IPS | 11 | PE2406
1½" CTS HDPE4710 | 1-1/2 in | CTS | | PE4710
6 in DIPS DR17 AWWA C906 PE 3408 | 6 in | DIPS | 17 | PE3408
4" SDR 11 IPS MDPE2406 | 4 in | IPS | 11 | PE2406
LOT 4 SDR 11 IPS | | IPS | 11 |
2019-04-12 4.0" IPS 09:12 | 4 in | IPS | |
ISO 4437 110x10.0 SDR 11 PE 100 GAS | 110 mm | ISO | 11 | PE100
HDPE 110mm SDR11 PE100 ISO 4427-2 PN16 ISO 9001 | 110 mm | ISO | 11 | PE100
125 mm SDR11PE100 | 125 mm | ISO | 11 | PE100
d160 SDR 13.6 PE80 | 160 mm | ISO | 13.6 | PE80
PE80 SDR 11 ISO 4437 | | ISO | 11 | PE80
PE100 SDR 11 ISO 9001 | | | 11 | PE100
630 mm SDR 17 | 630 mm | ISO | 17 |
5 in IPS DR 11 | 5 in | IPS | 11 |
DN 125 SDR 11 | | | 11 |
4 in PVC | 4 in | | | PVC
PE4710/PE3408 4 in IPS | 4 in | IPS | | PE4710, PE3408
PE4710/3408, 4 in IPS. SDR 11/PN 16 | 4 in | IPS | 11 | PE4710, PE3408
PE9999/PE4710. 4 in IPS | 4 in | IPS | | PE9999, PE4710
4 in IPS DR 11 DR 17 | 4 in | IPS | 11, 17 |
GRADE 4710 2.5 m 12 of 40 | | | |
"""


def cells(*parts: tuple[object, ...]) -> list[str]:
    return [
        ", ".join(f"{each:g}" if isinstance(each, float) else str(each) for each in part) for part in parts
    ]


@pytest.mark.parametrize("row", LINES.strip().splitlines())
def test_the_parts_are_found_and_no_other_number_is_taken_for_one(row: str) -> None:
    text, *wanted = (cell.strip() for cell in row.split("|"))
    line = read_print_line(text, CATALOG.tables, CATALOG.other_materials)
    assert cells(line.sizes, line.systems, line.ratios, line.materials) == wanted


@pytest.mark.parametrize(
    ("written", "codes"),
    [
        ("PEX", "PE-X"), ("PE-X", "PE-X"), ("pe x", "PE-X"), ("PEX-a", "PE-X"), ("PEXa", "PE-Xa"),
        ("PE-Xb", "PE-Xb"), ("PE-XC", "PE-Xc"), ("PERT", "PE-RT"), ("PE-RT TYPE II", "PE-RT"),
        ("PA11", "PA11"), ("PA 12", "PA12"), ("PA-12", "PA12"), ("PA112", ""), ("PA1", ""),
        ("TELECOM CONDUIT", "conduit"), ("NOT FOR PRESSURE", "not-for-pressure"),
        ("NON-PRESSURE", "non-pressure"), ("nonpressure", "non-pressure"), ("PRESSURE PIPE", ""),
        ("EXPERT", ""), ("APEX", ""),
    ],
)  # fmt: skip
def test_other_codes_are_found_with_blanks_and_hyphens_or_without(written: str, codes: str) -> None:
    line = read_print_line(f"4 in IPS {written} LOT", CATALOG.tables, CATALOG.other_materials)
    assert ", ".join(line.materials) == codes


@pytest.mark.parametrize(
    ("written", "contents"),
    [
        ("GAS", ("gas",)), ("Gas", ("gas",)), ("FOR WATER", ("water",)), ("GAS/WATER", ("water", "gas")),
        ("PE100-GAS", ("gas",)), ("GASKET", ()), ("WATERMAIN", ()), ("BIOGAS", ()), ("", ()),
    ],
)  # fmt: skip
def test_contents_are_found_as_words_alone(written: str, contents: tuple[str, ...]) -> None:
    assert read_print_line(f"4 in IPS {written} LOT", CATALOG.tables).contents == contents


@pytest.mark.parametrize("written", ["PP", "APPROVED", "SUPPLY", "ABSOLUTE"])
def test_a_code_is_found_as_a_word_alone(written: str) -> None:
    """PP is a material; the letters inside another word are not."""
    line = read_print_line(f"4 in IPS {written}", CATALOG.tables, CATALOG.other_materials)
    assert line.materials == (("PP",) if written == "PP" else ())


def test_the_examples_of_the_docstrings_run() -> None:
    result = doctest.testmod(print_line)
    assert (result.attempted > 0, result.failed) == (True, 0)
