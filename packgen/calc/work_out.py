"""Work out one combination: every value it has, and the verdict.

In: a `Request`. Out: a `Combination` with its values in register order. Vocabulary: see `packgen.register`.
"""

from __future__ import annotations

from packgen.calc.fit import reasons
from packgen.calc.ledger import Ledger
from packgen.calc.request import Combination, Reason, Request
from packgen.calc.stated_values import (
    fuse_values, joint_pressure, label_values, pipe_values, spacing_values, weather_values,
)  # fmt: skip
from packgen.calc.worked_values import worked_or_left_out
from packgen.register import REGISTER


def work_out(request: Request) -> Combination:
    """Every value of a combination and the verdict.

    Parameters: `request`. Returns a `Combination`; a pair that geometry makes impossible is refused with the sentence that says so.
    """
    ledger = Ledger()
    pipe_values(ledger, request, "main", request.main)
    pipe_values(ledger, request, "lateral", request.lateral)
    joint_pressure(ledger, request)
    label_values(ledger, request)
    fuse_values(ledger, request)
    spacing_values(ledger, request)
    weather_values(ledger, request)
    impossible = worked_or_left_out(ledger, request)
    found = [Reason(sentence, "correct the family's data for this pair") for sentence in impossible]
    ordered = {name: ledger.values[name] for name in REGISTER if name in ledger.values}
    return Combination(request, ordered, (*found, *reasons(ledger, request)))
