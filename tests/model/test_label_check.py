"""Slips of the pen on a label: told with line and bound.

The bounds are common practice, no source, but where a test names one.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError
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
    ("reference_temperature: 23 degC", "reference_temperature: 90 degC", "expected 0 to 45 degC"),
    ("pressure_max: 200 psi", "pressure_max: 200 MPa", "pressure_max 200 MPa is no figure a label can state"),
    ("data: demo\n", "", "the source demo-label is invented, and the family does not say so"),
]  # fmt: skip


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


def test_a_saw_of_a_size_that_stands_already_is_told(tmp_path: Path) -> None:
    text = complaints(tmp_path, "tools/hole-saws.yaml", "size: 13/16 in", "size: 3/4 in")
    assert "the saw saw-in-0813 is of the size 3/4 in, as saw-in-0750 is; keep one saw of each size" in text


def test_a_saw_wider_inside_than_outside_is_told(tmp_path: Path) -> None:
    wide = ("inside_diameter: 0.59 in", "inside_diameter: 0.79 in")
    text = complaints(tmp_path, "tools/hole-saws.yaml", *wide)
    assert "inside_diameter 0.79 in is not below the size 3/4 in" in text
