"""Frozen records of the table of bend factors.

In: plain values from `yaml_reader`. Out: pydantic records that cannot change. Vocabulary: a *bend factor* is
the least radius of a cold bend over the outside diameter; a *row* holds from one dimension ratio to another;
*at_fitting* is the factor where a fitting lies in the bend.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from packgen.model.fields import Name, Ratio, refusal
from packgen.model.records import Record

Factor = Annotated[float, Field(ge=1, le=1000)]


class BendFactor(Record):
    """One row of the table."""

    dr_from: Ratio
    dr_to: Ratio
    factor: Factor
    source: Name


class BendTable(Record):
    """The table of bend factors, by rising ratio; a ratio between two rows takes the gentler bend."""

    kind: Literal["bend table"]
    rows: Annotated[tuple[BendFactor, ...], Field(min_length=1)]
    at_fitting: Factor
    at_fitting_source: Name

    @model_validator(mode="after")
    def _rising(self) -> BendTable:
        """Each row ends at or above where it begins, and begins above the row before."""
        before = 0.0
        for row in self.rows:
            if not before < row.dr_from <= row.dr_to:
                what = f"the row from DR {row.dr_from:g} to {row.dr_to:g} is out of order"
                raise refusal(what, expected="rows by rising ratio that do not overlap", key="rows")
            before = row.dr_to
        return self
