"""``slackloop check``: read and compute a job, or read a firm's standard, and list what is found."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import print_findings, wants_colour
from slackloop.handbook.content_check import work_with_content
from slackloop.handbook.worked import Refused
from slackloop.job.finding import Placed
from slackloop.job.standard_reading import is_standard
from slackloop.publish.check_record import check_record, refused_record, summary_text
from slackloop.publish.json_text import json_text

Answer = tuple[int, Iterable[Placed], Callable[[], dict[str, Any]], Callable[[], str]]
"""Exit status, findings, and what makes the record and the summary."""


def run(asked: argparse.Namespace) -> int:
    """Print findings and verdict; with ``--json`` one object on standard output and nothing else."""
    try:
        status, findings, record, summary = _standard(asked.job) if is_standard(asked.job) else _job(asked.job)
    except Refused as refused:
        if asked.json:
            print(json_text(refused_record(refused.findings), sys.stdout.encoding))
        else:
            print_findings(refused.findings, sys.stdout, wants_colour(sys.stdout))
            print(refused.closing_line())
        return REFUSED
    if asked.json:
        print(json_text(record(), sys.stdout.encoding))
    else:
        print_findings(findings, sys.stdout, wants_colour(sys.stdout))
        print(summary())
    return status


def _job(path: Path) -> Answer:
    """The answer for a job."""
    worked = work_with_content(path)
    status = GOOD if worked.analysis.verdict == "pass" else FINDINGS
    return status, worked.findings, lambda: check_record(worked), lambda: summary_text(worked)


def _standard(path: Path) -> Answer:
    """The answer for a standard: it is read, and nothing is computed."""
    from slackloop.handbook.standard_work import work_standard
    from slackloop.publish.standard_folder import standard_record, standard_summary

    worked = work_standard(path)
    return GOOD, worked.findings, lambda: standard_record(worked), lambda: standard_summary(worked)
