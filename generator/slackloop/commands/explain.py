"""``slackloop check --explain``: what a code means, what to do, and a sample in which it is found."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from slackloop.commands.survey import found_in
from slackloop.document.standard_book import work_standard
from slackloop.document.worked import Refused, work_with_content
from slackloop.site.reader import is_standard
from slackloop.source.codes import JOB, LINES, Code, codes, shown_lines
from slackloop.source.finding import Placed, harmless, place_finding, render_one
from slackloop.source.suggestions import did_you_mean


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
    path = code.sample.lay(folder)
    found = found_in(path, folder / LINES) if code.kind == "survey" else _check(path)
    if code.kind == "build":
        found = _print(folder / JOB)
    elif code.kind != "survey" and all(each.code != code.code for each in found):
        found = _make_pages(folder / JOB)
    return tuple(_without(each, folder) for each in found)


def _check(path: Path) -> tuple[Placed, ...]:
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
