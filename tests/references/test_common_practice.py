"""Facts of common practice, asserted as such on the printed pack and cards.

None of these has a published source: each line says "common practice, no source", or names the one it has.
They are kept apart from the checks against published values, so that nobody takes them for such.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest

every_job = pytest.mark.parametrize("job", ["first-lateral", "repair-tie-in"])
every_print = pytest.mark.parametrize(
    "file", ["crew-pack.pdf", "pocket-cards-screen.pdf", "pocket-cards.pdf"]
)


def mm(text: str) -> Fraction:
    """A length such as `1-3/4 in` or `0.33 mm` in millimetres, by this file's own reading."""
    number, unit = text.split(" [")[0].rsplit(" ", 1)
    whole, _, part = number.rpartition("-")
    return (Fraction(whole or 0) + Fraction(part)) * {"in": Fraction("25.4"), "mm": Fraction(1)}[unit]


@every_job
@every_print
def test_peel_is_nine_to_twelve_thousandths(job: str, file: str, issued: dict[str, Any]) -> None:
    """0.009–0.012 in, which is 0.2286–0.3048 mm, on the faces that prepare the main: common practice, no
    source.
    """
    assert (mm("0.009 in"), mm("0.012 in")) == (Fraction("0.2286"), Fraction("0.3048"))
    faces = [page for page in issued[job].pages(file) if "Prepare the main" in page]
    text = re.sub(r"\s+", " ", " ".join(faces))
    # In millimetres to two places, each rounded to the safe side: never thinner, never deeper.
    assert "Peel one even pass over the marked zone, 0.009 in [0.23 mm] to 0.012 in [0.30 mm] deep." in text
    values = issued[job].values
    assert (values["peel.depth_min"]["value"], values["peel.depth_max"]["value"]) == (0.2286, 0.3048)


@every_job
@every_print
def test_the_feeler_is_a_third_of_a_millimetre(job: str, file: str, issued: dict[str, Any]) -> None:
    """0.33 mm does not enter anywhere after clamping: common practice, no source."""
    assert issued[job].values["gap.feeler"]["value"] == 0.33
    assert "HOLD Feeler 0.33 mm [0.0129 in] does not enter anywhere" in issued[job].folded(file)


@every_job
def test_the_kit_holds_adapters_for_both_terminals(job: str, issued: dict[str, Any]) -> None:
    """4.0 and 4.7 mm: common practice; the pins themselves, 4.00 and 4.70 ± 0.03 mm, ISO 8085-3, annex."""
    assert "adapters for 4.0 mm and 4.7 mm" in issued[job].folded("crew-pack.pdf")
    assert issued[job].values["fuse.terminal"]["value"] in (4.0, 4.7)


@every_job
@every_print
def test_four_screws_are_tightened_by_hand(job: str, file: str, issued: dict[str, Any]) -> None:
    """Four screws, hand tight, crosswise; the saddle cannot be rocked or turned by hand: common practice, no
    source.
    """
    text = issued[job].folded(file)
    assert "four screws, hand tight" in text
    assert re.search(r"Screws are 4 × M(8|10)\.", text)
    assert "Turn the screws crosswise" in text
    assert "Saddle neither rocks nor turns under hand force." in text


def test_the_clamp_time_of_2_on_4_is_a_quarter_of_an_hour(packgen: Any) -> None:
    """900 s from fusion end: common practice, no source."""
    import json

    pair = ("4 in IPS DR 11 PE4710", "2 in IPS", "--family", "demo-saddle-screw")
    ran = packgen("values", *pair, "--format", "json")
    assert ran.code == 0
    wait = json.loads(ran.out)["values"]["cool.clamp_time"]
    assert (wait["value"], wait["unit"], wait["text"], wait["kind"]) == (900, "s", "15 min", "stated")


@every_job
def test_the_hole_saw_clears_the_outlet(job: str, issued: dict[str, Any]) -> None:
    """It never touches the wall of the open outlet: common practice, no source. The room is on both sides."""
    values = issued[job].values
    saw, bore = mm(values["tap.hole_saw"]["text"]), mm(values["fitting.outlet_bore"]["text"])
    assert (bore - saw) / 2 >= Fraction(1, 16) * Fraction("25.4")
    assert float((bore - saw) / 2) == pytest.approx(values["tap.clearance"]["value"])


# --- the order of work
# ------------------------------------------------------------------------------------------


# Sheets whose lines begin with the numbers of other sheets' steps, or of lines.
NO_STEPS = (
    "Crew pack", "Values", "Contents", "Where the work stops", "Inspection and test plan",
    "Toolbox talk: sign on", "Non-conformance",
)  # fmt: skip


def steps_of(pages: tuple[str, ...]) -> dict[int, str]:
    """The steps by number, as printed: number at the start of a line, words up to the next."""
    found: dict[int, str] = {}
    for page in pages:
        if page.startswith(NO_STEPS):
            continue
        parts = re.split(r"^(\d+) (?=(?:HOLD |WITNESS )?[A-Z][a-z' ])", page, flags=re.MULTILINE)
        for number, words in zip(parts[1::2], parts[2::2], strict=True):
            found.setdefault(int(number), re.sub(r"\s+", " ", words))
    return found


def number_of(steps: dict[int, str], words: str) -> int:
    """The number of the one step that begins with some words, gate or not."""
    numbers = [
        number for number, text in steps.items() if re.match(rf"(HOLD |WITNESS )?{re.escape(words)}", text)
    ]
    assert len(numbers) == 1, (words, numbers)
    return numbers[0]


# One after the other; what moves ahead of its place is a mistake however good the words are.
ORDER = {
    "dry before seating": ("Peeled pipe and fitting are fully dry", "Seat the saddle"),
    "peel before wiping": ("Peel one even pass", "Wipe the zone in one direction"),
    "measured before peeling": ("Measure the outside diameter at the place", "Peel one even pass"),
    "clean before peeling": ("Wash soil off the main", "Peel one even pass"),
    "round before marking": ("Highest and lowest differ", "Hatch the whole zone"),
    "centre lines carried out before the peel": ("Carry the outlet's centre lines", "Peel one even pass"),
    "depth proved before wiping": ("Depth gauge at the zone's edge reads", "Wipe the zone in one direction"),
    "above the dew point before wiping": (
        "Pipe surface is at its least temperature",
        "Wipe the zone in one direction",
    ),
    "dry and above the dew point before power": (
        "Pipe and fitting are dry beside the joint, and the pipe is at its least",
        "Press start",
    ),
    "wiped before the second look": (
        "Wipe the zone in one direction",
        "Take the least pipe temperature again",
    ),
    "no supply before preparing": ("Main is joined to no supply", "Peel one even pass"),
    "clamped before the gap is tried": (
        "Finish by this fitting's method",
        "Feeler 0.33 mm [0.0129 in] does not enter",
    ),
    "gap before power": ("Feeler 0.33 mm [0.0129 in] does not enter", "Switch the control unit on"),
    "plates read before the generator runs": ("Generator and supply cord meet", "Run the generator"),
    "self-test before scanning": ("Control unit's self-test has passed", "Scan the code"),
    "label read before scanning": ("Label states", "Scan the code"),
    "display equals label before start": ("Display, label and this sheet agree", "Press start"),
    "waits of the day marked before start": ("Mark the first row", "Press start"),
    "indicators seen before the waits": ("Every melt indicator has risen", "Leave the clamp on, untouched"),
    "clamp time before pressure": ("Leave the clamp on, untouched", "Fit the test plug"),
    "pressure wait before the test": ("Put no pressure on the joint", "Fit the test plug"),
    "waits before the cut": ("Every wait is over", "Cut slowly and straight"),
    "test before the cut": ("Gauge holds for the hold time", "Cut slowly and straight"),
    "bled before the plug comes out": ("Bleed until the gauge", "Take the plug out"),
    "no pressure before the cut": ("Main is at no pressure", "Cut slowly and straight"),
    "air out before the test pressure": ("Let all air out at the bleed valve", "Raise slowly to the test"),
    "test pressure judged before it is raised": ("Test pressure is within", "Raise slowly to the test"),
    "second look at saw and travel before the cut": (
        "A second person has read saw, travel",
        "Cut slowly and straight",
    ),
    "coupon before the lateral": ("Coupon is in hand", "Join the lateral by its own"),
    "swarf out before the lateral": ("Lift every piece of swarf", "Join the lateral by its own"),
    "lateral tested alone before it is joined": (
        "Lateral alone has held its test",
        "Join the lateral by its own",
    ),
    "no test against an open main": ("Put no test pressure", "Raise slowly to the lateral's test pressure"),
    "lateral tested before backfill": ("Lateral alone has held its test", "Backfill round the joint"),
    "lateral's joint cooled before backfill": (
        "Every wait of the lateral's own joint",
        "Backfill round the joint",
    ),
    "listed for line pressure before backfill": (
        "Saddle and lateral's joint are listed",
        "Backfill round the joint",
    ),
    "second look before backfill": ("A second person has looked at joint", "Backfill round the joint"),
    "permit before digging": ("Permit is signed", "Dig by hand"),
    "air read before the trench": ("Detector reads below 20 % LEL and oxygen", "Expose the main"),
}
SQUEEZED = {
    "everyone told before closing": ("Everyone whose supply stops has been told", "Close the first tool"),
    "leave before closing": ("Control room has given leave to close", "Close the first tool"),
    "leave before opening": ("Control room has given leave to open", "Open the first tool evenly"),
    "squeezed before proved": (
        "Stop when the bars rest on their stops",
        "Gauge reads no pressure and the vent",
    ),
    "proved before emptied": ("Gauge reads no pressure and the vent", "Drain the main to below"),
    "emptied before preparing": ("Drain runs dry", "Peel one even pass"),
    "proved before preparing": ("Gauge reads no pressure and the vent", "Peel one even pass"),
    "lateral closed before release": ("Every lateral's far end is closed", "Open the first tool evenly"),
    "lateral tested before release": (
        "Lateral alone has held its test",
        "Open the first tool evenly",
    ),
    "no leak before the second tool": (
        "Every joint of this job stays dry at line pressure",
        "Open the second tool, where one is set",
    ),
    "fit to serve before the second tool": (
        "Owner's rule for flushing",
        "Open the second tool, where one is set",
    ),
    "squeezed wall seen before it is re-rounded": (
        "Squeezed wall shows no crack",
        "Re-round the main gently",
    ),
    "flow restored before close-out": ("Open the second tool, where one is set", "Backfill round the joint"),
}
DRY_ONLY = {"no supply before preparing"}
CASES = [("first-lateral", name) for name in ORDER] + [
    ("repair-tie-in", name) for name in {**ORDER, **SQUEEZED} if name not in DRY_ONLY
]


@pytest.mark.parametrize("file", ["crew-pack.pdf", "pocket-cards-screen.pdf"])
@pytest.mark.parametrize(("job", "name"), CASES)
def test_the_order_of_work(job: str, name: str, file: str, issued: dict[str, Any]) -> None:
    """By the step numbers printed on pack and cards: common practice, no source."""
    first, then = {**ORDER, **SQUEEZED}[name]
    steps = steps_of(issued[job].pages(file))
    assert number_of(steps, first) < number_of(steps, then)


STATE_HOLDS = {
    "first-lateral": ("Main is joined to no supply",),
    "repair-tie-in": (
        "Control room has given leave to close",
        "Gauge reads no pressure and the vent",
        "Drain runs dry",
        "Control room has given leave to open",
        "Owner's rule for flushing",
        "Squeezed wall shows no crack",
    ),
}


@pytest.mark.parametrize("file", ["crew-pack.pdf", "pocket-cards-screen.pdf"])
@every_job
def test_the_gates_of_the_order_are_holds(job: str, file: str, issued: dict[str, Any]) -> None:
    """Work stops there until they are met: depth, dry, gap, self-test, display, indicators, waits, no
    pressure, coupon, and what belongs to the main's state.
    """
    steps = steps_of(issued[job].pages(file))
    for words in (
        "Peeled pipe and fitting are fully dry",
        "Depth gauge at the zone's edge reads",
        "Feeler 0.33 mm [0.0129 in] does not enter",
        "Control unit's self-test has passed",
        "Display, label and this sheet agree",
        "Every melt indicator has risen",
        "Every wait is over",
        "Main is at no pressure",
        "Coupon is in hand",
        *STATE_HOLDS[job],
    ):
        assert steps[number_of(steps, words)].startswith("HOLD "), words
    assert steps[number_of(steps, "A second person has looked at joint")].startswith("WITNESS ")


@every_job
def test_the_faces_stand_in_the_order_of_the_steps(job: str, issued: dict[str, Any]) -> None:
    """Page after page and face after face the numbers only rise."""
    for file in ("crew-pack.pdf", "pocket-cards-screen.pdf"):
        numbers = [number for page in issued[job].pages(file) for number in steps_of((page,))]
        assert numbers == sorted(numbers), file
        assert len(numbers) > 120, file
