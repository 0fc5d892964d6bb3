"""``slackloop new``: a commented job to start from, in a folder of its own."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import GOOD, REFUSED

JOB_NAME = "job.yml"


def run(asked: argparse.Namespace) -> int:
    """Write ``job.yml`` into the folder; a job that is there already stays untouched."""
    from slackloop.reference.table_file import data_folder
    from slackloop.source.source_file import write_new_file

    target = asked.folder / JOB_NAME
    text = (data_folder("site_data") / "start" / JOB_NAME).read_text(encoding="utf-8")
    asked.folder.mkdir(parents=True, exist_ok=True)
    try:
        write_new_file(target, text)
    except FileExistsError:
        print(f"slackloop: {target} already exists; it was not changed", file=sys.stderr)
        return REFUSED
    print(target)
    print(f"Next: put a value in place of each SET-ME, then run  slackloop check {target}", file=sys.stderr)
    return GOOD
