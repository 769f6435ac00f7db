"""Golden: the values of both demo jobs as they were last looked at. A change here is no mistake, but must be
meant.

These files prove nothing about right or wrong: published values are checked in tests/references, and
tests/publish/test_every_number.py works every number out again. They show what a change moved. To renew them
after a change that is meant, from the top folder: `packgen job content/jobs/*.yaml --output build`, then copy
`build/jobs/HL-0427/values.json` to `tests/golden/first-lateral.json` and `build/jobs/HL-0431/values.json` to
`tests/golden/repair-tie-in.json`, and read the difference line by line.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

GOLDEN = Path(__file__).parent


@pytest.mark.parametrize("job", ["first-lateral", "repair-tie-in"])
def test_the_values_are_those_last_looked_at(job: str, issued: dict[str, Any]) -> None:
    """Joint by joint and value by value; the code is left out, since every word changes it."""
    kept, found = json.loads((GOLDEN / f"{job}.json").read_text("utf-8")), issued[job].data
    for data in (kept, found):
        del data["code"]
    before, now = (data.pop("joints") for data in (kept, found))
    assert found == kept
    assert [joint["id"] for joint in now] == [joint["id"] for joint in before]
    for old, new in zip(before, now, strict=True):
        old_values, new_values = old.pop("values"), new.pop("values")
        assert new == old
        assert list(new_values) == list(old_values)
        changed = {name: (old_values[name], new_values[name]) for name in old_values
                   if old_values[name] != new_values[name]}  # fmt: skip
        assert changed == {}
