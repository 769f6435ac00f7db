"""The clock from fusion end: bars to scale, every printed time, the same acts as the ladder's table.

In: the joints of the demo jobs, and times made up to the edge.
Out: a failure that names the act, the time or the word that is wrong.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree import ElementTree

import pytest

from packgen.errors import ContentError
from packgen.sheets.blocks import words_of
from packgen.sheets.drawing import Drawing, text_width
from packgen.sheets.figure_clock import EARLIEST
from packgen.sheets.figures import Figure, clock
from packgen.sheets.ladder import RUNGS, ladder_table
from packgen.sheets.view import View
from packgen.sheets.words import Words

SVG = "{http://www.w3.org/2000/svg}"
CARD, PAGE = (93.0, 78.0), (170.0, 92.0)
BOXES = pytest.mark.parametrize("box", [CARD, PAGE], ids=["card", "page"])
# Five times in minutes; the cut and the working pressure fall together.
MINUTES = {"clamps_off": 15, "test": 20, "tap": 50, "working_pressure": 50, "backfill": 60}
HEAD = {EARLIEST: "After fusion end, up to 73 °F [22 °C]"}


@pytest.fixture(autouse=True)
def no_clash(monkeypatch: pytest.MonkeyPatch) -> None:
    """No drawing of this file may have a text on a line or on a text."""
    write = Drawing.svg

    def checked(drawing: Drawing, width: float, height: float) -> str:
        assert drawing.clashes() == ()
        return write(drawing, width, height)

    monkeypatch.setattr(Drawing, "svg", checked)


def make(words: Words, minutes: Mapping[str, int], box: tuple[float, float] = CARD) -> Figure:
    """The figure of some rungs, which must be there."""
    values = {f"clock.{rung}": time * 60.0 for rung, time in minutes.items()}
    text = {f"clock.{rung}": f"{time} min" for rung, time in minutes.items()} | HEAD
    figure = clock(values, text, words.group("figures"), *box)
    assert figure is not None
    return figure


def bars(figure: Figure) -> list[tuple[float, float]]:
    """Each bar's level and length, from above: the outlines of 0.35 mm that close."""
    found = []
    for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path"):
        run = path.get("d") or ""
        if path.get("stroke-width") == "0.35" and run.endswith("Z"):
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", run)]
            xs, ys = numbers[::2], numbers[1::2]
            found.append((min(ys), max(xs) - min(xs)))
    return sorted(found)


@BOXES
def test_bars_are_to_scale_in_the_order_of_the_work(words: Words, box: tuple[float, float]) -> None:
    """Each bar is as long as its share of the longest time, one below the other as the ladder has them."""
    lengths = [length for _, length in bars(make(words, MINUTES, box))]
    assert lengths == pytest.approx([lengths[-1] * MINUTES[rung] / 60 for rung in RUNGS], abs=0.021)
    assert lengths[-1] > 0.5 * box[0]


def test_the_marks_stand_at_whole_steps_of_the_longest_time(words: Words) -> None:
    """Over 60 minutes twelve marks, five minutes apart, and the words say so."""
    figure = make(words, MINUTES)
    longest = max(length for _, length in bars(figure))
    runs = [
        [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
        for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path")
        if path.get("stroke-width") == "0.35" and not (path.get("d") or "").endswith("Z")
    ]
    marks = sorted(x1 for x1, _, x2, _ in runs if x1 == x2)
    assert len(marks) == 12
    assert marks[-1] - marks[0] == pytest.approx(longest * 11 / 12, abs=0.021)
    assert "A mark every 5 min" in figure.strings


def test_times_and_head_stand_in_figure_and_alternative_text(words: Words) -> None:
    """Every printed time, every act and the temperature the times hold to."""
    figure = make(words, MINUTES)
    for rung, time in MINUTES.items():
        assert figure.strings.count(f"{time} min") >= 1
        assert f"{words.group('figures')[f'clock.{rung}']} {time} min" in figure.alt
    assert HEAD[EARLIEST] in figure.strings and HEAD[EARLIEST] in figure.alt
    assert figure.title in figure.alt


@BOXES
def test_the_figure_says_what_the_table_beside_it_says(
    each_view: View, words: Words, box: tuple[float, float]
) -> None:
    """On every joint of the demo jobs: the same acts, in the same words, with the same times."""
    table = next(iter(ladder_table(each_view)))
    figure = clock(each_view.numbers(), each_view.texts, words.group("figures"), *box)
    assert figure is not None
    for act, time, _ in table.rows[1:]:
        assert f"{words_of(act)} {words_of(time).removeprefix('+ ')}" in figure.alt
    assert len(bars(figure)) == len(table.rows) - 1


@pytest.mark.parametrize("missing", RUNGS)
def test_a_time_nobody_knows_takes_its_own_bar_alone(words: Words, missing: str) -> None:
    """The others stand, with their texts."""
    left = {rung: time for rung, time in MINUTES.items() if rung != missing}
    figure = make(words, left)
    assert len(bars(figure)) == 4
    assert words.group("figures")[f"clock.{missing}"] not in figure.strings


def test_no_figure_without_any_time(words: Words) -> None:
    """None where no rung is known, as a number or as a text."""
    group = words.group("figures")
    assert clock({}, {}, group, *CARD) is None
    assert clock({"clock.tap": 60.0}, {}, group, *CARD) is None
    assert clock({}, {"clock.tap": "1 min"}, group, *CARD) is None


@BOXES
@pytest.mark.parametrize("longest", [1, 4, 61, 719, 1440])
def test_short_and_long_waits_keep_within_the_box(
    words: Words, box: tuple[float, float], longest: int
) -> None:
    """From a minute to a day: every line and text inside, marks never closer than the eye can tell."""
    minutes = {rung: max(1, longest * part // 10) for rung, part in zip(RUNGS, (1, 2, 5, 9, 10), strict=True)}
    figure = make(words, minutes, box)
    root = ElementTree.fromstring(figure.svg)
    assert figure.height <= box[1]
    for path in root.iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
        assert all(0 <= x <= box[0] for x in numbers[::2])
        assert all(0 <= y <= figure.height for y in numbers[1::2])
    for text in root.iter(f"{SVG}text"):
        size, x = float(text.get("font-size") or "nan"), float(text.get("x") or "nan")
        wide = text_width(text.text or "", size)
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        assert left >= -0.01 and left + wide <= box[0] + 0.01, text.text
        assert size * 72 / 25.4 >= 8.0


def test_a_box_too_low_is_an_error_and_no_row_is_dropped(words: Words) -> None:
    """Nothing is squeezed and nothing is left out."""
    with pytest.raises(ContentError, match="mm of height, 20 mm are there"):
        make(words, MINUTES, (93.0, 20.0))


def test_only_black_white_and_the_set_line_widths(words: Words) -> None:
    """ISO 128: 0.7, 0.35 and 0.18 mm; one colour."""
    svg = make(words, MINUTES).svg
    assert set(re.findall(r"#[0-9a-f]+", svg)) <= {"#000", "#fff"}
    assert set(re.findall(r'stroke-width="([^"]+)"', svg)) <= {"0.7", "0.35", "0.18"}
