"""Which pipe is this: candidates, contradictions, materials, gouge, laterals; limits from both sides."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from packgen.calc.findings import Candidate, Findings
from packgen.calc.may_fuse import may_fuse
from packgen.calc.not_fuse import inch_first
from packgen.calc.request import Request
from packgen.calc.size_bands import SizeBand, size_bands
from packgen.calc.which_pipe import Answer, which_pipe
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.units import Quantity, quantity

GOOD = '4" IPS SDR 11 PE4710 ASTM F714 LOT 0417 12MAR19'


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load(Path(__file__).parents[2] / "content", prose=False)


@pytest.fixture
def asked(catalog: Catalog) -> Any:
    """`asked(girth="14.1 in", walls=["0.41 in"], line="…")`."""

    def ask(
        line: str | None = None, walls: tuple[str, ...] = (), contents: Any = None, **lengths: str
    ) -> Answer:
        read = {name: quantity(text, "length") for name, text in lengths.items()}
        found = tuple(quantity(text, "length") for text in walls)
        return which_pipe(catalog, Findings(walls=found, print_line=line, contents=contents, **read))

    return ask


def band(catalog: Catalog, short: str) -> SizeBand:
    return next(each for each in size_bands(catalog) if each.short == short)


def mm(value: float) -> str:
    return f"{value:.7f} mm"


def sizes(answer: Answer) -> list[str]:
    return [each.band.short for each in answer.candidates]


def ratios(answer: Answer) -> list[list[float]]:
    return [[ratio.dr for ratio in each.ratios] for each in answer.candidates]


def whats(answer: Answer) -> str:
    return " | ".join(reason.what for reason in answer.reasons)


@pytest.mark.parametrize("short", ["4 in IPS", "4 in DIPS", "160 mm ISO", "1 in CTS"])
def test_a_girth_at_either_end_of_the_band_fits_and_just_beyond_does_not(
    asked: Any, catalog: Catalog, short: str
) -> None:
    found = band(catalog, short)
    for inside in (found.girth_low + 1e-6, found.girth_high - 1e-6):
        assert short in sizes(asked(girth=mm(inside)))
    for outside in (found.girth_low - 1e-5, found.girth_high + 1e-5):
        assert short not in sizes(asked(girth=mm(outside)))


def test_one_size_that_fits_is_shown_with_every_ratio_and_nothing_may_be_fused(asked: Any) -> None:
    answer = asked(girth="14.1 in")
    assert (answer.verdict, sizes(answer), answer.reasons) == ("one pipe", ["4 in IPS"], ())
    assert ratios(answer) == [[7.3, 9.0, 11.0, 13.5, 17.0, 21.0, 26.0]]
    assert (answer.missing, answer.may_fuse) == (("wall", "ratio", "material"), ())
    assert answer.measure_next == ("caliper", "wall_gauge", "print_line", "contents", "second_person")


def test_sizes_of_two_systems_that_fit_one_girth_are_both_shown(asked: Any) -> None:
    answer = asked(girth="34.75 in")
    assert answer.verdict == "several pipes"
    assert sizes(answer) == ["280 mm ISO", "10 in DIPS"]
    assert "size" in answer.missing


def test_the_print_line_picks_among_the_sizes_that_fit(asked: Any) -> None:
    answer = asked('10" DIPS DR 11 PE4710', girth="34.75 in")
    assert (sizes(answer), answer.reasons) == (["10 in DIPS"], ())


def test_no_size_fits_between_two(asked: Any) -> None:
    answer = asked(girth="14.5 in")
    assert (answer.verdict, sizes(answer)) == ("no pipe", [])
    assert "no size of the pipe tables" in whats(answer)
    assert "4 in IPS and 4 in DIPS" in whats(answer)
    assert answer.reasons[0].cure.startswith("do not fuse")


@pytest.mark.parametrize("short", ["4 in IPS", "110 mm ISO"])
def test_a_wall_at_either_end_of_a_ratio_holds_and_beyond_the_gauge_s_allowance_does_not(
    asked: Any, catalog: Catalog, short: str
) -> None:
    found, allowance = band(catalog, short), 0.254
    eleven = next(wall for wall in found.walls if wall.dr == 11.0)
    girth = mm((found.girth_low + found.girth_high) / 2)
    for inside in (eleven.low - allowance + 1e-6, eleven.low, eleven.high, eleven.high + allowance - 1e-6):
        assert ratios(asked(girth=girth, walls=(mm(inside),))) == [[11.0]]
    for outside in (eleven.low - allowance - 1e-5, eleven.high + allowance + 1e-5):
        assert [11.0] not in ratios(asked(girth=girth, walls=(mm(outside),)))


@pytest.mark.parametrize(
    ("walls", "said"),
    [
        (("0.15 in",), "4 in IPS is no thinner than 0.173 in [4.40 mm] (DR 26)"),
        (("0.75 in",), "4 in IPS is no thicker than 0.689 in [17.52 mm] (DR 7.3)"),
        (("0.315 in",), "on 4 in IPS it lies between DR 17 and DR 13.5"),
        (("0.41 in", "0.27 in"), "on 4 in IPS the readings belong to more than one ratio"),
    ],
)
def test_a_wall_of_no_ratio_is_said_to_lie_where_it_lies(
    asked: Any, walls: tuple[str, ...], said: str
) -> None:
    answer = asked(girth="14.1 in", walls=walls)
    assert said in whats(answer)
    assert (sizes(answer), ratios(answer)) == (["4 in IPS"], [[]])


def test_everything_known_and_agreed_lists_what_may_be_fused(asked: Any) -> None:
    answer = asked(GOOD, ("0.41 in",), "gas", girth="14.1 in", high="4.51 in", low="4.49 in", gouge="0.02 in")
    assert (answer.reasons, answer.missing, ratios(answer)) == ((), (), [[11.0]])
    assert answer.measure_next == ("second_person",)
    served = {line.family: line.laterals for line in answer.may_fuse}
    assert "2 in IPS" in served["demo-saddle-screw"]


def test_neither_ratio_nor_size_comes_from_the_print_line_alone(asked: Any) -> None:
    """Without a wall by gauge nothing may be fused, though all else agrees."""
    taped = asked(GOOD, girth="14.1 in")
    assert (ratios(taped), taped.reasons, taped.missing, taped.may_fuse) == ([[11.0]], (), ("wall",), ())
    assert asked(GOOD, ("0.41 in",), girth="14.1 in").may_fuse
    on_paper = asked(GOOD)
    assert (sizes(on_paper), on_paper.missing, on_paper.may_fuse) == (["4 in IPS"], ("girth", "wall"), ())


def test_a_family_that_does_not_take_the_main_is_not_listed(asked: Any) -> None:
    """The demo saddles take DR 9 to 17; a 26 is thinner than any of them may be fused to."""
    answer = asked("6 in IPS DR 26 PE4710", ("0.26 in",), girth="20.8 in")
    assert (answer.missing, answer.may_fuse) == ((), ())


@pytest.mark.parametrize(
    ("said", "given", "against"),
    [
        ("GAS", "gas", False), ("GAS", None, False), ("GAS", "water", True),
        ("WATER", "water", False), ("WATER", None, False), ("WATER", "gas", True),
        ("GAS AND WATER", "gas", False), ("GASKET", "water", False), ("WATERWORKS", "gas", False),
    ],
)  # fmt: skip
def test_a_print_line_for_other_contents_than_those_given_stops_the_work(
    asked: Any, said: str, given: str | None, against: bool
) -> None:
    answer = asked(f"{GOOD} {said}", ("0.41 in",), given, girth="14.1 in")
    assert ("the print line says" in whats(answer)) is against
    assert bool(answer.may_fuse) is not against
    assert ("agreement" in answer.missing) is against


@pytest.mark.parametrize(
    ("said", "given", "listed"),
    [("", None, {"water", "gas"}), ("GAS", None, {"gas"}), ("WATER", None, {"water", "gas"}),
     ("GAS", "gas", {"gas"}), ("", "water", {"water"}), ("WATER GAS", "water", {"water"})],
)  # fmt: skip
def test_gas_on_the_print_line_is_its_word_and_water_is_not(
    asked: Any, said: str, given: str | None, listed: set[str]
) -> None:
    """A main printed WATER may hold gas by now: where nobody gives the contents both stay open."""
    answer = asked(f"{GOOD} {said}", ("0.41 in",), given, girth="14.1 in")
    assert {contents for line in answer.may_fuse for contents in line.contents} == listed
    assert ("contents" in answer.measure_next) is (given is None)


@pytest.mark.parametrize(
    ("asked_for", "lines"),
    [
        ("water", [(("water",), ("1 in IPS", "2 in IPS"))]),
        ("gas", [(("gas",), ("2 in IPS",))]),
        (None, [(("water",), ("1 in IPS", "2 in IPS")), (("gas",), ("2 in IPS",))]),
    ],
)
def test_laterals_are_judged_for_the_contents_they_are_listed_with(
    asked_for: Any, lines: list[Any], catalog: Catalog, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Here gas refuses the smaller lateral: the lines of one family part by contents."""
    saddle = catalog.families["demo-saddle-screw"]
    pairs = tuple(
        saddle.pairs[0].model_copy(update={"main": "4 in", "lateral": size}) for size in ("1 in", "2 in")
    )
    one = saddle.model_copy(update={"pairs": pairs, "contents": ("water", "gas")})

    def judged(request: Request) -> Any:
        refused = request.contents == "gas" and request.lateral.designation.size == "1 in"
        return SimpleNamespace(reasons=("refused",) if refused else ())

    monkeypatch.setattr("packgen.calc.may_fuse.work_out", judged)
    alone = replace(catalog, families={one.id: one})
    found = may_fuse(alone, (band(catalog, "4 in IPS"), 11.0, "PE4710"), asked_for)
    assert [(line.contents, line.laterals) for line in found] == lines


@pytest.mark.parametrize(
    ("line", "girth", "said"),
    [
        (
            GOOD,
            "15.1 in",
            "the print line names 4 in IPS, but the girth 15.1 in [383.5 mm] is that of 4 in DIPS",
        ),
        ("4 in DIPS DR 11 PE4710", "14.1 in", "is that of 4 in IPS"),
        ("125 mm SDR 11 PE100", "15.1 in", "is that of 4 in DIPS"),
        ("5 in IPS DR 11", "14.1 in", "names 5 in IPS, which no pipe table here holds"),
        ("4 in IPS DR 12 PE4710", "14.1 in", "names DR 12, which the tables do not hold for 4 in IPS"),
        ("4 in IPS DR 11 SDR 17", "14.1 in", "names more than one ratio: 11, 17"),
        ("4 in IPS DIPS DR 11", "14.1 in", "names more than one size system: IPS, DIPS"),
        ("4 in 6 in IPS DR 11", "14.1 in", "names more than one size: 4 in, 6 in"),
        ("4 in IPS DR 11 PE4710 PE2708", "14.1 in", "more than one material: PE4710, PE2708"),
    ],
)
def test_a_print_line_that_contradicts_stops_the_work(asked: Any, line: str, girth: str, said: str) -> None:
    answer = asked(line, girth=girth)
    assert said in whats(answer)
    assert (answer.may_fuse, "agreement" in answer.missing) == ((), True)
    assert all("do not fuse" in reason.cure for reason in answer.reasons)


def test_a_wall_that_contradicts_the_print_line_stops_the_work(asked: Any) -> None:
    agreed = asked(GOOD, ("0.41 in",), girth="14.1 in")
    contradicted = asked(GOOD, ("0.27 in",), girth="14.1 in")
    assert agreed.reasons == ()
    assert "the print line names DR 11, but a wall of 0.27 in [6.9 mm] is that of DR 17" in whats(
        contradicted
    )


@pytest.mark.parametrize(
    "code",
    ["PE2306", "PE2406", "PE3306", "PE3406", "PE3408", "PE63", "PVC", "PE9999", "PE-X", "PE-Xa", "PE-Xb",
     "PE-Xc", "PE-RT", "PA11", "PA12", "conduit", "not-for-pressure", "non-pressure"],
)  # fmt: skip
def test_an_old_other_or_unknown_material_is_not_fused_before_an_engineer_agrees(
    asked: Any, catalog: Catalog, code: str
) -> None:
    answer = asked(f"4 in IPS DR 11 {code}", girth="14.1 in")
    (reason,) = answer.reasons
    assert code in reason.what
    assert reason.cure == catalog.rule("old-material").value == "do not fuse before an engineer has agreed"
    assert answer.may_fuse == ()


@pytest.mark.parametrize("said", ["PE4710 CONDUIT", "PE4710 NOT FOR PRESSURE", "PE4710 NON PRESSURE USE"])
def test_a_use_without_pressure_is_the_one_reason_beside_a_known_material(asked: Any, said: str) -> None:
    (reason,) = asked(f"4 in IPS DR 11 {said}", girth="14.1 in").reasons
    assert "not made for pressure" in reason.what


@pytest.mark.parametrize("code", ["PE2708", "PE3608", "PE4710", "PE80", "PE100"])
def test_a_material_of_today_is_no_reason(asked: Any, code: str) -> None:
    assert asked(f"4 in IPS DR 11 {code}", girth="14.1 in").reasons == ()


def test_a_print_line_without_a_material_leaves_it_missing(asked: Any) -> None:
    answer = asked("4 in IPS DR 11", ("0.41 in",), girth="14.1 in")
    assert (answer.reasons, answer.missing) == ((), ("material",))


def test_calipers_stand_in_for_the_tape(asked: Any) -> None:
    answer = asked(high="4.52 in", low="4.48 in")
    assert (sizes(answer), answer.reasons) == (["4 in IPS"], ())
    assert answer.measure_next[0] == "tape"


def test_out_of_round_is_judged_by_the_work_rule_on_both_sides(asked: Any) -> None:
    """1.5 % of 4.500 in is 0.0675 in."""
    assert asked(high="4.53375 in", low="4.46625 in").reasons == ()
    over = asked(high="4.53376 in", low="4.46624 in")
    assert "out of round by 0.068 in [1.8 mm] (1.6 %), more than 0.067 in [1.7 mm]" in whats(over)


@pytest.mark.parametrize(("tape", "agrees"), [("14.20 in", True), ("14.05 in", True), ("14.25 in", False)])
def test_tape_and_calipers_must_agree_within_both_allowances(asked: Any, tape: str, agrees: bool) -> None:
    """4.50 in all round is 14.137 in; the allowances are 1/16 in and π × 0.010 in, together 0.094 in."""
    answer = asked(girth=tape, high="4.50 in", low="4.50 in")
    assert ("but the calipers make the girth" not in whats(answer)) is agrees


def test_a_gouge_at_its_limit_passes_and_beyond_it_does_not(asked: Any) -> None:
    """4 in DR 11: 10 % of 0.409 in less one pass of 0.012 in is 0.0289 in."""
    at, over = (
        asked(girth="14.1 in", walls=("0.42 in",), gouge=depth) for depth in ("0.0289 in", "0.0290 in")
    )
    assert at.reasons == ()
    assert "the gouge of 0.0290 in" in whats(over)
    assert over.reasons[0].cure.startswith("do not fuse here")


def test_without_a_wall_a_gouge_is_judged_by_the_thinnest_ratio(asked: Any) -> None:
    """4 in DR 26: 10 % of 0.173 in less 0.012 in is 0.0053 in."""
    assert asked(girth="14.1 in", gouge="0.0053 in").reasons == ()
    assert "deeper than 0.005 in" in whats(asked(girth="14.1 in", gouge="0.0054 in"))


def test_a_gouge_on_a_pipe_that_is_none_cannot_be_judged(asked: Any) -> None:
    assert "cannot be judged" in whats(asked(girth="14.5 in", gouge="0.01 in"))


def test_a_line_that_names_no_size_says_so_where_nothing_was_measured(asked: Any) -> None:
    answer = asked("DR 11 PE4710")
    assert (answer.verdict, whats(answer)) == ("no pipe", "the print line names no size")


@pytest.mark.parametrize(("reading", "first"), [("370 mm", "mm"), ("14.6 in", "in")])
def test_without_a_size_left_lengths_are_told_as_they_were_read(reading: str, first: str) -> None:
    findings = Findings(girth=quantity(reading))
    assert inch_first(findings) is (first == "in")


def test_lengths_are_told_as_the_sizes_left_are_named(catalog: Catalog) -> None:
    inch, metric = (Candidate(band(catalog, each), (), ()) for each in ("4 in IPS", "110 mm ISO"))
    findings = Findings(girth=quantity("346 mm"))
    assert inch_first(findings, [inch]) and not inch_first(findings, [inch, metric])
    assert not inch_first(Findings(girth=quantity("13.6 in")), [metric])


def test_inches_without_a_system_leave_every_inch_system_open(asked: Any) -> None:
    assert sizes(asked("4 in SDR 11 PE4710")) == ["4 in IPS", "4 in DIPS"]


def test_a_bare_number_is_told_in_the_units_asked_for(catalog: Catalog) -> None:
    reading: Quantity = quantity("14.5 in")
    (reason,) = which_pipe(catalog, Findings(girth=reading, units="us")).reasons
    assert "14.5 in (nearest" in reason.what
