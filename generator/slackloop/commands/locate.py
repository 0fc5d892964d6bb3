"""``slackloop locate``: from a loop reading to every place on the path where a short would give it."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import print_findings, wants_colour
from slackloop.compute.loop import ShortPlace, places_of_short
from slackloop.handbook.worked import Refused, work
from slackloop.job.quantity import parse_quantity
from slackloop.job.quantity_error import QuantityError

FEET_A_METRE = 1 / 0.3048


def run(asked: argparse.Namespace) -> int:
    """Print one line a place; status 1 when no place on the path would read so."""
    if not 0 <= asked.loop_ohms < float("inf"):
        print("slackloop: --loop-ohms: a reading in ohms, 0 or more, is expected", file=sys.stderr)
        return REFUSED
    try:
        celsius = None if asked.temperature is None else parse_quantity(asked.temperature, "temperature").si
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
            f"{highest:.2f} ohm. A poor short, or a join that is not sound, reads higher than the wire alone."
        )
        return FINDINGS
    for place in places:
        print(place_line(place, worked.job.job.units == "us"))
    return GOOD


def place_line(place: ShortPlace, feet_first: bool) -> str:
    """One place in words, with its distance in both unit systems."""

    def both(metres: float) -> str:
        texts = [f"{metres:.1f} m", f"{metres * FEET_A_METRE:.0f} ft"]
        first, second = reversed(texts) if feet_first else texts
        return f"{first} ({second})"

    where = f"run {place.run_id}: "
    if place.likely_m is not None:
        where += f"{both(place.likely_m)} from {place.from_id} towards {place.to_id}"
    else:
        where += f"near {place.from_id} towards {place.to_id}"
    if place.farthest_m - place.nearest_m > 0.05:
        where += f"; between {both(place.nearest_m)} and {both(place.farthest_m)} over the soil temperatures"
    return where
