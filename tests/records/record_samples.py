"""Records made for tests: a good row for everything that is due, and the jobs that they are of."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta, timezone
from functools import cache
from pathlib import Path

from samples import DEMO, REPOSITORY
from slackloop.document.boxes.due_records import due_list
from slackloop.document.context import Context
from slackloop.document.worked import work_with_content
from slackloop.pipeline.handbook_folder import context_of
from slackloop.records.holds import WHOLE
from slackloop.records.record_file import RecordFile, records_of
from slackloop.records.result import COLUMNS, JOB, Due, DueList, Result, Results
from slackloop.records.standing import judge_job

RING = REPOSITORY / "tests" / "witness" / "jobs" / "ring.yml"
DAY_1 = datetime(2024, 3, 11, 8, 0, tzinfo=timezone(timedelta(hours=1)))
SOIL_C = 12.0
Row = tuple[str, str, str, str, str, str, str]


@cache
def context(job: Path = DEMO) -> Context:
    return context_of(work_with_content(job))


@cache
def due(job: Path = DEMO) -> DueList:
    return due_list(context(job))


def due_of(subject: str, check: str, job: Path = DEMO) -> Due:
    return next(each for each in due(job).dues if each.subject == subject and check in each.ids)


def row(
    box: str, check: str, value: str, unit: str = "", by: str = "A. Smith", when: str = "2024-03-11T14:05:00+01:00",
    note: str = "",
) -> Row:  # fmt: skip
    return box, check, value, unit, by, when, note


def at(minute: int, value: str, box: str = "B07", check: str = "C-BOX-1", unit: str = "m", by: str = "A") -> Row:
    return row(box, check, value, unit, by, (DAY_1 + timedelta(minutes=minute)).isoformat())


def good_value(due: Due) -> str:
    """A value that passes."""
    if due.kind == "tick":
        return "yes"
    if due.kind == "sign":
        return "I. Brook" if due.hold else "A. Smith"
    if due.kind == "soil":
        return f"{SOIL_C:g}"
    if due.loop is not None:
        return f"{due.loop.at(SOIL_C).expected_ohms:.3f}"
    if due.kind == "text":
        return due.limit or f"of {due.subject}"
    if due.unit == "V":  # the supply gives little more than the least that passes, and no more at a load than without
        return f"{due.least * 1.01 if due.least is not None else due.likely[1] * 0.8:.6g}"
    if due.least is not None:
        return f"{due.least * 1.5:.6g}"
    return f"{due.most / 1.5:.6g}" if due.most is not None else "1"


def good_rows(list_: DueList, changes: Mapping[tuple[str, str], str] = {}) -> list[Row]:
    """A good row for all that is due, a second after each other on one day; ``changes`` are other values.

    What is of the job comes last, and after it the holds that answer for the path and the record.
    """
    due_once = (each for each in list_.dues if not each.optional)
    dues = sorted(due_once, key=lambda each: (each.subject == JOB) + (each.answers in WHOLE))
    rows = []
    for number, each in enumerate(dues):
        when = (DAY_1 + timedelta(seconds=number % 30_000)).isoformat()
        value = changes.get((each.subject, each.ids[0]), good_value(each))
        rows.append(row(each.subject, each.ids[0], value, each.unit, when=when))
    for each in list_.each_day:
        rows.append(row(f"day:{DAY_1.date()}", each.ids[0], good_value(each), when=DAY_1.isoformat()))
    return rows


def text_of(rows: Iterable[Iterable[str]], fingerprint: str = "") -> str:
    """Rows as a page saves them."""
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(COLUMNS)
    if fingerprint:
        writer.writerow(row("job", "HANDBOOK", fingerprint))
    writer.writerows(rows)
    return stream.getvalue()


def file_of(rows: Iterable[Iterable[str]], name: str = "a.csv", fingerprint: str = "") -> RecordFile:
    return records_of(text_of(rows, fingerprint), name)


def judge(*files: RecordFile, job: Path = DEMO) -> Results:
    return judge_job(due(job), files, (context(job).fingerprint,))


def result_of(results: Results, subject: str, check: str) -> Result:
    return next(each for each in results.results if each.due.subject == subject and check in each.due.ids)
