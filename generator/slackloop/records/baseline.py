"""First readings of each box, to which those of later years are compared, with limits from the meter's error alone."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass

from slackloop.compute.circuit.conductor import at_temperature
from slackloop.compute.circuit.loop_limits import MeterError
from slackloop.records.result import SOIL_CHECK, Record, Result

OHMS: Mapping[str, float] = {"Ω": 1.0, "ohm": 1.0, "kΩ": 1e3, "MΩ": 1e6, "GΩ": 1e9}


@dataclass(frozen=True, slots=True)
class Baseline:
    """The first good readings of one box or run; what was not recorded is nothing.

    ``loop_ohms`` is as read in soil of ``celsius``; ``loop_20c`` is the same at 20 °C, and a reading of a later year at
    20 °C lies between ``least_20c`` and ``most_20c`` where nothing but the meter has changed.
    """

    place: str
    loop_ohms: float | None = None
    celsius: float | None = None
    loop_20c: float | None = None
    least_20c: float | None = None
    most_20c: float | None = None
    insulation_ohms: float | None = None
    loop_record: Record | None = None
    insulation_record: Record | None = None


def baseline(
    place: str, results: Iterable[Result], loop_checks: Container[str], insulation_checks: Container[str],
    meter: MeterError, alpha_per_c: float,
) -> Baseline:  # fmt: skip
    """The baseline of a place from its results; only a result that passed is one."""
    passed = [each for each in results if each.status == "pass" and each.record is not None]
    loop = _of(passed, loop_checks)
    insulation = _of(passed, insulation_checks)
    soil = _of(passed, (SOIL_CHECK,))
    ohms, celsius = _ohms(loop), soil.number if soil else None
    at_20c = least = most = None
    if ohms is not None and celsius is not None:
        at_20c = ohms / at_temperature(1.0, celsius, alpha_per_c)
        least, most = later_limits(ohms, celsius, meter, alpha_per_c)
    return Baseline(
        place, ohms, celsius, at_20c, least, most, _ohms(insulation), loop.record if loop else None,
        insulation.record if insulation else None,
    )  # fmt: skip


def later_limits(ohms: float, celsius: float, meter: MeterError, alpha_per_c: float) -> tuple[float, float]:
    """Between which a later reading lies at 20 °C, ohm, where the copper is as it was when ``ohms`` was read.

    The copper lies within the meter's error of the first reading, and the later reading within the meter's error of
    the copper: R20 = R ÷ (1 + α(T − 20)), α = 0.00393 /°C (IEC 60028). 3 ohm at 20 °C with 1 % and 0.05 ohm:
    2.841 ohm to 3.161 ohm.
    """
    to_20c = 1.0 / at_temperature(1.0, celsius, alpha_per_c)
    low, high = (ohms - meter.of(ohms)) * to_20c, (ohms + meter.of(ohms)) * to_20c
    return max(low - meter.of(low), 0.0), high + meter.of(high)


def _of(results: Iterable[Result], checks: Container[str]) -> Result | None:
    """The result of the first of these checks."""
    return next((each for each in results if any(id in checks for id in each.due.ids)), None)


def _ohms(result: Result | None) -> float | None:
    """The number of a result in ohm."""
    if result is None or result.number is None or result.due.unit not in OHMS:
        return None
    return result.number * OHMS[result.due.unit]
