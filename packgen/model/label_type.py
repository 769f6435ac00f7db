"""Figures that a fitting of this type, or with this clamp, cannot have.

In: one family's type and clamp, and the label of one of its pairs. Out: each figure that has no place, with
the reason and the cure. Vocabulary: a figure's *owners* are the fittings that have it. A figure that no step
asks for would be carried by nobody, so it is told. Source: how fittings are made, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packgen.model.family_records import Family, LabelData


@dataclass(frozen=True)
class Owned:
    """Figures of one part of a label, the types or clamps that have them, and why others do not."""

    part: str
    keys: tuple[str, ...]
    owners: tuple[str, ...]
    by: str
    why: str


_SADDLES = ("branch saddle", "tapping saddle")
OWNED = (
    Owned("cutter", ("turns", "travel", "pitch", "diameter", "approach", "stop"), ("tapping saddle",), "type",
          "has no cutter"),
    Owned("socket", ("insertion_depth", "peel_length", "out_of_round_max", "misalignment_max"), ("coupling",),
          "type", "has no socket"),
    Owned("gap", ("feeler",), _SADDLES, "type", "has no gap for a feeler"),
    Owned("cool", ("tap_wait",), _SADDLES, "type", "is not cut through"),
    Owned("fitting", ("outlet_bore",), ("branch saddle",), "type", "has no outlet that a saw goes through"),
    Owned("fitting", ("outlet_height", "bore_radius", "base_angle", "base_length"), _SADDLES, "type",
          "has no base and no outlet"),
    Owned("clamp", ("screw_count", "screw_size", "screw_property", "torque", "lug_load_max"),
          ("screws", "bolts"), "clamping", "has no screws"),
    Owned("clamp", ("stop_mark",), ("strap",), "clamping", "has no strap to draw to a mark"),
)  # fmt: skip


def misplaced(family: Family, label: LabelData) -> Iterator[tuple[str, str, str, str]]:
    """Each stated figure that the family cannot have: part, key, what is wrong, cure."""
    for owned in OWNED:
        own = family.type if owned.by == "type" else family.clamping
        if own in owned.owners:
            continue
        for key in owned.keys:
            if getattr(getattr(label, owned.part), key) is not None:
                held = f" clamped by {family.clamping}" if owned.by == "clamping" and family.clamping else ""
                owners = " or ".join(owned.owners)
                cure = f"take {owned.part}.{key} out, or write '{owned.by}: {owners}' where it is one"
                yield owned.part, key, f"a {family.type}{held} {owned.why}", cure
