"""Words of the job that must be rows of the reference tables."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from slackloop.compute.conductor import listed
from slackloop.job.finding import At, Finding
from slackloop.job.models import Job
from slackloop.reference.tables import ReferenceTables


def lookup_findings(job: Job, tables: ReferenceTables) -> tuple[Finding, ...]:
    """Errors for an unknown soil or code basis, a warning for a conductor that no table lists.

    After an error nothing can be computed: the job is refused.
    """
    findings: list[Finding] = []
    if tables.soils.find(job.conditions.soil) is None:
        findings.append(_unknown("soil", job.conditions.soil, tables.soils.names(), ("conditions", "soil")))
    if job.job.code_basis not in tables.code_bases:
        findings.append(_unknown("code basis", job.job.code_basis, tables.code_bases, ("job", "code_basis")))
    for name, cable in job.cables.items():
        if not listed(cable.conductor, tables):
            findings.append(
                Finding("warning", "conductor-not-listed",
                        f"{name}: {cable.conductor.label} is not a row of IEC 60228; its resistance is taken from its "
                        "area with the largest allowance of that table.", at=("cables", name, "conductor"),
                        expected="a size of IEC 60228, or AWG")
            )  # fmt: skip
    return tuple(findings)


def _unknown(what: str, word: str, known: Iterable[str], at: At) -> Finding:
    names = list(known)
    near = difflib.get_close_matches(word, names, n=1)
    return Finding(
        level="error",
        code=f"{what.replace(' ', '-')}-unknown",
        message=f"{word} is not a known {what}.",
        at=at,
        expected=f"one of {', '.join(names)}",
        hint=f"write {near[0]}" if near else "",
    )
