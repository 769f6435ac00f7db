"""Which pipe is this? The answer as plain data and as words for the terminal.

In: an `Answer`, words. Out: dicts and lines of text. Vocabulary: a length has its number in mm, unrounded,
and its text as printed under the units chosen; `reasons` say why nothing may be fused, each with its cure.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from packgen.calc.findings import Candidate, Findings
from packgen.calc.not_fuse import gouge_limit, inch_first, length, misfit, out_of_round_limit
from packgen.calc.which_pipe import Answer
from packgen.model.catalog import Catalog
from packgen.rounding import Units
from packgen.sheets.which_pipe import girth_text
from packgen.sheets.words import Words


def answer_data(catalog: Catalog, answer: Answer, words: Words) -> dict[str, Any]:
    """An answer as plain data."""
    return {
        "readings": readings_data(answer.findings),
        "print_line": _line_data(answer),
        "verdict": answer.verdict,
        "reasons": [{"what": reason.what, "cure": reason.cure} for reason in answer.reasons],
        "candidates": [candidate_data(each, answer.findings) for each in answer.candidates],
        "limits": _limits(catalog, answer),
        "measure_next": next_lines(answer, words),
        "may_be_fused": [
            {
                "family": line.family,
                "title": line.title,
                "contents": list(line.contents),
                "laterals": list(line.laterals),
            }
            for line in answer.may_fuse
        ],
        "missing": missing_words(answer, words),
    }


def readings_data(findings: Findings) -> dict[str, Any]:
    """The readings as they were given; those not taken are absent."""
    given: dict[str, Any] = {
        name: str(reading)
        for name in ("girth", "high", "low", "gouge")
        if (reading := getattr(findings, name)) is not None
    }
    if findings.walls:
        given["walls"] = [str(wall) for wall in findings.walls]
    if findings.print_line is not None:
        given["print_line"] = findings.print_line
    if findings.contents is not None:
        given["contents"] = findings.contents
    return given


def _line_data(answer: Answer) -> dict[str, Any] | None:
    """What the print line was read as."""
    line = answer.read.line
    if line is None:
        return None
    return {
        "sizes": list(line.sizes),
        "systems": list(line.systems),
        "ratios": list(line.ratios),
        "materials": list(line.materials),
        "contents": list(line.contents),
    }


def candidate_data(candidate: Candidate, findings: Findings) -> dict[str, Any]:
    """A size that fits: its band of girths, and the ratios left."""
    band = candidate.band
    data: dict[str, Any] = {
        "size": band.size,
        "system": band.system,
        "girth": {
            "low": band.girth_low,
            "high": band.girth_high,
            "unit": "mm",
            "text": band_text(candidate, findings.units),
        },
        "ratios": [
            {
                "ratio": band.ratio(wall.dr),
                "wall_min": _length(wall.low, "pipe.main.wall_min", findings, band.inch),
                "wall_max": _length(wall.high, "pipe.main.wall_max", findings, band.inch),
            }
            for wall in candidate.ratios
        ],
    }
    if findings.walls and not candidate.by_wall:
        data["wall"] = misfit(findings, band)
    return data


def band_text(candidate: Candidate, units: Units) -> str:
    """A candidate's girths in the systems asked for, its own first."""
    own, other = ("us", "si") if candidate.band.inch else ("si", "us")
    if units != "both":
        return girth_text(candidate.band, units)
    return f"{girth_text(candidate.band, own)} [{girth_text(candidate.band, other)}]"


def _length(value: float, name: str, findings: Findings, inch: bool) -> dict[str, Any]:
    """A worked length: number, unit, text."""
    return {"value": value, "unit": "mm", "text": length(value, name, findings, inch)}


def _limits(catalog: Catalog, answer: Answer) -> dict[str, Any]:
    """What the readings were judged against; absent where nothing was judged."""
    findings, found = answer.findings, {}
    inch = inch_first(findings, answer.candidates)
    if findings.high is not None and findings.low is not None:
        limit = out_of_round_limit(catalog, findings, answer.candidates)
        found["out_of_round_max"] = _length(limit, "pipe.main.out_of_round_max", findings, inch)
    deepest = gouge_limit(catalog, findings, answer.candidates) if findings.gouge else None
    if deepest is not None:
        found["gouge_depth_max"] = _length(deepest, "peel.gouge_depth_max", findings, inch)
    return found


def verdict_line(answer: Answer, words: Words) -> str:
    """The verdict as a sentence."""
    sizes = ", ".join(each.band.short for each in answer.candidates)
    key = {
        "one pipe": "which_pipe.one_pipe",
        "several pipes": "which_pipe.several_pipes",
        "no pipe": "which_pipe.no_pipe",
    }[answer.verdict]
    return words(key, sizes=sizes)


_NEXT = {
    "tape": "which_pipe.next_tape",
    "caliper": "which_pipe.next_caliper",
    "wall_gauge": "which_pipe.next_wall_gauge",
    "print_line": "which_pipe.next_print_line",
    "contents": "which_pipe.next_contents",
    "second_person": "which_pipe.next_second_person",
}
_MISSING = {
    "girth": "which_pipe.missing_girth",
    "size": "which_pipe.missing_size",
    "wall": "which_pipe.missing_wall",
    "ratio": "which_pipe.missing_ratio",
    "material": "which_pipe.missing_material",
    "agreement": "which_pipe.missing_agreement",
}


def next_lines(answer: Answer, words: Words) -> list[str]:
    """What to measure next, a sentence each."""
    return [words(_NEXT[key]) for key in answer.measure_next]


def missing_words(answer: Answer, words: Words) -> list[str]:
    """What is missing before anything may be fused."""
    return [words(_MISSING[key]) for key in answer.missing]


def fuse_lines(answer: Answer, words: Words) -> Iterator[str]:
    """What may be fused, a line for each family; where nothing may, what is missing."""
    if answer.missing:
        yield words("which_pipe.nothing_yet", missing="; ".join(missing_words(answer, words)))
    elif not answer.may_fuse:
        yield words("which_pipe.no_family")
    for line in answer.may_fuse:
        yield words(
            "which_pipe.may_fuse", family=f"{line.title} ({line.family})",
            contents=" or ".join(line.contents), laterals=", ".join(line.laterals),
        )  # fmt: skip
