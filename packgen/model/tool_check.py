"""Tools that no crew can have: figures that contradict each other, sizes of no table, ids given twice.

In: what the loader found. Out: problems with file, line and cure. Vocabulary: as in
`packgen.model.tool_records` and `packgen.model.power_records`; a conductor's size is *listed* where the
register's table of cords has a row of it. Sources: arithmetic; the two shares are common practice, no source.
"""

from __future__ import annotations

from packgen.errors import Problems
from packgen.model.family_records import pair_end
from packgen.model.found import Found
from packgen.model.label_check import INVENTED
from packgen.model.power_records import size_key
from packgen.model.readings import nearest_size
from packgen.register import CORD_VOLTAGES, REGISTER, cord_name

_NAMED_BY_JOBS = ("valves", "machines", "plugs")
PLUG = 3.0  # a plug's greatest bore over its least: wide, to catch a slip of the pen
MACHINE = 10.0  # a machine's length over its stroke: as wide


def check_tools(found: Found, problems: Problems) -> None:
    """Tell every tool that stands twice, contradicts itself, fits no pipe or hides that it is invented."""
    _check_saws(found, problems)
    _check_ids(found, problems)
    _check_marks(found, problems)
    if found.complete("tables"):
        _check_valves(found, problems)
    _check_machines(found, problems)
    _check_plugs(found, problems)
    _check_conductors(found, problems)
    _check_outlets(found, problems)


def _check_saws(found: Found, problems: Problems) -> None:
    """No saw stands twice in one system, and none is wider inside than outside."""
    seen: dict[tuple[str, float], str] = {}
    for saw in found.items["saws"].values():
        key = (saw.system, round(saw.size.to("mm"), 6))
        if key in seen:
            what = f"the saw {saw.id} is of the size {saw.size}, as {seen[key]} is"
            problems.add(found.spot("saws", saw.id), what, cure="keep one saw of each size")
        seen[key] = saw.id
        if saw.inside_diameter.to("mm") >= saw.size.to("mm"):
            what = f"inside_diameter {saw.inside_diameter} is not below the size {saw.size}"
            problems.add(found.spot("saws", saw.id), what, cure="correct one of the two")


def _check_ids(found: Found, problems: Problems) -> None:
    """No two tools of different kinds share an id; those of one kind are told as they are read."""
    seen: dict[str, str] = {}
    for kind in _NAMED_BY_JOBS:
        for tool_id in found.items[kind]:
            if tool_id in seen:
                what = f"the id {tool_id!r} is given to one of the {kind} and to one of the {seen[tool_id]}"
                problems.add(found.spot(kind, tool_id, "id"), what, cure="give each tool an id of its own")
            seen[tool_id] = kind


def _check_marks(found: Found, problems: Problems) -> None:
    """A tool of an invented source says `data: demo`."""
    for kind in _NAMED_BY_JOBS:
        for tool in found.items[kind].values():
            if tool.source.startswith(INVENTED) and tool.data != "demo":
                what = f"the source {tool.source} is invented, and the tool does not say so"
                cure = "write 'data: demo', or name the source of your tool's figures"
                problems.add(found.spot(kind, tool.id, "source"), what, cure=cure)


def _check_valves(found: Found, problems: Problems) -> None:
    """A valve is for a size of a pipe table, and its bore is less than that pipe's outside diameter."""
    tables = found.items["tables"].values()
    for valve in found.items["valves"].values():
        size, system = pair_end(valve.lateral, "")
        rows = [row for table in tables if system in ("", table.system) for row in table.sizes]
        of_size = [row for row in rows if row.name == size]
        if not of_size:
            names = list(dict.fromkeys(row.name for row in rows))
            what = f"{valve.lateral!r} is a size of no pipe table"
            near = nearest_size(size, names) if names else ""
            problems.add(found.spot("valves", valve.id, "lateral"), what, nearest=near)
            continue
        widest = max((row.outside_diameter for row in of_size), key=lambda each: each.to("mm"))
        if valve.bore.to("mm") >= widest.to("mm"):
            what = f"the bore {valve.bore} is not below the outside diameter {widest} of {valve.lateral}"
            problems.add(found.spot("valves", valve.id, "bore"), what, cure="correct bore or size")


def _check_machines(found: Found, problems: Problems) -> None:
    """A machine's reach uses up only part of its stroke, and the stroke goes back into the machine."""
    for machine in found.items["machines"].values():
        if machine.reach.to("mm") >= machine.stroke.to("mm"):
            what = f"the reach {machine.reach} uses up the whole stroke {machine.stroke}"
            problems.add(found.spot("machines", machine.id, "reach"), what, cure="correct one of the two")
        length, stroke = machine.length.to("mm"), machine.stroke.to("mm")
        what = f"the length {machine.length} does not go with the stroke {machine.stroke}"
        if length < stroke:
            what = (
                f"the length {machine.length} is below the stroke {machine.stroke}: the shaft cannot go back"
            )
        if not stroke <= length <= MACHINE * stroke:
            problems.add(found.spot("machines", machine.id, "length"), what, cure="correct one of the two")


def _check_plugs(found: Found, problems: Problems) -> None:
    """A plug's least bore is not above its greatest, nor far below it."""
    for plug in found.items["plugs"].values():
        if plug.bore_min.to("mm") > plug.bore_max.to("mm"):
            what = f"bore_min {plug.bore_min} is above bore_max {plug.bore_max}"
            problems.add(found.spot("plugs", plug.id, "bore_min"), what, cure="swap the two")
        elif plug.bore_max.to("mm") > PLUG * plug.bore_min.to("mm"):
            what = f"bore_max {plug.bore_max} is more than {PLUG:g} times bore_min {plug.bore_min}"
            problems.add(found.spot("plugs", plug.id, "bore_max"), what, cure="correct one of the two")


def _check_conductors(found: Found, problems: Problems) -> None:
    """No size of conductor stands twice, however it is written."""
    seen: dict[str, str] = {}
    for conductor in found.items["conductors"].values():
        size = size_key(conductor.size)
        if size in seen:
            what = f"the conductor {conductor.id} is of the size {conductor.size}, as {seen[size]} is"
            place = found.spot("conductors", conductor.id, "size")
            problems.add(place, what, cure="keep one conductor of each size")
        seen.setdefault(size, conductor.id)


def _check_outlets(found: Found, problems: Problems) -> None:
    """An outlet's least voltage is not above its greatest."""
    for outlet in found.items["outlets"].values():
        if outlet.voltage_min.to("V") > outlet.voltage_max.to("V"):
            what = f"voltage_min {outlet.voltage_min} is above voltage_max {outlet.voltage_max}"
            problems.add(found.spot("outlets", outlet.id, "voltage_min"), what, cure="swap the two")


def is_listed(size: str) -> bool:
    """Whether the table of cords has a row of a conductor's size.

    >>> is_listed("#12 awg"), is_listed("25 mm2")
    (True, False)
    """
    return any(cord_name(volts, size) in REGISTER for volts in CORD_VOLTAGES)
