"""``slackloop verify``: is this copy current? Offline, against the releases or a list of hashes."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.control.copy_claims import NoCopy, folder_claims, read_claims, refuse_nothing
from slackloop.control.releases import FOLDER, HASHES, RECORD, ReleaseRecord, read_hashes, read_releases
from slackloop.control.verification import State, Verdict, judge, judge_folder
from slackloop.output.marker import digest_of, entries_of
from slackloop.render.json.json_text import json_text
from slackloop.source.excerpt import harmless

STATUS: dict[State, int] = {"current": GOOD, "superseded": FINDINGS, "altered": FINDINGS, "unknown": REFUSED}
NO_RELEASES = (
    "there are no releases beside it to compare it with. Name them, or the list of hashes that the firm publishes, "
    "with --releases"
)


def run(asked: argparse.Namespace) -> int:
    """Say in one sentence how the copy stands; its state is the exit status."""
    try:
        refuse_nothing(asked.file)
        records = known_records(asked.file, asked.releases)
        verdict = verdict_on(asked.file, records) if records else Verdict("unknown", f"{asked.file}: {NO_RELEASES}.")
    except NoCopy as problem:
        print(f"slackloop: {harmless(str(problem))}", file=sys.stderr)
        return REFUSED
    if asked.json:
        print(json_text(_record(verdict), sys.stdout.encoding))
    else:
        print(f"{verdict.state}: {harmless(verdict.text)}")
        for detail in verdict.details:
            print(f"  - {harmless(detail)}")
    return STATUS[verdict.state]


def verdict_on(named: str, records: Sequence[ReleaseRecord]) -> Verdict:
    """How what is named stands against the records. Raises ``NoCopy`` and ``OSError``."""
    folder = Path(named)
    if not folder.is_dir():
        return judge(read_claims(named), records)
    files = [path for path, entry in entries_of(folder) if entry.is_file(follow_symlinks=False)]
    place = folder / "handbook" if (folder / RECORD).is_file() else folder
    claims = replace(folder_claims(place), what=folder.name or named)
    return judge_folder(claims, files, lambda path: digest_of(folder / path), records)


def known_records(named: str, given: Path | None) -> tuple[ReleaseRecord, ...]:
    """The releases to compare with: those named, else those nearest to the file; none where there are none."""
    if given is not None:
        if not given.exists():
            raise NoCopy(f"{given}: there is no such folder or list")
        return _records(given)
    for place in _places(Path(named)):
        if found := _records(place):
            return found
    return ()


def _places(path: Path) -> list[Path]:
    """Where releases may lie: beside the file, beside a folder that it is in, and where the command is run."""
    homes = [*Path(os.path.abspath(path)).parents] if os.path.lexists(path) else []
    found = [home if home.name == FOLDER else home / FOLDER for home in (*homes, Path.cwd())]
    return list(dict.fromkeys(found))


def _records(place: Path) -> tuple[ReleaseRecord, ...]:
    """The records in a list, or of a folder of releases; the list alone where a folder holds no more than that."""
    if place.is_file():
        return read_hashes(place)
    records = tuple(each.record for each in read_releases(place))
    if not records and (place / HASHES).is_file():
        return read_hashes(place / HASHES)
    return records


def _record(verdict: Verdict) -> dict[str, Any]:
    return {
        "format": 1,
        "state": verdict.state,
        "text": verdict.text,
        "release": _named(verdict.release),
        "current": _named(verdict.current),
        "details": list(verdict.details),
    }


def _named(record: ReleaseRecord | None) -> dict[str, Any] | None:
    if record is None:
        return None
    return {
        "number": record.number, "site": record.site, "revision": record.revision, "date": record.date,
        "status": record.status, "draft": record.is_draft, "fingerprint": record.fingerprint,
    }  # fmt: skip
