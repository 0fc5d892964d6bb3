"""One record judged by its limit: it passes, fails, cannot be true, or leaves the thing outstanding.

Between which ohms a loop reading passes: by the soil, and by the reading before it; all as cards print it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import isfinite

from slackloop.compute.circuit.conductor import at_temperature
from slackloop.compute.circuit.loop import LoopRule
from slackloop.records.result import AS_BUILT, NOT_TICKED, TICKED, Due, Record, Status
from slackloop.records.value import BEYOND, Number, OutOfRange, Unreadable, number_of
from slackloop.units import figure
from slackloop.units.unit_table import UNITS, format_number

YES = frozenset({TICKED, "y", "true", "1", "x", "✓", "✔", "☑"})
NO = frozenset({NOT_TICKED, "n", "false", "0", "☐"})
SOIL_LIKELY_K = 10.0
"""How far soil may be from the range that the job gives before its temperature is doubted, K. Our own bound: soil in
which anybody digs, read in °F and written as °C, is beyond it."""
SOIL_ROUNDED_K = 0.01
"""What is lost where a temperature that was read in °F is kept in °C, to two decimals."""
LOST_OHMS = 1e-9
"""What a sum of two printed figures may lose, ohm."""
SLIP = 1000
"""What lies between a unit and the next: Ω and kΩ, m and mm."""
WITHIN = 1e-9
"""How near a limit, as a part of it, counts as on it: a conversion of units loses less."""
CHECK_VALUE = "Check the value and its unit where it was read, and record it again."
STOP = "Stop. Find the cause, repair it, and record the check again."
OPEN = "the pair is broken, or the short is not on"
AGAIN = "Record it again on a page or card of this handbook."


@dataclass(frozen=True, slots=True)
class Judged:
    """What a record comes to; ``limit``, ``least`` and ``most`` are those it was judged by."""

    status: Status
    number: float | None = None
    why: str = ""
    limit: str = ""
    least: float | None = None
    most: float | None = None
    celsius: float | None = None
    """The soil temperature that a loop reading was judged in, where it is known."""


def to_do(due: Due, status: Status) -> str:
    """What comes next: what the section says where the check fails, for what cannot be true to read it again."""
    if status == "implausible":
        return CHECK_VALUE
    if status == "void":
        return AGAIN
    if status != "fail":
        return ""
    return f"Stop if {due.stop_if}" if due.stop_if else STOP


def judged(due: Due, record: Record, celsius: float | None = None) -> Judged:
    """A record against what is due; a loop reading in soil of ``celsius``, or of any temperature of the job.

    In soil outside those of the job no loop reading passes: the soil is read again first. Raises ``Unreadable``
    for a value that is none of the kind.
    """
    if not record.value.strip():
        why = "no name is written" if due.kind == "sign" else "it was recorded and taken back"
        return Judged("outstanding", why=why)
    if due.kind == "tick":
        return _tick(record)
    if due.kind == "sign":
        taken_back = due.later and record.value.strip().casefold() == NOT_TICKED  # it was a tick once
        return Judged("outstanding", why="the signature was taken back") if taken_back else Judged("pass")
    if due.kind == "text":
        return _text(due, record)
    if due.loop is not None and BEYOND.fullmatch(record.value.strip()):
        return Judged("fail", why=f"{shown(due, record)} is an open loop: {OPEN}", limit=due.limit)
    try:
        number = number_of(record, due)
    except OutOfRange as error:
        return Judged("implausible", why=str(error), limit=due.limit)
    return _soil(due, record, number) if due.kind == "soil" else _number(due, record, number, celsius)


def _tick(record: Record) -> Judged:
    word = record.value.casefold()
    if word in YES:
        return Judged("pass")
    if word in NO:
        return Judged("outstanding", why="the tick was taken back")
    raise Unreadable(f"{record.value[:40]} is neither {TICKED} nor {NOT_TICKED}")


def _text(due: Due, record: Record) -> Judged:
    value = " ".join(record.value.split())
    if AS_BUILT[3] in due.ids:
        _place(value)
    if not due.alone or not due.limit or value.casefold() == due.limit.casefold():
        return Judged("pass", limit=due.limit)
    if value.lstrip("0") == due.limit.lstrip("0"):
        why = f"{value} is {due.limit} with other zeros before it; a spreadsheet may have dropped them"
        return Judged("implausible", why=why, limit=due.limit)
    return Judged("fail", why=f"{value} is recorded, and the card says {due.limit}", limit=due.limit)


def _place(value: str) -> None:
    """Refuse what is no pair of numbers."""
    parts = value.replace(";", ",").split(",")
    try:
        good = len(parts) == 2 and all(isfinite(float(part)) for part in parts)
    except ValueError:
        good = False
    if not good:
        raise Unreadable(f"{value[:40]} is no place; two numbers are expected, such as 12.5,40.0")


def _soil(due: Due, record: Record, number: Number) -> Judged:
    celsius, limit = number.value, soil_of_job(due)
    if number.bound or not is_in_soil(due, celsius, SOIL_LIKELY_K):
        why = f"{shown(due, record)} is far from the soil temperatures of the job, {limit}; was °F or °C meant?"
        return Judged("implausible", celsius, why, limit)
    outside = not is_in_soil(due, celsius)
    why = f"{shown(due, record)} is outside the soil temperatures of the job, {limit}: tell the designer"
    return Judged("pass", celsius, why if outside else "", limit)


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


def _number(due: Due, record: Record, number: Number, celsius: float | None) -> Judged:
    """A measured value: whether it can be true at all, then whether it is inside its limits."""
    if due.loop is not None:
        return _loop(due, due.loop, record, number, celsius)
    least, most, limit = due.least, due.most, due.limit
    if slip := _slip(due, record, number, least, most):
        return Judged("implausible", number.value, slip, limit, least, most)
    if inside(number, least, most):
        return Judged("pass", number.value, "", limit, least, most)
    return _failed(due, record, number, limit, least, most)


def _loop(due: Due, loop: LoopRule, record: Record, number: Number, celsius: float | None) -> Judged:
    """A loop reading in soil of one temperature; where nobody knows it, it must pass in all soil of the job to pass."""
    doubtful = celsius is not None and not is_in_soil(due, celsius)
    if celsius is None or doubtful:
        least, most = loop_band(loop, *due.soil)
        lowest, highest = loop_band(loop, *soils_between(due, celsius), any_soil=True)
        limit = f"{_band(least, most)} in soil of any temperature of the job" if least <= most else due.limit
    else:
        least, most = lowest, highest = loop_band(loop, celsius, celsius)
        limit = f"{_band(least, most)} in soil of {format_number(celsius)} °C"
    if slip := _slip(due, record, number, lowest, highest):
        return Judged("implausible", number.value, slip, limit, least, most)
    if celsius is not None and doubtful and inside(number, lowest, highest):
        why = f"{shown(due, record)} goes by soil of {format_number(celsius)} °C, and that of the job is of"
        why = f"{why} {soil_of_job(due)}: read the soil again first, and tell the designer if it is so"
        return Judged("outstanding", number.value, why, limit, least, most)
    if inside(number, least, most):
        return Judged("pass", number.value, "", limit, least, most, celsius)
    if inside(number, lowest, highest):
        why = f"{shown(due, record)} passes only in soil of some temperatures, and that of the soil is not recorded"
        return Judged("outstanding", number.value, why, limit, least, most)
    if celsius is None or doubtful:
        limit = f"{_band(lowest, highest)} in the coldest soil to the hottest"
    return _failed(due, record, number, limit, lowest, highest)


def _failed(
    due: Due, record: Record, number: Number, limit: str, least: float | None, most: float | None
) -> Judged:  # fmt: skip
    why = f"{shown(due, record)} is outside the limits: {limit}"
    return Judged("fail", number.value, why, limit, least, most)


def compared(due: Due, record: Record, found: Judged, before: Judged) -> Judged:
    """A loop reading that passes against the one before it of the same pair, by the figure that the card prints.

    The reading before is taken to the soil temperature of this one; where either is not known, any of the job is tried.
    """
    if due.loop is None or found.number is None or before.number is None:
        return found
    alpha, (coldest, hottest) = due.loop.alpha_per_c, due.soil
    apart = apart_ohms(due.loop, coldest)
    ends = [(hottest, coldest), (coldest, hottest)]
    if before.celsius is not None and found.celsius is not None:
        ends = [(before.celsius, found.celsius)]
    same = [before.number * at_temperature(1.0, b, alpha) / at_temperature(1.0, a, alpha) for a, b in ends]
    lowest = figure.ohms(max(min(same) - apart - LOST_OHMS, 0.0), "least")
    highest = figure.ohms(max(same) + apart + LOST_OHMS, "most")
    low, high = _printed(lowest.alone("metric")), _printed(highest.alone("metric"))
    if low <= found.number <= high:
        return found
    limit = f"{_band(low, high)}, by the reading before the fill"
    was = figure.ohms(before.number, "nearest").alone("metric")
    why = f"{shown(due, record)} does not agree with the reading before the fill, {was}: {limit}"
    return replace(found, status="fail", why=why, limit=limit, least=low, most=high)


@lru_cache(maxsize=8192)
def apart_ohms(loop: LoopRule, coldest: float) -> float:
    """How far a second loop reading may be from the first, ohm, as cards and pages print it: one figure for a box."""
    return _printed(figure.ohms(loop.repeat_ohms(coldest), "most").alone("metric"))


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
    return _printed(low.alone("metric")), _printed(high.alone("metric"))


def _printed(text: str) -> float:
    """The ohms of a printed figure."""
    number, _, unit = text.partition(" ")
    return float(number) * float(UNITS[unit].factor)


def _band(least: float, most: float) -> str:
    """Two limits in one unit."""
    low, high = figure.ohms(least, "least").alone("metric"), figure.ohms(most, "most").alone("metric")
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"


def inside(number: Number, least: float | None, most: float | None) -> bool:
    """Whether a value is inside its limits; one that is beyond what a meter shows must prove it."""
    value = number.value
    low = least is None or (value >= least * (1.0 - WITHIN) and number.bound != "<")
    high = most is None or (value <= most * (1.0 + WITHIN) and number.bound != ">")
    return low and high


def _slip(due: Due, record: Record, number: Number, least: float | None, most: float | None) -> str:
    """Why a value cannot be true; empty where it can. It tells slips of the pen from bad work."""
    value, read = number.value, shown(due, record)
    if value < 0:
        return f"{read} is less than nothing"
    if due.loop is not None and value == 0:
        return f"{read}: a loop of cable never reads 0; were the probes on the pair?"
    if least is not None and most is not None and not inside(number, least, most):
        for factor in (Fraction(SLIP), Fraction(1, SLIP)):
            if inside(Number(value * float(factor)), least, most):
                other = f"{format_number(value * float(factor))} {due.unit}"
                return f"{read} is outside the limits, and {other} is inside: was {_meant(due, number, factor)} meant?"
    if not number.bound and not inside(number, *due.likely):
        return f"{read} is far from anything likely here; check the unit and the decimal point"
    return ""


def _meant(due: Due, number: Number, factor: Fraction) -> str:
    """The unit that is ``factor`` times the one that was written."""
    own = UNITS[number.unit or due.unit]
    meant = own.dimension, own.factor * factor, own.offset
    alike = [name for name, unit in UNITS.items() if (unit.dimension, unit.factor, unit.offset) == meant]
    shown_as = next((name for name in alike if "Ω" in name), alike[0] if alike else "")
    return shown_as or f"a unit 1,000 times {'larger' if factor > 1 else 'smaller'} than {own.name}"


def shown(due: Due, record: Record) -> str:
    """The value as it was written, with its unit."""
    text = f"{record.value} {record.unit or due.unit}".strip()
    return text if len(text) <= 60 else f"{text[:57]}…"
