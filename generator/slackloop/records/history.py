"""The records of one due thing, oldest first, and what a reading goes by: the soil, and the reading before it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from slackloop.records.judgement import Judged, compared
from slackloop.records.result import STATUSES, Due, Record

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

    Nothing where that one cannot be true.
    """
    day = reading.when.date()
    later = min(
        (on for each in readings for one in each.good if (on := one.record.when.date()) > day), default=date.max
    )
    good = soil.good
    before = [each for each in good if each.record.when.date() < later]
    chosen = before[-1] if before else next(iter(good), None)
    return chosen.found.number if chosen is not None and chosen.found.status == "pass" else None


def compare(after: History, before: History) -> None:
    """Hold each reading that passes against the last one before it that passes."""
    for each in after.good:
        until = (one.found for one in before.good if one.record.when <= each.record.when)
        earlier = [found for found in until if found.status == "pass"]
        if earlier and each.found.status == "pass":
            each.found = compared(after.due, each.record, each.found, earlier[-1])
