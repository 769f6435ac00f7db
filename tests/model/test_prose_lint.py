"""The lint of the prose: a seeded fault for each rule is told with line, words, cure; good words pass."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from packgen.errors import Problems
from packgen.model.catalog import Catalog
from packgen.model.load import load
from packgen.model.prose_lint import lint_prose
from packgen.model.prose_reader import read_procedure
from packgen.model.prose_texts import texts
from packgen.model.yaml_reader import parse_yaml
from packgen.sheets.words import words_document

CONTENT = Path(__file__).parents[2] / "content"
HEAD = "---\nid: our-sheet\ntitle: Our sheet\norder: 1\non: [pack]\n---\n"
FIRST = HEAD.count("\n") + 1  # the line on which a sheet's words begin
STEP_CURE = "give the act, as 'Close the valve', or say what is true"
ONE = "expected one instruction in a step; make a step of each"
STATES_NOTHING = "the hold or witness point states nothing that can be seen to be true"
STATE = "expected the state wanted, as 'Screws are tight'; put the act into a step before it"
UNSAID = "the step neither begins with what is done nor says what is true"
RECKON = "expected a value that is read as it stands; name the value that comes out, or a box for it"
UNCLEAR = (
    "expected as 'Close the valve' or 'Valve is closed'; begin with the act; if its verb is only unknown "
    "here, add it to a file of plain words"
)
LONG = "expected at most 20; part it into two steps, or say it shorter"
SPELLING = "is a term of the glossary in another spelling"


@cache
def starter() -> Catalog:
    """The starter content."""
    return load(CONTENT)


@cache
def bare() -> Catalog:
    """The starter content without its sheets and families."""
    return replace(starter(), procedures=(), families={})


def with_sheet(body: str) -> Catalog:
    """The starter's facts and words with one sheet alone."""
    problems = Problems()
    sheet = read_procedure(HEAD + body, "our.md", problems)
    assert sheet is not None, [str(problem) for problem in problems]
    return replace(bare(), procedures=(sheet,))


def told(catalog: Catalog) -> list[str]:
    """What the lint says."""
    return [str(problem) for problem in lint_prose(catalog)]


def told_of(*lines: str) -> list[str]:
    """What the lint says of a sheet with these steps, numbered and given ids; "[hold]" makes one a gate."""
    steps = []
    for number, line in enumerate(lines, start=1):
        gate = " .hold" if line.startswith("[hold] ") else ""
        steps.append(f"{number}. {line.removeprefix('[hold] ')}\n   {{: #our-step-{number}{gate} }}\n")
    return told(with_sheet("".join(steps)))


def test_the_packaged_content_is_without_fault() -> None:
    """Every sheet, safety message, box, rule, family and label that is printed."""
    assert told(starter()) == []
    assert [str(problem) for problem in lint_prose(starter(), [words_document()])] == []
    assert len({text.words for text in texts(starter())}) > 1500


@pytest.mark.parametrize(
    ("step", "message"),
    [
        # Twenty words: each slot as what it prints; a value is a number and its unit, a rule its words.
        (
            f"Stop at {{{{ tap.travel_set }}}}{' or so' * 8} today.",
            f"the step has 21 words: {{step}}; {LONG}",
        ),
        (
            f"Test with {{{{ rule: leak-test-medium-gas }}}}{' or so' * 7} today.",
            f"the step has 21 words: {{step}}; {LONG}",
        ),
        # One instruction.
        (
            "Open the valve and read the gauge.",
            f"the step asks for 2 things, 'Open the valve' and 'read the gauge': {{step}}; {ONE}",
        ),
        (
            "Shut the valve slowly; force nothing.",
            f"the step asks for 2 things, 'Shut the valve slowly' and 'force nothing': {{step}}; {ONE}",
        ),
        (
            "Where it is colder, warm it, then read again.",
            f"the step asks for 2 things, 'warm it' and 'read again': {{step}}; {ONE}",
        ),
        (
            "Bleed the line. Shut the bleed.",
            f"the step asks for 2 things, 'Bleed the line' and 'Shut the bleed': {{step}}; {ONE}",
        ),
        # An act, or a state; a gate states.
        ("The valve, slowly.", f"{UNSAID}: {{step}}; {UNCLEAR}"),
        ("Frobnicate the valve.", f"{UNSAID}: {{step}}; {UNCLEAR}"),
        ("[hold] Close the valve.", f"{STATES_NOTHING}: {{step}}; {STATE}"),
        ("[hold] Valve closed by now.", f"{STATES_NOTHING}: {{step}}; {STATE}"),
        # Refused words.
        (
            "Vent is checked and is open.",
            "'checked' is not written: {step}; say what is seen, with its limit, as 'Feeler 0.33 mm does not "
            "enter'",
        ),
        (
            "Wipe the zone to ensure that it is dry.",
            "'ensure' is not written: {step}; say the state that is wanted, as 'Valve is shut'",
        ),
        (
            "Vent is adequately open.",
            "'adequately' is not written: {step}; say what is measured or seen, and its limit",
        ),
        (
            "Wipe the zone, if necessary.",
            "'if necessary' is not written: {step}; say when it is done, as 'Where the feeler enters'",
        ),
        ("Vent may stand open.", f"'may' is not written: {{step}}; {STEP_CURE}"),
        ("Vent is open, and should be.", f"'should' is not written: {{step}}; {STEP_CURE}"),
        # Arithmetic.
        ("Keep three times the girth away.", f"the reader has to reckon, 'three times': {{step}}; {RECKON}"),
        ("Keep half of the girth away.", f"the reader has to reckon, 'half of': {{step}}; {RECKON}"),
        ("Mark travel plus height.", f"the reader has to reckon, 'plus': {{step}}; {RECKON}"),
        ("Keep 5 x D away.", f"the reader has to reckon, '5 x D': {{step}}; {RECKON}"),
        (
            "Set {{ tap.travel_set }} + {{ tap.clearance }}.",
            f"the reader has to reckon, '… + …': {{step}}; {RECKON}",
        ),
        # Capitals.
        (
            "SHUT THE VALVE.",
            "the sentence stands in capitals: {step}; expected small letters; write it as any other sentence",
        ),
        # The glossary.
        ("Wipe the Spigots.", "'Spigots' is not the glossary's word: {step}; did you mean 'outlet'?"),
        ("Keep the holesaw dry.", f"'holesaw' {SPELLING}: {{step}}; did you mean 'hole saw'?"),
        ("Read the lel.", f"'lel' {SPELLING}: {{step}}; did you mean 'LEL'?"),
    ],
)
def test_a_fault_in_a_step_is_told_with_words_expectation_and_cure(step: str, message: str) -> None:
    """At the step's own line, with its id; the sound step above it is not told."""
    said = message.replace("{step}", repr(step.removeprefix("[hold] ")))
    assert told_of("Press start.", step) == [f"our.md:{FIRST + 2}: our-step-2: {said}"]


@pytest.mark.parametrize(
    "step",
    [
        "Lock and tag every tool.",  # one thing is done to one object
        "Shut, lock and tag each valve towards a supply.",
        "Take lock and tag off the valve.",
        "Watch gauge and vent for {{ owner: vent-watch }}.",
        "Place first aid, clean cold water and a fire extinguisher in reach of the trench.",
        "Where it is colder, wait, or warm it evenly with dry heat and no flame.",
        "Stand the control unit outside the trench, dry and level.",
        "Lock and tag the valve, shut.",
        "Never open the vent.",
        'Tag that end "stays open, do not close it, open the other".',
        "Write the clock times of the ladder.",
        "A second person has read the times on ladder and main.",
        "Saddle is listed for the line-pressure check.",
        "[hold] Vent stays open and watched until every lateral is joined.",
        "[hold] Test pressure is within saddle and plug, by label and plate.",
        "[hold] Detector reads below {{ rule: lel-limit }} LEL.",
        "Keep the hole saws, hold points and SDR 11 pipe in the trade's words.",
        f"Stop at {{{{ tap.travel_set }}}}{' or so' * 8}.",
        f"Test with {{{{ rule: leak-test-medium-gas }}}}{' or so' * 7}.",
    ],
)
def test_a_good_step_that_looks_like_a_fault_passes(step: str) -> None:
    assert told_of("Press start.", step) == []


def test_a_sentence_of_a_description_has_at_most_25_words() -> None:
    """A paragraph of two shorter sentences passes, whatever its length; the line is the paragraph's own."""
    word = "Cold ground shortens a warm lateral and pulls on every joint for good"
    long = f"{word}, so that one day {word[0].lower()}{word[1:]}."
    assert told(with_sheet(f"{word}. {word}.\n\n{long}\n")) == [
        f"our.md:{FIRST + 2}: the sentence has 30 words: {(long[:137] + '…')!r}; expected at most 25; "
        "make two sentences of it, or say it shorter"
    ]


def test_a_word_refused_in_steps_alone_passes_in_a_description() -> None:
    """People may hang on a main; nobody checks it, there or anywhere."""
    (message,) = told(with_sheet("People may hang on this main, and checks find whom.\n"))
    assert message.startswith(f"our.md:{FIRST}: 'checks' is not written: 'People may hang on this main, and")
    assert told_of("People may hang on this main.") != []


def test_every_kind_of_record_that_is_printed_is_read() -> None:
    """Boxes of the record, numbers of the owner, rules, terms, families, forms, safety messages."""
    catalog, read = starter(), {text.words for text in texts(starter())}
    assert catalog.joint_record and catalog.glossary
    assert {box.label for group in catalog.joint_record.groups for box in group.fields} <= read
    assert {blank.text for blank in catalog.owner_blanks.values()} <= read
    assert {rule.reason for rule in catalog.rules.values()} <= read
    assert {term.means for term in catalog.glossary.terms} <= read
    assert {message.avoid for message in catalog.safety.values()} <= read
    strap = catalog.families["demo-saddle-strap"].every_pair.clamp
    assert {strap.method, strap.stop_mark} <= read
    assert catalog.pack_forms and {form.title for form in catalog.pack_forms.forms} <= read


def test_bullets_cells_titles_and_boxes_are_read_too() -> None:
    """Each with its line, though some stand several times."""
    body = (
        "## The spigot\n\n- Melt is hot.\n- Welders stay away.\n\n"
        "| Seen | Do |\n|---|---|\n| Slug lost | Stop |\n\n"
        '1. Press start.\n   {: #our-press write="Weld time" }\n'
    )
    found = told(with_sheet(body))
    assert [message.split("; ")[0] for message in found] == [
        f"our.md:{FIRST}: 'spigot' is not the glossary's word: 'The spigot'",
        f"our.md:{FIRST + 3}: 'Welders' is not the glossary's word: 'Welders stay away.'",
        f"our.md:{FIRST + 7}: 'Slug' is not the glossary's word: 'Slug lost'",
        f"our.md:{FIRST + 10}: our-press: 'Weld time' is not the glossary's word: 'Weld time'",
    ]


MESSAGE = """kind: safety messages
messages:
  - id: our-danger
    signal: {signal}
    hazard: {hazard}
    consequence: {consequence}
    avoid: {avoid}
    acts: {acts}
"""
CLEAR, VENT = "Keep out of its line.\n   {: #our-clear }\n", "Close the vent slowly.\n   {: #our-vent }\n"
GUARDED = f"{{{{ safety: our-danger }}}}\n\n1. {CLEAR}2. {VENT}"
AVOID = "Keep out of its line and close the vent slowly."
LISTED = "write under 'acts' of 'our-danger' a list with our-clear and the other steps that do it"


def with_message(body: str = GUARDED, **parts: str) -> Catalog:
    """The starter's words with one sheet and one safety message."""
    sound = {
        "signal": "WARNING", "hazard": "Pressure behind the vent.",
        "consequence": "The blast could blind you.", "avoid": AVOID, "acts": "[[our-clear, our-vent]]",
    }  # fmt: skip
    document = parse_yaml(MESSAGE.format(**{**sound, **parts}), "our-safety.yaml", problems=Problems())
    record = type(next(iter(starter().safety.values())))
    item = document.value["messages"][0]
    message = record.model_validate({**item, "acts": tuple(map(tuple, item["acts"]))})
    documents = {**bare().documents, ("safety", "our-danger"): (document, ("messages", 0))}
    return replace(with_sheet(body), safety={"our-danger": message}, documents=documents)


def test_a_sound_safety_message_at_its_step_passes() -> None:
    assert told(with_message()) == []


@pytest.mark.parametrize(
    ("parts", "message"),
    [
        (
            {"signal": "DANGER"},
            "DANGER does not say what will happen: 'The blast could blind you.'; expected the word 'will'; "
            "word it so, or choose the signal word that fits",
        ),
        (
            {"signal": "CAUTION", "consequence": "The blast will bruise you."},
            "CAUTION does not say what could happen: 'The blast will bruise you.'; expected the word "
            "'could'; word it so, or choose the signal word that fits",
        ),
        (
            {"signal": "NOTICE"},
            "NOTICE tells of an injury, 'blind': 'The blast could blind you.'; expected harm to things "
            "alone; choose CAUTION, WARNING or DANGER",
        ),
    ],
)
def test_a_signal_word_that_does_not_fit_is_told(parts: dict[str, str], message: str) -> None:
    """At the line of the consequence."""
    assert told(with_message(**parts)) == [f"our-safety.yaml:6:18: messages[0].consequence: {message}"]


@pytest.mark.parametrize(
    ("acts", "message"),
    [
        (
            "[]",
            "no list of acts of 'our-danger' holds the step behind it, 'our-clear'; "
            f"expected each act as a step: {AVOID}",
        ),
        (
            "[[our-clear, elsewhere]]",
            "'our-danger' asks for 'elsewhere', which is no step of this sheet in every such job; "
            f"expected each act as a step: {AVOID}",
        ),
        (
            "[[our-clear]]",
            f"'our-danger' asks for 2 acts and names 1 steps: '{AVOID}'; expected a step for each act",
        ),
    ],
)
def test_an_act_that_a_message_asks_for_and_no_step_does_is_told(acts: str, message: str) -> None:
    """At the place where the message stands, with the list that is wanted."""
    place = f"our.md:{FIRST}: {{{{ safety: our-danger }}}}"
    assert told(with_message(acts=acts)) == [f"{place}: {message}; {LISTED}"]


@pytest.mark.parametrize(
    "body",
    [
        f"1. {CLEAR}2. {VENT}\n{{{{ safety: our-danger }}}}\n",
        f"{{{{ safety: our-danger }}}}\n\n## The vent\n\n1. {CLEAR}2. {VENT}",
        f"{{{{ safety: our-danger }}}}\n\nThe vent blows.\n\n1. {CLEAR}2. {VENT}",
    ],
    ids=["at the end", "before a heading", "before a paragraph"],
)
def test_a_safety_message_stands_directly_before_the_step_it_guards(body: str) -> None:
    (message,) = told(with_message(body))
    assert message.endswith(
        "{{ safety: our-danger }}: no step stands directly behind the safety message 'our-danger'; expected "
        "the step it guards; move it to just before that step"
    )


def test_two_safety_messages_do_not_stand_in_a_row() -> None:
    """The first is told, the second guards its step."""
    (message,) = told(with_message("{{ safety: our-danger }}\n\n" + GUARDED))
    assert message.startswith(f"our.md:{FIRST}: ") and "no step stands directly behind" in message


def test_an_act_that_only_some_of_the_jobs_hold_is_told() -> None:
    """The message is for every job, the step for those with gas; two sections that share it are enough."""
    body = f"{{{{ safety: our-danger }}}}\n\n1. {CLEAR}\n"
    gas, water = (f'## Vent {{: contents="{each}" }}\n\n1. {VENT}\n' for each in ("gas", "water"))
    (message,) = told(with_message(body + gas))
    assert "asks for 'our-vent', which is no step of this sheet in every such job" in message
    assert told(with_message(body + gas + water)) == []


def test_rules_families_boxes_and_labels_are_read_with_their_lines() -> None:
    """A word that the glossary replaces is told wherever it is printed, with line and column."""
    rules = starter().rules
    chosen = rules["gap-second-try"].model_copy(update={"value": "weld again at the spigot"})
    family = starter().families["demo-saddle-strap"]
    strapped = family.model_copy(update={"title": "Branch tee"})
    catalog = replace(
        bare(), rules={**rules, "gap-second-try": chosen}, families={"demo-saddle-strap": strapped}
    )
    rule, title = sorted(told(catalog), reverse=True)
    assert "work-rules.yaml:" in rule
    assert ".value: 'spigot' is not the glossary's word" in rule
    assert "demo-saddle-strap.yaml:" in title and "'Branch tee' is not" in title
    label = parse_yaml("sheets:\n  cover: The weld zone.\n", "words.yaml", problems=Problems())
    (message,) = (str(problem) for problem in lint_prose(bare(), [label]))
    assert message == (
        "words.yaml:2:10: sheets.cover: 'weld zone' is not the glossary's word: 'The weld zone.'; "
        "did you mean 'fusion zone'?"
    )


def test_marks_for_italic_type_are_told_in_labels_and_refused_in_sheets() -> None:
    """On wet film slanted letters run together; the reader of sheets says so itself."""
    label = parse_yaml("a: Do *not* cut\nb: 5 * 3 m and a_b_c\n", "words.yaml", problems=Problems())
    assert [str(problem) for problem in lint_prose(bare(), [label])] == [
        "words.yaml:1:4: a: marks for italic type stand in the words: '*not*'; expected plain words; "
        "take the marks out"
    ]
    problems = Problems()
    assert read_procedure(HEAD + "Do *not* cut.\n", "our.md", problems) is None
    assert "italic type" in str(next(iter(problems)))


def test_words_of_one_s_own_count_beside_the_packaged_ones(tmp_path: Path) -> None:
    """An own folder names a verb, and a word that it does not want; the packaged ones hold as well."""
    (tmp_path / "packgen.yaml").write_text(
        "kind: content folder\ntitle: Ours\nrevision: 1\ndate: 2026-05-01\n", "utf-8"
    )
    sheet = tmp_path / "our.md"
    steps = ("Frobnicate the valve.", "Wipe the bung.", "Ensure the vent is open.")
    numbered = (f"{at}. {step}\n   {{: #our-step-{at} }}\n" for at, step in enumerate(steps, start=1))
    sheet.write_text(HEAD + "".join(numbered), "utf-8")
    words = tmp_path / "our-words.yaml"
    assert [message.split(": ")[2] for message in told(load(tmp_path))] == [
        "the step neither begins with what is done nor says what is true", "'Ensure' is not written",
    ]  # fmt: skip
    words.write_text(
        "kind: plain words\nid: ours\nacts: [frobnicate]\nrefused:\n"
        "  - {words: [bung], instead: write test plug, within: steps}\n",
        "utf-8",
    )
    assert [message.split(": ")[2] for message in told(load(tmp_path))] == [
        "'bung' is not written", "'Ensure' is not written",
    ]  # fmt: skip
