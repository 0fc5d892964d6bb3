"""``slackloop changes``: what differs between two revisions, for everybody and for each reader."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import GOOD, REFUSED
from slackloop.commands.screen import refused, tell_refused
from slackloop.control.change_words import chapters, heading
from slackloop.control.comparison import Comparison, compare
from slackloop.document.worked import Refused
from slackloop.pipeline.release_folder import NothingToCompare, snapshot_behind
from slackloop.render.json.json_text import changes_record, json_text
from slackloop.sections.content import ContentError
from slackloop.source.finding import harmless


def run(asked: argparse.Namespace) -> int:
    """Print the changes in sentences; with ``--json`` one object on standard output and nothing else."""
    snapshots = []
    for path in (asked.old, asked.new):
        try:
            snapshots.append(snapshot_behind(path))
        except Refused as why:
            tell_refused(why.findings, f"{path}: {why.closing_line()}", as_json=False)
            return REFUSED
        except (NothingToCompare, ContentError) as problem:
            return refused(problem)
    comparison = compare(*snapshots)
    if asked.json:
        print(json_text(changes_record(comparison), sys.stdout.encoding))
    else:
        _print(comparison)
    return GOOD


def _print(comparison: Comparison) -> None:
    print(harmless(heading(comparison)))
    if comparison.is_empty:
        print("\nNo value, limit, step, order or card has changed.")
    for chapter in chapters(comparison):
        print(f"\n{chapter.title.upper()}")
        for part in chapter.parts:
            print(f"\n{part.title}")
            for text in part.lines:
                print(f"  - {harmless(text)}")
