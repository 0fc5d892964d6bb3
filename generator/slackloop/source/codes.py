"""Every code of a finding: its levels, what it means, what to do, which tables it spoils, and a sample of it.

The table itself is data: the files ``*_codes.yml`` of the folder ``findings``, by what finds fault: the reading of a
job, its figures, a firm's own content, the build, the import of a survey.
``check --explain``, the answers of a job, banners and tests read it.

A sample that triggers a finding: a small good job, and a small good section beside it, with something wrong.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, get_args

import yaml

from slackloop.source.finding import Level

FOLDER = Path(__file__).parent / "findings"
JOB, STANDARD, SECTION = "job.yml", "house.yml", "content/method/opening.md"
POINTS, LINES = "points.csv", "lines.csv"
Change = tuple[str, str]
_NAME = re.compile(r"^([^\s#:]+):", re.MULTILINE)
MOST_LINES = 20
"""Lines of a file beside the job that are shown."""


@dataclass(frozen=True, slots=True)
class Sample:
    """What is changed in ``sample_job.yml`` and ``sample_section.md``, or what stands in their place."""

    change: tuple[Change, ...] = ()
    """What the job says, and what it says instead."""
    many: tuple[str, str, int] = ("", "", 0)
    """What the job says, a line that follows it, and how often; ``{n}`` counts from 1, ``{m}`` from 0."""
    text: str = ""
    """The whole job."""
    latin1: str = ""
    """The whole job, in an encoding that is not UTF-8."""
    size: int = 0
    """Bytes of a job that is too large."""
    missing: bool = False
    """There is no job file."""
    folder: bool = False
    """A folder stands where the job file should."""
    standard: str = ""
    """A standard beside the job."""
    alone: bool = False
    """The standard is checked and not the job."""
    section: tuple[Change, ...] = ()
    """What the section says, and what it says instead."""
    survey: str = ""
    """A table of points, which is imported in place of checking a job."""
    along: str = ""
    """A table of lines that the import follows."""
    files: tuple[tuple[str, str], ...] = ()
    """More files of the content folder, by their paths in it."""

    def lay(self, folder: Path) -> Path:
        """Write the sample into a folder; the path is that of the file to check."""
        job = folder / JOB
        if self.folder:
            job.mkdir()
        elif self.size:
            with job.open("wb") as stream:
                stream.truncate(self.size)
        elif not self.missing:
            job.write_bytes(self.job_text().encode("latin-1" if self.latin1 else "utf-8"))
        for name, text in self.beside():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        if self.survey:
            return folder / POINTS
        return folder / STANDARD if self.alone else job

    def job_text(self) -> str:
        """The whole text of the job."""
        whole = self.text or self.latin1 or _changed((FOLDER / "sample_job.yml").read_text("utf-8"), self.change)
        if self.survey:
            return whole
        after, more = self.many[0], self._more()
        return _changed(whole, ((after, after + more),)) if after else whole + more

    def _more(self) -> str:
        """The line that is there many times, numbered."""
        _, line, times = self.many
        return "".join(line.replace("{n}", str(n)).replace("{m}", str(n - 1)) for n in range(1, times + 1))

    def beside(self) -> Iterator[tuple[str, str]]:
        """Every file beside the job, by its path from the job's folder."""
        if self.standard:
            yield STANDARD, self.standard
        if self.survey:
            yield POINTS, self.survey + self._more()
        if self.along:
            yield LINES, self.along
        if self.section:
            yield SECTION, _changed((FOLDER / "sample_section.md").read_text("utf-8"), self.section)
        for name, text in self.files:
            yield f"content/{name}", text


def sample_of(row: dict[str, Any]) -> Sample:
    """A sample as a row of the codes' files states it."""
    given = dict(row)
    for name in ("change", "section"):
        given[name] = tuple((old, new) for old, new in given.get(name, ()))
    given["many"] = tuple(given.get("many", ("", "", 0)))
    given["files"] = tuple(given.get("files", {}).items())
    return Sample(**given)


def _changed(text: str, changes: tuple[Change, ...]) -> str:
    """The text with each change made once. Raises ``ValueError`` where what is changed is not there."""
    for old, new in changes:
        if old not in text:
            raise ValueError(f"{old!r} is not in the sample")
        text = text.replace(old, new, 1)
    return text


@cache
def shown_lines(sample: Sample) -> tuple[str, ...]:
    """What is wrong in a sample, line by line: changes with - and +, other files whole."""
    return tuple(_shown(sample))


def _shown(sample: Sample) -> Iterator[str]:
    if sample.missing:
        yield f"there is no {JOB}"
    elif sample.folder:
        yield f"{JOB} is a folder"
    elif sample.size:
        yield f"{JOB} has {sample.size / 1e6:.0f} MB"
    elif sample.text or sample.latin1:
        yield from _file(JOB, sample.text or sample.latin1)
    elif sample.change:
        yield f"{JOB}:"
        yield from _differing(Sample().job_text(), replace(sample, many=Sample().many).job_text())
    after, line, times = sample.many
    if times:
        yield f"{JOB}, {'after ' + after.strip() if after else 'at the end'}, {times:,} lines as this one:"
        yield from (f"+ {each}" for each in line.replace("{n}", "1").replace("{m}", "0").rstrip("\n").split("\n"))
    if sample.section:
        yield f"{SECTION}:"
        yield from _differing(dict(Sample(section=(("", ""),)).beside())[SECTION], dict(sample.beside())[SECTION])
    for name, text in replace(sample, section=()).beside():
        yield from _file(name, text)
    if sample == Sample():
        yield "none: the small job has it as it is"


def _differing(old: str, new: str) -> Iterator[str]:
    """The lines that differ."""
    for line in difflib.ndiff(old.splitlines(), new.splitlines()):
        if line[0] in "-+":
            yield line


def _file(name: str, text: str) -> Iterator[str]:
    lines = text.splitlines()
    yield f"{name}:"
    yield from (f"| {line}" for line in lines[:MOST_LINES])
    if len(lines) > MOST_LINES:
        yield f"| … and {len(lines) - MOST_LINES} more lines"


Kind = Literal["job", "figure", "content", "build", "survey"]


@dataclass(frozen=True, slots=True)
class Code:
    """One code. ``spoils`` are the ids of the tables that nobody may build from while an error has it.

    ``before`` is what waits for the answer, where a warning puts a question to somebody.
    """

    code: str
    kind: Kind
    levels: tuple[Level, ...]
    means: str
    mend: str
    sample: Sample
    spoils: tuple[str, ...] = ()
    before: str = ""


@cache
def codes() -> Mapping[str, Code]:
    """Every code by its name, in the order of the files. Raises ``ValueError`` where one is listed twice."""
    found: dict[str, Code] = {}
    for kind in get_args(Kind):
        text = (FOLDER / f"{kind}_codes.yml").read_text(encoding="utf-8")
        for name, row in yaml.load(text, Loader=yaml.CSafeLoader).items():
            if name in found:
                raise ValueError(f"{name} is listed twice in {FOLDER}")
            found[name] = _code(name, kind, **row)
    return MappingProxyType(found)


@cache
def code_names() -> frozenset[str]:
    """Every code by its name alone, which stands in the first column: a job with answers asks for no more."""
    return frozenset(
        name for kind in get_args(Kind) for name in _NAME.findall((FOLDER / f"{kind}_codes.yml").read_text("utf-8"))
    )


def _code(
    name: str, kind: Kind, *, level: str | list[str], means: str, mend: str, sample: Any, spoils: tuple[str, ...] = (),
    before: str = "",
) -> Code:  # fmt: skip
    """A row of a file; a key that is not known raises ``TypeError``."""
    levels: Any = (level,) if isinstance(level, str) else tuple(level)
    return Code(name, kind, levels, means, mend, sample_of(sample), tuple(spoils), before)
