"""`packgen pipe`: the answer in a terminal and as JSON, its exit codes, and the card."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import packgen.cli.pipe as command  # puts the command in its place
from packgen.publish.code import is_code
from packgen.publish.write import LIST

pytestmark = pytest.mark.usefixtures("one_catalog")
Packgen = Callable[..., Any]
GOOD = ("--girth", "14.1in", "--wall", "0.41 in", "--print-line", '4" IPS DR 11 PE4710 LOT 12')


def test_one_size_is_told_with_what_to_measure_next(packgen: Packgen) -> None:
    ran = packgen("pipe", "--girth", "14.1in")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("One size fits: 4 in IPS. It is not the main's size until")
    assert "14.01 to 14.27 in" in ran.out and "Wall gauge:" in ran.out
    assert (
        "Nothing may be fused yet. Missing: the wall, by gauge; the dimension ratio; the material." in ran.out
    )


def test_readings_that_agree_list_the_families(packgen: Packgen) -> None:
    ran = packgen("pipe", *GOOD)
    assert (ran.code, ran.err) == (0, "")
    assert "(demo-saddle-screw), water or gas: laterals 2 in IPS" in ran.out
    assert "Nothing may be fused" not in ran.out


def test_json_holds_the_bands_the_verdict_and_what_is_missing(packgen: Packgen) -> None:
    ran = packgen("pipe", "--girth", "34.75 in", "--format", "json")
    data = json.loads(ran.out)
    assert (ran.code, data["verdict"], data["reasons"]) == (0, "several pipes", [])
    assert [(each["size"], each["system"]) for each in data["candidates"]] == [
        ("280 mm", "ISO"),
        ("10 in", "DIPS"),
    ]
    girth = data["candidates"][0]["girth"]
    assert girth["low"] < 34.75 * 25.4 < girth["high"]
    assert girth["text"] == "878 to 887 mm [34.56 to 34.91 in]"
    assert data["candidates"][1]["ratios"][2] == {
        "ratio": "DR 11",
        "wall_min": {"value": pytest.approx(1.009 * 25.4), "unit": "mm", "text": "1.009 in [25.63 mm]"},
        "wall_max": {
            "value": pytest.approx(1.12 * 1.009 * 25.4),
            "unit": "mm",
            "text": "1.130 in [28.70 mm]",
        },
    }
    assert data["missing"] == [
        "which size it is", "the wall, by gauge", "the dimension ratio", "the material",
    ]  # fmt: skip
    assert data["print_line"] is None and data["readings"] == {"girth": "34.75 in"}


def test_a_contradiction_says_do_not_fuse_with_its_cure_and_still_gives_the_json(packgen: Packgen) -> None:
    ran = packgen("pipe", "--girth", "15.1in", "--print-line", "4 in IPS DR 11 PE4710", "--format", "json")
    data = json.loads(ran.out)
    assert ran.code == 1
    assert ran.err.startswith("do not fuse:\n  the print line names 4 in IPS, but the girth 15.1 in")
    (reason,) = data["reasons"]
    assert f"{reason['what']}; {reason['cure']}" in ran.err
    assert data["may_be_fused"] == []


def test_limits_are_given_where_something_was_judged_against_them(packgen: Packgen) -> None:
    ran = packgen("pipe", "--high", "4.51 in", "--low", "4.49 in", "--gouge", "0.004 in", "--format", "json")
    limits = json.loads(ran.out)["limits"]
    assert limits["out_of_round_max"]["text"] == "0.067 in [1.7 mm]"
    assert limits["gouge_depth_max"]["text"] == "0.005 in [0.13 mm]"
    assert json.loads(packgen("pipe", *GOOD, "--format", "json").out)["limits"] == {}


def test_a_wall_that_fits_one_of_two_sizes_leaves_both_in_sight(packgen: Packgen) -> None:
    ran = packgen("pipe", "--girth", "34.75 in", "--wall", "0.45 in", "--format", "json")
    metric, inch = json.loads(ran.out)["candidates"]
    assert (ran.code, metric["ratios"], [each["ratio"] for each in inch["ratios"]]) == (0, [], ["DR 26"])
    assert metric["wall"].startswith("280 mm ISO is no thinner than")


def test_units_choose_what_is_printed(packgen: Packgen) -> None:
    assert "mm" not in packgen("pipe", "--girth", "14.1in", "--units", "us").out
    assert " in " not in packgen("pipe", "--girth", "344 mm", "--units", "si").out.split("measure next")[0]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "no reading says how large the main is; lay a tape round the main"),
        (("--wall", "0.4 in"), "no reading says how large the main is"),
        (("--girth", "14.1"), "--girth: '14.1': it has no unit"),
        (("--girth", "0 in"), "--girth: '0 in' is nothing"),
        (("--girth", "-14 in"), "--girth: '-14 in': it is negative"),
        (("--girth", "14 psi"), "--girth: '14 psi': psi measures pressure"),
        (("--girth", "14.1in", "--wall", "x"), "--wall: 'x'"),
        (("--girth", "14.1in", "--gouge", "0 in"), "--gouge: '0 in' is nothing"),
        (
            ("--girth", "20.001 m"),
            "--girth: '20.001 m' is more than any pipe has; expected a length of at most 20 m",
        ),
        (("--girth", "999999999 ft"), "--girth: '999999999 ft' is more than any pipe has"),
        (("--high", "7 m", "--low", "4.5 in"), "--high: '7 m' is more than any pipe has"),
        (("--high", "9 m", "--low", "8 m"), "--low: '8 m' is more than any pipe has"),
        (
            ("--girth", "14.1in", "--wall", "0.4 in", "--wall", "40 in"),
            "--wall: '40 in' is more than any pipe has",
        ),
        (("--girth", "14.1in", "--gouge", "2 m"), "--gouge: '2 m' is more than any pipe has"),
        (("--high", "4.5 in"), "--high: one diameter alone says too little; give --low as well"),
        (("--low", "4.5 in"), "--low: one diameter alone says too little; give --high as well"),
        (("--high", "4.4 in", "--low", "4.5 in"), "the largest diameter 4.4 in is less than the smallest"),
        (("--girth", "14.1in", "--print-line", " "), "--print-line: the print line is empty"),
        (("--girth", "14.1in", "--print-line", "4 in " * 80), "--print-line: the print line is too long"),
    ],
)
def test_a_bad_argument_is_wrong_use_in_one_sentence(
    packgen: Packgen, arguments: tuple[str, ...], said: str
) -> None:
    ran = packgen("pipe", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert f"error: {said}" in ran.err or said in ran.err
    assert all(line.startswith("error: ") for line in ran.err.splitlines())


def test_the_greatest_reading_taken_is_answered_all_the_same(packgen: Packgen) -> None:
    ran = packgen("pipe", "--girth", "20 m", "--wall", "1 m", "--gouge", "1 m")
    assert (ran.code, ran.out.splitlines()[0]) == (1, "No size fits.")
    assert packgen("pipe", "--high", "6 m", "--low", "6 m").code == 1


def test_a_print_line_that_says_gas_is_taken_at_its_word(packgen: Packgen) -> None:
    line = f"{GOOD[-1]} GAS"
    ran = packgen("pipe", *GOOD[:-1], line)
    assert ran.code == 0 and "(demo-saddle-screw), gas: laterals 2 in IPS" in ran.out
    assert "water" not in ran.out.split("may be fused:")[1]
    ran = packgen("pipe", *GOOD[:-1], line, "--contents", "water", "--format", "json")
    data = json.loads(ran.out)
    assert (ran.code, data["print_line"]["contents"], data["may_be_fused"]) == (1, ["gas"], [])
    assert "the print line says gas, but the main is taken to hold water" in ran.err


def test_contents_are_water_or_gas(packgen: Packgen) -> None:
    assert packgen("pipe", "--girth", "14.1in", "--contents", "oil").code == 2
    assert [choice.value for choice in command.ContentsChoice] == ["water", "gas"]


def test_the_card_is_made_with_its_code_and_the_demo_mark(
    packgen: Packgen, tmp_path: Path, read_pages: Callable[[Path], tuple[str, ...]]
) -> None:
    ran = packgen("pipe", "--card", "--output", tmp_path)
    assert (ran.code, ran.err) == (0, "")
    assert {path.name for path in (tmp_path / "pipe").iterdir()} == {"which-pipe.pdf", "values.json", LIST}
    data = json.loads((tmp_path / "pipe" / "values.json").read_text("utf-8"))
    assert is_code(data["code"]) and data["code"] in ran.out
    pages = read_pages(tmp_path / "pipe" / "which-pipe.pdf")
    assert len(pages) >= 4
    for page in pages:
        assert data["code"] in page and "DEMONSTRATION DATA" in page and "Which pipe is this?" in page
    told = " ".join(pages)
    assert all(f"{row['size']} {row['system']}" in told.replace("\xa0", " ") for row in data["sizes"])
    first = (tmp_path / "pipe" / "which-pipe.pdf").read_bytes()
    packgen("pipe", "--card", "--output", tmp_path)
    assert (tmp_path / "pipe" / "which-pipe.pdf").read_bytes() == first


def test_the_code_keeps_still_for_paper_units_and_date(packgen: Packgen, tmp_path: Path) -> None:
    codes = set()
    for more in ((), ("--paper", "a4"), ("--units", "si"), ("--date", "2026-07-08")):
        assert packgen("pipe", "--card", "--output", tmp_path, *more).code == 0
        codes.add(json.loads((tmp_path / "pipe" / "values.json").read_text("utf-8"))["code"])
    assert len(codes) == 1
