"""``slackloop records``: what was measured, judged by the limits of the handbook."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, datetime

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.check import uncollected
from slackloop.commands.screen import closing_line, refused, tell_refused
from slackloop.document.tables.suspect_words import loop_readings, suspect_lines, suspect_records
from slackloop.document.worked import Refused, work_with_content
from slackloop.pipeline.handbook_folder import context_of
from slackloop.pipeline.recorded_job import NothingRead, judged_records
from slackloop.records.report import report
from slackloop.render.json.json_text import json_text
from slackloop.render.json.results_record import results_record, unread_record
from slackloop.sections.content import ContentError
from slackloop.source.finding import harmless


def run(asked: argparse.Namespace) -> int:
    """Print how the job stands, the worst first; with ``--json`` one object on standard output and nothing else."""
    try:
        with uncollected():
            worked = work_with_content(asked.job)
            context = context_of(worked)
            results = judged_records(worked, context, asked.files, datetime.now(UTC))
    except Refused as why:
        tell_refused(why.findings, closing_line(why), as_json=asked.json)
        return REFUSED
    except ContentError as problem:
        return refused(problem)
    except NothingRead as nothing:
        if asked.json:
            rows = (row for each in nothing.files for row in each.refused)
            print(json_text(unread_record(rows), sys.stdout.encoding))
        for line in str(nothing).splitlines():
            print(f"slackloop: {harmless(line)}", file=sys.stderr)
        return REFUSED
    readings = loop_readings(context, results)
    if asked.json:
        suspects = suspect_records(context, readings)
        print(json_text(results_record(results, worked.fingerprint, suspects), sys.stdout.encoding))
    else:
        for line in report(results, suspect_lines(context, readings)):
            print(harmless(line))
    return FINDINGS if results.verdict == "fail" else GOOD
