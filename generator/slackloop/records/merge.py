"""Records of several files as one list, the same whatever the order of the files."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.records.result import Record

Said = tuple[str, str, str, str, str, str, str]


def merged(records: Iterable[Record]) -> tuple[Record, ...]:
    """Every record once, by its time; of two that say the same at the same moment the first by file and row is kept.

    A record is the same one where all that it says is the same, so a file that is saved twice, or that two devices
    hold, changes nothing. The order does not rest on the order of the files.
    """
    kept: dict[Said, Record] = {}
    for each in records:
        same = what_it_says(each)
        other = kept.get(same)
        if other is None or (each.file, each.row) < (other.file, other.row):
            kept[same] = each
    return tuple(record for _, record in sorted(kept.items()))


def what_it_says(record: Record) -> Said:
    """What a record says, its time first and as one instant."""
    return (
        _instant(record), record.subject, record.check, record.value, record.unit, record.by, record.note,
    )  # fmt: skip


def _instant(record: Record) -> str:
    """The time in seconds since the epoch, as text that sorts."""
    return f"{record.when.timestamp():020.6f}"
