"""The forms a card can have: their sizes, their type, what a ring hole and a laminating margin take."""

from __future__ import annotations

import pypdfium2
import pytest

from packgen.render.html import Stamp, faces_html, print_css
from packgen.render.pdf import font_folder, html_to_pdf
from packgen.sheets.blocks import Face, Tag
from packgen.sheets.measure import width_of
from packgen.sheets.media import (
    FOOT_SPARE,
    FORMS,
    HOLE_FREE,
    NUMBERED,
    SHEETS,
    WHITE,
    card_medium,
    default_form,
    pack_medium,
    sheet_for,
)
from packgen.sheets.words import load_words

INCH = 25.4
# ISO/IEC 7810 (ID-1 with its corner), ISO 216 (A3 to A7), ANSI/ASME Y14.1 (letter, 11 x 17 in).
SIZES = {
    "id-1": (85.60, 53.98),
    "a7": (74, 105),
    "a6": (105, 148),
    "a4": (210, 297),
    "a3": (297, 420),
    "3x5": (3 * INCH, 5 * INCH),
    "quarter-letter": (4.25 * INCH, 5.5 * INCH),
    "half-letter": (5.5 * INCH, 8.5 * INCH),
    "letter": (8.5 * INCH, 11 * INCH),
    "11x17": (11 * INCH, 17 * INCH),
}
SMALL = ("id-1", "a7", "3x5", "a6", "quarter-letter")


def test_every_form_has_the_size_its_standard_gives() -> None:
    """To a hundredth of a millimetre."""
    made = {name: (form.width, form.height) for name, form in FORMS.items()}
    assert made == {name: pytest.approx(size, abs=0.006) for name, size in SIZES.items()}
    assert FORMS["id-1"].corner == 3.18  # ISO/IEC 7810


def test_type_is_never_smaller_than_the_rules_for_cards() -> None:
    """Body 10, headings 12, labels 8, values 12, white words 12 pt; larger from half a letter up."""
    for name in FORMS:
        medium = card_medium(name)
        assert medium.body >= 10
        assert min(medium.title, medium.body + 2, medium.value, medium.tag, medium.signal) >= 12
        assert medium.label >= 8
        assert min(medium.white, medium.tag) >= WHITE == 12
        assert (medium.body > 10) == (name not in SMALL)
        assert medium.table >= medium.body


def test_a_poster_s_capitals_are_seen_from_two_metres_under_ten_minutes_of_arc() -> None:
    """Twice the 5 minutes that good sight tells apart; Lato's capitals are 0.72 em high (its OS/2 table)."""
    import math

    for name in ("a3", "11x17"):
        capital = card_medium(name).body * 25.4 / 72 * 0.72
        assert capital / 2000 >= math.radians(10 / 60)


def test_the_smallest_forms_take_fewer_steps() -> None:
    """ID-1 five, A7 and 3 x 5 in six, A6 and a quarter of a letter sheet nine."""
    steps = {name: card_medium(name).steps for name in SMALL}
    assert steps == {"id-1": 5, "a7": 6, "3x5": 6, "a6": 9, "quarter-letter": 9}


def test_words_stay_five_millimetres_inside_the_trim_and_clear_of_punched_holes() -> None:
    """Cards 5 mm; a pack 19 mm, since ISO 838 holes of 6 mm stand 12 mm in and keep 4 mm free."""
    for name in FORMS:
        medium = card_medium(name)
        assert min(medium.margin, medium.top) >= 5
    for paper in ("letter", "a4"):
        assert pack_medium(paper).margin >= 12 + 6 / 2 + 4


@pytest.mark.parametrize("form", FORMS)
def test_a_ring_hole_keeps_both_upper_corners_free(form: str) -> None:
    """To the first word 8 mm to the hole's centre, 3 of the hole, 4 of air; the rule runs below it."""
    plain, holed = card_medium(form), card_medium(form, ring_hole=True)
    assert holed.margin + holed.aside > HOLE_FREE == 15
    assert holed.top + holed.head - 1.6 > HOLE_FREE
    assert plain.aside == 0


@pytest.mark.parametrize("form", FORMS)
def test_film_beyond_the_paper_makes_the_paper_smaller_on_every_side(form: str) -> None:
    """The finished card keeps its size; words stay as far inside the paper's edge as before."""
    plain, filmed = card_medium(form), card_medium(form, laminating_margin=2.5)
    assert (filmed.width, filmed.height) == pytest.approx((plain.width - 5, plain.height - 5))
    assert (filmed.margin, filmed.top, filmed.foot) == (plain.margin, plain.top, plain.foot)


def test_each_paper_has_a_form_that_fills_it_four_to_a_sheet() -> None:
    assert {paper: default_form(paper) for paper in ("letter", "a4")} == {
        "letter": "quarter-letter",
        "a4": "a6",
    }
    for paper in ("letter", "a4"):
        form, (width, height) = FORMS[default_form(paper)], SHEETS[paper]
        assert 2 * form.width <= width + 1e-6 and 2 * form.height <= height + 1e-6


def test_a_form_that_does_not_lie_on_the_paper_is_printed_on_its_own_sheet() -> None:
    """A6 on letter, but A4 on A4 and 11 x 17 in on its own."""
    assert [sheet_for(form, "letter") for form in ("id-1", "a6", "half-letter", "a4", "11x17", "a3")] == [
        "letter", "letter", "letter", "a4", "11x17", "a3",
    ]  # fmt: skip


def test_a_narrow_face_gives_its_foot_the_lines_it_needs_and_no_more() -> None:
    """A line less leaves a line more to the work; a larger face has room for any foot."""
    short = ("HL-1 revision 1 · 2345",)
    long = ("DEMONSTRATION DATA", "water · live main · through a valve, with its own machine · 2345")
    for form in ("id-1", "a7", "3x5"):
        one, more = (card_medium(form).footed(said) for said in (short, long))
        assert one.foot < more.foot
        assert one.room > more.room
    assert card_medium("a6").footed(long) == card_medium("a6")


def test_a_narrow_foot_breaks_between_its_parts_never_in_a_code() -> None:
    """A code has hyphens, at which a line could break."""
    left = "HARROW-LANE-0427 revision 1 · 2345-6789-ABCD"
    foot = card_medium("a7").foot_text(f"DEMONSTRATION DATA · DRAFT\n{left}")
    lines = foot.split("\n")
    assert any("2345-6789-ABCD" in line for line in lines)
    assert any("HARROW-LANE-0427 revision 1" in line for line in lines)
    assert "".join(foot.split()) == "DEMONSTRATIONDATA·DRAFT·HARROW-LANE-0427revision1·2345-6789-ABCD"


def printed_foot(form: str, film: float, left: str) -> tuple[int, int, float, float]:
    """The lines that were counted and that were printed, and from the foot's words to margin and trim, mm.

    The face says that it is one of 138, a number of three digits, whatever the document's length.
    """
    stamp = Stamp(left, ("DEMONSTRATION DATA",))
    medium = card_medium(form, laminating_margin=film).footed(stamp.lines)
    face = Face("made-up", "Title", Tag("2 in", "IPS"), (), 1, 138)
    css = print_css(medium, font_folder().as_uri(), stamp, load_words())
    assert "counter(pages)" in css
    html = faces_html([face], medium, title="Title", date="2026-05-12")
    pdf = html_to_pdf(html, css.replace("counter(pages)", '"138"'), "x.pdf", tagged=False)
    with pypdfium2.PdfDocument(pdf) as document:
        text = document[0].get_textpage()
        found = [text.get_rect(index) for index in range(text.count_rects())]
    millimetre = 72 / 25.4
    lines = [box for box in found if box[3] < medium.foot * millimetre]
    side = min(min(box[0], medium.width * millimetre - box[2]) for box in lines) / millimetre
    counted = medium.foot_text("\n".join(stamp.lines)).count("\n") + 1
    return counted, len(lines), side - medium.margin, min(box[1] for box in lines) / millimetre


@pytest.mark.parametrize("film", [0.0, 2.0, 3.0])
@pytest.mark.parametrize("form", FORMS)
def test_a_foot_stands_in_its_lines_with_a_millimetre_to_spare_on_either_side(form: str, film: float) -> None:
    """Measured on the printed page: as many lines as were counted, none over the margin or near the trim."""
    for left in (
        "water · live main · through a valve, with its own machine · 2345-6789-ABCD",
        "HARROW-LANE-0427 revision 1 · 2345-6789-ABCD",
    ):
        counted, printed, beside, below = printed_foot(form, film, left)
        assert printed == counted
        assert beside > FOOT_SPARE / 2 - 0.05
        assert below >= 5


def test_the_room_kept_for_a_face_s_number_holds_three_digits() -> None:
    words = load_words()
    for key in ("card_of", "page_of"):
        assert width_of("\N{EM SPACE}" + words(key, number="188", total="188"), True) <= NUMBERED
