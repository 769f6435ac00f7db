"""Every combination of the starter's families, worked out once for all laws.

In: the starter's content. Out: `CASES`, each a family, the place of a pair in it and a ratio; `worked` for
one of them. Vocabulary: a coupling's main and lateral are of one ratio; a pair is *drawn* where its label
holds drawing data.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.model.catalog import Catalog
from packgen.model.designation import Designation
from packgen.model.family_records import Family, Pair
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
RATIOS = {
    "IPS": (9.0, 11.0, 13.5, 17.0), "DIPS": (9.0, 11.0, 13.5, 17.0), "ISO": (9.0, 11.0, 13.6, 17.0),
    "CTS": (9.0, 11.0, 13.5),
}  # fmt: skip
# The pairs of demo-saddle-strap whose label states no drawing data.
PLAIN_LABEL = {("6 in", "1 in"), ("110 mm ISO", "32 mm ISO")}

Case = tuple[str, int, float]


@cache
def catalog() -> Catalog:
    """The starter's content."""
    return load(CONTENT, prose=False)


def ratios(family: Family, pair: Pair) -> list[float]:
    """The ratios of the pair's main that a table holds; of a coupling, those its laterals may have."""
    (size, system), _ = family.ends(pair)
    table = catalog().tables[system]
    made = table.ratios(next(row for row in table.sizes if row.name == size))
    found = [ratio for ratio in RATIOS[system] if ratio in made]
    return [ratio for ratio in found if family.type != "coupling" or ratio in family.lateral.dr]


CASES: list[Case] = [
    (family.id, index, ratio)
    for family in catalog().families.values()
    for index, pair in enumerate(family.pairs)
    for ratio in ratios(family, pair)
]


@cache
def worked(family_id: str, index: int, ratio: float) -> Combination:
    """One case without a job, in the family's first material for each size system."""
    family = catalog().families[family_id]
    main, lateral = family.ends(family.pairs[index])
    of_lateral = ratio if family.type == "coupling" else family.lateral.dr[0]
    pipes = []
    for end, of_pipe, dr in ((main, family.main, ratio), (lateral, family.lateral, of_lateral)):
        material = catalog().first_material(of_pipe.materials, end[1])
        pipes.append(catalog().pipe(Designation(*end, dr, material, None)))
    return work_out(Request(catalog(), pipes[0], pipes[1], family))


def name_of(case: Case) -> str:
    """A case in words, for the name of a test."""
    family_id, index, ratio = case
    pair = catalog().families[family_id].pairs[index]
    return f"{family_id}, {pair.lateral} on {pair.main}, {ratio:g}"


def steps_of_the_wall() -> list[tuple[Combination, Combination]]:
    """Each pair at two ratios that follow one another: the thinner wall, then the thicker."""
    return [(worked(*thin), worked(*thick)) for thick, thin in pairwise(CASES) if thick[:2] == thin[:2]]


def number(found: Combination, name: str) -> float:
    """A value's number, which must be there."""
    value = found.number(name)
    assert value is not None, f"{name} is absent"
    return value


def is_drawn(found: Combination) -> bool:
    """Whether the pair has drawing data."""
    pair = found.request.pair
    assert pair is not None
    return found.request.family.id != "demo-saddle-strap" or (pair.main, pair.lateral) not in PLAIN_LABEL
