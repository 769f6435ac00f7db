"""Words on the page: a seeded fault for each rule of size, wholeness and length of line is found."""

from __future__ import annotations

import pytest

from packgen.render.preflight_plan import Box, Words
from tests.render.page import check, draw, found, plan

STEP = Words("Peel the pipe once.", 10.0, "a step", running=True)


def test_words_in_type_of_their_size_pass() -> None:
    """Exactly the least is enough, in regular and bold, and smaller labels are judged by their own least."""
    words = (STEP, Words("Prepare", 12.0, "a heading"), Words("Gap, all round", 8.0, "a label"))
    body = "<p>Peel the <b>pipe</b> once.</p><p style='font-size: 8pt'>Gap, all round</p>"
    pdf = draw(f"<p style='font-size: 12pt'>Prepare</p>{body}")
    assert check(pdf, plan(words=words, smallest=8.0)) == []


@pytest.mark.parametrize(
    ("style", "size"),
    [
        ("font-size: 9pt", "9"),
        ("font-size: 9.9pt", "9.9"),
        ("transform: scale(0.8); transform-origin: left", "8"),
        ("font-size: 20pt; transform: scale(1, 0.4); transform-origin: left", "8"),
    ],
)
def test_type_smaller_than_its_part_may_have_is_found(style: str, size: str) -> None:
    """However it comes to be small: the size counts as it is on the paper."""
    problem, *_ = check(draw(f"<p style='{style}'>Peel the pipe once.</p>"), plan(words=(STEP,)))
    assert problem.what == f"type too small for a step, {size} pt: 'Peel the pipe once.'"
    assert problem.expected == "at least 10 pt"
    assert "type never shrinks" in problem.cure


def test_one_small_word_of_a_step_is_found() -> None:
    """The number in it is what matters most."""
    pdf = draw("<p>Peel the pipe <span style='font-size: 8pt'>once</span>.</p>")
    assert found(pdf, plan(words=(STEP,))) == ["type too small for a step, 8 pt: 'once'"]


def test_the_word_of_a_blank_may_be_a_label() -> None:
    """It stands inside its box in a line of body type."""
    words = Words("Tighten to ENTER torque.", 10.0, "a step", blanks=("ENTER torque",))
    box = "font-size: 8pt; white-space: nowrap; border: 1.2pt solid #000; padding-right: 5mm"
    body = f"<p>Tighten to <b style='{box}'>ENTER torque</b>.</p>"
    assert check(draw(body), plan(words=(words,), smallest=8.0)) == []
    assert len(check(draw(body), plan(words=(Words(words.text, 10.0, "a step"),)))) == 1


def test_a_small_heading_is_not_hidden_by_the_same_words_elsewhere() -> None:
    """A longer string claims its own signs, so the heading cannot borrow those of a title."""
    words = (Words("Prepare the main", 12.0, "a title"), Words("Prepare", 12.0, "a heading"))
    large, small = "<p style='font-size: 14pt'>Prepare the main</p>", "<p>Prepare</p>"
    assert found(draw(large + small), plan(words=words)) == [
        "type too small for a heading, 10 pt: 'Prepare'"
    ]


def test_the_same_words_as_label_and_in_a_table_are_told_apart() -> None:
    """A label may stand first, in small type: the cell is looked for where the type is larger."""
    words = (Words("1:00", 8.0, "a label"), Words("1:00", 10.0, "a table"))
    label = "<p style='font-size: 8pt'>1:00</p>"
    assert check(draw(f"{label}<p>1:00</p>"), plan(words=words)) == []
    assert found(draw(label * 2), plan(words=words)) == ["type too small for a table, 8 pt: '1:00'"]


def test_type_below_the_least_of_all_is_found_though_nobody_planned_it() -> None:
    """A unit, a number in a column, a mark at the foot."""
    pdf = draw("<p>Peel</p><p style='font-size: 7pt'>mm</p>")
    assert found(pdf, plan("Peel", smallest=8.0)) == ["type too small for anything, 7 pt: 'mm'"]


WHOLE = ("3", "HOLD", "Feeler 0.33 mm does not enter.")
NUMBER = "<span style='display: inline-block; width: 9mm'>3</span>"


def test_a_step_with_its_number_and_its_lines_passes() -> None:
    """Over several lines, with a bold value, under a line of its own gate."""
    line = "Feeler <b>0.33 mm</b> does not enter."
    pdf = draw(f"<div style='width: 40mm'><p>{NUMBER}<b>HOLD</b> {line}</p></div>")
    assert check(pdf, plan(*WHOLE, together=(WHOLE,))) == []


@pytest.mark.parametrize(
    "body",
    [
        f"<p>{NUMBER}<b>HOLD</b> Feeler 0.33 mm</p><p style='margin-top: 20mm'>does not enter.</p>",
        "<p><b>HOLD</b> Feeler 0.33 mm does not enter.</p><p>3</p>",
        f"<p>{NUMBER}<b>HOLD</b> does not enter. Feeler 0.33 mm</p>",
        "<p>3</p><p style='margin-top: 9mm'><b>HOLD</b> Feeler 0.33 mm does not enter.</p>",
        "<div style='columns: 2; height: 9mm; column-fill: auto'>"
        f"{NUMBER}<b>HOLD</b> Feeler 0.33 mm does not<br><br>enter.</div>",
    ],
)
def test_a_parted_step_is_found(body: str) -> None:
    """A gap in it, its number elsewhere, its words in another order, its end in another column."""
    whats = found(draw(body), plan(together=(WHOLE,)))
    assert whats == ["parted on the page: '3 HOLD Feeler 0.33 mm does not enter.'"]


def test_a_safety_message_split_over_two_pages_is_found() -> None:
    """How to avoid the harm stands on the next face."""
    message = ("DANGER", "Pressure.", "It will kill.", "Prove that there is none.")
    first, last = "<p><b>DANGER</b></p><p><b>Pressure.</b> It will", "kill. Prove that there is none.</p>"
    assert check(draw(f"{first} {last}"), plan(*message, together=(message,))) == []
    pdf = draw(f"{first}</p><p style='break-before: page'>{last}")
    whole = f"parted on the page: {' '.join(message)!r}"
    assert whole in found(pdf, plan(together=(message,)), plan(name="next"))


LONG = "Sixty signs stand on this one line, and not one more of them"
LABEL = "font-size: 8pt; white-space: nowrap"


@pytest.mark.parametrize(("words", "problems"), [(LONG, 0), (f"{LONG}.", 1)])
def test_a_line_of_more_characters_than_may_be_is_found(words: str, problems: int) -> None:
    """Sixty pass, sixty-one do not; spaces count."""
    assert len(LONG) == 60
    planned = plan(words=(Words(words, running=True),), line=60)
    assert len(found(draw(f"<p style='{LABEL}'>{words}</p>"), planned)) == problems


def test_a_long_line_is_told_with_its_length_and_words() -> None:
    words = f"{LONG} all <b>0.33 mm</b>."
    planned = plan(words=(Words(f"{LONG} all 0.33 mm.", running=True),), line=60)
    [problem] = check(draw(f"<p style='{LABEL}'>{words}</p>"), planned)
    assert problem.what == f"a line of 73 characters: '{LONG} all 0.33 mm.'"
    assert problem.expected == "at most 60"


def test_strings_that_follow_each_other_make_one_line() -> None:
    """A safety message runs on: two short parts can be one long line."""
    parts = ("Any of these could injure you: do not", "start before each of them is put right.")
    planned = plan(words=tuple(Words(part, running=True) for part in parts), line=60)
    assert len(found(draw(f"<p style='{LABEL}'>{' '.join(parts)}</p>"), planned)) == 1
    assert found(draw("".join(f"<p style='{LABEL}'>{part}</p>" for part in parts)), planned) == []


def test_columns_and_words_that_do_not_run_are_no_long_lines() -> None:
    """Cells of a table stand apart; a long label is read once, not line by line."""
    half = "Thirty-one signs are a cell of it"
    cells = f"<td style='{LABEL}; padding-right: 5mm'>{half}</td><td style='{LABEL}'>{half}</td>"
    planned = plan(words=(Words(half, running=True),) * 2, line=60)
    assert found(draw(f"<table style='border-spacing: 0'><tr>{cells}</tr></table>"), planned) == []
    label = plan(words=(Words(f"{LONG} more"),), line=60)
    assert found(draw(f"<p style='{LABEL}'>{LONG} more</p>"), label) == []


@pytest.mark.parametrize(("steps", "problems"), [(9, []), (10, ["10 steps on one face"])])
def test_too_many_steps_on_a_face_are_found(steps: int, problems: list[str]) -> None:
    assert found(draw("<p>Peel</p>"), plan("Peel", steps=steps, most_steps=9)) == problems


MARGIN = "<style>@page { @bottom-center { content: 'Hold points may be skipped' } }</style>"


@pytest.mark.parametrize(
    ("body", "stray"),
    [
        (f"{MARGIN}<p>3 Peel the pipe once.</p>", "Hold points may be skipped"),
        ("<p>3 Peel the pipe once.</p><svg><text y='20'>Skip this</text></svg>", "Skip this"),
        ("<p>3 Peel the pipe once. Or not.</p>", "Or not."),
        ("<p>3 Peel the pipe once.</p><p>Peel the pipe once.</p>", "Peel the pipe once."),
        ("<p>3 Peel the pipe once.</p><p>3</p>", "3"),
    ],
)
def test_words_that_nobody_planned_are_found(body: str, stray: str) -> None:
    """In a margin, in a drawing, after planned words, or planned words once more."""
    boxes = (Box(0, 0, 105, 148),)
    whats = found(draw(body), plan(words=(STEP,), numbers=("3",), boxes=boxes))
    strays = [what for what in whats if what.startswith("printed and not planned: ")]
    assert len(strays) == 1 and stray in strays[0]
    assert not set(strays) & set(found(draw(body), plan(words=(STEP,), boxes=boxes)))


def test_words_numbers_and_strings_that_are_planned_are_not_told_as_stray() -> None:
    """Not even where one is part of another, or a soft hyphen became a hyphen."""
    strings, words = ("3 in", "elec\u00adtro\u00adfusion"), (STEP, Words("3"), Words("Gap 3 in"))
    body = "<p>3 Peel the pipe once.</p><p>Gap 3 in</p><p>3 in</p><p>3</p>"
    narrow = "<p style='width: 1mm'>elec\u00adtro\u00adfusion</p>"
    assert check(draw(body + narrow), plan(*strings, words=words, numbers=("3",))) == []


def test_a_number_that_laps_over_the_one_before_it_is_found_at_its_own_place() -> None:
    """Folded, "10" and "101" read "10101", where 101 stands twice."""
    body = "<p>3 Peel the pipe once.</p><p>Gap 10</p><p>101</p>"
    assert check(draw(body), plan(words=(STEP, Words("Gap 10")), numbers=("3", "101"))) == []


TURN = "display: inline-block; transform:"


@pytest.mark.parametrize(
    ("style", "what"),
    [
        (f"{TURN} scaleX(-1)", "text mirrored"),
        (f"{TURN} scaleY(-1)", "text mirrored"),
        (f"{TURN} rotate(180deg)", "text turned"),
        (f"{TURN} rotate(90deg); margin: 20mm", "text turned"),
        (f"{TURN} rotate(3deg)", "text turned"),
        (f"{TURN} scaleX(0.9)", "type 90% as wide as it was cut"),
        (f"{TURN} scaleY(0.97)", "type 103% as wide as it was cut"),
    ],
)
def test_type_that_is_turned_mirrored_or_squeezed_is_found(style: str, what: str) -> None:
    """On a face; a sheet of several faces may turn them, and mirrors nothing."""
    pdf = draw(f"<p style='margin: 9mm'>Peel <b style='{style}'>once</b></p>")
    assert found(pdf, plan("once", upright=True)) == [f"{what}: 'once'"]
    assert found(pdf, plan("once")) == ([] if what == "text turned" else [f"{what}: 'once'"])


@pytest.mark.parametrize(("leading", "problems"), [(1.2, 0), (1.1, 1)])
def test_lines_too_close_under_each_other_are_found(leading: float, problems: int) -> None:
    pdf = draw(f"<p style='width: 20mm; line-height: {leading}'>Peel the pipe once.</p>")
    assert len(found(pdf, plan(words=(STEP,)))) == problems
