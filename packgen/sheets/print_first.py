"""The sheet to read before printing cards: scale with its bar, flip edge, stock, cutting or folding, order.

In: a view for its words, and how the cards were made. Out: a `Sheet`. Vocabulary: a *place* is where a card
(or a leaflet, where sheets are folded) stands on a sheet of paper; a *pile* is what a cut stack gives at one
place; the *laminating margin* is the film beyond the paper of a finished card.
Source: none; common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from packgen.sheets.blocks import Block, Drawing, Points, Section, Sheet, Tag, Why, spans
from packgen.sheets.measure import whole
from packgen.sheets.media import HOLE_RADIUS
from packgen.sheets.scale_bar import scale_bar
from packgen.sheets.view import View

MOST_IN_WORDS = 16  # places that are counted in words


@dataclass(frozen=True)
class Printing:
    """How card faces stand on their sheets: the form's name, the face's size in mm, and the choices made."""

    faces: int
    form: str
    width: float
    height: float
    places: int
    flip: Literal["long", "short"] = "long"
    finish: Literal["cut", "fold"] = "cut"
    ring_hole: bool = False
    laminating_margin: float = 0.0
    corner: float = 0.0
    cuts: bool = True

    @property
    def folds(self) -> bool:
        """Sheets become leaflets."""
        return self.finish == "fold"

    @property
    def parts(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each part's title and what it says, as keys of the words, in the order of the work."""
        handling = ["stack"]
        if self.cuts:
            handling += ["cut_leaflets" if self.folds else "cut"]
        handling += ["pile"] if self.places > 1 else []
        handling += ["fold"] if self.folds else []
        films = self.laminating_margin > 0.0
        wanted = {
            "stock": not films,
            "matt": True,
            "film": films,
            "ring": self.ring_hole,
            "corner": self.corner > 0.0,
        }
        return (
            ("print", ("scale", f"duplex_{self.flip}", "first")),
            ("fold" if self.folds else "cut", tuple(handling)),
            ("stock", tuple(key for key, is_wanted in wanted.items() if is_wanted)),
            ("draft", ("draft",)),
        )


def print_first_sheet(view: View, printing: Printing, tag: Tag) -> Sheet:
    """The sheet that goes before the cards.

    Parameters: `view` for words; `printing`, sizes in mm; `tag`, the size tag of the whole set.
    """
    words = view.words
    count = f"n{printing.places}" if printing.places <= MOST_IN_WORDS else "more"
    fill = {
        "faces": str(printing.faces),
        "count": words(f"print_first.counts.{count}", number=str(printing.places)),
        "form": words(f"print_first.forms.{printing.form}"),
        "paper": whole(f"{printing.width:g} × {printing.height:g} mm"),
        "film": whole(f"{printing.laminating_margin:g} mm"),
        "hole": whole(f"{2 * HOLE_RADIUS:g} mm"),
        "corner": whole(f"{printing.corner:.0f} mm"),
    }
    what = "what_leaflets" if printing.folds else "what"
    blocks: list[Block] = [Why(spans(words(f"print_first.{what}", **fill)))]
    for title, keys in printing.parts:
        said = tuple(spans(words(f"print_first.{key}", **fill)) for key in keys)
        blocks.append(Section(words(f"print_first.{title}_title")))
        blocks.append(Points(said) if len(said) > 1 else Why(said[0]))
        if title == "print":
            blocks.append(Drawing(scale_bar(words("print_first.bar_title"), words("print_first.bar"))))
    return Sheet("print-first", words("sheets.print_first"), tag, tuple(blocks))
