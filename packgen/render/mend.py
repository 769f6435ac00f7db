"""What WeasyPrint's tag tree lacks, put right before the PDF is written.

In: the document as pydyf objects, handed over by WeasyPrint as to every *finisher*. Out: nothing; the objects
are changed in place. Vocabulary: an *element* is a dictionary of the structure tree; a *mark* is a piece of a
page's content with a number (MCID) that an element points to; an *artifact* is a mark for the eye alone.
Governing text: ISO 14289-1 (PDF/UA-1) 7.1 artifacts, 7.5 tables, 7.6 lists, 7.8 page headers and footers;
ISO 32000-1 14.8.2.2 artifacts, 14.8.5 attributes: from memory.

WeasyPrint 70 leaves undone: the foot of a page is marked as words, but stands nowhere in the tree; what is
for the eye alone cannot be said to be so; header cells have no scope; a drawing's box is in the units and the
direction of the screen; a step's number runs into its words ("3" and "20 min" read as "320 min"), for only
list markers become labels. A drawing whose title is `DECORATION` is an artifact here, and an `article` in a
list item, which WeasyPrint tags as `Art`, is its label.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

DECORATION = "decoration"
POINTS = 0.75  # points in a pixel of CSS

FOOT = b"<</Type /Pagination /Subtype /Footer>>"
ORNAMENT = b"<</Type /Layout>>"
NUMBERED = b"<</O /List /ListNumbering /Decimal>>"


def mend(_document: Any, pdf: Any) -> None:
    """Put the tag tree of `pdf`, a `pydyf.PDF`, right; a document without tags stays as it is."""
    if "StructTreeRoot" in pdf.catalog:
        _Tree(pdf).mend()


class _Tree:
    """The structure tree of one document."""

    def __init__(self, pdf: Any) -> None:
        self._objects = pdf.objects
        self._pages = [pdf.objects[number] for number in pdf.pages["Kids"][::3]]
        root = self._at(pdf.catalog["StructTreeRoot"])
        self._top = root["K"][0]
        self._marks = self._at(root["ParentTree"])["Nums"][1::2]

    def mend(self) -> None:
        """Everything that is to be put right, one kind after the other."""
        for element in list(self._elements()):
            kind = element["S"]
            if kind == "/TH":
                in_head = self._at(self._parent(element)["P"])["S"] == "/THead"
                element["A"]["Scope"] = "/Column" if in_head else "/Row"
            elif kind == "/Figure":
                self._mend_figure(element)
            elif kind == "/Art":
                self._make_label(element)
        self._make_artifacts()

    def _at(self, reference: bytes) -> Any:
        return self._objects[int(reference.split()[0])]

    def _parent(self, element: Any) -> Any:
        return self._at(element["P"])

    def _elements(self) -> Iterator[Any]:
        """Every element that the tree holds, from the top down."""
        waiting = [self._at(self._top)]
        while waiting:
            element = waiting.pop()
            if element["Type"] == "/StructElem":
                yield element
                waiting += [self._at(kid) for kid in element["K"] if isinstance(kid, bytes)]

    def _mend_figure(self, figure: Any) -> None:
        if self._is_decoration(figure):
            self._parent(figure)["K"].remove(figure.reference)
            return
        left, top, right, bottom = figure["A"]["BBox"]
        height = self._at(figure["Pg"])["MediaBox"][3]
        edges = (left * POINTS, height - bottom * POINTS, right * POINTS, height - top * POINTS)
        figure["A"]["BBox"] = f"[{' '.join(f'{edge:.2f}' for edge in edges)}]"

    @staticmethod
    def _is_decoration(element: Any) -> bool:
        return bool(element["S"] == "/Figure" and getattr(element.get("Alt"), "string", "") == DECORATION)

    def _make_label(self, label: Any) -> None:
        """The element out of the body of its list item, and before it."""
        self._parent(label)["K"].remove(label.reference)
        item = label
        while item["S"] != "/LI":
            item = self._parent(item)
        label["S"], label["P"] = "/Lbl", item.reference
        item["K"].insert(0, label.reference)
        self._parent(item)["A"] = NUMBERED

    def _make_artifacts(self) -> None:
        """The marks of no element of the tree: the foot's words, and the decorations."""
        held = {element.number for element in self._elements()}
        for page, marks in zip(self._pages, self._marks, strict=False):
            artifacts = {}
            for number, reference in enumerate(marks):
                element = self._at(reference)
                if element.number not in held:
                    artifacts[number] = ORNAMENT if self._is_decoration(element) else FOOT
                    marks[number] = "null"
            _mark_as_artifacts(self._at(page["Contents"]).stream, artifacts)


def _mark_as_artifacts(stream: list[Any], artifacts: dict[int, bytes]) -> None:
    """In a page's content, each mark of these numbers as an artifact of its kind."""
    for place, part in enumerate(stream):
        if isinstance(part, dict) and part.get("MCID") in artifacts:
            stream[place - 1], stream[place] = b"/Artifact", artifacts[part["MCID"]]
