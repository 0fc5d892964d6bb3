"""Answers to the questions that warnings put to somebody: each is laid to the findings that it closes.

A key is a code, or a code and a box or run after a space. Only a warning is answered; an error is mended.

Why a job departs from its standard: each departure with its reason, and what is wrong with the reasons.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from slackloop.site.models import Answer
from slackloop.site.raw_job import RawJob, text_of
from slackloop.site.schema import type_at
from slackloop.site.standard import MERGED_KEYS, Departure
from slackloop.source.codes import code_names
from slackloop.source.finding import Answered, At, Finding, Placed, path_text
from slackloop.source.suggestions import did_you_mean, listed, nearest

UNANSWERABLE = frozenset(("answer-unknown", "answer-closes-nothing"))


def split_key(key: str) -> tuple[str, str]:
    """The code of a key, and the box or run after it, empty where there is none."""
    code, _, place = key.strip().partition(" ")
    return code, place.strip()


def answer_checks(raw: RawJob) -> list[Finding]:
    """An error for each answer whose code is none of those that a check of a job can give."""
    given = raw.map_at("answers")
    known = code_names() - UNANSWERABLE if given else frozenset[str]()
    found: list[Finding] = []
    for key in given:
        code, place = split_key(str(key))
        if code not in known:
            near = did_you_mean(code, known)
            hint = near.removesuffix("?") + f" {place}?" if near and place else near
            found.append(
                Finding("error", "answer-unknown", f"{code[:60]} is no code of a finding", ("answers", key),
                        expected="the code of the warning, as cover-open, or as cover-open B14 for one box " "or run",
                        hint=hint)
            )  # fmt: skip
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


def explained(departures: Iterable[Departure], raw: object) -> tuple[tuple[Departure, ...], list[tuple[Finding, bool]]]:
    """The departures with the reasons of the job's ``departures`` map, and findings, each with whether of the key.

    A reason for a path covers everything under it; the longest path that fits wins.
    """
    written = raw.get("departures") if isinstance(raw, dict) else None
    given = written if isinstance(written, Mapping) else {}
    reasons = {str(key): text for key, value in given.items() if (text := text_of(value)) is not None}
    told = tuple(replace(each, reason=_reason(path_text(each.at), reasons)) for each in departures)
    paths = [path_text(each.at) for each in told]
    findings = [(_unexplained(each), False) for each in told if not each.reason]
    findings += [(_needless(key, paths), True) for key in reasons if not any(_covers(key, path) for path in paths)]
    return told, findings


def _covers(key: str, path: str) -> bool:
    """Whether a reason given for ``key`` is a reason for ``path``."""
    return path == key or path.startswith(f"{key}.")


def _reason(path: str, reasons: Mapping[str, str]) -> str:
    """The reason that fits a path best, or an empty text."""
    fitting = [key for key in reasons if _covers(key, path)]
    return reasons[max(fitting, key=len)] if fitting else ""


def _unexplained(departure: Departure) -> Finding:
    """A departure for which the job gives no reason."""
    path = path_text(departure.at)
    return Finding(
        "note",
        "departure-unexplained",
        f"{path}: the job says {_short(departure.job_text)}, the standard {_short(departure.standard_text)}, "
        "and no reason is given",
        departure.at,
        hint=f"say why at the top of the job file, as  departures: {{{path}: because …}}",
    )


def _needless(key: str, paths: list[str]) -> Finding:
    """A reason for a key in which nothing departs: a slip where the key is none, else a reason left over."""
    at: At = ("departures", key)
    expected = f"one of {listed(paths)}" if paths else "nothing: this job does not depart from a standard"
    if key.split(".")[0] in MERGED_KEYS and type_at(tuple(key.split("."))) is not None:
        message = f"the job does not depart from a standard in {key}"
        return Finding("warning", "departure-none", message, at, expected=expected)
    hint = did_you_mean(key, paths)
    return Finding(
        "error", "departure-unknown", f"{key} is no key of the job format", at, expected=expected, hint=hint
    )


def _short(text: str) -> str:
    """A value cut to what fits in a message."""
    return text if len(text) <= 80 else f"{text[:79]}…"
