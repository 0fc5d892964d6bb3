"""``slackloop verify``: is this copy current? Offline, against the releases or a list of hashes."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import refused
from slackloop.control.copy_claims import NoCopy, folder_claims, read_claims, refuse_nothing
from slackloop.control.releases import (
    FOLDER,
    HASHES,
    RECORD,
    ReleaseRecord,
    hashes_data,
    read_hashes,
    read_releases,
)
from slackloop.control.ssh_signature import Signing, signing_of
from slackloop.control.verification import State, Verdict, judge, judge_folder
from slackloop.output.marker import digest_of, entries_of
from slackloop.render.json.json_text import json_text
from slackloop.sections.format import listing
from slackloop.source.finding import harmless

STATUS: dict[State, int] = {"current": GOOD, "superseded": FINDINGS, "altered": FINDINGS, "unknown": REFUSED}
NO_LIST = Signing("unsigned", "there is no list of hashes, so nothing is signed")
NO_RELEASES = (
    "there are no releases beside it to compare it with. Name them, or the list of hashes that the firm publishes, "
    "with --releases"
)


@dataclass(frozen=True, slots=True)
class Known:
    """The releases that a copy is compared with, and how the list of their hashes is signed."""

    records: tuple[ReleaseRecord, ...] = ()
    signing: Signing = NO_LIST
    unlisted: tuple[str, ...] = ()
    """Releases beside a signed list that are not in it."""


def run(asked: argparse.Namespace) -> int:
    """Say in one sentence how the copy stands; its state is the exit status."""
    try:
        refuse_nothing(asked.file)
        known = known_releases(asked.file, asked.releases, asked.key)
        verdict = _signed(asked.file, known, asked.key)
    except NoCopy as problem:
        return refused(problem)
    if asked.json:
        print(json_text(_record(verdict, known.signing), sys.stdout.encoding))
    else:
        print(f"{verdict.state}: {harmless(verdict.text)}")
        for detail in verdict.details:
            print(f"  - {harmless(detail)}")
    return STATUS[verdict.state]


def _signed(named: str, known: Known, key: Path | None) -> Verdict:
    """How the copy stands; nothing is said on the word of a list that is not the firm's own."""
    told = f"{known.signing.text[:1].upper()}{known.signing.text[1:]}."
    if known.signing.standing == "unfit":
        return Verdict("altered", f"{told} Nothing can be said of {named} until it fits")
    if known.signing.standing in ("unlisted", "unread"):
        return Verdict("unknown", told)
    if not known.records:
        return Verdict("unknown", f"{named}: {NO_RELEASES}.")
    if known.signing.standing == "unsigned" and key is not None:
        return Verdict("unknown", f"{told} With --key only a signed list counts")
    verdict = verdict_on(named, known.records)
    beside = (f"Beside the signed list, and not in it: {listing(known.unlisted)}.",) if known.unlisted else ()
    return replace(verdict, details=(*verdict.details, told, *beside))


def verdict_on(named: str, records: Sequence[ReleaseRecord]) -> Verdict:
    """How what is named stands against the records. Raises ``NoCopy`` and ``OSError``."""
    folder = Path(named)
    if not folder.is_dir():
        return judge(read_claims(named), records)
    files = [path for path, entry in entries_of(folder) if entry.is_file(follow_symlinks=False)]
    place = folder / "handbook" if (folder / RECORD).is_file() else folder
    claims = replace(folder_claims(place), what=folder.name or named)
    return judge_folder(claims, files, lambda path: digest_of(folder / path), records)


def known_releases(named: str, given: Path | None, key: Path | None = None) -> Known:
    """The releases to compare with: those named, else those nearest to the file; none where there are none.

    Raises ``NoCopy`` for a file that is named and is not there.
    """
    if key is not None and not key.is_file():
        raise NoCopy(f"{key}: there is no such file of keys")
    if given is not None:
        if not given.exists():
            raise NoCopy(f"{given}: there is no such folder or list")
        return _known(given, key)
    for place in _places(Path(named)):
        found = _known(place, key)
        if found.records or found.signing.standing != "unsigned":
            return found
    return Known()


def _places(path: Path) -> list[Path]:
    """Where releases may lie: beside the file, beside a folder that it is in, and where the command is run."""
    homes = [*Path(os.path.abspath(path)).parents] if os.path.lexists(path) else []
    found = [home if home.name == FOLDER else home / FOLDER for home in (*homes, Path.cwd())]
    return list(dict.fromkeys(found))


def _known(place: Path, key: Path | None) -> Known:
    """What a list, or a folder of releases, says; once the list is signed, nothing counts but what is in it."""
    listed = place if place.is_file() else place / HASHES
    beside = () if place.is_file() else tuple(each.record for each in read_releases(place))
    if not listed.is_file():
        return Known(beside)
    data = hashes_data(listed)
    signing = signing_of(listed, data, key)
    if signing.standing == "unsigned" and beside:
        return Known(beside, signing)
    if signing.standing not in ("signed", "unsigned"):
        return Known((), signing)
    records = read_hashes(listed, data)
    return Known(records, signing, tuple(each.name for each in beside if each not in records))


def _record(verdict: Verdict, signing: Signing) -> dict[str, Any]:
    return {
        "format": 1,
        "state": verdict.state,
        "text": verdict.text,
        "release": _named(verdict.release),
        "current": _named(verdict.current),
        "details": list(verdict.details),
        "signature": {"state": signing.standing, "by": signing.name},
    }


def _named(record: ReleaseRecord | None) -> dict[str, Any] | None:
    if record is None:
        return None
    return {
        "number": record.number, "site": record.site, "revision": record.revision, "date": record.date,
        "status": record.status, "draft": record.is_draft, "fingerprint": record.fingerprint,
    }  # fmt: skip
