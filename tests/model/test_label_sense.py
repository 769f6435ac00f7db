"""Figures of a label that cannot all be true are told with line, reason and cure.

In: the starter content with one figure changed, on either side of what is possible. Outside diameters used
here: 3 in IPS 3.500 in (ASTM F714), 2 in IPS 2.375 in (ASTM D3035).
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.family_records import Family, LabelData
from packgen.model.label_type import misplaced
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
SCREW, STRAP = "demo-saddle-screw", "demo-saddle-strap"
TAPPING, COUPLING = "demo-tapping-saddle", "demo-coupling"
ROWS = "{up_to: 0 degC, time: 78 s}, {up_to: 10 degC, time: 75 s}, {up_to: 20 degC, time: 72 s}, "
WARM_ROWS = "{up_to: 30 degC, time: 70 s}, {up_to: 40 degC, time: 67 s}"


@dataclass(frozen=True)
class Case:
    """One figure on both sides of what is possible: `bad` is told, `good` is taken."""

    family: str
    stands: str
    bad: str
    told: str
    good: str


CASES = {
    "outlet bore": Case(
        SCREW, "outlet_bore: 1.90 in", "outlet_bore: 2.375 in",
        "outlet_bore: outlet_bore 2.375 in is not below the lateral's outside diameter 2.375 in; "
        "write the bore inside the outlet, not the lateral's size", "outlet_bore: 2.374 in",
    ),
    "bore radius, too large": Case(
        SCREW, "bore_radius: 44.3 mm", "bore_radius: 88.9 mm",
        "bore_radius: bore_radius 88.9 mm is not about half of the main's outside diameter 3.500 in; "
        "write the radius of the saddle's curve, not its diameter", "bore_radius: 48.8 mm",
    ),
    "bore radius, too small": Case(
        SCREW, "bore_radius: 44.3 mm", "bore_radius: 40.0 mm", "bore_radius 40.0 mm is not about half of",
        "bore_radius: 40.1 mm",
    ),
    "base length": Case(
        SCREW, "fusion_area: 10500 mm2, base_length: 160 mm", "fusion_area: 3000 mm2, base_length: 48.2 mm",
        "base_length: base_length 48.2 mm is not above the outlet_bore 1.90 in; read both on the label again",
        "fusion_area: 3000 mm2, base_length: 48.3 mm",
    ),
    "lateral as large as the main": Case(
        SCREW, "  - main: 3 in\n    lateral: 2 in\n", "  - main: 3 in\n    lateral: 3 in\n",
        "the lateral's outside diameter 3.500 in is not below the main's outside diameter 3.500 in; correct "
        "the sizes, or take the pair out: such a main needs a tee",
        "  - main: 3 in\n    lateral: 2 in CTS\n",
    ),
    "cutter's diameter": Case(
        TAPPING, "turns: 10, travel: 20 mm, diameter: 20 mm", "turns: 10, travel: 20 mm, diameter: 60.4 mm",
        "cutter.diameter: diameter 60.4 mm is not below the main's outside diameter 2.375 in",
        "turns: 10, travel: 20 mm, diameter: 60.3 mm",
    ),
    "one turn too many": Case(
        TAPPING, "turns: 17, travel: 34 mm", "turns: 18, travel: 34 mm",
        "cutter.travel: 18 turns of 2 mm make 36 mm, the travel is 34 mm; read turns, pitch and travel on "
        "the label again", "turns: 17, travel: 34.5 mm",
    ),
    "travel more than rounded": Case(
        TAPPING, "turns: 17, travel: 34 mm", "turns: 17, travel: 34.6 mm",
        "make 34 mm, the travel is 34.6 mm", "turns: 17, travel: 33.5 mm",
    ),
    "cutter that never arrives": Case(
        TAPPING, "approach: 8 mm", "approach: 20 mm", "approach 20 mm is not below the travel 20 mm",
        "approach: 19.9 mm",
    ),
    "peel length": Case(
        COUPLING, "depth: 50 mm, peel_length: 62 mm", "depth: 50 mm, peel_length: 49.9 mm",
        "socket.peel_length: peel_length 49.9 mm is less than the insertion_depth 50 mm; the whole of what "
        "goes in is peeled: read both again", "depth: 50 mm, peel_length: 50 mm",
    ),
    "a coupling of two sizes": Case(
        COUPLING, "  - main: 3 in\n    lateral: 3 in\n", "  - main: 3 in\n    lateral: 4 in\n",
        "a coupling joins pipes of one size, and the pair names 3 in IPS and 4 in IPS; write the same size "
        "for main and lateral", "  - main: 8 in\n    lateral: 8 in\n",
    ),
    "rows out of order": Case(
        STRAP, ROWS + WARM_ROWS, ROWS.replace("20 degC", "10 degC") + WARM_ROWS,
        "fuse.time_compensation: the row up to 10 °C does not follow the row up to 10 °C; list the rows "
        "from cold to warm", ROWS.replace("20 degC", "11 degC") + WARM_ROWS,
    ),
    "times that rise": Case(
        STRAP, ROWS + WARM_ROWS, ROWS.replace("72 s", "76 s") + WARM_ROWS,
        "the time up to 20 °C is 76 s, more than the colder row's 75 s; a warmer fitting never takes",
        ROWS.replace("72 s", "75 s") + WARM_ROWS,
    ),
    "time of the reference row": Case(
        STRAP, "time: 70 s\n", "time: 72 s\n",
        "fuse.time: the time 72 s is not that of the row for the reference temperature 23 °C, 70 s; write "
        "the row's time, 70 s, or correct the row", "time: 70.0 s\n",
    ),
    "rows that end too early": Case(
        STRAP, "reference_temperature: 23 degC", "reference_temperature: 41 degC",
        "fuse.time_compensation: the rows end at 40 °C, below the reference temperature 41 °C; add the "
        "label's warmer rows", "reference_temperature: 30 degC",
    ),
    "rows that end below the window": Case(
        STRAP, ROWS + WARM_ROWS, ROWS + "{up_to: 39.9 degC, time: 70 s}",
        "fuse.time_compensation: the times end at 39.9 °C, below the window's 40 °C; add the label's warmer "
        "rows, or get them from the fitting's maker", ROWS + "{up_to: 104 degF, time: 70 s}",
    ),
    "a row of no time": Case(
        STRAP, ROWS, ROWS.replace("78 s", "3601 s"),
        "fuse.time_compensation[0].time: time 3601 s is no figure a label can state; it states 5 to 3600 s; "
        "read the row on the label again", ROWS.replace("78 s", "3600 s"),
    ),
    "a row of hardly any time": Case(
        STRAP, WARM_ROWS, WARM_ROWS.replace("67 s", "4.9 s"),
        "fuse.time_compensation[4].time: time 4.9 s is no figure", WARM_ROWS.replace("67 s", "5 s"),
    ),
    "a row of no air": Case(
        STRAP, WARM_ROWS, WARM_ROWS.replace("40 degC", "60.1 degC"),
        "fuse.time_compensation[4].up_to: up_to 60.1 °C is no figure a label can state; it states -40 to "
        "60 °C", WARM_ROWS.replace("40 degC", "60 degC"),
    ),
    "a row colder than any work": Case(
        STRAP, ROWS, ROWS.replace("{up_to: 0 degC", "{up_to: -40.1 degC"),
        "fuse.time_compensation[0].up_to: up_to −40.1 °C is no figure",
        ROWS.replace("{up_to: 0 degC", "{up_to: -40 degC"),
    ),
    "a socket deeper than two pipes": Case(
        COUPLING, "{insertion_depth: 50 mm, peel_length: 62 mm",
        "{insertion_depth: 120.7 mm, peel_length: 130 mm",
        "socket.insertion_depth: insertion_depth 120.7 mm is more than 2 times the pipe's outside diameter "
        "2.375 in; read it on the label again", "{insertion_depth: 120.6 mm, peel_length: 130 mm",
    ),
    "out of round by more than a tenth": Case(
        COUPLING, "out_of_round_max: 0.9 mm", "out_of_round_max: 6.04 mm",
        "socket.out_of_round_max: out_of_round_max 6.04 mm is more than 10% of the pipe's outside diameter",
        "out_of_round_max: 6.03 mm",
    ),
    "out of line by more than a tenth": Case(
        COUPLING, "misalignment_max: 0.5 mm", "misalignment_max: 2.87 mm",  # of 1 in CTS, 1.125 in
        "socket.misalignment_max: misalignment_max 2.87 mm is more than 10% of", "misalignment_max: 2.85 mm",
    ),
    "a wall thicker than half the main": Case(
        SCREW, "wall: 12 mm", "wall: 44.5 mm",
        "fitting.wall: wall 44.5 mm is more than half of the pipe's outside diameter 3.500 in; read it on "
        "the drawing again", "wall: 44.4 mm",
    ),
    "a coupling's wall": Case(
        COUPLING, "wall: 8 mm", "wall: 30.2 mm", "wall 30.2 mm is more than half of the",
        "wall: 30.1 mm",
    ),
    # 160 mm × 2 × 70° × 44.3 mm = 17 319 mm²; both sockets: 2 π × 60.325 mm × 50 mm = 18 952 mm².
    "more area than the base": Case(
        SCREW, "fusion_area: 10500 mm2", "fusion_area: 17600 mm2",
        "fitting.fusion_area: fusion_area 17600 mm² is more than the base, its length times its arc, can "
        "hold, 17319 mm²; read area and measures on the drawing again", "fusion_area: 17400 mm2",
    ),
    "more area than both sockets": Case(
        COUPLING, "fusion_area: 10600 mm2", "fusion_area: 19200 mm2",
        "fusion_area 19200 mm² is more than both sockets can hold, 18952 mm²", "fusion_area: 19000 mm2",
    ),
    "a ribbon's width": Case(
        SCREW, "depth_max: 0.012 in}", "depth_max: 0.012 in, ribbon_max: 0.037 in}",
        "peel.ribbon_max: ribbon_max 0.037 in is more than 3 times the depth_max 0.012 in; write the "
        "ribbon's thickness, not its width", "depth_max: 0.012 in, ribbon_max: 0.036 in}",
    ),
    "a cutter on a branch saddle": Case(
        STRAP, "  pressure_max: 160 psi\n", "  pressure_max: 160 psi\n  cutter: {turns: 10}\n",
        "cutter.turns: a branch saddle has no cutter; take cutter.turns out, or write 'type: tapping saddle' "
        "where it is one",
        "  pressure_max: 160 psi\n  cutter: {}\n",
    ),
    "a socket on a tapping saddle": Case(
        TAPPING, "  pressure_max: 200 psi\n", "  pressure_max: 200 psi\n  socket: {peel_length: 60 mm}\n",
        "socket.peel_length: a tapping saddle has no socket; take socket.peel_length out, or write 'type: "
        "coupling' where it is one",
        "  pressure_max: 200 psi\n  socket: {}\n",
    ),
    "screws of a strap": Case(
        STRAP, "clamp: {method: ", "clamp: {screw_count: 2, method: ",
        "clamp.screw_count: a branch saddle clamped by strap has no screws; take clamp.screw_count out, or "
        "write 'clamping: screws or bolts' where it is one", "clamp:  {method: ",
    ),
    "a feeler at a coupling": Case(
        COUPLING, "every_pair:\n", "every_pair:\n  gap: {feeler: 0.33 mm}\n",
        "gap.feeler: a coupling has no gap for a feeler; take gap.feeler out, or write 'type: branch saddle "
        "or tapping saddle' where it is one", "every_pair:\n  gap: {}\n",
    ),
    "a bore of a tapping saddle": Case(
        TAPPING, "fitting: {outlet_height: 90 mm}", "fitting: {outlet_height: 90 mm, outlet_bore: 20 mm}",
        "fitting.outlet_bore: a tapping saddle has no outlet that a saw goes through; take",
        "fitting: {outlet_height: 91 mm}",
    ),
}  # fmt: skip
# Who has a figure, written by hand: fittings by type and clamp.
SCREWS, BOLTS, STRAPS = "branch saddle, screws", "branch saddle, bolts", "branch saddle, strap"
TAPPED, STRAPPED_TAP = "tapping saddle, screws", "tapping saddle, strap"
BRANCHES = {SCREWS, BOLTS, STRAPS}
SCREWED = {SCREWS, BOLTS, TAPPED}
SADDLES = BRANCHES | {TAPPED, STRAPPED_TAP}
WHO = {
    "clamp.screw_count": SCREWED, "clamp.screw_size": SCREWED, "clamp.screw_property": SCREWED,
    "clamp.torque": SCREWED, "clamp.lug_load_max": SCREWED, "clamp.stop_mark": {STRAPS, STRAPPED_TAP},
    "clamp.method": SADDLES | {COUPLING},
    "gap.feeler": SADDLES, "cool.tap_wait": SADDLES, "cool.clamp_time": SADDLES | {COUPLING},
    "fitting.outlet_bore": BRANCHES, "fitting.outlet_height": SADDLES, "fitting.bore_radius": SADDLES,
    "fitting.base_angle": SADDLES, "fitting.base_length": SADDLES,
    "fitting.wall": SADDLES | {COUPLING}, "fitting.fusion_area": SADDLES | {COUPLING},
    "cutter.turns": {TAPPED, STRAPPED_TAP}, "cutter.stop": {TAPPED, STRAPPED_TAP},
    "socket.insertion_depth": {COUPLING}, "socket.misalignment_max": {COUPLING},
}  # fmt: skip
each_case = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())


def changed(tmp_path: Path, case: Case, new: str) -> Path:
    """The starter content with the first such words of a family changed."""
    folder = tmp_path / "content"
    shutil.copytree(CONTENT, folder)
    path = folder / "fittings" / f"{case.family}.yaml"
    text = path.read_text("utf-8")
    assert case.stands in text
    path.write_text(text.replace(case.stands, new, 1), "utf-8")
    return folder


@pytest.fixture(scope="module")
def families() -> dict[str, Family]:
    """A family of each type and clamp."""
    starter = load(CONTENT, prose=False).families
    found = {COUPLING: starter[COUPLING]}
    for name in SADDLES:
        kind, clamping = name.split(", ")
        like = starter[SCREW if kind == "branch saddle" else TAPPING]
        found[name] = like.model_copy(update={"clamping": clamping})
    return found


@pytest.mark.parametrize("figure", WHO)
def test_a_figure_is_told_of_every_fitting_that_cannot_have_it(
    figure: str, families: dict[str, Family]
) -> None:
    """And of no other."""
    part, key = figure.split(".")
    record = getattr(LabelData(), part).model_copy(update={key: "stated"})
    label = LabelData().model_copy(update={part: record})
    told = {name: [each[:2] for each in misplaced(family, label)] for name, family in families.items()}
    assert {name for name, figures in told.items() if not figures} == WHO[figure]
    assert all(figures in ([], [(part, key)]) for figures in told.values())


@each_case
def test_what_cannot_be_is_told_with_line_reason_and_cure(tmp_path: Path, case: Case) -> None:
    """Every problem told is of the family that was changed."""
    with pytest.raises(ContentError) as caught:
        load(changed(tmp_path, case, case.bad), prose=False)
    lines = str(caught.value).splitlines()
    assert any(case.told in line for line in lines), lines
    assert all(f"{case.family}.yaml:" in line for line in lines)


@each_case
def test_what_just_can_be_is_taken(tmp_path: Path, case: Case) -> None:
    assert case.family in load(changed(tmp_path, case, case.good), prose=False).families


def test_the_line_told_is_that_of_the_figure(tmp_path: Path) -> None:
    """A figure that every pair shares is told once, at the line where all of them have it."""
    case = CASES["cutter that never arrives"]
    folder = changed(tmp_path, case, case.bad)
    text = (folder / "fittings" / f"{TAPPING}.yaml").read_text("utf-8")
    line = text[: text.index(case.bad)].count("\n") + 1
    with pytest.raises(ContentError) as caught:
        load(folder, prose=False)
    assert f"{TAPPING}.yaml:{line}:" in str(caught.value)
    assert str(caught.value).count("is not below the travel 20 mm") == 1
