"""Limits of a loop reading: from the soil temperature of the day, the job's tolerance and the meter's own error."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.compute.circuit.conductor import at_temperature

FEW_DEGREES, MANY_DEGREES = 1.0, 12.0
"""Soil that hardly changes has one row of limits; one that changes by ``MANY_DEGREES`` or more has five, else three."""


@dataclass(frozen=True)
class MeterError:
    """How far a meter may read from the truth: ``fraction`` of the reading, and ``ohms`` besides."""

    fraction: float
    ohms: float

    def of(self, ohms: float) -> float:
        """The error at a reading, ohm."""
        return self.fraction * ohms + self.ohms


@dataclass(frozen=True)
class LoopLimit:
    """What a meter should read at one soil temperature (°C), and the least and most that pass, ohm."""

    celsius: float
    expected_ohms: float
    low_ohms: float
    high_ohms: float


def limit(
    expected_20c: float,
    celsius: float,
    tolerance: float,
    meter: MeterError,
    alpha_per_c: float,
    least_20c: float | None = None,
) -> LoopLimit:
    """Limits at one soil temperature: expected there × (1 ± ``tolerance``), and the meter's error on either side.

    ``expected_20c`` in ohm at 20 °C, ``tolerance`` a fraction, ``alpha_per_c`` copper's coefficient. Where what is
    expected is a maximum (mm² sizes, IEC 60228), ``least_20c`` is what copper of the nominal area alone comes to, and
    the low limit is never above that: a good cable lies anywhere between the two. 3 ohm at 20 °C, 10 %, 1 % and
    0.05 ohm: 2.623 ohm to 3.383 ohm.
    """
    expected = at_temperature(expected_20c, celsius, alpha_per_c)
    low, high = expected * (1.0 - tolerance), expected * (1.0 + tolerance)
    if least_20c is not None:
        low = min(low, at_temperature(least_20c, celsius, alpha_per_c))
    return LoopLimit(celsius, expected, max(low - meter.of(low), 0.0), high + meter.of(high))


@dataclass(frozen=True)
class LoopRule:
    """What the limits at one place are worked out from, whatever the soil temperature; as ``limit`` takes it."""

    expected_20c: float
    tolerance: float
    meter: MeterError
    alpha_per_c: float
    least_20c: float | None = None

    def at(self, celsius: float) -> LoopLimit:
        """The limits at one soil temperature, °C."""
        return limit(self.expected_20c, celsius, self.tolerance, self.meter, self.alpha_per_c, self.least_20c)


def soil_steps(coldest_c: float, hottest_c: float, degree_c: float = 1.0) -> tuple[float, ...]:
    """Soil temperatures to give limits at, °C: from the coldest to the hottest, three or five of them.

    Those between are whole degrees of ``degree_c`` each (1 for °C, 5/9 for °F).
    """
    span = hottest_c - coldest_c
    if span < FEW_DEGREES:
        return (hottest_c,) if span <= 0 else (coldest_c, hottest_c)
    steps = 4 if span >= MANY_DEGREES else 2
    between = (coldest_c + span * n / steps for n in range(1, steps))
    whole = [coldest_c + round((each - coldest_c) / degree_c) * degree_c for each in between]
    return tuple(dict.fromkeys((coldest_c, *whole, hottest_c)))
