"""``slackloop build``: website and printable document of one or more jobs, or of a firm's standard."""

from __future__ import annotations

import argparse
import os
import sys
import threading
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from slackloop.cli import REFUSED
from slackloop.commands.build_order import Ended, Order, build_one
from slackloop.commands.build_stop import Stop
from slackloop.commands.new import JOB_NAME
from slackloop.commands.screen import Progress, wants_colour
from slackloop.output.scratch import clear_scratch


def run(asked: argparse.Namespace) -> int:
    """Build every job asked for; the worst status of all is the answer."""
    colour = wants_colour(sys.stderr)
    orders = [
        Order(
            handbook_name(job), job, folder, asked.paper, asked.separate, asked.strict, colour, tuple(asked.records)
        )
        for job, folder in zip(asked.jobs, output_folders(asked.jobs, asked.output), strict=True)
    ]
    if len({os.path.realpath(order.folder) for order in orders}) < len(orders):
        print("slackloop: two of these jobs would be written to one folder; build them one by one", file=sys.stderr)
        return REFUSED
    if asked.records and len(orders) > 1:
        print("slackloop: records belong to one job; build the jobs one by one", file=sys.stderr)
        return REFUSED
    clear_scratch()
    stop, telling = Stop(), threading.Lock()

    def build(order: Order) -> int:
        progress = Progress(order.name)
        ended = build_one(order, stop, progress)
        with telling:
            tell(ended, progress)
        return ended.status

    with stop.ready(), ThreadPoolExecutor(max_workers=min(asked.workers, len(orders))) as pool:
        return max(list(pool.map(build, orders)))


def tell(ended: Ended, progress: Progress) -> None:
    """Say how a build ended: words on standard error, files on standard output."""
    if ended.said:
        print(ended.said, file=sys.stderr)
    if ended.files:
        progress("done")
    for file in ended.files:
        print(file, flush=True)


def handbook_name(job: Path) -> str:
    """What a handbook is called after: the job file, or its folder where the file has the name that ``new`` gives."""
    return job.resolve().parent.name or job.stem if job.name == JOB_NAME else job.stem


def output_folders(jobs: Sequence[Path], output: Path | None) -> list[Path]:
    """Where each job's handbook goes: DIR itself for one job, a folder in it for each of several."""
    if output is None:
        return [Path(f"{handbook_name(job)}-handbook") for job in jobs]
    return [output] if len(jobs) == 1 else [output / handbook_name(job) for job in jobs]
