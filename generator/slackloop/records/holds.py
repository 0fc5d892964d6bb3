"""Signatures that say more than was recorded: work is covered or joined because of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from slackloop.records.result import SIGN_CHECKS, Result
from slackloop.source.suggestions import listed

STAGES = tuple(each.removeprefix("sign-") for each in SIGN_CHECKS)
"""The stages of a box in the order of the work."""
BAD = "fail", "implausible"
MISSING = "outstanding", "void"
VALUES = "number", "text", "soil"


@dataclass(frozen=True, slots=True)
class DoubtedSignature:
    """A signature with what stands against it.

    A hold answers for the values of its stage and of those before it (one that is signed before the work of its stage
    for those before alone), the signature of a stage for all that is
    recorded in that stage. ``is_own`` is whether who signed the hold also wrote readings that it passes.
    """

    signed: Result
    bad: tuple[Result, ...] = ()
    missing: tuple[Result, ...] = ()
    is_own: bool = False

    @property
    def name(self) -> str:
        """Who signed."""
        return self.signed.record.value.strip() if self.signed.record else ""


def doubted_signatures(results: Iterable[Result]) -> Iterator[DoubtedSignature]:
    """Each signature at a box or run that something stands against."""
    places: dict[str, list[Result]] = {}
    for each in results:
        if each.due.stage:
            places.setdefault(each.due.subject, []).append(each)
    for here in places.values():
        for each in here:
            if each.due.kind == "sign" and each.status == "pass":
                found = _doubted(each, here)
                if found.bad or found.missing or found.is_own:
                    yield found


def _doubted(signed: Result, here: Iterable[Result]) -> DoubtedSignature:
    """What stands against one signature; a bad reading is told at the hold that lets work go on over it."""
    due = signed.due
    if not due.hold:
        missing = (each for each in here if each.due.stage == due.stage and each is not signed and _is_missing(each))
        return DoubtedSignature(signed, missing=tuple(missing))
    last = STAGES.index(due.stage) - due.first
    before = [each for each in here if each.due.kind in VALUES and STAGES.index(each.due.stage) <= last]
    name = _bare(signed.record.value) if signed.record else ""
    return DoubtedSignature(
        signed,
        tuple(each for each in before if each.due.kind == "number" and each.status in BAD),
        tuple(each for each in before if _is_missing(each)),
        any(each.due.kind == "number" and each.record and _bare(each.record.by) == name for each in before),
    )


def _is_missing(each: Result) -> bool:
    return each.status in MISSING and not each.due.optional


def _bare(name: str) -> str:
    """A name without its capitals and spaces."""
    return " ".join(name.split()).casefold()


def signed_notes(results: Iterable[Result]) -> Iterator[str]:
    """A sentence on each kind of doubt that names each signature with its place; nothing where there is none."""
    doubts = tuple(doubted_signatures(results))
    over = [f"{_at(each)} ({ids_of(each.bad)})" for each in doubts if each.bad]
    if over:
        yield f"Signed although a reading is not good: {listed(over)}."
    without = [f"{_at(each)} ({ids_of(each.missing)})" for each in doubts if each.missing]
    if without:
        yield f"Signed although not recorded: {listed(without)}."
    own = [f"{_at(each)} ({each.name})" for each in doubts if each.is_own]
    if own:
        yield f"Hold signed by the person who made the readings: {listed(own)}."


def _at(doubt: DoubtedSignature) -> str:
    return f"{doubt.signed.due.ids[0]} at {doubt.signed.due.subject}"


def ids_of(results: Iterable[Result]) -> str:
    """The checks of some results in one line."""
    return listed(each.due.ids[0] for each in results)
