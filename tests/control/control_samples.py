"""A small job for the tests of control: five boxes in a chain, and a branch of one from the second."""

from __future__ import annotations

import re
from pathlib import Path

from book_samples import book_of
from samples import REPOSITORY, chain, job_text
from slackloop.control.snapshot import Snapshot

BOXES = (*chain(5), "{id: B6, from: B2, run: 40 m, surface: lawn, device: one, stations: [11]}")
SIGNED = "  prepared: Site engineer\n  checked: Second engineer\n  approved: Manager\n"
ANSWERS = "answers:\n  surge-part-missing: {by: Maker, date: 2026-04-01, answer: It is inside the device}\n"
ELECTRODE_SECTION = Path("method") / "surge-and-earth-electrodes.md"


def signed_job(revision: str = "A", date: str = "2026-04-14", **changes: str) -> str:
    """The job with every signature, as a revision; ``changes`` are those of ``samples.job_text``."""
    text = job_text(BOXES, **changes)
    text = text.replace("  prepared: Site engineer\n", SIGNED).replace("format: 1\n", f"format: 1\n{ANSWERS}")
    return text.replace("  revision: A\n  date: 2026-04-14\n", f"  revision: {revision}\n  date: {date}\n")


def changed(text: str, old: str, new: str) -> str:
    """The text with one place changed; a place that is not there once is a mistake of the test."""
    assert text.count(old) == 1, old
    return text.replace(old, new)


def written(folder: Path, text: str) -> Path:
    """A job file in a folder of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return path


def own_step(job: Path, section: Path, step: str, action: str | None) -> str:
    """A section of ours as the firm's own beside a job, one step of it with another action, or taken out.

    Gives what the step said.
    """
    place = job.parent / "content" / section
    place.parent.mkdir(parents=True)
    text = (REPOSITORY / "content" / section).read_text(encoding="utf-8")
    found = re.search(rf"^### {step}\n(.+)\n((?:- .+\n)*)\n", text, re.MULTILINE)
    assert found is not None, step
    instead = "" if action is None else f"### {step}\n{action}\n{found[2]}\n"
    place.write_text(text.replace(found[0], instead), encoding="utf-8")
    return found[1]


def snapshot_of(job: Path) -> Snapshot:
    """What the handbook of a job says."""
    snapshot = book_of(job).snapshot
    assert snapshot is not None
    return snapshot
