"""Between which ohms a loop reading passes: by the soil, and by the reading before it; all as cards print it."""

from __future__ import annotations

from functools import lru_cache

from slackloop.compute.circuit.loop import LoopRule
from slackloop.records.result import Due
from slackloop.units import figure
from slackloop.units.unit_table import UNITS, format_number

SOIL_LIKELY_K = 10.0
"""How far soil may be from the range that the job gives before its temperature is doubted, K. Our own bound: soil in
which anybody digs, read in °F and written as °C, is beyond it."""
SOIL_ROUNDED_K = 0.01
"""What is lost where a temperature that was read in °F is kept in °C, to two decimals."""
LOST_OHMS = 1e-9
"""What a sum of two printed figures may lose, ohm."""


def is_in_soil(due: Due, celsius: float, beyond_k: float = 0.0) -> bool:
    """Whether soil is of a temperature of the job, or at most so much beyond."""
    coldest, hottest = due.soil
    return coldest - beyond_k - SOIL_ROUNDED_K <= celsius <= hottest + beyond_k + SOIL_ROUNDED_K


def soil_of_job(due: Due) -> str:
    """The soil temperatures of the job as text."""
    coldest, hottest = due.soil
    return f"{format_number(coldest)} to {format_number(hottest)} °C"


def soils_between(due: Due, celsius: float | None) -> tuple[float, float]:
    """The coldest and the hottest soil that a loop may have been read in: those of the job, and what was recorded.

    What cannot be true says nothing of the soil.
    """
    coldest, hottest = due.soil
    if celsius is None or not is_in_soil(due, celsius, SOIL_LIKELY_K):
        return coldest, hottest
    return min(coldest, celsius), max(hottest, celsius)


@lru_cache(maxsize=8192)
def apart_ohms(loop: LoopRule, coldest: float) -> float:
    """How far a second loop reading may be from the first, ohm, as cards and pages print it: one figure for a box."""
    return printed_ohms(figure.ohms(loop.repeat_ohms(coldest), "most").alone("metric"))


def loop_band(loop: LoopRule, coldest: float, hottest: float, *, any_soil: bool = False) -> tuple[float, float]:
    """The least and the most that pass, ohm, as they are printed: rounded to the stricter side.

    Between two temperatures: what passes at both, or with ``any_soil`` what passes at either. Limits grow evenly with
    the temperature, so the ends of a range say what passes all over it.
    """
    ends = _ends(loop, coldest), _ends(loop, hottest)
    lows, highs = [low for low, _ in ends], [high for _, high in ends]
    return (min(lows), max(highs)) if any_soil else (max(lows), min(highs))


@lru_cache(maxsize=8192)
def _ends(loop: LoopRule, celsius: float) -> tuple[float, float]:
    limit = loop.at(celsius)
    low, high = figure.ohms(limit.low_ohms, "least"), figure.ohms(limit.high_ohms, "most")
    return printed_ohms(low.alone("metric")), printed_ohms(high.alone("metric"))


def printed_ohms(text: str) -> float:
    """The ohms of a printed figure."""
    number, _, unit = text.partition(" ")
    return float(number) * float(UNITS[unit].factor)


def band_text(least: float, most: float) -> str:
    """Two limits in one unit."""
    low, high = figure.ohms(least, "least").alone("metric"), figure.ohms(most, "most").alone("metric")
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"
