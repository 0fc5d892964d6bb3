"""Hold points that are signed although a reading before them is not good: the work that they hold is then covered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from slackloop.records.result import SIGN_CHECKS, Result
from slackloop.source.suggestions import listed

STAGES = tuple(each.removeprefix("sign-") for each in SIGN_CHECKS)
"""The stages of a box in the order of the work."""


def signed_notes(results: Iterable[Result]) -> Iterator[str]:
    """One sentence that names each such hold with its place and the readings; nothing where there is none."""
    signed: list[Result] = []
    bad: dict[str, list[Result]] = {}
    for each in results:
        if each.due.hold and each.status == "pass" and each.due.stage:
            signed.append(each)
        elif each.due.kind == "number" and each.due.stage and each.status in ("fail", "implausible"):
            bad.setdefault(each.due.subject, []).append(each)
    told = []
    for hold in signed:
        before = [
            each.due.ids[0] for each in bad.get(hold.due.subject, ())
            if STAGES.index(each.due.stage) <= STAGES.index(hold.due.stage)
        ]  # fmt: skip
        if before:
            told.append(f"{hold.due.ids[0]} at {hold.due.subject} ({', '.join(before)})")
    if told:
        yield f"Signed although a reading is not good: {listed(told)}."
