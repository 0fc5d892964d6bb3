"""``slackloop schema``: the JSON Schema of the job file, for editors."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import GOOD
from slackloop.render.json.json_text import json_text
from slackloop.site.assumptions import with_doubts
from slackloop.site.models import Job


def run(asked: argparse.Namespace) -> int:
    """Print the schema."""
    del asked
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **with_doubts(Job.model_json_schema())}
    print(json_text(schema, sys.stdout.encoding))
    return GOOD
