"""The fit check's rows about the power set: control unit, generator, supply cord.

In: a `Request` and the `Ledger` of its values. Out: `Check` rows. Vocabulary: as in `fit`; a generator's
*plate* states power, apparent power or both, and what it does not state is for the crew to read.
Sources: the label, the work rules, the tables of conductors, the job file.
"""

from __future__ import annotations

from collections.abc import Iterator

from packgen.calc._guard import FLOAT_NOISE
from packgen.calc.ledger import NOT_PERMITTED, Ledger
from packgen.calc.outlet_values import outlets_of
from packgen.calc.power_values import conductor_of
from packgen.calc.request import Check, Request, judged
from packgen.model.job import ControlUnit, Job, SupplyCord
from packgen.register import conductor_size
from packgen.units import Quantity

_PLATE = "control unit's plate"


def power_checks(ledger: Ledger, request: Request) -> Iterator[Check]:
    """The control unit serves the fitting, generator and cord carry it; no row for what no job names."""
    job = request.job
    if job is None:
        return
    unit, generator, cord = job.equipment.control_unit, job.equipment.generator, job.equipment.supply_cord
    if unit:
        yield from _control_unit(ledger, request, job, unit)
    if generator:
        yield from _generator(ledger, request, generator)
    if cord:
        yield _cord(ledger, request, cord)
        yield from _outlet(ledger, request, cord)


def _control_unit(ledger: Ledger, request: Request, job: Job, unit: ControlUnit) -> Iterator[Check]:
    """The control unit gives the voltage, fits the terminal and is calibrated on the day."""
    voltage, terminal = ledger.values.get("fuse.voltage"), ledger.values.get("fuse.terminal")
    if voltage and voltage.number is not None:
        what = f"the control unit gives at most {unit.voltage_max}, the fitting needs {request.text(voltage)}"
        passed = unit.voltage_max.to("V") >= voltage.number - FLOAT_NOISE
        cure = "take another control unit"
        yield judged("voltage", str(unit.voltage_max), f"≥ {request.text(voltage)}", passed, what, cure)
    if terminal and terminal.number is not None:
        pins, needed = ", ".join(str(pin) for pin in unit.terminals), terminal.number
        what = f"the control unit's terminals ({pins}) do not fit {request.text(terminal)}"
        passed = any(abs(pin.to("mm") - needed) <= FLOAT_NOISE for pin in unit.terminals)
        cure = "bring the adapter for this terminal"
        yield judged("terminal", pins, request.text(terminal), passed, what, cure)
    until = unit.calibrated_until
    what = f"the control unit's calibration ended on {until}, the job is dated {job.date}"
    cure = "have it calibrated, or take another control unit"
    yield judged("calibration", str(until), f"≥ {job.date}", until >= job.date, what, cure)


def _generator(ledger: Ledger, request: Request, plate: Quantity) -> Iterator[Check]:
    """The generator's plate reaches the least power and the least apparent power.

    An apparent power is never less than the power beside it. So a plate in kW can prove both, and one in kVA
    that is below the power needed proves that it does not give it. Else the other plate figure stays open.
    """
    apparent = plate.measures == "apparent power"
    rows = (("generator", "generator_rating", "W", not apparent),
            ("generator_apparent", "generator_rating_apparent", "VA", apparent))  # fmt: skip
    found, gives = request.plain(plate), plate.to("VA" if apparent else "W")
    if not any(f"power.{name}" in ledger.values for _, name, _, _ in rows):
        yield Check("generator", found, _PLATE, None)
    for key, name, unit, says in rows:
        least = ledger.values.get(f"power.{name}")
        if least is None or least.number is None:
            continue
        limit = request.text(least)
        what = f"the generator gives {found}, this joint needs one of {limit}"
        passed = gives >= least.number - FLOAT_NOISE
        if says or passed is (unit == "VA"):
            yield judged(key, found, f"≥ {limit}", passed, what, "take a larger generator")
        else:
            yield Check(key, "", f"≥ {limit}", None)


def _cord(ledger: Ledger, request: Request, cord: SupplyCord) -> Check:
    """The supply cord carries the current, and is no longer than its size lets it be."""
    conductor, longest = conductor_of(request), ledger.values.get("power.supply_cord_length_max")
    length = request.plain(cord.length, "up")
    size = conductor_size(cord.size)
    found = f"{size}, {length}, {cord.voltage}"
    if conductor is None or longest is None:
        return Check("cord", found, _PLATE, None)
    if longest.number is None:
        current = request.text(ledger.values["power.supply_current"])
        what = f"the control unit takes {current}, a supply cord of {size} carries {conductor.ampacity}"
        carries = f"{size}: {conductor.ampacity}"
        return judged("cord", carries, f"≥ {current}", False, what, "take a thicker supply cord")
    limit = request.text(longest)
    what = f"the supply cord of {size} is {length} long, at {cord.voltage} it may be {limit}"
    passed = cord.length.to("mm") <= longest.number + FLOAT_NOISE
    cure = "take a shorter or a thicker supply cord, or stand the generator nearer"
    return judged("cord", found, f"≤ {limit}", passed, what, cure)


def _outlet(ledger: Ledger, request: Request, cord: SupplyCord) -> Iterator[Check]:
    """A listed outlet and its breaker carry the current; no row where none is listed for such a supply."""
    outlet, current = ledger.values.get("power.outlet"), ledger.values.get("power.supply_current")
    if outlet is None or current is None:
        return
    needed = request.text(current)
    largest = max(outlets_of(request), key=lambda each: each.carries)
    what = f"at {cord.voltage} the control unit takes {needed}, {largest.title} carries {largest.carries:g} A"
    passed = outlet.words != NOT_PERMITTED
    found = request.text(outlet) if passed else largest.title
    cure = "take a supply of a higher voltage that the control unit is made for"
    yield judged("supply_outlet", found, f"≥ {needed}", passed, what, cure)
