"""Is this copy current? A copy compared with what was released: by its bytes, and by what it says of itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from slackloop.control.copy_claims import SHORTEST_FINGERPRINT, Claims
from slackloop.control.fingerprint import draft_fingerprint
from slackloop.control.releases import HANDBOOK, RECORD, ReleaseRecord, newest
from slackloop.sections.format import count, listing
from slackloop.source.suggestions import listed

State = Literal["current", "superseded", "altered", "unknown"]
MOST_NAMED = 5


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a copy stands. ``release`` is the one it is of, ``current`` the one that counts, ``details`` what is odd."""

    state: State
    text: str
    release: ReleaseRecord | None = None
    current: ReleaseRecord | None = None
    details: tuple[str, ...] = ()


def judge(claims: Claims, records: Sequence[ReleaseRecord]) -> Verdict:
    """A single file, a job, or the text of a code."""
    same = [each for each in records if claims.digest and claims.digest in each.files.values()]
    if same:
        return _standing(_best(same, records), records, f"{claims.what} is byte for byte as released with")
    if claims.job_digest:
        of_job = [each for each in records if each.job_digest == claims.job_digest]
        if of_job:
            return _standing(_best(of_job, records), records, f"{claims.what} states the same as the job of")
    of_print = [each for each in records if _has(each, claims.fingerprint)]
    if of_print and claims.digest:
        return _altered(
            of_print[-1], records,
            f"{claims.what} says that it is of {of_print[-1].name}, but it is not the file that was released: "
            "it was altered, or it was built apart from the release",
        )  # fmt: skip
    if of_print:
        record = _best(of_print, records)
        if claims.revision not in ("", record.revision) or claims.number not in ("", record.number):
            return _altered(
                record, records,
                f"{claims.what} says number {claims.number or '–'}, revision {claims.revision or '–'}, but its "
                f"fingerprint is that of {record.name}",
            )  # fmt: skip
        return _standing(record, records, f"{claims.what} belongs to")
    return _built_apart(claims, records) or _by_name(claims, records)


def _has(record: ReleaseRecord, fingerprint: str) -> bool:
    return len(fingerprint) >= SHORTEST_FINGERPRINT and record.fingerprint.startswith(fingerprint)


def _built_apart(claims: Claims, records: Sequence[ReleaseRecord]) -> Verdict | None:
    """A copy built from the same job, text and tables as a draft, whose own pages say that they are a draft.

    Its bytes are those of no release, so nothing proves that they were not altered since.
    """
    drafts = [each for each in records if each.fingerprint == draft_fingerprint(claims.fingerprint)]
    if not drafts:
        return None
    record = _best(drafts, records)
    return Verdict(
        "unknown",
        f"{claims.what}: not a file of the release. By its fingerprint it says the same as {record.name}, which is out "
        "as a draft: it was built apart from the release. Nothing proves that it was not altered since, so use the "
        "released copy.",
        record, newest(_of_job(record, records)),
    )  # fmt: skip


def _by_name(claims: Claims, records: Sequence[ReleaseRecord]) -> Verdict:
    """A copy that no release has: altered where it says that it is a revision which was released, else unknown."""
    own = [
        each for each in records
        if each.number == claims.number or (claims.title and claims.title.startswith(f"{each.number} "))
    ]  # fmt: skip
    released = [each for each in own if each.revision == claims.revision]
    if released:
        record = _best(released, records)
        return _altered(
            record, records, f"{claims.what} says that it is of {record.name}, but it does not say what was released"
        )
    if own:
        now = newest(own)
        assert now is not None
        told = f"revision {claims.revision} of {now.number} is not among the releases" if claims.revision else (
            f"{claims.what} is of {now.number} and does not say of which revision"
        )  # fmt: skip
        return Verdict("unknown", f"{told}; the newest is revision {now.revision} of {now.date}", None, now)
    if claims.fingerprint or claims.number:
        told = f"number {claims.number or '–'}, fingerprint {claims.fingerprint[:12] or '–'}"
        return Verdict("unknown", f"{claims.what} ({told}) is of no release that is listed here")
    return Verdict("unknown", f"{claims.what} does not say which handbook it is of, and no release has such a file")


def judge_folder(
    claims: Claims, files: Iterable[str], digest_of: Callable[[str], str], records: Sequence[ReleaseRecord]
) -> Verdict:
    """A handbook's folder, or that of a release: every file by its path, compared with those that were released."""
    there = {path: digest_of(path) for path in files if not path.rpartition("/")[2].startswith(".")}
    whole = RECORD in there
    kept = {id(each): _files(each, whole) for each in records}
    there.pop(RECORD, None)
    scores = {id(each): sum(there.get(path) == digest for path, digest in kept[id(each)].items()) for each in records}
    named = [each for each in records if _has(each, claims.fingerprint)]
    if not named and claims.fingerprint:
        return _built_apart(claims, records) or _by_name(claims, records)
    likely = named or [each for each in records if 2 * scores[id(each)] > len(kept[id(each)])]
    if not likely:
        return Verdict(
            "unknown", f"{claims.what} does not say which handbook it is of, and is like none that is listed"
        )
    record = max(likely, key=lambda each: (scores[id(each)], each == newest(_of_job(each, records)), each.issue))
    differ = tuple(_differences(kept[id(record)], there))
    added = sorted(set(there) - set(kept[id(record)]))
    others = f"{count(len(added), 'file is', 'files are')} not from the release: {listed(added, MOST_NAMED)}"
    more = (others,) if added else ()
    if differ:
        return _altered(record, records, f"{claims.what} is of {record.name}, and not as released", (*differ, *more))
    return _standing(record, records, f"every file of {claims.what} is as released with", more)


def _files(record: ReleaseRecord, whole: bool) -> Mapping[str, str]:
    """The files of a release, or of its handbook alone, by their paths from there."""
    start = f"{HANDBOOK}/"
    if whole:
        return record.files
    return {path.removeprefix(start): digest for path, digest in record.files.items() if path.startswith(start)}


def _differences(released: Mapping[str, str], there: Mapping[str, str]) -> Iterator[str]:
    changed = sorted(path for path, digest in released.items() if path in there and there[path] != digest)
    missing = sorted(path for path in released if path not in there)
    if changed:
        yield f"{count(len(changed), 'file is', 'files are')} altered: {listed(changed, MOST_NAMED)}"
    if missing:
        yield f"{count(len(missing), 'file is', 'files are')} missing: {listed(missing, MOST_NAMED)}"


def _of_job(record: ReleaseRecord, records: Iterable[ReleaseRecord]) -> list[ReleaseRecord]:
    return [each for each in records if each.same_job(record)]


def _best(found: Sequence[ReleaseRecord], records: Sequence[ReleaseRecord]) -> ReleaseRecord:
    """Of releases that hold the same file, the one that counts today, else the last."""
    return max(found, key=lambda each: (each == newest(_of_job(each, records)), each.issue))


def _standing(
    record: ReleaseRecord, records: Sequence[ReleaseRecord], words: str, details: tuple[str, ...] = ()
) -> Verdict:
    """Current, or superseded by the release that counts today."""
    now = newest(_of_job(record, records))
    assert now is not None
    draft = " It is a draft: not for use on site." if record.is_draft else ""
    if now == record:
        later = [each.revision for each in _of_job(record, records) if each.issue > record.issue]
        out = f" Revision {listing(later)} is out as a draft." if later else ""
        return Verdict("current", f"{words} {record.name}, which is current.{draft}{out}", record, now, details)
    if now.issue < record.issue:
        return Verdict(
            "superseded", f"{words} {record.name}.{draft} What counts is revision {now.revision} of {now.date}.",
            record, now, details,
        )  # fmt: skip
    return Verdict(
        "superseded", f"{words} {record.name}, superseded by revision {now.revision} of {now.date}.{draft}",
        record, now, details,
    )  # fmt: skip


def _altered(
    record: ReleaseRecord, records: Sequence[ReleaseRecord], words: str, details: tuple[str, ...] = ()
) -> Verdict:
    now = newest(_of_job(record, records))
    return Verdict("altered", f"{words}. Do not use it.", record, now, details)
