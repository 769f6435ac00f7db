"""Pocket cards for chosen sizes, without a job.

In: the catalogue, a choice of combinations, options. Out: `build/cards/`, written whole or not at all.
Vocabulary: a set is all faces of one combination; the code covers the whole selection.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from packgen.calc.request import Combination
from packgen.errors import ContentError, Place, Problem, UsageError
from packgen.model.catalog import Catalog
from packgen.publish.identity import selection_code
from packgen.publish.options import Options
from packgen.publish.values_data import combination_data, to_json
from packgen.publish.write import write_folder
from packgen.sheets.view import View
from packgen.sheets.words import load_words

MOST_SETS = 40  # in one file
POCKET = "pocket-cards"


@dataclass(frozen=True)
class CardsResult:
    """What was made."""

    code: str
    folder: Path
    files: tuple[str, ...]
    sets: int


def content_date(catalog: Catalog) -> str:
    """The newest date of the content in use, for output that has no job."""
    dates = [folder.record.date for folder in catalog.folders]
    dates += [family.date for family in catalog.families.values()] + [
        table.date for table in catalog.tables.values()
    ]
    return max(dates).isoformat()


def refuse_refused(found: Sequence[Combination]) -> None:
    """No card is made for a refused combination."""
    problems = [
        Problem(
            Place(),
            f"{combination.request.lateral.designation.short} on {combination.request.main.designation}: "
            f"{reason.what}",
            cure=reason.cure,
        )
        for combination in found
        for reason in combination.reasons
    ]
    if problems:
        raise ContentError(problems)


def _refuse_too_many(found: Sequence[Combination]) -> None:
    """A contractor prints what is needed; hundreds of sets in one file no printer and no pouch wants."""
    if len(found) > MOST_SETS:
        what = f"this choice holds {len(found)} card sets, of some fifty faces each"
        cure = "name the mains wanted with --main (it may be repeated), and laterals with --lateral"
        expected = f"at most {MOST_SETS} sets in one file"
        raise UsageError([Problem(Place(key="--main"), what, expected, cure=cure)])


def set_stamp_text(view: View, code: str) -> str:
    """The foot's words of a card set without a job: what it is for, and its code."""
    words, request = view.words, view.request
    state = words(f"state.{request.state}")
    return words("cards.foot", contents=request.contents, state=state, method=request.way, code=code)


def _shared_text(views: Sequence[View], code: str) -> str:
    """The foot of what several sets share: their words where these are the same, else the code."""
    texts = {set_stamp_text(view, code) for view in views}
    return texts.pop() if len(texts) == 1 else code


def make_cards(
    catalog: Catalog, found: Sequence[Combination], options: Options, kind: str = POCKET
) -> CardsResult:
    """Make the cards of some combinations, or another `kind` of `KINDS` in a folder of its name.

    Raises `ContentError` where one of them is refused; nothing is written then.
    """
    from packgen.publish.card_kinds import kind_files
    from packgen.publish.documents import card_documents  # heavy: layout and PDF
    from packgen.publish.imprint import Imprint
    from packgen.publish.marks import stamp_of

    _refuse_too_many(found)
    refuse_refused(found)
    words = load_words()
    views = [View(catalog, words, combination, options.units) for combination in found]
    code, date = selection_code(views), options.date or content_date(catalog)
    demo = any(view.request.is_demo for view in views)
    stamps = [stamp_of(words, set_stamp_text(view, code), demo=demo, draft=False) for view in views]
    shared = stamp_of(words, _shared_text(views, code), demo=demo, draft=False)
    imprint = Imprint(shared, words, words("cards.set"), date)
    if kind == POCKET:
        files = card_documents(views, stamps, code, imprint, options)
    else:
        files = kind_files(kind, views, stamps, code, imprint, options)
    data = {
        "code": code,
        "date": date,
        "sets": [combination_data(combination, options.units) for combination in found],
    }
    files["values.json"] = to_json(data).encode()
    folder = options.output / ("cards" if kind == POCKET else kind)
    write_folder(folder, files)
    return CardsResult(code, folder, tuple(files), len(views))
