"""The ladder on paper: each rung that has a time, its time, and a cell tall enough to write the clock in.

In: the joints of the demo jobs as views, and their sheets. Out: a failure that names the row.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from packgen.model.job import Job
from packgen.sheets.blocks import Table, words_of
from packgen.sheets.heights import height_of
from packgen.sheets.ladder import ladder_table
from packgen.sheets.media import Medium, card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.standing import On
from packgen.sheets.view import View
from packgen.units import quantity

ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]


def rows(view: View) -> list[tuple[str, ...]]:
    """The ladder's rows as bare words."""
    (table,) = ladder_table(view)
    return [tuple(words_of(cell) for cell in row) for row in table.rows]


def test_a_saddle_s_ladder_climbs_from_fusion_end_to_backfill(job_of: JobOf, views_of: ViewsOf) -> None:
    (view,) = views_of(job_of("first-lateral"))
    assert rows(view) == [
        ("Fusion end", "", ""),
        ("Clamp off", "+ 15 min", ""),
        ("Leak test", "+ 20 min", ""),
        ("Cut", "+ 30 min", ""),
        ("Working pressure", "+ 30 min", ""),
        ("Backfill", "+ 40 min", ""),
    ]


def test_a_coupling_s_ladder_has_no_cut(job_of: JobOf, views_of: ViewsOf) -> None:
    names = [row[0] for row in rows(views_of(job_of("service-tap"))[1])]
    assert names == ["Fusion end", "Clamp off", "Leak test", "Working pressure", "Backfill"]


def test_a_rung_without_a_time_is_left_out(job_of: JobOf, views_of: ViewsOf) -> None:
    (view,) = views_of(job_of("first-lateral"))
    values = {name: value for name, value in view.values.items() if name != "clock.tap"}
    bare = replace(view, combination=replace(view.combination, values=values))
    assert [row[0] for row in rows(bare)] == [row[0] for row in rows(view) if row[0] != "Cut"]


def test_every_joint_s_sheets_hold_its_ladder_once_behind_the_step_that_writes_it(each_view: View) -> None:
    """On pack and card alike."""
    places: tuple[tuple[Medium, On], ...] = (
        (pack_medium("letter"), "pack"), (card_medium("quarter-letter"), "cards"),
    )  # fmt: skip
    for medium, on in places:
        blocks = [block for sheet in procedure_sheets(each_view, medium, on) for block in sheet.blocks]
        (table,) = ladder_table(each_view)
        (place,) = (at for at, block in enumerate(blocks) if block == table)
        assert getattr(blocks[place - 1], "id", "") == "ladder-written"


def test_each_row_of_the_ladder_is_as_tall_as_a_box_to_write_in(job_of: JobOf, views_of: ViewsOf) -> None:
    """A row to write in takes what a step's box takes; a row that is full takes its words alone."""
    (view,) = views_of(job_of("first-lateral"))
    (table,) = ladder_table(view)
    for medium in (pack_medium("letter"), card_medium("a6")):
        head = height_of(replace(table, rows=()), medium)
        tall = height_of(table, medium) - head
        assert tall >= len(table.rows) * medium.write - 1e-9
        full = Table(table.head, (table.head,), table.shares)
        assert height_of(replace(full, write=True), medium) == height_of(full, medium)


def test_the_ladder_stands_whole_on_a_face_of_every_form(job_of: JobOf, views_of: ViewsOf) -> None:
    """A time written on one face is not looked for on another; the steps of its sheet stand round it."""
    job = job_of("first-lateral")
    (view,) = views_of(job)
    rungs = [words_of(row[0]) for table in ladder_table(view) for row in table.rows]
    places: list[tuple[Medium, On]] = [(pack_medium("letter"), "pack")]
    places += [(card_medium(form), "cards") for form in ("a7", "3x5", "a6", "half-letter", "a3")]
    for medium, on in places:
        faces = lay_out(list(procedure_sheets(view, medium, on)), medium)
        tables = [block for face in faces for block in face.blocks if isinstance(block, Table)]
        shown = [[words_of(row[0]) for row in table.rows] for table in tables if table.write]
        assert shown == [rungs], medium.form


def test_number_and_unit_of_the_ladder_s_head_never_part(job_of: JobOf, views_of: ViewsOf) -> None:
    """Its temperature is a value, and stands once."""
    (table,) = ladder_table(views_of(job_of("first-lateral"))[0])
    assert [span.text for span in table.head[1] if span.kind == "value"] == ["23 °C [73 °F]"]


def test_the_ladder_says_up_to_which_temperature_it_holds(job_of: JobOf, views_of: ViewsOf) -> None:
    """That of the label's waits on a cool day, the planned one on a hot day."""
    cool = job_of("first-lateral")
    hot = cool.model_copy(update={"site": cool.site.model_copy(update={"ambient": quantity("86 degF")})})
    heads = []
    for job in (cool, hot):
        (table,) = ladder_table(views_of(job)[0])
        heads.append(words_of(table.head[1]))
    assert heads == [
        "After fusion end, up to 23 °C [73 °F]",
        "After fusion end, up to 86 °F [30 °C]",
    ]
