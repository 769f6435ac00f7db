"""The starter's three ways of cutting in: each in the order of the trade, with its waits worded alike.

The orders are written down here by hand from the trade's order of work (common practice, no source).
"""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.model.prose import Procedure, Runs, SlotBlock, StepText

ROOT = Path(__file__).parents[2]
WAITS = (
    "clamp-time-waited", "clamp-off", "clamp-off-still", "re-rounding-off", "pressure-wait-waited",
    "waits-over",
)  # fmt: skip
ORDERS = {
    ("open drill", "dry", "water"): (
        "waits-over", "test-pressure-allowed", "test-medium", "test-air-out", "test-bleed-shut",
        "test-pressure-raised", "edge-tight", "test-uncut", "test-bled", "test-plug-out", "saw-agreed",
        "main-no-pressure", "main-cut", "coupon-seen", "swarf-out", "lateral-capped", "lateral-filled",
        "lateral-sound", "lateral-bled", "lateral-joined", "lateral-joint-ready", "line-pressure-listed",
    ),
    ("open drill", "isolated", "gas"): (
        "waits-over", "test-pipe-cool", "test-pressure-raised", "test-uncut", "test-bled", "saw-agreed",
        "outlet-air", "vent-gas-again", "main-no-pressure", "main-cut", "coupon-seen", "lateral-sound",
        "lateral-joined", "line-pressure-listed",
    ),
    ("through a valve", "live", "gas"): (
        "waits-over", "valve-joined", "valve-joint-ready", "machine-mounted", "vent-pipe-earthed",
        "saw-lowered", "saw-eased", "way-free", "way-agreed", "test-pipe-cool", "test-pressure-allowed",
        "clear-of-stack", "test-pressure-raised", "stack-tight", "seat-shut", "seat-bled", "seat-tight",
        "seat-opened", "saddle-side-kept", "test-bled", "stack-purge-proved", "leave-to-cut", "feed-engaged",
        "clear-of-shaft", "shaft-unlocked", "saw-agreed", "valve-fully-open", "outlet-air", "main-cut",
        "cut-stopped", "clear-of-shaft-back", "saw-back", "saw-clear", "valve-closed", "stack-bled",
        "valve-shut", "machine-off", "coupon-seen", "lateral-joined", "lateral-joint-ready", "lateral-cool",
        "lateral-tested", "lateral-bled", "leave-to-fill", "far-vent-led", "far-vent-person",
        "lateral-inert", "far-end-opened", "valve-opened", "lateral-purged", "far-end-closed",
        "live-joint-tight",
    ),
    ("through a valve", "live", "water"): (
        "waits-over", "valve-joined", "stack-disinfected", "machine-mounted", "stack-filled",
        "stack-air-out", "stack-bleed-shut", "stack-tight", "seat-tight", "main-cut", "valve-shut",
        "machine-off", "coupon-seen", "lateral-filled", "lateral-tested", "far-end-opened", "valve-opened",
        "lateral-air-out", "far-end-closed", "live-joint-tight",
    ),
    ("built-in cutter", "live", "gas"): (
        "waits-over", "lateral-joined", "lateral-joint-ready", "test-pressure-allowed", "test-pipe-cool",
        "test-uncut", "test-bled", "far-vent-led", "lateral-inert", "lateral-purge-proved", "bleed-shut",
        "leave-to-cut", "cap-off", "cutter-stop-known", "cutter-starts-at-stop", "turns-agreed", "outlet-air",
        "main-cut", "cutter-back", "cutter-stop-seen", "cutter-at-stop", "cap-fitted", "cap-tight",
        "far-end-opened", "lateral-purged", "far-end-closed", "lateral-tested",
    ),
    ("built-in cutter", "isolated", "water"): (
        "waits-over", "lateral-joined", "lateral-filled", "lateral-test-air-out", "lateral-bleed-shut",
        "test-uncut", "main-cut", "cutter-at-stop", "cap-fitted", "cap-tight", "line-pressure-listed",
    ),
}  # fmt: skip
# Steps of one way that would be wrong in another.
NEVER = {
    "open drill": ("leave-to-cut", "valve-shut", "cutter-back"),
    "through a valve": ("main-no-pressure", "test-waived", "cutter-back", "lateral-sound"),
    "built-in cutter": ("main-no-pressure", "test-waived", "coupon-seen", "saw-fitted", "machine-off"),
}
KINDS = [
    (method, state, contents)
    for method in NEVER
    for state in ("dry", "isolated", "live")
    for contents in ("water", "gas")
    if (method, state) != ("open drill", "live")
]
# Words of one contents that would mislead, or kill, on the other.
FOREIGN_WORDS = {
    "water": ("gas", "LEL", "Oxygen", "inert", "Leak fluid", "leak fluid", "no bubble"),
    "gas": ("hose", "wiped dry", "dry for", "drain", "flush", "only water", "never with air", "little at a"),
}


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load(ROOT / "content")


def said(runs: Runs) -> str:
    """The words of a step, each slot by its name."""
    return "".join(run.slot.names[0] if run.slot else run.text for run in runs)


def ways(catalog: Catalog, method: str) -> list[Procedure]:
    """The procedures written for one method alone."""
    return [each for each in catalog.procedures if each.head.when.method == (method,)]


def kept(catalog: Catalog, method: str, state: str, contents: str) -> Procedure:
    """The one procedure of a way, with the sections that such a job calls for."""
    fitting = "tapping saddle" if method == "built-in cutter" else "branch saddle"
    saw = None if method == "built-in cutter" else "worked"
    facts = {"method": method, "fitting": fitting, "state": state, "contents": contents, "saw": saw}
    (procedure,) = ways(catalog, method)
    narrowed = procedure.narrowed(facts)
    assert narrowed is not None
    return narrowed


@pytest.mark.parametrize(("method", "state", "contents"), ORDERS)
def test_a_way_goes_in_the_order_of_the_trade(
    catalog: Catalog, method: str, state: str, contents: str
) -> None:
    narrowed = kept(catalog, method, state, contents)
    ids = [step.id for step in narrowed.steps]
    wanted = ORDERS[method, state, contents]
    assert [step_id for step_id in ids if step_id in wanted] == list(wanted)
    assert not set(NEVER[method]) & set(ids)


def test_the_waits_are_worded_alike_in_every_way(catalog: Catalog) -> None:
    """A wait is the same whatever follows it; one wording in three files stays one wording."""
    found: dict[str, list[tuple[str, str, str]]] = defaultdict(list)
    for method in NEVER:
        for each in ways(catalog, method):
            for step in each.steps:
                if step.id in WAITS:
                    found[step.id].append((said(step.runs), step.gate, step.write))
    assert set(found) == set(WAITS)
    assert all(len(wordings) == 3 and len(set(wordings)) == 1 for wordings in found.values())


@pytest.mark.parametrize("method", ["through a valve", "built-in cutter"])
def test_a_live_main_is_tested_uncut_with_no_way_round_the_test(catalog: Catalog, method: str) -> None:
    """Where the main may be live, the test before the cut speaks of no waiver."""
    (procedure,) = ways(catalog, method)
    gate = next(step for step in procedure.steps if step.id in {"stack-tight", "test-uncut"})
    assert gate.gate == "hold"
    assert "main uncut" in said(gate.runs)
    assert not [step.id for step in procedure.steps if "waive" in said(step.runs)]


@pytest.mark.parametrize(
    ("method", "message", "step_id"),
    [
        ("through a valve", "trapped-pressure", "machine-off"),
        ("through a valve", "live-jet", "main-cut"),
        ("through a valve", "stack-air", "main-cut"),
        ("through a valve", "shaft-out", "shaft-unlocked"),
        ("through a valve", "shaft-back", "saw-back"),
        ("through a valve", "capped-pressure", "lateral-pressure-raised"),
        ("through a valve", "purge-mix", "valve-opened"),
        ("built-in cutter", "lateral-air", "main-cut"),
        ("built-in cutter", "cutter-out", "cutter-back"),
        ("built-in cutter", "capped-pressure", "lateral-pressure-raised"),
        ("built-in cutter", "purge-mix", "far-end-opened"),
    ],
)
def test_the_danger_is_named_before_the_step_it_guards(
    catalog: Catalog, method: str, message: str, step_id: str
) -> None:
    """On a live gas main, where every one of these dangers is met."""
    blocks = kept(catalog, method, "live", "gas").blocks
    messages = [
        at for at, block in enumerate(blocks)
        if isinstance(block, SlotBlock) and block.slot.names == (message,)
    ]  # fmt: skip
    steps = [at for at, block in enumerate(blocks) if isinstance(block, StepText) and block.id == step_id]
    assert len(messages) == len(steps) == 1
    assert messages[0] < steps[0]


@pytest.mark.parametrize(("method", "state", "contents"), KINDS)
def test_each_contents_has_its_own_words(catalog: Catalog, method: str, state: str, contents: str) -> None:
    """No step says what to do with gas on a water main, nor with water on a gas main."""
    steps = kept(catalog, method, state, contents).steps
    other = "gas" if contents == "water" else "water"
    texts = [said(step.runs) for step in steps]
    assert not [text for text in texts for word in FOREIGN_WORDS[contents] if word in text]
    assert [word for word in FOREIGN_WORDS[other] for text in texts if word in text]


@pytest.mark.parametrize(("method", "state", "contents"), KINDS)
def test_the_line_pressure_check_waits_only_where_no_pressure_is_on(
    catalog: Catalog, method: str, state: str, contents: str
) -> None:
    """A joint under pressure is looked at now; one without is listed, for a hold point later."""
    steps = {step.id: step for step in kept(catalog, method, state, contents).steps}
    looked = {"live-joint-tight", "lateral-tested"} if state == "live" else set()
    if state == "live":
        assert "line-pressure-listed" not in steps
        assert {steps[each].gate for each in looked & set(steps)} == {"hold"}
    else:
        assert steps["line-pressure-listed"].gate == "witness"
    ends = {"dry": "line-pressure-seen", "isolated": "no-leak-at-pressure"}
    later = [step for each in catalog.procedures for when, step in each.conditioned_steps()
             if state in ends and step.id == ends[state] and state in (when.state or ())]  # fmt: skip
    assert bool(later) == (state in ends) and {step.gate for step in later} <= {"hold"}


@pytest.mark.parametrize("method", ["open drill", "through a valve"])
def test_a_saw_that_nobody_worked_out_is_measured(catalog: Catalog, method: str) -> None:
    """Bore, clearance, cup and depth are proved by hand where the label states no bore, and only there."""
    (procedure,) = ways(catalog, method)
    facts = {"method": method, "fitting": "branch saddle", "state": "dry", "contents": "water"}
    worked, entered = (procedure.narrowed({**facts, "saw": saw}) for saw in ("worked", "entered"))
    assert worked is not None and entered is not None
    measured = ["outlet-bore-measured", "saw-clear-of-bore", "outlet-height-measured"]
    ids = [step.id for step in entered.steps]
    assert [each for each in ids if each in measured] == measured
    assert ids.index("saw-clear-of-bore") < ids.index("saw-fitted") < ids.index("saw-cup-deep")
    assert not set(measured) & {step.id for step in worked.steps}
    values = {run.slot.names[0] for step in entered.steps for run in step.runs if run.slot}
    assert not values & {"tap.saw_depth_min", "tap.depth_mark", "tap.stroke_min"}
