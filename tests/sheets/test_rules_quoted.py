"""The work rules at the end of a pack's workings: each that the pack rests on, with its revision."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from packgen.model.catalog import Catalog
from packgen.model.job import Job
from packgen.sheets.blocks import Code, Section, Sheet, Why, words_of
from packgen.sheets.deck import blank_pack_sheets, pack_sheets
from packgen.sheets.media import pack_medium
from packgen.sheets.rules_quoted import BEHIND_ROWS, BEHIND_VALUES, quoted_rules
from packgen.sheets.view import View

ViewsOf = Callable[..., list[View]]
JobOf = Callable[[str], Job]
PACK, SQUARE = pack_medium("letter"), Code("", "2222-2222-2222", 1.0, "code")
TITLE = "Work rules quoted"


def quoted_on(sheet: Sheet) -> list[tuple[str, str]]:
    """Ids and revisions in the list that ends a sheet; empty where it has none."""
    titles = [block.text for block in sheet.blocks if isinstance(block, Section)]
    if TITLE not in titles:
        return []
    last = max(at for at, block in enumerate(sheet.blocks) if isinstance(block, Section))
    lines = [words_of(block.line) for block in sheet.blocks[last + 1 :] if isinstance(block, Why)]
    return [found for line in lines for found in re.findall(r"([a-z-]+) revision (\d+)", line)]


@pytest.mark.parametrize("name", ["first-lateral", "repair-tie-in", "live-tap", "service-tap"])
def test_a_pack_ends_with_every_rule_it_rests_on(
    name: str, job_of: JobOf, views_of: ViewsOf, catalog: Catalog
) -> None:
    """Once, with the last joint's workings, for all joints."""
    job = job_of(name)
    views = views_of(job)
    sheets = pack_sheets(views, job, PACK, SQUARE, ())
    listed = [quoted_on(sheet) for sheet in sheets]
    assert [bool(found) for found in listed] == [*[False] * (len(sheets) - 1), True]
    expected = {rule for view in views for rule in quoted_rules(view)}
    assert listed[-1] == [
        (rule.id, str(rule.revision)) for rule in catalog.rules.values() if rule.id in expected
    ]
    assert len(expected) > 55


def test_every_rule_that_a_source_or_a_step_names_is_quoted(each_view: View) -> None:
    quoted = set(quoted_rules(each_view))
    sources = [source for value in each_view.values.values() for source in value.sources]
    cited = {found[1] for source in sources if (found := re.match(r"work rule ([a-z-]+) revision", source))}
    assert cited and cited <= quoted


def test_a_choice_of_words_is_quoted_with_the_value_it_stands_behind(
    job_of: JobOf, views_of: ViewsOf
) -> None:
    (view,) = views_of(job_of("first-lateral"))
    quoted = set(quoted_rules(view))
    assert {"lel-limit", "refusion", "hand-scraper"} <= quoted  # printed by steps
    assert {"soiled-zone", "full-pressure-wait", "requalification", "outlet-lowest"} <= quoted
    # The label states its own peel and feeler, and no valve is tapped through.
    assert not {"peel-depth-max", "feeler", "stack-purge", "outlet-gas"} & quoted


def test_a_rule_behind_a_value_goes_with_it(job_of: JobOf, views_of: ViewsOf) -> None:
    (view,) = views_of(job_of("first-lateral"))
    values = {name: value for name, value in view.values.items() if name != "peel.passes_max"}
    bare = replace(view, combination=replace(view.combination, values=values))
    assert set(quoted_rules(view)) - set(quoted_rules(bare)) == {"soiled-zone", "peel-passes"}


def test_the_revision_and_the_approving_role_are_those_of_the_rule(
    job_of: JobOf, views_of: ViewsOf, catalog: Catalog
) -> None:
    job = job_of("first-lateral")
    (view,) = views_of(job)
    rules = {**catalog.rules, "lel-limit": catalog.rules["lel-limit"].model_copy(update={"revision": 4})}
    approved = {**catalog.approved_by, "lel-limit": "gas safety"}
    view = replace(view, catalog=replace(catalog, rules=rules, approved_by=approved))
    *_, workings = pack_sheets([view], job, PACK, SQUARE, ())
    texts = [words_of(block.line) for block in workings.blocks if isinstance(block, Why)]
    assert texts[-1] == "Approved by gas safety: lel-limit revision 4."
    assert texts[-2].startswith("Approved by field engineering: peel-passes revision 1; ")


def test_a_pack_without_a_job_quotes_its_rules_too(job_of: JobOf, views_of: ViewsOf) -> None:
    (view,) = views_of(job_of("first-lateral"))
    *_, workings = blank_pack_sheets(view, PACK, SQUARE, (), "2026-05-12")
    assert [rule for rule, _ in quoted_on(workings)] == list(quoted_rules(view))


def test_every_rule_that_stands_behind_something_exists(catalog: Catalog) -> None:
    named = {rule for table in (BEHIND_VALUES, BEHIND_ROWS) for rules in table.values() for rule in rules}
    assert named <= set(catalog.rules)
