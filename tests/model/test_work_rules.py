"""The work rules of the starter: one for each question on which the trade, or its texts, differ.

In: the starter's rules. Out: a failure that names the rule and what it lacks. The questions are those of the
trade's practice; the answers are the owner's.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.model.records import WorkRule

CONTENT = Path(__file__).parents[2] / "content"
# Where practice differs: the rule that settles it, and how the others answer.
CONFLICTS = {
    "depth of one peel, least": ("peel-depth-min", {"0.1 mm", "0.2 mm"}),
    "depth of one peel, greatest": ("peel-depth-max", {"0.2 mm"}),
    "a second pass": ("peel-passes", {2}),
    "which surface is peeled": ("peeled-zone", {"whole circumference"}),
    "a soiled zone peeled again": ("soiled-zone", {"peel again"}),
    "a scraper by hand": ("hand-scraper", {"permitted where no peeler fits, by a fuser trained in it"}),
    "how far out of round": ("ovality", {"5 %"}),
    "the clamp afterwards": ("leave-clamp", {"left on"}),
    "a code that does not read": ("unreadable-code", {"stop"}),
    "fusing again after a break": (
        "refusion", {"once after full cooling, nothing moved, power loss only"},
    ),
    "the wait before full pressure": ("full-pressure-wait", {"a multiple of the label's clamp time"}),
    "the wait in heat": ("heat-wait", {"a multiple of the stated wait"}),
    "a test before the cut": ("test-before-cut", {"only where the owner of the main asks for it"}),
    "the upper limit of a gas test": ("leak-test-gas-upper-share", {"300 %"}),
    "the wall of the gap stop": ("squeeze-wall", {"thickest permitted wall"}),
    "distance of two saddles": ("spacing-saddle-to-saddle", {"18 in"}),
    "distance to the pipe's end": ("spacing-saddle-to-pipe-end", {"18 in"}),
    "the hole's share of the main": ("hole-share", {"33 %", "75 %"}),
    "gas in the air": ("lel-limit", {"10 %"}),
    "the generator at altitude": ("generator-derating-altitude", {"3 %"}),
    "the generator in heat": ("generator-derating-heat", {"1 %"}),
    "the drop along the cord": ("supply-voltage-drop", {"3 %"}),
}  # fmt: skip
# Where practice has one answer and no text to read it in.
FROM_MEMORY = (
    "surface-loss", "gap-second-try", "coupon-not-found", "dew-margin", "leak-test-water-share",
    "squeeze-distance", "squeeze-distance-diameters", "squeeze-compression", "squeeze-close-rate",
    "squeeze-release-rate",
)  # fmt: skip


@cache
def catalog() -> Catalog:
    """The starter's content."""
    return load(CONTENT, prose=False)


def ruled(rule_id: str) -> WorkRule:
    """A rule with role, revision and reason, for the owner to confirm."""
    rule = catalog().rules[rule_id]
    assert rule.confirm == "owner"
    assert rule.reason.strip() and rule.question.strip()
    assert rule.revision >= 1 and rule.review_by.year > 2026
    assert catalog().approved_by[rule_id] == "field engineering"
    assert rule.source in catalog().sources
    return rule


@pytest.mark.parametrize(("rule_id", "others"), CONFLICTS.values(), ids=CONFLICTS.keys())
def test_a_conflict_of_the_trade_is_settled_once_with_its_alternatives(
    rule_id: str, others: set[str | int]
) -> None:
    """Each alternative names its source, and none of them is the chosen value."""
    rule = ruled(rule_id)
    assert {other.value for other in rule.alternatives} >= others
    assert rule.value not in {other.value for other in rule.alternatives}
    assert all(other.source in catalog().sources for other in rule.alternatives)


@pytest.mark.parametrize("rule_id", FROM_MEMORY)
def test_an_answer_without_a_text_is_for_the_owner_to_confirm(rule_id: str) -> None:
    assert ruled(rule_id).source in {"trade-memory", "astm-f1041", "astm-f2164"}


@pytest.mark.parametrize("rule_id", ["kit-wipes-a-surface", "kit-peels-a-blade", "kit-cuts-a-saw"])
def test_a_count_of_the_kit_is_one_at_least(rule_id: str, tmp_path: Path) -> None:
    """A wipe that wipes nothing, a blade that makes no peel and a saw that makes no cut are told."""
    with pytest.raises(ContentError) as refused:
        load(own(tmp_path, rule_id, "0"), prose=False)
    assert "0 is outside what the calculation takes; expected 1 to " in str(refused.value)
    assert load(own(tmp_path / "one", rule_id, "1"), prose=False).rules[rule_id].value == 1


@pytest.mark.parametrize(("rule_id", "value"), [
    ("kit-spare", "0 %"), ("kit-spare-blades", "0"), ("kit-spare-fittings", "0"),
])  # fmt: skip
def test_an_owner_may_bring_no_spares(rule_id: str, value: str, tmp_path: Path) -> None:
    assert str(load(own(tmp_path, rule_id, value), prose=False).rules[rule_id].value) == value


@pytest.mark.parametrize(("value", "said"), [
    ("0 L/m2", "'0 L/m2' makes the limit nothing; expected a volume for an area above zero"),
    ("2 L", "'2 L': L measures volume; expected a volume for an area with its unit (L/m2)"),
])  # fmt: skip
def test_the_liquid_of_the_kit_is_a_volume_for_an_area(value: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError) as refused:
        load(own(tmp_path, "kit-liquid", value), prose=False)
    assert said in str(refused.value)


def own(folder: Path, rule_id: str, value: str) -> Path:
    """A content folder of its own that replaces one rule."""
    (folder / "rules").mkdir(parents=True)
    (folder / "packgen.yaml").write_text(
        "kind: content folder\ntitle: Own\nrevision: 1\ndate: 2026-05-01\n", "utf-8"
    )
    (folder / "rules" / "own.yaml").write_text(
        f"kind: work rules\napproved_by: operations\nrules:\n  - id: {rule_id}\n    question: How many?\n"
        f"    value: {value}\n    source: starter-choice\n    revision: 2\n    review_by: 2027-05-01\n"
        f"    replaces: {rule_id}\n    why: ours\n",
        "utf-8",
    )
    return folder
