"""Slips of the pen on a label: told with line and bound.

The bounds are common practice, no source, but where a test names one.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.label_check import BOUNDS
from packgen.model.load import load

ROOT = Path(__file__).parents[2]
FAMILY = "fittings/demo-saddle-screw.yaml"
SLIPS = [
    ("voltage: 40 V", "voltage: 400 V", "voltage 400 V is no figure a label can state; expected 8 to 48 V"),
    ("terminal: 4.7 mm", "terminal: 47 mm", "terminal 47 mm is no figure a label can state; expected 3.9 to"),
    ("feeler: 0.33 mm", "feeler: 5 mm", "feeler 5 mm is no figure a label can state; expected 0.05 to 1 mm"),
    ("time: 78 s", "time: 1 s", "time 1 s is no figure a label can state; expected 5 to 3600 s"),
    ("clamp_time: 15 min, pressure_wait: 20 min", "clamp_time: 30 min, pressure_wait: 20 min",
     "pressure_wait 20 min ends before the clamp time 30 min"),
    ("pressure_wait: 20 min, tap_wait: 30 min", "pressure_wait: 20 min, tap_wait: 5 min",
     "tap_wait 5 min ends before the clamp time 15 min"),
    ("pressure_wait: 20 min, tap_wait: 30 min", "pressure_wait: 20 min, tap_wait: 19 min",
     "tap_wait 19 min ends before the pressure wait 20 min; all waits count from fusion end, and a cut puts"),
    ("peel: {depth_min: 0.009 in", "peel: {depth_min: 0.9 in", "depth_min 0.9 in is no figure a label can"),
    ("depth_max: 0.012 in}", "depth_max: 0.012 in, ribbon_min: 2 in}", "ribbon_min 2 in is no figure a"),
    ("reference_temperature: 23 degC", "reference_temperature: 90 degC", "expected 0 to 45 degC"),
    ("pressure_max: 200 psi", "pressure_max: 200 MPa", "pressure_max 200 MPa is no figure a label can state"),
    ("main_pressure_max: 150 psi", "main_pressure_max: 150 MPa", "main_pressure_max 150 MPa is no figure"),
    ("coil_resistance: 3.55 ohm", "coil_resistance: 0 ohm", "'0 ohm' is nothing; expected a resistance"),
    ("coil_resistance: 3.55 ohm", "coil_resistance: 0.04 ohm", "coil_resistance 0.04 Ω is no figure a"),
    ("fusion_area: 10500 mm2", "fusion_area: 105 mm2", "fusion_area 105 mm² is no figure a label can state"),
    ("data: demo\n", "", "the source demo-label is invented, and the family does not say so"),
]  # fmt: skip


# The same of the other families: file, what stands there, the slip, what is told.
OTHER_SLIPS = [
    (
        "demo-saddle-bolt",
        "coil_tolerance:",
        "generator_min: 3.5 W, coil_tolerance:",
        "generator_min 3.5 W is no",
    ),
    ("demo-saddle-bolt", "screw_count: 4,", "screw_count: 4, lug_load_max: 5 N,", "lug_load_max 5 N is no"),
    (
        "demo-saddle-bolt",
        "torque: 18 N*m",
        "torque: 1800 N*m",
        "torque 1800 N·m is no figure a label can state",
    ),
    ("demo-tapping-saddle", "pitch: 2 mm", "pitch: 2 in", "pitch 2 in is no figure a label can state"),
    ("demo-tapping-saddle", "approach: 8 mm", "approach: 8 m", "approach 8 m is no figure a label can state"),
    (
        "demo-coupling",
        "insertion_depth: 38 mm",
        "insertion_depth: 3.8 mm",
        "insertion_depth 3.8 mm is no figure",
    ),
    ("demo-coupling", "misalignment_max: 0.5 mm", "misalignment_max: 0.5 m", "misalignment_max 0.5 m is no"),
    (
        "demo-coupling",
        "data: demo\n",
        "",
        "the source demo-label is invented, and the family does not say so",
    ),
]
# Figures at their bounds, which the content may hold: common practice, no source.
AT_THE_BOUND = [
    (FAMILY, "voltage: 40 V", "voltage: 48 V"),  # ISO 8085-3 annex
    (FAMILY, "voltage: 40 V", "voltage: 8 V"),
    (FAMILY, "coil_resistance: 3.55 ohm", "coil_resistance: 0.05 ohm"),
    (FAMILY, "pressure_wait: 20 min, tap_wait: 30 min", "pressure_wait: 15 min, tap_wait: 15 min"),
    (FAMILY, "pressure_wait: 20 min, tap_wait: 30 min", "pressure_wait: 20 min, tap_wait: 20 min"),
    ("fittings/demo-saddle-bolt.yaml", "torque: 18 N*m", "torque: 300 N*m"),
]


def test_each_figure_has_one_bound() -> None:
    """A second bound of a figure would be read by nobody who changes the first."""
    figures = [(bound.part, bound.key) for bound in BOUNDS]
    assert len(figures) == len(set(figures)) > 30
    assert all(bound.least < bound.greatest for bound in BOUNDS)


def complaints(tmp_path: Path, file: str, old: str, new: str) -> str:
    """What the starter content with one change is told."""
    folder = tmp_path / "content"
    shutil.copytree(ROOT / "content", folder)
    path = folder / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    with pytest.raises(ContentError) as caught:
        load(folder, prose=False)
    return str(caught.value)


@pytest.mark.parametrize(("old", "new", "told"), SLIPS, ids=[row[1] or row[0] for row in SLIPS])
def test_a_slip_on_a_label_is_told_with_its_line(tmp_path: Path, old: str, new: str, told: str) -> None:
    """ISO 8085-3 annex: pins of 4.0 and 4.7 mm, at most 48 V."""
    text = complaints(tmp_path, FAMILY, old, new)
    assert told in text
    assert "demo-saddle-screw.yaml:" in text


def test_a_rule_that_makes_its_limit_nothing_is_told(tmp_path: Path) -> None:
    text = complaints(tmp_path, "rules/work-rules.yaml", "value: 0.33 mm", "value: 0 mm")
    assert "'0 mm' makes the limit nothing; expected a length above zero" in text


@pytest.mark.parametrize(
    ("family", "old", "new", "told"), OTHER_SLIPS, ids=[row[2] or row[1] for row in OTHER_SLIPS]
)
def test_a_slip_on_another_label_is_told_with_its_line(
    tmp_path: Path, family: str, old: str, new: str, told: str
) -> None:
    text = complaints(tmp_path, f"fittings/{family}.yaml", old, new)
    assert told in text
    assert f"{family}.yaml:" in text


@pytest.mark.parametrize(("file", "old", "new"), AT_THE_BOUND, ids=[row[2] for row in AT_THE_BOUND])
def test_a_figure_at_its_bound_is_taken(tmp_path: Path, file: str, old: str, new: str) -> None:
    folder = tmp_path / "content"
    shutil.copytree(ROOT / "content", folder)
    text = (folder / file).read_text("utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1), "utf-8")
    assert "demo-saddle-bolt" in load(folder, prose=False).families
