"""Which handbook the rows of a file were written on, and which of them count no more because its cards have changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from slackloop.records.merge import Said, what_it_says
from slackloop.records.record_file import RecordFile
from slackloop.records.result import HANDBOOK_CHECK, JOB, Older, Record
from slackloop.source.suggestions import listed
from slackloop.units.count import count

SHORT_FINGERPRINT = 12
"""Signs of a fingerprint that are enough to name it."""
OlderOf = Callable[[str], Older | None]
"""An older handbook by its fingerprint; nothing where no release has it."""


def is_claim(record: Record) -> bool:
    """Whether a row names the handbook that those after it were written on."""
    return record.check == HANDBOOK_CHECK and record.subject == JOB


def is_among(fingerprint: str, present: Iterable[str]) -> bool:
    """Whether a fingerprint, whole or cut to its first signs, is one of these."""
    is_named = len(fingerprint) >= SHORT_FINGERPRINT
    return any(each == fingerprint or (is_named and each.startswith(fingerprint)) for each in present)


def outdated(
    files: Iterable[RecordFile], present: Sequence[str], older_of: OlderOf, names: Mapping[str, str]
) -> dict[Said, str]:
    """What rows say that were written on an older handbook whose card has changed since, each with the reason.

    ``names`` gives a subject by every name that a row may use. A row that is in several files is out of date where any
    of them says so: a page that was updated saves old rows again.
    """
    found: dict[Said, str] = {}
    for file in files:
        older: Older | None = None
        for record in file.records:
            if is_claim(record):
                older = None if is_among(record.value, present) else older_of(record.value)
            elif older is not None:
                reason = older.changed.get(names.get(record.subject, record.subject))
                if reason is not None:
                    said = what_it_says(record)
                    found[said] = min(found.get(said, reason), reason)
    return found


def claim_notes(files: Iterable[RecordFile], present: Sequence[str], older_of: OlderOf) -> Iterator[str]:
    """What is not known, or not the same, of the handbook that each file was written on, and who wrote its rows."""
    for file in files:
        yield from _nameless(file)
        if file.records and not is_claim(file.records[0]):
            yield f"{file.name}: rows that do not say which handbook they were written on are judged by this one."
        for each in dict.fromkeys(record.value for record in file.records if is_claim(record)):
            if is_among(each, present):
                continue
            older, short = older_of(each), each[:SHORT_FINGERPRINT] or "none"
            if older is None:
                yield (
                    f"{file.name}: written on a handbook with the fingerprint {short}, not on this one. No revision "
                    "kept beside the job has that fingerprint, so it is not known which cards have changed since."
                )
            else:
                yield f"{file.name}: written on {older.name}; cards that have changed since: {len(older.changed)}."


def _nameless(file: RecordFile) -> Iterator[str]:
    """The rows of one file that nobody has put a name to."""
    rows = [str(each.row) for each in file.records if not is_claim(each) and not each.by.strip()]
    if rows:
        yield f"{file.name}: no name is written in {count(len(rows), 'row', 'rows')}: {listed(rows)}."
