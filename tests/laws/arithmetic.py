"""The printed formulas, reckoned by a reader of their own that shares no line with packgen.

In: a formula as printed, the texts and numbers of its symbols. Out: a number in coherent units (m, s, Pa, N,
J, W, V, A, Ω, kg, m³; degrees Celsius as they are; an angle in radians; 10 % as 0.1). Vocabulary: an *atom*
is a number with its unit, a symbol, a function or a list in braces.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

FOOT, INCH, POUND_FORCE = 0.3048, 0.0254, 4.4482216152605
# Every unit that the register, an input or a formula is written in.
SCALES = {
    "mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": INCH, "ft": FOOT, "mm2": 1e-6, "mm²": 1e-6, "in²": INCH**2,
    "s": 1.0, "min": 60.0, "h": 3600.0, "kPa": 1e3, "MPa": 1e6, "bar": 1e5, "psi": POUND_FORCE / INCH**2,
    "N*m": 1.0, "N": 1.0, "kN": 1e3, "lbf": POUND_FORCE, "kJ": 1e3, "W": 1.0, "kW": 1e3, "VA": 1.0, "V": 1.0,
    "A": 1.0, "ohm": 1.0, "Ω": 1.0, "Ω/km": 1e-3, "Ω/kft": 1e-3 / FOOT, "g": 1e-3, "kg": 1.0, "kg/m³": 1.0,
    "L": 1e-3, "L/m²": 1e-3, "mm/(m·K)": 1e-3, "degree": math.pi / 180, "°": math.pi / 180, "percent": 0.01,
    "%": 0.01, "each": 1.0, "1": 1.0, "": 1.0, "in/min": INCH / 60, "mm/min": 1e-3 / 60, "mm/s": 1e-3,
    "degC": 1.0, "°C": 1.0, "K": 1.0,
}  # fmt: skip
_FUNCTIONS: Mapping[str, Callable[[float], float]] = {
    "√": math.sqrt, "sin": math.sin, "cos": math.cos, "ln": math.log,
    # A whole number that binary arithmetic missed by a hair is that number.
    "whole": lambda x: float(math.floor(x + 1e-9)), "up": lambda x: float(math.ceil(x - 1e-9)),
}  # fmt: skip
_LISTS: Mapping[str, Callable[[list[float]], float]] = {"min": min, "max": max, "Σ": math.fsum}
_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+(?:\.\d+)?)(?P<unit> ?°C| ft| in| K| %|°)?(?![\w′])"
    r"|(?P<name>√|[^\W\d_²][^\W_²]*′?)|(?P<mark>[-+−·/²(){},>]))"
)


@dataclass
class Reader:
    """Reads one expression from the left."""

    text: str
    signs: Mapping[str, float]
    at: int = 0

    def _peek(self) -> str:
        found = _TOKEN.match(self.text, self.at)
        return found[0].strip() if found else ""

    def _take(self) -> re.Match[str]:
        found = _TOKEN.match(self.text, self.at)
        assert found, f"{self.text!r} cannot be read at {self.text[self.at :]!r}"
        self.at = found.end()
        return found

    def _skip(self, mark: str) -> None:
        assert self._take()["mark"] == mark, self.text

    def sum(self) -> float:
        """Terms with + and −."""
        total = self._product()
        while self._peek() in ("+", "−"):
            total += self._product() if self._take()["mark"] == "+" else -self._product()
        return total

    def _product(self) -> float:
        total = self._power()
        while self._peek() in ("·", "/"):
            total = total * self._power() if self._take()["mark"] == "·" else total / self._power()
        return total

    def _power(self) -> float:
        base = self._atom()
        if self._peek() == "²":
            self._take()
            return base**2
        return base

    def _atom(self) -> float:
        found = self._take()
        if found["number"]:
            return float(found["number"]) * SCALES[(found["unit"] or "").strip()]
        if found["mark"]:
            assert found["mark"] == "(", self.text
            return self._closed()
        name = found["name"]
        if name in _LISTS and self._peek() == "{":
            return _LISTS[name](self._list())
        if name in _FUNCTIONS and self._peek() == "(":
            self._take()
            return _FUNCTIONS[name](self._closed())
        return math.pi if name == "π" else self.signs[name]

    def _closed(self) -> float:
        inside = self.sum()
        self._skip(")")
        return inside

    def _list(self) -> list[float]:
        self._skip("{")
        found = [self.sum()]
        while self._take()["mark"] == ",":
            found.append(self.sum())
        assert self.text[self.at - 1] == "}", self.text
        return found


def reckon(expression: str, signs: Mapping[str, float]) -> float:
    """An expression as a number; it must be read to its end."""
    reader = Reader(expression, signs)
    number = reader.sum()
    assert reader.at == len(expression.rstrip()), f"{expression!r} is read up to {expression[: reader.at]!r}"
    return number


def solve(formula: str, signs: Mapping[str, float], listed: Sequence[float] = ()) -> float:
    """A printed formula: its equations from the last to the first; the first one's number.

    "to 0.001 in" rounds to a step, half up; "largest listed ≤" picks from `listed`.
    """
    known = dict(signs)
    first, *rest = formula.split("; ")
    for equation in reversed(rest):
        sign, _, expression = equation.partition(" = ")
        known[sign] = reckon(expression, known)
    _, _, expression = first.partition(" = ")
    if expression.startswith("largest listed ≤ "):
        limit = reckon(expression.removeprefix("largest listed ≤ "), known)
        return max(size for size in listed if size <= limit + 1e-12)
    expression, _, step = expression.partition(" to ")
    number = reckon(expression, known)
    if not step:
        return number
    size = reckon(step, {})
    return math.floor(float(f"{number / size:.10g}") + 0.5) * size


def said(text: str) -> float:
    """The number that a printed text says, in coherent units; the system in brackets is the same again."""
    first = text.partition(" [")[0].replace(",", "")
    times, _, rest = first.rpartition(" × ")
    found = re.fullmatch(r"(−?)(?:(?:(\d+)-)?(\d+)/(\d+)|([\d.]+)) ?(\D.*)?", rest)
    assert found, text
    sign, whole, top, bottom, plain, unit = found.groups(default="")
    number = float(plain) if plain else float(whole or 0) + float(Fraction(int(top), int(bottom)))
    number = -number if sign else number
    return float(times or 1) * ((number - 32) / 1.8 if unit == "°F" else number * SCALES[unit])
