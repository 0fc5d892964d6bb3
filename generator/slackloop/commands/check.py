"""``slackloop check``: read and compute a job, and list what is found."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import print_findings, wants_colour
from slackloop.handbook.worked import Refused, work
from slackloop.publish.check_record import check_record, refused_record, summary_text
from slackloop.publish.json_text import json_text


def run(asked: argparse.Namespace) -> int:
    """Print findings and verdict; with ``--json`` one object on standard output and nothing else."""
    try:
        worked = work(asked.job)
    except Refused as refused:
        if asked.json:
            print(json_text(refused_record(refused.findings), sys.stdout.encoding))
        else:
            print_findings(refused.findings, sys.stdout, wants_colour(sys.stdout))
            print(refused.closing_line())
        return REFUSED
    if asked.json:
        print(json_text(check_record(worked), sys.stdout.encoding))
    else:
        print_findings(worked.findings, sys.stdout, wants_colour(sys.stdout))
        print(summary_text(worked))
    return GOOD if worked.analysis.verdict == "pass" else FINDINGS
