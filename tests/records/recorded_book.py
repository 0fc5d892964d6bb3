"""Handbooks with results for tests: the demonstration with two runs longer, one reading bad and one box left out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path

from records.record_samples import DAY_1, due, file_of, good_rows, judge, row
from samples import DEMO
from slackloop.document.book import Book, make_book
from slackloop.document.recorded import Recorded
from slackloop.document.worked import Worked, work_with_content
from slackloop.pipeline.recorded_job import context_of
from slackloop.records.as_built import as_built_of
from slackloop.records.result import Results

HOSTILE = "=cmd|'/c calc'!A1 <script>alert(1)</script> {{ 7*7 }} *b* #set text(50pt) $x$"
LONGER, MOVED, BAD, LEFT_OUT, NOTED = "B04", "B03", "B06", "B40", "B05"
LATER, LAST = ((DAY_1 + timedelta(days=days, hours=3)).isoformat() for days in (1, 2))
AS_BUILT_ROWS = (
    row(f"run:{LONGER}", "AB-LENGTH", "55.5", "m", when=LATER),
    row("run:B08", "AB-LENGTH", "41.2", "m", when=LATER),
    row(MOVED, "AB-PLACE", "12.5,40.25", when=LATER),
    row(MOVED, "AB-PLACE", "-1.5,51.25", "deg", when=LAST),
    row(NOTED, "AB-ADDRESS", HOSTILE, when=LATER, by="B. Okoro", note=HOSTILE),
)


def demonstration_rows() -> list[tuple[str, ...]]:
    """Good rows for all boxes but one, a bad reading two days later, and what was built."""
    rows: list[tuple[str, ...]] = [each for each in good_rows(due(DEMO)) if each[0] != LEFT_OUT]
    bad = row(BAD, "C-TEST-3", "99.9", "Ω", when=LAST, note="meter lead loose?")
    return [*rows, bad, *AS_BUILT_ROWS]


def with_results(worked: Worked, results: Results) -> Book:
    """The handbook of a job with these results."""
    built = as_built_of(worked.job, worked.analysis, results, worked.tables)
    return make_book(context_of(replace(worked, recorded=Recorded(results, built))))


@cache
def recorded_demonstration() -> Book:
    """The demonstration with its results."""
    return with_results(work_with_content(DEMO), judge(file_of(demonstration_rows())))


@cache
def recorded_job(path: Path) -> Book:
    """A job of the tests with a good row for everything."""
    return with_results(work_with_content(path), judge(file_of(good_rows(due(path))), job=path))


