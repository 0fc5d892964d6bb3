"""Figures as pages show them, and the small words around them. What a figure comes to in text is ``units.figure``'s."""

from __future__ import annotations

from slackloop.language.messages import last_word
from slackloop.sections.text import Measure
from slackloop.units import figure as fig
from slackloop.units.amount import count as count
from slackloop.units.amount import grouped as grouped
from slackloop.units.conductor_size import ConductorSize
from slackloop.units.figure import Figure, written
from slackloop.units.ladder import Rounding
from slackloop.units.ladder import System as Units
from slackloop.units.quantity import Quantity

__all__ = ["Units", "written"]


def told(figure: Figure, units: Units) -> Measure:
    """A figure in both unit systems, the job's first."""
    return Measure(figure.text(units))


def length(length_m: float, units: Units, rounding: Rounding) -> Measure:
    """A computed length in both systems."""
    return told(fig.length(length_m, rounding), units)


def run_length(length_m: float, units: Units, rounding: Rounding, digits: int | None = None) -> Measure:
    """A computed length of cable or path in both systems: 0.1 m and whole feet."""
    return told(fig.run_length(length_m, rounding, digits), units)


def stated(quantity: Quantity, units: Units, rounding: Rounding) -> Measure:
    """What the job states, as it wrote it, with the other system added where it is missing."""
    return told(fig.stated(quantity, rounding), units)


def printed(
    units: Units,
    rounding: Rounding,
    *,
    metres: float | None = None,
    feet: float | None = None,
    inch: float | None = None,
) -> Measure:
    """A length with the figures that its source prints, the job's unit first; the system it leaves out is converted."""
    return Measure(fig.printed(units, rounding, metres=metres, feet=feet, inch=inch))


def conductor(size: ConductorSize) -> str:
    """A conductor size with its area, as ``14 AWG (2.08 mm²)``."""
    if size.system == "AWG" and size.label != fig.NOT_KNOWN:
        return f"{size.label} ({Figure(size.area_mm2, 'area', 'nearest').alone('metric')})"
    return written(size.label)


def conductor_label(size: ConductorSize) -> str:
    """A conductor size by its label alone."""
    return written(size.label)


def volts(value: float | None, rounding: Rounding) -> Measure:
    """Volts to one decimal; None where the path has no volts that can be relied on, no figure where none are left."""
    return Measure("no reliable volts" if value is None else fig.volts(value, rounding).alone("metric"))


def lowest_volts(value: float | None) -> Measure:
    """Worst-case volts, so that a shortfall never shows as enough."""
    if value is not None and value <= 0:
        return Measure("none: too much is lost on the way")
    return volts(value, "lowest")


def ohms(value: float, rounding: Rounding, digits: int | None = None) -> Measure:
    """Resistance: two decimals below 100 Ω, one below 1,000 Ω, then kΩ or MΩ."""
    return Measure(fig.ohms(value, rounding, digits).alone("metric"))


def amps(value: float | None, rounding: Rounding) -> str:
    """Current: milliamperes below 1 A; None where it cannot be calculated."""
    return "cannot be calculated" if value is None else fig.amps(value, rounding).alone("metric")


def area(value_mm2: float, rounding: Rounding) -> str:
    """Copper area to two decimals."""
    return Figure(value_mm2, "area", rounding).alone("metric")


def temperature(celsius: float, units: Units, rounding: Rounding) -> str:
    """A temperature in both scales, to a whole degree."""
    return fig.temperature(celsius, rounding).text(units)


def volume(cubic_metres: float, units: Units, rounding: Rounding) -> str:
    """A volume in cubic metres and cubic yards."""
    return fig.volume(cubic_metres, rounding).text(units)


def plain(number: float, digits: int) -> str:
    """A count with a part, ``number``, with at most ``digits`` decimals."""
    text = f"{number:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def listing(words: tuple[str, ...] | list[str], last: str = "and") -> str:
    """Words as a sentence lists them: ``a``, ``a and b``, ``a, b and c``."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last_word(last)} {words[-1]}"
