"""How each kind of quantity is written in each unit system: which unit and which step from which size on.

Conversions are exact by definition: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg
(NIST SP 811, Appendix B). The steps are this program's own: what a tape, a meter or an order can tell.

Rounding with a direction: a figure that somebody works to is never rounded to the wrong side.

The direction says what the figure is to its reader. A limit is a ``least`` (rounded up) or a ``most`` (rounded
down). A length to ``cut``, pull, dig or order is rounded up. What is worked out to be the ``lowest`` that something
comes to is rounded down, the ``highest`` up, so that a shortfall never shows as enough. All else is ``nearest``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

Rounding = Literal["least", "most", "cut", "lowest", "highest", "nearest"]

UP: frozenset[Rounding] = frozenset({"least", "cut", "highest"})
LOST_IN_BINARY = Fraction(1, 10**9)
"""How near a whole step, as a part of the value, counts as on it: sums of binary fractions lose less."""


def to_step(value: Fraction, step: Fraction, rounding: Rounding) -> Fraction:
    """``value`` on a whole number of ``step``, never on the wrong side by more than ``LOST_IN_BINARY`` of it."""
    # In whole numbers: the steps are over / under, of which Fraction would look for the common divisor each time.
    over, under = value.numerator * step.denominator, value.denominator * step.numerator
    down, rest = divmod(over, under)
    near = down + (2 * rest > under or (2 * rest == under and down % 2))
    off = abs(over - near * under) * LOST_IN_BINARY.denominator
    if rounding == "nearest" or off <= LOST_IN_BINARY.numerator * abs(over):
        return near * step
    return (down + (rest > 0) if rounding in UP else down) * step


def earned_step(value: Fraction, digits: int) -> Fraction:
    """The step that leaves ``value`` its first ``digits`` significant digits; a tiny one for zero."""
    if value == 0:
        return Fraction(1, 10**12)
    power = 0
    while abs(value) >= Fraction(10) ** (power + 1):
        power += 1
    while abs(value) < Fraction(10) ** power:
        power -= 1
    return Fraction(10) ** (power + 1 - digits)


@lru_cache(maxsize=65536)
def rounded(value: float, step: float, rounding: Rounding) -> float:
    """A plain number on a whole number of ``step`` (a decimal such as 0.01), for cells of a spreadsheet."""
    return float(to_step(Fraction(value), Fraction(str(step)), rounding))


System = Literal["metric", "us"]
Kind = Literal[
    "length", "run", "volts", "current", "watts", "volt-amperes", "resistance", "resistivity", "temperature", "volume",
    "area", "mass", "percent",
]
"""``run`` is a length of cable or path: tenths of a metre, whole feet."""
SI_UNITS: Mapping[str, str] = {
    "length": "m", "run": "m", "volts": "V", "current": "A", "resistance": "ohm", "resistivity": "ohm m",
    "temperature": "degC", "volume": "m3", "area": "mm2", "mass": "kg", "percent": "1",
}  # fmt: skip
"""The unit of a number of each kind, as files name it."""


Writer = Callable[[Fraction, Fraction], str]
"""Puts a number of units, which lies on a step, into words."""


@dataclass(frozen=True, slots=True)
class Rung:
    """From the rung before up to ``below`` (inside units): one unit is ``per`` of the inside unit and ``offset``.

    ``step`` is in the unit.
    """

    below: Fraction | None
    per: Fraction
    step: Fraction
    write: Writer
    offset: Fraction = Fraction(0)


def decimal(number: Fraction, digits: int) -> str:
    """A number that has at most ``digits`` decimals, written with all of them."""
    whole, rest = divmod(abs(number.numerator) * 10**digits // number.denominator, 10**digits)
    sign = "-" if number < 0 and (whole or rest) else ""
    return f"{sign}{whole}.{rest:0{digits}d}" if digits else f"{sign}{whole}"


@lru_cache(maxsize=256)
def decimals(step: Fraction) -> int:
    """How many decimals a number on a step has: 2 for 0.01, none for 10."""
    return next(digits for digits in range(30) if step * 10**digits >= 1)


def inches(number: Fraction, _: Fraction) -> str:
    """Inches with a fraction as on a tape, ``1 1/2 in``; feet and inches from 3 ft on, ``5 ft 6 1/2 in``."""
    sign, size = ("-" if number < 0 else ""), abs(number)
    feet, rest = divmod(size, 12) if size >= 36 else (0, size)
    whole, part = divmod(rest, 1)
    words = " ".join(str(each) for each in (whole, part) if each)
    if not feet:
        return f"{sign}{words or '0'} in"
    return f"{sign}{feet} ft {words} in" if words else f"{sign}{feet} ft"


def _fixed(unit: str) -> Writer:
    """With every decimal of the step."""
    return lambda number, step: f"{decimal(number, decimals(step))} {unit}"


def _plain(unit: str) -> Writer:
    """Without zeros at the end of its decimals."""

    def write(number: Fraction, step: Fraction) -> str:
        text = decimal(number, decimals(step))
        return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"

    return write


def _rung(below: str | None, per: str, step: str, write: Writer, offset: str = "0") -> Rung:
    return Rung(None if below is None else Fraction(below), Fraction(per), Fraction(step), write, Fraction(offset))


_INCH, _FOOT, _CUBIC_YARD, _POUND = "0.0254", "0.3048", "0.764554857984", "0.45359237"

METRIC: dict[Kind, tuple[Rung, ...]] = {
    "length": (
        _rung("0.0195", "0.001", "0.1", _plain("mm")),
        _rung("1", "0.001", "1", _plain("mm")),
        _rung("10", "1", "0.01", _plain("m")),
        _rung(None, "1", "0.1", _plain("m")),
    ),
    "run": (_rung(None, "1", "0.1", _fixed("m")),),
    "volts": (_rung(None, "1", "0.1", _fixed("V")),),
    "current": (
        _rung("0.1", "0.001", "0.1", _plain("mA")),
        _rung("1", "0.001", "1", _plain("mA")),
        _rung(None, "1", "0.01", _fixed("A")),
    ),
    "watts": (_rung(None, "1", "0.01", _plain("W")),),
    "volt-amperes": (_rung(None, "1", "0.01", _plain("VA")),),
    "resistance": (
        _rung("100", "1", "0.01", _fixed("Ω")),
        _rung("1000", "1", "0.1", _fixed("Ω")),
        _rung("1000000", "1000", "0.01", _plain("kΩ")),
        _rung(None, "1000000", "0.01", _plain("MΩ")),
    ),
    "resistivity": (_rung(None, "1", "0.1", _plain("Ω·m")),),
    "temperature": (_rung(None, "1", "1", _plain("°C")),),
    "volume": (_rung(None, "1", "0.1", _fixed("m³")),),
    "area": (_rung(None, "1", "0.01", _fixed("mm²")),),
    "mass": (_rung(None, "1", "1", _plain("kg")),),
    "percent": (_rung(None, "0.01", "0.01", _plain("%")),),
}
US: dict[Kind, tuple[Rung, ...]] = {
    "length": (
        _rung(_INCH, _INCH, "1/16", inches),
        _rung("0.0762", _INCH, "1/8", inches),
        _rung("0.3048", _INCH, "1/4", inches),
        _rung("6.096", _INCH, "1/2", inches),
        _rung(None, _FOOT, "1", _plain("ft")),
    ),
    "run": (_rung(None, _FOOT, "1", _plain("ft")),),
    "temperature": (_rung(None, "5/9", "1", _plain("°F"), "-160/9"),),
    "volume": (_rung(None, _CUBIC_YARD, "0.1", _fixed("yd³")),),
    "mass": (_rung(None, _POUND, "1", _plain("lb")),),
}
"""Kinds that a US reader measures in other units; the rest are the same in both systems."""

EARNED: dict[Kind, int] = {"volume": 3, "percent": 2}
"""Significant digits that a kind never exceeds: soil factors are published to three, margins are known to two."""


def _is_below(value: Fraction, limit: Fraction | None) -> bool:
    """Whether the size of a value is less than a limit, where there is one; in whole numbers, as in ``to_step``."""
    return limit is None or abs(value.numerator) * limit.denominator < limit.numerator * value.denominator


def tell(value: float, kind: Kind, rounding: Rounding, system: System, digits: int | None) -> str:
    """One figure in one unit system; see ``figure.Figure``."""
    exact = Fraction(value)
    rungs = US.get(kind, METRIC[kind]) if system == "us" else METRIC[kind]
    earned = digits if digits is not None else EARNED.get(kind)
    for rung in rungs:
        if not _is_below(exact, rung.below):
            continue
        is_inside_unit = rung.per == 1 and not rung.offset
        number = exact if is_inside_unit else (exact - rung.offset) / rung.per
        step = rung.step if earned is None else max(rung.step, earned_step(number, earned))
        number = to_step(number, step, rounding)
        exact = number if is_inside_unit else number * rung.per + rung.offset
        if _is_below(exact, rung.below):
            return rung.write(number, step)
    raise AssertionError(kind)
