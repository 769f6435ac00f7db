"""The demo jobs on every form of card: the same steps, gates and numbers, nothing lost in silence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from packgen.errors import ContentError
from packgen.model.job import Job
from packgen.sheets.blocks import Code, Drawing, Face, Points, Safety, Section, Step, Table, words_of
from packgen.sheets.deck import card_sheets, job_card_sheets
from packgen.sheets.fitting import set_in
from packgen.sheets.front import key_values
from packgen.sheets.heights import height_of_all, under
from packgen.sheets.media import FORMS, Medium, card_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.standing import applicable, standing_steps, step_numbers
from packgen.sheets.view import View
from packgen.sheets.words import Words

NARROW = ("a7", "3x5")
WITH_STEPS = [form for form in FORMS if form != "id-1"]
Faces = tuple[Face, ...]


@pytest.fixture(scope="module")
def faces_on(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code
) -> Callable[[str, Medium], Faces]:
    """The card faces of a demo job in a medium."""

    def made(name: str, medium: Medium) -> Faces:
        job = job_of(name)
        return lay_out(job_card_sheets(views_of(job), job, medium, square), medium)

    return made


def steps_of(faces: Faces) -> list[Step]:
    """Every step of some faces, in order."""
    return [block for face in faces for block in face.blocks if isinstance(block, Step)]


@pytest.mark.parametrize("job", ["first-lateral", "repair-tie-in"])
@pytest.mark.parametrize("form", WITH_STEPS)
def test_every_form_holds_the_same_steps_and_keeps_to_its_limits(
    job: str, form: str, faces_on: Callable[[str, Medium], Faces]
) -> None:
    """Words, gates and numbers as on A6; too full only for a message or a table to write in."""
    medium = card_medium(form)
    faces = faces_on(job, medium)
    assert steps_of(faces) == steps_of(faces_on(job, card_medium("a6")))
    for face in faces:
        assert sum(isinstance(block, Step) for block in face.blocks) <= medium.steps
        assert not isinstance(face.blocks[-1], Safety | Section)
        for block, after in pairwise(face.blocks):
            assert not isinstance(block, Safety) or isinstance(after, Safety | Step)
        room = set_in(face.sheet, under(face, medium))
        whole = face.fill > 1.0
        assert height_of_all(face.blocks, room) <= (room.most if whole else room.room) + 1e-6
        kept = (isinstance(each, Safety) or (isinstance(each, Table) and each.write) for each in face.blocks)
        assert not whole or (medium.narrow and any(kept))


@pytest.mark.parametrize("form", ["id-1", "a7", "a6", "half-letter"])
def test_a_ring_hole_costs_faces_and_no_step(form: str, faces_on: Callable[[str, Medium], Faces]) -> None:
    """The same strings in the same order."""
    plain, holed = (faces_on("first-lateral", card_medium(form, ring_hole=hole)) for hole in (False, True))
    assert len(holed) >= len(plain)
    assert steps_of(holed) == steps_of(plain)


@pytest.mark.parametrize("form", [*NARROW, "a3"])
def test_a_form_without_figures_says_on_its_first_sheet_which_are_left_out(
    form: str, faces_on: Callable[[str, Medium], Faces], words: Words
) -> None:
    """Their titles are those of the A6 card's figures."""
    larger = faces_on("first-lateral", card_medium("a6"))
    titles = [block.figure.title for face in larger for block in face.blocks if isinstance(block, Drawing)]
    assert len(titles) >= 3
    faces = faces_on("first-lateral", card_medium(form))
    assert not any(isinstance(block, Drawing) for face in faces for block in face.blocks)
    key = "figures" if form in NARROW else "figures_poster"
    note = words(f"small_cards.{key}", figures="; ".join(titles))
    said = [text for face in faces if face.sheet == "values" for text in face.strings()]
    assert said.count(note) == 1


def test_a_form_with_figures_says_nothing_of_them(
    faces_on: Callable[[str, Medium], Faces], words: Words
) -> None:
    """The note would be wrong there."""
    start = words("small_cards.figures", figures="").rstrip(".")
    assert not any(
        text.startswith(start)
        for face in faces_on("first-lateral", card_medium("a6"))
        for text in face.strings()
    )


def smallest(view: View, square: Code) -> Faces:
    """The faces of the smallest card for one joint."""
    medium = card_medium("id-1")
    return lay_out(card_sheets(view, medium, square), medium)


def test_the_smallest_card_says_first_that_it_holds_numbers_and_hold_points_only(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code, words: Words
) -> None:
    """On its first face; no step, no safety message, no square: the printed code alone."""
    (view, *_others) = views_of(job_of("first-lateral"))
    faces = smallest(view, square)
    assert words("small_cards.only_numbers") in faces[0].strings()
    kinds = {block.kind for face in faces for block in face.blocks}
    assert kinds == {"why", "points"}
    printed = words("small_cards.code", code=square.text)
    assert [text for face in faces for text in face.strings()].count(printed) == 1


def test_the_smallest_card_holds_every_value_time_and_gate_of_the_larger_ones(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code, words: Words
) -> None:
    """Values as in the value blocks; gates under the numbers of the pack, in the order of the work."""
    for name in ("first-lateral", "live-tap"):
        for view in views_of(job_of(name)):
            faces = smallest(view, square)
            said = [
                words_of(item)
                for face in faces
                for block in face.blocks
                if isinstance(block, Points)
                for item in block.items
            ]
            cells = key_values(view).cells
            assert [text.split(": ")[0] for text in said[: len(cells)]] == [cell.label for cell in cells]
            assert all(cell.value in text for cell, text in zip(cells, said, strict=False))
            numbers = step_numbers(view)
            gates = [
                f"{numbers[step.id]} {words(f'gate.{step.gate}')}"
                for procedure in applicable(view)
                for step in procedure.steps
                if step.gate
            ]
            assert len(gates) > 10
            assert [" ".join(text.split(" ")[:2]) for text in said[-len(gates) :]] == gates
            assert set(map(int, (gate.split(" ")[0] for gate in gates))) <= set(standing_steps(view).values())
            times = [view.text(f"clock.{rung}") for rung in ("clamps_off", "test", "tap", "backfill")]
            assert all(any(time in text for text in said) for time in times if time)


def test_a_face_too_small_for_a_message_and_its_step_is_refused_with_its_cure(
    faces_on: Callable[[str, Medium], Faces],
) -> None:
    """A7 less a film of 4 mm all round: the type is not made smaller."""
    with pytest.raises(ContentError) as refused:
        faces_on("first-lateral", card_medium("a7", laminating_margin=4.0))
    assert "do not fit one card face of the form a7" in str(refused.value)
    assert str(refused.value).endswith("choose a larger form, without ring hole and laminating margin")


def test_the_smallest_card_holds_the_longer_waits_of_a_hot_day(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code
) -> None:
    """Each hotter band with every wait, and above what temperature nothing is fused."""
    (view,) = views_of(job_of("first-lateral"))
    faces = [face for face in smallest(view, square) if face.sheet == "hotter"]
    rows = [text for face in faces for block in face.blocks for text in block.strings()]
    assert rows == [
        "Air and pipe up to 30 °C [86 °F]: Extra wait 11 min; Clamp time 26 min; Pressure wait 31 min; "
        "Tap wait 41 min",
        "Air and pipe up to 40 °C [104 °F]: Extra wait 31 min; Clamp time 46 min; Pressure wait 51 min; "
        "Tap wait 61 min",
        "Air or pipe above 40 °C [104 °F]: not permitted",
    ]
    assert {face.title for face in faces} == {"Hotter than 23 °C [73 °F]"}


def test_the_smallest_card_says_where_waits_that_are_not_worked_out_stand(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code, words: Words
) -> None:
    """A label without the fitting's wall: the stated waits would be taken for those of a hot day."""
    (view,) = views_of(job_of("first-lateral"))
    values = {name: value for name, value in view.values.items() if name != "fitting.wall"}
    bare = replace(view, combination=replace(view.combination, values=values))
    (face,) = [face for face in smallest(bare, square) if face.sheet == "hotter"]
    assert [text for block in face.blocks for text in block.strings()] == [words("small_cards.see_larger")]


def test_a_hold_point_of_the_smallest_card_is_bold_and_a_witness_point_is_not(
    job_of: Callable[[str], Job], views_of: Callable[..., list[View]], square: Code
) -> None:
    """One word alone would not tell them apart."""
    (view,) = views_of(job_of("first-lateral"))
    faces = [face for face in smallest(view, square) if face.sheet == "gates"]
    points = [item for face in faces for block in face.blocks if isinstance(block, Points)
              for item in block.items]  # fmt: skip
    plain = {(words_of(item).split()[1], any(span.kind == "plain" for span in item)) for item in points}
    assert plain == {("HOLD", False), ("WITNESS", True)}
