"""Which sheets a pack and a card set hold, for one joint and for two of different sizes on one main."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from packgen.model.job import Job
from packgen.publish.identity import job_code
from packgen.sheets.blocks import Code, Points, Sheet, Step, Table, Tag, words_of
from packgen.sheets.deck import card_sheets, job_card_sheets, pack_sheets
from packgen.sheets.media import FORMS, card_medium, pack_medium
from packgen.sheets.standing import applicable
from packgen.sheets.view import View

CARD, PACK = card_medium("quarter-letter"), pack_medium("letter")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]


def pack_of(job: Job, views_of: ViewsOf, square: Code) -> tuple[Sheet, ...]:
    """The sheets of a job's pack."""
    return pack_sheets(views_of(job), job, PACK, square, ())


def cards_of(job: Job, views_of: ViewsOf, square: Code) -> tuple[Sheet, ...]:
    """The sheets of a job's cards."""
    return job_card_sheets(views_of(job), job, CARD, square)


def ids(sheets: Sequence[Sheet]) -> list[str]:
    """The sheets by id, in order."""
    return [sheet.id for sheet in sheets]


def test_a_dry_main_s_pack_holds_its_sheets_in_the_order_of_the_work(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    assert ids(pack_of(job_of("first-lateral"), views_of, square)) == [
        "cover", "contents", "holds", "day", "values", "fit", "peel-template", "hazards", "sign-on", "kit",
        "place", "dry-main", "water-clean", "prepare", "wipe-dry", "clamp-and-gap", "power-and-fuse",
        "wait-test-cut-join", "close-out", "stop-redo-reject", "sizes", "record", "inspection",
        "nonconformance", "failed-joint", "heat", "workings",
    ]  # fmt: skip


def test_an_isolated_main_s_pack_isolates_before_the_work_and_restores_after_it(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    order = ids(pack_of(job_of("repair-tie-in"), views_of, square))
    assert order.index("kit") < order.index("kit-isolate") < order.index("place")
    assert order.index("place") < order.index("isolate") < order.index("empty-water") < order.index("prepare")
    assert "dry-main" not in order
    assert order.index("wait-test-cut-join") < order.index("restore") < order.index("close-out")


def test_cards_hold_the_same_steps_behind_a_face_of_values(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """No cover, no talk, no kit, no record: what is read in the trench."""
    cards = cards_of(job_of("first-lateral"), views_of, square)
    assert ids(cards) == [
        "values", "owner", "place", "dry-main", "water-clean", "prepare", "wipe-dry", "clamp-and-gap",
        "power-and-fuse", "wait-test-cut-join", "close-out",
        "stop-redo-reject",
    ]  # fmt: skip
    (view,) = views_of(job_of("first-lateral"))
    assert cards == card_sheets(view, CARD, square)
    assert [block.kind for block in cards[0].blocks] == ["cells", "why", "why", "why", "code"]
    assert cards[0].blocks[1].strings() == ("For water, dry main, open drill only.",)


def test_every_sheet_of_one_joint_carries_its_size(job_of: JobOf, views_of: ViewsOf, square: Code) -> None:
    for sheets in (pack_of, cards_of):
        tags = {sheet.tag for sheet in sheets(job_of("first-lateral"), views_of, square)}
        assert tags == {Tag("2 in on 6 in", "IPS DR 11 PE4710")}


def test_two_joints_have_a_section_each_and_share_what_the_job_needs_once(
    twin: Job, views_of: ViewsOf, square: Code
) -> None:
    """Hazards and isolation with the first joint, restoring and closing out with the last only: flow comes
    back once.
    """
    sheets = pack_of(twin, views_of, square)
    order = [(sheet.id, sheet.tag.large) for sheet in sheets]
    first, second, both = "4 in on 8 in", "2 in on 8 in", "8 in IPS"
    for once in (
        "cover", "contents", "holds", "hazards", "sign-on", "isolate", "restore", "close-out",
        "stop-redo-reject", "inspection", "nonconformance", "failed-joint",
    ):  # fmt: skip
        assert [tag for id_, tag in order if id_ == once] == [both], once
    for each in (
        "values",
        "fit",
        "kit",
        "place",
        "prepare",
        "wait-test-cut-join",
        "sizes",
        "record",
    ):
        assert [tag for id_, tag in order if id_ == each] == [first, second], each
    names = ids(sheets)
    last_cut = len(names) - 1 - names[::-1].index("wait-test-cut-join")
    assert names.index("isolate") < names.index("prepare")
    assert names.index("close-out") > names.index("restore") > last_cut


def test_two_joints_share_on_cards_what_they_share_in_the_pack(
    twin: Job, views_of: ViewsOf, square: Code
) -> None:
    """A card set that restored the flow after its first joint would be a trap."""
    names = ids(cards_of(twin, views_of, square))
    assert names.count("restore") == names.count("isolate") == names.count("stop-redo-reject") == 1
    assert names.count("prepare") == names.count("values") == 2
    assert names.index("restore") > len(names) - 1 - names[::-1].index("wait-test-cut-join")


def test_a_sheet_of_one_of_two_joints_names_its_joint(twin: Job, views_of: ViewsOf, square: Code) -> None:
    """Two sheets with one title are told apart even where the sizes are the same."""
    for sheets in (pack_of(twin, views_of, square), cards_of(twin, views_of, square)):
        titles = [sheet.title for sheet in sheets if sheet.id == "prepare"]
        assert titles == ["J1: Prepare the main", "J2: Prepare the main"]
        assert [sheet.title for sheet in sheets if sheet.id == "restore"] == ["Restore the flow"]
        assert len({(sheet.id, sheet.title) for sheet in sheets}) == len(sheets)


def test_each_joint_s_table_of_sizes_marks_its_own_row(twin: Job, views_of: ViewsOf, square: Code) -> None:
    """A shared sheet without steps that differs between the joints stands with each of them."""
    marked = []
    for sheet in pack_of(twin, views_of, square):
        for block in sheet.blocks:
            if sheet.id == "sizes" and isinstance(block, Table) and block.marked is not None:
                marked.append(words_of(block.rows[block.marked][0]))
    assert marked == ["4 in on 8 in – this size", "2 in on 8 in – this size"]


def test_a_number_means_one_step_of_one_joint_on_pack_and_cards(
    twin: Job, views_of: ViewsOf, square: Code
) -> None:
    """A shared step has one number, a step of both joints one for each; no number means two steps."""
    meanings: dict[int, set[tuple[str, str, str]]] = {}
    numbers: dict[str, set[int]] = {}
    joints: dict[str, set[str]] = {}
    for sheet in (*pack_of(twin, views_of, square), *cards_of(twin, views_of, square)):
        joint = sheet.title.partition(": ")[0] if sheet.title.startswith(("J1: ", "J2: ")) else "both"
        for block in sheet.blocks:
            if isinstance(block, Step):
                meanings.setdefault(block.number, set()).add((joint, block.id, words_of(block.line)))
                numbers.setdefault(block.id, set()).add(block.number)
                joints.setdefault(block.id, set()).add(joint)
    assert len(meanings) > 300
    assert all(len(found) == 1 for found in meanings.values())
    assert {len(found) for found in joints.values()} == {1, 2}
    assert all(len(numbers[step]) == len(joints[step]) for step in numbers)
    one = {step: found for step, found in joints.items() if found not in ({"J1", "J2"}, {"both"})}
    assert one == {"outlet-level": {"J1"}, "outlet-plumb": {"J2"}}  # outlets at 3 and at 12 o'clock


def test_the_code_of_a_job_covers_every_joint(twin: Job, views_of: ViewsOf) -> None:
    """A value or the outlet of the second joint changes it; so does leaving the joint out."""
    first, second = views_of(twin)
    code = job_code([first, second], twin)
    values = {**second.values, "fuse.time": replace(second.values["fuse.time"], number=91.0)}
    changed = replace(second, combination=replace(second.combination, values=values))
    assert job_code([first, changed], twin) != code
    turned = twin.model_copy(
        update={"joints": (twin.joints[0], twin.joints[1].model_copy(update={"outlet": "1 o'clock"}))}
    )
    assert job_code([first, second], turned) != code
    alone = twin.model_copy(update={"joints": twin.joints[:1]})
    assert job_code([first], alone) != code
    assert job_code(views_of(twin), twin) == code


@pytest.mark.parametrize("form", FORMS)
def test_every_form_has_a_line_to_write_in_for_each_number_its_steps_leave_to_the_cover(
    form: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """A set has no cover: right behind its values stands what its steps mean by that, with the limits."""
    job = job_of("live-tap").model_copy(update={"leak_test": None})
    sheets = job_card_sheets(views_of(job), job, card_medium(form), square)
    lines: dict[str, str] = {}
    for joint, before in ((each, sheets[at - 1]) for at, each in enumerate(sheets) if each.id == "owner"):
        assert before.id == "values"
        assert joint.title.endswith(": On the cover")
        last = joint.blocks[0 if form == "id-1" else -1]
        if isinstance(last, Points):
            assert all(item[1].kind == "blank" for item in last.items)
            cells = list(last.items)
        else:
            assert isinstance(last, Table) and last.write and not any(row[1] for row in last.rows)
            cells = [row[0] for row in last.rows]
        lines |= dict(words_of(cell).split(": ENTER") for cell in cells)
    limits = " from 90 psi [621 kPa] to 150 psi [1,034 kPa]"
    assert lines["Test pressure, main uncut"] == limits
    assert "Hold time of the test, main uncut" in lines
    assert [sheet.id for sheet in sheets].count("owner") == 2


@pytest.mark.parametrize(
    "name", ["first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation"]
)
def test_no_card_sends_the_crew_to_a_line_of_the_cover_that_is_not_there(
    name: str, job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """Each step's words for a number of the owner have their line in front of it."""
    job = job_of(name)
    views = views_of(job)
    blanks, lines = views[0].catalog.owner_blanks.values(), set[str]()
    named = 0
    for sheet in job_card_sheets(views, job, CARD, square):
        for block in sheet.blocks:
            if isinstance(block, Table) and sheet.id == "owner":
                lines |= {words_of(row[0][:1]) for row in block.rows}
            if isinstance(block, Step) and "on the cover" in words_of(block.line):
                named += 1
                said = [blank for blank in blanks if blank.text in words_of(block.line)]
                assert said and any(f"{blank.label}: ENTER" in lines for blank in said), block
    assert named > 2


def test_the_lines_of_a_card_set_are_those_that_its_own_steps_name(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """A number that only a sheet of the pack names would stand there for nobody."""
    job = job_of("live-tap")
    for view in views_of(job):
        bare = replace(view, standing=tuple(each for each in applicable(view) if "cards" not in each.head.on))
        assert [sheet.id for sheet in card_sheets(bare, CARD, square)] == ["values"]


def test_in_a_job_the_lines_are_filled_as_on_the_pack_s_cover(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """Without a job there is no pack to copy from."""
    (view,) = views_of(job_of("first-lateral"))
    same = view.words("cards.owner_same")
    alone = replace(view, combination=replace(view.combination, request=replace(view.request, job=None)))
    for each, said in ((view, True), (alone, False)):
        sheet = next(sheet for sheet in card_sheets(each, CARD, square) if sheet.id == "owner")
        assert (same in {text for block in sheet.blocks for text in block.strings()}) == said


def test_the_first_face_says_which_steps_stand_on_no_card(
    job_of: JobOf, views_of: ViewsOf, square: Code
) -> None:
    """A set that begins at a later number would look as if cards were lost."""
    (view,) = views_of(job_of("first-lateral"))
    cards = card_sheets(view, CARD, square)
    first = min(block.number for sheet in cards for block in sheet.blocks if isinstance(block, Step))
    titles = "Hazards and toolbox talk; Kit and pre-use checks"
    said = {text for block in cards[0].blocks for text in block.strings()}
    assert f"Steps 1 to {first - 1} ({titles}) stand in the pack." in said
