"""Every check that looks at more than one key, run on the plain values so that one slip hides no other."""

from __future__ import annotations

from collections.abc import Collection

from slackloop.site.answers import answer_checks
from slackloop.site.look_alike_checks import look_alike_checks
from slackloop.site.name_checks import name_checks
from slackloop.site.path_checks import path_checks
from slackloop.site.raw_job import RawJob
from slackloop.site.supply_checks import supply_checks
from slackloop.site.value_checks import value_checks
from slackloop.source.finding import Finding


def cross_checks(
    raw: RawJob, soils: Collection[str] | None, code_bases: Collection[str] | None
) -> list[tuple[Finding, bool]]:
    """All findings, each with whether it points at the key rather than at the value."""
    found = [(finding, False) for finding in path_checks(raw)]
    found += name_checks(raw, soils, code_bases)
    found += look_alike_checks(raw)
    found += [(finding, False) for finding in (*value_checks(raw), *supply_checks(raw))]
    found += [(finding, True) for finding in answer_checks(raw)]
    return [pair for pair in found if not _under_refused(raw, pair[0])]


def _under_refused(raw: RawJob, finding: Finding) -> bool:
    """Whether the value was refused already when the file was read."""
    at = finding.at
    return bool(raw.refused) and any(at[:length] in raw.refused for length in range(1, len(at) + 1))
