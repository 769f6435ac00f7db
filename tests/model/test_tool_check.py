"""Tools that no crew can have: told with file, line and cure; those just possible are taken."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
SAWS, VALVES, MACHINES, PLUGS = "hole-saws", "demo-valves", "demo-machines", "demo-plugs"
CONDUCTORS, OUTLETS = "conductors", "outlets"
MISTAKES = {
    "a saw of a size that stands": (
        SAWS, "size: 13/16 in", "size: 3/4 in",
        "the saw saw-in-0813 is of the size 3/4 in, as saw-in-0750 is; keep one saw of each size",
    ),
    "a saw wider inside than outside": (
        SAWS, "inside_diameter: 0.59 in", "inside_diameter: 0.79 in",
        "inside_diameter 0.79 in is not below the size 3/4 in",
    ),
    "a valve of a size of no table": (
        VALVES, "lateral: 63 mm ISO", "lateral: 64 mm ISO",
        "lateral: '64 mm ISO' is a size of no pipe table; did you mean '63 mm'?",
    ),
    "a valve of a size another system has": (
        VALVES, "lateral: 63 mm ISO", "lateral: 63 mm IPS", "'63 mm IPS' is a size of no pipe table",
    ),
    "a valve wider than its pipe": (
        VALVES, "bore: 51 mm", "bore: 63 mm",
        "bore: the bore 63 mm is not below the outside diameter 63 mm of 63 mm ISO; correct bore or size",
    ),
    "a machine that never comes out": (
        MACHINES, "reach: 2 in", "reach: 18 in", "the reach 18 in uses up the whole stroke 18 in",
    ),
    "a plug for no bore": (
        PLUGS, "bore_min: 1.85 in", "bore_min: 2.06 in",
        "bore_min 2.06 in is above bore_max 2.05 in; swap the two",
    ),
    "a plug for every bore": (
        PLUGS, "bore_max: 2.05 in", "bore_max: 5.56 in",
        "bore_max: bore_max 5.56 in is more than 3 times bore_min 1.85 in; correct one of the two",
    ),
    "a machine shorter than its stroke": (
        MACHINES, "length: 32 in", "length: 17.9 in",
        "length: the length 17.9 in is below the stroke 18 in: the shaft cannot go back; correct one",
    ),
    "a machine as long as a street": (
        MACHINES, "length: 32 in", "length: 32 ft",
        "length: the length 32 ft does not go with the stroke 18 in; correct one of the two",
    ),
    "a conductor of a size that stands": (
        CONDUCTORS, "size: 14 AWG", "size: 12 awg",
        "size: the conductor awg-12 is of the size 12 AWG, as awg-14 is; keep one conductor of each size",
    ),
    "a metric conductor of a size that stands": (
        CONDUCTORS, "size: 4 mm2", "size: 2.5 mm2",
        "size: the conductor mm2-4 is of the size 2.5 mm2, as mm2-2.5 is",
    ),
    "a conductor written otherwise": (
        CONDUCTORS, "size: 4 mm2", "size: 2.50 mm²",
        "size: the conductor mm2-4 is of the size 2.50 mm², as mm2-2.5 is; keep one conductor of each size",
    ),
    "an outlet for no voltage": (
        OUTLETS, "voltage_min: 110 V", "voltage_min: 126 V",
        "voltage_min: voltage_min 126 V is above voltage_max 125 V; swap the two",
    ),
    "an outlet for cords of no series": (OUTLETS, "series: AWG", "series: SWG", "series: 'SWG'"),
    "an outlet of an unknown source": (
        OUTLETS, "protection_source: ul-943", "protection_source: ul-934",
        "the source 'ul-934' is not known; expected an id of a sources file; did you mean 'ul-943'?",
    ),
    "two valves of one id": (
        VALVES, "id: demo-valve-3in", "id: demo-valve-2in", "the id 'demo-valve-2in' is given twice",
    ),
    "a machine with the id of a valve": (
        MACHINES, "id: demo-machine-2in", "id: demo-valve-2in",
        "the id 'demo-valve-2in' is given to one of the machines and to one of the valves; give each tool "
        "an id of its own",
    ),
    "an invented plug without its mark": (
        PLUGS, "data: demo, ", "", "the source demo-tool is invented, and the tool does not say so",
    ),
}  # fmt: skip
POSSIBLE = {
    "a valve just within its pipe": (VALVES, "bore: 51 mm", "bore: 62.9 mm"),
    "a valve of any system that has its size": (VALVES, "lateral: 63 mm ISO", "lateral: 63 mm"),
    "a machine that just comes out": (MACHINES, "reach: 2 in", "reach: 17.9 in"),
    "a plug for one bore": (PLUGS, "bore_min: 1.85 in", "bore_min: 2.05 in"),
    "a plug for many bores": (PLUGS, "bore_max: 2.05 in", "bore_max: 5.55 in"),
    "a machine as short as its stroke": (MACHINES, "length: 32 in", "length: 18 in"),
    "a machine ten times its stroke": (MACHINES, "length: 32 in", "length: 15 ft"),
    "an outlet for one voltage": (OUTLETS, "voltage_min: 110 V", "voltage_min: 125 V"),
    "a conductor in small letters": (CONDUCTORS, "size: 12 AWG", "size: 12 awg"),
    "a conductor of no listed size": (CONDUCTORS, "size: 16 mm2", "size: 25 mm2"),
}


def changed(tmp_path: Path, file: str, old: str, new: str) -> Path:
    """The starter content with the first such words of a tools file changed."""
    folder = tmp_path / "content"
    shutil.copytree(CONTENT, folder)
    path = folder / "tools" / f"{file}.yaml"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    return folder


@pytest.mark.parametrize(("file", "old", "new", "told"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_tool_that_cannot_be_is_told_with_its_line(
    tmp_path: Path, file: str, old: str, new: str, told: str
) -> None:
    with pytest.raises(ContentError) as caught:
        load(changed(tmp_path, file, old, new), prose=False)
    (line,) = str(caught.value).splitlines()
    assert told in line
    assert f"{file}.yaml:" in line


@pytest.mark.parametrize(("file", "old", "new"), POSSIBLE.values(), ids=POSSIBLE.keys())
def test_a_tool_that_just_can_be_is_taken(tmp_path: Path, file: str, old: str, new: str) -> None:
    assert load(changed(tmp_path, file, old, new), prose=False).plugs
