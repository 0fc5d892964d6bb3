"""A job with what was recorded of it: how it stands, and the path as it was built."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from slackloop.compute.computed_job import Verdict
from slackloop.document.recorded import Recorded, counted, told_counts
from slackloop.document.worked import Worked
from slackloop.pipeline.job_context import context_of
from slackloop.pipeline.judged_records import judged_records
from slackloop.records.as_built import as_built_of
from slackloop.sections.format import listing
from slackloop.source.finding import Placed, place_finding


def with_records(worked: Worked, paths: Sequence[Path]) -> Worked:
    """The job with the results of these files; raises ``NothingRead`` where there is no good row in any of them."""
    results = judged_records(worked, context_of(worked), paths)
    built = as_built_of(worked.job, worked.analysis, results, worked.tables)
    return replace(worked, recorded=Recorded(results, built))


def built_findings(worked: Worked) -> tuple[Placed, ...]:
    """What the check of the path as built finds, each at the place of the job file that states what was planned."""
    if worked.recorded is None:
        return ()
    placed = []
    for each in worked.recorded.as_built.findings:
        place = worked.reading.places.locate(each.at)
        placed.append(place_finding(each, place.file, place.line, place.column, place.excerpt))
    return tuple(placed)


def verdict_of(worked: Worked) -> Verdict:
    """``fail`` where the job fails its check, as planned or as built."""
    if worked.recorded is not None and worked.recorded.as_built.verdict == "fail":
        return "fail"
    return worked.analysis.verdict


def recorded_lines(worked: Worked) -> tuple[str, ...]:
    """What a person is told of the records: rows and values that are not used, notes on files, and how results stand.
    """
    recorded = worked.recorded
    if recorded is None:
        return ()
    results = recorded.results
    return (
        *(f"{each.file}, row {each.row}: {each.message}" for each in results.refused),
        *(
            f"{record.file}, row {record.row}: {record.subject} {record.check} is not used: {each.why}"
            for each in recorded.as_built.not_taken for record in (each.record,)
        ),
        *results.notes,
        f"results: {listing(list(told_counts(counted(recorded.needed)))) or 'none'}; {recorded.statement}",
    )  # fmt: skip
