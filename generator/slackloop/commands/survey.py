"""``slackloop import``: boxes and runs out of surveyed points, put into a base job as a job file to go on with."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from shlex import quote

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.new import JOB_NAME
from slackloop.commands.screen import print_findings, wants_colour
from slackloop.reference.table_file import data_folder
from slackloop.source.finding import Placed, harmless
from slackloop.source.source_file import write_new_file
from slackloop.survey.survey import Imported, import_survey
from slackloop.units.amount import count


def run(asked: argparse.Namespace) -> int:
    """Write the job file; one that is there already stays untouched."""
    if asked.output.exists() or asked.output.is_symlink():
        print(f"slackloop: {asked.output} already exists; it was not changed", file=sys.stderr)
        return REFUSED
    imported = imported_from(asked.files, asked.job, asked.along, asked.place, asked.output)
    findings = imported.findings
    print_findings(findings, sys.stderr, wants_colour(sys.stderr))
    if imported.left_out:
        more = count(imported.left_out, "more finding is", "more findings are")
        print(f"{more} not shown; correct these first", file=sys.stderr)
    if imported.job is None:
        errors = count(sum(each.level == "error" for each in findings), "error", "errors")
        print(f"refused: {errors}; nothing was written", file=sys.stderr)
        return REFUSED
    write_new_file(asked.output, imported.job.text)
    print(asked.output)
    for line in imported.job.said:
        print(harmless(line), file=sys.stderr)
    print(f"Next: read what was guessed, then run  slackloop check {quote(str(asked.output))}", file=sys.stderr)
    return FINDINGS if any(each.level == "error" for each in findings) else GOOD


def imported_from(
    files: list[Path], base: Path | None, along: Path | None, place: tuple[float, float] | None, out: Path
) -> Imported:
    """The import with the start file as its base where none is given."""
    return import_survey(files, base or data_folder("site_data") / "start" / JOB_NAME, along, place, out)


def found_in(points: Path, lines: Path) -> tuple[Placed, ...]:
    """What an import of sample files finds, with the start file as its base."""
    along = lines if lines.exists() else None
    return imported_from([points], None, along, None, points.with_name("imported.yml")).findings
