"""The forms of a pack as content: what they name exists, their tables are even, conditions can be met."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
FORMS = "procedures/en/pack-forms.yaml"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("talk: hazards", "talk: hazard", "the procedure 'hazard' is not known; expected the id of a proc"),
        ("stops: stop-redo-reject", "stops: stop-redo", "the procedure 'stop-redo' is not known"),
        ("follows: hazards", "follows: hazrds", "the procedure 'hazrds' is not known"),
        ("[mud-gone, record", "[mud-gon, record", "the step 'mud-gon' is not known; expected the id of"),
        (
            "rule: requalification", "rule: requalify",
            "the work rule 'requalify' is not known; expected the id of a work rule",
        ),
        (
            "shares: [7, 32, 21, 26, 14]", "shares: [7, 32, 21, 26, 15]",
            "heads and shares do not agree; expected a share for each head, together 100",
        ),
        ("shares: [7, 32, 21, 26, 14]", "shares: [60, 40]", "heads and shares do not agree"),
        ("lines: 8", "lines: 0", "the table has no rows; give 'rows', or 'lines' to number"),
        (
            "when: {fitting: [coupling]}", "when: {fitting: [coupling], method: [open drill]}",
            "the part 'The fusion zones, unrolled' stands in no job",
        ),
        ("draws_on: stops", "draws_on: stop", "expected"),
    ],
)  # fmt: skip
def test_a_mistake_in_a_form_is_told_at_its_line(old: str, new: str, said: str, tmp_path: Path) -> None:
    """One complaint, with the file and the line that holds the mistake."""
    content = tmp_path / "content"
    shutil.copytree(CONTENT, content)
    text = (content / FORMS).read_text("utf-8")
    assert old in text
    (content / FORMS).write_text(text.replace(old, new, 1), "utf-8")
    line = text[: text.index(old)].count("\n") + 1
    with pytest.raises(ContentError) as caught:
        load(content)
    (told,) = str(caught.value).splitlines()
    told = told.replace(f"{content}/", "")
    place = int(told.split(":")[1])
    assert told.startswith(f"{FORMS}:") and abs(place - line) <= 3, told
    assert said in told


def test_every_form_has_an_id_of_its_own() -> None:
    """A sheet is found by the id of its form."""
    forms = load(CONTENT).pack_forms
    assert forms is not None
    ids = [form.id for form in forms.forms]
    assert len(ids) == len(set(ids)) == 3
    assert not set(ids) & {"cover", "contents", "holds", "values", "fit", "record", "inspection", "workings"}
