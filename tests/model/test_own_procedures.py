"""Sheets of one's own beside the packaged ones: what they may add, and what they can never take away."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.load import load
from packgen.model.prose import Facts, Procedure

CONTENT = Path(__file__).parents[2] / "content"
MARK = "kind: content folder\ntitle: Ours\nrevision: 1\ndate: 2026-05-01\n"
SHEET = """---
id: our-noise
title: Noise
order: {order}
on: [pack]
---
Neighbours are told first.

## In the town {{: state="dry, isolated" contents="water" }}

1. Tell the neighbours.
   {{: #{first} }}

## At night {{: state="live" }}

1. Set the lamps.
   {{: #{second} }}
"""


def own(folder: Path, order: int = 26, first: str = "our-told", second: str = "our-lamps") -> Path:
    """An own content folder with one sheet."""
    path = folder / "procedures" / "en" / "our-noise.md"
    path.parent.mkdir(parents=True)
    path.write_text(SHEET.format(order=order, first=first, second=second), encoding="utf-8")
    (folder / "packgen.yaml").write_text(MARK, encoding="utf-8")
    return folder


def refusal(folder: Path) -> str:
    """What is said of an own folder."""
    with pytest.raises(ContentError) as caught:
        load(folder)
    return str(caught.value)


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> list[Procedure]:
    """All sheets, the own one among them."""
    return list(load(own(tmp_path_factory.mktemp("ours"))).procedures)


@pytest.mark.parametrize(
    ("facts", "kept"),
    [
        ({"state": "dry", "contents": "water"}, ["our-told"]),
        ({"state": "isolated", "contents": "water"}, ["our-told"]),
        ({"state": "dry", "contents": "gas"}, []),
        ({"state": "live", "contents": "gas"}, ["our-lamps"]),
        ({}, []),
    ],
)
def test_a_section_of_an_own_sheet_is_kept_where_its_conditions_hold(
    facts: Facts, kept: list[str], sheets: list[Procedure]
) -> None:
    (ours,) = (sheet for sheet in sheets if sheet.head.id == "our-noise")
    steps = ours.conditioned_steps()
    assert [step.id for when, step in steps if when.met(facts)] == kept


def test_an_own_sheet_stands_in_its_order_among_all_packaged_ones(sheets: list[Procedure]) -> None:
    orders = [(sheet.head.order, sheet.head.id) for sheet in sheets]
    assert orders == sorted(orders) and (26, "our-noise") in orders
    assert len(orders) == len(list((CONTENT / "procedures").rglob("*.md"))) + 1


def test_sections_that_exclude_each_other_may_share_a_step(tmp_path: Path) -> None:
    sheets = load(own(tmp_path, second="our-told")).procedures
    assert [step.id for sheet in sheets for step in sheet.steps].count("our-told") == 2


@pytest.mark.parametrize("gate", ["gap-checked", "display-equals-label", "coupon-seen", "second-look"])
def test_an_own_sheet_cannot_word_a_packaged_gate_as_a_plain_step(gate: str, tmp_path: Path) -> None:
    """Not even ahead of it: the id stands, and the packaged step with it."""
    said = refusal(own(tmp_path, order=1, first=gate))
    assert f"the step id '{gate}' stands twice" in said
    assert "our-noise.md:" in said


def test_a_slot_that_names_nothing_is_told_in_the_own_sheet(tmp_path: Path) -> None:
    path = own(tmp_path) / "procedures" / "en" / "our-noise.md"
    path.write_text(path.read_text("utf-8").replace("Set the lamps", "Set {{ fuse.tme }}"), "utf-8")
    said = refusal(tmp_path)
    assert "our-noise.md:16" in said and "did you mean 'fuse.time'?" in said


def test_a_section_with_a_condition_that_is_none_is_told(tmp_path: Path) -> None:
    path = own(tmp_path) / "procedures" / "en" / "our-noise.md"
    path.write_text(path.read_text("utf-8").replace('state="live"', 'state="alive"'), "utf-8")
    assert "our-noise.md:14" in refusal(tmp_path)


def test_packaged_tools_and_materials_are_never_replaced(tmp_path: Path) -> None:
    own(tmp_path)
    names = (
        "tools/demo-valves.yaml",
        "tools/demo-machines.yaml",
        "tools/demo-plugs.yaml",
        "other-materials.yaml",
    )
    for name in names:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        shutil.copy(CONTENT / name, tmp_path / name)
    said = refusal(tmp_path)
    for name in names:
        assert re.search(rf"{name}:.*is packaged .*cannot be replaced", said), name


def test_an_own_fitting_or_tool_on_an_invented_source_keeps_the_mark(tmp_path: Path) -> None:
    """The stamp does not go away by giving invented numbers an id of one's own."""
    own(tmp_path)
    for name, old in (
        ("fittings/demo-saddle-screw.yaml", "id: demo-saddle-screw"),
        ("tools/demo-valves.yaml", "id: demo-"),
    ):
        text = (CONTENT / name).read_text("utf-8")
        assert "data: demo" in text
        text = (
            text.replace(old, old.replace("demo-", "our-"))
            .replace("data: demo\n", "\n")
            .replace("data: demo,", "")
        )
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
    said = refusal(tmp_path)
    assert "demo-saddle-screw.yaml" in said and "demo-valves.yaml" in said
    assert said.count("is invented") >= 2
