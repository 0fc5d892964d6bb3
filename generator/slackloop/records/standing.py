"""How a whole job stands: every due thing by its records, in one pass over them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import groupby

from slackloop.records.history import WORST, Entry, History, compare, compare_load, compare_off, soil_of
from slackloop.records.holds import signed_notes, signed_over
from slackloop.records.judgement import judged, to_do
from slackloop.records.record_file import RecordFile, Said, merged, what_it_says
from slackloop.records.report import OlderOf, claim_notes, is_claim, outdated
from slackloop.records.result import (
    AS_BUILT,
    CONTROLLER_CHECK,
    DAY,
    NOTE_CHECK,
    PHOTO_CHECK,
    Due,
    DueList,
    NonConformance,
    Record,
    Refused,
    Result,
    Results,
    Status,
)
from slackloop.records.value import Unreadable
from slackloop.source.suggestions import did_you_mean, listed

FREE_CHECKS = frozenset({PHOTO_CHECK, NOTE_CHECK})
"""What may be recorded of any subject and is never judged."""
MOST_HINTS = 20
"""Unknown subjects for which the nearest one is looked for."""
_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")


def judge_job(
    due_list: DueList, files: Iterable[RecordFile], present: Iterable[str] = (), older_of: OlderOf = lambda _: None
) -> Results:
    """Every due thing with how it stands.

    ``present`` are the fingerprints of the handbook as it is; ``older_of`` gives an older one by its fingerprint, or
    nothing where no release has it. The order of the files changes nothing.
    """
    job = _Job(due_list)
    ordered, now = sorted(files, key=lambda one: one.name), tuple(present)
    job.place(ordered, outdated(ordered, now, older_of, job.names))
    job.judge()
    refused = [*job.refused, *(row for each in ordered for row in each.refused)]
    alone = tuple(job.results())
    over = {id(signed): failed for signed, failed in signed_over(alone)}
    results = tuple(over.get(id(each), each) for each in alone)
    return Results(
        results,
        tuple(sorted(refused, key=lambda one: (one.file, one.row, one.message))),
        (
            *(each for history in job.histories for each in _non_conformances(history)),
            *(
                NonConformance(each.due, each.record, each.status, each.why, each.to_do)
                for each in over.values() if each.record is not None
            ),
        ),
        (*claim_notes(ordered, now, older_of), *signed_notes(results)),
    )


class _Job:
    """One job while its records are judged."""

    def __init__(self, due_list: DueList) -> None:
        self.due_list = due_list
        self.histories = [History(due) for due in due_list.dues]
        self.index: dict[tuple[str, str], History] = {}
        self.names: dict[str, str] = {}
        """Every subject by each name that a row may use."""
        for history in self.histories:
            self._add(history)
        self.unknown: dict[tuple[str, str], History] = {}
        self.reasons: dict[tuple[str, str], str] = {}
        self.refused: list[Refused] = []

    def _add(self, history: History) -> None:
        due = history.due
        for subject in (due.subject, *due.also):
            self.names.setdefault(subject, due.subject)
            for check in due.ids:
                self.index.setdefault((subject, check), history)

    def place(self, files: Sequence[RecordFile], void: dict[Said, str]) -> None:
        """Put every record to what is due; one of nothing that is due is kept apart, void with the reason."""
        for record in merged(record for each in files for record in each.records):
            if is_claim(record):
                continue
            history = self.index.get((record.subject, record.check)) or self._of_no_list(record)
            if history is not None:
                history.entries.append(Entry(record, void.get(what_it_says(record), "") if void else ""))
                continue
            key = record.subject, record.check
            if key not in self.unknown:
                self.unknown[key] = History(Due(record.subject, (record.check,), "text", "", optional=True))
                self.reasons[key] = self._why_unknown(*key)
            self.unknown[key].entries.append(Entry(record, void.get(what_it_says(record)) or self.reasons[key]))
        self._worked_days()

    def _of_no_list(self, record: Record) -> History | None:
        """What a record belongs to that is in no list: a day, a photo; nothing for what the job does not have."""
        subject, check = record.subject, record.check
        if subject.startswith(DAY) and self._begin_day(subject.removeprefix(DAY)) and (subject, check) in self.index:
            return self.index[subject, check]
        if check.upper() in FREE_CHECKS and subject in self.names:
            due = Due(self.names[subject], (check,), "text", check.capitalize(), optional=True)
            history = self.index[subject, check] = History(due)
            self.histories.append(history)
            return history
        return None

    def _why_unknown(self, subject: str, check: str) -> str:
        hint, is_told = "", len(self.unknown) <= MOST_HINTS
        if subject in self.names:
            if is_told:
                here = [name for place, name in self.index if place == subject]
                alike = next((name for name in here if name.casefold() == check.casefold()), "")
                hint = f"did you mean {alike}?" if alike else did_you_mean(check, here)
            return f"{subject} has no check {check} in this handbook{f'; {hint}' if hint else ''}"
        if is_told:
            alike = next((name for name in self.names if _bare(name) == _bare(subject)), "")
            hint = f"did you mean {alike}?" if alike else did_you_mean(subject, self.names)
        return f"this handbook has no {subject}{f'; {hint}' if hint else ''}"

    def _begin_day(self, day: str) -> bool:
        """The checks of one day become due; False for what is no date."""
        try:
            if date.fromisoformat(day).isoformat() != day:
                return False
        except ValueError:
            return False
        subject = f"{DAY}{day}"
        if subject not in self.names:
            self.names[subject] = subject
            for due in self.due_list.each_day:
                history = History(replace(due, subject=subject))
                self.histories.append(history)
                self._add(history)
        return True

    def _worked_days(self) -> None:
        """The checks of each day on which work at a box was recorded are due."""
        days = {
            each.record.when.date()
            for history in self.histories if history.due.stage
            for each in history.good
        }  # fmt: skip
        for day in sorted(days):
            self._begin_day(day.isoformat())
        count = len(self.due_list.dues)
        self.histories[count:] = sorted(self.histories[count:], key=lambda each: each.due.subject)

    def judge(self) -> None:
        """Judge every record: soil temperatures first, since loop readings go by them."""
        soils = {each.due.subject: each for each in self.histories if each.due.kind == "soil"}
        loops: dict[str, list[History]] = {}
        for history in self.histories:
            if history.due.loop is not None:
                loops.setdefault(history.due.subject, []).append(history)
        for history in soils.values():
            self._judge(history)
        for history in self.histories:
            if history.due.loop is not None:
                subject = history.due.subject
                self._judge(history, loops[subject], soils.get(subject))
            elif history.due.kind != "soil":
                self._judge(history)
        for history in self.histories:
            before = self.index.get((history.due.subject, history.due.near)) if history.due.near else None
            if before is not None:
                compare(history, before)
        controllers = {
            date.fromisoformat(history.due.subject.removeprefix(DAY)): history
            for history in self.histories if CONTROLLER_CHECK in history.due.ids
        }  # fmt: skip
        for history in self.histories:
            compare_off(history, controllers)
        for history in self.histories:
            compare_load(history, self.index.get((history.due.subject, history.due.near)))
        self._refuse_twins()

    def _judge(self, history: History, readings: Sequence[History] = (), soil: History | None = None) -> None:
        """Judge each record; one that cannot be read is refused by its file and row."""
        if not history.entries:
            return
        kept = []
        for each in history.entries:
            try:
                if not each.void:
                    celsius = soil_of(each.record, readings, soil) if soil is not None else None
                    each.found = judged(history.due, each.record, celsius)
            except Unreadable as bad:
                record = each.record
                self.refused.append(Refused(record.file, record.row, f"{record.subject} {record.check}: {bad}"))
            else:
                kept.append(each)
        history.entries = kept

    def _refuse_twins(self) -> None:
        """An address that two devices have is good at neither; what is read and what was built are of one device."""
        holders: dict[str, list[tuple[History, Entry]]] = {}
        for history in self.histories:
            last = history.last() if history.due.alone else None
            if last is not None and (value := " ".join(last.record.value.split())):
                holders.setdefault(value.casefold(), []).append((history, last))
        for some in holders.values():
            for history, last in some if len(some) > 1 else ():
                own, built = history.due.subject, history.due.ids[0].startswith(AS_BUILT)
                others = [
                    other.due.subject for other, _ in some
                    if other.due.subject != own
                    or (other is not history and other.due.ids[0].startswith(AS_BUILT) == built)
                ]  # fmt: skip
                if others:
                    where = "another device of this box" if own in others else listed(dict.fromkeys(others), 5)
                    why = f"{last.record.value} is recorded at {where} too"
                    last.found = replace(last.found, status="fail", why=why)

    def results(self) -> Iterator[Result]:
        """How each due thing stands, then what the job does not have."""
        for history in (*self.histories, *(each for _, each in sorted(self.unknown.items()))):
            if (result := _result(history)) is not None:
                yield result


def _bare(subject: str) -> str:
    """A subject without the zeros before its numbers, which a person leaves out."""
    return _ZEROS.sub("", subject).casefold()


def _result(history: History) -> Result | None:
    """How one due thing stands; nothing where it need not be recorded and was not."""
    due, last = history.due, history.last()
    if last is not None:
        found = last.found
        before = [each for each in history.entries if each is not last]
        earlier, stood = tuple(each.record for each in before), tuple(map(_stood, before))
        return Result(
            due, found.status, last.record, found.number, found.why, to_do(due, found.status), earlier, stood,
            found.limit or due.limit, found.least if due.loop or due.off else due.least,
            found.most if due.loop else due.most,
        )  # fmt: skip
    if history.entries:
        *before, voided = history.entries
        return Result(
            due, "void", voided.record, None, voided.void, to_do(due, "void"), tuple(each.record for each in before),
            tuple(map(_stood, before)), due.limit, due.least, due.most,
        )  # fmt: skip
    return None if due.optional else Result(due, "outstanding", limit=due.limit, least=due.least, most=due.most)


def _stood(entry: Entry) -> Status:
    return "void" if entry.void else entry.found.status


def _non_conformances(history: History) -> Iterator[NonConformance]:
    """Each time that the check failed or could not be true, with the record that closed it."""
    opened: Entry | None = None
    if len(history.entries) == 1 and history.entries[0].found.status == "pass":
        return
    for _, some in groupby(history.good, key=lambda each: each.record.when):
        worst = min(some, key=lambda each: WORST[each.found.status])
        if worst.found.status in ("fail", "implausible"):
            opened = opened or worst
        elif worst.found.status == "pass" and opened is not None:
            yield _told(history.due, opened, worst.record)
            opened = None
    if opened is not None:
        yield _told(history.due, opened, None)


def _told(due: Due, opened: Entry, closed: Record | None) -> NonConformance:
    found = opened.found
    return NonConformance(due, opened.record, found.status, found.why, to_do(due, found.status), closed)
