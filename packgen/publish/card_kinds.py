"""What else is printed as cards: wall charts, case labels, saddle tags.

In: the views of a job's joints or of chosen sizes, a code. Out: file names with their bytes. Vocabulary: a
*kind* has a form of its own where none is chosen, a face of its own and its sheets; a *wall chart* is printed
on one side and hangs as it is, the others go on sheets to be cut.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from packgen.publish.imposed import Said
from packgen.publish.marks import code_block
from packgen.publish.options import Options
from packgen.publish.stacks import deck_of, stack_files
from packgen.render.pdf import print_faces
from packgen.sheets.blocks import Code, Sheet
from packgen.sheets.case_label import label_sheets
from packgen.sheets.media import Medium, Paper, card_medium
from packgen.sheets.plan import lay_out
from packgen.sheets.saddle_tag import tag_medium, tag_sheets
from packgen.sheets.view import View
from packgen.sheets.wall_chart import chart_medium, chart_sheets, one_of_each_grid

WALL_CHART, CASE_LABEL, SADDLE_TAG = "wall-chart", "case-label", "saddle-tag"


@dataclass(frozen=True)
class Kind:
    """One kind of card: its form on each paper, its face in a form, its sheets for a size."""

    forms: dict[Paper, str]
    face: Callable[[str], Medium]
    sheets: Callable[[View, Code], tuple[Sheet, ...]]


KINDS = {
    WALL_CHART: Kind({"letter": "11x17", "a4": "a3"}, chart_medium, chart_sheets),
    CASE_LABEL: Kind({"letter": "half-letter", "a4": "half-letter"}, card_medium, label_sheets),
    SADDLE_TAG: Kind({"letter": "3x5", "a4": "3x5"}, tag_medium, lambda view, _code: tag_sheets(view)),
}


def kind_files(name: str, views: Sequence[View], code: str, said: Said, options: Options) -> dict[str, bytes]:
    """The files of one kind for some sizes: sheets to cut, or a chart to hang.

    Parameters: `name`, of `KINDS`; `views`, of a job's joints or of chosen sizes; the printed `code`; what
    all faces have `said`; `options`. Raises `ContentError` with every fault the guard found.
    """
    kind, square = KINDS[name], code_block(code, said.words)
    chosen = replace(options, form=options.form or kind.forms[options.paper])
    medium = _framed(kind.face(chosen.card.form), chosen.card)
    if name == WALL_CHART:
        shown = set(map(id, one_of_each_grid([view.combination for view in views])))
        charts = [view for view in views if id(view.combination) in shown]
        faces = lay_out([sheet for view in charts for sheet in kind.sheets(view, square)], medium)
        file = f"{name}.pdf"
        made = print_faces(faces, medium, said.stamp, said.words, title=said.title, date=said.date, file=file)
        return {file: made}
    decks = [deck_of(view, kind.sheets(view, square), medium) for view in views]
    sheets = f"{name}.pdf"  # nobody reads a label or a tag on a screen
    return {sheets: stack_files(name, decks, views[0], said, chosen)[sheets]}


def _framed(face: Medium, card: Medium) -> Medium:
    """A kind's face with the ring hole and the laminating margin chosen."""
    return replace(face, width=card.width, height=card.height, hole=card.hole)
