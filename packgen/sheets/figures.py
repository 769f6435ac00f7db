"""The figures to scale that stand on sheets, cards and pages: one door to all of them.

In: register values by name as numbers (mm, degrees, s) and as printed texts, with what `stack_facts` adds for
a valve and a machine; words by key (the group `figures` of templates/words/en.yaml), the box in mm.
Out: a `Figure` at the largest scale that fits, or None where a value the figure is about is missing. An
optional value that is missing takes with it only what depends on it.
"""

from __future__ import annotations

from packgen.sheets.figure_base import Figure
from packgen.sheets.figure_bore import saw_bore
from packgen.sheets.figure_clamp import clamp_gap
from packgen.sheets.figure_clock import clock
from packgen.sheets.figure_cut import tap_section
from packgen.sheets.figure_dig import dig_sketch
from packgen.sheets.figure_outlet import outlet_orientation
from packgen.sheets.figure_plan import peel_zone, squeeze_positions
from packgen.sheets.figure_stack import stack

__all__ = [
    "Figure",
    "clamp_gap",
    "clock",
    "dig_sketch",
    "outlet_orientation",
    "peel_zone",
    "saw_bore",
    "squeeze_positions",
    "stack",
    "tap_section",
]
