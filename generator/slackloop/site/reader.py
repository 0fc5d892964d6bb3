"""Read a job file: one call gives the job, or every finding with its place."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from pydantic import ValidationError

from slackloop.site.answers import answer_checks, explained
from slackloop.site.assumptions import Assumption, take_assumptions
from slackloop.site.lost_text_findings import lost_text_findings
from slackloop.site.models import Job
from slackloop.site.name_checks import look_alike_checks, name_checks
from slackloop.site.path_checks import path_checks
from slackloop.site.raw_job import BOXES, RawJob, text_of
from slackloop.site.repeats import write_out
from slackloop.site.schema import schema_findings
from slackloop.site.standard import MERGED_KEYS, Departure, merge_standard
from slackloop.site.value_checks import value_checks
from slackloop.source.finding import At, Finding, Placed
from slackloop.source.source_file import read_source
from slackloop.source.source_map import Places, plain
from slackloop.source.suggestions import listed
from slackloop.source.yaml_tree import MOST_FINDINGS, read_tree_of


@dataclass(frozen=True)
class Reading:
    """What reading a job file gave; ``job`` is nothing where a finding is an error.

    ``fingerprint_source`` is the job's meaning as canonical JSON (UTF-8): the standard merged in, every box
    written out, keys sorted, remarks and layout gone, and without the path of the standard.
    """

    job: Job | None
    findings: tuple[Placed, ...]
    places: Places
    departures: tuple[Departure, ...]
    assumptions: tuple[Assumption, ...] = ()

    @cached_property
    def fingerprint_source(self) -> bytes:
        """See above; nothing of a job that is refused."""
        return fingerprint_source(self.job, self.assumptions) if self.job is not None else b""


def read_job(path: Path, *, soils: Collection[str] | None = None, code_bases: Collection[str] | None = None) -> Reading:
    """Read one job file and the standard that it names.

    ``soils`` and ``code_bases`` are the names that the tables know; without them those names are not checked. Never
    raises for what a file holds: whatever is wrong comes back as findings, errors first in reading order.
    """
    name = path.as_posix()
    source, failures = read_source(path, name)
    if source is None:
        return Reading(None, failures, Places(None, name), ())
    tree = read_tree_of(source)
    if tree.root is None:
        return Reading(None, _in_order(tree.findings, name), Places(None, name), ())
    merged = merge_standard(tree.root, path, Places(tree.root, name))
    written = write_out(merged.root, name)
    places = Places(written.root, name)
    taken = take_assumptions(written.root, places)
    raw = plain(written.root)
    refused = {now for at in tree.refused | merged.refused for now in written.moved(at)}
    refused |= written.refused | taken.refused
    findings = [*tree.findings, *merged.findings, *written.findings, *taken.findings]
    for lost, at in lost_text_findings([*tree.lost, *merged.lost]):
        findings.append(lost)
        refused |= set(written.moved(at)) if lost.level == "error" else set()
    job: Job | None = None
    try:
        job = Job.model_validate(raw)
    except ValidationError as error:
        findings += schema_findings(error, places, refused)
    raw_job = RawJob(raw, places, refused, name)
    checks = _cross_checks(raw_job, soils, code_bases)
    findings += [places.place(finding, of_key) for finding, of_key in checks]
    if taken.assumptions and text_of(raw_job.get("document", "status")) == "for construction":
        findings.append(places.place(_unsure(taken.assumptions)))
    departures, found = explained(merged.departures, raw)
    findings += [places.place(finding, of_key) for finding, of_key in found]
    ordered = _in_order(findings, name)
    if any(finding.level == "error" for finding in ordered):
        job = None
    return Reading(job, ordered, places, departures, tuple(taken.assumptions))


def _cross_checks(
    raw: RawJob, soils: Collection[str] | None, code_bases: Collection[str] | None
) -> list[tuple[Finding, bool]]:
    """All findings that look at more than one key, each with whether it points at the key rather than at the value."""
    found = [(finding, False) for finding in path_checks(raw)]
    found += name_checks(raw, soils, code_bases)
    found += look_alike_checks(raw)
    found += [(finding, False) for finding in value_checks(raw)]
    found += [(finding, True) for finding in answer_checks(raw)]
    return [pair for pair in found if not _under_refused(raw, pair[0])]


def _under_refused(raw: RawJob, finding: Finding) -> bool:
    """Whether the value was refused already when the file was read."""
    at = finding.at
    return bool(raw.refused) and any(at[:length] in raw.refused for length in range(1, len(at) + 1))


def fingerprint_source(job: Job, assumptions: Sequence[Assumption] = ()) -> bytes:
    """The job's meaning as canonical JSON, the same bytes on any machine; with the facts that are not sure."""
    meaning = job.model_dump(mode="json", by_alias=True, exclude={"standard": True, "path": {"each": True}})
    if job.languages == ("en",):  # a job in English alone is the same as before there was a choice
        del meaning["languages"], meaning["translation"]
    if assumptions:
        meaning["assumptions"] = {each.key: each.kind for each in assumptions}
    return json.dumps(meaning, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def _unsure(assumptions: Sequence[Assumption]) -> Finding:
    """The warning that a job for construction rests on facts that nobody is sure of."""
    count = len(assumptions)
    unknown = sum(each.kind == "unknown" for each in assumptions)
    keys = listed([each.key for each in assumptions], 6)
    return Finding(
        "warning",
        "assumptions-open",
        f"the status is for construction, and {count} {'fact is' if count == 1 else 'facts are'} assumed or not known "
        f"({count - unknown} assumed, {unknown} not known): {keys}",
        ("document", "status"),
        expected="status: draft, or each of these facts confirmed",
        hint="take the word assumed away where a fact is confirmed, and put a value for unknown",
        asks="the designer",
    )


def _once_a_chain(findings: Iterable[Placed]) -> list[Placed]:
    """Findings with what is wrong with a chain told for its first box alone: all its boxes share one place."""
    told: dict[tuple[str, str, int, int], At] = {}
    kept = []
    for each in findings:
        if each.at[:2] == BOXES and len(each.at) > 2:
            first = told.setdefault((each.code, each.file, each.line, each.column), each.at)
            if first[2] != each.at[2]:
                continue
        kept.append(each)
    return kept


def _in_order(findings: list[Placed], name: str) -> tuple[Placed, ...]:
    """Findings in the order of the file, each once; beyond the most that are kept, errors stay before warnings."""
    unique = _once_a_chain(dict.fromkeys(findings))
    if len(unique) >= MOST_FINDINGS:
        unique.sort(key=lambda f: (f.level != "error", f.file != name, f.line, f.column))
        unique = unique[: MOST_FINDINGS - 1]
        last = max(unique, key=lambda f: (f.file == name, f.line, f.column))
        message = f"only {len(unique)} findings are shown; correct these first"
        unique.append(replace(last, level="note", code="findings-left-out", message=message, expected="", hint=""))
    return tuple(sorted(unique, key=lambda f: (f.file != name, f.file, f.line, f.column, f.code)))


JOB_ONLY_KEYS = ("job", "document", "path", "standard", "departures", "answers")
"""Keys that only a job states; a file with none of them and with a key that a standard states is a standard."""
_JOB_LINE = re.compile(rf"^[\"']?(?:{'|'.join(JOB_ONLY_KEYS)})[\"']?[ \t]*:", re.MULTILINE)


def is_standard(path: Path) -> bool:
    """Whether a file is a standing standard: it states nothing that only a job states, and a part of a standard."""
    source, _ = read_source(path, path.as_posix())
    if source is None or _JOB_LINE.search(source.text):
        return False
    root = read_tree_of(source).root
    keys = set(root.entries) if root is not None else set()
    return keys.isdisjoint(JOB_ONLY_KEYS) and not keys.isdisjoint(MERGED_KEYS)
