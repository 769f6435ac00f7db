"""The sheet for an unknown main, as a card of its own: printed alone, and for the site.

In: the catalogue, options. Out: the card's PDF; `build/pipe/` written whole or not at all. Vocabulary: the
card's *code* names what it says, as a pack's code does; paper, units and date stay out of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from packgen.calc.size_bands import size_bands
from packgen.model.catalog import Catalog
from packgen.publish.cards import content_date
from packgen.publish.code import code
from packgen.publish.options import Options
from packgen.publish.values_data import to_json
from packgen.publish.write import write_folder
from packgen.sheets.which_pipe import RULES, SAFETY, bands_in_reach, listed_mains, which_pipe_sheet
from packgen.sheets.words import Words, load_words

FILE = "which-pipe.pdf"


@dataclass(frozen=True)
class CardResult:
    """What was made."""

    code: str
    folder: Path
    files: tuple[str, ...]
    sizes: int


def pipe_code(catalog: Catalog, words: Words) -> str:
    """The card's code: bands, mains served, rules, materials and words."""
    parts = {
        "bands": {band.short: [band.girth_low, band.girth_high] for band in size_bands(catalog)},
        "mains": sorted(" ".join(main) for main in listed_mains(catalog)),
        "rules": {rule: str(catalog.rule(rule).value) for rule in RULES},
        "materials": list(catalog.other_materials),
        "safety": catalog.safety[SAFETY].model_dump(exclude={"acts"}),
        "words": words.group("which_pipe"),
        "language": "en",
    }
    return code(parts)


def is_demo(catalog: Catalog) -> bool:
    """Whether a main on the card is served by a family that does not exist."""
    return any(family.data == "demo" for family in catalog.families.values())


def pipe_card(catalog: Catalog, words: Words, options: Options, date: str) -> bytes:
    """The card's faces as a PDF, one face a page."""
    from packgen.publish.imprint import Imprint  # heavy: layout and PDF
    from packgen.publish.marks import stamp_of
    from packgen.sheets.plan import lay_out

    left = words("which_pipe.foot", code=pipe_code(catalog, words))
    stamp = stamp_of(words, left, demo=is_demo(catalog), draft=False)
    medium = options.card.footed(stamp.lines)
    faces = lay_out([which_pipe_sheet(catalog, words, options.units)], medium)
    return Imprint(stamp, words, words("which_pipe.title"), date).printed(faces, medium, FILE)


def make_pipe_card(catalog: Catalog, options: Options) -> CardResult:
    """Make the card, with its table of girths as data.

    Raises `PackgenError` where a face cannot be printed; nothing is written then.
    """
    words, date = load_words(), options.date or content_date(catalog)
    bands = bands_in_reach(catalog)
    table = [
        {"size": band.size, "system": band.system, "girth_low": band.girth_low, "girth_high": band.girth_high}
        for band in bands
    ]
    data = {"code": pipe_code(catalog, words), "date": date, "unit": "mm", "sizes": table}
    files = {
        FILE: pipe_card(catalog, words, options, date),
        "values.json": to_json(data).encode(),
    }
    folder = options.output / "pipe"
    write_folder(folder, files)
    return CardResult(pipe_code(catalog, words), folder, tuple(files), len(bands))
