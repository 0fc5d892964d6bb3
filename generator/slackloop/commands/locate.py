"""``slackloop locate``: from a loop reading to every place on the path where a short would give it."""

from __future__ import annotations

import argparse
import re
import sys

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import print_findings, wants_colour
from slackloop.compute.circuit.loop import ShortPlace, places_of_short
from slackloop.document.worked import Refused, work
from slackloop.sections import format as fmt
from slackloop.source.excerpt import harmless
from slackloop.units.quantity import parse_quantity
from slackloop.units.quantity_error import QuantityError
from slackloop.units.rounding import Rounding

_BARE = re.compile(r"[-+]?\d+(\.\d+)?")


def run(asked: argparse.Namespace) -> int:
    """Print one line a place; status 1 when no place on the path would read so."""
    if not 0 <= asked.loop_ohms < float("inf"):
        print("slackloop: --loop-ohms: a reading in ohms, 0 or more, is expected", file=sys.stderr)
        return REFUSED
    try:
        celsius = None if asked.temperature is None else soil_celsius(asked.temperature)
    except QuantityError as problem:
        print(f"slackloop: --temperature: {problem}", file=sys.stderr)
        return REFUSED
    try:
        worked = work(asked.job)
    except Refused as refused:
        print_findings(refused.findings, sys.stderr, wants_colour(sys.stderr))
        print(refused.closing_line(), file=sys.stderr)
        return REFUSED
    network = worked.analysis.network
    places = places_of_short(worked.job, network, worked.tables, asked.loop_ohms, celsius)
    if not places:
        highest = max(reading.ohms_hot for reading in worked.analysis.loops)
        print(
            f"No place on this path reads {asked.loop_ohms:g} ohm when shorted; the farthest box reads at most "
            f"{fmt.ohms(highest, 'highest')}. A poor short, or a join that is not sound, reads higher than the "
            "wire alone."
        )
        return FINDINGS
    units = worked.job.job.units
    if celsius is not None:
        soil = fmt.temperature(celsius, units, "nearest")
    else:
        over = worked.job.conditions.soil_temperature
        soil = f"from {fmt.stated(over.low, units, 'lowest')} to {fmt.stated(over.high, units, 'highest')}"
    print(f"A short that reads {asked.loop_ohms:g} ohm at the controller, soil {soil}, lies at one of these places:")
    for place in places:
        print(harmless(place_line(place, units)))
    return GOOD


def soil_celsius(text: str) -> float:
    """A soil temperature in degC; a number without a unit is taken as degC, as the help says."""
    return parse_quantity(f"{text} degC" if _BARE.fullmatch(text.strip()) else text, "temperature").si


def place_line(place: ShortPlace, units: fmt.Units) -> str:
    """One place in words, with its distance in both unit systems."""

    def both(metres: float, rounding: Rounding) -> str:
        return fmt.run_length(metres, units, rounding)

    where = f"run {place.run_id}: "
    if place.likely_m is not None:
        where += f"{both(place.likely_m, 'nearest')} from {place.from_id} towards {place.to_id}"
    else:
        where += f"near {place.from_id} towards {place.to_id}"
    if place.farthest_m - place.nearest_m > 0.05:
        band = f"{both(place.nearest_m, 'lowest')} and {both(place.farthest_m, 'highest')}"
        where += f"; between {band} over the soil temperatures"
    return where
