"""What else is printed as cards: wall charts, case labels, saddle tags.

In: the views of a job's joints or of chosen sizes, a code. Out: file names with their bytes. Vocabulary: a
*kind* has a form of its own where none is chosen, a face of its own and its sheets; a *wall chart* is printed
on one side and hangs as it is, the others go on sheets to be cut.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from packgen.publish.imposed import sheet_layout
from packgen.publish.imprint import Imprint
from packgen.publish.marks import code_block
from packgen.publish.options import Options
from packgen.publish.stacks import set_of, stack_files
from packgen.render.html import Stamp
from packgen.sheets.blocks import Code, Face, Sheet
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


def kind_faces(name: str, view: View, square: Code, paper: Paper) -> tuple[Face, ...]:
    """The faces of one kind for a size, in its own form for a paper; nothing is printed.

    Raises `ContentError` where words do not fit a face.
    """
    kind = KINDS[name]
    return lay_out(kind.sheets(view, square), kind.face(kind.forms[paper]))


def kind_files(
    name: str, views: Sequence[View], stamps: Sequence[Stamp], code: str, imprint: Imprint, options: Options
) -> dict[str, bytes]:
    """The files of one kind for some sizes: sheets to cut, or a chart to hang.

    Parameters: `name`, of `KINDS`; `views`, of a job's joints or of chosen sizes, and their `stamps`; the
    printed `code`; what all faces share, `imprint`; `options`. Raises `ContentError` with every fault the
    guard found.
    """
    kind, square = KINDS[name], code_block(code, imprint.words)
    chosen = replace(options, form=options.form or kind.forms[options.paper])
    medium = _framed(kind.face(chosen.card.form), chosen.card)
    if name != WALL_CHART:
        sheet_layout(chosen)  # a form that its paper cannot take is refused before anything is laid out
    else:
        return _charts(views, square, medium.footed(imprint.stamp.lines), imprint)
    sets = [
        set_of(view, kind.sheets(view, square), medium.footed(stamp.lines), stamp)
        for view, stamp in zip(views, stamps, strict=True)
    ]
    sheets = f"{name}.pdf"  # nobody reads a label or a tag on a screen
    return {sheets: stack_files(name, sets, views[0], imprint, chosen)[sheets]}


def _charts(views: Sequence[View], square: Code, medium: Medium, imprint: Imprint) -> dict[str, bytes]:
    """One chart for each family, size systems and dimension ratio among some sizes."""
    shown = set(map(id, one_of_each_grid([view.combination for view in views])))
    charts = [view for view in views if id(view.combination) in shown]
    faces = lay_out([sheet for view in charts for sheet in chart_sheets(view, square)], medium)
    file = f"{WALL_CHART}.pdf"
    return {file: imprint.printed(faces, medium, file)}


def _framed(face: Medium, card: Medium) -> Medium:
    """A kind's face with the ring hole and the laminating margin chosen."""
    return replace(face, width=card.width, height=card.height, hole=card.hole)
