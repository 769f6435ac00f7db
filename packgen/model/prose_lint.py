"""The lint of the prose: whether what people read is short, plain, and says one thing in one way.

In: a `Catalog`, and files of labels. Out: problems, each with its place, the words, what was expected and the
nearest cure. Vocabulary: words of `sentences`; a word is *refused* where the plain-words files or the
glossary name a better one. A slot counts as the words it prints, as `prose_texts` says.
Source: ASD-STE100 as quoted in public pages (at most 20 words an instruction, 25 a descriptive sentence, one
instruction a sentence, one word for one thing); ANSI Z535 for safety messages, in `safety_lint`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from itertools import chain

from packgen.errors import Problem, Problems
from packgen.model.catalog import Catalog
from packgen.model.prose_records import Glossary, RefusedWords
from packgen.model.prose_texts import labels, texts
from packgen.model.safety_lint import lint_safety
from packgen.model.sentences import SLOT, Language, Text
from packgen.model.yaml_reader import Document

STEP_WORDS = 20
SENTENCE_WORDS = 25
Rule = Callable[[Text], Iterator[Problem]]
_CALLED = {"step": "the step", "gate": "the hold or witness point"}
# Sums that a reader would have to do: what stands there, however it is put.
_NUMBER = rf"(?<!\w)(?:\d[\d.]*|{SLOT}|two|three|four|five|six|ten)"
_ARITHMETIC = re.compile(
    rf"{_NUMBER} times\b|\btimes the\b"
    rf"|{_NUMBER} ?[×x] ?(?:D|DN|OD|diameters?)\b|{_NUMBER} (?:outside )?diameters\b"
    r"|\b(?:half|a third|a quarter|a tenth|twice|double|triple) (?:of|the|its|that|this)\b"
    r"|\b(?:plus|minus|subtract\w*|multipl\w+|divided?|sum of|added|less the)\b"
    rf"|\badd {SLOT}|{SLOT} ?[+−×/÷] ?{SLOT}"
)
_CAPITALS = re.compile(r"[A-Z]{2,}")
_ITALIC = re.compile(r"(?<![\w*_])(?P<mark>[*_])[^\s*_](?:[^*_]*[^\s*_])?(?P=mark)(?![\w*_])")


def lint_prose(catalog: Catalog, label_files: Iterable[Document] = ()) -> Problems:
    """Tell every sentence that is too long, unclear, or not in the words of the glossary.

    Parameters: `catalog`; `label_files`, files of titles and labels that are printed too. Returns `Problems`.
    """
    problems, language = Problems(), Language.of(catalog.plain_words)
    rules: tuple[Rule, ...] = (
        _length,
        partial(_instruction, language),
        partial(_opening, language),
        _arithmetic,
        _capitals,
        _italic,
        *_refused(language.refused),
        *(_glossary(catalog.glossary) if catalog.glossary else ()),
    )
    found = chain(texts(catalog), *(labels(document) for document in label_files))
    faultless = set()  # the same words stand in many places
    for text in found:
        said = (text.kind, text.words, text.counts)
        told = [] if said in faultless else [problem for rule in rules for problem in rule(text)]
        problems.extend(told)
        if not told:
            faultless.add(said)
    lint_safety(catalog, language, problems)
    return problems


def _length(text: Text) -> Iterator[Problem]:
    """A step has at most 20 words, any other sentence 25."""
    if text.kind in _CALLED:
        if text.length > STEP_WORDS:
            what = f"{_CALLED[text.kind]} has {text.length} words: {text.shown!r}"
            cure = "part it into two steps, or say it shorter"
            yield Problem(text.place, what, f"at most {STEP_WORDS}", cure=cure)
        return
    for sentence in text.sentences:
        if sentence.length > SENTENCE_WORDS:
            what = f"the sentence has {sentence.length} words: {sentence.shown!r}"
            cure = "make two sentences of it, or say it shorter"
            yield Problem(text.place, what, f"at most {SENTENCE_WORDS}", cure=cure)


def _instruction(language: Language, text: Text) -> Iterator[Problem]:
    """A step asks for one thing, in one sentence."""
    if text.kind != "step":
        return
    acts = [act for sentence in text.sentences for act in language.acts_in(sentence.words)]
    if len(acts) > 1:
        told = " and ".join(repr(act.replace(SLOT, "…")) for act in acts[:3])
        what = f"the step asks for {len(acts)} things, {told}: {text.shown!r}"
        yield Problem(text.place, what, "one instruction in a step", cure="make a step of each")


def _opening(language: Language, text: Text) -> Iterator[Problem]:
    """A step begins with what is done, or says what is seen to be true; a gate always says what is true."""
    if text.kind not in _CALLED:
        return
    first = text.sentences[0].words
    states = language.states_something(first)
    if text.kind == "gate" and (language.opens_with_act(first) or not states):
        what = f"{_CALLED[text.kind]} states nothing that can be seen to be true: {text.shown!r}"
        expected = "the state wanted, as 'Screws are tight'"
        yield Problem(text.place, what, expected, cure="put the act into a step before it")
    elif text.kind == "step" and not states and not language.opens_with_act(first):
        what = f"the step neither begins with what is done nor says what is true: {text.shown!r}"
        cure = "begin with the act; if its verb is only unknown here, add it to a file of plain words"
        yield Problem(text.place, what, "as 'Close the valve' or 'Valve is closed'", cure=cure)


def _arithmetic(text: Text) -> Iterator[Problem]:
    """A reader in a trench works out nothing."""
    if text.kind in {"step", "gate", "description"}:
        for found in _ARITHMETIC.finditer(text.words):
            what = f"the reader has to reckon, {found[0].replace(SLOT, '…')!r}: {text.shown!r}"
            cure = "name the value that comes out, or a box for it"
            yield Problem(text.place, what, "a value that is read as it stands", cure=cure)


def _capitals(text: Text) -> Iterator[Problem]:
    """No sentence stands in capitals; a label of a few words, such as a stamp, may."""
    for sentence in text.sentences if text.kind != "label" else ():
        letters = [word for word in re.findall(r"[^\W\d_]+", sentence.words) if len(word) > 1]
        if len(letters) > 1 and all(_CAPITALS.fullmatch(word) for word in letters):
            what = f"the sentence stands in capitals: {sentence.shown!r}"
            yield Problem(text.place, what, "small letters", cure="write it as any other sentence")


def _italic(text: Text) -> Iterator[Problem]:
    """No italic type, which wet film blurs; the reader of procedures refuses it there."""
    for found in _ITALIC.finditer(text.words):
        what = f"marks for italic type stand in the words: {found[0]!r}"
        yield Problem(text.place, what, "plain words", cure="take the marks out")


def _refused(entries: Iterable[RefusedWords]) -> Iterator[Rule]:
    """A rule for the refused words of each reach."""
    by_reach: dict[str, dict[str, RefusedWords]] = {"steps": {}, "everywhere": {}}
    for entry in entries:
        by_reach[entry.within].update({word.lower(): entry for word in entry.words})
    for reach, known in by_reach.items():
        if known:
            yield partial(_refused_in, reach == "steps", _any_of(known), known)


def _refused_in(
    steps_only: bool, pattern: re.Pattern[str], known: dict[str, RefusedWords], text: Text
) -> Iterator[Problem]:
    """Every refused word of a text that stands in no phrase where it is right."""
    if steps_only and text.kind not in _CALLED:
        return
    for found in pattern.finditer(text.words):
        entry = known[found[0].lower()]
        if not any(_covers(phrase, text.words, found) for phrase in entry.but):
            what = f"{found[0]!r} is not written: {text.shown!r}"
            yield Problem(text.place, what, cure=entry.instead)


def _covers(phrase: str, words: str, found: re.Match[str]) -> bool:
    """Whether a phrase stands in some words round what was found there."""
    around = re.finditer(re.escape(phrase), words, re.IGNORECASE)
    return any(each.start() <= found.start() and found.end() <= each.end() for each in around)


def _any_of(words: Iterable[str], more: str = "") -> re.Pattern[str]:
    """A pattern of whole words, the longest first."""
    inner = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<![\w-])(?P<word>{inner}){more}(?![\w-])", re.IGNORECASE)


def _glossary(glossary: Glossary) -> Iterator[Rule]:
    """One word for one thing, spelled in one way."""
    instead = {word.lower(): term.term for term in glossary.terms for word in term.instead_of}
    if instead:
        yield partial(_one_term, _any_of(instead, "(?:s|es)?"), instead)
    spelled = {_bare(term.term): term.term for term in glossary.terms if _parted(term.term)}
    if spelled:
        joined = "|".join("[ -]?".join(map(re.escape, re.split("[ -]", term))) for term in spelled.values())
        found = re.compile(rf"(?<![\w-])(?P<word>{joined})(?:s|es)?(?![\w-])", re.IGNORECASE)
        yield partial(_one_spelling, found, spelled)


def _one_term(pattern: re.Pattern[str], instead: dict[str, str], text: Text) -> Iterator[Problem]:
    """A word of `instead_of` is told with the glossary's own word."""
    for found in pattern.finditer(text.words):
        what = f"{found[0]!r} is not the glossary's word: {text.shown!r}"
        yield Problem(text.place, what, nearest=instead[found["word"].lower()])


def _one_spelling(pattern: re.Pattern[str], spelled: dict[str, str], text: Text) -> Iterator[Problem]:
    """A term of several parts, or of capitals, is told where it is spelled otherwise."""
    for found in pattern.finditer(text.words):
        written, term = found["word"], spelled[_bare(found["word"])]
        if written != term if term.isupper() else written.lower() != term.lower():
            what = f"{written!r} is a term of the glossary in another spelling: {text.shown!r}"
            yield Problem(text.place, what, nearest=term)


def _bare(term: str) -> str:
    """A term without what joins its parts."""
    return re.sub("[ -]", "", term).lower()


def _parted(term: str) -> bool:
    """Whether a term can be spelled in several ways: it has parts, or stands in capitals."""
    return term.isupper() or bool(re.search("[ -]", term))
