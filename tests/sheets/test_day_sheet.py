"""The day plan on paper: bars, times and verdicts are those of the planned day.

In: demo jobs as views, some with other means or limits. Out: a failure that names the row or the bar.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from packgen.calc.day_plan import JointTimes, Means, Plan, day_plan
from packgen.calc.day_values import planned_day
from packgen.model.job import Job
from packgen.model.job import Means as JobMeans
from packgen.rounding import hours
from packgen.sheets import figure_day
from packgen.sheets.blocks import Block, Code, Drawing, Sheet, Table, Tag, words_of
from packgen.sheets.day_sheet import day_sheets
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.drawing import Drawing as Sketch
from packgen.sheets.figure_day import STAGES, bars, day_chart
from packgen.sheets.media import card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.strokes import Hatch
from packgen.sheets.view import View
from packgen.sheets.words import load_words
from packgen.units import quantity

ROOT = Path(__file__).parents[2]
PACK = pack_medium("letter")
TAG = Tag("6 in", "2 joints")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
SADDLE = JointTimes(2700.0, 88.0, 900.0, 1800.0, 2700.0)
FIGURES = load_words().group("figures")


def sheet_of(views: Sequence[View], job: Job) -> Sheet:
    """The day plan of a job."""
    (sheet,) = day_sheets(views, job, PACK, TAG)
    return sheet


def tables(sheet: Sheet) -> tuple[Table, Table]:
    """The times, and what they are held against."""
    times, fit = (block for block in sheet.blocks if isinstance(block, Table))
    return times, fit


def cells(table: Table) -> list[list[str]]:
    """A table's rows as bare words."""
    return [[words_of(cell).replace("\N{NO-BREAK SPACE}", " ") for cell in row] for row in table.rows]


@pytest.fixture
def made(job_of: JobOf, views_of: ViewsOf) -> Callable[..., Sheet]:
    """The day plan of a demo job with keys changed."""

    def make(name: str, **changes: Any) -> Sheet:
        job = job_of(name)
        return sheet_of(views_of(job), job.model_copy(update=changes))

    return make


def test_the_times_of_each_joint_stand_over_a_row_for_the_clock(made: Callable[..., Sheet]) -> None:
    """By hand: fused for 88 s and 80 s, each time up to the minute."""
    times, _ = tables(made("valve-isolation"))
    assert [words_of(cell) for cell in times.head] == [
        "Joint", "Prepare from", "Fusion from", "Fusion end", "Clamp off", "Waits over", "Finish from",
        "Done",
    ]  # fmt: skip
    first, clock, second, clock_too = cells(times)
    assert first == [
        "J1", "0:00 person 1", "0:45 unit 1", "0:47", "1:02 clamps 1", "1:17", "1:17 person 2", "2:02",
    ]  # fmt: skip
    assert second == [
        "J2", "0:02 person 2", "0:47 unit 1", "0:48", "1:00 clamps 2", "1:12", "1:12 person 1", "1:57",
    ]  # fmt: skip
    assert clock == clock_too == ["Clock time", *[""] * 7]
    assert times.write


def test_of_a_branch_that_its_coupling_carries_on_the_saddle_is_done(made: Callable[..., Sheet]) -> None:
    """Its row ends before its lateral is joined; a row that ends with the whole joint says no more."""
    done = {
        name: [row[-1] for row in cells(tables(made(name))[0])[::2]]
        for name in ("live-tap", "service-tap", "valve-isolation")
    }
    assert done["live-tap"] == ["2:02 saddle", "3:53"]
    assert not [text for name in ("service-tap", "valve-isolation") for text in done[name] if " " in text]


def test_the_plan_is_held_against_both_limits_of_an_isolated_main(made: Callable[..., Sheet]) -> None:
    """An hour around is added; beside J1 and J2 four more fit six hours."""
    _, fit = tables(made("valve-isolation"))
    assert dict(cells(fit)) == {
        "Planned with": "people who fuse: 2; control units: 1; clamp sets: 2",
        "Work at the joints": "2:02",
        "Isolating and restoring the main": "1:00",
        "Together": "3:02",
        "Time at hand": "10 h: the work fits",
        "Stated outage": "6 h: the work fits",
        "What holds it up": "one more person, control unit or clamp set would not shorten it",
        "Further joints that would fit": "4, each as long as J1",
    }


def test_a_dry_main_s_plan_has_no_time_around_and_no_limit_that_nobody_stated(
    made: Callable[..., Sheet],
) -> None:
    _, fit = tables(made("first-lateral"))
    assert [row[0] for row in cells(fit)] == ["Planned with", "Work at the joints", "What holds it up"]
    assert ["Work at the joints", "2:02"] in cells(fit)


@pytest.mark.parametrize(("counts", "said"), [
    ((1, 1, 2), "people; one more would shorten it the most"),
    ((2, 1, 1), "clamp sets; one more would shorten it the most"),
])  # fmt: skip
def test_the_bottleneck_stands_in_words(
    counts: tuple[int, int, int], said: str, made: Callable[..., Sheet]
) -> None:
    people, units, clamps = counts
    means = JobMeans(people=people, control_units=units, clamp_sets=clamps)
    _, fit = tables(made("valve-isolation", means=means))
    assert ["What holds it up", said] in cells(fit)


def test_a_limit_that_is_too_short_or_open_says_so(made: Callable[..., Sheet], job_of: JobOf) -> None:
    """Three hours for three hours and two minutes; and a hot day that the owner adds a wait to."""
    short = JobMeans(people=2, control_units=1, clamp_sets=2, time=quantity("3 h"))
    _, fit = tables(made("valve-isolation", means=short))
    assert ["Time at hand", "3 h: TOO SHORT"] in cells(fit)
    assert ["Further joints that would fit", "0, each as long as J1"] in cells(fit)
    site = job_of("valve-isolation").site.model_copy(update={"ambient": quantity("35 degC")})
    _, fit = tables(made("valve-isolation", site=site))
    found = dict(cells(fit))["Stated outage"]
    assert found == "6 h: the work fits before the extra wait in heat that the owner states is added"


def test_a_pack_holds_the_plan_once_behind_its_cover_and_cards_hold_none(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    job = job_of("valve-isolation")
    ids = [sheet.id for sheet in pack_sheets(views_of(job), job, PACK, square, ())]
    assert ids[:4] == ["cover", "contents", "holds", "day"]
    assert ids.count("day") == 1
    cards = job_card_sheets(views_of(job), job, card_medium("quarter-letter"), square)
    assert "day" not in [sheet.id for sheet in cards]


def test_without_known_times_there_is_no_plan(
    job_of: JobOf, views_of: ViewsOf, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is drawn from a guess."""
    monkeypatch.setattr("packgen.sheets.day_sheet.planned_day", lambda *_: None)
    job = job_of("first-lateral")
    assert day_sheets(views_of(job), job, PACK, TAG) == ()


def test_the_longest_job_s_plan_is_laid_on_whole_faces(job_of: JobOf, views_of: ViewsOf) -> None:
    """Twelve joints: the figure on one face, the times parted between rows."""
    job = job_of("valve-isolation")
    many = tuple(job.joints[0].model_copy(update={"id": f"J{at}"}) for at in range(1, 13))
    sheet = sheet_of(views_of(job), job.model_copy(update={"joints": many}))
    faces = lay_out([sheet], PACK)
    blocks: list[Block] = [block for face in faces for block in face.blocks]
    assert sum(isinstance(block, Drawing) for block in blocks) == 1
    times = [row for block in blocks if isinstance(block, Table) and block.write for row in block.rows]
    assert len(times) == 24


def test_every_word_of_the_plan_is_printed_somewhere() -> None:
    """The keys that code puts together are those of columns, facts, verdicts and means."""
    source = (ROOT / "packgen" / "sheets" / "day_sheet.py").read_text("utf-8")
    asked = set(re.findall(r'"(?:day\.)?([a-z_]+)"', source))
    asked |= {"more_people", "more_control_units", "more_clamp_sets", "more_nothing"}
    assert set(load_words().group("day")) <= asked


# --- the figure
# ------------------------------------------------------------------------------------------


def plan_of(count: int, means: Means) -> tuple[list[str], Plan]:
    """So many saddles by name, and their plan."""
    return [f"J{at + 1}" for at in range(count)], day_plan([SADDLE] * count, means)


PLANS = [
    plan_of(1, Means(1, 1, 1)),
    plan_of(2, Means(2, 1, 2)),
    plan_of(5, Means(2, 1, 3)),
    plan_of(12, Means(1, 1, 1)),
    plan_of(12, Means(12, 12, 12)),
]


def drawn(names: Sequence[str], plan: Plan, monkeypatch: pytest.MonkeyPatch) -> Sketch:
    """The strokes and labels of a chart."""
    kept: list[Sketch] = []

    class Kept(Sketch):
        """A drawing that stays to be looked at."""

        def __init__(self, letter: float) -> None:
            super().__init__(letter)
            kept.append(self)

    monkeypatch.setattr(figure_day, "Drawing", Kept)
    day_chart(names, plan, FIGURES, 178.0)
    return kept[0]


@pytest.mark.parametrize(("names", "plan"), PLANS)
def test_no_word_of_the_bars_meets_a_line_or_another_word(
    names: list[str], plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And the whole lies within its box."""
    sketch = drawn(names, plan, monkeypatch)
    assert sketch.clashes() == ()
    left, top, right, bottom = sketch.box
    assert right - left <= 178.0
    assert bottom - top < 175.0


def black_bars(svg: str) -> Iterator[tuple[float, float]]:
    """Left and right of each bar that is filled black, mm: the fusions, in their rows, then the legend's."""
    for path in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}path"):
        if path.get("fill") == "#000" and path.get("stroke-width"):
            numbers = [float(number) for number in re.findall(r"-?[\d.]+", path.get("d") or "")]
            yield min(numbers[::2]), max(numbers[::2])


@pytest.mark.parametrize(("names", "plan"), PLANS)
def test_the_fusions_stand_to_scale_on_the_hours(names: list[str], plan: Plan) -> None:
    """Each fusion's beginning and length on paper are those of the plan."""
    figure = day_chart(names, plan, FIGURES, 178.0)
    *fusions, _legend = black_bars(figure.svg)
    assert len(fusions) == len(names)
    starts = [row.fusion_start for row in plan.joints]
    lengths = [row.fusion_end - row.fusion_start for row in plan.joints]
    scale = float(figure.scale.split()[0]) / 3600.0
    for (left, right), start, length in zip(fusions, starts, lengths, strict=True):
        assert right - left == pytest.approx(length * scale, rel=0.08, abs=0.03)
        assert left - fusions[0][0] == pytest.approx((start - starts[0]) * scale, rel=0.08, abs=0.03)


def test_every_stage_has_a_manner_of_its_own() -> None:
    """Told apart without colour: hatching up, black, plain, dashed, hatching down."""
    manners = set()
    for stage in STAGES:
        sketch = Sketch(3.2)
        figure_day.draw_stage(sketch, stage, (0.0, 0.0), 20.0)
        slopes = {
            round((b[1] - a[1]) / (b[0] - a[0]))
            for stroke in sketch.strokes
            if isinstance(stroke, Hatch)
            for a, b in stroke.pieces
        }
        outline = sketch.strokes[-1]
        manners.add((tuple(slopes), outline.fill, outline.dash))
    assert len(manners) == len(STAGES) == 5


def test_a_stage_that_takes_no_time_has_no_bar() -> None:
    (row,) = day_plan([JointTimes(0.0, 88.0, 900.0, 900.0, 0.0)], Means(1, 1, 1)).joints
    assert [bar.stage for bar in bars(row)] == ["day.fuse", "day.clamped"]


def test_the_figure_s_words_tell_who_cannot_see_it_every_time(job_of: JobOf, views_of: ViewsOf) -> None:
    """The same numbers as the table."""
    job = job_of("valve-isolation")
    views = views_of(job)
    sheet, day = sheet_of(views, job), planned_day(job, views[0].catalog)
    assert day is not None
    (figure,) = (block.figure for block in sheet.blocks if isinstance(block, Drawing))
    assert (
        "J2: prepared from 0:02 by person 2. Fused from 0:47 to 0:48 with control unit 1, "
        "clamps 2 off at 1:00, waits over at 1:12. Finished from 1:12 to 1:57 by person 1."
    ) in figure.alt
    assert figure.alt.endswith("All done at 2:02.")
    for row in cells(tables(sheet)[0])[::2]:
        assert all(re.search(rf"\b{cell.split()[0]}\b", figure.alt) for cell in row[1:])
    assert {hours(900.0 * tick) for tick in range(10)} <= set(figure.strings)
