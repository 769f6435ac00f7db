"""The catalogue: a pack without a job, cards and values for every combination chosen, and tables of them all.

In: the catalogue of content, worked-out combinations, options. Out: `build/catalogue/`, written whole or not
at all, part by part, since hundreds of PDFs are more than a machine should hold at once: a folder for each
permitted combination, a table for each family, an index as a page and as CSV. Vocabulary: a *part* is one
combination's files; a refused combination is listed with its reasons and gets no file.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from packgen.calc.request import Combination
from packgen.errors import ContentError
from packgen.model.catalog import Catalog
from packgen.publish.cards import content_date, refuse_refused, set_stamp_text
from packgen.publish.identity import selection_code
from packgen.publish.options import Options
from packgen.publish.site_pages import DOWNLOADS, GridKey, folder_lines, grid_key, size_folder, table_names
from packgen.publish.values_data import combination_data, to_csv, to_json
from packgen.publish.workers import Progress, in_batches
from packgen.publish.write import write_parts
from packgen.sheets.view import Known, View, known
from packgen.sheets.words import Words, load_words

_BATCH = 2  # sizes: few enough that workers end together, enough that the content is seldom handed over
# The files of a permitted combination, with the words of their links.
FILES = {"crew-pack.pdf": "html.crew_pack"} | {
    file: f"site.{key}" for file, key in DOWNLOADS.items() if file != "sizes.csv"
}
INDEX = ("main", "lateral", "family", "verdict", "code", "folder", "files", "reasons")
Files = dict[str, bytes]


@dataclass(frozen=True)
class Listed:
    """One combination as the index lists it; code and files are empty where it is refused."""

    main: str
    lateral: str
    family: str
    verdict: str
    code: str
    folder: str
    files: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class CatalogueResult:
    """What was made."""

    folder: Path
    listed: tuple[Listed, ...]

    @property
    def permitted(self) -> int:
        """How many combinations have their pack."""
        return sum(bool(each.files) for each in self.listed)


def make_catalogue(
    catalog: Catalog, found: Sequence[Combination], options: Options, progress: Progress = iter
) -> CatalogueResult:
    """Make the catalogue of some combinations.

    Parameters: `catalog`; `found`, the combinations chosen; `options`; `progress`, which shows batches as
    they are done. Returns a `CatalogueResult`. Raises `ContentError` where every combination is refused or a
    face cannot be printed, `PackgenError` where the folder cannot be written; nothing is left behind then.
    """
    if all(combination.reasons for combination in found):
        refuse_refused(found)
    views = _views(catalog, found, options)
    listed: list[Listed] = []
    folder = options.output / "catalogue"
    write_parts(folder, _parts(views, options.date or content_date(catalog), options, progress, listed))
    return CatalogueResult(folder, tuple(listed))


def _views(catalog: Catalog, found: Sequence[Combination], options: Options) -> list[View]:
    """The combinations in view; those of one grid share what is worked out, for their tables of sizes."""
    words = load_words()
    views = [View(catalog, words, combination, options.units) for combination in found]
    grids: dict[GridKey, list[Combination]] = {}
    for view in views:
        grids.setdefault(grid_key(view), []).append(view.combination)
    shared: dict[GridKey, Known] = {key: known(grid) for key, grid in grids.items()}
    return [replace(view, known=shared[grid_key(view)]) for view in views]


def _parts(
    views: Sequence[View], date: str, options: Options, progress: Progress, listed: list[Listed]
) -> Iterator[Files]:
    """The files of every combination, then those of all; `listed` grows as they are made."""
    task = partial(_batch_files, date=date, options=options)
    for batch in in_batches(task, views, _BATCH, options.workers, progress):
        for each, files in batch:
            listed.append(each)
            yield {f"{each.folder}{name}": content for name, content in files.items()}
    yield _family_tables(views)
    yield {
        "catalogue.csv": _index_csv(listed).encode(),
        "index.html": _index_page(views, listed, date).encode(),
    }


def _batch_files(views: Sequence[View], date: str, options: Options) -> list[tuple[Listed, Files]]:
    """What one process makes: each combination's line of the index and its files."""
    return [_combination_files(view, date, options) for view in views]


def _combination_files(view: View, date: str, options: Options) -> tuple[Listed, Files]:
    """One combination: nothing but its reasons where it is refused."""
    request, combination = view.request, view.combination
    code, files = "", Files()
    if not combination.reasons:
        code = selection_code([view])
        files = _documents(view, code, date, options)
        data = {"code": code, "date": date, **combination_data(combination, options.units)}
        files["values.json"] = to_json(data).encode()
        files["values.csv"] = to_csv([(None, combination)], options.units).encode()
    listed = Listed(
        str(request.main.designation), str(request.lateral.designation), request.family.id,
        combination.verdict, code, size_folder(view), tuple(files), tuple(map(str, combination.reasons)),
    )  # fmt: skip
    return listed, files


def _documents(view: View, code: str, date: str, options: Options) -> Files:
    """Pack and cards, each from a view of its own: which steps are left out differs between them."""
    from packgen.publish.documents import blank_pack, card_documents  # heavy: layout and PDF
    from packgen.publish.imprint import Imprint
    from packgen.publish.marks import stamp_of

    words, demo = view.words, view.request.family.data == "demo"
    foot = set_stamp_text(view, code)
    of_pack = stamp_of(words, words("blank_cover.foot", foot=foot), demo=demo, draft=False)
    of_cards = stamp_of(words, foot, demo=demo, draft=False)
    try:
        pack = blank_pack(view, code, of_pack, date, options)
        imprint = Imprint(of_cards, words, words("cards.set"), date)
        cards = card_documents([view], [of_cards], code, imprint, options)
    except ContentError as error:  # among hundreds of sizes a person must know which
        size = words("html.catalogue_pair", lateral=view.request.lateral.designation.short,
                     main=str(view.request.main.designation))  # fmt: skip
        named = (replace(problem, what=f"{size}: {problem.what}") for problem in error.problems)
        raise ContentError(named) from None
    return {"crew-pack.pdf": pack, **cards}


def _by_family(views: Sequence[View]) -> dict[str, list[View]]:
    """The views of each family, in their order."""
    families: dict[str, list[View]] = {}
    for view in views:
        families.setdefault(view.request.family.id, []).append(view)
    return families


def _family_tables(views: Sequence[View]) -> Files:
    """A table for each family: a row a combination chosen, a column a value of its sheets of sizes."""
    return {f"tables/{name}.csv": _table(family).encode() for name, family in _by_family(views).items()}


def _table(views: Sequence[View]) -> str:
    """The table of one family; a refused combination's row holds no value."""
    names = list(dict.fromkeys(name for view in views for name in table_names(view)))
    rows = []
    for view in views:
        combination, request = view.combination, view.request
        texts = [_cell(view, name) if not combination.reasons else "" for name in names]
        ends = (str(request.lateral.designation), str(request.main.designation))
        rows.append((*ends, combination.verdict, *texts))
    return _csv(("lateral", "main", "verdict", *names), rows)


def _cell(view: View, name: str) -> str:
    """A value as it stands in the table: ENTER where nobody stated it, nothing where it does not apply."""
    value = view.values.get(name)
    return view.words("blank.enter") if value and value.kind == "blank" else view.text(name)


def _index_csv(listed: Sequence[Listed]) -> str:
    """Every combination with its verdict, code, files, reasons."""
    rows = []
    for each in listed:
        size = (each.main, each.lateral, each.family, each.verdict, each.code, each.folder)
        rows.append((*size, " ".join(each.files), "; ".join(each.reasons)))
    return _csv(INDEX, rows)


def _csv(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A head and its rows as CSV."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return out.getvalue()


def _index_page(views: Sequence[View], listed: Sequence[Listed], date: str) -> str:
    """The index as a page: a table for each family, with links to the files."""
    from packgen.publish.marks import stamp_of
    from packgen.render.html import page_html

    words, catalog = views[0].words, views[0].catalog
    demo = any(view.request.family.data == "demo" for view in views)
    stamp = stamp_of(words, " · ".join(folder_lines(catalog, words)), demo=demo, draft=False)
    families = [
        {"id": name, "title": family[0].request.family.title, "rows": _rows(listed, name, words)}
        for name, family in _by_family(views).items()
    ]
    title, made = words("html.catalogue"), words("html.catalogue_date", date=date)
    return page_html("catalogue.html", language="en", words=words, stamp=stamp, title=title, made=made,
                     families=families)  # fmt: skip


def _rows(listed: Sequence[Listed], family: str, words: Words) -> list[Mapping[str, Any]]:
    """The rows of one family's table."""
    rows: list[Mapping[str, Any]] = []
    for each in listed:
        if each.family == family:
            size = words("html.catalogue_pair", lateral=each.lateral, main=each.main)
            links = [(f"{each.folder}{file}", words(FILES[file])) for file in each.files]
            rows.append({"size": size, "code": each.code, "links": links, "reasons": each.reasons})
    return rows
