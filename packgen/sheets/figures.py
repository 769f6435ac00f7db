"""The figures to scale that stand on sheets, cards and pages: one door to the four of them.

In: register values by name as numbers (mm, degrees) and as printed texts, words by key
(the group `figures` of templates/words/en.yaml), the box in mm.
Out: a `Figure` at the largest scale that fits, or None where a value the figure is about is missing. An
optional value that is missing takes with it only what depends on it.
"""

from __future__ import annotations

from packgen.sheets.figure_base import Figure
from packgen.sheets.figure_cut import tap_section
from packgen.sheets.figure_dig import dig_sketch
from packgen.sheets.figure_plan import peel_zone, squeeze_positions

__all__ = ["Figure", "dig_sketch", "peel_zone", "squeeze_positions", "tap_section"]
