"""What was recorded, as pages ask for it: of a box, of a check, of a branch, of a day; and how it is said in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from slackloop.records.as_built import AsBuilt
from slackloop.records.holds import DoubtedSignature, bare, doubted_signatures
from slackloop.records.judgement import Judged, judged
from slackloop.records.result import NOT_TICKED, SOIL_CHECK, STATUS_WORDS, TICKED, Record, Result, Results, Status
from slackloop.sections import format as fmt
from slackloop.units.figure import written

PROGRESS_PAGE, HANDOVER_PAGE, YEAR_PAGE = "inspection/progress", "handover/all", "handover/each-year"
"""Pages that are there in a handbook that is built with records, and that others lead to."""
BAD: frozenset[Status] = frozenset({"fail", "implausible", "void"})
"""What somebody must do something about."""


@dataclass(frozen=True)
class Recorded:
    """The results that a handbook is built with, and the job as it was built."""

    results: Results
    as_built: AsBuilt

    @cached_property
    def needed(self) -> tuple[Result, ...]:
        """Every result but those that may be left out and were."""
        return tuple(each for each in self.results.results if each.record is not None or not each.due.optional)

    @cached_property
    def by_place(self) -> Mapping[str, tuple[Result, ...]]:
        """Results by the id of the box or closing run that they are of, those of its run and crossing among them."""
        found: dict[str, list[Result]] = {}
        for each in self.needed:
            found.setdefault(place_of(each.due.subject), []).append(each)
        return {place: tuple(some) for place, some in found.items()}

    @cached_property
    def by_check(self) -> Mapping[str, tuple[Result, ...]]:
        """Results by each check that they answer; a value of a second device belongs to the check of the first."""
        found: dict[str, list[Result]] = {}
        for each in self.needed:
            for id in each.due.ids:
                found.setdefault(id, []).append(each)
                base, _, number = id.rpartition("-")
                if base.count("-") > 1 and number.isdigit():
                    found.setdefault(base, []).append(each)
        return {check: tuple(some) for check, some in found.items()}

    @cached_property
    def judged_again(self) -> Mapping[str, tuple[tuple[Result, Judged], ...]]:
        """By place, the loop readings that stand otherwise by the limits of the path as built than by the plan's."""
        found: dict[str, list[tuple[Result, Judged]]] = {}
        for each in self.needed:
            rule = self.as_built.loop_rule(each.due) if each.due.loop and each.record else None
            if rule is None or each.record is None or each.status not in ("pass", "fail"):
                continue
            place = place_of(each.due.subject)
            soil = self.last(place, SOIL_CHECK)
            celsius = soil.number if soil is not None and soil.status == "pass" else None
            again = judged(replace(each.due, loop=rule), each.record, celsius)
            if again.status in ("pass", "fail") and again.status != each.status:
                found.setdefault(place, []).append((each, again))
        return {place: tuple(some) for place, some in found.items()}

    @cached_property
    def doubted_holds(self) -> Mapping[str, tuple[DoubtedSignature, ...]]:
        """By check, the holds of the job that something stands against."""
        found: dict[str, list[DoubtedSignature]] = {}
        for each in doubted_signatures(self.results.results):
            if not each.signed.due.stage:
                found.setdefault(each.signed.due.ids[0], []).append(each)
        return {check: tuple(some) for check, some in found.items()}

    @cached_property
    def readers(self) -> frozenset[str]:
        """Who made a reading, without capitals and spaces."""
        return frozenset(bare(each.record.by) for each in self.needed if each.due.kind == "number" and each.record)

    def signed(self, check: str) -> tuple[str, list[str], str]:
        """At how many places a point is signed, by whom, and on which days; nobody where nobody has."""
        due = [each for each in self.by_check.get(check, ()) if each.due.kind == "sign"]
        records = [each.record for each in due if each.status == "pass" and each.record is not None]
        names = dict.fromkeys(each.value.strip() for each in records)
        told = [f"{each}, who made readings too" if bare(each) in self.readers else each for each in names]
        days = sorted({str(each.when.date()) for each in records})
        span = " to ".join(dict.fromkeys((days[0], days[-1]))) if days else ""
        return f"{len(records)} of {len(due)}", told, span

    def as_it_was_built(self, place: str) -> tuple[Result, ...]:
        """The results of a place, loop readings judged by the lengths as built."""
        again = {id(result): new.status for result, new in self.judged_again.get(place, ())}
        return tuple(replace(each, status=again.get(id(each), each.status)) for each in self.of(place))

    def of(self, place: str) -> tuple[Result, ...]:
        """The results of a box or closing run."""
        return self.by_place.get(place, ())

    def has_record(self, place: str) -> bool:
        """Whether anything at all was recorded of a box or closing run."""
        return any(each.record is not None for each in self.of(place))

    def last(self, place: str, check: str) -> Result | None:
        """The result of one check at a place that has a record; nothing where there is none."""
        return next((each for each in self.of(place) if check in each.due.ids and each.record is not None), None)

    @cached_property
    def records(self) -> tuple[Record, ...]:
        """Every record that a result rests on, earlier ones too, in the order of time."""
        every = {
            (each.file, each.row): each for result in self.results.results
            for each in (*result.earlier, *((result.record,) if result.record else ()))
        }  # fmt: skip
        return tuple(sorted(every.values(), key=lambda each: each.when))

    @property
    def up_to(self) -> date | None:
        """The day of the last record."""
        return self.records[-1].when.date() if self.records else None

    @property
    def statement(self) -> str:
        """That a copy is the issued handbook and more: how many records it holds, and up to which day."""
        if self.up_to is None:
            return "with results: no record could be read"
        return f"with results of {fmt.count(len(self.records), 'record', 'records')} up to {self.up_to}"


def place_of(subject: str) -> str:
    """The box or run that a subject is about: ``B07`` for ``run:B07``; a day, a reel or the job as it is written."""
    kind, colon, rest = subject.partition(":")
    return rest if colon and kind in ("run", "crossing") else subject


def counted(results: Iterable[Result]) -> Counter[Status]:
    """How many results stand in each way."""
    return Counter(each.status for each in results)


def told_counts(counts: Mapping[Status, int]) -> Iterator[str]:
    """Each count that is not zero, as ``38 pass``."""
    for status, words in STATUS_WORDS.items():
        if counts.get(status):
            yield f"{fmt.grouped(counts[status])} {words}"


def told_again(result: Result, again: Judged) -> str:
    """That a loop reading stands otherwise by the lengths as built."""
    if again.status == "pass":
        return f"By the lengths as built it is inside the limits, {again.limit}: the plan had other lengths."
    return f"By the lengths as built it is outside the limits, {again.limit}. Look for a bad splice or a short."


def value_text(record: Record) -> str:
    """What was recorded, as it was written; a tick needs no more than the name of its check."""
    if record.value == TICKED:
        return ""
    if record.value == NOT_TICKED:
        return "tick taken back"
    return f"{record.value} {written(record.unit)}".strip()


def day_text(record: Record) -> str:
    """When a record was made, by the clock of its own place."""
    return f"{record.when:%Y-%m-%d %H:%M}"
