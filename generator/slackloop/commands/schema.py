"""``slackloop schema``: the JSON Schema of the job file, for editors."""

from __future__ import annotations

import argparse
import json

from slackloop.cli import GOOD
from slackloop.job.models import Job


def run(asked: argparse.Namespace) -> int:
    """Print the schema."""
    del asked
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **Job.model_json_schema()}
    print(json.dumps(schema, indent=1, ensure_ascii=False))
    return GOOD
