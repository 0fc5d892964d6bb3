"""``slackloop check``: read and compute a job, or read a firm's standard, and list what is found.

With ``--explain``: what a code means, what to do, and a sample in which it is found.
"""

from __future__ import annotations

import argparse
import gc
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.screen import closing_line, print_findings, wants_colour
from slackloop.document.worked import Refused, work_with_content
from slackloop.render.json.check_record import check_record, refused_record, summary_text
from slackloop.site.reader import is_standard
from slackloop.source.codes import JOB, LINES, Code, codes, shown_lines
from slackloop.source.finding import Placed, harmless, place_finding, render_one
from slackloop.source.suggestions import did_you_mean

Answer = tuple[int, Iterable[Placed], Callable[[], dict[str, Any]], Callable[[], str]]
"""Exit status, findings, and what makes the record and the summary."""


def run(asked: argparse.Namespace) -> int:
    """Print findings and verdict; with ``--json`` one object and nothing else, with ``--explain`` what a code means."""
    if asked.explain is not None:
        return _explain(asked.explain)
    with uncollected():
        return _check(asked)


def _check(asked: argparse.Namespace) -> int:
    try:
        status, findings, record, summary = _standard(asked.job) if is_standard(asked.job) else _job(asked.job)
    except Refused as refused:
        if asked.json:
            _print_json(refused_record(refused.findings))
        else:
            print_findings(refused.findings, sys.stdout, wants_colour(sys.stdout))
            print(closing_line(refused))
        return REFUSED
    if asked.json:
        _print_json(record())
    else:
        print_findings(findings, sys.stdout, wants_colour(sys.stdout))
        print(summary())
    return status


def _print_json(record: dict[str, Any]) -> None:
    from slackloop.render.json.json_text import json_text

    print(json_text(record, sys.stdout.encoding))


def _explain(code: str) -> int:
    """Print what a code means; one that is none is refused with the nearest."""
    if wrong := unknown_code(code):
        print(f"slackloop: {wrong}", file=sys.stderr)
        return REFUSED
    print(explanation(code, wants_colour(sys.stdout)))
    return GOOD


def _job(path: Path) -> Answer:
    """The answer for a job."""
    worked = work_with_content(path)
    status = GOOD if worked.analysis.verdict == "pass" else FINDINGS
    return status, worked.findings, lambda: check_record(worked), lambda: summary_text(worked)


@contextmanager
def uncollected() -> Iterator[None]:
    """No search for values in circles: a job leaves none, and looking through its values takes a seventh of a check.

    It goes on until the job is given up, or all of it would be looked through once after all.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _standard(path: Path) -> Answer:
    """The answer for a standard: it is read, and nothing is computed."""
    from slackloop.document.standard_book import work_standard
    from slackloop.pipeline.standard_folder import standard_record, standard_summary

    worked = work_standard(path)
    return GOOD, worked.findings, lambda: standard_record(worked), lambda: standard_summary(worked)


def unknown_code(name: str) -> str:
    """What is wrong with a code that is none, with the nearest one; an empty text for a code."""
    if name in codes():
        return ""
    near = did_you_mean(name, codes())
    return f"no finding has the code {harmless(name[:60])}{'; ' if near else ''}{near}"


def explanation(name: str, colour: bool) -> str:
    """Everything about a code, for a terminal."""
    code = codes()[name]
    lines = [f"{code.code} ({' or '.join(code.levels)})", "", code.means]
    if code.spoils:
        lines.append(f"Do not build from these tables while a job has this error: {', '.join(code.spoils)}.")
    if code.before:
        lines.append(f"The question that it puts is answered before {code.before}.")
    shown = "A sample of a survey:" if code.kind == "survey" else "A sample, as changes of a small good job:"
    lines += ["", f"What to do: {code.mend}", "", shown, ""]
    lines += [f"  {harmless(line)}".rstrip() for line in shown_lines(code.sample)]
    with tempfile.TemporaryDirectory() as folder:
        found = [each for each in sample_findings(code, Path(folder)) if each.code == name]
    return "\n".join([*lines, "", "What is found there:", "", *(render_one(each, colour) for each in found[:1])])


def sample_findings(code: Code, folder: Path) -> tuple[Placed, ...]:
    """Everything that is found in the sample of a code, written into an empty folder; files by their names in it.

    A code that no check gives is looked for in making the pages.
    """
    from slackloop.commands.survey import found_in

    path = code.sample.lay(folder)
    found = found_in(path, folder / LINES) if code.kind == "survey" else _found(path)
    if code.kind == "build":
        found = _print(folder / JOB)
    elif code.kind != "survey" and all(each.code != code.code for each in found):
        found = _make_pages(folder / JOB)
    return tuple(_without(each, folder) for each in found)


def _found(path: Path) -> tuple[Placed, ...]:
    """What a check of a file finds."""
    from slackloop.document.standard_book import work_standard

    try:
        return (work_standard(path) if is_standard(path) else work_with_content(path)).findings
    except Refused as refused:
        return refused.findings


def _make_pages(path: Path) -> tuple[Placed, ...]:
    """What stops the pages of a job from being made."""
    from slackloop.pipeline.standard_folder import preview
    from slackloop.render.html.plugin import NotMade

    try:
        preview(path)
    except NotMade as stopped:
        return tuple(each for each in stopped.findings if isinstance(each, Placed))
    return ()


def _print(path: Path) -> tuple[Placed, ...]:
    """What printing the lines of a job finds, each at its line."""
    from slackloop.render.typst.print_fonts import print_fonts
    from slackloop.render.typst.print_glyphs import glyphs_for

    found: list[Placed] = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        notes = glyphs_for({"": [line]}, print_fonts(), "printed handbook")[1]
        found += [place_finding(note, path.as_posix(), number, 1, line) for note in notes]
    return tuple(found)


def _without(finding: Placed, folder: Path) -> Placed:
    """The finding with its file named from the folder."""
    return replace(finding, file=finding.file.removeprefix(f"{folder.as_posix()}/"))
