"""The field types of the job model: each reads what a person writes and states its JSON Schema.

A field takes the text of the file (plain numbers and truth values come as ``TypedScalar``), a plain Python value, or a
value that is already of its type, so that models can be built from a file, from JSON or in a test.
Fields without a unit are in ``plain_fields``; a refusal's error type is the finding's code (see ``refusal``).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, TypeVar

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from slackloop.site.plain_fields import as_text, refusal, shown
from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.units import quantity as q
from slackloop.units.amount import Amount, parse_amount, parse_price
from slackloop.units.amount import Price as PriceOfLength
from slackloop.units.conductor_size import ConductorRange as SizeRange
from slackloop.units.conductor_size import ConductorSize, parse_conductor, parse_conductor_range
from slackloop.units.unit_table import DIMENSIONS, QuantityError

T = TypeVar("T")


def _reader(kind: type[T], parse: Callable[[str], T], expected: str) -> PlainValidator:
    """A validator that passes ready values through and parses text."""

    def read(value: object) -> T:
        if isinstance(value, kind):
            return value
        if isinstance(value, bool) or (isinstance(value, TypedScalar) and isinstance(value.value, bool)):
            raise refusal("value-wrong-kind", f"{shown(value)} is no value with a unit", expected)
        try:
            return parse(as_text(value, expected))
        except QuantityError as error:
            raise refusal(error.code, error.message, error.expected or expected, error.hint) from None

    return PlainValidator(read)


_TEXT_OUT = PlainSerializer(lambda value: value.text, return_type=str, when_used="json")


def _schema(description: str, examples: list[str], pattern: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "description": description, "examples": examples, "pattern": pattern})


def _quantity(dimension: str, zero_allowed: bool) -> PlainValidator:
    kind = DIMENSIONS[dimension]
    return _reader(
        q.Quantity,
        lambda text: q.parse_quantity(text, dimension, zero_allowed),
        f"{kind.words} with its unit, such as {kind.example}",
    )


_N = r"^\s*[0-9./ -]*[0-9]\s*"
_LENGTH_SCHEMA = _schema(
    "A length with its unit; a second unit in brackets must agree within 5 %.",
    ["62 m", "1.5 m (5 ft)", "3/4 in", "450 mm"],
    _N + r"[a-z]+\b.*$",
)
_CURRENT_SCHEMA = _schema("A current with its unit.", ["0.6 mA", "2.5 A"], _N + r"(uA|µA|mA|A|kA|amps?)\b.*$")
_OHM = r"(m|k|M|G)?(ohms?|Ω).*$"
_RESISTANCE_SCHEMA = _schema("A resistance with its unit.", ["10 ohm", "5 Mohm"], _N + _OHM)
_VOLTS_SCHEMA = _schema("A voltage with its unit.", ["36 V", "500 V"], _N + r"(m|k)?V.*$")

Length = Annotated[q.Quantity, _quantity("length", False), _TEXT_OUT, _LENGTH_SCHEMA]
ZeroOrMoreLength = Annotated[q.Quantity, _quantity("length", True), _TEXT_OUT, _LENGTH_SCHEMA]
Volts = Annotated[q.Quantity, _quantity("volts", False), _TEXT_OUT, _VOLTS_SCHEMA]
ZeroOrMoreVolts = Annotated[q.Quantity, _quantity("volts", True), _TEXT_OUT, _VOLTS_SCHEMA]
Insulation = Annotated[q.Quantity, _quantity("volts", False), _TEXT_OUT, _VOLTS_SCHEMA]
Current = Annotated[q.Quantity, _quantity("current", False), _TEXT_OUT, _CURRENT_SCHEMA]
ZeroOrMoreCurrent = Annotated[q.Quantity, _quantity("current", True), _TEXT_OUT, _CURRENT_SCHEMA]
Resistance = Annotated[q.Quantity, _quantity("resistance", False), _TEXT_OUT, _RESISTANCE_SCHEMA]
ZeroOrMoreResistance = Annotated[q.Quantity, _quantity("resistance", True), _TEXT_OUT, _RESISTANCE_SCHEMA]
Resistivity = Annotated[
    q.Quantity,
    _quantity("resistivity", False),
    _TEXT_OUT,
    _schema("Soil resistivity with its unit.", ["60 ohm m", "4000 ohm cm"], _N + r"(ohm|Ω).*m.*$"),
]
Frequency = Annotated[
    q.Quantity,
    _quantity("frequency", False),
    _TEXT_OUT,
    _schema("A frequency with its unit.", ["60 Hz", "50 Hz"], _N + r"(Hz|hertz).*$"),
]
Capacitance = Annotated[
    q.Quantity,
    _quantity("capacitance", False),
    _TEXT_OUT,
    _schema("A capacitance with its unit.", ["1.5 uF", "800 nF"], _N + r"(p|n|u|µ|μ)F\b.*$"),
]
CapacitanceOfLength = Annotated[
    q.Quantity,
    _quantity("capacitance of a cable", False),
    _TEXT_OUT,
    _schema("Capacitance between the cores for a length.", ["60 nF/km", "18 pF/ft"], _N + r"(p|n|u|µ|μ)F/.+$"),
]
MaterialAmount = Annotated[
    Amount,
    _reader(Amount, parse_amount, "a number of pieces, a length or a volume, as 2, 3 m or 0.05 m3"),
    _TEXT_OUT,
    WithJsonSchema(
        {
            "description": "A number of pieces, or a length or volume with its unit.",
            "examples": [2, "3 m", "0.05 m3", "1.5 ft3"],
            "anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string", "pattern": _N + r"[a-z]+3?.*$"}],
        }
    ),
]
Price = Annotated[
    PriceOfLength,
    _reader(PriceOfLength, parse_price, "a price for a metre or a foot without a currency, as 0.62 /m"),
    _TEXT_OUT,
    _schema("A price for a metre or a foot, no currency.", ["0.62 /m", "0.19 /ft"], r"^\s*[0-9.]+ ?/ ?[a-z]+\s*$"),
]
Percent = Annotated[
    q.Quantity,
    _quantity("percent", True),
    _TEXT_OUT,
    _schema("A percentage from 0 % to 100 %.", ["5 %", "10 %"], r"^\s*[0-9.]+\s*(%|percent)\s*$"),
]
TemperatureRange = Annotated[
    q.QuantityRange,
    _reader(q.QuantityRange, lambda text: _temperatures(text), "coldest to hottest, as 4 degC to 28 degC"),
    _TEXT_OUT,
    _schema("Coldest to hottest, each with its unit.", ["4 degC to 28 degC", "41 degF to 86 degF"], r"^.+ to .+$"),
]
AreaRange = Annotated[
    q.QuantityRange,
    _reader(q.QuantityRange, lambda text: q.parse_range(text, "area"), "least to most, as 2.1 mm2 to 14 mm2"),
    _TEXT_OUT,
    _schema("Least to most copper, each in mm2.", ["2.1 mm2 to 14 mm2"], r"^.+ mm(2|²) to .+ mm(2|²)\s*$"),
]
Conductor = Annotated[
    ConductorSize,
    _reader(ConductorSize, parse_conductor, "a conductor size, as 14 AWG or 2.5 mm2"),
    PlainSerializer(lambda size: size.label, return_type=str, when_used="json"),
    _schema("A conductor size in AWG or mm2.", ["14 AWG", "2.5 mm2"], r"^\s*[0-9.]+ ?(AWG|mm2|mm²).*$"),
]
ConductorRange = Annotated[
    SizeRange,
    _reader(SizeRange, parse_conductor_range, "smallest to largest conductor, as 18 AWG to 10 AWG"),
    _TEXT_OUT,
    _schema("Smallest to largest conductor.", ["18 AWG to 10 AWG", "0.75 mm2 to 4 mm2"], r"^.+ to .+$"),
]
CountRange = Annotated[
    q.IntRange,
    _reader(q.IntRange, q.parse_int_range, "two whole numbers, as 2 to 5"),
    _TEXT_OUT,
    _schema("Fewest to most.", ["2 to 5"], r"^\s*[0-9]+ to [0-9]+\s*$"),
]


def _temperatures(text: str) -> q.QuantityRange:
    found = q.parse_range(text, "temperature")
    if found.low.si == found.high.si:
        raise QuantityError("range-reversed", f"{text}: the coldest and the hottest are the same",
                            "coldest to hottest, as 4 degC to 28 degC")  # fmt: skip
    return found
