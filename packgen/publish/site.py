"""The internal site: plain pages for every size, with values, procedure, figures, tables and cards to print.

In: the catalogue, options. Out: `build/site/`, written whole or not at all. No page holds a script, and no
request leaves the site: every address is relative, so that the folder works under any path of a server and
from a disk. Vocabulary: a *size* is one combination; a *batch* is some sizes that one worker makes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from packgen.calc.request import Combination
from packgen.errors import ContentError, Place, Problem
from packgen.model.catalog import Catalog
from packgen.publish.cards import content_date
from packgen.publish.identity import selection_code
from packgen.publish.options import Options
from packgen.publish.pipe_sheet import pipe_card
from packgen.publish.selection import every
from packgen.publish.site_pages import (
    GridKey,
    content_page,
    folder_lines,
    glossary_page,
    grid_key,
    index_page,
    rules_page,
    size_folder,
    size_page,
    sizes_csv,
    values_page,
    which_pipe_page,
)
from packgen.publish.values_data import combination_data, to_csv, to_json
from packgen.publish.workers import Progress, in_batches
from packgen.publish.write import write_folder
from packgen.sheets.view import View
from packgen.sheets.words import load_words

_BATCH = 3  # sizes: few enough that workers end together, enough that the catalogue is seldom handed over
_FONTS = ("Lato-Regular.ttf", "Lato-Bold.ttf")

Files = dict[str, bytes]


@dataclass(frozen=True)
class SiteResult:
    """What was made."""

    folder: Path
    pages: int
    files: int


def _all(combination: Combination) -> bool:  # noqa: ARG001
    """The whole site."""
    return True


def make_site(
    catalog: Catalog,
    options: Options,
    progress: Progress = iter,
    wanted: Callable[[Combination], bool] = _all,
) -> SiteResult:
    """Make the site.

    Parameters: `catalog`; `options`; `progress`, which shows batches as they are done; `wanted`, which sizes
    the site holds. Returns a `SiteResult`. Raises `PackgenError` where there is no size or a face cannot be
    printed; nothing is written then.
    """
    words = load_words()
    found = [each for each in every(catalog, list(catalog.families.values()), options.units) if wanted(each)]
    if not found:
        what = "no family lists a pair for the site"
        raise ContentError([Problem(Place(), what, cure="add a pair to a family")])
    views = [View(catalog, words, combination, options.units) for combination in found]
    date = options.date or content_date(catalog)
    files = _shared_files(catalog, views, options, date)
    for batch in _batches(views, date, options, progress):
        files.update(batch)
    folder = options.output / "site"
    write_folder(folder, files)
    return SiteResult(folder, sum(name.endswith(".html") for name in files), len(files))


def _batches(views: Sequence[View], date: str, options: Options, progress: Progress) -> Iterator[Files]:
    """The files of every size, batch by batch, in as many processes as asked for."""
    tables, cards = _size_tables(views), _card_grids(views)
    task = partial(_batch_files, tables=tables, cards=cards, date=date, options=options)
    return in_batches(task, views, _BATCH, options.workers, progress)


def _size_tables(views: Sequence[View]) -> dict[GridKey, bytes]:
    """The table of sizes of each grid, as CSV."""
    first = {grid_key(view): view for view in reversed(views)}
    return {key: sizes_csv(view).encode() for key, view in first.items()}


def _card_grids(views: Sequence[View]) -> dict[GridKey, str]:
    """Of each grid the ratio whose pages hold the cards: the one nearest to the family's first lateral DR.

    Cards take most of the time a site takes; those of one ratio serve a trainer, a crew's come with its job.
    """
    designations = {grid_key(view): view.request.main.designation for view in views}
    first = {view.request.family.id: view.request.family.lateral.dr[0] for view in views}
    nearest: dict[GridKey, str] = {}
    for key in designations:
        family = [other for other in designations if other[:3] == key[:3]]
        chosen = min(family, key=lambda other: (abs(other[3] - first[other[0]]), other[3]))
        nearest[key] = designations[chosen].ratio
    return nearest


def _batch_files(
    views: Sequence[View],
    tables: Mapping[GridKey, bytes],
    cards: Mapping[GridKey, str],
    date: str,
    options: Options,
) -> Files:
    """The files of some sizes."""
    files: Files = {}
    for view in views:
        key = grid_key(view)
        cards_at = "" if cards[key] == view.request.main.designation.ratio else cards[key]
        made = _size_files(view, tables[key], cards_at, date, options)
        files.update({f"{size_folder(view)}{name}": content for name, content in made.items()})
    return files


def _size_files(view: View, table: bytes, cards_at: str, date: str, options: Options) -> Files:
    """The page of one size and what it lets one fetch; the page alone where the size is refused."""
    from packgen.publish.documents import card_documents  # heavy: layout and PDF
    from packgen.publish.imprint import Imprint
    from packgen.publish.marks import stamp_of

    words, family, code = view.words, view.request.family, selection_code([view])
    line = words("site.family_line", id=family.id, revision=str(family.revision))
    stamp = stamp_of(words, f"{line} · {code}", demo=view.request.is_demo, draft=False)
    page = {"index.html": size_page(view, options.paper, code, date, stamp, cards_at).encode()}
    if view.combination.reasons:
        return page
    imprint = Imprint(stamp, words, words("cards.set"), date)
    cards = {} if cards_at else card_documents([view], [stamp], code, imprint, options)
    return {
        **page,
        "values/index.html": values_page(view, stamp).encode(),
        "values.json": to_json(combination_data(view.combination, options.units)).encode(),
        "values.csv": to_csv([(None, view.combination)], options.units).encode(),
        "sizes.csv": table,
        **cards,
    }


def _shared_files(catalog: Catalog, views: Sequence[View], options: Options, date: str) -> Files:
    """Index, words, work rules, content, style and fonts."""
    from packgen.publish.marks import stamp_of

    words = views[0].words
    demo = any(view.request.is_demo for view in views)
    left = " · ".join((*folder_lines(catalog, words), selection_code(views), date))
    stamp = stamp_of(words, left, demo=demo, draft=False)
    pages = {
        "index.html": index_page(views, stamp),
        "glossary/index.html": glossary_page(catalog, words, stamp),
        "work-rules/index.html": rules_page(catalog, words, options.units, stamp),
        "content/index.html": content_page(catalog, words, stamp),
        "which-pipe.html": which_pipe_page(catalog, words, options.units, stamp),
    }
    card = {"which-pipe.pdf": pipe_card(catalog, words, options, date)}
    return {**{name: text.encode() for name, text in pages.items()}, **card, **_style()}


def _style() -> Files:
    """The style sheet and the face it names, with the face's licence beside it."""
    from packgen.render.html import style_sheet
    from packgen.render.pdf import font_folder

    fonts = {f"fonts/{name}": (font_folder() / name).read_bytes() for name in _FONTS}
    licence = (font_folder().parent / "LICENSE").read_bytes()
    return {"site.css": style_sheet("site.css").encode(), **fonts, "fonts/LICENSE.txt": licence}
