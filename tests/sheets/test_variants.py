"""The starter's procedures job by job: only the sections a job calls for stand, and steps count up.

In: the demo jobs and the starter's procedures. Out: nothing; a test names what a crew would miss.
Vocabulary: a *fact* is what a job is, by the keys that sections ask.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.model.prose import Facts
from packgen.sheets.blocks import Section, Sheet, Step, words_of
from packgen.sheets.media import pack_medium
from packgen.sheets.procedure import procedure_sheets
from packgen.sheets.standing import left_out, numbered
from packgen.sheets.view import View

PACK = pack_medium("letter")
JOBS = ("first-lateral", "repair-tie-in", "metric-lateral", "live-tap", "service-tap", "valve-isolation")
ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
# A branch on a dry water main; each case below changes what it is about.
PLAIN: Facts = {
    "state": "dry", "isolation": None, "method": "open drill", "contents": "water",
    "fitting": "branch saddle", "clamping": "screws",
    "outlet": None, "times": "one", "laid": None, "work": "new", "torque": "none", "saw": "worked",
}  # fmt: skip
COUPLING: Facts = {**PLAIN, "fitting": "coupling", "method": None, "clamping": None}
# Steps that stand together, and the fact that calls for them.
CASES: tuple[tuple[Facts, set[str]], ...] = (
    ({"clamping": "screws"}, {"screws-started", "screws-counted", "screws-crosswise"}),
    ({"clamping": "bolts"}, {"washers-on", "bolts-crosswise", "bolts-second-round", "bolts-settled"}),
    ({"clamping": "strap"}, {"strap-laid", "strap-drawn", "strap-mark-met"}),
    ({"times": "by temperature"}, {"sensor-shaded", "pipe-temperature", "row-taken", "row-agreed"}),
    ({"state": "live", "method": "through a valve"}, {"pressure-kept", "fusing-pressure"}),
    ({"laid": "drilled in"}, {"mud-washed", "mud-washed-again", "mud-gone"}),
    ({"work": "repair"}, {"girth-read", "old-material-asked", "old-marks-found", "contents-proved"}),
    ({"outlet": "vertical"}, {"outlet-plumb"}),
    ({"outlet": "level"}, {"outlet-level"}),
    ({"outlet": "between"}, {"outlet-turned"}),
    ({"state": "isolated", "isolation": "squeeze-off"}, {"stops-set", "first-squeeze", "first-release"}),
    ({"state": "isolated", "isolation": "valves"}, {"valve-tags-agree", "valves-closed", "valves-as-before"}),
    ({"laid": "unknown"}, {"mud-film-off"}),
    ({"torque": "stated"}, {"screws-second-round", "screws-settled"}),
    ({"fitting": "tapping saddle", "method": "built-in cutter"}, {"side-outlet-marked", "side-outlet-seen"}),
    ({"contents": "gas"}, {"ground-gas-read", "wrap-earthed", "trench-gas-read", "air-end-gas-free"}),
    (
        {"contents": "gas", "state": "isolated", "isolation": "squeeze-off"},
        {"squeeze-earthed", "purge-meter-ready", "vent-gas-free", "tools-still-earthed", "gas-at-vent"},
    ),
)


def steps_for(catalog: Catalog, facts: Facts) -> set[str]:
    """The ids of all steps that a job of these facts holds."""
    return {
        step.id
        for procedure in catalog.procedures
        for when, step in procedure.conditioned_steps()
        if when.met(facts)
    }


def sheets_of(view: View) -> list[Sheet]:
    """The procedures of one joint as its pack prints them."""
    return list(procedure_sheets(view, PACK, "pack"))


def lines_of(view: View) -> dict[str, str]:
    """The words of each step of one joint."""
    blocks = (block for sheet in sheets_of(view) for block in sheet.blocks)
    return {block.id: words_of(block.line) for block in blocks if isinstance(block, Step)}


@pytest.mark.parametrize(("facts", "expected"), CASES)
def test_a_fact_calls_for_its_own_steps_and_no_other_job_holds_them(
    catalog: Catalog, facts: Facts, expected: set[str]
) -> None:
    assert expected <= steps_for(catalog, {**PLAIN, **facts})
    others = [other for other, _ in CASES if not other.items() >= facts.items()]
    for other in others:
        base = {**PLAIN, "clamping": None} if "clamping" in facts else PLAIN
        assert not expected & steps_for(catalog, {**base, **other}), other


@pytest.mark.parametrize("name", JOBS)
def test_steps_count_up_on_every_sheet(name: str, job_of: JobOf, views_of: ViewsOf) -> None:
    """A joint that shares steps with another kind of joint never sends its crew back to a smaller number."""
    for view in numbered(views_of(job_of(name))):
        numbers = [b.number for sheet in sheets_of(view) for b in sheet.blocks if isinstance(b, Step)]
        assert numbers == sorted(set(numbers)) and len(numbers) > 50


@pytest.mark.parametrize("name", JOBS)
def test_no_section_stands_without_a_step_or_words(name: str, job_of: JobOf, views_of: ViewsOf) -> None:
    """A title with nothing under it is a step that somebody lost."""
    for view in views_of(job_of(name)):
        for sheet in sheets_of(view):
            pairs = zip(sheet.blocks, [*sheet.blocks[1:], Section("end")], strict=True)
            bare = [this for this, after in pairs if isinstance(this, Section) and isinstance(after, Section)]
            assert bare == [], sheet.id


def test_a_table_of_times_is_compared_by_its_row_and_names_no_single_time(
    job_of: JobOf, views_of: ViewsOf
) -> None:
    """The label's one reference time would be the wrong time on most days."""
    bolts, strap = views_of(job_of("valve-isolation"))
    one, row = lines_of(bolts), lines_of(strap)
    assert (
        "88 s" in one["display-equals-label"]
        and one["full-time-run"] == "Let the full 88 s run without a break."
    )
    assert "the row taken" in row["display-equals-label"] and "24 V" in row["display-equals-label"]
    single = strap.text("fuse.time")
    assert single == "72 s" and not [step for step, words in row.items() if single in words]


def test_a_strap_is_drawn_to_its_own_stop_mark(job_of: JobOf, views_of: ViewsOf) -> None:
    _, strap = views_of(job_of("valve-isolation"))
    assert lines_of(strap)["strap-drawn"].endswith(
        "until the arrow on the strap meets the arrow on the saddle."
    )


def test_valves_are_shut_in_the_job_s_order_and_the_stated_outage_is_told(
    job_of: JobOf, views_of: ViewsOf
) -> None:
    view, _ = views_of(job_of("valve-isolation"))
    texts = {
        sheet.id: [text for block in sheet.blocks for text in block.strings()] for sheet in sheets_of(view)
    }
    valves, cut_off = texts["isolate-valves"], texts["cut-off"]
    first = valves.index("First to shut: valve V-17 at the pump side")
    assert valves[first + 1] == "Second to shut: valve V-18 at Harrow Cross"
    assert "Supply may stop for: 6 h" in cut_off


def test_a_coupling_names_no_value_of_main_saddle_or_cut(job_of: JobOf, views_of: ViewsOf) -> None:
    """Its steps know the lateral's ends alone; the waits have no tap wait."""
    _, view = views_of(job_of("live-tap"))
    lines = lines_of(view)
    assert "50 mm" in lines["depth-marked"] and "62 mm" in lines["ends-peeled"]
    assert lines["timers-started"] == "Start timers by the marked row: at least 12 min and 20 min."
    assert list(left_out(view, "pack")) == []
    saddle = {"saddle-seated", "gap-checked", "tap-wait-waited", "main-cut", "peel-once", "zone-wiped"}
    assert not saddle & lines.keys()


def test_every_blank_of_a_coupling_prints_as_a_box(catalog: Catalog) -> None:
    """No gate of a coupling asks for what a label may leave out."""
    optional = ("socket.out_of_round_max", "socket.misalignment_max")
    for procedure in catalog.procedures:
        for when, step in procedure.conditioned_steps():
            if step.gate and when.met(COUPLING):
                names = {name for run in step.runs if run.slot for name in run.slot.names}
                assert not names & set(optional), step.id


def test_a_torque_is_set_where_the_label_states_one_or_asks_for_one(catalog: Catalog) -> None:
    """Where there is none, a step that names one would send the crew looking for it."""
    asked = {
        (clamping, torque)
        for clamping in ("screws", "bolts", "strap")
        for torque in ("stated", "blank", "none")
        if "torque-set" in steps_for(catalog, {**PLAIN, "clamping": clamping, "torque": torque})
    }
    assert asked == {(clamping, torque) for clamping in ("screws", "bolts") for torque in ("stated", "blank")}


@pytest.mark.parametrize(("state", "isolation"), [("live", None), ("isolated", "valves"), ("dry", None)])
def test_a_coupling_on_gas_is_not_made_beside_an_open_way_to_the_main(
    catalog: Catalog, state: str, isolation: str | None
) -> None:
    """Before the peel and before power; a dry main holds no gas back, yet its ends are read."""
    facts = {**COUPLING, "contents": "gas", "state": state, "isolation": isolation}
    holds = [
        step.id
        for procedure in catalog.procedures
        for when, step in procedure.conditioned_steps()
        if when.met(facts) and step.gate == "hold"
    ]
    held = [] if state == "dry" else ["gas-held-peel", "gas-held-power"]
    gates = [*held, "wrap-earthed", "mouths-read-peel", "mouths-read-power"]
    assert {gate: holds.count(gate) for gate in gates} == dict.fromkeys(gates, 1)
    peel, power = holds.index("ends-peel-depth"), holds.index("self-test-passed")
    before = [holds.index(gate) for gate in gates if gate.endswith(("-peel", "earthed"))]
    assert max(before) < peel < min(holds.index(gate) for gate in gates if gate.endswith("-power"))
    assert max(holds.index(gate) for gate in gates) < power


@pytest.mark.parametrize(
    ("isolation", "first", "second"),
    [
        ("squeeze-off", "first-release", "second-release"),
        ("valves", "first-valve-opened", "other-valves-opened"),
    ],
)
def test_a_gas_main_is_purged_both_ways(catalog: Catalog, isolation: str, first: str, second: str) -> None:
    """Of gas before it is cut, of air before anyone is served, each proved by a meter for gas by volume."""
    facts = {**PLAIN, "contents": "gas", "state": "isolated", "isolation": isolation}
    steps = [
        step
        for procedure in catalog.procedures
        for when, step in procedure.conditioned_steps()
        if when.met(facts)
    ]
    order = (
        "ground-gas-read", "dig-by-hand", "main-exposed", "wrap-earthed", "no-pressure-proved",
        "purge-vent-earthed", "length-purged", "vent-gas-free", "peel-once", "main-no-pressure", "main-cut",
        "vent-earthed-again", "leave-to-open", first, "gas-at-vent", "vent-closed", "no-leak-at-pressure",
        "fit-to-serve", second,
    )  # fmt: skip
    assert [step.id for step in steps if step.id in order] == list(order)
    gates = {step.id: step.gate for step in steps}
    assert {gates[each] for each in ("vent-gas-free", "gas-at-vent", "fit-to-serve")} == {"hold"}
    wet = {"drain-dry", "air-let-out", "drain-led", "fire-service-told"}
    assert not wet & gates.keys()
