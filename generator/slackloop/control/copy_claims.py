"""What a copy says of itself: a PDF, a card's code, a job, a file of records, a handbook's folder or a file of it.

What a PDF of ours says of itself: its facts and the files that are attached to it.
"""

from __future__ import annotations

import csv
import hashlib
import json
import logging
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

from slackloop.control.snapshot import ATTACHED
from slackloop.records.result import HANDBOOK_CHECK, JOB

LARGEST_BYTES = 1_000_000_000
_FINGERPRINT = re.compile(r"fingerprint ([0-9a-f]{64})\b")
_REVISION = re.compile(r", revision (.+), (\d{4}-\d\d-\d\d), [a-z ]+, fingerprint ")
_INVISIBLE = dict.fromkeys(map(ord, "\u200b\u2060\u00ad"))


class PdfUnreadable(Exception):
    """A PDF that cannot be read; the message says why."""


@dataclass(frozen=True, slots=True)
class PdfFacts:
    """``title`` begins with the number of the job; ``fingerprint`` and ``revision`` are empty in a PDF of others."""

    title: str
    fingerprint: str
    revision: str
    attached: Mapping[str, bytes]


def read_pdf(path: Path) -> PdfFacts:
    """The facts in the PDF at ``path``. Raises ``PdfUnreadable``."""
    from pypdf import PdfReader

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # what is odd in a file of others is no concern of a reader
    if path.stat().st_size > LARGEST_BYTES:
        raise PdfUnreadable("it is larger than any handbook")
    try:
        reader = PdfReader(path)
        told: Mapping[str, object] = reader.metadata or {}
        title, subject = (str(told.get(key, "")).translate(_INVISIBLE) for key in ("/Title", "/Subject"))
        attached = {name: data[0] for name, data in reader.attachments.items() if data}
    except OSError:
        raise
    except Exception as wrong:  # the reader raises of every kind for a file that is broken
        raise PdfUnreadable("it cannot be read as a PDF") from wrong
    fingerprint, revision = _FINGERPRINT.search(subject), _REVISION.search(subject)
    return PdfFacts(title, fingerprint[1] if fingerprint else "", revision[1] if revision else "", attached)


SHORTEST_FINGERPRINT = 12
MOST_TEXT_BYTES = 50_000_000
_CODE = re.compile(
    r"job (?P<number>.+?); revision (?P<revision>.+?); fingerprint (?P<fingerprint>[0-9a-f]+); (?P<card>.+)"
)
_HEX = re.compile(r"[0-9a-f]{12,64}")


@dataclass(frozen=True, slots=True)
class Claims:
    """What a copy says; what it does not say is empty. ``digest`` is the hash of its bytes, where it has any.

    ``title`` begins with the number of the job where the number itself is not told apart; ``job_digest`` is the hash of
    a job's meaning.
    """

    what: str
    digest: str = ""
    number: str = ""
    revision: str = ""
    fingerprint: str = ""
    title: str = ""
    job_digest: str = ""


class NoCopy(Exception):
    """What was named is neither a file nor the text of a code."""


def read_claims(named: str) -> Claims:
    """What the file, or the text, says of itself. Raises ``NoCopy`` and ``OSError``."""
    refuse_nothing(named)
    return code_claims(named) if _is_code(named) else _file_claims(Path(named))


def refuse_nothing(named: str) -> None:
    """Raise ``NoCopy`` for what is neither a file or folder nor the text of a code."""
    if _is_code(named) or os.path.isfile(named) or os.path.isdir(named):
        return
    if os.path.exists(named):
        raise NoCopy(f"{named[:120]} is neither a file nor a folder")
    raise NoCopy(
        f"{named[:120]}: there is no such file, and it is not the text of a card's code. "
        "Such a text begins with 'job ' or is the address of a page"
    )


def _is_code(text: str) -> bool:
    return text.startswith(("http://", "https://")) or bool(_CODE.fullmatch(" ".join(text.split())))


def code_claims(text: str) -> Claims:
    """What the code on a card says: words, or the address of a page with its revision."""
    found = _CODE.fullmatch(" ".join(text.split()))
    if found:
        return Claims(f"the card of {found['card']}", "", found["number"], found["revision"], found["fingerprint"])
    asked = parse_qs(urlsplit(text.strip()).query)
    number, revision, fingerprint = (asked.get(key, [""])[0] for key in ("job", "revision", "fingerprint"))
    return Claims("the card with this address", "", number, revision, fingerprint)


def _file_claims(path: Path) -> Claims:
    with path.open("rb") as stream:
        digest = hashlib.file_digest(stream, "sha256").hexdigest()
        stream.seek(0)
        start = stream.read(5)
    kind = path.suffix.lower()
    if start == b"%PDF-":
        return _pdf_claims(path, digest)
    if kind in {".yml", ".yaml"}:
        return _job_claims(path, digest)
    if path.stat().st_size > MOST_TEXT_BYTES:
        return Claims(path.name, digest)
    if kind == ".json":
        return _json_claims(path, digest)
    if kind == ".csv":
        return _record_claims(path, digest)
    text = path.read_bytes()[:4000].decode("utf-8", "replace").strip()
    return code_claims(text) if _is_code(text) else Claims(path.name, digest)


def _pdf_claims(path: Path, digest: str) -> Claims:
    try:
        facts = read_pdf(path)
    except PdfUnreadable:
        return Claims(path.name, digest)
    return Claims(path.name, digest, "", facts.revision, facts.fingerprint, facts.title)


def _job_claims(path: Path, digest: str) -> Claims:
    from slackloop.site.reader import read_job

    reading = read_job(path)
    if reading.job is None:
        return Claims(path.name, digest)
    meaning = hashlib.sha256(reading.fingerprint_source).hexdigest()
    return Claims(
        path.name, digest, reading.job.job.number, reading.job.document.revision, job_digest=meaning
    )  # fmt: skip


def _json_claims(path: Path, digest: str) -> Claims:
    """A snapshot, the record of a check, or tables as data."""
    try:
        told = json.loads(path.read_bytes())
    except (ValueError, RecursionError):
        return Claims(path.name, digest)
    document = told.get("document") if isinstance(told, dict) else None
    facts: dict[str, Any] = document if isinstance(document, dict) else told if isinstance(told, dict) else {}
    number, revision, fingerprint = (str(facts.get(key) or "") for key in ("number", "revision", "fingerprint"))
    return Claims(path.name, digest, number, revision, fingerprint)


def _record_claims(path: Path, digest: str) -> Claims:
    """A file of records names in its first row the handbook that it was written on."""
    told = ""
    try:
        with path.open(encoding="utf-8-sig", newline="") as stream:
            for row in csv.DictReader(stream):
                if row.get("box") == JOB and row.get("check") == HANDBOOK_CHECK:
                    told = (row.get("value") or "").strip()
                    break
    except (UnicodeDecodeError, csv.Error):
        return Claims(path.name, digest)
    told = told if _HEX.fullmatch(told) else ""
    return Claims(f"the records in {path.name}", "" if told else digest, fingerprint=told)


def folder_claims(folder: Path) -> Claims:
    """What a handbook's folder says of itself: its snapshot, or the record of its check."""
    for name in (ATTACHED, "check.json"):
        path = folder / name
        if path.is_file() and path.stat().st_size <= MOST_TEXT_BYTES:
            claims = _json_claims(path, "")
            if claims.fingerprint:
                return claims
    return Claims(folder.name)
