"""Can a reader that speaks, or a program, take everything from the PDF that the eye can, in the right order?

In: a finished PDF as pikepdf opens it, the faces that were planned, the title. Out: one `Problem` for each
rule that is broken, with page, title and words. Vocabulary: that of `tag_tree.py`; a *run* is faces that
follow each other with one sheet and one title: it has one bookmark, to its first face.
Governing text: ISO 14289-1 (PDF/UA-1): 5 identification, 7.1 general, 7.2 language, 7.3 graphics,
7.4 headings, 7.5 tables, 7.6 lists, 7.18 annotations; ISO 32000-1: 12.3.3 outlines, 14.7 structure,
14.8 tagged PDF: from memory.

Each face is one part of the tree. Its words, in the order of the tree, are exactly those planned, in the
order in which they are read: title, size tag, block by block; a step's number before its words. A drawing's
words are its alternative text; what is drawn in it is not read besides.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import zip_longest

import pikepdf

from packgen.errors import Place, Problem
from packgen.render.embedded import shortened
from packgen.render.preflight_read import fold
from packgen.render.preflight_words import SOFT_HYPHEN
from packgen.render.tag_tree import NO_PAGE, Element, Linked, Page, PageReader, read_tree
from packgen.sheets.blocks import (
    Block,
    Boxes,
    Cells,
    Code,
    Drawing,
    Face,
    Points,
    Section,
    Step,
    Table,
    words_of,
)

UA_PART = "{http://www.aiim.org/pdfua/ns/id/}part"
ARCHIVE_LEVEL = "{http://www.aiim.org/pdfa/ns/id/}conformance"
XMP_TITLE = "{http://purl.org/dc/elements/1.1/}title"
SCOPES = {"Row", "Column", "Both"}
HOLDERS = {"/Link": "Link", "/Widget": "Form"}  # the element that must hold an annotation of the kind
MARKUP = "correct the templates"


def tag_problems(
    pdf: pikepdf.Pdf, faces: Sequence[Face], file: str, *, title: str, language: str = "en"
) -> list[Problem]:
    """Every rule of an accessible document that `pdf` breaks.

    Parameters: `pdf`, one page a face; the planned `faces`; `file` for messages; the document's `title` and
    `language`. Returns the problems, the document's first, then page by page.
    """
    found = [Problem(Place(file), *said) for said in _document_faults(pdf, title, language)]
    tree = read_tree(pdf)
    if tree is None:
        return [*found, Problem(Place(file), "no structure tree", "a tree of headings, lists and tables")]
    reader = PageReader()
    pages = [reader.read(page) for page in pdf.pages]
    places = [Place(f"{file} page {number}, {face.title}".strip()) for number, face in enumerate(faces, 1)]
    found += [Problem(Place(file), *said) for said in _annotation_faults(pdf, tree)]
    found += [Problem(Place(file), *said) for said in _bookmark_faults(pdf, faces)]
    parts = tree.elements()
    if not len(parts) == len(pages) == len(faces):
        what = f"the structure tree has {len(parts)} parts for {len(pages)} pages"
        return [*found, Problem(Place(file), what, f"{len(faces)}, one a face")]
    held: list[Counter[int]] = [Counter() for _ in pages]
    for mark in (mark for mark in tree.marks() if mark.page != NO_PAGE):
        held[mark.page][mark.number] += 1
    for number, (face, place, part) in enumerate(zip(faces, places, parts, strict=True)):
        faults = [*_mark_faults(pages[number], held[number]), *_face_faults(face, part, pages, number)]
        found += [Problem(place, *said, cure=MARKUP) for said in faults]
    return found


Fault = tuple[str, str]  # what is wrong, what was expected


def _document_faults(pdf: pikepdf.Pdf, title: str, language: str) -> Iterator[Fault]:
    """What a document says of itself: that it is tagged, by which standard, its language, its title."""
    root = pdf.Root
    marked = root.get("/MarkInfo", pikepdf.Dictionary())
    if not marked.get("/Marked", False) or marked.get("/Suspects", False):
        yield "the PDF does not say that it is tagged", "MarkInfo with Marked true and no suspects"
    if (found := str(root.get("/Lang", ""))) != language:
        yield f"the language of the PDF is {found!r}", repr(language)
    if not root.get("/ViewerPreferences", pikepdf.Dictionary()).get("/DisplayDocTitle", False):
        yield "a viewer shows the file's name instead of the title", "DisplayDocTitle true"
    said = dict(pdf.open_metadata()) if "/Metadata" in root else {}
    for where, found in (
        ("title", str(pdf.docinfo.get("/Title", ""))),
        ("title in its metadata", str(said.get(XMP_TITLE, ""))),
    ):
        if found != title:
            yield f"the PDF's {where} is {found!r}", repr(title)
    if said.get(UA_PART) != "1" and said.get(ARCHIVE_LEVEL) != "A":
        yield "the PDF does not say which standard its tags follow", "PDF/UA part 1, or PDF/A at level A"


def _annotation_faults(pdf: pikepdf.Pdf, tree: Element) -> Iterator[Fault]:
    """Links and fields: each held by an element of its kind, with words of its own."""
    holders = {
        kid.objgen: element.kind
        for element in tree.all("Link", "Form")
        for kid in element.kids
        if isinstance(kid, Linked)
    }
    for number, page in enumerate(pdf.pages, 1):
        annotations = page.obj.get("/Annots", pikepdf.Array()).as_list()
        if annotations and page.obj.get("/Tabs") != pikepdf.Name.S:
            yield f"page {number} goes through its links and fields in another order", "Tabs in reading order"
        for annotation in annotations:
            kind = str(annotation.get("/Subtype"))
            wanted = HOLDERS.get(kind)
            if wanted is None or holders.get(annotation.objgen) != wanted:
                what = f"page {number} has a {kind[1:]} that the structure tree does not hold"
                yield what, f"an element {wanted}" if wanted else "links and fields alone"
            if not str(annotation.get("/TU" if kind == "/Widget" else "/Contents", "")).strip():
                yield f"page {number} has a {kind[1:]} without words that say what it is", "its words"


def _bookmark_faults(pdf: pikepdf.Pdf, faces: Sequence[Face]) -> Iterator[Fault]:
    """One bookmark a run, in order, to its first page; those under it to a page of the run."""
    wanted = [
        (face.title, index)
        for index, face in enumerate(faces)
        if index == 0 or (face.sheet, face.title) != (faces[index - 1].sheet, faces[index - 1].title)
    ]
    pages = {page.obj.objgen: index for index, page in enumerate(pdf.pages)}
    outline = pdf.open_outline().root
    found = [(item.title, _destination(item, pages)) for item in outline]
    for have, want in zip_longest(found, wanted):
        if have != want:
            yield f"bookmark {_bookmark(have)}", _bookmark(want)
            return
    ends = [index for _, index in wanted[1:]] + [len(faces)]
    for item, (_, first), end in zip(outline, wanted, ends, strict=True):
        for inner in item.children:
            there = _destination(inner, pages)
            if there is None or not first <= there < end:
                yield f"bookmark {_bookmark((inner.title, there))}", f"a page of {item.title!r}"


def _destination(item: pikepdf.OutlineItem, pages: dict[tuple[int, int], int]) -> int | None:
    """The page from 0 that a bookmark leads to; None where it leads nowhere."""
    there = item.destination
    if not isinstance(there, pikepdf.Array) or not len(there):
        return None
    return pages.get(there[0].objgen)


def _bookmark(said: tuple[str, int | None] | None) -> str:
    if said is None:
        return "none"
    name, page = said
    return f"{name!r} to {'no page' if page is None else f'page {page + 1}'}"


def _mark_faults(page: Page, held: Counter[int]) -> Iterator[Fault]:
    """Everything painted on a page is held by one element, or is for the eye alone."""
    if page.loose:
        yield f"things painted outside the tags: {page.loose}", "each in the tree, or an artifact"
    if page.nested or page.doubled:
        yield f"marks that stand in each other or twice: {page.nested + len(page.doubled)}", "each alone"
    for mark, words in page.words.items():
        if held[mark] != 1:
            times = "more than once in" if held[mark] else "not in"
            yield f"{times} the structure tree: {shortened(words)!r}", "once"
    if missing := len(held.keys() - page.words.keys()):
        yield f"marks of the structure tree that are not on the page: {missing}", "none"


def _face_faults(face: Face, part: Element, pages: Sequence[Page], number: int) -> Iterator[Fault]:
    """What one face's part of the tree must be."""
    if strays := {mark.page + 1 for mark in part.marks()} - {number + 1}:
        what = f"its part of the structure tree holds words of page {min(strays)}"
        yield what, f"those of page {number + 1} alone"
    yield from _heading_faults(face, part, pages)
    yield from _table_faults(face, part)
    yield from _list_faults(face, part)
    yield from _figure_faults(face, part)
    yield from _reading_faults(face, part, pages)


def _heading_faults(face: Face, part: Element, pages: Sequence[Page]) -> Iterator[Fault]:
    """One heading of the first level, the title; the sections under it; no level skipped."""
    found = [
        (int(each.kind[1]), _words(each, pages)) for each in part.all("H1", "H2", "H3", "H4", "H5", "H6")
    ]
    sections = [block.text for block in face.blocks if isinstance(block, Section)]
    before = 0
    for level, words in found:
        if level > before + 1:
            yield f"heading level {level} follows level {before}: {shortened(words)!r}", f"level {before + 1}"
        before = level
    wanted = [(1, fold(face.title)), *((2, fold(text)) for text in sections)]
    for have, want in zip_longest([(level, fold(words)) for level, words in found], wanted):
        if have != want:
            yield f"heading {_heading(have)}", _heading(want)
            return


def _heading(said: tuple[int, str] | None) -> str:
    return "none" if said is None else f"H{said[0]} {shortened(said[1])!r}"


def _table_faults(face: Face, part: Element) -> Iterator[Fault]:
    """A head, header cells that say what they head, rows of equal length, as many as planned."""
    planned = [block for block in face.blocks if isinstance(block, Table)]
    found = part.all("Table")
    if len(found) != len(planned):
        yield f"{len(found)} tables in the structure tree", f"{len(planned)}, as planned"
        return
    for table, block in zip(found, planned, strict=True):
        name = shortened(" | ".join(words_of(cell) for cell in block.head))
        heads = [row for head in table.all("THead") for row in head.all("TR")]
        rows = table.all("TR")
        if len(heads) != 1 or any(cell.kind != "TH" for row in heads for cell in row.elements()):
            yield f"table {name!r} has no row of header cells at its head", "one THead with a row of TH"
        if any(cell.attributes.get("Scope") not in SCOPES for cell in table.all("TH")):
            yield f"table {name!r} has a header cell that does not say what it heads", "TH with Scope"
        if any(row.elements()[:1] and row.elements()[0].kind != "TH" for row in _headed(rows, block)):
            yield f"table {name!r} has a row without a header cell", "TH as the first cell"
        lengths = {sum(int(cell.attributes.get("ColSpan", "1")) for cell in row.elements()) for row in rows}
        if len(rows) != len(block.rows) + 1 or lengths != {len(block.head)}:
            shape = f"{len(rows)} rows of {' or '.join(str(length) for length in sorted(lengths))} cells"
            yield f"table {name!r} has {shape}", f"{len(block.rows) + 1} rows of {len(block.head)}"


def _headed(rows: Sequence[Element], block: Table) -> Iterator[Element]:
    """The rows whose first cell has words."""
    return (row for row, cells in zip(rows[1:], block.rows, strict=False) if cells[0])


def _list_faults(face: Face, part: Element) -> Iterator[Fault]:
    """Lists hold items, items a body and at most a label before it; an item a step or point."""
    planned = sum(
        len(block.items) if isinstance(block, Points) else isinstance(block, Step) for block in face.blocks
    )
    if (items := len(part.all("LI"))) != planned:
        yield f"{items} list items in the structure tree", f"{planned}, one for each step and point"
    labelled = 0
    for each in part.all("L"):
        inside = [[kid.kind for kid in item.elements()] for item in each.elements()]
        if any(item.kind != "LI" for item in each.elements()) or any(
            kinds not in (["LBody"], ["Lbl", "LBody"]) for kinds in inside
        ):
            yield "a list is not made of items with a body", "L of LI, each of Lbl and LBody, or LBody alone"
        labels = sum("Lbl" in kinds for kinds in inside)
        labelled += labels
        if labels and each.attributes.get("ListNumbering", "None") == "None":
            yield "a list has numbers and does not say so", "ListNumbering"
    if labelled != (steps := sum(isinstance(block, Step) for block in face.blocks)):
        yield f"{labelled} list items have a label", f"{steps}, one for each step's number"


def _figure_faults(face: Face, part: Element) -> Iterator[Fault]:
    """Each drawing says in words what was planned; what is for the eye alone is no drawing here."""
    wanted = [_alternative(block) for block in face.blocks if isinstance(block, Drawing | Code)]
    found = [element.alternative for element in part.all("Figure")]
    for have, want in zip_longest(found, wanted):
        if have is not None and not have.strip():
            yield "a drawing has no alternative text", repr(shortened(want or "words that stand for it"))
        elif have != want:
            shown = ["none" if text is None else repr(shortened(text)) for text in (have, want)]
            yield f"alternative text of a drawing: {shown[0]}", shown[1]


def _alternative(block: Drawing | Code) -> str:
    return block.alt if isinstance(block, Code) else block.figure.alt


def _reading_faults(face: Face, part: Element, pages: Sequence[Page]) -> Iterator[Fault]:
    """The words in the order of the tree are those planned, all and no others: the first that are not."""
    read = fold(_words(part, pages))
    place = 0
    for text in reading_order(face):
        end = _read_from(fold(text), read, place)
        if end is None:
            yield f"read in the wrong order: {shortened(read[place:])!r}", repr(shortened(text))
            return
        place = end
    if rest := read[place:]:
        yield f"read and not planned: {shortened(rest)!r}", "nothing more"


def _read_from(text: str, read: str, place: int) -> int | None:
    """Where `text` ends in `read`, if it stands at `place`; a soft hyphen may be there as a hyphen or not."""
    if SOFT_HYPHEN not in text:
        return place + len(text) if read.startswith(text, place) else None
    found = re.compile("-?".join(map(re.escape, text.split(SOFT_HYPHEN)))).match(read, place)
    return found.end() if found else None


def _words(element: Element, pages: Sequence[Page]) -> str:
    """The words of an element, in reading order, without those in drawings."""
    marks = [mark for mark in element.marks(but="Figure") if 0 <= mark.page < len(pages)]
    return "".join(pages[mark.page].words.get(mark.number, "") for mark in marks)


def reading_order(face: Face) -> Iterator[str]:
    """Every string of a face, in the order in which it is read aloud."""
    yield from (face.title, face.tag.large, face.tag.small)
    for block in face.blocks:
        yield from _block_order(block)


def _block_order(block: Block) -> Iterator[str]:
    if isinstance(block, Step):
        yield from (str(block.number), block.gate_word, words_of(block.line), block.write)
    elif isinstance(block, Drawing):
        yield block.figure.title
    elif isinstance(block, Cells):
        for cell in block.cells:
            yield from (cell.label, block.enter if cell.blank else cell.value, cell.second)
    elif isinstance(block, Boxes):
        for box in block.boxes:
            yield from (box.label, box.wanted)
    else:
        yield from block.strings()
