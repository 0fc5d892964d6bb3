"""``slackloop build``: website and printable document of one or more jobs, or of a firm's standard."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import Progress, print_findings, wants_colour
from slackloop.document.worked import Refused
from slackloop.output.handbook_folder import BuildFaulty, build_handbook
from slackloop.output.output import OutputRefused
from slackloop.output.standard_folder import build_standard
from slackloop.site.standard_reading import is_standard
from slackloop.source.excerpt import harmless


@dataclass(frozen=True)
class Order:
    """One handbook to build."""

    job: Path
    folder: Path
    paper: str | None
    strict: bool


def run(asked: argparse.Namespace) -> int:
    """Build every job asked for; the worst status of all is the answer."""
    orders = [
        Order(job, folder, asked.paper, asked.strict)
        for job, folder in zip(asked.jobs, output_folders(asked.jobs, asked.output), strict=True)
    ]
    if len({os.path.realpath(order.folder) for order in orders}) < len(orders):
        print("slackloop: two of these jobs would be written to one folder; build them one by one", file=sys.stderr)
        return REFUSED
    if asked.workers == 1 or len(orders) == 1:
        return max(build_one(order) for order in orders)
    with ProcessPoolExecutor(max_workers=min(asked.workers, len(orders))) as pool:
        return max(pool.map(build_one, orders))


def output_folders(jobs: Sequence[Path], output: Path | None) -> list[Path]:
    """Where each job's handbook goes: DIR itself for one job, a folder in it for each of several."""
    if output is None:
        return [Path(f"{job.stem}-handbook") for job in jobs]
    return [output] if len(jobs) == 1 else [output / job.stem for job in jobs]


def build_one(order: Order) -> int:
    """Build one handbook and say what was found; nothing on disk changes when the job is refused."""
    progress = Progress(order.job.stem)
    colour = wants_colour(sys.stderr)
    try:
        build = build_standard if is_standard(order.job) else build_handbook
        built = build(order.job, order.folder, paper=order.paper, strict=order.strict, progress=progress)
    except Refused as refused:
        print_findings(refused.findings, sys.stderr, colour)
        print(f"{order.job}: {refused.closing_line()}", file=sys.stderr)
        return REFUSED
    except (OutputRefused, BuildFaulty) as problem:
        print(f"slackloop: {harmless(str(problem))}", file=sys.stderr)
        return REFUSED
    print_findings(built.findings, sys.stderr, colour)
    for warning in built.warnings:
        print(f"{order.job}: in print: {harmless(warning)}", file=sys.stderr)
    progress("done")
    for name in built.files:
        print(order.folder / name)
    return GOOD if built.verdict == "pass" else FINDINGS
