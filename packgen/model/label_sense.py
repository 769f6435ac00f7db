"""Figures of a label that cannot all be true: of each other, or of the main the pair names.

In: what the loader found. Out: problems with file, line and cure. Vocabulary: a *row* is a line of a label's
fusion times by temperature; the *reference row* is the first whose temperature the reference does not exceed.
What a fitting of a type cannot have at all is `packgen.model.label_type`'s. Sources: geometry and arithmetic;
the tolerances and shares in capitals are common practice, no source, and wide: they catch a slip of the pen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from packgen.errors import Problems
from packgen.model.catalog import label_of
from packgen.model.family_records import Family, LabelData, PairEnd, TimeRow
from packgen.model.found import Found
from packgen.model.label_check import label_spot
from packgen.model.label_type import misplaced
from packgen.units import Quantity

ROUNDED = (0.01, 0.5)  # turns times pitch and travel may differ by 1 %, or 0.5 mm, which is the greater
CURVE = (0.9, 1.1)  # a saddle's curve against half of the main's diameter
# What a socket may be against the pipe's outside diameter: a share of it, or mm where that is more (small
# pipe goes in deeper than its own width, and every pipe may be out of round by a little).
SOCKET = {"insertion_depth": (2.0, 50.0), "out_of_round_max": (0.1, 2.0), "misalignment_max": (0.1, 2.0)}
RIBBON = 3.0  # a ribbon bunches up behind the blade, and stays of the order of the peel's depth
WALL = 0.5  # of the fused pipe's outside diameter
ROW_TIME = (5.0, 3600.0)  # s, as for the one fusion time
ROW_TEMPERATURE = (-40.0, 60.0)  # °C
_LABEL_AGAIN = "read both on the label again"


@dataclass(frozen=True)
class _Label:
    """One pair's label, with its place and where its problems go."""

    family: Family
    index: int
    label: LabelData
    found: Found
    problems: Problems

    def tell(
        self, part: str, key: str, what: str, cure: str = _LABEL_AGAIN, inner: tuple[str | int, ...] = ()
    ) -> None:
        """Tell a problem at the line of a figure, or of what stands `inner` to it."""
        place = label_spot(self.family, self.index, part, key, self.found, *inner)
        self.problems.add(place, what, cure=cure)

    def tell_pair(self, what: str, cure: str) -> None:
        """Tell a problem at the line of the pair."""
        place = self.found.spot("families", self.family.id, "pairs", self.index)
        self.problems.add(place, what, cure=cure)


def check_sense(found: Found, problems: Problems) -> None:
    """Tell every figure that another one, or the pipe, makes impossible."""
    for family in found.items["families"].values():
        for index, pair in enumerate(family.pairs):
            of = _Label(family, index, label_of(family, pair), found, problems)
            main, lateral = (_diameter(found, end) for end in family.ends(pair))
            if family.type == "coupling":
                _check_coupling(of)
                _check_socket_size(of, lateral)
            elif main is not None:
                _check_on_main(of, main, lateral)
            for part, key, what, cure in misplaced(family, of.label):
                of.tell(part, key, what, cure)
            _check_wall(of, lateral if family.type == "coupling" else main)
            _check_base(of)
            _check_area(of, lateral)
            _check_ribbon(of)
            _check_cutter(of)
            _check_socket(of)
            _check_times(of)


def _diameter(found: Found, end: PairEnd) -> Quantity | None:
    """The outside diameter of a size; None where no table holds it, which is told elsewhere."""
    size, system = end
    tables = [table for table in found.items["tables"].values() if table.system == system]
    rows = [row for table in tables for row in table.sizes if row.name == size]
    return rows[0].outside_diameter if rows else None


def _check_coupling(of: _Label) -> None:
    """A coupling joins two pipes of one size."""
    main, lateral = of.family.ends(of.family.pairs[of.index])
    if main != lateral:
        what = f"a coupling joins pipes of one size, and the pair names {' '.join(main)} and "
        of.tell_pair(what + " ".join(lateral), "write the same size for main and lateral")


def _check_on_main(of: _Label, main: Quantity, lateral: Quantity | None) -> None:
    """Lateral and cutter are smaller than the main, the bore than the lateral; the curve is the main's."""
    outside = f"the main's outside diameter {main}"
    if lateral is not None and lateral.to("mm") >= main.to("mm"):
        what = f"the lateral's outside diameter {lateral} is not below {outside}"
        of.tell_pair(what, "correct the sizes, or take the pair out: such a main needs a tee")
    diameter, bore = of.label.cutter.diameter, of.label.fitting.outlet_bore
    if diameter is not None and diameter.to("mm") >= main.to("mm"):
        what = f"diameter {diameter} is not below {outside}"
        of.tell("cutter", "diameter", what, "read it on the label again")
    if bore is not None and lateral is not None and bore.to("mm") >= lateral.to("mm"):
        what = f"outlet_bore {bore} is not below the lateral's outside diameter {lateral}"
        of.tell("fitting", "outlet_bore", what, "write the bore inside the outlet, not the lateral's size")
    radius, (low, high) = of.label.fitting.bore_radius, CURVE
    if radius is not None and not low <= 2.0 * radius.to("mm") / main.to("mm") <= high:
        what = f"bore_radius {radius} is not about half of {outside}"
        of.tell("fitting", "bore_radius", what, "write the radius of the saddle's curve, not its diameter")


def _check_wall(of: _Label, pipe: Quantity | None) -> None:
    """The fitting's wall is a small part of the pipe it is fused to."""
    wall = of.label.fitting.wall
    if pipe is not None and wall is not None and wall.to("mm") > WALL * pipe.to("mm"):
        what = f"wall {wall} is more than half of the pipe's outside diameter {pipe}"
        of.tell("fitting", "wall", what, "read it on the drawing again")


def _check_base(of: _Label) -> None:
    """The base is longer than the outlet is wide."""
    length, bore = of.label.fitting.base_length, of.label.fitting.outlet_bore
    if length is not None and bore is not None and length.to("mm") <= bore.to("mm"):
        what = f"base_length {length} is not above the outlet_bore {bore}"
        of.tell("fitting", "base_length", what)


def _check_area(of: _Label, lateral: Quantity | None) -> None:
    """The fused area lies within the base, or within both sockets."""
    fitting, depth = of.label.fitting, of.label.socket.insertion_depth
    length, radius, angle = fitting.base_length, fitting.bore_radius, fitting.base_angle
    if fitting.fusion_area is None:
        return
    if length is not None and radius is not None and angle is not None:
        arc = 2.0 * math.radians(angle.to("degree")) * radius.to("mm")
        whole, where = length.to("mm") * arc, "the base, its length times its arc,"
    elif lateral is not None and depth is not None and of.family.type == "coupling":
        whole, where = 2.0 * math.pi * lateral.to("mm") * depth.to("mm"), "both sockets"
    else:
        return
    if fitting.fusion_area.to("mm2") > whole * (1.0 + ROUNDED[0]):
        what = f"fusion_area {fitting.fusion_area} is more than {where} can hold, {whole:.0f} mm²"
        of.tell("fitting", "fusion_area", what, "read area and measures on the drawing again")


def _check_ribbon(of: _Label) -> None:
    """The ribbon is about as thick as the peel is deep."""
    peel = of.label.peel
    if peel.depth_max is None:
        return
    for key in ("ribbon_min", "ribbon_max"):
        thick = getattr(peel, key)
        if thick is not None and thick.to("mm") > RIBBON * peel.depth_max.to("mm"):
            what = f"{key} {thick} is more than {RIBBON:g} times the depth_max {peel.depth_max}"
            of.tell("peel", key, what, "write the ribbon's thickness, not its width")


def _check_cutter(of: _Label) -> None:
    """The cutter's travel is its turns times its pitch, and more than its way to the main."""
    cutter = of.label.cutter
    if cutter.travel is None:
        return
    travel, (share, least) = cutter.travel.to("mm"), ROUNDED
    if cutter.turns is not None and cutter.pitch is not None:
        worked = cutter.turns * cutter.pitch.to("mm")
        if abs(worked - travel) > max(share * travel, least):
            what = f"{cutter.turns} turns of {cutter.pitch} make {worked:g} mm, the travel is {cutter.travel}"
            of.tell("cutter", "travel", what, "read turns, pitch and travel on the label again")
    if cutter.approach is not None and cutter.approach.to("mm") >= travel:
        what = f"the approach {cutter.approach} is not below the travel {cutter.travel}"
        of.tell("cutter", "approach", what)


def _check_socket(of: _Label) -> None:
    """Each pipe is peeled at least as far as it goes in."""
    depth, peeled = of.label.socket.insertion_depth, of.label.socket.peel_length
    if depth is not None and peeled is not None and peeled.to("mm") < depth.to("mm"):
        what = f"peel_length {peeled} is less than the insertion_depth {depth}"
        of.tell("socket", "peel_length", what, "the whole of what goes in is peeled: read both again")


def _check_socket_size(of: _Label, pipe: Quantity | None) -> None:
    """Depth, out-of-round and misalignment are those of a pipe of this size."""
    if pipe is None:
        return
    for key, (share, floor) in SOCKET.items():
        stated = getattr(of.label.socket, key)
        if stated is not None and stated.to("mm") > max(share * pipe.to("mm"), floor):
            most = f"{share:g} times" if share > 1.0 else f"{share:.0%} of"
            what = f"{key} {stated} is more than {most} the pipe's outside diameter {pipe}"
            of.tell("socket", key, what, "read it on the label again")


def _check_times(of: _Label) -> None:
    """Fusion times fall as it gets warmer, reach the window's end, and agree with the one time stated."""
    rows = of.label.fuse.time_compensation
    if rows is None:
        return
    _check_rows(of, rows)
    _check_last_row(of, rows)
    for before, row in pairwise(rows):
        if row.up_to.to("degC") <= before.up_to.to("degC"):
            what = f"the row up to {row.up_to} does not follow the row up to {before.up_to}"
            of.tell("fuse", "time_compensation", what, "list the rows from cold to warm")
        if row.time.to("s") > before.time.to("s"):
            what = f"the time up to {row.up_to} is {row.time}, more than the colder row's {before.time}"
            of.tell("fuse", "time_compensation", what, "a warmer fitting never takes longer: read it again")
    _check_reference_row(of, rows)


def _check_rows(of: _Label, rows: tuple[TimeRow, ...]) -> None:
    """Every row states a time and a temperature that a label can state."""
    for at, row in enumerate(rows):
        for key, (least, greatest), unit in (("time", ROW_TIME, "s"), ("up_to", ROW_TEMPERATURE, "degC")):
            stated = getattr(row, key)
            if not least <= stated.to(unit) <= greatest:
                what = f"{key} {stated} is no figure a label can state; it states {least:g} to {greatest:g} "
                what += {"degC": "°C"}.get(unit, unit)
                of.tell("fuse", "time_compensation", what, "read the row on the label again", (at, key))


def _check_last_row(of: _Label, rows: tuple[TimeRow, ...]) -> None:
    """A time is stated for all the air that the label lets a fuser work in."""
    warmest = of.label.weather.ambient_max
    if warmest is not None and rows[-1].up_to.to("degC") < warmest.to("degC") - 1e-6:
        what = f"the times end at {rows[-1].up_to}, below the window's {warmest}"
        cure = "add the label's warmer rows, or get them from the fitting's maker"
        of.tell("fuse", "time_compensation", what, cure)


def _check_reference_row(of: _Label, rows: tuple[TimeRow, ...]) -> None:
    """The rows reach the reference temperature, and agree there with the one time that the label states."""
    reference, time = of.label.cool.reference_temperature, of.label.fuse.time
    if reference is None:
        return
    row = next((row for row in rows if row.up_to.to("degC") >= reference.to("degC")), None)
    if row is None:
        what = f"the rows end at {rows[-1].up_to}, below the reference temperature {reference}"
        of.tell("fuse", "time_compensation", what, "add the label's warmer rows")
    elif time is not None and abs(row.time.to("s") - time.to("s")) > 1e-9:
        what = f"the time {time} is not that of the row for the reference temperature {reference}, {row.time}"
        of.tell("fuse", "time", what, f"write the row's time, {row.time}, or correct the row")
