"""The order of the work and its hold points, way by way: common practice, no source unless one is named.

In: the demo jobs as their packs and cards print them, laid out without paper. Out: a failure that names the
two steps. Vocabulary: a *way* is how the main is cut (open drill, through a valve, built-in cutter) or a
coupling. Steps are found by their words and never by their ids, so that content which says something else
under an old id is found out.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

import pytest

from packgen.calc.request import request_of
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.job_load import load_job
from packgen.model.load import load
from packgen.publish.job import combinations
from packgen.sheets.blocks import Code, Step, words_of
from packgen.sheets.deck import job_card_sheets, pack_sheets
from packgen.sheets.media import card_medium, pack_medium
from packgen.sheets.standing import applicable, numbered
from packgen.sheets.view import View
from packgen.sheets.words import load_words

CONTENT = Path(__file__).parents[2] / "content"
MEDIA = {"pack": pack_medium("letter"), "cards": card_medium("quarter-letter")}
NO_CODE = Code("", "2345-6789-ABCD", 1.0, "")
On = Literal["pack", "cards"]
Joint = tuple[str, str]  # a job's file and its joint
both = pytest.mark.parametrize("on", ["pack", "cards"])


@cache
def catalog() -> Catalog:
    """The starter's catalogue."""
    return load(CONTENT)


@cache
def steps_of(name: str, joint_id: str, on: On) -> tuple[Step, ...]:
    """The steps of one joint in the order of the job's sheets, what the whole job shares among them.

    A job's sheets stand joint by joint, so those of the other joint are left out by their title.
    """
    job, _ = load_job(CONTENT / "jobs" / f"{name}.yaml", catalog())
    words = load_words()
    views = numbered([View(catalog(), words, each) for each in combinations(job, catalog())])
    sheets = (
        pack_sheets(views, job, MEDIA[on], NO_CODE, ()) if on == "pack"
        else job_card_sheets(views, job, MEDIA[on], NO_CODE)
    )  # fmt: skip
    others = tuple(f"{joint.id}: " for joint in job.joints if joint.id != joint_id)
    kept = [sheet for sheet in sheets if not sheet.title.startswith(others)]
    return tuple(block for sheet in kept for block in sheet.blocks if isinstance(block, Step))


def the_step(steps: tuple[Step, ...], words: str) -> tuple[int, Step]:
    """The one step that begins with some words, and its place among the others."""
    found = [(at, step) for at, step in enumerate(steps) if words_of(step.line).startswith(words)]
    assert len(found) == 1, (words, [step.id for _, step in found])
    return found[0]


SADDLE = (
    "Peel one even pass", "Depth gauge at the zone's edge reads", "Wipe the zone in one direction",
    "Peeled pipe and fitting are fully dry", "Seat the saddle", "Saddle neither rocks nor turns",
    "Feeler 0.33 mm [0.0129 in] does not enter",
)  # fmt: skip
FUSE = (
    "Control unit's self-test has passed", "Scan the code", "Display, label and this sheet agree",
    "Press start", "Every melt indicator has risen", "Leave the clamp on, untouched",
    "Put no pressure on the joint", "Every wait is over",
)  # fmt: skip
BY_ROW = (FUSE[0], "Take the label's first row", *(
    "Display shows the time in the row taken" if words.startswith("Display, label") else words
    for words in FUSE[1:]
))  # fmt: skip
END = ("A second person has looked at joint", "Backfill round the joint")
DIG = (
    "Permit is signed", "Dig by hand", "Detector reads below 20 % LEL and oxygen",
    "Expose the main all round", "Pipe is what the job names", "Station, distances and angle are the job's",
)  # fmt: skip
OPEN_CUT = (
    "Every wait is over", "Test pressure is within saddle and plug", "Let all air out at the bleed valve",
    "Shut the bleed valve", "Raise slowly to the test pressure", "Saddle's edge, wiped dry",
    "Gauge holds for the hold time", "Bleed until the gauge", "Take the plug out",
    "Fit hole saw", "A second person has read saw, travel", "Main is at no pressure",
    "Cut slowly and straight", "Coupon is in hand", "Lift every piece of swarf",
    "Let all air out at the lateral's bleed", "Raise slowly to the lateral's test pressure",
    "Lateral alone has held its test", "Join the lateral by", "Every wait of the lateral's own joint",
    "Saddle and lateral's joint are listed",
)  # fmt: skip
SHUT = (
    "Everyone whose supply stops has been told", "Fire service and places of care on this main know",
    "Tag of each valve agrees with drawing and permit", "Control room has given leave to close this main",
    "Shut the first valve slowly", "Shut the second valve", "Lock and tag each of them, shut",
    "Every feed is shut, locked and tagged", "Open the vent in the closed length slowly",
    "Gauge reads no pressure and the vent gives no flow", "Drain runs dry", "Peel one even pass",
)  # fmt: skip
OPEN = (
    "Saddle and lateral's joint are listed", "Every lateral's far end is closed",
    "Control room has given leave to open this main", "Open it slowly, a little at a time",
    "Every joint of this job stays dry at line pressure", "Flush and disinfect main and laterals",
    "Owner's rule for flushing and disinfecting is met", "Open each slowly, a little at a time",
    "Each valve stands as it stood before", "A second person has looked at joint", "Backfill round the joint",
)  # fmt: skip
# What comes after what, joint by joint: each line of steps in its order.
LINES: dict[Joint, tuple[tuple[str, ...], ...]] = {
    ("live-tap", "J1"): (
        (*DIG, *SADDLE, *FUSE),
        # The pipe is earthed before anybody handles it.
        (
            "Before the dig, detector along the ground", "Dig by hand", "Expose the main all round",
            "Keep hands and tools off the bare main", "Wet wrap reaches the earth pin",
            "Detector in the trench reads below 20 %", "Pipe is what the job names",
            "Before the peel, detector reads below 20 %", "Peel one even pass",
        ),
        ("Before power, detector reads below 20 %", "Control unit's self-test has passed"),
        ("While fusing, pressure in the main is no more than 60 psi", "Press start"),
        # An uncut saddle that leaks is capped and left: saddle, valve and machine are tested before the cut.
        (
            "Every wait is over", "Join the valve to the outlet",
            "Every wait of the valve's own joint is over", "Mount the machine square on the valve",
            "Saw passed the open valve and the outlet",
            "Pipe is no warmer than 100 °F", "Test pressure is within saddle, valve and machine",
            "Valve stands fully open, so that the test", "Leak fluid on saddle's edge, valve, its joint",
            "Gauge holds for 30 min, the main uncut",
            # A valve that passes is found before the cut, not after it.
            "Shut the valve with the saw fully back", "Machine side stays at no pressure",
            "Gauge rose as the valve opened", "Bleed until the gauge reads",
            "Drive the air out of valve and machine", "Oxygen at the bleed valve is below",
            "Control room has given leave to cut this live main", "Stand out of the shaft's line",
            "Unlock the shaft", "A second person has read saw, stroke",
            "Valve is fully open", "Detector at the machine reads below 20 %",
            "Cut slowly: pilot through the wall first", "Stop at the mark",
            "Everyone stands out of the shaft's line",
            "Draw the saw back slowly", "Scale reads as it was written", "Shut the valve slowly",
            "Open the bleed valve slowly", "Valve is shut and tight", "Take the machine off",
            "Coupon is in hand", "Join the lateral to the valve", "Every wait of the lateral's own joint",
            "Lateral is no warmer than 100 °F", "Lateral and its joints hold",
            "Control room has given leave to fill this lateral",
            # Gas drives the air out in one unbroken flow, the far end open from the start.
            "Lead the far end's vent through an earthed metal pipe", "Keep a person there",
            "Take lock and tag off the valve", "Open the far end's vent fully",
            "Open the valve steadily, without stopping", "Gas by volume at the vent has reached",
            "Close the far end's vent", "Saddle, valve and lateral at line pressure", *END,
        ),
    ),
    ("service-tap", "J1"): (
        (*DIG, *SADDLE, *FUSE),
        # A drilled-in main carries a film of mud that the eye misses.
        (
            "Wash the main all round with clean water", "White cloth comes off clean",
            "Measure the outside diameter at the place", "Peel one even pass",
        ),
        ("While fusing, pressure in the main is no more than 90 psi", "Press start"),
        (
            "Every wait is over", "Join the lateral to the side outlet",
            "Every wait of the lateral's own joint", "Fit a restrained cap",
            "Test pressure is within saddle, lateral and caps", "Let all air out at the lateral's bleed",
            "Shut the lateral's bleed", "Raise slowly to the test pressure",
            "Gauge holds for the hold time on the cover, the main uncut", "Bleed until the gauge reads",
            "Control room has given leave to cut this live main", "Take the saddle's cap off",
            "This cutter's stop is seen so", "Cutter stands at its stop; all turns",
            "A second person has read the turns, 13", "Turn the key by hand",
            "Stop at 13 full turns", "Turn the key back", "Stop at 13 turns back, or at its stop",
            "Cutter's stop is seen again", "Cutter is back at its stop", "Fit the cap",
            "Cap, saddle's edge and lateral's joint are tight", "Let the air out at the lateral's far end",
            "Lateral is tight at line pressure", *END,
        ),
        ("Disinfect the lateral's end", "Peel one even pass"),
    ),
    ("valve-isolation", "J1"): (
        (*SADDLE, *FUSE, *OPEN_CUT[1:], *END), SHUT, OPEN,
        ("Tighten to", "Go round every bolt once more at", "Second round at", SADDLE[-1]),
        ("Owner has proved on this main that it carries water", "Peel one even pass"),
    ),
    ("valve-isolation", "J2"): (
        (*SADDLE, *BY_ROW, *OPEN_CUT[1:], *END), SHUT, OPEN,
        ("Draw the strap evenly", "Strap has reached its stop mark", SADDLE[-1]),
        ("Read the pipe's temperature", "A second person has read thermometer and row", "Scan the code"),
    ),
    **{
        (job, "J2"): (
            (
                "Both ends are what the job names", "A square laid along each pipe",
                "Highest and lowest differ by no more than", "Peel each end once round",
                "Depth gauge at the peel's edge", "Wipe each peeled end in one direction",
                "Peeled pipe and fitting are fully dry",
                f"Mark {depth}", f"A second person has measured {depth}", "Push the first end straight",
                "Push the second end straight", "Both marks stand at the coupling's mouths",
                "Control unit's self-test has passed", "Scan the code", "Display, label and this sheet agree",
                "Press start", "Every melt indicator has risen", "Both marks still stand",
                "Leave the alignment clamp on, untouched", "Put no pressure on the joint",
                "Every wait is over", "Coupling is tight", *END,
            ),
        )
        for job, depth in (("live-tap", "50 mm"), ("service-tap", "38 mm"))
    },
}  # fmt: skip


@both
@pytest.mark.parametrize(("job", "joint"), LINES)
def test_the_order_of_the_work(job: str, joint: str, on: On) -> None:
    """By place on the sheets and by number: nothing moves ahead of what must come first."""
    steps = steps_of(job, joint, on)
    for line in LINES[job, joint]:
        found = [the_step(steps, words) for words in line]
        places = [at for at, _ in found]
        numbers = [step.number for _, step in found]
        assert places == sorted(set(places)), [words_of(step.line) for _, step in found]
        assert numbers == sorted(set(numbers))


COMMON_HOLDS = ("Peeled pipe and fitting are fully dry", "Control unit's self-test has passed",
                "Every melt indicator has risen", "Every wait is over")  # fmt: skip
SADDLE_HOLDS = (
    "Permit is signed", "Detector reads below 20 % LEL and oxygen", "Pipe is what the job names",
    "Highest and lowest differ", "Depth gauge at the zone's edge reads",
    "Feeler 0.33 mm [0.0129 in] does not enter",
)  # fmt: skip
DISPLAY, ROW = "Display, label and this sheet agree", "Display shows the time in the row taken"
LIVE = ("Control room has given leave to cut this live main",)
CLOSED = (
    "Control room has given leave to close this main", "Gauge reads no pressure and the vent gives no flow",
    "Drain runs dry", "Control room has given leave to open this main", "Main is at no pressure",
    "Gauge holds for the hold time", "Coupon is in hand", "Lateral alone has held its test",
    "Every wait of the lateral's own joint",
    "Every joint of this job stays dry", "Owner's rule for flushing",
    "Owner has proved on this main that it carries water",
)  # fmt: skip
COUPLING_HOLDS = (
    *COMMON_HOLDS, DISPLAY, "Both ends are what the job names", "Highest and lowest differ by no more than",
    "Depth gauge at the peel's edge", "Both marks stand at the coupling's mouths", "Coupling is tight",
)  # fmt: skip
HOLDS: dict[Joint, tuple[str, ...]] = {
    ("live-tap", "J1"): (
        *COMMON_HOLDS, *SADDLE_HOLDS, DISPLAY, *LIVE, "Wet wrap reaches the earth pin",
        "Detector in the trench reads below 20 %", "Before the peel, detector reads below 20 %",
        "Before power, detector reads below 20 %", "Before the dig, detector along the ground",
        "While fusing, pressure in the main is no more than 60 psi",
        "Every wait of the valve's own joint is over",
        "Gauge holds for 30 min, the main uncut", "Oxygen at the bleed valve is below",
        "Machine side stays at no pressure", "Detector at the machine reads below 20 %",
        "Valve is shut and tight", "Coupon is in hand", "Every wait of the lateral's own joint",
        "Lateral and its joints hold", "Control room has given leave to fill this lateral",
        "Gas by volume at the vent has reached", "Saddle, valve and lateral at line pressure",
    ),
    ("live-tap", "J2"): (
        *COUPLING_HOLDS, "Wet wrap on both pipes reaches the earth pin",
        "Before the peel, main is still uncut, or its valve here is shut, locked and tagged",
        "Before the peel, each open end's mouth reads below 20 %",
        "Before power, main is still uncut, or its valve here is shut, locked and tagged",
        "Before power, mouths and open ends read below 20 %",
    ),
    ("service-tap", "J1"): (
        *COMMON_HOLDS, *SADDLE_HOLDS, DISPLAY, *LIVE, "White cloth comes off clean",
        "While fusing, pressure in the main is no more than 90 psi", "Every wait of the lateral's own joint",
        "Gauge holds for the hold time on the cover, the main uncut", "Cutter is back at its stop",
        "Cap, saddle's edge and lateral's joint are tight", "Lateral is tight at line pressure",
    ),
    ("service-tap", "J2"): COUPLING_HOLDS,
    ("valve-isolation", "J1"): (*COMMON_HOLDS, *SADDLE_HOLDS, DISPLAY, *CLOSED),
    ("valve-isolation", "J2"): (*COMMON_HOLDS, *SADDLE_HOLDS, ROW, *CLOSED),
}  # fmt: skip


@both
@pytest.mark.parametrize(("job", "joint"), HOLDS)
def test_work_holds_until_each_of_these_is_met(job: str, joint: str, on: On) -> None:
    """Depth, dry, gap or insertion, display, waits, test before the cut, what holds the pressure, coupon."""
    steps = steps_of(job, joint, on)
    assert {words: the_step(steps, words)[1].gate for words in HOLDS[job, joint]} == dict.fromkeys(
        HOLDS[job, joint], "hold"
    )


@pytest.mark.parametrize(("job", "joint"), HOLDS)
def test_no_work_begins_while_a_box_to_enter_is_empty(job: str, joint: str) -> None:
    """A value that nobody stated is found missing at the vehicle, not at the cut."""
    steps = steps_of(job, joint, "pack")
    at, step = the_step(steps, "No box marked ENTER on the cover is empty")
    assert step.gate == "hold"
    assert at < the_step(steps, "Peeled pipe and fitting are fully dry")[0]


WITNESSED = {
    ("live-tap", "J1"): (
        "A second person has read saw, stroke", "Valve is fully open", "Scale reads as it was written",
        "A second person has looked at joint", "Crew at this cut is", "Gauge rose as the valve opened",
        "Test pressure is within saddle, valve and machine",
    ),
    ("live-tap", "J2"): ("A second person has measured 50 mm", "Both marks still stand"),
    ("service-tap", "J1"): (
        "Cutter stands at its stop; all turns", "A second person has read the turns, 13",
        "Crew at this cut is",
    ),
    ("service-tap", "J2"): ("A second person has measured 38 mm", "Both marks still stand"),
    ("valve-isolation", "J1"): (
        "Tag of each valve agrees", "Every feed is shut, locked and tagged",
        "Each valve stands as it stood before", "A second person has read saw, travel",
        "Saddle and lateral's joint are listed",
    ),
    ("valve-isolation", "J2"): (
        "Strap has reached its stop mark", "A second person has read thermometer and row",
        "A second person has read every displayed value", "Saw is smaller than the bore",
    ),
}  # fmt: skip


@both
@pytest.mark.parametrize(("job", "joint"), WITNESSED)
def test_a_second_pair_of_eyes_sees_each_of_these(job: str, joint: str, on: On) -> None:
    """What a tired hand gets wrong alone."""
    steps = steps_of(job, joint, on)
    assert {the_step(steps, words)[1].gate for words in WITNESSED[job, joint]} == {"witness"}


# What belongs to another way of working, and would be wrong or deadly here.
FOREIGN: dict[Joint, tuple[str, ...]] = {
    ("live-tap", "J1"): ("Main is at no pressure", "Fit the test plug", "Drain runs dry"),
    ("live-tap", "J2"): ("Seat the saddle", "Feeler", "Fit hole saw", "While fusing, pressure in the main"),
    ("service-tap", "J1"): ("Coupon is in hand", "Fit hole saw", "Main is at no pressure", "Mount the"),
    ("service-tap", "J2"): ("Seat the saddle", "Feeler", "Turn the key", "While fusing, pressure"),
    ("valve-isolation", "J1"): (
        "Close the first tool", "Draw the strap", "While fusing, pressure in the main",
        "Let gas drive the air out", "Purge from the far end",
    ),
    ("valve-isolation", "J2"): ("Close the first tool", "Start every bolt", "Display, label", "Screws are"),
}  # fmt: skip


@both
@pytest.mark.parametrize(("job", "joint"), FOREIGN)
def test_no_step_of_another_way_stands_in_a_pack(job: str, joint: str, on: On) -> None:
    """Somewhere in the starter each of these steps stands, or this would prove nothing."""
    texts = [words_of(step.line) for step in steps_of(job, joint, on)]
    written = [
        "".join(run.text for run in step.runs)
        for procedure in catalog().procedures
        for step in procedure.steps
    ]
    for words in FOREIGN[job, joint]:
        assert any(text.startswith(words) for text in written), words
        assert not any(text.startswith(words) for text in texts), words


# The strap's plain label has no drawing data; nobody stated how long the laterals on the isolated main are.
LEFT_OUT: dict[Joint, tuple[str, ...]] = {
    ("live-tap", "J1"): (), ("live-tap", "J2"): (), ("service-tap", "J2"): (), ("service-tap", "J1"): (),
    ("valve-isolation", "J1"): ("Have  of clean water",),
    ("valve-isolation", "J2"): (
        "Trench gives", "Ground is free for", "Zone measures  along",
        "Zone measures  round", "Have  of clean water",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("job", "joint"), LEFT_OUT)
def test_only_these_steps_are_left_out_for_want_of_a_value(job: str, joint: str) -> None:
    """A step that its sheet lost without anybody noticing is a step that a crew does not do."""
    made, _ = load_job(CONTENT / "jobs" / f"{job}.yaml", catalog())
    (asked,) = [request_of(made, each, catalog()) for each in made.joints if each.id == joint]
    view = View(catalog(), load_words(), work_out(asked))
    held = [step for procedure in applicable(view) for step in procedure.steps]
    printed = {step.id for step in steps_of(job, joint, "pack")}
    texts = ["".join(run.text for run in step.runs) for step in held if step.id not in printed]
    assert len(texts) == len(LEFT_OUT[job, joint]), texts
    for text, words in zip(texts, LEFT_OUT[job, joint], strict=True):
        assert text.startswith(words)
    assert printed <= {step.id for step in held}
