"""How a job stands, in lines for a person: the worst first, and one line where all is well.

Which handbook the rows of a file were written on, and which of them count no more because its cards have changed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from slackloop.records.holds import SIGNED, DoubtedSignature, doubted_signatures, ids_of
from slackloop.records.record_file import RecordFile, Said, what_it_says
from slackloop.records.result import (
    AS_BUILT,
    HANDBOOK_CHECK,
    JOB,
    STATUS_WORDS,
    STATUSES,
    Due,
    NonConformance,
    Older,
    Record,
    Result,
    Results,
    Status,
)
from slackloop.source.suggestions import listed
from slackloop.units.amount import count

MOST_LINES = 30
"""Lines of one list; the record for programs has all."""
STAGES = {"run": "Run", "test": "Test", "splice": "Splice", "device": "Device", "close": "Close", "": "Sheets"}
Names = Mapping[str, Counter[Status]]
NAMES: Mapping[str, Callable[[Due], tuple[str, ...]]] = {
    "box": lambda due: (due.subject,),
    "stage": lambda due: (due.stage,),
    "requirement": lambda due: due.requirements,
    "hold": lambda due: due.ids[:1] if due.hold else (),
}
"""What results are counted by, each with the names that one due thing counts for; no stage is that of a sheet."""


def verdict_line(results: Results) -> str:
    """How the job stands in one sentence."""
    found = results.counts()
    if results.verdict == "pass":
        return f"pass: {count(found['pass'], 'record is', 'records are')} due, and all pass"
    return f"{STATUS_WORDS[results.verdict]}: {_counts(found)}"


def report(results: Results, suspects: Iterable[str] = ()) -> Iterator[str]:
    """The lines of the report; ``suspects`` are those of what the loop readings say."""
    yield verdict_line(results)
    opened = [each for each in results.non_conformances if each.closed_by is None]
    closed = [each for each in results.non_conformances if each.closed_by is not None]
    yield from _list(f"To repair ({len(opened)})", (line for each in opened for line in _non_conformance(each)))
    yield from _list("What the readings say", suspects)
    unsettled = [each for each in results.results if each.status == "outstanding" and each.record and each.why]
    yield from _list(f"Recorded, and not good yet ({len(unsettled)})", map(_line, unsettled))
    void = [each for each in results.results if each.status == "void"]
    yield from _list(f"Void: record again ({len(void)})", map(_void, void))
    if results.verdict != "pass":
        yield from _list("By box and sheet, the worst first", _grouped(counted_by(results, "box")))
        yield from _list("Not recorded yet where work has begun", _begun(results))
        yield from _list("By stage", _stages(counted_by(results, "stage")))
        yield from _list("By requirement", _grouped(counted_by(results, "requirement")))
        yield from _list("Hold points", _holds(results))
    built = [each for each in results.results if each.due.ids[0].startswith(AS_BUILT) and each.status == "pass"]
    yield from _list(f"As built ({len(built)})", map(_line, built))
    yield from _list(f"Repaired ({len(closed)})", (line for each in closed for line in _non_conformance(each)))
    yield from _list(
        f"Rows refused ({len(results.refused)})",
        (f"{each.file}{f', row {each.row}' if each.row else ''}: {each.message}" for each in results.refused),
    )
    yield from _list("Notes", results.notes)


def _list(title: str, lines: Iterable[str]) -> Iterator[str]:
    """A titled list; nothing where it is empty, cut short where it is long."""
    every = list(lines)
    if not every:
        return
    yield ""
    yield title
    for line in every[:MOST_LINES]:
        yield f"  {line}"
    if len(every) > MOST_LINES:
        yield f"  and {count(len(every) - MOST_LINES, 'more line', 'more lines')}; --json lists all"


def _non_conformance(each: NonConformance) -> Iterator[str]:
    yield f"{each.due.subject}  {each.record.check}  {each.due.title}: {each.why} ({_told(each.record)})"
    if each.closed_by is None:
        yield f"    {each.to_do}"
    else:
        value = f"{each.closed_by.value} {each.closed_by.unit or each.due.unit}".strip()
        yield f"    repaired: {value} ({_told(each.closed_by)})"


def _line(each: Result) -> str:
    """What was recorded of one due thing: why it does not count yet, or its value."""
    if each.record is None:
        return ""
    value = f"{each.record.value} {each.record.unit or each.due.unit}".strip()
    return f"{each.due.subject}  {each.record.check}  {each.due.title}: {each.why or value} ({_told(each.record)})"


def _void(each: Result) -> str:
    told = f" ({_told(each.record)})" if each.record is not None else ""
    return f"{each.due.subject}  {' '.join(each.due.ids)}: {each.why}{told}"


def _told(record: Record) -> str:
    """Who recorded it, when, and where that is written."""
    by = f"{record.by}, " if record.by else ""
    return f"{by}{record.when.isoformat(sep=' ', timespec='minutes')}, {record.file} row {record.row}"


def counted_by(results: Results, what: str) -> dict[str, Counter[Status]]:
    """How many results of each status, by box, stage, requirement or hold (see ``NAMES``)."""
    found: dict[str, Counter[Status]] = {}
    for each in results.results:
        for name in NAMES[what](each.due):
            found.setdefault(name, Counter())[each.status] += 1
    return found


def _grouped(names: Names) -> Iterator[str]:
    """Names with the same counts in one line, the worst first; those that pass are left out."""
    groups: dict[tuple[int, ...], list[str]] = {}
    for name, found in names.items():
        if any(found[status] for status in STATUSES if status != "pass"):
            groups.setdefault(tuple(found[status] for status in STATUSES), []).append(name)
    for counts in sorted(groups, reverse=True):
        yield f"{listed(groups[counts])}: {_counts(Counter(dict(zip(STATUSES, counts, strict=True))))}"


def _stages(names: Names) -> Iterator[str]:
    return (f"{title}: {_counts(names[name])}" for name, title in STAGES.items() if name in names)


def _counts(found: Counter[Status]) -> str:
    return ", ".join(f"{found[status]:,} {STATUS_WORDS[status]}" for status in STATUSES if found[status])


def _begun(results: Results) -> Iterator[str]:
    """What is still to record at each box or run that has a record."""
    places: dict[str, list[Result]] = {}
    for each in results.results:
        if each.due.stage:
            places.setdefault(each.due.subject, []).append(each)
    for place, here in places.items():
        missing = [each for each in here if each.status == "outstanding"]
        if missing and any(each.record is not None for each in here):
            yield f"{place}: {ids_of(missing)}"


def _holds(results: Results) -> Iterator[str]:
    """Each hold point that is not signed everywhere or not rightly, then those that are."""
    points: dict[str, list[Result]] = {}
    doubts: dict[str, list[DoubtedSignature]] = {}
    for doubt in doubted_signatures(results.results):
        if any(_doubted([doubt])):
            doubts.setdefault(doubt.signed.due.ids[0], []).append(doubt)
    for each in results.results:
        if each.due.hold:
            points.setdefault(each.due.ids[0], []).append(each)
    missing = {
        name: [each.due.subject for each in some if each.status not in SIGNED] for name, some in points.items()
    }  # fmt: skip
    for name, places in missing.items():
        if places or name in doubts:
            some = points[name]
            signed = [f"{len(some) - len(places)} of {len(some)} signed", *_doubted(doubts.get(name, ()))]
            if places:
                signed.append(f"not signed: {listed(places)}")
            yield f"{name} {some[0].due.title}: {', '.join(signed)}"
    if whole := [name for name, places in missing.items() if not places and name not in doubts]:
        yield f"signed everywhere: {listed(whole)}"


def _doubted(doubts: Iterable[DoubtedSignature]) -> Iterator[str]:
    """How many signatures of one hold say more than was recorded; who inspects their own work is named in a note."""
    some = tuple(doubts)
    for number, words in (
        (sum(bool(each.bad) for each in some), "over a bad reading"),
        (sum(bool(each.later) for each in some), "while a reading was good that was read again, not good"),
        (sum(bool(each.since) for each in some), "before a reading was recorded"),
        (sum(bool(each.missing) for each in some), "with values missing"),
    ):
        if number:
            yield f"{number} of them {words}"


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
