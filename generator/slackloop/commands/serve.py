"""``slackloop serve``: the website on this machine, built again at every change."""

from __future__ import annotations

import argparse
import logging
import os
import sys

from slackloop.cli import GOOD, REFUSED


def run(asked: argparse.Namespace) -> int:
    """Serve until stopped by the keyboard."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    from slackloop.render.html.website_preview import preview_website

    if not asked.job.is_file():
        print(f"slackloop: {asked.job}: no such file", file=sys.stderr)
        return REFUSED
    logging.basicConfig(level=logging.INFO, format="%(message)s", stream=sys.stderr)
    preview_website(asked.job, asked.port)
    return GOOD
