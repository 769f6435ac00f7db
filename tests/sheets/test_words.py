"""The words file: every word is used, a missing one is an error, and what is filled in stays words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.register import REGISTER
from packgen.sheets.words import Words, load_words

ROOT = Path(__file__).parents[2]
# Groups whose keys are put together in code from names of the register, of checks or of blocks.
MADE_UP = {
    "values", "figures", "fit", "groups", "emergency", "gate", "signal", "state", "kind", "direction",
    "verdict", "print_first", "values_sheet", "fit_sheet", "job_words", "coupling_values", "day", "ladder",
    "bands", "case_proofs", "saddle_tag", "saddle_tag_boxes",
    "contents", "holds", "inspection", "forms", "unrolled",
}  # fmt: skip


def test_every_word_is_used() -> None:
    """A word nobody prints would still change the code of every pack."""
    files = [*(ROOT / "packgen").rglob("*.py"), *(ROOT / "templates").rglob("*.html")]
    text = "".join(path.read_text("utf-8") for path in files)
    asked = set(re.findall(r"""["']([a-z_]+(?:\.[a-z_]+)?)["']""", text))
    made = {"site." + name for name in ("cards_pdf", "screen_pdf", "values_json", "values_csv", "sizes_csv")}
    made |= {"cover.by_squeeze_off", "cover.by_valves", "cover.sides_both", "cover.sides_one"}
    keys = {
        group if isinstance(inner, str) else f"{group}.{key}"
        for group, inner in load_words().all.items()
        if group not in MADE_UP
        for key in (inner if not isinstance(inner, str) else ("",))
    }
    assert keys - asked - made == set()


def test_every_value_has_a_label() -> None:
    words = load_words()
    assert all(words(f"values.{name}") for name in REGISTER)
    assert set(words.group("values")) == set(REGISTER)


def test_a_coupling_has_words_of_its_own_only_where_the_saddle_s_would_be_wrong() -> None:
    """Each one is the name of a value of a coupling, and says something else."""
    words = load_words()
    own = words.group("coupling_values")
    assert set(own) == {"fitting.wall", "fuse.main_wall_min"}
    assert all(
        words(f"values.{name}") != label and "main" not in label.lower() for name, label in own.items()
    )


def test_braces_in_what_is_filled_in_are_only_words() -> None:
    """A role named "{until}" is printed as typed."""
    words = Words({"cover": {"fuser": "{role}, qualified until {until}"}})
    assert words("cover.fuser", role="fuser {until}", until="2027-03-31") == (
        "fuser {until}, qualified until 2027-03-31"
    )


@pytest.mark.parametrize("key", ["cover.nothing", "nothing", "cover", "nothing.at_all"])
def test_a_missing_word_is_an_error(key: str) -> None:
    with pytest.raises(ContentError, match=f"no words for '{key}'"):
        load_words()(key)
