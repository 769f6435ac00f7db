"""Work out one combination: every value it has, and the verdict.

In: a `Request`. Out: a `Combination` with its values in register order. Vocabulary: see `packgen.register`.
"""

from __future__ import annotations

from packgen.calc.fit import checks
from packgen.calc.ledger import Ledger
from packgen.calc.pipe_values import both_pipes
from packgen.calc.request import Combination, Reason, Request
from packgen.calc.stated_values import joint_pressure, label_values, spacing_values
from packgen.calc.weather_values import weather_values
from packgen.calc.worked_values import worked_or_left_out
from packgen.errors import Problem
from packgen.register import REGISTER


def work_out(request: Request) -> Combination:
    """Every value of a combination and the verdict.

    Parameters: `request`. Returns a `Combination`; a pair that geometry makes impossible is refused with the
    sentence that says so. Raises `ContentError` where a work rule has a value no calculation can use.
    """
    ledger = Ledger()
    both_pipes(ledger, request)
    joint_pressure(ledger, request)
    label_values(ledger, request)
    spacing_values(ledger, request)
    weather_values(ledger, request)
    found = [_reason(problem) for problem in worked_or_left_out(ledger, request)]
    rows = checks(ledger, request)
    found += [row.reason for row in rows if row.reason]
    ordered = {name: ledger.values[name] for name in REGISTER if name in ledger.values}
    return Combination(request, ordered, rows, tuple(found))


def _reason(problem: Problem) -> Reason:
    """Numbers that no pipe, fitting or tool can have, as a reason to refuse."""
    what = f"{problem.what}, expected {problem.expected}" if problem.expected else problem.what
    return Reason(what, problem.cure or "correct the family's data for this pair")
