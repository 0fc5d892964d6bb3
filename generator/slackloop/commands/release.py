"""``slackloop release``: freeze the revision that a job states, beside the job."""

from __future__ import annotations

import argparse
import sys

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import Progress, closing_line, tell_refused
from slackloop.control.releases import HASHES
from slackloop.control.ssh_signature import ENDING
from slackloop.document.worked import Refused
from slackloop.output.marker import OutputRefused, scratch_folder
from slackloop.pipeline.handbook_folder import BuildFaulty
from slackloop.pipeline.release_folder import NotReleased, release_job
from slackloop.sections.format import count
from slackloop.source.finding import harmless


def run(asked: argparse.Namespace) -> int:
    """Write the release; what is still open is named, and only a draft goes out with it."""
    try:
        with scratch_folder():
            release, worked = release_job(
                asked.job, draft=asked.draft, paper=asked.paper, progress=Progress(asked.job.stem)
            )
    except Refused as refused:
        tell_refused(refused.findings, f"{asked.job}: {closing_line(refused)}; nothing was written", as_json=False)
        return REFUSED
    except NotReleased as refused:
        print(f"slackloop: {asked.job} is not released, and nothing was written:", file=sys.stderr)
        for reason in refused.reasons:
            print(f"  - {harmless(reason)}", file=sys.stderr)
        if refused.draft_may:
            print("With --draft it goes out marked as a draft on every page.", file=sys.stderr)
        return REFUSED
    except (OutputRefused, BuildFaulty) as problem:
        print("\n".join(f"slackloop: {harmless(line)}" for line in str(problem).splitlines()), file=sys.stderr)
        return REFUSED
    record = release.record
    if record.still_open:
        told = count(len(record.still_open), "thing is", "things are")
        print(f"{told} still open: this is a draft, marked so on every page", file=sys.stderr)
    print(f"released: {harmless(record.name)}, fingerprint {record.fingerprint}", file=sys.stderr)
    if release.folder.with_name(HASHES + ENDING).exists():
        print(f"{HASHES} is new, so {HASHES}{ENDING} does not fit it: sign it again", file=sys.stderr)
    print(release.folder)
    return GOOD if worked.analysis.verdict == "pass" else FINDINGS
