"""A sample that triggers a finding: a small good job, and a small good section beside it, with something wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "findings"
JOB, STANDARD, SECTION = "job.yml", "house.yml", "content/method/opening.md"
POINTS, LINES = "points.csv", "lines.csv"
Change = tuple[str, str]


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
