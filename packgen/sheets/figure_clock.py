"""The clock from fusion end: how long each next act of a joint has to wait, as bars to scale.

In: the rungs of the ladder, clock.*, as numbers in s and as printed texts, words by key.
Out: a `Figure`, or None where no rung is known.
Vocabulary: a *rung* is an act and its earliest time after fusion end; its bar is the wait before it, and the
act may begin where the bar ends. The rungs stand in the order of the work, which is that of their times.
Governing text: ISO 128 for lines and hatching (edition from memory); the times are those of
`packgen.calc.ladder`.
"""

from __future__ import annotations

from packgen.errors import ContentError
from packgen.sheets.drawing import MIDDLE, THICK, THIN, Drawing, Line, block_width, text_width
from packgen.sheets.figure_base import GAP, Figure, Values, Words, letter_of

_RUNGS = ("clock.clamps_off", "clock.test", "clock.tap", "clock.working_pressure", "clock.backfill")
EARLIEST = "clock.earliest"  # the head of the times, with the temperature they hold to; not in the register
_PITCH, _THICK = 1.75, 1.05  # of the letter: from bar to bar, and a bar's height
_MINUTES = (1, 2, 5, 10, 15, 20, 30, 60, 120, 240)  # from one mark of the time line to the next
_MARKS = 13  # at most
_TICK = 1.2  # mm
_AIR = 1.0  # mm above and below the drawing


def clock(values: Values, text: Words, words: Words, width: float, height: float) -> Figure | None:
    """The waits from fusion end, each with the act it lasts until; None where none is known.

    Parameters: `values` times in s, `text` their printed texts and, where it is known, what they are counted
    from and up to which temperature they hold (`EARLIEST`); `words` labels by key, `width` and `height` the
    box in mm; the bars are as long as the width lets them be. Raises ContentError where the rows are taller
    than the box.
    """
    rungs = [name for name in _RUNGS if name in values and name in text]
    if not rungs:
        return None
    drawing = Drawing(letter_of(width))
    names = [Line(words[name]) for name in rungs]
    flags = [Line(text[name], True) for name in rungs]
    left = block_width(names, drawing.letter) + 2 * GAP
    room = width - left - block_width(flags, drawing.letter) - 2 * GAP - THICK
    longest = max(values[name] for name in rungs)
    pitch = _PITCH * drawing.letter
    foot = len(rungs) * pitch
    for row, (name, flag) in enumerate(zip(rungs, flags, strict=True)):
        _row(drawing, (row + 0.5) * pitch, room * values[name] / longest, names[row], flag)
    drawing.line((0.0, 0.0), (0.0, foot), width=THICK)
    earliest = text.get(EARLIEST, words["clock.earliest"])
    drawing.block((-left, -0.4 * pitch), (Line(earliest, True),))
    _time_line(drawing, words, foot, room, longest / 60.0, -left)
    alt = f"{words['clock.title']}. {words['clock.alt'].strip()} {earliest}: " + "; ".join(
        f"{words[name]} {text[name]}" for name in rungs
    )
    _, top, _, bottom = drawing.box
    tall = round(bottom - top + 2 * _AIR, 2)
    if tall > height:
        raise ContentError(f"the waits from fusion end take {tall:g} mm of height, {height:g} mm are there")
    strings = tuple(label.words for label in drawing.labels)
    return Figure("clock", words["clock.title"], drawing.svg(width, tall), f"{alt}.", "", strings, tall)


def _row(drawing: Drawing, level: float, end: float, name: Line, flag: Line) -> None:
    """One rung: its name, the hatched wait, and its time where the wait is over."""
    half = _THICK * drawing.letter / 2
    bar = ((0.0, level - half), (end, level - half), (end, level + half), (0.0, level + half))
    drawing.cut(bar)
    drawing.shape(bar, MIDDLE)
    drawing.line((end, level - half - 0.4), (end, level + half + 0.4), width=THICK)
    drawing.block((-2 * GAP, level), (name,), "end")
    drawing.block((end + GAP + THICK, level), (flag,))


def _time_line(
    drawing: Drawing, words: Words, level: float, room: float, minutes: float, left: float
) -> None:
    """Below the bars a line with a mark every so many minutes, and the words that say how many."""
    step = next((each for each in _MINUTES if minutes / each <= _MARKS), _MINUTES[-1])
    drawing.line((0.0, level), (room, level), width=THIN)
    for mark in range(1, int(minutes / step) + 1):
        x = room * mark * step / minutes
        drawing.line((x, level), (x, level + _TICK), width=MIDDLE)
    said = words["clock.marks"].replace("{minutes}", str(step))
    start = 0.0 if text_width(said, drawing.letter) < room else left
    drawing.block((start, level + _TICK + GAP), (Line(said),), "start", "below")
