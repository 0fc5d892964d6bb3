"""Why a job departs from its standard: each departure with its reason, and what is wrong with the reasons."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from slackloop.site.raw_job import text_of
from slackloop.site.schema_walk import type_at
from slackloop.site.standard import MERGED_KEYS, Departure
from slackloop.source.finding import At, Finding, path_text
from slackloop.source.suggestions import did_you_mean, listed


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
