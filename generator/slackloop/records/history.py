"""The records of one due thing, oldest first, and what a reading goes by.

A loop reading goes by the soil and the reading before it; volts at a box go by those at the controller.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from slackloop.records.judgement import Judged, compared, inside, shown
from slackloop.records.result import STATUSES, Due, Record
from slackloop.records.value import number_of
from slackloop.units.figure import volts

WORST = {status: rank for rank, status in enumerate(STATUSES)}


@dataclass(slots=True)
class Entry:
    """One record of a due thing; ``void`` says why it counts no more, ``found`` is what it comes to."""

    record: Record
    void: str = ""
    found: Judged = field(default_factory=lambda: Judged("outstanding"))


@dataclass(slots=True)
class History:
    """The records of one due thing, oldest first."""

    due: Due
    entries: list[Entry] = field(default_factory=list)

    @property
    def good(self) -> list[Entry]:
        """Those that count."""
        entries = self.entries
        return entries if not any(each.void for each in entries) else [each for each in entries if not each.void]

    def last(self) -> Entry | None:
        """The one that counts: the last that is not void; of several at one moment the worst."""
        good = self.good
        if len(good) < 2:
            return good[0] if good else None
        same = (each for each in good if each.record.when == good[-1].record.when)
        return min(same, key=lambda each: WORST[each.found.status])


def soil_of(reading: Record, readings: Iterable[History], soil: History) -> float | None:
    """The soil temperature of a loop reading: the last one recorded before the day of the next reading there.

    Nothing where nobody knows it; one that cannot be true lets no reading pass.
    """
    day = reading.when.date()
    later = min(
        (on for each in readings for one in each.good if (on := one.record.when.date()) > day), default=date.max
    )
    good = soil.good
    before = [each for each in good if each.record.when.date() < later]
    chosen = before[-1] if before else next(iter(good), None)
    return chosen.found.number if chosen is not None else None


def compare(after: History, before: History) -> None:
    """Hold each reading that passes against the last one before it that passes."""
    for each in after.good:
        until = (one.found for one in before.good if one.record.when <= each.record.when)
        earlier = [found for found in until if found.status == "pass"]
        if earlier and each.found.status == "pass":
            each.found = compared(after.due, each.record, each.found, earlier[-1])


def volts_by(when: datetime, entries: Iterable[Entry]) -> Judged | None:
    """The volts of one day that a reading goes by: the last read before it, else the first after it."""
    read = [each for each in entries if each.found.number is not None and each.found.status != "implausible"]
    before = [each for each in read if each.record.when <= when]
    chosen = before[-1] if before else next(iter(read), None)
    return chosen.found if chosen is not None else None


def compare_off(history: History, controllers: Mapping[date, History]) -> None:
    """Compare volts with all outputs off with those at the controller of the same day; where nobody read them, say so.
    """
    off = history.due.off
    for each in history.good if off is not None else ():
        found, record = each.found, each.record
        if off is None or found.number is None or found.status not in ("pass", "fail"):
            continue
        day = controllers.get(record.when.date())
        read = volts_by(record.when, day.good if day is not None else ())
        controller = read.number if read is not None else None
        least = off.least(controller)
        limit = f"{volts(least, 'least').alone('metric')} or more"
        there = f"{volts(controller or 0.0, 'nearest').alone('metric')} at the controller"
        by = f"{limit}, by {there}"
        if controller is None:
            by = f"{limit}; nobody recorded the volts at the controller on that day"
        if not inside(number_of(record, history.due), least, None):
            why = f"{shown(history.due, record)} is outside the limits: {by}"
            each.found = replace(found, status="fail", why=why, limit=by, least=least)
        elif controller is not None and found.number > off.meter.most_after(controller):
            each.found = replace(found, status="implausible", why=_above(history.due, record, there), limit=by)
        elif read is not None and read.status != "pass":
            why = f"{shown(history.due, record)} goes by {there}, which is outside its own limit: read both again"
            each.found = replace(found, status="outstanding", why=why, limit=by, least=least)
        else:
            why = "" if controller is not None else f"Judged by {by}."
            each.found = replace(found, status="pass", why=why, limit=by, least=least)


def compare_load(history: History, outputs_off: History | None) -> None:
    """Hold volts under load that pass against those with all outputs off at the same box on the same day."""
    meter, others = history.due.meter, outputs_off.good if outputs_off is not None else []
    for each in history.good if others else ():
        found, day = each.found, each.record.when.date()
        rest = volts_by(each.record.when, (other for other in others if other.record.when.date() == day))
        if meter is None or found.status != "pass" or found.number is None or rest is None or rest.number is None:
            continue
        there = f"{volts(rest.number, 'nearest').alone('metric')} with all outputs off"
        most = meter.most_after(rest.number)
        is_drop_seen = history.due.least is not None and 2 * rest.number - most > history.due.least
        if found.number > most:
            each.found = replace(found, status="implausible", why=_above(history.due, each.record, there))
        elif found.number >= rest.number and is_drop_seen:
            why = f"{shown(history.due, each.record)} is no less than {there}: was a station on?"
            each.found = replace(found, status="implausible", why=why)


def _above(due: Due, record: Record, there: str) -> str:
    """Why volts cannot be true that are higher than where they come from."""
    return f"{shown(due, record)} is more than {there}, by more than a meter may be off at both"
