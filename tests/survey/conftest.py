"""A base job for surveys, and the command as a person runs it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from samples import chain, job_text
from slackloop.cli import main
from slackloop.site.reader import Reading, read_job

FILE_KINDS = {"points": "points.csv", "lines": "lines.geojson"}


@dataclass(frozen=True)
class Imported:
    """What one import came to."""

    status: int
    out: Path
    said: str

    @property
    def text(self) -> str:
        """The new job file."""
        return self.out.read_text(encoding="utf-8")

    @property
    def reading(self) -> Reading:
        """The new job file as our reader reads it."""
        return read_job(self.out)

    @property
    def boxes(self) -> dict[str, Any]:
        """The boxes of the new job by id."""
        job = self.reading.job
        assert job is not None, [(each.code, each.message) for each in self.reading.findings]
        return dict(job.path.by_id)


Run = Callable[..., Imported]


@pytest.fixture
def survey(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """``survey(points, lines="", base=…, words=())`` writes the files and imports them."""
    number = iter(range(1000))

    def run(points: str, lines: str = "", base: str | None = None, words: tuple[str, ...] = ()) -> Imported:
        folder = tmp_path / f"survey-{next(number)}"
        folder.mkdir()
        names = ["points.geojson" if points.lstrip().startswith("{") else "points.csv"]
        (folder / names[0]).write_text(points, encoding="utf-8", newline="")
        more = []
        if lines:
            along = folder / ("lines.geojson" if lines.lstrip().startswith("{") else "lines.csv")
            along.write_text(lines, encoding="utf-8")
            more = ["--along", str(along)]
        (folder / "base.yml").write_text(job_text(chain(2)) if base is None else base, encoding="utf-8")
        out = folder / "new.yml"
        capsys.readouterr()
        status = main(
            ["import", str(folder / names[0]), "--job", str(folder / "base.yml"), *more, *words, "-o", str(out)]
        )
        return Imported(status, out, capsys.readouterr().err)

    return run
