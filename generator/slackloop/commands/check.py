"""``slackloop check``: read and compute a job, or read a firm's standard, and list what is found."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import print_findings, wants_colour
from slackloop.document.worked import Refused, work_with_content
from slackloop.render.json.check_record import check_record, refused_record, summary_text
from slackloop.site.reader import is_standard
from slackloop.source.finding import Placed

Answer = tuple[int, Iterable[Placed], Callable[[], dict[str, Any]], Callable[[], str]]
"""Exit status, findings, and what makes the record and the summary."""


def run(asked: argparse.Namespace) -> int:
    """Print findings and verdict; with ``--json`` one object and nothing else, with ``--explain`` what a code means."""
    if asked.explain is not None:
        return _explain(asked.explain)
    with uncollected():
        return _check(asked)


def _check(asked: argparse.Namespace) -> int:
    try:
        status, findings, record, summary = _standard(asked.job) if is_standard(asked.job) else _job(asked.job)
    except Refused as refused:
        if asked.json:
            _print_json(refused_record(refused.findings))
        else:
            print_findings(refused.findings, sys.stdout, wants_colour(sys.stdout))
            print(refused.closing_line())
        return REFUSED
    if asked.json:
        _print_json(record())
    else:
        print_findings(findings, sys.stdout, wants_colour(sys.stdout))
        print(summary())
    return status


def _print_json(record: dict[str, Any]) -> None:
    from slackloop.render.json.json_text import json_text

    print(json_text(record, sys.stdout.encoding))


def _explain(code: str) -> int:
    """Print what a code means; one that is none is refused with the nearest."""
    from slackloop.commands.explain import explanation, unknown_code

    if wrong := unknown_code(code):
        print(f"slackloop: {wrong}", file=sys.stderr)
        return REFUSED
    print(explanation(code, wants_colour(sys.stdout)))
    return GOOD


def _job(path: Path) -> Answer:
    """The answer for a job."""
    worked = work_with_content(path)
    status = GOOD if worked.analysis.verdict == "pass" else FINDINGS
    return status, worked.findings, lambda: check_record(worked), lambda: summary_text(worked)


@contextmanager
def uncollected() -> Iterator[None]:
    """No search for values in circles: a job leaves none, and looking through its values takes a seventh of a check.

    It goes on until the job is given up, or all of it would be looked through once after all.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _standard(path: Path) -> Answer:
    """The answer for a standard: it is read, and nothing is computed."""
    from slackloop.document.standard_book import work_standard
    from slackloop.pipeline.standard_folder import standard_record, standard_summary

    worked = work_standard(path)
    return GOOD, worked.findings, lambda: standard_record(worked), lambda: standard_summary(worked)
