"""``slackloop locate``: from a loop reading to every place on the path where a short would give it."""

from __future__ import annotations

import argparse
import math
import re
import sys

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import closing_line, tell_refused
from slackloop.compute.circuit.short_places import ShortFinder, ShortPlace
from slackloop.document.worked import Refused, Worked, work
from slackloop.render.json.check_record import places_record
from slackloop.render.json.json_text import json_text
from slackloop.sections import format as fmt
from slackloop.site.effective_values import meter_error
from slackloop.source.finding import harmless
from slackloop.units import figure
from slackloop.units.amount import with_point
from slackloop.units.quantity import parse_quantity
from slackloop.units.unit_table import QuantityError

_OHMS = re.compile(r"\+?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")


def run(asked: argparse.Namespace) -> int:
    """Print one line a place, or the record; status 1 when no place on the path would read so."""
    ohms = ohms_in(asked.loop_ohms)
    if ohms is None:
        said = f"{harmless(asked.loop_ohms[:40])!r} is not a reading; a number of ohms, 0 or more, is expected, as 6.1"
        print(f"slackloop: --loop-ohms: {said}", file=sys.stderr)
        return REFUSED
    try:
        celsius = None if asked.temperature is None else soil_celsius(asked.temperature)
    except QuantityError as problem:
        print(f"slackloop: --temperature: {harmless(_wanted(problem, asked.temperature))}", file=sys.stderr)
        return REFUSED
    try:
        worked = work(asked.job)
    except Refused as refused:
        tell_refused(refused.findings, closing_line(refused), as_json=asked.json)
        return REFUSED
    finder = ShortFinder(worked.job, worked.analysis.network, worked.tables, celsius, opened=asked.open)
    places = finder.places(ohms)
    if asked.json:
        print(json_text(places_record(places), sys.stdout.encoding))
    elif places:
        _print_places(worked, ohms, celsius, asked.open, places)
    else:
        _print_none(worked, ohms, asked.open)
    return GOOD if places else FINDINGS


def _wanted(problem: QuantityError, text: str) -> str:
    """What is wrong with a temperature, and what to write; which unit is meant cannot be known."""
    if problem.code != "unit-missing":
        return str(problem)
    number = " ".join(text.split())
    return f'{problem}; write "{number} degF" or "{number} degC"'


def _print_places(
    worked: Worked, loop_ohms: float, celsius: float | None, opened: bool, places: tuple[ShortPlace, ...]
) -> None:
    units, meter = worked.job.job.units, meter_error(worked.job)
    if celsius is not None:
        soil = f"the soil at {fmt.temperature(celsius, units, 'nearest')}"
    else:
        over = worked.job.conditions.soil_temperature
        low, high = fmt.stated(over.low, units, "lowest"), fmt.stated(over.high, units, "highest")
        soil = f"the soil between {low} and {high}"
    ring = ""
    if worked.analysis.network.closures:
        ring = ", the ring open" if opened else ", the ring closed"
    print(
        f"A short that reads {loop_ohms:g} Ω at the controller, with {soil}{ring}, is at one of these places. "
        f"The meter may be wrong by {figure.percent(meter.fraction, 'highest').text(units)} of the reading and "
        f"{fmt.ohms(meter.fixed, 'highest')}."
    )
    for place in places:
        print(harmless(place_line(place, units)))


def _print_none(worked: Worked, loop_ohms: float, opened: bool) -> None:
    loops = worked.analysis.loops
    every = (*loops.opened, *loops.closures) if opened else loops.closed
    highest = max(reading.ohms_hot for reading in every)
    print(
        f"No place on this path reads {loop_ohms:g} Ω when shorted; the farthest place is expected to read "
        f"{fmt.ohms(highest, 'highest')} at the hottest soil. A poor short or a bad splice reads higher than the wire "
        "alone."
    )


def ohms_in(text: str) -> float | None:
    """A reading in ohms, with a decimal point or comma; nothing for anything else, as a comma that may part thousands.
    """
    plain = with_point(text.strip())
    ohms = float(plain) if _OHMS.fullmatch(plain) else math.nan
    return ohms if math.isfinite(ohms) else None


def soil_celsius(text: str) -> float:
    """A soil temperature in degC; a number without a unit is refused, as in a job."""
    return parse_quantity(with_point(text), "temperature").si


def place_line(place: ShortPlace, units: fmt.Units) -> str:
    """One place in words: where to look first, and the band of distance, in both unit systems."""
    likely = fmt.run_length(place.likely_m, units, "nearest")
    nearest = fmt.run_length(place.nearest_m, units, "lowest")
    farthest = fmt.run_length(place.farthest_m, units, "highest")
    return (
        f"run {place.run_id}: likely {likely} from {place.from_id} towards {place.to_id}, "
        f"between {nearest} and {farthest}"
    )
