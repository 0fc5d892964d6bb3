"""``slackloop new``: a commented job to start from, in a folder of its own."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import GOOD, REFUSED

JOB_NAME = "job.yml"


def run(asked: argparse.Namespace) -> int:
    """Write ``job.yml`` into the folder; a job that is there already stays untouched."""
    from slackloop.reference.table_file import data_folder

    target = asked.folder / JOB_NAME
    text = (data_folder("site_data") / "start" / JOB_NAME).read_text(encoding="utf-8")
    asked.folder.mkdir(parents=True, exist_ok=True)
    try:
        with target.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        print(f"slackloop: {target} already exists; it was not changed", file=sys.stderr)
        return REFUSED
    except OSError as problem:
        if problem.filename is None:  # it was made, and could not be written to its end
            problem.filename = str(target)
            target.unlink(missing_ok=True)
        raise
    print(target)
    print(f"Next: put a value in place of each SET-ME, then run  slackloop check {target}", file=sys.stderr)
    return GOOD
