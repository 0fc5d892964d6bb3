"""A job read and computed together with the firm's own content beside it: mistakes there are findings too.

The standing content is held to the same rules by the tests, so a job without content of its own costs nothing here.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from slackloop.handbook.content_finding import ContentFinding
from slackloop.handbook.fingerprint import LARGEST_FILE_BYTES
from slackloop.handbook.worked import Refused, Worked, content_folders, work
from slackloop.job.finding import Finding, Placed, place_finding
from slackloop.reference.tables import ReferenceTables


def work_with_content(path: Path) -> Worked:
    """As ``worked.work``, with the findings of the firm's own content; raises Refused where one is an error."""
    worked = work(path)
    found = tuple(own_content_findings(path, worked.tables, worked))
    if any(finding.level == "error" for finding in found):
        raise Refused((*found, *worked.findings))
    return replace(worked, findings=(*worked.findings, *found)) if found else worked


def own_content_findings(path: Path, tables: ReferenceTables, worked: Worked | None = None) -> Iterator[Placed]:
    """Findings in the files of the content folder beside a job or a standard; nothing where there is none.

    With ``worked``, values of that job typed in the firm's sections are found too.
    """
    *own, standing = content_folders(path)
    if not own or not own[0].is_dir():
        return
    # The checker knows every table and drawing, which takes a while to import; most jobs have no content of their own.
    from slackloop.handbook.book import known
    from slackloop.handbook.checker import check_content
    from slackloop.handbook.content import read_content
    from slackloop.handbook.context import Context
    from slackloop.handbook.typed_values import typed_values

    folder = own[0]
    content = read_content(standing, folder)
    found = list(check_content(content, known(tables)))
    if worked is not None and not any(finding.level == "error" for finding in found):
        context = Context(worked.job, worked.analysis, worked.tables, content, worked.reading)
        found += typed_values(context, tuple(each for each in content.sections if not each.ours))
    for finding in found:
        if finding.level == "error" or os.path.lexists(folder / finding.file):
            yield _placed(finding, folder, path.parent / "content")


def _placed(finding: ContentFinding, folder: Path, shown: Path) -> Placed:
    """A content finding at its line; a file of the standing content, broken by what the firm took out, by its name."""
    path = folder / finding.file
    name = (shown / finding.file).as_posix() if os.path.lexists(path) else f"standing content {finding.file}"
    excerpt = ""
    if path.is_file() and path.stat().st_size <= LARGEST_FILE_BYTES:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
        excerpt = lines[finding.line - 1] if 0 < finding.line <= len(lines) else ""
    return place_finding(Finding(finding.level, finding.code, finding.message), name, finding.line, 1, excerpt)
