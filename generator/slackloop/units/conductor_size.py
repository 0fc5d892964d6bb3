"""Conductor sizes as a reel or a maker's sheet states them: ``14 AWG``, ``2.5 mm2``."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from slackloop.units.unit_table import QuantityError

AWG_SIZES: tuple[int, ...] = tuple(range(25))
MM2_SIZES: tuple[str, ...] = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16")
"""Sizes of IEC 60228 from 0.5 to 16 mm2 (classes 1 and 2)."""

_EXPECTED = "a conductor size, as 14 AWG or 2.5 mm2"
_SIZE = re.compile(r"(?P<number>[0-9]{1,3}(?:\.[0-9]{1,4})?) ?(?P<unit>AWG|awg|Awg|mm2|mm²|mm\^2|sq mm)")
_LARGEST_MM2 = Fraction(120)


@dataclass(frozen=True, slots=True)
class ConductorSize:
    """A conductor size; ``number`` is the gauge (0 to 24) or the nominal area in mm2."""

    label: str
    system: Literal["AWG", "mm2"]
    number: float
    area_mm2: float


@dataclass(frozen=True, slots=True)
class ConductorRange:
    """From the smallest to the largest conductor, by area of copper."""

    smallest: ConductorSize
    largest: ConductorSize
    text: str


def awg_diameter_mm(gauge: float) -> float:
    """Diameter of a solid AWG conductor in mm.

    Source: ASTM B258: 0.127 mm × 92^((36 − n)/39). Used here for gauges 0 to 24. 14 AWG gives 1.628 mm.
    """
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def awg_area_mm2(gauge: float) -> float:
    """Copper area of an AWG size in mm2, from its diameter (ASTM B258). 14 AWG gives 2.08 mm2."""
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


@lru_cache(maxsize=512)
def parse_conductor(text: str, any_mm2: bool = False) -> ConductorSize:
    """Read one conductor size.

    ``any_mm2`` accepts mm2 sizes outside IEC 60228's list too, as connector sheets use them. Raises ``QuantityError``.
    """
    cleaned = " ".join(text.split()) if len(text) <= 80 else ""
    both = re.fullmatch(r"([^()]+?) ?\(([^()]+)\)", cleaned)
    if both is None:
        return _one(cleaned, any_mm2)
    first, second = _one(both[1], any_mm2), _one(both[2].strip(), True)
    if abs(first.area_mm2 - second.area_mm2) > 0.05 * max(first.area_mm2, second.area_mm2):
        raise QuantityError(
            "both-units-differ",
            f"{first.label} is {first.area_mm2:.3g} mm2 and {second.label} is {second.area_mm2:.3g} mm2",
            "two sizes that agree within 5 %, or one size alone",
            f"write {first.label} alone, as printed on the reel",
        )
    return first


def parse_conductor_range(text: str) -> ConductorRange:
    """Read ``18 AWG to 10 AWG``: smallest conductor first, by area; raises ``QuantityError``."""
    example = "18 AWG to 10 AWG"
    parts = re.split(r"\s+to\s+", " ".join(text.split())) if len(text) <= 80 else []
    if len(parts) != 2:
        raise QuantityError("range-unreadable", f"{text[:80]} is not a range of conductor sizes",
                            f"smallest to largest conductor, as {example}")  # fmt: skip
    unit = parts[1].rsplit(" ", 1)[-1]
    if re.fullmatch(r"[0-9.]+", parts[0]) and unit in ("AWG", "mm2"):
        raise QuantityError("unit-missing", f"{parts[0]} has no unit; both ends of a range need one", example,
                            f"write {parts[0]} {unit} to {parts[1]}")  # fmt: skip
    smallest, largest = parse_conductor(parts[0], True), parse_conductor(parts[1], True)
    if smallest.area_mm2 > largest.area_mm2:
        raise QuantityError("range-reversed", f"{smallest.label} ({smallest.area_mm2:.3g} mm2) is larger than "
                            f"{largest.label} ({largest.area_mm2:.3g} mm2); the smallest conductor comes first",
                            example, f"write {parts[1]} to {parts[0]}")  # fmt: skip
    return ConductorRange(smallest, largest, text)


def _one(text: str, any_mm2: bool) -> ConductorSize:
    match = _SIZE.fullmatch(text)
    if match is None:
        raise _unreadable(text)
    number = Fraction(match["number"])
    if match["unit"].upper() == "AWG":
        if number.denominator != 1 or int(number) not in AWG_SIZES:
            raise QuantityError("conductor-size-unknown", f"{text} is not in the table of conductor sizes",
                                "a whole gauge from 0 AWG to 24 AWG")  # fmt: skip
        return ConductorSize(f"{int(number)} AWG", "AWG", float(number), awg_area_mm2(int(number)))
    known = any(number == Fraction(size) for size in MM2_SIZES)
    if not known and not (any_mm2 and 0 < number <= _LARGEST_MM2):
        nearest = min(MM2_SIZES, key=lambda size: abs(Fraction(size) - number))
        raise QuantityError("conductor-size-unknown", f"{text} is not in the table of conductor sizes",
                            f"one of {', '.join(MM2_SIZES)} mm2, or an AWG size",
                            f"the nearest is {nearest} mm2")  # fmt: skip
    return ConductorSize(f"{float(number):g} mm2", "mm2", float(number), float(number))


def _unreadable(text: str) -> QuantityError:
    if re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        message = f"{text} has no unit; a conductor size needs one, such as 14 AWG"
        return QuantityError("unit-missing", message, _EXPECTED)
    if re.search(r"[0-9],[0-9]", text):
        return QuantityError(
            "comma-decimal", f"{text} has a comma in a number", _EXPECTED, f"write {text.replace(',', '.')}"
        )
    swapped = re.fullmatch(r"(?:AWG|awg|#|No\.?) ?#?([0-9]{1,2})|#?([0-9]{1,2}) ?(?:ga|gauge|g|GA)\.?", text)
    hint = f"write {swapped[1] or swapped[2]} AWG" if swapped else ""
    return QuantityError("quantity-unreadable", f"{text[:80] or 'this text'} is not a conductor size", _EXPECTED, hint)
