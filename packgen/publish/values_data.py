"""Values as JSON and CSV: the public form of one combination.

In: a `Combination` and a unit choice. Out: plain dicts and CSV text. Vocabulary: `value` is unrounded in
the register's unit (null for a blank, a string for words), `text` is as printed under the units chosen; a
value that does not apply is absent.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from packgen.calc.ledger import Value
from packgen.calc.request import Combination
from packgen.model.job import Job
from packgen.rounding import Units

COLUMNS = ("name", "value", "unit", "text", "kind", "working", "sources")


def combination_data(combination: Combination, units: Units) -> dict[str, Any]:
    """One combination as plain data."""
    request = combination.request
    return {
        "main": str(request.main.designation),
        "lateral": str(request.lateral.designation),
        "family": request.family.id,
        "verdict": combination.verdict,
        "reasons": [{"what": reason.what, "cure": reason.cure} for reason in combination.reasons],
        "values": {
            name: _value_data(value, combination, units) for name, value in combination.values.items()
        },
    }


def _value_data(value: Value, combination: Combination, units: Units) -> dict[str, Any]:
    """One value as plain data."""
    first = combination.request.first
    working = None
    if value.working:
        inputs = {}
        for item in value.working.inputs:
            name, text = (
                item if isinstance(item, tuple) else (item, combination.values[item].text(units, first))
            )
            inputs[name] = text
        working = {"words": value.working.words, "inputs": inputs, "result": value.result}
    return {
        "value": value.words if value.words is not None else value.number,
        "unit": value.entry.unit,
        "text": value.text(units, first),
        "kind": value.kind,
        "direction": value.entry.direction,
        "working": working,
        "sources": list(value.sources),
    }


def to_json(data: Any) -> str:
    """Plain data as JSON text, the same bytes each time."""
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def to_csv(combinations: Sequence[tuple[str | None, Combination]], units: Units) -> str:
    """Values as CSV; the first column is the joint where joints are named."""
    joints = any(joint is not None for joint, _ in combinations)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow((*(("joint",) if joints else ()), *COLUMNS))
    for joint, combination in combinations:
        for name, row in combination_data(combination, units)["values"].items():
            cells = [
                name,
                "" if row["value"] is None else row["value"],
                row["unit"],
                row["text"],
                row["kind"],
            ]
            cells += [_working_text(row["working"]), "; ".join(row["sources"])]
            cells = [_no_formula(cell) for cell in cells]
            writer.writerow(([joint] if joints else []) + cells)
    return out.getvalue()


def _no_formula(cell: Any) -> Any:
    """Words that a spreadsheet would take for a formula, behind an apostrophe."""
    return f"'{cell}" if isinstance(cell, str) and cell[:1] in {"=", "+", "-", "@", "\t"} else cell


def _working_text(working: dict[str, Any] | None) -> str:
    """A working on one line."""
    if working is None:
        return ""
    inputs = "; ".join(f"{name} = {text}" for name, text in working["inputs"].items())
    return f"{working['words']}: {inputs} → {working['result']}"


def job_data(
    job: Job, code: str, date: str, joints: Sequence[tuple[str, Combination]], units: Units
) -> dict[str, Any]:
    """A job's values.json."""
    rows = [{"id": joint, **combination_data(combination, units)} for joint, combination in joints]
    return {"job": job.id, "revision": job.revision, "code": code, "date": date, "joints": rows}
