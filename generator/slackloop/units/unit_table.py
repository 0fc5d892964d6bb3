"""Units that a job file may use, by dimension, with exact factors to the unit used inside.

Inside are: metre, volt, ampere, ohm, ohm metre, mm2, hertz, farad, farad a metre, fraction (for percent) and degrees
Celsius.
Inch, foot and yard are exact by the international yard and pound agreement of 1959 (25.4 mm an inch).

The one error that reading a quantity raises; it carries what a finding needs.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from fractions import Fraction

METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 0.3048
CUBIC_METRES_PER_CUBIC_YARD = 0.9144**3


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: ``inside = factor × number + offset``; ``name`` is how the program writes it."""

    name: str
    dimension: str
    factor: Fraction
    offset: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: words for messages, an example, and the bounds of what can be meant."""

    name: str
    words: str
    example: str
    inside: str
    least: Fraction
    most: Fraction


_MILLI, _KILO = Fraction(1, 1000), Fraction(1000)
_MICRO, _NANO, _PICO = Fraction(1, 10**6), Fraction(1, 10**9), Fraction(1, 10**12)
_FOOT = Fraction(3048, 10_000)

DIMENSIONS: dict[str, Dimension] = {
    d.name: d
    for d in (
        Dimension("length", "a length", "1.5 m", "m", Fraction(0), Fraction(100_000)),
        Dimension("volts", "a voltage", "36 V", "V", Fraction(0), Fraction(15_000)),
        Dimension("current", "a current", "0.6 mA", "A", Fraction(0), Fraction(1_000)),
        Dimension("resistance", "a resistance", "10 ohm", "ohm", Fraction(0), Fraction(10**12)),
        Dimension("resistivity", "a soil resistivity", "60 ohm m", "ohm m", Fraction(0), Fraction(10**7)),
        Dimension("temperature", "a temperature", "4 degC", "degC", Fraction(-90), Fraction(150)),
        Dimension("percent", "a percentage", "10 %", "", Fraction(0), Fraction(1)),
        Dimension("volume", "a volume", "0.05 m3", "m3", Fraction(0), Fraction(1_000_000)),
        Dimension("frequency", "a frequency", "60 Hz", "Hz", Fraction(1), Fraction(1_000)),
        Dimension("capacitance", "a capacitance", "1.5 uF", "F", Fraction(0), Fraction(1)),
        Dimension("capacitance of a cable", "a capacitance for a length", "60 nF/km", "F/m", Fraction(0), _MILLI),
        Dimension("area", "an area of copper", "2.1 mm2", "mm2", Fraction(0), Fraction(1_000)),
    )
}

_TABLE: tuple[tuple[str, str, Fraction, tuple[str, ...]], ...] = (
    ("mm", "length", _MILLI, ("millimetre", "millimetres", "millimeter", "millimeters")),
    ("cm", "length", Fraction(1, 100), ("centimetre", "centimetres", "centimeter", "centimeters")),
    ("m", "length", Fraction(1), ("metre", "metres", "meter", "meters")),
    ("km", "length", _KILO, ("kilometre", "kilometres", "kilometer", "kilometers")),
    ("in", "length", Fraction(254, 10_000), ("inch", "inches")),
    ("ft", "length", _FOOT, ("foot", "feet")),
    ("yd", "length", Fraction(9144, 10_000), ("yard", "yards")),
    ("mV", "volts", _MILLI, ()),
    ("V", "volts", Fraction(1), ("volt", "volts")),
    ("kV", "volts", _KILO, ()),
    ("uA", "current", Fraction(1, 10**6), ("µA", "μA")),
    ("mA", "current", _MILLI, ()),
    ("A", "current", Fraction(1), ("amp", "amps", "ampere", "amperes")),
    ("kA", "current", _KILO, ()),
    ("mohm", "resistance", _MILLI, ("mΩ",)),
    ("ohm", "resistance", Fraction(1), ("ohms", "Ω")),
    ("kohm", "resistance", _KILO, ("kohms", "kΩ")),
    ("Mohm", "resistance", Fraction(10**6), ("Mohms", "MΩ", "megohm", "megohms")),
    ("Gohm", "resistance", Fraction(10**9), ("Gohms", "GΩ")),
    (
        "ohm m",
        "resistivity",
        Fraction(1),
        ("ohm-m", "ohm·m", "ohm.m", "Ωm", "Ω m", "Ω·m", "ohm metre", "ohm meter", "ohm metres", "ohm meters"),
    ),
    ("ohm cm", "resistivity", Fraction(1, 100), ("ohm-cm", "ohm·cm", "ohm.cm", "Ωcm", "Ω cm", "Ω·cm")),
    ("%", "percent", Fraction(1, 100), ("percent",)),
    ("m3", "volume", Fraction(1), ("m³", "cu m", "m^3")),
    ("yd3", "volume", Fraction(9144, 10_000) ** 3, ("yd³", "cu yd", "yd^3")),
    ("ft3", "volume", Fraction(3048, 10_000) ** 3, ("ft³", "cu ft", "ft^3")),
    ("Hz", "frequency", Fraction(1), ("hertz",)),
    ("pF", "capacitance", _PICO, ()),
    ("nF", "capacitance", _NANO, ()),
    ("uF", "capacitance", _MICRO, ("µF", "μF")),
    ("pF/m", "capacitance of a cable", _PICO, ()),
    ("nF/m", "capacitance of a cable", _NANO, ()),
    ("nF/km", "capacitance of a cable", _PICO, ()),
    ("uF/km", "capacitance of a cable", _NANO, ("µF/km", "μF/km")),
    ("pF/ft", "capacitance of a cable", _PICO / _FOOT, ()),
    ("nF/1000 ft", "capacitance of a cable", _PICO / _FOOT, ("nF/kft",)),
    ("mm2", "area", Fraction(1), ("mm²", "sq mm", "mm^2")),
)

KELVIN_OF_F = Fraction(5, 9)

UNITS: dict[str, Unit] = {}
for _name, _dimension, _factor, _siblings in _TABLE:
    for _spelling in (_name, *_siblings):
        UNITS[_spelling] = Unit(_name, _dimension, _factor)
for _spelling in ("degC", "°C", "deg C", "℃"):
    UNITS[_spelling] = Unit("degC", "temperature", Fraction(1))
for _spelling in ("degF", "°F", "deg F", "℉"):
    UNITS[_spelling] = Unit("degF", "temperature", KELVIN_OF_F, Fraction(-160, 9))

_MEANT: dict[str, str] = {
    "C": "degC", "F": "degF", "c": "degC", "f": "degF", "'": "ft", "′": "ft", '"': "in", "″": "in", "''": "in",
    "v": "V", "a": "A", "ga": "AWG", "gauge": "AWG", "g": "AWG", "awg": "AWG", "M": "m", "mtr": "m", "mtrs": "m",
    "lm": "m", "pct": "%", "Ohm": "ohm", "meg": "Mohm", "sqmm": "mm2", "mmsq": "mm2", "VAC": "V", "VDC": "V",
    "hz": "Hz", "HZ": "Hz", "cycles": "Hz",
}  # fmt: skip


def spellings() -> dict[str, Unit]:
    """Every unit by each way of writing it, the short ones that people use on site among them."""
    return {**{word: UNITS[name] for word, name in _MEANT.items() if name in UNITS}, **UNITS}


def nearest_unit(word: str, dimension: str | None) -> str:
    """The unit that was most likely meant by an unknown word, or an empty text."""
    meant = _MEANT.get(word, "")
    if meant and (dimension is None or meant == "AWG" or UNITS[meant].dimension == dimension):
        return meant
    names = [s for s, unit in UNITS.items() if dimension is None or unit.dimension == dimension]
    alike = [spelling for spelling in names if spelling.casefold() == word.casefold()]
    if alike:  # Mohm rather than mohm for MOHM
        return UNITS[max(alike, key=lambda each: each[0] == word[0])].name
    close = difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    return UNITS[close[0]].name if close else ""


def format_number(value: float, digits: int = 4) -> str:
    """Write a number with at most ``digits`` significant figures, without an exponent where that is readable."""
    text = f"{value:.{digits}g}"
    if "e" in text:
        text = f"{value:.0f}" if abs(value) >= 1 else f"{value:.10f}".rstrip("0").rstrip(".")
    return text


class QuantityError(ValueError):
    """A text that is not the quantity asked for: finding code, message with figures, what was expected, the mend."""

    def __init__(self, code: str, message: str, expected: str = "", hint: str = "") -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.expected = expected
        self.hint = hint
