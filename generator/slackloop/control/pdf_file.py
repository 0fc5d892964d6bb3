"""What a PDF of ours says of itself: its facts and the files that are attached to it."""

from __future__ import annotations

import logging
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

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
