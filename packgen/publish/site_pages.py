"""The pages of the site as HTML: an index, one page a combination, the trade's words, work rules, content.

In: views of combinations, the catalogue, a code and a date. Out: HTML text and CSV text for one path each.
Vocabulary: the *grid* of a family and a DR has a row a main and a column a lateral; a *refused* combination's
page gives reasons and cures, and no value anybody could work by.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from packgen.model.catalog import Catalog, read_rule_value
from packgen.model.family_records import Family
from packgen.model.fields import RuleValue
from packgen.model.records import WorkRule
from packgen.render.html import Stamp, page_html, whole
from packgen.rounding import Units, plain
from packgen.sheets.back import workings_sheet
from packgen.sheets.blocks import Sheet, Step, Why, spans
from packgen.sheets.cord_sheet import cord_sheets
from packgen.sheets.front import fit_sheet, key_values, values_sheet
from packgen.sheets.heat_sheet import heat_sheets
from packgen.sheets.media import Paper, card_medium, default_form, pack_medium
from packgen.sheets.procedure import procedure_sheets, size_tables
from packgen.sheets.standing import applicable, step_numbers
from packgen.sheets.view import View, pair_sizes
from packgen.sheets.which_pipe import which_pipe_sheet
from packgen.sheets.words import Words, slug
from packgen.units import quantity

DOWNLOADS = {
    "pocket-cards.pdf": "cards_pdf",
    "pocket-cards-screen.pdf": "screen_pdf",
    "values.json": "values_json",
    "values.csv": "values_csv",
    "sizes.csv": "sizes_csv",
}
CARD_FILES = ("pocket-cards.pdf", "pocket-cards-screen.pdf")
LANGUAGE = "en"
GridKey = tuple[str, str, str, float]


@dataclass(frozen=True)
class Link:
    """A cell of a grid: where it leads, its words, whether the combination is refused."""

    href: str
    text: str
    refused: bool


def size_folder(view: View) -> str:
    """The stable folder of a combination's page, below the site's own."""
    main, lateral = view.request.main.designation, view.request.lateral.designation
    return f"sizes/{slug(f'{main.short} {main.ratio}')}/{slug(lateral.short)}/{view.request.family.id}/"


def grid_key(view: View) -> GridKey:
    """The grid that a combination stands in: its family, size systems and DR."""
    main, lateral = view.request.main.designation, view.request.lateral.designation
    return view.request.family.id, main.system, lateral.system, main.dr


def size_page(view: View, paper: Paper, code: str, date: str, stamp: Stamp, cards_at: str = "") -> str:
    """The page of one combination; reasons and cures alone where it is refused.

    `cards_at` names the ratio whose pages hold the cards, where this page holds none.
    """
    words = view.words
    refused = bool(view.combination.reasons)
    sheets = () if refused else size_sheets(view, paper)
    elsewhere = _cards_elsewhere(view, cards_at) if cards_at else ""
    files = [file for file in DOWNLOADS if not (cards_at and file in CARD_FILES)]
    return _page(
        "size", size_folder(view), _title(view), words, stamp, tag=view.tag, scope=_scope(view, code, date),
        sheets=sheets, refused=refused, reasons=view.combination.reasons, missing=_missing(view, sheets),
        anchors=True, downloads=[(file, words(f"site.{DOWNLOADS[file]}")) for file in files],
        cards_elsewhere=elsewhere,
    )  # fmt: skip


def _cards_elsewhere(view: View, ratio: str) -> str:
    """Where the cards are kept, and how to print them for this size."""
    main, lateral = view.request.main.designation, view.request.lateral.designation
    command = f'packgen cards --main "{main}" --lateral "{lateral.short}" --family {view.request.family.id}'
    return view.words("site.cards_elsewhere", ratio=ratio, command=command)


def _page(template: str, folder: str, title: str, words: Words, stamp: Stamp, **context: Any) -> str:
    """A page in the site's frame; the way back to the site's folder follows from the page's own folder."""
    frame = {"title": title, "root": "../" * folder.count("/"), "words": words, "stamp": stamp}
    return page_html(f"site/{template}.html", language=LANGUAGE, **frame, **context)


def size_sheets(view: View, paper: Paper) -> tuple[Sheet, ...]:
    """The sheets of a combination's page, in order."""
    words = view.words
    # Figures are drawn to a card's width: a phone shows them at about that size, with their words legible.
    width = card_medium(default_form(paper)).inner
    medium = replace(pack_medium(paper), name="site", width=width, margin=0.0)
    blocks = (key_values(view), Why(spans(words("site.governs")), small=True))
    first = Sheet("first-values", words("sheets.card_values"), view.tag, blocks)
    return (first, fit_sheet(view), *procedure_sheets(view, medium, "site"))


def values_page(view: View, stamp: Stamp) -> str:
    """Every value of one combination with its working, those that the engineer alone reads among them."""
    title = view.words("site.all_values_of", size=_title(view))
    sheets = (
        values_sheet(view, engineer=True), *cord_sheets(view), *heat_sheets(view), workings_sheet(view),
    )  # fmt: skip
    folder = f"{size_folder(view)}values/"
    return _page("values", folder, title, view.words, stamp, tag=view.tag, sheets=sheets, anchors=True)


def _title(view: View) -> str:
    """What a combination is called."""
    words, request = view.words, view.request
    main, lateral = request.main.designation, request.lateral.designation
    if request.is_coupling:
        return words("site.coupling_title", lateral=f"{lateral.short} {lateral.ratio}")
    return words("site.page_title", lateral=lateral.short, main=f"{main.short} {main.ratio}")


def _scope(view: View, code: str, date: str) -> list[tuple[str, str]]:
    """What the page is for, in rows."""
    words, request, family = view.words, view.request, view.request.family
    return [
        (words("cover.main"), str(request.main.designation)),
        (words("site.lateral"), str(request.lateral.designation)),
        (words("site.family"), _family_text(words, family)),
        (words("cover.contents"), request.contents),
        (words("cover.state"), words(f"state.{request.state}")),
        (words("values.tap.method"), request.way),
        (words("site.code"), code),
        (words("site.date"), date),
    ]


def _family_text(words: Words, family: Family) -> str:
    """A family with its id and revision."""
    return words("site.family_text", title=family.title, id=family.id, revision=str(family.revision))


def _missing(view: View, sheets: Sequence[Sheet]) -> str:
    """Which steps of the joint are not on this page, so that no number is missed without a word."""
    words = view.words
    shown = {block.number for sheet in sheets for block in sheet.blocks if isinstance(block, Step)}
    absent = [number for number in step_numbers(view).values() if number not in shown]
    if not absent:
        return ""
    steps = ", ".join(words("site.not_here_step", number=str(number)) for number in absent)
    return words("site.not_here", steps=steps)


def table_names(view: View) -> list[str]:
    """The values that the tables of sizes of a combination's procedures show, in order."""
    return list(dict.fromkeys(name for table in size_tables(applicable(view)) for name in table))


def sizes_csv(view: View) -> str:
    """The table of sizes of a family's grid: a row a pair, a column a value of the sizes sheet."""
    names = table_names(view)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("lateral", "main", "verdict", *names))
    for pair in view.pairs:
        sibling, sizes = view.sibling(pair), pair_sizes(view, pair)
        verdict = "permitted" if sibling else "refused"
        cells = [sibling.text(name) if sibling else "" for name in names]
        writer.writerow((sizes["lateral"], sizes["main"], verdict, *cells))
    return out.getvalue()


def index_page(views: Sequence[View], stamp: Stamp) -> str:
    """The index: for each family and DR a grid of mains and laterals."""
    words = views[0].words
    families: dict[str, list[View]] = {}
    for view in views:
        families.setdefault(view.request.family.id, []).append(view)
    listed = [_family(family) for family in families.values()]
    return _page("index", "", words("site.title"), words, stamp, families=listed)


def _family(views: Sequence[View]) -> dict[str, Any]:
    """A family with its grids."""
    family = views[0].request.family
    return {"title": family.title, "id": family.id, "revision": str(family.revision), "grids": _grids(views)}


def _grids(views: Sequence[View]) -> list[dict[str, Any]]:
    """The grids of one family: its size systems as they are listed, and by DR within them."""
    grids: dict[GridKey, list[View]] = {}
    for view in views:
        grids.setdefault(grid_key(view), []).append(view)
    systems = list(dict.fromkeys(key[1:3] for key in grids))
    return [_grid(grids[key]) for key in sorted(grids, key=lambda key: (systems.index(key[1:3]), key[3]))]


def _grid(views: Sequence[View]) -> dict[str, Any]:
    """Mains by size down, laterals by size across."""
    links = {(_main(view), _lateral(view)): _link(view) for view in views}
    mains = sorted({main for main, _ in links}, key=_length)
    laterals = sorted({lateral for _, lateral in links}, key=_length)
    rows = [{"main": main, "links": [links.get((main, lateral)) for lateral in laterals]} for main in mains]
    first = views[0].request.main.designation
    title = views[0].words("site.main_of", system=first.system, ratio=first.ratio)
    return {"title": title, "laterals": [whole(lateral) for lateral in laterals], "rows": rows}


def _main(view: View) -> str:
    """The main's size."""
    return view.request.main.designation.size


def _lateral(view: View) -> str:
    """The lateral's size, with its system where it is not the main's."""
    main, lateral = view.request.main.designation, view.request.lateral.designation
    return lateral.size if main.system == lateral.system else lateral.short


def _length(size: str) -> float:
    """A size name's length, to sort by; a system behind it plays no part."""
    return quantity(" ".join(size.split()[:2]), "length").to("mm")


def _link(view: View) -> Link:
    """A grid's cell; a coupling's names the one size it joins."""
    text = whole(_lateral(view)) if view.request.is_coupling else _pair_line(view)
    return Link(f"{size_folder(view)}index.html", text, bool(view.combination.reasons))


def _pair_line(view: View) -> str:
    """A pair in a grid's cell."""
    return view.words("site.pair_line", lateral=whole(_lateral(view)), main=whole(_main(view)))


def glossary_page(catalog: Catalog, words: Words, stamp: Stamp) -> str:
    """The trade's words."""
    found = catalog.glossary.terms if catalog.glossary else ()
    terms = [(term.term, term.means, ", ".join(term.instead_of)) for term in found]
    return _page("glossary", "glossary/", words("site.glossary"), words, stamp, terms=terms)


def which_pipe_page(catalog: Catalog, words: Words, units: Units, stamp: Stamp) -> str:
    """The sheet for a main whose size nobody knows."""
    sheet = which_pipe_sheet(catalog, words, units)
    return _page("which-pipe", "", sheet.title, words, stamp, sheet=sheet, anchors=True)


def rules_page(catalog: Catalog, words: Words, units: Units, stamp: Stamp) -> str:
    """Every work rule: question, chosen value, others with their sources, approval, review."""
    rules = [_rule(catalog, words, units, rule) for rule in catalog.rules.values()]
    return _page("rules", "work-rules/", words("site.rules"), words, stamp, rules=rules)


def _rule(catalog: Catalog, words: Words, units: Units, rule: WorkRule) -> Mapping[str, Any]:
    """One work rule as printed."""
    others = [
        {"value": _rule_text(other.value, rule, units), "source": catalog.cite(other.source)}
        for other in rule.alternatives
    ]
    review = words(
        "site.rule_review", id=rule.id, revision=str(rule.revision), by=catalog.approved_by[rule.id],
        date=rule.review_by.isoformat(), source=catalog.cite(rule.source),
    )  # fmt: skip
    value = _rule_text(rule.value, rule, units)
    return {"id": rule.id, "question": rule.question, "value": value, "reason": rule.reason, "others": others,
            "review": review, "confirm": rule.confirm == "owner"}  # fmt: skip


def _rule_text(value: RuleValue, rule: WorkRule, units: Units) -> str:
    """A rule's chosen or other value: a quantity in both systems, words as they are."""
    read = read_rule_value(value)
    return str(value) if read is None else plain(read, units, rule.safe)


def content_page(catalog: Catalog, words: Words, stamp: Stamp) -> str:
    """Which content made the site: folders with their digests, families, sources."""
    return _page(
        "content", "content/", words("site.content"), words, stamp, folders=folder_lines(catalog, words),
        families=[_family_text(words, family) for family in catalog.families.values()],
        sources=[source.text for source in catalog.sources.values()],
    )  # fmt: skip


def folder_lines(catalog: Catalog, words: Words) -> list[str]:
    """Each content folder with its revision and digest."""
    lines = []
    for folder in catalog.folders:
        title, revision = folder.record.title, str(folder.record.revision)
        lines.append(words("cover.folder", title=title, revision=revision, digest=folder.digest))
    return lines
