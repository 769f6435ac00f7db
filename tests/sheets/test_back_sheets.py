"""Joint record and workings."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from packgen.calc.ledger import Value
from packgen.calc.work_out import work_out
from packgen.formulas import filled
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER
from packgen.sheets.back import DIVIDED, record_sheet, workings_sheet
from packgen.sheets.blocks import Box, Boxes, Section, Why, words_of
from packgen.sheets.front import source_numbers
from packgen.sheets.view import View
from packgen.sheets.words import Words

ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
NAME = re.compile(r"rule:[a-z-]+|job:[a-z_]+|[a-z]+(?:\.[a-z_]+)+")  # in the words wanted


def boxes_of(view: View) -> dict[str, list[Box]]:
    """The record's boxes by their heading."""
    found: dict[str, list[Box]] = {}
    for block in record_sheet(view).blocks:
        if isinstance(block, Section):
            found[block.text] = []
        elif isinstance(block, Boxes):
            found[list(found)[-1]] += block.boxes
    return found


def test_a_box_prints_the_value_wanted_beside_it(each_view: View) -> None:
    """Nobody looks it up while the pen is wet."""
    record = each_view.catalog.joint_record
    assert record is not None
    printed = {box.label.split(" (step")[0]: box for boxes in boxes_of(each_view).values() for box in boxes}
    groups = [group for group in record.groups if group.when.met(each_view.request.facts)]
    wanted = [field for group in groups for field in group.fields if field.wanted]
    assert len([field for field in wanted if field.label in printed]) >= 12
    for field in wanted:
        if field.label in printed:
            several = [field.wanted] if isinstance(field.wanted, str) else field.wanted
            whole = [each for each in several if all(map(each_view.named, NAME.findall(each)))]
            text = NAME.sub(lambda name: each_view.named(name[0]), whole[0]) if whole else ""
            assert printed[field.label].wanted == (f"wanted: {text}" if text else "")
            assert printed[field.label].fill == field.fill


def test_a_box_prints_the_limit_of_a_work_rule_and_of_the_job(job_of: JobOf, views_of: ViewsOf) -> None:
    """The step's limit stands beside the reading: 20 % LEL, the job's 60 psi, 100 °F in a gas test."""
    view = views_of(job_of("live-tap"))[0]
    boxes = {box.name: box.wanted for boxes in boxes_of(view).values() for box in boxes}
    for name in ("trench-air", "gas-before-peel", "gas-before-power", "outlet-air"):
        assert boxes[name] == "wanted: below 20 % LEL", name
    assert boxes["operating-pressure"].startswith("wanted: ≤ 60 psi")
    assert boxes["live-pressure"].startswith("wanted: ≤ 60 psi")
    assert boxes["test-pipe-cool"].startswith("wanted: ≤ 100 °F")
    assert boxes["lateral-test-pressure"].startswith("wanted: as on the cover, ")


def test_boxes_of_sheets_that_are_not_in_the_pack_are_left_out(job_of: JobOf, views_of: ViewsOf) -> None:
    """A dry main has no squeeze-off, and its record asks for none."""
    (dry,), (isolated,) = views_of(job_of("first-lateral")), views_of(job_of("repair-tie-in"))
    assert "Squeeze-off" not in boxes_of(dry)
    assert len(boxes_of(isolated)["Squeeze-off"]) == 7
    assert "Isolate and restore" not in boxes_of(dry)
    assert len(boxes_of(isolated)["Isolate and restore"]) == 11
    assert len(boxes_of(dry)["Dry main"]) == 2
    assert "Dry main" not in boxes_of(isolated)


def test_every_heading_has_a_box(each_view: View) -> None:
    assert all(boxes_of(each_view).values())


def told(view: View) -> list[Value]:
    """The values that have a paragraph, in its order: the worked ones, one of each table of bands, the
    engineer's.
    """
    worked = [value for value in view.values.values() if value.kind == "worked"]
    plain = [value for value in worked if not value.name.startswith((CORD_LENGTHS, COOL_BANDS))]
    bands = [value for value in worked if value.name.startswith(COOL_BANDS) and value.number is not None]
    hottest = bands[-1].name.rpartition(".")[0] if bands else ""
    tabled = [value for value in bands if value.name.startswith(f"{hottest}.")]
    return sorted(plain + tabled, key=lambda value: (value.entry.engineer, value in tabled))


def test_every_worked_value_has_its_working(each_view: View, words: Words, labels: dict[str, str]) -> None:
    """Method, formula, symbols, result before rounding, direction, the value as printed, sources; one of each
    table and what the engineer alone reads come last, under headings of their own.
    """
    ordered = told(each_view)
    sheet = workings_sheet(each_view).blocks[1:]
    blocks = [block for block in sheet if isinstance(block, Why)]
    assert len(blocks) == len(ordered) > 15
    numbers = source_numbers(each_view)
    for block, value in zip(blocks, ordered, strict=True):
        text = words_of(block.line).replace("\N{NO-BREAK SPACE}", " ")
        assert value.working is not None
        formula = filled(value.name, value.working.inputs)
        assert formula is not None
        assert text.startswith(
            f"{labels[value.name]}: {value.working.words}. {formula.text.replace('/', DIVIDED)}, with "
        )
        for given in formula.given:
            item = given.input
            label, said = item if isinstance(item, tuple) else (labels[item], each_view.text(item))
            assert (f"{given.sign} = {said} ({label})" if given.sign else f"{label} {said}") in text
        direction = words(f"direction.{REGISTER[value.name].direction}")
        result = f"{value.result}, {direction} " if value.number is not None else ""
        assert f". Result {result}{each_view.text(value.name)}. Source " in text
        assert text.endswith(f"Source {', '.join(str(numbers[source]) for source in value.sources)}.")


def test_workings_of_tables_and_for_the_engineer_have_headings_of_their_own(
    each_view: View, words: Words
) -> None:
    """Whoever reads the first part sees none of them."""
    ordered, sheet = told(each_view), workings_sheet(each_view).blocks[1:]
    titles = [(index, block.text) for index, block in enumerate(sheet) if isinstance(block, Section)]
    tabled = sum(value.name.startswith(COOL_BANDS) for value in ordered)
    guidance = sum(value.entry.engineer for value in ordered)
    first = len(ordered) - guidance - tabled
    expected = [(first, words("workings.tables"))] if tabled else []
    if guidance:
        expected.append((first + tabled + len(expected), words("workings.engineer")))
    assert titles == expected


def test_without_a_job_one_cord_stands_for_the_table_of_cords(
    catalog: Catalog, words: Words, job_of: JobOf, views_of: ViewsOf
) -> None:
    """The first that may carry the current: its paragraph holds the formula of constant power."""
    (view,) = views_of(job_of("first-lateral"))
    request = replace(view.request, job=None, joint=None)
    lines = [
        words_of(block.line).replace("\N{NO-BREAK SPACE}", " ")
        for block in workings_sheet(View(catalog, words, work_out(request))).blocks
        if isinstance(block, Why)
    ]
    cords = [line for line in lines if line.startswith("Longest supply cord")]
    assert [line.partition(":")[0] for line in cords] == ["Longest supply cord, 18 AWG at 120 V"]
    assert "L = ΔV·(V − ΔV)∕(2·S·R′); ΔV = v·V" in cords[0]


def test_a_job_s_cord_has_one_working_though_the_table_of_cords_holds_it_too(each_view: View) -> None:
    """The table's cell of that size and voltage is the same number by the same way."""
    own = each_view.values["power.supply_cord_length_max"]
    (listed,) = [value for name, value in each_view.values.items() if name.startswith(CORD_LENGTHS)]
    assert replace(listed, name=own.name) == own


def test_stated_values_have_no_working(each_view: View, labels: dict[str, str]) -> None:
    """A stated value is carried, never worked."""
    heads = {words_of(block.line[:1]) for block in workings_sheet(each_view).blocks if isinstance(block, Why)}
    stated = {labels[value.name] for value in each_view.values.values() if value.kind == "stated"}
    assert stated and heads & stated == set()


# What a record of a fused joint names: common practice; ISO 12176-4 names the data (from memory).
RECORDED = (
    "Job", "Joint number", "Date", "Station", "Contents of the", "Operating pressure", "print line and lot",
    "maker, lot, date", "Bag sealed", "Weather", "Air temperature", "Pipe surface temperature",
    "Relative humidity", "efore peeling, high", "fter peeling, high", "Re-rounding clamp", "Peel ended",
    "wiped", "Fully dry", "Time from peel to start of fusion", "Clamped as this fitting needs",
    "Generator and cord", "Control unit no., calibrated until", "Control unit's record, number",
    "Displayed fusion time", "Fusion time", "Fusion start", "Fusion end", "End status",
    "melt indicator risen", "Clamp time over", "Fuser, qualified until", "Checker",
    "Photograph of the peeled", "Photograph of the finished joint", "Photographs, all numbers",
    "Non-conformance", "Backfilled", "Fuser, signature", "Checker, signature",
)  # fmt: skip
OF_SADDLES = (
    "Outlet's clock angle", "Peeler", "Passes", "Torque, where", "Feeler does not enter", "Cut",
    "Test pressure, main uncut", "Hold time", "clock time",
)  # fmt: skip


def test_the_record_asks_for_all_that_a_fused_joint_is_traced_by(each_view: View) -> None:
    """Once each: pipes, fitting, weather, readings, data, times, people, photographs."""
    found = [box.label for boxes in boxes_of(each_view).values() for box in boxes]
    wanted = RECORDED if each_view.request.is_coupling else (*RECORDED, *OF_SADDLES)
    one_time = each_view.request.facts["times"] == "one"
    for words in wanted:
        if words == "Torque, where" and each_view.request.facts["torque"] != "stated":
            continue
        assert any(words in label for label in found), words
    assert one_time or any("Row taken" in label for label in found)
    assert len(found) == len(set(found))
