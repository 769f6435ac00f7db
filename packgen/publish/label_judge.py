"""What the records and checks say of a family that is not finished yet.

In: a family's file as plain values, the catalogue it will stand beside. Out: problems. Vocabulary: a
*stand-in* takes the place of what is not answered yet, so that one answer can be judged before the rest.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from packgen.errors import Problem, Problems
from packgen.model.catalog import Catalog
from packgen.model.cross_check import cross_check
from packgen.model.family_records import METHODS_OF, Family
from packgen.model.found import Found
from packgen.model.validate import validate
from packgen.model.yaml_reader import Document

# No value of these is ever kept; the ratios let any other stand beside them.
_STAND_IN: dict[str, Any] = {
    "id": "none", "title": "none", "type": "branch saddle", "clamping": "screws", "system": "IPS",
    "date": date(2000, 1, 1), "source": "none", "contents": ("water",),
    "main": {"dr_min": 1.5, "dr_max": 99, "materials": ("none",)},
    "lateral": {"dr": (11,), "materials": ("none",)},
}  # fmt: skip
_PAIR = {"main": "6 in", "lateral": "2 in"}


def problems_about(path: str, plain: Mapping[str, Any], catalog: Catalog) -> list[Problem]:
    """What is wrong with the value at one dotted key path, stand-ins in place of what is missing."""
    found = problems_of(_whole(plain), catalog)
    return [
        problem
        for problem in found
        if problem.place.key == path or problem.place.key.startswith((f"{path}.", f"{path}["))
    ]


def problems_of(plain: Mapping[str, Any], catalog: Catalog) -> list[Problem]:
    """All that is wrong with a family, as its file's reader would say it."""
    problems = Problems()
    document = Document("", dict(plain))
    record = validate(document, Family, problems)
    if record is not None:
        cross_check(_beside(catalog, record, document), problems)
    return list(problems)


def _beside(catalog: Catalog, family: Family, document: Document) -> Found:
    """The family beside the facts it is judged by."""
    found = Found()
    found.items["tables"] = {table.id: table for table in catalog.tables.values()}
    found.items["materials"] = dict(catalog.materials)
    found.items["rules"] = dict(catalog.rules)
    found.items["sources"] = {**catalog.sources, family.source: None}  # written with the family
    found.items["families"] = {family.id: family}
    found.documents["families", family.id] = (document, ())
    return found


def _whole(plain: Mapping[str, Any]) -> dict[str, Any]:
    """A family with a stand-in for each key that is missing."""
    whole = {**_STAND_IN, **plain}
    for side in ("main", "lateral"):
        whole[side] = {**_STAND_IN[side], **whole[side]}
    whole["pairs"] = tuple({**_PAIR, **pair} for pair in plain.get("pairs", ())) or (_PAIR,)
    ways = METHODS_OF.get(whole["type"], ())
    if not ways:
        whole = {key: value for key, value in whole.items() if key in plain or key != "clamping"}
    return {"methods": ways[:1], **whole} if ways else whole
