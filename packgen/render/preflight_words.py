"""Are all words on the page, large enough, unparted, and in lines that an eye can follow?

In: a page as it was read, with its plan. Out: one `Problem` for each rule that its words break.
Vocabulary: a *place* is from where to where a string stands in the folded text of the page; a string *claims*
the signs it was found in, the longest string first, so that a short one is not taken for part of a long one.
Source: our own rules; CAP 676 and ISO/IEC Guide 37 for the sizes, as `templates` and `media.py` choose them.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from math import hypot

from packgen.errors import Problem
from packgen.render.embedded import DRAWING, shortened
from packgen.render.preflight_plan import Words
from packgen.render.preflight_read import Run, Seen, fold, follows, spoken
from packgen.render.preflight_shape import WHITE

HIGHEST_BMP = "\uffff"
SOFT_HYPHEN = "\u00ad"
MORE_ROOM = "give it more room, or move it to the next page"
NEXT_FACE = "end the face at a hold point before it; type never shrinks"
UNTOUCHED = "let the style sheet set it as it is"
SIZE_TOLERANCE = 0.05  # points
SQUEEZE = 0.01  # of a letter's height
COLUMN_GAP = 1.5  # ems: words further to the right are no part of a line
ONE_EDGE, ONE_LINE = 1.5 * 72 / 25.4, 1.0  # points: how far strings may leave their edge or line
NUMBER_GAP = 3.0  # ems: from a step's number to its words
LEADING = 1.2  # ems: from one line of running words to the next
LINE_STEP = 2.0  # ems: lines of one string further down are parted from it

# From where to where a string stands in the folded text of a page.
Stretch = tuple[int, int]


def word_problems(seen: Seen) -> Iterator[Problem]:
    """Every rule that the words of a page break."""
    said = Said(seen)
    yield from _lost(said)
    yield from _above_the_bmp(seen)
    claims = said.claims((*seen.planned.words, *_others(seen)))
    yield from _not_planned(said, claims)
    del claims[len(seen.planned.words) :]
    seen.claims = claims
    yield from _too_small(said, claims)
    yield from _on_the_wrong_ground(said, claims)
    yield from _parted(said)
    yield from _shifted(said)
    yield from _long_lines(said, claims)
    yield from _too_close(said, claims)
    yield from _badly_set(seen)
    yield from _too_many_steps(seen)


class Said:
    """The folded text of a page, and which runs each part of it comes from."""

    def __init__(self, seen: Seen) -> None:
        self.seen = seen
        self._starts = list(accumulate((len(run.folded) for run in seen.runs), initial=0))

    def places(self, string: str, *, lapping: bool = False) -> list[Stretch]:
        """Where a string stands; a soft hyphen may be there as a hyphen or not at all.

        `lapping` gives places that share signs too: the number 101 behind "10" stands at its own place only.
        """
        parts = [fold(part) for part in string.split(SOFT_HYPHEN)]
        if not any(parts):
            return []
        if len(parts) > 1:
            pattern = "-?".join(map(re.escape, parts))
            return [match.span() for match in re.finditer(pattern, self.seen.text)]
        return list(_all_of(parts[0], self.seen.text, 1 if lapping else len(parts[0])))

    def runs(self, place: Stretch) -> list[Run]:
        """The runs that hold part of a place."""
        start, end = place
        first = bisect_right(self._starts, start) - 1
        return self.seen.runs[first : bisect_right(self._starts, end - 1)]

    def firsts(self, place: Stretch, strings: Sequence[str]) -> list[Run]:
        """The run in which each of some strings begins that stand one after the other in a place."""
        starts = accumulate((len(fold(string)) for string in strings[:-1]), initial=place[0])
        return [self.seen.runs[bisect_right(self._starts, start) - 1] for start in starts]

    def _whole(self, place: Stretch) -> int:
        """How many ends of a place are ends of runs: words printed for themselves have both."""
        return sum(self._starts[bisect_right(self._starts, edge) - 1] == edge for edge in place)

    def claims(self, words: Sequence[Words]) -> list[Stretch | None]:
        """Where each of some words stands; None for those that are not there.

        Of several places the words of the largest type get the one in the largest type.
        """
        found: list[Stretch | None] = [None] * len(words)
        taken = bytearray(len(self.seen.text))
        alike = defaultdict[str, list[int]](list)
        for index in sorted(range(len(words)), key=lambda index: -words[index].least):
            alike[words[index].text].append(index)
        for text in sorted(alike, key=lambda text: -len(text)):
            places = sorted(self.places(text, lapping=True), key=self._fitness)
            free = [place for place in places if taken.find(1, *place) < 0]
            for index in alike[text]:
                free = [place for place in free if taken.find(1, *place) < 0]
                place = free.pop(0) if free else places.pop(0) if places else None
                if place is not None:
                    start, end = found[index] = place
                    taken[start:end] = b"\1" * (end - start)
        return found

    def _fitness(self, place: Stretch) -> tuple[int, float]:
        """Sorts places: those of words printed for themselves first, then those in the largest type."""
        return -self._whole(place), -min(run.size for run in self.runs(place))


def _all_of(part: str, text: str, step: int) -> Iterator[Stretch]:
    """Each place of a folded string in a folded text, the next one looked for `step` signs on."""
    start = text.find(part)
    while start >= 0:
        yield start, start + len(part)
        start = text.find(part, start + step)


def _lost(said: Said) -> Iterator[Problem]:
    """Strings that are not there, or too seldom."""
    for string, wanted in Counter(said.seen.planned.all_strings).items():
        if fold(string).strip(SOFT_HYPHEN) and (times := len(said.places(string))) < wanted:
            what = f"text lost: {shortened(string)!r} is printed {times} of {wanted} times"
            yield Problem(said.seen.place, what, cure=MORE_ROOM)


def _others(seen: Seen) -> tuple[Words, ...]:
    """What may stand on the page beside its words: the foot, numbers, strings without a role."""
    planned = seen.planned
    return tuple(map(Words, (*planned.strings, *(planned.numbers or ()))))


def _not_planned(said: Said, claims: Sequence[Stretch | None]) -> Iterator[Problem]:
    """Words that nobody planned; told a run at a time, since a part of one may be planned."""
    if said.seen.planned.numbers is None:
        return
    left = bytearray(b"\1" * len(said.seen.text))
    for start, end in filter(None, claims):
        left[start:end] = bytes(end - start)
    start = left.find(1)
    while start >= 0:
        end = left.find(0, start) if 0 in left[start:] else len(left)
        what = f"printed and not planned: {shortened(spoken(said.runs((start, end))))!r}"
        yield Problem(said.seen.place, what, "only what is planned", cure="plan it, or take it off the page")
        start = left.find(1, end)


def _above_the_bmp(seen: Seen) -> Iterator[Problem]:
    """Characters that a crew's reader may not have."""
    everything = "".join((*(run.words for run in seen.runs), *seen.planned.all_strings))
    for sign in sorted({sign for sign in everything if sign > HIGHEST_BMP}):
        yield Problem(seen.place, f"character above the BMP: {sign!r} (U+{ord(sign):04X})", cure=DRAWING)


def _too_small(said: Said, claims: Sequence[Stretch | None]) -> Iterator[Problem]:
    """Words in smaller type than their part may have; anything in smaller type than the least of all."""
    planned, small = said.seen.planned, defaultdict[tuple[float, float, str], list[Run]](list)
    least_of_all = planned.smallest - SIZE_TOLERANCE
    for run in said.seen.runs:
        if run.size < least_of_all:
            small[round(run.size, 2), planned.smallest, "anything"].append(run)
    for words, claim in zip(planned.words, claims, strict=True):
        blanks = "".join(map(fold, words.blanks))
        for run in said.runs(claim) if claim else []:
            if least_of_all <= run.size < words.least - SIZE_TOLERANCE and run.folded not in blanks:
                small[round(run.size, 2), words.least, words.part].append(run)
    for (size, least, part), runs in sorted(small.items(), key=lambda item: item[0]):
        what = f"type too small for {part}, {size:.3g} pt: {shortened(spoken(runs))!r}"
        yield Problem(said.seen.place, what, f"at least {least:g} pt", cure=NEXT_FACE)


def _on_the_wrong_ground(said: Said, claims: Sequence[Stretch | None]) -> Iterator[Problem]:
    """Hold points and signal words drawn like any other words, and others drawn like them."""
    for words, claim in zip(said.seen.planned.words, claims, strict=True):
        if words.white is None or claim is None:
            continue
        blanks = "".join(map(fold, words.blanks))
        runs = [run for run in said.runs(claim) if run.folded not in blanks]
        wrong = [run for run in runs if (run.colour == WHITE) != words.white]
        if wrong:
            what = f"{words.part} on the wrong ground: {shortened(spoken(wrong))!r}"
            expected = "white on black" if words.white else "black on white"
            yield Problem(said.seen.place, what, expected, cure=UNTOUCHED)


def _parted(said: Said) -> Iterator[Problem]:
    """Steps and safety messages that are not in one piece: not in order, or not close together."""
    for strings, wanted in Counter(said.seen.planned.together).items():
        places = said.places("".join(strings))
        whole = [place for place in places if _close(said.runs(place))]
        if len(whole) < wanted:
            what = f"parted on the page: {shortened(' '.join(strings))!r}"
            yield Problem(said.seen.place, what, "all of it in one place", cure=NEXT_FACE)


def _shifted(said: Said) -> Iterator[Problem]:
    """Values that do not stand under their label, cells that do not stand in their row."""
    planned = said.seen.planned
    for groups, stands, where in (
        (planned.stacks, _stacked, "under each other at one left edge"),
        (planned.rows, _in_a_row, "on one line"),
    ):
        for strings, wanted in Counter(groups).items():
            firsts = [said.firsts(place, strings) for place in said.places("".join(strings))]
            if sum(map(stands, firsts)) < wanted:
                what = f"shifted on the page: {shortened(' '.join(strings))!r}"
                yield Problem(said.seen.place, what, where, cure=UNTOUCHED)


def _stacked(firsts: Sequence[Run]) -> bool:
    return all(
        abs(one.left - run.left) <= ONE_EDGE and one.baseline > run.baseline for one, run in pairwise(firsts)
    )


def _in_a_row(firsts: Sequence[Run]) -> bool:
    return all(
        abs(one.baseline - run.baseline) <= ONE_LINE and one.left < run.left for one, run in pairwise(firsts)
    )


def _close(runs: Sequence[Run]) -> bool:
    """Whether each run stands on the line of the one before it, or a line further down."""
    return all(follows(one, run, NUMBER_GAP) or _stands_under(one, run) for one, run in pairwise(runs))


def _stands_under(one: Run, run: Run) -> bool:
    return 0.5 <= one.baseline - run.baseline <= LINE_STEP * max(one.size, run.size)


def _long_lines(said: Said, claims: Sequence[Stretch | None]) -> Iterator[Problem]:
    """Lines of running words with more characters than an eye keeps its place in."""
    planned = said.seen.planned
    if planned.line is None:
        return
    running = {
        id(run): run
        for words, claim in zip(planned.words, claims, strict=True)
        if words.running and claim
        for run in said.runs(claim)
    }
    for line in _lines(list(running.values())):
        text = spoken(line)
        if len(text) > planned.line:
            what, most = f"a line of {len(text)} characters: {shortened(text)!r}", f"at most {planned.line}"
            yield Problem(said.seen.place, what, most, cure="set it in a narrower column")


def _lines(runs: list[Run]) -> Iterator[list[Run]]:
    """Runs that stand on one line with no gap of a column between them."""
    runs = sorted(runs, key=lambda run: (-round(run.baseline), run.left))
    line: list[Run] = []
    for run in runs:
        if line and not follows(line[-1], run, COLUMN_GAP):
            yield line
            line = []
        line.append(run)
    if line:
        yield line


def _too_close(said: Said, claims: Sequence[Stretch | None]) -> Iterator[Problem]:
    """Lines of running words that stand too close under each other."""
    for words, claim in zip(said.seen.planned.words, claims, strict=True):
        runs = said.runs(claim) if words.running and claim else []
        for one, run in pairwise(runs):
            down = one.baseline - run.baseline
            if 0.5 < down < LEADING * min(one.size, run.size) - SIZE_TOLERANCE:
                what = f"lines {down / run.size:.2f} of their type apart: {shortened(words.text)!r}"
                yield Problem(said.seen.place, what, f"at least {LEADING:g}", cure=NEXT_FACE)
                break


def _badly_set(seen: Seen) -> Iterator[Problem]:
    """Type that is turned, mirrored or not as wide as it was cut."""
    faults = defaultdict[tuple[str, str], list[Run]](list)
    for run in seen.runs:
        for fault in turned(run, seen.planned.upright):
            faults[fault].append(run)
    for (what, expected), runs in faults.items():
        yield Problem(seen.place, f"{what}: {shortened(spoken(runs))!r}", expected, cure=UNTOUCHED)


def turned(run: Run, upright: bool) -> Iterator[tuple[str, str]]:
    """What is wrong with the axes of a run's letters, and what was expected; `upright` forbids any turn."""
    a, b, c, d, _e, _f = run.matrix
    wide, high = hypot(a, b), hypot(c, d)
    if a * d - b * c <= 0:
        yield "text mirrored", "from left to right"
    elif upright and (a <= 0 or d <= 0 or max(abs(b), abs(c)) > SQUEEZE * high):
        yield "text turned", "upright"
    elif run.painted and abs(wide - high) > SQUEEZE * high:
        yield f"type {wide / high:.0%} as wide as it was cut", "neither squeezed nor widened"


def _too_many_steps(seen: Seen) -> Iterator[Problem]:
    most = seen.planned.most_steps
    if most is not None and seen.planned.steps > most:
        what = f"{seen.planned.steps} steps on one face"
        yield Problem(seen.place, what, f"at most {most}", cure="end the face at a hold point before")
