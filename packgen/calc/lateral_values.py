"""How far the lateral may be bent, and how much slack it needs for the cold ground; put into the ledger.

In: a `Request` and a `Ledger` that holds the lateral's outside diameter. Out: bend.*, contraction.*.
Vocabulary: as in `bend`; *slack* is length to spare that is laid into the lateral before its last joint, so
that it does not pull when it has shortened. Bends need no job; a contraction needs the lateral's length and
the temperatures of site and ground, and is absent where the ground is not the colder one.
Sources: the table of bend factors (PPI Handbook of Polyethylene Pipe, chapter 7), the work rules
`bend-beside-fitting` and `lateral-expansion`.
"""

from __future__ import annotations

from packgen.calc import bend
from packgen.calc.cool_values import hotter
from packgen.calc.leak_values import lateral_length
from packgen.calc.ledger import Input, Ledger, named
from packgen.calc.request import Request
from packgen.calc.stated_values import rule_count, rule_input

_BESIDE, _EXPANSION = "bend-beside-fitting", "lateral-expansion"
_DIAMETER = "pipe.lateral.outside_diameter"


def lateral_values(ledger: Ledger, request: Request) -> None:
    """Least radii of the lateral and its slack."""
    diameter = ledger.get(_DIAMETER)
    if diameter is not None:
        _bend_values(ledger, request, diameter)
    _contraction_values(ledger, request)


def _bend_values(ledger: Ledger, request: Request, diameter: float) -> None:
    """Least radius alone, with a fitting, and how far beside one; absent where the table ends."""
    table, dr = request.catalog.bend_table, request.lateral.designation.dr
    if table is None:
        return
    rows = [bend.BendRow(row.dr_from, row.dr_to, row.factor) for row in table.rows]
    factor = bend.bend_factor(dr, rows)
    if factor is None:
        return
    cite = request.catalog.cite
    source = cite(next(row.source for row in table.rows if row.factor == factor))
    taken = named(f"bend factor of {request.lateral.designation.ratio}", f"{factor:g}")
    words = "bend factor times outside diameter, measured to the pipe's centre line"
    ledger.worked("bend.radius_min", bend.radius_min(diameter, factor), words, [_DIAMETER, taken], source)
    at_fitting = bend.radius_min_at_fitting(diameter, factor, table.at_fitting)
    words = "bend factor with a fitting in the bend times outside diameter, never less than without one"
    inputs: list[Input] = [_DIAMETER, named("bend factor with a fitting", f"{table.at_fitting:g}"), taken]
    sources = dict.fromkeys((cite(table.at_fitting_source), source))
    ledger.worked("bend.radius_min_at_fitting", at_fitting, words, inputs, *sources)
    length = bend.length_at_fitting(diameter, rule_count(request, _BESIDE))
    words, inputs = "the rule's number of outside diameters", [_DIAMETER, rule_input(request, _BESIDE)]
    ledger.worked("bend.length_at_fitting", length, words, inputs, request.catalog.cite_rule(_BESIDE))


def _contraction_values(ledger: Ledger, request: Request) -> None:
    """How much shorter the lateral becomes in the ground, and the slack for it."""
    site, length = request.job.site if request.job else None, lateral_length(request)
    if site is None or site.ground is None or length is None:
        return
    warm = hotter(site.ambient, site.pipe_surface)
    drop = warm.to("degC") - site.ground.to("degC") if warm else 0.0
    if warm is None or drop <= 0.0:
        return
    # A millimetre for each metre and kelvin is a thousandth of the length.
    coefficient = request.catalog.rule_quantity(_EXPANSION, "mm/m/K") / 1000.0
    change = bend.contraction(length.to("mm"), coefficient, drop)
    words = "length times the rule's coefficient times the fall in temperature, no friction counted"
    inputs: list[Input] = [
        named("lateral's length", request.plain(length, "up")),
        rule_input(request, _EXPANSION),
        named("air or pipe, the hotter", request.plain(warm)),
        named("ground", request.plain(site.ground)),
    ]
    cited = request.catalog.cite_rule(_EXPANSION)
    ledger.worked("contraction.change", change, words, inputs, cited)
    words = "the whole of what the lateral shortens by; rounding up adds to it"
    ledger.worked("contraction.slack", change, words, ["contraction.change"], "arithmetic")
