"""Answers to the questions that warnings put to somebody: each is laid to the findings that it closes.

A key is a code, or a code and a box or run after a space. Only a warning is answered; an error is mended.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from slackloop.site.models import Answer
from slackloop.site.raw_job import RawJob
from slackloop.source.codes import codes
from slackloop.source.finding import Answered, Finding, Placed
from slackloop.source.suggestions import did_you_mean, listed, nearest

UNANSWERABLE = frozenset(("answer-unknown", "answer-closes-nothing"))


def split_key(key: str) -> tuple[str, str]:
    """The code of a key, and the box or run after it, empty where there is none."""
    code, _, place = key.strip().partition(" ")
    return code, place.strip()


def answer_checks(raw: RawJob) -> list[Finding]:
    """An error for each answer whose code is none of those that a check of a job can give."""
    given = raw.map_at("answers")
    known = set(codes()) - UNANSWERABLE if given else set()
    found: list[Finding] = []
    for key in given:
        code, place = split_key(str(key))
        if code not in known:
            near = did_you_mean(code, known)
            hint = near.removesuffix("?") + f" {place}?" if near and place else near
            found.append(
                Finding(
                    "error",
                    "answer-unknown",
                    f"{code[:60]} is no code of a finding",
                    ("answers", key),
                    expected="the code of the warning, as cover-open, or as cover-open B14 for one box "
                    "or run",
                    hint=hint,
                )
            )
    return found


def with_answers(findings: Sequence[Placed], answers: Mapping[str, Answer]) -> tuple[list[Placed], list[Finding]]:
    """The findings with their answers, and a warning for each answer that closes nothing.

    An answer for one box or run goes before one for all. A finding that speaks of several is closed once each of
    them has an answer; until then its answers stand with it in ``part_answers``.
    """
    by_code: dict[str, dict[str, Answered]] = {}
    for key, given in answers.items():
        code, place = split_key(key)
        told = Answered(given.by, given.date.isoformat(), given.reference, given.answer)
        by_code.setdefault(code, {})[place] = told
    used: set[tuple[str, str]] = set()
    told_findings = [_answered(each, by_code.get(each.code, {}), used) for each in findings]
    left = [key for key in answers if split_key(key) not in used]
    return told_findings, [_closes_nothing(key, findings) for key in left]


def open_questions(findings: Iterable[Placed | Finding]) -> int:
    """How many warnings ask somebody and have no answer."""
    return sum(each.level == "warning" and bool(each.asks) and not _is_closed(each) for each in findings)


def _is_closed(finding: Placed | Finding) -> bool:
    return isinstance(finding, Placed) and finding.answer is not None


def _answered(finding: Placed, given: Mapping[str, Answered], used: set[tuple[str, str]]) -> Placed:
    if not given or finding.level != "warning" or finding.code in UNANSWERABLE:
        return finding
    places = finding.of or ((finding.box,) if finding.box else ())
    own = {place: given[place] for place in places if place in given}
    used.update((finding.code, place) for place in own)
    general = given.get("")
    if general is not None and (not places or len(own) < len(places)):
        used.add((finding.code, ""))
        return replace(finding, answer=general, part_answers=tuple(own.items()))
    if places and len(own) == len(places):
        first, *rest = own.items()
        return replace(finding, answer=first[1], part_answers=(first, *rest) if rest else ())
    return replace(finding, part_answers=tuple(own.items())) if own else finding


def _closes_nothing(key: str, findings: Sequence[Placed]) -> Finding:
    """Why an answer closes nothing: an error or a note has its code, another place has, or nothing has."""
    code, place = split_key(key)
    like = [each for each in findings if each.code == code]
    warned = [each for each in like if each.level == "warning"]
    named = list(dict.fromkeys(name for each in warned for name in (each.of or (each.box,)) if name))
    hint = ""
    if warned:
        where = f" at {listed(named)}" if named else ""
        message = f"the answer to {key[:90]} closes nothing: the warning {code} stands{where}"
        near = nearest(place, named)
        hint = f"did you mean {code} {near}?" if near else ""
    elif any(each.level == "error" for each in like):
        message = f"the answer to {key[:90]} closes nothing: {code} is an error here, and errors are corrected"
    elif like:
        message = f"the answer to {key[:90]} closes nothing: {code} is a note here, and a note asks nothing"
    else:
        message = f"the answer to {key[:90]} closes nothing: no finding has the code {code}"
    return Finding(
        "warning",
        "answer-closes-nothing",
        message,
        ("answers", key),
        expected="an answer to a warning of this job",
        hint=hint or "take the answer out, or name the code and the box of the warning that it closes",
    )
