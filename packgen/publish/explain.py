"""How one value came about, as plain data and as lines for the terminal.

In: a `Combination`, a register name, the unit systems asked for. Out: a dict, the same under `--format json`,
and its lines. Vocabulary: *kind* is that of a value, or "absent" where the combination has none of that name;
`why` says why a value is a box to fill in, or why it is absent.
"""

from __future__ import annotations

from typing import Any

from packgen.calc.ledger import Input, Value
from packgen.calc.request import Combination
from packgen.formulas import filled
from packgen.register import REGISTER
from packgen.rounding import Units

_NEEDS_JOB = "it needs a job: packgen job works it out"
_WAYS = {"up": "up", "down": "down", "nearest": "to the nearest"}
_ABSENT = "it does not apply to this combination, or nobody states what it follows from"


def explain_data(combination: Combination, name: str, units: Units) -> dict[str, Any]:
    """Everything there is to say of one value; `name` stands in the register."""
    entry, value = REGISTER[name], combination.values.get(name)
    data: dict[str, Any] = {"name": name, "definition": entry.definition, "unit": entry.unit}
    if value is None:
        return {**data, "kind": "absent", "why": _NEEDS_JOB if entry.needs_job else _ABSENT}
    data["kind"] = value.kind
    if value.kind == "blank":
        return {**data, "why": "; ".join(value.sources), "required": value.required}
    first = combination.request.first
    data |= {
        "value": value.words if value.words is not None else value.number,
        "text": value.text(units, first),
        "us": value.text("us", first),
        "si": value.text("si", first),
    }
    return {**data, **_working(combination, value, units), "sources": list(value.sources)}


def _working(combination: Combination, value: Value, units: Units) -> dict[str, Any]:
    """Method, formula, symbols and the result before rounding; nothing for a stated value."""
    working = value.working
    if working is None:
        return {}
    found = filled(value.name, working.inputs)
    signed = [(each.sign, each.input) for each in found.given] if found else [("", i) for i in working.inputs]
    return {
        "method": working.words,
        "formula": found.text if found else None,
        "symbols": [{"symbol": sign, **_input(combination, each, units)} for sign, each in signed],
        "result": value.result,
        "direction": value.entry.direction,
    }


def _input(combination: Combination, each: Input, units: Units) -> dict[str, Any]:
    """An input: what it is called, its text, and its unrounded number where it is a value itself."""
    if isinstance(each, tuple):
        return {"is": each[0], "text": each[1]}
    value = combination.values[each]
    said = {"is": each, "text": value.text(units, combination.request.first)}
    return said if value.number is None else {**said, "value": value.number, "unit": value.entry.unit}


def explain_lines(data: dict[str, Any]) -> list[str]:
    """The same as lines for the terminal."""
    shown = {"absent": "absent", "blank": "ENTER (blank)"}.get(data["kind"])
    lines = [f"{data['name']}: {shown or data['text'] + ' (' + data['kind'] + ')'}"]
    lines.append(f"  what: {data['definition']}")
    if "why" in data:
        required = ["  required: the pack is refused without it"] if data.get("required") else []
        return [*lines, f"  why: {data['why']}", *required]
    if data["us"] != data["si"]:
        lines.append(f"  printed: us {data['us']}; si {data['si']}")
    if "method" in data:
        lines += _working_lines(data)
    told = "source" if "method" in data else "stated by"
    return lines + [f"  {told}: {source}" for source in data["sources"]]


def _working_lines(data: dict[str, Any]) -> list[str]:
    """The lines of a working."""
    lines = [f"  method: {data['method']}"]
    lines += [f"  formula: {data['formula']}"] if data["formula"] else []
    for each in data["symbols"]:
        signed = f"{each['symbol']} = {each['text']} ({each['is']})"
        lines.append(f"  with: {signed if each['symbol'] else each['is'] + ' ' + each['text']}")
    way = "" if isinstance(data["value"], str) else f", rounded {_WAYS[data['direction']]}"
    return [*lines, f"  result: {data['result']}{way}"]
