"""``slackloop serve``: the website on this machine, built again at every change."""

from __future__ import annotations

import argparse
import logging
import os
import signal
import sys
from types import FrameType

from slackloop.cli import GOOD, REFUSED


def run(asked: argparse.Namespace) -> int:
    """Serve until stopped by the keyboard."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    from slackloop.render.html.plugin import AddressTaken, preview_website

    if not asked.job.is_file():
        print(f"slackloop: {asked.job}: no such file", file=sys.stderr)
        return REFUSED
    logging.basicConfig(level=logging.INFO, format="%(message)s", stream=sys.stderr)
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _stop)
    try:
        preview_website(asked.job, asked.port)
    except AddressTaken as taken:
        print(f"slackloop: {taken}", file=sys.stderr)
        return REFUSED
    return GOOD


def _stop(number: int, frame: FrameType | None) -> None:
    """End as by Ctrl-C, so that nothing is left behind."""
    raise KeyboardInterrupt
