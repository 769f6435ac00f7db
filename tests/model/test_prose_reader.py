"""Prose read into blocks: what is known, what is refused with its line, and no word lost."""

from __future__ import annotations

import pytest

from packgen.errors import Problems
from packgen.model.prose import (
    ALWAYS,
    Bullets,
    Heading,
    Paragraph,
    Procedure,
    ProseTable,
    Run,
    SlotBlock,
    StepText,
    runs_of,
)
from packgen.model.prose_reader import read_procedure

HEAD = "---\nid: peel\ntitle: Peel\norder: 10\non: [pack]\n---\n"
FIRST = HEAD.count("\n") + 1  # the line on which the body begins


def read(body: str, head: str = HEAD) -> Procedure:
    """The procedure of a body that must be good."""
    problems = Problems()
    procedure = read_procedure(head + body, "peel.md", problems)
    assert list(problems) == []
    assert procedure is not None
    return procedure


def refusal(body: str, head: str = HEAD) -> list[str]:
    """What is said of a body."""
    problems = Problems()
    assert read_procedure(head + body, "peel.md", problems) is None
    return [str(problem) for problem in problems]


def test_every_known_element_becomes_its_block() -> None:
    """Headings, paragraphs, bullets, steps, tables and slots that stand alone, in order."""
    procedure = read(
        "## Peel once\n\nOld skin does **not** fuse: {{ peel.depth_min }} at least.\n\n"
        "- first\n- **second**\n\n{{ safety: hot-melt }}\n\n"
        '1. Peel {{ peel.depth_min }} deep.\n   {: #peel-once .hold write="Depth" }\n'
        "2. Look.\n   {: #look .witness }\n\n"
        "| a | b |\n|:--|--:|\n| 1 | {{ rule: feeler }} |\n\n{{ table: peel.depth_max, cool.tap_wait }}\n\n"
        "{{ figure: peel-zone }}\n"
    )
    heading, why, bullets, safety, step, look, table, rows, figure = procedure.blocks
    assert isinstance(heading, Heading)
    assert (heading.text, heading.when, heading.place.line) == ("Peel once", ALWAYS, FIRST)
    assert isinstance(why, Paragraph)
    assert [run.text for run in why.runs] == ["Old skin does ", "not", " fuse: ", "", " at least."]
    assert why.runs[1].strong and why.runs[3].slot is not None
    assert bullets == Bullets(((Run("first"),), (Run("second", strong=True),)))
    assert isinstance(safety, SlotBlock) and (safety.slot.form, safety.slot.names) == (
        "safety",
        ("hot-melt",),
    )
    assert isinstance(step, StepText)
    assert (step.id, step.gate, step.write, step.place.line) == ("peel-once", "hold", "Depth", FIRST + 10)
    assert isinstance(look, StepText) and (look.id, look.gate, look.write) == ("look", "witness", "")
    assert isinstance(table, ProseTable) and table.head == ((Run("a"),), (Run("b"),))
    assert isinstance(rows, SlotBlock) and rows.slot.names == ("peel.depth_max", "cool.tap_wait")
    assert isinstance(figure, SlotBlock) and figure.slot.form == "figure"
    assert [slot.place.line for slot in procedure.slots()] == [
        FIRST + line for line in (2, 7, 9, 16, 18, 18 + 2)
    ]  # fmt: skip
    assert procedure.steps == (step, look)


def test_words_keep_their_spaces_round_slots_and_bold() -> None:
    """A line end between two slots is a space; the ends of a step carry none."""
    (step,) = read("1. {{ a.b }}\n   {{ c.d }} **x** y\n   {: #s }\n").steps
    assert [run.text if run.slot is None else "▮" for run in step.runs] == ["▮", " ", "▮", " ", "x", " y"]


def test_items_with_blank_lines_between_them_keep_their_words() -> None:
    """Markdown puts a paragraph inside such items."""
    (bullets,) = read("- first\n\n- second {{ a.b }}\n").blocks
    assert isinstance(bullets, Bullets)
    assert [runs[0].text for runs in bullets.items] == ["first", "second "]
    first, second = read("1. One.\n   {: #one }\n\n2. Two.\n   {: #two }\n").steps
    assert (first.runs, second.runs) == ((Run("One."),), (Run("Two."),))


def test_typed_signs_stay_signs() -> None:
    """A less-than sign, an ampersand and a brace are words."""
    (paragraph,) = read("a < b & c, 5 > 4, {x} \\*y\\*\n").blocks
    assert runs_of(paragraph) == ((Run("a < b & c, 5 > 4, {x} *y*"),),)


@pytest.mark.parametrize(
    ("body", "line", "said"),
    [
        (
            "x {{ tap hole }} y",
            0,
            "{{ tap hole }}: the slot has no form packgen knows; expected {{ tap.hole_saw }}, or",
        ),
        ("x\n\n{{ }}", 2, "{{ }}: the slot has no form packgen knows"),
        ("x {{ rules: feeler }}", 0, "{{ rules: feeler }}: the slot's form 'rules' is not known"),
        ("x {{ rules: feeler }}", 0, "did you mean 'rule'?"),
        (
            "x {{ a.b, c.d }}",
            0,
            "{{ a.b, c.d }}: the slot names several values; expected one value a slot, or",
        ),
        ("x\n\ny {{ tap.hole_saw\n\nz {{ a.b }}", 2, "a slot is not closed; expected {{ NAME }} on one line"),
        ("x\n\ntap.hole_saw }}", 2, "a slot is not closed"),
        ("x {{ tap.\nhole_saw }}", 0, "a slot is not closed"),
        ("x {{ a.{{ b }} }}", 0, "a slot is not closed"),
        ("x `{{ a.b }}` y", 0, "a code span has no place here; expected plain words and **bold**"),
        (
            '1. x\n   {: #a write="{{ a.b }}" }',
            1,
            "{{ a.b }}: the slot stands where no words are; take it out",
        ),
        ("## Peel {{ a.b }}", 0, "a heading holds something else than words; expected plain words, no slot"),
        ("## Peel **now**", 0, "a heading holds something else than words"),
        (
            "x\n\ny {{ safety: hot-melt }} z",
            2,
            "the safety slot does not stand alone in its paragraph; put blank lines",
        ),
        (
            "- x\n- {{ safety: hot-melt }}",
            1,
            "a safety slot stands inside a line; put it in a paragraph of its own",
        ),
        ("1. {{ table: a.b }}\n   {: #a }", 0, "a table slot stands inside a line"),
        ("| a |\n|---|\n| {{ figure: peel-zone }} |", 2, "a figure slot stands inside a line"),
        ("x\n\n<b>y</b>", 2, "raw HTML stands in the text; write Markdown, and 'less than' for <"),
        ("x\n\n<script>alert(1)</script>", 2, "raw HTML stands in the text"),
        ("x <!-- y --> z", 0, "raw HTML stands in the text"),
        ("x <br/> y", 0, "raw HTML stands in the text"),
        ("x <https://example.org> y", 0, "raw HTML stands in the text"),
        ("x &nbsp; y", 0, "an HTML code stands in the text; type its sign"),
        ("x &#60;script&#62;", 0, "an HTML code stands in the text"),
        ("x\n\n![a pipe](pipe.png)", 2, "an image has no place here; expected plain words and **bold**"),
        ("x\n\n[a link](https://example.org)", 2, "a link has no place here"),
        (
            "x\n\n# One",
            2,
            "a heading of another level has no place here; expected ## headings, paragraphs, lists",
        ),
        ("x\n\n### Three", 2, "a heading of another level has no place here"),
        ("x\n\n> quoted", 2, "a quotation has no place here"),
        ("x\n\n    code", 2, "a block of code has no place here"),
        ("x\n\n***\n", 0, "a rule has no place here"),
        ("x\n\nvery *slanted*", 2, "italic type has no place here"),
        ("x\n\none  \ntwo", 2, "a line break forced by two spaces has no place here"),
        ("x\n\n**a *b* c**", 0, "bold type inside bold type has no place here"),
        (
            "1. First.\n   {: #a }\n2. Second.",
            2,
            "the step 'Second.' has no id; expected {: #stable-id } on a line",
        ),
        ("1. Peel {{ a.b }} deep.", 0, "the step 'Peel … deep.' has no id"),
        (
            "1. First.\n   {: #A/b }",
            1,
            "'A/b' cannot be the id of a step; expected small letters, digits and hyphens",
        ),
        (
            "1. First.\n   {: #a .holds }",
            1,
            "a: the step is marked .holds; expected .hold or .witness or neither",
        ),
        ("1. First.\n   {: #a .holds }", 1, "did you mean '.hold'?"),
        ("1. First.\n   {: #a .hold .witness }", 1, "the step is marked .hold and .witness"),
        (
            '1. First.\n   {: #a onclick="x()" }',
            0,
            "the attribute 'onclick' has no place here; expected #id, .hold",
        ),
        ("1. First.\n   {: #a wirte=Depth }", 0, "did you mean 'write'?"),
        ("1. First.\n   {: #a\n", 0, "'{:' stands where no step ends; close it with }"),
        (
            "1. First.\n\n    More words.\n   {: #a }",
            2,
            "a second paragraph has no place here; expected one paragraph",
        ),
        ("1. First.\n    - inner\n   {: #a }", 1, "a list inside a list has no place here"),
        ("x\n{: .big }", 0, "the attribute 'class' has no place here; expected {: … } below a step"),
        ("x qslot0q y", 0, "the text holds a word that packgen keeps for itself"),
        ("x\u202ey", 0, "the text holds a hidden character; delete it"),
        ("x\x02y", 0, "the text holds a hidden character"),
    ],
)
def test_what_prose_may_not_hold_is_refused_with_its_line(body: str, line: int, said: str) -> None:
    """Nothing an author writes becomes markup, and nothing is dropped without a word."""
    told = refusal(body)
    assert any(each.startswith(f"peel.md:{FIRST + line}: ") and said in each for each in told), told


def test_all_mistakes_of_a_procedure_come_out_in_one_run() -> None:
    """Front matter and body are judged together."""
    told = refusal("x {{ a b }}\n\ny <b>z</b>\n", HEAD.replace("order: 10", "order: ten"))
    assert [each.split(" ")[0] for each in told] == [
        "peel.md:4:8:",
        f"peel.md:{FIRST}:",
        f"peel.md:{FIRST + 2}:",
    ]
    told = refusal("1. No id.\n\nvery *slanted*\n\n> quoted\n")
    assert len(told) == 3


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "## Peel\n",
            "peel.md:1: the front matter is missing; expected keys between two lines '---' at the top",
        ),
        ("", "peel.md:1: the front matter is missing"),
        ("---\nid: peel\n", "peel.md:1: the front matter is not closed"),
        ("---\n---\nx\n", "peel.md:2: the front matter is empty; expected keys with values"),
        ("---\n- a\n---\nx\n", "peel.md:2: the front matter holds a list"),
        ("---\nid: a: b\n---\nx\n", "peel.md:2:6: a colon stands where none may"),
        (HEAD.replace("id: peel", "id: on") + "x\n", "peel.md:2:5: id: 'on' would be read as true"),
        (HEAD.replace("id: peel", "id: ../peel") + "x\n", "peel.md:2:5: id: '../peel' cannot be an id"),
        (HEAD.replace("title: Peel\n", "") + "x\n", "peel.md:2:1: the key 'title' is missing"),
        (HEAD.replace("title", "titel") + "x\n", "peel.md:3:8: titel: the key 'titel' is not known here"),
        (
            HEAD.replace("[pack]", "[pak]") + "x\n",
            "peel.md:5:6: on[0]: 'pak' is not a value packgen knows here",
        ),
        (
            HEAD.replace("on: [pack]", "on: pack") + "x\n",
            "peel.md:5:5: on: 'pack' is not what is wanted here",
        ),
        (
            HEAD.replace("---\nid", "---\nwhen: {state: [dri]}\nid") + "x\n",
            "when.state[0]: 'dri' is not a value",
        ),
    ],
)
def test_front_matter_is_held_to_its_keys(text: str, said: str) -> None:
    """Lines count from the top of the file."""
    told = refusal(text, head="")
    assert any(said in each for each in told), told


def test_line_ends_make_no_difference() -> None:
    """A file saved on Windows reads the same, its byte order mark too."""
    text = HEAD + "## Peel\n\n1. First.\n   {: #a }\n"
    problems = Problems()
    plain = read_procedure(text, "peel.md", problems)
    windows = read_procedure("\ufeff" + text.replace("\n", "\r\n"), "peel.md", problems)
    assert plain is not None
    assert plain == windows
    assert len(problems) == 0


@pytest.mark.parametrize(
    "body",
    [
        ">" * 3000 + " x",
        "".join("    " * n + "- x\n" for n in range(300)),
        "[" * 5000,
        "*" * 5000 + "x",
        "x" * 70_000,
    ],
    ids=["quotes", "lists", "brackets", "stars", "long"],
)
def test_prose_made_to_exhaust_the_reader_is_refused_or_read(body: str) -> None:
    """No traceback and no hang."""
    problems = Problems()
    procedure = read_procedure(HEAD + body + "\n", "peel.md", problems)
    assert (procedure is None) == (len(problems) > 0)
