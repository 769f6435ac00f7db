"""Procedures on sheets: which ones, how steps are numbered, what is dropped and what never is.

Doctored procedures stand in place of the starter's where a rule needs a case the starter does not have.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from packgen.errors import ContentError, Problems
from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.prose import Procedure, SlotBlock, StepText
from packgen.model.prose_reader import read_procedure
from packgen.sheets.back import record_sheet
from packgen.sheets.blocks import Block, Code, Drawing, Face, Safety, Sheet, Step, Table, words_of
from packgen.sheets.deck import card_sheets, pack_sheets
from packgen.sheets.media import card_medium, pack_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.standing import applicable, step_numbers
from packgen.sheets.view import View

CARD, PACK = card_medium("quarter-letter"), pack_medium("letter")
HEAD = "---\nid: made-up\ntitle: Made up\norder: 10\non: [pack, cards, site]\n{}---\n"
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]

# The steps that carry each message's positive acts, by hand: every `avoid` of the safety file, act by act.
ACTS = {
    "traffic": ["traffic-guarded", "clothing-worn"],
    "manual-handling": ["tools-lowered"],
    "buried-services": ["permit-on-site", "dig-by-hand"],
    "trench-collapse": ["trench-protected", "spoil-back", "ladder-near"],
    "bad-air": ["air-read"],
    "gas-ignition": ["sparks-away", "extinguisher-upwind", "detector-running"],
    "static": ["earth-pin", "wet-wrap", "wrap-kept-wet"],
    "purge-gas": ["purge-vent-earthed", "purge-vent-placed"],
    "squeeze-pinch": ["hands-outside"],
    "vent-blow": ["vent-led", "vent-aside", "vent-opened"],
    "dirty-water": ["tools-disinfected", "ditch-water-out", "ends-capped"],
    "blade": ["gloves-clean"],
    "alcohol-fire": ["flames-away", "can-closed"],
    "mains-shock": ["unit-out-of-trench", "ground-fault-tested"],
    "exhaust": ["generator-downwind"],
    "hot-melt": ["people-clear", "melt-guarded"],
    "stored-pressure": ["plug-restrained", "clear-of-plug", "test-pressure-raised"],
    "gas-test-burst": ["test-relief-set", "test-distance-kept"],
    "drill-shock": ["drill-supply"],
    "drill-kick": ["side-handle", "drill-braced"],
    "swarf-eyes": ["eyes-guarded"],
    "cut-jet": ["main-no-pressure"],
    "loose-coupon": ["coupon-seen", "swarf-out"],
    "stack-pressure": ["clear-of-stack", "test-pressure-raised"],
    "stack-air": ["machine-earthed", "stack-purged"],
    "shaft-out": ["feed-engaged", "clear-of-shaft"],
    "shaft-back": ["clear-of-shaft-back", "saw-back"],
    "lateral-air": ["far-vent-led", "lateral-inert"],
    "purge-mix": ["far-vent-led", "valve-opened"],
    "live-jet": ["valve-person", "nothing-loosened"],
    "machine-kick": ["machine-braced", "main-cut"],
    "trapped-pressure": ["stack-bled", "bleed-watched", "machine-off"],
    "live-coupon": ["coupon-seen"],
    "capped-pressure": ["caps-restrained", "clear-of-caps", "lateral-pressure-raised"],
    "cutter-out": ["eyes-guarded", "clear-of-cutter", "turns-counted-aloud", "cutter-stopped"],
}
FIRST_STEP = {"dirty-water": "crew-healthy"}  # who may not work here, before what is done with the tools
# The same act under another id: on the sheets that restore the flow, on that of the pipe ends, at a squeeze,
# in the test of the lateral, and where a cutter leaves no valve to open.
SAME_ACT = {
    "hands-outside": "hands-outside-release", "gloves-clean": "gloves-clean-ends",
    "earth-pin": "squeeze-pin", "wet-wrap": "squeeze-wrap", "wrap-kept-wet": "squeeze-wrap-wet",
    "test-relief-set": "lateral-relief-set", "test-distance-kept": "lateral-distance-kept",
    "far-vent-led": "far-vent-still-led", "valve-opened": "far-end-opened",
    "purge-vent-earthed": "vent-earthed-again", "purge-vent-placed": "vent-earthed-again",
}  # fmt: skip


def procedure(body: str, front: str = "", id_: str = "made-up") -> Procedure:
    """A doctored procedure, which must be good prose."""
    problems = Problems()
    made = read_procedure(HEAD.format(front).replace("made-up", id_) + body, f"{id_}.md", problems)
    assert list(problems) == []
    assert made is not None
    return made


def without(view: View, *names: str) -> View:
    """The same view without some of its values."""
    values = {name: value for name, value in view.values.items() if name not in names}
    assert len(values) == len(view.values) - len(names)
    return replace(view, combination=replace(view.combination, values=values))


def steps_of(sheets: Sequence[Sheet | Face]) -> list[Step]:
    """Every step of some sheets, in order."""
    return [block for sheet in sheets for block in sheet.blocks if isinstance(block, Step)]


def blocks_of(sheets: Sequence[Sheet]) -> list[Block]:
    """Every block of some sheets, in order."""
    return [block for sheet in sheets for block in sheet.blocks]


@pytest.fixture(params=["first-lateral", "repair-tie-in", "metric-lateral"])
def view(request: pytest.FixtureRequest, job_of: JobOf, views_of: ViewsOf) -> View:
    """The joint of each demo job that has but one."""
    (found,) = views_of(job_of(request.param))
    return found


def test_steps_are_numbered_through_the_joint_without_a_gap(view: View) -> None:
    """1…n over all sheets of a pack, in the order of the procedures."""
    steps = steps_of(tuple(procedure_sheets(view, PACK, "pack")))
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert len({step.id for step in steps}) == len(steps) > 100


def test_a_step_has_one_number_on_pack_cards_site_and_record(each_view: View) -> None:
    """A card's step 73 is the pack's, word for word, and a box of the record names it by that number."""
    pack = {step.id: step for step in steps_of(tuple(procedure_sheets(each_view, PACK, "pack")))}
    cards = steps_of(tuple(procedure_sheets(each_view, CARD, "cards")))
    assert cards and all(step == pack[step.id] for step in cards)
    assert all(step == pack[step.id] for step in steps_of(tuple(procedure_sheets(each_view, PACK, "site"))))
    record = each_view.catalog.joint_record
    assert record is not None
    labels = {text for block in record_sheet(each_view).blocks for text in block.strings()}
    job, joint = each_view.request.job, each_view.request.joint
    assert job is not None and joint is not None
    groups = [group for group in record.groups if group.when.met(each_view.request.facts)]
    # What a job does once stands in the record of its first joint alone.
    kept = [group for group in groups if not group.once or joint.id == job.joints[0].id]
    assert not {group.title for group in groups if group not in kept} & labels
    groups = kept
    fields = [field for group in groups for field in group.fields if field.step in pack]
    assert len(fields) > 40
    for field in fields:
        assert f"{field.label} (step {pack[str(field.step)].number})" in labels


def test_a_box_whose_step_is_left_out_is_not_on_the_record(job_of: JobOf, views_of: ViewsOf) -> None:
    """No box names a step that nobody can find."""
    (view,) = views_of(job_of("first-lateral"))
    bare = without(view, "spacing.saddle_to_saddle")
    labels = " ".join(text for block in record_sheet(bare).blocks for text in block.strings())
    assert "Distance to nearest saddle" not in labels
    assert "Distance to nearest other fitting" in labels


def test_a_step_whose_value_is_absent_is_left_out_and_told_on_the_cover(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """The others keep their numbers, so that the cover's number means the same on every sheet."""
    job = job_of("first-lateral")
    (view,) = views_of(job)
    whole = {step.id: step.number for step in steps_of(tuple(procedure_sheets(view, PACK, "pack")))}
    bare = without(view, "tap.depth_mark")
    sheets = pack_sheets([bare], job, PACK, square, ())
    left = {step.id: step.number for step in steps_of(sheets)}
    assert whole.keys() - left.keys() == {"depth-mark-set"}
    assert left.items() <= whole.items()
    told = [text for block in sheets[0].blocks for text in block.strings()]
    number = whole["depth-mark-set"]
    assert f"Step {number} is left out: nothing here gives Depth mark up the shank." in told


def test_a_gate_whose_value_is_absent_refuses_the_pack(job_of: JobOf, views_of: ViewsOf) -> None:
    """The sentence names the gate, the value, file and line, and the cure."""
    body = "## Gap\n\n1. Feeler {{ gap.feeler }} does not enter.\n   {: #gap-checked .hold }\n"
    (view,) = views_of(job_of("first-lateral"), (procedure(body),))
    with pytest.raises(ContentError) as refused:
        list(procedure_sheets(without(view, "gap.feeler"), PACK, "pack"))
    message = str(refused.value)
    assert message.startswith("made-up.md:")
    assert "the gate 'gap-checked' needs gap.feeler, which this pair does not have" in message
    assert "state it in the family's file" in message


def test_a_blank_at_a_gate_prints_its_box(job_of: JobOf, views_of: ViewsOf) -> None:
    """A blank is not an absent value: the gate stands, with ENTER to fill in."""
    body = "## Clamp\n\n1. Torque reads {{ clamp.torque }}.\n   {: #torque-read .witness }\n"
    (view,) = views_of(job_of("first-lateral"), (procedure(body),))
    assert view.values["clamp.torque"].kind == "blank"
    ((step,),) = [steps_of((sheet,)) for sheet in procedure_sheets(view, PACK, "pack")]
    assert [span.text for span in step.line if span.kind == "blank"] == ["ENTER"]


def test_a_paragraph_a_bullet_and_a_row_go_with_their_absent_value(job_of: JobOf, views_of: ViewsOf) -> None:
    """Only what holds the slot goes."""
    body = (
        "## Cut\n\nCoupon weighs {{ tap.coupon_mass }}.\n\nLook at it.\n\n"
        "- Mass {{ tap.coupon_mass }}\n- Edge whole\n\n"
        "| What you see | Do | Outcome |\n|---|---|---|\n"
        "| Lighter than {{ tap.coupon_mass }} | Stop | STOP |\n| Whole | Go on | OK |\n"
    )
    (view,) = views_of(job_of("first-lateral"), (procedure(body),))
    (full,) = procedure_sheets(view, PACK, "pack")
    (bare,) = procedure_sheets(without(view, "tap.coupon_mass"), PACK, "pack")
    assert any("Coupon weighs" in text for block in full.blocks for text in block.strings())
    assert [text for block in bare.blocks for text in block.strings()] == [
        "Cut", "Look at it.", "Edge whole", "What you see", "Do", "Outcome", "Whole", "Go on", "OK",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("front", "name", "there"),
    [
        ("when: {state: [dry]}\n", "first-lateral", True),
        ("when: {state: [isolated, live]}\n", "first-lateral", False),
        ("when: {state: [isolated], isolation: [squeeze-off]}\n", "repair-tie-in", True),
        ("when: {state: [isolated], isolation: [valves]}\n", "repair-tie-in", False),
        ("when: {isolation: [squeeze-off]}\n", "first-lateral", False),
        ("when: {method: [open drill]}\n", "first-lateral", True),
        ("when: {method: [built-in cutter]}\n", "first-lateral", False),
        ("when: {contents: [water]}\n", "repair-tie-in", True),
        ("when: {contents: [gas]}\n", "repair-tie-in", False),
        ("", "repair-tie-in", True),
    ],
)
def test_a_procedure_stands_where_every_condition_is_met(
    front: str, name: str, there: bool, job_of: JobOf, views_of: ViewsOf
) -> None:
    """`when` is read key by key; an absent key is no condition."""
    made = procedure("## Look\n\n1. Look at it.\n   {: #looked }\n", front)
    (view,) = views_of(job_of(name), (made,))
    assert applicable(view) == ((made,) if there else ())


def test_a_procedure_stands_only_on_what_it_names(job_of: JobOf, views_of: ViewsOf) -> None:
    """`on` parts packs, cards and site; step numbers run on all the same."""
    body = "## Look\n\n1. Look at it.\n   {{: #{} }}\n"
    kit = procedure(body.format("a"), id_="kit")
    kit = replace(kit, head=kit.head.model_copy(update={"on": ("pack",)}))
    place = procedure(body.format("b"), id_="place")
    (view,) = views_of(job_of("first-lateral"), (kit, place))
    assert [sheet.id for sheet in procedure_sheets(view, PACK, "pack")] == ["kit", "place"]
    (card,) = procedure_sheets(view, CARD, "cards")
    assert (card.id, [step.number for step in steps_of((card,))]) == ("place", [2])


def test_reasons_stand_in_the_pack_and_not_on_cards(each_view: View) -> None:
    """A card holds what is done; why it is done stands in the pack."""
    assert not any(
        block.kind == "why" for block in blocks_of(tuple(procedure_sheets(each_view, CARD, "cards")))
    )
    assert any(block.kind == "why" for block in blocks_of(tuple(procedure_sheets(each_view, PACK, "pack"))))


@pytest.mark.parametrize("medium", [CARD, PACK], ids=["card", "pack"])
def test_a_safety_message_stands_before_the_step_it_guards_on_the_same_face(
    each_view: View, medium: object
) -> None:
    """Four parts in order, then a step that carries an act of the message, on one face."""
    on = "cards" if medium is CARD else "pack"
    found = 0
    for face in lay_out(tuple(procedure_sheets(each_view, CARD if medium is CARD else PACK, on)), medium):
        for index, block in enumerate(face.blocks):
            if not isinstance(block, Safety):
                continue
            found += 1
            guarded = next(each for each in face.blocks[index:] if not isinstance(each, Safety))
            assert isinstance(guarded, Step), block.id
            acts = ACTS[block.id]
            allowed = {*acts, *(SAME_ACT.get(act) for act in acts), FIRST_STEP.get(block.id)}
            assert guarded.id in allowed, block.id
            message = each_view.catalog.safety[block.id]
            assert block.strings() == (message.signal, message.hazard, message.consequence, message.avoid)
    wanted = [
        block for each in applicable(each_view) if on in each.head.on for block in each.blocks
        if isinstance(block, SlotBlock) and block.slot.form == "safety"
    ]  # fmt: skip
    assert found == len(wanted) >= 9


def test_every_positive_act_of_a_message_is_a_step_of_the_same_procedure(catalog: Catalog) -> None:
    """By the table above, which has a row for every message of the content."""
    assert catalog.safety.keys() == ACTS.keys()
    used = set()
    for each in catalog.procedures:
        ids = [block.id if isinstance(block, StepText) else "" for block in each.blocks]
        for index, block in enumerate(each.blocks):
            if isinstance(block, SlotBlock) and block.slot.form == "safety":
                name = block.slot.names[0]
                used.add(name)
                later = set(ids[index:])
                for act in ACTS[name]:
                    assert {act, SAME_ACT.get(act)} & later, (name, act)
    assert used == ACTS.keys()


def test_steps_of_the_content_are_short(catalog: Catalog) -> None:
    """At most 20 words a step, a slot counted as three (ASD-STE100 asks for 20)."""
    too_long = {}
    for each in catalog.procedures:
        for step in each.steps:
            count = sum(3 if run.slot else len(run.text.split()) for run in step.runs)
            if count > 20:
                too_long[step.id] = count
    assert too_long == {}


def sizes(view: View) -> Table:
    """The table of all sizes as a pack prints it."""
    return next(
        block for sheet in procedure_sheets(view, PACK, "pack") if sheet.id == "sizes"
        for block in sheet.blocks if isinstance(block, Table)
    )  # fmt: skip


def test_the_table_of_sizes_marks_this_size_and_prints_its_own_values(view: View) -> None:
    """A row for each pair of this size system; the marked one carries this combination's values."""
    table = sizes(view)
    system = view.request.main.table.system
    assert (
        len(table.rows) == len(view.pairs) == {"IPS": 16, "ISO": 24}[system]
    )  # counted in the family's file
    assert table.marked is not None
    label, *cells = table.rows[table.marked]
    assert words_of(label).endswith("– this size")
    names = (
        "peel.depth_max",
        "clamp.method",
        "clamp.torque",
        "cool.clamp_time",
        "cool.tap_wait",
        "tap.hole_saw",
    )
    assert [words_of(cell) for cell in cells] == [view.text(name) or "ENTER" for name in names]
    assert sum("this size" in words_of(row[0]) for row in table.rows) == 1


def test_a_size_that_is_refused_prints_no_values_in_the_table(job_of: JobOf, views_of: ViewsOf) -> None:
    """At DR 17 the wall of 3 in IPS is below the label's 5.5 mm: 'not permitted', and nothing beside it."""
    job = job_of("first-lateral")
    thin = job.model_copy(update={"main": replace(job.main, dr=17.0)})
    (view,) = views_of(thin)
    rows = {words_of(row[0]): [words_of(cell) for cell in row[1:]] for row in sizes(view).rows}
    assert rows["2 in on 3 in"] == ["not permitted", "", "", "", "", ""]
    assert all(
        cells[0] != "not permitted" and all(cells) for label, cells in rows.items() if label != "2 in on 3 in"
    )


def test_a_refused_combination_prints_no_values_of_its_own_in_the_table(
    job_of: JobOf, views_of: ViewsOf
) -> None:
    """The marked row of a refused size is refused too."""
    job = job_of("first-lateral")
    live = job.model_copy(update={"state": "live"})
    (view,) = views_of(live)
    assert view.combination.reasons
    table = sizes(view)
    assert table.marked is not None
    assert [words_of(cell) for cell in table.rows[table.marked][1:]] == ["not permitted", "", "", "", "", ""]


@pytest.mark.parametrize(
    ("figure", "names"),
    [
        ("tap-section", ("tap.hole_saw", "tap.travel_to_breakthrough")),
        ("peel-zone", ("peel.zone_length", "peel.zone_arc")),
        ("squeeze-positions", ("squeeze.distance_min",)),
    ],
)
@pytest.mark.parametrize("medium", [CARD, PACK], ids=["card", "pack"])
def test_a_figure_is_absent_where_its_data_are(
    figure: str, names: tuple[str, ...], medium: object, job_of: JobOf, views_of: ViewsOf
) -> None:
    """No drawing from a guessed number."""
    (view,) = views_of(job_of("repair-tie-in"), (procedure(f"## Look\n\n{{{{ figure: {figure} }}}}\n"),))
    on = "cards" if medium is CARD else "pack"
    (sheet,) = procedure_sheets(view, CARD if medium is CARD else PACK, on)
    assert [type(block) for block in sheet.blocks[1:]] == [Drawing]
    for name in names:
        (bare,) = procedure_sheets(without(view, name), CARD if medium is CARD else PACK, on)
        assert bare.blocks[1:] == ()


def test_a_figure_nobody_knows_is_an_error(job_of: JobOf, views_of: ViewsOf) -> None:
    """With the place and the figures there are."""
    (view,) = views_of(job_of("first-lateral"), (procedure("## Look\n\n{{ figure: tap-secton }}\n"),))
    with pytest.raises(
        ContentError, match=r"made-up\.md:\d+.*'tap-secton' is not known; expected tap-section"
    ):
        list(procedure_sheets(view, PACK, "pack"))


def test_a_step_number_runs_over_every_applicable_procedure(view: View) -> None:
    """The numbering is that of the pack, whatever is shown; a joint alone is numbered alike."""
    numbers = step_numbers(view)
    assert numbers == step_numbers(replace(view, numbering=None))
    assert numbers.keys() == {step.id for procedure in applicable(view) for step in procedure.steps}
    assert sorted(numbers.values()) == list(range(1, len(numbers) + 1))
    assert {
        step.id: step.number for step in steps_of(card_sheets(view, CARD, Code("", "", 1.0, "")))
    }.items() <= numbers.items()
