"""Signatures that say more than was recorded: work is covered or joined because of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from slackloop.records.result import SIGN_CHECKS, Record, Result, Status
from slackloop.source.suggestions import listed
from slackloop.units.figure import written

STAGES = tuple(each.removeprefix("sign-") for each in SIGN_CHECKS)
"""The stages of a box in the order of the work."""
BAD = "fail", "implausible"
MISSING = "outstanding", "void"
VALUES = "number", "text", "soil"
READ = "number", "text", "tick"
"""What is read once for a signature; the soil is read anew on each day that a loop is."""
SIGNED = "pass", "fail"
"""How a name stands that is written: a hold of a box fails where it was signed over a bad reading."""
SIGN_AGAIN = "Stop. Repair what it was signed over and record it again. Then have the hold signed again."
SIGN_AFTER = "Stop. Show the new readings to the person who signs the hold, and have it signed again."
MOST_NAMED = 3
"""Checks that show that the work went on."""
MINUTE_S = 60
"""Times in one minute count as one: a form of paper has no seconds."""
WHOLE = "path", "record"
"""What a hold of the job may answer for."""


@dataclass(frozen=True, slots=True)
class DoubtedSignature:
    """A signature with what stands against it.

    A hold of a box answers for the values of its stage and of those before it, unless its check says that it answers
    for nothing; a hold of the job for the whole path or the whole record, where its check says so. The signature of a
    stage answers for all that is recorded in that stage, but for what is made later and signed for by itself. ``later``
    are readings that were good when it was signed and were read again, not good; ``since`` are good ones that were
    first read, or read to another value, after it was signed. ``is_own`` is whether who signed the hold also wrote
    readings that it passes.
    """

    signed: Result
    bad: tuple[Result, ...] = ()
    missing: tuple[Result, ...] = ()
    later: tuple[Result, ...] = ()
    since: tuple[Result, ...] = ()
    is_own: bool = False

    @property
    def is_any(self) -> bool:
        """Whether anything stands against it."""
        return bool(self.bad or self.missing or self.later or self.since or self.is_own)

    @property
    def name(self) -> str:
        """Who signed."""
        return self.signed.record.value.strip() if self.signed.record else ""

    def against(self) -> Iterator[tuple[str, tuple[Result, ...]]]:
        """What stands against it, each kind with its words."""
        yield "signed although not good", self.bad
        yield "good when signed, not good now", self.later
        yield "signed before it was recorded", self.since
        yield "signed although not recorded", self.missing

    def read_when_signed(self, result: Result) -> str:
        """The reading that stood when it was signed."""
        record, _ = _stood(result, self.signed)
        return f"{record.value} {written(record.unit)}".strip() if record else ""


def doubted_signatures(results: Iterable[Result]) -> Iterator[DoubtedSignature]:
    """Each signature at a box or run, or of the job, that something stands against."""
    every = tuple(results)
    places: dict[str, list[Result]] = {}
    for each in every:
        if each.due.stage:
            places.setdefault(each.due.subject, []).append(each)
        elif each.due.answers in WHOLE and each.status == "pass":
            found = _of_job(each, every)
            if found.is_any:
                yield found
    for here in places.values():
        for each in here:
            if each.due.kind == "sign" and each.status in SIGNED:
                found = _doubted(each, here)
                if found.is_any:
                    yield found


def _doubted(signed: Result, here: Iterable[Result]) -> DoubtedSignature:
    """What stands against one signature; a bad reading is told at the hold that lets work go on over it."""
    due = signed.due
    if due.answers == "nothing" or due.later:
        return DoubtedSignature(signed)
    if not due.hold:
        same = [each for each in here if each.due.stage == due.stage and not each.due.later and each is not signed]
        if due.stage != STAGES[0]:  # leave to cross comes before its row; the other holds are signed after theirs
            same = [each for each in same if not each.due.hold]
        missing = tuple(each for each in same if _is_missing(each))
        return DoubtedSignature(signed, missing=missing, since=_since(signed, same))
    last = STAGES.index(due.stage)
    before = [each for each in here if each.due.kind in VALUES and STAGES.index(each.due.stage) <= last]
    name = bare(signed.record.value) if signed.record else ""
    bad, later = _bad(signed, (each for each in before if each.due.kind == "number"))
    return DoubtedSignature(
        signed, bad, tuple(each for each in before if _is_missing(each)), later, _since(signed, before),
        any(each.due.kind == "number" and each.record and bare(each.record.by) == name for each in before),
    )  # fmt: skip


def _of_job(signed: Result, every: Iterable[Result]) -> DoubtedSignature:
    """What stands against a hold of the job; what its own section asks for besides comes after it.

    The record answers for everything, the path for what is made at boxes and runs before they are closed.
    """
    due = signed.due
    is_path = due.answers == "path"
    bad: list[Result] = []
    missing: list[Result] = []
    good: list[Result] = []
    for each in every:
        if each.due.section == due.section or (is_path and not each.due.stage):
            continue
        if each.status == "pass" and not (is_path and each.due.stage == STAGES[-1]):
            good.append(each)
        if each.status in BAD and each.to_do != SIGN_AFTER:  # the readings themselves are told
            bad.append(each)
        elif _is_missing(each) and not (is_path and each.due.stage == STAGES[-1]):
            missing.append(each)
    now, later = _bad(signed, bad)
    return DoubtedSignature(signed, now, tuple(missing), later, _since(signed, good))


def _bad(signed: Result, results: Iterable[Result]) -> tuple[tuple[Result, ...], tuple[Result, ...]]:
    """The results that are not good or were not when it was signed, then those that were good then and are not now.

    Over what was repaired since, it is signed again.
    """
    bad: list[Result] = []
    later: list[Result] = []
    for each in results:
        _, stood = _stood(each, signed)
        if stood in BAD or (each.status in BAD and stood != "pass"):
            bad.append(each)
        elif each.status in BAD:
            later.append(each)
    return tuple(bad), tuple(later)


def _since(signed: Result, results: Iterable[Result]) -> tuple[Result, ...]:
    """The good readings that who signed has not seen: recorded in a later minute, and not the value that was there."""
    found: list[Result] = []
    for each in results:
        is_read = each.due.kind in READ and each.status == "pass" and not each.due.optional
        if is_read and each.record is not None and _is_after(each, signed):
            before, _ = _stood(each, signed)
            if before is None or (before.value, before.unit) != (each.record.value, each.record.unit):
                found.append(each)
    return tuple(found)


def _is_after(reading: Result, signed: Result) -> bool:
    """Whether a reading was recorded in a minute after the one in which something was signed."""
    if reading.record is None or signed.record is None:
        return False
    return reading.record.when.timestamp() // MINUTE_S > signed.record.when.timestamp() // MINUTE_S


def _stood(result: Result, signed: Result) -> tuple[Record | None, Status]:
    """The last record that was there when something was signed, and how it stood."""
    if signed.record is None or result.record is None or result.record.when <= signed.record.when:
        return result.record, result.status
    stood: tuple[Record | None, Status] = (None, "outstanding")
    for record, status in zip(result.earlier, result.stood, strict=True):
        if record.when <= signed.record.when:
            stood = record, status
    return stood


def signed_over(results: Iterable[Result]) -> Iterator[tuple[Result, Result]]:
    """Each hold of a box or run that was signed over bad readings, or before the readings that count were recorded.

    As it stood by itself, and as the failure it is.
    """
    for doubt in doubted_signatures(results):
        if not doubt.signed.due.stage or not doubt.signed.due.hold:
            continue
        if doubt.bad:
            read = ((each.due.ids[0], doubt.read_when_signed(each)) for each in doubt.bad)
            why = f"signed over {listed(f'{check} ({value})' if value else check for check, value in read)}"
            yield doubt.signed, replace(doubt.signed, status="fail", why=why, to_do=SIGN_AGAIN)
        elif after := (*doubt.later, *doubt.since):
            why = f"signed before these were recorded: {listed(map(_read, after))}"
            yield doubt.signed, replace(doubt.signed, status="fail", why=why, to_do=SIGN_AFTER)


def _read(each: Result) -> str:
    """The reading that counts, with its check."""
    value = f"{each.record.value} {written(each.record.unit or each.due.unit)}".strip() if each.record else ""
    return f"{each.due.ids[0]} ({value})"


def _is_missing(each: Result) -> bool:
    return each.status in MISSING and not each.due.optional


def bare(name: str) -> str:
    """A name without its capitals and spaces."""
    return " ".join(name.split()).casefold()


def passed_holds(results: Iterable[Result]) -> Iterator[tuple[Result, tuple[Result, ...]]]:
    """Each hold of a box or run that nobody has signed although a later stage is signed there or the pair read again.

    With that; other values of a later stage may be read before it.
    """
    places: dict[str, list[Result]] = {}
    for each in results:
        if each.due.stage:
            places.setdefault(each.due.subject, []).append(each)
    for here in places.values():
        for hold in here:
            if hold.due.hold and hold.status == "outstanding":
                last = STAGES.index(hold.due.stage)
                after = (each for each in here if each.record and STAGES.index(each.due.stage) > last)
                if on := tuple(each for each in after if each.due.kind == "sign" or each.due.near):
                    yield hold, on


def signed_notes(results: Iterable[Result]) -> Iterator[str]:
    """A sentence on each kind of doubt that names each signature with its place; nothing where there is none."""
    results = tuple(results)
    doubts = tuple(doubted_signatures(results))
    if passed := tuple(passed_holds(results)):
        told = [f"{hold.due.ids[0]} at {hold.due.subject} ({ids_of(on[:MOST_NAMED])})" for hold, on in passed]
        titles = _titles(hold for hold, _ in passed)
        yield f"Work went on past a hold that nobody signed: {listed(told)}.{titles}"
    for words, against in (
        ("Signed although a reading is not good", [(each, each.bad) for each in doubts]),
        ("Signed while the reading was good; read again later, not good", [(each, each.later) for each in doubts]),
        ("Signed before the reading that counts was recorded", [(each, each.since) for each in doubts]),
        ("Signed although not recorded", [(each, each.missing) for each in doubts]),
    ):
        told = [f"{_at(each)} ({_named(each, some)})" for each, some in against if some]
        if told:
            of_boxes = (one for each, some in against if each.signed.due.stage for one in some)
            yield f"{words}: {listed(told)}.{_titles(of_boxes)}"
    own = [f"{_at(each)} ({each.name})" for each in doubts if each.is_own]
    if own:
        yield f"Hold signed by the person who made the readings: {listed(own)}."


def _at(doubt: DoubtedSignature) -> str:
    due = doubt.signed.due
    return f"{due.ids[0]} at {due.subject}" if due.stage else due.ids[0]


def _titles(results: Iterable[Result]) -> str:
    """What some checks are called, each once."""
    titles = {each.due.ids[0]: each.due.title for each in results if not each.due.ids[0].startswith("sign-")}
    return f" {listed(f'{check} is “{title}”' for check, title in titles.items())}." if titles else ""


def _named(doubt: DoubtedSignature, results: Iterable[Result]) -> str:
    """The checks of a box or run; the places of what stands against a hold of the job."""
    if doubt.signed.due.stage:
        return ids_of(results)
    return listed(places_of(results))


def places_of(results: Iterable[Result]) -> list[str]:
    """The subjects of some results, each once."""
    return list(dict.fromkeys(each.due.subject for each in results))


def ids_of(results: Iterable[Result]) -> str:
    """The checks of some results in one line."""
    return listed(each.due.ids[0] for each in results)
