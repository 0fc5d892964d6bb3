"""A job read and computed together with the firm's own content beside it: mistakes there are findings too.

The standing content is held to the same rules by the tests, so a job without content of its own costs nothing here.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from slackloop.document.worked import Refused, Worked, content_folders, work
from slackloop.language.messages import ENGLISH
from slackloop.reference.tables import ReferenceTables
from slackloop.source.finding import Placed


def work_with_content(path: Path) -> Worked:
    """As ``worked.work``, with the findings of the firm's own content; raises Refused where one is an error."""
    worked = work(path)
    found = (*own_content_findings(path, worked.tables, worked), *translation_findings(worked))
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
    from slackloop.document.context import Context
    from slackloop.document.known import known
    from slackloop.document.typed_values import typed_values
    from slackloop.sections.checker import check_content
    from slackloop.sections.content import read_content
    from slackloop.sections.fault_cover import late_faults

    folder = own[0]
    content = read_content(standing, folder)
    found = list(check_content(content, known(tables)))
    if worked is not None and not any(finding.level == "error" for finding in found):
        context = Context(worked.job, worked.analysis, worked.tables, content, worked.reading)
        found += content.told(typed_values(context, tuple(each for each in content.sections if not each.ours)))
        late = content.told(late_faults(context.sections, content.words))
        yield from (_named(finding, folder, path.parent / "content") for finding in late)
    for finding in found:
        if finding.level == "error" or os.path.lexists(folder / finding.file):
            yield _named(finding, folder, path.parent / "content")


def translation_findings(worked: Worked) -> Iterator[Placed]:
    """What the crew of a job would read in English for want of a translation; nothing for a job in English alone."""
    others = [each for each in worked.job.languages if each != ENGLISH]
    if not others:
        return
    from slackloop.sections.content import read_content
    from slackloop.sections.translated import translated_content

    *own, standing = content_folders(worked.path)
    firm = own[0] if own and own[0].is_dir() else None
    content = read_content(standing, firm)
    for language in others:
        for finding in content.told(translated_content(content, standing, firm, language).findings):
            yield _named(finding, firm or standing, worked.path.parent / "content")


def _named(finding: Placed, folder: Path, shown: Path) -> Placed:
    """The finding by its file's path; a file of the standing content, broken by what the firm took out, by its name."""
    own = os.path.lexists(folder / finding.file)
    return replace(finding, file=(shown / finding.file).as_posix() if own else f"standing content {finding.file}")
