"""The figures to scale: true lengths, every text, nothing lost, nothing outside, the same bytes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from xml.etree import ElementTree

import fontpkg_lato
import pypdfium2
import pytest
import yaml

from packgen.sheets.drawing import text_width
from packgen.sheets.figures import Figure, peel_zone, squeeze_positions, tap_section

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[2]
WORDS: dict[str, str] = yaml.safe_load((ROOT / "templates/words/en.yaml").read_text(encoding="utf-8"))[
    "figures"
]
CARD, PAGE = (92.0, 60.0), (180.0, 90.0)
Draw = Callable[[Mapping[str, float], Mapping[str, str], Mapping[str, str], float, float], Figure | None]

# Two invented fittings on real pipe: value in mm or degrees, and the text as sheets print it.
SMALL: dict[str, tuple[float, str]] = {
    "pipe.main.outside_diameter": (168.275, "6.625 in [168.28 mm]"),
    "pipe.main.wall_max": (17.13, "0.674 in [17.13 mm]"),
    "fitting.bore_radius": (84.0, "84.0 mm [3.307 in]"),
    "fitting.base_angle": (44.0, "44°"),
    "fitting.wall": (12.0, "12 mm [0.47 in]"),
    "fitting.outlet_bore": (48.26, "1.90 in [48.2 mm]"),
    "fitting.outlet_height": (80.0, "80 mm [3.15 in]"),
    "fitting.base_length": (160.0, "160 mm [6.30 in]"),
    "tap.hole_saw": (44.45, "1-3/4 in [44.4 mm]"),
    "tap.clearance": (1.905, "0.075 in [1.9 mm]"),
    "tap.travel_to_breakthrough": (20.93, "0.83 in [21.0 mm]"),
    "tap.travel_set": (24.4, "0.97 in [24.4 mm]"),
    "tap.depth_mark": (104.4, "4.12 in [104.4 mm]"),
    "peel.zone_length": (185.4, "7.30 in [186 mm]"),
    "peel.zone_arc": (154.5, "6.09 in [155 mm]"),
    "place.arc_from_top": (0.0, "0 in [0 mm]"),
    "squeeze.distance_min": (504.8, "19.9 in [505 mm]"),
    "squeeze.gap_stop": (21.4, "0.843 in [21.4 mm]"),
}
LARGE = SMALL | {
    "pipe.main.outside_diameter": (219.075, "8.625 in [219.08 mm]"),
    "pipe.main.wall_max": (22.3, "0.878 in [22.30 mm]"),
    "fitting.bore_radius": (109.4, "109.4 mm [4.307 in]"),
    "fitting.base_angle": (60.0, "60°"),
    "fitting.wall": (16.0, "16 mm [0.63 in]"),
    "fitting.outlet_bore": (91.44, "3.60 in [91.4 mm]"),
    "fitting.outlet_height": (120.0, "120 mm [4.72 in]"),
    "fitting.base_length": (270.0, "270 mm [10.63 in]"),
    "tap.hole_saw": (85.725, "3-3/8 in [85.7 mm]"),
    "tap.clearance": (2.857, "0.112 in [2.8 mm]"),
    "tap.travel_to_breakthrough": (33.5, "1.32 in [33.5 mm]"),
    "tap.travel_set": (37.0, "1.46 in [37.0 mm]"),
    "tap.depth_mark": (157.0, "6.19 in [157.0 mm]"),
    "peel.zone_length": (295.4, "11.63 in [296 mm]"),
    "peel.zone_arc": (254.5, "10.02 in [255 mm]"),
    "place.arc_from_top": (172.1, "6.78 in [172 mm]"),
    "squeeze.distance_min": (657.2, "25.9 in [658 mm]"),
    "squeeze.gap_stop": (27.9, "1.099 in [27.9 mm]"),
}
CASES = pytest.mark.parametrize("facts", [SMALL, LARGE], ids=["2 on 6", "4 on 8"])
BOXES = pytest.mark.parametrize("box", [CARD, PAGE], ids=["card", "page"])
FIGURES = pytest.mark.parametrize("draw", [tap_section, peel_zone, squeeze_positions])

LEVEL = {
    tap_section: ["tap.hole_saw", "fitting.outlet_bore"],
    peel_zone: ["peel.zone_length", "fitting.base_length"],
    squeeze_positions: ["squeeze.distance_min", "squeeze.distance_min"],
}
UPRIGHT = {
    tap_section: ["tap.travel_to_breakthrough", "tap.travel_set", "fitting.outlet_height", "tap.depth_mark"],
    peel_zone: ["peel.zone_arc", "place.arc_from_top"],
    squeeze_positions: [],
}
REQUIRED = {
    tap_section: ["pipe.main.outside_diameter", "pipe.main.wall_max", "tap.hole_saw",
                  "tap.travel_to_breakthrough", "tap.travel_set"],
    peel_zone: ["pipe.main.outside_diameter", "peel.zone_length", "peel.zone_arc"],
    squeeze_positions: ["pipe.main.outside_diameter", "squeeze.distance_min"],
}  # fmt: skip
PRINTED = {
    tap_section: [*LEVEL[tap_section], *UPRIGHT[tap_section], "tap.clearance"],
    peel_zone: [*LEVEL[peel_zone], *UPRIGHT[peel_zone]],
    squeeze_positions: ["squeeze.distance_min", "squeeze.gap_stop"],
}


def make(draw: Draw, facts: Mapping[str, tuple[float, str]], box: tuple[float, float]) -> Figure:
    """The figure, which must be there."""
    figure = draw({n: v for n, (v, _) in facts.items()}, {n: t for n, (_, t) in facts.items()}, WORDS, *box)
    assert figure is not None
    return figure


def paths(figure: Figure) -> list[tuple[list[tuple[float, float]], ElementTree.Element]]:
    """Each path's points, read back from the SVG."""
    found = []
    for path in ElementTree.fromstring(figure.svg).iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]
        found.append((list(zip(numbers[::2], numbers[1::2], strict=True)), path))
    return found


def tips(figure: Figure) -> list[tuple[float, float]]:
    """The tips of the filled arrowheads."""
    return [points[0] for points, path in paths(figure) if path.get("fill") == "#000" and len(points) == 3]


def spans(figure: Figure, along: int) -> list[float]:
    """Distances between arrow tips on one level (along 0) or upright (along 1) line."""
    heads, across = tips(figure), 1 - along
    return [
        abs(a[along] - b[along]) for i, a in enumerate(heads) for b in heads[:i] if a[across] == b[across]
    ]


def scale_of(figure: Figure) -> float:
    """The number after `1 : `."""
    return float(figure.scale.removeprefix("1 : "))


def pieces(text: str) -> list[str]:
    """A printed text, or its two halves where a narrow column splits it before the bracket."""
    first, bracket, second = text.partition(" [")
    return [first, f"[{second}"] if bracket else [first]


def shown(figure: Figure, text: str) -> bool:
    """Whether a value's text stands in the figure, whole or split before its bracket."""
    return any(text in line for line in figure.strings) or all(
        piece in figure.strings for piece in pieces(text)
    )


@CASES
@BOXES
@FIGURES
def test_lengths_are_true_to_scale(
    draw: Draw, facts: Mapping[str, tuple[float, str]], box: tuple[float, float]
) -> None:
    """Arrow tips of each dimension stand value ÷ scale apart, to the hundredth the SVG carries."""
    figure = make(draw, facts, box)
    for along, names in ((0, LEVEL[draw]), (1, UPRIGHT[draw])):
        for name in names:
            length = facts[name][0] / scale_of(figure)
            if length:
                assert min(abs(span - length) for span in spans(figure, along)) <= 0.011, name


@CASES
@BOXES
def test_gap_stop_is_true_to_the_details_own_scale(
    facts: Mapping[str, tuple[float, str]], box: tuple[float, float]
) -> None:
    """The enlarged squeeze says its own scale, larger than the figure's, and its gap keeps to it."""
    figure = make(squeeze_positions, facts, box)
    scales = [
        float(line.removeprefix("Scale 1 : ")) for line in figure.strings if line.startswith("Scale 1 : ")
    ]
    assert len(scales) == 2
    assert max(scales) == scale_of(figure)
    assert min(scales) < max(scales)
    length = facts["squeeze.gap_stop"][0] / min(scales)
    assert min(abs(span - length) for span in spans(figure, 1)) <= 0.011


@CASES
@BOXES
def test_squeeze_distance_runs_from_the_saddles_edge(
    facts: Mapping[str, tuple[float, str]], box: tuple[float, float]
) -> None:
    """Between the two distances lies the saddle; the bars' near edges stand at their far ends."""
    figure = make(squeeze_positions, facts, box)
    length = facts["squeeze.distance_min"][0] / scale_of(figure)
    level = max((y for x, y in tips(figure)), key=[y for _, y in tips(figure)].count)
    ends = sorted(x for x, y in tips(figure) if y == level)
    assert len(ends) == 4
    assert ends[1] - ends[0] == pytest.approx(length, abs=0.011)
    assert ends[2] - ends[1] == pytest.approx(facts["fitting.base_length"][0] / scale_of(figure), abs=0.011)
    bars = [points for points, path in paths(figure) if path.get("fill") == "#fff" and len(points) > 12]
    round_bars = [bar for bar in bars if max(x for x, _ in bar) <= ends[0] + 0.011]
    assert len(round_bars) >= 2
    assert max(x for x, _ in round_bars[0]) == pytest.approx(ends[0], abs=0.011)


@CASES
@BOXES
@FIGURES
def test_every_text_given_stands_in_figure_and_alt(
    draw: Draw, facts: Mapping[str, tuple[float, str]], box: tuple[float, float]
) -> None:
    """Printed texts are carried unchanged; the scale is said in both; `strings` is all the SVG's text."""
    figure = make(draw, facts, box)
    for name in PRINTED[draw]:
        if facts[name][0]:
            assert shown(figure, facts[name][1]), name
            assert facts[name][1] in figure.alt, name
    assert any(line.endswith(f"1 : {scale_of(figure):g}") for line in figure.strings)
    assert figure.scale in figure.alt
    assert figure.title in figure.alt
    texts = [text.text for text in ElementTree.fromstring(figure.svg).iter(f"{SVG}text")]
    assert sorted(map(str, texts)) == sorted(figure.strings)


@CASES
@BOXES
@FIGURES
def test_nothing_stands_outside_the_box(
    draw: Draw, facts: Mapping[str, tuple[float, str]], box: tuple[float, float]
) -> None:
    """Every point and the whole of every text lie in the viewBox, as wide as asked for and no taller."""
    figure = make(draw, facts, box)
    root = ElementTree.fromstring(figure.svg)
    assert root.get("viewBox") == f"0 0 {box[0]:g} {figure.height:g}"
    assert figure.height <= box[1]
    box = (box[0], figure.height)
    assert all(0 <= x <= box[0] and 0 <= y <= box[1] for points, _ in paths(figure) for x, y in points)
    for text in root.iter(f"{SVG}text"):
        size, x, y = (float(text.get(key) or "nan") for key in ("font-size", "x", "y"))
        width = text_width(text.text or "", size)
        left = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        assert left >= -0.01
        assert left + width <= box[0] + 0.01
        assert y - size >= -0.01 or y - 0.76 * size >= -0.01
        assert y + 0.22 * size <= box[1] + 0.01


@BOXES
@FIGURES
def test_style_is_black_and_white_with_the_set_line_widths_and_legible_text(
    draw: Draw, box: tuple[float, float]
) -> None:
    """Only black and white, only 0.7, 0.35 and 0.18 mm, Lato of at least 8 pt, no rotated text."""
    figure = make(draw, LARGE, box)
    assert set(re.findall(r"#[0-9a-f]+", figure.svg)) <= {"#000", "#fff"}
    assert set(re.findall(r'stroke-width="([^"]+)"', figure.svg)) <= {"0.7", "0.35", "0.18"}
    assert min(float(size) * 72 / 25.4 for size in re.findall(r'font-size="([^"]+)"', figure.svg)) >= 8.0
    assert 'font-family="Lato"' in figure.svg
    assert "rotate" not in figure.svg
    assert figure.id.isascii()


@FIGURES
def test_none_where_a_value_the_figure_is_about_is_missing(draw: Draw) -> None:
    """Each required value, missing as a number or as a text, gives no figure and no error."""
    for name in REQUIRED[draw]:
        values = {n: v for n, (v, _) in SMALL.items()}
        text = {n: t for n, (_, t) in SMALL.items()}
        without = {n: v for n, v in values.items() if n != name}
        assert draw(without, text, WORDS, *CARD) is None, name
        assert draw(values, {n: t for n, t in text.items() if n != name}, WORDS, *CARD) is None, name


def test_no_section_where_the_saw_is_wider_than_the_bore() -> None:
    """A saw that the calculation refuses gives no figure."""
    facts = SMALL | {"tap.hole_saw": (150.0, "5.9 in")}
    values, text = {n: v for n, (v, _) in facts.items()}, {n: t for n, (_, t) in facts.items()}
    assert tap_section(values, text, WORDS, *CARD) is None


@BOXES
@pytest.mark.parametrize(
    ("draw", "missing", "gone"),
    [
        (tap_section, "fitting.outlet_bore", {"fitting.outlet_bore", "tap.clearance"}),
        (tap_section, "fitting.outlet_height", {"fitting.outlet_height"}),
        (tap_section, "fitting.bore_radius", set()),
        (tap_section, "fitting.base_angle", set()),
        (tap_section, "fitting.wall", set()),
        (tap_section, "tap.depth_mark", {"tap.depth_mark"}),
        (tap_section, "tap.clearance", {"tap.clearance"}),
        (peel_zone, "fitting.base_length", {"fitting.base_length"}),
        (peel_zone, "fitting.bore_radius", set()),
        (peel_zone, "place.arc_from_top", {"place.arc_from_top"}),
        (squeeze_positions, "squeeze.gap_stop", {"squeeze.gap_stop"}),
        (squeeze_positions, "fitting.base_length", set()),
    ],
)
def test_a_missing_optional_value_takes_only_what_depends_on_it(
    draw: Draw, missing: str, gone: set[str], box: tuple[float, float]
) -> None:
    """The figure is still there; exactly the texts that depend on the missing value are not."""
    figure = make(draw, {name: fact for name, fact in LARGE.items() if name != missing}, box)
    for name in PRINTED[draw]:
        assert shown(figure, LARGE[name][1]) is (name not in gone), name


def test_saddle_is_named_only_where_it_is_drawn() -> None:
    """Without its bore radius the saddle is neither drawn nor named."""
    whole = make(tap_section, LARGE, PAGE)
    bare = make(
        tap_section, {name: fact for name, fact in LARGE.items() if name != "fitting.bore_radius"}, PAGE
    )
    assert WORDS["tap.saddle"] in whole.strings
    assert WORDS["tap.saddle"] not in bare.strings


@pytest.mark.parametrize(
    ("dr", "pairs"), [(9.0, [(4.5, 2), (24.0, 2), (12.75, 6)]), (17.0, [(3.5, 2), (24.0, 6)])]
)
@BOXES
def test_every_size_finds_a_scale(
    dr: float, pairs: list[tuple[float, int]], box: tuple[float, float]
) -> None:
    """From the smallest to the widest main there is a scale at which no text meets a line."""
    outlets = {2: (48.26, 44.45, 160.0, 12.0, 80.0), 6: (134.6, 127.0, 360.0, 20.0, 120.0)}
    for inches, lateral in pairs:
        bore, saw, base, wall, height = outlets[lateral]
        diameter, thick, radius = inches * 25.4, 1.12 * inches * 25.4 / dr, inches * 12.7
        travel = radius - math.sqrt((radius - thick) ** 2 - (saw / 2) ** 2)
        angle = min(60.0, math.degrees(base / 2 / radius))
        numbers = {
            "pipe.main.outside_diameter": diameter, "pipe.main.wall_max": thick, "fitting.wall": wall,
            "fitting.bore_radius": radius, "fitting.base_angle": angle, "fitting.base_length": base,
            "fitting.outlet_bore": bore, "fitting.outlet_height": height, "tap.hole_saw": saw,
            "tap.travel_to_breakthrough": travel, "tap.travel_set": travel + 3.5,
            "tap.depth_mark": height + travel + 3.5, "peel.zone_length": base + 25.4,
            "peel.zone_arc": 2 * radius * math.radians(angle) + 25.4, "place.arc_from_top": diameter / 4,
            "squeeze.distance_min": max(3 * diameter, 304.8), "squeeze.gap_stop": 1.4 * thick,
            "tap.clearance": (bore - saw) / 2,
        }  # fmt: skip
        facts = {name: (value, f"{value / 25.4:.2f} in [{value:.1f} mm]") for name, value in numbers.items()}
        for draw in (tap_section, peel_zone, squeeze_positions):
            assert shown(make(draw, facts, box), facts[PRINTED[draw][0]][1])


@FIGURES
def test_same_bytes_whatever_the_order_of_the_values(draw: Draw) -> None:
    """Two runs, and the values in reverse order, give the same figure."""
    once, reverse = make(draw, LARGE, CARD), make(draw, dict(reversed(LARGE.items())), CARD)
    assert once == make(draw, LARGE, CARD)
    assert once.svg == reverse.svg


def test_markup_in_a_printed_text_prints_as_typed() -> None:
    """A text with HTML in it stays text."""
    figure = make(peel_zone, LARGE | {"peel.zone_arc": (254.5, "<i>10</i> & in")}, PAGE)
    assert "<i>10</i> & in" in figure.strings
    assert "&lt;i&gt;10&lt;/i&gt; &amp; in" in figure.svg


def test_every_word_of_the_words_file_is_used_and_every_word_used_is_there() -> None:
    """The figures' modules name each key of the file once at least, and a missing key is an error."""
    source = "".join(
        module.read_text(encoding="utf-8") for module in (ROOT / "packgen/sheets").glob("figure_*.py")
    )
    for key in WORDS:
        assert f'"{key}"' in source or key.partition(".")[2] in {"title", "alt"} or f"['{key}']" in source, (
            key
        )
    with pytest.raises(KeyError):
        tap_section(
            {n: v for n, (v, _) in SMALL.items()}, {n: t for n, (_, t) in SMALL.items()},
            {key: word for key, word in WORDS.items() if key != "tap.main"}, *CARD,
        )  # fmt: skip


def test_weasyprint_renders_every_text_of_the_figures(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """The PDF of all six figures holds every text as text, and WeasyPrint has nothing to complain of."""
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    folder, fonts = Path(fontpkg_lato.__file__).parent / "files", FontConfiguration()
    files = {400: (folder / "Lato-Regular.ttf").as_uri(), 700: (folder / "Lato-Bold.ttf").as_uri()}
    faces = "".join(
        f"@font-face{{font-family:Lato;font-weight:{weight};src:url({file})}}"
        for weight, file in files.items()
    )
    css = CSS(
        string=f"@page{{size:200mm 110mm;margin:5mm}}svg{{display:block;break-after:page}}{faces}",
        font_config=fonts,
    )
    figures = [make(draw, facts, PAGE) for facts in (SMALL, LARGE) for draw in PRINTED]
    target = tmp_path / "figures.pdf"
    HTML(string="<body>" + "".join(figure.svg for figure in figures)).write_pdf(
        target, stylesheets=[css], font_config=fonts
    )
    assert [record.message for record in caplog.records if record.name == "weasyprint"] == []
    with pypdfium2.PdfDocument(target) as document:
        for page, figure in zip(document, figures, strict=False):
            text = page.get_textpage().get_text_bounded()
            for line in figure.strings:
                assert line in text
